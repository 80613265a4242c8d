"""The words of loose talk, without fillers, repeats and what was taken back."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache

from author.checks.verbs import words as _words
from author.proposals.language.closed_words import CALENDAR, NUMBERS
from author.proposals.language.plain_words import plain
from author.proposals.language.taken_back import corrected, restarted
from author.proposals.language.verbs import base_of

_CLEANED = re.compile(r"[^\w\s,;:.!?–—…'’°%/×+&()-]")
_MOST_LETTERS = 2000
_FETCHING = _words("get grab buy find fetch order make give")
TALKERS = _words("i we you i'm we're you're i've we've you've i'll we'll you'll let's")
"""Who speaks, or is spoken to, before what is done."""


TAKEN = _words("the a an it them this that those these your my both each every all 1 one")
"""What a verb is done to, as it begins: "take it", "take the"."""


@dataclass(frozen=True, slots=True)
class Said:
    """A word of a clause.

    Attributes:
        low: as the rules read it.
        shown: as it is written.
        mark: the signs behind it.
    """

    low: str
    shown: str
    mark: str = ""


LooseClause = list[Said]


def read(text: str) -> LooseClause:
    """Return the words of a text without fillers, repeats and what was taken back."""
    return list(_read(text))


@lru_cache(maxsize=1024)  # each stage asks for the same words again, of a whole film
def _read(text: str) -> tuple[Said, ...]:
    clean = " ".join(_CLEANED.sub(" ", text[:_MOST_LETTERS]).split())
    seen = plain(clean)
    words = [
        Said(low, _shown(low, clean[begin:end]), mark)
        for low, begin, end, mark in zip(
            seen.words, seen.begins, seen.ends, seen.marks, strict=True
        )
    ]
    return tuple(restarted(corrected(_apart(words))))


def _apart(words: LooseClause) -> LooseClause:
    """Return the words without "go ahead and", and "here is" as two words again."""
    left: LooseClause = []
    for at, word in enumerate(words):
        gone = word.low == "and" and at > 1 and words[at - 1].low in {"ahead", "on", "in"}
        if gone and words[at - 2].low == "go":
            del left[-2:]
        elif _only_fills(words, at):
            continue
        elif " " in word.shown and word.low.endswith("'s"):
            first, second = word.shown.split(" ", 1)
            left += [Said(first, first), Said(second, second, word.mark)]
        else:
            left.append(word)
    return left


def _only_fills(words: LooseClause, at: int) -> bool:
    """Whether a word adds nothing: "like" before a number, "yourself" in "get yourself the kit"."""
    low = words[at].low
    if low in {"yourself", "yourselves"}:
        return at > 0 and words[at - 1].low in _FETCHING
    if low in {"you", "dare"}:
        return _forbidden(words, at)
    return low == "like" and (_number(words, at + 1) or _filling(words, at))


def _forbidden(words: LooseClause, at: int) -> bool:
    """Whether a word stands in "don't you dare touch it", and not in "if you don't you'll …"."""
    begin = at - 1 - (words[at].low == "dare")
    led = [word.low for word in words[max(0, begin - 1) : max(0, begin) + 1]]
    if led[-1] != "don't" or words[begin].mark or led[0] in TALKERS | {"they"}:
        return False
    after = words[at + 1].low if at + 1 < len(words) else ""
    return after == "dare" or base_of(after) == after


def _filling(words: LooseClause, at: int) -> bool:
    """Whether "like" only fills: "and like tuck it behind"."""
    before = words[at - 1].low if at else ""
    after, object_ = ([w.low for w in words[at + 1 : at + 3]] + ["", ""])[:2]
    verb = before in {"and", "then", "to"} and base_of(after) == after
    return verb and object_ in TAKEN | {"them"}


def _number(words: LooseClause, at: int) -> bool:
    low = words[at].low if at < len(words) else ""
    return low in NUMBERS or low[:1].isdigit()


def _shown(low: str, said: str) -> str:
    """Return a word in small letters, but names in capitals and what holds digits."""
    if " " in said:
        return said.lower()
    if low in {"until", "with", "them", "i", "i'm", "i've", "i'll", "i'd"}:
        return low
    if said.islower() or low in CALENDAR:
        return said
    letters = said.replace("-", "")
    if any(sign.isdigit() for sign in said) or (letters.isupper() and len(letters) < 6):
        return said if said != "A" else "a"
    if said[:1].isupper() and said[1:2] == "-":
        return said[0] + said[1:].lower()
    return said.lower()
