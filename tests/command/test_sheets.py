"""``order-sheet`` and ``record-sheet`` as a user runs them."""

from __future__ import annotations

import csv
import io
import json
import subprocess
import sys
from pathlib import Path

import pytest
from document.examples import EXAMPLES

from .conftest import Run

SAMPLE = Path(__file__).parents[2] / "sample_media" / "upper-wheel-bearings" / "procedure.yaml"
BOARD = EXAMPLES / "valid" / "dishwasher-board.yaml"
PUMP = EXAMPLES / "valid" / "coolant-pump-seal.yaml"
RECORD = EXAMPLES / "job_record" / "valid" / "coolant-pump-stopped.yaml"


def lines(file: Path) -> dict[str, dict[str, str]]:
    text = file.read_bytes().decode("utf-8-sig")
    return {row["number"]: row for row in csv.DictReader(io.StringIO(text, newline=""))}


@pytest.fixture
def unsigned(tmp_path: Path) -> Path:
    """The pump's procedure before it was approved: it needs no signatures."""
    file = tmp_path / "pump.yaml"
    file.write_text(PUMP.read_text().replace("state: approved", "state: in_review"))
    return file


def test_an_order_sheet_over_two_procedures(started: Run, tmp_path: Path) -> None:
    done = started(
        "order-sheet", SAMPLE, BOARD, "--times", "dishwasher-board=3", "--to", "made/here"
    )
    assert done.code == 0, done.err
    assert "Wrote made/here/order.csv" in done.out
    assert "dishwasher-board, revision 1: 3 times" in done.out
    folder = tmp_path / "made" / "here"
    assert {file.name for file in folder.iterdir()} == {"order.csv", "order.pdf"}
    found = lines(folder / "order.csv")
    assert found["DW-200"]["pieces_all"] == "3"
    assert found["BW-101"]["pieces_now"] == "2"
    assert (folder / "order.pdf").read_bytes().startswith(b"%PDF")


def test_a_second_run_gives_the_same_bytes_and_letter_paper_others(
    run: Run, tmp_path: Path
) -> None:
    for name, paper in (("one", "a4"), ("two", "a4"), ("three", "us-letter")):
        assert run("order-sheet", BOARD, "--to", name, "--paper", paper).code == 0
    one, two, three = (
        [(tmp_path / name / file).read_bytes() for file in ("order.csv", "order.pdf")]
        for name in ("one", "two", "three")
    )
    assert one == two
    assert one[0] == three[0]
    assert one[1] != three[1]


def test_an_order_sheet_for_programs(run: Run) -> None:
    told = json.loads(run("order-sheet", BOARD, BOARD, "--to", "made", "--json").out)
    assert told["jobs"] == [
        {"procedure": "dishwasher-board", "revision": 1, "times": 2, "draft": False}
    ]
    assert told["parts"] == 3
    assert told["files"] == [str(Path("made") / name) for name in ("order.csv", "order.pdf")]


BAD_TIMES = [
    ("dishwasher-board", "is not an id and a number"),
    ("other=2", "is not among the procedures"),
    ("dishwasher-board=0", "from 1 to 10000"),
    ("dishwasher-board=1.5", "is not an id and a number"),
]


@pytest.mark.parametrize(("times", "problem"), BAD_TIMES)
def test_wrong_times_are_refused(run: Run, tmp_path: Path, times: str, problem: str) -> None:
    done = run("order-sheet", BOARD, "--to", "made", "--times", times)
    assert done.code == 2
    assert problem in done.problem
    assert not (tmp_path / "made").exists()


def test_an_order_sheet_needs_a_procedure_and_a_folder_of_its_own(run: Run, tmp_path: Path) -> None:
    assert run("order-sheet", "--to", "made").code == 2
    (tmp_path / "file").write_text("mine")
    assert "not a folder" in run("order-sheet", BOARD, "--to", "file").problem
    assert (tmp_path / "file").read_text() == "mine"
    published = tmp_path / "published"
    published.mkdir()
    manifest = {"format": "reelwright-publication/1", "files": {}}
    (published / "publication.json").write_text(json.dumps(manifest))
    assert "holds what was published" in run("order-sheet", BOARD, "--to", published).problem
    assert "no such procedure" in run("order-sheet", "nothing", "--to", "made").problem


