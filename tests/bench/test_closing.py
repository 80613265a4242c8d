"""Closing loses nothing: what is half written is told, and what is not written is kept aside."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
from pathlib import Path

import pytest
from PyQt6.QtCore import Qt, QTimer
from PyQt6.QtWidgets import QApplication, QMessageBox

from author.bench.window import BenchWindow
from author.editing import SetField
from author.editing.journal_file import journal_path
from bench.hands import Hands, answer_by

TERMED = """
import sys
from pathlib import Path
from PyQt6.QtCore import QTimer
from PyQt6.QtWidgets import QApplication
from author.bench.app import Bench, run
from author.editing import SetField

def work():
    bench = next(one for one in kept if one.window is not None)
    bench.window.session.do(SetField(("title",), "Not in the file"))
    if "asked" in sys.argv:
        QTimer.singleShot(500, say)
        bench.window.close()
    else:
        say()

def say():
    modal = QApplication.activeModalWidget()
    print("asked" if modal is not None else "plain", flush=True)

class Kept(Bench):
    def _put_on_bench(self, *given):
        super()._put_on_bench(*given)
        kept.append(self)
        QTimer.singleShot(200, work)

kept = []
import author.bench.app
author.bench.app.Bench = Kept
sys.exit(run([Path(sys.argv[1])]))
"""
"""Shows the window, changes the title, and says when: with a question in front if wanted."""


def press_in_box(qtbot, told: list[set[str]], *keys: Qt.Key) -> None:
    """Press keys in the question that comes next; what its buttons say before each is told."""

    def answer() -> None:
        box = QApplication.activeModalWidget()
        for key in keys:
            told.append({button.text().replace("&", "") for button in box.buttons()})
            qtbot.keyClick(box.focusWidget(), key)

    QTimer.singleShot(50, answer)


def test_enter_presses_the_button_that_says_so(window: BenchWindow, qtbot):
    window.session.do(SetField(("title",), "New title"))
    told: list[set[str]] = []
    press_in_box(qtbot, told, Qt.Key.Key_Tab, Qt.Key.Key_Return)
    closed = window.close()
    labelled = next(text for text in told[1] if text.endswith("Enter"))
    assert "Write it and close  W" in told[1]
    # Nothing is lost, whichever comes behind the first.
    assert closed is labelled.startswith("Close, keep it aside")
    if closed:
        assert journal_path(window.session.document.file).exists()


def test_what_was_closed_without_writing_is_offered_once(
    window, open_window, job_folder, qtbot, monkeypatch
):
    before = window.session.procedure.title
    window.session.do(SetField(("title",), "Not written"))
    asked = answer_by(monkeypatch, "Close, keep it aside")
    assert window.close()
    assert len(asked) == 1
    asked = answer_by(monkeypatch, "Leave it aside")
    again = open_window(job_folder)
    qtbot.waitUntil(lambda: len(asked) == 1)
    assert again.session.procedure.title == before
    again.close()
    third = open_window(job_folder)
    qtbot.wait(100)
    assert len(asked) == 1
    assert third.session.procedure.title == before


def test_a_half_written_number_is_told_before_the_window_closes(window, qtbot, monkeypatch):
    hands, told = Hands(window), []
    window.activateWindow()
    window.to_film()
    qtbot.waitUntil(window.film_view.hasFocus)
    hands.press("D")
    hands.type("Bore")
    hands.press("Esc")

    def answer(box: QMessageBox) -> int:
        told.append((box.text(), box.informativeText()))
        next(one for one in box.buttons() if one.text().startswith("&Go back to it")).click()
        return 0

    monkeypatch.setattr(QMessageBox, "exec", answer)
    hands.press("Ctrl+Q")
    assert window.isVisible()
    assert "not in the procedure yet" in told[0][0]
    assert told[0][1] == "Step 1: “Bore”"
    assert QApplication.focusWidget() is window.step_sheet.specs.editor.what
    window.step_sheet.specs.editor.what.clear()
    assert window.close()
    assert len(told) == 1


@pytest.mark.parametrize("front", ["plain", "asked"])
def test_a_request_to_end_ends_it_and_keeps_the_work_aside(
    front: str, job_folder: Path, open_window, qtbot, monkeypatch
):
    process = subprocess.Popen(
        [sys.executable, "-c", TERMED, str(job_folder), front],
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        env=os.environ | {"QT_QPA_PLATFORM": "offscreen"},
    )
    try:
        assert process.stdout is not None
        assert process.stdout.readline().strip() == front
        process.send_signal(signal.SIGTERM)
        _, told = process.communicate(timeout=60)
    finally:
        process.kill()
        process.communicate()
    assert process.returncode == 0
    assert "Traceback" not in told
    asked = answer_by(monkeypatch, "Take it up")
    again = open_window(job_folder)
    qtbot.waitUntil(lambda: len(asked) == 1)
    assert again.session.procedure.title == "Not in the file"
