"""ISO 286: the limits of holes and shafts, and the fit of a pair.

Sizes over 0 to 500 mm, grades 4 to 13, shafts c to u and holes C to U with js and JS. The
tables are data, ``schema/fits.yaml``; the packages that know some of this are test oracles
only (isofits has wrong values and installs modules named ``data`` and ``test``, pressfit
knows no hole but H).
"""

from __future__ import annotations

import bisect
import re
from dataclasses import dataclass
from decimal import Decimal
from functools import cache
from typing import Any, Literal

from author.procedure.quantities import Limits
from author.procedure.units import all_units
from author.resources import load_table

_ZONE = re.compile(r"(?P<letter>[A-Z]|JS|[a-z]|js)(?P<grade>1?\d)", re.ASCII)
_SIZE = r"[Øø⌀]?\s*(?P<size>\d{1,3}(?:\.\d{1,6})?)(?:\s*mm)?\s*"
_HOLE_OR_SHAFT = re.compile(rf"{_SIZE}(?P<zone>[A-Za-z]{{1,2}}1?\d)", re.ASCII)
_FIT = re.compile(
    rf"{_SIZE}(?P<hole>[A-Z]{{1,2}}1?\d)\s*[/-]\s*(?P<shaft>[a-z]{{1,2}}1?\d)", re.ASCII
)
_MOST_MM = 500
# Holes up to these grades are moved by Δ, so that H7/p6 and P7/h6 fit alike.
_DELTA_TO_GRADE = {"K": 8, "M": 8, "N": 8, "P": 7, "R": 7, "S": 7, "T": 7, "U": 7}
# The table's own exception: M6 over 250 to 315 mm.
_M6_LOWER, _M6_UPPER, _M6_ES = 250, 315, -9


@dataclass(frozen=True, slots=True)
class Zone:
    """How far a size may deviate.

    Attributes:
        size: nominal size in mm.
        name: e.g. ``N7``, or what else the deviations come from.
        lower: lower deviation (EI or ei) in µm.
        upper: upper deviation (ES or es) in µm.
    """

    size: Decimal
    name: str
    lower: Decimal
    upper: Decimal

    def limits(self) -> Limits:
        """Return the limits in mm, with the nominal size."""
        low, high = (self.size + value.scaleb(-3) for value in (self.lower, self.upper))
        return Limits(low, self.size, high, all_units()["mm"])


@dataclass(frozen=True, slots=True)
class Fit:
    """How much room a shaft has in a hole; negative where it is pressed in.

    Attributes:
        hole: the hole.
        shaft: the shaft.
        least: smallest clearance in µm.
        greatest: greatest clearance in µm.
        kind: ``clearance``, ``transition`` or ``interference``.
    """

    hole: Zone
    shaft: Zone
    least: Decimal
    greatest: Decimal
    kind: Literal["clearance", "transition", "interference"]


@cache
def _tables() -> dict[str, Any]:
    return load_table("fits.yaml")


def limits_of(size: Decimal, name: str) -> Zone:
    """Return how far a hole or shaft may deviate from its nominal size.

    Args:
        size: nominal size in mm, over 0 to 500.
        name: letter and grade, capitals for a hole: ``N7``, ``k6``.

    Returns:
        Deviations in µm; those of js and JS are half the tolerance, not rounded.

    Raises:
        ValueError: if the size or the zone is not in the tables, with what is.

    Source: ISO 286-1 and ISO 286-2, from the tables of ``schema/fits.yaml``. Holes to H
    mirror the shafts. Of other holes ES = −ei + Δ with Δ = ITn − IT(n−1), over 3 mm and to
    grade 8 (K, M, N) or 7 (P to U); of coarser ones ES = −ei, and 0 for N.
    """
    found = _ZONE.fullmatch(name)
    if found is None:
        msg = f"{name[:20]!r} is no zone of ISO 286: write it like H7 or k6"
        raise ValueError(msg)
    if not 0 < size <= _MOST_MM:
        msg = f"{size:f} mm is outside the tables: they hold sizes over 0 to {_MOST_MM} mm"
        raise ValueError(msg)
    letter, grade = found["letter"], int(found["grade"])
    width = _value("grades", grade, size)
    if width is not None:
        of = _hole if letter.isupper() else _shaft
        ends = of(letter, grade, size, width)
        if ends is not None:
            return Zone(size, name, *ends)
    msg = f"{name} at {size:f} mm is not in the tables: take the limits from ISO 286-2 itself"
    raise ValueError(msg)


