"""Where a sentence ends by its full stop, and where a full stop ends none."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Protocol

from author.procedure.number_words import WHOLE


class Said(Protocol):
    """A word as it is told apart here.

    Attributes:
        text: with the signs that touch it.
        start: when it begins, milliseconds.
        end: when it ends, milliseconds.
    """

    text: str
    start: int
    end: int


def _set(words: str) -> frozenset[str]:
    return frozenset(words.split())


_RARE = 30  # words a full stop, beyond which the captions count as bare
_AFTER = "\"'”’»)]"  # what may follow the stop
_STOPS = ".?!…"
# Never the end: what they belong to follows.
_JOINED = _set("e.g i.e eg ie fig figs mr mrs ms dr st vs approx dia diam cf resp viz esp incl mt")
# The end only before a capital.
_SHORT = _set(
    "etc in ins ft lb lbs oz max min a.m p.m am pm cm mm deg rev qty ref temp assy inc co ltd "
    "rpm sq cu gal qt pt hr hrs sec secs yd yds dept tech std ext int int ver vol wt approx "
    "hz kg psi p.s.i r.p.m o.d i.d t.d.c b.d.c no nos pg p pp art sec ca"
)
_NUMBER_SHORT = _set("no nos fig figs p pg pp")
_CODE = re.compile(r"[\"'(]?#?[0-9]|[A-Z]{0,3}-?[0-9]")
_DIGITS = re.compile(r"[0-9]+")
_I = re.compile(r"I(?:['’](?:m|ll|ve|d))?\b")


def has_full_stops(tokens: Sequence[Said]) -> bool:
    """Tell whether words have the full stops of their sentences, all in all."""
    count = sum(token.text.rstrip(_AFTER)[-1:] in ".?!" for token in tokens)
    return count > 0 and count * _RARE >= len(tokens)


def stops_after(tokens: Sequence[Said], begun: int, number: int) -> bool:
    """Tell whether a sentence ends with a word.

    Args:
        tokens: all words.
        begun: index of the first of the sentence.
        number: index of the word; another follows.
    """
    text = tokens[number].text
    said = text.rstrip(_AFTER)
    if not said or said[-1] not in _STOPS:
        return False
    following = tokens[number + 1].text.lstrip("\"'“‘«([¿¡")
    low = following[:1].islower()
    if said[-1] in "?!":
        return not (low and said != text)
    if said.endswith(("..", "…")):
        return following[:1].isupper() and not _I.match(following)
    return _full_stop(said[:-1], following, first=number == begun, low=low)


def _full_stop(word: str, following: str, *, first: bool, low: bool) -> bool:
    """Tell whether the full stop after a word ends its sentence."""
    plain = word.lstrip("\"'“‘«([").lower()
    digit = following[:1].isdecimal()
    if _DIGITS.fullmatch(plain):
        # "4. 5" of a number parted at its point, and "1." before an item of a list.
        return not digit and not first
    if plain in _NUMBER_SHORT and (
        _CODE.match(following) or following.lower().strip(".,") in WHOLE
    ):
        return False
    if plain in _JOINED:
        return False
    if plain == "no" and (first or not digit):
        return True
    if plain in _SHORT or (len(plain) > 1 and plain[-2] == "."):
        return not (low or digit)
    return len(plain) != 1 or plain == "i" or not low
