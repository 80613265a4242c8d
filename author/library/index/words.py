"""Words of a text as the index and a query have them."""

from __future__ import annotations

import re
import unicodedata

from rapidfuzz.distance import OSA

_WORD = re.compile(r"[^\W_]+")
_JOINED = re.compile(r"[^\W_]+(?:[-‐‑–./_·][^\W_]+)+")
_DIGIT = re.compile(r"[0-9]")
_ACCENT = re.compile("[\u0300-\u036f]")
_DECIMAL = re.compile(r"[0-9]+[.][0-9]+")
SHORTEST_CORRECTED = 4
_LONGEST_CORRECTED = 40


def folded(text: str) -> str:
    """Return a text without case and accents."""
    if text.isascii():
        return text.lower()
    return _ACCENT.sub("", unicodedata.normalize("NFKD", text.casefold()))


def words_in(text: str) -> list[str]:
    """Return the words of a text, without case and accents, in order."""
    return _WORD.findall(folded(text))


def number_key(text: str) -> str:
    """Return what two ways to write a part number share: ``6203-2RS`` and ``6203 2rs``."""
    return "".join(_WORD.findall(folded(text)))


def codes_in(plain: str) -> list[str]:
    """Return the numbers with dashes, points or strokes in a folded text, each without them."""
    return [
        "".join(_WORD.findall(one))
        for token in plain.split()
        if _DIGIT.search(token)
        for one in _JOINED.findall(token)
        if _DIGIT.search(one) and not _DECIMAL.fullmatch(one)
    ]


def spelt(plain: str) -> set[str]:
    """Return the words of a folded text a typing slip is held against: letters, of some length."""
    return {
        word
        for word in set(_WORD.findall(plain))
        if SHORTEST_CORRECTED <= len(word) <= _LONGEST_CORRECTED and word.isalpha()
    }


def edits_between(one: str, other: str, most: int) -> int:
    """Return how many typing slips lie between two words, or ``most`` + 1 if there are more.

    A slip is a letter too many, missing, wrong, or two that changed places: the optimal string
    alignment distance, by RapidFuzz.
    """
    return OSA.distance(one, other, score_cutoff=most)
