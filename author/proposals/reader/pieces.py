"""Cuts words into the pieces the network knows."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterator, Mapping
from functools import lru_cache

CONTINUED = "##"
"""Begins a piece that does not begin a word."""
BEGIN, END, UNKNOWN = "[CLS]", "[SEP]", "[UNK]"
_LONGEST = 60
"""Letters of a word that is looked at: no word of a trade has more."""
_SIGNS = {"’": "'", "‘": "'", "“": '"', "”": '"', "–": "-", "—": "-"}


class Pieces:
    """The pieces of a vocabulary.

    Each word, in small letters and without accents, is cut into the longest pieces there are,
    from its beginning on (greedy longest match first, as WordPiece vocabularies are read).

    Args:
        vocabulary: the pieces in the order of their numbers.
    """

    def __init__(self, vocabulary: list[str]) -> None:
        self._number: Mapping[str, int] = {piece: at for at, piece in enumerate(vocabulary)}
        self.begin, self.end = self._number[BEGIN], self._number[END]
        self.unknown = self._number[UNKNOWN]
        self.of_word = lru_cache(maxsize=20_000)(self._of_word)

    def _of_word(self, word: str) -> tuple[int, ...]:
        """Return the numbers of the pieces of a word that stands between spaces; at least one."""
        found: list[int] = []
        for part in _parts(word[:_LONGEST]):
            found.extend(self._cut(part))
        return tuple(found) or (self.unknown,)

    def _cut(self, part: str) -> list[int]:
        found: list[int] = []
        at = 0
        while at < len(part):
            ahead = CONTINUED if at else ""
            for stop in range(len(part), at, -1):
                number = self._number.get(ahead + part[at:stop])
                if number is not None:
                    break
            else:
                return [self.unknown]
            found.append(number)
            at = stop
        return found


def _parts(word: str) -> Iterator[str]:
    """Yield the runs of letters and digits of a word, and each of its signs."""
    plain = "".join(_SIGNS.get(sign, sign) for sign in word.lower())
    run = ""
    for sign in unicodedata.normalize("NFD", plain):
        kind = unicodedata.category(sign)
        if kind == "Mn":  # an accent
            continue
        if kind[0] in "LN":
            run += sign
            continue
        if run:
            yield run
            run = ""
        if kind[0] not in "CZ":
            yield sign
    if run:
        yield run
