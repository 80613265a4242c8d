"""Every rule: a procedure that passes it and one that does not."""

import dataclasses
import re
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

import author.checks
from author.checks import CheckedProcedure, DraftProcedure, all_rules, check
from author.checks.wording import UNWRITTEN
from author.contract import parse_procedure
from author.procedure.facts import Damage
from document.changes import GO, Case, Change, decision, finding, torque
from document.samples import (
    SHA,
    base,
    changed,
    film_facts,
    filmed,
    judge,
    load,
    rules,
    spec,
    step,
)
from document.test_hazards import HAZARD_CASES
from document.test_joint_rules import JOINT_CASES
from document.test_ledger_rules import LEDGER_CASES
from document.test_limits import LIMIT_CASES
from document.test_links import LINK_CASES, SHELF_CASES
from document.test_review import REVIEW_CASES, SIGNED_CASES
from document.test_wording import WORDING_CASES


def still(**keys: Any) -> Change:
    return lambda p: step(p, 0)["still"].update(keys)


def clip(**keys: Any) -> Change:
    return lambda p: step(p, 0)["clip"].update(keys)


def callout(**keys: Any) -> Change:
    return still(callouts=[{"at": ["0.5", "0.5"], **keys}])


MASK = {"at": ["0.5", "0.5"], "size": ["0.2", "0.2"]}

# rule, changes that break it, changes that come near and do not.
CASES: list[Case] = [
    ("ids.unique", [lambda p: step(p, 1).update(id="guard-off")],
     [lambda p: p["tools"].append({"id": "clip", "name": "Clip pliers"})]),
    ("ids.unique", [lambda p: p["sections"][0].update(id="guard-on")], []),
    ("ids.unique", [lambda p: step(p, 1).update(
        critical_points=[{"id": "up", "kind": "order", "what": "Up"}] * 2)], []),
    ("ids.unique", [lambda p: step(p, 1)["specs"].append(dict(spec(p)))], []),
    ("ids.reference", [lambda p: step(p, 0).update(tools=["hammer"])],
     [lambda p: step(p, 0).update(tools=["caliper"])]),
    ("ids.reference", [lambda p: spec(p).update(source="book")], []),
    ("ids.reference", [decision({"when": "a", "step": "x"}, GO)], [decision(GO, GO)]),
    ("ids.reference", [finding(step="x")], [finding(step="guard-on")]),
    *LIMIT_CASES,
    *JOINT_CASES,
    *LEDGER_CASES,
    *HAZARD_CASES,
    *WORDING_CASES,
    ("pictures.unmasked", [filmed, clip(masks=[MASK])],
     [filmed, clip(masks=[MASK]), still(masks=[MASK])]),
    ("pictures.unmasked", [], [filmed, clip(masks=[MASK]), still(at="15")]),
    ("pictures.still_outside", [filmed, clip(**{"from": "4", "to": "6"}), still(at="3.999999")],
     [filmed, clip(**{"from": "4", "to": "6"}), still(at="4")]),
    ("pictures.still_outside", [filmed, clip(**{"from": "4", "to": "6"}), still(at="6")],
     [filmed, clip(**{"from": "4", "to": "6"}), still(at="5.999999")]),
    ("pictures.grade", [filmed, clip(grade="do_not_copy")],
     [filmed, clip(grade="do_not_copy", grade_reason="no gloves")]),
    ("pictures.none", [lambda p: step(p, 0).pop("not_filmed")], []),
    ("pictures.empty_span", [filmed, clip(**{"from": "2", "to": "2"})], [filmed]),
    ("pictures.empty_span", [filmed, clip(**{"from": "2.01", "to": "2.019"})],
     [filmed, clip(**{"from": "2.01", "to": "2.021"})]),
    ("pictures.outside", [filmed, clip(to="20.000001")], [filmed, clip(to="20")]),
    ("pictures.outside", [filmed, still(at="20")], [filmed, still(at="19.999999")]),
    ("pictures.callout", [filmed, callout(shape="arrow")],
     [filmed, callout(shape="arrow", tail=["0.1", "0.1"])]),
    ("pictures.callout", [filmed, callout(shape="leader", tail=["0.1", "0.1"])],
     [filmed, callout(shape="leader", tail=["0.1", "0.1"], text="Nut")]),
    ("pictures.callout", [filmed, callout(shape="box")],
     [filmed, callout(shape="box", size=["0.1", "0.2"])]),
    *LINK_CASES,
    *REVIEW_CASES,
]  # fmt: skip
FILM = {"film": film_facts()}


def test_the_base_breaks_no_rule() -> None:
    assert rules(base()) == []
    assert rules(changed(filmed), FILM) == []


