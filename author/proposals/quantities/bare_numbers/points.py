"""Decimal points that were left out: "eighty oh six" for 80.06 where 80 to 80.15 was just told.

Which reading is meant the values told shortly before decide: "one eighty-one" is 181 after
180 bar and 1.81 after 1.8 bar. Where nothing tells, the words stay as they are.
"""

from __future__ import annotations

import copy
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from itertools import pairwise

from author.proposals.quantities.amounts.amount import Amount, between
from author.proposals.quantities.amounts.behind_numbers import plain_unit_at
from author.proposals.quantities.amounts.context import Scene
from author.proposals.quantities.amounts.cues import MEASURED
from author.proposals.quantities.amounts.units import kind_of
from author.proposals.quantities.amounts.vocabulary import FASTENERS, HEATED
from author.proposals.quantities.bare_numbers.below_inch import below_inch
from author.proposals.quantities.bare_numbers.beside_whole import (
    HELD,
    OF_ELSE,
    REFUSED,
    beside_whole,
)
from author.proposals.quantities.bare_numbers.digit_runs import Run, runs_in
from author.proposals.quantities.bare_numbers.signs import places_of
from author.proposals.quantities.numbers.parts import low_at
from author.proposals.quantities.numbers.tokens import Token
from author.proposals.quantities.numbers.words import number_at
from author.proposals.quantities.roles.roles import give_role

_REACH, _CLOSE, _BESIDE = 8, 3, 2
# The share a reading may lie from a value told before: where no other number, else a whole one.
_NEAR, _NEAR_WHOLE = 0.12, 0.06
# How much nearer it must be than the plain reading; how far values pass on a limit's good side.
_BETTER, _FAR_OFF, _GOOD_SIDE = 0.05, 1.5, 0.75
_MOST_WORN, _WORN, _MILLIMETRES = 20, 0.25, {"mm", "mil"}
_MOST_TOLD, _IMPERIAL, _TO = 60, {"in", "thou"}, {"to", "-", "–"}
# Readings that stand in a row: how far from a value told, and the largest to the smallest.
_LISTED, _ALIKE, _MOST_LISTED, _AHEAD = 0.35, 1.6, 12, 5


# "Five eighths, six twenty-four to six twenty-five"
_OF_INCHES = frozenset({8, 16, 32, 64})


@dataclass(frozen=True, slots=True)
class _Told:
    """A value told before, with its limits; ``unit`` as it was said, ``places`` its decimals."""

    lower: float | None
    nominal: float | None
    upper: float | None
    unit: str | None
    places: int = 0


def put_points(
    tokens: list[Token],
    earlier: list[Scene],
    here: list[Amount],
    later: Sequence[list[Token]] = (),
) -> tuple[list[Token], frozenset[int]]:
    """Return the tokens of a sentence with the points put in that its speaker left out.

    Args:
        tokens: of the sentence.
        earlier: the sentences before, the nearest last.
        here: amounts of the sentence itself as they read without points.
        later: tokens of the sentences behind, the nearest first.

    Returns:
        The tokens, each number that got a point as one token of digits, and where in the
        sentence those begin.
    """
    runs = list(runs_in(tokens))
    if not runs:
        return tokens, frozenset()
    told = [(one, len(earlier) - scene.index)
            for scene in earlier[-_REACH:]
            for one in _told(scene.tokens, scene.amounts)]  # fmt: skip
    inside = {at for run in runs for at in range(run.first, run.last)}
    apart = [one for one in here if not inside & set(range(one.first, one.last))]
    told += [(one, 0) for one in _told(tokens, apart)]
    told += [(one, 1) for one in _spans([one for one, far in told if far <= _CLOSE])]
    signs = any(token.low in {",", "."} for token in tokens)
    spelled = _spelled_ranges(tokens, runs, [one for one, _ in told])
    parts = [float(one.nominal) for scene in (*(one.amounts for one in earlier[-_BESIDE:]), here)
             for one in scene if one.form == "fraction" and one.nominal
             and one.bottom in _OF_INCHES and one.unit in {None, "in"}]  # fmt: skip
    around = [*later, *(one.tokens for one in earlier[-_BESIDE:])]
    out, at, pointed = list[Token](), 0, set()
    for run in runs:
        if run.first < at:
            continue
        del told[:-_MOST_TOLD]
        if run.first not in spelled and not signs and _is_list(tokens, run, told):
            listed, at = _with_commas(tokens, at, run)
            out += listed
            continue
        value = _in_thousandths(run, told) if run.first in spelled else None
        value = value or (_meant(tokens, run, told, signs=signs) if run.points else None)
        near = [one.nominal for one, far in told if one.nominal and far <= _CLOSE]
        near += parts
        value = value or below_inch(tokens, run, near, earlier)
        value = value or (beside_whole(tokens, run, around) if run.points else None)
        if value is None:
            continue
        out += tokens[at : run.first]
        at = run.last
        if run.whole and low_at(tokens, run.first - 1) == value:
            continue  # "1.498 1498": the same said again
        first, last = tokens[run.first], tokens[run.last - 1]
        out.append(Token(value, value, "digits", first.begin, last.end, first.glued))
        pointed.add(first.begin)
        told.append((_Told(None, float(value), None, None), 0))
    return out + tokens[at:], frozenset(pointed)


