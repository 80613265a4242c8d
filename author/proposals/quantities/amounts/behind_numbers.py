"""Units as they are spoken, found behind a number or an article."""

from __future__ import annotations

import re
from dataclasses import replace

from author.proposals.quantities.amounts.rates import with_rate
from author.proposals.quantities.amounts.units import (
    DEGREE,
    MIL,
    OUNCE,
    POUND,
    UnitSaid,
    unit_word_at,
)
from author.proposals.quantities.numbers.parts import BELOW_HUNDRED, half_after, low_at
from author.proposals.quantities.numbers.tokens import Token

_TURNED_THINGS = {"the", "it", "them", "that", "your", "this", "these", "each", "by", "to", "her",
                  "him", "'em", "em", "over", "round", "around", "both", "my", "those", "its",
                  "slowly", "everything", "all"}  # fmt: skip
# One letter is a unit only where it touches its number: 5V, 80C.
_LETTERS = {"V": "V", "A": "A", "N": "N", "m": "m", "g": "g", "L": "L", "l": "L", "C": "°C",
            "F": "°F", "W": "W", "h": "h", "s": "s", "K": "K", "Ω": "Ω", "\u2126": "Ω"}  # fmt: skip
# Further words that may stand between a number and its unit.
_BETWEEN = {
    "full", "whole", "complete", "more", "solid", "extra", "additional", "good", "clear", "like",
    "further", "straight", "odd", "lousy", "proper", "minimum", "maximum", "max", "min", "tops",
    "front", "rear",
}  # fmt: skip
_SIDES = {"minimum": "lower", "min": "lower", "maximum": "upper", "max": "upper", "tops": "upper"}
DIMENSIONS = {"deep", "long", "wide", "thick", "high", "tall", "across", "proud", "apart"}
# A bar, a pound, a second, a foot: things, money or a turn of phrase rather than amounts.
_WITH_ARTICLE = {"MΩ", "mm", "in", "turn", "h", "L", "thou", "US gal", "US qt", "cm", "kPa"}
# "whole turn, and feel": the article is left out.
_ALL_OF_IT = {"whole", "full", "complete"}
_NOT_ALONE = {"a", "an", "one", "the", "of", "per", "each", "every", "no", "half", "not", "by",
              "this", "that", "another"}  # fmt: skip
# "about a foot" is told as a length, where "a foot" alone may be one to stand on.
_NEARLY = {"about", "around", "roughly", "nearly", "almost", "approximately", "maybe"}
_ROUGHLY_ONE = {"ft", "m", "kg", "bar", "g", "N", "min", "tsp", POUND, OUNCE, DEGREE, MIL}
_HALF_OF_IT = {"", ",", ".", "to", "at", "about", "of", "is", "another", "by", "for", "and", "got",
               "good", "roughly", "around", "only", "it's", "than", "be"}  # fmt: skip
_OF_ITS_SIZE = {*DIMENSIONS, "new", "bore", "diameter", "stroke", "travel", "from", "off", "below"}
# Of these the part tells enough: no thing is called so.
_NO_THING = {"mm", "in", "turn", "h", "L", "m", "cm"}
# "Let it cool a minute", "hold her in the flame for a minute"; "wait a minute" is said of nothing.
_TAKES_TIME = {"hold", "settle", "cool", "soak", "drain", "rest", "cure", "heat", "spin", "steep",
               "leave", "give", "keep", "bleed", "warm", "sit", "drip"}  # fmt: skip
_IT = {"it", "her", "him", "them", "that", "this", "'em"}
_NO_MORE = re.compile(
    r"(?:of \w+ )?(?:,? ?(?:is|'s|at|being) )?(?:the |a )*(?:very |absolute |bare )*"
    r"(?:most|least|max|maximum|min|minimum|tops|limit)\b"
)
_LONG = DIMENSIONS - {"across"}
_ENDS = {"", ",", ".", ";", "so", "and", "but", "or", "at"}
_COMPARED = {"than", "within", "exceed", "exceeds", "exceeding", "under", "below"}


def plain_unit_at(tokens: list[Token], at: int) -> UnitSaid | None:
    """Return the unit whose words begin exactly at a token, with what it is told of, or None."""
    unit = unit_word_at(tokens, at)
    return unit and with_rate(tokens, unit)


def unit_at(tokens: list[Token], at: int, *, digits: bool, fraction: bool) -> UnitSaid | None:
    """Return the unit behind a number, or None.

    Args:
        tokens: of the sentence.
        at: index after the number.
        digits: whether the number was written in digits.
        fraction: whether it is less than one: then "a" or "of an" may stand between.
    """
    if at >= len(tokens):
        return None
    short = _short_unit(tokens, at, digits=digits)
    if short:
        return with_rate(tokens, short)
    at, about, sides = _between(tokens, at)
    found = _unit_here(tokens, at) or _goes_without_saying(tokens, at)
    if found is None and fraction:
        skip = at + (low_at(tokens, at) == "of")
        if low_at(tokens, skip) in {"a", "an", "one"}:
            skip += 1
            while low_at(tokens, skip) in _BETWEEN:
                skip += 1
        found = _unit_here(tokens, skip, fine=False)
        if found and found.symbol == "t" and low_at(tokens, found.last) == "of":
            found = None  # "half a ton of muck" is much
    if low_at(tokens, at) == "turn" and not fraction and _is_order(tokens, at):
        return None  # "six to eight, turn the nut"
    return found and replace(found, about=about, words=sides)


