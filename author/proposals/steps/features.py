"""What speaks for a new step at a sentence, and what against it.

The weights (``author/resources/step_weights.yaml``) are log odds, fitted by
``tests/benchmarks/fit_step_weights.py``; the sizes of the figures say what counts most.
"""

from __future__ import annotations

import math
import re
from bisect import bisect_left, bisect_right
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from functools import cache, lru_cache
from statistics import median

from author.checks.verbs import words
from author.proposals.language.verbs import base_of
from author.proposals.orders.wording import Order
from author.proposals.reader.ahead import Ahead, leaning
from author.proposals.speech.spoken import Sentence
from author.proposals.steps.said_words import words_say
from author.proposals.steps.sections import Phase, cues_of
from author.resources import load_own_table

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
_OF_IT = re.compile(r"(?:\w+ ){1,2}(?:it|them|'em|that|those)\b", re.IGNORECASE)
_FINDS = re.compile(
    r"(?:i've got|i got|i get|i'm (?:at|getting|seeing)|mine|this one|that's|here i|we've got|"
    r"we're at|it says|i (?:have|see|measured|read)|on (?:mine|this))\b",
    re.IGNORECASE,
)
_TOPIC = re.compile(
    r"(?:the |a |new |old |this |these |those |both |my |your )*(?P<first>[a-z][\w'-]*)"
    r"(?: [\w'-]+){0,3}?(?:,| next\b| now\b| that's\b| it's\b|'s\b)",
    re.IGNORECASE,
)
# "Standpipe in", "cylinder back up", "engine off": an order without a verb.
_BARE = re.compile(
    r"(?:the |new |both |two |old )*(?:[a-z][\w'-]* ){1,3}?(?:back )?"
    r"(?:off|out|on|in|up|down|back|away)\b",
    re.IGNORECASE,
)
_TAKES_NEW = re.compile(r"(?:the )?(?:new|fresh|spare)\b", re.IGNORECASE)
_NAME_FIRST = re.compile(r"[a-z'-]+(?: [a-z'-]+){0,3}, ", re.IGNORECASE)
_TOKEN = re.compile(r"[\w'-]+")
_HOW = frozenset({"orientation", "order", "count", "hidden"})
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
_SHARES = {"over_half": 0.5, "over_65": 0.65, "over_80": 0.8, "over_90": 0.9}
"""By what share of the pauses of its film a pause is outlasted: every teller has his own."""
_ENOUGH_PAUSES = 10
_LONGER = 1.2
_TELLING = ("pause", "pause_seconds", "over_65", "over_90", "longer_than_next", "pause_after")
"""Signs of a pause that count for more the more the pauses of a film tell."""
_NOT_OF_TOPIC = frozenset({
    *_TELLING, *_SHARES, "base", "lasted", "many", "long_pause", "over_usual", "far_over_usual",
    "no_pause", "pause_peak", "pause_unknown", "shot", "telling", "one_so_far", "two_so_far",
    "words_so_far",
})  # fmt: skip


@dataclass(frozen=True, slots=True)
class Talk:
    """What is known of the sentences of a recording.

    Attributes:
        sentences: what was said.
        kinds: kinds by sentence.
        orders: what is done, by sentence.
        things: names of parts, tools and supplies, by sentence.
        shots: when a new shot begins, seconds, rising.
        pauses: pauses between its sentences where there are any, seconds, rising.
        first_told: in which sentence each word of weight is told first; see `first_told`.
        pauses_tell: how far pauses go with changes of subject in it, -1 to 1.
        ahead: what the network thinks of each sentence, where that is known.
        known: the signs of a sentence that hang on no other but the one it is held against, by
            the indexes of that and its own, as far as they were asked for.
    """

    sentences: Sequence[Sentence]
    kinds: Mapping[int, frozenset[str]]
    orders: Mapping[int, Sequence[Order]]
    things: Mapping[int, frozenset[str]]
    shots: Sequence[Decimal]
    pauses: Sequence[float]
    first_told: Mapping[str, int] = field(default_factory=dict)
    pauses_tell: float = 0.0
    ahead: Sequence[Ahead] = ()
    known: dict[tuple[int, int], dict[str, float]] = field(default_factory=dict)

    @property
    def usual_pause(self) -> float:
        """Median pause between its sentences, seconds."""
        return median(self.pauses)

    def longer_than(self, share: float) -> float:
        """Return the pause that a share of its pauses is shorter than, seconds.

        Of a few pauses the longest is nothing out of the way: then no pause is so long.
        """
        if len(self.pauses) < _ENOUGH_PAUSES:
            return math.inf
        return self.pauses[min(len(self.pauses) - 1, int(share * len(self.pauses)))]


