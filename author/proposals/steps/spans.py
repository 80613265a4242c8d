"""Which sentences make up one step, and when a step begins and ends.

A step is one action a person takes, with what is said about it. Where one ends and the
next begins is weighed from the pause, from what kind of sentence comes, and from whether
the talk goes on about the same thing, over all ways to part it (``parting``).
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from itertools import pairwise

from author.proposals.kinds.marks import Marked
from author.proposals.orders.wording import Order
from author.proposals.reader.ahead import Ahead
from author.proposals.speech.spoken import Sentence
from author.proposals.steps.features import Talk, features_of, first_told
from author.proposals.steps.guarded import is_worn
from author.proposals.steps.made_safe import is_safe_act
from author.proposals.steps.parting import best_bar, chances_of_beginning
from author.proposals.steps.sections import makes_safe

_LEFT_OUT = frozenset({"chatter", "preview"})
_OTHER_JOBS = frozenset({"prerequisite", "follow_on"})
_GETTING = frozenset(
    {"get", "have", "buy", "order", "find", "read", "watch", "need", "write", "make", "ask", "tell"}
)
_OF_FIRST = frozenset({"hazard", "damage", "inspection", "order", "orientation"})
_PROVES = frozenset({"hang", "tag", "lock", "padlock", "try", "prove"})
"""Verbs of what is done to a machine that was isolated, before any work."""
_A_ROW = 3
"""Orders in one go that make safe without a lock: "forks on the floor, mast upright, key out"."""
_WAITS = frozenset({"let", "wait", "leave"})
_LOCKS = frozenset({"lock", "isolate", "padlock", "tag"})
_LEAD_IN = Decimal(4)
"""Seconds before the first order of a step within which what is told leads up to it."""
_LEAD_OF_TOPIC = Decimal(10)
"""The same where it begins with the name of what the step is about."""


@dataclass(frozen=True, slots=True)
class Seen:
    """What the film adds to the words, on the clock of one recording, seconds rising.

    Attributes:
        shots: when a new shot begins.
        pauses: from when to when nobody speaks.
        duration: when the recording ends, or None if it is not known.
    """

    shots: tuple[Decimal, ...] = ()
    pauses: tuple[tuple[Decimal, Decimal], ...] = ()
    duration: Decimal | None = None


@dataclass(frozen=True, slots=True)
class SpokenStep:
    """A stretch of speech that belongs to one step.

    Attributes:
        sentences: indexes of its sentences, rising; those left out are not among them.
        recording: id of the recording.
        start: when it begins, seconds.
        end: when it ends: where the next one begins, or a little after its last word.
        orders: what is done in it, in the order said; at least one.
        confidence: how sure it is that a step begins here, 0 to 1.
        reason: why a step begins here, one sentence.
    """

    sentences: tuple[int, ...]
    recording: str
    start: Decimal
    end: Decimal
    orders: tuple[Order, ...]
    confidence: Decimal
    reason: str


@dataclass(slots=True)
class _Group:
    sentences: list[int]
    orders: list[Order]
    confidence: float
    reason: str
    topic: bool = False  # it begins by naming what it is about


def steps_in(
    sentences: Sequence[Sentence],
    marks: Sequence[Marked],
    orders: Mapping[int, Sequence[Order]],
    things: Mapping[int, frozenset[str]],
    implied: Mapping[int, Order],
    seen: Mapping[str, Seen] | None = None,
    ahead: Sequence[Ahead] = (),
) -> tuple[SpokenStep, ...]:
    """Put sentences together into steps.

    Args:
        sentences: what was said, in order, recording after recording.
        marks: their kinds.
        orders: what is done, by index of the sentence that says it.
        things: names of the things each sentence names.
        implied: what is meant to be done where nobody says it, by sentence.
        seen: what the films add, by recording.
        ahead: what the network thinks of each sentence, where that is known.

    Returns:
        The steps in order; every sentence that is not left out and lies between the first
        action of its recording and the last belongs to one.
    """
    kinds = kinds_by_sentence(marks)
    films = seen or {}
    told_first = first_told(sentences)
    steps: list[SpokenStep] = []
    for first, stop in _runs_of_recording(sentences):
        film = films.get(sentences[first].recording, Seen())
        kept = kept_of(range(first, stop), kinds, orders)
        pauses = pauses_of(sentences, kept)
        talk = Talk(sentences, kinds, orders, things, film.shots, pauses, told_first, ahead=ahead)
        groups = _grouped(talk, kept)
        for group in groups:
            if not group.orders:
                group.orders += [implied[i] for i in group.sentences if i in implied][:1]
        steps.extend(_placed(sentences, _with_action(sentences, groups), film))
    return tuple(steps)


def kinds_by_sentence(marks: Sequence[Marked]) -> dict[int, frozenset[str]]:
    """Return the kinds of each sentence that has any."""
    found: dict[int, set[str]] = {}
    for mark in marks:
        found.setdefault(mark.sentence, set()).add(mark.kind)
    return {index: frozenset(kinds) for index, kinds in found.items()}


def _runs_of_recording(sentences: Sequence[Sentence]) -> list[tuple[int, int]]:
    runs: list[tuple[int, int]] = []
    first = 0
    for index in range(1, len(sentences) + 1):
        if index == len(sentences) or sentences[index].recording != sentences[first].recording:
            runs.append((first, index))
            first = index
    return runs


def pauses_of(sentences: Sequence[Sentence], kept: Sequence[int]) -> tuple[float, ...]:
    """Return the pauses between sentences, seconds, rising; half a second where there is none."""
    pauses = [float(sentences[b].start - sentences[a].end) for a, b in pairwise(kept)]
    return tuple(sorted(p for p in pauses if p > 0)) or (0.5,)


def kept_of(
    indexes: Sequence[int],
    kinds: Mapping[int, frozenset[str]],
    orders: Mapping[int, Sequence[Order]],
) -> list[int]:
    """Return the sentences of a recording that are part of the work.

    Talk, what will be shown later and other jobs are none; nor is what is said before the
    first thing that is done, but a warning for it.

    Args:
        indexes: of the sentences of the recording, rising.
        kinds: their kinds, by sentence.
        orders: what is done, by sentence.
    """
    kept = [i for i in indexes if not _left_out(kinds.get(i, frozenset()), orders.get(i))]
    while kept and _leads_up(kinds.get(kept[0], frozenset()), orders.get(kept[0])):
        kept.pop(0)
    return kept or [i for i in indexes if orders.get(i)]


def _left_out(kinds: frozenset[str], orders: Sequence[Order] | None) -> bool:
    """Whether a sentence is no part of the work: talk, what comes later, or another job."""
    return bool(kinds) and not orders and (kinds <= _LEFT_OUT or bool(kinds & _OTHER_JOBS))


def _leads_up(kinds: frozenset[str], orders: Sequence[Order] | None) -> bool:
    """Whether a sentence before the first thing that is done is no part of it.

    "Before you start, get the kit" is none; "before you start, unplug it" is the first thing.
    """
    if orders:
        return "prerequisite" in kinds and all(order.verb in _GETTING for order in orders)
    return "prerequisite" in kinds or not kinds & _OF_FIRST


def _grouped(talk: Talk, kept: Sequence[int]) -> list[_Group]:
    groups: list[_Group] = []
    chances = chances_of_beginning(talk, kept)
    bar = best_bar(chances)
    for index, chance in zip(kept, chances, strict=True):
        mine = list(talk.orders.get(index, ()))
        if not groups:
            groups.append(_Group([index], mine, 0.8, "the first thing that is done"))
        elif chance >= bar or _work_begins(groups[-1].orders, mine):
            features = features_of(talk, index, groups[-1].sentences)
            topic = bool(features["topic"])
            groups.append(_Group([index], mine, chance, _reason(features), topic))
        else:
            groups[-1].sentences.append(index)
            groups[-1].orders.extend(mine)
    chance_of = dict(zip(kept, chances, strict=True))
    return [part for group in groups for part in _parted(group, talk, chance_of)]


def _parted(group: _Group, talk: Talk, chance_of: Mapping[int, float]) -> Iterator[_Group]:
    """Yield a step, or two where more is done in it than anybody would write as one."""
    begins = [i for i in group.sentences[1:] if talk.orders.get(i)]
    if len(group.orders) <= _MOST_ORDERS or not begins:
        yield group
        return
    index = max(begins, key=lambda i: chance_of[i])
    at = group.sentences.index(index)
    early, late = group.sentences[:at], group.sentences[at:]
    own = [[o for i in some for o in talk.orders.get(i, ())] for some in (early, late)]
    if not own[0]:
        yield group
        return
    first = _Group(early, own[0], group.confidence, group.reason, group.topic)
    reason = "more is done before than one step holds"
    yield from _parted(first, talk, chance_of)
    yield from _parted(_Group(late, own[1], chance_of[index], reason), talk, chance_of)


_MOST_ORDERS = 7
"""Orders in one step that nobody would part."""


def _work_begins(before: Sequence[Order], mine: Sequence[Order]) -> bool:
    """Whether the first thing that is done follows where only the machine was made safe."""
    work = [order for order in mine if not is_worn(order)]
    isolates = any(makes_safe(order.action) for order in before)
    safe = isolates and all(makes_safe(o.action) or o.verb in _PROVES for o in before)
    # "Block the ram, kill the power, lock it out": all of a lockout is told in one go.
    lockout = len(before) >= _A_ROW or any(order.verb in _LOCKS for order in before)
    locked = lockout and all(order.safe for order in before)
    if locked and work and work[0].verb not in _WAITS and not all(map(is_safe_act, work)):
        return True
    return safe and bool(work) and not any(is_safe_act(order) for order in work)


def _reason(features: Mapping[str, float]) -> str:
    said = {
        "new_words": "the talk goes on to something new",
        "long_pause": "a long pause comes before",
        "shot": "a new shot begins",
        "other_thing": "another thing is taken in hand",
        "left_out_between": "something that is no work lies between",
        "warns": "a warning for what comes next",
        "pause": "a pause comes before",
    }
    told = [words for name, words in said.items() if features.get(name, 0.0) > 0.4]
    return "; ".join(told[:2]) or "another action is said"


def _with_action(sentences: Sequence[Sentence], groups: Sequence[_Group]) -> list[_Group]:
    """Join groups in which nothing is done to one beside them, over the weaker of its two ends."""
    done: list[_Group] = []
    waiting: list[_Group] = []
    for number, group in enumerate(groups):
        after = groups[number + 1 :]
        if group.orders:
            done.append(_led_into(sentences, waiting, group, first=not done))
            waiting = []
        elif after and (waiting or not done or after[0].confidence <= group.confidence):
            waiting.append(group)
        elif done:
            done[-1].sentences.extend(group.sentences)
    if done:
        done[-1].sentences.extend(i for early in waiting for i in early.sentences)
    for group in done:
        group.sentences.sort()
    return done


def _led_into(
    sentences: Sequence[Sentence], waiting: Sequence[_Group], group: _Group, *, first: bool
) -> _Group:
    """Put what is told before a step to it; what is told long before the first belongs to none."""
    begins = sentences[group.sentences[0]].start
    leading = [
        one
        for one in waiting
        if not first
        or begins - sentences[one.sentences[0]].start <= (_LEAD_OF_TOPIC if one.topic else _LEAD_IN)
    ]
    if leading:
        group.confidence, group.reason = leading[0].confidence, leading[0].reason
        group.sentences[:0] = [i for early in leading for i in early.sentences]
    return group


def _placed(
    sentences: Sequence[Sentence], groups: Sequence[_Group], film: Seen
) -> list[SpokenStep]:
    """Give steps their spans: hands often begin before the words, so a step begins in the pause."""
    steps = []
    for number, group in enumerate(groups):
        first, last = sentences[group.sentences[0]], sentences[group.sentences[-1]]
        start = _cut(groups[number - 1] if number else None, first, sentences, film)
        if number + 1 < len(groups):
            following = sentences[groups[number + 1].sentences[0]]
            end = _cut(group, following, sentences, film)
        else:
            end = last.end + Decimal("1.0")
            end = end if film.duration is None else min(end, film.duration)
        steps.append(
            SpokenStep(
                sentences=tuple(group.sentences),
                recording=first.recording,
                start=start,
                end=max(end, last.end),
                orders=tuple(group.orders),
                confidence=Decimal(str(round(group.confidence, 3))),
                reason=group.reason,
            )
        )
    return steps


def _cut(
    before: _Group | None, first: Sentence, sentences: Sequence[Sentence], film: Seen
) -> Decimal:
    """Return where a step begins: at a shot change in the pause, else just before its words."""
    floor = sentences[before.sentences[-1]].end if before else Decimal(0)
    floor = max(floor, first.start - 2)
    between = [shot for shot in film.shots if floor <= shot <= first.start]
    if between:
        return between[-1]
    return max(floor, first.start - Decimal("0.3"))
