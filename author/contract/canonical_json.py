"""Plain values as canonical JSON: the same values give the same bytes, whoever writes them.

Source: RFC 8785 (JSON Canonicalization Scheme): no space, keys by their UTF-16 code
units, the shortest escapes, UTF-8. The whole numbers we write are small, and for those
the scheme is plain decimal; every other number of ours is a string with its digits.
"""

from __future__ import annotations

import json
import re
from typing import Any

from author.errors import InputError
from author.procedure.values import Node

_LARGEST = 2**53 - 1
_NO_CHARACTER = re.compile(
    "[\ud800-\udfff\ufdd0-\ufdef"
    + "".join(f"{chr(plane << 16 | 0xFFFE)}{chr(plane << 16 | 0xFFFF)}" for plane in range(17))
    + "]"
)


def canonical(value: Any) -> bytes:
    """Return plain values as canonical JSON.

    Args:
        value: dictionaries with keys of text, lists, text, whole numbers and bool.

    Raises:
        InputError: if a text has a code point in it that is no character.
        TypeError: for any other value, or a number that not every program can hold.
    """
    return _text(value).encode()


def canonical_file(node: Node) -> bytes:
    """Return the file of one small form: its canonical JSON and a line end.

    Raises:
        InputError: if a text has a code point in it that is no character.
    """
    return canonical(node.model_dump(mode="json", exclude_none=True)) + b"\n"


def _text(value: Any) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, int) and abs(value) <= _LARGEST:
        return str(value)
    if isinstance(value, str):
        return _quoted(value)
    if isinstance(value, list | tuple):
        return f"[{','.join(_text(entry) for entry in value)}]"
    if isinstance(value, dict):
        keys = sorted(value, key=lambda key: key.encode("utf-16-be", "surrogatepass"))
        return f"{{{','.join(f'{_quoted(key)}:{_text(value[key])}' for key in keys)}}}"
    msg = f"{value!r:.40} has no place in canonical JSON"
    raise TypeError(msg)


def _quoted(text: str) -> str:
    found = _NO_CHARACTER.search(text)
    if found is not None:
        raise InputError(
            f"U+{ord(found[0]):04X} in {text[:40]!r} is no character",
            remedy="Take it out of the text",
        )
    # Python writes the escapes the scheme wants: the short ones, \\u00xx in small letters.
    return json.dumps(text, ensure_ascii=False)
