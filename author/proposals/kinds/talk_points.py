"""Weighs whether a sentence is talk beside the job or only announces what comes.

Each sign has points, fitted on talk of our own by ``tests/benchmarks/fit_talk_points.py``.
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cache

from author.proposals.kinds.marks import Found, Hit
from author.proposals.kinds.talk_forms import talk_forms
from author.proposals.kinds.talk_signs import FILM, Heard, kind_of_neighbour, own_signs
from author.proposals.language.plain_words import Plain
from author.proposals.language.trade_words import trade_words
from author.proposals.language.verbs import is_work
from author.resources import load_own_table

_OF_PLAN = frozenset(
    {"plan", "plan named", "plan to the end", "plan of 3", "plan of 4", "plan of 5"}
)
_OF_TALK = frozenset({"talk", "talk sure", "talk weak", "of greeting"})
# These tell of the job though nothing is done in them; they need more to be talk.
_KEPT = frozenset({"off_camera", "prerequisite", "follow_on", "deferred", "hazard"})
# From this weight a warning is told apart from talk that only sounds like one.
_SURE_HARM = 64
_MORE_OF_FEW = 1.3
# Each is met in too few narrations to be fitted; such words say it all the same.
_OF_FORM = {"paid": 4.5, "leave": 3.0, "filming": 3.0, "hails": 3.0, "sight": 1.5, "kin": 1.5}
_MORE_OF_NUMBER, _MORE_OF_ORDER, _MORE_OF_KEPT = 2.0, 1.0, 1.0


@dataclass(frozen=True, slots=True)
class Points:
    """What each sign is worth, and what a sentence without any has.

    Attributes:
        base: points of a sentence without a sign.
        bar: points from which a sentence is talk.
        signs: points by sign, as log odds.
    """

    base: float
    bar: float
    signs: Mapping[str, float]


@cache
def points() -> Points:
    """Return the fitted points, read once."""
    table = load_own_table("talk_points.yaml")
    signs = {name: float(value) for name, value in table["signs"].items()}
    return Points(float(table["base"]), float(table["bar"]), signs)


def signs_of(heard: Sequence[Heard]) -> list[frozenset[str]]:
    """Return the signs of each sentence of a film, those of its neighbours among them.

    Args:
        heard: the sentences of the film, in order.
    """
    own = [own_signs(one, index, len(heard)) for index, one in enumerate(heard)]
    begun = next(
        (i for i, one in enumerate(heard) if any(f.hit.kind == "action" for f in one.founds)
         and one.alone is None), len(heard),
    )  # fmt: skip
    found = []
    for index, signs in enumerate(own):
        beside = set()
        if index:
            beside.add(f"before {kind_of_neighbour(heard[index - 1])}")
        if index + 1 < len(heard):
            beside.add(f"behind {kind_of_neighbour(heard[index + 1])}")
        if index < begun and len(heard) > FILM:
            beside.add("not begun")
        found.append(signs | beside)
    return found


def score(signs: frozenset[str]) -> float:
    """Return the points of a sentence with such signs."""
    table = points()
    # Added up exactly: signs are a set, and its order must not tell.
    return math.fsum((table.base, *(table.signs.get(sign, 0.0) for sign in signs)))


def left_out(heard: Sequence[Heard]) -> list[list[Found]]:
    """Return what each sentence of a film is, as talk or a plan where it is to be left out.

    Args:
        heard: the sentences of the film, in order.
    """
    few = len(heard) <= FILM
    return [_judged(one, signs, few) for one, signs in zip(heard, signs_of(heard), strict=True)]


def _judged(one: Heard, signs: frozenset[str], few: bool) -> list[Found]:
    over = score(signs) - points().bar - _more_needed(one, signs)
    over += max((_OF_FORM[form] for form in _forms_of(one)), default=0.0)
    if few and not signs & _OF_PLAN:
        # Without a beginning, an end and sentences around it talk is harder to tell.
        over -= _MORE_OF_FEW
    if not one.said.words or over < 0:
        return one.founds
    hit = _hit(one, signs, over)
    if hit.kind == "chatter" and (_MAKES_SAFE.search(one.said.text) or _short_order(one.said)):
        return one.founds  # joked about or not, it is never left out
    return [Found(hit, 0, len(one.said.words))]


def _forms_of(one: Heard) -> set[str]:
    """Return the ways of speaking that tell of talk; who of the family was hurt is a warning."""
    harmed = any(f.hit.kind == "hazard" and f.hit.weight >= _SURE_HARM for f in one.founds)
    return set(talk_forms(one.said, one.text)) - ({"kin"} if harmed else set())


_MAKES_SAFE = re.compile(
    r"\b(?:lock (?:\w+ ){0,3}(?:out|off)|isolate|unplug|pull the plug|padlock|"
    r"(?:prove|test) (?:\w+ ){0,3}dead|lock and tag|"
    r"(?:kill|switch off|shut off|turn off|cut) (?:the |your )?(?:\w+ )?(?:power|breaker|mains|"
    r"supply|gas|current)) "
)


def _short_order(said: Plain) -> bool:
    """Whether a sentence is nothing but an order: "dump the basket", "never mix old and new"."""
    words = said.words
    if len(words) > _SHORT or len(words) < 2:
        return False
    if words[0] in {"sign", "log", "write"} and words[1] in {"the", "it"}:
        return True
    if words[0] in {"never", "don't", "always"}:
        return len(words) > 2 and is_work(words[1]) and words[1] not in _NEVER_HAD
    named = any(trade_words().kind_of(word) == "part" for word in words[1:])
    if named and words[words[0] in {"right", "okay", "so", "now"}] == "new":
        return True  # "Right, new knives"
    return is_work(words[0]) and words[1:2] in {("the",), ("your",)} and named


_SHORT = 6
_NEVER_HAD = frozenset({"have", "had", "get", "put", "take", "do", "go", "let"})


def _more_needed(one: Heard, signs: frozenset[str]) -> float:
    """Return how many points more than others a sentence needs that it would be a loss to lose."""
    more = 0.0
    if one.measured:
        more = _MORE_OF_NUMBER
    elif "is action" in signs and not signs & (_OF_PLAN | _OF_TALK):
        more = _MORE_OF_ORDER
    if any(
        found.hit.kind in _KEPT and (found.hit.kind != "hazard" or found.hit.weight >= _SURE_HARM)
        for found in one.founds
    ):
        more = max(more, _MORE_OF_KEPT)
    return more


def _hit(one: Heard, signs: frozenset[str], over: float) -> Hit:
    """Return why a sentence is left out."""
    weight = min(95, 55 + round(10 * over))
    alone = one.alone
    plans = bool(signs & (_OF_PLAN | {"plan of 2"})) or {"of plan", "of ahead"} <= signs
    if alone is not None and (alone.kind == "preview" or not plans):
        return replace(alone, weight=weight)
    if plans and "of greeting" not in signs:
        return Hit("preview", 0, len(one.said.words), weight, "only tells what will come: '{}'")
    reason = "speaks of other things than the work: '{}'"
    return Hit("chatter", 0, len(one.said.words), weight, reason, "weighed")
