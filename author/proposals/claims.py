"""Turns what was found in the talk into proposals, each with its reason and its moment."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from author.memory import collector_at_rest
from author.proposals.found_work import BESIDE_THE_JOB, FoundWork
from author.proposals.kinds.marks import Marked, by_sentence
from author.proposals.kinds.sentence_kinds import kinds_in
from author.proposals.language.fasteners import is_fastener
from author.proposals.proposal import Proposal
from author.proposals.quantities.reading import SpokenQuantity, quantities_in
from author.proposals.reader.ahead import Ahead, meanwhile
from author.proposals.speech.spoken import Sentence
from author.proposals.speech.walking import Walked, walked
from author.proposals.steps.actions import Naming
from author.proposals.steps.fasteners_there import with_fasteners_undone
from author.proposals.steps.implied_orders import (
    besides_tightened,
    implied_orders,
    without_told,
)
from author.proposals.steps.joined_warnings import joined_warnings
from author.proposals.steps.later_jobs import with_later_jobs
from author.proposals.steps.made_safe import with_safe_orders, without_talk_of_safety
from author.proposals.steps.mishaps import with_mishaps
from author.proposals.steps.moved import Moved
from author.proposals.steps.named_lists import with_named_lists
from author.proposals.steps.only_named import topics_looked_at, with_named_looked_at
from author.proposals.steps.put_off import with_put_off
from author.proposals.steps.put_right import with_put_right
from author.proposals.steps.sections import phases_of
from author.proposals.steps.spans import Seen, steps_in
from author.proposals.steps.sure_warnings import with_sure_warnings
from author.proposals.steps.told_orders import orders_told
from author.proposals.steps.told_within import without_told_within
from author.proposals.steps.topics import topic_orders
from author.proposals.steps.undone import with_undone
from author.proposals.steps.unsaid_verbs import with_unsaid_verbs
from author.proposals.steps.values_out import without_numbers
from author.proposals.steps.verdicts import with_verdicts
from author.proposals.things.finding import things_in
from author.proposals.things.gathering import gathered, names_by_sentence
from author.proposals.things.ordering import declines_order

_TOLD_OF_WORK = frozenset({"hazard", "damage", "reason", "order", "action"})


@dataclass(frozen=True, slots=True)
class Proposed:
    """All that is proposed about a job.

    Attributes:
        sentences: what was said, in order.
        proposals: the claims, by recording and by the moment they begin.
    """

    sentences: tuple[Sentence, ...]
    proposals: tuple[Proposal, ...]


def propose(sentences: Sequence[Sentence], seen: Mapping[str, Seen] | None = None) -> Proposed:
    """Return what is proposed about a job.

    Args:
        sentences: what was said, in order; if ``Walked``, how far it is is told, and it can stop.
        seen: what the films add to the words, by recording.

    Raises:
        Cancelled: if it was stopped.
    """
    said = walked(sentences)
    with collector_at_rest(), meanwhile(said.to("what is told")) as ahead:
        return _proposed(said, seen, ahead)


def _proposed(said: Walked, seen: Mapping[str, Seen] | None, ahead: Sequence[Ahead]) -> Proposed:
    quantities: Sequence[SpokenQuantity] = quantities_in(said.to("numbers"), ahead)
    kinds = kinds_in(said.to("warnings and checks"), quantities, ahead)
    joined = joined_warnings(said, with_sure_warnings(said, kinds))
    # "Comes with the kit, so don't order that" warns of nothing.
    marks = [m for m in joined if m.kind not in _TOLD_OF_WORK or not declines_order(m.text)]
    marks = with_put_off(said, with_verdicts(said, with_mishaps(said, marks)))
    marks = without_told_within(said, with_put_right(said, marks))
    marks, quantities = with_later_jobs(said, marks, quantities)
    things = things_in(said.to("parts and tools"), quantities, marks, ahead)
    items = gathered(things)
    phases = phases_of(said, _beside_the_job(marks))
    told = with_safe_orders(said, orders_told(said.to("orders"), marks, things, phases))
    marks = without_talk_of_safety(marks, told)
    told = with_named_lists(said, with_unsaid_verbs(said, told), phases)
    told = with_fasteners_undone(said, told, phases)
    told = with_named_looked_at(said, told, quantities)
    orders = without_numbers(with_undone(said, marks, told, phases), quantities)
    names = names_by_sentence(items, things)
    implied = without_told(implied_orders(said, quantities, marks, things, phases), orders)
    topics = topics_looked_at(said, topic_orders(said, things, phases), orders, quantities)
    topics = besides_tightened(without_told(Moved(said, orders).of(topics), orders), implied)
    # "Wheel nut next, it's left-hand": a step also where nobody says what is done to it.
    turned = {at: one for at, one in topics.items() if one.object and is_fastener(one.object)}
    meant = {**turned, **implied}
    steps = steps_in(said.to("steps"), marks, orders, names, meant, seen, ahead)
    naming = Naming(said, by_sentence(marks), orders, implied, topics, names, phases)
    work = FoundWork(said.to("reasons"), quantities, marks, things, items, steps, phases, naming)
    found = (*work.steps(), *work.measurements(), *work.items(), *work.marked())
    places = {sentence.recording: n for n, sentence in reversed(list(enumerate(said)))}
    ranked = sorted(found, key=lambda p: (places[p.recording], p.start, p.end, p.kind, p.id))
    return Proposed(tuple(said), tuple(ranked))


def _beside_the_job(marks: Sequence[Marked]) -> frozenset[int]:
    """Return the sentences that are nothing but talk, or tell what comes later."""
    kinds: dict[int, set[str]] = {}
    for mark in marks:
        kinds.setdefault(mark.sentence, set()).add(mark.kind)
    return frozenset(n for n, found in kinds.items() if found <= BESIDE_THE_JOB)
