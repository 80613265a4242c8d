"""Weighs the signs of harm in a sentence: where it hurts, what stores energy, what spoils."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from functools import cache
from typing import Literal

from author.checks.verbs import words
from author.proposals.kinds.harm_forms import forms_in
from author.proposals.kinds.marks import Hit
from author.proposals.language.clause_cuts import Clause
from author.proposals.language.plain_words import Plain
from author.proposals.language.word_signs import WordSigns
from author.proposals.reader.ahead import Ahead, leaning
from author.resources import load_own_table

_Harmed = Literal["people", "things", "both"]
_HARM = frozenset({"hazard", "damage"})
_SURE = 86
# Long sentences hold more words of every sort.
_LONG = 25
_MOST_WORDS = 40

_VERBS = frozenset({"spoiling", "spoiling_maybe", "hurting", "sudden"})
# Behind these a word is the name of a thing or of a fault: "no cracks", "a thin smear".
_NAMED = words("a an the no any of for thin little small slight some this that quick with is's new")
_LOST, _NOT_TO = words("lose losing"), words("don't never not to without")
_CONDITION = words("if when once unless")
_WATCHING = words("on out")
_FASTENED = words("bolt bolts screw screws nut nuts ring rings pin pins")
_IS = words("is it's they're are be only just because that's but")
_BY = words("with by between of using")
_HUMAN = words(
    "ask know care forgive wait mind warn think stop listen bounce remember feel read look"
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


# So much the log odds of the network count, from where they stand where nothing speaks either
# way; chosen on `plain`.
_AHEAD, _USUAL_AHEAD, _MOST_AHEAD = 1.1, -2.0, 4.0
_OF_ME = words("i i'm i've we we're we've i'll we'll my")


@cache
def _signs() -> WordSigns:
    return WordSigns.of(load_own_table("harm_words.yaml")["signs"])


@cache
def _table() -> tuple[Mapping[str, float], float, Mapping[str, _Harmed]]:
    """Return the points of each sign, how many make a warning, and who or what is harmed."""
    table = load_own_table("harm_words.yaml")
    points = {**_signs().points, **{name: float(p) for name, p in table["forms"].items()}}
    to: dict[str, _Harmed] = {name: one["to"] for name, one in table["signs"].items()}
    for harmed in ("people", "things"):
        to |= dict.fromkeys(table["forms_of"][harmed].split(","), harmed)
    return points, float(table["bar"]), to


def signs_at(said: Plain, at: int) -> Iterator[str]:
    """Yield the names of the signs that begin at a word."""
    signs = _signs()
    word, before = said.words[at], said.word(at - 1)
    for name in signs.by_word.get(word, ()):
        if name in _VERBS and (before in _NAMED or said.word(at + 1) in _FASTENED):
            continue
        if word in _LOST and before in _NOT_TO:
            continue  # what may not be lost is no harm: "don't lose the shims"
        if name == "weak" and _IS.isdisjoint(said.words[max(0, at - 3) : at]):
            continue
        yield name
    for name in signs.phrases_at(said, at):
        watched = said.word(at + 1) == "eye" and said.word(at + 2) in _WATCHING
        if name != "tender" or not (before in _BY or watched):
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


def weighed(
    said: Plain,
    clauses: Sequence[Clause],
    hits: Sequence[Hit],
    actions: Sequence[Hit],
    measured: bool,
    opening: bool,
    ahead: Ahead | None,
) -> list[Hit]:
    """Return the signs of a sentence, those of harm only where they are enough together.

    Args:
        said: its words.
        clauses: its clauses.
        hits: the phrases found in it, of every kind but actions.
        actions: the signs of an action in it.
        measured: whether a quantity is spoken in it.
        opening: whether it is among the first of a film, where the fault is told.
        ahead: what the network thinks of the sentence.
    """
    kept = [hit for hit in hits if hit.kind not in _HARM]
    points, bar, _ = _table()
    lean = _AHEAD * leaning(ahead.warns, _USUAL_AHEAD, _MOST_AHEAD) if ahead else 0.0
    for first, stop in _stretches(clauses):
        inside = [hit for hit in hits if first <= hit.first < stop]
        found = found_in(said, clauses, first, stop, inside, actions)
        names = {name for _, name in found}
        names |= {name for name, told in (("measured", measured), ("opening", opening)) if told}
        over = math.fsum((*(points.get(name, 0.0) for name in names), lean, -bar))
        if over < 0:
            continue
        harms = [hit for hit in inside if hit.kind in _HARM]
        kept.extend(harms)
        if not any(hit.weight >= _SURE for hit in harms):
            kept.append(_warning(said, found, clauses, first, stop, over))
    return kept


def found_in(
    said: Plain,
    clauses: Sequence[Clause],
    first: int,
    stop: int,
    hits: Sequence[Hit],
    actions: Sequence[Hit],
) -> list[tuple[int, str]]:
    """Return all that speaks for harm in a stretch of a sentence or against it.

    Args:
        said: the words of the sentence.
        clauses: its clauses.
        first: index of the first word of the stretch.
        stop: index after its last.
        hits: the phrases found in the stretch, of every kind but actions.
        actions: the signs of an action in the sentence.
    """
    found = [(at, name) for at in range(first, stop) for name in signs_at(said, at)]
    found += forms_in(said, clauses, first, stop, found, actions)
    found += [(at, f"word {said.words[at]}") for at in range(first, stop)]
    found += [(hit.first, _phrase(hit)) for hit in hits]
    if not any(hit.kind in _HARM for hit in hits):
        found += _unsaid(said, first, {name for _, name in found})
    if stop - first > _LONG:
        found.append((first, "long"))
    return found


def _unsaid(said: Plain, first: int, names: set[str]) -> Iterator[tuple[int, str]]:
    """Yield what a stretch is that no phrase of harm is found in."""
    yield first, "unsaid"
    if "plain_order" in names:
        yield first, "unsaid order"
    if said.word(first) in _OF_ME or said.word(first + 1) in _OF_ME:
        yield first, "unsaid of me"


def _phrase(hit: Hit) -> str:
    """Return the name by which a phrase counts: by its kind and how much it says."""
    if hit.kind in _HARM:
        named = "names " if hit.sign == "danger" else ""
        return f"{named}{hit.kind} {hit.weight}"
    return f"{hit.kind} sure" if hit.weight >= _SURE else f"{hit.kind} weak"


def _stretches(clauses: Sequence[Clause]) -> Iterator[tuple[int, int]]:
    """Yield where the words are that are weighed together: a sentence, or what can be one."""
    first = 0
    for clause in clauses:
        if clause.stop - first > _MOST_WORDS and clause.first > first:
            yield first, clause.first
            first = clause.first
    if clauses:
        yield first, clauses[-1].stop


def _warning(
    said: Plain,
    found: Sequence[tuple[int, str]],
    clauses: Sequence[Clause],
    first: int,
    stop: int,
    over: float,
) -> Hit:
    """Return the warning over the clause with most of the signs."""
    points, _, to = _table()
    found = [(at, name) for at, name in found if points.get(name, 0.0) > 0]
    names = {name for _, name in found}
    to_people = math.fsum(points[name] for name in names if to.get(name) == "people")
    to_things = math.fsum(points[name] for name in names if to.get(name) == "things")
    best, most = (first, stop), -1.0
    for clause in clauses:
        if first <= clause.first < stop:
            inside = {name for at, name in found if clause.first <= at < clause.stop}
            own = math.fsum(points[name] for name in inside)
            if own > most:
                best, most = (clause.first, clause.stop), own
    places = [at for at, _ in found if best[0] <= at < best[1]] or [best[0]]
    if said.word(first) in _CONDITION and stop - first <= _LONG:
        places = [first, stop - 1]  # what to do then, and why, belongs to it
    weight = 55 + round(40 / (1 + math.exp(1.8 - over)))
    if to_things > to_people:
        reason = "speaks of what would spoil something: '{}'"
        return Hit("damage", min(places), max(places) + 1, weight, reason, "weighed")
    reason = "speaks of what can hurt somebody: '{}'"
    return Hit("hazard", min(places), max(places) + 1, weight, reason, "weighed")
