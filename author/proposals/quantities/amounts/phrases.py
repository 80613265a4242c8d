"""Amounts in one sentence, and how they are put together: ranges, tolerances, compounds."""

from __future__ import annotations

import copy
import itertools
import re
from decimal import Decimal
from fractions import Fraction

from author.proposals.quantities.amounts.ahead_of_numbers import unit_ahead
from author.proposals.quantities.amounts.amount import Amount, between
from author.proposals.quantities.amounts.behind_numbers import plain_unit_at, unit_at, with_article
from author.proposals.quantities.amounts.compounds import compounds
from author.proposals.quantities.amounts.cues import READ_OFF
from author.proposals.quantities.amounts.fits import with_fits
from author.proposals.quantities.amounts.loose import loosely_said
from author.proposals.quantities.amounts.pairs import (
    from_flush,
    in_same_parts,
    pair_up,
    spread_anew,
)
from author.proposals.quantities.amounts.ranges import ranges, spans
from author.proposals.quantities.amounts.side_by_side import side_by_side
from author.proposals.quantities.amounts.threads import sizes_in
from author.proposals.quantities.amounts.tolerances import with_tolerances
from author.proposals.quantities.amounts.units import MIL, VAGUE, UnitSaid, kind_of
from author.proposals.quantities.numbers.parts import decimal_of, half_after
from author.proposals.quantities.numbers.tokens import Token
from author.proposals.quantities.numbers.words import Number, number_at


def amounts_in(tokens: list[Token]) -> list[Amount]:
    """Return the amounts of a sentence, put together, in order."""
    taken = sizes_in(tokens)
    single = _single_amounts(tokens, taken)
    _negative_again(tokens, single)
    compound = side_by_side(tokens, compounds(tokens, _volts(tokens, single)))
    compound = _restated(tokens, compound)
    ranged = ranges(tokens, from_flush(tokens, pair_up(tokens, with_fits(tokens, compound))))
    ranged = spread_anew(tokens, ranged)
    in_same_parts(ranged)
    return with_tolerances(tokens, ranged)


def _single_amounts(
    tokens: list[Token], taken: dict[int, tuple[int, str, tuple[Decimal, ...], str]]
) -> list[Amount]:
    amounts: list[Amount] = []
    at = 0
    while at < len(tokens):
        if at in taken:
            last, form, numbers, name = taken[at]
            amount = Amount(at, last, form=form, numbers=numbers, designation=name)
            if form == "size":
                unit = unit_at(tokens, last, digits=True, fraction=False)
                amount.unit, amount.last = (unit.symbol, unit.last) if unit else (None, last)
                inside = (plain_unit_at(tokens, place) for place in range(at, last))
                told = next((one for one in inside if one is not None), None)
                if told is not None and amount.unit is None and told.symbol in {"mm", "in", MIL}:
                    amount.unit = told.symbol
            amounts.append(amount)
            at = amount.last
            continue
        amount_here = _amount_at(tokens, at)
        if amount_here is None:
            at += 1
            continue
        amounts.append(amount_here)
        at = max(amount_here.last, at + 1)
    return amounts


def _amount_at(tokens: list[Token], at: int) -> Amount | None:
    if loose := loosely_said(tokens, at):
        return loose
    number = number_at(tokens, at)
    if number is None:
        unit = with_article(tokens, at)
        if unit is None:
            return None
        amount = Amount(at, unit.last, Decimal(1), unit=unit.symbol, single=True)
        amount.flags |= {"article", "rate"} if unit.rate else {"article"}
        return _with_half(tokens, amount)
    digits = tokens[number.last - 1].kind in {"digits", "vulgar"}
    fraction = number.form == "fraction" or (number.value is not None and 0 < number.value < 1)
    unit = unit_at(tokens, number.last, digits=digits, fraction=fraction)
    if unit is None and number.last < len(tokens) and tokens[number.last].low == ",":
        # "ten, then twenty-two, foot pounds": of torques only, which name no thing
        later = unit_at(tokens, number.last + 1, digits=digits, fraction=fraction)
        unit = later if later and kind_of(later.symbol) == "torque" else None
    if unit is not None and _is_ordinal(tokens, number, unit):
        unit = None
    is_bare = number.form == "fraction" and number.last == at + 1 and tokens[at].kind == "word"
    if unit is None and is_bare:
        return _bare_part(tokens, number)
    ahead = unit_ahead(tokens, number) if unit is None else None
    amount = _amount_of(number, unit)
    if ahead is not None:
        amount.first, amount.unit = ahead
    _negative(tokens, amount)
    return _with_half(tokens, amount)


