"""Small numbers in words and the parts of one: what larger numbers are made of."""

from __future__ import annotations

import re
from decimal import Decimal
from fractions import Fraction
from typing import TYPE_CHECKING

from author.checks.verbs import VERBS
from author.procedure.number_words import ONES, TENS, WHOLE
from author.proposals.language.closed_words import ARTICLES

if TYPE_CHECKING:  # the reader of tokens needs the tables of words here
    from author.proposals.quantities.numbers.tokens import Token

ZEROS = {"zero": 0, "nought": 0, "naught": 0, "aught": 0}
OH = {"oh", "o"}


PARTS = {
    "half": 2, "halves": 2, "third": 3, "thirds": 3, "quarter": 4, "quarters": 4, "fourth": 4,
    "fourths": 4, "fifth": 5, "fifths": 5, "sixth": 6, "sixths": 6, "eighth": 8, "eighths": 8,
    "tenth": 10, "tenths": 10, "sixteenth": 16, "sixteenths": 16, "hundredth": 100,
    "hundredths": 100,
}  # fmt: skip


TWO_WORD_PARTS = {
    ("thirty", "second"): 32, ("thirty", "seconds"): 32, ("sixty", "fourth"): 64,
    ("sixty", "fourths"): 64, ("ten", "thousandth"): 10000, ("ten", "thousandths"): 10000,
}  # fmt: skip


# "Four eighty three phase" is 480.
_NO_ONES = frozenset({*TWO_WORD_PARTS, ("three", "phase")})


_VULGAR = {
    "¼": "1/4", "½": "1/2", "¾": "3/4", "⅐": "1/7", "⅑": "1/9", "⅒": "1/10", "⅓": "1/3",
    "⅔": "2/3", "⅕": "1/5", "⅖": "2/5", "⅗": "3/5", "⅘": "4/5", "⅙": "1/6", "⅚": "5/6",
    "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8",
}  # fmt: skip


BELOW_HUNDRED = {**ZEROS, **WHOLE}


NUMBER_NAMES = frozenset({*BELOW_HUNDRED, "hundred", "thousand", "half", "point"})


_DENOMINATORS = {2, 3, 4, 5, 8, 16, 32, 64}


_ORDINAL_ENDS = {"th", "ths", "rd", "rds", "nd", "nds"}


def decimal_of(value: Fraction) -> tuple[Decimal, bool]:
    """Return a fraction as a decimal, and whether it had to be rounded (to four digits)."""
    bottom = value.denominator
    twos = fives = 0
    while bottom % 2 == 0:
        bottom, twos = bottom // 2, twos + 1
    while bottom % 5 == 0:
        bottom, fives = bottom // 5, fives + 1
    places = max(twos, fives) if bottom == 1 else 4
    scaled = round(value * 10**places)
    return Decimal(scaled).scaleb(-places), bottom != 1


def low_at(tokens: list[Token], at: int) -> str:
    """Return the word at an index in small letters, empty past either end."""
    return tokens[at].low if 0 <= at < len(tokens) else ""


def below_hundred(tokens: list[Token], at: int) -> tuple[int, int] | None:
    """Return value and index after, of words for a number below a hundred."""
    low = low_at(tokens, at)
    if low in TENS:
        one = ONES.get(low_at(tokens, at + 1))
        parted = (low_at(tokens, at + 1), low_at(tokens, at + 2)) in _NO_ONES
        if one and not parted:
            return TENS[low] + one, at + 2
        return TENS[low], at + 1
    value = BELOW_HUNDRED.get(low)
    return None if value is None else (value, at + 1)


def without_point(tokens: list[Token], at: int) -> tuple[Decimal, int] | None:
    """Return a value whose point was not said, and the index after: "thirty-four nine eight".

    Behind an article the digits name a thing: "the thirty-four nine eight pump".
    """
    if low_at(tokens, at) not in TENS or low_at(tokens, at - 1) in _NAMED_BEHIND:
        return None
    whole = below_hundred(tokens, at)
    if whole is None or whole[1] != at + 2:
        return None
    digits, after = "", whole[1]
    while (low := low_at(tokens, after)) in ONES or low in _SAID_ZERO:
        digits, after = f"{digits}{ONES.get(low, 0)}", after + 1
    fine = _LEAST_PLACES <= len(digits) <= _MOST_PLACES
    if not fine or low_at(tokens, after) not in BEHIND_A_READING:
        return None
    return Decimal(f"{whole[0]}.{digits}"), after


