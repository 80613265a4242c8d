"""The whole window with a long film open, and thousands of random actions: memory stays level.

``python tests/benchmarks/soak_bench.py FILM [ACTIONS] [--trace]``: 5,000 by default. The window
comes up on a new procedure from the film and the film is read to its end. Then steps are made
until there are 300 of them and the undo history is full, and 1,500 random actions fill the
caches of pictures, which are bounded: that is the build-up. After it deeds are done at random,
each by its own key where it has one: walking, marking, splitting, joining, moving, stills,
measurements, undo and redo, papers of the tray; as much is taken out as comes in, so what
grows is not the document. Now and then nobody does anything, as people do.

Prints the memory of every process, what is alive in the window, how long the window's thread
was busy with each press of a key and all it leads to, and which took longest; ``--trace``
says where the memory of the window comes from. Exit code 1 if the last third of the random
actions needs over 3 % more than the first, or if one press takes over 50 ms.
"""

from __future__ import annotations

import collections
import ctypes
import gc
import os
import random
import statistics
import sys
import tempfile
import time
import tracemalloc
from collections.abc import Callable
from decimal import Decimal
from pathlib import Path

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
sys.path.insert(0, str(Path(__file__).parent / "recordings"))

import psutil
from PyQt6.QtCore import QSettings, Qt
from PyQt6.QtGui import QKeySequence
from PyQt6.QtTest import QTest
from PyQt6.QtWidgets import QApplication
from soak import say

from author.bench.app import Bench, application
from author.bench.window import BenchWindow
from author.editing import AddEntry, AddStep, RemoveEntry, RemoveSteps, SetField, Span
from author.procedure.document import Procedure
from author.procedure.steps import Step

_SPEC = {"characteristic": "Depth", "quantity": "length", "unit": "mm", "lower": "4.45",
         "upper": "4.60"}  # fmt: skip
_WALKS = ("frame_back", "frame_on", "second_back", "second_on", "shot_back", "shot_on",
          "pause_back", "pause_on", "film_start", "film_end")  # fmt: skip
_STEPS = ("step_before", "step_after", "step_up", "step_down", "split", "join", "begin_here",
          "end_here", "take_still", "best_still")  # fmt: skip
_PAPERS = ("show_remarks", "show_ledger", "show_speech", "show_review", "next_remark", "still")
_FULL = 300
_ROOM = 10
"""How many steps more or less than when it was full there may be."""
_WARM = 1_500
_REST_EVERY = 250
_REST = 3.5
_BAR = 0.050


class Hand:
    """Does one random thing after another."""

    def __init__(self, window: BenchWindow, chance: random.Random) -> None:
        self.window = window
        self.chance = chance
        self.count = 0
        self.took: list[tuple[float, str, float]] = []

    @property
    def steps(self) -> list[Step]:
        return [each.step for each in self.window.session.procedure.placed_steps()]

    def act(self) -> None:
        """Do something, and note what it was."""
        chance = self.chance
        self.count += 1
        dice = chance.random()
        if dice < 0.45:
            self.press(chance.choice(_WALKS))
        elif dice < 0.55:
            films = self.window.session.films
            at = chance.randrange(max(films.count(films.front), 1))
            self.timed("jump", lambda: films.show(at))
        elif dice < 0.62:
            self.mark()
        elif dice < 0.72:
            self.press(chance.choice(_STEPS))
        elif dice < 0.82:
            self.write()
        elif dice < 0.94:
            self.press(chance.choice(("undo", "undo", "redo")))
        else:
            self.press(chance.choice(_PAPERS))
        if dice > 0.6 and chance.random() < 0.8:
            self.press("to_film")

    def press(self, deed: str) -> None:
        """Press the first key of a deed."""
        keys = self.window.actions_by_name[deed].shortcuts()[0]
        place = self.window.focusWidget() or self.window
        self.timed(deed, lambda: QTest.keySequence(place, QKeySequence(keys)))

    def timed(self, deed: str, doing: Callable[[], object]) -> None:
        """Do one thing, and note how long the window's thread was at all that it leads to."""
        began = time.thread_time()
        doing()
        QApplication.processEvents()
        self.took.append((time.thread_time() - began, deed, os.getloadavg()[0]))

    def mark(self) -> None:
        """Mark a step; where there are too many, or too few, put that right at once."""
        steps, session = self.steps, self.window.session
        if len(steps) >= _FULL + _ROOM:
            ids = [step.id for step in self.chance.sample(steps, len(steps) - _FULL)]
            self.timed("remove steps", lambda: session.do(RemoveSteps(tuple(ids))))
            return
        if len(steps) < _FULL - _ROOM:
            fill(self.window, self.chance)
            return
        self.window.to_film()
        self.press("mark")
        self.press("second_on")
        self.press("mark")

    def write(self) -> None:
        """Write the action, or put a measurement in or out."""
        session = self.window.session
        placed = session.placed()
        if placed is None:
            return
        at = ("steps", session.step)
        if self.chance.random() < 0.5:
            text = SetField((*at, "action"), f"Undo nut {self.count}.")
            self.timed("write the action", lambda: session.do(text))
        elif placed.step.specs:
            spec = RemoveEntry((*at, "specs", placed.step.specs[-1].id))
            self.timed("remove a measurement", lambda: session.do(spec))
        else:
            more = AddEntry((*at, "specs"), dict(_SPEC))
            self.timed("add a measurement", lambda: session.do(more))


