"""A spoken number as it would stand in a procedure."""

from __future__ import annotations

from decimal import Decimal

from author.proposals.quantities.reading import SpokenQuantity


def quantity_text(said: SpokenQuantity, characteristic: str | None) -> str:
    """Return what was said as one phrase, such as ``depth from the hub face: 4.45 to 4.6 mm``.

    Args:
        said: the number.
        characteristic: what it is of, in full.
    """
    name = " ".join(
        part for part in (characteristic, f"from the {said.datum}" if said.datum else None) if part
    )
    number = numbers_text(said)
    where = f", {said.positions}" if said.positions else ""
    return f"{name}: {number}{where}" if name else f"{number}{where}"


def numbers_text(said: SpokenQuantity) -> str:
    """Return the numbers alone, with unit and role in words."""
    if said.designation and said.role in {"thread", "size"}:
        return said.designation
    unit = f" {said.unit}" if said.unit else " (no unit said)"
    if said.role == "size":
        return " × ".join(f"{n:f}" for n in said.numbers) + unit
    text = limits_text(said.lower, said.nominal, said.upper)
    words = {"about": "about ", "measured": "measured here: ", "tolerance": "within ±"}
    return f"{words.get(said.role, '')}{text}{unit}"


def limits_text(lower: Decimal | None, nominal: Decimal | None, upper: Decimal | None) -> str:
    """Return limits in words: ``4.45 to 4.6, aim 4.5``, ``at most 0.15``, ``40``.

    Args:
        lower: lower limit, None where there is none.
        nominal: what is aimed at, likewise.
        upper: upper limit, likewise.
    """
    if lower is not None and upper is not None:
        text = f"{lower:f} to {upper:f}"
    elif upper is not None:
        text = f"at most {upper:f}"
    elif lower is not None:
        text = f"at least {lower:f}"
    else:
        return "" if nominal is None else f"{nominal:f}"
    return text if nominal is None else f"{text}, aim {nominal:f}"


def in_words(quantity: str | None) -> str:
    """Return what a kind of quantity is called where nothing says what it is a value of.

    Args:
        quantity: a key of ``schema/units.yaml``, such as ``rotational_speed``.
    """
    if not quantity:
        return "value"
    if quantity.startswith("hardness_"):
        return "hardness"
    return {"rotational_speed": "speed", "volume_flow": "flow", "mass": "weight"}.get(
        quantity, quantity
    ).replace("_", " ")
