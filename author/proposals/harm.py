"""Weighs the signs of harm in a sentence: where it hurts, what stores energy, what spoils."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from functools import cache
from typing import Literal

from author.checks.verbs import words
from author.proposals.clause_cuts import Clause
from author.proposals.marks import Hit
from author.proposals.plain_words import Plain
from author.proposals.word_signs import WordSigns, read_table

_Harmed = Literal["people", "things", "both"]
_HARM = frozenset({"hazard", "damage"})
# A sentence is a warning from so many points on; what a phrase of the tables adds by its weight.
_BAR = 2.0
_SURE_PHRASE, _PHRASE = 1.6, 0.6
_SURE = 86
# Long sentences hold more words of every sort; what is looked at and talk have them as well.
_LONG = 25
_LESS = {"inspection": 0.5, "chatter": 0.8, "preview": 0.6, "decision": 0.6, "orientation": 0.1}
_LESS_IF_LONG = 0.8
_MOST_WORDS = 40

_VERBS = frozenset({"spoiling", "spoiling_maybe", "hurting", "sudden"})
# Behind these a word is the name of a thing or of a fault: "no cracks", "a thin smear".
_NAMED = words("a an the no any of for thin little small slight some this that quick with is's new")
_FASTENED = words("bolt bolts screw screws nut nuts ring rings pin pins")
_IS = words("is it's they're are be only just because that's but")
_BY = words("with by between of using")
_HUMAN = words(
    "ask know care forgive wait mind warn think stop listen bounce remember feel read look"
)
_PEOPLE = words(
    "you your yer ye him his her me my somebody someone people yourself anybody anyone us"
)
_UNITS_OF_MUCH = words(
    """
    kilo kilos kilogram kilograms kg pound pounds lb lbs stone ton tons tonne tonnes bar psi volt
    volts degrees hundredweight rpm revs amps
    """
)
_TENS = words("hundred thousand forty fifty sixty seventy eighty ninety million")
# "Run it dry and the vanes chip": what comes of it.
_WHAT = words("the it that your its you they this it'll you'll")
_LIKE = words("a an glass paper butter biscuits")


# Signs that are no words but the way words stand together.
_FORMS: dict[str, tuple[float, _Harmed]] = {
    "hurts_somebody": (0.5, "people"),
    "heedless": (1.3, "people"),
    "simile": (0.6, "both"),
    "much": (1.2, "people"),
    "and_spoils": (1.1, "things"),
}


@cache
def _table() -> tuple[WordSigns, Mapping[str, _Harmed]]:
    """Return the table of signs, and for each sign who or what is harmed."""
    table = read_table("harm_words.yaml")["signs"]
    signs = WordSigns.of(table)
    points = {**signs.points, **{name: form[0] for name, form in _FORMS.items()}}
    to: dict[str, _Harmed] = {name: one["to"] for name, one in table.items()}
    to |= {name: form[1] for name, form in _FORMS.items()}
    return replace(signs, points=points), to


def signs_at(said: Plain, at: int) -> Iterator[str]:
    """Yield the names of the signs that begin at a word."""
    signs, _ = _table()
    word, before = said.words[at], said.word(at - 1)
    for name in signs.by_word.get(word, ()):
        if name in _VERBS and (before in _NAMED or said.word(at + 1) in _FASTENED):
            continue
        if name == "weak" and _IS.isdisjoint(said.words[max(0, at - 3) : at]):
            continue
        yield name
        if name == "hurting" and not _PEOPLE.isdisjoint(said.words[at + 1 : at + 4]):
            yield "hurts_somebody"
    for name in signs.phrases_at(said, at):
        if name != "tender" or before not in _BY:
            yield name
    if word == "and" and said.word(at + 1) in _WHAT:
        near = said.words[at + 2 : at + 5]
        if any({"spoiling", "spoiling_maybe"} & {*signs.by_word.get(one, ())} for one in near):
            yield "and_spoils"
    yield from _forms_at(word, before, said.word(at + 1))


def _forms_at(word: str, before: str, behind: str) -> Iterator[str]:
    """Yield the signs that lie in how a word stands among its neighbours."""
    if (
        word in {"doesn't", "don't", "won't", "disnae", "not"}
        and behind in _HUMAN
        and before not in {"i", "you", "we", "please", ""}
    ):
        yield "heedless"
    if word in {"like", "as"} and behind in _LIKE:
        yield "simile"
    if word in _UNITS_OF_MUCH and (before in _TENS or (before[:1].isdigit() and len(before) > 1)):
        yield "much"


def weighed(said: Plain, clauses: Sequence[Clause], hits: Sequence[Hit]) -> list[Hit]:
    """Return the signs of a sentence, those of harm only where they are enough together.

    Args:
        said: its words.
        clauses: its clauses.
        hits: the phrases found in it, of every kind but actions.
    """
    kept = [hit for hit in hits if hit.kind not in _HARM]
    for first, stop in _stretches(clauses):
        inside = [hit for hit in hits if first <= hit.first < stop]
        harms = [hit for hit in inside if hit.kind in _HARM]
        found = [(at, name) for at in range(first, stop) for name in signs_at(said, at)]
        points = _points({name for _, name in found}, inside, stop - first)
        if points < _BAR:
            continue
        kept.extend(harms)
        if not any(hit.weight >= _SURE for hit in harms):
            kept.append(_warning(found, clauses, first, stop, points))
    return kept


def _stretches(clauses: Sequence[Clause]) -> Iterator[tuple[int, int]]:
    """Yield where the words are that are weighed together: a sentence, or what can be one."""
    first = 0
    for clause in clauses:
        if clause.stop - first > _MOST_WORDS and clause.first > first:
            yield first, clause.first
            first = clause.first
    if clauses:
        yield first, clauses[-1].stop


def _points(names: set[str], hits: Sequence[Hit], size: int) -> float:
    signs, _ = _table()
    points = sum(signs.points[name] for name in names)
    strongest = max((hit.weight for hit in hits if hit.kind in _HARM), default=0)
    points += _SURE_PHRASE if strongest >= _SURE else _PHRASE if strongest else 0.0
    points -= sum(
        less
        for kind, less in _LESS.items()
        if any(hit.kind == kind and hit.weight >= _SURE for hit in hits)
    )
    return points - (_LESS_IF_LONG if size > _LONG else 0.0)


def _warning(
    found: Sequence[tuple[int, str]],
    clauses: Sequence[Clause],
    first: int,
    stop: int,
    points: float,
) -> Hit:
    """Return the warning over the clause with most of the signs."""
    signs, to = _table()
    names = {name for _, name in found}
    to_people = sum(signs.points[name] for name in names if to[name] == "people")
    to_things = sum(signs.points[name] for name in names if to[name] == "things")
    best, most = (first, stop), -1.0
    for clause in clauses:
        if first <= clause.first < stop:
            inside = {name for at, name in found if clause.first <= at < clause.stop}
            own = sum(signs.points[name] for name in inside)
            if own > most:
                best, most = (clause.first, clause.stop), own
    places = [at for at, _ in found if best[0] <= at < best[1]] or [best[0]]
    weight = 55 + round(40 / (1 + math.exp(1.8 - (points - _BAR))))
    if to_things > to_people:
        reason = "speaks of what would spoil something: '{}'"
        return Hit("damage", min(places), max(places) + 1, weight, reason)
    reason = "speaks of what can hurt somebody: '{}'"
    return Hit("hazard", min(places), max(places) + 1, weight, reason)
