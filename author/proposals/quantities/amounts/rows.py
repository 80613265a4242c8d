"""Readings in a row: "I get twelve eleven twelve ten ohms", with pauses between or without."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from decimal import Decimal
from itertools import pairwise

from author.procedure.number_words import ONES
from author.proposals.quantities.amounts.amount import Amount, between
from author.proposals.quantities.amounts.behind_numbers import plain_unit_at
from author.proposals.quantities.amounts.units import VAGUE, kind_of
from author.proposals.quantities.numbers.parts import (
    BELOW_HUNDRED,
    NUMBER_NAMES,
    below_hundred,
    low_at,
)
from author.proposals.quantities.numbers.tokens import Read, Token

_FEWEST, _MOST_WORDS, _AHEAD, _TEN = 3, 24, 5, 10
# Readings of one thing lie near each other; small ones in whole units less so.
_ALIKE, _ALIKE_SMALL = Decimal("1.35"), 2
_READ = re.compile(
    r"\b(?:(?:i|we) (?:get|got|have|read|see|make it)|(?:i'm|we're) (?:getting|seeing|reading)"
    r"|(?:i've|we've)(?: got)?|reads?|reading|measures?|measured|gives?|gave|shows?|showed"
    r"|(?:came|comes|coming) (?:out|in|back|up)|readings?(?: are| were)?)"
    r"(?: (?:me|us|at|as|about))*(?: ?[,:])?$"
)
# What was measured in several places, or is to be there.
_NAMED = re.compile(
    r"\b(?:compression|voltage|pressure|resistance|clearance)s?(?: at| as| about)*(?: ?[,:])?$"
)
_BESIDE = frozenset({",", "and", ", and", ""})
_Row = tuple[tuple[int, Decimal], ...]
"""Where each number of a row begins, and its value."""
_Form = Callable[[list[Token], int], Iterator[tuple[Decimal, int]]]


def part_readings(tokens: list[Token]) -> list[Token]:
    """Return the tokens with a pause put between readings that were said without one.

    Three and more behind a word of reading are parted where they lie near each other; digits
    read out one by one only before a unit.

    Args:
        tokens: of the sentence.
    """
    breaks: set[int] = set()
    at = 0
    while at < len(tokens):
        last = at
        while last < len(tokens) and _is_number(tokens[last]):
            last += 1
        many = _FEWEST <= last - at <= _MOST_WORDS
        if many and _is_told(between(tokens, max(0, at - _AHEAD), at)):
            breaks |= _breaks(tokens, at, last)
        at = max(last, at + 1)
    if not breaks:
        return tokens
    parted: list[Token] = []
    for index, token in enumerate(tokens):
        if index in breaks:
            end = tokens[index - 1].end
            parted.append(Token(",", ",", "sign", end, end, glued=True))
        parted.append(token._replace(hyphen=False) if index in breaks else token)
    return Read(parted)


def take_rows(tokens: list[Token], amounts: list[Amount]) -> list[Amount]:
    """Return the amounts, those of a row of readings in the unit told behind the last.

    Args:
        tokens: of the sentence.
        amounts: found in it, in order; those of a row are flagged ``row``, and ``read``
            where a word of reading stands before them.
    """
    first = 0
    while first < len(amounts):
        last = first + 1
        while last < len(amounts) and _goes_on(tokens, amounts[last - 1], amounts[last]):
            last += 1
        row = amounts[first:last]
        begin = row[0].first
        ahead = between(tokens, max(0, begin - _AHEAD), begin)
        if (
            len(row) >= _FEWEST
            and _is_told(ahead)
            and _near([one.nominal or Decimal(0) for one in row])
        ):
            unit = row[-1].unit
            for one in row:
                one.flags |= {"row", "read"} if _READ.search(ahead) else {"row"}
                if one.unit is None and (kind_of(unit) or unit in VAGUE):
                    one.unit = unit
                    one.flags.add("carried")
                    one.why.append("the unit is carried over from the same sentence")
        first = last
    return amounts


def _is_told(ahead: str) -> bool:
    return _READ.search(ahead) is not None or _NAMED.search(ahead) is not None


def _goes_on(tokens: list[Token], before: Amount, amount: Amount) -> bool:
    plain = before.is_plain() and amount.is_plain() and before.unit is None
    read_out = "spelled" in {before.form, amount.form}
    return plain and not read_out and between(tokens, before.last, amount.first) in _BESIDE


_NUMBERS = NUMBER_NAMES - {"half"}


def _is_number(token: Token) -> bool:
    return token.kind == "digits" or token.low in _NUMBERS


def _breaks(tokens: list[Token], at: int, last: int) -> set[int]:
    """Return where the numbers of a row begin but the first, nothing where it is none."""
    single = all(tokens[index].low in ONES for index in range(at, last))
    if single and (last >= len(tokens) or plain_unit_at(tokens, last) is None):
        return set()  # "two two four" are the digits of one
    best: _Row = ()
    least = Decimal(0)
    for form in (_whole, _hundreds, _decimal):
        for row in _rows(tokens, at, last, form):
            values = [value for _, value in row]
            if len(row) >= _FEWEST and _near(values):
                spread = max(values) / min(values)
                if not best or spread < least:
                    best, least = row, spread
    return {begin for begin, _ in best[1:]}


def _near(values: list[Decimal]) -> bool:
    """Whether values can be readings of one thing, and are not counted up: "two, three, four"."""
    low, high = min(values), max(values)
    steps = {later - earlier for earlier, later in pairwise(values)}
    if low <= 0 or steps == {Decimal(1)}:
        return False
    small = high < _TEN and all(value == int(value) for value in values)
    return high <= low * (_ALIKE_SMALL if small else _ALIKE)


def _rows(tokens: list[Token], at: int, last: int, form: _Form) -> Iterator[_Row]:
    """Yield every way to part words into numbers of one form."""
    if at == last:
        yield ()
        return
    for value, after in form(tokens, at):
        if after <= last:
            for rest in _rows(tokens, after, last, form):
                yield ((at, value), *rest)


def _whole(tokens: list[Token], at: int) -> Iterator[tuple[Decimal, int]]:
    """Yield the numbers below a hundred, and those in digits, that begin at a token."""
    if tokens[at].kind == "digits" and "," not in tokens[at].text:
        yield Decimal(tokens[at].text.replace(" ", "")), at + 1
        return
    longest = below_hundred(tokens, at)
    if longest is None:
        return
    yield Decimal(longest[0]), longest[1]
    if longest[1] > at + 1 and not tokens[at + 1].hyphen:
        yield Decimal(BELOW_HUNDRED[low_at(tokens, at)]), at + 1


def _hundreds(tokens: list[Token], at: int) -> Iterator[tuple[Decimal, int]]:
    """Yield "one forty" and "one thirty-eight" that begin at a token."""
    one = ONES.get(low_at(tokens, at), 0)
    if one and at + 1 < len(tokens):
        for rest, after in _whole(tokens, at + 1):
            if _TEN <= rest < _TEN * _TEN:
                yield one * 100 + rest, after


def _decimal(tokens: list[Token], at: int) -> Iterator[tuple[Decimal, int]]:
    """Yield "two point one" that begins at a token."""
    for whole, point in _whole(tokens, at):
        digits = low_at(tokens, point + 1)
        if low_at(tokens, point) == "point" and digits in ONES:
            yield Decimal(f"{whole}.{ONES[digits]}"), point + 2
