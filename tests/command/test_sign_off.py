"""Sign-offs beside a procedure: written, counted, stale, and never by the author."""

from __future__ import annotations

import shutil
import threading
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest

from author.contract.review_file import REVIEW_FILE, read_review
from author.library.shop import new_shop
from author.resources import schema_folder
from author.tasks.signing_off import sign_off

from .conftest import Run

EXAMPLE = schema_folder() / "examples" / "valid" / "vice-jaws.yaml"


@pytest.fixture
def job(tmp_path: Path) -> Path:
    """An approved procedure in a folder of its own, with two points to sign."""
    folder = tmp_path / "job"
    folder.mkdir()
    shutil.copy(EXAMPLE, folder / "procedure.yaml")
    return folder


def test_points_are_accepted_one_by_one_or_all_at_once(run: Run, job: Path) -> None:
    one = run("sign-off", job, "jaw-torque", "--by", "A. Reader", "--role", "Foreman")
    assert one.code == 0
    assert "1 still open: seats-clean" in one.out
    assert "review.not_signed" in run("check", job).out
    rest = run("sign-off", job, "--all", "--by", "A. Reader", "--role", "Foreman")
    assert "Every number and critical point is accepted." in rest.out
    checked = run("check", job)
    assert checked.code == 0
    assert "no remark" in checked.out
    sheet = read_review(job)
    assert sheet is not None
    assert [s.point for s in sheet.sign_offs] == ["jaw-torque", "seats-clean"]


def test_the_same_sign_off_given_twice_is_written_once(run: Run, job: Path) -> None:
    who = ("--by", "A. Reader", "--role", "Foreman")
    for _ in range(2):
        assert run("sign-off", job, "--all", *who).code == 0
    first = read_review(job)
    assert first is not None
    assert len(first.sign_offs) == 2
    run("sign-off", job, "jaw-torque", *who, "--query", "Which grease?")
    run("sign-off", job, "jaw-torque", *who)
    run("sign-off", job, "jaw-torque", "--by", "B. Reader", "--role", "Foreman")
    again = read_review(job)
    assert again is not None
    assert [s.verdict for s in again.sign_offs[2:]] == ["queried", "accepted", "accepted"]


def test_a_later_change_makes_a_sign_off_stale(run: Run, job: Path) -> None:
    run("sign-off", job, "--all", "--by", "A. Reader", "--role", "Foreman")
    file = job / "procedure.yaml"
    text = file.read_text(encoding="utf-8")
    line = next(line for line in text.splitlines() if line.strip().startswith("upper:"))
    file.write_text(text.replace(line, line[:-1] + '5"'), encoding="utf-8")
    checked = run("check", job)
    assert checked.code == 1
    assert "review.stale: 'jaw-torque'" in checked.out
    assert "'seats-clean'" not in checked.out


def test_a_query_is_told_until_it_is_answered(started: Run, run: Run, job: Path) -> None:
    started("sign-off", job, "--all", "--by", "A. Reader", "--role", "Foreman")
    who = ("--by", "B. Reader", "--role", "Foreman")
    run("sign-off", job, "jaw-torque", *who, "--query", "Which grease?")
    checked = started("check", job)
    assert checked.code == 1
    assert "'jaw-torque' is queried by B. Reader: “Which grease?”. " in checked.out
    run("sign-off", job, "jaw-torque", *who)
    assert run("check", job).code == 0


def test_sign_offs_of_an_earlier_revision_are_not_carried_over(run: Run, job: Path) -> None:
    run("sign-off", job, "--all", "--by", "A. Reader", "--role", "Foreman")
    file = job / "procedure.yaml"
    text = file.read_text(encoding="utf-8").replace("revision: 1\n", "revision: 2\n", 1)
    file.write_text(text, encoding="utf-8")
    assert "review.other_revision" in run("check", job).out
    done = run("sign-off", job, "jaw-torque", "--by", "A. Reader", "--role", "Foreman")
    assert "1 still open" in done.out
    assert "review.other_revision" not in run("check", job).out


@pytest.mark.parametrize(
    ("arguments", "problem", "remedy"),
    [
        (("jaw-torqe", "--by", "A", "--role", "F"), "no number or critical point", "jaw-torque"),
        (("--by", "A", "--role", "F"), "no point is named", "--all"),
        (("jaw-torque", "--all", "--by", "A", "--role", "F"), "beside --all", "--all"),
        (("jaw-torque", "--by", "A", "--role", "F", "--query", ""), "is empty", "words"),
        (("jaw-torque", "--role", "F"), "--by", "--help"),
        (("jaw-torque", "--by", "A\nB", "--role", "F"), "--by has a line end", "one line"),
        (("--all", "--by", "A. \u9234", "--role", "F"), "name has characters", "other characters"),
        (("jaw-torque", "--by", "A", "--role", "\u9234"), "the role has", "other characters"),
    ],
)
def test_a_wrong_call_writes_nothing(
    run: Run, job: Path, arguments: tuple[str, ...], problem: str, remedy: str
) -> None:
    done = run("sign-off", job, *arguments)
    assert done.code == 2
    assert problem in done.problem
    assert remedy in done.problem
    assert not (job / REVIEW_FILE).exists()


