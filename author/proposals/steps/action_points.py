"""Weighs which of its orders a step is called by.

A step is said to be for what an author would write over it: that of its orders that is likeliest
to be that, by signs of its verb, its object, its place and what else is done. The points of the
signs are fitted on talk of our own by ``tests/benchmarks/fit_action_points.py``.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from typing import Literal

from author.checks.verbs import words
from author.proposals.language.trade_words import trade_words
from author.proposals.language.word_forms import singular
from author.proposals.orders.wording import Order
from author.proposals.steps.sections import Phase, makes_safe
from author.resources import load_own_table

_NO_THING = words("one ones half rest thing things bit lot time way hundred end side")
_LEADING = words("if when before while after do never once with check without")
_PRONOUNS = words("it them both all that those these")
_OPENS, _MOST = 6, 30.0
# "Take the big pipe wrench": not what a step is for, if anything else is done in it.
_FETCHED = re.compile(
    r"^(?:take|get|grab|use|put|hold|set|count|bring|fetch|find|reach for)\b", re.IGNORECASE
)
_GOT = words("get grab use bring fetch find")
_PUT_ON = re.compile(
    r"^(?:put|wear|get|pop|keep|leave|set|fit)\b.*\b(?:gloves?|glasses|goggles|mask|visor|ear ?"
    r"(?:plugs|muffs|defenders)|eye protection|face shield|apron|boots)\b",
    re.IGNORECASE,
)

Origin = Literal["told", "implied", "topic"]
"""Whether an order was told, is meant by a number or a check, or by a thing named first."""


@dataclass(frozen=True, slots=True)
class Candidate:
    """An order a step may be called by.

    Attributes:
        order: the order.
        sentence: index of its sentence.
        origin: how it is known.
    """

    order: Order
    sentence: int
    origin: Origin = "told"


@dataclass(frozen=True, slots=True)
class StepTalk:
    """What is said in a step.

    Attributes:
        sentences: indexes of its sentences, rising.
        texts: their words.
        kinds: what each says.
        things: the names of parts, tools and supplies in each.
        phase: the part of the job most of them belong to.
    """

    sentences: tuple[int, ...]
    texts: tuple[str, ...]
    kinds: tuple[frozenset[str], ...]
    things: tuple[frozenset[str], ...]
    phase: Phase


def chances(candidates: Sequence[Candidate], talk: StepTalk) -> list[float]:
    """Return of each order how likely an author writes it over the step, 0 to 1.

    Args:
        candidates: orders of the step, in the order they were said.
        talk: what is said in the step.
    """
    base, points = action_points()
    return [
        1 / (1 + math.exp(-max(-_MOST, min(_MOST, base + math.fsum(
            points.get(sign, 0.0) for sign in sorted(signs))))))
        for signs in signs_of(candidates, talk)
    ]  # fmt: skip


@cache
def action_points() -> tuple[float, Mapping[str, float]]:
    """Return the points of an order without signs, and those of each sign, as log odds."""
    table = load_own_table("action_points.yaml")
    return float(table["base"]), {name: float(value) for name, value in table["signs"].items()}


def signs_of(candidates: Sequence[Candidate], talk: StepTalk) -> list[frozenset[str]]:
    """Return the signs of each order a step may be called by."""
    heads = [_head(one.order) for one in candidates]
    return [
        frozenset((*_own(candidates[at].order, heads[at]), *_among(candidates, heads, at),
                   *_in_talk(candidates[at], heads[at], talk)))
        for at in range(len(candidates))
    ]  # fmt: skip


def _head(order: Order) -> str:
    """Return the word that says what an order is done to, or nothing."""
    return singular(order.object.split(" ")[-1].lower()) if order.object else ""


def _own(order: Order, head: str) -> Iterator[str]:
    """Yield what an order says of itself."""
    said = order.action.rstrip(".").lower().split()
    yield f"verb {order.verb}"
    yield f"head {head}"
    yield f"act {order.act}"
    yield f"kind {trade_words().kind_of(head) if head else 'none'}"
    yield f"sure {order.confidence}"
    yield f"length {min(len(said), 14) // 2}"
    yield f"object {len((order.object or '').split())}"
    if said[0] in _LEADING:
        yield f"first {said[0]}"
    if order.object and order.object.lower() in _NO_THING:
        yield "no thing"
    if _PRONOUNS & set(said[1:3]):
        yield "pronoun"
    if makes_safe(order.action) and order.act != "removes":
        yield "makes safe"  # a lock that is taken off makes nothing safe
    if only_helps(order):
        yield "helps"


def only_helps(order: Order) -> bool:
    """Whether an order only fetches or holds a tool, or is about hands and what is worn."""
    head = _head(order)
    helps = trade_words().kind_of(head) == "tool" or head.startswith(("finger", "hand"))
    helps = helps or (order.verb in _GOT and trade_words().kind_of(head) == "supply")
    moved = {"off", "out", "away"} & set(order.action.rstrip(".").split(" "))
    fetched = _FETCHED.search(order.action) is not None or _PUT_ON.search(order.action) is not None
    written = order.verb in _WRITTEN or _WATCHED.match(order.action) is not None
    return written or (fetched and not moved and (helps or not order.object))


_WRITTEN = words("write note")
_WATCHED = re.compile(r"keep an eye\b", re.IGNORECASE)


def _among(candidates: Sequence[Candidate], heads: Sequence[str], at: int) -> Iterator[str]:
    """Yield how an order stands among the others of its step."""
    many, own = len(candidates), candidates[at].order.act
    yield f"at {min(at, 5)}"
    yield f"of {min(many, 6)}"
    if at == many - 1:
        yield "last"
    alike = sum(head == heads[at] for head in heads) - 1
    yield f"same thing {min(2, alike) if heads[at] else 0}"
    yield f"before it {candidates[at - 1].order.act if at else 'none'}"
    yield f"behind it {candidates[at + 1].order.act if at + 1 < many else 'none'} {own}"
    for place, other in enumerate(candidates):
        if place != at:
            yield f"beside {other.order.act} {own}"


def _in_talk(candidate: Candidate, head: str, talk: StepTalk) -> Iterator[str]:
    """Yield how an order stands in what is said in its step."""
    order, place = candidate.order, talk.sentences.index(candidate.sentence)
    yield f"sentence {min(place, 4)}"
    yield from (f"in {kind}" for kind in talk.kinds[place] or ("nothing",))
    yield f"{candidate.origin}"
    yield f"{candidate.origin} {talk.phase}"
    yield f"{talk.phase} {order.act}"
    yield f"{talk.phase} verb {order.verb}"
    first = talk.texts[0].lower()
    if head and head in first:
        yield "thing in first"
    if head and head in " ".join(first.split()[:_OPENS]):
        yield "thing opens"
    yield f"told {min(3, sum(head in text.lower() for text in talk.texts)) if head else 0}"
    if head and any(head in name.lower() for names in talk.things for name in names):
        yield "listed"
