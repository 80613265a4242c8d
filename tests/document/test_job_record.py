"""Job records and sign-offs: read as YAML and as JSON, and what their examples say is true."""

import hashlib
import json
from collections.abc import Callable
from decimal import Decimal
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest

from author.contract.json_schema import schema_of
from author.contract.review_file import REVIEW_FILE, read_review, write_review
from author.errors import FileErrors, InputError, MachineError
from author.procedure.conformity import judge
from author.procedure.document import SCHEMA_NAME, Procedure
from author.procedure.job_record import RECORD_SCHEMA, JobRecord, Reading
from author.procedure.quantities import Limits, round_fraction
from author.procedure.review import REVIEW_SCHEMA, ReviewSheet, point_content
from author.procedure.specs import LimitSpec
from author.procedure.units import all_units
from document.examples import plain, procedures, read_job_record, valid

Plain = dict[str, Any]
Change = Callable[[Plain], Any]
DONE = next(file for file in valid(RECORD_SCHEMA) if file.stem == "valve-clearance-done")


def record(*changes: Change) -> Plain:
    value: Plain = plain(DONE)
    for change in changes:
        change(value)
    return value


def written(value: Plain, folder: Path) -> Path:
    """Write a record as JSON over several lines, one key a line."""
    file = folder / "record.json"
    file.write_text(json.dumps(value, indent=1, ensure_ascii=False), encoding="utf-8")
    return file


def test_json_and_yaml_are_the_same_record(tmp_path: Path) -> None:
    assert read_job_record(written(record(), tmp_path)) == read_job_record(DONE)


def test_what_is_absent_has_its_default(tmp_path: Path) -> None:
    read = read_job_record(DONE)
    phases = [reading.phase for reading in read.readings]
    assert phases == ["as_found"] * 4 + ["as_left"] * 3
    assert read.questions[1].step is None
    assert read.witnessed == ()


def test_digits_are_kept(tmp_path: Path) -> None:
    def rounder(value: Plain) -> None:
        value["readings"][4]["value"] = "0.00510"

    read = read_job_record(written(record(rounder), tmp_path))
    assert format(read.readings[4].value, "f") == "0.00510"
    bare = written(record(), tmp_path)
    bare.write_text(bare.read_text().replace('"0.0051"', "0.00510"))
    assert format(read_job_record(bare).readings[4].value, "f") == "0.00510"


def reading(**other: Any) -> Change:
    return lambda value: value["readings"][0].update(other)


FAULTS: list[tuple[str, Change, str, str, str]] = [
    # name, change, the line it stands on, problem, remedy
    ("no time zone", lambda r: r.update(began="2026-07-14T13:10:00"), '"began"',
     "is not a moment with its time zone", "Mend 'began'"),
    ("no such day", lambda r: r.update(began="2026-02-30T13:10:00Z"), '"began"',
     "is not a moment", "Mend 'began'"),
    ("calibrated on no day", lambda r: r["instruments"][0].update(calibrated="2026-02-30"),
     '"calibrated"', "is not a day of the calendar", "Mend 'calibrated'"),
    ("unknown key", reading(verdikt="accept"), '"verdikt"', "unknown key 'verdikt'",
     "Did you mean 'verdict'"),
    ("missing key", lambda r: r["readings"][0].pop("value"), "{", "the key 'value' is missing",
     "Add 'value:'"),
    ("missing list", lambda r: r.pop("findings"), "", "'findings' is missing", "write 'none'"),
    ("empty list", lambda r: r.update(findings=[]), '"findings"', "empty list", "Mend"),
    ("wrong verdict", reading(verdict="good"), '"verdict"', "'verdict' is 'good'",
     "'cannot_tell' or 'not_judged'"),
    ("comma", reading(value="1,250"), '"value"', "1250 or 1.250", "Mend"),
    ("unit not on the list", reading(unit="furlong"), '"unit"', "not a unit on the list", "Mend"),
    ("text for truth", lambda r: r["observations"][0].update(met="yes"), '"met"',
     "has to be true or false", "Change"),
    ("other kind of file", lambda r: r.update(schema="procedure/1"), '"schema"',
     "this program reads 'job_record/1'", "Name the job record in its place; this is a procedure"),
    ("no file of ours", lambda r: r.update(schema="record/1"), '"schema"',
     "this program reads 'job_record/1'", "Write 'schema: job_record/1' first"),
    ("newer", lambda r: r.update(schema="job_record/2"), '"schema"', "'job_record/2'",
     "newer Reelwright"),
]  # fmt: skip


