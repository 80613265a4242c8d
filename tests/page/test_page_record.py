"""What a job on the work page leaves behind is a job record that validates, whatever is done."""

from __future__ import annotations

import json
from collections.abc import Iterator
from datetime import datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from author.checks.job_records import faults_of
from author.procedure.conformity import judge
from author.procedure.document import Procedure
from author.procedure.job_record import JobRecord
from page.jobs import CONTENT, WHY, Job, Plain, facts_of, procedure_named, recorded
from page.node_page import REF, NodePage

EXAMPLES = ["coolant-pump-seal", "everything-once", "heating-pump", "valve-clearance", "vice-jaws"]
HOSTILE = [
    "</script><img src=x onerror=alert(1)>", "line\none\ttwo\r\n", "\u202eright to left",
    "null \0 and \u0007 bell", "\ufeffmark", "\u2028", "\ud800 half", "\U0001f527" * 400, "x" * 401,
    "  ", "", "- a: [b, {c}] # d", "'\"\\", "\uffff\ufffe", "\u0085next", "é" * 400, "none", "~",
    "=1+1", "a" + "\u0301" * 9, "\U0001f527" * 401, "\u200b\u200d", "2026-02-30", "1,5", "0", "-3",
]  # fmt: skip
TEXTS = st.sampled_from(HOSTILE) | st.text(max_size=30)
NUMBERS = st.sampled_from(
    ["0", "1", "9,85", "12.5", "0.05", "-4.50", "1,250", "1.4", "1.38", "20.5", "999999999999",
     "-999999999999.5", "abc", "", "120", "136.0", "39.990", "40.001"]
)  # fmt: skip


@pytest.fixture(scope="module")
def node() -> Iterator[NodePage]:
    with NodePage(zone="America/St_Johns") as opened:
        yield opened


def fresh(node: NodePage, name: str, **other: Any) -> Job:
    node.ask(clear=True, mode="open")
    node.ask(crash=True)
    return Job(node, facts_of(procedure_named(name)), **other)


# --- whatever is done ---


class Acts:
    """Draws acts of a job, sensible and senseless."""

    def __init__(self, job: Job, data: st.DataObject) -> None:
        self.job, self.data, self.facts = job, data, job.facts
        self.steps = [step["id"] for step in self.facts["steps"]]
        self.specs: list[Plain] = []
        self.points: list[str] = []
        self.parts: list[str] = []

    def one(self, choices: list[Any]) -> Any:
        return self.data.draw(st.sampled_from([*choices, "constructor", None]))

    def text(self) -> str:
        return self.data.draw(TEXTS)

    def way(self) -> Plain | None:
        spec = self.data.draw(st.sampled_from(self.specs))
        side = self.data.draw(st.sampled_from(["below", "above", "undecided"]))
        ways = [None, {"decision": 0}, {"decision": 1}, {"spec": spec["id"], "side": side}]
        return self.data.draw(st.sampled_from(ways))

    def reading(self) -> tuple[Any, ...]:
        spec = self.data.draw(st.sampled_from(self.specs))
        return (spec["id"], self.one(spec["boxes"]), self.data.draw(NUMBERS))

    def looked_at(self) -> None:
        """Draw from the step where the job stands, and now and then from all."""
        here = self.job.plain()["at"]
        near = self.data.draw(st.integers(0, 3)) > 0
        steps = [s for s in self.facts["steps"] if s["id"] == here or not near]
        steps = steps or self.facts["steps"]
        everywhere = [spec for step in self.facts["steps"] for spec in step["specs"]]
        self.specs = [spec for step in steps for spec in step["specs"]] or everywhere
        self.points = [point for step in steps for point in step["points"]]
        self.parts = [part["part"] for step in steps for part in step["parts"]]

    def drawn(self) -> tuple[str, tuple[Any, ...]]:
        self.looked_at()
        n = self.data.draw(st.integers(0, 6))
        here = self.job.plain()["at"] or self.steps[-1]
        step = self.data.draw(st.sampled_from([here, here, here, *self.steps]))
        words = {"what": self.text(), "reason": self.text(), "approvedBy": self.text()}
        role = self.one([role["id"] for role in self.facts["roles"]])
        tool = self.one([spec["instrument"] for spec in self.specs])
        acts: dict[str, tuple[Any, ...]] = {
            "addWorker": ({"name": self.text(), "role": role},),
            "setWorker": (n,),
            "setHours": (n % 2, self.data.draw(NUMBERS)),
            "setInstrument": (tool, {"number": self.text(), "calibrated": "2024-02-29"}),
            "setReading": self.reading(),
            "takeBackReading": (n, self.text(), self.text()),
            "observe": (self.one(self.points), self.data.draw(st.booleans()), self.text()),
            "witness": (step, self.text()),
            "usePart": ({"part": self.one(self.parts), "number": self.text()},),
            "find": ({"what": self.text(), "step": step, "holds": n > 1},),
            "tagFound": (n % 2,),
            "tick": (self.one(self.facts["ticks"]), n > 1),
            "readHazard": (step, n % 3),
            "tightenRound": (self.data.draw(st.sampled_from(self.specs))["id"], n % 3, n != 4),
            "ask": ({"text": self.text(), "step": self.one(self.steps)},),
            "takeOut": (self.one(["findings", "readings", "parts_used"]), 0),
            "deviate": ({**words, "step": step, "way": self.way()},),
            "jumpTo": (step, words),
            "goOn": (step, self.way()),
            "finish": (self.one(["done", "stopped"]), self.text()),
            "resume": (words,),
            "setHandover": (self.text(),),
        }
        often = ["setReading"] * 5 + ["goOn", "deviate", "observe", "jumpTo"] * 2
        often += ["tick", "readHazard", "tightenRound", "usePart", "tagFound"]
        name = self.data.draw(st.sampled_from([*often, *acts]))
        return name, acts[name]


