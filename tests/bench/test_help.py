"""The sheet of all keys: found by a word, walked through by keys."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from PyQt6 import sip
from PyQt6.QtCore import Qt
from PyQt6.QtWidgets import QMainWindow
from pytestqt.qtbot import QtBot

from author.bench.actions import DEEDS, Actions
from author.bench.help import KeysSheet
from author.bench.trade_words import trade_words

KEY = Qt.Key


@pytest.fixture
def sheet(qtbot: QtBot) -> Iterator[KeysSheet]:
    window = QMainWindow()
    made = KeysSheet(Actions(window), window)
    made.show()
    qtbot.waitExposed(made)
    made.activateWindow()
    qtbot.waitUntil(made._find.hasFocus)
    yield made
    if not sip.isdeleted(made):
        made.close()
    window.deleteLater()


def row(sheet: KeysSheet) -> int:
    item = sheet._list.currentItem()
    return -1 if item is None else sheet._items().index(item)


def test_pages_and_arrows_go_through_the_list_while_a_word_is_looked_for(
    sheet: KeysSheet, qtbot: QtBot
) -> None:
    rows = []
    for key in (KEY.Key_PageDown, KEY.Key_PageDown, KEY.Key_Down, KEY.Key_Up, KEY.Key_PageUp):
        qtbot.keyClick(sheet._find, key)
        rows.append(row(sheet))
    first, second, down, up, back = rows
    assert 5 < first < second
    assert (down, up) == (second + 1, second)
    assert back < second
    assert sheet._find.hasFocus()


def test_no_key_stays_on_a_heading(sheet: KeysSheet, qtbot: QtBot) -> None:
    for key in [KEY.Key_Down] * 30 + [KEY.Key_Up] * 40:
        qtbot.keyClick(sheet._find, key)
        assert row(sheet) >= 0
    assert row(sheet) == 0


def test_enter_does_what_the_keys_led_to(sheet: KeysSheet, qtbot: QtBot) -> None:
    done: list[str] = []
    for name, action in sheet._deeds.items():
        action.triggered.connect(lambda _=False, name=name: done.append(name))
    qtbot.keyClicks(sheet._find, "remark")
    qtbot.keyClick(sheet._find, KEY.Key_Down)
    qtbot.keyClick(sheet._find, KEY.Key_Return)
    assert done == ["previous_remark"]


@pytest.mark.parametrize(
    ("word", "deed"),
    [("bolt", "torque"), ("swap", "goes_on"), ("photo", "take_still"), ("danger", "hazard")],
)
def test_a_deed_is_found_by_other_words_of_the_trade(
    sheet: KeysSheet, qtbot: QtBot, word: str, deed: str
) -> None:
    qtbot.keyClicks(sheet._find, word)
    shown = [item for item in sheet._items() if not item.isHidden()]
    assert deed in [item.data(0, Qt.ItemDataRole.UserRole) for item in shown]
    assert not sheet._nothing.isVisible()


def test_it_says_when_nothing_is_found(sheet: KeysSheet, qtbot: QtBot) -> None:
    qtbot.keyClicks(sheet._find, "qqq")
    assert sheet._nothing.isVisible() and "Nothing found" in sheet._nothing.text()
    for _ in range(3):
        qtbot.keyClick(sheet._find, KEY.Key_Backspace)
    assert not sheet._nothing.isVisible()


def test_every_deed_that_is_given_other_words_is_there() -> None:
    assert set(trade_words()) <= {deed.name for deed in DEEDS}


def test_the_sheet_is_as_high_as_the_window_and_shows_what_is_typed(qtbot: QtBot) -> None:
    window = QMainWindow()
    window.resize(1280, 720)
    sheet = KeysSheet(Actions(window), window)
    with qtbot.waitExposed(sheet):
        sheet.show()
    assert 660 <= sheet.height() <= 700
    last = sheet._items()[-1]
    sheet._list.scrollToBottom()
    qtbot.keyClicks(sheet._find, last.text(0))
    item = sheet._list.currentItem()
    assert item is not None
    view = sheet._list.viewport()
    assert view is not None and view.rect().contains(sheet._list.visualItemRect(item))
    sheet.close()
    window.deleteLater()
