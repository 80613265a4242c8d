"""Readings told by how far they lie from a size: "85, plus 13 to plus 35, I have plus 19"."""

from __future__ import annotations

from decimal import Decimal

from author.proposals.quantities.amounts.amount import Amount
from author.proposals.quantities.amounts.context import Scene
from author.proposals.quantities.amounts.units import kind_of

_BACK = 4
# A reading out of its limits still lies near them: so many times as far off.
_MOST_OFF = 3
_SIGNS = frozenset({"plus", "minus", "+", "-", "−"})


def beside_size(scenes: list[Scene], scene: Scene, amount: Amount) -> bool:
    """Give "plus 19" the value it stands for, if the size it is told from was just told.

    Args:
        scenes: sentences of the recording.
        scene: the sentence it is told in.
        amount: a number without a unit.
    """
    part = _signed(scene, amount)
    if part is None or amount.form != "whole":
        return False
    for back in range(min(_BACK, scene.index) + 1):
        told = scene.amounts[: amount.place] if not back else scenes[scene.index - back].amounts
        for one in reversed(told):
            if one.size is None or one.lower is None or one.upper is None:
                continue
            if one.step is None or kind_of(one.unit) != "length":
                return False
            far = max(abs(one.lower - one.size), abs(one.upper - one.size))
            if abs(part) * one.step > far * _MOST_OFF:
                return False
            amount.nominal, amount.form, amount.unit = (
                one.size + part * one.step,
                "decimal",
                one.unit,
            )
            amount.role = "measured"
            amount.flags.add("carried near" if back else "carried")
            amount.why.append("it is told by how far it lies from the size before")
            return True
    return False


def _signed(scene: Scene, amount: Amount) -> Decimal | None:
    """Return the number with the sign before it, None where no sign or a value stands there."""
    if amount.nominal is None or not amount.is_plain():
        return None
    sign = amount.first if amount.nominal < 0 else amount.first - 1
    if sign < 0 or scene.tokens[sign].low not in _SIGNS:
        return None
    if any(one.last == sign for one in scene.amounts):
        return None  # "ten plus five" is a sum
    return -abs(amount.nominal) if scene.tokens[sign].low in {"minus", "-", "−"} else amount.nominal
