"""Numbers: their limits, their instruments, what a reading leads to, what they add up to."""

from typing import Any

import pytest

from document.changes import (
    BACK,
    STOP,
    Case,
    Change,
    act,
    decision,
    more,
    put,
    sets,
    tool,
    torqued,
)
from document.samples import Plain, changed, judge, rules, spec, step

RECOVER = {"do": "recover", "how": "Bend it"}
GUARDED = {"decision_rule": "guard_band", "undecided": RECOVER}
UPPER: Plain = {"lower": None, "below": None}
LOWER: Plain = {"upper": None, "above": None}
BOTH = {"positions": ["left", "right"]}
SPREAD: Plain = {"id": "spread", "lower": None, "below": None, "spread_of": "gap"}


def link(direction: str, lower: str | None = None, upper: str | None = None, **keys: Any) -> Plain:
    ends = {"lower": lower, "upper": upper}
    return {"what": "Piece", "direction": direction, **keys} | {
        key: value for key, value in ends.items() if value is not None
    }


def chain(*links: Plain, **keys: Any) -> Change:
    """A chain that closes at the gap, which is 4.50 to 6.00 mm."""
    known = {"id": "row", "name": "Row", "unit": "mm", "method": "worst_case", "closes": "gap"}
    return lambda p: p.update(chains=[{**known, "links": list(links), **keys}])


def heavy(plain: Plain) -> None:
    more(id="heavy", quantity="mass", unit="kg", instrument=None)(plain)


LONG, SHORT = link("adds", "100.00", "101.00"), link("subtracts", "95.00", "95.50")
# Half widths 0.55 and 0.30 about 5.25: at worst 4.40 to 6.10, as squares 4.62 to 5.88 [C].
WIDE = [link("adds", "99.95", "101.05"), link("subtracts", "94.95", "95.55")]
# What 12 decimals of an inch cannot show.
TINY = {"lower": "0.000000000001", "upper": "0.000000000002"}

