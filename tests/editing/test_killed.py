"""Killed at any moment, a run loses at most its last gesture."""

import subprocess
import sys
from pathlib import Path

import pytest
from document.samples import changed, filmed, load

from author.editing import OpenDocument, SetField, open_document
from editing.killed_runs import GESTURES, gestures
from editing.opened import same, small

ROOT = Path(__file__).resolve().parents[2]


def run_killed(folder: Path, *fatal: int) -> None:
    text = folder / "text.yaml"
    text.write_text(load(changed(filmed)).text())
    subprocess.run(
        [sys.executable, "-m", "editing.killed_runs", folder, text, *map(str, fatal)],
        cwd=ROOT,
        env={"PYTHONPATH": f"{ROOT}:{ROOT / 'tests'}", "PATH": ""},
        check=True,
    )


def opened_after(folder: Path, monkeypatch: pytest.MonkeyPatch) -> OpenDocument:
    monkeypatch.setenv("REELWRIGHT_STATE", str(folder / "state"))
    return open_document(folder)


def expected(count: int, folder: Path) -> OpenDocument:
    """The document after so many gestures, done without being killed."""
    (folder / "procedure.yaml").write_text(load(changed(filmed)).text())
    document = open_document(folder)
    going = gestures(document)
    for _ in range(count):
        next(going)
    return document


def test_killed_at_every_step_of_writing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    run_killed(tmp_path, 0)
    total = int((tmp_path / "0" / "steps").read_text())
    assert total >= 2 * GESTURES
    run_killed(tmp_path, *range(1, total + 1))
    found = set()
    for fatal in range(total + 1):
        folder = tmp_path / str(fatal)
        told = (folder / "told").stat().st_size
        document = opened_after(folder, monkeypatch)
        recovery = document.recovery
        gestures_kept = recovery.gestures if recovery else 0
        found.add(told - gestures_kept)
        assert gestures_kept >= told - 1, f"killed at step {fatal}"
        if recovery is None:
            assert same(document.procedure, small())
            document.close()
            continue
        assert recovery.same_base and recovery.problem is None
        document.accept_recovery()
        like = expected_at(tmp_path / f"like-{fatal}", gestures_kept)
        assert same(document.procedure, like.procedure)
        assert [e.label for e in document.history] == [e.label for e in like.history]
        assert (document.can_redo, document.redo_label) == (like.can_redo, like.redo_label)
        while document.can_undo:
            document.undo()
        assert same(document.procedure, small())
        document.close()
        like.close()
    assert found >= {0, 1}


def expected_at(folder: Path, count: int) -> OpenDocument:
    folder.mkdir()
    return expected(count, folder)


def test_killed_at_any_moment(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    moments = (-1, -7, -23, -60)
    run_killed(tmp_path, *moments)
    for moment in moments:
        folder = tmp_path / str(moment)
        told = (folder / "told").stat().st_size
        document = opened_after(folder, monkeypatch)
        assert document.recovery is not None
        assert document.recovery.gestures >= told - 1
        document.accept_recovery()
        document.do(SetField(("title",), "Gone on with"))
        document.save()
        document.close()
        again = open_document(folder)
        assert again.recovery is None and again.procedure.title == "Gone on with"
        again.close()
