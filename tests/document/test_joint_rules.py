"""Threaded joints: torque, order and passes, and what the screw bears."""

from typing import Any

import pytest

from document.changes import FASTENERS, Case, Change, named, put, torque, torqued
from document.samples import Plain, changed, judge, rules, step

TWINS = [FASTENERS[0], FASTENERS[0]]
# M5 of class 8.8: 14.1825 mm² times 580 N/mm² is 8225.9 N of proof load (ISO 898-1 [S]);
# T = K·d·F with K 0.20 then gives 8.2259 N·m, and nine tenths of it 7.4033 N·m [C].
HARD: dict[str, Any] = {"property_class": "8.8", "threads": "Zinc plated"}
SURE: dict[str, Any] = {"property_class": "8.8", "nut_factor": "0.20"}
ADAPTER = {"unit": "mm", "wrench": "400", "adds": "100"}


def wrench(**keys: str) -> Change:
    """The range of the torque wrench, which ``torque`` lists last."""
    return lambda p: put(p["tools"][-1], **keys)


def adapted(**keys: str) -> Change:
    return torqued(extension=ADAPTER | keys)


def tightened_later(plain: Plain) -> None:
    """Screws go on in one step and get their torque in the next."""
    torque(plain, characteristic="Torque of each guard screw")
    plain["sections"][0]["steps"].append(
        {"id": "last", "action": "Tighten the screws.", "not_filmed": "x",
         "torques": step(plain, 1).pop("torques")}
    )  # fmt: skip


JOINT_CASES: list[Case] = [
    ("fasteners.no_torque", [named("Guard screw M5")], [named("Screwdriver")]),
    ("fasteners.no_torque", [named("Nut, axle")], [named("Tab washer of the axle nut")]),
    ("fasteners.no_torque", [named("M5 bolt")], [named("Nut lock")]),
    ("fasteners.no_torque", [named("Wing nuts")],
     [named("Wing nuts"), lambda p: step(p, 1).update(note="Hand-tight is enough")]),
    ("fasteners.no_torque", [], [named("Guard screw"), torque]),
    ("fasteners.no_torque", [], [named("Guard screw"), tightened_later]),
    ("fasteners.order", [torqued(fasteners=FASTENERS)],
     [torqued(fasteners=FASTENERS, order=["B", "A"])]),
    ("fasteners.order", [torqued(fasteners=FASTENERS, order=["A"])],
     [torqued(fasteners=FASTENERS[:1])]),
    ("fasteners.order", [torqued(fasteners=FASTENERS, order=["A", "B", "A"])], []),
    ("fasteners.order", [torqued(fasteners=TWINS, order=["A", "A"])], []),
    ("fasteners.order", [torqued(order=["A"])], []),
    ("fasteners.passes", [torqued(passes=[{"percent": 60}, {"percent": 50}])],
     [torqued(passes=[{"percent": 50}, {"percent": 100}])]),
    ("fasteners.passes", [torqued(passes=[{"percent": 50}])], [torqued(passes=[{"percent": 100}])]),
    ("fasteners.passes", [torqued(passes=[{"percent": 100}, {"percent": 100}])], []),
    ("fasteners.count", [named("Guard screw"), torque],
     [named("Guard screw"), torqued(fasteners=FASTENERS, order=["A", "B"])]),
    ("fasteners.thread", [torqued(thread="M5 screw")], [torqued(thread="M5 x 0.8")]),
    ("fasteners.thread", [torqued(thread="5 mm")], [torqued(thread="G 1/2")]),
    ("fasteners.thread", [torqued(thread="M17")], [torqued(thread="M17 × 1")]),
    ("fasteners.thread", [torqued(thread="1/4-20 UNF")], [torqued(thread="1/4-20 UNC")]),
    ("fasteners.class", [torqued(property_class="8.9")], [torqued(property_class="8.8")]),
    ("fasteners.class", [torqued(thread="1/4-20 UNC", property_class="8.8")],
     [torqued(thread="1/4-20 UNC", property_class="Grade 5")]),
    # ISO 898-1 has class 9.8 to M16 only (from memory).
    ("fasteners.class", [torqued(thread="M20", property_class="9.8")],
     [torqued(thread="M16", property_class="9.8")]),
    # What is not read as a thread has a remark of its own.
    ("fasteners.class", [], [torqued(thread="5 mm", property_class="8.9")]),
    ("fasteners.over_proof", [torqued(**SURE, upper="8.23")], [torqued(**SURE, upper="8.22")]),
    # K taken from the condition of the threads counts as well: 9 N·m at K 0.20 is too much.
    ("fasteners.over_proof", [torqued(**HARD, upper="9")], [torqued(**HARD, upper="8.22")]),
    ("fasteners.over_proof", [torqued(**SURE, unit="lbf·in", upper="73")],
     [torqued(**SURE, unit="lbf·in", upper="72")]),
    ("fasteners.utilisation", [torqued(**SURE, upper="7.41")], [torqued(**SURE, upper="7.40")]),
    ("fasteners.utilisation", [torqued(**HARD, upper="8.22")],
     [torqued(threads="Zinc plated", upper="8.22")]),
    # Black threads take up more of it: K 0.30, not 0.20 (Shigley, table 8-15).
    ("fasteners.utilisation", [torqued(**HARD, upper="7.41")],
     [torqued(property_class="8.8", threads="Dry, black", upper="11.10")]),
    # 400 mm and 100 mm more: the wrench is set to four fifths, 3.2 to 4.8 N·m.
    ("fasteners.wrench", [adapted(), wrench(range_from="3.3")],
     [adapted(), wrench(range_from="3.2", range_to="4.8")]),
    ("fasteners.wrench", [adapted(), wrench(range_to="4.7")], []),
    # At a right angle it changes nothing.
    ("fasteners.wrench", [adapted(angle="90"), wrench(range_to="5.9")],
     [adapted(angle="90"), wrench(range_from="4", range_to="6")]),
    ("fasteners.wrench", [adapted(unit="kg")], [adapted(unit="in", wrench="16", adds="4")]),
    ("fasteners.wrench", [adapted(adds="-400")], [adapted(adds="-100")]),
    # Without an adapter, the rule on instruments asks for the range.
    ("fasteners.wrench", [], [torque, wrench(range_to="5")]),
]  # fmt: skip


def test_an_adapter_is_asked_for_the_setting_not_for_the_torque() -> None:
    short = wrench(range_from="3", range_to="5")
    assert rules(changed(adapted(), short)) == []
    assert rules(changed(torque, short)) == ["instruments.range"]


@pytest.mark.parametrize(
    ("keys", "words"),
    [(SURE, "puts 107 % of its proof load on the screw, K 0.20"),
     (HARD, "% of its proof load on the screw, K 0.20 for such threads")],
)  # fmt: skip
def test_the_load_is_told_with_the_nut_factor_it_rests_on(keys: Plain, words: str) -> None:
    (remark,) = judge(changed(torqued(**keys, upper="8.73"))).remarks
    assert remark.problem.endswith(words)
    assert remark.path == ("sections", 0, "steps", 1, "torques", 0)
