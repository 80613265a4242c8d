"""Torques told by what is tighter: "nine newton metres, no tighter than eleven"."""

from __future__ import annotations

import re
from decimal import Decimal

from author.proposals.quantities.amounts.amount import Amount, between
from author.proposals.quantities.amounts.context import Scene
from author.proposals.quantities.amounts.units import kind_of

_TIGHTER = re.compile(
    r"\b(?:no|not|never|nothing|don't(?: \w+){0,3}|never(?: \w+){0,3}) tighter than"
    r"(?: (?:about|a|an|say))?$"
)
_BACK, _AHEAD, _MOST_MORE = 2, 9, 2


def turn_tighter(scenes: list[Scene]) -> None:
    """Take "no tighter than fifteen" for the most of a torque where one like it was told.

    Of a gap it is the least: there tighter is less.
    """
    for scene in scenes:
        for place, amount in enumerate(scene.amounts):
            ahead = between(scene.tokens, max(0, amount.first - _AHEAD), amount.first)
            value = amount.lower or amount.nominal
            if value is None or not _TIGHTER.search(ahead):
                continue
            unit = amount.unit if kind_of(amount.unit) == "torque" else None
            if amount.unit is None:
                unit = _like_it(scenes, scene, place, value)
            if unit is None:
                continue
            if amount.unit is None:
                amount.flags.add("carried")
            amount.unit, amount.role = unit, "limits"
            amount.lower, amount.nominal, amount.upper = None, None, value
            amount.why.append("of a torque what is tighter is more")


def _like_it(scenes: list[Scene], scene: Scene, place: int, value: Decimal) -> str | None:
    """Return the unit of a torque told just before that is nearly as large."""
    earlier = [one for other in scenes[max(0, scene.index - _BACK) : scene.index]
               for one in other.amounts]  # fmt: skip
    for one in reversed([*earlier, *scene.amounts[:place]]):
        if kind_of(one.unit) == "torque" and (most := _most(one)):
            alike = most <= _MOST_MORE * value and value <= _MOST_MORE * most
            return one.unit if alike else None
    return None


def _most(one: Amount) -> Decimal | None:
    return one.upper or one.nominal or one.lower
