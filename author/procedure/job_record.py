"""One execution of a procedure: who, on which unit, what was read, what was decided."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from author.procedure.lists import ProcedureRef
from author.procedure.specs import UnitSymbol
from author.procedure.values import (
    SOME,
    STATED,
    Amount,
    Count,
    Date,
    Fingerprint,
    Id,
    Line,
    Moment,
    Node,
    Number,
)

RECORD_SCHEMA = "job_record/1"


class Worker(Node):
    """Somebody who took part.

    Attributes:
        name: name or initials.
        role: id of the role in the procedure.
        hours: hours worked.
    """

    name: Line
    role: Id
    hours: Amount | None = None


class UsedInstrument(Node):
    """The very instrument a reading was taken with.

    Attributes:
        tool: id of the tool in the procedure.
        number: its inventory or serial number.
        calibrated: day of its last calibration.
    """

    tool: Id
    number: Line
    calibrated: Date | None = None


class Reading(Node):
    """One measured value and what was decided by it.

    Attributes:
        spec: id of the limit or torque spec.
        position: name of the place, where the spec has several; of the fastener, where a
            torque has a pattern.
        phase: ``as_found`` before the work, ``as_left`` after it.
        value: what the instrument showed.
        unit: unit it was read in; not necessarily that of the spec.
        instrument: index into ``instruments``, from 0.
        rule: the decision rule used; absent where nothing is decided.
        verdict: ``accept``, ``reject``, ``cannot_tell``, or ``not_judged`` for a number
            that is for reference.
        reaction: what was done about it, if it was not accepted.
        by: name or initials of who read it.
        note: anything else worth saying.
    """

    spec: Id
    position: Line | None = None
    phase: Literal["as_found", "as_left"] = "as_left"
    value: Number
    unit: UnitSymbol
    instrument: Annotated[int, Field(ge=0, le=999)] | None = None
    rule: Literal["simple_acceptance", "guard_band"] | None = None
    verdict: Literal["accept", "reject", "cannot_tell", "not_judged"]
    reaction: Line | None = None
    by: Line | None = None
    note: Line | None = None


class Observation(Node):
    """What was seen of a criterion or critical point.

    Attributes:
        point: id of the criterion or critical point.
        met: whether it was as it has to be.
        seen: what was seen.
        by: name or initials.
    """

    point: Id
    met: bool
    seen: Line | None = None
    by: Line | None = None


class Witnessed(Node):
    """A witness point that a second person has seen.

    Attributes:
        step: id of the step.
        by: name or initials of the second person.
        at: when.
    """

    step: Id
    by: Line
    at: Moment


class PartUsed(Node):
    """A part that went in.

    Attributes:
        part: id of the part in the procedure.
        number: the number on the one that went in.
        quantity: how many.
    """

    part: Id
    number: Line | None = None
    quantity: Count = 1


class Deviation(Node):
    """Something done otherwise than written.

    Attributes:
        step: id of the step.
        what: what was done instead.
        reason: why.
        approved_by: who allowed it.
    """

    step: Id
    what: Line
    reason: Line
    approved_by: Line | None = None


class NewFinding(Node):
    """A defect seen while the job was done.

    Attributes:
        what: what is wrong.
        step: id of the step at which it was seen.
        holds: true where the unit must not be used until it is released.
    """

    what: Line
    step: Id | None = None
    holds: bool = False


class Question(Node):
    """A question to the author of the procedure.

    Attributes:
        step: id of the step it is about.
        text: the question.
    """

    step: Id | None = None
    text: Line


class JobRecord(Node):
    """One execution of a procedure, as the work page or a record sheet holds it.

    Attributes:
        schema_name: ``job_record/1``; written as ``schema``, always first.
        procedure: which procedure, at which revision.
        content: SHA-256 of the procedure file that was followed.
        data: ``shop`` for real work, ``demo`` for invented data.
        unit: name of the unit worked on.
        serial: its serial number.
        began: when the work began.
        ended: when it ended; absent while it goes on.
        outcome: ``done``, ``stopped`` before the end, or ``open`` while it goes on.
        workers: who took part.
        instruments: the instruments used.
        readings: measured values in the order they were taken.
        observations: what was seen of criteria and critical points.
        witnessed: witness points that were seen.
        parts_used: parts that went in.
        deviations: what was done otherwise than written.
        findings: defects seen.
        questions: questions to the author.
        handover: what the next person has to know.
        note: anything else worth saying.
    """

    schema_name: Annotated[Literal["job_record/1"], Field(alias="schema")]
    procedure: ProcedureRef
    content: Fingerprint
    data: Literal["shop", "demo"] = "shop"
    unit: Line
    serial: Line | None = None
    began: Moment
    ended: Moment | None = None
    outcome: Literal["done", "stopped", "open"]
    workers: Annotated[tuple[Worker, ...], *SOME]
    instruments: Annotated[tuple[UsedInstrument, ...], STATED]
    readings: Annotated[tuple[Reading, ...], STATED]
    observations: Annotated[tuple[Observation, ...], STATED]
    witnessed: Annotated[tuple[Witnessed, ...], STATED]
    parts_used: Annotated[tuple[PartUsed, ...], STATED]
    deviations: Annotated[tuple[Deviation, ...], STATED]
    findings: Annotated[tuple[NewFinding, ...], STATED]
    questions: Annotated[tuple[Question, ...], STATED]
    handover: Line | None = None
    note: Line | None = None
