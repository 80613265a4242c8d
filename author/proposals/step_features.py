"""What speaks for a new step at a sentence, and what against it.

The weights are log odds, fitted by ``tests/benchmarks/fit_step_weights.py`` on the narrations
to build on; the sizes of the figures say what counts most.
"""

from __future__ import annotations

import math
import re
from bisect import bisect_left, bisect_right
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from functools import lru_cache

from author.checks.verbs import words
from author.proposals.sections import Phase, cues_of
from author.proposals.spoken import Sentence
from author.proposals.wording import Order

_LEAD = re.compile(
    r"(?:(?:so|and|okay|ok|right|alright|all right|well|good|great|um|uh)\b\W*)+", re.I
)
_NEW = re.compile(
    r"(?:now|next|then|first|second|third|after that|once|when|moving on|last|lastly|finally|"
    r"before)\b",
    re.IGNORECASE,
)
_STARTS_ANEW = re.compile(r"(?:so|okay|ok|right|alright|all right|now|next)\b", re.IGNORECASE)
_GOES_ON = re.compile(r"(?:and|but|because|cause|or|which|that way|otherwise|if|you)\b", re.I)
_SAME_THING = re.compile(
    r"\b(?:it|it's|its|it'll|that|that's|this|they|they're|them|these|those|both|same|other)\b",
    re.IGNORECASE,
)
_THE = re.compile(r"(?:the|these|this|those|all the|both|your|my|our|new|old)\b", re.IGNORECASE)
_STEM = re.compile(r"[a-z]{3,}")
_COMMON = words(
    "the and you that this with for just get got going put take now then there all out off into "
    "onto over your have has had are was were will can not but from its bit right okay one two "
    "little them they when where which what some like want need make sure goes come comes don "
    "down back"
)
_REMEMBERED = 12
"""Sentences of the open step that are compared with the next."""
_OPENING = 30
"""Letters in which a word for the same thing counts."""


@dataclass(frozen=True, slots=True)
class Talk:
    """What is known of the sentences of a recording.

    Attributes:
        sentences: what was said.
        kinds: kinds by sentence.
        orders: what is done, by sentence.
        things: names of parts, tools and supplies, by sentence.
        shots: when a new shot begins, seconds, rising.
        usual_pause: median pause between its sentences, seconds.
    """

    sentences: Sequence[Sentence]
    kinds: Mapping[int, frozenset[str]]
    orders: Mapping[int, Sequence[Order]]
    things: Mapping[int, frozenset[str]]
    shots: Sequence[Decimal]
    usual_pause: float


WEIGHTS: Mapping[str, float] = {
    "overlap": -0.10,
    "overlap_next": 0.39,
    "skips": -0.26,
    "pause_after": -0.66,
    "last_says_nothing": 0.02,
    "last_inspects": -0.03,
    "last_decides": 0.47,
    "last_short": 0.56,
    "other_phase": 0.36,
    "verb_first": 0.12,
    "the_first": 0.48,
    "orders": 0.62,
    "new_and_acts": -0.13,
    "base": -2.86,
    "pause": -0.20,
    "long_pause": 0.80,
    "over_usual": 1.25,
    "far_over_usual": 0.07,
    "no_pause": -0.95,
    "action": -0.07,
    "acted": -0.20,
    "action_after_action": 0.08,
    "other_act": -0.26,
    "new_words": 0.70,
    "starts_anew": 0.38,
    "goes_on": -0.71,
    "same_thing": -0.29,
    "other_thing": 0.58,
    "shared_thing": 0.25,
    "no_thing": -0.99,
    "inspects": -0.32,
    "warns": -0.53,
    "decides": -1.11,
    "off_camera": 0.36,
    "says_nothing": 0.08,
    "left_out_between": 0.39,
    "many": 0.62,
    "lasted": 0.52,
    "short": -0.79,
    "shot": 5.00,  # not fitted: the narrations have no pictures
}


