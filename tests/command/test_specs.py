"""The reviewer's table: every number with all it is signed by, for people and for programs."""

import csv
import io
import json
import shutil
import subprocess
from collections.abc import Callable
from pathlib import Path
from random import Random
from typing import Any

import pytest
from document import edits, examples
from hypothesis import given, settings
from hypothesis import strategies as st

from author.contract import parse_procedure, write_yaml
from author.contract.procedure_file import as_plain
from author.publish.spreadsheet import text_cell
from author.tasks.spec_csv import NUMBER_COLUMNS, table_csv
from author.tasks.spec_data import table_plain
from author.tasks.spec_layout import Layout
from author.tasks.spec_table import spec_table

from .conftest import COMMAND, Run

SAMPLE = Path(__file__).parents[2] / "sample_media" / "upper-wheel-bearings" / "procedure.yaml"
EVERYTHING = examples.EXAMPLES / "valid" / "everything-once.yaml"


@pytest.fixture
def job(tmp_path: Path) -> Path:
    """The sample procedure alone, without its films."""
    folder = tmp_path / "job"
    folder.mkdir()
    shutil.copy(SAMPLE, folder)
    return folder


@pytest.fixture
def numbers(run: Run, tmp_path: Path) -> Callable[..., dict[str, Any]]:
    """Every number of a file by its id, as programs get it."""

    def read(file: Path, *replaced: tuple[str, str]) -> dict[str, Any]:
        text = file.read_text(encoding="utf-8")
        for old, new in replaced:
            assert old in text
            text = text.replace(old, new)
        copy = tmp_path / "edited.yaml"
        copy.write_text(text, encoding="utf-8")
        done = run("specs", copy, "--json")
        assert done.code == 0, done.err
        return {number["id"]: number for number in json.loads(done.out)["numbers"]}

    return read


def block(text: str, name: str) -> dict[str, str]:
    """The rows under a number, by their label."""
    lines = text[text.index(f"] {name}: ") :].splitlines()[1:]
    rows: dict[str, str] = {}
    label = ""
    for line in lines:
        if not line.startswith("      "):
            break
        label = line[6:18].strip() or label
        rows[label] = f"{rows.get(label, '')} {line[18:].strip()}".strip()
    return rows


def test_a_number_shows_all_a_reviewer_signs_it_by(run: Run, job: Path) -> None:
    done = run("specs", job)
    assert (done.code, done.err) == (0, "")
    assert block(done.out, "bore-diameter") == {
        "accept": "39.967 to 39.992 mm (1.57351 to 1.57448 in), nominal 39.980 mm (1.57402 in)",
        "readings": "4: front seat, across; front seat, along; back seat, across; back seat, along",
        "datum": "40 mm setting ring",
        "instrument": "Two-point bore gauge with dial, set with a 40 mm ring (bore-gauge): "
        "35 to 60 mm, steps of 0.001\u00a0mm, uncertain by ±0.002\u00a0mm",
        # 0.025 mm / (2 × 0.002 mm) = 6.25, shown rounded down [C].
        "adequate": "yes: steps are 4 % of the tolerance, uncertainty ratio 6.2:1",
        "rule": "guard band: accept readings of 39.969 to 39.990 mm (1.5736 to 1.5744 in)",
        "below": "repeat from step 12, clean-bore, once at most: Clean the bore and measure again",
        "above": "stop: Send the wheel away to be sleeved",
        "undecided": "repeat, once at most: Set the gauge anew with the ring and measure again; "
        "if it still cannot be told, ask the keeper",
        "source": "iso-286 (standard)",
    }


def test_every_number_and_point_is_there_in_the_order_of_the_work(run: Run, job: Path) -> None:
    text = run("specs", job).out
    procedure = parse_procedure(SAMPLE.read_bytes(), SAMPLE).procedure
    specs = [f"] {spec.id}: " for _, _, spec in procedure.placed_specs()]
    points = [
        f"] {point.id}, "
        for placed in procedure.placed_steps()
        for point in (*(placed.step.critical_points or ()), *(placed.step.criteria or ()))
    ]
    places = [text.index(one) for one in (*specs, *points)]
    assert places == sorted(places)
    named = {point.source for _, _, point in procedure.placed_points()}
    assert named == {"shop-sheet", "osha-air", "iso-286", "film"}
    assert all(f"\n{s.id} ({s.kind}): " in text for s in procedure.sources if s.id in named)
    assert max(map(len, text.splitlines())) <= 100


