"""Two values side by side that stand for what lies between: "two, three turns"."""

from __future__ import annotations

import re
from decimal import Decimal

from author.proposals.quantities.amounts.amount import Amount, between
from author.proposals.quantities.amounts.ranges import spans
from author.proposals.quantities.amounts.sized_parts import OF_FINE, names_size
from author.proposals.quantities.amounts.tolerances import EITHER
from author.proposals.quantities.amounts.units import kind_of
from author.proposals.quantities.amounts.vocabulary import GO_ON, NAMES_BEFORE
from author.proposals.quantities.numbers.tokens import PAUSE, Token

_APART = frozenset({"", ",", "and", ", and", ", then", "then"})
_STAGED = frozenset({"stages", "steps", "goes", "passes"})
_IN_TURN = frozenset({"first", "then", "finally"})
_NOT_OF_TWO = NAMES_BEFORE | {"not", "no", "never", "than", "by", "x"}
_LEADS = frozenset({"to", "about", "around", "roughly", "like", "maybe", "say", "perhaps",
                    "probably", "somewhere", "near"})  # fmt: skip
_LOOSELY = re.compile(r",? ?(?:something (?:like|around)|somewhere (?:there|around)|thereabouts"
                      r"|or so\b|or something|that sort of|around there)")  # fmt: skip
# What is counted in hundreds is guessed by twenties: "two hundred, two hundred and twenty".
_LARGE, _OF_LARGE = 100, 8
_BY_TWOS = 8


def side_by_side(tokens: list[Token], amounts: list[Amount]) -> list[Amount]:
    """Return the amounts with "eighty, ninety degrees" and "six, seven seconds" as ranges.

    A row of three and more is one of readings or of stages, and is left as it is.
    """
    kept: list[Amount] = []
    for place, amount in enumerate(amounts):
        before = kept[-1] if kept else None
        if before is not None and before is amounts[place - 1]:
            ahead = amounts[place - 2] if place > 1 else None
            behind = amounts[place + 1] if place + 1 < len(amounts) else None
            alone = not _in_row(tokens, ahead, before) and not _in_row(tokens, amount, behind)
            if alone and _is_pair(tokens, before, amount) and spans(before, amount, choice=True):
                continue
        kept.append(amount)
    return kept


def _in_row(tokens: list[Token], one: Amount | None, other: Amount | None) -> bool:
    """Whether two amounts stand in one row: nothing but a comma or "and" between them."""
    if one is None or other is None or not (one.is_plain() and other.is_plain()):
        return False
    kin = one.unit is None or other.unit is None or one.unit == other.unit
    return kin and between(tokens, one.last, other.first) in _APART


def _is_pair(tokens: list[Token], one: Amount, other: Amount) -> bool:
    """Whether two values can be the ends of one guess."""
    plain = one.is_plain() and other.is_plain() and "spelled" not in {one.form, other.form}
    words = between(tokens, one.last, other.first)
    paused = words == "," and tokens[one.last].text == PAUSE  # "twenty, er, twenty five"
    if not plain or paused or words not in {"", ","} or not _are_near(one, other):
        return False
    before = tokens[one.first - 1].low if one.first else ""
    after = tokens[other.last].low if other.last < len(tokens) else ""
    ahead = between(tokens, max(0, one.first - 5), one.first)
    behind = between(tokens, other.last, min(other.last + 4, len(tokens)))
    if one.unit is None and other.unit in OF_FINE and EITHER.match(behind):
        return not names_size(tokens, one)  # "the size is ten, twenty microns either way"
    turns = _IN_TURN & {*ahead.split()}
    # "Then nip it, ten, twelve newton metres" is done once; "then ten, twenty" is not
    if turns == {"then"} and "then" not in ahead.split()[-2:]:
        turns = frozenset()
    if before in _NOT_OF_TWO or turns or _STAGED & {*behind.split()}:
        return False
    shared = kind_of(other.unit) == "ratio"  # "seventy, seventy-five percent touching"
    if other.single and tokens[other.last - 1].kind == "word" and after.isalpha() and not shared:
        return after in GO_ON  # "five, six millimetre bolts"
    ends = not after or not after.isalpha()
    if other.unit is None:
        half = one.form == "whole" and other.form == "mixed"
        led = one.unit is not None or before in _LEADS or half or _LOOSELY.match(behind)
        return (words == "," or (half and one.unit is not None)) and bool(led) and ends
    return words == "," or one.unit is None


def _are_near(one: Amount, other: Amount) -> bool:
    """Whether one value is the next above another, as people count: by ones, fives, halves."""
    low, high = one.nominal or Decimal(0), other.nominal or Decimal(0)
    if one.unit is not None and other.unit not in {None, one.unit}:
        return False
    if one.form == "whole" and other.form == "mixed":
        return high - low == Decimal("0.5")
    if one.form == "mixed" and other.form == "whole" and other.unit is not None:
        return one.unit is None and high - low == Decimal("0.5")
    if not one.form == other.form == "whole" or "paired" in one.flags | other.flags:
        return False
    if low < 10 and high % 100 == 0 and high // 100 == low + 1:
        return one.unit is None  # "three, four hundred"
    step = high - low
    if low >= _LARGE and low % 10 == high % 10 == 0 and 0 < step * _OF_LARGE <= low:
        return other.unit is not None
    tens = low % 5 == high % 5 == 0 and step in {Decimal(5), Decimal(10)} and low > 5
    twos = low >= _BY_TWOS and low % 2 == 0 and step == 2  # "ten, twelve newton metres"
    sized = kind_of(other.unit) in {None, "length"}
    return 0 < low < high and (tens or step == 1 or (twos and not sized))
