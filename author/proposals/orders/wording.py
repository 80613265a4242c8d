"""Short orders made of what a technician says while he works, in his own terms."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Literal

from author.checks.verbs import LOOKING_VERBS
from author.checks.verbs import words as _words
from author.proposals.language.closed_words import ARTICLES, NUMBERS
from author.proposals.language.loose_talk import loose_clauses
from author.proposals.language.loose_words import LooseClause, Said, read
from author.proposals.language.trade_words import trade_words
from author.proposals.language.verbs import base_of, is_ing
from author.proposals.orders.acts import FITTING, IN, PUTTING, Act, act_of
from author.proposals.orders.address import addressed, fitted
from author.proposals.orders.bare_states import measured_with
from author.proposals.orders.bare_verbs import SWITCHED
from author.proposals.orders.ends import cut, without_occasion
from author.proposals.orders.frames import frame_of, with_only, without_lead
from author.proposals.orders.fronts import fronted, is_name, of_a_flaw
from author.proposals.orders.lists import counted_in, named_behind, with_lists
from author.proposals.orders.paired import with_other_named
from author.proposals.orders.pronouns import with_name
from author.proposals.orders.put_together import (
    condition_behind,
    object_of,
    put_together,
    trimmed,
    verb_of,
)
from author.proposals.orders.sense import makes_sense
from author.proposals.orders.talk import (
    is_chatter,
    says_nothing,
    talks,
    threatens,
    warns,
)
from author.proposals.orders.ways import says_how
from author.proposals.orders.words import FINITE, Frame

Phase = Literal["removal", "fitting", "inspection"]

_MOST_ORDERS = 6
_IN_PLACE = _words("on onto in into over back")
_CONDITIONS = _words("if when once before after unless while")
_TAILS = _words(
    """
    until without with not no from by to into onto up right along between across against going
    making keeping using leaving working one two three four five six eight short long both teeth
    flat dry all not no gently carefully slowly evenly square
    """
)
_REASONS = _words("because which it it's that's there there's so they i you we as cause this that")


@dataclass(frozen=True, slots=True)
class Order:
    """One short order.

    Attributes:
        action: one imperative sentence on one line, capital first, full stop last.
        verb: its verb, base form.
        object: what it is done to, without article and count, or None.
        act: what it does with a part, where that can be told.
        confidence: from 0 to 1.
        safe: whether it is told among what makes a machine safe, before any work.
    """

    action: str
    verb: str
    object: str | None
    act: Act | None
    confidence: Decimal
    safe: bool = False


@dataclass(slots=True)
class _Draft:
    frame: Frame
    condition: tuple[str, ...]
    tails: list[tuple[str, ...]]


def imperatives(
    text: str, *, it: str | None = None, phase: Phase | None = None
) -> tuple[Order, ...]:
    """Return the orders in what was said, one sentence each, in the order they were said.

    Args:
        text: a sentence, as it was said or recognised.
        it: what "it" stands for, with its article.
        phase: section it is said in; words without a verb get theirs from it.
    """
    found: list[Order] = []
    for draft in _drafts(read(with_other_named(_POSITION.sub(r" \1", text))), phase):
        order = _order(draft, it)
        if not makes_sense(order.action):
            continue
        # Once a thing is named, a later "it" is that thing, or may be.
        it = None if order.object else it
        found.append(order)
    return tuple(found)


# "Lock the isolator in the off position" locks it off.
_POSITION = re.compile(
    r" (?:in|to|into) (?:the|its) (off|on|open|closed|shut) position\b", re.IGNORECASE
)


def _drafts(words: LooseClause, phase: Phase | None) -> list[_Draft]:
    found: list[_Draft] = []
    condition: tuple[str, ...] = ()
    topic: LooseClause = []
    warned = False
    for raw in _with_named_behind(with_lists(loose_clauses(words)), phase):
        clause = without_lead(raw)
        came, warned = warned and threatens(raw), warns(raw)
        if not clause or came or is_chatter(clause):
            continue
        if topic and clause[-1].low in {"it", "them"} and measured_with(clause) is not None:
            clause = [*clause[:-1], *topic]  # "the probe, mike on it"
        if (flawed := of_a_flaw(clause)) is not None:
            condition, clause = flawed
        told = fronted(clause) or (fronted([*topic, *clause]) if topic else None)
        if told is not None:
            if topic and found and not found[-1].frame.sure and told[-1] is clause[-1]:
                found.pop()
            clause = told
        topic = clause if is_name(clause) else []
        first = clause[0].low
        if found and _goes_on(found[-1], raw, clause):
            found[-1].tails.append(("then", *_plainly(clause)))
            continue
        if found and _only_named(found[-1], clause):
            found.pop()
        elif found and _added(found[-1], words, raw, clause):
            continue
        elif first in _CONDITIONS or (not found and first in {"with", "using"}):
            begins = len(clause) < 2 or _BEFORE_ALL.match(" ".join(word.low for word in clause))
            condition = () if begins else tuple(_plainly(clause))
        else:
            unled = first in {"because", "which", "until"}
            frame = None if unled else frame_of(clause, _phase_of(clause, found, phase))
            frame = frame and with_only(frame, raw)
            if frame is not None and not talks(frame) and _sound(frame):
                found.append(_Draft(frame, condition, []))
                condition = ()
            elif found and (_is_tail(clause) or _says_way(found[-1], clause)):
                found[-1].tails.append(tuple(_plainly(clause)))
        if len(found) > _MOST_ORDERS:
            break
    return found[:_MOST_ORDERS]


def _with_named_behind(clauses: Sequence[LooseClause], phase: Phase | None) -> list[LooseClause]:
    """Return the clauses with the order for what is only named behind what goes on its place.

    "Slide the drum onto the stub axle, outer bearing, washer and nut": those are fitted as well.

    Args:
        clauses: of a sentence.
        phase: section it is said in.
    """
    found: list[LooseClause] = []
    at = 0
    while at < len(clauses):
        clause, at = clauses[at], at + 1
        found.append(clause)
        more, order = named_behind(clauses, at)
        frame = frame_of(without_lead(clause), phase) if more else None
        placed = frame and frame.sure and _IN_PLACE & {word.low for word in clause}
        if frame and placed and act_of(frame.words, verb_of(frame.words), frame.new) == "refits":
            found.append(order)
            at += more
    return found


def phase_behind(act: Act | None, phase: Phase | None) -> Phase | None:
    """Return the section that an order before tells: "put the washer on, then the nut"."""
    return _OF_ACT.get(act, phase) if act else phase


def _phase_of(clause: LooseClause, found: Sequence[_Draft], phase: Phase | None) -> Phase | None:
    if not found or any(word.low in {"new", "fresh"} for word in clause):
        return phase
    words = found[-1].frame.words
    return phase_behind(act_of(words, verb_of(words), found[-1].frame.new), phase)


_OF_ACT: Mapping[Act, Phase] = {"removes": "removal", "refits": "fitting", "replaces": "fitting"}


def _sound(frame: Frame) -> bool:
    """Whether an order asks for something, and its articles have their nouns."""
    # "Look at that it's like coffee" is cut to what asks for nothing.
    ends = replace(frame, words=cut(frame.words))
    if says_nothing(frame) or says_nothing(ends) or not makes_sense(" ".join(frame.words)):
        return False
    pairs = zip(frame.words, frame.words[1:], strict=False)
    return not any(one in {"the", "a", "an"} and two in _NO_NOUN for one, two in pairs)


_NO_NOUN = (FINITE - {"need", "can"}) | _words("to off up it them and or of the a")


def _only_named(draft: _Draft, clause: LooseClause) -> bool:
    """Whether a thing was named only to say something of it: "So the bush, it's …"."""
    lead = [word.low for word in clause[:2]]
    says = lead[0] in {"it's", "they're", "there's", "that's"}
    says = says or (lead[0] in {"it", "that", "they"} and lead[1:] in (["should"], ["must"]))
    return says and _is_topic(draft) and not counted_in(clause)


_LONGEST_NAME = 4


def _goes_on(draft: _Draft, raw: LooseClause, clause: LooseClause) -> bool:
    """Whether the same is done to a second thing: "the suction side, and then the return side".

    A part that is taken off or put on is told by an order of its own.
    """
    words = draft.frame.words
    moved = act_of(words, verb_of(words), draft.frame.new) is not None
    lead = [word.low for word in raw[:2]]
    named = clause[0].low in ARTICLES and len(clause) <= _LONGEST_NAME
    noun = trade_words().kind_of(clause[-1].low) is not None
    return not moved and "then" in lead and named and noun


def _added(draft: _Draft, words: LooseClause, raw: LooseClause, clause: LooseClause) -> bool:
    """Add a count, a way of doing it or a condition to the order it is said with."""
    counted = counted_in(clause)
    if counted and not draft.frame.sure and not set(draft.frame.words[:3]) & NUMBERS:
        draft.frame = _with_count(draft.frame, counted)
    elif len(raw) > 1 and is_ing(raw[0].low):
        draft.tails.append(tuple(_plainly(raw)))
    elif clause[0].low in {"if", "unless"} and _decides(clause):
        return True  # "look at the cones, if one is pitted you need a new one": a decision
    elif clause[0].low in _CONDITIONS and clause is raw and not _leads(words, raw):
        draft.tails.append(tuple(_plainly(clause)))
    else:
        return False
    return True


def _decides(clause: LooseClause) -> bool:
    """Whether a case says what one then needs."""
    low = [word.low for word in clause]
    pairs = zip(low[_LEAST_CASE:], low[_LEAST_CASE + 1 :], strict=False)
    return any(one in {"you", "we"} and two in _NEEDS for one, two in pairs)


_LEAST_CASE = 2
_NEEDS = _words("need needa want wanna have hafta must gotta should change replace")


def _is_topic(draft: _Draft) -> bool:
    words = draft.frame.words
    return (
        not draft.frame.sure
        and not draft.tails
        and not any(
            word in IN or word in {"off", "out", "to", "from", "round", "under"} for word in words
        )
    )


def _leads(words: LooseClause, clause: LooseClause) -> bool:
    """Whether a condition in the middle goes with the order behind it."""
    return clause[0].low in {"if", "unless", "once", "when"} and words[-1].low != clause[-1].low


def _is_tail(clause: LooseClause) -> bool:
    first, second = clause[0].low, clause[1].low if len(clause) > 1 else ""
    if first in _REASONS or (second in _REASONS and first not in {"until", "without", "with"}):
        return False
    if first == "with" and second in {"it", "that", "this", "any"}:
        return False  # "with it being so rusty", "with any luck"
    if says_how([word.low for word in clause]):
        return True
    if first == "no" and not second:
        return False
    ing = len(clause) > 1 and any(w.low.endswith("ing") and base_of(w.low) for w in clause[:3])
    return clause[0].low in _TAILS or ing or clause[0].low.endswith("ly")


def _says_way(draft: _Draft, clause: LooseClause) -> bool:
    """Whether words tell which way round a part goes that is fitted: "lip up"."""
    verb = draft.frame.words[0]
    last, first = clause[-1].low, clause[0].low
    named = trade_words().kind_of(clause[-2].low) if len(clause) > 1 else None
    facing = any(word.low in {"facing", "pointing", "towards", "toward"} for word in clause)
    ways = last in _WAYS_ROUND and named in {"feature", "part", "weak"}
    short = 2 <= len(clause) <= 6 and first not in _CONDITIONS | _REASONS
    return verb in FITTING | PUTTING and short and (ways or facing)


# "Before anything else, pull the plug": that it is the first is told by where it stands.
_BEFORE_ALL = re.compile(
    r"before (?:(?:you|we|i|anyone)(?:'ve)? (?:ever |even )?(?:do|touch|start|begin|undo|open) )?"
    r"(?:on )?(?:anything|owt)(?: else| at all)?$"
)
_WAYS_ROUND = _words("up down outwards inwards upwards downwards forward forwards first uppermost")


def _with_count(frame: Frame, count: str) -> Frame:
    words = list(frame.words)
    at = 2 if len(words) > 1 and words[1] in ARTICLES else 1
    return replace(frame, words=(*words[:at], count, *words[at:]))


def _plainly(words: Sequence[Said]) -> list[str]:
    return addressed([word.shown for word in words])


def _order(draft: _Draft, it: str | None) -> Order:
    words = trimmed(addressed(without_occasion(cut(draft.frame.words))))
    words = fitted(words)
    words, moved = condition_behind(words)
    condition = draft.condition or moved
    tails = list(draft.tails)
    for tail in list(tails):
        if tail[0] in {"if", "unless"} and not condition and verb_of(words) not in LOOKING_VERBS:
            condition = tail
            tails.remove(tail)
    verb = verb_of(words)
    supply = it is not None and it.rsplit(maxsplit=1)[-1] in SWITCHED
    if it is not None and (
        _names_again(words, it.rsplit(maxsplit=1)[-1])
        or draft.condition[:2] == ("if", "there")  # "if there are marks, polish them out"
    ):
        it = None
    if verb == "turn" and words[2:3] in (["off"], ["on"]) and not supply:
        it = None  # "turn it off at the wall": the machine, and not what was named last
    several = verb in {"leave", "keep"} and words[1:2] == ["them"]  # no machine is "them"
    if it is not None and (verb not in _OF_THE_WHOLE or several or (verb == "isolate" and supply)):
        words = with_name(words, it)
    text = put_together(words, condition, tails)
    return Order(
        action=text,
        verb=verb,
        object=object_of(words),
        act=act_of(words, verb, draft.frame.new),
        confidence=Decimal("0.9") if draft.frame.sure else Decimal("0.75"),
    )


def _names_again(words: Sequence[str], head: str) -> bool:
    """Whether an order names another of a kind: "put a bearing in it", which is no bearing.

    "Take it off with circlip pliers" is done to a circlip.
    """
    at = words.index(head) + 1 if head in words else 0
    return at > 0 and trade_words().kind_of("".join(words[at : at + 1]).lower()) != "tool"


# With these "it" is often the machine, the work, or nothing one can name.
_OF_THE_WHOLE = _words(
    """
    do let keep leave go try see read run test pump start stop fire drain fill bring call give
    make plug top switch lock watch wait repeat power shut tag chock isolate park jack bump jog
    write note count
    """
)
