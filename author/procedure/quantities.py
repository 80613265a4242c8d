"""Decimal values that keep their digits, and limits shown in a second unit.

A converted limit must never widen the tolerance: the lower limit is rounded up, the
upper limit down (ASME Y14.5M-1994 by way of ANSI/IEEE 268, "original limits may not be
violated"; ISO 80000-1:2009 annex B, rounding in one direction for limits).
"""

from __future__ import annotations

import re
import unicodedata
from dataclasses import dataclass
from decimal import ROUND_CEILING, ROUND_FLOOR, ROUND_HALF_EVEN, Decimal, localcontext
from fractions import Fraction

from author.procedure.units import Unit, all_units

NUMBER_PATTERN = r"^-?(0|[1-9][0-9]{0,11})(\.[0-9]{1,12})?$"
# More than zero: some digit that is not 0.
AMOUNT_PATTERN = r"^(0\.0{0,11}[1-9][0-9]{0,11}|[1-9][0-9]{0,11}(\.[0-9]{1,12})?)$"
_NUMBER = re.compile(NUMBER_PATTERN)
_AMBIGUOUS = re.compile(r"-?(0|[1-9][0-9]{0,2}),[0-9]{3}")

_LOOKS_LIKE = {
    **dict.fromkeys("\u2010\u2011\u2012\u2013\u2212\uff0d", "-"),
    "\uff0e": ".",
    **dict.fromkeys("\u00a0\u200b\u200e\u200f\u202f\u2060\ufeff", ""),
}

# A converted tolerance keeps at least this share of the original.
_KEPT_SHARE = Fraction(9, 10)
_MOST_DECIMALS = 12
_CLOSE_UNITS = {"°"}


def read_number(text: str) -> Decimal:
    """Return the value a person wrote, with its digits.

    Args:
        text: digits with a decimal point, e.g. ``9.80``.

    Returns:
        A decimal whose exponent is that of the text: 4.50 stays 4.50.

    Raises:
        ValueError: if it is no plain decimal number, with a remedy in its text. A comma
            is never guessed at: ``1,250`` may be a thousand or one and a quarter.
    """
    if _NUMBER.fullmatch(text):
        return Decimal(text)
    shown = repr(text[:40])
    if _AMBIGUOUS.fullmatch(text):
        both = f"{text.replace(',', '')} or {text.replace(',', '.')}"
        msg = f"the comma in {shown} could mean {both}: write the one meant"
    elif "," in text:
        msg = f"{shown} has a comma: write it with a decimal point and no grouping"
    elif (plain := _in_plain_signs(text[:40])) is not None:
        msg = f"{shown} is not a plain decimal number, for it has signs that only look so: {plain}"
    else:
        msg = f"{shown} is not a plain decimal number such as 9.80"
    raise ValueError(msg)


def _in_plain_signs(text: str) -> str | None:
    """Return a number in the signs it was meant in; None if it would be none, or is as it was.

    From other programs come the minus of print, digits of full width or of other scripts, and
    spaces that are not seen.
    """
    signs = "".join(_LOOKS_LIKE.get(sign, sign) for sign in text)
    plain = "".join(str(unicodedata.decimal(sign, sign)) for sign in signs)
    return plain if plain != text and _NUMBER.fullmatch(plain) else None


def decimals_of(value: Decimal) -> int:
    """Return how many digits stand after the decimal point."""
    exponent = value.as_tuple().exponent
    return max(0, -exponent) if isinstance(exponent, int) else 0


def round_fraction(value: Fraction, decimals: int, rounding: str = ROUND_HALF_EVEN) -> Decimal:
    """Return an exact fraction as a decimal with a number of digits after the point.

    Args:
        value: the exact value.
        decimals: digits after the decimal point, 0 or more.
        rounding: a rounding mode of ``decimal``; ceiling and floor are exact.

    Raises:
        ValueError: if the rounding mode is none that is known here.
    """
    scaled = value * 10**decimals
    whole = scaled.numerator // scaled.denominator
    rest = scaled - whole
    if rounding == ROUND_CEILING:
        whole += rest > 0
    elif rounding == ROUND_HALF_EVEN:
        half = Fraction(1, 2)
        whole += rest > half or (rest == half and whole % 2 == 1)
    elif rounding != ROUND_FLOOR:
        msg = f"rounding mode {rounding} is not used here"
        raise ValueError(msg)
    with localcontext() as context:
        context.prec = 60
        return Decimal(whole).scaleb(-decimals)


