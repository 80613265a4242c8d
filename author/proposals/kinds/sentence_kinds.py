"""Tells what kind of thing each clause of the speech is: an action, a warning, chatter and so on.

Rules by phrase and by the form of the verb, and what the network thinks as one sign more for
warnings and talk. Each clause may be several things; talk and what is only announced stand alone,
and never where something is told to do.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import replace
from decimal import Decimal
from statistics import median

from author.checks.verbs import FINITE
from author.proposals.kinds.cues import spoken_cues
from author.proposals.kinds.harm import weighed
from author.proposals.kinds.instructions import (
    bare,
    framed,
    going,
    imperative,
    run_of_parts,
    spoken_of,
)
from author.proposals.kinds.marks import Found, Hit, Kind, Marked, act
from author.proposals.kinds.no_orders import forbidden, threatened, watched
from author.proposals.kinds.short_orders import to_a_torque, turned_round
from author.proposals.kinds.talk_points import left_out
from author.proposals.kinds.talk_signs import Heard
from author.proposals.kinds.together import put_off, settled
from author.proposals.kinds.told_of_things import of_thing
from author.proposals.language.clause_cuts import Clause, clauses_of
from author.proposals.language.plain_words import Plain, plain
from author.proposals.language.trade_words import trade_words
from author.proposals.quantities.reading import SpokenQuantity
from author.proposals.reader.ahead import Ahead, of_a_talk
from author.proposals.speech.spoken import Sentence

__all__ = ["Kind", "Marked", "kinds_in"]

# Found on narrations with gold marks, tests/benchmarks/bench_sentence_kinds.py.
_RIGHT: dict[Kind, Decimal] = {
    "action": Decimal("0.9"),
    "hazard": Decimal("0.92"),
    "damage": Decimal("0.7"),
    "inspection": Decimal("0.84"),
    "decision": Decimal("0.92"),
    "orientation": Decimal("0.78"),
    "order": Decimal("0.75"),
    "deferred": Decimal("0.76"),
    "hidden": Decimal("0.8"),
    "reason": Decimal("0.65"),
}
# Their phrases are as often right as their weight says.
_RIGHT_BY_WEIGHT: frozenset[Kind] = frozenset({"follow_on", "hidden"})


def _actions(said: Plain, clauses: Sequence[Clause]) -> list[Hit]:
    """Return the strongest sign of an action in each clause that can hold one."""
    found: list[Hit] = []
    for index, clause in enumerate(clauses):
        if clause.role in {"condition", "time", "reason", "else"}:
            continue
        signs = [imperative(said, clause), *framed(said, clause)]
        if not any(signs):
            signs = [
                spoken_of(said, clause), going(said, clause),
                None if watched(said, clause) else of_thing(said, clause),
                turned_round(said, clause), to_a_torque(said, clause),
                bare(said, clauses, index), run_of_parts(said, clause), _next(said, clause),
            ]  # fmt: skip
        best = max((one for one in signs if one), key=lambda one: one.weight, default=None)
        if best is not None and not (threatened(said, best.first) or forbidden(said, best.first)):
            found.append(best)
    return found


_OPENING, _FILM = 4, 20
# So far into a film, and before two orders, a job is announced; what is told later is done.
_ANNOUNCED = 10
_NEXT = frozenset({"then", "next"})
_THE = frozenset({"the", "a", "your", "my", "new", "both", "that", "this", "other"})


def _next(said: Plain, clause: Clause) -> Hit | None:
    """Return "then the nut", with nothing said to be done: it goes on, or comes off, next."""
    at = clause.head
    if said.word(at - 1) not in _NEXT or at == clause.first or said.word(at) not in _THE:
        return None
    for place in range(at + 1, min(at + 4, clause.stop)):
        if trade_words().kind_of(said.words[place]) != "part":
            continue
        behind = said.word(place + 1) if place + 1 < clause.stop else ""
        if trade_words().kind_of(behind) is None and behind not in FINITE:
            return act(at, place + 1, 58, "next_part")
        return None
    return None


def _measured(said: Plain, quantities: Sequence[SpokenQuantity]) -> Iterator[Hit]:
    """Yield the sign of an inspection where a quantity is what this unit measured."""
    for one in quantities:
        if one.role != "measured":
            continue
        inside = [at for at, begin in enumerate(said.begins) if one.begin <= begin < one.end]
        if inside:
            reason = "says what was measured: '{}'"
            yield Hit("inspection", inside[0], inside[-1] + 1, 80, reason)


def _usual_pause(sentences: Sequence[Sentence]) -> float:
    """Return the median pause between sentences, seconds, at least a fifth of one."""
    pauses = [float(one.pause_before) for one in sentences if one.pause_before > 0]
    return max(median(pauses or [0.5]), 0.2)


def _confidence(hit: Hit) -> Decimal:
    """Return the strength of the evidence times how often such evidence was right.

    What is only weighed from many small signs is right far less often near its bar.
    """
    if hit.sign == "weighed" or hit.kind in _RIGHT_BY_WEIGHT:
        share = min(Decimal(hit.weight - 48) * Decimal("2.5"), Decimal(95)) / 100
        return max(share, Decimal("0.1")).quantize(Decimal("0.01"))
    return (Decimal(min(hit.weight, 98)) * _RIGHT.get(hit.kind, Decimal("0.95")) / 100).quantize(
        Decimal("0.01")
    )


def _marked(sentence: int, text: str, said: Plain, found: Found) -> Marked:
    begin, end = said.begins[found.first], said.ends[found.stop - 1]
    words = text[said.begins[found.hit.first] : said.ends[found.hit.stop - 1]]
    return Marked(
        sentence=sentence,
        begin=begin,
        end=end,
        kind=found.hit.kind,
        text=text[begin:end],
        confidence=_confidence(found.hit),
        reason=found.hit.reason.replace("{}", words),
    )


def kinds_in(
    sentences: Sequence[Sentence],
    quantities: Sequence[SpokenQuantity] = (),
    ahead: Sequence[Ahead] | None = None,
) -> tuple[Marked, ...]:
    """Tell what kind of thing each clause of the speech is.

    Args:
        sentences: what was said, in order.
        quantities: the quantities spoken in it; a sentence that holds one is no chatter.
        ahead: what the network thinks of each sentence; it is asked if that is not told, and not
            where it is empty.

    Returns:
        The clauses that are something, by sentence, place and kind. Plain description has
        no mark. ``chatter`` and ``preview`` cover their sentence and stand alone.
    """
    by_sentence: dict[int, list[SpokenQuantity]] = {}
    for one in quantities:
        by_sentence.setdefault(one.sentence, []).append(one)
    cues = spoken_cues()
    thought = of_a_talk(sentences) if ahead is None else ahead
    heard: list[Heard] = []
    begun = 0
    usual = _usual_pause(sentences)
    for index, sentence in enumerate(sentences):
        said, own = plain(sentence.text), thought[index] if thought else None
        clauses = clauses_of(said)
        starts = frozenset({0, *(c.first for c in clauses), *(c.head for c in clauses)})
        hits = list(cues.found(said, starts))
        actions = _actions(said, clauses) + [hit for hit in hits if hit.kind == "action"]
        hits = [hit for hit in hits if hit.kind != "action"]
        measured = index in by_sentence
        opening = index < _OPENING and len(sentences) > _FILM
        hits = weighed(said, clauses, hits, actions, measured, opening, own)
        hits.extend(_in_a_row(said, clauses, actions))
        hits.extend(_measured(said, by_sentence.get(index, ())))
        early = index < _ANNOUNCED and begun < 2
        founds, alone = settled(said, clauses, hits, actions, measured, early)
        begun += alone is None and any(found.hit.kind == "action" for found in founds)
        pauses = float(sentence.pause_before) / usual, float(sentence.pause_after) / usual
        heard.append(
            Heard(said, hits, actions, founds, alone, measured, pauses, sentence.text, own)
        )
    together = left_out(heard)
    put_off([one.said for one in heard], together)
    return tuple(
        mark
        for index, founds in enumerate(together)
        for mark in _as_meant(
            sentences[index].text,
            [
                _marked(index, sentences[index].text, heard[index].said, found)
                for found in sorted(founds, key=lambda one: (one.first, one.stop, one.hit.kind))
            ],
        )
    )


_FORBIDS_LOOKING = re.compile(
    r"(?:and |but |so |now )*(?:never|don't|do not)(?: ever)? (?:look|check|feel|measure|test|try"
    r"|inspect)\b(?! (?:so|too|like|as)\b)",
    re.IGNORECASE,
)


# "If it's too hot to touch then the bearing is too tight" tells no order of work.
_ONLY_FOLLOWS = re.compile(
    r"then (?:the|it|they|that|this|your|you)\b[^,;]*?(?:'s|'re|'ve| is| are| has| have|n't)\b"
    r"(?! (?:to|put|fitted|pushed|pulled|taken|bolted|turned|tightened)\b)",
    re.IGNORECASE,
)
_CASE = re.compile(r"\b(?:if|when|unless)\b", re.IGNORECASE)


def _as_meant(text: str, marks: Sequence[Marked]) -> Iterator[Marked]:
    """Yield the marks of a sentence; where looking is forbidden, nothing is to be looked at.

    "Never look for a leak with your hand" warns, if the words do not warn already.
    """
    marks = [
        mark
        for mark in marks
        if not (
            mark.kind == "order"
            and _ONLY_FOLLOWS.match(mark.text)
            and _CASE.search(text[: mark.begin])
        )
    ]
    warned = [mark for mark in marks if mark.kind in {"hazard", "damage"}]
    for mark in marks:
        if mark.kind != "inspection" or not _FORBIDS_LOOKING.match(mark.text):
            yield mark
        elif not any(one.begin < mark.end and mark.begin < one.end for one in warned):
            yield replace(mark, kind="hazard")


def _in_a_row(said: Plain, clauses: Sequence[Clause], actions: Sequence[Hit]) -> Iterator[Hit]:
    """Yield the sign of an order of work: several actions in a row, "before …", "once …"."""
    if not actions:
        return
    first, stop = min(a.first for a in actions), max(a.stop for a in actions)
    then = any(said.words[at] == "then" for at in range(first, stop))
    if len(actions) > 3 or (len(actions) > 2 and then):
        yield Hit("order", first, stop, 62, "tells several actions one after the other: '{}'")
    for clause in clauses:
        word = said.word(clause.head - 1)
        if clause.role == "time" and word == "before" and clause.stop - clause.head > 1:
            yield Hit(
                "order", clause.head - 1, clause.stop, 72, "says what comes before what: '{}'"
            )
