"""A caption or a chapter: words shown for a span of time, known to no file format."""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal

# What ends a line: also vertical tab, form feed, next line, and Unicode's own separators.
_LINE_ENDS = re.compile("\r\n|[\n\r\x0b\x0c\x85\u2028\u2029]")
# Control characters, signs that turn the direction of writing (property Bidi_Control of
# Unicode, from memory), signs that are not seen, halves of characters, no characters.
_REMOVED = re.compile(
    "[\x00-\x08\x0e-\x1f\x7f-\x9f\u061c\u200b\u200e\u200f\u202a-\u202e\u2060\u2066-\u2069\ufeff"
    "\ud800-\udfff\ufffe\uffff]"
)


@dataclass(frozen=True, slots=True)
class Cue:
    """Words and when they are shown.

    Attributes:
        start: when they come, seconds on the clock of the recording or the clip.
        end: when they go; at that moment they are no longer shown. Same clock.
        text: plain words, lines parted by a line feed; never markup.
    """

    start: Decimal
    end: Decimal
    text: str


def plain_text(text: str) -> str:
    """Return words without control, direction and unseen signs, blank lines and margins.

    Doing it twice changes nothing.

    Args:
        text: words from anywhere, no markup in them.
    """
    lines = _LINE_ENDS.sub("\n", text).replace("\t", " ").split("\n")
    kept = (_REMOVED.sub("", line).strip() for line in lines)
    return "\n".join(line for line in kept if line)
