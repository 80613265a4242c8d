"""Screw threads and dimensions such as 17 × 40 × 12 among the words of a sentence."""

from __future__ import annotations

import re
from decimal import Decimal
from functools import cache

from author.procedure.number_words import ONES
from author.procedure.threads import read_thread
from author.proposals.language.verbs import is_work
from author.proposals.quantities.amounts.dimensions import (
    BY,
    SIZE_UNITS,
    SIZED,
    Sized,
    an_inch,
    dimensions,
    round_part,
    run,
)
from author.proposals.quantities.numbers.parts import decimal_of, half_after, low_at
from author.proposals.quantities.numbers.tokens import Token
from author.proposals.quantities.numbers.words import Number, number_at
from author.resources import load_table

_THREADED = {
    "bolt", "bolts", "screw", "screws", "stud", "studs", "nut", "nuts", "tap", "taps", "die",
    "thread", "threads", "threaded", "hole", "holes", "unc", "unf", "capscrew", "capscrews",
    "grub", "insert", "inserts", "setscrew", "hex", "cap", "allen", "machine", "button",
}  # fmt: skip


def sizes_in(tokens: list[Token]) -> dict[int, Sized]:
    """Return threads and sizes by the index of their first token.

    Each is the index after its last token, ``thread`` or ``size``, its numbers in order
    and its designation.
    """
    found: dict[int, Sized] = {}
    at = 0
    while at < len(tokens):
        told = number_at(tokens, at) or an_inch(tokens, at)
        if told is None and tokens[at].low not in {"m", "em"}:
            at += 1
            continue
        ways = (_metric, _trapezoidal, _named, _unified, _of_fastener, round_part)
        one = next((sized for way in ways if (sized := way(tokens, at))), None)
        again = any(sized[1] == "size" for sized in found.values())
        one = one or dimensions(tokens, at, again=again)
        if one:
            found[at] = one
        at = one[0] if one else at + 1
    return found


def _plain(value: Decimal) -> str:
    return format(value.normalize(), "f")


def _metric(tokens: list[Token], at: int) -> Sized | None:
    if tokens[at].low not in {"m", "em"} or at + 1 >= len(tokens):
        return None
    if tokens[at].glued and at and tokens[at - 1].kind == "digits":
        return None  # "5 m": metres
    low = low_at(tokens, at - 1)
    if tokens[at].low == "em" and (low in {"'", "got", "of", "all"} or is_work(low)):
        return None  # "count em, three"
    numbers, last = run(tokens, at + 1)
    if not numbers or numbers[0].value is None:
        return None
    if not _has_coarse(numbers[0].value) and not _is_fine(numbers):
        size = number_at(tokens[: at + 2], at + 1) if last > at + 2 else None  # "M eight twenty"
        if len(numbers) > 1 or not (size and size.value and _has_coarse(size.value)):
            return None
        numbers, last = [size], at + 2
    values = tuple(number.value for number in numbers if number.value is not None)
    pitch = _spoken_pitch(tokens, numbers[0]) or (
        _named_pitch(tokens, last) if len(numbers) == 1 else None
    )
    if pitch is not None:
        values, last = (values[0], pitch[0]), pitch[1]
    long = _length_at(tokens, last)
    if long is not None and low_at(tokens, long[1] - 1) == "long":
        values, last = (*values, long[0]), long[1]
    return last, "thread", values, "M" + " × ".join(map(_plain, values))


def _is_fine(numbers: list[Number]) -> bool:
    """Whether a pitch is told with a size that has no coarse one, as on a locknut: "M17 by one"."""
    size, *pitch = (number.value or Decimal(0) for number in numbers)
    return (
        len(pitch) == 1 and size == int(size) and _FINEST <= pitch[0] <= min(Decimal(4), size / 4)
    )


# Pitches of metric threads, ISO 261, told digit by digit: "one seven five", "one twenty-five".
_PITCHES = {"05": "0.5", "07": "0.7", "08": "0.8", "075": "0.75", "125": "1.25",
            "15": "1.5", "175": "1.75", "25": "2.5"}  # fmt: skip
_DIGIT = {**{word: str(value) for word, value in ONES.items()}, "nought": "0", "oh": "0"}
_PAIRS = {"twenty five": "25", "seventy five": "75"}


def _spoken_pitch(tokens: list[Token], size: Number) -> tuple[Decimal, int] | None:
    """Return the pitch behind a size whose point was left out, and the index after it."""
    at = size.last
    if low_at(tokens, at) not in BY:
        return None
    digits, at = "", at + 1
    while low_at(tokens, at) in _DIGIT and len(digits) < _MOST_PITCH:
        digits, at = digits + _DIGIT[low_at(tokens, at)], at + 1
    pair = f"{low_at(tokens, at)} {low_at(tokens, at + 1)}"
    if len(digits) == 1 and pair in _PAIRS:
        digits, at = digits + _PAIRS[pair], at + 2
    if len(digits) < 2 or digits not in _PITCHES or low_at(tokens, at) in {"point", "hundred"}:
        return None
    return Decimal(_PITCHES[digits]), at


