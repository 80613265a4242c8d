"""Limits, torque passes and ranges as a person reads them."""

from __future__ import annotations

from decimal import ROUND_CEILING, ROUND_FLOOR, ROUND_HALF_EVEN, Decimal
from fractions import Fraction

from author.procedure.quantities import (
    Limits,
    decimals_of,
    number_text,
    range_text,
    round_fraction,
    second_unit,
    with_unit,
)
from author.procedure.units import all_units

__all__ = [
    "in_second_unit",
    "nominal_text",
    "number_text",
    "pass_texts",
    "range_text",
    "scale_text",
    "second_text",
    "value_text",
    "with_unit",
]

_NO_BREAK = "\u00a0"
_SIGNIFICANT = 2


def nominal_text(limits: Limits) -> str | None:
    """Return the nominal that stands beside a range, in both units, or None if there is none."""
    if limits.nominal is None or (limits.lower is None and limits.upper is None):
        return None
    text = f"nominal {with_unit(number_text(limits.nominal), limits.unit)}"
    second = in_second_unit(limits)
    if second is None or second.nominal is None:
        return text
    return f"{text} ({with_unit(number_text(second.nominal), second.unit)})"


def in_second_unit(limits: Limits) -> Limits | None:
    """Return the limits in the second unit, or None where none can be shown honestly."""
    try:
        return second_unit(limits)
    except ValueError:
        return None


def second_text(limits: Limits) -> str | None:
    """Return what is accepted in the second unit, in brackets, or None."""
    second = in_second_unit(limits)
    return None if second is None or not second.values() else f"({range_text(second)})"


def pass_texts(percent: int, limits: Limits) -> tuple[str, str | None]:
    """Return the absolute torque of one round of tightening, and in the second unit.

    The value is the share of the nominal, or of the limits where there is no nominal, with
    their decimals and at least two significant digits; 100 per cent is as written. Of limits
    the share stands behind: "10 to 12 N·m (50 %)".

    Args:
        percent: share of the nominal, 1 to 100.
        limits: limits of the torque.
    """
    if limits.nominal is None:
        part = _share_of_limits(percent, limits)
        return f"{range_text(part)} ({percent}{_NO_BREAK}%)", second_text(part)
    only = Limits(None, _share(percent, limits.nominal), None, limits.unit)
    return range_text(only), second_text(only)


def _share_of_limits(percent: int, limits: Limits) -> Limits:
    """Return a share of both limits, never wider, with as many decimals as keep them apart."""
    lower, upper = limits.lower, limits.upper
    if lower is not None and lower == upper:
        both = _share(percent, lower)
        return Limits(both, None, both, limits.unit)
    for more in range(_SIGNIFICANT + 1):
        low = None if lower is None else _share(percent, lower, ROUND_CEILING, more)
        high = None if upper is None else _share(percent, upper, ROUND_FLOOR, more)
        if low is None or high is None or low < high:
            break
    return Limits(low, None, high, limits.unit)


def _share(percent: int, value: Decimal, way: str = ROUND_HALF_EVEN, more: int = 0) -> Decimal:
    if percent == 100:
        return value
    exact = Fraction(value) * percent / 100
    return round_fraction(exact, max(decimals_of(value), _decimals(exact)) + more, way)


def _decimals(value: Fraction) -> int:
    """Return the decimals that give a positive value two significant digits."""
    decimals = 0
    while value and abs(value) * 10**decimals < 10 ** (_SIGNIFICANT - 1) and decimals < 6:
        decimals += 1
    return decimals


def scale_text(
    unit_symbol: str | None,
    start: Decimal | None,
    end: Decimal | None,
) -> str | None:
    """Return the range of an instrument, or None if none is given."""
    if unit_symbol is None or (start is None and end is None):
        return None
    return range_text(Limits(start, None, end, all_units()[unit_symbol]))


def value_text(unit_symbol: str | None, value: Decimal | None) -> str | None:
    """Return one value of an instrument with its unit, or None."""
    if unit_symbol is None or value is None:
        return None
    return with_unit(number_text(value), all_units()[unit_symbol]).replace(" ", _NO_BREAK)
