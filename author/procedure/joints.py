"""Threaded joints: torque and preload, proof load, and what an adapter does to a wrench."""

from __future__ import annotations

import math
import re
from decimal import Decimal
from fractions import Fraction
from functools import cache
from typing import Any

from author.procedure.threads import Thread, proof_strength
from author.resources import load_table

Exact = Decimal | Fraction | int

# An angle's cosine is kept to this many decimals, where a double still is right.
_COSINE_DECIMALS = 14
_MM_IN_M = 1000
_DENIED = re.compile(
    r"\b(?:no trace of|no|not|non|never|without|free of|free from) (?:\w+ly )?(?P<after>\w+)"
    r"|\b(?P<before>\w+) free\b(?! of| from)"
)
# Threads without these are dry.
_WET = {"oil", "oiled", "oily", "grease", "greased", "lubricant", "lubricated"}


@cache
def _tables() -> dict[str, Any]:
    return load_table("threads.yaml")


def preload_from_torque(torque: Exact, diameter: Exact, nut_factor: Exact) -> Fraction:
    """Return the preload that a torque gives a screw, in N.

    Args:
        torque: T in N·m.
        diameter: nominal diameter d of the thread in mm.
        nut_factor: K, a bare number; more than zero.

    Raises:
        ValueError: if the diameter or the nut factor is not more than zero.

    Source: F = T/(K·d) (Shigley on preload).
    """
    return Fraction(torque) / _lever(diameter, nut_factor)


def proof_load(thread: Thread, property_class: str) -> Fraction:
    """Return the load a screw bears without lasting stretch, in N.

    Args:
        thread: as ``read_thread`` gives it.
        property_class: as ``proof_strength`` reads it.

    Raises:
        ValueError: if the class is not known for that thread.

    Source: ISO 898-1 and SAE J429, stress area times stress under proof load. The tables
    of ISO 898-1 are rounded and differ by up to 0.7 %.
    """
    return Fraction(thread.stress_area) * Fraction(proof_strength(thread, property_class).proof)


def utilisation(torque: Exact, thread: Thread, property_class: str, nut_factor: Exact) -> Fraction:
    """Return the share of its proof load that a torque puts on a screw; 1 is all of it.

    Args:
        torque: the upper limit of the torque, in N·m.
        thread: as ``read_thread`` gives it.
        property_class: as ``proof_strength`` reads it.
        nut_factor: K, a bare number; more than zero.

    Raises:
        ValueError: if the class is not known for that thread, or the nut factor is not
            more than zero.

    Source: T/(K·d) over As·Sp, as above.
    """
    load = preload_from_torque(torque, thread.diameter, nut_factor)
    return load / proof_load(thread, property_class)


def nut_factor_for(condition: str) -> Decimal | None:
    """Return the nut factor K published for a condition of the threads, or None.

    Args:
        condition: what the document says, e.g. ``dry``, ``lightly oiled``, ``zinc
            plated``. Words are found in any case. What is denied does not count, and
            threads without oil are dry. Where several words are found the smallest K
            stands: it gives the most preload.

    Returns:
        None where no word is known, or one whose K nobody published (threadlocker).

    Dry threads of unknown plating are taken for zinc: more preload than bare steel gets.

    Source: Shigley, table 8-15; wax from the martin-sprocket torque table.
    """
    text = " ".join(condition.casefold().replace("-", " ").split())
    said = _DENIED.sub(_without, text)
    if any(re.search(rf"\b{word}\b", said) for word in _tables()["nut_factor_unknown"]):
        return None
    rows = [row for row in _tables()["nut_factors"] if _names(row, said)]
    dry = _tables()["nut_factor_dry"]
    if not rows and _names(dry, said):
        rows = [dry]
    return min((Decimal(row["factor"]) for row in rows), default=None)


def _names(row: dict[str, Any], said: str) -> bool:
    return any(re.search(rf"\b{word}\b", said) for word in row["words"])


def _without(denied: re.Match[str]) -> str:
    what = denied["after"] or denied["before"]
    if what == "plated":
        return " unplated "
    return " dry " if what in _WET else " "


def wrench_setting(torque: Exact, length: Exact, extension: Exact, angle: Exact = 0) -> Fraction:
    """Return what to set a torque wrench to that works through an adapter.

    Args:
        torque: the torque wanted at the fastener, in any unit.
        length: L, from the middle of the grip to the square drive; more than zero.
        extension: E, from the square drive to the fastener, in the unit of L; negative
            where the adapter comes back towards the hand.
        angle: α between adapter and wrench in degrees; 0 is in line, and at 90 the
            setting is the torque itself.

    Returns:
        Torque in the same unit. Exact but for the cosine of an angle, which is kept to 14
        decimals.

    Raises:
        ValueError: if L, or L + E cos α, is not more than zero: no such wrench turns.

    Source: T·L/(L + E) (TM 9-2350-261-20-1, p. 2-29); E cos α at an angle (TM 9-254).
    """
    return Fraction(torque) / _lengthening(length, extension, angle)


def _lever(diameter: Exact, nut_factor: Exact) -> Fraction:
    """Return K·d in metres."""
    if diameter <= 0 or nut_factor <= 0:
        msg = "the diameter and the nut factor have to be more than zero"
        raise ValueError(msg)
    return Fraction(nut_factor) * Fraction(diameter) / _MM_IN_M


def _lengthening(length: Exact, extension: Exact, angle: Exact) -> Fraction:
    """Return (L + E cos α)/L."""
    if length <= 0:
        msg = "the length of the wrench has to be more than zero"
        raise ValueError(msg)
    cosine = round(Fraction(math.cos(math.radians(float(angle)))), _COSINE_DECIMALS)
    whole = Fraction(length) + Fraction(extension) * cosine
    if whole <= 0:
        msg = "the adapter reaches back past the hand: such a wrench does not turn"
        raise ValueError(msg)
    return whole / Fraction(length)