_MOST_PITCH = 3
_FINEST, _COARSEST = Decimal("0.2"), Decimal(6)


def _named_pitch(tokens: list[Token], at: int) -> tuple[Decimal, int] | None:
    """Return the pitch in "M10 fine, one and a quarter pitch", and the index after it."""
    while low_at(tokens, at) in {"fine", "coarse", ",", "with", "a", "in", "the", "at"}:
        at += 1
    number = number_at(tokens, at) if at < len(tokens) else None
    if number is None or number.value is None:
        return None
    after = number.last + (low_at(tokens, number.last) in SIZE_UNITS)
    if low_at(tokens, after) not in {"pitch", "thread"} or not _FINEST <= number.value <= _COARSEST:
        return None
    return number.value, after + 1


_TRAPEZOIDAL = {"trapezoidal", "trapezoid", "trapezium"}


def _trapezoidal(tokens: list[Token], at: int) -> Sized | None:
    """Read "twenty-four by five trapezoidal" and "trapezoidal twenty-four by five"."""
    numbers, last = run(tokens, at)
    ahead = low_at(tokens, at - 1) in _TRAPEZOIDAL or low_at(tokens, at - 1) == "tr"
    ahead = ahead or (low_at(tokens, at - 1) == "r" and low_at(tokens, at - 2) == "t")
    if len(numbers) != 2 or not (ahead or low_at(tokens, last) in _TRAPEZOIDAL):
        return None
    size, pitch = (number.value or Decimal(0) for number in numbers)
    if not 0 < pitch < size:
        return None
    return last + (not ahead), "thread", (size, pitch), f"Tr{_plain(size)} × {_plain(pitch)}"


_SERIES = {"whitworth": "Whitworth", "whit": "Whitworth", "bsw": "BSW", "bsf": "BSF",
           "bsp": "BSP", "ba": "BA",
           "unc": "UNC", "unf": "UNF", "npt": "NPT"}  # fmt: skip


def _named(tokens: list[Token], at: int) -> Sized | None:
    """Read "three eighths Whitworth", "two BA", "half inch BSP" and "two inch by twelve thread"."""
    number = number_at(tokens, at)
    if number is None or number.value is None or number.form in {"decimal", "spelled"}:
        return None
    after = number.last + (low_at(tokens, number.last) in {"inch", '"'})
    series = _SERIES.get(low_at(tokens, after))
    said = number.value.as_integer_ratio()
    size = f"{said[0]}/{said[1]}" if said[1] > 1 else str(said[0])
    if series:
        if series == "BA" or series in {"UNC", "UNF"}:
            return after + 1, "thread", (number.value,), f"{size} {series}"
        return after + 1, "thread", (number.value,), f"{size} in {series}"
    if after == number.last or low_at(tokens, after) != "by" or after + 1 >= len(tokens):
        return None
    pitch = number_at(tokens, after + 1)
    near = {low_at(tokens, index) for index in range(max(0, at - 4), at)}
    near |= {low_at(tokens, index) for index in range(after, after + 5)}
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


# A number told behind these may be that of their thread: "the screws are four forty".
_HAVE_THREADS = frozenset({"screw", "screws", "bolt", "bolts", "stud", "studs", "capscrew", "tap",
                           "capscrews", "setscrew", "setscrews", "nut", "nuts", "hole", "holes",
                           "thread", "threads", "tapped", "threaded"})  # fmt: skip
_THREAD_IS = re.compile(
    r"(?:'s|s|is|are|re|'re| are| is|was|were|take|takes|be)(?: (?:a|an|all|just|like))*"
)


_THEY_ARE = re.compile(
    r"\b(?:they|those|these|it|that)(?P<are>'re|'s| are| is)(?: (?:a|an|all|just))?$"
)


@cache
def _run_together() -> dict[str, tuple[Decimal, Decimal]]:
    """Return the numbered threads by their figures said as one: ``632`` for #6-32."""
    return {f"{size:f}{pitch:f}": (size, pitch) for size, pitch in _unified_pairs() if size >= 1}


def _as_one(tokens: list[Token], at: int) -> Sized | None:
    """Read "the screws are six thirty-two" and 632 behind a fastener as its thread."""
    low = tokens[at].low
    if low not in _NUMBERED | {"one", "three"} and not (low.isdecimal() and 3 <= len(low) <= 4):
        return None
    number = number_at(tokens, at)
    if number is None or number.value is None or number.form != "whole":
        return None
    pair, last = _run_together().get(f"{number.value:f}"), number.last
    if tokens[at].kind == "digits" and low_at(tokens, at + 1).isdigit():
        pair, last = _run_together().get(f"{number.value:f}{low_at(tokens, at + 1)}"), at + 2
    if pair is None:
        return None
    after = tokens[last] if last < len(tokens) else None
    ends = (
        after is None or after.kind == "sign" or after.low in {"and", "so", "with", "which", "by"}
    )
    names = [back for back in range(max(0, at - 14), at) if low_at(tokens, back) in _HAVE_THREADS]
    named = number.paired and after is not None and after.low in _THREADED
    said = " ".join(token.low for token in tokens[names[-1] + 1 : at]) if names else ""
    if names and (found := _THEY_ARE.search(said)):
        said = found["are"]
    if not (named or (ends and _THREAD_IS.fullmatch(said))):
        return None
    thread = read_thread(_unified_pairs()[pair])
    return last, "thread", pair, thread.designation


