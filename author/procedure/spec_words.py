"""The words, numbers and units in what a technician types for a requirement.

``author.procedure.spec_entry`` says what they mean together.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from typing import Literal, NoReturn

from author.errors import InputError
from author.procedure.quantities import NUMBER_PATTERN
from author.procedure.units import Unit, all_units, find_unit, near_units

Kind = Literal[
    "number", "plus", "tight", "unit", "range", "about_both", "slash", "open", "close",
    "max", "min", "most", "least", "reference", "nominal",
]  # fmt: skip

MOST_LETTERS = 120
_NUMBER = re.compile(NUMBER_PATTERN)
# A fraction of an inch has a power of two below the stroke; every such one ends as a decimal.
_FRACTION = re.compile(
    r"(?:(?P<whole>[0-9]+)(?:-| +))?(?P<top>[0-9]+)/(?P<bottom>2|4|8|16|32|64|128)"
    r"(?![0-9]|[.,][0-9])"
)
_DIGITS = re.compile(r"(?:[0-9]+(?:[.,][0-9]+)*|[.][0-9]+)")
_ONE_COMMA = re.compile(r"[0-9]+,[0-9]+")
_AMBIGUOUS = re.compile(r"[1-9][0-9]{0,2},[0-9]{3}")
_GROUPED = re.compile(r"[1-9][0-9]{0,2}(?:,[0-9]{3})+\.[0-9]+|[1-9][0-9]{0,2}(?:,[0-9]{3}){2,}")
_GROUPED_BY_POINTS = re.compile(r"[1-9][0-9]{0,2}(?:\.[0-9]{3})+,[0-9]+")
_WORDS: tuple[tuple[Kind, str], ...] = (
    ("range", r"\.\.\.?|…|to\b|and\b"),
    ("about_both", r"±|\+ ?/ ?-|\+-|plus or minus\b"),
    ("most", r"<=|≤|<|no more than\b|not more than\b|at most\b|up to\b"),
    ("least", r">=|≥|>|no less than\b|not less than\b|at least\b"),
    ("max", r"max(?:imum)?\b\.?"),
    ("min", r"min(?:imum)?\b\.?"),
    ("reference", r"ref(?:erence)?\b\.?|about\b|approx(?:imately)?\b\.?|ca\b\.?|≈|~"),
    ("nominal", r"nom(?:inal)?\b\.?"),
    ("slash", r"/"),
    ("open", r"\("),
    ("close", r"\)"),
)
_KNOWN_WORDS = tuple((kind, re.compile(pattern, re.IGNORECASE)) for kind, pattern in _WORDS)
_SKIPPED = re.compile(r"[ ,;:=]+|(?:from|between)\b", re.IGNORECASE)
_UNKNOWN = re.compile(r"[^\s0-9<>≤≥±()]+")
# The point of a shortened word, as in "ft. lbs.".
_SHORTENED = re.compile(r"\.(?=\s|$)")
_WORD_SIGN = re.compile(r"[\w²³]")
_TURNED = str.maketrans({
    "−": "-", "–": "-", "—": "-", "‒": "-", "‐": "-", "‑": "-", "\u00a0": " ", "\u202f": " ",
    "\u2009": " ", "\t": " ", "⁄": "/", "½": " 1/2", "¼": " 1/4", "¾": " 3/4", "⅛": " 1/8",
    "⅜": " 3/8", "⅝": " 5/8", "⅞": " 7/8",
})  # fmt: skip
_NUMBERS = {"number", "plus", "tight", "close"}
_VALUES = _NUMBERS | {"unit"}


@dataclass(frozen=True, slots=True)
class Word:
    """One word, number or unit.

    Attributes:
        kind: what it is; ``plus`` is a number with a plus that follows another value,
            ``tight`` one whose minus stands close to it and apart from the value before.
        text: as it was typed, but for dashes and narrow spaces.
        value: of a number, with its sign.
        unit: of a unit.
    """

    kind: Kind
    text: str
    value: Decimal = Decimal(0)
    unit: Unit | None = None


def plain_text(text: str) -> str:
    """Return a text with one kind of dash, space and fraction, and no space at its ends."""
    return " ".join(text.translate(_TURNED).split())


def words_of(typed: str, quantity: str | None = None) -> tuple[Word, ...]:
    """Return the words of an entry.

    Args:
        typed: the entry as it was typed.
        quantity: the kind of quantity that is asked for, where it is known: a unit that is
            not known is then likely meant to be one of that.

    Raises:
        InputError: if a word is unknown or a number could mean two things, with a remedy.
    """
    text = plain_text(typed)
    if len(text) > MOST_LETTERS:
        raise InputError(
            f"an entry is at most {MOST_LETTERS} letters long",
            remedy="Give the numbers here and write the rest into the note",
        )
    _refuse_three_points(text)
    found: list[Word] = []
    at = 0
    while at < len(text):
        if skipped := _SKIPPED.match(text, at):
            at = skipped.end()
            continue
        word, at = _next(text, at, found) or _refuse(text, at, quantity)
        found.append(word)
    return tuple(found)


def _next(text: str, at: int, before: list[Word]) -> tuple[Word, int] | None:
    follows = before[-1].kind if before else None
    if _DIGITS.match(text, at):
        value, end = _number(text, at)
        return Word("number", text[at:end], value), end
    # Straight behind a number min is a minute.
    readers = (_unit, _known) if follows in _NUMBERS else (_known, _unit)
    first, second = readers
    read = first(text, at)
    if read is None and text[at] in "+-" and not (second is _known and _known(text, at)):
        read = _signed(text, at, follows)
    return read or second(text, at)


def _known(text: str, at: int) -> tuple[Word, int] | None:
    for kind, pattern in _KNOWN_WORDS:
        if found := pattern.match(text, at):
            return Word(kind, found[0]), found.end()
    return None


def _signed(text: str, at: int, follows: str | None) -> tuple[Word, int] | None:
    """Read a plus or minus: a sign of the number behind it, or a dash between two numbers."""
    sign = text[at]
    start = at + 1
    while text[start : start + 1] == " ":
        start += 1
    has_number = bool(_DIGITS.match(text, start))
    apart = text[at - 1 : at] == " "
    if sign == "-" and follows in _VALUES and follows != "plus":
        close = start == at + 1
        if not (has_number and apart and close):
            return Word("range", "-"), at + 1
    if not has_number:
        return None
    value, end = _number(text, start)
    kind: Kind = "number"
    if follows in _VALUES or follows == "open":
        kind = "plus" if sign == "+" else "tight"
    if follows == "slash":
        kind = "plus" if sign == "+" else "tight"
    return Word(kind, text[at:end], -value if sign == "-" else value), end


def _unit(text: str, at: int) -> tuple[Word, int] | None:
    """Return the unit with the longest spelling here."""
    for end in range(len(text), at, -1):
        joined = _WORD_SIGN.match(text, end) and _WORD_SIGN.match(text, end - 1)
        if joined or text[end - 1] == " ":
            continue
        spelling = text[at:end]
        unit = find_unit(spelling)
        if unit is None and ".." not in text[at : end + 1]:
            unit = find_unit(_SHORTENED.sub("", spelling))
        if unit is not None:
            return Word("unit", text[at:end], unit=unit), end
    return None


def _refuse(text: str, at: int, quantity: str | None) -> NoReturn:
    """Refuse what is neither number nor word nor unit, with the unit it is most like."""
    found = _UNKNOWN.match(text, at)
    shown = (found[0] if found else text[at:]).rstrip(".,")[:24] or text[at]
    tail = re.split(r" (?:max|min|ref)", text[at:], maxsplit=1)[0][:24]
    close = " or ".join((near_units(tail, quantity) or near_units(shown, quantity))[:2])
    remedy = (
        f"Did you mean {close}?"
        if close
        else f"Units are for example {', '.join(list(all_units())[:4])}, N·m, lbf·ft, kPa, °C"
    )
    raise InputError(f"'{shown}' is neither a unit nor a word known here", remedy=remedy)


def _number(text: str, at: int) -> tuple[Decimal, int]:
    """Return the number at a place, without sign, and where it ends."""
    if found := _FRACTION.match(text, at):
        whole = Decimal(found["whole"] or 0)
        return whole + Decimal(found["top"]) / Decimal(found["bottom"]), found.end()
    digits = _DIGITS.match(text, at)
    assert digits is not None  # noqa: S101 - asked only where digits begin
    return _decimal(digits[0]), digits.end()


def _decimal(digits: str) -> Decimal:
    plain = f"0{digits}" if digits.startswith(".") else digits
    if _AMBIGUOUS.fullmatch(plain):
        both = (plain.replace(",", ""), plain.replace(",", "."))
        raise InputError(
            f"the comma in '{digits}' could mean {both[0]} or {both[1]}",
            remedy=f"Write {both[0]} or {both[1]}",
        )
    if _GROUPED.fullmatch(plain):
        plain = plain.replace(",", "")
    elif _GROUPED_BY_POINTS.fullmatch(plain):
        plain = plain.replace(".", "").replace(",", ".")
    elif _ONE_COMMA.fullmatch(plain):
        plain = plain.replace(",", ".")
    if not _NUMBER.fullmatch(plain):
        raise InputError(
            f"'{digits[:24]}' is not a plain number",
            remedy="Write it like 9.80, with at most twelve digits before and after the point",
        )
    return Decimal(plain)


def _refuse_three_points(text: str) -> None:
    """Refuse ``0.5...75``: the third point may be the one of a number."""
    found = re.search(r"(?P<low>[0-9.,]*[0-9])\.\.\.(?P<high>[0-9]+)(?![.,0-9])", text)
    if found:
        low, high = found["low"], found["high"]
        raise InputError(
            f"'{found[0]}' could mean {low} to {high} or {low} to 0.{high}",
            remedy=f"Write {low}..{high} or {low}..0.{high}",
        )


def units_in(words: tuple[Word, ...]) -> Iterator[Unit]:
    """Yield each unit once, in the order typed."""
    seen: set[str] = set()
    for word in words:
        if word.unit is not None and word.unit.symbol not in seen:
            seen.add(word.unit.symbol)
            yield word.unit