@dataclass(frozen=True, slots=True)
class Limits:
    """The numbers of one requirement, all in one unit. Any may be absent."""

    lower: Decimal | None
    nominal: Decimal | None
    upper: Decimal | None
    unit: Unit

    def values(self) -> tuple[Decimal, ...]:
        """Return the numbers that are present, lower to upper."""
        return tuple(v for v in (self.lower, self.nominal, self.upper) if v is not None)

    def tolerance(self) -> Decimal | None:
        """Return the upper limit less the lower, below 0 where they are crossed.

        None where there is one limit or none.
        """
        if self.lower is None or self.upper is None:
            return None
        return self.upper - self.lower


def convert(limits: Limits, unit: Unit) -> Limits:
    """Return the limits in another unit, rounded so the tolerance never widens.

    With both limits, the fewest decimals are taken that keep at least nine tenths of
    the tolerance. With one limit or a reference value, as many as state the resolution
    of the digits written.

    Args:
        limits: what the document says.
        unit: a unit of the same quantity.

    Raises:
        ValueError: if the quantity differs, or the two limits are equal or crossed, so
            that rounding inward would turn them over (the collapse case).
    """
    if unit.quantity != limits.unit.quantity:
        msg = f"{limits.unit.symbol} and {unit.symbol} measure different quantities"
        raise ValueError(msg)
    exact = [
        None if v is None else unit.from_si(limits.unit.to_si(v))
        for v in (limits.lower, limits.nominal, limits.upper)
    ]
    lower, nominal, upper = exact
    if lower is not None and upper is not None:
        decimals = _decimals_for_tolerance(lower, upper)
    else:
        decimals = _decimals_for_resolution(limits, unit)
    low = None if lower is None else round_fraction(lower, decimals, ROUND_CEILING)
    high = None if upper is None else round_fraction(upper, decimals, ROUND_FLOOR)
    middle = None if nominal is None else round_fraction(nominal, decimals)
    if middle is not None and nominal is not None:
        # A nominal at a limit must not be rounded past it.
        if low is not None and lower is not None and nominal >= lower:
            middle = max(low, middle)
        if high is not None and upper is not None and nominal <= upper:
            middle = min(high, middle)
    return Limits(low, middle, high, unit)


def second_unit(limits: Limits) -> Limits | None:
    """Return the limits in the unit shown beside, or None if there is none for it."""
    symbol = limits.unit.second
    return None if symbol is None else convert(limits, all_units()[symbol])


def _decimals_for_tolerance(lower: Fraction, upper: Fraction) -> int:
    tolerance = upper - lower
    if tolerance <= 0:
        msg = "the limits leave no tolerance, so a second unit cannot be shown"
        raise ValueError(msg)
    for decimals in range(_MOST_DECIMALS + 1):
        kept = Fraction(round_fraction(upper, decimals, ROUND_FLOOR)) - Fraction(
            round_fraction(lower, decimals, ROUND_CEILING)
        )
        if kept >= tolerance * _KEPT_SHARE:
            return decimals
    msg = "the tolerance is too small to be shown in a second unit"
    raise ValueError(msg)


def _decimals_for_resolution(limits: Limits, unit: Unit) -> int:
    resolution = max((decimals_of(v) for v in limits.values()), default=0)
    step = Fraction(1, 10**resolution) * limits.unit.factor / unit.factor
    decimals = 0
    while Fraction(1, 10**decimals) > step and decimals < _MOST_DECIMALS:
        decimals += 1
    return decimals


def digits(value: Decimal | None) -> str | None:
    """Return a number with its digits as written, for programs; None for none."""
    return None if value is None else format(value, "f")


def number_text(value: Decimal) -> str:
    """Return a number with its digits as written and a true minus sign."""
    return format(value, "f").replace("-", "−")


def with_unit(text: str, unit: Unit) -> str:
    """Return a text of digits with the unit behind it."""
    return f"{text}{unit.symbol}" if unit.symbol in _CLOSE_UNITS else f"{text} {unit.symbol}"


def range_text(limits: Limits) -> str:
    """Return what is accepted: a range, one limit, or the nominal where there is no limit."""
    lower, upper = limits.lower, limits.upper
    if lower is not None and upper is not None:
        if lower == upper:
            return f"exactly {with_unit(number_text(lower), limits.unit)}"
        return with_unit(f"{number_text(lower)} to {number_text(upper)}", limits.unit)
    if upper is not None:
        return f"max {with_unit(number_text(upper), limits.unit)}"
    if lower is not None:
        return f"min {with_unit(number_text(lower), limits.unit)}"
    if limits.nominal is not None:
        return with_unit(number_text(limits.nominal), limits.unit)
    return "no number given"