_LEAST_PLACES, _MOST_PLACES = 2, 3
_NAMED_BEHIND = {"a", "an", "the", "number", "model", "part", "type", "this", "that", "my",
                 "called", "call", "ring", "phone", "bolts", "cylinders"}  # fmt: skip
BEHIND_A_READING = {"", ",", ".", ";", "!", "?", "…", "and", "to", "at", "on", "so", "or", "is",
                     "in", "mm", "mil", "millimetres", "millimeters", "millimetre", "millimeter",
                     "here", "there", "that's", "it's", "which"}  # fmt: skip
"""What may stand behind a value whose digits are read out; behind a name it is rare."""


def part_at(tokens: list[Token], at: int) -> tuple[int, int] | None:
    """Return what "eighths" or "thirty-seconds" divide by, and the index after."""
    low = low_at(tokens, at)
    part = PARTS.get(low)
    if part:
        return part, at + 1
    is_number = at < len(tokens) and tokens[at].kind == "digits" and low.isdigit()
    if is_number and low_at(tokens, at + 1) in _ORDINAL_ENDS and tokens[at + 1].glued:
        digits = int(low)
        return (digits, at + 2) if digits in {*_DENOMINATORS, 10, 100} else None
    two = TWO_WORD_PARTS.get((low, low_at(tokens, at + 1)))
    return (two, at + 2) if two else None


def parts_of(tokens: list[Token], at: int) -> tuple[Fraction, int, int] | None:
    """Return value, index after and what it divides by: ``three eighths``, ``a half``, 3/8."""
    if at >= len(tokens):
        return None
    token = tokens[at]
    if token.kind == "vulgar":
        value = Fraction(_VULGAR[token.text])
        return value, at + 1, value.denominator
    if token.kind == "digits" and low_at(tokens, at + 1) == "/":
        return _stroke(tokens, at)
    if token.low in {"a", "an"}:
        top, after = 1, at + 1
    elif token.kind == "digits" and token.low.isdigit():
        top, after = int(token.low), at + 1
    else:
        found = below_hundred(tokens, at)
        if found is None or not found[0]:
            return None
        top, after = found
    part = part_at(tokens, after)
    if part is None:
        return None
    if _is_time(tokens, top, after, part) or _is_count(tokens, top, after, part):
        return None
    return Fraction(top, part[0]), part[1], part[0]


def _is_count(tokens: list[Token], top: int, at: int, part: tuple[int, int]) -> bool:
    """Whether "nine quarter inch balls" are so many of a size, and not nine quarters of an inch."""
    several = part[0] < top and not low_at(tokens, at).endswith("s")
    named = low_at(tokens, part[1] + 1)
    things = named.isalpha() and len(named) > len("this") and re.search("[^s]s$", named)
    return several and low_at(tokens, part[1]) == "inch" and bool(things)


def _is_time(tokens: list[Token], top: int, at: int, part: tuple[int, int]) -> bool:
    """Whether "thirty seconds" is half a minute rather than parts of an inch."""
    if part[0] != 32:
        return False
    joined = tokens[at + 1].hyphen
    of_inch = low_at(tokens, part[1]) in {"of", "inch"}
    return not (joined or of_inch) and not (top % 2 and top < 32)


def _stroke(tokens: list[Token], at: int) -> tuple[Fraction, int, int] | None:
    if at + 2 >= len(tokens) or not (tokens[at + 1].glued and tokens[at + 2].glued):
        return None
    top, bottom = tokens[at].text, tokens[at + 2].text
    if {tokens[at].kind, tokens[at + 2].kind} != {"digits"}:
        return None
    if not (top.isdigit() and bottom.isdigit() and int(bottom) in _DENOMINATORS):
        return None
    after = at + 3
    if low_at(tokens, after) in {"th", "ths", "rd", "nd"} and tokens[after].glued:
        after += 1
    return Fraction(int(top), int(bottom)), after, int(bottom)


_LEAST_DIGITS = 3
_SAID_ZERO = {*ZEROS, *OH}