_TIMED = {"soak", "wait", "cure", "count", "delay", "pause", "timer", "dwell", "burst", "blast",
          "spray", "drain", "interval", "intervals", "run", "test", "rinse"}  # fmt: skip


def _is_ordinal(tokens: list[Token], number: Number, unit: UnitSaid) -> bool:
    """Whether "second" goes on to the next: "the first 1650, second 1680"."""
    if unit.symbol != "s" or tokens[unit.last - 1].low != "second":
        return False
    if number.value == 1 or number.form == "decimal":
        return False
    if tokens[unit.last - 2].low in {"a", "of"}:
        return False  # "half a second"
    after = tokens[unit.last].low if unit.last < len(tokens) else ""
    return not tokens[unit.last - 1].hyphen and after not in _TIMED


def _amount_of(number: Number, unit: UnitSaid | None) -> Amount:
    amount = Amount(number.first, number.last, number.value, form=number.form)
    amount.bottom = number.bottom
    if number.value is None:
        amount.flags.add("comma")
        amount.form = "comma"
    marks = {"about": number.about, "paired": number.paired, "rounded": number.rounded}
    amount.flags.update(name for name, is_set in marks.items() if is_set)
    if unit is not None:
        amount.flags.update(unit.words)
        amount.unit, amount.last, amount.single = unit.symbol, unit.last, unit.single
        if unit.about:
            amount.flags.add("about")
        if unit.rate:
            amount.flags.add("rate")
        if unit.doubtful:
            amount.flags.add("doubtful")
        if unit.shift and amount.nominal is not None:
            amount.nominal = Decimal(format(amount.nominal.scaleb(unit.shift), "f"))
    if amount.bottom == 10000 and amount.unit is None:
        amount.unit = "in"
    return amount


def _bare_part(tokens: list[Token], number: Number) -> Amount | None:
    """Keep "half" or "quarter" alone only where a range or a tolerance goes on from it."""
    after = between(tokens, number.last, min(number.last + 2, len(tokens)))
    before = tokens[number.first - 1].low if number.first else ""
    extra = before in {"extra", "another", "further", "additional"}
    # "Between half and one millimetre"
    begins = after.startswith(("to ", "or ")) or (before == "between" and after.startswith("and "))
    if extra or begins or before in {"to", "or", "minus", "take"}:
        return _amount_of(number, None)
    return None


_SIGNED = frozenset({"temperature", "temperature_difference", "voltage", "current", "angle",
                     "pressure", None})  # fmt: skip
_BEFORE_SIGN = frozenset({"", ",", "to", "at", "of", "is", "below", "about", "between", "and",
                          "from", "around", "reads", "than", "past", "over", "be", "was",
                          "under", "says", "drooped", "now", "least", "most", "got", "it's",
                          "she's", "he's", "i'm", "hit", "reading", "still", "have",
                          "has", "i've", "psi", "bar", "kpa", "psig"})  # fmt: skip


def _negative(tokens: list[Token], amount: Amount) -> None:
    """Take a "minus" before the number, unless it is part of a tolerance."""
    sign = tokens[amount.first - 1] if amount.first else None
    if sign is None or amount.nominal is None:
        return
    before = tokens[amount.first - 2].low if amount.first > 1 else ""
    ahead = {token.low for token in tokens[max(0, amount.first - 6) : amount.first]}
    part = before in {"or", "plus", "/", ","} and ahead & {"plus", "+", "or", "/", "nothing"}
    announced = bool(ahead & {"tolerance", "tolerances"})  # "a tolerance of minus 0.02"
    words = sign.low in {"minus", "negative"} and not (part or announced)
    if amount.unit is None and before not in _BEFORE_SIGN:
        return
    kinds = _SIGNED
    touches = sign.low in {"-", "−"} and tokens[amount.first].glued and not sign.glued
    if (words or touches) and kind_of(amount.unit) in kinds:
        number_before = amount.first > 1 and tokens[amount.first - 2].kind == "digits"
        if not number_before:
            amount.nominal, amount.first = -amount.nominal, amount.first - 1


