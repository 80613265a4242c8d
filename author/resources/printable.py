"""Which characters the shipped fonts can show, so that paper and pictures can have them."""

from __future__ import annotations

import struct
import unicodedata
from functools import cache

from author.resources import font_folder

_FONTS = ("DejaVuSans.ttf", "DejaVuSans-Bold.ttf")
# Never drawn, so no font needs them: joiners, variation selectors, soft hyphen.
UNSEEN = frozenset({0xAD, 0x200B, 0x200C, 0x200D, 0x2060, 0xFEFF, *range(0xFE00, 0xFE10)})
_NAMED_AT_MOST = 5


@cache
def drawable() -> frozenset[int]:
    """Return the code points both fonts have, less those PDF/A forbids (private use)."""
    sets = [_code_points((font_folder() / name).read_bytes()) for name in _FONTS]
    both = {code for code in set.intersection(*sets) if unicodedata.category(chr(code)) != "Co"}
    return frozenset(both | UNSEEN)


def unprintable(text: str) -> str | None:
    """Return which characters of a text cannot be printed, in words; None if all can.

    Args:
        text: one line.
    """
    if text.isascii() and text.isprintable():
        return None
    known = drawable()
    missing = list(dict.fromkeys(c for c in text if ord(c) not in known))
    if not missing:
        return None
    named = ", ".join(_named(c) for c in missing[:_NAMED_AT_MOST])
    more = len(missing) - _NAMED_AT_MOST
    return named + (f" and {more} more" if more > 0 else "")


def _named(char: str) -> str:
    return f"“{char}” (U+{ord(char):04X} {unicodedata.name(char, 'unnamed')})"


def _code_points(font: bytes) -> set[int]:
    """Return the code points of a TrueType font (OpenType, table cmap, formats 4 and 12)."""
    tables = struct.unpack_from(">H", font, 4)[0]
    for index in range(tables):
        tag, _, start, _ = struct.unpack_from(">4sIII", font, 12 + 16 * index)
        if tag == b"cmap":
            break
    found: set[int] = set()
    for index in range(struct.unpack_from(">H", font, start + 2)[0]):
        _, _, offset = struct.unpack_from(">HHI", font, start + 4 + 8 * index)
        form = struct.unpack_from(">H", font, start + offset)[0]
        if form == 4:
            found |= _segments(font, start + offset)
        elif form == 12:
            found |= _groups(font, start + offset)
    return found


def _segments(font: bytes, at: int) -> set[int]:
    """Return the code points of a cmap subtable of format 4."""
    doubled = struct.unpack_from(">H", font, at + 6)[0]
    shape = f">{doubled // 2}H"
    ends = struct.unpack_from(shape, font, at + 14)
    starts = struct.unpack_from(shape, font, at + 16 + doubled)
    deltas = struct.unpack_from(shape, font, at + 16 + 2 * doubled)
    offsets_at = at + 16 + 3 * doubled
    offsets = struct.unpack_from(shape, font, offsets_at)
    found = set()
    for index, (first, last) in enumerate(zip(starts, ends, strict=True)):
        for code in range(first, min(last, 0xFFFE) + 1):
            glyph = code
            if offsets[index]:
                place = offsets_at + 2 * index + offsets[index] + 2 * (code - first)
                glyph = struct.unpack_from(">H", font, place)[0]
                if glyph == 0:
                    continue
            if (glyph + deltas[index]) & 0xFFFF:
                found.add(code)
    return found


def _groups(font: bytes, at: int) -> set[int]:
    """Return the code points of a cmap subtable of format 12."""
    count = struct.unpack_from(">I", font, at + 12)[0]
    found: set[int] = set()
    for index in range(count):
        first, last, _ = struct.unpack_from(">III", font, at + 16 + 12 * index)
        found.update(range(first, last + 1))
    return found
