"""Outline and job sheet with 300 steps, driven by key events on a screen that is not there.

``python tests/benchmarks/bench_steps.py``. The time counted is that of the window's thread
(``time.thread_time``) for a key with the layout and painting it brings about, so that what
runs beside does not count. Bars: no action over 50 ms; a letter in a text at most 10 ms (p95).
"""

from __future__ import annotations

import os
import statistics
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
sys.path.insert(0, str(Path(__file__).parents[1]))

from bench.hands import Hands
from bench.jobs import SAMPLE, Desk
from PyQt6.QtWidgets import QApplication

from author.bench import theme
from author.bench.session import Session
from author.contract import parse_procedure, write_yaml
from author.contract.procedure_file import as_plain
from author.procedure.document import Procedure
from author.procedure.steps import Step
from author.tasks.opening import open_for_editing

STEPS = 300
IN_SECTION = 25
_POINTS = ("specs", "torques", "critical_points", "criteria")


def numbered(node: Any, number: int, **update: Any) -> Any:
    """Return a thing whose id is its own in the whole document."""
    return node.model_copy(update={"id": f"{node.id[:40]}-{number}", **update})


def copy_of(step: Step, number: int) -> Step:
    """Return a step that leads nowhere else, with ids of its own."""
    update: dict[str, Any] = {"decision": None, "goes_to": None, "witness": None}
    alone = {"spread_of": None, "below": None, "above": None, "undecided": None}
    for key in _POINTS:
        points = getattr(step, key)
        more = alone if key in {"specs", "torques"} else {}
        update[key] = points and tuple(numbered(one, number, **more) for one in points)
    return numbered(step, number, **update)  # type: ignore[no-any-return]


def large() -> Procedure:
    """Return the demonstration procedure over and over."""
    sample = parse_procedure(SAMPLE.read_bytes(), SAMPLE).procedure
    one = [placed.step for placed in sample.placed_steps()]
    steps = [copy_of(one[at % len(one)], at) for at in range(STEPS)]
    sections = tuple(
        numbered(sample.sections[0], at, steps=tuple(steps[at : at + IN_SECTION]))
        for at in range(0, STEPS, IN_SECTION)
    )
    gone = {"chains": (), "findings": (), "concessions": ()}
    return sample.model_copy(update={"sections": sections, **gone})


def measure(name: str, deed: Callable[[int], object], times: int) -> None:
    taken = []
    for at in range(times):
        begun = time.thread_time()
        deed(at)
        QApplication.processEvents()
        taken.append(1000 * (time.thread_time() - begun))
    taken.sort()
    p95 = taken[max(0, int(0.95 * len(taken)) - 1)]
    told = f"median {statistics.median(taken):5.1f}  p95 {p95:5.1f}  max {taken[-1]:5.1f} ms"
    print(f"{name:34} {told}")  # noqa: T201 - what the script is for


def run(desk: Desk) -> None:
    session, hands = desk.session, Hands(desk)
    order = [placed.step.id for placed in session.procedure.placed_steps()]
    measure("choose a step, seen first", lambda at: session.choose_step(order[at]), 32)
    measure("choose a step", lambda at: session.choose_step(order[at + 40]), 100)
    hands.press("W")
    measure("a letter in the action", lambda _: hands.type("x"), 50)
    desk.to_film()
    measure("move it down", lambda _: hands.press("Ctrl+Down"), 30)
    measure("undo", lambda _: (desk.to_film(), hands.press("Ctrl+Z")), 20)
    for name, letter in (("H", "s"), ("O", "w"), ("U", "r")):
        desk.to_film()
        for word, deed in (
            (f"open the picker ({name})", lambda _, name=name: hands.press(name)),
            ("a letter in it", lambda _, letter=letter: hands.type(letter)),
            ("take what is found", lambda _: hands.press("Enter")),
        ):
            measure(word, deed, 1)
    measure("remove a step", lambda _: (desk.to_film(), hands.press("Ctrl+Del")), 10)


def main() -> None:
    app = QApplication([])
    theme.put_on(app, dark=False)
    with tempfile.TemporaryDirectory() as folder:
        os.environ["REELWRIGHT_STATE"] = str(Path(folder) / "state")
        (Path(folder) / "procedure.yaml").write_text(write_yaml(as_plain(large())))
        session = Session(open_for_editing(Path(folder)))
        desk = Desk(session)
        desk.show()
        desk.activateWindow()
        # Groups are made ahead of time while nobody does anything.
        until = time.monotonic() + 2
        while time.monotonic() < until:
            app.processEvents()
            time.sleep(0.01)
        run(desk)
        desk.hide()
        session.close()


if __name__ == "__main__":
    main()