def read_zone(text: str) -> Zone:
    """Return the deviations of a size as a drawing gives it.

    Args:
        text: size and zone, e.g. ``40 N7``, ``40N7``, ``ø17 k6``; the size in mm.

    Raises:
        ValueError: if it is not written so, or not in the tables.
    """
    found = _HOLE_OR_SHAFT.fullmatch(text.strip())
    if found is None:
        msg = f"{text[:40]!r} is no size with a zone: write it like 40 N7"
        raise ValueError(msg)
    return limits_of(Decimal(found["size"]), found["zone"])


def read_fit(text: str) -> Fit:
    """Return the fit of a hole and a shaft of one size as a drawing gives it.

    Args:
        text: size, hole and shaft, e.g. ``25 H7/g6``; the size in mm.

    Raises:
        ValueError: if it is not written so, or not in the tables.
    """
    found = _FIT.fullmatch(text.strip())
    if found is None:
        msg = f"{text[:40]!r} is no fit: write it like 25 H7/g6"
        raise ValueError(msg)
    size = Decimal(found["size"])
    return fit(limits_of(size, found["hole"]), limits_of(size, found["shaft"]))


def fit(hole: Zone, shaft: Zone) -> Fit:
    """Return how much room a shaft has in a hole.

    Args:
        hole: its deviations; a bearing's bore counts as one.
        shaft: its deviations; a bearing's outer ring counts as one.

    Returns:
        Clearance in µm: EI − es at least, ES − ei at most; below zero it is interference.

    Raises:
        ValueError: if the nominal sizes differ.

    Source: ISO 286-1.
    """
    if hole.size != shaft.size:
        msg = f"a {hole.size:f} mm hole and a {shaft.size:f} mm shaft make no fit"
        raise ValueError(msg)
    least, greatest = hole.lower - shaft.upper, hole.upper - shaft.lower
    kind: Literal["clearance", "transition", "interference"] = "transition"
    if least >= 0:
        kind = "clearance"
    elif greatest <= 0:
        kind = "interference"
    return Fit(hole, shaft, least, greatest, kind)


def _shaft(
    letter: str, grade: int, size: Decimal, width: Decimal
) -> tuple[Decimal, Decimal] | None:
    """Return lower and upper deviation of a shaft, or None if it is not in the tables."""
    if letter == "js":
        return -width / 2, width / 2
    above = _value("clearance", letter, size)
    if above is not None:
        return -above - width, -above
    below = _value("transition_shafts", grade, size) if letter == "j" else None
    if below is not None:
        return -below, width - below
    lower = _value("interference", letter, size)
    if lower is None:
        return None
    if letter == "k" and grade > 7:
        lower = Decimal(0)
    return lower, lower + width


def _hole(letter: str, grade: int, size: Decimal, width: Decimal) -> tuple[Decimal, Decimal] | None:
    """Return lower and upper deviation of a hole, or None if it is not in the tables."""
    if letter == "JS":
        return -width / 2, width / 2
    lower = _value("clearance", letter.lower(), size)
    if lower is not None:
        return lower, lower + width
    if letter == "J":
        upper = _value("transition_holes", grade, size)
    else:
        upper = _upper_of_tight_hole(letter, grade, size, width)
    return None if upper is None else (upper - width, upper)


def _upper_of_tight_hole(letter: str, grade: int, size: Decimal, width: Decimal) -> Decimal | None:
    """Return ES of a hole K to U."""
    deviation = _value("interference", letter.lower(), size)
    if deviation is None:
        return None
    if grade > _DELTA_TO_GRADE[letter]:
        if letter == "K":
            return None
        return Decimal(0) if letter == "N" and size > 3 else -deviation
    if size <= 3:
        return -deviation
    if letter == "M" and grade == 6 and _M6_LOWER < size <= _M6_UPPER:
        return Decimal(_M6_ES)
    finer = _value("grades", grade - 1, size)
    return None if finer is None else width - finer - deviation


def _value(table: str, key: str | int, size: Decimal) -> Decimal | None:
    """Return the value of a row for a size, or None if there is no such row or value."""
    row = _tables()[table].get(key)
    if row is None:
        return None
    bands = _tables()["bands"]
    edges = bands["coarse"] if len(row) == len(bands["coarse"]) else bands["fine"]
    value = row[bisect.bisect_left(edges, size)]
    return None if value is None else Decimal(value)
