"""Parts that are to be ordered, told in a list or by their numbers."""

from __future__ import annotations

import re

# "Parts you want: two fork seals", "parts is one gasket"; not "the parts are clean".
_TO_ORDER = re.compile(
    r"\bparts?(?: list)?(?: (?:that )?(?:you|we|i)(?:'ll)? (?:want|need)\b"
    r"| ?(?:is|are|:|,|-) ?(?=(?:an?|the|one|two|three|four|five|six|eight|ten|\d+) ))"
    r"|\b(?:you|we|i)(?:'ll| have to| need to| gotta| should)? order(?:ed)?\b|\bshopping list\b"
    r"|\bwhat you(?:'ll)? (?:want|need) to (?:order|buy)\b",
    re.IGNORECASE,
)


def lists_parts(text: str) -> bool:
    """Whether a sentence lists what is to be ordered: "parts you want: two fork seals"."""
    return _TO_ORDER.search(text) is not None
