"""Thousandths whose inch or millimetre nobody says."""

from __future__ import annotations

from author.proposals.quantities.amounts.context import Scene

_INCHES = frozenset({"inch", "inches", "thou", "foot", "feet", "psi", "pounds"})
_METRIC = frozenset({"mm", "cm", "µm", "N·m"})
_WORDS = frozenset({"thousandth", "thousandths"})
_OF_INCH = frozenset({"in", "ft", "lbf·ft", "lbf·in", "psi"})


def settle_thousandths(scenes: list[Scene]) -> None:
    """Take bare thousandths for those of a millimetre where inches are never spoken of.

    In a shop that speaks of inches they are thousandths of an inch; one that never does says
    hundredths and thousandths of the millimetre (common practice, no source).
    """
    units = {amount.unit for scene in scenes for amount in scene.amounts}
    if not units & _METRIC or units & _OF_INCH:
        return
    if any(scene.words & _INCHES for scene in scenes):
        return
    for scene in scenes:
        for amount in scene.amounts:
            said = {token.low for token in scene.tokens[amount.first : amount.last]}
            if amount.unit != "thou" or not said & _WORDS:
                continue
            values = (amount.lower, amount.nominal, amount.upper)
            moved = [None if value is None else value.scaleb(-3) for value in values]
            amount.lower, amount.nominal, amount.upper = moved
            amount.unit = "mm"
            amount.flags.add("doubtful")
            amount.why.append("thousandths are taken for those of a millimetre")