_RISES = {"above", "over", "below"}
_GASES_NEAR = 12


def _goes_without_saying(tokens: list[Token], at: int) -> UnitSaid | None:
    """Return the unit of "CO, two hundred parts" and of "forty above ambient"."""
    low = low_at(tokens, at)
    if low in _RISES and low_at(tokens, at + 1) == "ambient":
        return UnitSaid("K", at + 2, single=False)
    if low != "parts" or low_at(tokens, at + 1) == "per":
        return None
    near = {token.low for token in tokens[max(0, at - _GASES_NEAR) : at]}
    return UnitSaid("ppm", at + 1, single=False) if "co" in near else None


def _unit_here(tokens: list[Token], at: int, *, fine: bool = True) -> UnitSaid | None:
    found = (thousandths(tokens, at) if fine else None) or _tonnes(tokens, at)
    return with_rate(tokens, found) if found else plain_unit_at(tokens, at)


def _is_order(tokens: list[Token], at: int) -> bool:
    """Whether "turn" behind a number tells to turn something: "twenty-two turn her over"."""
    many = low_at(tokens, at - 1) not in {"one", "1", "a", "half", "quarter"}
    return low_at(tokens, at + 1) in _TURNED_THINGS and not (
        tokens[at].hyphen or (low_at(tokens, at + 1) in {"to", "by", "over", "each"} and not many)
    )


def _between(tokens: list[Token], at: int) -> tuple[int, bool, frozenset[str]]:
    """Return the index after the words between a number and its unit, and what they say."""
    about, sides = False, set()
    for _ in range(3):
        low = low_at(tokens, at)
        if low == "," and low_at(tokens, at + 1) == "like":
            at += 1
        elif low in _BETWEEN and plain_unit_at(tokens, at) is None:
            at += 1
            if low in _SIDES:
                sides.add(_SIDES[low])
            if low_at(tokens, at) == ",":
                at += 1
        elif low == "or" and low_at(tokens, at + 1) == "so":
            at, about = at + 2, True
        elif low == "some" and plain_unit_at(tokens, at + 1):
            at, about = at + 1, True  # "sixty some pounds"
        else:
            break
    return at, about, frozenset(sides)


_LASTING = {"for", "about", "to", "of", "after", "every", "wait", "hold", "is", "at", "takes",
            "than", "least", "another", "in", "within", "around", "only", "just", "and", "or",
            ",", ":", ".", "approximately", "over", "under", "was", "be", "time", "soak",
            "then"}  # fmt: skip


def _short_unit(tokens: list[Token], at: int, *, digits: bool) -> UnitSaid | None:
    token = tokens[at]
    if not digits:
        return None
    if token.text in {'"', "″", "”"} and token.glued:
        return UnitSaid("in", at + 1, single=False)
    further = tokens[at + 1] if at + 1 < len(tokens) else None
    if token.glued and further and further.glued and further.kind == "digits":
        return None  # "4L360" is a name
    if token.low == "s" and at > 1 and low_at(tokens, at - 2) not in _LASTING:
        return None  # "one of the 3s", "grade 5s"
    alone = token.text in {"l", "g"}  # no other words are one of these
    if (
        (token.glued or alone)
        and token.text in _LETTERS
        and low_at(tokens, at + 1) not in {"·", "/"}
    ):
        return UnitSaid(_LETTERS[token.text], at + 1, single=False)
    after = tokens[at + 1] if at + 1 < len(tokens) else None
    if token.low == "in" and (plain := plain_unit_at(tokens, at)):
        return plain
    ends = after is None or after.kind == "sign" or after.low in DIMENSIONS
    if token.low == "in" and (token.glued or ends):
        return UnitSaid("in", at + 1, single=False)
    return None


def thousandths(tokens: list[Token], at: int) -> UnitSaid | None:
    """Return thousandths of a millimetre, and "thousands" where thousandths was meant."""
    low = low_at(tokens, at)
    if low not in {"thousandth", "thousandths", "thousands"}:
        return None
    if low_at(tokens, at + 1) == "of" and low_at(tokens, at + 2) in {"a", "an", "one"}:
        unit = plain_unit_at(tokens, at + 3)
        if unit and unit.symbol in {"mm", MIL}:
            return UnitSaid("mm", unit.last, single=False, shift=-3)
        if unit and unit.symbol == "in":
            return UnitSaid("thou", unit.last, single=False)
    if low == "thousands" and low_at(tokens, at + 1) == "of":
        return None
    return UnitSaid("thou", at + 1, single=low == "thousandth", doubtful=low == "thousands")


