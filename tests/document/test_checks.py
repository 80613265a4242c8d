"""Every rule: a procedure that passes it and one that does not."""

import dataclasses
import re
from collections.abc import Callable
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

import author.checks
from author.checks import CheckedProcedure, DraftProcedure, all_rules, check
from author.checks.limits import uncertainty_ratio
from author.checks.wording import UNWRITTEN
from author.contract import parse_procedure
from author.procedure.facts import Damage
from document.samples import (
    SHA,
    Plain,
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

Change = Callable[[Plain], Any]


def torque(plain: Plain, **keys: Any) -> None:
    plain["tools"].append({"id": "wrench", "name": "Torque wrench", "measures": "N·m"})
    step(plain, 1)["torques"] = [
        {"id": "clamp", "characteristic": "Torque of the clamp", "quantity": "torque",
         "unit": "N·m", "lower": "4", "upper": "6", "instrument": "wrench", "source": "card",
         "thread": "M5", "threads": "Dry", **keys}
    ]  # fmt: skip


def named(name: str) -> Change:
    return lambda p: p["parts"][0].update(name=name)


def acts(off: list[tuple[str, str, int]], on: list[tuple[str, str, int]]) -> Change:
    def change(plain: Plain) -> None:
        for index, moves in ((0, off), (1, on)):
            step(plain, index)["ledger"] = [
                {"act": act, "part": part, "quantity": count} for act, part, count in moves
            ]
            if not moves:
                del step(plain, index)["ledger"]

    return change


def pile(*inside_out: str) -> Change:
    """Three more parts on the shaft, and their stack."""

    def change(plain: Plain) -> None:
        for name in ("sleeve", "ring", "washer"):
            count = max(1, inside_out.count(name))
            plain["parts"].append(
                {"id": name, "name": name.title(), "quantity": count, "replace": "never",
                 "order": "never"}
            )  # fmt: skip
        plain["stacks"] = [{"id": "pile", "name": "Shaft end", "inside_out": list(inside_out)}]

    return change


def decision(*ways: Plain) -> Change:
    return lambda p: step(p, 0).update(decision={"question": "Whole", "ways": list(ways)})


def finding(**keys: Any) -> Change:
    known = {"id": "crack", "what": "It is cracked", "state": "deferred"} | keys
    return lambda p: p.update(findings=[known])


def still(**keys: Any) -> Change:
    return lambda p: step(p, 0)["still"].update(keys)


def clip(**keys: Any) -> Change:
    return lambda p: step(p, 0)["clip"].update(keys)


def callout(**keys: Any) -> Change:
    return still(callouts=[{"at": ["0.5", "0.5"], **keys}])


FASTENERS = [{"name": "A", "at": ["0.2", "0.5"]}, {"name": "B", "at": ["0.8", "0.5"]}]
TWINS = [FASTENERS[0], FASTENERS[0]]
MASK = {"at": ["0.5", "0.5"], "size": ["0.2", "0.2"]}
GO = {"when": "It is", "step": "guard-on"}
OFF = [("removes", "washer", 1), ("removes", "ring", 1), ("removes", "sleeve", 1)]
ON = [("refits", "sleeve", 1), ("refits", "ring", 1), ("refits", "washer", 1)]
CLIPS = ("removes", "clip", 2)
BACK = ("refits", "clip", 2)
SANDWICH_OFF = [("removes", p, 1) for p in ("washer", "sleeve", "washer")]
SANDWICH_ON = [("refits", p, 1) for p in ("washer", "sleeve", "washer")]

# rule, changes that break it, changes that come near and do not.
CASES: list[tuple[str, list[Change], list[Change]]] = [
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
    ("limits.order", [lambda p: spec(p).update(lower="7")], [lambda p: spec(p).pop("lower")]),
    ("limits.order", [lambda p: spec(p).update(nominal="7")],
     [lambda p: spec(p).update(nominal="4.5")]),
    ("limits.order", [lambda p: spec(p).update(lower="6.0")], []),
    ("limits.no_limits", [lambda p: (spec(p).pop("lower"), spec(p).pop("upper"))],
     [lambda p: spec(p).pop("upper")]),
    ("limits.no_limits",
     [lambda p: (spec(p).pop("lower"), spec(p).pop("upper"), spec(p).update(nominal="5"))],
     [lambda p: (spec(p).pop("lower"), spec(p).pop("upper"),
                 spec(p).update(nominal="5", reference=True))]),
    ("limits.unit", [lambda p: spec(p).update(unit="kg")], [lambda p: spec(p).update(unit="in")]),
    ("limits.si_value", [lambda p: spec(p).update(si={"unit": "m", "upper": "0.006"})],
     [lambda p: spec(p).update(si={"unit": "m", "lower": "0.0045", "upper": "0.0060"})]),
    ("limits.no_source", [lambda p: spec(p).pop("source")], []),
    ("instruments.none", [lambda p: spec(p).pop("instrument")],
     [lambda p: (spec(p).pop("instrument"), spec(p).update(reference=True))]),
    ("instruments.none", [], [lambda p: (spec(p).pop("instrument"),
                                         spec(p).update(quantity="count", unit="pcs"))]),
    ("instruments.unit", [lambda p: p["tools"][0].update(measures="kg")],
     [lambda p: p["tools"][0].update(measures="in", range_to="6", resolution="0.001")]),
    ("instruments.unit", [lambda p: p["tools"][0].pop("measures")],
     [lambda p: (spec(p).update(quantity="temperature_difference", unit="K"),
                 p["tools"][0].update(measures="°C"))]),
    ("instruments.range", [lambda p: p["tools"][0].update(range_to="5.99")],
     [lambda p: p["tools"][0].update(range_from="4.5", range_to="6")]),
    ("instruments.range", [lambda p: p["tools"][0].update(range_from="4.51")],
     # A spread lies far below the readings it is made of.
     [lambda p: (p["tools"][0].update(range_from="4.5"), step(p, 1)["specs"].append(
         {"id": "spread", "characteristic": "Spread", "quantity": "length", "unit": "mm",
          "upper": "0.2", "spread_of": "gap", "instrument": "caliper", "source": "card"}))]),
    ("instruments.resolution", [lambda p: p["tools"][0].update(resolution="0.151")],
     [lambda p: p["tools"][0].update(resolution="0.15")]),
    # ±0.75 mm of tolerance, U 0.1876: 3.99 to 1. ANSI/NCSL Z540.3 5.3 b) asks for 4 to 1.
    ("instruments.uncertainty", [lambda p: p["tools"][0].update(uncertainty="0.1876")],
     [lambda p: p["tools"][0].update(uncertainty="0.1875")]),
    ("fasteners.no_torque", [named("Guard screw M5")], [named("Screwdriver")]),
    ("fasteners.no_torque", [named("Nut, axle")], [named("Tab washer of the axle nut")]),
    ("fasteners.no_torque", [named("M5 bolt")], [named("Nut lock")]),
    ("fasteners.no_torque", [named("Wing nuts")],
     [named("Wing nuts"), lambda p: step(p, 1).update(note="Hand-tight is enough")]),
    ("fasteners.no_torque", [], [named("Guard screw"), torque]),
    # Screws go on in one step and get their torque in the next.
    ("fasteners.no_torque", [], [
        named("Guard screw"),
        lambda p: torque(p, characteristic="Torque of each guard screw"),
        lambda p: p["sections"][0]["steps"].append(
            {"id": "last", "action": "Tighten.", "not_filmed": "x",
             "torques": step(p, 1).pop("torques")}),
     ]),
    ("fasteners.order", [lambda p: torque(p, fasteners=FASTENERS)],
     [lambda p: torque(p, fasteners=FASTENERS, order=["B", "A"])]),
    ("fasteners.order", [lambda p: torque(p, fasteners=FASTENERS, order=["A"])],
     [lambda p: torque(p, fasteners=FASTENERS[:1])]),
    ("fasteners.order", [lambda p: torque(p, fasteners=FASTENERS, order=["A", "B", "A"])], []),
    ("fasteners.order", [lambda p: torque(p, fasteners=TWINS, order=["A", "A"])], []),
    ("fasteners.order", [lambda p: torque(p, order=["A"])], []),
    ("fasteners.passes", [lambda p: torque(p, passes=[{"percent": 60}, {"percent": 50}])],
     [lambda p: torque(p, passes=[{"percent": 50}, {"percent": 100}])]),
    ("fasteners.passes", [lambda p: torque(p, passes=[{"percent": 50}])],
     [lambda p: torque(p, passes=[{"percent": 100}])]),
    ("fasteners.count", [named("Guard screw"), torque],
     [named("Guard screw"), lambda p: torque(p, fasteners=FASTENERS, order=["A", "B"])]),
    ("ledger.not_refitted", [acts([CLIPS], [("refits", "clip", 1)])],
     [acts([CLIPS], [("refits", "clip", 1), ("replaces", "clip", 1)])]),
    ("ledger.not_replaced", [acts([("destroys", "clip", 2)], [("replaces", "clip", 1)])],
     [acts([("destroys", "clip", 2)], [("replaces", "clip", 2)])]),
    ("ledger.not_replaced", [acts([CLIPS], [("discards", "clip", 1), ("refits", "clip", 1)])],
     [acts([CLIPS, ("discards", "clip", 2)], [("replaces", "clip", 2)])]),
    ("ledger.not_removed", [acts([], [("refits", "clip", 1)])], [acts([CLIPS], [BACK])]),
    ("ledger.not_removed", [acts([CLIPS], [("replaces", "clip", 3)])],
     [acts([CLIPS], [("replaces", "clip", 2)])]),
    ("ledger.quantity", [acts([("removes", "clip", 3)], [BACK])], []),
    ("ledger.quantity", [acts([CLIPS, ("destroys", "clip", 1)], [BACK])], []),
    ("ledger.quantity", [acts([CLIPS], [BACK, ("discards", "clip", 1)])], []),
    ("ledger.single_use", [lambda p: p["parts"][0].update(single_use=True)],
     [lambda p: p["parts"][0].update(single_use=True), acts([CLIPS], [("replaces", "clip", 2)])]),
    ("ledger.always_new", [lambda p: p["parts"][0].update(replace="always")],
     [lambda p: p["parts"][0].update(replace="always"), acts([CLIPS], [("replaces", "clip", 2)])]),
    ("ledger.order_if", [lambda p: p["parts"][0].update(order="only_if")],
     [lambda p: p["parts"][0].update(order="only_if", order_if="one is bent")]),
    ("ledger.stack_order", [pile("sleeve", "ring", "washer"), acts([CLIPS, *OFF[::-1]],
                                                                   [*ON, BACK])],
     [pile("sleeve", "ring", "washer"), acts([CLIPS, *OFF], [*ON, BACK])]),
    ("ledger.stack_order", [pile("sleeve", "ring", "washer"), acts([CLIPS, *OFF],
                                                                   [*ON[::-1], BACK])], []),
    # Only the innermost comes off, through the others.
    ("ledger.stack_order", [pile("sleeve", "ring", "washer"), acts([CLIPS, OFF[2]],
                                                                   [ON[0], BACK])], []),
    # Like parts are told apart by their place.
    ("ledger.stack_order", [pile("washer", "sleeve", "washer"),
                            acts([CLIPS, *SANDWICH_OFF], [*SANDWICH_ON[:1], *SANDWICH_ON[2:],
                                                          SANDWICH_ON[1], BACK])],
     [pile("washer", "sleeve", "washer"), acts([CLIPS, *SANDWICH_OFF], [*SANDWICH_ON, BACK])]),
    # A new one of the same place.
    ("ledger.stack_order", [], [pile("sleeve", "ring", "washer"),
                                acts([CLIPS, OFF[0], ("destroys", "ring", 1)],
                                     [("replaces", "ring", 1), ON[2], BACK])]),
    ("ledger.never_used", [lambda p: p["tools"].append({"id": "hammer", "name": "Hammer"})],
     [lambda p: (p["tools"].append({"id": "hammer", "name": "Hammer"}), step(p, 0).update(
         ladder=[{"how": "a"}, {"how": "b", "tools": ["hammer"]}]))]),
    ("ledger.nothing_listed", [lambda p: (p.update(supplies="none"), step(p, 0).pop("supplies"))],
     []),
    ("hazards.no_consequence", [lambda p: p["general_hazards"][0].pop("consequence")],
     [lambda p: (p["general_hazards"][0].pop("consequence"),
                 p["general_hazards"][0].update(signal="NOTICE"))]),
    ("hazards.isolation", [lambda p: step(p, 0).update(action="Open the motor cover.")],
     [lambda p: (step(p, 0).update(action="Open the motor cover."),
                 step(p, 1).update(action="Lock and tag the isolator."))]),
    ("hazards.isolation",
     [lambda p: step(p, 0).update(action="Take the lock nut and locking ring off the motor.")],
     [lambda p: (step(p, 0).update(action="Open the motor cover."),
                 p.update(prerequisites=[{"id": "safe", "what": "The saw is locked out"}]))]),
    ("hazards.isolation", [lambda p: p["general_hazards"][0].update(
        hazard="The fan can start at any time.")],
     [lambda p: p["general_hazards"][0].update(hazard="Start with the long screw.")]),
    ("hazards.none", [lambda p: p.update(general_hazards="none")],
     [lambda p: step(p, 0).update(hazards=p.pop("general_hazards")),
      lambda p: p.update(general_hazards="none")]),
    ("wording.unwritten", [lambda p: p.update(purpose=UNWRITTEN)], []),
    ("wording.unwritten", [lambda p: p.update(limits_of_use=[f"{UNWRITTEN} later"])], []),
    ("wording.length", [lambda p: step(p, 0).update(action="Pull " + "it " * 19 + "off.")],
     [lambda p: step(p, 0).update(action="Pull " + "it " * 18 + "off.")]),
    # A number with its unit is one word, a sign is none.
    ("wording.length", [lambda p: step(p, 0).update(action="Set " + "it " * 19 + "to 5 N·m.")],
     [lambda p: step(p, 0).update(action="Set " + "it " * 17 + "– to 5 N·m.")]),
    ("pictures.unmasked", [filmed, clip(masks=[MASK])],
     [filmed, clip(masks=[MASK]), still(masks=[MASK])]),
    ("pictures.unmasked", [], [filmed, clip(masks=[MASK]), still(at="15")]),
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
    ("pictures.callout", [filmed, callout(shape="box", size=["0.1", "0"])],
     [filmed, callout(shape="box", size=["0.1", "0.2"])]),
    ("links.branch", [decision(GO, {"when": "x"})],
     [decision(GO, {"when": "x", "procedure": {"id": "other"}})]),
    ("links.branch", [decision(GO, {**GO, "stop": "x"})],
     [decision(GO, {"when": "x", "stop": "x"})]),
    ("links.no_way_on", [decision(*[{"when": "x", "step": "guard-off"}] * 2)],
     [decision({"when": "x", "step": "guard-off"}, GO)]),
    ("links.hold", [finding(holds=True, released_by="technician")],
     [finding(holds=True, released_by="technician", follow_on="Weld it")]),
    ("links.hold", [finding(holds=True, follow_on="Weld it")], [finding()]),
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
    assert {c[0] for c in CASES if c[1]} | {c[0] for c in FILM_CASES} == set(all_rules())


def test_every_rule_is_raised_and_every_raised_rule_exists() -> None:
    folder = Path(author.checks.__file__).parent
    text = "".join(file.read_text(encoding="utf-8") for file in folder.glob("*.py"))
    raised = set(re.findall(r'remark\(\s*"([a-z_]+\.[a-z_]+)"', text))
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
            CheckedProcedure(checked.procedure, {}, (), maker)
    with pytest.raises((TypeError, ValueError), match="maker"):
        dataclasses.replace(checked, remarks=())  # type: ignore[call-arg]
    assert not hasattr(checked, "maker")
    with pytest.raises(dataclasses.FrozenInstanceError):
        checked.remarks = ()  # type: ignore[misc]
    assert not isinstance(judge(base()).draft, CheckedProcedure)


def test_the_uncertainty_ratio_is_that_of_the_published_example() -> None:
    """±0.05 V with U 0.0125 V is 4 to 1, with 0.025 V 2 to 1 (techmaster.us) [S]."""
    tolerance = Fraction("0.10")
    assert uncertainty_ratio(tolerance, Fraction("0.0125")) == 4
    assert uncertainty_ratio(tolerance, Fraction("0.025")) == 2
    # 4.00 µm with U 1.600 µm: 2.50 when 4.00 is half the tolerance (harpermetrology.com) [S].
    assert uncertainty_ratio(Fraction("8.00"), Fraction("1.600")) == Fraction("2.5")
