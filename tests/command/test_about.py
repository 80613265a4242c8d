"""What a report to whoever mends the program needs: versions, places, the end of the log."""

from __future__ import annotations

from pathlib import Path

import pytest

from author.cli import running
from author.tasks.failure_log import LOG_FILE, log_folder, note_failure

from .conftest import Run


def test_about_names_versions_and_places(started: Run) -> None:
    done = started("about")
    assert done.code == 0
    for word in ("reelwright", "procedure/1", "ffmpeg", "cache folder", "REELWRIGHT_CACHE", "log"):
        assert word in done.out


def test_a_fault_of_ours_is_logged_and_reported(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setitem(running.COMMANDS, "check", ("nothing_here", "broken"))
    assert running.run(["check", "some-folder"]) == 3
    assert "fault of the program" in capsys.readouterr().err
    done = run("about", "--to", "report.txt")
    text = (tmp_path / "report.txt").read_text(encoding="utf-8")
    assert done.code == 0
    assert "reelwright check some-folder failed" in text
    assert "ModuleNotFoundError" in text


def test_the_log_stays_small(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("REELWRIGHT_LOG", str(tmp_path))
    for _ in range(40):
        note_failure(RuntimeError("x" * 50_000), ["check"])
    files = list(log_folder().iterdir())
    assert {path.name for path in files} == {LOG_FILE, f"{LOG_FILE}.1", f"{LOG_FILE}.2"}
    assert sum(path.stat().st_size for path in files) < 1_000_000


def test_a_log_on_a_full_disk_says_nothing(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    (tmp_path / LOG_FILE).symlink_to("/dev/full")
    monkeypatch.setenv("REELWRIGHT_LOG", str(tmp_path))
    note_failure(RuntimeError("x" * 50_000), ["check"])
    assert capsys.readouterr().err == ""
