"""Tolerances about nought: "flush, give or take ten thou", "level within plus or minus five"."""

from __future__ import annotations

from decimal import Decimal

from author.proposals.quantities.amounts.context import Scene

# What has no size of its own: how far it may be off is all there is to say.
_AT_NOUGHT = frozenset({"flush", "middle", "zero", "nought"})
_ABOUT_NOUGHT = frozenset({"level", "centre", "center", "true", "square", "parallel", "straight",
                           "aligned", "alignment", "line", "plumb", "concentric"})  # fmt: skip


def take_deviations(scenes: list[Scene]) -> None:
    """Turn a tolerance into limits about nought where the words say what is to be nought."""
    for scene in scenes:
        for amount in scene.amounts:
            if amount.role != "tolerance" or amount.plus is None or amount.minus is None:
                continue
            words = {token.low for token in scene.tokens[: amount.first]}
            words |= {token.low for token in scene.tokens[amount.last : amount.last + 4]}
            if not words & (_AT_NOUGHT | _ABOUT_NOUGHT):
                continue
            amount.role, amount.form = "limits", "both"
            amount.lower, amount.upper = -amount.minus, amount.plus
            amount.nominal = Decimal(0) if words & _AT_NOUGHT else None
            amount.why.append("it may be off by so much")