@settings(max_examples=35, deadline=None)
@given(data=st.data())
def test_every_record_validates_and_brings_the_whole_job_with_it(
    node: NodePage, tmp_path_factory: pytest.TempPathFactory, data: st.DataObject
) -> None:
    name = data.draw(st.sampled_from(EXAMPLES))
    job = fresh(node, name)
    acts = Acts(job, data)
    if data.draw(st.booleans()):
        job.stand(data.draw(st.sampled_from(acts.steps)))
    for _ in range(data.draw(st.integers(1, 25))):
        act, args = acts.drawn()
        before = job.plain()
        found = job.do(act, *args)
        if "problem" in found or "choices" in found:
            assert job.plain() == before, (act, args)
        else:
            assert found["ok"], found
    text = job.do("recordText")
    record = recorded(text, tmp_path_factory.mktemp("record"))
    agrees(record, procedure_named(name), job.facts)
    loaded = node.call("loadRecordFile", text, REF("facts"))
    assert loaded == {"job": job.plain()}
    assert node.call("recordText", loaded["job"]) == text


def agrees(record: JobRecord, procedure: Procedure, facts: Plain) -> None:
    """Hold a record against its procedure: names, units, verdicts, rules."""
    assert (record.procedure.id, record.procedure.revision) == (procedure.id, procedure.revision)
    assert faults_of(record, procedure) == ()
    assert (record.content, record.data, record.unit) == (CONTENT, procedure.data, facts["unit"])
    assert {w.role for w in record.workers} <= {p.id for p in procedure.people}
    assert {i.tool for i in record.instruments} <= facts["tools"].keys()
    assert {p.part for p in record.parts_used} <= facts["parts"].keys()
    specs = {spec.id: spec for _, _, spec in procedure.placed_specs()}
    boxes = {spec["id"]: spec["boxes"] for step in facts["steps"] for spec in step["specs"]}
    bands = {tool.id: tool.uncertainty for tool in procedure.tools}
    for row in record.readings:
        spec = specs[row.spec]
        assert (row.position or "") in boxes[row.spec]
        assert row.unit == spec.unit
        if row.instrument is not None:
            assert spec.spread_of or record.instruments[row.instrument].tool == spec.instrument
        if row.verdict == "not_judged":
            assert spec.reference or row.superseded
            assert (row.rule, row.reaction) == (None, None)
            continue
        assert row.rule == spec.decision_rule
        band = bands.get(spec.instrument or "")
        assert row.verdict == judge(row.value, spec.limits(), band, row.rule).outcome


