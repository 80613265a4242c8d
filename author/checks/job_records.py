"""A job record against the procedure it names: what is in it, and whether it belongs there."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from author.checks.instruments import fits
from author.procedure.document import PlacedStep, Procedure
from author.procedure.items import Part, Tool
from author.procedure.job_record import JobRecord, Reading
from author.procedure.specs import LimitSpec, TorqueSpec
from author.procedure.units import all_units

Path = tuple[str | int, ...]


@dataclass(frozen=True, slots=True)
class RecordFault:
    """Something that makes a record no record of the procedure.

    Attributes:
        path: the place in the record.
        problem: what is wrong, one sentence without a full stop.
        remedy: what can be done about it.
    """

    path: Path
    problem: str
    remedy: str


@dataclass(frozen=True, slots=True)
class Known:
    """What a record may name; of two equal ids the first counts.

    Attributes:
        procedure: the document.
        steps: steps by id.
        specs: step and spec by the spec's id.
        points: ids of criteria and critical points.
        parts: parts by id.
        tools: tools by id.
        roles: words for a role by its id.
        lists: ids of the lists that are ticked, by the kind of entry.
    """

    procedure: Procedure
    steps: Mapping[str, PlacedStep]
    specs: Mapping[str, tuple[PlacedStep, LimitSpec]]
    points: frozenset[str]
    parts: Mapping[str, Part]
    tools: Mapping[str, Tool]
    roles: Mapping[str, str]
    lists: Mapping[str, frozenset[str]]

    @classmethod
    def of(cls, procedure: Procedure) -> Known:
        """Return what records of a procedure may name."""
        steps = {placed.step.id: placed for placed in reversed([*procedure.placed_steps()])}
        specs: dict[str, tuple[PlacedStep, LimitSpec]] = {}
        points = set()
        for placed, _, point in procedure.placed_points():
            if isinstance(point, LimitSpec):
                specs.setdefault(point.id, (placed, point))
            else:
                points.add(point.id)
        return cls(
            procedure=procedure,
            steps=steps,
            specs=specs,
            points=frozenset(points),
            parts={part.id: part for part in reversed(procedure.parts)},
            tools={tool.id: tool for tool in reversed(procedure.tools)},
            roles={person.id: person.role for person in reversed(procedure.people)},
            lists={
                "prerequisite": frozenset(one.id for one in procedure.prerequisites),
                "part": frozenset(one.id for one in procedure.parts),
                "tool": frozenset(one.id for one in procedure.tools),
                "supply": frozenset(one.id for one in procedure.supplies),
                "close-out": frozenset(one.id for one in procedure.close_outs),
                "hold": frozenset(one.id for one in procedure.findings if one.holds),
            },
        )


def positions_of(spec: LimitSpec) -> tuple[str | None, ...]:
    """Return where the readings of a spec are taken: named places, fasteners, or one place."""
    if spec.positions:
        return spec.positions
    if isinstance(spec, TorqueSpec) and spec.fasteners and len(spec.fasteners) > 1:
        return spec.order or tuple(fastener.name for fastener in spec.fasteners)
    return (None,)


def faults_of(record: JobRecord, procedure: Procedure) -> tuple[RecordFault, ...]:
    """Return what makes a record no record of a procedure, in the order of the record.

    Where it is of another procedure or revision, that alone is told.
    """
    named = record.procedure
    wanted = f"{procedure.id}, revision {procedure.revision}"
    if named.revision is None:
        return (
            RecordFault(
                ("procedure",), "the record does not say of which revision it is",
                "Write 'revision' under 'procedure'",
            ),
        )  # fmt: skip
    if (named.id, named.revision) != (procedure.id, procedure.revision):
        said = f"the record is of {named.id}, revision {named.revision}, not of {wanted}"
        return (RecordFault(("procedure",), said, "Name the procedure it was made with"),)
    return tuple(_faults(record, Known.of(procedure)))


def _faults(record: JobRecord, known: Known) -> Iterator[RecordFault]:
    for index, worker in enumerate(record.workers):
        yield from _listed(known.roles, worker.role, "people", ("workers", index, "role"))
    for index, used in enumerate(record.instruments):
        yield from _listed(known.tools, used.tool, "tools", ("instruments", index, "tool"))
    for index, reading in enumerate(record.readings):
        yield from _reading(reading, record, known, ("readings", index))
        yield from _spread(reading, index, record, known)
    for index, seen in enumerate(record.observations):
        points = "criteria and critical points"
        yield from _listed(known.points, seen.point, points, ("observations", index, "point"))
    for key in ("witnessed", "deviations", "findings", "questions"):
        for index, entry in enumerate(getattr(record, key)):
            if entry.step is not None:
                yield from _listed(known.steps, entry.step, "steps", (key, index, "step"))
    for index, part in enumerate(record.parts_used):
        yield from _listed(known.parts, part.part, "parts", ("parts_used", index, "part"))
        if part.step is not None:
            yield from _listed(known.steps, part.step, "steps", ("parts_used", index, "step"))
    if record.stands_at is not None:
        yield from _listed(known.steps, record.stands_at, "steps", ("stands_at",))
    if record.writes is not None and record.writes >= len(record.workers):
        said = f"there is no worker {record.writes}: the record lists {len(record.workers)}"
        yield RecordFault(("writes",), said, "Count the workers from 0")
    yield from _ticks(record, known)
    yield from _ways(record, known)
    yield from _names(record)


def _ticks(record: JobRecord, known: Known) -> Iterator[RecordFault]:
    """Yield what was read, made ready, tightened, hung and closed out and is not there."""
    for index, read in enumerate(record.hazards_read):
        path: Path = ("hazards_read", index)
        messages = known.procedure.general_hazards
        if read.step is not None:
            yield from _listed(known.steps, read.step, "steps", (*path, "step"))
            placed = known.steps.get(read.step)
            messages = (placed.step.hazards if placed else None) or ()
        yield from _counted(read.message, messages, "hazard messages", (*path, "message"))
    for index, ready in enumerate(record.made_ready):
        names = known.lists[ready.kind]
        yield from _listed(names, ready.item, ready.kind, ("made_ready", index, "item"))
    for index, one in enumerate(record.rounds_tightened):
        path = ("rounds_tightened", index)
        yield from _listed(known.specs, one.spec, "numbers", (*path, "spec"))
        _, spec = known.specs.get(one.spec, (None, None))
        rounds = (spec.passes if isinstance(spec, TorqueSpec) else None) or ()
        yield from _counted(one.round, rounds, "rounds of tightening", (*path, "round"))
    for index, tag in enumerate(record.tags_hung):
        held = "findings that hold the unit"
        yield from _listed(known.lists["hold"], tag.finding, held, ("tags_hung", index, "finding"))
    for index, found in enumerate(record.findings):
        if found.tagged_by is not None and not found.holds:
            said = "a tag hangs for a finding that does not hold the unit"
            yield RecordFault(("findings", index), said, "Write 'holds: true', or no 'tagged_by'")
    for index, done in enumerate(record.close_outs):
        names = known.lists["close-out"]
        yield from _listed(names, done.close_out, "close-outs", ("close_outs", index, "close_out"))


def _ways(record: JobRecord, known: Known) -> Iterator[RecordFault]:
    for index, way in enumerate(record.ways_taken):
        path: Path = ("ways_taken", index)
        yield from _listed(known.steps, way.step, "steps", (*path, "step"))
        if way.step not in known.steps:
            continue
        step = known.steps[way.step].step
        asked = {
            (spec.id, side)
            for spec in step.all_specs()
            for side in ("below", "above", "undecided")
            if getattr(spec, side) is not None
        }
        count = len(step.decision.ways) if step.decision else 0
        taken = [way.branch is not None and way.branch < count, (way.spec, way.side) in asked]
        if taken.count(True) != 1 or None not in {way.branch, way.spec}:
            yield RecordFault(
                path,
                f"'{way.step}' has no such way on",
                "Name one way of its decision in 'branch', or a 'spec' and a 'side' of it",
            )


def _names(record: JobRecord) -> Iterator[RecordFault]:
    """Yield who is named for a tick and did not work."""
    names = {worker.name for worker in record.workers}
    lists = ("hazards_read", "made_ready", "rounds_tightened", "ways_taken", "tags_hung")
    named = [
        ((key, index, "by"), entry.by)
        for key in (*lists, "close_outs")
        for index, entry in enumerate(getattr(record, key))
    ]
    tags = [(("findings", n, "tagged_by"), f.tagged_by) for n, f in enumerate(record.findings)]
    for path, by in (*named, *tags):
        if by is not None and by not in names:
            said = f"'{by}' is not among the workers of the record"
            yield RecordFault(path, said, "Name one of the workers, spelled the same")


def _counted(
    number: int, entries: Sequence[object], what: str, path: Path
) -> Iterator[RecordFault]:
    if number >= len(entries):
        said = f"there is no entry {number}: the procedure has {len(entries)} {what} there"
        yield RecordFault(path, said, "Count them from 0")


def _reading(
    reading: Reading, record: JobRecord, known: Known, path: Path
) -> Iterator[RecordFault]:
    count = len(record.instruments)
    if reading.instrument is not None and reading.instrument >= count:
        yield RecordFault(
            (*path, "instrument"),
            f"there is no instrument {reading.instrument}: the record lists {count}",
            "Count the instruments from 0",
        )
    if reading.spec not in known.specs:
        yield from _listed(known.specs, reading.spec, "numbers", (*path, "spec"))
        return
    spec = known.specs[reading.spec][1]
    read, given = all_units()[reading.unit], all_units()[spec.unit]
    if not fits(read, given):
        yield RecordFault(
            (*path, "unit"),
            f"'{spec.id}' is read in {read.symbol}, its limits are in {given.symbol}",
            f"Give the reading in a unit of {given.quantity.replace('_', ' ')}",
        )
    places = positions_of(spec)
    # A round of screws may be read as a whole.
    whole = reading.position is None and not spec.positions
    if reading.position not in places and not whole:
        said = f"at no position '{reading.position}'" if reading.position else "at a position"
        problem = f"'{spec.id}' is read {said}"
        if reading.position is None:
            problem = f"at which position '{spec.id}' was read is not said"
        names = ", ".join(place for place in places if place is not None)
        remedy = f"Its positions are: {names}" if names else "Leave 'position' out"
        yield RecordFault((*path, "position"), problem, remedy)


def _spread(reading: Reading, index: int, record: JobRecord, known: Known) -> Iterator[RecordFault]:
    _, spec = known.specs.get(reading.spec, (None, None))
    before = record.readings[:index]
    for at, number in enumerate(reading.computed_from or ()):
        if spec and (number >= len(before) or before[number].spec != spec.spread_of):
            yield RecordFault(
                ("readings", index, "computed_from", at),
                f"reading {number} is none before it that '{spec.id}' is worked out from",
                "Count the readings from 0",
            )


def _listed(
    names: Mapping[str, object] | frozenset[str], name: str, what: str, path: Path
) -> Iterator[RecordFault]:
    if name not in names:
        known = ", ".join(sorted(names)[:8])
        yield RecordFault(
            path,
            f"'{name}' is not among the {what} of the procedure",
            f"Take one of: {known}{' …' if len(names) > 8 else ''}" if names else "Leave it out",
        )
