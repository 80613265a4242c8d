"""Writes plain values as canonical YAML: the same values give the same bytes, always.

Block style, two spaces, keys in the order given, text plain where every reader of YAML
1.1 and 1.2 takes it as text, else double quoted. Lists of two numbers (places in a
picture) stay on one line.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

Path = tuple[str | int, ...]

# A plain scalar begins with a letter and never looks like anything but text.
_PLAIN = re.compile(
    r"[^\W\d_]"
    r"(?:[^\x00-\x1f\x7f-\x9f:#\u2028\u2029\ufeff\ufffe\uffff\ud800-\udfff]"
    r"|:(?=[^\s])|(?<!\s)#)*"
)
_RESERVED = re.compile(
    r"^(y|n|yes|no|on|off|true|false|null|none|inf|nan)$|^[-+]?\.(inf|nan)$", re.IGNORECASE
)
_ESCAPES = re.compile("[\x7f-\x9f\u2028\u2029\ufeff\ufffe\uffff\ud800-\udfff]")
_COORDINATE = re.compile(r"[0-9]+(\.[0-9]+)?")


def write_yaml(value: Mapping[str, Any], comments: Mapping[Path, Sequence[str]] = {}) -> str:
    """Return a mapping as canonical YAML text that ends in a line end.

    Args:
        value: dictionaries, lists, str, int and bool; decimals already as str.
        comments: whole-line comments by the path of the node they stand before; those
            with the empty path come last.

    Raises:
        TypeError: for a value of any other type.
    """
    lines = list(_mapping(value, (), 0, comments))
    lines += [f"#{text}" for text in comments.get((), ())]
    return "\n".join(lines) + "\n"


def _mapping(
    value: Mapping[str, Any], path: Path, indent: int, comments: Mapping[Path, Sequence[str]]
) -> Iterator[str]:
    pad = " " * indent
    for key, entry in value.items():
        inner = (*path, key)
        yield from (f"{pad}#{text}" for text in comments.get(inner, ()))
        if _is_block(entry, inner, comments):
            yield f"{pad}{_text(key)}:"
            yield from _block(entry, inner, indent + 2, comments)
        else:
            yield f"{pad}{_text(key)}: {_inline(entry)}"


def _sequence(
    value: Sequence[Any], path: Path, indent: int, comments: Mapping[Path, Sequence[str]]
) -> Iterator[str]:
    pad = " " * indent
    for index, entry in enumerate(value):
        inner = (*path, index)
        yield from (f"{pad}#{text}" for text in comments.get(inner, ()))
        if _is_block(entry, inner, comments):
            # The first key of an entry shares its line with the dash, so a comment
            # before that key moves up to stand before the entry.
            body = list(_block(entry, inner, indent + 2, comments))
            first = next(n for n, line in enumerate(body) if not line.lstrip().startswith("#"))
            yield from (f"{pad}{line.lstrip()}" for line in body[:first])
            yield f"{pad}- {body[first].lstrip()}"
            yield from body[first + 1 :]
        else:
            yield f"{pad}- {_inline(entry)}"


def _block(
    value: Mapping[str, Any] | Sequence[Any],
    path: Path,
    indent: int,
    comments: Mapping[Path, Sequence[str]],
) -> Iterator[str]:
    if isinstance(value, Mapping):
        return _mapping(value, path, indent, comments)
    return _sequence(value, path, indent, comments)


def _is_block(value: Any, path: Path, comments: Mapping[Path, Sequence[str]]) -> bool:
    """Whether a value takes lines of its own: not if empty, or a place in a picture."""
    if not isinstance(value, Mapping | list | tuple) or not value:
        return False
    commented = any((*path, index) in comments for index in (0, 1))
    return isinstance(value, Mapping) or commented or not _is_point(value)


def _is_point(value: Sequence[Any]) -> bool:
    return len(value) == 2 and all(
        isinstance(v, str) and _COORDINATE.fullmatch(v) is not None for v in value
    )


def _inline(value: Any) -> str:
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, int):
        return str(value)
    if isinstance(value, str):
        return _text(value)
    if isinstance(value, list | tuple):
        return f"[{', '.join(_inline(v) for v in value)}]"
    if isinstance(value, Mapping) and not value:
        return "{}"
    msg = f"{type(value).__name__} has no place in a procedure file"
    raise TypeError(msg)


def _text(text: str) -> str:
    if text == "none":
        return text  # the word for an empty list; every reader takes it as text
    if _PLAIN.fullmatch(text) and text == text.rstrip() and not _RESERVED.match(text):
        return text
    quoted = json.dumps(text, ensure_ascii=False)
    return _ESCAPES.sub(lambda m: f"\\u{ord(m[0]):04x}", quoted)
