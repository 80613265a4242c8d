"""Refuses characters the shipped fonts cannot show, and says where a very long word may break."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable
from typing import Any

from author.errors import InputError
from author.publish.unbroken import with_fixed_spaces
from author.resources.printable import UNSEEN, unprintable

# Hyphens are left out: a line may end at them anyway, but for one before a digit.
_LONG_WORD = re.compile(r"[^\s\u200b-]{25,}|(?=[^\s\u200b-]*[\d_./\\:=])[^\s\u200b-]{13,}")
_LONG_NUMBER = re.compile(r"[^\s\u200b]{13,}")
_BEFORE_DIGIT = re.compile(r"(?<=-)(?=\d)")
_PIECE = 6
BREAK = "\u200b"
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


def refuse_missing(texts: Iterable[tuple[str, str]]) -> None:
    """Refuse text that the fonts cannot show.

    Args:
        texts: pairs of a place in words and a text at that place.

    Raises:
        InputError: naming the characters and the first place where they stand.
    """
    for place, text in texts:
        missing = unprintable(text)
        if missing is not None:
            raise InputError(
                f"{place} has characters that cannot be printed: {missing}",
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
        joins = unicodedata.combining(char) or ord(char) in UNSEEN
        if pieces and (joins or len(pieces[-1]) < _PIECE):
            pieces[-1] += char
        else:
            pieces.append(char)
    return BREAK.join(pieces)
