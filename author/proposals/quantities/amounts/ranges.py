"""Ranges: two amounts put together where the words between say so."""

from __future__ import annotations

import re
from decimal import Decimal
from fractions import Fraction

from author.proposals.quantities.amounts.amount import FINE_PARTS, Amount, agree_on_mil, between
from author.proposals.quantities.amounts.units import VAGUE, is_of, kind_of
from author.proposals.quantities.numbers.parts import decimal_of
from author.proposals.quantities.numbers.tokens import Token

_RANGE = re.compile(
    r",? ?(?:(?:right |all the way )?up to|to(?: about| maybe| around| say| like)?|-|–|—|\.\.\.?"
    r"|through|thru|down to|up as far as|till|until|til)"
)
_OR = re.compile(r",? ?or(?: maybe| even| possibly)?")
# "An inch and a half, maybe two", "eighty millimetres maybe, ninety"
_GUESSED = re.compile(
    r",? ?(?:(?:maybe|perhaps|possibly)(?: even| ,)?|(?:it )?(?:might|may|could) be(?: even)?)"
)
_BETWEEN_WORDS = re.compile(
    r"(?:between|betwixt|in between)(?: about| around| roughly| say| like)?$"
)


# What only gains time: "between, what, ninety and, say, a hundred".
_ALOUD = re.compile(
    r"(?:(?:^|(?<= )), (?:what|say|oh|let's say|shall we say|call it|i don't know|i dunno|i think"
    r"|what is it|let me see|lemme see|you know|i'd say) ,(?= |$)"
    r"| ?,? i want to say(?: ,)?$)"
)


_GRADES = frozenset({"iso", "vg", "sae", "nlgi", "din", "grade", "hlp", "hvlp", "hv", "class"})
WENT_FROM = re.compile(
    r"\b(?:went|gone|dropped|fell|fallen|rose|risen|crept|climbed|dipped|drifted|came|jumped)"
    r"(?: up| down| back)? from(?: about| around| a| an)?$"
)


def ranges(tokens: list[Token], amounts: list[Amount]) -> list[Amount]:
    """Return the amounts with "two to three" and "between two and three" put together."""
    kept: list[Amount] = []
    for amount in amounts:
        before = kept[-1] if kept else None
        if before is not None and _is_mixture(tokens, before, amount):
            kept.pop()
            continue
        if before is not None and _tightened_to(tokens, before, amount):
            kept.pop()
            before = None
        if before is None or not _makes_range(tokens, before, amount):
            kept.append(amount)
    return kept


def _is_mixture(tokens: list[Token], many: Amount, one: Amount) -> bool:
    """Whether it is a ratio: "fifty to one"."""
    bare = many.unit is None and one.unit is None and one.nominal == 1 and one.form == "whole"
    large = many.nominal is not None and many.nominal >= 2
    return bare and large and between(tokens, many.last, one.first) in {"to", ":"}


def _tightened_to(tokens: list[Token], many: Amount, one: Amount) -> bool:
    """Whether so many of a kind are tightened to a value: "torque the other three to twenty"."""
    counted = many.unit is None and many.form == "whole" and many.nominal is not None
    if not counted or not 2 <= (many.nominal or 0) <= _MOST_OF_THEM:
        return False
    ahead = between(tokens, max(0, many.first - _FAR), many.first)
    words = between(tokens, many.last, one.first)
    if _GET.fullmatch(words):
        return _THESE.search(ahead) is not None
    return words in {"to", "up to"} and _TIGHTENED.search(ahead) is not None


_FAR = 24
_MOST_OF_THEM = 24
_WHICH = (
    r"(?:others?|last|first|next|remaining|top|bottom|front|back|rear|upper|lower|inner|outer|left"
    r"|right|middle|centre|center|long|short|big|small)"
)
# "The bottom four get twenty", "these two want fifty".
_GET = re.compile(
    r"(?:get|want|take|need|go to|are|are all|all get)(?: about| only| just)?(?: to)?"
)
_THESE = re.compile(rf"(?:^|[,;.] |\b(?:and|then|so|but) )(?:these|those|the(?: {_WHICH})+)$")
_TIGHTENED = re.compile(
    rf"\b(?:torqu|tighten|nip|pinch|snug|do\b|done\b|pull)[a-z]*"
    r"(?: up| down)?(?: (?:these|those|both)"
    rf"|(?: (?:the|your|those|these|all the))?(?: {_WHICH})+)$"
    rf"|\b(?:torqu|tighten|do\b)\w* .*\b(?:and|then|,) (?:the|your|those) (?:{_WHICH})$"
)


