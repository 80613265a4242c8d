"""Temperatures told right behind a pressure: "suction twenty-two psi, minus four"."""

from __future__ import annotations

from author.checks.verbs import words
from author.proposals.quantities.amounts.amount import Amount, between
from author.proposals.quantities.amounts.units import kind_of
from author.proposals.quantities.bare_numbers.told_as_value import is_below
from author.proposals.quantities.bare_numbers.topic import Talk

_BESIDE = frozenset({"", ",", "and", ", and", "at", ", at", "so", ", so"})
_COLD = words(
    "suction evaporator evaporates evaporating refrigerant saturation saturated superheat chiller"
    " freezer condenser"
)
_NEAR = 3


def saturated_at(talk: Talk, index: int, amount: Amount) -> str | None:
    """Return the unit of a bare number below nought right behind a pressure, or None.

    No gauge of a refrigerant reads so far below nought, and its dial has the temperature beside
    the pressure (common practice, no source).

    Args:
        talk: the recording.
        index: of the sentence.
        amount: one of its amounts, its place among them known.
    """
    scene = talk.scenes[index]
    if not is_below(amount) or not amount.place:
        return None
    before = scene.amounts[amount.place - 1]
    beside = between(scene.tokens, before.last, amount.first)
    if kind_of(before.unit) != "pressure" or beside not in _BESIDE or is_below(before):
        return None
    near = talk.scenes[max(0, index - _NEAR) : index + _NEAR + 1]
    if not any(one.words & _COLD for one in near):
        return None
    told = [
        (abs(index - one.index), some.unit)
        for one in talk.scenes
        for some in one.amounts
        if kind_of(some.unit) == "temperature" and some.unit
    ]
    if told:
        return min(told)[1]
    return "°F" if talk.metric is False else "°C"
