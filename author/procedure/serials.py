"""Whether a machine is one a procedure applies to, by its serial number and by its name."""

from __future__ import annotations

import re
from collections.abc import Sequence

from author.procedure.lists import Machine, SerialRange

_PARTS = re.compile(r"\d+|\D+")
_WORD = re.compile(r"\w{2,}")


def is_within(serial: str, ranges: Sequence[SerialRange]) -> bool | None:
    """Whether a serial number lies in one of some ranges; None where its form tells nothing.

    Numbers of the same form are compared part by part, digits as numbers: ``B9`` is before
    ``B10``. A number of another form than the limits of every range cannot be placed.

    Args:
        serial: as it is written on the machine.
        ranges: both limits included; without an end, all later ones.
    """
    own = _key(serial)
    known = False
    for one in ranges:
        first, last = _key(one.start), _key(one.end) if one.end else None
        if _form(first) != _form(own) or (last is not None and _form(last) != _form(own)):
            continue
        known = True
        if first <= own and (last is None or own <= last):
            return True
    return False if known else None


def ranges_said(ranges: Sequence[SerialRange]) -> str:
    """Return ranges of serial numbers in words: "100 to 140, 200 on"."""
    return ", ".join(f"{s.start} to {s.end}" if s.end else f"{s.start} on" for s in ranges)


def is_called(unit: str, machine: Machine) -> bool:
    """Whether the name of a unit has a word of what a machine is called, or of its number.

    Args:
        unit: what a unit is called, in words.
        machine: which one a procedure applies to.
    """
    named = f"{machine.name} {machine.number or ''}"
    return not _words(unit).isdisjoint(_words(named))


def _words(text: str) -> set[str]:
    return set(_WORD.findall(text.casefold()))


def _key(serial: str) -> tuple[tuple[int, str], ...]:
    parts = _PARTS.findall("".join(serial.split()).casefold())
    return tuple((int(part), "") if part.isascii() and part.isdigit() else (-1, part)
                 for part in parts)  # fmt: skip


def _form(key: Sequence[tuple[int, str]]) -> tuple[str | None, ...]:
    """Return the letters of a number, with None where digits stand."""
    return tuple(None if number >= 0 else letters for number, letters in key)
