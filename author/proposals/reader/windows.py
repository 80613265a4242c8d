"""Parts a talk into windows the network reads at once."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

MOST = 224
"""Pieces of a window."""
_BEFORE, _BEHIND = 24, 12
"""Pieces of what is said before and behind that a sentence is to be read with."""
MOST_OF_ONE = 120
"""Pieces of a sentence that are read; bare captions have long ones, and their beginning tells."""


@dataclass(frozen=True, slots=True)
class Window:
    """Sentences that are read together.

    Attributes:
        first: index of the first.
        stop: index behind the last.
        taken: index of the first of which what is read counts; those before are read with it.
        taken_stop: index behind the last of those.
    """

    first: int
    stop: int
    taken: int
    taken_stop: int


def windows(lengths: Sequence[int]) -> Iterator[Window]:
    """Yield windows; what is read of each sentence counts in one of them.

    Args:
        lengths: pieces of each sentence with the sign behind it, none more than ``MOST_OF_ONE``.
    """
    taken = 0
    while taken < len(lengths):
        first, held = taken, 1
        while first and held + lengths[first - 1] <= _BEFORE:
            first -= 1
            held += lengths[first]
        stop = taken
        while stop < len(lengths) and (stop == taken or held + lengths[stop] <= MOST):
            held += lengths[stop]
            stop += 1
        taken_stop, behind = stop, 0
        while stop < len(lengths) and taken_stop - 1 > taken and behind < _BEHIND:
            taken_stop -= 1
            behind += lengths[taken_stop]
        yield Window(first, stop, taken, taken_stop)
        taken = taken_stop
