"""The reviewer's table for programs: plain values with exact decimals."""

from __future__ import annotations

from decimal import ROUND_CEILING, ROUND_FLOOR
from fractions import Fraction
from typing import Any

from author.checks.limits import si_values
from author.procedure.items import Tool
from author.procedure.lists import Source
from author.procedure.quantities import Limits, digits, round_fraction
from author.procedure.specs import Reaction, TorqueSpec
from author.procedure.steps import CriticalPoint
from author.tasks.spec_judgements import Adequacy, Joint
from author.tasks.spec_table import NumberRow, PointRow, Signed, SpecTable

Plain = dict[str, Any]

SIDES = ("below", "above", "undecided")


def table_plain(table: SpecTable, *, points_only: bool = False) -> Plain:
    """Return the table as plain values; numbers are strings with their digits.

    A share is rounded up and a ratio down, so that neither looks better than it is.

    Args:
        table: the table.
        points_only: true to leave the numbers out.
    """
    procedure = table.procedure
    numbers = {} if points_only else {"numbers": [_number(row) for row in table.numbers]}
    return {
        "file": str(table.loaded.file),
        "procedure": procedure.id,
        "revision": procedure.revision,
        "state": procedure.state,
        "data": procedure.data,
        "sign_offs": table.counts(),
        "sign_offs_remark": table.remark,
        **numbers,
        "points": [_point(row) for row in table.points],
    }


def _where(row: NumberRow | PointRow) -> Plain:
    return {
        "step": row.placed.number,
        "step_id": row.placed.step.id,
        "section": row.placed.section.id,
        "path": "".join(f"/{part}" for part in row.path),
    }


def _number(row: NumberRow) -> Plain:
    spec = row.spec
    return {
        **_where(row),
        "id": spec.id,
        "kind": "torque" if isinstance(spec, TorqueSpec) else "limit",
        "characteristic": spec.characteristic,
        "where": spec.where,
        "positions": list(spec.positions or ()),
        "quantity": spec.quantity,
        "reference": spec.reference,
        "limits": limits_plain(spec.limits()),
        "second": limits_plain(row.second),
        "second_note": row.second_why,
        "si": si_values(spec).model_dump(mode="json"),
        "datum": spec.datum,
        "spread_of": spec.spread_of,
        "instrument": _tool(row),
        "adequacy": _adequacy(row.adequacy),
        "decision_rule": spec.decision_rule,
        "accepted_readings": None if row.zone is None else limits_plain(row.zone.limits),
        "accepted_readings_note": None if row.zone is None else row.zone.why,
        "source": _source(row.source, spec.source),
        "torque": _torque(spec, row.joint) if isinstance(spec, TorqueSpec) else None,
        "reactions": {side: _reaction(getattr(spec, side)) for side in SIDES},
        "concessions": list(row.conceded),
        "note": spec.note,
        "signed": _signed(row.signed),
    }


def _point(row: PointRow) -> Plain:
    point = row.point
    critical = isinstance(point, CriticalPoint)
    return {
        **_where(row),
        "id": point.id,
        "kind": point.kind if isinstance(point, CriticalPoint) else "criterion",
        "list": "critical_points" if critical else "criteria",
        "what": point.what if isinstance(point, CriticalPoint) else point.look_for,
        "accept": None if isinstance(point, CriticalPoint) else point.accept,
        "otherwise": None if isinstance(point, CriticalPoint) else point.otherwise,
        "if_not": None if isinstance(point, CriticalPoint) else point.if_not,
        "source": _source(row.source, point.source),
        "signed": _signed(row.signed),
    }


def limits_plain(limits: Limits | None) -> Plain | None:
    """Return limits as plain values, None where there are none."""
    if limits is None:
        return None
    return {
        "unit": limits.unit.symbol,
        "lower": digits(limits.lower),
        "nominal": digits(limits.nominal),
        "upper": digits(limits.upper),
    }


def _rounded(value: Fraction | None, decimals: int, rounding: str) -> str | None:
    return None if value is None else digits(round_fraction(value, decimals, rounding))


def _tool(row: NumberRow) -> Plain | None:
    tool = row.instrument
    if tool is None:
        return None if row.spec.instrument is None else {"id": row.spec.instrument, "listed": False}
    return {"id": tool.id, "listed": True, "name": tool.name, **_scale(tool)}


def _scale(tool: Tool) -> Plain:
    return {
        "unit": tool.measures,
        "range_from": digits(tool.range_from),
        "range_to": digits(tool.range_to),
        "resolution": digits(tool.resolution),
        "uncertainty": digits(tool.uncertainty),
    }


def _adequacy(judged: Adequacy) -> Plain:
    return {
        "verdict": judged.verdict,
        "reasons": list(judged.reasons),
        "resolution_share": _rounded(judged.share, 4, ROUND_CEILING),
        "uncertainty_ratio": _rounded(judged.ratio, 2, ROUND_FLOOR),
    }


def _source(source: Source | None, named: str | None) -> Plain | None:
    if source is None:
        return None if named is None else {"id": named, "listed": False}
    return {"id": source.id, "listed": True, "kind": source.kind, "title": source.title}


def _torque(spec: TorqueSpec, joint: Joint | None) -> Plain:
    load = None if joint is None else joint.load
    return {
        "thread": spec.thread,
        "property_class": spec.property_class,
        "threads": spec.threads,
        "nut_factor": digits(spec.nut_factor if load is None else load.nut_factor),
        "nut_factor_given": spec.nut_factor is not None,
        "proof_load_share": None if load is None else _rounded(load.share, 4, ROUND_CEILING),
        "proof_load_at": None if joint is None else digits(joint.at),
        "proof_load_basis": None if joint is None else joint.basis,
        "proof_load_note": None if joint is None else joint.why,
        "fasteners": [fastener.name for fastener in spec.fasteners or ()],
        "order": list(spec.order or ()),
        "passes_percent": [one.percent for one in spec.passes or ()],
        "wrench_setting": None if joint is None else limits_plain(joint.setting),
        "wrench_setting_note": None if joint is None else joint.setting_why,
    }


def _reaction(reaction: Reaction | None) -> Plain | None:
    return None if reaction is None else reaction.model_dump(mode="json")


def _signed(signed: Signed) -> Plain:
    return {
        "state": signed.state,
        "verdict": signed.verdict,
        "by": signed.by,
        "role": signed.role,
        "date": signed.date,
        "note": signed.note,
        "by_author": signed.own,
    }
