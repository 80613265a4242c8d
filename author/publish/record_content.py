"""A record sheet as plain page data: blank, or filled from a job record."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from author.checks.job_records import Known, positions_of
from author.checks.record_verdicts import (
    RULES,
    VERDICTS,
    JudgedReading,
    asked_tool,
    judge_reading,
    told_of,
)
from author.procedure.document import PlacedStep, Procedure
from author.procedure.job_record import JobRecord, Observation, Reading, name_with_proof
from author.procedure.quantities import Limits, convert, number_text, with_unit
from author.procedure.specs import LimitSpec
from author.procedure.steps import Criterion, CriticalPoint
from author.procedure.units import all_units
from author.publish import list_content, record_lists, record_ticks
from author.publish.lookup import Data, Lookup
from author.publish.sheet_frame import STATES, frame
from author.publish.step_content import spec_data

_KINDS = {
    "orientation": "Orientation",
    "order": "Order",
    "supply": "Supply",
    "criterion": "Condition",
}


@dataclass(frozen=True, slots=True)
class Filling:
    """What a sheet is filled with.

    Attributes:
        record: the record, None for a blank sheet.
        judged: its readings as the program judges them.
        known: what the procedure has.
        lookup: names behind its ids.
    """

    record: JobRecord | None
    judged: tuple[JudgedReading, ...]
    known: Known
    lookup: Lookup

    @classmethod
    def of(cls, procedure: Procedure, record: JobRecord | None) -> Filling:
        """Return a procedure with a record that has no fault, or with none."""
        known = Known.of(procedure)
        readings = () if record is None else record.readings
        judged = tuple(judge_reading(one, record, known) for one in readings if record is not None)
        return cls(record, judged, known, Lookup.of(procedure))

    @property
    def room(self) -> bool:
        """Whether there has to be room to write: on a blank sheet and while the job goes on."""
        return self.record is None or self.record.outcome == "open"


def record_data(
    procedure: Procedure, *, draft: bool, record: JobRecord | None, content: str | None
) -> Data:
    """Return a record sheet as plain page data.

    Args:
        procedure: what was or is to be done.
        draft: whether it still has errors, so that every page is marked.
        record: one execution of it without faults, None for a blank sheet.
        content: SHA-256 of the procedure file at hand, None if it is not known.
    """
    filling = Filling.of(procedure, record)
    title = f"Record sheet: {procedure.title}"
    told = () if record is None else told_of(record, filling.judged, filling.known, content)
    return {
        **frame(
            [procedure],
            draft=draft,
            title=title,
            foot=f"Record of {procedure.id}, revision {procedure.revision}",
            demo=record is not None and record.data == "demo",
        ),
        "filled": record is not None,
        "room": filling.room,
        "head": _head(filling, content),
        "applies_to": list_content.applies_to(procedure.unit),
        "workers": record_lists.workers(procedure, record),
        "instruments": record_lists.instruments(filling.known, record, _tools(filling)),
        "summary": _summary(filling),
        "told": [*told],
        "holds": record_lists.holds(procedure, record, filling.lookup),
        "before": record_ticks.before_work(procedure, record),
        "steps": [*_steps(filling)],
        "after": record_ticks.after_work(procedure, record),
        "parts": record_lists.parts(procedure, record, filling.lookup),
        "deviations": record_lists.deviations(record, filling.lookup),
        "findings": record_lists.findings(record, filling.lookup),
        "questions": record_lists.questions(record, filling.lookup),
        "handover": record.handover if record else None,
        "note": record.note if record else None,
        "signatures": record_lists.signatures(procedure, record, filling.lookup),
    }


def _head(filling: Filling, content: str | None) -> Data:
    procedure, record = filling.known.procedure, filling.record
    fingerprint = record.content if record else content
    groups = [fingerprint[start : start + 16] for start in range(0, 64, 16)] if fingerprint else []
    outcomes = {"done": "Done", "stopped": "Stopped before the end", "open": "Goes on"}
    return {
        "title": procedure.title,
        "id": procedure.id,
        "revision": procedure.revision,
        "state": STATES[procedure.state],
        "content": groups,
        "machine": record.unit if record else None,
        "meant_for": procedure.unit.name,
        "serial": record.serial if record else None,
        "began": record_lists.moment_text(record.began) if record else None,
        "ended": record_lists.moment_text(record.ended) if record else None,
        "outcome": f"{outcomes[record.outcome]}{_stands(filling)}" if record else None,
    }


def _stands(filling: Filling) -> str:
    """Return where a job stands or was stopped."""
    record = filling.record
    if record is None or record.outcome == "done":
        return ""
    if record.after_last:
        return ", after the last step"
    placed = filling.known.steps.get(record.stands_at or "")
    return "" if placed is None else f", at step {placed.number}"


def _tools(filling: Filling) -> list[str]:
    """Return the ids of the tools that the procedure's numbers are read with, each once."""
    specs = (spec for _, spec in filling.known.specs.values())
    named = (asked_tool(spec, filling.known) for spec in specs)
    return list(dict.fromkeys(name for name in named if name is not None))