# --- texts and moments ---


@pytest.mark.parametrize(
    ("typed", "kept"),
    [
        ("one\r\ntwo\tthree", "one two three"),
        ("\u202e\u200bright\ufeff ", "right"),
        ("bell\u0007\0", "bell"),
        ("half \ud83d", "half"),
        ("\U0001f527" * 400, "\U0001f527" * 400),
        ("  ", None),
    ],
)
def test_texts_are_lines_of_the_contract(node: NodePage, typed: str, kept: str | None) -> None:
    job = fresh(node, "vice-jaws")
    job.well("finish", "stopped", typed)
    assert job.do("recordOf").get("handover") == kept


def test_too_long_a_text_is_refused_with_how_much(node: NodePage) -> None:
    job = fresh(node, "vice-jaws")
    assert "3 characters too many" in job.refused("finish", "stopped", "x" * 403)
    assert "The description is missing" in job.refused("find", {"what": " \u200b"})


@pytest.mark.parametrize(
    ("zone", "hours"),
    [("Asia/Kathmandu", 5.75), ("America/St_Johns", -3.5), ("Etc/UTC", 0), ("Etc/GMT-14", 14)],
)
def test_moments_carry_the_offset_of_the_device(zone: str, hours: float, tmp_path: Path) -> None:
    with NodePage(zone=zone) as node:
        node.ask(ahead=0)
        job = fresh(node, "coolant-pump-seal")
        job.stand(witness_step(job))
        job.well("witness", witness_step(job), "M. P.")
        job.well("finish", "stopped", "Locked and tagged")
        record = recorded(job.do("recordText"), tmp_path)
    assert record.ended is not None
    for moment in (record.began, record.ended, record.witnessed[0].at):
        found = datetime.fromisoformat(moment)
        offset = found.utcoffset()
        assert offset is not None
        # St John's is an hour ahead of that in summer.
        assert offset - timedelta(hours=hours) in {timedelta(0), timedelta(hours=1)}
        assert abs(datetime.now(found.tzinfo) - found) < timedelta(minutes=2)


def witness_step(job: Job) -> str:
    return next(step["id"] for step in job.facts["steps"] if step["witness"])


# --- the record, piece by piece ---


def test_a_record_just_begun_says_none(node: NodePage, tmp_path: Path) -> None:
    job = fresh(node, "vice-jaws")
    text = job.do("recordText")
    plain = json.loads(text)
    assert list(plain)[:4] == ["schema", "procedure", "content", "data"]
    lists = [key for key, value in plain.items() if value == "none"]
    named = [name for name, field in JobRecord.model_fields.items() if field.annotation]
    assert lists == [name for name in named if plain.get(name) == "none"]
    assert len(lists) == 14
    assert recorded(text, tmp_path).outcome == "open"
    assert text.endswith("}\n")
    assert job.do("recordName").startswith("vice-jaws-1-20")


def test_hours_parts_findings_and_questions(node: NodePage, tmp_path: Path) -> None:
    job = fresh(node, "coolant-pump-seal")
    step = job.facts["steps"][2]["id"]
    job.well("setHours", 0, "1,5")
    assert "Write hours" in job.refused("setHours", 0, "0")
    assert "Write hours" in job.refused("setHours", 0, "-1")
    assert "another step" in job.refused("usePart", {"part": "seal"})
    job.stand("seal-in")
    assert "fits 1, 0" in job.refused("usePart", {"part": "seal", "quantity": "2"})
    job.well("usePart", {"part": "seal", "number": "CP-030"})
    assert "1 went in" in job.refused("usePart", {"part": "seal", "number": "CP-030"})
    for count in ("0", "1.5", "10001", "two", "-1"):
        assert "cannot be" in job.refused("usePart", {"part": "seal", "quantity": count})
    job.well("find", {"what": "The face is worn", "step": step, "holds": True})
    job.well("find", {"what": "A wrong entry"})
    job.well("takeOut", "findings", 1)
    job.well("ask", {"text": "Which driver?", "step": step})
    record = recorded(job.do("recordText"), tmp_path)
    assert format(record.workers[0].hours or 0, "f") == "1.5"
    assert [(p.number, p.quantity, p.step) for p in record.parts_used] == [("CP-030", 1, "seal-in")]
    assert [(f.what, f.step, f.holds) for f in record.findings] == [
        ("The face is worn", step, True)
    ]
    assert [q.step for q in record.questions] == [step]


