"""The record sheet: blank, filled, and what is told where a record is not as it has to be."""

from __future__ import annotations

import copy
import re
import time
from decimal import Decimal
from fractions import Fraction

import pytest
from document.examples import RECORD_SCHEMA, procedures, read_job_record, valid
from document.test_job_record import outcome
from hypothesis import given
from hypothesis import strategies as st

from author.checks import check
from author.checks.job_records import Known, faults_of
from author.checks.record_verdicts import judge_reading
from author.errors import FileErrors, InputError
from author.procedure.job_record import JobRecord
from author.procedure.quantities import round_fraction
from author.procedure.units import all_units
from author.publish.pdf import make_pdf
from author.publish.record_content import record_data
from author.publish.record_lists import moment_text
from author.publish.record_sheet import record_pdf, sheet_pdf
from author.serve.procedure_view import data_of as shown_of
from author.serve.rendering import templates
from publish import sample
from publish.sheets import (
    EVERYTHING,
    assert_archival,
    example,
    flat,
    page_texts,
    paper_sizes,
    record,
    record_plain,
    tags,
    text_of,
)

HEATING = "heating-pump-done"
STEP = next(example("heating-pump").placed_steps()).step.id


def data_of(name: str, filled: JobRecord | None, content: str | None = None) -> dict:
    return record_data(example(name), draft=False, record=filled, content=content)


def told(changes) -> str:
    """What the sheet tells of the heating record after some changes to it."""
    plain = copy.deepcopy(record_plain(HEATING))
    changes(plain)
    return " | ".join(data_of("heating-pump", JobRecord.model_validate(plain))["told"])


# --- what the program makes of a reading ---


def test_examples_are_judged_as_they_are_recorded_and_nothing_is_told():
    known = procedures()
    judged = 0
    for file in valid(RECORD_SCHEMA):
        read = read_job_record(file)
        _, procedure = known[read.procedure.id, read.procedure.revision or 0]
        assert faults_of(read, procedure) == ()
        for one in read.readings:
            assert judge_reading(one, read, Known.of(procedure)).verdict == one.verdict
            judged += 1
        made = record_data(procedure, draft=False, record=read, content=read.content)
        assert made["told"] == []
    assert judged > 15


@given(st.integers(1180, 1540), st.sampled_from(["kPa", "bar", "psi"]))
def test_a_reading_is_judged_alike_in_any_unit(tenths, unit):
    """Against the older judgement of the tests, which turns the limits into the reading's unit."""
    procedure = example("heating-pump")
    plain = copy.deepcopy(record_plain(HEATING))
    exact = all_units()[unit].from_si(all_units()["kPa"].to_si(Decimal(tenths) / 10))
    plain["readings"] = [
        {**plain["readings"][7], "value": f"{round_fraction(exact, 6):f}", "unit": unit}
    ]
    filled = JobRecord.model_validate(plain)
    (one,) = filled.readings
    _, spec = Known.of(procedure).specs[one.spec]
    assert judge_reading(one, filled, Known.of(procedure)).verdict == outcome(one, spec, procedure)


def test_a_reading_at_a_limit_in_another_unit_is_compared_exactly():
    """0.0040 in is 0.1016 mm exactly: at the limit it is accepted, a hair below it is not."""
    procedure = example("valve-clearance")
    plain = copy.deepcopy(record_plain("valve-clearance-done"))
    known = Known.of(procedure)
    found = []
    for value in ("0.1016", "0.101599999999"):
        plain["readings"] = [{**plain["readings"][0], "spec": "intake-clearance", "unit": "mm"}]
        plain["readings"][0].update(value=value, instrument=1)
        filled = JobRecord.model_validate(plain)
        found.append(judge_reading(filled.readings[0], filled, known).verdict)
    assert Fraction("0.0040") * Fraction("25.4") == Fraction("0.1016")
    assert found == ["accept", "reject"]


def test_the_range_that_decides_stands_before_the_limits_on_paper_and_in_the_library():
    procedure = example("everything-once")
    draft = check(procedure).draft
    sheet = text_of(record_pdf(draft))
    whole = text_of(make_pdf(draft, {}, yaml=b"", clips={}))
    for inner, outer in (("39.984to40.005", "39.982to40.007"), ("20.2to21.8", "20.0to22.0")):
        words = re.compile(f"acceptareadingof{inner}(mm|N·m)withinthelimits{outer}")
        assert words.search(sheet)
        assert len(words.findall(whole)) == 2
    template = templates().get_template("procedure_body.html.jinja")
    body = template.render(shown_of(procedure, None, ""))
    assert re.search(r"accept a reading of <strong class=.range.>39.984 to 40.005.mm", body)
    assert re.search(r"<strong class=.range.>39.982", body) is None


