"""Part numbers, spelled out or written: "B W one oh one", "number six two oh three", "BW-101"."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from author.proposals.language.tokens import Token

_DIGITS = {
    "zero": "0", "oh": "0", "o": "0", "nought": "0", "one": "1", "two": "2", "three": "3",
    "four": "4", "five": "5", "six": "6", "seven": "7", "eight": "8", "nine": "9",
}  # fmt: skip
_DOUBLES = {"double": 2, "triple": 3, "treble": 3}
_NOT_LETTERS = frozenset({"a", "i"})


# As captions write it; M8, H7 and T25 are a thread, a zone and a driver.
_CODE = re.compile(
    r"[A-Z]{1,5}-\d{1,6}[A-Z]{0,3}(?:-[A-Z\d]{1,6})*|[A-Z]{2,5}\d{3,6}[A-Z]{0,3}|"
    r"[A-Z]{2,4}\d{1,4}-[A-Z\d]{1,6}"
)


@dataclass(frozen=True, slots=True)
class Spelled:
    """A part number in a sentence.

    Attributes:
        first: index of its first word.
        stop: index after its last word.
        number: in letters and digits, a hyphen between them: ``BW-101``.
    """

    first: int
    stop: int
    number: str


def spelled_in(tokens: Sequence[Token]) -> list[Spelled]:
    """Return the part numbers that are spelled out in a sentence.

    Single letters and single digits are a number where they stand together: letters with two
    digits or more, or three digits and more behind "number". Whatever else counts or measures.
    """
    found: list[Spelled] = []
    at = 0
    while at < len(tokens):
        if _CODE.fullmatch(tokens[at].text):
            found.append(Spelled(at, at + 1, tokens[at].text))
            at += 1
            continue
        letters, digits, stop = _run(tokens, at)
        if stop > at and _is_number(tokens, at, letters, digits, stop):
            found.append(Spelled(at, stop, f"{letters}-{digits}" if letters else digits))
            at = stop
        else:
            at = max(at + 1, stop)
    return found


def _is_number(tokens: Sequence[Token], at: int, letters: str, digits: str, stop: int) -> bool:
    if letters:
        return len(digits) >= 2 and len(letters) <= 4 and stop - at > 2
    announced = at > 0 and tokens[at - 1].low in {"number", "no", "bearing"}
    before_point = stop < len(tokens) and tokens[stop].low == "point"
    return announced and len(digits) >= 3 and not before_point and stop - at >= 1


def _run(tokens: Sequence[Token], start: int) -> tuple[str, str, int]:
    """Return the letters and the digits that begin at a word, and where they end."""
    letters, digits, at = "", "", start
    while at < len(tokens) and (at == start or not tokens[at].parted):
        word = tokens[at].low
        if word in _DIGITS and (letters or digits or word != "o"):
            digits += _DIGITS[word]
        elif word in _DOUBLES and at + 1 < len(tokens) and tokens[at + 1].low in _DIGITS:
            digits += _DIGITS[tokens[at + 1].low] * _DOUBLES[word]
            at += 1
        elif word.isdecimal() and word.isascii():
            digits += word
        elif len(word) == 1 and word.isalpha() and not digits and _letter(tokens[at]):
            letters += word.upper()
        else:
            break
        at += 1
    return letters, digits, at


def _letter(token: Token) -> bool:
    """Whether a single letter is spelled; "a" and "I" are words unless they are capitals."""
    return token.low not in _NOT_LETTERS or (token.text == "A" and not token.parted)
