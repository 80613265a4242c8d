"""Ids are unique, and what is named is listed."""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Iterator

from author.checks.remarks import Path, Remark, Subject, all_rules, remark
from author.procedure.document import PlacedStep, Procedure

Reference = tuple[Path, str, str]
"""Path of a reference, the list it points into, and the id it names."""

_LISTS = ("people", "recordings", "sources", "parts", "tools", "supplies")


def check(subject: Subject) -> Iterator[Remark]:
    """Yield remarks on ids."""
    procedure = subject.procedure
    yield from _unique(procedure)
    known = {name: {entry.id for entry in getattr(procedure, name)} for name in _LISTS}
    known["steps"] = {placed.step.id for placed in procedure.placed_steps()}
    known["sections"] = {section.id for section in procedure.sections}
    known["specs"] = {spec.id for _, _, spec in procedure.placed_specs()}
    known["rules"] = set(all_rules())
    for path, where, name in references(procedure):
        if name not in known[where]:
            close = difflib.get_close_matches(name, known[where], n=1)
            hint = f"Did you mean '{close[0]}'?" if close else None
            yield remark("ids.reference", f"'{name}' is not among the {where}", path, hint)


def _unique(procedure: Procedure) -> Iterator[Remark]:
    lists = ("prerequisites", "close_outs", "findings", "stacks", "chains", *_LISTS)
    groups: list[Iterable[tuple[Path, str]]] = [
        [((name, index, "id"), entry.id) for index, entry in enumerate(getattr(procedure, name))]
        for name in lists
    ]
    groups.append(
        [
            (("sections", index, "id"), section.id)
            for index, section in enumerate(procedure.sections)
        ]
        + [((*placed.path, "id"), placed.step.id) for placed in procedure.placed_steps()]
    )
    # A sign-off or a reading names a spec, a critical point or a criterion by its id alone.
    groups.append([((*path, "id"), point.id) for _, path, point in procedure.placed_points()])
    for group in groups:
        seen: set[str] = set()
        for path, name in group:
            if name in seen:
                yield remark("ids.unique", f"the id '{name}' is used twice", path)
            seen.add(name)


def references(procedure: Procedure) -> Iterator[Reference]:
    """Yield every place that names something by its id."""
    for index, supply in enumerate(procedure.supplies):
        if supply.recommended_by:
            yield ("supplies", index, "recommended_by"), "sources", supply.recommended_by
    yield from _part_references(procedure)
    for index, close_out in enumerate(procedure.close_outs):
        if close_out.role:
            yield ("close_outs", index, "role"), "people", close_out.role
    for index, concession in enumerate(procedure.concessions):
        yield ("concessions", index, "role"), "people", concession.role
        yield ("concessions", index, "rule"), "rules", concession.rule
    for index, chain in enumerate(procedure.chains):
        yield ("chains", index, "closes"), "specs", chain.closes
        for place, link in enumerate(chain.links):
            if link.spec:
                yield ("chains", index, "links", place, "spec"), "specs", link.spec
    for index, finding in enumerate(procedure.findings):
        if finding.step:
            yield ("findings", index, "step"), "steps", finding.step
        if finding.released_by:
            yield ("findings", index, "released_by"), "people", finding.released_by
    for placed in procedure.placed_steps():
        yield from _step(placed)
    yield from _specs(procedure)


def _part_references(procedure: Procedure) -> Iterator[Reference]:
    for index, part in enumerate(procedure.parts):
        for place, content in enumerate(part.contains or ()):
            yield ("parts", index, "contains", place, "part"), "parts", content.part
    for index, stack in enumerate(procedure.stacks):
        for place, name in enumerate(stack.inside_out):
            yield ("stacks", index, "inside_out", place), "parts", name
    for index, before in enumerate(procedure.prerequisites):
        for place, left in enumerate(before.hands_over or ()):
            yield ("prerequisites", index, "hands_over", place, "part"), "parts", left.part
    for index, after in enumerate(procedure.close_outs):
        for place, left in enumerate(after.discharges or ()):
            yield ("close_outs", index, "discharges", place, "part"), "parts", left.part


def _step(placed: PlacedStep) -> Iterator[Reference]:
    step, path = placed.step, placed.path
    for index, role in enumerate(step.people or ()):
        yield (*path, "people", index), "people", role
    if step.clip:
        yield (*path, "clip", "recording"), "recordings", step.clip.recording
    if step.still:
        yield (*path, "still", "recording"), "recordings", step.still.recording
    for index, tool in enumerate(step.tools or ()):
        yield (*path, "tools", index), "tools", tool
    for index, use in enumerate(step.supplies or ()):
        yield (*path, "supplies", index, "supply"), "supplies", use.supply
    for index, movement in enumerate(step.ledger or ()):
        yield (*path, "ledger", index, "part"), "parts", movement.part
    for key in ("critical_points", "criteria"):
        for index, entry in enumerate(getattr(step, key) or ()):
            if entry.source:
                yield (*path, key, index, "source"), "sources", entry.source
    if step.witness:
        yield (*path, "witness", "role"), "people", step.witness.role
        if step.witness.before:
            yield (*path, "witness", "before"), "steps", step.witness.before
    for index, way in enumerate(step.ladder or ()):
        for place, tool in enumerate(way.tools or ()):
            yield (*path, "ladder", index, "tools", place), "tools", tool
    yield from _decision(placed)
    if step.goes_to:
        yield (*path, "goes_to"), "steps", step.goes_to


def _decision(placed: PlacedStep) -> Iterator[Reference]:
    decision = placed.step.decision
    if decision is None:
        return
    path: Path = (*placed.path, "decision")
    if decision.spec:
        yield (*path, "spec"), "specs", decision.spec
    for index, way in enumerate(decision.ways):
        if way.step:
            yield (*path, "ways", index, "step"), "steps", way.step
        if way.section:
            yield (*path, "ways", index, "section"), "sections", way.section


def _specs(procedure: Procedure) -> Iterator[Reference]:
    for _, path, spec in procedure.placed_specs():
        if spec.instrument:
            yield (*path, "instrument"), "tools", spec.instrument
        if spec.source:
            yield (*path, "source"), "sources", spec.source
        if spec.spread_of:
            yield (*path, "spread_of"), "specs", spec.spread_of
        for key in ("below", "above", "undecided"):
            reaction = getattr(spec, key)
            if reaction and reaction.step:
                yield (*path, key, "step"), "steps", reaction.step
