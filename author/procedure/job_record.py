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

Index = Annotated[int, Field(ge=0, le=99_999)]


def name_with_proof(name: str, proof: str | None) -> str:
    """Return a name as it is told: one that was only typed says so."""
    return f"{name} (name typed, not proved)" if proof == "typed" else name


class Worker(Node):
    """Somebody who took part.

    Attributes:
        name: name or initials.
        role: id of the role in the procedure.
        hours: hours worked.
        also: what they had witnessed or allowed in this job before they worked on it.
    """

    name: Line
    role: Id
    hours: Amount | None = None
    also: Line | None = None


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


class HazardRead(Node):
    """A hazard message that somebody has read.

    Attributes:
        step: id of its step; absent for one that holds through the whole job.
        message: which of the messages there, from 0.
        by: who read it, by the name among ``workers``.
        at: when.
    """

    step: Id | None = None
    message: Index
    by: Line
    at: Moment


class MadeReady(Node):
    """Something that is true or lies ready before the work.

    Attributes:
        kind: in which list of the procedure it stands.
        item: its id there.
        by: who saw to it, by the name among ``workers``.
        at: when.
    """

    kind: Literal["prerequisite", "part", "tool", "supply"]
    item: Id
    by: Line
    at: Moment


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
        at: when it was written down; older records do not say it.
        note: anything else worth saying.
        computed_from: for a number worked out from other readings, their indices in
            ``readings``, from 0.
        superseded: true where the work went back since, or the reading was taken back: it
            decides nothing any more.
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
    at: Moment | None = None
    note: Line | None = None
    computed_from: Annotated[tuple[Index, ...], *SOME] | None = None
    superseded: bool = False


class RoundTightened(Node):
    """A round of tightening that was gone through.

    Attributes:
        spec: id of the torque spec.
        round: which of its rounds, from 0.
        by: who tightened, by the name among ``workers``.
        at: when.
        superseded: true where the work went back since.
    """

    spec: Id
    round: Index
    by: Line
    at: Moment
    superseded: bool = False


class Observation(Node):
    """What was seen of a criterion or critical point.

    Attributes:
        point: id of the criterion or critical point.
        met: whether it was as it has to be.
        seen: what was seen.
        by: name or initials.
        superseded: true where the work went back since.
    """

    point: Id
    met: bool
    seen: Line | None = None
    by: Line | None = None
    superseded: bool = False


class Witnessed(Node):
    """A witness point that a second person has seen.

    Attributes:
        step: id of the step.
        by: name or initials of the second person.
        at: when.
        proof: how that name is proved: ``typed`` where it is not, as anybody may type it. Older
            records do not say it, and theirs were typed as well.
        superseded: true where the work went back since, or the name was taken back.
    """

    step: Id
    by: Line
    at: Moment
    proof: Literal["typed"] | None = None
    superseded: bool = False


class WayTaken(Node):
    """A way that was taken where there are several, or that a reading asked for.

    Attributes:
        step: id of the step it leads on from.
        branch: which of the ways of its decision, from 0; absent where a reaction led on.
        spec: id of the spec whose reaction led on.
        side: which of its reactions.
        by: who went on, by the name among ``workers``.
        at: when.
    """

    step: Id
    branch: Index | None = None
    spec: Id | None = None
    side: Literal["below", "above", "undecided"] | None = None
    by: Line
    at: Moment


class PartUsed(Node):
    """A part that went in.

    Attributes:
        part: id of the part in the procedure.
        number: the number on the one that went in.
        no_number: true where a number is called for and it was said that the part has none.
        quantity: how many.
        step: id of the step at which it went in.
        repeated: where the work went back over its step since: `open` until somebody says there
            what became of it, `in` once it was said to be in yet. Going back takes nothing out.
        superseded: true where a later step took it out, or another took its place when its step
            was repeated: it was used, and is in no more. Older records strike out all parts of
            steps the work went back over.
    """

    part: Id
    number: Line | None = None
    no_number: bool = False
    quantity: Count = 1
    step: Id | None = None
    repeated: Literal["open", "in"] | None = None
    superseded: bool = False


class Deviation(Node):
    """Something done otherwise than written.

    Attributes:
        step: id of the step.
        what: what was done instead.
        reason: why.
        approved_by: who allowed it.
        proof: how that name is proved, as in ``witnessed``.
        covers: what was still open at the step and is passed over by it, by kind and name,
            such as ``reading/bore/front, across``.
        superseded: true where the work went back since.
    """

    step: Id
    what: Line
    reason: Line
    approved_by: Line | None = None
    proof: Literal["typed"] | None = None
    covers: Annotated[tuple[Line, ...], *SOME] | None = None
    superseded: bool = False


class NewFinding(Node):
    """A defect seen while the job was done.

    Attributes:
        what: what is wrong.
        step: id of the step at which it was seen.
        holds: true where the unit must not be used until it is released.
        tagged_by: who hung the tag that says so on the unit, by the name among ``workers``.
    """

    what: Line
    step: Id | None = None
    holds: bool = False
    tagged_by: Line | None = None


class TagHung(Node):
    """The tag that keeps the unit out of use for a finding the procedure knows of.

    Attributes:
        finding: id of the finding in the procedure.
        by: who hung it, by the name among ``workers``.
        at: when.
    """

    finding: Id
    by: Line
    at: Moment


class ClosedOut(Node):
    """A close-out of the procedure that was done.

    Attributes:
        close_out: its id in the procedure.
        by: who did it, by the name among ``workers``.
        at: when.
    """

    close_out: Id
    by: Line
    at: Moment


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
        stands_at: id of the step at which the job stands or was stopped.
        after_last: true where the last step is behind it.
        writes: who writes now, as an index into ``workers``, from 0.
        workers: who took part.
        instruments: the instruments used.
        hazards_read: hazard messages that were read.
        made_ready: what was true or lay ready before the work.
        readings: measured values in the order they were taken.
        rounds_tightened: rounds of tightening that were gone through.
        observations: what was seen of criteria and critical points.
        witnessed: witness points that were seen.
        ways_taken: which ways were taken, in order.
        parts_used: parts that went in.
        deviations: what was done otherwise than written.
        findings: defects seen.
        tags_hung: tags that keep the unit out of use, for findings known before.
        close_outs: close-outs that were done.
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
    stands_at: Id | None = None
    after_last: bool = False
    writes: Index | None = None
    workers: Annotated[tuple[Worker, ...], *SOME]
    instruments: Annotated[tuple[UsedInstrument, ...], STATED]
    hazards_read: Annotated[tuple[HazardRead, ...], STATED]
    made_ready: Annotated[tuple[MadeReady, ...], STATED]
    readings: Annotated[tuple[Reading, ...], STATED]
    rounds_tightened: Annotated[tuple[RoundTightened, ...], STATED]
    observations: Annotated[tuple[Observation, ...], STATED]
    witnessed: Annotated[tuple[Witnessed, ...], STATED]
    ways_taken: Annotated[tuple[WayTaken, ...], STATED]
    parts_used: Annotated[tuple[PartUsed, ...], STATED]
    deviations: Annotated[tuple[Deviation, ...], STATED]
    findings: Annotated[tuple[NewFinding, ...], STATED]
    tags_hung: Annotated[tuple[TagHung, ...], STATED]
    close_outs: Annotated[tuple[ClosedOut, ...], STATED]
    questions: Annotated[tuple[Question, ...], STATED]
    handover: Line | None = None
    note: Line | None = None