def fill(window: BenchWindow, chance: random.Random) -> None:
    """Add steps somewhere in the film until there are as many as there shall be."""
    session = window.session
    films = session.films
    length = films.start_of(films.count())
    for _ in range(_FULL - sum(1 for _ in session.procedure.placed_steps())):
        start = films.boundary(length * Decimal(chance.random()) * Decimal("0.99"))
        end = films.boundary(start + 8)
        session.do(AddStep(action="Undo the nut.", span=Span(films.front, start, end)))


def opened(bench: Bench, app: QApplication, film: Path) -> BenchWindow:
    began = time.monotonic()
    bench.open([film])
    while bench.pane.films is None or bench.pane.films.index() is None:
        app.processEvents()
        time.sleep(0.01)
    say(f"first frame's index after {time.monotonic() - began:.2f} s")
    began = time.monotonic()
    QTest.keyClick(bench.pane.focusWidget() or bench.pane, Qt.Key.Key_Return)
    while bench.window is None:
        app.processEvents()
        time.sleep(0.01)
    app.processEvents()
    say(f"window up {time.monotonic() - began:.2f} s after Enter (fingerprint of the film in it)")
    return bench.window


def build_up(window: BenchWindow, app: QApplication, hand: Hand) -> None:
    """Read the film, fill the document and its history."""
    began = time.monotonic()
    films = window.session.films
    while films.analyses() is None:
        QTest.qWait(200)
    say(f"film read after {time.monotonic() - began:.0f} s")
    fill(window, hand.chance)
    document = window.session.document
    while len(document.history) < 1_000:
        window.session.choose_step(hand.chance.choice(hand.steps).id)
        hand.write()
        hand.count += 1
        app.processEvents()
    for number in range(_WARM):
        hand.act()
        app.processEvents()
        QTest.qWait(20)
        if number % _REST_EVERY == 0:
            QTest.qWait(int(_REST * 1000))


