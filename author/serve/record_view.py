"""A job record as its page shows it: rows of words, with links to what they are about."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from author.checks.job_records import Known
from author.checks.record_verdicts import VERDICTS, JudgedReading, judge_reading
from author.library.records.keeping import KeptRecord
from author.procedure.job_record import JobRecord, name_with_proof
from author.procedure.quantities import number_text, range_text, with_unit
from author.procedure.units import all_units


@dataclass(frozen=True, slots=True)
class ReadingRow:
    """One reading.

    Attributes:
        spec: id of the requirement.
        step: number of its step.
        what: what was measured, and where.
        value: what the instrument showed, with its unit.
        limits: what is accepted.
        verdict: ``accept``, ``reject``, ``cannot_tell`` or ``not_judged``, as recorded.
        said: the same in words.
        otherwise: what the program makes of it where that is something else.
        superseded: whether it decides nothing any more.
        with_what: the instrument and the day it was calibrated.
        by: who read it.
        reaction: what was done about it.
    """

    spec: str
    step: int
    what: str
    value: str
    limits: str
    verdict: str
    said: str
    otherwise: str
    superseded: bool
    with_what: str
    by: str
    reaction: str


@dataclass(frozen=True, slots=True)
class Line:
    """One line of a list.

    Attributes:
        text: what it says.
        superseded: whether the work went back over it.
    """

    text: str
    superseded: bool = False


@dataclass(frozen=True, slots=True)
class JobSheet:
    """What the page of a record shows.

    Attributes:
        readings: the readings in the order they were taken.
        lists: headings with their lines; those without lines are left out.
    """

    readings: tuple[ReadingRow, ...]
    lists: tuple[tuple[str, tuple[Line, ...]], ...]


def job_sheet(kept: KeptRecord) -> JobSheet:
    """Return what the page of a record shows of it."""
    known = Known.of(kept.procedure)
    record = kept.record
    judged = [judge_reading(one, record, known) for one in record.readings]
    lists: Sequence[tuple[str, Iterator[Line]]] = (
        ("Done otherwise than written", _deviations(record, known)),
        ("Seen", _observations(record, known)),
        ("Witnessed", _witnessed(record, known)),
        ("Ways taken", _ways(record, known)),
        ("Rounds of tightening", _rounds(record, known)),
        ("Parts fitted", _parts(record, known)),
        ("Tags hung", _tags(record, known)),
        ("Done after the work", _closed(record, known)),
        ("Instruments", _instruments(record, known)),
        ("Made ready", _made_ready(record, known)),
        ("Hazard messages read", _hazards(record, known)),
    )
    whole = ((heading, tuple(lines)) for heading, lines in lists)
    return JobSheet(
        tuple(_reading(one, record, known) for one in judged),
        tuple((heading, lines) for heading, lines in whole if lines),
    )


def _reading(one: JudgedReading, record: JobRecord, known: Known) -> ReadingRow:
    reading = one.reading
    placed, spec = known.specs[reading.spec]
    used = None if reading.instrument is None else record.instruments[reading.instrument]
    day = f", calibrated {used.calibrated}" if used and used.calibrated else ""
    where = f", {reading.position}" if reading.position else ""
    phase = ", as found" if reading.phase == "as_found" else ""
    return ReadingRow(
        spec=spec.id,
        step=placed.number,
        what=f"{spec.characteristic}{where}{phase}",
        value=with_unit(number_text(reading.value), all_units()[reading.unit]),
        limits=range_text(spec.limits()),
        verdict=reading.verdict,
        said=VERDICTS[reading.verdict],
        otherwise=VERDICTS[one.verdict] if one.verdict and one.differs else "",
        superseded=reading.superseded,
        with_what=f"{used.number}{day}" if used else "",
        by=reading.by or "",
        reaction=reading.reaction or "",
    )


def _at(time: str) -> str:
    return f"{time[:10]} {time[11:16]}"


def _step(step: str | None, known: Known) -> str:
    placed = known.steps.get(step or "")
    return "Whole job" if placed is None else f"Step {placed.number}"


def _deviations(record: JobRecord, known: Known) -> Iterator[Line]:
    for one in record.deviations:
        name = name_with_proof(one.approved_by or "", one.proof)
        by = f", allowed by {name}" if one.approved_by else ""
        yield Line(f"{_step(one.step, known)}: {one.what} ({one.reason}{by})", one.superseded)


def _observations(record: JobRecord, known: Known) -> Iterator[Line]:
    words = {
        point.id: getattr(point, "what", None) or getattr(point, "look_for", point.id)
        for _, _, point in known.procedure.placed_points()
    }
    for one in record.observations:
        met = "as it has to be" if one.met else "NOT as it has to be"
        seen = f": {one.seen}" if one.seen else ""
        by = f" ({one.by})" if one.by else ""
        yield Line(f"{words.get(one.point, one.point)} – {met}{seen}{by}", one.superseded)


def _witnessed(record: JobRecord, known: Known) -> Iterator[Line]:
    for one in record.witnessed:
        by = name_with_proof(one.by, one.proof)
        yield Line(f"{_step(one.step, known)}: {by}, {_at(one.at)}", one.superseded)


def _ways(record: JobRecord, known: Known) -> Iterator[Line]:
    for one in record.ways_taken:
        placed = known.steps[one.step]
        if one.branch is not None and placed.step.decision is not None:
            why = placed.step.decision.ways[one.branch].when
        else:
            why = f"a reading was {(one.side or '').replace('_', ' ')} its limits"
        yield Line(f"Step {placed.number}: {why} ({one.by}, {_at(one.at)})")


def _rounds(record: JobRecord, known: Known) -> Iterator[Line]:
    for one in record.rounds_tightened:
        _, spec = known.specs[one.spec]
        text = f"{spec.characteristic}, round {one.round + 1}: {one.by}, {_at(one.at)}"
        yield Line(text, one.superseded)


def _parts(record: JobRecord, known: Known) -> Iterator[Line]:
    for one in record.parts_used:
        part = known.parts[one.part]
        number = f", {one.number}" if one.number else ", no number on it" if one.no_number else ""
        if not part.is_called_for(one.number):
            number += f" – NOT called for: {' or '.join(part.numbers)}"
        yield Line(f"{one.quantity} × {part.name}{number}", one.superseded)


def _tags(record: JobRecord, known: Known) -> Iterator[Line]:
    words = {one.id: one.what for one in known.procedure.findings}
    for one in record.tags_hung:
        yield Line(f"{words.get(one.finding, one.finding)}: {one.by}, {_at(one.at)}")
    for found in record.findings:
        if found.tagged_by is not None:
            yield Line(f"{found.what}: {found.tagged_by}")


def _closed(record: JobRecord, known: Known) -> Iterator[Line]:
    words = {one.id: one.what for one in known.procedure.close_outs}
    for one in record.close_outs:
        yield Line(f"{words.get(one.close_out, one.close_out)}: {one.by}, {_at(one.at)}")


def _instruments(record: JobRecord, known: Known) -> Iterator[Line]:
    for one in record.instruments:
        day = f", calibrated {one.calibrated}" if one.calibrated else ""
        yield Line(f"{known.tools[one.tool].name}: {one.number}{day}")


def _made_ready(record: JobRecord, known: Known) -> Iterator[Line]:
    procedure = known.procedure
    words = {("prerequisite", one.id): one.what for one in procedure.prerequisites}
    words |= {("part", one.id): one.name for one in procedure.parts}
    words |= {("tool", one.id): one.name for one in procedure.tools}
    words |= {("supply", one.id): one.name for one in procedure.supplies}
    for one in record.made_ready:
        yield Line(f"{words.get((one.kind, one.item), one.item)}: {one.by}, {_at(one.at)}")


def _hazards(record: JobRecord, known: Known) -> Iterator[Line]:
    for one in record.hazards_read:
        placed = known.steps.get(one.step or "")
        messages = (placed.step.hazards if placed else known.procedure.general_hazards) or ()
        message = messages[one.message]
        place = _step(one.step, known)
        yield Line(f"{place}, {message.signal}: {message.hazard} ({one.by}, {_at(one.at)})")
