"""Quantities told in two units, or in one and a bit: "two foot six", "one metre sixty"."""

from __future__ import annotations

import re
from decimal import Decimal
from fractions import Fraction

from author.proposals.quantities.amounts.amount import Amount, between
from author.proposals.quantities.amounts.units import MIL
from author.proposals.quantities.amounts.vocabulary import GO_ON
from author.proposals.quantities.numbers.parts import decimal_of
from author.proposals.quantities.numbers.tokens import Token

_INTO = {"ft": ("in", 12), "h": ("min", 60), "min": ("s", 60), "pound": ("ounce", 16)}


def compounds(tokens: list[Token], amounts: list[Amount]) -> list[Amount]:
    """Return the amounts with those that are told in two units, or in one and a bit, as one."""
    kept: list[Amount] = []
    for amount in amounts:
        before = kept[-1] if kept else None
        if before is not None and _adds_fine(tokens, before, amount):
            continue
        if before is not None and _adds_tenths(tokens, before, amount):
            continue
        if before is not None and _adds_places(tokens, before, amount):
            continue
        if before is None or not _joins(tokens, before, amount):
            kept.append(amount)
            continue
        small, size = _INTO[before.unit or ""]
        whole = (before.nominal or Decimal(0)) * size + (amount.nominal or Decimal(0))
        if amount.unit is None and before.unit == "ft":
            value, rounded = decimal_of(Fraction(whole) / size)
            before.nominal, before.unit = (whole, small) if rounded else (value, "ft")
        else:
            before.nominal, before.unit = whole, "lb" if small == "ounce" else small
            if small == "ounce":
                before.unit, before.nominal = "oz", whole
        before.last, before.form, before.single = amount.last, "mixed", False
        before.flags.discard("article")
    return kept


_FINE = {"thou": ("in", 3), "µm": ("mm", 3)}
_FINE_WORDS = re.compile(r",? ?and|plus")


def _adds_fine(tokens: list[Token], big: Amount, small: Amount) -> bool:
    """Read "an inch and three thou" and "fifteen and six microns" as one value."""
    unit, places = _FINE.get(small.unit or "", ("", 0))
    named = big.unit == unit or (unit == "mm" and big.unit in {None, MIL})
    if not unit or not named or not (big.is_plain() and small.is_plain()):
        return False
    if not _FINE_WORDS.fullmatch(between(tokens, big.last, small.first)):
        return False
    if big.nominal is None or small.nominal is None or small.nominal >= _MOST_FINE:
        return False
    # Without a unit the first must be the larger by far in what it would be: a size.
    if big.unit is None and (big.form != "whole" or big.nominal < _LEAST_SIZE):
        return False
    ahead = between(tokens, max(0, big.first - 4), big.first)
    after = between(tokens, small.last, min(small.last + 3, len(tokens)))
    parted = re.search(r"\b(?:between|both|either)\b", ahead)
    if parted or re.match(r",? ?(?:and )?minus\b", after):
        return False
    big.nominal += small.nominal.scaleb(-places)
    big.unit, big.last, big.form, big.single = unit, small.last, "decimal", False
    big.flags.discard("article")
    return True


_MOST_FINE, _LEAST_SIZE = 500, 10


def _adds_tenths(tokens: list[Token], big: Amount, small: Amount) -> bool:
    """Read "a thou and four tenths" as 1.4 thou: a machinist's tenth is one of a thou."""
    tenths = small.unit is None and small.bottom == _TENTHS and small.is_plain()
    if big.unit != "thou" or not tenths or not big.is_plain() or big.form == "decimal":
        return False
    if big.nominal is None or small.nominal is None or small.nominal >= 1:
        return False
    if not _FINE_WORDS.fullmatch(between(tokens, big.last, small.first)):
        return False
    big.nominal += small.nominal
    big.last, big.form, big.single = small.last, "decimal", False
    big.flags.discard("article")
    return True


_TENTHS = 10


# "one metre sixty", "a kilo two fifty", "two litre forty": what follows is of the next unit down.
_PLACES = {"m": 2, "kg": 3, "L": 3}
_SMALLER = {"m": {"cm": 2, "mm": 3}, "kg": {"g": 3}, "L": {"mL": 3}, "cm": {"mm": 1}}


def _adds_places(tokens: list[Token], big: Amount, small: Amount) -> bool:
    """Read "one metre sixty" as 1.60 m and "one metre twelve centimetres" as 1.12 m."""
    smaller = _SMALLER.get(big.unit or "")
    if smaller is None or not (big.is_plain() and small.is_plain()) or big.form != "whole":
        return False
    words = between(tokens, big.last, small.first)
    if small.unit is None:
        places = _PLACES.get(big.unit or "", 0)
        value = small.nominal or Decimal(0)
        oh = words in {"oh", "nought", "zero"} and places == 2 and value < 10
        tenths = places == _OF_KILOS and 0 < value < _TENTHS and _has_signs(tokens)
        places = 1 if tenths else places  # "three kilos eight"
        fits = Decimal(10) ** (places - 1) <= value < Decimal(10) ** places
        fits = oh or (words == "" and fits)
        if not (places and fits and small.form == "whole" and _ends_there(tokens, small)):
            return False
        if small.single or (tokens[big.last - 1].low.endswith("s") and not _has_signs(tokens)):
            return False  # "two metres twenty" is two numbers where nothing is ever parted
    else:
        places = smaller.get(small.unit, 0)
        few = small.nominal is not None and 0 < small.nominal < Decimal(10) ** places
        if not places or not few or small.form != "whole" or words not in {"", "and", ","}:
            return False
        if words == "," and tokens[big.last - 1].low.endswith("s"):
            return False
    big.nominal = (big.nominal or Decimal(0)) + (small.nominal or Decimal(0)).scaleb(-places)
    big.nominal = _without_end(big.nominal)
    big.last, big.form, big.single = small.last, "decimal", False
    big.flags.discard("article")
    return True


_OF_KILOS = 3


def _has_signs(tokens: list[Token]) -> bool:
    """Whether commas are written in a sentence: then two numbers would have one between them."""
    return any(token.low == "," for token in tokens)


def _ends_there(tokens: list[Token], small: Amount) -> bool:
    """Whether nothing stands behind a number that it could count."""
    after = tokens[small.last] if small.last < len(tokens) else None
    return after is None or after.kind == "sign" or after.low in GO_ON or after.low in _DIMENSIONS


_DIMENSIONS = frozenset({"long", "wide", "deep", "high", "tall", "thick", "apart", "of"})


def _without_end(value: Decimal) -> Decimal:
    """Return a value without the noughts at the end of its decimals."""
    return Decimal(format(value.normalize(), "f"))


def _joins(tokens: list[Token], big: Amount, small: Amount) -> bool:
    if big.unit not in _INTO or not (big.is_plain() and small.is_plain()):
        return False
    smaller, size = _INTO[big.unit]
    words = between(tokens, big.last, small.first)
    if small.nominal is None or not 0 < small.nominal < size:
        return False
    if small.unit is None:
        if big.unit in {"h", "min"}:  # "two minutes thirty", "an hour twenty"
            # "Two minutes four" is told of seconds; "an hour four" by nobody.
            least = 1 if big.unit == "min" and not big.single else _LEAST_SIZE
            whole = words == "" and small.form == "whole" and (small.nominal or 0) >= least
            return whole and big.form == "whole" and _ends_there(tokens, small)
        return big.unit == "ft" and words == "" and small.form in {"whole", "mixed"}
    return small.unit == smaller and words in {"", "and", ","}
