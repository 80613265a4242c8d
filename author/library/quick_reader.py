"""Reads procedure files of the form the program writes, several times faster.

Only lines that can mean one thing are taken: block style, one value to a line, text plain or
double quoted. At anything else this gives up, and the contract's own reader has the word; it
also tells every fault.
"""

from __future__ import annotations

import re
from functools import lru_cache
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from author.contract.procedure_file import parse_procedure
from author.memory import collector_at_rest
from author.procedure.document import SCHEMA_NAME, Procedure

_MOST_BYTES = 250_000
_MOST_DEPTH = 30
# Whatever the reader of the contract refuses or could take for something else than text.
_UNUSUAL = re.compile("[\x00-\x09\x0b-\x1f\x7f-\x9f\u2028\u2029\ufeff\ufffe\uffff]| \n")
_KEY = re.compile(r"([a-z][a-z0-9_]*):(?: ([^ ].*))?")
_COLONS = re.compile(r"(?:[^:#]|:(?=[^ ])|(?<! )#)*")
_QUOTED = re.compile(r'(?:[^"\\]|\\["\\])*')
_ESCAPED = re.compile(r'\\(["\\])')
_PLACE = re.compile(r'\["([0-9.]+)", "([0-9.]+)"\]')
_WORDS: dict[str, bool | None] = {
    **dict.fromkeys(("true", "True", "TRUE"), True),
    **dict.fromkeys(("false", "False", "FALSE"), False),
    **dict.fromkeys(("null", "Null", "NULL"), None),
}


class _UnusualError(Exception):
    """The text is not of the form that is read here."""


def read_document(data: bytes, file: Path) -> Procedure:
    """Return the procedure in the bytes of a file, as the contract's reader has it.

    Raises:
        InputError: if it is wrong; ``FileErrors`` tells several faults at once.
    """
    try:
        return _quick(data)
    except (_UnusualError, ValidationError):
        return parse_procedure(data, file).procedure


@lru_cache(maxsize=32)
def _quick(data: bytes) -> Procedure:
    # A page reads the same file three times: for its head, to show it, and to hold it against its
    # signatures; as many are asked for at once as there are threads that answer.
    value = quick_value(data)
    with collector_at_rest():
        return Procedure.model_validate(value)


def quick_value(data: bytes) -> dict[str, Any]:
    """Return the plain values of a YAML text of the form the program writes.

    Raises:
        _UnusualError: if it is of any other form, right or wrong.
    """
    try:
        text = data.decode() if len(data) <= _MOST_BYTES else ""
    except UnicodeDecodeError:
        raise _UnusualError from None
    if not text.endswith("\n") or _UNUSUAL.search(text):
        raise _UnusualError
    value = _lines(text)
    if value.get("schema") != SCHEMA_NAME:
        raise _UnusualError
    return value


def _lines(text: str) -> dict[str, Any]:
    root: dict[str, Any] = {}
    stack: list[tuple[int, Any]] = [(0, root)]
    waiting: tuple[Any, str, int] | None = None  # block, key and column of a value to come
    for line in text.split("\n"):
        rest = line.lstrip(" ")
        if not rest or rest[0] == "#":
            continue
        column = len(line) - len(rest)
        if waiting is not None:
            _open(stack, waiting, column, rest)
        else:
            while stack[-1][0] > column:
                stack.pop()
            if stack[-1][0] != column:
                raise _UnusualError
        waiting = _entry(stack, column, rest)
    if waiting is not None:
        raise _UnusualError
    return root


def _open(
    stack: list[tuple[int, Any]], waiting: tuple[Any, str, int], column: int, rest: str
) -> None:
    block, key, outer = waiting
    if column <= outer or len(stack) >= _MOST_DEPTH:
        raise _UnusualError
    block[key] = [] if rest.startswith("- ") else {}
    stack.append((column, block[key]))


def _entry(stack: list[tuple[int, Any]], column: int, rest: str) -> tuple[Any, str, int] | None:
    """Take one line into the block it belongs to; return what waits for lines to come."""
    block = stack[-1][1]
    if type(block) is list:
        if rest[:2] != "- ":
            raise _UnusualError
        rest, column = rest[2:], column + 2
        if not _KEY.fullmatch(rest):
            block.append(_value(rest))
            return None
        entry: dict[str, Any] = {}
        block.append(entry)
        stack.append((column, entry))
        block = entry
    found = _KEY.fullmatch(rest)
    if found is None or found[1] in block:
        raise _UnusualError
    if found[2] is None:
        block[found[1]] = None
        return block, found[1], column
    block[found[1]] = _value(found[2])
    return None


def _value(text: str) -> Any:
    first = text[0]
    if first.isalpha():
        if (":" in text or "#" in text) and (text[-1] == ":" or not _COLONS.fullmatch(text)):
            raise _UnusualError
        known = _WORDS.get(text, text)
        if known is None:
            raise _UnusualError
        return known
    if first == '"':
        inner = text[1:-1]
        if len(text) < 2 or text[-1] != '"' or not _QUOTED.fullmatch(inner):
            raise _UnusualError
        return _ESCAPED.sub(r"\1", inner) if "\\" in inner else inner
    if text.isascii() and text.isdecimal() and len(text) < 19:
        return int(text)
    place = _PLACE.fullmatch(text)
    if place is None:
        raise _UnusualError
    return [place[1], place[2]]
