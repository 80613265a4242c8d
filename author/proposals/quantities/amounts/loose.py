"""Amounts said without a number of their own: "a volt or two", "a couple of litres"."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction

from author.proposals.quantities.amounts.amount import Amount
from author.proposals.quantities.amounts.behind_numbers import plain_unit_at, thousandths
from author.proposals.quantities.amounts.units import REVS, UnitSaid, kind_of
from author.proposals.quantities.amounts.vocabulary import GO_ON
from author.proposals.quantities.numbers.parts import BELOW_HUNDRED, half_after, low_at
from author.proposals.quantities.numbers.tokens import Token
from author.proposals.quantities.numbers.words import number_at

_AGAIN = frozenset({"check", "again", "recheck", "look", "retorque", "retighten", "change",
                    "inspect", "tighten", "torque", "grease"})  # fmt: skip
_DAYS = {"day": 1, "days": 1, "week": 7, "weeks": 7, "fortnight": 14}
_SIZES = {"hundred": 100, "thousand": 1000}
_BEGINS = frozenset({"a", "an", "first", "count", "counting", *BELOW_HUNDRED, "couple"})
_LASTING = frozenset({"after", "for", "over", "during", "within"})


def loosely_said(tokens: list[Token], at: int) -> Amount | None:
    """Return the amount that begins at a token and is said in words other than numbers."""
    if tokens[at].kind == "word" and tokens[at].low not in _BEGINS:
        return None
    if same := _and_a_half(tokens, at):
        return same
    told = _or_two(tokens, at) or _couple(tokens, at) or _first(tokens, at) or _days(tokens, at)
    return told or _counted_out(tokens, at)


def _or_two(tokens: list[Token], at: int) -> Amount | None:
    """Read "an inch or two" as one to two of it."""
    unit = _unit(tokens, at + 1) if low_at(tokens, at) in {"a", "an"} else None
    if unit is None or low_at(tokens, unit.last) != "or" or low_at(tokens, unit.last + 1) != "two":
        return None
    if plain_unit_at(tokens, unit.last + 2) or low_at(tokens, unit.last + 2) in BELOW_HUNDRED:
        return None
    amount = Amount(at, unit.last + 2, lower=Decimal(1), upper=Decimal(2), unit=unit.symbol)
    amount.form = "range"
    amount.flags |= {"article", "or two", "implied"}
    return amount


def _and_a_half(tokens: list[Token], at: int) -> Amount | None:
    """Read "a mil, a mil and a half" as one to one and a half of it."""
    unit = _unit(tokens, at + 1) if low_at(tokens, at) in {"a", "an"} else None
    if unit is None or low_at(tokens, unit.last) != ",":
        return None
    article = low_at(tokens, unit.last + 1) in {"a", "an"}
    again = _unit(tokens, unit.last + 1 + article)
    half = half_after(tokens, again.last) if again and again.symbol == unit.symbol else None
    if half is None or half[0] != Fraction(1, 2) or unit.symbol == "thou":
        return None
    amount = Amount(at, half[1], lower=Decimal(1), upper=Decimal("1.5"), unit=unit.symbol)
    amount.form = "range"
    amount.flags |= {"article", "implied"}
    return amount


def _couple(tokens: list[Token], at: int) -> Amount | None:
    """Read "a couple of litres" and "a couple of litre" as about two of it."""
    begin = at + (low_at(tokens, at) == "a")
    if low_at(tokens, begin) != "couple" or (begin == at and low_at(tokens, at - 1) == "a"):
        return None
    begin += 1 + (low_at(tokens, begin + 1) == "of")
    if low_at(tokens, at) != "a" and low_at(tokens, begin) not in _SIZES:
        return None  # "every couple hundred mil"
    size = _SIZES.get(low_at(tokens, begin), 1)  # "a couple of hundred grams"
    unit = _unit(tokens, begin + (size > 1))
    if unit is None or unit.symbol in _NO_COUPLE or _by_hand(tokens, unit):
        return None
    amount = Amount(at, unit.last, Decimal(2 * size), unit=unit.symbol)
    amount.flags.add("about")
    return amount


# "After a couple of hours", "a couple of seconds": of such nobody wants two.
_NO_COUPLE = frozenset({"s", "h", "d", REVS})


def _by_hand(tokens: list[Token], unit: UnitSaid) -> bool:
    """Whether something is only spun round: "give it a couple of turns by hand"."""
    behind = low_at(tokens, unit.last), low_at(tokens, unit.last + 1)
    return kind_of(unit.symbol) == "turns" and behind == ("by", "hand")


def _first(tokens: list[Token], at: int) -> Amount | None:
    """Read "after the first hour" as one of it."""
    lasting = low_at(tokens, at - 1) == "the" and low_at(tokens, at - 2) in _LASTING
    if low_at(tokens, at) != "first" or not lasting:
        return None
    unit = plain_unit_at(tokens, at + 1)
    if unit is None or unit.symbol not in {"h", "min"} or not unit.single:
        return None
    return Amount(at, unit.last, Decimal(1), unit=unit.symbol)


def _days(tokens: list[Token], at: int) -> Amount | None:
    """Read "check it again after a week" as days: when to come back, not how long it took."""
    many = BELOW_HUNDRED.get(low_at(tokens, at), 1 if low_at(tokens, at) == "a" else 0)
    if tokens[at].kind == "digits" and low_at(tokens, at).isdecimal():
        many = int(low_at(tokens, at))
    days = _DAYS.get(low_at(tokens, at + 1))
    if not many or days is None or low_at(tokens, at - 1) != "after":
        return None
    if low_at(tokens, at + 2) == "of" or not any(token.low in _AGAIN for token in tokens):
        return None
    return Amount(at, at + 2, Decimal(many * days), unit="d")


def _counted_out(tokens: list[Token], at: int) -> Amount | None:
    """Read "count to thirty" and "count ten, then let go" as seconds."""
    if low_at(tokens, at) not in {"count", "counting"} or at + 1 >= len(tokens):
        return None
    begin = at + 1
    while low_at(tokens, begin) in {"to", "slowly", "of", "a", "slow", "up"}:
        begin += 1
    most = _MOST_COUNTED if begin > at + 1 else _MOST_ALONE
    number = number_at(tokens, begin) if begin < len(tokens) else None
    if number is None or number.form != "whole" or not 0 < (number.value or 0) <= most:
        return None
    after = low_at(tokens, number.last)
    if after.isalpha() and after not in GO_ON | {"while"}:
        return None  # "count ten teeth"
    if number.value == 1 and low_at(tokens, number.last + (after == ",")) in {"two", "2"}:
        return None  # "count one, two": turns or threads
    amount = Amount(at, number.last, number.value, unit="s")
    amount.flags.add("settled")
    amount.why.append("counting is taken for seconds")
    return amount


_MOST_COUNTED, _MOST_ALONE = 120, 10


def _unit(tokens: list[Token], at: int) -> UnitSaid | None:
    found = thousandths(tokens, at) or plain_unit_at(tokens, at)
    return None if found is not None and found.rate else found
