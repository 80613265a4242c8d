"""Ways on: every step is reached, every way ends, and what is named elsewhere is there."""

from __future__ import annotations

from collections.abc import Iterator

from author.checks.remarks import Path, Remark, Subject, remark
from author.procedure.document import Procedure
from author.procedure.lists import CloseOut, Prerequisite, ProcedureRef
from author.procedure.ways import Ways, ways_of


def check(subject: Subject) -> Iterator[Remark]:
    """Yield remarks on decisions, reactions, holds and other procedures."""
    procedure = subject.procedure
    yield from _branches(procedure)
    ways = ways_of(procedure)
    yield from _reach(ways)
    yield from _rounds(ways)
    yield from _witnesses(ways)
    yield from _others(subject)
    for index, finding in enumerate(procedure.findings):
        if finding.holds and (finding.released_by is None or finding.follow_on is None):
            yield remark(
                "links.hold",
                f"'{finding.id}' holds the machine, but nobody can release it",
                ("findings", index),
            )


def _branches(procedure: Procedure) -> Iterator[Remark]:
    for placed in procedure.placed_steps():
        decision = placed.step.decision
        for index, way in enumerate(decision.ways if decision else ()):
            ways = [way.step, way.section, way.procedure, way.stop]
            count = sum(w is not None for w in ways)
            if count != 1:
                yield remark(
                    "links.branch",
                    f"the way '{way.when}' leads to {count or 'no'} place{'s' * (count > 1)}",
                    (*placed.path, "decision", "ways", index),
                )
        if decision is not None and placed.step.goes_to is not None:
            yield remark(
                "links.branch",
                f"'{placed.step.id}' has a decision and says where it goes to besides",
                (*placed.path, "goes_to"),
                "Keep one of the two",
            )


def _reach(ways: Ways) -> Iterator[Remark]:
    reached, out = ways.reached(), ways.leading_out()
    for index, placed in enumerate(ways.steps):
        if index not in reached:
            # One remark for a run of steps: the first is where the way is missing.
            if index - 1 in reached or index == 0:
                yield remark(
                    "links.unreachable", f"no way leads to '{placed.step.id}'", placed.path
                )
        elif index not in out and (placed.step.decision or placed.step.goes_to):
            yield remark(
                "links.no_way_on",
                f"no way from '{placed.step.id}' ever comes to an end",
                (*placed.path, "decision" if placed.step.decision else "goes_to"),
            )


def _rounds(ways: Ways) -> Iterator[Remark]:
    for edge in ways.endless():
        if isinstance(edge.target, int):
            target = ways.steps[edge.target].step.id
            # What a step goes to is no choice: its round is bounded where it is entered.
            plain = edge.path[-1] == "goes_to"
            yield remark(
                "links.endless",
                f"how often the way back to '{target}' may be taken is not said",
                edge.path,
                "Say 'at_most' at the decision that leads into the round" if plain else None,
            )


def _witnesses(ways: Ways) -> Iterator[Remark]:
    numbers = {placed.step.id: placed.number for placed in ways.steps}
    for placed in ways.steps:
        witness = placed.step.witness
        if witness is None or witness.before is None:
            continue
        if numbers.get(witness.before, placed.number + 1) <= placed.number:
            yield remark(
                "links.witness",
                f"'{witness.before}' comes no later than what is to be witnessed before it",
                (*placed.path, "witness", "before"),
            )


def references(procedure: Procedure) -> Iterator[tuple[Path, ProcedureRef]]:
    """Yield every place that names another procedure."""
    for name in ("prerequisites", "close_outs", "findings"):
        for index, entry in enumerate(getattr(procedure, name)):
            if entry.procedure is not None:
                yield (name, index, "procedure"), entry.procedure
    for placed in procedure.placed_steps():
        decision = placed.step.decision
        for index, way in enumerate(decision.ways if decision else ()):
            if way.procedure is not None:
                yield (*placed.path, "decision", "ways", index, "procedure"), way.procedure


def _others(subject: Subject) -> Iterator[Remark]:
    procedure, shelf = subject.procedure, subject.shelf
    for path, reference in references(procedure):
        if reference.id == procedure.id:
            yield remark("links.cycle", "the procedure names itself", path)
        elif shelf is not None and reference.id not in shelf:
            yield remark("links.missing", f"there is no procedure '{reference.id}'", path)
        elif shelf is not None and reference.revision not in {None, *shelf[reference.id].revisions}:
            there = ", ".join(str(r) for r in sorted(shelf[reference.id].revisions))
            yield remark(
                "links.missing",
                f"there is no revision {reference.revision} of '{reference.id}', only {there}",
                path,
            )
    yield from _cycles(subject)
    for name in ("prerequisites", "close_outs"):
        for index, entry in enumerate(getattr(procedure, name)):
            yield from _pinned(entry, (name, index))
            yield from _handed_over(subject, entry, (name, index))


def _pinned(entry: Prerequisite | CloseOut, path: Path) -> Iterator[Remark]:
    left = entry.hands_over if isinstance(entry, Prerequisite) else entry.discharges
    reference = entry.procedure
    if left and (reference is None or reference.revision is None):
        yield remark(
            "links.unpinned",
            f"the parts of '{entry.id}' hang on a procedure whose revision is not said",
            path,
        )


def _handed_over(subject: Subject, entry: Prerequisite | CloseOut, path: Path) -> Iterator[Remark]:
    """Compare what is handed over with what the other procedure says of it."""
    if entry.procedure is None or subject.shelf is None:
        return
    other = subject.shelf.get(entry.procedure.id)
    if other is None or entry.procedure.revision not in other.revisions:
        return
    numbers = {part.id: part.number for part in subject.procedure.parts}
    before = isinstance(entry, Prerequisite)
    key = "hands_over" if before else "discharges"
    passed = other.leaves_off if before else other.finds_off
    there = passed.get(entry.procedure.revision or 0, {})
    for number, left in enumerate(getattr(entry, key) or ()):
        names = (left.part, numbers.get(left.part) or left.part)
        count = max(there.get((name, left.state), 0) for name in names)
        if count < left.quantity:
            does = "leaves off" if before else "finds off"
            yield remark(
                "links.handover",
                f"'{entry.procedure.id}' {does} {count or 'none'} of '{left.part}', "
                f"not {left.quantity}",
                (*path, key, number),
            )


def _cycles(subject: Subject) -> Iterator[Remark]:
    """Tell a prerequisite that, by way of others, asks for this procedure first."""
    procedure, shelf = subject.procedure, subject.shelf
    for index, before in enumerate(procedure.prerequisites):
        if before.procedure is None or shelf is None or before.procedure.id == procedure.id:
            continue
        waiting, seen = [before.procedure.id], set[str]()
        while waiting:
            name = waiting.pop()
            if name in seen:
                continue
            seen.add(name)
            waiting.extend(shelf[name].needs if name in shelf else ())
        if procedure.id in seen:
            said = f"'{before.procedure.id}' needs '{procedure.id}' done first"
            yield remark("links.cycle", said, ("prerequisites", index, "procedure"))