def test_an_instrument_is_asked_for_once_and_changed_openly(node: NodePage) -> None:
    job = fresh(node, "coolant-pump-seal")
    given = {"number": "DG-O7", "calibrated": ""}
    assert "where the job stands" in job.refused("setInstrument", "depth-gauge", given)
    job.stand("measure-depth")
    job.well("setReading", "seal-depth", "12 o'clock", "1.38")
    job.well("setInstrument", "depth-gauge", {"number": "DG-O7", "calibrated": ""})
    mended = {"number": "DG-07", "calibrated": "2026-06-15", "correct": True}
    job.well("setInstrument", "depth-gauge", mended)
    job.well("setReading", "seal-depth", "4 o'clock", "1.40")
    job.well("setInstrument", "depth-gauge", {"number": "DG-08"})
    job.well("setReading", "seal-depth", "8 o'clock", "1.39")
    record = job.do("recordOf")
    assert [row.get("instrument") for row in record["readings"]] == [0, 0, 1, 1]
    assert record["instruments"][0] == {
        "tool": "depth-gauge", "number": "DG-07", "calibrated": "2026-06-15",
    }  # fmt: skip
    for day in ("9026-01-01", "2026-02-30", "15.6.2026", "2026-6-15", "0000-01-01"):
        given_ = {"number": "1", "calibrated": day}
        assert "last calibration" in job.refused("setInstrument", "depth-gauge", given_)


# --- going on with a saved record ---


def loaded(node: NodePage, record: Plain | str) -> Any:
    text = record if isinstance(record, str) else json.dumps(record)
    return node.call("loadRecordFile", text, REF("facts"))


def test_another_tablet_goes_on_where_the_job_stands(node: NodePage) -> None:
    job = fresh(node, "coolant-pump-seal")
    first = job.facts["steps"][0]
    job.read_all(first)
    for spec in first["specs"]:
        for box in spec["boxes"]:
            job.well("setReading", spec["id"], box, "0")
    to = job.well("goOn", first["id"], None)["to"]
    found = loaded(node, job.do("recordText"))["job"]
    assert found["at"] == job.plain()["at"] == job.facts["steps"][1]["id"]
    assert to == "step-2"
    assert [row["superseded"] for row in found["observations"]] == [False] * len(first["points"])


def test_a_done_and_a_stopped_job_load_as_they_ended(node: NodePage) -> None:
    job = fresh(node, "vice-jaws")
    job.well("finish", "stopped", "Come back tomorrow")
    found = loaded(node, job.do("recordText"))["job"]
    assert (found["outcome"], found["at"]) == ("stopped", job.plain()["at"])
    assert found["ended"] == job.plain()["ended"]


