"""The sample procedure holds what a shop's real one would, and its faults are found."""

from __future__ import annotations

from collections import Counter
from decimal import Decimal
from pathlib import Path

import pytest

from author.checks import check
from author.contract import LoadedProcedure, parse_procedure, read_procedure
from author.procedure.units import all_units
from author.tasks.checking import CheckReport, check_procedure

from .conftest import SAMPLE

TEXT = (SAMPLE / "procedure.yaml").read_text(encoding="utf-8")


def test_it_has_no_error_and_only_advice_that_is_meant(report: CheckReport) -> None:
    assert report.verdict.checked is not None
    assert [remark.rule.id for remark in report.verdict.remarks] == []


def test_it_holds_what_the_scenario_asks() -> None:
    procedure = read_procedure(SAMPLE).procedure
    steps = [placed.step for placed in procedure.placed_steps()]
    limits = [
        spec
        for _, _, spec in procedure.placed_specs()
        if not spec.reference and (spec.lower is not None or spec.upper is not None)
    ]
    assert procedure.data == "demo"
    assert len(procedure.sections) == 5
    assert len(steps) >= 24
    assert len(limits) >= 12
    assert len({spec.unit for spec in limits}) >= 5
    torques = [torque for step in steps for torque in step.torques or ()]
    assert any(torque.order and torque.passes for torque in torques)
    assert sum(len(step.hazards or ()) for step in steps) >= 9
    decisions = [step.decision for step in steps if step.decision and step.decision.spec]
    assert any(len(decision.ways) >= 3 for decision in decisions)
    assert any(step.ladder for step in steps)
    assert any(step.witness for step in steps)
    assert any(step.criteria for step in steps)
    assert procedure.stacks
    assert any(f.holds and f.state == "deferred" for f in procedure.findings)
    assert procedure.prerequisites
    assert procedure.close_outs
    used = Counter(step.clip.recording for step in steps if step.clip)
    assert set(used) == {"saw", "phone"}


def test_its_published_numbers_are_those_of_the_standards() -> None:
    """ISO 286-2: 40 N7 is −8/−33 µm (Schaeffler's table), 17 h6 is 0/−11 µm."""
    specs = {spec.id: spec for _, _, spec in read_procedure(SAMPLE).procedure.placed_specs()}
    bore, seat, air = specs["bore-diameter"], specs["outer-seat"], specs["air-pressure"]
    assert (bore.lower, bore.upper) == (40 - Decimal("0.033"), 40 - Decimal("0.008"))
    assert (seat.lower, seat.upper) == (17 - Decimal("0.011"), Decimal("17.000"))
    # 29 CFR 1910.242(b): compressed air for cleaning below 30 psi.
    assert air.upper is not None
    assert all_units()["kPa"].to_si(air.upper) < all_units()["psi"].to_si(Decimal(30))


def test_it_is_canonical() -> None:
    assert read_procedure(SAMPLE).text() == TEXT


def loaded(text: str, path: Path) -> LoadedProcedure:
    return parse_procedure(text.encode(), path)


def line_of(text: str, *marks: str) -> int:
    """Return the line of the last of several texts that follow each other."""
    at = 0
    for mark in marks:
        at = text.index(mark, at)
    return text.count("\n", 0, at) + 1


FAULTS = {
    "limits.order": (
        'lower: "39.967"\n            nominal: "39.980"\n            upper: "39.992"',
        'lower: "39.992"\n            nominal: "39.980"\n            upper: "39.967"',
        ("- id: bore-diameter",),
    ),
    "ledger.not_refitted": (
        "          - act: refits\n            part: spacer-sleeve\n",
        "          - act: removes\n            part: spacer-sleeve\n",
        ("- id: bearings-out", "ledger:", "part: spacer-sleeve"),
    ),
    "pictures.outside": (None, None, ("- id: hand-over", "clip:", "to: ")),
}


@pytest.mark.parametrize("rule", FAULTS)
def test_one_fault_is_named_with_rule_line_and_remedy(
    rule: str, report: CheckReport, tmp_path: Path
) -> None:
    before, after, marks = FAULTS[rule]
    if before is None:
        procedure = report.loaded.procedure
        step = next(p.step for p in procedure.placed_steps() if p.step.id == "hand-over")
        assert step.clip is not None
        before, after = f'to: "{step.clip.end:f}"', 'to: "999.000000"'
    elif rule == "ledger.not_refitted":
        after = ""
        before = "        ledger:\n          - act: refits\n            part: spacer-sleeve\n"
    assert before in TEXT
    text = TEXT.replace(before, str(after), 1)
    bad = loaded(text, tmp_path / "procedure.yaml")
    facts = dict(report.verdict.draft.facts)
    verdict = check(bad.procedure, facts)
    assert verdict.checked is None
    errors = [remark for remark in verdict.remarks if remark.rule.severity == "error"]
    assert [remark.rule.id for remark in errors] == [rule]
    line, _ = bad.tree.place(errors[0].path)
    assert abs(line - line_of(text, *marks)) <= 2
    assert errors[0].remedy


def test_the_command_says_the_same(tmp_path: Path) -> None:
    folder = tmp_path / "upper-wheel-bearings"
    folder.mkdir()
    (folder / "procedure.yaml").write_text(TEXT.replace('upper: "4.60"', 'upper: "4.40"'))
    report = check_procedure(folder, [SAMPLE.parent])
    (line,) = [line for line in report.lines() if " error " in line]
    assert ": error limits.order: " in line
    assert line.endswith("rising order.")
