"""Numbers out of English words: whole numbers, decimals, fractions, and digits among them.

The names of English whole numbers are a closed list, so they stand here; what has to be
right is how they are put together, and where a number ends.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from decimal import Decimal
from fractions import Fraction

from author.procedure.number_words import ONES
from author.proposals.quantities.numbers.parts import (
    BELOW_HUNDRED,
    OH,
    PARTS,
    TWO_WORD_PARTS,
    ZEROS,
    below_hundred,
    decimal_of,
    digits_before_point,
    half_a_digit,
    half_after,
    low_at,
    part_at,
    parts_of,
    stands_for_a_thing,
    without_point,
)
from author.proposals.quantities.numbers.tokens import Read, Token

_STARTS = {*BELOW_HUNDRED, *OH, *PARTS, "a", "an", "hundred", "thousand", "point", "double"}
# "a few thousand", "hundreds of thousand": no number anybody could write down.
_NOT_ONE = {"few", "couple", "several", "many", "of", "hundred", "some", "odd", "per"}
# "point" is a spot, not a decimal point, behind these.
_SPOT = {
    "this", "that", "the", "a", "an", "any", "some", "which", "what", "each", "every", "another",
    "pivot", "pinch", "balance", "grease", "jacking", "lifting", "mounting", "set", "end",
    "starting", "contact", "first", "second", "whole", "same",
}  # fmt: skip
_COMPARED = {"inside", "within", "under", "over", "than", "below", "above", "past"}
# Who says the comma means the decimal one: "twenty-eight comma four".
_POINTS = {"point", "dot", "comma"}
_MOST_DECIMALS, _MOST_SPELLED = 8, 30


@dataclass(frozen=True, slots=True)
class Number:
    """One number that was said.

    Attributes:
        first: index of its first token.
        last: index after its last token.
        value: exact, with the digits that were said; None where a comma could be a decimal
            point or a mark of thousands.
        form: ``whole``, ``decimal``, ``fraction``, ``mixed`` (``two and a half``), or
            ``spelled`` (digit by digit, as in a part number).
        bottom: what a fraction divides by (16 for ``five sixteenths``); 1 for other forms.
        paired: whether it was said in two halves, as ``three fifty``.
        about: whether the number itself says that it is not exact (``twenty-odd``).
        rounded: whether it has no end as a decimal, and was rounded.
    """

    first: int
    last: int
    value: Decimal | None
    form: str
    bottom: int = 1
    paired: bool = False
    about: bool = False
    rounded: bool = False


def number_at(tokens: list[Token], at: int) -> Number | None:
    """Return the longest number that begins at a token, or None.

    Args:
        tokens: of one sentence.
        at: index of the first one.
    """
    token = tokens[at]
    if token.kind == "sign" or (token.kind == "word" and token.low not in _STARTS):
        return None
    if not isinstance(tokens, Read):
        return _longest_at(tokens, at)
    if at not in tokens.numbers:
        tokens.numbers[at] = _longest_at(tokens, at)
    return tokens.numbers[at]


def _longest_at(tokens: list[Token], at: int) -> Number | None:
    if tokens[at].low == "one" and stands_for_a_thing(tokens, at):
        return None
    number = _fraction_at(tokens, at) or _decimal_at(tokens, at)
    if number is None:
        number = _whole_at(tokens, at)
        number = number and _mixed(tokens, number)
    return number and _odd(tokens, number)


def _odd(tokens: list[Token], number: Number) -> Number:
    after = low_at(tokens, number.last)
    glued = number.last < len(tokens) and (tokens[number.last].glued or after == "ish")
    if after == "odd" or (after in {"ish", "some", "something"} and glued):
        return replace(number, last=number.last + 1, about=True)
    return number


# Whole numbers


def whole_below_thousand(tokens: list[Token], at: int) -> tuple[int, int] | None:
    """Return value and index after of a whole number in words that is not said in halves."""
    low = low_at(tokens, at)
    if low in {"a", "hundred"} and low_at(tokens, at + (low == "a")) == "hundred":
        return _and_rest(tokens, 100, at + 1 + (low == "a"))
    found = below_hundred(tokens, at)
    if found and low_at(tokens, found[1]) == "hundred":
        return _and_rest(tokens, found[0] * 100, found[1] + 1)
    return found


def _below_thousand(tokens: list[Token], at: int) -> tuple[int, int, bool] | None:
    """Return value, index after, and whether it was said in two halves."""
    if low_at(tokens, at) == "hundred" and at and tokens[at - 1].kind == "digits":
        return None
    found = whole_below_thousand(tokens, at)
    if found is None:
        return None
    value, after = found
    hundreds = any(token.low == "hundred" for token in tokens[at:after])
    halves = None if hundreds else _halves(tokens, value, after)
    return halves or (value, after, False)


def _and_rest(tokens: list[Token], hundreds: int, at: int) -> tuple[int, int]:
    """Add what follows the word "hundred", with or without "and"."""
    skip = at + 1 if low_at(tokens, at) == "and" else at
    rest = below_hundred(tokens, skip)
    if rest is None or rest[0] == 0:
        return hundreds, at
    # "between two hundred and two fifty": the "and" joins two numbers.
    joins_two = skip > at and (
        low_at(tokens, rest[1]) in BELOW_HUNDRED or low_at(tokens, rest[1]) == "hundred"
    )
    if joins_two or (part_at(tokens, rest[1]) and low_at(tokens, rest[1]) != "half"):
        return hundreds, at
    return hundreds + rest[0], rest[1]


def joined_halves(value: int, rest: int) -> bool:
    """Whether a hyphen joins two halves, "nineteen-fifty", and no range, "ten-fifteen"."""
    if value < 10:
        return rest >= 20
    return rest * 2 >= value * 5 or (rest > 20 and rest % 10 != 0)


def _halves(tokens: list[Token], value: int, at: int) -> tuple[int, int, bool] | None:
    """Read "three fifty", "twelve fifty" and "one oh five" as one number."""
    rest = below_hundred(tokens, at)
    tens = rest is not None and rest[0] >= 10 and rest[0] % 10 == 0
    if at >= len(tokens) or value in {0, 10} or (value > 19 and (value % 10 == 0 or not tens)):
        return None
    if tokens[at].hyphen and rest is not None and not joined_halves(value, rest[0]):
        return None
    if low_at(tokens, at) in {"oh", "o", "zero"} and value < 10:
        one = ONES.get(low_at(tokens, at + 1))
        is_more = low_at(tokens, at + 2) in {*ONES, "oh", "point"}
        return None if one is None or is_more else (value * 100 + one, at + 2, True)
    rest = below_hundred(tokens, at)
    if rest is None or rest[0] < 10:
        return None
    two_words = (low_at(tokens, at), low_at(tokens, at + 1))
    is_more = low_at(tokens, rest[1]) in {"thousand", "hundred"}
    is_more = is_more or (low_at(tokens, rest[1]) == "point" and value > 9)
    if two_words in TWO_WORD_PARTS or is_more or part_at(tokens, rest[1]):
        return None
    return value * 100 + rest[0], rest[1], True


def _whole_at(tokens: list[Token], at: int) -> Number | None:
    token = tokens[at]
    if token.kind == "digits":
        return _digits_at(tokens, at)
    spelled = _spelled_at(tokens, at)
    if spelled:
        return spelled
    if token.low == "a" and low_at(tokens, at + 1) == "thousand":
        return _thousands(tokens, at, 1, at + 1, paired=False)
    if token.low == "thousand":
        vague = low_at(tokens, at - 1) in _NOT_ONE or (at > 0 and tokens[at - 1].kind == "digits")
        return None if vague else _thousands(tokens, at, 1, at, paired=False)
    found = _below_thousand(tokens, at)
    return found and _thousands(tokens, at, found[0], found[1], paired=found[2])


def _thousands(tokens: list[Token], first: int, value: int, at: int, *, paired: bool) -> Number:
    if low_at(tokens, at) == "thousand":
        value, at = value * 1000, at + 1
        skip = at + 1 if low_at(tokens, at) == "and" else at
        rest = _below_thousand(tokens, skip)
        halves = rest is not None and rest[2] and (skip > at or rest[0] >= 1000)
        if rest and not halves and rest[0] and not part_at(tokens, rest[1]):
            value, at = value + rest[0], rest[1]
    return Number(first, at, Decimal(value), "whole", paired=paired)


def _digits_at(tokens: list[Token], at: int) -> Number:
    text = tokens[at].text
    if "," in text:
        groups = text.partition(".")[0].split(",")
        if text[0] == "0" or any(len(group) != 3 for group in groups[1:]):
            return Number(at, at + 1, None, "decimal")
    value = Decimal(text.replace(",", "").replace(" ", ""))
    after = low_at(tokens, at + 1)
    form = "decimal" if "." in text else "whole"
    if after in {"hundred", "thousand"}:
        size = 100 if after == "hundred" else 1000
        return Number(at, at + 2, Decimal(format(value * size, "f")), "whole")
    is_code = form == "whole" and len(text) > 1 and text[0] == "0"
    return Number(at, at + 1, value, "spelled" if is_code else form)


def _spelled_at(tokens: list[Token], at: int) -> Number | None:
    """Read digits said one by one: ``six two oh three``."""
    digits, after = "", at
    while len(digits) < _MOST_SPELLED and (
        (low := low_at(tokens, after)) in ONES or low in ZEROS or low in OH
    ):
        is_next = low_at(tokens, after + 1) in {"point", "hundred", "thousand"}
        is_mixed = low_at(tokens, after + 1) == "and" and parts_of(tokens, after + 2) is not None
        is_mixed = is_mixed and len(digits) < 3  # "one four nine eight and a half": inches
        if digits and (is_next or is_mixed or part_at(tokens, after + 1)):
            break
        if is_next:
            return None
        digits, after = digits + str(ONES.get(low, 0)), after + 1
    if len(digits) < 2 or (len(digits) == 2 and digits[0] != "0"):
        return None
    if at == 0 and tokens[0].low == "oh" and len(digits) == 2:
        return None  # "Oh, seven", where no comma is written
    if len(digits) == 3 and digits[1] == "0":  # "one oh five" is a number as well
        return None
    return Number(at, after, Decimal(digits[:30]), "spelled")


# Decimals


def _decimal_at(tokens: list[Token], at: int) -> Number | None:
    if unsaid := without_point(tokens, at):
        return Number(at, unsaid[1], unsaid[0], "decimal")
    whole, point = _before_point(tokens, at)
    if point is None:
        return None
    digits, after = _decimals(tokens, point + 1)
    if not digits:
        return None
    value = Decimal(f"{whole}.{digits}")
    if low_at(tokens, after) in {"hundred", "thousand"} and whole:
        size = 100 if low_at(tokens, after) == "hundred" else 1000
        return Number(at, after + 1, Decimal(format((value * size).normalize(), "f")), "whole")
    value, after = half_a_digit(tokens, value, after) or (value, after)
    return Number(at, after, value, "decimal")


def _before_point(tokens: list[Token], at: int) -> tuple[int, int | None]:
    """Return the whole part and the index of the word "point", None if there is none."""
    low = low_at(tokens, at)
    if low == "point":
        after = low_at(tokens, at + 1)
        compared = low_at(tokens, at - 1) == "the" and low_at(tokens, at - 2) in _COMPARED
        told = after in OH or after in ZEROS or compared  # "the point oh two", "inside the point 1"
        is_spot = (low_at(tokens, at - 1) in _SPOT and not told) or at + 1 >= len(tokens)
        return 0, None if is_spot else at
    if tokens[at].kind == "digits" and low_at(tokens, at + 1) in _POINTS:
        return (int(low), at + 1) if low.isdigit() else (0, None)
    if low in OH or low in ZEROS:
        return 0, at + 1 if low_at(tokens, at + 1) in _POINTS else None
    if spelled := digits_before_point(tokens, at):
        return spelled
    found = _below_thousand(tokens, at)
    if found is None and low == "a" and low_at(tokens, at + 1) == "thousand":
        found = (1, at + 1, False)
    if found is None:
        return 0, None
    whole = _thousands(tokens, at, found[0], found[1], paired=found[2])
    is_point = low_at(tokens, whole.last) in _POINTS
    return int(whole.value or 0), whole.last if is_point else None


_ONE_OF_TWO = {"way", "direction"}


def _decimals(tokens: list[Token], at: int) -> tuple[str, int]:
    """Return the digits behind the word "point", and the index after them."""
    digits = ""
    while at < len(tokens) and len(digits) < _MOST_DECIMALS:
        low = tokens[at].low
        if tokens[at].kind == "digits" and low.isdigit() and not digits.strip("0"):
            digits, at = digits + low, at + 1
            continue
        size = 2 if low == "double" else 3 if low == "triple" else 1
        low = low_at(tokens, at + 1) if size > 1 else low
        if low in OH or low in ZEROS or (size > 1 and low in ONES):
            digits, at = digits + str(ONES.get(low, 0)) * size, at + (2 if size > 1 else 1)
            continue
        found = below_hundred(tokens, at)
        # "one point two one point six": the second "one" begins a number of its own.
        if found is None or (digits and _begins_another(tokens, found[1])):
            break
        if digits and low == "one" and low_at(tokens, at + 1) in _ONE_OF_TWO:
            break  # "point seven one way and point four the other"
        if digits and tokens[at].hyphen and not tokens[at - 1].hyphen and found[0] < 10:
            break
        digits, at = digits + str(found[0]), found[1]
        if low_at(tokens, at) == "hundred":
            return digits + "00", at + 1
    return digits[:_MOST_DECIMALS], at


def _begins_another(tokens: list[Token], after: int) -> bool:
    if low_at(tokens, after) in {"point", "hundred", "thousand"}:
        return True
    return bool(part_at(tokens, after))


# Fractions


def _fraction_at(tokens: list[Token], at: int) -> Number | None:
    token = tokens[at]
    if token.kind == "digits" and low_at(tokens, at + 1) != "/":
        mixed = _mixed_digits(tokens, at)
        if mixed:
            return mixed
    parts = parts_of(tokens, at)
    if token.low in {"half", "quarter"} and low_at(tokens, at + 1) == "a":
        small = parts_of(tokens, at + 1)  # "half a tenth"
        if small and small[2] in {10, 100}:
            value, rounded = decimal_of(small[0] / PARTS[token.low])
            return Number(at, small[1], value, "fraction", bottom=small[2], rounded=rounded)
    # "half an inch", "quarter turn": the caller sees whether a unit follows.
    if parts is None and token.low in PARTS and not token.low.endswith("s"):
        parts = Fraction(1, PARTS[token.low]), at + 1, PARTS[token.low]
    if parts is None:
        return None
    after, share = parts[1], parts[0]
    if parts[2] in {10, 100} and (half := half_after(tokens, after)) and half[0] == Fraction(1, 2):
        after, share = half[1], share + half[0] / parts[2]  # a tenth and a half
    value, rounded = decimal_of(share)
    return Number(at, after, value, "fraction", bottom=parts[2], rounded=rounded)


def _mixed_digits(tokens: list[Token], at: int) -> Number | None:
    """Read ``2 1/2``, ``2-1/2`` and ``2½``."""
    if not tokens[at].low.isdigit():
        return None
    after = at + 1
    if low_at(tokens, after) == "-" and tokens[after].glued:
        after += 1
    if after >= len(tokens) or tokens[after].kind not in {"vulgar", "digits"}:
        return None
    if tokens[after].kind == "digits" and low_at(tokens, after + 1) != "/":
        return None
    parts = parts_of(tokens, after)
    if parts is None or parts[0] >= 1:
        return None
    value, rounded = decimal_of(int(tokens[at].low) + parts[0])
    return Number(at, parts[1], value, "mixed", rounded=rounded)


def _mixed(tokens: list[Token], number: Number) -> Number:
    """Add "and a half", "and three eighths" to a whole number."""
    if number.form == "spelled" or number.value is None:
        return number
    if number.form == "decimal":
        value, after = half_a_digit(tokens, number.value, number.last) or (None, 0)
        return replace(number, value=value, last=after) if after else number
    found = half_after(tokens, number.last)
    if found is None and low_at(tokens, number.last) in ONES and number.value < 100:
        parts = parts_of(tokens, number.last)
        found = parts and (parts[0], parts[1])
    if found is None:
        return number
    after, size, part = found[1], 1, PARTS.get(low_at(tokens, found[1]), 1)
    if part in {10, 100}:  # "two and a half hundredths"
        value, rounded = decimal_of((Fraction(number.value) + found[0]) / part)
        return Number(number.first, after + 1, value, "fraction", bottom=part, rounded=rounded)
    value, rounded = decimal_of(Fraction(number.value) + found[0])
    if low_at(tokens, after) in {"hundred", "thousand"}:
        size = 100 if low_at(tokens, after) == "hundred" else 1000
        return Number(number.first, after + 1, Decimal(format(value * size, ".0f")), "whole")
    return Number(number.first, after, value, "mixed", rounded=rounded)
