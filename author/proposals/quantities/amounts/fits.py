"""Fits: what a size may have on one side only, put to the size it belongs to."""

from __future__ import annotations

import re
from decimal import Decimal

from author.proposals.quantities.amounts.amount import FINE_PARTS, Amount, between
from author.proposals.quantities.amounts.tolerance_sizes import stands_by
from author.proposals.quantities.amounts.tolerances import NONE
from author.proposals.quantities.amounts.units import kind_of
from author.proposals.quantities.numbers.tokens import Token

_PLUS = r"(?:plus|\+)"
_MINUS = r"(?:minus|less|-|−)"
# "tolerance f7, that is minus": the fit by its name, and then in figures.
_NAMED = (
    r"(?: ?,? ?(?:tolerance |fit )?[a-z]{1,2} ?\d{1,2})?(?: ?,? ?(?:that is|that's|which is|so|and"
    r"|to|it's allowed|it can be|allowed))*"
)
_SIGN_AHEAD = re.compile(rf"{_NAMED} ?,? ?(?:(?P<plus>{_PLUS})|(?P<minus>{_MINUS}))?")
_SIGN_AGAIN = re.compile(
    rf",? ?(?:to|and|or|down to|up to)? ?(?:(?P<plus>{_PLUS})|(?P<minus>{_MINUS}))?"
)
# "minus nothing to minus twenty microns", "fifty dead to minus two hundredths"
_FROM_SIZE = re.compile(
    rf",? ?(?:(?P<first>{_PLUS}|{_MINUS}) {NONE}|dead|bang on|exactly|on size|spot on) ?,? ?(?:to"
    rf"|and|or)? ?(?:(?P<plus>{_PLUS})|(?P<minus>{_MINUS}))?"
)
_ONE_PART = re.compile(
    rf"{_NAMED} ?,? ?(?:(?P<plus>{_PLUS}|up)|(?P<minus>minus|-|−|down))(?: (?:about|maybe))?"
)
# "plus point two for the gasket", "plus two is twelve": a sum.
_ADDED = re.compile(
    r",? ?(?:for|is|makes|equals|gives|comes|that's|which|of|(?:and )?(?:plus|minus|less)\b)"
)
# A part of a fit in the unit of its size is far smaller than it (common practice, no source).
_LEAST_RATIO = 20


_READ_OUT = 3


def _is_a_name(aim: Amount) -> bool:
    """Whether its digits are read out and too many for a size: "one eight zero" can be one."""
    return aim.form == "spelled" and aim.last - aim.first != _READ_OUT


def with_fits(tokens: list[Token], amounts: list[Amount]) -> list[Amount]:
    """Return the amounts with a fit on one side of a size put to it.

    "Twenty-two mil, minus two to minus five hundredths" is 21.95 to 21.98, "sixty-five plus a
    tenth" is 65 to 65.1.
    """
    amounts = _without_names(tokens, amounts)
    kept: list[Amount] = []
    at = 0
    while at < len(amounts):
        group = amounts[at : at + 3]
        if len(group) == 3 and _lies_one_way(tokens, *group):
            at += 2
        elif len(group) > 1 and _reaches(tokens, group[0], group[1]):
            at += 1
        kept.append(group[0])
        at += 1
    return kept


def _without_names(tokens: list[Token], amounts: list[Amount]) -> list[Amount]:
    """Return the amounts without the grades of fits: "80 H8" is 80, whatever stands behind."""
    kept: list[Amount] = []
    for amount in amounts:
        if not _names_fit(tokens, amount):
            kept.append(amount)
        elif kept and kept[-1].last == amount.first - 1:
            kept[-1].last = amount.last
    return kept


def _names_fit(tokens: list[Token], amount: Amount) -> bool:
    """Whether a number is the grade of a fit: "80 H8", "tolerance f7"."""
    if amount.form != "whole" or amount.unit is not None or amount.first < 2:
        return False
    letters, before = tokens[amount.first - 1], tokens[amount.first - 2]
    named = before.kind == "digits" or before.low in {"tolerance", "fit", "millimetres", "mil"}
    graded = letters.low in _ISO_LETTERS and tokens[amount.first].glued
    return named and graded and 4 <= (amount.nominal or 0) <= 16