def _negative_again(tokens: list[Token], amounts: list[Amount]) -> None:
    """Take each "minus" of a row that begins below nought: "minus four, minus four, minus five"."""
    for before, amount in itertools.pairwise(amounts):
        if amount.first == 0 or (before.nominal or 0) >= 0 or (amount.nominal or 0) <= 0:
            continue
        words = between(tokens, before.last, amount.first - 1)
        if tokens[amount.first - 1].low == "minus" and words in _IN_A_ROW:
            amount.nominal, amount.first = -(amount.nominal or Decimal(0)), amount.first - 1


_IN_A_ROW = frozenset({"", ",", "to", "and", ", and", "or"})


def _with_half(tokens: list[Token], amount: Amount) -> Amount:
    """Add the part in "a minute and a half", "two turns and a quarter"."""
    if amount.unit is None or not amount.is_plain() or amount.form in {"mixed", "fraction"}:
        return amount
    part = half_after(tokens, amount.last)
    follows = unit_at(tokens, part[1], digits=False, fraction=True) if part else None
    if part is None or (follows and follows.symbol != amount.unit):
        return amount
    value, rounded = decimal_of(Fraction(amount.nominal or 0) + part[0])
    amount.nominal, amount.last, amount.form = value, part[1], "mixed"
    amount.flags.discard("article")
    if rounded:
        amount.flags.add("rounded")
    return amount


def _volts(tokens: list[Token], amounts: list[Amount]) -> list[Amount]:
    """Read "thirteen eight to fourteen four volts": volts of a battery lose their point."""
    kept: list[Amount] = []
    unit = None
    for amount in reversed(amounts):
        small = kept[-1] if kept else None
        if small and amount.last == small.first and _is_battery(tokens, amount, small, unit):
            kept.pop()
            value = Decimal(f"{amount.nominal}.{small.nominal}")
            kept.append(Amount(amount.first, small.last, value, unit=small.unit, form="decimal"))
            continue
        unit = amount.unit or unit
        kept.append(amount)
    return kept[::-1]


def _is_battery(tokens: list[Token], big: Amount, small: Amount, unit: str | None) -> bool:
    whole = big.form == small.form == "whole" and big.unit is None
    words = tokens[big.first].kind == "word" and big.last == big.first + 1
    fits = big.nominal is not None and small.nominal is not None
    fits = fits and 11 <= (big.nominal or 0) <= 15 and 1 <= (small.nominal or 0) <= 9
    return whole and words and fits and (small.unit or unit) == "V"


# "somewhere around two, two and a half bar"
_AROUND = re.compile(
    r"\b(?:about|around|roughly|somewhere|like|call it|say|maybe|usually|near"
    r"|(?:like|want|expect|need) to (?:see|get|have)|(?:runs?|sits?|idles?|settles?|holds?) at"
    r"|(?:good|healthy|new|decent) (?:one|unit|pump|seal) (?:has|gives|shows|reads|pulls|makes))$"
)
_SAME_AGAIN = re.compile(
    r" ?,? ?(?:(?:ja|yes|yeah|yep|so|right|or|well|okay|that's|that is|i mean|i'd say"
    r"|it's|then|call|which (?:is|makes|comes to)|that makes|or (?:in )?|in other words|same as"
    r"|meaning|to you"
    r" it|you (?:say|would say)) ?,? ?)*"
)
# What takes the place of a guess: "two, maybe two and a half", "a third, call it a half".
_RATHER = re.compile(r",? ?(?:maybe|possibly|perhaps|call it|more like|nearer)(?: even)?")