def features_of(talk: Talk, index: int, so_far: Sequence[int]) -> dict[str, float]:
    """Return what speaks for a new step at a sentence, and against it, by name of weight.

    Args:
        talk: the recording's talk.
        index: of the sentence in question.
        so_far: indexes of the sentences of the step that is open, at least one.
    """
    last = so_far[-1]
    if (last, index) not in talk.known:
        talk.known[last, index] = _own_features(talk, index) | _beside(talk, index, last)
    found = talk.known[last, index] | _held_against(talk, index, so_far)
    return found | {f"telling_{name}": talk.pauses_tell * found[name] for name in _TELLING}


def _own_features(talk: Talk, index: int) -> dict[str, float]:
    """Return the signs of a sentence whatever step is open before it."""
    sentence = talk.sentences[index]
    kinds = talk.kinds.get(index, frozenset())
    orders = talk.orders.get(index, ())
    rest = _without_lead(sentence.text)
    after = index + 1 if index + 1 < len(talk.sentences) else index
    following = _stems(talk.sentences[after].text) if after != index else frozenset()
    said = _TOKEN.findall(rest)
    return {
        "words": words_say(sentence.text, talk.sentences[index - 1].text),
        "leads_with_name": float(bool(_NAME_FIRST.match(rest))),
        "numbers": float(any(word[0].isdigit() for word in said)),
        "number_first": float(bool(said) and said[0][0].isdigit()),
        "next_acts": float(bool(talk.orders.get(after)) and after != index),
        "overlap_next": min(3.0, len(_stems(sentence.text) & following)),
        "pause_after": math.log1p(float(sentence.pause_after) / max(talk.usual_pause, 0.2)),
        "verb_first": float(bool(orders) and rest[:20].lower().startswith(orders[0].verb)),
        "the_first": float(bool(_THE.match(rest))),
        "orders": float(min(3, len(orders))),
        "base": 1.0,
        "action": float(bool(orders)),
        "new_words": float(bool(_NEW.match(rest))),
        "starts_anew": float(bool(_STARTS_ANEW.match(sentence.text))),
        "goes_on": float(bool(_GOES_ON.match(sentence.text))),
        "same_thing": float(bool(_SAME_THING.search(rest[:_OPENING]))),
        "no_thing": float(not talk.things.get(index)),
        "inspects": float("inspection" in kinds and not orders),
        "warns": float("hazard" in kinds and not orders),
        "decides": float("decision" in kinds),
        "off_camera": float("off_camera" in kinds),
        "says_nothing": float(not kinds and not orders),
        "short": float(len(sentence.words) < 6),
        "of_it": float(bool(orders) and bool(_OF_IT.match(rest))),
        "gives_reason": float("reason" in kinds and not orders),
        "says_how": float(bool(kinds & _HOW) and not orders),
        "spoils": float("damage" in kinds and not orders),
        "finds": float(bool(_FINDS.match(rest))),
        "takes_new": float(bool(_TAKES_NEW.match(rest))),
        "long": float(len(sentence.words) > 14),
        "bare_first": float(bool(_BARE.match(rest)) and not _SAME_THING.match(rest)),
        "ahead": _thought(talk, index),
    }


def _beside(talk: Talk, index: int, last: int) -> dict[str, float]:
    """Return the signs of a sentence held against the last one of the step that is open."""
    sentence, before = talk.sentences[index], talk.sentences[last]
    orders = talk.orders.get(index, ())
    kinds = talk.kinds.get(last, frozenset())
    pause = max(0.0, float(sentence.start - before.end))
    usual, behind = talk.usual_pause, float(sentence.pause_after)
    return {
        "overlap_last": min(3.0, len(_stems(sentence.text) & _stems(before.text))),
        "length_of_last": math.log1p(len(before.words)),
        "last_says_nothing": float(not kinds and not talk.orders.get(last)),
        "last_inspects": float("inspection" in kinds),
        "last_decides": float("decision" in kinds),
        "last_short": float(len(before.words) < 5),
        "pause": math.log1p(pause / max(usual, 0.2)),
        "long_pause": float(pause > 4),
        "over_usual": float(pause > 2 * usual),
        "far_over_usual": float(pause > 4 * usual),
        "no_pause": float(0 < pause < 0.7 * usual),
        **{name: float(pause >= talk.longer_than(share)) for name, share in _SHARES.items()},
        "pause_seconds": math.log1p(pause),
        "longer_than_next": float(pause > _LONGER * behind),
        "pause_peak": float(pause > _LONGER * max(behind, _before(talk, last))),
        "pause_unknown": float(pause == 0),
        "left_out_between": float(index - last > 1),
        "shot": float(_any_between(talk.shots, before.end, sentence.start)),
        "acts_on_finding": float(bool(orders) and _found_last(talk, last)),
        "last_off_camera": float("off_camera" in kinds),
    }