def test_the_author_cannot_sign(run: Run, job: Path) -> None:
    done = run("sign-off", job, "--all", "--by", "a. r.", "--role", "Foreman")
    assert done.code == 2
    assert "wrote this procedure" in done.problem
    run("sign-off", job, "--all", "--by", "B. Reader", "--role", "Foreman")
    sheet = (job / REVIEW_FILE).read_text(encoding="utf-8")
    (job / REVIEW_FILE).write_text(sheet.replace("B. Reader", "A. R."), encoding="utf-8")
    assert "review.own_work" in run("check", job).out


def test_a_damaged_sheet_is_told_and_left_as_it_is(run: Run, job: Path) -> None:
    (job / REVIEW_FILE).write_text("schema: review/1\nprocedure: [", encoding="utf-8")
    for command in (("check", job), ("sign-off", job, "--all", "--by", "A", "--role", "F")):
        done = run(*command)
        assert done.code == 2
        assert REVIEW_FILE in done.problem
    assert (job / REVIEW_FILE).read_text(encoding="utf-8").endswith("[")


def test_the_ledger_says_what_each_way_leaves_off(started: Run, tmp_path: Path) -> None:
    shutil.copy(schema_folder() / "examples" / "valid" / "coolant-pump-seal.yaml", tmp_path)
    done = started("ledger", "coolant-pump-seal.yaml")
    assert done.code == 0
    assert "to the last step" in done.out
    assert "nothing is left off" in done.out
    assert "to a stop, by way of:" in done.out
    assert "in hand" in done.out


@pytest.mark.parametrize("in_library", [False, True])
def test_who_signs_at_the_same_time_loses_nothing(job: Path, in_library: bool) -> None:
    if in_library:
        new_shop(job.parent / "shop", "Demo")
        job = Path(shutil.copytree(job, job.parent / "shop" / "procedures" / "vice-jaws"))
    people = [f"Reader {letter}" for letter in "ABCDEFGH"]
    together = threading.Barrier(len(people))

    def one(name: str) -> None:
        together.wait()
        sign_off(job, ["jaw-torque"], by=name, role="Foreman")

    with ThreadPoolExecutor(len(people)) as pool:
        list(pool.map(one, people))
    sheet = read_review(job)
    assert sheet is not None
    assert sorted(said.by for said in sheet.sign_offs) == people


def test_all_leaves_alone_what_is_queried(run: Run, job: Path) -> None:
    zed, bo = ("--by", "Zed", "--role", "foreman"), ("--by", "Bo", "--role", "reviewer")
    asked = run("sign-off", job, "jaw-torque", "--query", "Film says 340", *zed)
    assert "1 still open: seats-clean" in asked.out
    every = run("sign-off", job, "--all", *bo)
    assert every.code == 0
    assert "1 accepted" in every.out
    assert "Left alone: 'jaw-torque' was queried by Zed: “Film says 340”" in every.out
    assert "Every number" not in every.out
    silent = run("sign-off", job, "jaw-torque", *bo)
    assert silent.code == 2
    assert "no answer is given" in silent.problem
    answered = run("sign-off", job, "jaw-torque", "--answer", "The card counts", *bo)
    assert "Every number and critical point is accepted." in answered.out
    sheet = read_review(job)
    assert sheet is not None
    assert [(a.by, b.by, b.note) for a, b in sheet.overruled()] == [
        ("Zed", "Bo", "The card counts")
    ]
    run("sign-off", job, "jaw-torque", *zed)
    sheet = read_review(job)
    assert sheet is not None
    assert sheet.overruled() == sheet.queries() == ()


def test_all_leaves_own_queries_alone_too(run: Run, job: Path) -> None:
    who = ("--by", "Zed", "--role", "foreman")
    run("sign-off", job, "jaw-torque", "--query", "2.0 to 2.4?", *who)
    assert "Left alone: 'jaw-torque'" in run("sign-off", job, "--all", *who).out
    wrong = run("sign-off", job, "--all", "--answer", "It is right", *who)
    assert wrong.code == 2


def test_what_was_said_is_taken_back_by_who_said_it(run: Run, job: Path) -> None:
    bo, slip = ("--by", "Bo", "--role", "reviewer"), ("--by", "Bö Chek", "--role", "wizard")
    run("sign-off", job, "jaw-torque", *slip)
    run("sign-off", job, "--all", *bo)
    assert run("sign-off", job, "jaw-torque", "--take-back", "--of", "Bö Chek", *bo).code == 2
    assert run("sign-off", job, "jaw-torque", "--of", "Bö Chek", *bo).code == 2
    done = run("sign-off", job, "jaw-torque", "--take-back", *slip)
    assert done.code == 0
    assert "1 taken back, of Bö Chek" in done.out
    sheet = read_review(job)
    assert sheet is not None
    assert [one.by for one in sheet.sign_offs] == ["Bo", "Bo"]
    again = run("sign-off", job, "--all", "--take-back", *bo)
    assert "2 still open" in again.out
