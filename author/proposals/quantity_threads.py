"""Screw threads and dimensions such as 17 × 40 × 12 among the words of a sentence."""

from __future__ import annotations

from decimal import Decimal
from functools import cache

from author.procedure.threads import read_thread
from author.proposals.number_tokens import Token
from author.proposals.number_words import Number, number_at
from author.resources import load_table

_BY = {"by", "x", "×"}
_THREADED = {
    "bolt", "bolts", "screw", "screws", "stud", "studs", "nut", "nuts", "tap", "taps", "die",
    "thread", "threads", "threaded", "hole", "holes", "unc", "unf", "capscrew", "capscrews",
    "grub", "insert", "inserts", "setscrew", "hex", "cap", "allen", "machine", "button",
}  # fmt: skip
_SIZED = {
    "seal", "seals", "ring", "rings", "o", "bearing", "bearings", "shim", "shims", "key", "keys",
    "pin", "pins", "bolt", "bolts", "screw", "screws", "plate", "washer", "washers", "bush",
    "bushes", "bushing", "dowel", "spring", "belt", "tyre", "tyres", "tire", "tires", "gasket",
    "roller", "size", "bar", "sleeve",
}  # fmt: skip
_SIZE_UNITS = {
    "mm",
    "mil",
    "millimetre",
    "millimetres",
    "millimeter",
    "millimeters",
    "inch",
    "inches",
}
Sized = tuple[int, str, tuple[Decimal, ...], str]


def sizes_in(tokens: list[Token]) -> dict[int, Sized]:
    """Return threads and sizes by the index of their first token.

    Each is the index after its last token, ``thread`` or ``size``, its numbers in order
    and its designation.
    """
    found: dict[int, Sized] = {}
    at = 0
    while at < len(tokens):
        one = _metric(tokens, at) or _named(tokens, at) or _unified(tokens, at) or _size(tokens, at)
        if one:
            found[at] = one
        at = one[0] if one else at + 1
    return found


def _low(tokens: list[Token], at: int) -> str:
    return tokens[at].low if 0 <= at < len(tokens) else ""


def _plain(value: Decimal) -> str:
    return format(value.normalize(), "f")


def _run(tokens: list[Token], at: int) -> tuple[list[Number], int]:
    """Return numbers joined by "by" or a times sign, and the index after them."""
    numbers: list[Number] = []
    while at < len(tokens):
        number = number_at(tokens, at)
        if (
            number is None
            and numbers
            and _low(tokens, at) == "an"
            and _low(tokens, at + 1) == "inch"
        ):
            number = Number(at, at + 1, Decimal(1), "whole")
        if number is None or number.value is None or number.form == "spelled":
            break
        numbers.append(number)
        at = number.last
        unit = at + 1 if _low(tokens, at) in _SIZE_UNITS else at
        if _low(tokens, unit) not in _BY or len(numbers) == 4:
            break
        at = unit + 1
    return numbers, numbers[-1].last if numbers else at


def _metric(tokens: list[Token], at: int) -> Sized | None:
    if tokens[at].low not in {"m", "em"} or at + 1 >= len(tokens):
        return None
    if tokens[at].glued and at and tokens[at - 1].kind == "digits":
        return None  # "5 m": metres
    if tokens[at].low == "em" and _low(tokens, at - 1) in {"'", "got", "of", "all"}:
        return None
    numbers, last = _run(tokens, at + 1)
    if not numbers or numbers[0].value is None or not _has_coarse(numbers[0].value):
        return None
    values = tuple(number.value for number in numbers if number.value is not None)
    return last, "thread", values, "M" + " × ".join(map(_plain, values))


_SERIES = {"whitworth": "Whitworth", "bsw": "BSW", "bsf": "BSF", "bsp": "BSP", "ba": "BA",
           "unc": "UNC", "unf": "UNF", "npt": "NPT"}  # fmt: skip