@pytest.mark.parametrize(("rule", "bad"), [(c[0], c[1]) for c in CASES if c[1]])
def test_rule_speaks(rule: str, bad: list[Change]) -> None:
    assert rule in rules(changed(*bad), FILM)


@pytest.mark.parametrize(("rule", "good"), [(c[0], c[2]) for c in CASES if c[2]])
def test_rule_is_silent(rule: str, good: list[Change]) -> None:
    assert rule not in rules(changed(*good), FILM)


FILM_CASES: list[tuple[str, dict[str, Any]]] = [
    ("pictures.no_recording", {"film": None}),
    ("pictures.no_recording", {}),
    ("pictures.changed_recording", {"film": film_facts(sha256=SHA[::-1])}),
    ("pictures.damaged", {"film": film_facts(damage=(Damage(Decimal(1), Decimal(3), "gap"),))}),
    ("pictures.damaged", {"film": film_facts(damage=(Damage(Decimal(1), None, "cut off"),))}),
    ("pictures.outside", {"film": film_facts(duration=Decimal("1.4"))}),
]


@pytest.mark.parametrize(("rule", "facts"), FILM_CASES)
def test_rules_about_films(rule: str, facts: dict[str, Any]) -> None:
    assert rule in rules(changed(filmed), facts)


def test_damage_elsewhere_or_of_no_moment_is_silent() -> None:
    elsewhere = Damage(Decimal(2), Decimal(3), "gap")
    general = Damage(None, None, "no index")
    facts = {"film": film_facts(damage=(elsewhere, general))}
    assert rules(changed(filmed), facts) == []


def test_every_rule_has_a_case_that_breaks_it() -> None:
    broken = {c[0] for c in CASES if c[1]} | {c[0] for c in FILM_CASES}
    broken |= {c[0] for c in SHELF_CASES} | {c[0] for c in SIGNED_CASES}
    assert broken == set(all_rules())


def test_every_rule_is_raised_and_every_raised_rule_exists() -> None:
    folder = Path(author.checks.__file__).parent
    text = "".join(file.read_text(encoding="utf-8") for file in folder.glob("*.py"))
    raised = set(re.findall(r'"([a-z]+\.(?!yaml")[a-z_]+)"', text))
    assert raised == set(all_rules())


def test_rules_are_told_in_full() -> None:
    for rule in all_rules().values():
        assert rule.severity in {"error", "warning", "advice"}
        assert rule.why.endswith(".")
        assert rule.source
        assert rule.remedy
        assert not rule.remedy.endswith(".")


def test_remarks_come_in_the_order_of_the_file() -> None:
    plain = changed(
        filmed,
        lambda p: p.update(notice=UNWRITTEN),
        lambda p: step(p, 1).update(
            action=UNWRITTEN,
            hazards=[{"signal": "WARNING", "hazard": "a", "avoid": "b"}],
            note=UNWRITTEN,
            reason=UNWRITTEN,
        ),
        clip(**{"from": "3", "to": "2"}),
        lambda p: torque(p, order=["A"], source="zz"),
        still(at="30"),
        finding(holds=True),
    )
    canonical = load(plain).text()
    loaded = parse_procedure(canonical.encode(), Path("procedure.yaml"))
    remarks = check(loaded.procedure, FILM).remarks
    assert len(remarks) > 9
    lines = [loaded.tree.place(remark.path)[0] for remark in remarks]
    assert lines == sorted(lines)


def test_remarks_point_at_what_they_are_about() -> None:
    plain = changed(lambda p: spec(p).update(lower="7"))
    (remark,) = judge(plain).remarks
    assert remark.path == ("sections", 0, "steps", 1, "specs", 0)
    assert "lower 7, upper 6.00" in remark.problem


def test_errors_withhold_the_checked_procedure() -> None:
    verdict = judge(changed(lambda p: spec(p).update(lower="7")))
    assert verdict.checked is None
    assert verdict.count("error") == 1
    assert isinstance(verdict.draft, DraftProcedure)


def test_without_facts_nothing_is_checked() -> None:
    procedure = load(changed(filmed)).procedure
    assert check(procedure).checked is None
    assert check(procedure).remarks == ()
    assert check(procedure, FILM).checked is not None


def test_only_the_rules_make_a_checked_procedure() -> None:
    checked = judge(base()).checked
    assert checked is not None
    for maker in (None, object(), checked):
        with pytest.raises(TypeError, match=r"only author\.checks"):
            CheckedProcedure(checked.procedure, {}, (), (), maker)
    with pytest.raises((TypeError, ValueError), match="maker"):
        dataclasses.replace(checked, remarks=())  # type: ignore[call-arg]
    assert not hasattr(checked, "maker")
    with pytest.raises(dataclasses.FrozenInstanceError):
        checked.remarks = ()  # type: ignore[misc]
    assert not isinstance(judge(base()).draft, CheckedProcedure)
