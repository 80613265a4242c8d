"""What full text is asked for, and what it gives, in whatever engine."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

WEIGHTS = (10.0, 5.0, 4.0, 2.0, 1.0, 6.0)
"""How much a word weighs in each of the columns of ``author.library.facts``."""

Entry = tuple[int, str, tuple[str, ...]]
"""A procedure in the full text: its id, its place, and the text of each column."""


@dataclass(frozen=True, slots=True)
class Term:
    """One word of a query.

    Attributes:
        ways: what stands for it, any of them: each a list of words that all have to be there.
        prefix: whether a word that begins so will do.
    """

    ways: tuple[tuple[str, ...], ...]
    prefix: bool = False


@dataclass(frozen=True, slots=True)
class Hit:
    """The passage of a procedure that fits a query best.

    Attributes:
        place: where it stands, in words.
        text: the words around what was found.
        found: start and end of each word found in it, in characters.
    """

    place: str
    text: str
    found: tuple[tuple[int, int], ...]


def pieces_of(word: str, most: int) -> Iterator[tuple[int, int, str]]:
    """Yield the pieces of a word of which one is whole in any word a few slips away.

    So many slips leave one of one more pieces whole, not far from its place.

    Args:
        word: the word.
        most: how many slips.

    Yields:
        For each piece the first place it may begin at, from 1; the length of the stretch it
        lies in; and the piece.
    """
    size = math.ceil(len(word) / 3)
    for at in range(0, len(word), size):
        yield max(1, at + 1 - most), size + 2 * most, word[at : at + size]