def _summary(filling: Filling) -> str | None:
    """Return how many readings there are of each verdict, as recorded."""
    if filling.record is None:
        return None
    count = len(filling.judged)
    recorded = [one.reading.verdict for one in filling.judged]
    parts = [f"{recorded.count(v)} {VERDICTS[v]}" for v in VERDICTS if v in recorded]
    listed = f": {', '.join(parts)}" if parts else ""
    differ = sum(one.differs for one in filling.judged)
    said = f"; {differ} judged otherwise by the procedure" if differ else ""
    return f"{count} reading{'s' * (count != 1)} recorded{listed}{said}"


def _steps(filling: Filling) -> Iterator[Data]:
    """Yield every step at which something is recorded."""
    for placed in filling.known.procedure.placed_steps():
        step = placed.step
        points: list[Criterion | CriticalPoint] = [*(step.critical_points or ())]
        points += step.criteria or ()
        said = record_ticks.at_step(placed, filling.record, filling.lookup)
        if not (step.all_specs() or points or step.witness or said):
            continue
        yield {
            "number": placed.number,
            "id": step.id,
            "action": step.action,
            "specs": [_spec(spec, filling) for spec in step.all_specs()],
            "points": [_point(point, filling) for point in points],
            "witness": _witness(placed, filling),
            "said": said,
        }


def _spec(spec: LimitSpec, filling: Filling) -> Data:
    data = spec_data(spec, filling.lookup)
    own = [one for one in filling.judged if one.reading.spec == spec.id]
    rule = None if spec.reference else RULES[spec.decision_rule]
    return {
        "characteristic": spec.characteristic,
        "where": spec.where,
        "range": data["range"],
        "second": data["second"],
        "nominal": data["nominal"],
        "guarded": data["guarded"],
        "reference": spec.reference,
        "rule": rule,
        "guard": spec.decision_rule == "guard_band",
        "unit": spec.unit,
        "from": spec.datum,
        "with": data["instrument"],
        "spread": data["spread"]["of"] if data["spread"] else None,
        "reactions": [
            {"when": one["when"], "do": one["do"], "how": one["how"]} for one in data["reactions"]
        ],
        "rows": [*_rows(spec, own, filling)],
    }


def _rows(spec: LimitSpec, own: list[JudgedReading], filling: Filling) -> Iterator[Data]:
    """Yield the readings place by place, each in the order taken, and what is still open."""
    places = dict.fromkeys((*(one.reading.position for one in own), *positions_of(spec)))
    ordered = [*positions_of(spec), *(p for p in places if p not in positions_of(spec))]
    for place in ordered:
        there = [one for one in own if one.reading.position == place]
        for one in there:
            yield _reading(one, spec, filling)
        whole = any(one.reading.position is None for one in own)
        left = any(one.reading.phase == "as_left" for one in there)
        # What is for reference need not be read again.
        if not (left or whole or (there and spec.reference)):
            yield {"position": place, "blank": filling.room, "found": not there, "value": None}


def _reading(one: JudgedReading, spec: LimitSpec, filling: Filling) -> Data:
    reading = one.reading
    numbers = filling.record.instruments if filling.record else ()
    used = None if reading.instrument is None else numbers[reading.instrument].number
    otherwise = None
    if one.differs:
        otherwise = VERDICTS[one.verdict] if one.verdict else "cannot be judged here"
    ruled = None
    if reading.rule not in {None, spec.decision_rule}:
        ruled = RULES[reading.rule or ""]
    whole = positions_of(spec) != (None,) and reading.position is None
    return {
        "position": "all" if whole else reading.position,
        "phase": reading.phase,
        "value": with_unit(number_text(reading.value), all_units()[reading.unit]),
        "second": _in_other_unit(reading, spec),
        "verdict": VERDICTS[reading.verdict],
        "good": reading.verdict in {"accept", "not_judged"},
        "otherwise": otherwise,
        "ruled": ruled,
        "with": used,
        "by": reading.by,
        "reaction": reading.reaction,
        "note": reading.note,
        "superseded": reading.superseded,
    }


def _in_other_unit(reading: Reading, spec: LimitSpec) -> str | None:
    """Return a reading in the unit of its limits, or in the second unit where it has that."""
    own = all_units()[reading.unit]
    symbol = spec.unit if reading.unit != spec.unit else own.second
    if symbol is None:
        return None
    try:
        found = convert(Limits(None, reading.value, None, own), all_units()[symbol])
    except ValueError:
        return None
    return None if found.nominal is None else with_unit(number_text(found.nominal), found.unit)


def _point(point: Criterion | CriticalPoint, filling: Filling) -> Data:
    seen = () if filling.record is None else filling.record.observations
    rows = [_seen(one) for one in seen if one.point == point.id]
    if isinstance(point, CriticalPoint):
        words: Data = {"kind": _KINDS[point.kind], "what": point.what, "accept": None}
    else:
        words = {"kind": "Look for", "what": point.look_for, "accept": point.accept}
    return {**words, "rows": rows}


def _seen(one: Observation) -> Data:
    return {"met": one.met, "seen": one.seen, "by": one.by, "superseded": one.superseded}


def _witness(placed: PlacedStep, filling: Filling) -> Data | None:
    point = placed.step.witness
    if point is None:
        return None
    seen = () if filling.record is None else filling.record.witnessed
    return {
        "what": point.what,
        "role": filling.lookup.role(point.role),
        "rows": [
            {
                "by": name_with_proof(one.by, one.proof),
                "at": record_lists.moment_text(one.at),
                "superseded": one.superseded,
            }
            for one in seen
            if one.step == placed.step.id
        ],
    }
