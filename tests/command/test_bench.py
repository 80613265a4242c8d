"""``reelwright bench``: what it says before there is a window, and that one comes up."""

from __future__ import annotations

import ctypes
import os
import subprocess
import sys
import time
from pathlib import Path

import psutil
import pytest

from author.cli import running

from .conftest import Run


def test_a_file_that_is_not_there(run: Run) -> None:
    done = run("bench", "no-such.mp4")
    assert done.code == 2
    assert "there is no such file or folder" in done.err


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="what Linux needs")
def test_without_a_display_it_says_so(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("QT_QPA_PLATFORM", "DISPLAY", "WAYLAND_DISPLAY"):
        monkeypatch.delenv(name, raising=False)
    done = run("bench")
    assert done.code == 3
    assert "there is no display" in done.err


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="what Linux needs")
def test_a_display_that_does_not_answer_is_named(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("QT_QPA_PLATFORM", "WAYLAND_DISPLAY"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setenv("DISPLAY", ":77")
    done = run("bench")
    assert done.code == 3
    assert "display :77 does not answer" in done.err or "libxcb" in done.err


@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="what Linux needs")
def test_a_missing_library_of_qt_is_named(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    def missing(name: str) -> None:
        raise OSError(f"{name}: cannot open shared object file")

    for name in ("QT_QPA_PLATFORM", "WAYLAND_DISPLAY"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setenv("DISPLAY", ":77")
    monkeypatch.setattr(ctypes, "CDLL", missing)
    assert running.run(["bench"]) == 3
    said = capsys.readouterr().err
    assert "libxcb-cursor.so.0" in said
    assert "libxcb-cursor0" in said


def test_qt_that_does_not_load_is_told(
    monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setitem(sys.modules, "author.bench.app", None)
    assert running.run(["bench"]) == 3
    assert "the window cannot be shown" in capsys.readouterr().err


def wait_for_window(program: psutil.Process) -> None:
    """Wait until the program has loaded its screen and waits for its user."""
    maps = getattr(program, "memory_maps", list)  # not told everywhere
    while hasattr(program, "memory_maps") and not any("qoffscreen" in one.path for one in maps()):
        time.sleep(0.2)
    used, before = sum(program.cpu_times()[:2]), -1.0
    while used - before > 0.1:
        time.sleep(1)
        before, used = used, sum(program.cpu_times()[:2])


def test_it_starts_as_a_program_and_ends_on_ctrl_c(tmp_path: Path) -> None:
    environment = {**os.environ, "QT_QPA_PLATFORM": "offscreen", "XDG_CONFIG_HOME": str(tmp_path)}
    with subprocess.Popen(
        [sys.executable, "-c", "from author.cli import main; main()", "bench"],
        env=environment,
        stderr=subprocess.PIPE,
        text=True,
    ) as program:
        try:
            wait_for_window(psutil.Process(program.pid))
            assert program.poll() is None
            program.send_signal(2)
            _, said = program.communicate(timeout=60)
        finally:
            program.kill()
    assert program.returncode == 0
    assert "Traceback" not in said
