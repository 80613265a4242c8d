"""What is put on before the work: gloves and glasses that are named beside or behind it.

"Take the circlip out, glasses on, it can fly" tells both in one breath, and whoever works by the
words puts the glasses on first.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from author.proposals.orders.wording import Order

_WORN = re.compile(
    r"(?:Put|Wear|Get|Have|Pull)\b.*\b(?:gloves?|glasses|goggles|visor|mask|respirator|face shield|"
    r"ear (?:defenders?|muffs|plugs)|muffs|apron)\b(?: (?:on|back on|first))?(?: [\w ]{0,20})?\.$"
)
_OFF = re.compile(r"\b(?:off|away|down)\b")


def worn_first(
    before: Sequence[Order], between: Sequence[Order], after: Sequence[Order]
) -> tuple[tuple[Order, ...], tuple[Order, ...], tuple[Order, ...]]:
    """Return what is done before, between and behind the acts of a step, with what is worn first.

    Args:
        before: what is done before the act the step is called by.
        between: what is done between the two it is called by.
        after: what is done then.
    """
    worn = tuple(one for one in (*between, *after) if is_worn(one))
    if not worn:
        return tuple(before), tuple(between), tuple(after)
    rest = [tuple(one for one in some if not is_worn(one)) for some in (between, after)]
    return (*worn, *before), rest[0], rest[1]


def is_worn(order: Order) -> bool:
    """Whether an order is to put on what protects: gloves, glasses, a mask."""
    return bool(_WORN.match(order.action)) and not _OFF.search(order.action)
