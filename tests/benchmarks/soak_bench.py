"""The whole window with a long film open, and thousands of random actions: memory stays level.

``python tests/benchmarks/soak_bench.py FILM [ACTIONS]``: 5,000 by default. The window comes
up on a new procedure from the film; then deeds are done at random: walking, marking, splitting,
joining, moving, stills, measurements, undo and redo, papers of the tray, colours. Prints when
the window was up, how long the window's thread was busy with each action, and the memory of
all processes together; exit code 1 if the last third needs over 10 % more than the first.
"""

from __future__ import annotations

import os
import random
import sys
import tempfile
import time
from pathlib import Path

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
sys.path.insert(0, str(Path(__file__).parent / "recordings"))

from PyQt6.QtCore import QSettings, Qt
from PyQt6.QtTest import QTest
from PyQt6.QtWidgets import QApplication
from soak import memory, say

from author.bench.app import Bench, application
from author.bench.window import BenchWindow
from author.editing import AddEntry, RemoveSteps, SetField

_SPEC = {"characteristic": "Depth", "quantity": "length", "unit": "mm", "lower": "4.45",
         "upper": "4.60"}  # fmt: skip
_WALKS = ("frame_back", "frame_on", "second_back", "second_on", "shot_back", "shot_on",
          "pause_back", "pause_on", "film_start", "film_end")  # fmt: skip
_STEPS = ("step_before", "step_after", "step_up", "step_down", "split", "join", "begin_here",
          "end_here", "take_still", "best_still")  # fmt: skip
_PAPERS = ("show_remarks", "show_ledger", "show_speech", "show_review", "next_remark", "still")
_MOST_STEPS = 300


class Hand:
    """Does one random thing after another."""

    def __init__(self, window: BenchWindow, chance: random.Random) -> None:
        self.window = window
        self.chance = chance
        self.count = 0

    def act(self) -> None:
        """Do something."""
        deeds, chance = self.window.actions_by_name, self.chance
        self.count += 1
        dice = chance.random()
        if dice < 0.45:
            deeds[chance.choice(_WALKS)].trigger()
        elif dice < 0.55:
            films = self.window.session.films
            films.show(chance.randrange(max(films.count(films.front), 1)))
        elif dice < 0.65:
            self._mark()
        elif dice < 0.75:
            deeds[chance.choice(_STEPS)].trigger()
        elif dice < 0.82:
            self._write()
        elif dice < 0.94:
            deeds[chance.choice(("undo", "undo", "redo"))].trigger()
        else:
            deeds[chance.choice(_PAPERS)].trigger()
        if dice > 0.6:
            self.window.to_film()

    def _mark(self) -> None:
        deeds, session = self.window.actions_by_name, self.window.session
        steps = [placed.step.id for placed in session.procedure.placed_steps()]
        if len(steps) >= _MOST_STEPS:
            session.do(RemoveSteps(tuple(self.chance.sample(steps, 20))))
        deeds["mark"].trigger()
        deeds["second_on"].trigger()
        deeds["mark"].trigger()

    def _write(self) -> None:
        session = self.window.session
        if not session.step:
            return
        if self.chance.random() < 0.5:
            words = f"Undo nut {self.count}."
            session.do(SetField(("steps", session.step, "action"), words))
        else:
            session.do(AddEntry(("steps", session.step, "specs"), dict(_SPEC)))


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


def main() -> int:
    film = Path(sys.argv[1]).resolve()
    actions = int(sys.argv[2]) if len(sys.argv) > 2 else 5_000
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
        busy: list[float] = []
        seen: list[int] = []
        for number in range(1, actions + 1):
            began = time.thread_time()
            hand.act()
            app.processEvents()
            busy.append(time.thread_time() - began)
            QTest.qWait(20)
            if number % max(actions // 30, 1) == 0:
                seen.append(memory())
                steps = sum(1 for _ in window.session.procedure.placed_steps())
                say(f"{number:6} actions  {seen[-1] / 1e6:7.0f} MB  {steps} steps")
        bench.close()
    busy.sort()
    p95 = busy[int(len(busy) * 0.95)] * 1000
    say(f"window's thread per action: p95 {p95:.1f} ms, longest {busy[-1] * 1000:.1f} ms")
    third = max(len(seen) // 3, 1)
    first, last = max(seen[:third]), max(seen[-third:])
    say(f"at most {first / 1e6:.0f} MB in the first third, {last / 1e6:.0f} MB in the last")
    return int(last > 1.1 * first)


if __name__ == "__main__":
    sys.exit(main())
