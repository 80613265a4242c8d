"""The order of a list that two sides have changed."""

from __future__ import annotations

from collections.abc import Collection, Hashable, Sequence
from typing import TypeVar

Key = TypeVar("Key", bound=Hashable)


class NoOrder(Exception):
    """Both sides have put the same entries into another order, each in its own."""


def merged_order(lists: Sequence[Sequence[Key]], wanted: Collection[Key]) -> list[Key]:
    """Return wanted entries in an order that keeps what either side has moved.

    Args:
        lists: entries of the base, mine and theirs, each once in a list.
        wanted: the entries that are left, each in at least one of the lists.

    Raises:
        NoOrder: if both sides have moved entries that all three have.
    """
    base, mine, theirs = ([key for key in keys if key in wanted] for keys in lists)
    shared = set(base) & set(mine) & set(theirs)
    orders = [[key for key in keys if key in shared] for keys in (base, mine, theirs)]
    if orders[1] in (orders[0], orders[2]):
        first, second = theirs, mine
    elif orders[2] == orders[0]:
        first, second = mine, theirs
    else:
        raise NoOrder
    return _woven(_woven(first, second), base)


def order_of_one(side: Sequence[Key], other: Sequence[Key], wanted: Collection[Key]) -> list[Key]:
    """Return wanted entries as one side has them, then what only the other has."""
    there = set(side)
    return [key for key in (*side, *(k for k in other if k not in there)) if key in wanted]


def _woven(first: Sequence[Key], second: Sequence[Key]) -> list[Key]:
    """Put what only the second list has behind what it follows there."""
    order = list(first)
    there = set(order)
    before: Key | None = None
    for key in second:
        if key not in there:
            order.insert(0 if before is None else order.index(before) + 1, key)
            there.add(key)
        before = key
    return order