def _held_against(talk: Talk, index: int, so_far: Sequence[int]) -> dict[str, float]:
    """Return the signs of a sentence held against all of the step that is open."""
    sentence = talk.sentences[index]
    orders = talk.orders.get(index, ())
    told = [order for i in so_far for order in talk.orders.get(i, ())]
    things = talk.things.get(index, frozenset())
    known: frozenset[str] = frozenset().union(*(talk.things.get(i, frozenset()) for i in so_far))
    begins = talk.sentences[so_far[0]].start
    lasted = max(0.1, float(talk.sentences[so_far[-1]].end - begins))
    acts = {order.act for order in orders if order.act}
    told_acts = {order.act for order in told if order.act}
    own = _stems(sentence.text)
    told_texts = [talk.sentences[i].text for i in so_far[-_REMEMBERED:]]
    old: frozenset[str] = frozenset().union(*map(_stems, told_texts))
    after = index + 1 if index + 1 < len(talk.sentences) else index
    following = _stems(talk.sentences[after].text) if after != index else frozenset()
    new, begun = own - old, so_far[0]
    told_before = sum(talk.first_told.get(stem, begun) < begun for stem in new)
    own_phase, old_phase = _phase([sentence.text]), _phase(told_texts)
    other = bool(things) and not things & known
    return {
        "overlap": min(3.0, len(own & old)),
        "fresh_words": min(8.0, len(new)),
        "told_before": told_before / max(1, len(own)),
        "one_so_far": float(len(so_far) == 1),
        "two_so_far": float(len(so_far) == 2),
        "words_so_far": math.log1p(sum(len(talk.sentences[i].words) for i in so_far)),
        "skips": min(3.0, len(old & following)),
        "other_phase": float(bool(own_phase and old_phase and own_phase != old_phase)),
        "new_and_acts": float(bool(orders) and other),
        "acted": float(bool(told)),
        "action_after_action": float(bool(orders) and bool(told)),
        "other_act": float(bool(acts) and bool(told_acts) and not acts & told_acts),
        "other_thing": float(other),
        "shared_thing": float(bool(things & known)),
        "many": math.log1p(len(so_far)),
        "lasted": math.log1p(lasted),
        "same_verb": float(bool(orders) and orders[0].verb in {order.verb for order in told}),
        "topic": float(other and _is_topic(_without_lead(sentence.text))),
        "telling": talk.pauses_tell,
    }


def _without_lead(text: str) -> str:
    """Return what is said behind "So, …", "Okay, and …"."""
    lead = _LEAD.match(text)
    return text[lead.end() :] if lead else text


def first_told(sentences: Sequence[Sentence]) -> dict[str, int]:
    """Return in which sentence each word is told first, by its stem.

    A step about what was told long before goes back to it: the cover that goes on again.
    """
    found: dict[str, int] = {}
    for index, sentence in enumerate(sentences):
        for stem in _stems(sentence.text):
            found.setdefault(stem, index)
    return found


def _before(talk: Talk, last: int) -> float:
    """Return the pause before the last sentence of the open step, seconds."""
    return float(talk.sentences[last].start - talk.sentences[last - 1].end) if last else 0.0


_USUAL_AHEAD, _MOST_AHEAD = -1.0, 4.0
"""Where the network's log odds stand where nothing is said either way, and how far they count."""


def _thought(talk: Talk, index: int) -> float:
    """Return what the network thinks of a step that begins at a sentence, as log odds."""
    if not talk.ahead:
        return 0.0
    return leaning(talk.ahead[index].begins, _USUAL_AHEAD, _MOST_AHEAD)


def _is_topic(rest: str) -> bool:
    """Whether a sentence first names what it is about: "So the bush, it's …", "Cable now, …"."""
    found = _TOPIC.match(rest)
    return found is not None and not _SAME_THING.match(rest) and not base_of(found["first"].lower())


def _found_last(talk: Talk, index: int) -> bool:
    """Whether a sentence only tells what was measured or seen, and nothing to do."""
    told = talk.kinds.get(index, frozenset())
    found = "inspection" in told or bool(_FINDS.match(talk.sentences[index].text))
    return found and not talk.orders.get(index)


def chance_of_step(features: Mapping[str, float]) -> float:
    """Return how likely a new step begins at a sentence with such features, 0 to 1."""
    weights = step_weights()
    odds = sum(weights[name] * value for name, value in features.items())
    return 1 / (1 + math.exp(-max(-30.0, min(30.0, odds))))


def says_of_topic(features: Mapping[str, float], weights: Mapping[str, float]) -> float:
    """Return what the words alone say for a new step, as log odds from an unknown base."""
    return sum(
        weights[name] * value
        for name, value in features.items()
        if name not in _NOT_OF_TOPIC and not name.startswith("telling_")
    )


@cache
def step_weights() -> Mapping[str, float]:
    """Return the weight of each sign, as log odds."""
    return {name: float(weight) for name, weight in load_own_table("step_weights.yaml").items()}


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
