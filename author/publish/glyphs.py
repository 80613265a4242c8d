"""Which characters the shipped fonts can show, and where a very long word may break."""

from __future__ import annotations

import re
import struct
import unicodedata
from collections.abc import Iterable
from functools import cache
from typing import Any

from author.errors import InputError
from author.publish.unbroken import with_fixed_spaces
from author.resources import font_folder

_FONTS = ("DejaVuSans.ttf", "DejaVuSans-Bold.ttf")
# Hyphens are left out: a line may end at them anyway, but for one before a digit.
_LONG_WORD = re.compile(r"[^\s\u200b-]{25,}|(?=[^\s\u200b-]*[\d_./\\:=])[^\s\u200b-]{13,}")
_LONG_NUMBER = re.compile(r"[^\s\u200b]{13,}")
_BEFORE_DIGIT = re.compile(r"(?<=-)(?=\d)")
_PIECE = 6
BREAK = "\u200b"
# Never drawn, so no font needs them: joiners, variation selectors, soft hyphen.
_UNSEEN = {0xAD, 0x200B, 0x200C, 0x200D, 0x2060, 0xFEFF, *range(0xFE00, 0xFE10)}
_NAMED_AT_MOST = 5
_NEVER_BROKEN = frozenset(
    (
        "file",
        "path",
        "to",
        "label",
        "signal",
        "grade",
        "shape",
        "colours",
        "alt",
        "metadata",
    )
)


@cache
def drawable() -> frozenset[int]:
    """Return the code points both fonts have, less those PDF/A forbids (private use)."""
    sets = [_code_points((font_folder() / name).read_bytes()) for name in _FONTS]
    both = {code for code in set.intersection(*sets) if unicodedata.category(chr(code)) != "Co"}
    return frozenset(both | _UNSEEN)


def refuse_missing(texts: Iterable[tuple[str, str]]) -> None:
    """Refuse text that the fonts cannot show.

    Args:
        texts: pairs of a place in words and a text at that place.

    Raises:
        InputError: naming the characters and the first place where they stand.
    """
    known = drawable()
    for place, text in texts:
        missing = list(dict.fromkeys(c for c in text if ord(c) not in known and c != " "))
        if missing:
            named = ", ".join(_named(c) for c in missing[:_NAMED_AT_MOST])
            more = len(missing) - _NAMED_AT_MOST
            raise InputError(
                f"{place} has characters that cannot be printed: {named}"
                + (f" and {more} more" if more > 0 else ""),
                remedy="Write them with other characters",
            )


def breakable(data: Any) -> Any:
    """Return page data in which very long words may be broken and values may not.

    Names and keys stay as they are.
    """
    if isinstance(data, str):
        return with_fixed_spaces(with_breaks(data))
    if isinstance(data, dict):
        return {k: v if k in _NEVER_BROKEN else breakable(v) for k, v in data.items()}
    if isinstance(data, list):
        return [breakable(v) for v in data]
    return data


def with_breaks(text: str) -> str:
    """Return text in which a very long word may be broken anywhere without a hyphen."""
    text = _LONG_NUMBER.sub(lambda found: _BEFORE_DIGIT.sub(BREAK, found.group()), text)
    return _LONG_WORD.sub(lambda found: _broken(found.group()), text)


def _broken(word: str) -> str:
    pieces: list[str] = []
    for char in word:
        joins = unicodedata.combining(char) or ord(char) in _UNSEEN
        if pieces and (joins or len(pieces[-1]) < _PIECE):
            pieces[-1] += char
        else:
            pieces.append(char)
    return BREAK.join(pieces)


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
