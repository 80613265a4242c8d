"""What a record says was read, ready, tightened, gone on with and closed out, as page data."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Protocol

from author.procedure.document import PlacedStep, Procedure
from author.procedure.job_record import JobRecord, WayTaken
from author.procedure.steps import Branch
from author.publish.lookup import Data, Lookup, procedure_text
from author.publish.record_lists import moment_text

_SIDES = {"below": "below", "above": "above", "undecided": "too near to a limit"}


class Signed(Protocol):
    """Something somebody did at a moment."""

    @property
    def by(self) -> str:
        """Return who did it."""

    @property
    def at(self) -> str:
        """Return when."""


def before_work(procedure: Procedure, record: JobRecord | None) -> list[Data]:
    """Return what has to be read, true and at hand before the work, and who saw to it."""
    read = {one.message: one for one in record.hazards_read if one.step is None} if record else {}
    made = record.made_ready if record else ()
    ready: dict[tuple[str, str], Signed] = {(one.kind, one.item): one for one in made}
    rows = [
        _row(f"{hazard.signal}: {hazard.hazard}", read.get(index))
        for index, hazard in enumerate(procedure.general_hazards)
    ]
    rows += [_row(one.what, ready.get(("prerequisite", one.id))) for one in procedure.prerequisites]
    rows += _gathered("Parts", "part", [one.id for one in procedure.parts], ready)
    rows += _gathered("Tools", "tool", [one.id for one in procedure.tools], ready)
    rows += _gathered("Supplies", "supply", [one.id for one in procedure.supplies], ready)
    return rows


def after_work(procedure: Procedure, record: JobRecord | None) -> list[Data]:
    """Return what has to be done before the unit is used again, and who did it."""
    done = {one.close_out: one for one in record.close_outs} if record else {}
    hung = {one.finding: one for one in record.tags_hung} if record else {}
    held = [one for one in procedure.findings if one.holds]
    return [
        *(_row(f"HOLD tag hung on the unit: {one.what}", hung.get(one.id)) for one in held),
        *(_row(one.what, done.get(one.id)) for one in procedure.close_outs),
    ]


def at_step(placed: PlacedStep, record: JobRecord | None, lookup: Lookup) -> list[str]:
    """Return what was read, tightened and gone on with at a step, a sentence each."""
    if record is None:
        return []
    step = placed.step
    specs = {spec.id: spec.characteristic for spec in step.all_specs()}
    return [
        *(
            f"Hazard message {one.message + 1} read by {_who(one)}"
            for one in record.hazards_read
            if one.step == step.id
        ),
        *(
            f"{specs[one.spec]}: round {one.round + 1} tightened by {_who(one)}"
            f"{' (superseded)' if one.superseded else ''}"
            for one in record.rounds_tightened
            if one.spec in specs
        ),
        *(
            f"Way on: {_way(one, placed, lookup)}; {_who(one)}"
            for one in record.ways_taken
            if one.step == step.id
        ),
    ]


def _row(what: str, one: Signed | None) -> Data:
    return {"what": what, "by": one and one.by, "at": moment_text(one.at if one else None)}


def _gathered(
    words: str, kind: str, ids: list[str], ready: Mapping[tuple[str, str], Signed]
) -> Iterator[Data]:
    """Yield one row for a list of things: how many of them lay ready."""
    there = [ready[kind, one] for one in ids if (kind, one) in ready]
    if ids:
        count = f": {len(there)} of {len(ids)}" if there else f", all {len(ids)}"
        yield _row(f"{words} lie ready{count}", there[-1] if there else None)


def _who(one: Signed) -> str:
    return f"{one.by}, {moment_text(one.at)}"


def _way(way: WayTaken, placed: PlacedStep, lookup: Lookup) -> str:
    step = placed.step
    if way.branch is not None and step.decision is not None:
        branch = step.decision.ways[way.branch]
        return f"{branch.when}: {_leads(branch, lookup)}"
    name = next(spec.characteristic for spec in step.all_specs() if spec.id == way.spec)
    return f"{name} {_SIDES[way.side or 'undecided']}, as its reaction says"


def _leads(branch: Branch, lookup: Lookup) -> str:
    if branch.stop is not None:
        return f"stopped. {branch.stop}"
    if branch.procedure is not None:
        return procedure_text(branch.procedure) or ""
    found = lookup.section(branch.section) if branch.section else lookup.step(branch.step)
    return str(found["text"]) if found else ""
