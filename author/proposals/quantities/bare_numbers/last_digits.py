"""Digits left out of values in a row: "17.002, zero zero four, and zero zero one"."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal

from author.checks.verbs import words
from author.procedure.number_words import ONES
from author.proposals.quantities.amounts.behind_numbers import plain_unit_at
from author.proposals.quantities.amounts.context import Scene
from author.proposals.quantities.amounts.units import MIL, kind_of
from author.proposals.quantities.numbers.parts import OH, ZEROS, below_hundred, low_at, part_at
from author.proposals.quantities.numbers.tokens import Token
from author.proposals.quantities.numbers.words import number_at

_LEAST, _CLOSE = 2, Decimal("0.01")
# A number as large as the value itself is told whole: "49.96, and 50 when it was new".
_AS_LARGE = Decimal("1.5")
_MOST_BETWEEN, _SPELLED = 9, 3
# What may stand between two readings of the same thing: words of a list and places.
_BETWEEN = words(
    """
    , ; and then the a at in on by of is that this these it my last next first second third one
    other another each end ends side middle centre center top bottom back front left right near far
    inner outer inside outside inboard outboard upper lower inlet exhaust shoulder face edge corner
    drive here there again below above up down round along across way over now also finally
    journal land bore ring seat
    """
) | {",", ";", "…", "is"}
_ENDS = frozenset({"", ",", ".", ";", "?", "!", "…", "and", "then", "at", "in", "on", "near",
                   "here", "there", "again", "below", "above", "so", "which", "but"})  # fmt: skip
_ZEROS = frozenset({*ZEROS, *OH})


@dataclass(frozen=True, slots=True)
class _Value:
    """A value told to two decimals or more, and the index after it."""

    value: Decimal
    places: int
    last: int


def put_first_digits(
    tokens: list[Token], earlier: list[Scene]
) -> tuple[list[Token], frozenset[int]]:
    """Return the tokens of a sentence with the digits put in that its speaker did not say again.

    Bare digits right behind a value take the place of its last ones, where only words of a list
    and places stand between, and where what comes out lies close to it.

    Args:
        tokens: of the sentence.
        earlier: the sentences before, the nearest last.

    Returns:
        The tokens, each value that got its first digits as one token of digits, and where in
        the sentence those begin.
    """
    told = _told_last(earlier)
    out: list[Token] = []
    kept = at = 0
    begins: set[int] = set()
    while at < len(tokens):
        found = _digits_at(tokens, at) if told else None
        value = told and found and _joined(tokens, told, at, *found)
        if told and found and value:
            first, last = tokens[at], tokens[found[1] - 1]
            said = str(value)
            out += tokens[kept:at]
            out.append(Token(said, said, "digits", first.begin, last.end, first.glued))
            begins.add(first.begin)
            kept = at = found[1]
            told = _Value(value, told.places, at)
            continue
        number = number_at(tokens, at)
        if number is None or number.last <= at:
            at += 1
            continue
        at = number.last
        if number.form == "decimal" and number.value is not None:
            told = _value(number.value, at)
    return (out + tokens[kept:], frozenset(begins)) if begins else (tokens, frozenset())


def _value(value: Decimal, last: int) -> _Value | None:
    exponent = value.as_tuple().exponent
    fine = isinstance(exponent, int) and -exponent >= _LEAST and value > 1
    return _Value(value, -int(exponent), last) if fine else None


def _told_last(earlier: list[Scene]) -> _Value | None:
    """Return the value that ends the sentence before: "5.214 at the front. Two one one behind"."""
    amounts = earlier[-1].amounts if earlier else []
    one = amounts[-1] if amounts else None
    fits = one is not None and one.form == "decimal" and one.nominal is not None
    if one is None or not fits or one.nominal is None or kind_of(one.unit) not in {None, "length"}:
        return None
    return _value(one.nominal, 0)


def _digits_at(tokens: list[Token], at: int) -> tuple[str, int] | None:
    """Return digits said alone, at the least two, and the index after them."""
    token = tokens[at]
    if token.glued and at and tokens[at - 1].kind != "sign":
        return None
    if token.kind == "digits":
        fits = token.low.isdigit() and len(token.low) >= _LEAST
        return (token.low, at + 1) if fits else None
    spelled = "".join(_spelled(tokens, at))
    if len(spelled) >= (_LEAST if token.low in _ZEROS else _SPELLED):
        return spelled, at + len(spelled)
    found = below_hundred(tokens, at)
    return (str(found[0]), found[1]) if found and found[0] > 9 else None


def _spelled(tokens: list[Token], at: int) -> Iterator[str]:
    while (low := low_at(tokens, at)) in ONES or low in _ZEROS:
        yield str(ONES.get(low, 0))
        at += 1


def _joined(tokens: list[Token], told: _Value, at: int, digits: str, last: int) -> Decimal | None:
    """Return a value with its last digits replaced, or None where that is not what is meant."""
    behind = low_at(tokens, last)
    unit = plain_unit_at(tokens, last) if last < len(tokens) else None
    ends = behind in _ENDS or (unit is not None and _is_length(unit.symbol))
    if not ends or part_at(tokens, last) or low_at(tokens, last + 1) == "half":
        return None
    between = [token.low.removesuffix("'s") for token in tokens[told.last : at]]
    signs = any(token.low in {",", "."} for token in tokens)
    parted = between or not told.last or (not signs and tokens[at].kind == "digits")
    if not parted or len(between) > _MOST_BETWEEN or len(digits) > told.places:
        return None
    own = plain_unit_at(tokens, told.last) if told.last else None
    if own is not None:
        if not _is_length(own.symbol):
            return None
        between = between[own.last - told.last :]
    if not all(word in _BETWEEN for word in between):
        return None
    step = Decimal(10) ** len(digits)
    scaled = told.value.scaleb(told.places)
    value = (scaled - scaled % step + int(digits)).scaleb(-told.places)
    if abs(value - told.value) > _CLOSE * told.value:
        return None
    plain = Decimal(int(digits))
    as_large = told.value / _AS_LARGE <= plain <= told.value * _AS_LARGE
    return None if as_large else value


def _is_length(unit: str) -> bool:
    return unit == MIL or kind_of(unit) == "length"
