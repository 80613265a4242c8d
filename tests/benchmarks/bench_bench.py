"""The film and its tape, driven by key events on a screen that is not there.

``python tests/benchmarks/bench_bench.py [FOLDER]``: films are made in FOLDER once (five
minutes and one hour of 1080p30; about 5 GB). ``--five`` and ``--hour`` take one of them. A
key counts until the frame it leads to is painted. The five minutes are surveyed first
(``--cold``: not, so the survey goes on meanwhile); of the hour it is made up what is known.

Bars: key to frame p95 at most 33 ms stepping either way; a paint of the tape of an hour
with 300 steps at most 16 ms (p95) while it scrolls; at 30 frames a second no frame of a
running film is late by more than two of its own length (p95).
"""

from __future__ import annotations

import os
import statistics
import sys
import tempfile
import time
from collections.abc import Callable
from decimal import Decimal
from pathlib import Path

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
sys.path.insert(0, str(Path(__file__).parent / "recordings"))

import made
import numpy as np
from PyQt6.QtCore import Qt
from PyQt6.QtTest import QTest
from PyQt6.QtWidgets import QApplication, QMainWindow, QSplitter

from author.bench import theme
from author.bench.actions import Actions
from author.bench.images import FramePicture
from author.bench.session import Session
from author.bench.views.film_view import FilmView
from author.bench.views.tape_view import TapeView
from author.editing import AddStep, Span
from author.procedure.cues import Cue
from author.recording.analyses import Analyses
from author.recording.hearing import Heard, Pause
from author.recording.shots import ShotChange
from author.tasks.opening import open_for_editing
from author.tasks.starting import start_procedure

KEY = Qt.Key
NONE, SHIFT = Qt.KeyboardModifier.NoModifier, Qt.KeyboardModifier.ShiftModifier
CTRL = Qt.KeyboardModifier.ControlModifier


def say(line: str) -> None:
    print(line, flush=True)  # noqa: T201 - a script that is read at the terminal


def spread(times: list[float]) -> str:
    ordered = sorted(times)
    p95 = ordered[min(len(ordered) - 1, int(len(ordered) * 0.95))]
    return (
        f"median {statistics.median(ordered) * 1000:6.1f}  p95 {p95 * 1000:6.1f}  "
        f"longest {ordered[-1] * 1000:6.1f} ms  ({len(ordered)})"
    )


class Stage(QMainWindow):
    """A window with the film and the tape."""

    def __init__(self, session: Session) -> None:
        super().__init__()
        self.session = session
        self.deeds = Actions(self)
        self.film = FilmView(session, self.deeds)
        self.tape = TapeView(session, self.deeds)
        across = QSplitter()
        across.addWidget(self.film)
        across.addWidget(self.tape)
        across.setSizes([900, 300])
        self.setCentralWidget(across)
        self.resize(1280, 720)
        self.painted: list[tuple[float, FramePicture]] = []
        self.film.picture.painted.connect(
            lambda picture: self.painted.append((time.perf_counter(), picture))
        )

    def until(self, true: Callable[[], bool], seconds: float = 900) -> None:
        end = time.monotonic() + seconds
        while not true():
            QApplication.processEvents()
            time.sleep(0.0005)
            if time.monotonic() > end:
                raise SystemExit("it took too long")

    def rest(self, seconds: float) -> None:
        end = time.monotonic() + seconds
        self.until(lambda: time.monotonic() > end)

    def press(self, key: Qt.Key, held: Qt.KeyboardModifier = NONE) -> tuple[float, str]:
        """Press a key; return the seconds until its frame is painted, and how good it is."""
        self.painted.clear()
        begun = time.perf_counter()
        QTest.keyClick(self, key, held)
        goal = self.session.films.frame
        self.until(lambda: any(picture.frame == goal for _, picture in self.painted))
        when, picture = next(each for each in self.painted if each[1].frame == goal)
        return when - begun, picture.quality


def opened(film: Path, folder: Path, steps: int = 0) -> Stage:
    start_procedure(folder, [film], read_through=False)
    stage = Stage(Session(open_for_editing(folder)))
    stage.show()
    begun = time.perf_counter()
    films = stage.session.films
    stage.until(lambda: bool(stage.painted))
    say(f"{film.name}: first frame painted after {time.perf_counter() - begun:.2f} s")
    if steps:
        stage.until(lambda: films.count() > 100_000)
        as_if_read(stage)
    elif "--cold" not in sys.argv:
        stage.until(lambda: films.analyses() is not None)
    length = films.start_of(films.count())
    for number in range(steps):
        start = (length * number / steps).quantize(Decimal("0.000001"))
        end = start + (length / steps * Decimal("0.9")).quantize(Decimal("0.000001"))
        span = Span(films.front, films.boundary(start), films.boundary(end))
        stage.session.do(AddStep(action="Turn it.", span=span))
    return stage


