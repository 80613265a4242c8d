"""How many bolts the words of a step name: what is asked about, never taken for granted."""

from __future__ import annotations

import re

from author.procedure.bolt_patterns import MOST_BOLTS
from author.procedure.number_words import WHOLE

# "One of the four bolts": not how many there are.
_WORDS = {word: number for word, number in WHOLE.items() if 2 <= number <= 20}
_MANY = r"(?i:bolts|screws|capscrews|setscrews|nuts|studs|fasteners|fixings)\b"
# What stands behind these is a size, not a count; so is what stands before the words below.
_NO_COUNT = r"(?<![\w.,/#×-])(?<![×x] )(?<!grade )(?<!class )(?<!size )(?<!no )(?<!no\. )"
_NO_NOUN = (
    r"(?!(?:mm|cm|in|inch|nm|n·m|lbf·ft|of|the|and|or|to|on|with|for|turns?|times|rounds?|passes|"
    r"stages?|minutes?|per|%|°)(?:\s|$))"
)
_COUNT = rf"{_NO_COUNT}(?P<count>[0-9]{{1,2}}|{'|'.join(_WORDS)})"
_NAMED = (
    re.compile(rf"{_COUNT}\s*[×x]\s*(?:M[0-9]|(?:[a-z]+\s+){{0,2}}{_MANY})", re.I),
    re.compile(rf"{_COUNT}(?:\s+of\s+the)?\s+(?:{_NO_NOUN}[^\s,;:]+\s+){{0,4}}{_MANY}", re.I),
)
_FROM_TO = re.compile(rf"{_MANY}\s+(?P<one>[A-Z]|[0-9]{{1,2}})\s*(?:to|-|–|…|\.\.)\s*"
                      r"(?P<last>[A-Z]|[0-9]{1,2})\b")  # fmt: skip
_LISTED = re.compile(rf"{_MANY}\s+(?P<names>[A-Z](?:(?:\s*,\s*|\s+and\s+|,\s+and\s+)[A-Z])+)\b")


def bolts_named(text: str) -> int | None:
    """Return how many bolts a text names, None if it names no number of more than one.

    Args:
        text: e.g. ``Tighten the four M8 bolts``, ``4 × M8``, ``M8 bolts A to D``.
    """
    count = _counted(text)
    return count if count is not None and 2 <= count <= MOST_BOLTS else None


def _counted(text: str) -> int | None:
    if found := _FROM_TO.search(text):
        one, last = found["one"], found["last"]
        if one.isdecimal() != last.isdecimal():
            return None
        return (int(last) - int(one) if one.isdecimal() else ord(last) - ord(one)) + 1
    if found := _LISTED.search(text):
        return len(re.findall(r"\b[A-Z]\b", found["names"]))
    for pattern in _NAMED:
        if found := pattern.search(text):
            said = found["count"].lower()
            return _WORDS.get(said) or int(said)
    return None
