"""Finds in a document what accepted proposals have become.

What was accepted in this run is known by its id; a thing is found by its name, and a step
by the film: the one whose clip covers more than half of what both show together.
"""

from __future__ import annotations

from collections.abc import Mapping, Set
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Any

from author.checks.wording import UNWRITTEN
from author.editing import Span
from author.procedure.document import Procedure
from author.procedure.steps import Section, Step
from author.proposals.draft.entries import NOTHING, THING_LISTS, named, section_title
from author.proposals.draft.told_at import in_tenths, told_at
from author.proposals.proposal import Proposal

_ALIKE = 0.5


@dataclass(frozen=True, slots=True)
class ShownBy:
    """What shows a step on its recording: marks in seconds.

    Attributes:
        start: of the first frame.
        end: of the frame up to which it goes.
        still: of the frame that shows it best; the middle if None.
    """

    start: Decimal
    end: Decimal
    still: Decimal | None = None


@dataclass(frozen=True, slots=True)
class Known:
    """What is known of the proposals besides the document.

    Attributes:
        proposals: all of them by id, as they were changed.
        accepted: ids of those that were accepted or changed.
        shown: what shows the proposed steps, by id, where more is known than their words.
        placed: ids in the document of steps and things, by the id of the proposal.
        was: how proposals were told until now, by id, where they are going to be told otherwise.
    """

    proposals: Mapping[str, Proposal]
    accepted: frozenset[str] = frozenset()
    shown: Mapping[str, ShownBy] = field(default_factory=dict)
    placed: Mapping[str, str] = field(default_factory=dict)
    was: Mapping[str, Proposal] = field(default_factory=dict)


def step_in(procedure: Procedure, proposal: Proposal, known: Known) -> str | None:
    """Return the id of the step of the document that a proposed step is, or None."""
    return Places(procedure, known).step_of(proposal)


def host_of(procedure: Procedure, proposal: Proposal, known: Known) -> str | None:
    """Return the id of the step a proposal would be put into, or None."""
    return Places(procedure, known).host(proposal)


def not_there(procedure: Procedure, known: Known) -> frozenset[str]:
    """Return the accepted proposals that this document cannot have taken in.

    They are the accepted steps that are not in it and what belongs to those alone; if it
    has none of the accepted steps, all that was accepted.
    """
    work = Places(procedure, known)
    accepted = [known.proposals[name] for name in known.accepted if name in known.proposals]
    steps = {p.id for p in accepted if p.kind == "step"}
    gone = {name for name in steps if work.step_of(known.proposals[name]) is None}
    if gone and gone == steps:
        return frozenset(p.id for p in accepted if p.kind not in NOTHING)
    lost = {p.id for p in accepted if p.steps and gone.issuperset(p.steps)}
    return frozenset(gone | lost)