def _unified(tokens: list[Token], at: int) -> Sized | None:
    if one := _as_one(tokens, at):
        return one
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
    is_named = any(low_at(tokens, end + step) in _THREADED for step in range(3))
    if not is_named and not (size < 1 and low_at(tokens, end) not in {"to", "percent"}):
        return None
    if low_at(tokens, end) in {"unc", "unf"}:
        end += 1
    thread = read_thread(name)
    long = _length_at(tokens, end)
    if long is not None:
        values = (size, pitch.value, long[0])
        return long[1], "thread", values, f"{thread.designation} × {_plain(long[0])} in"
    return end, "thread", (size, pitch.value), thread.designation


_FASTENERS = frozenset({"bolt", "bolts", "screw", "screws", "stud", "studs", "capscrews",
                        "capscrew", "setscrews", "setscrew"})  # fmt: skip
_PINNED = frozenset({"cotter", "cotters", "pin", "pins", "dowel", "dowels"})
_BACK, _LONGEST = 12, 25
_PITCH_FROM, _PITCH_TO = 8, 80


def _of_fastener(tokens: list[Token], at: int) -> Sized | None:
    """Read "four bolts, they're eight by twenties" and "little screws, quarter by twenty-six"."""
    numbers, last = run(tokens, at)
    if len(numbers) != 2 or low_at(tokens, numbers[0].last) in SIZE_UNITS:
        return None
    near = [low_at(tokens, back) for back in range(at - 1, max(-1, at - 1 - _BACK), -1)]
    near = [low_at(tokens, last), *near]
    told = next((word for word in near if word in SIZED | _FASTENERS), None)
    size, other = (number.value or Decimal(0) for number in numbers)
    forms = [number.form for number in numbers]
    if told not in _FASTENERS or not size or _PINNED & set(near):
        return None  # "a cotter through the bolt, an eighth by two"
    if forms == ["whole", "whole"]:
        if not (_has_coarse(size) and size < other <= _LONGEST * size):
            return None
        return last, "thread", (size, other), f"M{_plain(size)} × {_plain(other)}"
    if forms[0] != "fraction":
        return None
    parts = size.as_integer_ratio()
    named = f"{parts[0]}/{parts[1]}"
    if forms[1] == "whole" and _PITCH_FROM <= other <= _PITCH_TO:
        return last, "thread", (size, other), f"{named}-{_plain(other)}"
    return last, "thread", (size, other), f"{named} in × {_plain(other)} in"


def _length_at(tokens: list[Token], at: int) -> tuple[Decimal, int] | None:
    """Return the length behind a thread and the index after it: "by five eighths", "1 inch long".

    "An inch and a quarter long" may be told without its article.
    """
    by = low_at(tokens, at) in BY
    at += by or low_at(tokens, at) == ","
    number = number_at(tokens, at) if at < len(tokens) else None
    value, last = (number.value, number.last) if number else (Decimal(1), at)
    inch = at + (low_at(tokens, at) in {"a", "an"})
    if number is None and low_at(tokens, inch) == "inch":
        half = half_after(tokens, inch + 1)
        value = 1 + decimal_of(half[0])[0] if half else Decimal(1)
        last = half[1] if half else inch + 1
    elif number is None:
        return None
    last += low_at(tokens, last) in {*SIZE_UNITS, '"'}
    if value is None or not (by or low_at(tokens, last) == "long"):
        return None
    return value, last + (low_at(tokens, last) == "long")


# Sizes of the numbered screws.
_NUMBERED = frozenset({"two", "four", "five", "six", "eight", "ten", "twelve", "2", "4", "5", "6",
                       "8", "10"})  # fmt: skip


def _size_and_pitch(tokens: list[Token], at: int) -> tuple[Decimal | None, int]:
    """Return a size in inches or a number of the numbered sizes, and where the pitch is."""
    token = tokens[at]
    if token.kind == "digits" and low_at(tokens, at + 1) == "-" and token.low.isdigit():
        return Decimal(token.low), at + 2
    number = number_at(tokens, at)
    if number is None or number.value is None:
        return None, at
    if number.form == "fraction":
        at = number.last + (low_at(tokens, number.last) in {"inch", '"'})
        return number.value, at + (low_at(tokens, at) in {"-", "by"})
    if number.paired or number.last > at + 1 or token.low not in _NUMBERED:
        return None, at
    by = low_at(tokens, number.last) in BY | {"-", "dash"}
    if token.kind == "digits" and not by:
        return None, at
    return number.value, number.last + by
