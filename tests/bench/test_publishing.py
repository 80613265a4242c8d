"""The publishing sheet says what its keys do while it works, and what came of it."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest
from PyQt6.QtCore import Qt
from PyQt6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from author.bench import publishing
from author.bench.views.status_line import StatusLine
from author.bench.window import BenchWindow
from author.checks.verdict import forbids
from author.errors import Cancelled, InputError
from author.progress import Cancel
from bench.hands import answer_by


def test_escape_stops_what_is_made_and_closes_what_is_done(
    window: BenchWindow, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    def slow(*_: Any, cancel: Cancel, **__: Any) -> None:
        while not cancel.requested:
            time.sleep(0.01)
        raise Cancelled

    monkeypatch.setattr(publishing, "publish", slow)
    window.actions_by_name["publish"].trigger()
    sheet = window.publishing.sheet
    assert sheet is not None
    qtbot.waitUntil(lambda: QApplication.activeWindow() is sheet)
    texts = (sheet._halt.text(), sheet.close_button.text())
    assert texts == ("&Stop", "C&lose   Esc")
    sheet._draft.setChecked(True)
    sheet._go.click()
    assert window.session.jobs.is_running("publish")
    assert (sheet._halt.text(), sheet.close_button.text()) == ("&Stop   Esc", "C&lose")
    qtbot.keyClick(sheet, Qt.Key.Key_Escape)
    assert not window.session.jobs.is_running("publish")
    assert sheet.isVisible()
    assert sheet._says.text().startswith("Stopped.")
    assert (sheet._halt.text(), sheet.close_button.text()) == texts
    qtbot.keyClick(sheet, Qt.Key.Key_Escape)
    assert not sheet.isVisible()


def test_what_forbids_it_is_said_in_right_words_and_only_a_draft_can_be_begun(
    window: BenchWindow, qtbot: QtBot
) -> None:
    session = window.session
    qtbot.waitUntil(lambda: session.verdict is not None)
    window.actions_by_name["publish"].trigger()
    sheet = window.publishing.sheet
    assert sheet is not None
    count = len(sheet._forbids)
    assert count > 1
    assert sheet._says.text().startswith(f"{count} remarks forbid it; only a draft can be made.")
    assert not sheet._go.isEnabled()
    assert sheet.focusWidget() is sheet._draft
    sheet._draft.click()
    assert sheet._go.isEnabled()
    assert sheet._says.text().startswith(f"It is made as a draft, in spite of {count} remarks.")
    sheet._draft.click()
    assert not sheet._go.isEnabled()
    assert session.verdict is not None
    one = next(each for each in session.verdict.remarks if forbids(each))
    session.verdict = replace(session.verdict, remarks=(one,))
    session.checked.emit(session.verdict)
    assert sheet._says.text().startswith("One remark forbids it; only a draft can be made. ")
    session.verdict = replace(session.verdict, remarks=())
    session.checked.emit(session.verdict)
    assert sheet._go.isEnabled()
    assert not sheet._says.text()


def test_what_was_made_stays_told_when_the_rules_are_asked_again(
    window: BenchWindow, qtbot: QtBot
) -> None:
    qtbot.waitUntil(lambda: window.session.verdict is not None)
    window.actions_by_name["publish"].trigger()
    sheet = window.publishing.sheet
    assert sheet is not None
    sheet._says.setText("Made in a folder")
    window.session.checked.emit(window.session.verdict)
    assert sheet._says.text() == "Made in a folder"


def closed_at_work(
    window: BenchWindow, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch, end: Callable[[], object]
) -> threading.Event:
    """Begin to publish and close the sheet; return what lets it come to its end."""
    go_on = threading.Event()

    def slow(*_: Any, cancel: Cancel, **__: Any) -> object:
        while not go_on.is_set():
            cancel.check()
            time.sleep(0.01)
        return end()

    monkeypatch.setattr(publishing, "publish", slow)
    qtbot.waitUntil(lambda: window.session.verdict is not None)
    window.actions_by_name["publish"].trigger()
    sheet = window.publishing.sheet
    assert sheet is not None
    sheet._draft.setChecked(True)
    sheet._go.click()
    sheet.close_button.click()
    assert window.session.jobs.is_running("publish")
    return go_on


def test_what_fails_behind_the_window_is_told_in_it(
    window: BenchWindow, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    def fail() -> object:
        raise InputError("the disk is full", remedy="Make room")

    go_on = closed_at_work(window, qtbot, monkeypatch, fail)
    go_on.set()
    qtbot.waitUntil(lambda: not window.session.jobs.is_running("publish"))
    status = window.statusBar()
    assert isinstance(status, StatusLine)
    assert status.words().startswith("Nothing was published: ")
    assert "the disk is full" in status.words()


def test_closing_asks_before_it_stops_what_is_published(
    window: BenchWindow, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    closed_at_work(window, qtbot, monkeypatch, object)
    asked = answer_by(monkeypatch, "Go on publishing")
    assert not window.close()
    assert asked == ["It is still being published."]
    assert window.session.jobs.is_running("publish")
    answer_by(monkeypatch, "Stop it and close")
    assert window.close()