def _named(tokens: list[Token], at: int) -> Sized | None:
    """Read "three eighths Whitworth", "two BA", "half inch BSP" and "two inch by twelve thread"."""
    number = number_at(tokens, at)
    if number is None or number.value is None or number.form in {"decimal", "spelled"}:
        return None
    after = number.last + (_low(tokens, number.last) in {"inch", '"'})
    series = _SERIES.get(_low(tokens, after))
    said = number.value.as_integer_ratio()
    size = f"{said[0]}/{said[1]}" if said[1] > 1 else str(said[0])
    if series:
        if series == "BA" or series in {"UNC", "UNF"}:
            return after + 1, "thread", (number.value,), f"{size} {series}"
        return after + 1, "thread", (number.value,), f"{size} in {series}"
    if after == number.last or _low(tokens, after) != "by" or after + 1 >= len(tokens):
        return None
    pitch = number_at(tokens, after + 1)
    near = {_low(tokens, index) for index in range(max(0, at - 4), at)}
    near |= {_low(tokens, index) for index in range(after, after + 5)}
    if (
        pitch is None
        or pitch.value is None
        or pitch.form != "whole"
        or not near & {"thread", "threads"}
    ):
        return None
    return pitch.last, "thread", (number.value, pitch.value), f"{size}-{_plain(pitch.value)}"


@cache
def _coarse() -> frozenset[Decimal]:
    return frozenset(Decimal(size) for size in load_table("threads.yaml")["metric_coarse_pitch"])


def _has_coarse(size: Decimal) -> bool:
    return size in _coarse()


@cache
def _unified_pairs() -> dict[tuple[Decimal, Decimal], str]:
    """Return the name of each unified thread by its size (inches or number) and pitch."""
    pairs = {}
    for name in ("unified_coarse", "unified_fine"):
        for size, pitch in load_table("threads.yaml")[name].items():
            number = size.startswith("#")
            parts = [part.split("/") for part in size.strip("#").split()]
            whole = sum(
                (Decimal(p[0]) / Decimal(p[1] if len(p) > 1 else 1) for p in parts), Decimal(0)
            )
            if number or whole < 1:
                pairs[whole, Decimal(pitch)] = f"{size}-{pitch}"
    return pairs


def _unified(tokens: list[Token], at: int) -> Sized | None:
    size, last = _size_and_pitch(tokens, at)
    if size is None:
        return None
    pitch = number_at(tokens, last) if last < len(tokens) else None
    if pitch is None or pitch.value is None or pitch.form != "whole":
        return None
    name = _unified_pairs().get((size, pitch.value))
    if name is None:
        return None
    end = pitch.last
    is_named = any(_low(tokens, end + step) in _THREADED for step in range(3))
    if not is_named and not (size < 1 and _low(tokens, end) not in {"to", "percent"}):
        return None
    if _low(tokens, end) in {"unc", "unf"}:
        end += 1
    thread = read_thread(name)
    return end, "thread", (size, pitch.value), thread.designation


def _size_and_pitch(tokens: list[Token], at: int) -> tuple[Decimal | None, int]:
    """Return a size in inches or a number of the numbered sizes, and where the pitch is."""
    token = tokens[at]
    if token.kind == "digits" and _low(tokens, at + 1) == "-" and token.low.isdigit():
        return Decimal(token.low), at + 2
    number = number_at(tokens, at)
    if number is None or number.value is None:
        return None, at
    if number.form == "fraction":
        skip = number.last + (_low(tokens, number.last) in {"-", "by"})
        return number.value, skip
    if number.paired or number.last > at + 1 or token.low not in {"four", "six", "eight", "ten"}:
        return None, at
    return number.value, number.last


def _size(tokens: list[Token], at: int) -> Sized | None:
    numbers, last = _run(tokens, at)
    if len(numbers) < 2:
        return None
    values = tuple(number.value for number in numbers if number.value is not None)
    if len(numbers) == 2 and not _is_sized(tokens, at, last, numbers):
        return None
    if values[0] == 0 or _low(tokens, at - 1) in {"model", "part"}:
        return None
    return last, "size", values, " × ".join(format(value, "f") for value in values)


def _is_sized(tokens: list[Token], at: int, last: int, numbers: list[Number]) -> bool:
    """Whether two numbers are dimensions rather than a plank or a grid."""
    if any(number.form in {"decimal", "mixed"} for number in numbers):
        return True
    near = [*range(max(0, at - 5), at), *range(last, last + 3)]
    if any(_low(tokens, index) in _SIZED for index in near):
        return True
    units = {"mm", "mil", "millimetre", "millimetres", "millimeters", "inch", "inches", "cm"}
    return _low(tokens, last) in units