@pytest.mark.parametrize("file", examples.valid(), ids=lambda file: file.stem)
def test_no_word_of_a_block_is_cut_off(run: Run, file: Path) -> None:
    procedure = parse_procedure(file.read_bytes(), file).procedure
    text = " ".join(run("specs", file).out.replace("\u00a0", " ").split())
    for _, _, spec in procedure.placed_specs():
        for words in (spec.characteristic, spec.datum, spec.note, *(spec.positions or ())):
            assert words is None or " ".join(words.split()) in text
        for side in (spec.below, spec.above, spec.undecided):
            assert side is None or side.how in text


def test_a_torque_tells_the_load_of_its_screw(
    run: Run, job: Path, numbers: Callable[..., dict[str, Any]]
) -> None:
    rows = block(run("specs", job).out, "nut-torque")
    assert rows["thread"] == "M16 × 1.5, class 8; threads dry and clean"
    # T/(K·d) over As·Sp: 42 N·m, K 0.20 as for zinc (Shigley, table 8-15), As 167 mm²,
    # Sp 580 N/mm² (ISO 898-1): 13.55 %, shown rounded up [C].
    assert rows["load"] == (
        "14 % of the proof load at 42 N·m, with K 0.20, assumed for threads “dry and clean”; "
        "ISO 898-1, class 8.8, named by nut class 8"
    )
    torque = numbers(
        SAMPLE, ("threads: dry and clean", 'threads: dry\n            nut_factor: "0.15"')
    )
    assert torque["nut-torque"]["torque"]["nut_factor_given"] is True
    assert float(torque["nut-torque"]["torque"]["proof_load_share"]) == pytest.approx(
        42 / (0.15 * 0.016) / (167 * 580), abs=0.001
    )


@pytest.mark.parametrize(
    ("old", "new", "why"),
    [
        ('property_class: "8"', "note: Old one", "no property class is given"),
        ("threads: dry and clean", "threads: threadlocker", "none is published for threads"),
        ("thread: M16 × 1.5", "thread: Tr 16 × 4", "is no thread known here"),
    ],
)
def test_a_load_that_is_not_known_says_why(
    numbers: Callable[..., dict[str, Any]], old: str, new: str, why: str
) -> None:
    torque = numbers(SAMPLE, (old, new))["nut-torque"]["torque"]
    assert torque["proof_load_share"] is None
    assert why in torque["proof_load_note"]


def test_a_wrench_with_an_adapter_says_what_it_is_set_to(
    run: Run, numbers: Callable[..., dict[str, Any]]
) -> None:
    # T·L/(L + E cos α) (TM 9-254): 300 / (300 + 40 cos 30°) = 0.8965 [C]: 17.93, 18.83, 19.72.
    assert block(run("specs", EVERYTHING).out, "bolt-torque")["wrench"] == (
        "set to 18.0 to 19.7 N·m, nominal 18.8 N·m (13.9 lbf·ft), with the adapter of 40\u00a0mm"
    )
    back = numbers(EVERYTHING, ('adds: "40"', 'adds: "-400"'))["bolt-torque"]["torque"]
    assert (back["wrench_setting"], back["wrench_setting_note"]) == (None, "no wrench turns")


@pytest.mark.parametrize(
    ("old", "new", "verdict", "why"),
    [
        ("resolution: \"0.01\"\n    uncertainty: \"0.015\"", 'resolution: "0.02"',
         "not adequate", "too coarse"),
        ('uncertainty: "0.015"', 'uncertainty: "0.02"', "not adequate", "less than 4:1"),
        ('    uncertainty: "0.015"\n', "", "not judged", "uncertainty is not given"),
        ('range_to: "150"', 'range_to: "4"', "not adequate", "0 to 4 mm, does not cover"),
        ("instrument: depth-gauge", "instrument: lost", "not adequate", "not on the list"),
        ("instrument: depth-gauge", "instrument: stopwatch", "not adequate", "measures s, not mm"),
        ("instrument: depth-gauge", "instrument: pick", "not adequate", "not said to measure"),
        ("            instrument: depth-gauge\n", "", "not adequate", "no instrument is named"),
    ],
)  # fmt: skip
def test_an_instrument_that_is_not_adequate_says_why(
    numbers: Callable[..., dict[str, Any]], old: str, new: str, verdict: str, why: str
) -> None:
    judged = numbers(SAMPLE, (old, new))["front-depth"]["adequacy"]
    assert judged["verdict"] == verdict
    assert why in "; ".join(judged["reasons"])