def as_if_read(stage: Stage) -> None:
    """Let an hour be known without surveying it: sound, shots, pauses and captions as many."""
    films, chance = stage.session.films, np.random.default_rng(3)
    level = chance.uniform(-60, -6, 180_000).astype(np.float32)
    starts = [Decimal(n) * Decimal("2.4") for n in range(1500)]
    analyses = Analyses(
        looks=np.zeros(0),
        times=np.zeros(0),
        shots=tuple(ShotChange("cut", n * 180, n * 180) for n in range(1, 600)),
        motion=(),
        heard=Heard(level, level[::5], np.zeros(180_000, np.uint8)),
        pauses=tuple(Pause(start, start + 1) for start in starts),
    )
    films.analyses = lambda recording=None: analyses  # type: ignore[method-assign]
    words = "Turn the nut off by hand and lay it on the cloth in order."
    films.set_captions(films.front, [Cue(start, start + 2, words) for start in starts])


def stepping(stage: Stage) -> None:
    films = stage.session.films
    ways = {
        "one frame on": (KEY.Key_Right, NONE),
        "one frame back": (KEY.Key_Left, NONE),
        "one second on": (KEY.Key_Right, SHIFT),
        "one second back": (KEY.Key_Left, SHIFT),
    }
    for pause, pace in ((0.0, "without a pause"), (1 / 30, "30 a second")):
        for name, (key, held) in ways.items():
            times, rough = [], 0
            for part in range(1, 9):
                films.show(films.count() * part // 9)
                stage.rest(0.6)
                for _ in range(40 if held == NONE else 12):
                    took, quality = stage.press(key, held)
                    times.append(took)
                    rough += quality == "preview"
                    if pause:
                        stage.rest(max(pause - took, 0.0))
            say(f"{name:<16} {pace:<16} {spread(times)}  rough first: {rough}")
    times = []
    for part in (0.9, 0.1, 0.5, 0.3, 0.7, 0.2, 0.8, 0.4):
        goal = int(films.count() * part)
        stage.painted.clear()
        begun = time.perf_counter()
        films.show(goal)
        stage.until(lambda goal=goal: any(p.frame == goal for _, p in stage.painted))
        times.append(time.perf_counter() - begun)
    say(f"a jump far away                   {spread(times)}")


def running(stage: Stage) -> None:
    films = stage.session.films
    for speed in ("as filmed", "double speed"):
        films.show(films.count() // 3)
        stage.rest(1.0)
        stage.painted.clear()
        QTest.keyClick(stage, KEY.Key_Space)
        stage.rest(6.0)
        QTest.keyClick(stage, KEY.Key_Space)
        factor = 2 if speed.startswith("double") else 1
        shown = [(when, picture) for when, picture in stage.painted if picture.quality != "full"]
        first_at, first = shown[1]
        late = [
            (when - first_at) - float(picture.start - first.start) / factor
            for when, picture in shown[1:]
        ]
        least = min(late)
        frames = len({picture.frame for _, picture in shown})
        say(f"running {speed}: {frames} frames in 6 s; late {spread([x - least for x in late])}")
        QTest.keyClick(stage, KEY.Key_Plus)
    QTest.keyClick(stage, KEY.Key_Plus)


def tape(stage: Stage) -> None:
    bar, port = stage.tape.verticalScrollBar(), stage.tape.viewport()
    for points in (2, 8, 60, 480):
        stage.tape.enlarge(points / stage.tape.scale.points)
        stage.rest(0.5)
        times = []
        for number in range(240):
            bar.setValue((bar.value() + 97) % max(bar.maximum(), 1))
            if number % 60 == 59:
                bar.setValue(bar.maximum() * number // 240)
            begun = time.perf_counter()
            port.repaint()
            times.append(time.perf_counter() - begun)
        say(f"tape at {points:>3} points a second: a paint {spread(times)}")


def main() -> None:
    with tempfile.TemporaryDirectory() as scratch:
        os.environ.setdefault("REELWRIGHT_CACHE", str(Path(scratch) / "cache"))
        os.environ["REELWRIGHT_STATE"] = str(Path(scratch) / "state")
        places = [Path(each) for each in sys.argv[1:] if not each.startswith("-")]
        folder = places[0] if places else Path(scratch)
        five = made.five_minutes(folder)
        app = QApplication(["bench"])
        theme.put_on(app, dark=False)
        say(f"cores: {os.cpu_count()}")
        for film, steps, parts in (
            (five, 0, (stepping, running)),
            (made.repeated(five, 12), 300, (tape,)),
        ):
            if (steps and "--five" in sys.argv) or (not steps and "--hour" in sys.argv):
                continue
            stage = opened(film, Path(scratch) / film.stem, steps)
            for part in parts:
                part(stage)
            stage.film.stop()
            stage.session.close()
            stage.hide()


if __name__ == "__main__":
    main()
