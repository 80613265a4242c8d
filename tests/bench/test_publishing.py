"""The publishing sheet says what its keys do while it works."""

from __future__ import annotations

import time
from typing import Any

import pytest
from PyQt6.QtCore import Qt
from PyQt6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from author.bench import publishing
from author.bench.window import BenchWindow
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
