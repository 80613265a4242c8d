"""How many pieces words tell of: "twenty-four", "two dozen", "8"."""

from __future__ import annotations

from collections.abc import Sequence

from author.procedure.number_words import TENS
from author.proposals.language.closed_words import COUNTS

_DOZEN = 12
_MOST_DIGITS = 3
COUNT_WORDS = frozenset({*COUNTS, *TENS, "dozen"})
"""Words that a count begins with."""


def count_at(words: Sequence[str], at: int) -> tuple[int, int] | None:
    """Return the count that begins at a word, and the index behind it, or None.

    Args:
        words: in small letters; a hyphen may join two of them to one.
        at: index of the first.
    """
    word, after = words[at], words[at + 1] if at + 1 < len(words) else ""
    ten, _, one = word.partition("-")
    if ten in TENS and one and 0 < COUNTS.get(one, 0) < 10:
        return TENS[ten] + COUNTS[one], at + 1
    if word in TENS:
        more = COUNTS.get(after, 0)
        return (TENS[word] + more, at + 2) if 0 < more < 10 else (TENS[word], at + 1)
    if word == "dozen":
        return _DOZEN, at + 1
    if word.isdecimal() and len(word) > _MOST_DIGITS:
        return None
    count = COUNTS.get(word) if word in COUNTS else int(word) if word.isdecimal() else None
    if count is None:
        return None
    return (count * _DOZEN, at + 2) if after == "dozen" else (count, at + 1)
