"""Numbers that tell which one or when: timber, oils, keys, clock faces, rates, prices."""

from __future__ import annotations

import re

from author.proposals.quantities.amounts.amount import Amount, between
from author.proposals.quantities.amounts.behind_numbers import plain_unit_at
from author.proposals.quantities.amounts.units import MIL, kind_of
from author.proposals.quantities.no_quantity.tools import BEARING_NAME
from author.proposals.quantities.numbers.parts import NUMBER_NAMES
from author.proposals.quantities.numbers.tokens import Token

_LONGEST, _EIGHT, _TWO = 12, 8, 2
# "A piece of two by four": nobody measures timber by its name.
_STOCK = re.compile(
    r"\b(?:pieces?|blocks?|bits?|lengths?|offcuts?|scraps?|lumps?|chunks?|sticks?) of(?: an?)?$"
)
_DAYTIME = ("in the morning", "in the afternoon", "in the evening", "at night")
_FACE = frozenset({"twelve", "three", "six", "nine", "12", "3", "6", "9"})
_LISTING = frozenset({",", "and", "then"})
_FEWEST = 3
# "Rock the wheel at twelve and six"
_FACING = ({"twelve", "six"}, {"12", "6"}, {"nine", "three"}, {"9", "3"})
_FACING_WORDS = 3
# "Eight ninety-nine a tub" costs money; "0.25 a side" does not.
_SOLD = re.compile(r"an? (?:tub|bag|box|pack|packet|bottle|tin|can|jar|pop|plate|cup|pot|dozen)\b")
_PENCE = -2
_FACTOR = re.compile(r"\b(?:factor|multiplier|magnification)(?: is| of| was|'s)?$")
_OF_EIGHT = re.compile(r"\bfigures? of$")
# What follows these is the name of an oil: "two litres of the two-twenty".
_POURED = re.compile(
    r"\b(?:litres?|liters?|quarts?|pints?|gallons?) of(?: the| your| some| that)?$"
)
# Gear oils, SAE J306, from memory.
_GEAR_OIL = re.compile(
    r"(?:^|\s)(?:(?:75|80|85|eighty|(?:seventy|eighty) five) (?:w )?(?:80|90|140|ninety|one forty)"
    r"|75\.90|80\.90|85\.140)$"
)
# Refrigerants, ISO 817, from memory: "one thirty-four A".
_GASES = frozenset({134, 404, 407, 410, 422, 438, 448, 449, 452, 507})
_LETTERS = frozenset("ABCDF")
_OILED = frozenset({"oil", "oils", "gear", "grease", "litre", "litres", "liter", "liters", "quart",
                    "mil", "hub", "diff", "axle",
                    "quarts", "pint", "pints", "fill", "level", "pour", "top"})  # fmt: skip
# "With the key of ten": how those say it in whose language the size stands behind.
_OF_A_KEY = re.compile(
    r"\b(?:key|nut|hex|spanner|wrench|socket|allen|torx|driver)s?(?: is (?:\w+ ){0,2},)? of"
    r"(?: ,? ?(?:(?:eh|uh|er|…) )?,? ?of)?$"
)
_ACROSS = re.compile(
    r"\b(?:socket|spanner|wrench|allen|torx)(?: thing| bit| key)? ,(?: the| an?)?$"
)
_WITH_A = re.compile(r"\bwith (?:an?|the|your)$")
_OF_INCH = frozenset({4, 8, 16, 32})
_ENDS = frozenset({"", ",", ".", ";", "and", "or", "so", "then", "on", "for"})
_DIVIDED = frozenset({"divisions", "graduations"})
_ARTICLES = frozenset({"a", "an", "the", "this", "that"})
_APART = ("apart", "between", "each", "later", "before", "after", "or")


def tells_which(tokens: list[Token], amount: Amount) -> bool:
    """Whether a number names an oil, a key, a price or a time of day, or is part of a rate."""
    ahead = between(tokens, max(0, amount.first - 6), amount.first)
    behind = between(tokens, amount.last, min(amount.last + 4, len(tokens)))
    after = tokens[amount.last].low if amount.last < len(tokens) else ""
    if amount.unit is None:
        return _names_one(tokens, amount, ahead, behind, after)
    if kind_of(amount.unit) == "time":
        return _is_rate(tokens, amount, behind)
    if not amount.is_plain():
        return False
    begins = {token.low for token in tokens[max(0, amount.first - 1) : amount.first + 1]}
    its = bool(begins & _ARTICLES)
    if after in _DIVIDED or (after in {"dial", "coin", "note"} and its):
        return True  # "in five gram divisions", "a hundred thou dial"
    across = amount.unit in {"mm", "in", MIL} and after in _ENDS - {"on", "for"}
    return across and _ACROSS.search(ahead) is not None


