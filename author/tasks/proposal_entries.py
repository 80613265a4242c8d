"""Puts proposals that a person accepts into an open document, by its commands."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from author.contract.procedure_file import as_plain
from author.editing import (
    AddEntry,
    Address,
    RemoveEntry,
    SetField,
)
from author.editing.entries import entry_id
from author.errors import InputError
from author.procedure.document import Procedure
from author.procedure.steps import Step
from author.progress import Cancel
from author.proposals.draft.changed_words import stale_mark
from author.proposals.draft.entries import (
    JOB_LISTS,
    NOTHING,
    THING_LISTS,
    job_entry,
    named,
    renewed_parts,
    thing_entry,
)
from author.proposals.draft.lines import line, unwritten
from author.proposals.draft.steps import StepMaker
from author.proposals.proposal import Proposal
from author.tasks.claims_there import check_unit, said_already, said_otherwise
from author.tasks.claims_together import TOGETHER, Joined, TogetherMaker, joined, words_of
from author.tasks.proposal_places import Known
from author.tasks.steps_taken_in import StepsTakenIn
from author.tasks.taking_command import TakeIn
from author.tasks.told_anew import befores, in_its_note, told_otherwise

_ROOM = 400
_SOURCES = {
    "film": ("film", "The technician's word on the film"),
    "reading": ("measured", "Read on the unit that was filmed"),
}
_CLAIM_LISTS = ("hazards", "specs", "torques", "critical_points", "criteria")
_OF_CLAIMS = (*_CLAIM_LISTS, "reason", "ladder", "note")
"""What a claim may come to stand in at its step, the likeliest first."""


@dataclass(frozen=True, slots=True)
class Taken:
    """What came of putting proposals into a document.

    Attributes:
        command: the change; None if all of it stands there already.
        done: ids of the proposals that are in the document now.
        waiting: ids of those that belong to a step that is not in it.
        problems: why others cannot be put in, by id.
        placed: ids in the document of steps and things, those known before included.
        places: the step, the list or the field of the document that each of those done stands
            in now, by id; none for what is left out.
        otherwise: what its step says of the same thing with other numbers, as it is typed, by
            id of the proposal.
    """

    command: TakeIn | None
    done: tuple[str, ...]
    waiting: tuple[str, ...]
    problems: Mapping[str, InputError]
    placed: Mapping[str, str]
    places: Mapping[str, Address]
    otherwise: Mapping[str, str]


def taken(
    procedure: Procedure, wanted: Sequence[Proposal], known: Known, cancel: Cancel | None = None
) -> Taken:
    """Work out what accepting proposals makes of a document, as one command.

    Args:
        procedure: the document.
        wanted: the proposals, as they were changed.
        known: what is known of all others.
        cancel: looked at before each.

    Raises:
        Cancelled: if it was stopped.
    """
    work = _Taking(procedure, known)
    done, waiting, problems = [], [], {}
    ranks = {"step": 0, **dict.fromkeys(THING_LISTS, 1)}
    for proposal in sorted(wanted, key=lambda p: ranks.get(p.kind, 2)):
        if cancel:
            cancel.check()
        before, placed = work.procedure, dict(work.placed)
        try:
            if work.take(proposal):
                work.accepted.add(proposal.id)
                done.append(proposal.id)
            else:
                waiting.append(proposal.id)
        except InputError as error:
            work.procedure, work.placed = before, placed
            problems[proposal.id] = error
    command = None
    if work.procedure is not procedure and work.began_at is not None and work.last is not None:
        told = next(p for p in wanted if p.id == done[0])
        words = f"Accept {len(done)} proposals" if len(done) > 1 else f"Accept: {told.text}"
        command = TakeIn(procedure, work.procedure, words[:120], work.began_at, work.last)
    places = {name: work.places[name] for name in done if name in work.places}
    otherwise = {name: work.otherwise[name] for name in done if name in work.otherwise}
    return Taken(command, tuple(done), tuple(waiting), problems, work.placed, places, otherwise)


class _Taking(StepsTakenIn):
    """Commands done one after another on a snapshot."""

    def __init__(self, procedure: Procedure, known: Known) -> None:
        super().__init__(procedure, known)
        self._maker = TogetherMaker()
        self.otherwise: dict[str, str] = {}

    def take(self, p: Proposal) -> bool:
        """Put one proposal in; False if its step is not there."""
        if p.kind in NOTHING:
            return True
        if p.kind == "step":
            self.take_step(p)
        elif p.kind in THING_LISTS:
            self._take_thing(p)
        elif p.kind in JOB_LISTS:
            self._take_job(p)
        else:
            host = self.host(p)
            if host is None:
                return False
            self._take_claim(p, host)
        return True

    # --- things of the job ---

    def _take_thing(self, p: Proposal) -> None:
        name = self.thing_of(p)
        if name is None:
            entry = thing_entry(p, renewed_parts(self.known.proposals.values()))
            place = self.do(AddEntry((THING_LISTS[p.kind],), entry))
            name = str(place[1])
        self.placed[p.id] = name
        self.places[p.id] = (THING_LISTS[p.kind],)
        for step in self.known.proposals.values():
            moved = [m for m in step.moves if m.part == p.id]
            used = step.kind == "step" and step.id in p.steps and p.kind != "part"
            if (moved or used) and (host := self.step_of(step)):
                self._use(p, step, name, host)

    def _use(self, thing: Proposal, step: Proposal, name: str, host: str) -> None:
        """Say at a step that a thing is used or moved there, if it does not say so."""
        bare = replace(step, details=(), moves=tuple(m for m in step.moves if m.part == thing.id))
        made = StepMaker(frozenset(), {thing.id: name}, self.free_id).made(bare, [thing])
        there = self.step(host)
        for use in made.get("tools", ()):
            if use not in (there.tools or ()):
                self.do(AddEntry(("steps", host, "tools"), use))
        for use in made.get("supplies", ()):
            if all(one.supply != name for one in there.supplies or ()):
                self.do(AddEntry(("steps", host, "supplies"), use))
        for move in made.get("ledger", ()):
            if all((one.part, one.act) != (name, move["act"]) for one in there.ledger or ()):
                behind = self._moved_later(step, name, move["act"], self.step(host))
                self.do(AddEntry(("steps", host, "ledger"), move, behind))

    def _moved_later(self, step: Proposal, part: str, act: str, host: Step) -> int | None:
        """Return where in a step the first movement stands that was told after another one."""
        known = self.known.proposals
        moves: list[tuple[str | None, str]] = [
            (self.thing_of(known[m.part]), m.act) for m in step.moves if m.part in known
        ]
        later = moves[moves.index((part, act)) + 1 :] if (part, act) in moves else []
        there = enumerate(host.ledger or ())
        return next((at for at, one in there if (one.part, one.act) in later), None)

    def _take_job(self, p: Proposal) -> None:
        key = JOB_LISTS[p.kind]
        self.places[p.id] = (key,)
        entry = job_entry(p, self.host(p) if p.kind == "deferred" else None)
        if all(one.what != entry["what"] for one in getattr(self.procedure, key)):
            self.do(AddEntry((key,), entry))

    # --- claims about a step ---

    def _take_claim(self, p: Proposal, host: str) -> None:
        if p.kind == "measurement":
            check_unit(p)
        step = self.step(host)
        self._maker.heard.clear()
        told = next((self.known.proposals[s] for s in p.steps if s in self.known.proposals), p)
        made = self._maker.made([p], step, told)
        if p.kind == "measurement" and "note" in made:
            made["note"] = named(p.text)
        answered = self.accepted, {*self.accepted, p.id}
        were = befores(self._maker, self.known, p, step, answered)
        others = self.said_with(p, host, self.accepted) if p.kind in TOGETHER else []
        before = self._maker.made([one for one in others if one is not p], step, told)
        after = self._maker.made(others, step, told) if len(others) > 1 else made
        for key in _CLAIM_LISTS:
            found = (
                next((each for one in were if (each := one.joined(step, key))), None)
                or joined(step, key, before.get(key, ()), after.get(key, ()))
                or Joined({}, made.get(key, ()))
            )
            for entry in found.added:
                if (other := said_otherwise(self.step(host), key, entry)) is not None:
                    self.otherwise[p.id] = other
                self._add_claim(host, key, entry)
            self._complete(host, key, found.changed)
        self.places[p.id] = ("steps", host, *(key for key in _OF_CLAIMS if key in made))[:3]
        if "reason" in made:
            if step.reason is None:
                self.do(SetField(("steps", host, "reason"), made["reason"]))
            elif step.reason != made["reason"]:
                self._add_note(host, made["reason"])
        if "ladder" in made:
            if step.ladder is None:
                self.do(SetField(("steps", host, "ladder"), made["ladder"]))
            elif [as_plain(way) for way in step.ladder] != made["ladder"]:
                self._add_note(host, unwritten(f"decide as was said: “{line(p.said, 200)}”"))
        self._put_note(host, were[-1].was.get("note", ""), made.get("note", ""))
        for one in told_otherwise(self.known, p) if p.kind == "measurement" else ():
            self._tell_anew(one)

    def _tell_anew(self, p: Proposal) -> None:
        """Tell a proposal as it is now wherever it stands as it was told; mark what cannot be."""
        host = self.step_of(p) if p.kind == "step" else self.host(p)
        if host is None:
            return
        began, last, was = self.began_at, self.last, self.known.was[p.id]
        self._maker.heard.clear()
        said_so = p.kind == "step" or p.id in self.accepted
        if p.kind == "step":
            self.put_words(host, was, p, (p.id in self.accepted,) * 2)
        else:
            were = befores(self._maker, self.known, p, self.step(host), (self.accepted,) * 2)
            for key in _CLAIM_LISTS:
                step = self.step(host)
                found = next(
                    (f for one in were if (f := one.joined(step, key)) and f.changed), None
                )
                self._complete(host, key, found.changed if found else {})
            alone = were[-1]
            said_so = said_so or alone.stands(self.step(host))
            for key in ("reason", "note"):
                there = getattr(self.step(host), key) or ""
                words = in_its_note(there, alone.was.get(key, ""), alone.now.get(key, ""))
                if words is not None and words != there:
                    self.do(SetField(("steps", host, key), words))
        if said_so and (mark := stale_mark(p)) and mark != stale_mark(was):
            self._add_note(host, mark)
        self.began_at, self.last = began, last

    def _put_note(self, host: str, was: str, now: str) -> None:
        """Put words in the note of a step, in the place of those that were to be confirmed."""
        there = self.step(host).note or ""
        words = in_its_note(there, was, now)
        if words is None and now:
            self._add_note(host, now)
        elif words is not None and words != there:
            self.do(SetField(("steps", host, "note"), words or None))

    def _complete(self, host: str, key: str, changed: Mapping[int, dict[str, Any] | None]) -> None:
        """Put entries in the place of others of a step, the last first."""
        for at in sorted(changed, reverse=True):
            entry, place = changed[at], ("steps", host, key, at)
            if entry is None:
                self.do(RemoveEntry(place))
            else:
                self.do(SetField(place, self._with_source(entry)))

    def _with_source(self, entry: dict[str, Any]) -> dict[str, Any]:
        """Return an entry with its source in the list of sources, if it has a new one."""
        known = {one.id for one in self.procedure.sources} | {None}
        source = entry.get("source")
        return entry if source in known else {**entry, "source": self._source(str(source))}

    def _add_claim(self, host: str, key: str, entry: dict[str, Any]) -> None:
        if said_already(self.step(host), key, entry):
            return
        if "source" in entry:
            entry["source"] = self._source(entry["source"])
        if "id" in entry:
            entry["id"] = self.free_id(words_of(entry["id"]))
        self.do(AddEntry(("steps", host, key), entry))

    def _add_note(self, host: str, words: str) -> None:
        note = self.step(host).note
        if note is not None and words in note:
            return
        whole = words if note is None else f"{note} {words}"
        if len(whole) > _ROOM:
            raise InputError(
                "there is no more room in the note of its step",
                remedy="Shorten the note, then accept it",
            )
        self.do(SetField(("steps", host, "note"), whole))

    def _source(self, name: str) -> str:
        """Return the source that a claim names: of a number its moment, else the whole film."""
        moment = next((each for each in self._maker.heard if each["id"] == name), None)
        kind, title = (moment["kind"], moment["title"]) if moment else _SOURCES[name]
        there = (s for s in self.procedure.sources if s.kind == kind)
        found = next((s.id for s in there if moment is None or s.title == title), None)
        if found is None:
            found = entry_id(self.procedure, ("sources",), words_of(name) if moment else title)
            began = self.began_at
            self.do(AddEntry(("sources",), {"id": found, "kind": kind, "title": title}))
            self.began_at = began  # what the claim is about, not the list of sources
        return found
