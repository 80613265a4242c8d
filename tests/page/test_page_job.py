"""How a job goes on: readings and spreads, what is still open, ways on and back, deviations."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path

import pytest
from publish.sample import document

from author.checks.job_records import Known
from author.checks.record_verdicts import told_of
from author.procedure.document import Procedure
from author.publish.lookup import Lookup
from author.publish.page.building import page_script, stamp
from author.publish.page.facts import job_facts
from page.jobs import CONTENT, WHY, Job, Plain, facts_of, procedure_named, recorded
from page.node_page import REF, SCRIPTS, NodePage, ScriptFault, names_in, script_text

ALLOWED = {"reason": "Stopped by a slip", "approvedBy": "The keeper"}
SEATS = ["rear, across", "rear, along", "front, across", "front, along"]


@pytest.fixture(scope="module")
def node() -> Iterator[NodePage]:
    with NodePage() as opened:
        yield opened


def begun(node: NodePage, name: str, at: str | None = None, worker: str = "K. O.") -> Job:
    """A job that stands at a step, all of which but its readings is done."""
    node.ask(clear=True, mode="open", ahead=0)
    node.ask(crash=True)
    job = Job(node, facts_of(procedure_named(name)), name=worker)
    if at is not None:
        job.stand(at)
        job.read_all(job.step(at))
    return job


def kinds(job: Job, step: str, way: Plain | None = None) -> list[str]:
    return [one["kind"] for one in job.do("openStep", step, way) if not one["allowed"]]


# --- facts ---


def test_facts_name_what_the_page_decides_by() -> None:
    facts = facts_of(procedure_named("everything-once"))
    step = next(step for step in facts["steps"] if step["id"] == "measure-bore")
    bore, spread = step["specs"]
    assert bore["boxes"] == SEATS
    assert bore["reject"] == {"lower": "39.980", "upper": "40.009"}
    assert bore["accept"] == {"lower": "39.984", "upper": "40.005"}
    assert bore["reactions"]["below"]["to"] == f"step-{step['number'] + 1}"
    assert (spread["spread_of"], spread["spread_scale"], spread["boxes"]) == (
        "seat-bore", ["1", "1"], [""],
    )  # fmt: skip
    ways = [step["ways"][f"measure-bore/{n}"] for n in range(4)]
    assert [way["step"] for way in ways] == ["measure-depth", "dress-bore", "set-gauge", None]
    assert [way["back"] for way in ways] == [False, False, True, False]
    assert [(way["stop"], way["at_most"]) for way in ways] == [
        (False, None), (False, 2), (False, 1), (True, None),
    ]  # fmt: skip
    assert facts["steps"][-1]["ways"]["next"]["to"] is None
    torque = next(s for step in facts["steps"] for s in step["specs"] if s["id"] == "bolt-torque")
    assert (torque["boxes"], torque["passes"]) == (["near side", "far side"], 2)
    gib = facts_of(procedure_named("gib-adjustment"))
    (pattern,) = [
        s["boxes"] for step in gib["steps"] for s in step["specs"] if len(s["boxes"]) == 4
    ]
    assert pattern == ["2", "3", "1", "4"], "in tightening order"


def test_facts_of_a_draft_that_names_what_is_not_there() -> None:
    spec = {
        "id": "gap", "characteristic": "Gap", "quantity": "length", "unit": "mm", "upper": "1",
        "instrument": "lost", "spread_of": "lost", "decision_rule": "guard_band",
        "above": {"do": "recover", "how": "Go back", "step": "lost"},
    }  # fmt: skip
    ways = [
        {"when": "a", "step": "lost"},
        {"when": "b", "section": "lost"},
        {"when": "c", "section": "all", "at_most": 1},
    ]
    decision = {"question": "Which?", "spec": "lost", "ways": ways}
    step = {"id": "one", "action": "Measure.", "not_filmed": "No", "specs": [spec],
            "goes_to": "lost", "decision": decision}  # fmt: skip
    sections = [{"id": "all", "title": "All", "steps": [step]}]
    procedure = Procedure.model_validate(document(sections=sections, people="none"))
    facts = job_facts(procedure, Lookup.of(procedure), CONTENT, "DRAFT")
    (found,) = facts["steps"]
    assert found["goes_to"] is None
    lost = [found["ways"][name] for name in ("one/0", "one/1", "gap/above")]
    assert [(way["to"], way["ends"], way["back"]) for way in lost] == [(None, False, False)] * 3
    again = found["ways"]["one/2"]
    assert (again["to"], again["back"], again["at_most"]) == ("step-1", True, 1)
    assert found["decision"] == {"spec": None}
    (gap,) = found["specs"]
    assert (gap["instrument"], gap["spread_of"], gap["boxes"]) == (None, None, [""])
    assert gap["accept"] is None
    assert "uncertainty" in (gap["why_not"] or "")
    assert gap["reactions"]["above"] is not None
    assert gap["reactions"]["above"]["to"] is None
    assert facts["roles"] == [{"id": "worker", "role": "Worker"}]
    assert facts["mark"] == "DRAFT"


# --- readings ---


def test_each_reading_is_kept_and_the_last_holds(node: NodePage, tmp_path: Path) -> None:
    job = begun(node, "heating-pump")
    job.stand(job.step_of("cold-pressure"))
    for typed in ("104", "122", "136"):
        job.well("setReading", "cold-pressure", "", typed)
    record = recorded(job.do("recordText"), tmp_path)
    verdicts = [(row.verdict, row.reaction) for row in record.readings]
    reactions = job.facts["steps"]
    spec = next(s for step in reactions for s in step["specs"] if s["id"] == "cold-pressure")
    below, undecided = (spec["reactions"][side]["how"] for side in ("below", "undecided"))
    assert verdicts == [("reject", below), ("cannot_tell", undecided), ("accept", None)]
    assert [r["value"] for r in job.do("readingsOf", "cold-pressure", "")] == ["104", "122", "136"]


def test_a_reading_is_refused_where_there_is_none(node: NodePage) -> None:
    job = begun(node, "everything-once")
    for spec, box in (("seat-bore", ""), ("seat-round", ""), ("constructor", "")):
        assert "not in the procedure" in job.refused("setReading", spec, box, "0.01")
    assert "does not stand" in job.refused("setReading", "seat-bore", SEATS[0], "40.000")
    job.stand("measure-bore")
    assert "the number alone" in job.refused("setReading", "seat-bore", SEATS[0], "40 mm")
    asked = job.do("setReading", "seat-bore", SEATS[0], "39,990")
    assert asked["choices"] == ["39990", "39.990"]
    assert "two things" in job.refused("setReading", "seat-bore", SEATS[0], "39,990")
    assert job.plain()["readings"] == []


def test_a_spread_is_judged_once_all_places_are_read(node: NodePage) -> None:
    job = begun(node, "everything-once", "measure-bore")
    for box, value in zip(SEATS[:3], ("39.990", "39.995", "40.000"), strict=True):
        assert job.well("setReading", "seat-bore", box, value)["spreads"] == []
    assert "reading" in kinds(job, "measure-bore")
    (spread,) = job.well("setReading", "seat-bore", SEATS[3], "40.0035")["spreads"]
    assert (spread["value"], spread["verdict"], spread["left"]) == ("0.0135", "reject", 0)
    assert kinds(job, "measure-bore") == ["reaction"]
    # The spread says STOP, and none of its readings is simply taken again.
    assert "STOP stands" in job.refused("setReading", "seat-bore", SEATS[3], "40.001")
    job.well("takeBackReading", 3, "A digit too many", "The keeper")
    (spread,) = job.well("setReading", "seat-bore", SEATS[3], "40.001")["spreads"]
    assert (spread["value"], spread["verdict"]) == ("0.011", "accept")
    assert kinds(job, "measure-bore") == []
    found = [row["value"] for row in job.do("recordOf")["readings"] if row["spec"] == "seat-round"]
    assert found == ["0.0135", "0.011"]


def test_a_reading_typed_wrongly_is_taken_back_in_the_open(node: NodePage, tmp_path: Path) -> None:
    job = begun(node, "everything-once", "measure-bore")
    for box in SEATS:
        job.well("setReading", "seat-bore", box, "39.99")
    job.well("setReading", "seat-bore", SEATS[0], "3.999")
    job.well("takeBackReading", 5, "A digit left out")
    (held,) = job.do("readingsOf", "seat-bore", SEATS[0])
    assert held["value"] == "39.99"
    assert [row["value"] for row in job.do("readingsOf", "seat-round", "")] == ["0.00", "0.00"]
    assert kinds(job, "measure-bore") == []
    assert "cannot be taken back" in job.refused("takeBackReading", 5, "Again")
    assert "cannot be taken back" in job.refused("takeBackReading", 4, "A spread")
    record = recorded(job.do("recordText"), tmp_path)
    rows = [r for r in record.readings if (r.note or "").startswith("Taken back")]
    assert [(r.note, r.superseded) for r in rows] == [("Taken back: A digit left out", True)] * 2
    assert [(str(r.value), r.verdict) for r in rows] == [("3.999", "reject"), ("35.991", "reject")]


def test_readings_too_far_apart_for_a_record_are_refused(node: NodePage) -> None:
    job = begun(node, "everything-once", "measure-bore")
    for box in SEATS[:3]:
        job.well("setReading", "seat-bore", box, "999999999999")
    assert "too far apart" in job.refused("setReading", "seat-bore", SEATS[3], "-1")


def test_a_repetition_ends_after_so_many_times(node: NodePage) -> None:
    job = begun(node, "everything-once")
    job.stand(job.step_of("bolt-torque"))
    left = []
    for typed in ("19.0", "19.1", "19.2"):
        reading = job.well("setReading", "bolt-torque", "near side", typed)["reading"]
        left.append(reading["left"])
    assert left == [2, 1, 0]
    assert job.well("setReading", "bolt-torque", "far side", "19.0")["reading"]["left"] == 2


# --- what is open, and going on ---


def test_nobody_allows_himself_what_is_done_otherwise(node: NodePage) -> None:
    job = begun(node, "coolant-pump-seal", worker="Kim Olsen")
    step = job.plain()["at"]
    for own in ("Kim Olsen", "k.o.", "KO"):
        said = job.refused("deviate", {**WHY, "step": step, "approvedBy": own})
        assert "Somebody else" in said


def test_stop_and_the_second_person_cannot_be_allowed_otherwise(node: NodePage) -> None:
    job = begun(node, "coolant-pump-seal")
    stops = [
        (step, spec, side)
        for step in job.facts["steps"]
        for spec in step["specs"]
        for side, reaction in spec["reactions"].items()
        if reaction and reaction["do"] == "stop" and side in ("below", "above")
        and spec["reject"]["lower" if side == "below" else "upper"]
        and not spec["spread_of"] and not (step["decision"] or {}).get("spec")
    ]  # fmt: skip
    step, spec, side = stops[0]
    job.stand(step["id"])
    far = {"below": "-999", "above": "99999"}[side]
    job.well("setReading", spec["id"], spec["boxes"][0], far)
    job.well("deviate", {**WHY, "step": step["id"]})
    left = [o for o in job.do("openStep", step["id"]) if not o["allowed"]]
    assert "reaction" in [o["kind"] for o in left if o["must"]]
    job.well("takeBackReading", 0, "Mistyped", "The keeper")
    seen = next(s["id"] for s in job.facts["steps"] if s["witness"])
    job.stand(seen)
    job.well("deviate", {**WHY, "step": seen})
    assert "witness" in kinds(job, seen)


def test_no_deviation_covers_a_check_that_stops_the_job(node: NodePage) -> None:
    job = begun(node, "everything-once")
    assert job.step("try-start")["stops"] == ["grinder-dead"]
    # Neither passed at its step, nor jumped over, seen or unseen.
    assert "Step 4 has a check" in job.refused("jumpTo", "rest-off", WHY)
    for step in job.facts["steps"][: job.step("rest-off")["number"] - 1]:
        for n in range(step["hazards"]):
            job.well("readHazard", step["id"], n)
    job.well("jumpTo", "try-start", WHY)
    for met in (None, False):
        if met is not None:
            job.well("observe", "grinder-dead", met, "The lamp is on")
        job.well("deviate", {**WHY, "step": "try-start"})
        left = [one for one in job.do("openStep", "try-start") if not one["allowed"]]
        assert [(one["point"], one["must"]) for one in left] == [("grinder-dead", True)]
        assert "still open" in job.do("goOn", "try-start", None)["problem"]
        said = "Step 4 has a check" if met is None else "Step 4 says STOP"
        assert said in job.refused("jumpTo", "rest-off", WHY)
    # Back is always open; and on, once it is put right.
    job.well("jumpTo", "lock", WHY)
    job.well("jumpTo", "try-start", WHY)
    job.well("observe", "grinder-dead", True, "The right isolator is off")
    job.well("deviate", {**WHY, "step": "try-start"})
    job.well("goOn", "try-start", None)


def test_a_file_cannot_say_that_a_stop_is_covered(node: NodePage) -> None:
    job = begun(node, "everything-once")
    job.well("jumpTo", "try-start", WHY)
    record = job.do("recordOf")
    record["deviations"].append(
        {"step": "try-start", "what": "A", "reason": "B", "covers": ["point/grinder-dead"]}
    )
    found = node.call("loadRecordFile", json.dumps(record), REF("facts"), hold="loaded")
    assert found.keys() == {"job"}
    went = node.call("goOn", REF("loaded.job"), REF("facts"), "try-start", None)
    assert "still open" in went["problem"]


def test_a_reading_that_says_stop_is_not_jumped_over(node: NodePage) -> None:
    job = begun(node, "heating-pump")
    job.stand("measure-voltage")
    job.well("setReading", "pump-voltage", "line to earth", "230")
    assert "Step 7 says STOP" in job.refused("jumpTo", "plug-off", WHY)
    assert "Step 7 says STOP" in job.refused("jumpTo", job.facts["steps"][0]["id"], WHY)
    assert "STOP stands" in job.refused("setReading", "pump-voltage", "line to earth", "0")
    job.well("takeBackReading", 0, "Read before the lock was on", "The keeper")
    job.well("setReading", "pump-voltage", "line to earth", "0")
    ahead = slice(job.step("measure-voltage")["number"] - 1, job.step("plug-off")["number"] - 1)
    for step in job.facts["steps"][ahead]:
        for n in range(step["hazards"]):
            job.well("readHazard", step["id"], n)
    job.well("jumpTo", "plug-off", WHY)


def test_where_the_job_does_not_stand_nothing_is_written(node: NodePage) -> None:
    job = begun(node, "coolant-pump-seal")
    job.stand("measure-depth")
    job.well("setReading", "seal-depth", "12 o'clock", "1.3")
    job.well("goOn", "measure-depth", {"decision": 2})
    job.well("resume", ALLOWED)
    job.well("takeBackReading", 0, "Mistyped", "The keeper")
    job.well("jumpTo", "spacer-on", WHY)
    for act in (
        ("setReading", "seal-depth", "12 o'clock", "1.3"),
        ("takeBackReading", 0, "Mistyped"),
        ("observe", "pump-dead", True, ""),
        ("tightenRound", "cover-torque", 0, True),
        ("witness", "seal-in", "M. P."),
        ("deviate", {**WHY, "step": "seal-in"}),
        ("goOn", "seal-in", None),
    ):
        assert "does not stand at this step" in job.refused(*act), act
    # To read what is dangerous there is always allowed.
    job.well("readHazard", "isolate", 0)
    assert job.do("hazardRead", "isolate", 0)


def test_a_round_and_a_tick_are_of_the_procedure(node: NodePage) -> None:
    job = begun(node, "coolant-pump-seal")
    for act in (
        ("tick", "tool:lunch", True),
        ("tick", "general-1", True),
        ("readHazard", "isolate", 1),
        ("tightenRound", "cover-torque", 2, True),
        ("tightenRound", "seal-depth", 0, True),
        ("tagFound", 0),
    ):
        assert "not in the procedure" in job.refused(*act), act
    job.well("tick", "tool:hook", True)
    job.well("tick", "tool:hook", True)
    assert len(job.do("recordOf")["made_ready"]) == 1
    job.well("tick", "tool:hook", False)
    assert job.do("recordOf")["made_ready"] == "none"


def test_nothing_is_passed_over(node: NodePage) -> None:
    job = begun(node, "coolant-pump-seal")
    facts = job.facts["steps"]
    step = next(s for s in facts if s["specs"] and s["hazards"] == 0 and not s["decision"])
    job.stand(step["id"])
    wanted = {"reading", "instrument"} | ({"point"} if step["points"] else set())
    assert set(kinds(job, step["id"])) >= wanted
    found = job.do("goOn", step["id"], None)
    assert "still open" in found["problem"]
    assert {one["kind"] for one in found["open"]} == set(kinds(job, step["id"]))
    assert "Say who allowed it" in job.refused(
        "deviate", {**WHY, "step": step["id"], "approvedBy": " "}
    )
    job.well("deviate", {**WHY, "step": step["id"]})
    assert kinds(job, step["id"]) == []
    assert job.well("goOn", step["id"], None)["to"] == step["ways"]["next"]["to"]
    assert job.do("recordOf")["deviations"][-1]["approved_by"] == "The keeper"


def test_a_hazard_has_to_be_read_whatever_is_allowed(node: NodePage) -> None:
    job = begun(node, "coolant-pump-seal")
    step = next(s for s in job.facts["steps"] if s["hazards"])
    job.stand(step["id"])
    job.well("deviate", {**WHY, "step": step["id"]})
    assert set(kinds(job, step["id"])) == {"hazard"}
    assert "still open" in job.do("goOn", step["id"], None)["problem"]
    for n in range(step["hazards"]):
        job.well("readHazard", step["id"], n)
        assert job.do("hazardRead", step["id"], n)
    assert kinds(job, step["id"]) == []


def test_a_point_that_is_not_met_stays_open(node: NodePage) -> None:
    job = begun(node, "coolant-pump-seal")
    step = next(s for s in job.facts["steps"] if s["points"] and not s["decision"])
    point = step["points"][0]
    assert "does not stand" in job.refused("observe", point, False, "")
    job.stand(step["id"])
    job.well("observe", point, False, "")
    job.well("observe", point, False, "Scored")
    assert [o["kind"] for o in job.do("openStep", step["id"]) if o.get("point") == point] == [
        "point"
    ]
    job.well("observe", point, True, "Polished out")
    assert [o for o in job.do("openStep", step["id"]) if o.get("point") == point] == []
    seen = [(one["met"], one.get("seen")) for one in job.do("recordOf")["observations"]]
    assert seen == [(False, "Scored"), (True, "Polished out")]


@pytest.mark.parametrize("worker", ["K. O.", "Kim Olsen", "KO", "kim olsen", "K.-O."])
@pytest.mark.parametrize("second", ["KO", "k o", "K.O.", "Ｋ．Ｏ．", " k. o "])
def test_a_witness_is_somebody_else(node: NodePage, worker: str, second: str) -> None:
    job = begun(node, "coolant-pump-seal", worker=worker)
    step = next(s["id"] for s in job.facts["steps"] if s["witness"])
    job.stand(step)
    assert "second person" in job.refused("witness", step, second)
    assert "initials or a name" in job.refused("witness", step, "...")
    assert job.do("witnessOf", step) is None
    job.well("witness", step, "M. P.")
    assert job.do("witnessOf", step)["by"] == "M. P."
    other = next(s["id"] for s in job.facts["steps"] if not s["witness"])
    assert "not in the procedure" in job.refused("witness", other, "M. P.")
    assert "cannot be" in job.refused("witness", "constructor", "M. P.")


def test_the_full_name_of_who_signed_with_initials_is_no_second_person(node: NodePage) -> None:
    job = begun(node, "coolant-pump-seal", worker="K. O.")
    step = next(s["id"] for s in job.facts["steps"] if s["witness"])
    job.stand(step)
    assert "second person" in job.refused("witness", step, "Kim Olsen")
    job.well("witness", step, "Mia Olsen")
    assert job.do("recordOf")["witnessed"][0]["proof"] == "typed"


def test_a_fault_of_the_script_is_not_told_as_a_refusal(node: NodePage) -> None:
    job = begun(node, "vice-jaws")
    before = job.plain()
    with pytest.raises(ScriptFault, match="TypeError"):
        node.call("usePart", REF("made.job"), None, {"part": "x"})
    assert job.plain() == before


def test_a_decision_leads_on_and_back_as_often_as_it_may(node: NodePage) -> None:
    job = begun(node, "everything-once", "measure-bore")
    for times in range(2):
        for box in SEATS:
            job.well("setReading", "seat-bore", box, "39.97")
        asked = job.do("describe", job.do("readingsOf", "seat-bore", SEATS[0])[-1]["index"])
        assert (asked["reaction"]["to"], asked["left"]) == (
            job.step("dress-bore")["label"], 2 - times,
        )  # fmt: skip
        assert "Choose one" in job.refused("goOn", "measure-bore", None)
        assert set(kinds(job, "measure-bore", {"decision": 0})) == {"reaction"}
        assert job.do("wayLeft", "measure-bore", {"decision": 1}) == 2 - times
        assert job.well("goOn", "measure-bore", {"decision": 1})["to"] == asked["reaction"]["to"]
        job.well("goOn", "dress-bore", None)
        assert job.plain()["at"] == "clean-bore"
        # All between has to be done again.
        assert job.do("readingsOf", "seat-bore", SEATS[0]) == []
        assert "reading" in kinds(job, "measure-bore", {"decision": 0})
        job.stand("measure-bore")
        job.read_all(job.step("measure-bore"))
    job.well("setReading", "seat-bore", SEATS[0], "39.97")
    assert "as often as it may be" in job.refused("goOn", "measure-bore", {"decision": 1})
    assert job.well("goOn", "measure-bore", {"decision": 3})["stopped"].startswith("Order")
    assert len(job.do("recordOf")["readings"]) == 11
    rows = [row for row in job.do("recordOf")["readings"] if row["verdict"] == "reject"]
    assert "Take the high spots down and measure again" in {row["reaction"] for row in rows}


def test_a_reaction_leads_where_it_says_and_stops_the_job(node: NodePage, tmp_path: Path) -> None:
    job = begun(node, "everything-once", "measure-bore")
    way = {"spec": "seat-bore", "side": "below"}
    assert "No reading asks" in job.refused("goOn", "measure-bore", way)
    job.well("setReading", "seat-bore", SEATS[0], "39.97")
    assert "does not stand" in job.refused("goOn", "dress-bore", None)
    assert job.do("openStep", "measure-bore", way) == []
    assert job.well("goOn", "measure-bore", way)["to"] == job.step("dress-bore")["label"]
    job.stand("measure-bore")
    job.well("setReading", "seat-bore", SEATS[0], "40.5")
    stop = {"spec": "seat-bore", "side": "above"}
    assert job.well("goOn", "measure-bore", stop)["to"] is None
    record = recorded(job.do("recordText"), tmp_path)
    how = "Order a cartridge; the grinder stays locked and tagged"
    assert (record.outcome, record.readings[-1].reaction) == ("stopped", how)
    assert (record.note, record.stands_at) == (how, "measure-bore")
    for late in (("setReading", "seat-bore", SEATS[1], "40"), ("find", {"what": "Worn"})):
        assert "has ended" in job.refused(*late)
    assert "Say who" in job.refused("resume", {"reason": "A slip"})
    job.well("resume", ALLOWED)
    assert job.do("recordOf")["outcome"] == "open"


def test_the_end_is_behind_the_last_step(node: NodePage, tmp_path: Path) -> None:
    job = begun(node, "vice-jaws")
    last = job.facts["steps"][-1]
    assert "not behind you" in job.refused("finish", "done")
    job.stand(last["id"])
    job.well("deviate", {**WHY, "step": last["id"]})
    job.read_all({**last, "points": [], "specs": [], "witness": None})
    assert job.well("goOn", last["id"], None)["to"] is None
    job.well("finish", "done", "All in place")
    record = recorded(job.do("recordText"), tmp_path)
    assert (record.outcome, record.handover, record.note) == ("done", "All in place", None)


# --- STOP stands, and what is asked before work goes on ---


def test_no_way_leads_past_a_reading_that_says_stop(node: NodePage, tmp_path: Path) -> None:
    job = begun(node, "everything-once", "measure-bore")
    job.well("setReading", "seat-bore", SEATS[0], "39.97")
    job.well("setReading", "seat-bore", SEATS[1], "40.5")
    before = job.plain()
    # The other box asks for a way back, and so may the decision; neither clears the STOP.
    for way in ({"spec": "seat-bore", "side": "below"}, {"decision": 1}, {"decision": 2}, None):
        found = job.do("goOn", "measure-bore", way)
        assert "ok" not in found, way
    for target in ("lock", "measure-bore", "measure-depth"):
        assert "says STOP" in job.refused("jumpTo", target, WHY)
    job.well("deviate", {**WHY, "step": "measure-bore"})
    assert "problem" in job.do("goOn", "measure-bore", {"spec": "seat-bore", "side": "below"})
    assert job.plain()["readings"] == before["readings"]
    assert job.well("goOn", "measure-bore", {"decision": 3})["to"] is None
    # Opened again by somebody else, the job stands at the same STOP.
    for given in ({}, {"reason": "A slip"}, {**ALLOWED, "approvedBy": "k o"}):
        assert job.refused("resume", given)
    job.well("resume", ALLOWED)
    assert job.plain()["deviations"][-1]["approved_by"] == "The keeper"
    assert "STOP" in job.refused("goOn", "measure-bore", {"decision": 1})
    record = recorded(job.do("recordText"), tmp_path)
    assert record.deviations[-1].reason == "Stopped by a slip"
    assert record.deviations[-1].covers == (f"reaction/seat-bore/{SEATS[1]}/1",)
    # That other person's word is enough to measure again, once; the reading stays rejected.
    job.well("setReading", "seat-bore", SEATS[1], "40.6")
    assert "STOP stands" in job.refused("setReading", "seat-bore", SEATS[1], "40.000")
    job.well("finish", "stopped", "", "Too wide")
    job.well("resume", {**ALLOWED, "approvedBy": "S. V."})
    job.well("setReading", "seat-bore", SEATS[1], "40.000")
    rows = [one for one in job.plain()["readings"] if one["box"] == SEATS[1]]
    assert [(one["value"], one["verdict"]) for one in rows] == [
        ("40.5", "reject"), ("40.6", "reject"), ("40.000", "accept"),
    ]  # fmt: skip
    assert rows[0]["reaction"].endswith("Measured again, allowed by The keeper")
    assert rows[1]["reaction"] == "Measured again, allowed by S. V."
    assert not any(one["superseded"] for one in rows)
    assert job.do("jumpOpen", job.step("measure-bore")) == []


def test_a_stop_is_taken_back_only_with_another_person(node: NodePage, tmp_path: Path) -> None:
    job = begun(node, "everything-once", "measure-bore")
    job.well("setReading", "seat-bore", SEATS[1], "40.5")
    assert "reason" in job.refused("takeBackReading", 0, " ", "The keeper")
    assert "Say who" in job.refused("takeBackReading", 0, "Mistyped")
    assert "Somebody else" in job.refused("takeBackReading", 0, "Mistyped", "K.O.")
    job.well("takeBackReading", 0, "Mistyped", "The keeper")
    job.well("setReading", "seat-bore", SEATS[1], "40.000")
    record = recorded(job.do("recordText"), tmp_path)
    row = record.readings[0]
    assert (row.verdict, row.superseded) == ("reject", True)
    assert row.note == "Taken back: Mistyped. Allowed by The keeper"
    assert record.deviations[-1].approved_by == "The keeper"
    found = node.call("loadRecordFile", job.do("recordText"), REF("facts"))
    assert found == {"job": job.plain()}


def test_ways_for_what_is_not_accepted_are_shut_once_all_is(node: NodePage) -> None:
    job = begun(node, "everything-once", "measure-bore")
    for box in SEATS:
        job.well("setReading", "seat-bore", box, "39.99")
    for branch in (1, 2, 3):
        said = job.refused("goOn", "measure-bore", {"decision": branch})
        assert said.startswith("All readings are accepted")
    job.well("goOn", "measure-bore", {"decision": 0})


def test_once_is_once_whichever_way_leads_there(node: NodePage) -> None:
    job = begun(node, "everything-once", "measure-bore")
    asked = {"spec": "seat-bore", "side": "below"}
    for way in (asked, {"decision": 1}):
        job.well("setReading", "seat-bore", SEATS[0], "39.97")
        job.well("goOn", "measure-bore", way)
        job.stand("measure-bore")
        job.read_all(job.step("measure-bore"))
    job.well("setReading", "seat-bore", SEATS[0], "39.97")
    for way in (asked, {"decision": 1}):
        assert job.do("wayLeft", "measure-bore", way) == 0
        assert "as often as it may be" in job.refused("goOn", "measure-bore", way)


def test_what_a_way_back_throws_away_is_told_before(node: NodePage) -> None:
    job = begun(node, "everything-once", "measure-bore")
    first, here = job.step("set-gauge"), job.step("measure-bore")
    job.well("setReading", "seat-bore", SEATS[0], "39.983")
    said = job.do("lostOn", here, {"decision": 2})
    assert f"the readings of steps {first['number']} to {here['number']}" in said
    assert "New parts stay written down" in said
    assert job.do("lostOn", here, {"decision": 0}) == ""


def test_a_job_is_moved_ahead_past_nothing_dangerous(node: NodePage) -> None:
    job = begun(node, "coolant-pump-seal")
    last = job.facts["steps"][-1]
    open_ = job.do("jumpTo", last["id"], WHY)["open"]
    told = {one["step"] for one in open_}
    ahead = job.facts["steps"][:-1]
    assert told == {s["id"] for s in ahead if s["hazards"] or s["stops"] or s["witness"]}
    job.stand(last["id"])
    assert job.plain()["at"] == last["id"]


def test_parts_are_asked_for_counted_and_past_once_the_work_goes_back(node: NodePage) -> None:
    job = begun(node, "coolant-pump-seal")
    job.stand("seal-in")
    assert "part" in kinds(job, "seal-in")
    (open_,) = [o for o in job.do("openStep", "seal-in") if o["kind"] == "part"]
    assert open_["text"].startswith("Fitted: 0 of 1")
    job.well("usePart", {"part": "seal"})
    assert "part" not in kinds(job, "seal-in")
    job.well("takeOut", "parts_used", 0)
    job.well("usePart", {"part": "seal"})
    job.well("jumpTo", "try-start", WHY)
    assert "does not stand" in job.refused("takeOut", "parts_used", 0)
    assert job.do("fittedAt", "seal-in", "seal") == 0
    (used,) = job.do("recordOf")["parts_used"]
    assert "superseded" not in used
    assert used["repeated"] == "open"


def gone_back(node: NodePage) -> Job:
    """Return a job that fitted a seal, went back before it and stands at it again."""
    job = begun(node, "coolant-pump-seal")
    job.stand("seal-in")
    job.well("usePart", {"part": "seal", "number": "CP-030 17"})
    job.well("jumpTo", "try-start", WHY)
    job.stand("seal-in")
    return job


def test_a_part_is_in_yet_when_the_work_goes_back_and_its_step_asks_for_it(
    node: NodePage, tmp_path: Path
) -> None:
    job = gone_back(node)
    assert "part" in kinds(job, "seal-in")
    record = recorded(job.do("recordText"), tmp_path)
    assert [(one.number, one.superseded) for one in record.parts_used] == [("CP-030 17", False)]
    job.well("partStays", 0)
    assert job.do("fittedAt", "seal-in", "seal") == 1
    assert "fits 1" in job.refused("usePart", {"part": "seal"})
    assert "not in the procedure" in job.refused("partStays", 0)
    record = recorded(job.do("recordText"), tmp_path)
    assert [(one.repeated, one.superseded) for one in record.parts_used] == [("in", False)]
    found = node.call("loadRecordFile", job.do("recordText"), REF("facts"))
    assert found == {"job": job.plain()}


def test_another_part_takes_the_place_of_the_first_which_stays_as_used(node: NodePage) -> None:
    job = gone_back(node)
    job.well("usePart", {"part": "seal", "number": "CP-030 18"})
    rows = job.plain()["parts_used"]
    told = [(one["number"], one["quantity"], one["superseded"]) for one in rows]
    assert told == [("CP-030 17", 1, True), ("CP-030 18", 1, False)]
    assert job.do("fittedAt", "seal-in", "seal") == 1
    # What was typed wrongly goes; what was fitted before does not.
    job.well("takeOut", "parts_used", 1)
    assert [one["number"] for one in job.plain()["parts_used"]] == ["CP-030 17"]


def test_a_part_that_came_out_before_the_work_went_back_stays_as_used(node: NodePage) -> None:
    job = gone_back(node)
    job.well("partStays", 0)
    job.well("takeOut", "parts_used", 0)
    (used,) = job.plain()["parts_used"]
    assert used["superseded"] is True
    assert job.do("fittedAt", "seal-in", "seal") == 0


def test_a_part_nobody_spoke_of_again_is_told(node: NodePage, tmp_path: Path) -> None:
    job = gone_back(node)
    job.well("finish", "stopped", "", "Evening")
    known = Known.of(procedure_named("coolant-pump-seal"))
    told = told_of(recorded(job.do("recordText"), tmp_path), [], known, None)
    assert any("CP-030 17: fitted before the work went back" in one for one in told)


def test_another_number_than_called_for_stays_open_until_somebody_allows_it(
    node: NodePage, tmp_path: Path
) -> None:
    job = begun(node, "coolant-pump-seal")
    job.stand("seal-in")
    job.well("usePart", {"part": "seal", "number": "cp 030"})
    assert "part" not in kinds(job, "seal-in")
    job.well("takeOut", "parts_used", 0)
    job.well("usePart", {"part": "seal", "no_number": True})
    (used,) = recorded(job.do("recordText"), tmp_path).parts_used
    assert (used.number, used.no_number) == (None, True)
    job.well("takeOut", "parts_used", 0)
    job.well("usePart", {"part": "seal", "number": "CP-99"})
    assert "no_number" not in job.do("recordOf")["parts_used"][0]
    (open_,) = [o for o in job.do("openStep", "seal-in") if o["kind"] == "part"]
    fitted = "Shaft seal 17 × 30 × 7: CP-99 fitted instead of CP-030."
    assert (open_["text"], open_["given"], open_["allowed"]) == (fitted, fitted, False)
    record = recorded(job.do("recordText"), tmp_path)
    known = Known.of(procedure_named("coolant-pump-seal"))
    (told,) = [one for one in told_of(record, [], known, None) if "CP-99" in one]
    assert told == (
        "Shaft seal 17 × 30 × 7: CP-99 went in, the procedure calls for CP-030; "
        "nobody is named for it"
    )
    job.well("deviate", {**WHY, "what": "", "step": "seal-in"})
    assert all(one["allowed"] for one in job.do("openStep", "seal-in") if one["kind"] == "part")
    record = recorded(job.do("recordText"), tmp_path)
    assert (record.deviations[-1].what, record.deviations[-1].proof) == (fitted, "typed")
    # What is allowed already is not written again, and nothing is written of parts that are right.
    assert "missing" in job.refused("deviate", {**WHY, "what": "", "step": "seal-in"})
    (told,) = [one for one in told_of(record, [], known, None) if "CP-99" in one]
    assert told.endswith(f"allowed by {WHY['approvedBy']}")
    # It is in yet once the work went back, and so is who allowed it known yet.
    job.well("jumpTo", "try-start", WHY)
    record = recorded(job.do("recordText"), tmp_path)
    (told,) = [one for one in told_of(record, [], known, None) if "CP-99" in one]
    assert told.endswith(f"allowed by {WHY['approvedBy']}")


def test_a_witness_s_name_is_taken_back_and_the_record_keeps_it(
    node: NodePage, tmp_path: Path
) -> None:
    job = begun(node, "everything-once")
    step = next(one["id"] for one in job.facts["steps"] if one["witness"])
    job.stand(step)
    job.well("witness", step, "M. P.")
    job.well("takeBackWitness", step)
    assert "witness" in kinds(job, step)
    assert "not in the procedure" in job.refused("takeBackWitness", step)
    job.well("witness", step, "S. V.")
    record = recorded(job.do("recordText"), tmp_path)
    told = [(one.by, one.superseded) for one in record.witnessed if one.step == step]
    assert told[-2:] == [("M. P.", True), ("S. V.", False)]


def test_what_a_later_step_takes_out_is_in_no_more(node: NodePage) -> None:
    job = begun(node, "coolant-pump-seal")
    parts = [{"part": "seal", "step": "seal-in", "quantity": 1, "superseded": False} for _ in "ab"]
    node.ask(hold={"pile": {"parts_used": parts}})
    node.call("takeOff", REF("pile"), {"id": "later", "removes": [{"part": "seal", "quantity": 1}]})
    found = node.ask(see="pile")["parts_used"]
    assert [one["superseded"] for one in found] == [False, True]
    assert job.plain()["parts_used"] == []


def test_of_parts_fitted_together_only_those_a_step_takes_out_come_out(node: NodePage) -> None:
    begun(node, "coolant-pump-seal")
    parts = [{"part": "seal", "step": "seal-in", "quantity": 4, "superseded": False}]
    node.ask(hold={"pile": {"parts_used": parts}})
    node.call("takeOff", REF("pile"), {"id": "later", "removes": [{"part": "seal", "quantity": 1}]})
    found = node.ask(see="pile")["parts_used"]
    assert [(one["quantity"], one["superseded"]) for one in found] == [(1, True), (3, False)]


def test_after_a_stop_the_end_is_still_written(node: NodePage) -> None:
    job = begun(node, "coolant-pump-seal")
    job.well("find", {"what": "Worn", "holds": True})
    job.well("finish", "stopped", "", "The crane is away")
    job.well("setHandover", "Locked and tagged")
    job.well("setHours", 0, "1.5")
    job.well("tagFound", 0)
    for key in ("after:refill", "hold:hose"):
        job.well("tick", key, True)
    for late in (("tick", "tool:hook", True), ("tick", "general-0", True), ("find", {"what": "A"})):
        assert "has ended" in job.refused(*late)
    record = job.do("recordOf")
    assert (record["handover"], record["note"]) == ("Locked and tagged", "The crane is away")
    assert (record["close_outs"][0]["close_out"], record["outcome"]) == ("refill", "stopped")


# --- the scripts themselves ---


def test_the_small_script_is_made_of_the_scripts_as_they_are() -> None:
    made = page_script().partition("\n")[0]
    assert f"{made}\n" == stamp(), "run: bash tests/page_script.sh"


def test_no_name_is_given_twice_and_nothing_reaches_outside() -> None:
    texts = [script_text(name) for name in SCRIPTS if name != "sentences"]
    names = [name for text in texts for name in names_in(text)]
    assert len(names) == len(set(names))
    for word in ("eval(", "innerHTML", "fetch(", "import(", "Function(", "document."):
        assert not any(word in text for text in texts), word


def test_who_stood_for_a_job_is_asked_about_before_working_on_it(
    node: NodePage, tmp_path: Path
) -> None:
    job = begun(node, "everything-once")
    step = next(s for s in job.facts["steps"] if s["witness"])
    job.stand(step["id"])
    job.well("witness", step["id"], "MO")
    role = job.facts["roles"][0]["id"]
    job.well("addWorker", {"name": "Ann Bee", "role": role})
    given = {"name": "Mia Olsen", "role": role}
    found = job.do("addWorker", given)
    assert found["also"] == f"witnessed step {step['number']}"
    assert found["problem"].startswith("Mia Olsen has already stood for this job")
    assert [one["name"] for one in job.plain()["workers"]] == ["K. O.", "Ann Bee"]
    job.well("addWorker", {**given, "sure": True})
    text = job.do("recordText")
    also = [one.also for one in recorded(text, tmp_path).workers]
    assert also == [None, None, f"witnessed step {step['number']}"]
    loaded = node.call("loadRecordFile", text, REF("facts"))["job"]["workers"]
    assert [one["also"] for one in loaded] == also
