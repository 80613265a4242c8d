"""The reviewer's table as CSV after RFC 4180, safe to open in a spreadsheet."""

from __future__ import annotations

from typing import Any

from author.publish import spreadsheet
from author.tasks.spec_data import table_plain
from author.tasks.spec_table import SpecTable

# Name of each column, and the keys that lead to its value.
_PLACE = {"step": "step", "step_id": "step_id", "section": "section", "id": "id", "kind": "kind"}
_SIGNED = {
    "signed": "signed.state",
    "signed_verdict": "signed.verdict",
    "signed_by": "signed.by",
    "signed_role": "signed.role",
    "signed_on": "signed.date",
    "signed_note": "signed.note",
}
_SOURCE = {"source": "source.id", "source_kind": "source.kind", "source_title": "source.title"}
NUMBER_COLUMNS = {
    **_PLACE,
    "characteristic": "characteristic",
    "where": "where",
    "positions": "positions",
    "reference_only": "reference",
    "lower": "limits.lower",
    "nominal": "limits.nominal",
    "upper": "limits.upper",
    "unit": "limits.unit",
    "second_lower": "second.lower",
    "second_nominal": "second.nominal",
    "second_upper": "second.upper",
    "second_unit": "second.unit",
    "second_note": "second_note",
    "si_lower": "si.lower",
    "si_nominal": "si.nominal",
    "si_upper": "si.upper",
    "si_unit": "si.unit",
    "datum": "datum",
    "spread_of": "spread_of",
    "instrument": "instrument.id",
    "instrument_name": "instrument.name",
    "instrument_unit": "instrument.unit",
    "range_from": "instrument.range_from",
    "range_to": "instrument.range_to",
    "resolution": "instrument.resolution",
    "uncertainty": "instrument.uncertainty",
    "instrument_is": "adequacy.verdict",
    "instrument_why": "adequacy.reasons",
    "resolution_share_of_tolerance": "adequacy.resolution_share",
    "test_uncertainty_ratio": "adequacy.uncertainty_ratio",
    "decision_rule": "decision_rule",
    "accepted_from": "accepted_readings.lower",
    "accepted_to": "accepted_readings.upper",
    "accepted_note": "accepted_readings_note",
    **_SOURCE,
    "thread": "torque.thread",
    "property_class": "torque.property_class",
    "threads_are": "torque.threads",
    "nut_factor": "torque.nut_factor",
    "nut_factor_given": "torque.nut_factor_given",
    "share_of_proof_load": "torque.proof_load_share",
    "share_at_torque": "torque.proof_load_at",
    "proof_load_from": "torque.proof_load_basis",
    "proof_load_note": "torque.proof_load_note",
    "tightening_order": "torque.order",
    "passes_percent": "torque.passes_percent",
    "wrench_lower": "torque.wrench_setting.lower",
    "wrench_nominal": "torque.wrench_setting.nominal",
    "wrench_upper": "torque.wrench_setting.upper",
    "below": "reactions.below",
    "above": "reactions.above",
    "undecided": "reactions.undecided",
    "concessions": "concessions",
    **_SIGNED,
    "note": "note",
}
POINT_COLUMNS = {
    **_PLACE,
    "what": "what",
    "accept": "accept",
    "otherwise": "otherwise",
    "if_not": "if_not",
    **_SOURCE,
    **_SIGNED,
}


def table_csv(table: SpecTable, *, points_only: bool = False) -> bytes:
    """Return the numbers as CSV, or the points, in UTF-8 with a row of column names.

    Args:
        table: the table.
        points_only: true for critical points and criteria in place of the numbers.
    """
    columns = POINT_COLUMNS if points_only else NUMBER_COLUMNS
    rows = table_plain(table)["points" if points_only else "numbers"]
    cells = ([_cell(row, keys) for keys in columns.values()] for row in rows)
    return spreadsheet.table_csv([*columns], cells, decimals=True, mark=False)


def _cell(row: Any, keys: str) -> str:
    value = row
    for key in keys.split("."):
        value = None if value is None else value.get(key)
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, list):
        return "; ".join(str(entry) for entry in value)
    return _reaction(value) if isinstance(value, dict) else str(value)


def _reaction(reaction: dict[str, Any]) -> str:
    step = f", from step {reaction['step']}" if reaction["step"] else ""
    times = f", at most {reaction['at_most']} times" if reaction["at_most"] else ""
    return f"{reaction['do']}{step}{times}: {reaction['how']}"
