"""Real windows on a screen that is not there, and nothing left running behind them."""

from __future__ import annotations

import gc
import os
import threading
from collections.abc import Callable, Iterator
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import psutil
import pytest
from PyQt6 import sip
from PyQt6.QtCore import QSettings, QTimer
from PyQt6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot
from recording.films import make, steady, tone

from author.bench import theme
from author.bench.session import Session
from author.bench.window import BenchWindow
from author.tasks.opening import open_for_editing
from author.tasks.starting import start_procedure


class PatientBot(QtBot):
    """Waits as long as a loaded machine may take for what an idle one does at once."""

    PATIENCE = 120_000

    def waitUntil(self, callback: Callable[[], bool | None], *, timeout: int = 0) -> None:  # noqa: N802
        super().waitUntil(callback, timeout=max(timeout, self.PATIENCE))

    def waitSignal(self, signal: Any, *, timeout: int = 0, **more: Any) -> Any:  # noqa: N802
        return super().waitSignal(signal, timeout=max(timeout, self.PATIENCE), **more)


@pytest.fixture
def qtbot(qapp: QApplication, request: pytest.FixtureRequest) -> QtBot:
    """Hands on the window, with all the time in the world."""
    return PatientBot(request)


@pytest.fixture(scope="session")
def qapp_args() -> list[str]:
    return ["reelwright"]


@pytest.fixture(scope="session")
def bench_film(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Six seconds, 150 frames, each with its own number in its pixels, and a tone."""
    folder = tmp_path_factory.mktemp("film")
    options = {"g": "25", "bf": "0"}
    return make(
        folder / "bench.mp4",
        steady(150, 1200),
        size=(320, 192),
        options=options,
        sound=tone(6, beeps=(1, 3)),
    )


@pytest.fixture(scope="session")
def begun(bench_film: Path, tmp_path_factory: pytest.TempPathFactory) -> bytes:
    """The bytes of a procedure that was just begun from the film."""
    folder = tmp_path_factory.mktemp("begun") / "job"
    return start_procedure(folder, [bench_film]).file.read_bytes()


@pytest.fixture(autouse=True)
def own_state(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """Journals and settings apart from the user's own."""
    monkeypatch.setenv("REELWRIGHT_STATE", str(tmp_path / "state"))
    QSettings.setDefaultFormat(QSettings.Format.IniFormat)
    QSettings.setPath(
        QSettings.Format.IniFormat, QSettings.Scope.UserScope, str(tmp_path / "settings")
    )
    QApplication.setOrganizationName("Reelwright tests")
    yield


@dataclass(frozen=True)
class Running:
    """What runs beside the test."""

    threads: frozenset[str]
    children: frozenset[int]


def running() -> Running:
    names = {thread.name for thread in threading.enumerate() if "reelwright" in thread.name}
    return Running(frozenset(names), frozenset(_children()))


_KEPT = ("resource_tracker", "forkserver")
"""Processes the language itself keeps, to look after shared memory and forks."""


def _children() -> Iterator[int]:
    """Yield the processes below this one, but for those that are kept and the browser that all
    tests of a run share, which starts and ends some itself."""
    # Asked for at once: each time, the system goes through all the processes there are.
    below: dict[int, list[psutil.Process]] = {}
    for one in psutil.Process(os.getpid()).children(recursive=True):
        with suppress(psutil.NoSuchProcess):
            below.setdefault(one.ppid(), []).append(one)
    for child in below.get(os.getpid(), ()):
        with suppress(psutil.NoSuchProcess):
            line = " ".join(child.cmdline())
            if "playwright" in line:
                continue
            if not any(word in line for word in _KEPT):
                yield child.pid
            yield from _all_below(child.pid, below)


def _all_below(pid: int, below: dict[int, list[psutil.Process]]) -> Iterator[int]:
    for one in below.get(pid, ()):
        yield one.pid
        yield from _all_below(one.pid, below)


@pytest.fixture(scope="module", autouse=True)
def looked_over() -> None:
    """Leave what is there for good out of what is looked over after each test."""
    gc.collect()
    gc.freeze()


@pytest.fixture(autouse=True)
def nothing_is_left(qapp: QApplication) -> Iterator[None]:
    """Fail a test after which a window, a running timer, a thread or a process is left."""
    before = running()
    timers = {id(one) for one in _timers()}
    windows = {id(one) for one in QApplication.topLevelWidgets()}
    theme.put_on(qapp, dark=False)
    yield
    for _ in range(3):
        qapp.sendPostedEvents(None, 52)  # QEvent.Type.DeferredDelete
        qapp.processEvents()
    gc.collect()
    after = running()
    assert after.threads <= before.threads
    assert _still_there(after.children - before.children) == []
    assert [one for one in QApplication.topLevelWidgets() if id(one) not in windows] == []
    assert [one for one in _timers() if id(one) not in timers and one.isActive()] == []


_MOMENT = 5
"""Seconds that a process that was told to end may take where the machine is busy."""


def _still_there(pids: frozenset[int]) -> list[psutil.Process]:
    """Return those of some processes that do not end in a moment."""
    ending = []
    for pid in pids:
        with suppress(psutil.NoSuchProcess):
            ending.append(psutil.Process(pid))
    _, left = psutil.wait_procs(ending, timeout=_MOMENT)
    return left


def _timers() -> list[QTimer]:
    found = [one for one in gc.get_objects() if isinstance(one, QTimer)]
    return [one for one in found if not sip.isdeleted(one)]


@pytest.fixture
def job_folder(tmp_path: Path, begun: bytes, bench_film: Path) -> Path:
    """A procedure folder with one film, a hard link beside it."""
    folder = tmp_path / "job"
    folder.mkdir()
    (folder / "procedure.yaml").write_bytes(begun)
    (folder / bench_film.name).hardlink_to(bench_film)
    return folder


@pytest.fixture
def open_session(qapp: QApplication) -> Iterator[Callable[[Path], Session]]:
    """Opens sessions and closes them."""
    opened: list[Session] = []

    def open_one(path: Path) -> Session:
        opened.append(Session(open_for_editing(path)))
        return opened[-1]

    yield open_one
    for one in opened:
        one.close()
        one.deleteLater()


@pytest.fixture
def session(open_session: Callable[[Path], Session], job_folder: Path) -> Session:
    """A session on a procedure that was just begun; its film is being read."""
    return open_session(job_folder)


@pytest.fixture
def open_window(
    open_session: Callable[[Path], Session],
) -> Iterator[Callable[[Path], BenchWindow]]:
    """Opens bench windows and closes them."""
    opened: list[BenchWindow] = []

    def open_one(path: Path) -> BenchWindow:
        window = BenchWindow(open_session(path))
        opened.append(window)
        window.show()
        return window

    yield open_one
    for window in opened:
        window.put_down()
        window.deleteLater()


@pytest.fixture
def window(open_window: Callable[[Path], BenchWindow], job_folder: Path) -> BenchWindow:
    """The window on a procedure that was just begun."""
    return open_window(job_folder)
