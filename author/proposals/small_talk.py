"""Weighs the signs that a sentence is talk beside the job or only announces what comes."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import cache

from author.checks.verbs import words
from author.proposals.marks import Found, Hit
from author.proposals.plain_words import NUMBER_WORDS, Plain
from author.proposals.spoken_verbs import (
    CLEAR,
    TALK,
    base_of_done,
    base_of_going,
    base_of_past,
    base_of_third,
)
from author.proposals.trade_words import trade_words
from author.proposals.word_signs import WordSigns, read_table

_BAR = -0.6
# What begins with an order is talk only where all else speaks for it.
_BAR_OF_ORDER = 2.2
_BAR_OF_PLAN = 0.0
_BAR_OF_LAST = 0.8
_BAR_OF_WORK = 0.8
# What names a part or a tool needs more to be talk, where no phrase of talk is in it.
_BAR_OF_THING = 0.4
# A phrase that speaks for talk is not believed below this.
_LEAST = -1.2
_OPENING = 8
_FILM = 20
_SURE = 86
_SURE_TALK = 95
_ENDING, _FEW = 2, 12
_WISHED = "|".join(
    sorted(
        words(
            """
            sharp clean dry tight greased oiled safe turning running rolling spinning lit warm cool
            going happy level true square free shiny
            """
        )
    )
)
_KEEP_WISH = re.compile(
    rf"\b(?:keep|mind) (?:your|yer|them|those|that|it|on) (?:\S+ )?(?:{_WISHED})\b"
    r"|\b(?:mind|watch) how (?:you|ye) go\b"
    r"|\b(?:stay|be|keep) (?:safe|well|warm|curious)\b"
)
_SIGN_OFF = Hit("chatter", 0, 1, 80, "is said to say goodbye: '{}'")
_WORK = CLEAR - TALK
_ASKED = frozenset({"wait", "let's"})
_KEPT = frozenset({"preview", "off_camera", "prerequisite", "follow_on", "deferred"})
_TOLD = frozenset({"act85", "act60"})
_TALKED = frozenset(
    {"chat95", "chat70", "prev", "greeting", "channel", "heard_beside", "first", "second", "last"}
)
# Said of work that is done again or waited for, though nothing is named.
_STILL_WORK = words(
    """
    wait waiting again same other another next repeat done loose tight seated turn count ones
    wants takes scrap goes comes
    """
)


@cache
def _table() -> tuple[WordSigns, float]:
    """Return the table of signs, and the points of a sentence without any."""
    table = read_table("talk_words.yaml")
    signs = WordSigns.of(table["signs"])
    shape = {name: float(points) for name, points in table["shape"].items()}
    return replace(signs, points={**signs.points, **shape}), float(table["base"])


def _spoken(said: Plain) -> Iterator[str]:
    """Yield the signs in the words of a sentence."""
    signs, _ = _table()
    for at, word in enumerate(said.words):
        yield from signs.by_word.get(word, ())
        yield from signs.phrases_at(said, at)


def _of_work(said: Plain) -> Iterator[str]:
    """Yield the signs that something of the job is named: numbers, things, verbs of work."""
    known = trade_words()
    named = [known.kind_of(word) for word in said.words]
    things = sum(kind in {"part", "tool", "supply"} for kind in named)
    if any(word[0].isdigit() or word in NUMBER_WORDS for word in said.words):
        yield "num"
    if things:
        yield "noun1"
    if things > 1:
        yield "noun2"
    if any(
        base in _WORK
        for word in said.words
        for base in (
            word,
            base_of_going(word),
            base_of_past(word),
            base_of_third(word),
            base_of_done(word),
        )
    ):
        yield "work"
    if not things and not any(kind in {"weak", "feature"} for kind in named):
        yield "no_thing"


def _shape(said: Plain, index: int, count: int) -> Iterator[str]:
    """Yield how long a sentence is and where in the film it stands."""
    for name, size in (("len3", 3), ("len6", 6), ("len12", 12)):
        if len(said.words) <= size:
            yield name
    if said.question:
        yield "ask"
    if count > _FILM:
        if index == 0:
            yield "first"
        elif index < 3:
            yield "second"
        elif index < _OPENING:
            yield "early"
        elif index == count - 1:
            yield "last"


def _evidence(hits: Sequence[Hit], actions: Sequence[Hit]) -> Iterator[str]:
    """Yield what the phrases of a sentence speak for."""
    done = max((hit.weight for hit in actions), default=0)
    if done:
        yield "act85" if done >= 85 else "act60"
    talk = [hit.weight for hit in hits if hit.kind == "chatter"]
    if talk:
        if max(talk) >= _SURE_TALK:
            yield "chat95"
        if min(talk) < _SURE_TALK:
            yield "chat70"
    if any(hit.kind == "preview" for hit in hits):
        yield "prev"
    told = max(
        (hit.weight for hit in hits if hit.kind not in {"chatter", "preview", "reason", "action"}),
        default=0,
    )
    if told:
        yield "hits" if told >= _SURE else "hitw"


def talk_or_not(
    said: Plain,
    hits: Sequence[Hit],
    actions: Sequence[Hit],
    founds: list[Found],
    measured: bool,
    where: tuple[int, int],
) -> list[Found]:
    """Return what a sentence is, as talk where the signs of talk outweigh what else it may be.

    Args:
        said: its words.
        hits: the phrases found in it, those of harm weighed.
        actions: the signs of an action.
        founds: what it is by its phrases.
        measured: whether a quantity is spoken in it.
        where: index of the sentence and how many there are.
    """
    if not said.words:
        return founds
    if _signs_off(said, *where) and not measured and not _tells(founds):
        return [Found(replace(_SIGN_OFF, stop=len(said.words)), 0, len(said.words))]
    names = {*_spoken(said), *_of_work(said), *_shape(said, *where), *_evidence(hits, actions)}
    if measured:
        names.add("qty")
    if "no_thing" in names and not names & (_TOLD | {"hits", "hitw", "qty"}):
        names.add("nothing")
    signs, base = _table()
    # Added up exactly: names are a set, and its order must not tell.
    points = math.fsum((base, *(signs.points.get(name, 0.0) for name in names)))
    kinds: set[str] = {found.hit.kind for found in founds}
    if kinds == {"chatter"}:
        return founds if points > _LEAST or "nothing" in names else []
    if "chat95" not in names and ("hazard" in kinds or not _ASKED.isdisjoint(said.words)):
        return founds
    if kinds & _KEPT or points < _bar(said, names, kinds, where):
        return founds
    weight = min(90, 55 + round(8 * (points - _BAR)))
    hit = Hit("chatter", 0, len(said.words), weight, "speaks of other things than the work: '{}'")
    if {"plan", "ahead"} <= names and "greeting" not in names:
        hit = replace(hit, kind="preview", reason="only tells what will come: '{}'")
    return [Found(hit, 0, len(said.words))]


def _signs_off(said: Plain, index: int, count: int) -> bool:
    """Whether a film ends on a wish: "and keep your chisels sharp", "mind how you go"."""
    if count <= _FILM or index < count - _ENDING:
        return False
    wishes = _KEEP_WISH.search(said.text) is not None
    return wishes and len(said.words) <= _FEW


def _tells(founds: Sequence[Found]) -> bool:
    """Whether a sentence warns or tells of a job to come."""
    return any(found.hit.kind in _KEPT for found in founds)


def _bar(said: Plain, names: set[str], kinds: set[str], where: tuple[int, int]) -> float:
    """Return how many points a sentence needs to be talk."""
    if names & _TOLD and "action" in kinds:
        opening = where[0] < _OPENING and where[1] > _FILM
        announced = {"plan", "ahead"} <= names or (where[0] == 0 and "greeting" in names)
        if opening and announced:
            return _BAR_OF_PLAN
        if "last" in names or ("heard_beside" in names and "noun1" not in names):
            return _BAR_OF_LAST - ("heard_beside" in names)
        return _BAR_OF_ORDER
    if not _STILL_WORK.isdisjoint(said.words):
        return _BAR_OF_WORK
    return _BAR_OF_THING if "noun1" in names and not names & _TALKED else _BAR
