"""What is spoken of in "the O-ring under the tube": the O-ring, not where it sits."""

from __future__ import annotations

import re
from collections.abc import Sequence

# Between the thing spoken of and where it sits or goes: "the seal in the housing",
# "the ring out of the groove". What stands behind "with" is spoken of as much.
_PLACED = re.compile(
    r"\s+(?:(?:out|up|down|back|in|on|off|away|right|straight|that's|that is|which is|that goes|"
    r"that sits|going) )?"
    r"(?:on|onto|in|into|to|round|around|along|between|under|underneath|over|inside|at|behind|of|"
    r"from|for|through|across|against|beneath|below|above|near|beside|within|off|next to|"
    r"in front of|at the (?:end|back|front|top|bottom|side) of)"
    r"\s+(?:(?:the|its|your|this|that|each|both|a|an|old|new|left|right|top|bottom|front|rear|"
    r"upper|lower|inner|outer|two|three|four)\s+){0,3}",
    re.IGNORECASE,
)


def head_of(text: str, names: Sequence[tuple[int, int]], at: int) -> int:
    """Return which of the names is spoken of where one of them may only tell its place.

    Args:
        text: the sentence.
        names: where the names of things begin and end in it, in their order.
        at: the name that stands last.
    """
    while at > 0 and _PLACED.fullmatch(text, names[at - 1][1], names[at][0]):
        at -= 1
    return at