LIMIT_CASES: list[Case] = [
    ("limits.order", [sets(lower="7")], [sets(lower=None)]),
    ("limits.order", [sets(nominal="7")], [sets(nominal="4.5")]),
    ("limits.order", [sets(lower="6.0")], []),
    ("limits.no_limits", [sets(lower=None, upper=None)], [sets(upper=None)]),
    ("limits.no_limits", [sets(lower=None, upper=None, nominal="5")],
     [sets(lower=None, upper=None, nominal="5", reference=True)]),
    ("limits.unit", [sets(unit="kg")], [sets(unit="in")]),
    ("limits.si_value", [sets(si={"unit": "m", "upper": "0.006"})],
     [sets(si={"unit": "m", "lower": "0.0045", "upper": "0.0060"})]),
    ("limits.no_source", [sets(source=None)], []),
    ("limits.unconfirmed", [sets(note="(to be written) confirm what was heard")],
     [sets(note="heard on the film (to be written down)")]),
    # 40 N7 is −8/−33 µm: medias.schaeffler, ISO-tolerances, after ISO 286-2 [S].
    ("limits.fit", [sets(characteristic="Bore, 40 N7", lower="39.970", upper="39.992")],
     [sets(characteristic="Bore, 40 N7", lower="39.967", upper="39.992")]),
    # A thread, a size beyond the tables and a mass are no fits.
    ("limits.fit", [sets(characteristic="Axle 17h6", lower="16.989", upper="17.001")],
     [sets(characteristic="Length of the M8 stud, 900 X9")]),
    ("limits.text_disagrees", [act(1, "Set the gap to 7 mm.")], [act(1, "Set the gap to 5 mm.")]),
    ("limits.text_disagrees", [act(1, "Set the gap to 0.30 in.")],
     [act(1, "Set the gap to 0.20 in.")]),
    ("limits.text_disagrees", [act(1, "Set the gap to 4 to 5 mm.")],
     [act(1, "Set the gap to 4.5 to 6 mm.")]),
    ("limits.text_disagrees", [act(1, "Set the gap to 5.0 ± 0.6 mm.")],
     [act(1, "Set the gap to 5.0 ± 0.5 mm.")]),
    # One of several specs of the step has it.
    ("limits.text_disagrees", [],
     [more(lower="6.50", upper="7.50"), act(1, "Set the gap to 7 mm.")]),
    ("limits.only_in_text", [act(1, "Warm the guard to 80 °C.")], [act(1, "Take the 6 mm key.")]),
    ("limits.only_in_text", [act(0, "Turn the screw to 5 mm.")], [act(1, "Turn it to 5 mm.")]),
    # A reference accepts nothing.
    ("limits.only_in_text", [sets(reference=True), act(1, "Set the gap to 5 mm.")],
     [act(1, "Turn the screw to step 3 of the card.")]),
    ("limits.second_unit", [sets(**TINY)], [sets(lower="0.00001", upper="0.00002")]),
    ("limits.second_unit", [], [sets(upper=None)]),
    ("limits.spread", [more(**SPREAD, upper="0.2")], [sets(**BOTH), more(**SPREAD, upper="0.2")]),
    ("limits.spread", [sets(positions=["left"]), more(**SPREAD, upper="0.2")], []),
    # Both readings inside 4.50 to 6.00 are never further apart than 1.50.
    ("limits.spread", [sets(**BOTH), more(**SPREAD, upper="1.50")],
     [sets(**BOTH), more(**SPREAD, upper="1.49")]),
    ("limits.spread", [sets(**BOTH), more(**SPREAD, upper="0.06", unit="in")],
     [sets(**BOTH), more(**SPREAD, upper="0.05", unit="in")]),
    ("limits.spread", [sets(**BOTH), more(**SPREAD, upper="1", quantity="mass", unit="kg")],
     [sets(**BOTH, quantity="temperature", unit="°C"),
      more(**SPREAD, upper="1", quantity="temperature_difference", unit="K")]),
    ("limits.spread", [sets(positions=["left", "left"])], [sets(**BOTH)]),
    ("limits.reaction_never", [sets(upper=None)], [sets(upper=None, above=None)]),
    ("limits.reaction_never", [sets(undecided=RECOVER)], [sets(**GUARDED)]),
    ("limits.no_reaction", [sets(below=None)], [sets(lower=None, below=None)]),
    ("limits.no_reaction", [sets(above=None)], [sets(above=None, below=None, reference=True)]),
    ("limits.no_reaction", [sets(decision_rule="guard_band")], [torqued()]),
    # A decision by the reading says it, one by something else does not.
    ("limits.no_reaction", [sets(below=None), decision({**BACK, "at_most": 1}, STOP, at=1)],
     [sets(below=None), decision({**BACK, "at_most": 1}, STOP, at=1, spec="gap")]),
    ("limits.chain_link", [chain(LONG, link("subtracts"))], [chain(LONG, SHORT)]),
    ("limits.chain_link", [chain(LONG, link("subtracts", "95.00"))],
     [chain(LONG, link("subtracts", spec="gap"))]),
    ("limits.chain_link", [chain(LONG, link("subtracts", "1", "2", spec="gap"))], []),
    ("limits.chain_link", [chain(LONG, link("subtracts", "95.50", "95.00"))],
     [chain(LONG, link("subtracts", "95.00", "95.00"))]),
    ("limits.chain_link", [heavy, chain(LONG, link("subtracts", spec="heavy"))],
     [more(unit="in"), chain(LONG, link("subtracts", spec="other"))]),
    ("limits.chain_link", [more(upper=None), chain(LONG, link("subtracts", spec="other"))], []),
    ("limits.chain_link", [heavy, chain(LONG, SHORT, closes="heavy")], []),
    ("limits.chain", [chain(LONG, link("subtracts", "94.99", "95.50"))], [chain(LONG, SHORT)]),
    ("limits.chain", [chain(LONG, link("subtracts", "95.00", "95.51"))], []),
    ("limits.chain", [chain(*WIDE)], [chain(*WIDE, method="root_sum_square")]),
    # 101.00 − 95.00 is 6.00 mm, just what 0.2362 in is more than.
    ("limits.chain", [sets(unit="in", lower="0.1771", upper="0.2362"), chain(LONG, SHORT)],
     [sets(unit="in", lower="0.1771", upper="0.2363"), chain(LONG, SHORT)]),
    ("limits.chain", [], [sets(lower=None, upper=None), chain(*WIDE)]),
    ("instruments.none", [sets(instrument=None)], [sets(instrument=None, reference=True)]),
    ("instruments.none", [], [sets(instrument=None, quantity="count", unit="pcs")]),
    ("instruments.unit", [tool(measures="kg")],
     [tool(measures="in", range_to="6", resolution="0.001")]),
    ("instruments.unit", [tool(measures=None)],
     [sets(quantity="temperature_difference", unit="K"), tool(measures="°C")]),
    ("instruments.range", [tool(range_to="5.99")], [tool(range_from="4.5", range_to="6")]),
    # A spread lies far below the readings it is made of.
    ("instruments.range", [tool(range_from="4.51")],
     [tool(range_from="4.5"), sets(**BOTH), more(**SPREAD, upper="0.2")]),
    ("instruments.resolution", [tool(resolution="0.151")], [tool(resolution="0.15")]),
    # ±0.75 mm of tolerance, U 0.1876: 3.99 to 1. ANSI/NCSL Z540.3 5.3 b) asks for 4 to 1.
    ("instruments.uncertainty", [tool(uncertainty="0.1876")], [tool(uncertainty="0.1875")]),
    # One limit of 6 mm, U 1.501: 3.997 to 1. The guard band is cut off at one end only.
    ("instruments.uncertainty", [sets(**UPPER, **GUARDED), tool(uncertainty="1.501")],
     [sets(**UPPER, **GUARDED), tool(uncertainty="1.5")]),
    ("instruments.uncertainty", [sets(**LOWER), tool(uncertainty="1.126")],
     [sets(**LOWER), tool(uncertainty="1.125")]),
    ("instruments.resolution", [sets(**UPPER), tool(resolution="0.601")],
     [sets(**UPPER), tool(resolution="0.6")]),
    # A spread has the instrument of its readings.
    ("instruments.resolution", [tool(resolution="0.1"), more(**SPREAD, upper="0.9")],
     [tool(resolution="0.1"), more(**SPREAD, upper="1.0"), sets(**BOTH)]),
    # Below nought there is no end to hold a limit against, only its last digit.
    ("instruments.resolution", [sets(**UPPER), tool(resolution="0.02", range_from="-9")],
     [sets(**UPPER), tool(resolution="0.01", range_from="-9", uncertainty="4")]),
    ("instruments.guard_band", [sets(**GUARDED)], [sets(**GUARDED), tool(uncertainty="0.1")]),
    # Twice 0.75 mm is all of the tolerance: ILAC-G8:09/2019, 4.2.2.
    ("instruments.guard_band", [sets(**GUARDED), tool(uncertainty="0.75")],
     [sets(**GUARDED), tool(uncertainty="0.749")]),
    ("instruments.guard_band", [sets(**GUARDED, instrument=None)],
     [sets(**GUARDED), tool(measures="in", uncertainty="0.01")]),
    ("instruments.guard_band", [sets(**GUARDED), tool(measures="kg", uncertainty="0.1")],
     # An instrument that is not listed has a remark of its own.
     [sets(**GUARDED, instrument="gauge")]),
    # With one limit there is always room for the band.
    ("instruments.guard_band", [],
     [sets(**GUARDED, upper=None, above=None), tool(uncertainty="1")]),
]  # fmt: skip


