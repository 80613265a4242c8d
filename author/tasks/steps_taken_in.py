"""Puts proposed steps into a document, each at its place by time."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal

from author.checks.naming import new_id
from author.checks.wording import UNWRITTEN
from author.contract.procedure_file import as_plain
from author.editing import AddEntry, Address, AddStep, Command, RemoveSteps, SetField, Span
from author.editing.ids import ids_in, taken_with
from author.editing.steps import new_step_id
from author.procedure.document import PlacedStep, Procedure
from author.procedure.references import POINTS
from author.proposals.draft.entries import section_title
from author.proposals.draft.steps import StepMaker
from author.proposals.draft.told_at import told_at_words
from author.proposals.proposal import Proposal
from author.tasks.proposal_places import Known, Places, ShownBy, unwritten_step
from author.tasks.told_anew import step_words

_MICRO = Decimal("0.000001")


class StepsTakenIn(Places):
    """Commands done one after another on a snapshot, and the steps among them.

    Args:
        procedure: the snapshot; what it is after the last command, later.
        known: what is known of the proposals.
    """

    def __init__(self, procedure: Procedure, known: Known) -> None:
        super().__init__(procedure, known)
        self.accepted = set(known.accepted)
        self.began_at: Address | None = None
        self.last: Address | None = None
        self.places: dict[str, Address] = {}

    def do(self, command: Command) -> Address:
        """Do a command; return the address of what it is about."""
        outcome = command.outcome(self.procedure)
        self.procedure = outcome.procedure
        self.began_at = outcome.was if self.began_at is None else self.began_at
        self.last = outcome.now
        return outcome.now

    # --- steps ---

    def take_step(self, p: Proposal) -> None:
        """Put a proposed step in; one that is there is told as it is accepted."""
        there = self.step_of(p)
        if there is not None:
            self.places[p.id] = ("steps", there)
            was = self.known.was.get(p.id, p)
            self.put_words(there, was, p, (p.id in self.accepted, True))
            return
        shown = self.known.shown.get(p.id) or ShownBy(
            p.start.quantize(_MICRO), p.end.quantize(_MICRO)
        )
        about = [
            thing
            for thing in self.known.proposals.values()
            if thing.kind in {"tool", "supply"} and p.id in thing.steps and self._is_in(thing)
        ]
        parts = [self.known.proposals[move.part] for move in p.moves
                 if move.part in self.known.proposals]  # fmt: skip
        id_of = {one.id: name for one in (*about, *parts) if (name := self.thing_of(one))}
        more = StepMaker(frozenset({p.id}), id_of, self.free_id).made(p, about)
        del more["id"]
        span: Span | None = Span(p.recording, shown.start, shown.end)
        if all(ref.id != p.recording for ref in self.procedure.recordings):
            span, more["not_filmed"] = None, told_at_words(p, several=len(self.order) > 1)
        add = AddStep(action=more.pop("action"), span=span, still_at=shown.still, more=more)
        place = self._add(p, add, (self.order.get(p.recording, 0), shown.start))
        self.placed[p.id] = str(place[1])
        self.places[p.id] = place[:2]
        self._clear_begun(p.recording, str(place[1]))

    def _is_in(self, thing: Proposal) -> bool:
        return thing.id in self.accepted and self.thing_of(thing) is not None

    def _add(self, p: Proposal, add: AddStep, at: tuple[int, Decimal]) -> Address:
        """Add a step to the section it is guessed to be of, at its place by time."""
        title = section_title(p)
        section = self.section_at(title, at)
        if section is None:
            return self._add_section(title, add, at)
        behind = next((s for s in section.steps if (t := self.time(s)) and t > at), None)
        if behind is not None:
            return self.do(replace(add, before=behind.id))
        return self.do(replace(add, section=section.id))

    def _add_section(self, title: str, add: AddStep, at: tuple[int, Decimal]) -> Address:
        number = sum(len(s.steps) for s in self.procedure.sections) + 1
        name = new_step_id(self.procedure, add.action, number)
        step = {"id": name, "action": add.action, **add.pictures(), **add.more}
        own = new_id(title, {name, *taken_with(ids_in(self.procedure), "sections")}, "section")
        before = next(
            (s.id for s in self.procedure.sections if (first := self.first(s)) and first > at),
            None,
        )
        entry = {"id": own, "title": title, "steps": [step]}
        self.do(AddEntry(("sections",), entry, before))
        self.last = ("steps", name)
        return self.last

    def _clear_begun(self, recording: str, new: str) -> None:
        """Take out the step of the whole film that every new procedure begins with."""
        others = [
            placed
            for placed in self.procedure.placed_steps()
            if placed.step.id != new
            and placed.step.clip is not None
            and placed.step.clip.recording == recording
        ]
        if len(others) == 1 and self._is_begun(others[0]):
            self.do(RemoveSteps((others[0].step.id,)))
            self.last = ("steps", new)

    def _is_begun(self, placed: PlacedStep) -> bool:
        step = placed.step
        plain = set(as_plain(step)) - {"id", "action", "clip", "still"}
        still = step.still
        return (
            unwritten_step(step)
            and not plain
            and step.clip is not None
            and step.clip.start == 0
            and (still is None or (still.alt.startswith(UNWRITTEN) and not still.callouts))
        )

    def put_words(
        self, host: str, was: Proposal, now: Proposal, accepted: tuple[bool, bool]
    ) -> None:
        """Put the words of a proposed step in the place of those it had."""
        for key, words in step_words(self.step(host), was, now, accepted).items():
            self.do(SetField(("steps", host, key), words or None))

    def free_id(self, words: str) -> str:
        """Return an id for a point that is not taken yet."""
        return new_id(words, taken_with(ids_in(self.procedure), POINTS), "point")