# Letters of the fits that shops ask for; ISO 286-1, from memory.
_ISO_LETTERS = frozenset(
    ["c", "d", "e", "f", "g", "h", "j", "js", "k", "m", "n", "p", "r", "s", "t", "u"]
)


def _lies_one_way(tokens: list[Token], aim: Amount, one: Amount, other: Amount) -> bool:
    """Put two parts of one sign to the size before them, if they are such; say whether."""
    if not (aim.is_plain() and one.is_plain() and other.is_plain()) or _is_a_name(aim):
        return False
    first, second = _signed(tokens, aim, one, _SIGN_AHEAD), _signed(tokens, one, other, _SIGN_AGAIN)
    if not first or first != second or aim.nominal is None or aim.nominal < 0:
        return False
    parts = [abs(one.nominal or Decimal(0)), abs(other.nominal or Decimal(0))]
    if one.form == "whole" and one.unit is None and other.bottom in FINE_PARTS:
        parts[0] /= other.bottom
    part = Amount(one.first, other.last, unit=one.unit or other.unit, bottom=other.bottom)
    part.plus, part.minus = max(parts), min(parts)
    if other.unit not in {None, part.unit} or not stands_by(aim, part):
        return False
    low, high = (v - (aim.nominal or 0) for v in (aim.lower, aim.upper) if v is not None)
    far, near = max(-low, high), min(-low, high)
    signed = (near, far) if first == "plus" else (-far, -near)
    aim.lower, aim.upper = (aim.nominal + part for part in signed)
    if not aim.lower <= aim.nominal <= aim.upper:
        aim.nominal = None  # what is asked for lies beside the size that is named
    aim.last = other.last
    return True


def _reaches(tokens: list[Token], aim: Amount, part: Amount) -> bool:
    """Put a part on one side to the size it begins at, if it is one; say whether."""
    if not (aim.is_plain() and part.is_plain()) or _is_a_name(aim) or part.form == "spelled":
        return False
    words = between(tokens, aim.last, part.first)
    negative = (part.nominal or 0) < 0
    # "Forty millimetres, minus two hundredths": the sign was read with the part.
    signed = "minus" if negative and words == "," and aim.unit is not None else words
    found = _FROM_SIZE.fullmatch(words) or _ONE_PART.fullmatch(signed)
    if found is None or not part.nominal or aim.nominal is None or aim.nominal <= 0:
        return False
    sign = "minus" if found["minus"] or negative else "plus" if found["plus"] else ""
    opposed = "first" in found.groupdict() and found["first"] and sign
    if not sign or (opposed and (found["first"] in {"plus", "+"}) is not (sign == "plus")):
        return False
    size = abs(part.nominal)
    kinds = {kind_of(aim.unit), kind_of(part.unit)} - {None}
    fine = part.unit in {"µm", "thou"} or part.bottom in FINE_PARTS or size < 1
    behind = between(tokens, part.last, min(part.last + 3, len(tokens)))
    if kinds - {"length"} or not fine or _ADDED.match(behind):
        return False
    if part.unit in {None, aim.unit} and aim.nominal < _LEAST_RATIO * size:
        return False
    held = Amount(part.first, part.last, size, unit=part.unit, bottom=part.bottom)
    held.plus, held.minus = (size, Decimal(0)) if sign == "plus" else (Decimal(0), size)
    if not stands_by(aim, held):
        return False
    aim.last = part.last
    return True


def _signed(tokens: list[Token], before: Amount, amount: Amount, words: re.Pattern[str]) -> str:
    """Return ``plus`` or ``minus`` where that stands before an amount, else nothing."""
    found = words.fullmatch(between(tokens, before.last, amount.first))
    if found is None:
        return ""
    if (amount.nominal or 0) < 0 or found["minus"]:
        return "minus"
    return "plus" if found["plus"] else ""