# --- what is told ---


def set_reading(index: int, **changes):
    return lambda plain: plain["readings"][index].update(changes)


TOLD = [
    ("another verdict", set_reading(4, value="63.5"),
     "63.5 °C is recorded as accepted; by the procedure: rejected, above the limits"),
    ("too near to tell", set_reading(7, verdict="accept"),
     "122 kPa is recorded as accepted; by the procedure: cannot tell, too near the lower limit"),
    ("another rule", set_reading(8, rule="simple_acceptance"),
     "decided by simple acceptance, the procedure asks for guard band"),
    ("another instrument", set_reading(5, instrument=0), "the procedure asks for “Torque wrench"),
    ("digits no gauge shows", set_reading(8, value="150.3"), "150.3 kPa cannot be read from it"),
    ("no reaction", lambda r: r["readings"][7].pop("reaction"),
     "nothing is recorded of what was done about 122 kPa"),
    ("left open", lambda r: r["readings"].pop(8),
     "the last reading is not accepted, yet the job is said to be done"),
    ("not read again", lambda r: r["readings"][8].update(superseded=True),
     "not read again, though the work went back over it"),
    ("calibrated later", lambda r: r["instruments"][0].update(calibrated="2026-12-01"),
     "VT-01 is said to have been calibrated after the work began"),
    ("calibrated long ago", lambda r: r["instruments"][0].update(calibrated="2021-11-01"),
     "VT-01 was last calibrated on 2021-11-01, more than five years before the work began"),
    ("ended before", lambda r: r.update(ended="2026-11-02T07:29:00Z"), "ended before it began"),
    ("begun after all of it", set_reading(0, at="2026-11-02T07:29:59Z"),
     "1 of 10 readings are said to be from before the work began, the first of 2026-11-02 07:29"),
    ("read after the end", set_reading(8, at="2026-11-02T10:05:01+01:00"),
     "1 of 10 readings are said to be from after the work ended, the last of 2026-11-02 10:05"),
    ("more hours than went by", lambda r: r["workers"][0].update(hours="50"),
     " is said to have worked 50 h, and from begin to end "),
    ("no end", lambda r: r.pop("ended"), "said to be done, but not when it ended"),
    ("not demo", lambda r: r.update(data="shop"), "said to be of real work, the procedure of"),
    ("witness of nothing", lambda r: r.update(witnessed=[
        {"step": STEP, "by": "U. X.", "at": "2026-11-02T08:00:00Z"}]),
     "has no witness point, yet U. X. is named for one"),
]  # fmt: skip


@pytest.mark.parametrize(("changes", "words"), [t[1:] for t in TOLD], ids=[t[0] for t in TOLD])
def test_what_differs_from_the_procedure_is_told(changes, words):
    assert words in told(changes)


def test_a_file_changed_since_is_told():
    filled = record(HEATING)
    assert data_of("heating-pump", filled, filled.content)["told"] == []
    (said,) = data_of("heating-pump", filled, "ab" * 32)["told"]
    assert "has been changed since" in said
    assert filled.content[:16] in said


def test_a_spread_that_is_not_that_of_its_readings_is_told():
    plain = copy.deepcopy(record_plain("coolant-pump-stopped"))
    plain["readings"][3]["value"] = "0.03"
    (said,) = data_of("coolant-pump-seal", JobRecord.model_validate(plain))["told"]
    assert "largest less smallest of the readings is 0.09 mm" in said


def test_a_witness_who_did_the_work_is_told():
    plain = copy.deepcopy(record_plain("coolant-pump-stopped"))
    plain["witnessed"][0]["by"] = "K. O."
    (said,) = data_of("coolant-pump-seal", JobRecord.model_validate(plain))["told"]
    assert "K. O., recorded as Technician, saw what is to be seen by: Foreman" in said