class Places:
    """Finds steps, things and sections in a snapshot of a document.

    Args:
        procedure: the snapshot; may be replaced by another.
        known: what is known of the proposals.
    """

    def __init__(self, procedure: Procedure, known: Known) -> None:
        self.procedure = procedure
        self.known = known
        self.placed = dict(known.placed)
        told = dict.fromkeys(p.recording for p in known.proposals.values())
        names = [ref.id for ref in procedure.recordings] or list(told)
        self.order = {name: n for n, name in enumerate(names)}

    def step_of(self, proposal: Proposal) -> str | None:
        """Return the step that a proposed step is."""
        steps = [placed.step for placed in self.procedure.placed_steps()]
        known = self.placed.get(proposal.id)
        if known is not None and any(step.id == known for step in steps):
            return known
        steps_of = self.known.proposals
        claimed = {
            at for name, at in self.placed.items()
            if name in steps_of and steps_of[name].kind == "step"
        }  # fmt: skip
        best, found = _ALIKE, None
        for step in steps:
            if step.id not in claimed and not unwritten_step(step):
                share = _alike(step, self.moment(step), proposal)
                if share >= best:
                    best, found = share, step.id
        return found

    def host(self, proposal: Proposal) -> str | None:
        """Return the step a claim belongs to: that which shows its moment, else its own.

        A person may have cut the steps otherwise than was proposed.
        """
        shows = [
            placed.step.id
            for placed in self.procedure.placed_steps()
            if self.holds(placed.step, proposal) and not unwritten_step(placed.step)
        ]
        if len(shows) == 1:
            return shows[0]
        for name in proposal.steps:
            step = self.known.proposals.get(name)
            found = self.step_of(step) if step is not None else None
            if found is not None:
                return found
        return shows[0] if shows else None

    def said_with(self, p: Proposal, host: str, accepted: Set[str]) -> list[Proposal]:
        """Return a claim and the accepted ones of its kind in its step, in the order said.

        Args:
            p: the claim.
            host: id of its step.
            accepted: ids of what was accepted.
        """
        step = self.step(host)
        own = {*p.steps, *(name for name, at in self.placed.items() if at == host)}

        def is_near(one: Proposal) -> bool:
            # Looked at first: to find the step of each claim takes long where there are many.
            return self.holds(step, one) or not own.isdisjoint(one.steps)

        kin = (one for one in self.known.proposals.values() if one.kind == p.kind)
        return [
            one
            for one in kin
            if one.id == p.id or (one.id in accepted and is_near(one) and self.host(one) == host)
        ]

    def step(self, name: str) -> Step:
        """Return a step of the document by its id."""
        return next(p.step for p in self.procedure.placed_steps() if p.step.id == name)

    def thing_of(self, thing: Proposal) -> str | None:
        """Return the id of a part, tool or supply that is in its list."""
        entries: tuple[Any, ...] = getattr(self.procedure, THING_LISTS[thing.kind])
        known = self.placed.get(thing.id)
        if known is not None and any(entry.id == known for entry in entries):
            return known
        name = named(thing.text).casefold()
        same = (e.id for e in entries if " ".join(e.name.split()).casefold() == name)
        return next(same, None)

    def sections_of(self, title: str) -> list[Section]:
        """Return the sections that are the guessed one: by title, or by most put into them."""
        titles = {
            self.placed[p.id]: section_title(p)
            for p in self.known.proposals.values()
            if p.kind == "step" and p.id in self.placed
        }
        found = []
        for section in self.procedure.sections:
            put_in = [titles[step.id] for step in section.steps if step.id in titles]
            if section.title.casefold() == title.casefold() or (
                put_in and 2 * put_in.count(title) > len(put_in)
            ):
                found.append(section)
        return found

    def section_at(self, title: str, at: tuple[int, Decimal]) -> Section | None:
        """Return the section a step goes into; None where it needs a new one.

        Work goes on in the order of the film: a part of the job that was left for another one
        is not gone back to. In the midst of a section that is another one, the step goes to its
        own as far as there is one, since no section is cut in two.

        Args:
            title: of the section the step is guessed to be of.
            at: when the step begins, as ``time`` tells it.
        """
        sections = self.sections_of(title)
        timed = sorted(
            ((when, n) for n, section in enumerate(self.procedure.sections)
             for step in section.steps
             if not unwritten_step(step) and (when := self.time(step)) is not None)
        )  # fmt: skip
        before = next((n for when, n in reversed(timed) if when <= at), None)
        after = next((n for when, n in timed if when > at), None)
        own = {one.id for one in sections}
        beside = [self.procedure.sections[n] for n in (before, after) if n is not None]
        if beside and before != after:
            return next((one for one in beside if one.id in own), None)
        begun = [s for s in sections if (first := self.first(s)) and first <= at]
        return begun[-1] if begun else sections[0] if sections else None

    def first(self, section: Section) -> tuple[int, Decimal] | None:
        """Return when the first written step of a section begins that has a moment."""
        times = (self.time(step) for step in section.steps if not unwritten_step(step))
        return next((at for at in times if at is not None), None)

    def time(self, step: Step) -> tuple[int, Decimal] | None:
        """Return when a step begins: number of its recording, seconds; None without a moment."""
        moment = self.moment(step)
        return None if moment is None else (self.order.get(moment.recording, 0), moment.start)

    def holds(self, step: Step, proposal: Proposal) -> bool:
        """Whether a proposal begins within the moment of a step."""
        moment = self.moment(step)
        if moment is None or moment.recording != proposal.recording:
            return False
        # The moment of a step that no film shows is told to tenths.
        at = proposal.start if step.clip is not None else in_tenths(proposal.start)
        return moment.start <= at < moment.end

    def moment(self, step: Step) -> Span | None:
        """Return what shows a step, or where it was told if no film shows it; None else."""
        if step.clip is not None:
            return Span(step.clip.recording, step.clip.start, step.clip.end)
        told = told_at(step.not_filmed)
        if told is None:
            return None
        recording = told.recording or next(iter(self.order), "")
        return Span(recording, told.start, told.end)


def unwritten_step(step: Step) -> bool:
    """Whether the action of a step is still to be written."""
    return step.action.startswith(UNWRITTEN)


def _alike(step: Step, moment: Span | None, proposal: Proposal) -> float:
    """Return what two spans show both, as a share of what they show together.

    Spans that meet and have the same words are one step: where a proposed step ends is seen
    otherwise once the film has been looked through.
    """
    if moment is None or moment.recording != proposal.recording:
        return 0.0
    both = min(moment.end, proposal.end) - max(moment.start, proposal.start)
    if both > 0 and step.action == proposal.text:
        return 1.0
    together = max(moment.end, proposal.end) - min(moment.start, proposal.start)
    return float(both / together) if together > 0 else 0.0
