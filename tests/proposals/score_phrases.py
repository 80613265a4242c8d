"""Reads the phrases and scores what is read out of them."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import Any

from author.proposals.quantities.reading import SpokenQuantity, quantities_in
from proposals.lists import read_list
from proposals.said import told

PHRASES = Path(__file__).with_name("phrases.yaml")
Key = tuple[object, ...]


def phrases(*, held: bool | None = None) -> list[dict[str, Any]]:
    """Return the phrases, or only those held back or not held back."""
    every = read_list(PHRASES)["phrases"]
    return [one for one in every if held is None or bool(one.get("held")) is held]


def texts_of(phrase: dict[str, Any]) -> list[str]:
    """Return the sentences of a phrase."""
    say = phrase["say"]
    return [say] if isinstance(say, str) else say


def wanted(phrase: dict[str, Any]) -> list[Key]:
    """Return what is to be read out of a phrase: role, numbers and unit of each."""
    return [_wanted(entry) for entry in phrase["want"]]


def marks_wanted(phrase: dict[str, Any]) -> list[set[str]]:
    """Return for each quantity whether its unit is carried and a value corrected."""
    return [{"carried", "corrected"} & set(entry.split()) for entry in phrase["want"]]


def found(sentences: Sequence[SpokenQuantity]) -> list[Key]:
    """Return the same of what was read."""
    return [_found(one) for one in sentences]


def read(phrase: dict[str, Any]) -> tuple[SpokenQuantity, ...]:
    """Return what is read out of a phrase; it is read once in a run."""
    return _read(*texts_of(phrase))


@cache
def _read(*texts: str) -> tuple[SpokenQuantity, ...]:
    return quantities_in(told(*texts))


_UNITS = {"-": None, "ShoreA": "Shore A", "USqt": "US qt", "USgal": "US gal", "USfloz": "US fl oz",
          "USgal/min": "US gal/min", "USpt": "US pt", "impgal/min": "imp gal/min",
          "impgal": "imp gal", "imppt": "imp pt", "shortton": "short ton",
          "USgal/h": "US gal/h", "impgal/h": "imp gal/h"}  # fmt: skip


def _wanted(entry: str) -> Key:
    role, _, rest = entry.partition(" ")
    if role == "thread":
        return role, rest
    words = rest.split()
    unit = _UNITS.get(words[1], words[1])
    if role == "size":
        return role, tuple(Decimal(part) for part in words[0].split("×")), unit
    parts = [None if part in {"", "?"} else Decimal(part) for part in words[0].split("..")]
    if len(parts) == 1:
        return role, None, parts[0], None, unit
    if len(parts) == 2:
        return role, parts[0], None, parts[1], unit
    return role, parts[0], parts[1], parts[2], unit


def _found(one: SpokenQuantity) -> Key:
    if one.role == "thread":
        return one.role, one.designation
    if one.role == "size":
        return one.role, one.numbers, one.unit
    return one.role, one.lower, one.nominal, one.upper, one.unit


def score(chosen: list[dict[str, Any]]) -> tuple[int, int, int]:
    """Return how many quantities were read rightly, read at all, and are to be read."""
    right = read_out = due = 0
    for phrase in chosen:
        want, have = wanted(phrase), found(read(phrase))
        read_out, due = read_out + len(have), due + len(want)
        for key in have:
            if key in want:
                want.remove(key)
                right += 1
    return right, read_out, due