def _restated(tokens: list[Token], amounts: list[Amount]) -> list[Amount]:
    """Take "sixty degrees, sixty Celsius" and "nought, nought bar" for one amount.

    Of a guess that is followed by another, "that's two, maybe two and a half", the second
    counts; where nobody reads anything off, "five, maybe six minutes", they are a range.
    """
    kept: list[Amount] = []
    for place, amount in enumerate(amounts):
        before = kept[-1] if kept else None
        words = "…" if before is None else between(tokens, before.last, amount.first)
        ends = amounts[place + 1 : place + 2]
        ranged = ends and between(tokens, amount.last, ends[0].first) in {"to", "-"}
        if _is_counted_out(tokens, before, amount):
            kept.pop()
            before = kept[-1] if kept else None
        same = before and before.nominal == amount.nominal and amount.is_plain()
        vague = before and (before.unit is None or before.unit in VAGUE) and amount.unit
        told_twice = before and {before.form, amount.form} in _TWO_FORMS
        in_parts = before and amount.form == "fraction" and amount.unit is None and words
        told_again = before and before.unit and before.unit == amount.unit and words in {"", ","}
        told_again = told_again or _says_it_again(tokens, before, amount, words)
        if before and same and (in_parts or told_again) and _SAME_AGAIN.fullmatch(words):
            before.last = amount.last
            continue
        said_twice = before and before.form == amount.form == "decimal" and words not in {"", ","}
        if before and same and (vague or told_twice or said_twice) and _SAME_AGAIN.fullmatch(words):
            before.nominal = amount.nominal
            before.unit = amount.unit or before.unit
            before.last, before.single = amount.last, amount.single
            continue
        ahead = between(tokens, max(0, before.first - 5), before.first) if before else ""
        if before and not ranged and _is_rounded(before, amount, words):
            before.nominal, before.last = amount.nominal, amount.last
            before.flags.add("about")
            continue
        if before and _is_guess(before, amount) and words in {"", ","} and amount.unit:
            close = (amount.nominal or 0) * 2 <= (before.nominal or 0) * 3
            if _AROUND.search(ahead) and close and spans(before, amount, choice=True):
                continue
        if before and _is_guess(before, amount) and _RATHER.fullmatch(words):
            if READ_OFF.search(ahead):
                kept[-1] = amount
                amount.first = before.first
                continue
            if spans(before, amount, choice=True):
                continue
        kept.append(amount)
    return kept


def _is_counted_out(tokens: list[Token], before: Amount | None, amount: Amount) -> bool:
    """Whether a time is told again in its own words: "count to sixty, a full minute"."""
    if before is None or tokens[before.first].low != "count" or kind_of(amount.unit) != "time":
        return False
    same = copy.copy(amount)
    return same.is_plain() and same.moved_to("s") and same.nominal == before.nominal


def _says_it_again(tokens: list[Token], before: Amount | None, amount: Amount, words: str) -> bool:
    """Whether a value is only said once more: "six, yeah six", "six, six, not sixteen"."""
    if before is None or amount.unit is not None:
        return False
    at = amount.last + (amount.last < len(tokens) and tokens[amount.last].low == ",")
    denied = before.unit and words == "," and at + 1 < len(tokens) and tokens[at].low == "not"
    denied = denied and number_at(tokens, at + 1) is not None
    return bool(_YES.fullmatch(words) or denied)


_TWO_FORMS = ({"mixed", "decimal"}, {"fraction", "decimal"})
_YES = re.compile(r",? ?(?:yeah|yes|yep|aye) ?,? ?(?:it's|that's)?")


def _is_rounded(before: Amount, amount: Amount, words: str) -> bool:
    """Whether a value is only told again roundly: "nineteen kilos, call it twenty"."""
    alike = before.is_plain() and amount.is_plain() and before.unit and amount.unit is None
    one, two = before.nominal or Decimal(0), amount.nominal or Decimal(0)
    near = two and abs(two - one) * 5 <= abs(two)
    return bool(alike and near and re.fullmatch(r",? ?(?:so |or |let's )?(?:call|make) it", words))


def _is_guess(before: Amount, amount: Amount) -> bool:
    """Whether a value can be a second guess at the same thing."""
    plain = before.is_plain() and amount.is_plain() and "spelled" not in {before.form, amount.form}
    one, other = before.nominal, amount.nominal
    alike = before.unit in {None, amount.unit}
    return plain and alike and bool(one and other) and (one or 0) < (other or 0) <= 2 * (one or 0)
