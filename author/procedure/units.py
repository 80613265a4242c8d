"""Units a shop uses: an allow-list with exact factors, read from ``schema/units.yaml``."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from functools import cache

from author.resources import load_table

# Sixty digits of pi: far below any resolution a shop writes down.
PI = Fraction("3.14159265358979323846264338327950288419716939937510582097494")
# Keys that lie side by side on most keyboards.
_KEYS = ("qwertyuiop", "asdfghjkl", "zxcvbnm")
_FAR = 0.4
"""Slips a letter beyond which one spelling is not meant by another; chosen, no source."""


@dataclass(frozen=True, slots=True)
class Unit:
    """One unit.

    Attributes:
        symbol: how it is printed, e.g. ``N·m``.
        name: its name in words.
        quantity: the kind of quantity it measures, e.g. ``torque``. Torque and energy
            share a dimension but are different quantities here.
        si: symbol of the coherent SI unit of that quantity.
        factor: SI units in one of this unit, exact (but for pi in angles).
        offset: SI value of zero, exact; not zero only for temperatures.
        second: symbol of the unit shown beside this one, or None.
    """

    symbol: str
    name: str
    quantity: str
    si: str
    factor: Fraction
    offset: Fraction
    second: str | None

    def to_si(self, value: Decimal) -> Fraction:
        """Return the exact value in the coherent SI unit."""
        return Fraction(value) * self.factor + self.offset

    def from_si(self, value: Fraction) -> Fraction:
        """Return the exact value in this unit of a value in the SI unit."""
        return (value - self.offset) / self.factor


def _fraction(text: str) -> Fraction:
    top, _, bottom = text.partition("/")
    upper = PI if top == "pi" else Fraction(top)
    return upper / Fraction(bottom) if bottom else upper


@cache
def all_units() -> dict[str, Unit]:
    """Return every unit by its printed symbol."""
    table = load_table("units.yaml")
    return {
        symbol: Unit(
            symbol=symbol,
            name=entry["name"],
            quantity=entry["quantity"],
            si=table["quantities"][entry["quantity"]],
            factor=_fraction(entry["factor"]),
            offset=_fraction(entry.get("offset", "0")),
            second=entry["second"],
        )
        for symbol, entry in table["units"].items()
    }


@cache
def all_quantities() -> dict[str, str]:
    """Return the SI unit symbol of every kind of quantity."""
    return dict(load_table("units.yaml")["quantities"])


@cache
def all_spellings() -> dict[str, str]:
    """Return the symbol of the unit behind every spelling that is understood."""
    table = load_table("units.yaml")["units"]
    found = {symbol: symbol for symbol in table}
    for symbol, entry in table.items():
        for spelling in entry["spellings"]:
            found.setdefault(spelling, symbol)
    return found


@cache
def spoken_spellings() -> dict[str, str]:
    """Return the symbols by what is read in any case, with spaces for hyphens.

    These are spellings in small letters of three letters or more. Shorter ones are left
    out: there the case tells units apart, as in mm and Mm.
    """
    spoken = ((key, symbol) for key, symbol in all_spellings().items() if key == key.lower())
    return {_folded(key): symbol for key, symbol in spoken if sum(map(str.isalpha, key)) > 2}


def _folded(spelling: str) -> str:
    return " ".join(spelling.casefold().replace("-", " ").split())


def find_unit(spelling: str) -> Unit | None:
    """Return the unit a person means by ``spelling``, or None if it is not on the list.

    Args:
        spelling: a symbol (``N·m``), another spelling (``Nm``) or the words as they are
            spoken, in any case and with or without hyphens (``Foot-pounds``).
    """
    symbol = all_spellings().get(" ".join(spelling.split()))
    symbol = symbol or spoken_spellings().get(_folded(spelling))
    return None if symbol is None else all_units()[symbol]


def near_units(spelling: str, quantity: str | None = None) -> tuple[str, ...]:
    """Return the symbols of the units whose spellings are as near to a wrong one as any.

    A key beside the one that was meant, and a letter in the wrong case, are half a slip each:
    ``nm`` is as near to mm as to Nm.

    Args:
        spelling: what was typed.
        quantity: the kind of quantity that is asked for; units of another count only where
            none of it is near. None if it is not known.

    Returns:
        Symbols in the order of the table, the likelier first; none if nothing is near.
    """
    typed = " ".join(spelling.split())
    found: dict[str, float] = {}
    for known, symbol in all_spellings().items():
        most = _FAR * max(len(known), len(typed))
        if abs(len(known) - len(typed)) <= most and (slips := _slips(typed, known)) <= most:
            found[symbol] = min(slips, found.get(symbol, slips))
    wanted = {one: slips for one, slips in found.items() if all_units()[one].quantity == quantity}
    near = wanted or found
    return tuple(one for one in all_units() if one in near and near[one] == min(near.values()))


def _slips(typed: str, meant: str) -> float:
    """Return how many slips lie between two spellings: letters left out, put in or changed."""
    row = [float(at) for at in range(len(meant) + 1)]
    for one in typed:
        before, row = row, [row[0] + 1]
        for at, other in enumerate(meant):
            changed = before[at] + _slip(one, other)
            row.append(min(changed, before[at + 1] + 1, row[at] + 1))
    return row[-1]


def _slip(typed: str, meant: str) -> float:
    if typed == meant:
        return 0
    one, other = typed.lower(), meant.lower()
    beside = any(one + other in row or other + one in row for row in _KEYS)
    return 0.5 if one == other or beside else 1
