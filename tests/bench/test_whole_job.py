"""The whole job by keys alone: from a recording to what hangs on the wall."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from PyQt6.QtWidgets import QApplication

from author.bench.app import Bench
from author.bench.window import BenchWindow
from author.checks.verdict import forbids
from author.contract import read_procedure

from .hands import Hands

TEXTS = {
    ("purpose",): "Renew the seal of the pump when it drips.",
    ("unit", "name"): "Shop-built coolant pump",
    ("limits_of_use", 0): "Pumps that were never opened before only.",
}


@pytest.fixture
def bench(qapp: QApplication):
    made = Bench(qapp)
    yield made
    made.close()


def opened(bench: Bench, film: Path, qtbot) -> tuple[BenchWindow, Hands]:
    bench.open([film])
    hands = Hands(bench.pane)
    qtbot.waitUntil(lambda: bench.pane.films.index() is not None, timeout=20_000)
    hands.press("Enter")
    qtbot.waitUntil(lambda: bench.window is not None, timeout=20_000)
    window = bench.window
    hands = Hands(window)
    window.activateWindow()
    qtbot.waitUntil(lambda: window.session.films.analyses() is not None, timeout=30_000)
    return window, hands


def make_step(window: BenchWindow, hands: Hands, words: str) -> None:
    hands.press("Shift+Right", "M", "Shift+Right", "M")
    hands.type(words)
    hands.press("Enter")
    assert window.film_view.hasFocus()


def mend_what_forbids(window: BenchWindow, hands: Hands, qtbot) -> None:
    """Go from remark to remark and write what is missing, as a person would."""
    for _ in range(20):
        with qtbot.waitSignal(window.session.checked):  # what was written last is in it
            window.session.check()
        qtbot.wait(100)
        left = [r for r in window.session.verdict.remarks if forbids(r)]
        if not left:
            return
        hands.press("F8")
        remark = window.remarks_view.chosen()
        assert remark is not None
        words = TEXTS.get(tuple(remark.path), "The pump on the bench, seal in hand.")
        qtbot.wait(50)
        hands.press("Ctrl+A")
        hands.type(words)
        hands.press("Tab", "Esc")
        window.activateWindow()
        hands.press("Esc")
    raise AssertionError([remark.problem for remark in left])


def test_from_a_recording_to_a_published_procedure_without_the_mouse(
    bench, bench_film, tmp_path, qtbot
):
    film = tmp_path / "pump.mp4"
    shutil.copy(bench_film, film)
    window, hands = opened(bench, film, qtbot)
    session = window.session
    hands.press("Ctrl+Home")
    make_step(window, hands, "Undo the cover nut.")
    hands.press("O")
    hands.type("Cover nut")
    hands.press("Enter", "Esc")
    hands.press("B")
    qtbot.waitUntil(lambda: not session.jobs.is_running("best still"), timeout=10_000)
    hands.press("Esc")
    make_step(window, hands, "Fit the cover nut and tighten it.")
    hands.press("I", "Enter", "Esc")
    hands.press("T")
    for text in ("Torque of the cover nut", "20..24 N m", "M10", "dry"):
        hands.type(text)
        hands.press("Enter")
    hands.press("Esc", "Esc")
    steps = [placed.step for placed in session.procedure.placed_steps()]
    assert [step.action for step in steps] == [
        "Undo the cover nut.",
        "Fit the cover nut and tighten it.",
    ]
    assert [step.ledger[0].act for step in steps] == ["removes", "refits"]
    mend_what_forbids(window, hands, qtbot)
    hands.press("Ctrl+P")
    sheet = window.publishing.sheet
    qtbot.waitUntil(lambda: QApplication.activeWindow() is sheet)
    Hands(sheet).press("Enter")
    folder = session.document.file.parent / "published"
    qtbot.waitUntil((folder / "procedure.pdf").exists, timeout=60_000)
    qtbot.waitUntil(lambda: not session.jobs.is_running("publish"), timeout=60_000)
    assert (folder / "page" / "index.html").exists()
    saved = read_procedure(session.document.file).procedure
    assert saved == session.procedure
    assert not session.document.dirty