def test_what_cannot_be_shown_in_a_second_unit_says_why(
    numbers: Callable[..., dict[str, Any]],
) -> None:
    found = numbers(SAMPLE, ('lower: "4.45"\n', 'lower: "4.60"\n'))
    assert found["front-depth"]["second"] is None
    assert "no tolerance" in found["front-depth"]["second_note"]
    assert found["tab-angle"]["second_note"] == "no second unit"


def test_a_guard_band_without_an_uncertainty_judges_nothing(
    numbers: Callable[..., dict[str, Any]],
) -> None:
    found = numbers(SAMPLE, ('    uncertainty: "0.015"\n', ""))["front-depth"]
    assert found["accepted_readings"] is None
    assert "not given" in found["accepted_readings_note"]


def test_numbers_for_programs_are_exact(numbers: Callable[..., dict[str, Any]]) -> None:
    found = numbers(SAMPLE)["front-depth"]
    assert found["limits"] == {"unit": "mm", "lower": "4.45", "nominal": "4.50", "upper": "4.60"}
    # 4.45/25.4 = 0.17520 rounded up, 4.60/25.4 = 0.18110 down (the inch by definition) [C].
    assert found["second"] == {
        "unit": "in", "lower": "0.1752", "nominal": "0.1772", "upper": "0.1811",
    }  # fmt: skip
    assert found["si"] == {
        "unit": "m", "lower": "0.00445", "nominal": "0.0045", "upper": "0.0046",
    }  # fmt: skip
    assert found["accepted_readings"] == {
        "unit": "mm", "lower": "4.465", "nominal": None, "upper": "4.585",
    }  # fmt: skip
    assert found["path"] == "/sections/3/steps/1/specs/0"


def test_who_has_signed_what(run: Run, job: Path) -> None:
    sign = ("--by", "K. L.", "--role", "Keeper")
    assert run("sign-off", job, "bore-diameter", "nut-torque", *sign).code == 0
    assert run("sign-off", job, "front-depth", *sign, "--query", "Is 4.45 right?").code == 0
    file = job / "procedure.yaml"
    file.write_text(file.read_text().replace('upper: "42"', 'upper: "41"'))
    text = run("specs", job).out
    assert block(text, "bore-diameter")["signed"].startswith("accepted by K. L., Keeper, on ")
    assert block(text, "front-depth")["signed"].endswith(": Is 4.45 right?")
    assert block(text, "nut-torque")["signed"].startswith("stale: accepted by K. L.")
    assert "signed" not in block(text, "outer-seat")
    assert text.splitlines()[-1].endswith("1 accepted, 1 queried, 1 stale, 33 not signed.")
    for box, name in (("[x]", "bore-diameter"), ("[?]", "front-depth"), ("[!]", "nut-torque")):
        assert f"{box} {name}: " in text
    states = {
        n["id"]: n["signed"]["state"]
        for n in json.loads(run("specs", job, "--json").out)["numbers"]
    }
    assert states["nut-torque"] == "stale"
    file.write_text(file.read_text().replace("revision: 1\n", "revision: 2\n", 1))
    later = run("specs", job).out
    assert "the sign-offs are of upper-wheel-bearings, revision 1: none counts here" in later
    assert later.splitlines()[-1].endswith(": 36 not signed.")


def test_an_author_who_signed_is_named(run: Run, tmp_path: Path) -> None:
    shutil.copy(EVERYTHING, tmp_path / "procedure.yaml")
    assert run("sign-off", ".", "nut-torque", "--by", "K. L.", "--role", "Keeper").code == 0
    file = tmp_path / "procedure.yaml"
    file.write_text(file.read_text().replace("    - W. Y.\n", "    - K. L.\n", 1))
    assert block(run("specs", ".").out, "nut-torque")["signed"].endswith("wrote the procedure")


def test_a_concession_stands_with_its_number(run: Run) -> None:
    rows = block(run("specs", EVERYTHING).out, "tab-angle")
    assert rows["adequate"].startswith("NO: steps are 34 % of the tolerance")
    assert rows["conceded"].startswith("instruments.resolution: The eye sees")