def features_of(talk: Talk, index: int, so_far: Sequence[int]) -> dict[str, float]:
    """Return what speaks for a new step at a sentence, and against it, by name of weight.

    Args:
        talk: the recording's talk.
        index: of the sentence in question.
        so_far: indexes of the sentences of the step that is open, at least one.
    """
    sentence, before = talk.sentences[index], talk.sentences[so_far[-1]]
    kinds = talk.kinds.get(index, frozenset())
    orders = talk.orders.get(index, ())
    told = [order for i in so_far for order in talk.orders.get(i, ())]
    things = talk.things.get(index, frozenset())
    known: frozenset[str] = frozenset().union(*(talk.things.get(i, frozenset()) for i in so_far))
    pause = max(0.0, float(sentence.start - before.end))
    lasted = max(0.1, float(before.end - talk.sentences[so_far[0]].start))
    lead = _LEAD.match(sentence.text)
    rest = sentence.text[lead.end() :] if lead else sentence.text
    acts = {order.act for order in orders if order.act}
    told_acts = {order.act for order in told if order.act}
    after = index + 1 if index + 1 < len(talk.sentences) else index
    own = _stems(sentence.text)
    told_texts = [talk.sentences[i].text for i in so_far[-_REMEMBERED:]]
    old: frozenset[str] = frozenset().union(*map(_stems, told_texts))
    following = _stems(talk.sentences[after].text) if after != index else frozenset()
    last = talk.kinds.get(so_far[-1], frozenset())
    own_phase, old_phase = _phase([sentence.text]), _phase(told_texts)
    return {
        "overlap": min(3.0, len(own & old)),
        "overlap_next": min(3.0, len(own & following)),
        "skips": min(3.0, len(old & following)),
        "pause_after": math.log1p(float(sentence.pause_after) / max(talk.usual_pause, 0.2)),
        "last_says_nothing": float(not last and not talk.orders.get(so_far[-1])),
        "last_inspects": float("inspection" in last),
        "last_decides": float("decision" in last),
        "last_short": float(len(before.words) < 5),
        "other_phase": float(bool(own_phase and old_phase and own_phase != old_phase)),
        "verb_first": float(bool(orders) and rest[:20].lower().startswith(orders[0].verb)),
        "the_first": float(bool(_THE.match(rest))),
        "orders": float(min(3, len(orders))),
        "new_and_acts": float(bool(orders) and bool(things) and not things & known),
        "base": 1.0,
        "pause": math.log1p(pause / max(talk.usual_pause, 0.2)),
        "long_pause": float(pause > 4),
        "over_usual": float(pause > 2 * talk.usual_pause),
        "far_over_usual": float(pause > 4 * talk.usual_pause),
        "no_pause": float(pause < 0.7 * talk.usual_pause),
        "action": float(bool(orders)),
        "acted": float(bool(told)),
        "action_after_action": float(bool(orders) and bool(told)),
        "other_act": float(bool(acts) and bool(told_acts) and not acts & told_acts),
        "new_words": float(bool(_NEW.match(rest))),
        "starts_anew": float(bool(_STARTS_ANEW.match(sentence.text))),
        "goes_on": float(bool(_GOES_ON.match(sentence.text))),
        "same_thing": float(bool(_SAME_THING.search(rest[:_OPENING]))),
        "other_thing": float(bool(things) and not things & known),
        "shared_thing": float(bool(things & known)),
        "no_thing": float(not things),
        "inspects": float("inspection" in kinds and not orders),
        "warns": float("hazard" in kinds and not orders),
        "decides": float("decision" in kinds),
        "off_camera": float("off_camera" in kinds),
        "says_nothing": float(not kinds and not orders),
        "left_out_between": float(index - so_far[-1] > 1),
        "shot": float(_any_between(talk.shots, before.end, sentence.start)),
        "many": math.log1p(len(so_far)),
        "lasted": math.log1p(lasted),
        "short": float(len(sentence.words) < 6),
    }


def chance_of_step(features: Mapping[str, float]) -> float:
    """Return how likely a new step begins at a sentence with such features, 0 to 1."""
    odds = sum(WEIGHTS.get(name, 0.0) * value for name, value in features.items())
    return 1 / (1 + math.exp(-max(-30.0, min(30.0, odds))))


@lru_cache(maxsize=4096)
def _stems(text: str) -> frozenset[str]:
    return frozenset(w[:6] for w in _STEM.findall(text.lower()) if w not in _COMMON)


@lru_cache(maxsize=4096)
def _cues(text: str) -> tuple[tuple[Phase, float], ...]:
    return tuple(cues_of(text).items())


def _phase(texts: Sequence[str]) -> Phase | None:
    loud: dict[Phase, float] = {}
    for text in texts:
        for phase, cue in _cues(text):
            loud[phase] = loud.get(phase, 0.0) + cue
    best = max(loud, key=loud.__getitem__)
    return best if loud[best] else None


def _any_between(times: Sequence[Decimal], low: Decimal, high: Decimal) -> bool:
    return bisect_left(times, low) < bisect_right(times, high)