@pytest.mark.parametrize(
    ("change", "there", "problem", "remedy"), [f[1:] for f in FAULTS], ids=[f[0] for f in FAULTS]
)
def test_every_fault_names_place_and_remedy(
    change: Change, there: str, problem: str, remedy: str, tmp_path: Path
) -> None:
    file = written(record(change), tmp_path)
    with pytest.raises(InputError) as caught:
        read_job_record(file)
    error = caught.value
    assert problem in error.problem
    assert remedy in (error.remedy or "")
    assert error.line is not None
    assert there in file.read_text(encoding="utf-8").splitlines()[error.line - 1]


def test_several_faults_are_told_at_once(tmp_path: Path) -> None:
    file = written(
        record(lambda r: r.update(zz=1), reading(verdict="x"), lambda r: r.pop("unit")), tmp_path
    )
    with pytest.raises(FileErrors) as caught:
        read_job_record(file)
    assert len(caught.value.faults) == 3


def test_a_record_that_is_not_there(tmp_path: Path) -> None:
    with pytest.raises((InputError, MachineError)):
        read_job_record(tmp_path / "none.yaml")


# --- what the examples say is true ---


def records() -> list[tuple[JobRecord, Path, Procedure]]:
    known = procedures()
    found = []
    for file in valid(RECORD_SCHEMA):
        read = read_job_record(file)
        assert read.procedure.revision is not None
        found.append((read, *known[read.procedure.id, read.procedure.revision]))
    return found


def test_records_are_of_the_very_procedure_they_name() -> None:
    for read, file, procedure in records():
        assert read.content == hashlib.sha256(file.read_bytes()).hexdigest()
        steps = {placed.step.id for placed in procedure.placed_steps()}
        points = {point.id for _, _, point in procedure.placed_points()}
        named = [
            *(deviation.step for deviation in read.deviations),
            *(seen.step for seen in read.witnessed),
            *(found.step for found in read.findings if found.step),
            *(question.step for question in read.questions if question.step),
        ]
        assert set(named) <= steps
        assert {one.point for one in read.observations} <= points
        assert {one.part for one in read.parts_used} <= {part.id for part in procedure.parts}
        assert {one.tool for one in read.instruments} <= {tool.id for tool in procedure.tools}
        assert {worker.role for worker in read.workers} <= {p.id for p in procedure.people}


def test_verdicts_are_those_of_the_decision_rule() -> None:
    verdicts = set()
    for read, _, procedure in records():
        specs = {spec.id: spec for _, _, spec in procedure.placed_specs()}
        for one in read.readings:
            spec = specs[one.spec]
            assert one.position in (spec.positions or (None,))
            assert one.instrument is not None
            assert read.instruments[one.instrument].tool == spec.instrument
            assert (one.reaction is None) == (one.verdict in {"accept", "not_judged"})
            assert (one.verdict == "not_judged") == spec.reference
            verdicts.add(one.verdict)
            if spec.reference:
                continue
            assert one.rule == spec.decision_rule
            assert one.verdict == outcome(one, spec, procedure)
    assert verdicts == {"accept", "reject", "cannot_tell", "not_judged"}


def outcome(one: Reading, spec: LimitSpec, procedure: Procedure) -> str:
    """Judge a reading by the spec's numbers in the unit it was read in."""
    read, given = all_units()[one.unit], all_units()[spec.unit]
    tool = next(tool for tool in procedure.tools if tool.id == spec.instrument)
    assert tool.uncertainty is not None

    def in_unit(value: Decimal | None) -> Decimal | None:
        return None if value is None else exact(read.from_si(given.to_si(value)))

    limits = Limits(in_unit(spec.lower), in_unit(spec.nominal), in_unit(spec.upper), read)
    scale = all_units()[tool.measures or ""]
    band = exact(Fraction(tool.uncertainty) * scale.factor / read.factor)
    assert one.rule is not None
    return judge(one.value, limits, band, one.rule).outcome


