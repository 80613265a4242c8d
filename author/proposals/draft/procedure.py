"""The draft procedure that proposals make, as the file has it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from textwrap import wrap
from typing import Any, Protocol

from author.checks.naming import new_id
from author.procedure.document import SCHEMA_NAME
from author.procedure.facts import RecordingFacts
from author.procedure.times import clock_text
from author.proposals.draft.announced import announced_words
from author.proposals.draft.entries import (
    JOB_LISTS,
    THING_LISTS,
    job_entry,
    renewed_parts,
    section_title,
    thing_entry,
)
from author.proposals.draft.lines import line, unwritten
from author.proposals.draft.steps import Made, StepMaker
from author.proposals.draft.told_at import told_at_words
from author.proposals.proposal import Proposal

_EVIDENCE = 2000
_OF_A_STEP = frozenset({"hazard", "measurement", "inspection", "orientation", "order", "decision"})
_WIDTH = 92


class DraftFilm(Protocol):
    """A recording, as far as a draft needs it."""

    @property
    def facts(self) -> RecordingFacts:
        """What is known of the file."""

    def best_still(self, start: int, end: int) -> int:
        """Return the index of the frame that shows the frames from ``start`` to ``end`` best."""


@dataclass(frozen=True, slots=True)
class Front:
    """What the draft says of itself.

    Attributes:
        id: id of the procedure.
        title: what the job is.
    """

    id: str
    title: str


@dataclass(frozen=True, slots=True)
class Draft:
    """A draft ready to be written.

    Attributes:
        plain: the procedure as dictionaries and lists.
        comments: the words each step rests on, as comments by the path they stand before.
    """

    plain: dict[str, Any]
    comments: dict[tuple[str | int, ...], tuple[str, ...]]


def draft_of(
    proposals: Sequence[Proposal],
    front: Front,
    films: Mapping[str, DraftFilm],
    accepted: frozenset[str] = frozenset(),
) -> Draft:
    """Return the draft that proposals make.

    Args:
        proposals: those not refused, as they were changed, recording after recording.
        front: what the draft says of itself.
        films: the recordings by id; steps of others have no clip and no still.
        accepted: ids of proposals that a person accepted or changed.
    """
    ids = _Ids()
    lists, id_of = _things(proposals, ids, accepted)
    heard: list[dict[str, Any]] = []
    maker = StepMaker(accepted, id_of, ids.new, heard)
    steps = [p for p in proposals if p.kind == "step"]
    about: dict[str, list[Proposal]] = {step.id: [] for step in steps}
    for proposal in proposals:
        known = [name for name in proposal.steps if name in about]
        if not known and proposal.steps and proposal.kind in _OF_A_STEP:
            # Its own step was refused; what warns and what counts is not refused with it.
            near = [s for s in steps if s.recording == proposal.recording]
            before = [s for s in near if s.start <= proposal.start]
            known = [s.id for s in (before[-1:] or near[:1])]
        for name in known if proposal.kind != "step" else ():
            about[name].append(proposal)
    made = {step.id: maker.made(step, about[step.id]) for step in steps}
    several = len({p.recording for p in proposals}) > 1
    for step in steps:
        film = films.get(step.recording)
        made[step.id] |= (
            {"not_filmed": told_at_words(step, several=several)}
            if film is None
            else _shown(step, film)
        )
    job = _of_the_job(proposals, made, ids)
    sections = _sections(steps, made, ids)
    announced = announced_words(proposals)
    plain = {
        "schema": SCHEMA_NAME,
        "id": front.id,
        "title": front.title,
        "revision": 1,
        "state": "draft",
        "language": "en",
        "purpose": unwritten(f"what the job achieves and when it is due{announced}"),
        "unit": {"name": unwritten(f"the machine{announced}")},
        "limits_of_use": [unwritten("what this procedure does not cover")],
        "people": [{"id": "technician", "role": "Technician"}],
        "recordings": [_recording(name, film.facts) for name, film in films.items()] or "none",
        "sources": [
            {"id": "film", "kind": "film", "title": "The technician's word on the film"},
            {"id": "reading", "kind": "measured", "title": "Read on the unit that was filmed"},
            *heard,
        ],
        "prerequisites": job["prerequisites"] or "none",
        **{key: entries or "none" for key, entries in lists.items()},
        "stacks": "none",
        "general_hazards": "none",
        "sections": sections,
        "chains": "none",
        "close_outs": job["close_outs"] or "none",
        "findings": job["findings"] or "none",
        "concessions": "none",
        "changes": "none",
    }
    return Draft(plain, _evidence(steps, made, sections))


def _evidence(
    steps: Sequence[Proposal], made: Mapping[str, Made], sections: Sequence[Made]
) -> dict[tuple[str | int, ...], tuple[str, ...]]:
    said = {made[step.id]["id"]: step for step in steps}
    comments: dict[tuple[str | int, ...], tuple[str, ...]] = {}
    for place, section in enumerate(sections):
        for number, entry in enumerate(section["steps"]):
            if step := said.get(entry["id"]):
                words = f"Said at {clock_text(step.start)}: {line(step.said, _EVIDENCE)}"
                told = tuple(f" {part}" for part in wrap(words, _WIDTH))
                comments["sections", place, "steps", number] = told
    return comments


class _Ids:
    """Gives out ids that a person can say."""

    def __init__(self) -> None:
        self._taken: set[str] = {"film", "reading", "technician"}

    def new(self, text: str) -> str:
        name = new_id(text, self._taken, "n")
        self._taken.add(name)
        return name


def _recording(name: str, facts: RecordingFacts) -> Made:
    return {
        "id": name,
        "file": facts.file,
        "size": facts.size,
        "duration": f"{facts.duration:f}",
        "sha256": facts.sha256,
    }


def _things(
    proposals: Sequence[Proposal], ids: _Ids, accepted: frozenset[str]
) -> tuple[dict[str, list[Made]], dict[str, str]]:
    """Return the lists of parts, tools and supplies, and the id of each in the draft.

    A part that is only spoken of, and that nothing is done with, stands in the list once a person
    has accepted it; so does what is only told not to be used, "never a wire brush".
    """
    moved = {move.part for p in proposals for move in p.moves}
    renewed = renewed_parts(proposals)
    lists: dict[str, list[Made]] = {"parts": [], "tools": [], "supplies": []}
    id_of: dict[str, str] = {}
    for proposal in proposals:
        told = any(proposal.detail(key) for key in ("number", "ordered", "kit"))
        handled = proposal.id in moved or proposal.id in accepted or told
        left_out = proposal.detail("left_out") and proposal.id not in accepted
        if left_out or (proposal.kind == "part" and not handled):
            continue
        if (key := THING_LISTS.get(proposal.kind)) is not None:
            name = id_of[proposal.id] = ids.new(proposal.text)
            lists[key].append({"id": name, **thing_entry(proposal, renewed)})
    return lists, id_of


def _shown(step: Proposal, film: DraftFilm) -> Made:
    """Return clip and still of a step."""
    facts = film.facts
    first = min(facts.index_at(step.start), facts.frame_count - 1)
    end = max(min(facts.index_at(step.end), facts.frame_count), first + 1)
    still = film.best_still(first, end)
    return {
        "clip": {
            "recording": step.recording,
            "from": f"{facts.boundary(first):f}",
            "to": f"{facts.boundary(end):f}",
        },
        "still": {
            "recording": step.recording,
            "at": f"{facts.boundary(still):f}",
            "alt": unwritten("what the picture shows"),
        },
    }


def _sections(
    steps: Sequence[Proposal], made: Mapping[str, Made], ids: _Ids
) -> list[dict[str, Any]]:
    sections: list[dict[str, Any]] = []
    before = ""
    for step in steps:
        title = section_title(step)
        if title != before:
            sections.append({"id": ids.new(title), "title": title, "steps": []})
            before = title
        sections[-1]["steps"].append(made[step.id])
    if not sections:
        nothing = {
            "id": "first-step",
            "action": unwritten("one action, as an order"),
            "not_filmed": "No step was found in what was said",
        }
        sections.append({"id": "work", "title": "Work", "steps": [nothing]})
    return sections


def _of_the_job(
    proposals: Sequence[Proposal], made: Mapping[str, Made], ids: _Ids
) -> dict[str, list[Made]]:
    """Return what comes before and after the job, and what is left for another."""
    job: dict[str, list[Made]] = {key: [] for key in JOB_LISTS.values()}
    for proposal in proposals:
        if (key := JOB_LISTS.get(proposal.kind)) is not None:
            step = made.get(proposal.steps[0]) if proposal.steps else None
            entry = job_entry(proposal, step["id"] if step else None)
            job[key].append({"id": ids.new(proposal.text), **entry})
    return job