def test_both_verdicts_are_printed():
    plain = copy.deepcopy(record_plain(HEATING))
    plain["readings"][4]["value"] = "63.5"
    text = text_of(
        sheet_pdf(example("heating-pump"), draft=False, record=JobRecord.model_validate(plain))
    )
    assert flat("Accepted By the procedure: rejected") in text
    assert flat("Not as the procedure asks") in text
    assert flat("1 judged otherwise by the procedure") in text


# --- wrong records ---


def refused(changes, name: str = "heating-pump") -> InputError:
    plain = copy.deepcopy(record_plain(HEATING))
    changes(plain)
    with pytest.raises(InputError) as caught:
        sheet_pdf(example(name), draft=False, record=JobRecord.model_validate(plain))
    assert caught.value.remedy
    return caught.value


F_J = {"by": "F. J.", "at": "2026-11-02T08:12:00Z"}


def read_hazard(**entry):
    return lambda r: r.update(hazards_read=[{"message": 0, **F_J, **entry}])


def tightened(**entry):
    return lambda r: r["rounds_tightened"][0].update(entry)


def went(**entry):
    return lambda r: r["ways_taken"][0].update(entry)


WRONG = [
    ("revision", lambda r: r["procedure"].update(revision=7), "revision 7, not of heating-pump"),
    ("no revision", lambda r: r["procedure"].pop("revision"), "does not say of which revision"),
    ("number", set_reading(0, spec="nothing"), "'nothing' is not among the numbers"),
    ("position", set_reading(0, position="upside"), "read at no position 'upside'"),
    ("no position", lambda r: r["readings"][0].pop("position"), "at which position"),
    ("unit", set_reading(0, unit="mm"), "is read in mm, its limits are in V"),
    ("instrument", set_reading(0, instrument=9), "there is no instrument 9"),
    ("tool", lambda r: r["instruments"][0].update(tool="x"), "'x' is not among the tools"),
    ("point", lambda r: r["observations"][0].update(point="x"), "criteria and critical points"),
    ("role", lambda r: r["workers"][0].update(role="x"), "'x' is not among the people"),
    ("part", lambda r: r["parts_used"][0].update(part="x"), "'x' is not among the parts"),
    ("step", lambda r: r.update(findings=[{"what": "A", "step": "x"}]), "not among the steps"),
    ("stands", lambda r: r.update(stands_at="x"), "'x' is not among the steps"),
    ("writes", lambda r: r.update(writes=2), "there is no worker 2"),
    ("general", read_hazard(message=1), "the procedure has 1 hazard messages there"),
    ("hazard", read_hazard(step="lock"), "the procedure has 0 hazard messages there"),
    ("hazard of none", read_hazard(step="x"), "'x' is not among the steps"),
    ("ready", lambda r: r.update(made_ready=[{"kind": "tool", "item": "pump", **F_J}]),
     "'pump' is not among the tool"),
    ("round", tightened(round=2), "there is no entry 2"),
    ("round of none", tightened(spec="x"), "'x' is not among the numbers"),
    ("no round", tightened(spec="pump-voltage"), "0 rounds of tightening"),
    ("close-out", lambda r: r["close_outs"][0].update(close_out="x"), "not among the close-outs"),
    ("tag", lambda r: r.update(tags_hung=[{"finding": "x", **F_J}]), "'x' is not among the find"),
    ("tag for nothing", lambda r: r.update(findings=[{"what": "A", "tagged_by": "F. J."}]),
     "does not hold the unit"),
    ("way of none", went(step="x"), "'x' is not among the steps"),
    ("no way", went(side=None), "has no such way on"),
    ("no such side", went(spec="pump-voltage"), "has no such way on"),
    ("two ways", went(branch=0), "has no such way on"),
    ("no branch", went(branch=3, spec=None, side=None), "has no such way on"),
    ("somebody else", went(by="Z."), "'Z.' is not among the workers"),
    ("worked out", set_reading(1, computed_from=[0]), "is none before it"),
]  # fmt: skip


@pytest.mark.parametrize(("changes", "words"), [t[1:] for t in WRONG], ids=[t[0] for t in WRONG])
def test_a_record_that_does_not_belong_is_refused(changes, words):
    assert words in refused(changes).problem


def test_a_record_of_another_procedure_is_refused_and_several_faults_are_told():
    assert "not of belt-change" in refused(lambda _: None, "belt-change").problem

    def two(plain):
        plain["readings"][0]["spec"] = "x"
        plain["parts_used"][0]["part"] = "y"

    error = refused(two)
    assert isinstance(error, FileErrors)
    assert len(error.faults) == 2


