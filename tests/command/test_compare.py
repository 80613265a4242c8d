"""What has changed between two versions, told on the command line."""

import json
import shutil
from pathlib import Path

import pytest

from .conftest import Run

SAMPLE = Path(__file__).parents[2] / "sample_media" / "upper-wheel-bearings" / "procedure.yaml"


@pytest.fixture
def versions(tmp_path: Path) -> tuple[Path, Path]:
    """The sample procedure without its films, and the next revision of it."""
    old, new = tmp_path / "old.yaml", tmp_path / "new" / "procedure.yaml"
    new.parent.mkdir()
    shutil.copy(SAMPLE, old)
    text = SAMPLE.read_text(encoding="utf-8")
    for before, after in (
        ("revision: 1\n", "revision: 2\n"),
        ('upper: "0.15"', 'upper: "0.20"'),
        ("number: BW-101", "number: BW-102\n    supersedes:\n      - BW-101"),
    ):
        assert text.count(before) >= 1
        text = text.replace(before, after, 1)
    new.write_text(text, encoding="utf-8")
    return old, new.parent


def test_each_difference_is_a_line_and_the_gravest_comes_first(
    run: Run, versions: tuple[Path, Path]
) -> None:
    done = run("compare", *versions)
    assert (done.code, done.err) == (0, "")
    assert done.out.splitlines() == [
        "safety  step 27 measure-runout: limit spec rim-runout: "
        "upper limit 0.15 → 0.20 mm: more is accepted",
        "work    part bearing: number BW-101 superseded by BW-102",
        "words   procedure: revision 1 → 2",
        "upper-wheel-bearings, revision 1 → revision 2: 1 safety, 1 work, 1 words.",
    ]


def test_programs_get_paths_and_values(run: Run, versions: tuple[Path, Path]) -> None:
    told = json.loads(run("compare", *versions, "--json").out)
    assert told["old"] == {
        "file": str(versions[0]), "procedure": "upper-wheel-bearings", "revision": 1,
    }  # fmt: skip
    assert told["new"]["file"] == str(versions[1] / "procedure.yaml")
    assert told["counts"] == {"safety": 1, "work": 1, "words": 1}
    assert told["differences"][0] == {
        "severity": "safety",
        "kind": "limits.widened",
        "place": "step 27 measure-runout",
        "old_path": "/sections/4/steps/0/specs/0/upper",
        "new_path": "/sections/4/steps/0/specs/0/upper",
        "old": "0.15",
        "new": "0.20",
        "text": "limit spec rim-runout: upper limit 0.15 → 0.20 mm: more is accepted",
    }


def test_the_readme_shows_what_is_printed(run: Run, tmp_path: Path) -> None:
    readme = (Path(__file__).parents[2] / "README.md").read_text(encoding="utf-8")
    shown = readme.partition("It prints:\n\n```\n")[2].partition("```")[0]
    new = tmp_path / "new.yaml"
    text = SAMPLE.read_text(encoding="utf-8")
    new.write_text(text.replace('upper: "0.15"', 'upper: "0.20"'), encoding="utf-8")
    assert run("compare", SAMPLE, new).out == shown


def test_what_is_new_has_no_old_path(run: Run, versions: tuple[Path, Path]) -> None:
    file = versions[1] / "procedure.yaml"
    file.write_text(file.read_text().replace("labour_time: PT3H30M\n", ""))
    gone = next(
        one
        for one in json.loads(run("compare", *versions, "--json").out)["differences"]
        if one["kind"] == "procedure.labour_time.removed"
    )
    assert (gone["old_path"], gone["new_path"]) == ("/labour_time", None)
    assert (gone["old"], gone["new"]) == ("PT3H30M", None)


def test_the_same_document_has_no_difference(run: Run, versions: tuple[Path, Path]) -> None:
    shutil.copy(versions[0], versions[1] / "procedure.yaml")
    done = run("compare", *versions)
    assert done.code == 0
    assert done.out == "upper-wheel-bearings, revision 1 → revision 1: no difference.\n"
    assert json.loads(run("compare", *versions, "--json").out)["differences"] == []


def test_another_procedure_is_named(run: Run, versions: tuple[Path, Path]) -> None:
    file = versions[1] / "procedure.yaml"
    file.write_text(file.read_text().replace("id: upper-wheel-bearings", "id: lower-wheel", 1))
    last = run("compare", *versions).out.splitlines()[-1]
    assert last.startswith("upper-wheel-bearings, revision 1 → lower-wheel, revision 2: ")


def test_faults_of_both_files_are_told(run: Run, versions: tuple[Path, Path]) -> None:
    versions[0].write_text("schema: procedure/1\n")
    one = run("compare", *versions)
    assert (one.code, one.out) == (2, "")
    both = run("compare", versions[0], "nowhere")
    assert both.code == 2
    assert "old.yaml:1:1: the key 'id' is missing" in both.err
    assert "nowhere: there is no such procedure" in both.err
