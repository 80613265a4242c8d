"""Units spelled almost like another: perhaps one machine under two names."""

from __future__ import annotations

from sqlalchemy import Connection, select

from author.library.index.words import SHORTEST_CORRECTED, edits_between, number_key, words_in
from author.library.records.tables import job_records

_LONG_WORD = 7


def near_units(connection: Connection, slug: str, name: str, serial: str | None) -> tuple[str, ...]:
    """Return the units of a library that are spelled almost like one of it, sorted.

    These have the same letters and digits, a typing slip in words of some length, or the same
    name where one of both has no serial number. Other digits make another unit.

    Args:
        connection: to the index.
        slug: name of the folder of the unit.
        name: its name.
        serial: its serial number.
    """
    own = job_records.c
    rows = connection.execute(
        select(own.unit, own.serial).where(own.latest, own.slug != slug).distinct()
    )
    return tuple(
        sorted(
            row.unit if row.serial is None else f"{row.unit}, {row.serial}"
            for row in rows
            if _is_near(name, serial, row.unit, row.serial)
        )
    )


def _is_near(name: str, serial: str | None, other: str, its: str | None) -> bool:
    if number_key(f"{name} {serial or ''}") == number_key(f"{other} {its or ''}"):
        return True
    if number_key(serial or "") != number_key(its or ""):
        return None in {serial, its} and number_key(name) == number_key(other)
    left, right = words_in(name), words_in(other)
    if len(left) != len(right):
        return False
    return all(one == two or _is_slip(one, two) for one, two in zip(left, right, strict=True))


def _is_slip(one: str, other: str) -> bool:
    if not (one.isalpha() and other.isalpha()):
        return False
    shorter = min(len(one), len(other))
    most = 1 if shorter < _LONG_WORD else 2
    return shorter >= SHORTEST_CORRECTED and edits_between(one, other, most) <= most
