"""How many pieces words tell of."""

from __future__ import annotations

import re

from author.proposals.language.counts import COUNT_WORDS, count_at

_SEVERAL = {"both": 2, "pair": 2, "couple": 2, "single": 1}


_WORDS = "|".join(sorted((COUNT_WORDS | _SEVERAL.keys()) - {"zero"}))


def count_in(text: str) -> int | None:
    """Return the count a clause names, or None."""
    words = re.findall(r"[a-z]+(?:-[a-z]+)?|\d{1,3}", text.lower())
    for at, word in enumerate(words):
        found = count_at(words, at)
        if found is not None or word in _SEVERAL:
            return found[0] if found else _SEVERAL[word]
    return None


_ANY = re.compile(rf"\d|\b(?:{_WORDS})\b", re.IGNORECASE)


def count_of(head: str, action: str) -> int:
    """Return how many pieces an order names: the count stands right before the thing."""
    if _ANY.search(action) is None:
        return 1
    counts = rf"(?:(?:{_WORDS})[ -])?(?:{_WORDS})"
    found = re.search(
        rf"(?<!by )(?<!x )(?<![/×.,\d])\b(\d{{1,2}}|{counts})(?![/.,])\s+"
        rf"(?:(?!(?:with|on|in|of)\b)[\w-]+\s+){{0,2}}"
        rf"{re.escape(head)}",
        action,
        re.IGNORECASE,
    )
    return max(1, count_in(found[1]) or 1) if found else 1


def is_withdrawn(text: str, end: int) -> bool:
    """Whether what ends at a place of a sentence is taken back at once: "four bolts, no, sorry"."""
    return _WITHDRAWN.match(text, end) is not None


_WITHDRAWN = re.compile(
    r"\W*(?:no\W+(?:sorry|wait|hang on|hold on)|sorry|scratch that|i mean|make that|wait\W+no"
    r"|i tell a lie|or rather)\b",
    re.IGNORECASE,
)