def test_numbers_in_a_circle_are_refused(run: Run, tmp_path: Path) -> None:
    file = tmp_path / "circle.yaml"
    text = BOARD.read_text().replace("DW-180", "DW-200")
    file.write_text(text.replace("id: dishwasher-board", "id: circle"))
    done = run("order-sheet", file, "--to", "made", "--draft")
    assert done.code == 2
    assert "DW-200 → DW-200" in done.problem


def test_a_procedure_with_errors_is_refused_and_marked_as_a_draft(run: Run, tmp_path: Path) -> None:
    done = run("order-sheet", BOARD, PUMP, "--to", "made")
    assert done.code == 1
    assert "review.not_signed" in done.out
    assert "Nothing was written" in done.out
    assert not (tmp_path / "made").exists()
    assert run("order-sheet", BOARD, PUMP, "--to", "made", "--draft").code == 0
    found = lines(tmp_path / "made" / "order.csv")
    assert found["CP-030"]["mark"] == "DRAFT: not for use; Demo data"
    assert found["DW-200"]["mark"] == "Demo data"
    refused = json.loads(run("record-sheet", PUMP, "--to", "r.pdf", "--json").out)
    assert refused["files"] == []
    assert refused["checks"][0]["errors"] == 1


def test_a_blank_and_a_filled_record_sheet(
    started: Run, run: Run, unsigned: Path, tmp_path: Path
) -> None:
    blank = started("record-sheet", unsigned, "--to", "blank.pdf")
    assert blank.code == 0, blank.err
    assert blank.out == "Wrote blank.pdf: coolant-pump-seal, revision 1, blank\n"
    filled = run("record-sheet", unsigned, "--record", RECORD, "--to", "filled.pdf")
    assert filled.out == "Wrote filled.pdf: coolant-pump-seal, revision 1, filled, 4 readings\n"
    told = json.loads(run("record-sheet", unsigned, "--to", "blank.pdf", "--json").out)
    assert (told["filled"], told["draft"]) == (False, False)
    assert (tmp_path / "blank.pdf").read_bytes() != (tmp_path / "filled.pdf").read_bytes()


def test_a_wrong_record_names_its_line_and_writes_nothing(
    run: Run, unsigned: Path, tmp_path: Path
) -> None:
    file = tmp_path / "record.yaml"
    file.write_text(RECORD.read_text().replace("spec: seal-tilt", "spec: seal-tlt"))
    number = next(n for n, t in enumerate(file.read_text().splitlines(), 1) if "seal-tlt" in t)
    done = run("record-sheet", unsigned, "--record", file, "--to", "made.pdf")
    assert done.code == 2
    assert f"record.yaml:{number}:" in done.problem
    assert "'seal-tlt' is not among the numbers" in done.problem
    assert not (tmp_path / "made.pdf").exists()
    other = run("record-sheet", SAMPLE, "--record", RECORD, "--to", "made.pdf")
    assert "not of upper-wheel-bearings, revision 1" in other.problem


def test_a_record_sheet_never_takes_the_place_of_something_else(run: Run, unsigned: Path) -> None:
    before = unsigned.read_bytes()
    done = run("record-sheet", unsigned, "--to", unsigned)
    assert done.code == 2
    assert "ends in .pdf" in done.problem
    assert unsigned.read_bytes() == before


def test_sheets_load_no_media_library() -> None:
    code = (
        "import sys, author.cli.sheets, author.publish.typesetting;"
        "print([m for m in ('av', 'cv2', 'numpy', 'PyQt6') if m in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], check=True, capture_output=True, text=True)
    assert done.stdout.strip() == "[]"