class Memory:
    """What every process takes, and what is alive in the window."""

    def __init__(self, window: BenchWindow) -> None:
        self.window = window
        self.me = psutil.Process()
        self.seen: list[dict[str, float]] = []

    def look(self) -> dict[str, float]:
        """Return megabytes by process; those that read the film are numbered by age."""
        found = {"window": self.me.memory_full_info().pss / 1e6}
        children = sorted(self.me.children(recursive=True), key=lambda each: each.create_time())
        for number, child in enumerate(children, start=1):
            try:
                found[f"reader {number}"] = child.memory_full_info().pss / 1e6
            except psutil.Error:
                continue
        found["all"] = sum(found.values())
        self.seen.append(found)
        return found

    def alive(self) -> str:
        """Say how much of what could pile up is alive."""
        kinds = collections.Counter(type(each) for each in gc.get_objects())
        document = self.window.session.document
        journal = document._journal
        frames = sum(len(frame) for _, frame in journal._frames) if journal else 0
        return (
            f"{sum(1 for _ in self.window.session.procedure.placed_steps())} steps, "
            f"{len(document.history)} entries, {kinds[Procedure]} snapshots, {kinds[Step]} "
            f"kept steps, {len(QApplication.allWidgets())} widgets, {sum(kinds.values())} "
            f"objects, journal {frames / 1e6:.1f} MB, C heap {in_use() / 1e6:.0f} MB in use"
        )

    def thirds(self, name: str) -> tuple[float, float, float]:
        """Return what was needed at most in the first, middle and last third."""
        took = [each.get(name, 0.0) for each in self.seen]
        third = max(len(took) // 3, 1)
        return max(took[:third]), max(took[third:-third]), max(took[-third:])

    def middles(self, name: str) -> tuple[float, float]:
        """Return what was needed for half the time in the first and the last third."""
        took = [each.get(name, 0.0) for each in self.seen]
        third = max(len(took) // 3, 1)
        return statistics.median(took[:third]), statistics.median(took[-third:])


class _Heap(ctypes.Structure):
    _fields_ = [
        (name, ctypes.c_size_t)
        for name in ("arena", "ordblks", "smblks", "hblks", "hblkhd", "usmblks", "fsmblks",
                     "uordblks", "fordblks", "keepcost")
    ]  # fmt: skip


def in_use() -> int:
    """Return the bytes the C library has given out (Linux)."""
    look = getattr(ctypes.CDLL(None), "mallinfo2", None)
    if look is None:
        return 0
    look.restype = _Heap
    found = look()
    return int(found.uordblks + found.hblkhd)


def main() -> int:
    named = [each for each in sys.argv[1:] if not each.startswith("--")]
    film = Path(named[0]).resolve()
    actions = int(named[1]) if len(named) > 1 else 5_000
    with tempfile.TemporaryDirectory() as place:
        os.environ["REELWRIGHT_STATE"] = f"{place}/state"
        QSettings.setDefaultFormat(QSettings.Format.IniFormat)
        scope = QSettings.Scope.UserScope
        QSettings.setPath(QSettings.Format.IniFormat, scope, f"{place}/settings")
        (Path(place) / film.name).symlink_to(film)
        app = application()
        bench = Bench(app)
        window = opened(bench, app, Path(place) / film.name)
        hand = Hand(window, random.Random(7))
        build_up(window, app, hand)
        memory, busy = soak(window, app, hand, actions)
        bench.close()
    return told(memory, busy)


def soak(
    window: BenchWindow, app: QApplication, hand: Hand, actions: int
) -> tuple[Memory, list[tuple[float, str, float]]]:
    """Do the random actions; return the memory, and how long each took, what it was, the load."""
    memory = Memory(window)
    say(f"built up: {memory.alive()}")
    if "--trace" in sys.argv:
        tracemalloc.start(8)
    first = None
    hand.took.clear()
    for number in range(1, actions + 1):
        hand.act()
        app.processEvents()
        QTest.qWait(20)
        if number % _REST_EVERY == 0:
            QTest.qWait(int(_REST * 1000))
            say(f"{number:6} {memory.alive()}")
            if tracemalloc.is_tracing() and number == actions // 3 // _REST_EVERY * _REST_EVERY:
                first = tracemalloc.take_snapshot()
        if number % 25 == 0:
            found = memory.look()
            if number % _REST_EVERY == 0:
                say("       " + "  ".join(f"{name} {mb:.0f}" for name, mb in found.items()))
    if first is not None:
        for line in tracemalloc.take_snapshot().compare_to(first, "traceback")[:12]:
            say(f"{line}\n" + "\n".join(line.traceback.format()))
    return memory, hand.took


def told(memory: Memory, busy: list[tuple[float, str, float]]) -> int:
    """Say what came of it, and return the exit code."""
    busy.sort(reverse=True)
    p95 = busy[len(busy) // 20][0] * 1000
    over = sum(1 for took, _, _ in busy if took > _BAR)
    say(f"{len(busy)} presses, window's thread: p95 {p95:.1f} ms, {over} over the bar; longest:")
    for took, deed, load in busy[:8]:
        say(f"  {took * 1000:6.1f} ms  {deed}  (load {load:.1f})")
    for name in sorted({name for each in memory.seen for name in each}):
        first, middle, last = memory.thirds(name)
        half, half_last = memory.middles(name)
        say(
            f"{name:9} at most {first:.0f}, {middle:.0f}, {last:.0f} MB in the three thirds; "
            f"half the time {half:.0f} and {half_last:.0f} MB"
        )
    first, _, last = memory.thirds("all")
    return int(last > 1.03 * first or busy[0][0] > _BAR)


if __name__ == "__main__":
    sys.exit(main())