def test_csv_reads_back_with_one_row_for_each_number(run: Run, job: Path) -> None:
    done = subprocess.run([COMMAND, "specs", job, "--csv"], check=True, capture_output=True)
    assert done.stdout.count(b"\r\n") == 18
    assert b"\n" not in done.stdout.replace(b"\r\n", b"")
    rows = list(csv.DictReader(io.StringIO(done.stdout.decode("utf-8"), newline="")))
    assert list(rows[0]) == list(NUMBER_COLUMNS)
    bore = next(row for row in rows if row["id"] == "bore-diameter")
    assert (bore["lower"], bore["unit"], bore["test_uncertainty_ratio"]) == ("39.967", "mm", "6.25")
    assert (
        bore["below"]
        == "repeat, from step clean-bore, at most 1 times: Clean the bore and measure again"
    )
    points = subprocess.run(
        [COMMAND, "specs", job, "--csv", "--points"], check=True, capture_output=True
    )
    assert len(list(csv.DictReader(io.StringIO(points.stdout.decode(), newline="")))) == 19


@pytest.mark.parametrize(
    ("cell", "safe"),
    [
        ("=1+1", "'=1+1"), ("+7/−18 µm", "'+7/−18 µm"), ("@SUM(A1)", "'@SUM(A1)"),
        ("\tx", "'\tx"), ("\rx", "'\rx"), ("-cmd", "'-cmd"), ("-1+1", "'-1+1"), ("＝1", "'＝1"),
        ("007", "'007"), ("9" * 20, "'" + "9" * 20), ("4.50", "4.50"),
        ("-0.005", "-0.005"), ("-4", "-4"), ("0.25", "0.25"), ("Bore = 40", "Bore = 40"), ("", ""),
    ],
)  # fmt: skip
def test_no_cell_is_a_formula_and_numbers_stay(cell: str, safe: str) -> None:
    assert text_cell(cell, decimals=True) == safe


def test_a_formula_in_the_document_is_harmless_in_the_table(run: Run, job: Path) -> None:
    file = job / "procedure.yaml"
    text = file.read_text().replace("datum: front hub face", "datum: =HYPERLINK(A1)")
    file.write_text(text.replace('lower: "4.45"', 'lower: "-4.45"'))
    rows = list(csv.DictReader(io.StringIO(run("specs", job, "--csv").out)))
    depth = next(row for row in rows if row["id"] == "front-depth")
    assert (depth["datum"], depth["lower"]) == ("'=HYPERLINK(A1)", "-4.45")


def test_points_alone(started: Run, run: Run, job: Path) -> None:
    text = started("specs", job, "--points").out
    assert "front-facing" in text
    assert "Overview" not in text
    assert "front-depth" not in text
    assert "numbers" not in json.loads(run("specs", job, "--json", "--points").out)


def test_a_procedure_without_numbers_says_none(run: Run, procedure: Path) -> None:
    done = run("specs", procedure)
    assert done.code == 0
    assert done.out.count("\nnone\n") == 4
    assert "0 numbers, 0 critical points, 0 criteria: nothing to sign." in done.out


def test_a_call_that_is_wrong_is_refused(run: Run, job: Path) -> None:
    both = run("specs", job, "--csv", "--json")
    assert (both.code, both.out) == (2, "")
    assert "at once" in both.problem
    assert run("specs", "nowhere").code == 2
    (job / "review.yaml").write_text("schema: review/9\n")
    assert run("specs", job).code == 2


@settings(max_examples=40, deadline=None)
@given(st.integers(0, 2**32), st.integers(1, 12), st.integers(60, 100))
def test_whatever_can_be_read_can_be_shown(
    tmp_path_factory: pytest.TempPathFactory, seed: int, count: int, width: int
) -> None:
    file = tmp_path_factory.mktemp("fuzz") / "procedure.yaml"
    edited = edits.edited(examples.plain(EVERYTHING), Random(seed), count)
    file.write_text(write_yaml(as_plain(edited)), encoding="utf-8")
    table = spec_table(file)
    assert all(len(line) <= width for line in Layout(table, width).lines())
    assert len(table_plain(table)["numbers"]) == len(list(edited.placed_specs()))
    rows = list(csv.reader(io.StringIO(table_csv(table).decode(), newline="")))
    assert {len(row) for row in rows} == {len(NUMBER_COLUMNS)}