def exact(value: Fraction) -> Decimal:
    return round_fraction(value, 12)


# --- sign-offs ---


def sheets() -> list[ReviewSheet]:
    return [ReviewSheet.model_validate(plain(file)) for file in valid(REVIEW_SCHEMA)]


def test_last_sign_off_of_each_point_is_of_what_the_procedure_says() -> None:
    known, verdicts, stale = procedures(), set(), 0
    for sheet in sheets():
        _, procedure = known[sheet.procedure, sheet.revision]
        points = {point.id: point for _, _, point in procedure.placed_points()}
        for sign_off in sheet.latest().values():
            assert sign_off.content == point_content(procedure, points[sign_off.point])
            verdicts.add(sign_off.verdict)
        stale += len(sheet.sign_offs) - len(sheet.latest())
        authors = procedure.review.authors if procedure.review else ()
        assert not {sign_off.by for sign_off in sheet.sign_offs} & set(authors)
    assert verdicts == {"accepted", "queried"}
    assert stale > 0


def test_another_program_can_work_out_what_was_signed() -> None:
    """By the recipe in the field guide: plain YAML, the schema's defaults, sorted JSON."""
    count = 0
    for file, procedure in procedures().values():
        value = plain(file)
        by_id = {point.id: point for _, _, point in procedure.placed_points()}
        for step in (step for section in value["sections"] for step in section["steps"]):
            for key, block in BLOCKS.items():
                for point in step.get(key, ()):
                    parts = [
                        with_defaults({k: v for k, v in point.items() if k != "si"}, block),
                        with_defaults(named(value, "sources", point.get("source")), "Source"),
                        with_defaults(named(value, "tools", point.get("instrument")), "Tool"),
                    ]
                    text = json.dumps(
                        parts, sort_keys=True, ensure_ascii=False, separators=(",", ":")
                    )
                    wanted = point_content(procedure, by_id[point["id"]])
                    assert hashlib.sha256(text.encode()).hexdigest() == wanted, point["id"]
                    count += 1
    assert count > 100


BLOCKS = {
    "specs": "LimitSpec",
    "torques": "TorqueSpec",
    "critical_points": "CriticalPoint",
    "criteria": "Criterion",
}
DEFS = schema_of(SCHEMA_NAME)["$defs"]


def named(value: Plain, where: str, name: str | None) -> Plain | None:
    entries = value[where] if isinstance(value[where], list) else []
    return next((entry for entry in entries if entry["id"] == name), None)


def with_defaults(value: Any, block: str | None) -> Any:
    """Put in the defaults of a block and of the blocks in it."""
    if isinstance(value, list):
        return [with_defaults(entry, block) for entry in value]
    if not isinstance(value, dict) or block is None:
        return value
    keys = DEFS[block]["properties"]
    filled = {key: node["default"] for key, node in keys.items() if "default" in node} | value
    return {key: with_defaults(inner, block_in(keys[key])) for key, inner in filled.items()}


def block_in(node: Plain) -> str | None:
    inner = node.get("items", node) if isinstance(node.get("items", node), dict) else node
    return inner["$ref"].rsplit("/", 1)[-1] if "$ref" in inner else None


def test_sign_offs_are_written_beside_the_procedure_and_read_back(tmp_path: Path) -> None:
    assert read_review(tmp_path) is None
    for sheet in sheets():
        assert write_review(tmp_path, sheet) == tmp_path / REVIEW_FILE
        assert read_review(tmp_path) == sheet


def test_a_change_of_source_or_instrument_makes_a_sign_off_stale() -> None:
    _, procedure = procedures()["vice-jaws", 1]
    point = next(p for _, _, p in procedure.placed_points() if p.id == "jaw-torque")
    before = point_content(procedure, point)
    for key in ("sources", "tools"):
        first, *others = getattr(procedure, key)
        name = "title" if key == "sources" else "name"
        changed = first.model_copy(update={name: "Another one"})
        other = procedure.model_copy(update={key: (changed, *others)})
        assert point_content(other, point) != before
    assert point_content(procedure, point.model_copy(update={"note": "Tight"})) != before