def _makes_range(tokens: list[Token], low: Amount, high: Amount) -> bool:
    """Put two amounts together where the words between say so."""
    plain = low.is_plain() and high.is_plain() and "spelled" not in {low.form, high.form}
    # "Fill it with ISO 46 to about an inch below the top"
    graded = low.unit is None and low.first > 0 and tokens[low.first - 1].low in _GRADES
    if graded or not plain:
        return False
    words = _ALOUD.sub("", between(tokens, low.last, high.first)).strip()
    ahead = _ALOUD.sub("", between(tokens, max(0, low.first - 8), low.first) + " ").strip()
    ahead = " ".join(ahead.split()[-4:])
    hyphen = not words and high.first < len(tokens) and tokens[high.first].hyphen
    spread = words == "and" and _BETWEEN_WORDS.search(ahead)
    guessed = (low.unit or high.unit) and _GUESSED.fullmatch(words)
    choice = bool(guessed or _OR.fullmatch(words)) and not low.flags & {"article"}
    signed = words == "to plus" and (low.nominal or 0) <= 0
    if not (spread or hyphen or choice or signed or _RANGE.fullmatch(words)):
        return False
    parts = low.unit is not None and high.unit is None and words == "to"
    if parts and (low.nominal or 0) > (high.nominal or 0):
        return False  # "a hundred grams to thirty"
    if WENT_FROM.search(ahead) and re.fullmatch(r",? ?(?:down |up )?to(?: about)?", words):
        return False  # "it went from seven to six point nine five": two readings
    if words == "to" and ahead.split()[-1:] == ["all"] and low.unit is None and low.form == "whole":
        return False  # "torque all four to eighty inch pounds"
    # "Hold each for two minutes, to a hundred and fifty", "I have three, up to five is allowed"
    apart = high.unit is None and _lasts(ahead, low)
    if words.startswith(",") and (apart or (ahead and _is_allowed(tokens, high))):
        return False
    if not spans(low, high, choice=choice):
        return False
    if spread or re.search(r"(?:anywhere|anything|somewhere|between)(?: from| between)?$", ahead):
        low.flags.add("exact")
    return True


_ALLOWED = re.compile(
    r",? ?(?:(?:is|'s|are|would be|'d be)(?: all| still| perfectly| quite| just)? "
    r"(?:allowed|permitted|ok|okay|fine|good|all right|alright|acceptable)"
    r"|(?:is |'s )?(?:what )?(?:you're|we're|they) (?:allowed|allow))\b"
)


def _is_allowed(tokens: list[Token], high: Amount) -> bool:
    """Whether it is told of the second amount alone that so much may be: "up to five is fine"."""
    return _ALLOWED.match(between(tokens, high.last, min(high.last + 5, len(tokens)))) is not None


def _lasts(ahead: str, amount: Amount) -> bool:
    """Whether something is done for so long."""
    return kind_of(amount.unit) == "time" and bool(re.search(r"\bfor(?: about)?$", ahead))


def spans(low: Amount, high: Amount, *, choice: bool) -> bool:
    """Make the first amount reach to the second; return whether they can be one range.

    Args:
        low: the first, which becomes the range.
        high: the second.
        choice: whether only "or" or nothing stands between, so that they must lie close.
    """
    if low.nominal is None or high.nominal is None:
        return False
    agree_on_mil(low, high)
    if low.unit and high.unit and is_of(high.unit, low.unit):
        low.unit = high.unit  # "five litres to ten litres a minute"
    if low.unit and high.unit and low.unit != high.unit:
        vague = low.unit in VAGUE or high.unit in VAGUE
        if vague or not low.moved_to(high.unit):
            return False
    if low.bottom in FINE_PARTS and high.form == "whole" and low.unit == high.unit:
        part = high.nominal / low.bottom  # "five hundredths to ten"
        if part > low.nominal:
            high.nominal, high.form, high.bottom = part, "fraction", low.bottom
    value = low.nominal if low.unit else _scaled(low, high)
    if choice and not value < high.nominal <= 2 * value + min(Decimal(1), 4 * value):
        return False
    low.unit = low.unit or high.unit
    if {"decimal", "mixed", "fraction"} & {low.form, high.form}:
        low.flags.add("exact")
    low.lower, low.upper = sorted((value, high.nominal))
    if low.lower == low.upper:
        return False
    low.nominal, low.form, low.last, low.single = None, "range", high.last, high.single
    low.bottom = max(low.bottom, high.bottom)
    low.flags |= high.flags
    if choice:
        low.flags.add("implied")
    return True


def _scaled(low: Amount, high: Amount) -> Decimal:
    """Return the first value of "two to three hundred", "three to five sixteenths"."""
    value, other = low.nominal or Decimal(0), high.nominal or Decimal(0)
    if low.form != "whole":
        return value
    if high.form == "fraction" and high.bottom > 2 and value >= other:
        return decimal_of(Fraction(value) / high.bottom)[0]
    short = value < 100 and high.form == "whole" and "paired" not in high.flags
    for size in (1000, 100):
        if short and other % size == 0 and value < other / size < 100:
            return value * size
    return value
