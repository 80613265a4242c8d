"""Where a thing goes, told while it comes off: "pull them off, the brown one goes to the left".

Nothing is fitted then; it is to be remembered for later.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from author.proposals.orders.wording import Order

_WAY_ROUND = re.compile(
    r"(?P<one>(?:the )?(?!new\b|other\b|first\b|next\b|last\b)[\w-]+(?: [\w-]+)? ones?"
    r"|they|those|these) "
    r"(?P<goes>goe?s?) (?P<where>(?!back\b|on\b(?! the)|in\b(?! the)|out\b|off\b|first\b|last\b"
    r"|next\b|then\b|before\b|after\b)[^,;.]+)",
    re.IGNORECASE,
)


def with_way_noted(
    new: Sequence[Order], before: Sequence[Order], text: str, it: str | None
) -> list[Order]:
    """Return orders with a note of where a thing goes, where it was just taken off.

    Args:
        new: the orders of the words.
        before: those told before it, in its sentence and in the one before.
        text: the words.
        it: what "they" stands for in them, where that is known.
    """
    way = _WAY_ROUND.match(text)
    if way is None or not new or not any(order.act == "removes" for order in before[-2:]):
        return list(new)
    one = way["one"][:1].lower() + way["one"][1:]
    if it is not None and " " not in one:
        one = it  # "two of them are longer, they go at the back"
    said = f"Note that {one} {way['goes'].lower()} {way['where'].rstrip()}."
    return [replace(new[0], action=said, verb="note", object=None, act=None), *new[1:]]