SIGNED = {"by": "K. O.", "at": "2026-03-31T14:05:00Z"}
ROUND = {"spec": "seal-depth", "round": 0, **SIGNED}
DEVIATION = {"step": "lock", "what": "A", "reason": "B", "approved_by": "C"}
FAULTS: list[tuple[str, Plain]] = [
    ("another procedure", {"content": "0" * 64}),
    ("another procedure", {"procedure": {"id": "vice-jaws", "revision": 1}}),
    ("another procedure", {"schema": "job_record/2"}),
    ("“king” cannot be", {"workers": [{"name": "A", "role": "king"}]}),
    ("among those who work", {"workers": []}),
    ("who works", {"began": "yesterday"}),
    ("who works", {"outcome": "maybe"}),
    ("who works", {"outcome": "done"}),
    ("no job record", {"workers": 5}),
    ("at which step the job stands", {"stands_at": "nowhere"}),
    ("at which step the job stands", {"stands_at": None}),
    ("who works", {"writes": 1}),
    ("not in the procedure", {"hazards_read": [{"message": 7, **SIGNED}]}),
    ("not in the procedure", {"hazards_read": [{"step": "lock", "message": 0, **SIGNED}]}),
    ("“-1” cannot be", {"hazards_read": [{"message": -1, **SIGNED}]}),
    ("not in the procedure", {"made_ready": [{"kind": "tool", "item": "seal", **SIGNED}]}),
    ("not in the procedure", {"close_outs": [{"close_out": "lunch", **SIGNED}]}),
    ("not in the procedure", {"tags_hung": [{"finding": "seal", **SIGNED}]}),
    ("among those who work", {"tags_hung": [{"finding": "hose", **SIGNED, "by": "M. P."}]}),
    ("“constructor” cannot be", {"rounds_tightened": [ROUND | {"spec": "constructor"}]}),
    ("not in the procedure", {"rounds_tightened": [ROUND]}),
    ("not in the procedure", {"ways_taken": [{"step": "lock", "branch": 0, **SIGNED}]}),
    ("not in the procedure", {"ways_taken": [{"step": "lock", **SIGNED}]}),
    ("not in the procedure", {"deviations": [DEVIATION | {"covers": ["witness/seal-in"]}]}),
    ("not in the procedure", {"findings": [{"what": "A", "holds": False, "tagged_by": "K. O."}]}),
    ("not that of its readings", {"computed_from": [0]}),
    ("too many", {"handover": "x" * 401}),
    ("another verdict", {"verdict": "accept"}),
    ("not in the procedure", {"unit": "in"}),
    ("“1e9” cannot be", {"value": "1e9"}),
    ("“constructor” cannot be", {"spec": "constructor"}),
    ("not in the procedure", {"position": "13 o'clock"}),
    ("cannot be", {"phase": "before"}),
    ("no job record", {"instrument": 7}),
]


@pytest.mark.parametrize(("said", "change"), FAULTS, ids=lambda value: str(value)[:40])
def test_a_file_that_is_not_this_job_is_refused(node: NodePage, said: str, change: Plain) -> None:
    job = fresh(node, "coolant-pump-seal")
    job.stand("measure-depth")
    job.well("setReading", "seal-depth", "12 o'clock", "1.47")
    record = job.do("recordOf")
    assert loaded(node, record).keys() == {"job"}
    inner = record["readings"][0]
    target = inner if change.keys() & {*inner, "instrument", "phase", "computed_from"} else record
    target.update(change)
    assert said in loaded(node, record)["problem"]


ODD = st.recursive(
    st.none() | st.booleans() | st.integers(-1, 11_000) | TEXTS | st.sampled_from([0, "0", "open"]),
    lambda inner: st.lists(inner, max_size=2) | st.dictionaries(TEXTS, inner, max_size=1),
    max_leaves=3,
)


@settings(max_examples=80, deadline=None)
@given(data=st.data())
def test_whatever_stands_in_a_file_its_record_validates(
    node: NodePage, tmp_path_factory: pytest.TempPathFactory, data: st.DataObject
) -> None:
    """One value of a record is replaced: it is refused, or what is loaded is sound."""
    job = fresh(node, "coolant-pump-seal")
    filled(job)
    record = job.do("recordOf")
    target: Any = record
    while True:
        keys = [*target] if isinstance(target, dict) else [*range(len(target))]
        key = data.draw(st.sampled_from(keys))
        if not isinstance(target[key], dict | list) or data.draw(st.integers(0, 3)) == 0:
            break
        target = target[key]
    target[key] = data.draw(ODD)
    found = node.call("loadRecordFile", json.dumps(record), REF("facts"), hold="loaded")
    if "problem" in found:
        assert found.keys() == {"problem"}
        return
    text = node.call("recordText", REF("loaded.job"))
    agrees(
        recorded(text, tmp_path_factory.mktemp("odd")), procedure_named(job_name(job)), job.facts
    )


