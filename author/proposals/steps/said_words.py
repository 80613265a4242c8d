"""What the words of a sentence say for a new step, and those of the sentence before it.

"Next the gasket" begins one and "got two" does not; a sentence that ended with "good" was the
last of its step. Each word says little and many together say something. Their points are
fitted together with the weights of all other signs, see ``features``.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from functools import cache, lru_cache

from author.resources import load_own_table

_WORD = re.compile(r"[a-z][a-z'-]*|\d[\d.,]*", re.IGNORECASE)


@lru_cache(maxsize=4096)
def said_words(text: str, before: str) -> frozenset[str]:
    """Return the signs that lie in the words of a sentence.

    Args:
        text: the sentence.
        before: the one before it, "" where there is none.
    """
    return frozenset((*_signs(text, ""), *_signs(before, "before ")))


def _signs(text: str, whose: str) -> Iterator[str]:
    words = _WORD.findall(text.lower())
    for word in words:
        yield f"{whose}word {word}"
    for word in words[:1]:
        yield f"{whose}begins {word}"
    for word in words[1:2]:
        yield f"{whose}second {word}"
    if len(words) > 1:
        yield f"{whose}begins {words[0]} {words[1]}"


@lru_cache(maxsize=4096)
def words_say(text: str, before: str) -> float:
    """Return what the words say for a new step at a sentence, as log odds.

    Args:
        text: the sentence.
        before: the one before it, "" where there is none.
    """
    points = word_points()
    return sum(points.get(sign, 0.0) for sign in sorted(said_words(text, before)))


@cache
def word_points() -> Mapping[str, float]:
    """Return the points of each sign, as log odds."""
    return {sign: float(value) for sign, value in load_own_table("step_words.yaml").items()}
