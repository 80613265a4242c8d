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
from author.proposals.kinds.talk_plans import opening_signs
from author.proposals.kinds.talk_signs import FILM, Heard, kind_of_neighbour, own_signs
from author.proposals.language.plain_words import Plain
from author.proposals.language.trade_words import trade_words
from author.proposals.language.verbs import is_work
from author.proposals.reader.ahead import leaning
from author.resources import load_own_table

_OF_PLAN = frozenset(
    {"plan", "plan named", "plan to the end", "plan of 3", "plan of 4", "plan of 5"}
)
# A number lost is a gauge or a torque lost, and so on: such sentences need more points to be talk.
_LOSSES = frozenset({"qty", "tells of job"})
_MORE_OF_LOSS, _MORE_OF_FEW, _MORE_OF_ONE = 1.0, 1.3, 2.0


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
        beside.update(opening_signs(signs | beside, heard[index].said))
        found.append(signs | beside)
    return found


def score(signs: frozenset[str]) -> float:
    """Return the points of a sentence with such signs."""
    table = points()
    # Added up exactly: signs are a set, and its order must not tell.
    return math.fsum((table.base, *(table.signs.get(sign, 0.0) for sign in signs)))


def more_needed(signs: frozenset[str]) -> float:
    """Return how many points above the bar a sentence with such signs needs to be talk."""
    return _MORE_OF_LOSS if signs & _LOSSES else 0.0


def left_out(heard: Sequence[Heard]) -> list[list[Found]]:
    """Return what each sentence of a film is, as talk or a plan where it is to be left out.

    Args:
        heard: the sentences of the film, in order.
    """
    # Without a beginning, an end and sentences around it talk is harder to tell.
    more = 0.0 if len(heard) > FILM else _MORE_OF_FEW if len(heard) > 1 else _MORE_OF_ONE
    return [_judged(one, signs, more) for one, signs in zip(heard, signs_of(heard), strict=True)]


def _judged(one: Heard, signs: frozenset[str], more: float) -> list[Found]:
    over = score(signs) - points().bar - more_needed(signs)
    if one.ahead is not None:
        lean = _AHEAD * leaning(one.ahead.talk, _USUAL_AHEAD, _MOST_AHEAD)
        order = any(sure <= signs for sure in _SURE_ORDERS)
        over += min(lean, _MOST_OF_ORDER) if order else lean
    if not signs & _OF_PLAN:
        over -= more
    if not one.said.words or over < 0:
        return one.founds
    hit = _hit(one, signs, over)
    if _next_thing(one.said) or (_FIRST_OF_ALL.match(one.said.text) and "future" not in signs):
        return one.founds
    text = one.said.text
    kept = any(one.search(text) for one in (_MAKES_SAFE, _IN_PAIRS, _PUT_OFF))
    kept = kept or _TOLD_TO_OTHERS.match(text) is not None
    if hit.kind == "chatter" and (kept or _short_order(one.said)):
        return one.founds  # joked about or not, it is never left out
    return [Found(hit, 0, len(one.said.words))]


# So much its log odds count, from where they stand where nothing speaks either way; chosen on
# `plain`.
_AHEAD, _USUAL_AHEAD, _MOST_AHEAD = 0.5, -3.0, 5.0
_SURE_ORDERS = (frozenset({"order sure of thing"}), frozenset({"order of thing", "qty"}))
_MOST_OF_ORDER = 1.2
"""What is surely an order to do something to a thing, or has its number, the network does not
leave out by itself."""
# "Tell the apprentice to hold the link", "have somebody turn it for you".
_TOLD_TO_OTHERS = re.compile(
    r"(?:now |then |and |so )?(?:tell|get|have|ask) (?:(?:the|a|an|your|my) )?"
    r"(?:apprentice|lad|mate|helper|buddy|partner|assistant|somebody|someone) (?:to )?[a-z]+",
    re.IGNORECASE,
)
# "We do both sides, always", "seals in pairs"
_IN_PAIRS = re.compile(
    r"\b(?:in pairs|as a (?:pair|set)|the pair regardless|both (?:sides|ends|of them),? "
    r"(?:always|every time)|always (?:do |change |fit )?both)\b",
    re.IGNORECASE,
)
# "We'll do it with the next service"
_PUT_OFF = re.compile(
    r"\b(?:we'll|i'll) (?:do|change|fix|sort|replace|see to|look at|get)"
    r" (?:it|that|them|those|this) (?:with|at|on|in|during) (?:the )?"
    r"(?:next|service|shutdown|overhaul|spring|summer|autumn|winter)",
    re.IGNORECASE,
)
_MAKES_SAFE = re.compile(
    r"\b(?:lock (?:\w+ ){0,3}(?:out|off)|isolate|unplug|pull the plug|padlock|"
    r"(?:prove|test) (?:\w+ ){0,3}dead|lock and tag|"
    r"(?:kill|switch off|shut off|turn off|cut) (?:the |your )?(?:\w+ )?(?:power|breaker|mains|"
    r"supply|gas|current)|(?:switch|turn|shut) (?:it |her )?off at the) "
    # so is what tells that it has been made safe: "plug's out of the wall", "wheels chocked"
    r"|\b(?:plug|key|isolator|breaker|battery|mains|power|gas|air|water|steam|supply)(?:'s| is)"
    r"(?: \w+)? (?:out|off|shut|disconnected|locked|isolated|pulled|dead) "
    r"|\b(?:chocked|padlocked|isolated|(?:locked|tagged) out|line block|permit to work) "
)


# "And out she comes", said for itself.
_MOVES = re.compile(
    r"(?:(?:and|so|then|now|right|okay|there) )*(?:out|off|in|on|up|down|back|apart) "
    r"(?:she|he|it|they) (?:comes?|goes?|pops?|slides?) (?:again )?$"
)
_FIRST_OF_ALL = re.compile(
    r"first (?:put|take|undo|close|open|lift|remove|loosen|shut|disconnect|drain|unplug|turn) "
    r"(?:the|your|this|that|these|those|both|all) "
)
_TURNS = frozenset({"next", "now"})
_BESIDE = frozenset({"and", "so", "then", "now", "right", "okay", "next", "the", "a", "your"})


def _next_thing(said: Plain) -> bool:
    """Whether a few words say which part's turn it is, or that it moves: "next, the axle"."""
    if _MOVES.match(said.text):
        return True
    named = [word for word in said.words if word not in _BESIDE]
    turn = said.words[:1] == ("next",) or said.words[-1] in _TURNS
    # Bare captions have "next" where another sentence begins: only so few words are one.
    return (
        turn
        and len(said.words) <= _FEW
        and 0 < len(named) < _FEW - 1
        and trade_words().kind_of(named[-1]) == "part"
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


_SHORT, _FEW = 6, 4
_NEVER_HAD = frozenset({"have", "had", "get", "put", "take", "do", "go", "let"})


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