@pytest.mark.parametrize("odd", [[0], "0", [], "length", True, 7])
def test_who_writes_in_a_loaded_file_is_one_of_its_people(
    node: NodePage, tmp_path: Path, odd: Any
) -> None:
    job = fresh(node, "coolant-pump-seal")
    filled(job)
    record = {**job.do("recordOf"), "writes": odd}
    found = node.call("loadRecordFile", json.dumps(record), REF("facts"), hold="loaded")
    if "problem" not in found:
        text = node.call("recordText", REF("loaded.job"))
        agrees(recorded(text, tmp_path), procedure_named(job_name(job)), job.facts)


def filled(job: Job) -> None:
    """Leave an entry in every list of the record of a pump job, but for a decision."""
    job.stand("isolate")
    job.well("readHazard", "isolate", 0)
    for key in ("general-0", "before:drained", "tool:hook", "after:refill", "hold:hose"):
        job.well("tick", key, True)
    job.stand("try-start")
    job.well("observe", "pump-dead", True, "Dead")
    job.stand("seal-in")
    job.well("usePart", {"part": "seal", "number": "CP-030"})
    job.well("witness", "seal-in", "M. P.")
    job.stand("measure-depth")
    job.well("setInstrument", "depth-gauge", {"number": "DG-07", "calibrated": "2026-06-15"})
    for box in ("12 o'clock", "4 o'clock", "8 o'clock"):
        job.well("setReading", "seal-depth", box, "1.40")
    job.well("find", {"what": "Worn", "step": "seat-seal", "holds": True})
    job.well("tagFound", 0)
    job.well("deviate", {**WHY, "step": "measure-depth"})
    job.well("jumpTo", "seat-seal", {"what": "Left out", "reason": "Done", "approvedBy": "F. J."})


def test_another_tablet_knows_all_that_was_read_ticked_and_hung(node: NodePage) -> None:
    job = fresh(node, "coolant-pump-seal")
    filled(job)
    before = job.plain()
    text = job.do("recordText")
    node.call("forget")
    found = node.call("loadRecordFile", text, REF("facts"), hold="loaded")["job"]
    assert found == before
    record = json.loads(text)
    assert record["findings"][0]["tagged_by"] == record["tags_hung"][0]["by"] == "K. O."
    assert [one.get("superseded") for one in record["witnessed"]] == [None]
    assert {one.get("superseded") for one in record["readings"]} == {True}
    for key in ("general-0", "tool:hook", "after:refill", "hold:hose"):
        assert node.call("ticked", REF("loaded.job"), REF("facts"), key)
    assert node.call("hazardRead", REF("loaded.job"), "isolate", 0)


def job_name(job: Job) -> str:
    name: str = job.facts["procedure"]["id"]
    return name


@pytest.mark.parametrize("text", ["", "{", "null", "[]", "7", '"x"', "{}", "\0"])
def test_a_file_that_is_no_record_is_refused(node: NodePage, text: str) -> None:
    fresh(node, "vice-jaws")
    assert loaded(node, text).keys() == {"problem"}


@pytest.mark.parametrize(
    ("typed", "hours"),
    [
        ("40 min", "0.67"),
        ("0:40", "0.67"),
        ("1 h 20", "1.33"),
        ("1h20min", "1.33"),
        ("1:30", "1.5"),
        ("90 min.", "1.5"),
        ("2 hours", "2"),
        ("10:00", "10"),
        ("1.50 h", "1.50"),
        ("1 min", "0.02"),
    ],
)
def test_hours_are_typed_as_a_clock_tells_them_too(
    node: NodePage, typed: str, hours: str, tmp_path: Path
) -> None:
    job = fresh(node, "coolant-pump-seal")
    job.well("setHours", 0, typed)
    assert str(recorded(job.do("recordText"), tmp_path).workers[0].hours) == hours
    job.well("setHours", 0, " ")
    assert recorded(job.do("recordText"), tmp_path).workers[0].hours is None


@pytest.mark.parametrize(
    "typed", ["1:75", "1:5", "0:00", "0 min", "forty", "1:20:30", "1,250", "1 h 20 h"]
)
def test_what_is_no_time_is_not_taken_for_hours(node: NodePage, typed: str) -> None:
    job = fresh(node, "coolant-pump-seal")
    assert "Write hours such as" in job.refused("setHours", 0, typed)