def test_a_number_said_is_told_with_its_words() -> None:
    (remark,) = judge(changed(act(1, "Set the gap to 7 mm."))).remarks
    assert remark.problem == "the action says 7 mm, outside the limits of 'gap'"
    assert remark.path == ("sections", 0, "steps", 1, "action")


@pytest.mark.parametrize(
    "action",
    ["Turn it until it reaches 5 mm.", "Set it at 5 mm.", "Set the gap to 5mm."],
)
def test_a_goal_is_known_by_its_words(action: str) -> None:
    assert rules(changed(act(0, action))) == ["limits.only_in_text"]
    assert rules(changed(act(1, action))) == []


@pytest.mark.parametrize("action", ["Fit the 5 mm pin.", "Open the 230 V panel.", "Drill 4 holes."])
def test_a_number_that_names_a_thing_is_no_goal(action: str) -> None:
    assert "limits.only_in_text" not in rules(changed(act(0, action)))


def test_what_is_missing_of_a_reading_is_told_in_one_remark() -> None:
    (remark,) = judge(changed(sets(below=None, above=None))).remarks
    assert remark.problem == "'gap' does not say what to do below or above"


def test_a_chain_tells_what_it_leaves() -> None:
    (remark,) = judge(changed(chain(*WIDE))).remarks
    assert "leave 4.4 to 6.1 mm" in remark.problem
    assert remark.path == ("chains", 0)


def test_a_link_without_limits_is_told_alone() -> None:
    """What follows from a fault is no second fault."""
    bad = chain(LONG, link("subtracts", spec="nowhere"))
    assert rules(changed(bad)) == ["ids.reference"]
    assert rules(changed(chain(LONG, link("subtracts")))) == ["limits.chain_link"]
    assert rules(changed(chain(LONG, SHORT, closes="nowhere"))) == ["ids.reference"]


def test_a_spread_of_something_missing_is_told_once() -> None:
    plain = changed(lambda p: put(spec(p), spread_of="nowhere"))
    assert rules(plain) == ["ids.reference"]
    assert step(plain, 1)["specs"][0]["spread_of"] == "nowhere"
