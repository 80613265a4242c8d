"""What full text is asked for, and what it gives, in whatever engine."""

from __future__ import annotations

from dataclasses import dataclass

WEIGHTS = (10.0, 5.0, 4.0, 2.0, 1.0, 6.0)
"""How much a word weighs in each of the columns of ``author.library.index.facts``."""

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