def _tonnes(tokens: list[Token], at: int) -> UnitSaid | None:
    """Read tonnes; which ton a "ton" is, tells the recording (see ``bare_numbers.settle``)."""
    at += low_at(tokens, at) == "metric"
    low = low_at(tokens, at)
    if low not in {"ton", "tons", "tonne", "tonnes"}:
        return None
    loose = low.startswith("ton") and "nn" not in low and low_at(tokens, at - 1) != "metric"
    return UnitSaid("t", at + 1, single=not low.endswith("s"), doubtful=loose)


def _is_rate(tokens: list[Token], at: int) -> bool:
    """Whether the article stands for "per": "fifteen miles an hour", "four drops a minute"."""
    many = low_at(tokens, at - 1)
    if (many != "mile" and not many.endswith("s")) or many.endswith("ss") or at < 2:
        return False
    number = tokens[at - 2]
    return (
        number.kind == "digits" or number.low in BELOW_HUNDRED or number.low in {"hundred", "few"}
    )


def with_article(tokens: list[Token], at: int) -> UnitSaid | None:
    """Return the unit in "a thou", "an hour", "a full turn" at the article, or None."""
    before = low_at(tokens, at - 1)
    if low_at(tokens, at) in _ALL_OF_IT and before not in _NOT_ALONE:
        told = plain_unit_at(tokens, at + 1)
        return told if told and told.symbol in {"turn", "mm"} and told.single else None
    if low_at(tokens, at) not in {"a", "an"}:
        return _and_a_part(tokens, at, before)
    inside = low_at(tokens, at - 2) == "inside"
    bound = low_at(tokens, at - 1) in {"of", "by", "per"} and not inside
    if bound or _is_rate(tokens, at):
        return None
    skip = at + 1
    while low_at(tokens, skip) in {"full", "whole", "complete", "single", "further", "good"}:
        skip += 1
    unit = _unit_here(tokens, skip)
    if unit is None or not (unit.single or unit.symbol in {"thou", MIL} or unit.rate):
        return None
    sure = unit.symbol in _WITH_ARTICLE or unit.rate or "/" in unit.symbol
    sure = sure or (skip > at + 1 and unit.symbol != "°")
    return unit if sure or _is_one_of_it(tokens, at, skip, unit) else None


def _and_a_part(tokens: list[Token], at: int, before: str) -> UnitSaid | None:
    """Return the unit in "bar and a half" and "inch and three quarters", told without article."""
    if low_at(tokens, at + 1) != "and" or (half := half_after(tokens, at + 1)) is None:
        return None
    unit = plain_unit_at(tokens, at)
    if unit is None or not unit.single or unit.last != at + 1 or unit.rate:
        return None
    follows = plain_unit_at(tokens, half[1])
    told = before in _HALF_OF_IT or (unit.symbol in _NO_THING and before not in _NOT_ALONE)
    return unit if told and follows is None else None


def names_its_size(tokens: list[Token], first: int, last: int) -> bool:
    """Whether inches without an article tell which one it is: "lugs are inch and a half".

    Args:
        tokens: words of the sentence.
        first: index of the first word of so many inches.
        last: index after the last.
    """
    return low_at(tokens, first) == "inch" and low_at(tokens, last) not in _OF_ITS_SIZE


def lasts(tokens: list[Token], at: int) -> bool:
    """Whether something is to last: "let it cool a minute", "hold it there for a minute".

    Args:
        tokens: words of the sentence.
        at: index of the article.
    """
    back = at - 1 - (low_at(tokens, at - 1) in _IT)
    if low_at(tokens, back) in _TAKES_TIME or low_at(tokens, at - 1) in _WITHIN:
        return True
    if any(token.low == "let" for token in tokens[max(0, at - _LET_NEAR) : at - 1]):
        return True  # "let her idle a minute"
    near = {token.low for token in tokens[max(0, at - _LASTING_NEAR) : at]}
    return low_at(tokens, at - 1) == "for" and bool(near & _TAKES_TIME)


_LASTING_NEAR, _LET_NEAR = 8, 4
_WITHIN = {"under", "within", "inside"}


def _is_one_of_it(tokens: list[Token], at: int, skip: int, unit: UnitSaid) -> bool:
    """Whether the words around an article and a unit tell an amount of one."""
    before = low_at(tokens, at - 1)
    if unit.symbol == "min" and lasts(tokens, at):
        return True
    if _NO_MORE.match(" ".join(token.low for token in tokens[unit.last : unit.last + 7])):
        return True  # "an ohm is the very most"
    if before in _COMPARED and unit.symbol not in {"s", "min", "ft", POUND, OUNCE}:
        return True  # "less than an ohm"
    held = before == "than" and unit.symbol in {"ft", POUND, OUNCE}
    if held and low_at(tokens, at - 2) in {"more", "less"}:
        return True  # "it shouldn't take more than a pound"
    if half_after(tokens, unit.last):
        return True  # "a pound and three quarters", "a bar and a half"
    if low_at(tokens, unit.last) in _LONG and low_at(tokens, unit.last + 1) in _ENDS:
        return True  # "it's like a metre long"
    return before in _NEARLY and unit.symbol in _ROUGHLY_ONE and skip == at + 1  # "about a foot"
