"""Dimensions such as 17 × 40 × 12 among the words of a sentence."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from author.proposals.quantities.numbers.parts import (
    BELOW_HUNDRED,
    NUMBER_NAMES,
    below_hundred,
    decimal_of,
    half_after,
    low_at,
)
from author.proposals.quantities.numbers.tokens import Token
from author.proposals.quantities.numbers.words import Number, number_at

BY = {"by", "x", "×", "times"}
SIZED = {
    "seal", "seals", "ring", "rings", "o", "bearing", "bearings", "shim", "shims", "key", "keys",
    "pin", "pins", "bolt", "bolts", "screw", "screws", "plate", "washer", "washers", "bush",
    "bushes", "bushing", "dowel", "spring", "belt", "tyre", "tyres", "tire", "tires", "gasket",
    "roller", "size", "bar", "sleeve", "rivet", "rivets", "cotter", "cotters", "circlip", "key's",
    "tube", "tubes", "tubing", "hose", "hoses", "pipe", "pipes", "steel", "rod", "dowels",
    "springs", "belts", "gaskets", "rollers", "sleeves", "bushings", "plates", "bars", "orings",
    "coppers", "rollpin", "angle", "section", "strip", "felt", "seal's", "bush's", "shim's",
    "pin's", "bearing's", "belt's", "washer's", "wheel", "wheels", "castor", "castors", "caster",
    "casters",
}  # fmt: skip
"""Things that are told by their dimensions."""
SIZE_UNITS = {
    "mm", "mil", "millimetre", "millimetres", "millimeter", "millimeters", "inch", "inches",
}  # fmt: skip
Sized = tuple[int, str, tuple[Decimal, ...], str]


def run(tokens: list[Token], at: int) -> tuple[list[Number], int]:
    """Return numbers joined by "by" or a times sign, and the index after them."""
    numbers: list[Number] = []
    while at < len(tokens):
        number = number_at(tokens, at)
        if number is None:
            number = an_inch(tokens, at)
        if number is None or number.value is None or number.form == "spelled":
            break
        numbers.append(number)
        at = number.last
        unit = at + 1 if low_at(tokens, at) in SIZE_UNITS else at
        unit += low_at(tokens, unit) in _LABELS
        unit += low_at(tokens, unit) == "," and low_at(tokens, unit + 1) in {"by", *_LABELS}
        if low_at(tokens, unit) not in BY or len(numbers) == 4:
            break
        at = unit + 1
    return numbers, numbers[-1].last if numbers else at


def an_inch(tokens: list[Token], at: int) -> Number | None:
    """Return the number of "an inch" and "inch and a half", None where neither begins there."""
    article = low_at(tokens, at) == "an"
    half = half_after(tokens, at + article + 1)
    if low_at(tokens, at + article) != "inch" or not (article or half):
        return None
    if half is None:
        return Number(at, at + 1, Decimal(1), "whole")
    return Number(at, half[1], 1 + decimal_of(half[0])[0], "mixed")


# What may stand behind bore, outside diameter and width of a round part.
_ROUND = (frozenset({"bore", "inside", "shaft", "id"}), frozenset({"outside", "od", "outer"}),
          frozenset({"thick", "wide", "deep", "broad", "high", "width"}))  # fmt: skip
# Most of outside to bore, and of length to wall, of a round part (common practice, no source).
_WIDEST, _LONGEST = 4, 8


def round_part(tokens: list[Token], at: int) -> Sized | None:
    """Read "seventeen, forty, twelve" and "17 bore, 40 outside, 12 thick" as one size.

    Behind a seal or a bearing nothing needs to stand between: "the seal is thirty five fifty two
    seven".
    """
    if low_at(tokens, at - 1) in _NUMBERED:
        return None
    return _told_in_a_row(tokens, at) or _told_apart(tokens, at)


_NUMBERED = frozenset({"number", "part", "model"})
_SEALED = frozenset({"seal", "seals", "seal's", "bearing", "bearings", "bearing's"})
_MOST_WORDS = 7


def _told_in_a_row(tokens: list[Token], at: int) -> Sized | None:
    """Read three numbers said without a pause, where only one way to part them is a size."""
    last = at
    while last < len(tokens) and low_at(tokens, last) in NUMBER_NAMES - {"point", "half"}:
        last += 1
    if not len(_ROUND) <= last - at <= _MOST_WORDS or low_at(tokens, at - 1) in NUMBER_NAMES:
        return None
    if not any(low_at(tokens, near) in _SEALED for near in range(at - 4, last + 3)):
        return None
    ways = [way for way in _parted(tokens, at, last) if len(way) == len(_ROUND)]
    sizes = {way for way in ways if _is_round(*map(Decimal, way))}
    if len(sizes) != 1:
        return None
    values = tuple(Decimal(value) for value in sizes.pop())
    return last, "size", values, " × ".join(format(value, "f") for value in values)


def _parted(tokens: list[Token], at: int, last: int) -> Iterator[tuple[int, ...]]:
    """Yield every way to part number words into at most three numbers below two hundred."""
    if at == last:
        yield ()
        return
    hundred = low_at(tokens, at) == "one" and at + 1 < last
    for begin, more in ((at, 0), *([(at + 1, 100)] if hundred else ())):
        longest = below_hundred(tokens, begin)
        if longest is None:
            continue
        ends = {longest}
        if (value := BELOW_HUNDRED.get(low_at(tokens, begin))) is not None:
            ends.add((value, begin + 1))
        for told, after in ends:
            if after > last or (more and told < _LEAST_PAIRED):
                continue
            for rest in _parted(tokens, after, last):
                if len(rest) < len(_ROUND):
                    yield (told + more, *rest)


_LEAST_PAIRED = 10


def _is_round(inner: Decimal, outer: Decimal, wide: Decimal) -> bool:
    """Whether bore, outside and width can be those of a round part: a wall has to be left."""
    apart = wide < inner < outer <= _WIDEST * inner
    return apart and wide <= _LONGEST * (outer - inner)


def _told_apart(tokens: list[Token], at: int) -> Sized | None:
    values: list[Decimal] = []
    labels, forms = 0, set[str]()
    for label in _ROUND:
        number = number_at(tokens, at) if at < len(tokens) else None
        if number is None or number.value is None or number.form == "spelled":
            return None
        values.append(number.value)
        forms.add(number.form)
        last = at = number.last
        if low_at(tokens, at) in label:
            last = at = at + 1
            labels += 1
        joins = {",", "and"} if labels == len(values) else {","}
        while len(values) < len(_ROUND) and low_at(tokens, at) in joins:
            at += 1
    if forms != {"whole"} and labels < len(_ROUND):
        return None
    # "fifty-two, fifty-four, fifty-one" are readings
    if not _is_round(*values) or low_at(tokens, at) in BY:
        return None
    if low_at(tokens, at) == "," and at + 1 < len(tokens) and number_at(tokens, at + 1):
        return None  # a longer list
    return last, "size", tuple(values), " × ".join(format(value, "f") for value in values)


def dimensions(tokens: list[Token], at: int, *, again: bool = False) -> Sized | None:
    """Return the dimensions that begin at a token, if there are any.

    Args:
        tokens: of the sentence.
        at: index of the first of them.
        again: whether dimensions were told before in the sentence: "eighteen by two, and the
            other's sixteen by three".
    """
    numbers, last = run(tokens, at)
    if len(numbers) == 1:
        return _square(tokens, numbers[0])
    if len(numbers) < 2:
        return None
    values = tuple(number.value for number in numbers if number.value is not None)
    if len(numbers) == 2 and not again and not _is_sized(tokens, at, last, numbers):
        return None
    if values[0] == 0 or low_at(tokens, at - 1) in {"model", "part"}:
        return None
    return last, "size", values, " × ".join(format(value, "f") for value in values)


def _square(tokens: list[Token], side: Number) -> Sized | None:
    """Read "five millimetres square"; of a cable that is an area, as one inch square is."""
    unit = side.last + (low_at(tokens, side.last) in {"a", "an"})
    if low_at(tokens, unit) not in SIZE_UNITS or low_at(tokens, unit + 1) != "square":
        return None
    behind = tokens[unit + 2] if unit + 2 < len(tokens) else None
    away = side.first - 1
    if not side.value or (behind and behind.low in _SQUARED_OFF) or low_at(tokens, away) in _AWAY:
        return None
    if side.value == 1 or any(token.low in _CABLES for token in tokens):
        return None
    return unit + 2, "size", (side.value,) * 2, " × ".join([format(side.value, "f")] * 2)


# Threads to the inch of what is an inch and more: "an inch and a quarter by twelve".
_PITCHES = frozenset(map(Decimal, (7, 8, 12, 14, 16, 18, 20)))
_ONES_ARE = frozenset({"one is", "ones are", "ones were", "one was", "one's a"})
_MOST_IN_A_GRID = 12
_SQUARED_OFF = frozenset({"to", "with", "off", "it", "them", "up", "on", "onto", "across",
                          "against"})  # fmt: skip
_AWAY = frozenset({"down", "within", "out", "off", "by"})
_CABLES = frozenset({"cable", "cables", "wire", "wires", "core", "cores", "flex", "conductor",
                     "conductors", "lug", "lugs", "earth"})  # fmt: skip
_NEAR_NAME, _APPOSED = 5, 11
# What may be said of each number of a size: "twelve mil shaft, by twenty-eight outside".
_LABELS = frozenset({"shaft", "bore", "inside", "outside", "od", "id", "outer", "inner", "wide",
                     "thick", "diameter"})  # fmt: skip


def _is_sized(tokens: list[Token], at: int, last: int, numbers: list[Number]) -> bool:
    """Whether two numbers are dimensions rather than a plank or a grid."""
    if an_inch(tokens, at):
        return numbers[1].value not in _PITCHES
    if any(number.form in {"decimal", "mixed"} for number in numbers):
        return True
    if low_at(tokens, numbers[0].last) in SIZE_UNITS:
        return True  # "eight mil by sixty"
    thing = f"{low_at(tokens, at - 2)} {low_at(tokens, at - 1)}"
    large = min(number.value or 0 for number in numbers) > _MOST_IN_A_GRID
    if large and thing in _ONES_ARE:
        return True  # "the new ones are hundred and fifty by forty"
    apart = low_at(tokens, at - 1) in {",", "it's", "they're", "that's", "those're"}
    back = _APPOSED if apart else _NEAR_NAME
    near = [*range(max(0, at - back), at), *range(last, last + 3)]
    if any(low_at(tokens, index) in SIZED for index in near):
        return True
    units = {"mm", "mil", "millimetre", "millimetres", "millimeters", "inch", "inches", "cm"}
    return low_at(tokens, last) in units