def _told(tokens: list[Token], amounts: list[Amount]) -> Iterator[_Told]:
    begin = 0
    for number, amount in enumerate(amounts):
        end = amounts[number + 1].first if number + 1 < len(amounts) else len(tokens)
        if _is_told(amount):
            one = copy.copy(amount)
            one.flags = set(amount.flags)
            give_role(tokens, one, begin, end, gauge=False, setting=False)
            lower, nominal, upper = (
                None if v is None else float(v) for v in (one.lower, one.nominal, one.upper)
            )
            yield _Told(lower, nominal, upper, one.unit, places_of(one) * (one.bottom == 1))
        begin = amount.last


def _is_told(amount: Amount) -> bool:
    """Whether a value says how large others near it are."""
    sized = amount.form in {"size", "thread", "spelled"}
    if sized or kind_of(amount.unit) in {"count", "ratio", "time", "turns"}:
        return False
    exact = amount.form in {"decimal", "mixed", "both"} or "exact" in amount.flags
    return amount.unit is not None or exact


def _apart(value: float, told: _Told) -> float:
    """Return how far a value lies from one told, nought inside its limits."""
    low, high = told.lower, told.upper
    if low is None and high is not None and high > 0:
        low = _GOOD_SIDE * high
    elif high is None and low is not None and low > 0:
        high = low / _GOOD_SIDE
    if low is not None and high is not None and low <= value <= high:
        return 0.0
    ends = [v for v in (low, told.nominal, high) if v and v > 0]
    return min((abs(math.log(value / v)) for v in ends), default=9.0) if value > 0 else 9.0


def _nearest(value: float, told: list[_Told]) -> float:
    return min((_apart(value, one) for one in told), default=9.0)


def _spans(told: list[_Told]) -> list[_Told]:
    """Return what lies between a new value and its limit, told one after the other."""
    spans = []
    for one, other in pairwise(told):
        ends = [v for each in (one, other) for v in (each.lower, each.nominal, each.upper) if v]
        least = min(ends, default=0.0)
        if other.unit in {None, one.unit} and least > 0 and max(ends) <= 6 * least:
            spans.append(_Told(least, None, max(ends), one.unit))
    return spans


def _meant(
    tokens: list[Token], run: Run, told: list[tuple[_Told, int]], *, signs: bool
) -> str | None:
    """Return the number with its point where that reading is the likelier one.

    Args:
        tokens: of the sentence.
        run: the numbers.
        told: values told near, with how many sentences before.
        signs: whether commas are written, so that numbers without one are one number.
    """
    unit = plain_unit_at(tokens, run.last) if run.last < len(tokens) else None
    behind = {low_at(tokens, run.last + step) for step in range(3)}
    names = unit and unit.single and unit.last < len(tokens) and tokens[unit.last].low.isalpha()
    ahead = {token.low for token in tokens[max(0, run.first - _AHEAD) : run.first]}
    # What is heated to 350 has nothing to do with the 3 to 4 ohms told before.
    if behind & FASTENERS or (run.whole and (names or ahead & HEATED)):
        return None
    near = [one for one, far in told if far <= (_CLOSE if run.whole else _REACH)]
    if unit is not None:
        near = [one for one in near if one.unit == unit.symbol or not (run.whole or one.unit)]
    worn = _held_against(tokens, run, told) if run.whole and unit is None else None
    if worn is not None:
        return worn
    if run.whole:  # "131" after 1.35: only where others were told as finely
        near = [one for one in near if one.places]
    ends = _other_end(tokens, run)
    near += ends
    texts = [f"{run.digits[:point]}.{run.digits[point:]}" for point in run.points]
    best = min(texts, key=lambda text: _nearest(float(text), near))
    apart = _nearest(float(best), near)
    plain = max((_nearest(value, near) for value in run.plain), default=9.0)
    plain += signs and len(run.plain) > 1
    if run.whole:
        finest = max((one.places for one in near), default=0)
        # Nobody leaves the point out of 3.000.
        finer = len(best.partition(".")[2]) > finest + 1
        if run.digits.endswith("00") or (finer and not ends):
            return None
        return best if apart <= _NEAR_WHOLE and plain - apart >= _FAR_OFF else None
    if apart <= _NEAR and plain - apart >= _BETTER:
        return best
    # Nobody told a value like it: digits behind two digits, and then the unit.
    tail = run.digits[run.points[0] :]
    told_so = unit is not None and not unit.single and len(run.points) == 1 and run.points[0] > 1
    told_so = told_so and [b - a for a, b in pairwise(run.plain)] not in ([5.0], [10.0])
    return best if told_so and not near and (len(tail) > 1 or tail == "0") else None


