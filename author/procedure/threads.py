"""Screw threads as shops write them, and what screws with them carry.

The tables are data: ``schema/threads.yaml``, with their sources.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from functools import cache
from typing import Any, Literal

from author.procedure.quantities import round_fraction
from author.procedure.units import PI, all_units
from author.resources import load_table

_METRIC = re.compile(
    r"M\s*(?P<diameter>\d{1,3}(?:\.\d{1,3})?)"
    r"(?:\s*[x×*-]\s*(?P<pitch>\d{1,2}(?:\.\d{1,3})?))?"
    r"(?:\s*-?\s*\d[egh](?:\d[egh])?)?(?:\s*-?\s*LH)?",
    re.IGNORECASE | re.ASCII,
)
_UNIFIED = re.compile(
    r"(?:(?:\#|no\.?)\s*(?P<number>\d{1,2})"
    r"|(?P<size>(?:\d[\s-])?\d{1,2}/(?:2|4|8|16|32|64)|\d{0,2}\.\d{1,4}|\d{1,2}))"
    r"\s*(?:\"|″|in)?\s*-\s*(?P<pitch>\d{1,2}(?:\.5)?)"
    r"(?:\s*-?\s*(?P<series>UNR?[CF]|UNEF|UNS|UN))?"
    r"(?:\s*-?\s*[123][AB])?(?:\s*-?\s*LH)?",
    re.IGNORECASE | re.ASCII,
)
_ISO_CLASS = re.compile(r"(?:iso 898-1 )?(?:property )?(?:class )?(\d{1,2}\.\d)")
_NUT_CLASS = re.compile(r"(?:iso 898-2 )?(?:nut )?(?:property )?(?:class )?(\d{1,2})")
_SAE_GRADE = re.compile(r"(?:sae )?(?:j429 )?(?:grade |gr\.? ?)?(\d)")
_KNOWN = "write it like M16 × 1.5, M8, 1/4-20 UNC or #10-32, without a length"
_AREA_DECIMALS = 4


@dataclass(frozen=True, slots=True)
class Thread:
    """One screw thread.

    Attributes:
        designation: how it is printed, e.g. ``M16 × 1.5`` or ``1/4-20 UNC``.
        system: ``metric`` (ISO 261) or ``unified`` (ASME B1.1).
        diameter: nominal diameter in mm, exact.
        pitch: in mm, exact; 25.4 mm over the threads per inch has no end as a decimal.
        stress_area: tensile stress area in mm², to four decimals.
    """

    designation: str
    system: Literal["metric", "unified"]
    diameter: Decimal
    pitch: Fraction
    stress_area: Decimal


@dataclass(frozen=True, slots=True)
class Strength:
    """Stress a screw bears without lasting stretch.

    Attributes:
        proof: stress under proof load in N/mm², to four decimals.
        basis: what it was read from, e.g. ``ISO 898-1, class 8.8``. Where the class of a
            nut was given, it says so: the screw is then taken to be as strong as the
            nut allows.
    """

    proof: Decimal
    basis: str


@cache
def _tables() -> dict[str, Any]:
    return load_table("threads.yaml")


def read_thread(text: str) -> Thread:
    """Return the thread a shop means.

    Args:
        text: ``M16 x 1.5``, ``M10-1.5``, ``M8`` (coarse pitch), ``1/4-20 UNC``,
            ``1/2-13``, ``10-32``, ``#10-32``, each with a tolerance class (``-6g``,
            `` 2A``) or ``LH`` behind it if need be. ``10-32`` and ``8-32`` are numbered
            sizes, ``1-8`` is one inch.

    Returns:
        Diameter and pitch exact; stress area by the formula of the system.

    Raises:
        ValueError: if it is no thread known here, or its parts contradict each other
            (1/4-20 UNF, a pitch no screw of that diameter has), with a remedy.
    """
    plain = " ".join(text.split())
    shown = repr(plain[:40])
    if found := _METRIC.fullmatch(plain):
        return _metric(Decimal(found["diameter"]), found["pitch"], shown)
    if found := _UNIFIED.fullmatch(plain):
        return _unified(found, shown)
    msg = f"{shown} is no thread known here: {_KNOWN}"
    raise ValueError(msg)


def stress_area_metric(diameter: Decimal, pitch: Fraction) -> Fraction:
    """Return the tensile stress area of a metric thread in mm².

    Args:
        diameter: nominal diameter d in mm.
        pitch: P in mm.

    Source: ISO 898-1, As = π/4 (d − 0.9382 P)².
    """
    return PI / 4 * (Fraction(diameter) - Fraction("0.9382") * pitch) ** 2


def stress_area_unified(diameter: Fraction, threads_per_inch: Fraction) -> Fraction:
    """Return the tensile stress area of a unified thread in square inches.

    Args:
        diameter: nominal diameter D in inches.
        threads_per_inch: n.

    Source: ASME B1.1, At = 0.7854 (D − 0.9743/n)².
    """
    return Fraction("0.7854") * (diameter - Fraction("0.9743") / threads_per_inch) ** 2


def proof_strength(thread: Thread, property_class: str) -> Strength:
    """Return the stress under proof load of a screw with a thread and a class.

    Args:
        thread: its diameter decides where a class has two values.
        property_class: with a metric thread a class of ISO 898-1 (``8.8``) or of a nut
            (``8``), with a unified one a grade of SAE J429 (``5``, ``Grade 8``).

    Returns:
        N/mm². The class of a nut names the strongest screw it may be joined with (ISO
        898-2, from memory): ``8`` is read as screws of 8.8, ``10`` as 10.9, and the basis
        says so. A screw of a lower class bears less.

    Raises:
        ValueError: if the class is not known for that thread, or does not reach that
            diameter, with a remedy.
    """
    said = " ".join(property_class.casefold().split())
    if thread.system == "unified":
        grade = _SAE_GRADE.fullmatch(said)
        psi = _at_size(_tables()["sae_j429"].get(grade[1]) if grade else None, _inches(thread))
        if grade and psi is not None and _inches(thread) >= Fraction(1, 4):
            pascals = all_units()["psi"].to_si(psi)
            proof = round_fraction(pascals / all_units()["MPa"].factor, _AREA_DECIMALS)
            return Strength(proof, f"SAE J429, grade {grade[1]}")
        known = f"grade {', '.join(_tables()['sae_j429'])} of SAE J429, 1/4 to 1 1/2 in"
        raise _unknown_class(property_class, thread, known)
    screw, basis = said, ""
    if nut := _NUT_CLASS.fullmatch(said):
        screw = _tables()["nut_classes"].get(nut[1], "")
        basis = f", named by nut class {nut[1]}"
    found = _ISO_CLASS.fullmatch(screw)
    stress = _at_size(_tables()["iso_898_1"].get(found[1]) if found else None, thread.diameter)
    if found is None or stress is None:
        known = f"class {', '.join(_tables()['iso_898_1'])} of ISO 898-1, to M39"
        raise _unknown_class(property_class, thread, known)
    return Strength(stress, f"ISO 898-1, class {found[1]}{basis}")


def _at_size(by_size: dict[str, str] | None, size: Decimal | Fraction) -> Decimal | None:
    """Return the value of the first size that is not smaller, or None past the last."""
    for upper, value in (by_size or {}).items():
        if size <= Fraction(upper):
            return Decimal(value)
    return None


def _unknown_class(property_class: str, thread: Thread, known: str) -> ValueError:
    shown = repr(property_class[:40])
    return ValueError(f"{shown} is no strength known for {thread.designation}: give {known}")


def _inches(thread: Thread) -> Fraction:
    return Fraction(thread.diameter) / Fraction("25.4")


def _metric(diameter: Decimal, said: str | None, shown: str) -> Thread:
    coarse = {Decimal(key): value for key, value in _tables()["metric_coarse_pitch"].items()}
    pitch = said or coarse.get(diameter)
    if pitch is None:
        msg = f"{shown} has no coarse pitch in ISO 262: give the pitch, as in M17 × 1"
        raise ValueError(msg)
    # No screw has a pitch coarser than the coarse one: what follows is then its length.
    sizes = [size for size in coarse if size <= diameter]
    if not sizes or not 0 < Decimal(pitch) <= Decimal(coarse[max(sizes)]):
        msg = f"{shown} has a pitch that no such thread has: {_KNOWN}"
        raise ValueError(msg)
    exact = Fraction(pitch)
    is_coarse = coarse.get(diameter) is not None and Decimal(coarse[diameter]) == Decimal(pitch)
    name = f"M{diameter.normalize():f}"
    return Thread(
        designation=name if is_coarse else f"{name} × {Decimal(pitch).normalize():f}",
        system="metric",
        diameter=diameter,
        pitch=exact,
        stress_area=round_fraction(stress_area_metric(diameter, exact), _AREA_DECIMALS),
    )


def _unified(found: re.Match[str], shown: str) -> Thread:
    size, threads = _unified_size(found), Fraction(found["pitch"])
    tables = {"UNC": _tables()["unified_coarse"], "UNF": _tables()["unified_fine"]}
    fits = [name for name, table in tables.items() if table.get(size) == found["pitch"]]
    said = (found["series"] or "").upper()
    series = said.replace("UNR", "UN")
    if series in tables and fits != [series]:
        msg = f"{shown} contradicts itself: {size} {series} has {_threads(tables[series], size)}"
        raise ValueError(msg)
    if not series and not fits:
        msg = f"{shown} is neither UNC nor UNF: if it is meant, add UNS"
        raise ValueError(msg)
    diameter = _size_in_inches(size)
    if size.startswith("#") and not any(size in table for table in tables.values()):
        msg = f"{shown} has no such numbered size: they go from #0 to #12"
        raise ValueError(msg)
    if not 0 < Fraction("0.9743") / threads < diameter / 2:
        msg = f"{shown} has a pitch that no such thread has: {_KNOWN}"
        raise ValueError(msg)
    area = stress_area_unified(diameter, threads) * Fraction("25.4") ** 2
    return Thread(
        designation=f"{size}-{found['pitch']} {said or fits[0]}",
        system="unified",
        diameter=round_fraction(diameter * Fraction("25.4"), 8).normalize(),
        pitch=Fraction("25.4") / threads,
        stress_area=round_fraction(area, _AREA_DECIMALS),
    )


def _threads(table: dict[str, str], size: str) -> str:
    return f"{table[size]} threads an inch" if size in table else "no such size"


def _unified_size(found: re.Match[str]) -> str:
    """Return the size as the tables name it: ``#10``, ``1/4``, ``1 1/8``, or as written."""
    if found["number"]:
        return f"#{int(found['number'])}"
    size: str = found["size"].replace("-", " ")
    tables: list[dict[str, str]] = [_tables()["unified_coarse"], _tables()["unified_fine"]]
    if any(table.get(f"#{size}") == found["pitch"] for table in tables):
        return f"#{size}"
    named = {_size_in_inches(name): name for table in tables for name in table}
    return named.get(_size_in_inches(size), size)


def _size_in_inches(size: str) -> Fraction:
    if size.startswith("#"):
        return Fraction("0.060") + Fraction("0.013") * int(size[1:])
    return sum((Fraction(part) for part in size.split()), Fraction(0))
