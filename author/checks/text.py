"""Cuts text into sentences and words as a person in a shop reads them.

A full stop behind an abbreviation, in a decimal or in a list number ends no sentence. A
number with its unit, a part number, a thread or a position of the clock is one word.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from functools import cache
from itertools import pairwise

from author.checks.verbs import words as _words
from author.procedure.units import all_spellings

# Behind these more has to come: the full stop never ends a sentence.
_OPEN = _words(
    """
    approx art ca cf circ circa co corp dept dr e.g eq excl fig figs i.e incl inc ltd mr mrs ms no
    nos nr para pos pp prof ref refs resp ser st viz vs z.b
    """
)
# These end a sentence where the next word begins like a new one.
_MAY_END = _words(
    """
    adj assy brg cont dia diam elec etc ext ft gal hex hr hrs hyd ident in incr int kg lb lbs lg
    max mech min mins mm nom oz pc pcs pt qt qty rpm sec secs std temp tol typ vol wt yd
    """
)
_STOPS = ".!?…"
_INITIALS = re.compile(r"(?:[a-z]\.)+[a-z]")
_LIST_NUMBER = re.compile(r"\s*\(?(?:\d{1,2}|[A-Za-z])\.")
_SPOKEN = re.compile(r"(?=.*[aeiouy])[^\W\d_]{4,}")
_NUMBER = r"\d+(?:[.,]\d+)?"
_PLAIN_NUMBER = r"(?:\d+\s\d+/\d+|\d+(?:[.,:/]\d+)*)"
# Said with a number as one word, though the list of units has them otherwise or not at all.
_MORE_UNITS = ("o'clock", "Nm", "ml", "l", "um", "cc", "W", "kW", "Hz", "mV", "mA")
_MARKS = ",;:()–—"
_APOSTROPHES = str.maketrans("’ʼ‘", "'''")


@cache
def _token() -> re.Pattern[str]:
    spellings = {*all_spellings(), *_MORE_UNITS}
    unit = "|".join(re.escape(one) for one in sorted(spellings, key=len, reverse=True))
    number = rf"{_PLAIN_NUMBER}(?:\s?(?:{unit})(?!\w))?"
    return re.compile(
        rf"(?P<number>{number}(?:\s?[×x*–-]\s?{number})*(?![-./]?\w))"
        r"|(?P<word>[^\W_]+(?:[-'./·&+][^\W_]+)*(?:\s?×\s?\d[\d.,/]*(?<![.,]))*)"
        rf"|(?P<mark>[{_MARKS}])"
    )


def sentences(text: str) -> list[str]:
    """Return the sentences of a text, without the spaces between them."""
    found: list[str] = []
    start = 0
    words = list(re.finditer(r"\S+", text))
    for word, after in pairwise(words):
        closed = word[0].rstrip("\"'”’)]")
        before = closed.rstrip(_STOPS)
        end = word.start() + len(closed)
        if before != closed and _ends(text[start:end], before, closed[len(before) :], after[0]):
            found.append(text[start : word.end()].strip())
            start = after.start()
    return [*found, text[start:].strip()]


def _ends(so_far: str, before: str, stop: str, after: str) -> bool:
    """Whether a stop ends the sentence.

    Args:
        so_far: the sentence with the stop.
        before: the word that stands before the stop.
        stop: the stop itself.
        after: the word that follows.
    """
    if "!" in stop or "?" in stop:
        return True
    word = before.lstrip("([\"'“‘").casefold()
    after = after.lstrip("([\"'“‘")
    capital = after[:1].isupper()
    if stop != ".":
        return capital
    if word in _OPEN or _LIST_NUMBER.fullmatch(so_far):
        return False
    if word in _MAY_END or _INITIALS.fullmatch(word):
        return capital and (after[1:2].islower() or after in {"A", "I"})
    if after[:1].isalpha() and not after[:1].islower():
        return True
    # A small letter or a number begins a sentence only behind what is surely a whole word.
    return bool(after[:1].isalnum() and _SPOKEN.fullmatch(word))


def tokens(text: str) -> list[str]:
    """Return words in small letters, each number as ``#``, and the marks that part clauses."""
    text = text.translate(_APOSTROPHES)
    return [
        "#" if match.lastgroup == "number" else match[0].lower()
        for match in _token().finditer(text)
    ]


def count_words(said: Iterable[str]) -> int:
    """Return how many of the tokens of a text are words; a number with its unit is one."""
    return sum(token not in _MARKS for token in said)


class Phrases:
    """Phrases that are looked for as whole words, in any case."""

    def __init__(self, listed: str) -> None:
        """Take the phrases.

        Args:
            listed: phrases with commas between them. ``*`` stands for any ending, ``…`` for
                up to 40 characters of the same sentence, ``#`` for a number; else a phrase
                may hold what a regular expression in small letters and without commas may.
        """
        found = []
        # A line break beside a bar or before a look-around is no space of the phrase.
        for phrase in re.sub(r"\s*\n\s*(?=\||\(\?)|(?<=\|)\s*\n\s*", "", listed).split(","):
            text = " ".join(phrase.lower().split()).replace(" … ", "…").replace("*", r"\w*")
            text = text.replace(" ?", r"\s*").replace(" ", r"\s+").replace("#", _NUMBER)
            found.append(text.replace("…", r"\b[^.;]{0,40}?\b"))
        # Small letters on both sides are found three times as fast as letters of any case.
        self._pattern = re.compile(rf"(?<!\w)(?:{'|'.join(found)})(?!\w)")

    def search(self, text: str) -> str | None:
        """Return the first phrase found, as it stands in a text, or None."""
        place = self.place(text)
        return None if place is None else text[place]

    def place(self, text: str) -> slice | None:
        """Return where the first phrase stands in a text, or None."""
        small = text.lower()
        match = self._pattern.search(small if len(small) == len(text) else text)
        return None if match is None else slice(*match.span())

    def without(self, text: str) -> str:
        """Return a text in small letters without the phrases."""
        return self._pattern.sub("", text.lower())