def is_timber(tokens: list[Token], amount: Amount) -> bool:
    """Whether two numbers are the name of a timber: "a block of two by four"."""
    small = all(one == int(one) and one <= _LONGEST for one in amount.numbers)
    plain = amount.form == "size" and amount.unit is None and len(amount.numbers) == _TWO
    ahead = between(tokens, max(0, amount.first - 4), amount.first)
    return plain and small and _STOCK.search(ahead) is not None


def carries(tokens: list[Token], amount: Amount) -> bool:
    """Whether a thing carries a supply voltage: "there's four eighty in every one of them".

    Args:
        tokens: words of the sentence.
        amount: one of its amounts.
    """
    after = tokens[amount.last].low if amount.last < len(tokens) else ""
    return amount.unit is None and amount.nominal in SUPPLIES and after in _CARRYING


# Voltages of supplies (common practice, no source); nobody counts so many things.
SUPPLIES = frozenset({110, 115, 120, 208, 220, 230, 240, 277, 380, 400, 415, 440, 460, 480, 575,
                      600, 690})  # fmt: skip
_CARRYING = frozenset({"in", "on", "at", "across", "behind", "between", "coming"})


def _names_one(tokens: list[Token], amount: Amount, ahead: str, behind: str, after: str) -> bool:
    if _FACTOR.search(ahead) or _POURED.search(ahead) or _is_gear_oil(tokens, amount):
        return True
    value = amount.nominal
    if value is None or not amount.is_plain():
        return False
    if amount.form == "fraction":
        return amount.bottom in _OF_INCH and after in _ENDS and bool(_WITH_A.search(ahead))
    if value.as_tuple().exponent == _PENCE and _SOLD.match(behind):
        return True
    if amount.form != "whole":
        return False
    if value <= _LONGEST and behind.startswith(_DAYTIME):
        return True
    before = tokens[amount.first - 1].low if amount.first else ""
    if before in {"a", "an"} and BEARING_NAME.fullmatch(f"{value:f}"):
        return True
    eight = value == _EIGHT and _OF_EIGHT.search(ahead)
    gas = value in _GASES and amount.last < len(tokens) and tokens[amount.last].text in _LETTERS
    placed = _is_at_address(tokens, amount) or _is_on_clock_face(tokens, amount)
    return bool(eight or gas or _OF_A_KEY.search(ahead)) or placed


def _is_at_address(tokens: list[Token], amount: Amount) -> bool:
    """Whether it is told with an axis, a terminal or a grade: "A2 minus ninety", "A4 minus 80"."""
    sign = amount.first if tokens[amount.first].low in _SIGNS else amount.first - 1
    at = sign - 1 - (sign > 0 and tokens[sign - 1].low == ",")
    if at < 1 or tokens[sign].low not in _SIGNS or tokens[at].kind != "digits":
        return False
    letter = tokens[at - 1].text
    return tokens[at].glued and tokens[at].low.isdigit() and len(letter) == 1 and letter.isupper()


_SIGNS = frozenset({"minus", "plus", "-", "−", "+"})


def _is_gear_oil(tokens: list[Token], amount: Amount) -> bool:
    """Whether it is what a gear oil is called: "one point two litres of eighty-ninety"."""
    said = between(tokens, max(0, amount.first - 2), amount.last).replace("-", " ")
    named = _GEAR_OIL.search(" ".join(said.split()))
    return named is not None and any(token.low in _OILED for token in tokens)


def _is_on_clock_face(tokens: list[Token], amount: Amount) -> bool:
    """Whether it is a place round a circle: "read it at twelve, three, six and nine"."""
    if tokens[amount.first].low not in _FACE or amount.last != amount.first + 1:
        return False
    first, last = amount.first, amount.last
    while first and tokens[first - 1].low in _FACE | _LISTING:
        first -= 1
    while last < len(tokens) and tokens[last].low in _FACE | _LISTING:
        last += 1
    listed = {token.low for token in tokens[first:last]} & _FACE
    at = tokens[first - 1].low == "at" if first else False
    number = last < len(tokens) and _is_number(tokens[last])
    unit = last < len(tokens) and plain_unit_at(tokens, last) is not None
    facing = listed in _FACING and last - first == _FACING_WORDS
    return at and (len(listed) >= _FEWEST or facing) and not number and not unit


def _is_rate(tokens: list[Token], amount: Amount, behind: str) -> bool:
    """Whether so many are told for an hour: "five thousand an hour", "ten starts in an hour"."""
    each = amount.nominal == 1 and amount.form == "whole" and "article" in amount.flags
    if not each or behind.startswith(_APART) or not amount.first:
        return False
    at = amount.first - 1
    at -= tokens[at].low == "in" and at > 0
    if _is_number(tokens[at]):
        return True
    things = tokens[at].low.endswith("s") and plain_unit_at(tokens, at) is None
    return things and at > 0 and _is_number(tokens[at - 1])


def _is_number(token: Token) -> bool:
    return token.kind == "digits" or token.low in NUMBER_NAMES