# --- pages ---


@pytest.fixture(scope="module")
def blank() -> bytes:
    return record_pdf(sample.checked(), content="0f" * 32)


@pytest.fixture(scope="module")
def filled() -> bytes:
    read = record("coolant-pump-stopped")
    return sheet_pdf(example("coolant-pump-seal"), draft=False, record=read, content=read.content)


def test_the_same_input_gives_the_same_bytes(blank):
    assert record_pdf(sample.checked(), content="0f" * 32) == blank


def test_both_are_tagged_and_archival(blank, filled):
    assert_archival(blank, f"Record sheet: {sample.FRONT['title']}")
    assert_archival(filled, "Record sheet: Renew the shaft seal of a coolant pump")
    for pdf in (blank, filled):
        assert {"/Table", "/TH", "/TD", "/H1", "/H2"} <= set(tags(pdf))


def test_a_blank_sheet_has_a_row_for_every_reading_and_point(blank):
    procedure = sample.checked().procedure
    made = record_data(procedure, draft=False, record=None, content=None)
    rows = {
        spec["characteristic"]: spec["rows"] for step in made["steps"] for spec in step["specs"]
    }
    text = text_of(blank)
    for _, _, spec in procedure.placed_specs():
        assert all(row["blank"] for row in rows[spec.characteristic])
        assert len(rows[spec.characteristic]) == max(
            1, len(spec.positions or getattr(spec, "order", None) or ())
        )
        for words in (spec.characteristic, *(spec.positions or ())):
            assert flat(words) in text
    points = [point for step in made["steps"] for point in step["points"]]
    assert points
    # A table that goes on over the page says of which step it is.
    for step in made["steps"]:
        if step["points"]:
            assert flat(f"Step {step['number']}: look for") in text
    assert all(flat(point["what"]) in text for point in points)
    assert flat("0f" * 8) in text


def test_limits_stand_in_both_units_with_nominal_and_rule(filled):
    text = text_of(filled)
    for words in ("1.00 to 1.40 mm (0.040 to 0.055 in)", "nominal 1.20 mm", "decided by simple"):
        assert flat(words) in text


def test_a_filled_sheet_shows_all_of_the_record(filled):
    plain = record_plain("coolant-pump-stopped")
    text = text_of(filled)
    words = [plain["unit"], plain["serial"], plain["handover"], "2026-08-20T15:40:00+01:00"]
    words += [plain["findings"][0]["what"], plain["questions"][0]["text"], "DG-07", "2026-06-15"]
    words += [one["reaction"] for one in plain["readings"] if "reaction" in one]
    words += ["1.47 mm 0.0579 in Rejected", "1.38 mm 0.0543 in Accepted", "M. P."]
    words += ["Found in this job: The face of the housing", "Stopped before the end", "CP-030"]
    words += [plain["observations"][1]["seen"], "Hold released by: Foreman"]
    for one in words:
        assert flat(one) in text, one
    assert flat("4 readings recorded: 2 accepted, 2 rejected") in text
    assert text.count(flat("no reading recorded")) == 4


def test_as_found_and_as_left_are_kept_apart_and_in_order():
    made = data_of("valve-clearance", record("valve-clearance-done"))
    rows = next(
        spec["rows"]
        for step in made["steps"]
        for spec in step["specs"]
        if spec["characteristic"] == "Clearance of the intake valve"
    )
    assert [(row["phase"], row["value"]) for row in rows] == [
        ("as_found", "0.0072 in"),
        ("as_left", "0.0051 in"),
    ]


def test_a_reading_in_another_unit_is_shown_in_that_of_its_limits_too():
    text = text_of(
        sheet_pdf(example("valve-clearance"), draft=False, record=record("valve-clearance-done"))
    )
    assert flat("0.206 mm 0.00811 in") in text


def test_a_job_that_goes_on_leaves_room_for_the_rest():
    made = data_of("belt-change", record("belt-change-open"))
    assert made["room"]
    rows = [row for step in made["steps"] for spec in step["specs"] for row in spec["rows"]]
    assert rows
    assert all(row["blank"] for row in rows)
    seen = [len(point["rows"]) for step in made["steps"] for point in step["points"]]
    assert sum(seen) == 1 < len(seen)
    assert made["parts"][0]["quantity"] is None