def digits_before_point(tokens: list[Token], at: int) -> tuple[int, int] | None:
    """Return value and index after of digits said one by one up to a point: "one three four point".

    Two are left: they may be the number of a thing and its reading.
    """
    digits = ""
    while (low := low_at(tokens, at)) in ONES or (digits and low in _SAID_ZERO):
        digits, at = digits + str(ONES.get(low, 0)), at + 1
    told = len(digits) >= _LEAST_DIGITS and low_at(tokens, at) == "point"
    return (int(digits), at) if told else None


_NO_DIGIT = {"turn", "turns", "of", "an", "a", "the"}


def half_a_digit(tokens: list[Token], value: Decimal, at: int) -> tuple[Decimal, int] | None:
    """Return a decimal with a half of its last digit, and the index after: "1.496 and a half".

    Args:
        tokens: words of the sentence.
        value: the decimal.
        at: index after its last word.
    """
    found = half_after(tokens, at)
    exponent = value.as_tuple().exponent
    if found is None or not isinstance(exponent, int) or exponent >= 0:
        return None
    if found[0] != Fraction(1, 2) or low_at(tokens, found[1]) in _NO_DIGIT:
        return None
    return value + (Decimal("0.5").scaleb(exponent)), found[1]


_OF_A_WHOLE = {"the", "of", "a", "an", "that", "this", "way", "your", "is"}
_SAID_WITHOUT_AN_ARTICLE = {"inch", "turn"}


def half_after(tokens: list[Token], at: int) -> tuple[Fraction, int] | None:
    """Return the part in "and a half" at a token with the index after it, or None."""
    if low_at(tokens, at) != "and":
        return None
    written = low_at(tokens, at + 1) == "a" and low_at(tokens, at + 3) == "/"  # "2 and a 1/2"
    parts = parts_of(tokens, at + 1 + written)
    bare = low_at(tokens, at + 1) in {"half", "quarter"}  # "two and half"
    if parts is None and bare and not _is_half_of_next(tokens, at):
        return Fraction(1, PARTS[low_at(tokens, at + 1)]), at + 2
    if parts is None or parts[0] >= 1 or parts[2] in {10, 100, 10000}:
        return None
    return parts[0], parts[1]


def _is_half_of_next(tokens: list[Token], at: int) -> bool:
    """Whether a half behind "and", without an article, is of what follows, or is done to it.

    So it is in "two bar, and half turn it off" and "two turns and half tighten the other", not in
    "one and half turn".
    """
    after = low_at(tokens, at + 2)
    if after in _OF_A_WHOLE:
        return True
    if after in _SAID_WITHOUT_AN_ARTICLE:
        before = tokens[at - 1] if at else None
        return before is None or not (before.kind == "digits" or before.low in BELOW_HUNDRED)
    return after in VERBS and low_at(tokens, at + 3) in ARTICLES


def stands_for_a_thing(tokens: list[Token], at: int) -> bool:
    """Whether "one" is no number before one: "the metal one three and a half"."""
    led = low_at(tokens, at + 1) == "to"  # "the last one to forty"
    before = low_at(tokens, at - 1)
    named = before.isalpha() and before not in {*BELOW_HUNDRED, *OH, "point", "hundred"}
    named = named and before not in _NO_ADJECTIVE
    named = named and low_at(tokens, at - 2) in {"the", "that", "this"}
    if named and before in _PLACED and low_at(tokens, at + 1) in {",", ".", ""}:
        return True  # "a hundred and thirty for the front one, plus or minus two hundredths"
    after = tokens[at + 1 + led] if at + 1 + led < len(tokens) else None
    if after is None or not (after.kind == "digits" or after.low in BELOW_HUNDRED):
        return False
    return named or before in _POINTS_OUT


# Behind these "one" is a thing.
_POINTS_OUT = {"this", "that", "first", "second", "third", "other", "next", "last", "old", "older",
               "new", "newer", "big", "small", "bigger", "smaller", "each", "every"}  # fmt: skip
_PLACED = {
    "front",
    "rear",
    "back",
    "top",
    "bottom",
    "inner",
    "outer",
    "left",
    "right",
    "upper",
    "lower",
    "inside",
    "outside",
    "near",
    "far",
    "middle",
    "long",
    "short",
    *_POINTS_OUT,
}
_NO_ADJECTIVE = {"is", "at", "to", "of", "s", "reads", "says", "was", "are", "gauge", "dial",
                 "limit"}  # fmt: skip
