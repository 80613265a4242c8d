"""The publishing sheet says what its keys do while it works."""

from __future__ import annotations

import time
from dataclasses import replace
from typing import Any

import pytest
from PyQt6.QtCore import Qt
from PyQt6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from author.bench import publishing
from author.bench.window import BenchWindow
from author.checks.verdict import forbids
from author.errors import Cancelled
from author.progress import Cancel


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