@pytest.mark.parametrize(("paper", "size"), [("a4", (595, 842)), ("us-letter", (612, 792))])
def test_paper(paper, size):
    assert paper_sizes(sheet_pdf(example("belt-change"), draft=False, paper=paper)) == {size}


def test_drafts_and_demo_data_are_marked_on_every_page(blank):
    marked = page_texts(record_pdf(sample.draft()))
    assert all(page.count("DRAFT") >= 2 for page in marked)
    assert not any("DRAFT" in page for page in page_texts(blank))
    assert all(flat("Demo data") in page for page in page_texts(blank))
    real = sample.draft(data="shop").procedure
    assert not any(flat("Demo data") in page for page in page_texts(sheet_pdf(real, draft=False)))


def test_what_holds_the_unit_stands_on_the_first_page(blank):
    assert "HOLD" in page_texts(blank)[0]
    assert "HOLD" not in page_texts(record_pdf(sample.draft(findings="none")))[0]


def test_what_was_read_ticked_and_hung_is_shown_with_who_and_when(filled):
    shown = text_of(filled)
    for said in (
        "Stopped before the end, at step 13",
        "CAUTION: Coolant makes the floor slippery K. O. 2026-08-20T15:41:00+01:00",
        "Parts lie ready: 1 of 4",
        "Hazard message 1 read by K. O., 2026-08-20T15:44:00+01:00",
        "Way on: a reading is above the limits: stopped.",
        "at step 11",
        "tag hung by K. O.",
        "HOLD tag hung on the unit: The pressure hose is cracked K. O. 2026-08-20T16:33",
    ):
        assert flat(said) in shown, said
    assert shown.count("superseded") == 3


def test_a_blank_sheet_has_room_for_what_is_done_before_and_after(blank):
    shown = text_of(blank)
    for said in ("Before the work", "Tools lie ready, all", "Before the unit is used again"):
        assert flat(said) in shown, said


def test_markup_in_a_record_comes_out_as_text():
    plain = copy.deepcopy(record_plain("coolant-pump-stopped"))
    plain.update(unit=EVERYTHING, serial=EVERYTHING, handover=EVERYTHING, note=EVERYTHING)
    plain["workers"][0]["name"] = plain["findings"][0]["tagged_by"] = EVERYTHING
    for key in ("hazards_read", "made_ready", "ways_taken", "tags_hung"):
        for entry in plain[key]:
            entry["by"] = EVERYTHING
    plain["instruments"][0]["number"] = EVERYTHING
    plain["readings"][1].update(reaction=EVERYTHING, note=EVERYTHING, by=EVERYTHING)
    plain["observations"][0].update(seen=EVERYTHING, by=EVERYTHING)
    plain["witnessed"][0]["by"] = EVERYTHING
    plain["parts_used"][0]["number"] = EVERYTHING
    plain["findings"][0]["what"] = plain["questions"][0]["text"] = EVERYTHING
    plain["deviations"] = [
        {"step": "seat-seal", "what": EVERYTHING, "reason": EVERYTHING, "approved_by": EVERYTHING}
    ]
    pdf = sheet_pdf(
        example("coolant-pump-seal"), draft=False, record=JobRecord.model_validate(plain)
    )
    assert text_of(pdf).count(flat(EVERYTHING)) >= 24


def test_characters_without_a_glyph_are_refused():
    with pytest.raises(InputError, match=r"the record sheet.*U\+65E5"):
        sheet_pdf(example("belt-change"), draft=False, record=record("belt-change-open", note="日"))


@pytest.mark.parametrize(
    ("moment", "said"),
    [
        ("2026-03-31T14:05:00+01:00", "2026-03-31T14:05:00+01:00"),
        ("2026-03-31T14:05-00:30", "2026-03-31T14:05-00:30"),
        ("2026-03-31T14:05:30Z", "2026-03-31T16:05:30+02:00"),
        ("2026-01-31T23:05Z", "2026-02-01T00:05+01:00"),
        ("2026-02-30T23:05Z", "2026-02-30T23:05Z"),
        (None, None),
    ],
)
def test_moments_are_local_with_their_offset(moment, said, monkeypatch):
    monkeypatch.setenv("TZ", "CET-1CEST,M3.5.0,M10.5.0/3")
    time.tzset()
    try:
        assert moment_text(moment) == said
    finally:
        monkeypatch.undo()
        time.tzset()
