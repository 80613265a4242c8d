"""Takes out of an open document what stands in it of proposals that a person refuses.

A draft holds what is proposed before anybody has answered. Only what stands as it was made is
taken out: what a person has written or completed stays, and so do steps and things, which other
entries name.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from author.contract.procedure_file import as_plain
from author.editing import Address, RemoveEntry, SetField
from author.errors import InputError
from author.procedure.document import Procedure
from author.progress import Cancel
from author.proposals.draft.entries import JOB_LISTS, NOTHING, THING_LISTS, job_entry
from author.proposals.proposal import Proposal
from author.tasks.claims_together import Entry, TogetherMaker, taken_away
from author.tasks.proposal_places import Known
from author.tasks.steps_taken_in import StepsTakenIn
from author.tasks.taking_command import TakeIn
from author.tasks.told_anew import CLAIM_LISTS, in_its_note


@dataclass(frozen=True, slots=True)
class TakenOut:
    """What came of taking refused proposals out of a document.

    Attributes:
        command: the change; None if nothing of them stood there.
        gone: the steps, or the list of the job, that proposals were taken out of, by their ids.
        stays: the step or the list of the job that others stand in all the same, by their ids.
    """

    command: TakeIn | None
    gone: Mapping[str, Address]
    stays: Mapping[str, Address]


def taken_out(
    procedure: Procedure, refused: Sequence[Proposal], known: Known, cancel: Cancel | None = None
) -> TakenOut:
    """Work out what refusing proposals makes of a document, as one command.

    Args:
        procedure: the document.
        refused: the proposals.
        known: what is known of all of them, before they are refused.
        cancel: looked at before each.

    Raises:
        Cancelled: if it was stopped.
    """
    work = _TakingOut(procedure, known)
    for proposal in refused:
        if cancel:
            cancel.check()
        before = work.procedure
        try:
            work.take_out(proposal)
        except InputError:  # something names it
            work.procedure = before
            work.gone.pop(proposal.id, None)
        work.refused.add(proposal.id)
    command = None
    if work.procedure is not procedure and work.began_at is not None and work.last is not None:
        command = TakeIn(procedure, work.procedure, "Refuse", work.began_at, work.last)
    return TakenOut(command, work.gone, work.stays)


class _TakingOut(StepsTakenIn):
    """Commands done one after another on a snapshot."""

    def __init__(self, procedure: Procedure, known: Known) -> None:
        super().__init__(procedure, known)
        self.refused: set[str] = set()
        self.gone: dict[str, Address] = {}
        self.stays: dict[str, Address] = {}
        self._maker = TogetherMaker()

    def take_out(self, p: Proposal) -> None:
        """Take one proposal out, or note where it stays."""
        if p.kind in NOTHING:
            return
        if p.kind == "step":
            if (step := self.step_of(p)) is not None:
                self.stays[p.id] = ("steps", step)
        elif p.kind in THING_LISTS:
            if self.thing_of(p) is not None:
                self.stays[p.id] = (THING_LISTS[p.kind],)
        elif p.kind in JOB_LISTS:
            self._take_job(p)
        elif (host := self.host(p)) is not None:
            self._take_claim(p, host)

    def _take_job(self, p: Proposal) -> None:
        key = JOB_LISTS[p.kind]
        made = job_entry(p, self.host(p) if p.kind == "deferred" else None)
        for at, entry in enumerate(getattr(self.procedure, key)):
            plain = as_plain(entry)
            if plain.get("what") == made["what"]:
                if made.items() <= plain.items():
                    self.do(RemoveEntry((key, at)))
                    self.gone[p.id] = (key,)
                else:
                    self.stays[p.id] = (key,)
                return

    def _take_claim(self, p: Proposal, host: str) -> None:
        """Take a claim out of its step as it stands there: with all others, or alone."""
        told = next((self.known.proposals[s] for s in p.steps if s in self.known.proposals), p)
        every = [q for q in self.known.proposals.values()
                 if q.kind != "step" and (told.id in q.steps or q is p)]  # fmt: skip
        left = [q for q in every if q.id not in self.refused]
        sure = [q for q in left if q.id in self.accepted or q is p]
        for group in (every, left, sure, [p]):
            others = [q for q in group if q is not p]
            was = self._maker.made(group, self.step(host), told, self.accepted)
            now = self._maker.made(others, self.step(host), told, self.accepted)
            if self._put(host, was, now):
                self.gone[p.id] = ("steps", host)
                return

    def _put(self, host: str, was: Entry, now: Entry) -> bool:
        """Put what is made now in the place of what was; False if that does not stand there."""
        step = self.step(host)
        lists = {
            key: taken_away(step, key, was.get(key, ()), now.get(key, ())) for key in CLAIM_LISTS
        }
        if any(changed is None for changed in lists.values()):
            return False
        before = self.procedure
        for key, changed in lists.items():
            for at in sorted(changed or {}, reverse=True):
                entry, place = (changed or {})[at], ("steps", host, key, at)
                self.do(RemoveEntry(place) if entry is None else SetField(place, entry))
        for key in ("reason", "ladder"):
            if was.get(key) != now.get(key) and as_plain(step).get(key) == was.get(key):
                self.do(SetField(("steps", host, key), now.get(key)))
        told, left = was.get("note", ""), now.get("note", "")
        if told != left and (note := in_its_note(step.note or "", told, left)) is not None:
            self.do(SetField(("steps", host, "note"), note or None))
        return self.procedure is not before
