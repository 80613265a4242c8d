"""Bare words parted into sentences: by pauses, by words that end or begin one, and by length.

What speaks for an end after a word is weighed with the points of ``sentence_points.yaml``, fitted
by ``tests/benchmarks/fit_sentence_points.py`` on narrations of our own; no source.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache, lru_cache
from itertools import pairwise

from author.checks.verbs import CLEAR_VERBS
from author.procedure.number_words import WHOLE
from author.proposals.speech.said_once import Token
from author.resources import load_own_table


def _set(words: str) -> frozenset[str]:
    return frozenset(words.split())


_LONGEST = 32  # words
_PART = 4  # words that both parts have at least where one is cut by its length
_PAUSES = (0.15, 0.3, 0.6, 1, 2, 4)  # seconds
_LENGTHS = (2, 4, 6, 9, 13, 18, 24)  # words
_WRITTEN_STOP = 2.5  # points of a full stop among words that have few
_TAKEN_UP = 1.5  # points of "okay": seldom in the narrations, and often on films
_GOES_WITH = -3.0  # points of a place behind "right", and of the object behind its verb
_CAPTION_ENDS = 3.5  # points of the end of a caption, where captions end with phrases
_FEW_CAPTIONS, _HANGS_SELDOM = 8, 0.06
_NEVER = -9.0
_BEFORE_OKAY = _set("and so is are be it's that's looks look all was were feels not an the a if")
_BEFORE_RIGHT = _BEFORE_OKAY | _set("on your to about just half turn goes go hand on")

_WITH_OBJECT = (CLEAR_VERBS | {"heat"}) - _set("go do be get read leave tell give call")
_RIGHT_THERE = _set("on at under behind beside against next through up down")

_HANGING = _set(
    "a an the this these those my your his its our their of to with without from into onto in "
    "on at by for and or but between than as if because when while until unless about around "
    "plus minus point is are was were be been it's that's there's we're you're i'm they're "
    "he's we'll you'll i'll gonna going wanna gotta will would can can't could should "
    "shouldn't must don't doesn't didn't won't not never cannot very too quite pretty roughly "
    "approximately exactly only every each both no some any whose which what how per over "
    "under we you i they he she let's let make sure need needs want have has had get got just "
    "really through against behind like called"
)
_GOES_ON = _set("to of with until till or and from into onto than per at by for as that which")
_STRONG = _set(
    "so now okay ok alright then next first second secondly third finally lastly anyway "
    "anyways also once remember well meanwhile afterwards otherwise right good great perfect "
    "yeah yes hey hi hello thanks"
)
_WEAK = _set(
    "and but you we i it it's that's this that these there there's here here's the if when "
    "before after while make don't never always check take put remove get give let's we're "
    "we've you're you'll i'm i'll you'd i've just go grab set turn lift pull push slide "
    "loosen tighten watch notice see look my your what because use using clean fit install "
    "keep hold it'll that'll there'll you've they they're he's she's what what's where how"
)
# What is done to things: in bare speech often the first word of an order.
_DONE = _set(
    "apply back bleed blow bolt bring check chock clamp clean clip close connect cover cut "
    "degrease disconnect drain drill drive drop dry feel fill find fish fit flip hold "
    "inspect insert isolate jack keep knock lay leave lever lift line lock loosen lower "
    "lubricate mark measure note open pick pop pour press prise pry pull push put reach "
    "ream reconnect refit reinstall remove replace rotate rub screw seat set slacken slide "
    "slip snap spin spray squeeze start stop swap switch tap thread throw tighten tip "
    "torque turn twist undo unbolt unhook unplug unscrew wash wind wipe work"
)
_NUMBERS = _set(
    "zero oh nought hundred thousand half halves third thirds quarter quarters eighth "
    "eighths sixteenth sixteenths tenth tenths hundredth hundredths thousandth thousandths "
    "point"
).union(WHOLE)
_DIGITS = re.compile(r"[-+±#]?[0-9][0-9.,/]*[a-z%°\"']{0,5}")
_FIRST = frozenset("0123456789-+±#")
_INSIDE = _set("and to or by point plus minus times x of a dash through")
_UNITS = _set(
    "millimeter millimeters millimetre millimetres mil mils mm mms centimeter centimeters "
    "centimetre centimetres cm meter meters metre metres inch inches foot feet pound pounds "
    "ounce ounces newton newtons thou thousandths thousandth degree degrees celsius "
    "fahrenheit psi bar bars kilo kilos kilogram kilograms gram grams liter liters litre "
    "litres milliliters volts volt amps amp ohms ohm turn turns minutes minute seconds "
    "seconds hours percent rpm hertz micron microns nm kpa gallon gallons quart quarts pint "
    "pints"
)


@dataclass(frozen=True, slots=True)
class _Points:
    """How much more often a sentence ends where there is a sign, as log odds.

    Attributes:
        base: points of any place.
        bar: points from which a sentence ends.
        bar_untimed: the same where no pause is known.
        signs: points by sign.
    """

    base: float
    bar: float
    bar_untimed: float
    signs: Mapping[str, float]


@cache
def _points() -> _Points:
    table = load_own_table("sentence_points.yaml")
    bars = float(table["bar"]), float(table["bar_untimed"])
    return _Points(float(table["base"]), *bars, table["signs"])


def may_begin(key: str) -> bool:
    """Whether a word is one that sentences often begin with."""
    return key in _STRONG or key in _WEAK or key in _DONE or key in _ALSO_DONE


def hangs(key: str) -> bool:
    """Whether more of the sentence has to follow a word: "the", "with", "until"."""
    return key in _HANGING


def parted(tokens: list[Token]) -> list[list[Token]]:
    """Part words into sentences; every word is kept."""
    found: list[list[Token]] = []
    weights: list[float] = []
    timed = any(two.start > one.end for one, two in pairwise(tokens))
    bar, begun = _points().bar if timed else _points().bar_untimed, 0
    phrased = _in_phrases(tokens)
    for number in range(len(tokens) - 1):
        length = number + 1 - begun
        weight = _weight(tokens, number, length, timed=timed)
        following = tokens[number + 1]
        if phrased and tokens[number].cue != following.cue and following.key not in _GOES_ON:
            weight += _CAPTION_ENDS
        weights.append(weight)
        if weight >= bar:
            cut = number + 1
        elif length >= _LONGEST:
            cut = _best(weights, begun, number)
        else:
            continue
        found.append(tokens[begun:cut])
        begun = cut
    if tokens:
        found.append(tokens[begun:])
    return found


def _in_phrases(tokens: Sequence[Token]) -> bool:
    """Whether captions end where phrases do, as where a person wrote them, and not anywhere.

    Captions cut by their length end three times in ten with a word that more has to follow.
    """
    ends = [one.key for one, two in pairwise(tokens) if one.cue != two.cue]
    hanging = sum(key in _HANGING for key in ends)
    return len(ends) >= _FEW_CAPTIONS and hanging <= _HANGS_SELDOM * len(ends)


def _best(weights: Sequence[float], begun: int, number: int) -> int:
    """Return where a sentence that got too long is best cut."""
    places = range(begun + _PART - 1, number + 2 - _PART)
    return max(places, key=lambda at: (weights[at], at)) + 1


def _weight(tokens: Sequence[Token], number: int, length: int, *, timed: bool) -> float:
    """Return how much speaks for an end after a word."""
    one, two = tokens[number], tokens[number + 1]
    pause = (two.start - one.end) / 1000
    parts = pause >= _APART and _is_number(one.key) and _is_number(two.key)
    if (_in_number(tokens, number) and not parts) or _forbids(tokens, number):
        return _NEVER
    points = _points()
    keys = [token.key for token in tokens[max(0, number - 1) : number + 3]]
    told = signs_of(keys, min(1, number), pause, length, timed=timed)
    weight = points.base + sum(points.signs.get(sign, 0.0) for sign in told)
    if one.text[-1] in ".?!":
        weight += _WRITTEN_STOP
    if _taken_up(one.key, two.key, keys[-1]):
        weight += _TAKEN_UP
    if pause < _APART and (
        (two.key == "right" and keys[-1] in _RIGHT_THERE)  # "not with a flame | right on the paint"
        or (one.key in _WITH_OBJECT and two.key in {"the", "a", "an"})  # "heat | the housing"
    ):
        weight += _GOES_WITH
    return weight


def _forbids(tokens: Sequence[Token], number: int) -> bool:
    """Whether words forbid what follows: "never ever | put a steel bolt in there".

    Parted, the second half would order it.
    """
    one, two = tokens[number], tokens[number + 1].key
    if one.text[-1] in ".?!":
        return False
    last = tokens[number - 1].key if number else ""
    if one.key == "ever":
        return last in _FORBIDDING
    return one.key in _FORBIDDING and (two == "ever" or two in _DONE or two in _ALSO_DONE)


_FORBIDDING, _ALSO_DONE = _set("don't dont never"), _set("use take get grab pack let run force")


def _taken_up(one: str, two: str, after: str) -> bool:
    """Whether "okay" or "right so" goes on to something new."""
    if two in {"okay", "ok", "alright"}:
        return one not in _BEFORE_OKAY
    return two == "right" and after in {"so", "next", "then"} and one not in _BEFORE_RIGHT


_APART = 1.5


def signs_of(
    keys: Sequence[str], at: int, pause: float, length: int, *, timed: bool
) -> Iterator[str]:
    """Yield what speaks for an end after a word, or against it.

    Args:
        keys: the words around it: one before it, and two behind it, where there are any.
        at: its place among them.
        pause: after it, seconds.
        length: words of the sentence up to it.
        timed: whether pauses are known at all in these captions.
    """
    one, two = keys[at], keys[at + 1]
    before = keys[at - 1] if at else ""
    after = keys[at + 2] if at + 2 < len(keys) else ""
    yield f"ends {one}"
    yield f"begins {two}"
    yield f"before {before}"
    yield f"then {after}"
    ends, begins = _sorts(one), _sorts(two)
    for sort in ends:
        yield f"end: {sort}"
        for other in begins:
            yield f"end: {sort}, begin: {other}"
    for sort in begins:
        yield f"begin: {sort}"
        for other in _sorts(after):
            yield f"begin: {sort}, then: {other}"
    if pause > 0:
        yield from (f"pause {most}" for most in _PAUSES if pause >= most)
        yield from (f"pause behind {sort}" for sort in ends)
    yield "timed" if timed else "untimed"
    yield from (f"long {most}" for most in _LENGTHS if length >= most)


@lru_cache(maxsize=8192)
def _sorts(key: str) -> tuple[str, ...]:
    """Return of what sorts a word is."""
    lists = (
        ("hangs", _HANGING), ("strong", _STRONG), ("weak", _WEAK), ("done", _DONE),
        ("unit", _UNITS),
    )  # fmt: skip
    found = [name for name, listed in lists if key in listed]
    found += ["number"] if key and _is_number(key) else []
    found += [form for form in ("ing", "ed", "ly") if key.endswith(form)]
    if key.endswith("s") and not key.endswith("'s"):
        found.append("s")
    return tuple(found) or ("other",)


def _in_number(tokens: Sequence[Token], number: int) -> bool:
    """Tell whether a number, or what is measured by it, goes on after a word."""
    one, two = tokens[number].key, tokens[number + 1].key
    first, second = _is_number(one), _is_number(two)
    if not (first or second or one in _UNITS):
        return False
    if first and (second or two in _UNITS):
        return True
    third = number + 2 < len(tokens) and _is_number(tokens[number + 2].key)
    if two == "and" and number + 3 < len(tokens) and tokens[number + 2].key in ("a", "an"):
        third = _is_number(tokens[number + 3].key)  # two and an eighth
    if (first or one in _UNITS) and two in _INSIDE and third:
        return True
    before = number > 0 and (_is_number(tokens[number - 1].key) or tokens[number - 1].key in _UNITS)
    if one in _INSIDE and second and before:
        return True
    return one in _UNITS and two in _UNITS  # foot pounds, newton metres


def _is_number(key: str) -> bool:
    return key in _NUMBERS or (key[0] in _FIRST and _DIGITS.fullmatch(key) is not None)
