"""Proposals that are accepted become what the document takes, each once and at its place."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

import pytest

from author.contract import parse_procedure, write_yaml
from author.editing import AddEntry, SetField
from author.errors import InputError
from author.procedure.document import Procedure
from author.proposals.draft.answers import read_answers
from author.proposals.draft.changes import Changed, SaidValues
from author.proposals.proposal import Proposal, ProposalKind, Values
from author.proposals.steps.parts_told import Move
from author.tasks.proposal_entries import Taken, taken
from author.tasks.proposal_places import Known, ShownBy, not_there
from author.tasks.proposal_sheet import (
    Decision,
    as_changed,
    change_of,
    entry_of,
    keep_answers,
)

PLAIN = {
    "schema": "procedure/1",
    "id": "pump",
    "title": "Coolant pump",
    "revision": 1,
    "state": "draft",
    "language": "en",
    "data": "demo",
    "purpose": "Renew the seal of the shop-built pump.",
    "unit": {"name": "Shop-built coolant pump"},
    "limits_of_use": ["Pumps that were opened before"],
    "people": [{"id": "technician", "role": "Technician"}],
    "recordings": [
        {"id": "film", "file": "film.mp4", "size": 9, "duration": "100.000000", "sha256": "0" * 64}
    ],
    "sources": [{"id": "told", "kind": "film", "title": "The technician's word on the film"}],
    **dict.fromkeys(
        ("prerequisites", "parts", "tools", "supplies", "stacks", "general_hazards", "chains",
         "close_outs", "findings", "concessions", "changes"), "none"
    ),
    "sections": [
        {
            "id": "work",
            "title": "Work",
            "steps": [
                {
                    "id": "step-1",
                    "action": "(to be written) one action, as an order",
                    "clip": {"recording": "film", "from": "0.000000", "to": "100.000000"},
                    "still": {
                        "recording": "film",
                        "at": "50.000000",
                        "alt": "(to be written) what the picture shows",
                    },
                }
            ],
        }
    ],
}  # fmt: skip


@pytest.fixture
def begun() -> Procedure:
    """A procedure that was just begun from a film of 100 seconds."""
    return parse_procedure(write_yaml(PLAIN).encode(), Path("procedure.yaml")).procedure


def claim(
    name: str, kind: ProposalKind, text: str, at: int, *steps: str, **details: str
) -> Proposal:
    return Proposal(
        name, kind, text, f"said: {text}", "film", Decimal(at), Decimal(at + 1), Decimal("0.8"),
        "for the test", steps=steps, details=tuple(details.items()),
    )  # fmt: skip


def step(name: str, text: str, start: int, end: int, section: str, *moves: Move) -> Proposal:
    return Proposal(
        name, "step", text, text, "film", Decimal(start), Decimal(end), Decimal("0.8"),
        "for the test", steps=(name,), moves=moves, details=(("section", section),),
    )  # fmt: skip


def number(name: str, step_name: str, values: Values, role: str = "limits") -> Proposal:
    return Proposal(
        name, "measurement", "gap: 1 mm", "one", "film", Decimal(11), Decimal(12), Decimal("0.8"),
        "for the test", values=values, steps=(step_name,),
        details=(("role", role), ("characteristic", "gap")),
    )  # fmt: skip


OFF = step("s1", "Undo the cap nut.", 10, 20, "removal", Move("removes", "p1", 2))
ON = step("s2", "Fit the cap nut.", 60, 70, "fitting", Move("refits", "p1", 2))
MIDDLE = step("s3", "Lift the cap.", 30, 40, "removal")
NUT = claim("p1", "part", "cap nut", 11, "s1", "s2", count="2")
KEY = claim("t1", "tool", "ring spanner", 12, "s1")
LIMITS = Values(Decimal("0.90"), None, Decimal("1.10"), "mm")
GAP = number("m1", "s1", LIMITS)
ALL = (OFF, MIDDLE, ON, NUT, KEY, GAP)


class Accepting:
    """Accepts proposals one after another."""

    def __init__(self, procedure: Procedure, proposals: Sequence[Proposal] = ALL) -> None:
        self.procedure = procedure
        self._proposals = {p.id: p for p in proposals}
        self._accepted: frozenset[str] = frozenset()
        self._placed: dict[str, str] = {}

    def known(self) -> Known:
        shown = {"s1": ShownBy(Decimal("10.040000"), Decimal("20.080000"), Decimal("13.000000"))}
        return Known(self._proposals, self._accepted, shown, self._placed)

    def accept(self, *proposals: Proposal) -> Taken:
        found = taken(self.procedure, proposals, self.known())
        if found.command is not None:
            self.procedure = found.command.apply(self.procedure)
        self._accepted |= set(found.done)
        self._placed = dict(found.placed)
        return found

    def steps(self) -> list[tuple[str, str]]:
        return [(p.section.title, p.step.action) for p in self.procedure.placed_steps()]

    def step(self, action: str):
        return next(p.step for p in self.procedure.placed_steps() if p.step.action == action)


def test_steps_come_into_their_sections_by_time_whatever_is_accepted_first(begun):
    work = Accepting(begun)
    for each in (ON, OFF, MIDDLE):
        work.accept(each)
    assert work.steps() == [
        ("Removal", OFF.text),
        ("Removal", MIDDLE.text),
        ("Fitting", ON.text),
    ]
    first = work.step(OFF.text)
    assert (first.clip.start, first.still.at) == (Decimal("10.040000"), Decimal("13.000000"))
    again = work.accept(OFF, MIDDLE, ON)
    assert again.command is None
    assert set(again.done) == {"s1", "s2", "s3"}


def test_work_that_is_gone_on_with_later_stays_in_the_order_of_the_film(begun):
    look = step("s4", "Check the shaft.", 20, 30, "inspection")
    work = Accepting(begun, (OFF, look, MIDDLE, ON))
    work.accept(OFF, look, MIDDLE, ON)
    assert work.steps() == [
        ("Removal", OFF.text),
        ("Inspection", look.text),
        ("Removal", MIDDLE.text),
        ("Fitting", ON.text),
    ]


def test_no_section_is_cut_in_two_for_a_step_in_its_midst(begun):
    look = step("s4", "Check the shaft.", 20, 30, "inspection")
    again = step("s5", "Check the cap.", 50, 55, "inspection")
    work = Accepting(begun, (OFF, look, MIDDLE, again))
    work.accept(OFF)
    work.accept(MIDDLE)
    work.accept(again)
    work.accept(look)
    assert work.steps() == [
        ("Removal", OFF.text),
        ("Removal", MIDDLE.text),
        ("Inspection", look.text),
        ("Inspection", again.text),
    ]


def test_movements_stand_in_the_order_said_whatever_is_accepted_first(begun):
    moves = (Move("removes", "p2"), Move("removes", "p1"), Move("discards", "p1"))
    off = step("s1", "Undo the ring, and lift the cap nut off.", 10, 20, "removal", *moves)
    ring = claim("p2", "part", "locking ring", 12, "s1")
    for parts in ((NUT, ring), (ring, NUT)):
        work = Accepting(begun, (off, NUT, ring))
        for each in (off, *parts):
            work.accept(each)
        there = [(one.act, one.part) for one in work.step(off.text).ledger]
        assert there == [
            ("removes", "locking-ring"),
            ("removes", "cap-nut"),
            ("discards", "cap-nut"),
        ]


def test_a_section_that_was_renamed_is_still_the_guessed_one(begun):
    work = Accepting(begun)
    work.accept(OFF)
    section = work.procedure.sections[0].id
    work.procedure = SetField(("sections", section, "title"), "Open the pump").apply(work.procedure)
    work.accept(MIDDLE)
    assert work.steps() == [("Open the pump", OFF.text), ("Open the pump", MIDDLE.text)]


@pytest.mark.parametrize("order", [(OFF, ON, NUT, KEY), (NUT, KEY, ON, OFF)])
def test_things_and_what_steps_do_with_them_meet_in_either_order(begun, order):
    work = Accepting(begun)
    for each in order:
        work.accept(each)
    (part,) = work.procedure.parts
    assert (part.name, part.quantity) == ("Cap nut", 2)
    off, on = work.step(OFF.text), work.step(ON.text)
    assert [(m.act, m.part, m.quantity) for m in off.ledger] == [("removes", part.id, 2)]
    assert [(m.act, m.part, m.quantity) for m in on.ledger] == [("refits", part.id, 2)]
    assert off.tools == (work.procedure.tools[0].id,)
    assert on.tools is None


def test_a_thing_of_the_same_name_is_joined(begun):
    entry = {"id": "n", "name": "Cap  NUT", "replace": "never", "order": "never"}
    work = Accepting(AddEntry(("parts",), entry).apply(begun))
    work.accept(OFF)
    work.accept(NUT)
    assert [part.id for part in work.procedure.parts] == ["n"]
    assert work.step(OFF.text).ledger[0].part == "n"


def test_a_number_waits_for_its_step_and_stands_there_without_a_doubt(begun):
    work = Accepting(begun)
    assert work.accept(GAP).waiting == ("m1",)
    work.accept(OFF)
    work.accept(GAP)
    (spec,) = work.step(OFF.text).specs
    assert (str(spec.lower), str(spec.upper), spec.unit) == ("0.90", "1.10", "mm")
    assert spec.note is None
    assert work.accept(GAP).command is None


def test_the_source_of_a_number_is_its_moment_of_the_film(begun):
    torque = number("m2", "s1", Values(Decimal(20), None, Decimal(22), "N·m"))
    later = replace(number("m4", "s1", Values(None, None, Decimal(5), "mm")), start=Decimal(75))
    point = claim("o1", "orientation", "The lip faces out", 12, "s1")
    work = Accepting(begun, (*ALL, torque, later, point))
    work.accept(OFF)
    taken_in = work.accept(GAP)
    assert taken_in.command.was[0] == "steps"
    work.accept(torque, later, point)
    found = work.step(OFF.text)
    titles = {source.id: source.title for source in work.procedure.sources}
    at_once, after = (titles[spec.source] for spec in found.specs)
    assert (at_once, after) == ("film at 0:11.0: “one”", "film at 1:15.0: “one”")
    assert found.torques[0].source == found.specs[0].source
    assert found.critical_points[0].source == "told"
    assert len(titles) == 3


def test_a_number_that_stands_there_with_another_source_is_not_put_in_twice(begun):
    work = Accepting(begun)
    work.accept(OFF, GAP)
    (placed, *_) = work.procedure.placed_steps()
    at = ("steps", placed.step.id, "specs", placed.step.specs[0].id, "source")
    work.procedure = SetField(at, "told").apply(work.procedure)
    assert work.accept(GAP).command is None


def test_a_torque_and_a_reading_know_their_lists_and_sources(begun):
    torque = number("m2", "s1", Values(Decimal(20), None, Decimal(22), "N·m"))
    reading = number("m3", "s1", Values(None, Decimal("0.97"), None, "mm"), "measured")
    work = Accepting(begun, (*ALL, torque, reading))
    work.accept(OFF, torque, reading)
    found = work.step(OFF.text)
    assert [spec.unit for spec in found.torques] == ["N·m"]
    (spec,) = found.specs
    assert spec.reference
    kinds = {source.id: source.kind for source in work.procedure.sources}
    assert kinds[spec.source] == "measured"


def test_a_number_without_a_unit_is_not_taken(begun):
    bare = number("m4", "s1", Values(None, Decimal(40), None, None), "aim")
    work = Accepting(begun, (*ALL, bare))
    work.accept(OFF)
    found = work.accept(bare)
    assert found.command is None
    assert "unit" in found.problems["m4"].problem


def test_claims_find_their_fields(begun):
    claims = (
        claim("h", "hazard", "Keep your fingers clear", 12, "s1", signal="WARNING"),
        claim("o", "orientation", "Lip towards you", 13, "s1"),
        claim("i", "inspection", "No scores", 14, "s1"),
        claim("r", "reason", "because the cap is under pressure", 15, "s1"),
        claim("c", "count", "Two of them", 16, "s1"),
    )
    work = Accepting(begun, (*ALL, *claims))
    work.accept(OFF, *claims)
    found = work.step(OFF.text)
    assert found.hazards[0].avoid == "Keep your fingers clear"
    assert found.critical_points[0].kind == "orientation"
    assert found.criteria[0].accept == "No scores"
    assert found.reason == "The cap is under pressure"
    assert "Two of them" in found.note
    assert work.accept(*claims).command is None


def test_what_is_left_for_another_job_goes_to_its_list_and_talk_nowhere(begun):
    later = claim("f", "deferred", "the guide is worn", 65, "s2")
    talk = claim("x", "chatter", "hello everybody", 1)
    work = Accepting(begun, (*ALL, later, talk))
    assert work.accept(talk).command is None
    work.accept(ON, later)
    (finding,) = work.procedure.findings
    assert finding.what == "On the unit filmed: The guide is worn"
    assert finding.step == work.step(ON.text).id


def test_a_claim_goes_to_the_step_a_person_has_marked_himself(begun):
    work = Accepting(begun)
    work.procedure = SetField(("steps", "step-1", "action"), "Open the pump.").apply(begun)
    assert work.accept(GAP).done == ("m1",)
    assert len(work.step("Open the pump.").specs) == 1


def test_a_claim_goes_to_the_step_that_shows_its_moment_not_to_the_proposed_one(begun):
    work = Accepting(begun)
    work.accept(OFF)
    mine = step("own", "Wipe the seat.", 20, 30, "removal")
    work.accept(mine)
    late = claim("c9", "orientation", "The lip points up", 22, "s1")
    work.accept(late)
    by_action = {p.step.action: p.step for p in work.procedure.placed_steps()}
    assert by_action["Undo the cap nut."].critical_points is None
    assert by_action["Wipe the seat."].critical_points[0].what == "The lip points up"


def test_accepted_work_that_was_thrown_away_is_known_not_to_be_there(begun):
    known = Known({p.id: p for p in ALL}, frozenset({"s1", "p1", "m1"}))
    assert not_there(begun, known) == {"s1", "p1", "m1"}
    work = Accepting(begun)
    work.accept(OFF, NUT)
    known = Known({p.id: p for p in ALL}, frozenset({"s1", "s2", "p1", "m1"}))
    assert not_there(work.procedure, known) == {"s2"}


def test_a_step_whose_end_is_seen_otherwise_by_now_is_the_same_step(begun):
    work = Accepting(begun)
    work.accept(OFF)
    shorter = replace(OFF, end=OFF.start + (OFF.end - OFF.start) / 4)
    assert not not_there(work.procedure, Known({"s1": shorter}, frozenset({"s1"})))
    other = replace(shorter, text="Lift the cap off.")
    assert not_there(work.procedure, Known({"s1": other}, frozenset({"s1"}))) == {"s1"}


def test_limits_are_typed_as_everywhere_and_keep_their_digits():
    assert entry_of(GAP) == "gap: 0.90..1.10 mm"
    assert change_of(GAP, "gap: 0.90..1.10 mm") is None
    assert change_of(GAP, "0.90..1.10 mm") is None
    change = change_of(GAP, "max 1.20")
    assert change.values == SaidValues(upper=Decimal("1.20"), unit="mm")
    changed = as_changed(GAP, change)
    assert str(changed.values.upper) == "1.20"
    assert changed.values.lower is None
    assert change_of(OFF, " Undo  both nuts. ") == Changed(text="Undo both nuts.")
    for bad in ("", "about a bit", "1.2 furlongs"):
        with pytest.raises(InputError):
            change_of(GAP, bad)


def test_a_number_is_given_another_name_with_or_without_other_limits():
    named = as_changed(GAP, change_of(GAP, "runout of the rim: 0.90..1.10 mm"))
    assert named.detail("characteristic") == "runout of the rim"
    assert (named.values, named.detail("role")) == (LIMITS, "limits")
    assert named.text.startswith("runout of the rim: ")
    both = as_changed(GAP, change_of(GAP, "runout of the rim: max 0.12"))
    assert both.detail("characteristic") == "runout of the rim"
    assert (both.values.lower, both.values.upper) == (None, Decimal("0.12"))
    same = as_changed(GAP, change_of(GAP, "gap: max 0.12"))
    assert same.detail("characteristic") == "gap"
    for bad in (": max 0.12", "runout of the rim:", "runout of the rim"):
        with pytest.raises(InputError):
            change_of(GAP, bad)


def test_what_a_number_is_measured_from_stays_while_its_name_does():
    details = (*GAP.details, ("datum", "hub face"), ("positions", "at three places"))
    depth = replace(GAP, text="gap from the hub face: 0.90 to 1.10 mm", details=details)
    assert entry_of(depth) == "gap from the hub face: 0.90..1.10 mm"
    limits = as_changed(depth, change_of(depth, "gap from the hub face: 0.95..1.05 mm"))
    assert (limits.detail("characteristic"), limits.detail("datum")) == ("gap", "hub face")
    assert limits.detail("positions") == "at three places"
    other = as_changed(depth, change_of(depth, "depth from the rim: 0.95..1.05 mm"))
    assert (other.detail("characteristic"), other.detail("datum")) == ("depth", "rim")
    plain = as_changed(depth, change_of(depth, "width: 0.95..1.05 mm"))
    assert (plain.detail("characteristic"), plain.detail("datum")) == ("width", None)


@pytest.mark.parametrize(
    ("said", "due"),
    [
        ("The guide's worn, I'll do that in February.", "In February"),
        ("That hose wants changing at the next service.", "At the next service"),
        ("It can wait till next winter.", "Next winter"),
        ("I'm going to leave it; we'll have a look in three months.", "In three months"),
        ("The belt's cracked. It needs to be replaced by the end of March.", "By the end of March"),
        ("It should be renewed within another 500 hours.", "Within another 500 hours"),
        ("The guard's got a screw missing, so I'll fix that tomorrow.", "Tomorrow"),
        ("The switch sticks, I'll do it on Friday.", "On Friday"),
        ("I changed that on Friday, so leave it.", None),
        ("The guide was changed in February and it's worn again.", None),
        ("I changed that last winter, so leave it.", None),
        ("It was found at the last service, it has to be done again.", None),
        ("The bush is worn, I may leave it for now.", None),
        ("We'll do that next, before the cover goes on.", None),
        ("Leave it, it may still march on for years.", None),
        ("It did two thousand hours, so it will do some more.", None),
        ("I'd leave that one for another day.", None),
    ],
)
def test_when_a_finding_is_due_is_taken_from_what_was_said(begun, said, due):
    later = replace(claim("f", "deferred", "the guide is worn", 65, "s2"), said=said)
    work = Accepting(begun, (*ALL, later))
    work.accept(ON, later)
    assert work.procedure.findings[0].due == due


def test_a_reading_stays_one_until_it_is_given_limits():
    reading = number("m3", "s1", Values(None, Decimal("0.97"), None, "mm"), "measured")
    other = as_changed(reading, change_of(reading, "ref 0.98 mm"))
    assert (other.detail("role"), other.values.nominal) == ("measured", Decimal("0.98"))
    limits = as_changed(reading, change_of(reading, "0.95..0.99 mm"))
    assert limits.detail("role") == "limits"


def test_answers_of_the_window_and_of_others_stand_in_one_sheet(tmp_path):
    file = tmp_path / "proposals.yaml"
    keep_answers(file, ALL, {"s1": Decision("accept")})
    text = file.read_text(encoding="utf-8").replace("proposals:\n", _BY_KIND, 1)
    file.write_text(text, encoding="utf-8")
    keep_answers(file, ALL, {"s2": Decision("refuse"), "m1": Decision("change", _GAP)})
    said = {a.id: a.answer for a in read_answers(file).proposals}
    assert said == {
        "s1": "accept", "s2": "refuse", "s3": "open", "p1": "open", "t1": "refuse", "m1": "change",
    }  # fmt: skip
    keep_answers(file, ALL, {"t1": Decision("open")})
    sheet = read_answers(file)
    assert sheet.by_kind is None
    assert {a.id: a.answer for a in sheet.proposals}["t1"] == "open"


def test_who_decided_in_the_window_stands_in_the_sheet(tmp_path):
    file = tmp_path / "proposals.yaml"
    keep_answers(file, ALL, {"s1": Decision("accept", by="Ann Reed")})
    by_kind = _BY_KIND.replace("refuse\n", "refuse\n    by: Bo Lind\n")
    text = file.read_text(encoding="utf-8").replace("proposals:\n", by_kind, 1)
    file.write_text(text, encoding="utf-8")
    key = replace(KEY, id="t2", text="drift", start=Decimal(14))
    keep_answers(file, (*ALL, key), {"t1": Decision("open"), "s2": Decision("refuse")})
    said = {a.id: (a.answer, a.by) for a in read_answers(file).proposals}
    assert said["s1"] == ("accept", "Ann Reed")
    assert said["s2"] == ("refuse", None)
    assert said["t1"] == ("open", None)
    assert said["t2"] == ("open", None)  # nobody has read it


_GAP = Changed(text="gap: 0.8 to 1.0 mm")
_BY_KIND = "by_kind:\n  - kind: tool\n    answer: refuse\nproposals:\n"


def test_it_is_told_where_each_of_those_accepted_stands(begun):
    work = Accepting(begun)
    found = work.accept(OFF, GAP, NUT)
    step = found.placed["s1"]
    there = {"s1": ("steps", step), "m1": ("steps", step, "specs"), "p1": ("parts",)}
    assert found.places == there
    assert work.accept(OFF, GAP, NUT).places == there  # they stood there already


@pytest.mark.parametrize(
    ("other", "otherwise"),
    [
        (replace(GAP, id="m2", values=Values(Decimal("0.8"), None, Decimal("1.1"), "mm")), True),
        (replace(GAP, id="m2", values=Values(None, None, Decimal("1.1"), "mm")), True),
        (replace(GAP, id="m2", values=Values(Decimal("0.9"), None, Decimal("1.100"), "mm")), False),
        (number("m2", "s1", Values(None, Decimal(1), None, "mm"), "measured"), False),
        (number("m2", "s1", Values(None, Decimal(1), None, "mm"), "about"), False),
        (number("m2", "s1", Values(None, None, Decimal(8), "kg")), False),
        (
            replace(number("m2", "s1", Values(None, None, Decimal(8), "mm")),
                    details=(("role", "limits"), ("characteristic", "width"))),
            False,
        ),
        (
            replace(number("m2", "s1", Values(None, None, Decimal(8), "mm")),
                    details=(("role", "limits"), ("characteristic", "gap"), ("datum", "rim"))),
            False,
        ),
    ],
)  # fmt: skip
def test_a_number_that_its_step_has_with_other_limits_is_told(begun, other, otherwise):
    work = Accepting(begun, (*ALL, other))
    assert not work.accept(OFF, GAP).otherwise
    found = work.accept(other)
    assert found.otherwise == ({"m2": "Gap: 0.90..1.10 mm"} if otherwise else {})