def _held_against(tokens: list[Token], run: Run, told: list[tuple[_Told, int]]) -> str | None:
    """Return the number with its point where it is a limit or a reading of a length just told.

    "It's fifteen millimetres new, and below fourteen ninety-eight it's scrap" is 14.98 mm.
    """
    before = next((one for one, far in reversed(told) if far <= 1 and one.unit is not None), None)
    size = before.nominal if before and before.unit in _MILLIMETRES else None
    ahead = between(tokens, max(0, run.first - _AHEAD), run.first)
    behind = between(tokens, run.last, min(len(tokens), run.last + _AHEAD))
    if size is None or OF_ELSE.search(f"{ahead} {behind}"):
        return None
    if not (HELD.search(ahead) or MEASURED.search(ahead) or REFUSED.match(behind)):
        return None
    texts = [f"{run.digits[:point]}.{run.digits[point:]}" for point in run.points if point < 3]
    best = min(texts, key=lambda text: abs(math.log(float(text) / size)), default=None)
    if best is None or min(run.plain) < _MOST_WORN * size:
        return None
    return best if abs(math.log(float(best) / size)) <= _WORN else None


def _other_end(tokens: list[Token], run: Run) -> list[_Told]:
    """Return the other end of a range as a value told: "nineteen nine eight to twenty"."""
    at = run.last + (low_at(tokens, run.last) == "up")
    if low_at(tokens, at) not in _TO or at + 1 >= len(tokens):
        return []
    number = number_at(tokens, at + 1)
    if number is None or not number.value or number.form not in {"whole", "decimal", "mixed"}:
        return []
    return [_Told(None, float(number.value), None, None)]


def _is_list(tokens: list[Token], run: Run, told: list[tuple[_Told, int]]) -> bool:
    """Whether numbers told one behind the other are readings: each near one told before."""
    near = [one for one, far in told if far <= _CLOSE]
    values, at = list(run.plain), run.last
    while len(values) < _MOST_LISTED and at < len(tokens):
        number = number_at(tokens, at)
        if number is None or not number.value or number.form not in {"whole", "decimal"}:
            break
        values.append(float(number.value))
        at = number.last
    if len(values) < 2 or not min(values) * _ALIKE >= max(values) > 0:
        return False
    return all(_nearest(value, near) < _LISTED for value in values)


def _with_commas(tokens: list[Token], at: int, run: Run) -> tuple[list[Token], int]:
    """Return the tokens up to the end of a list with commas in it, and the index after it."""
    out, place = tokens[at : run.first], run.first
    for _ in range(len(tokens)):
        number = number_at(tokens, place)
        after = max(number.last, place + 1) if number else place + 1
        out += tokens[place:after]
        more = number_at(tokens, after) if after < len(tokens) else None
        if more is None or more.form not in {"whole", "decimal"}:
            return out, after
        end = tokens[after - 1].end
        out.append(Token(",", ",", "sign", end, end, glued=True))
        place = after
    return out, place


def _spelled_ranges(tokens: list[Token], runs: list[Run], told: list[_Told]) -> set[int]:
    """Return where "one three seven five" and "one three seven eight" begin, told as a range."""
    if not any(one.unit in _IMPERIAL for one in told) and not any(
        token.low in {"thousandths", "inches", "inch", "thou"} for token in tokens
    ):
        return set()
    found: set[int] = set()
    for one, other in pairwise(runs):
        if low_at(tokens, one.last) not in _TO or other.first != one.last + 1:
            continue
        low, high = one.digits, other.digits
        alike = all(len(digits) in {4, 5} for digits in (low, high)) and low[0] == high[0]
        if alike and 1 in one.points and 1 in other.points and Decimal(low) < Decimal(high):
            found |= {one.first, other.first}
    return found


def _in_thousandths(run: Run, told: list[tuple[_Told, int]]) -> str:
    """Return one end of such a range as inches, below one where a value like it was told so."""
    begins = f"0.{run.digits[:_SAME]}"
    values = (v for one, _ in told for v in (one.lower, one.nominal, one.upper) if v)
    whole = 0 if any(f"{value:.5f}".startswith(begins) for value in values) else 1
    return f"{run.digits[:whole] or 0}.{run.digits[whole:]}"


_SAME = 3
"""Digits in which a value and the ends of its range agree."""
