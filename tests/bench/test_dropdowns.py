"""Lists that drop down: closed, no letter and no wheel changes them; opened, all is seen."""

from __future__ import annotations

import pytest
from PyQt6.QtCore import QPoint, QPointF, Qt
from PyQt6.QtGui import QWheelEvent
from PyQt6.QtWidgets import QApplication, QMainWindow, QStyleOptionComboBox
from pytestqt.qtbot import QtBot

from author.bench.dropdown import MOST_SHOWN, Dropdown, shortened


@pytest.fixture
def box(qtbot: QtBot):
    window = QMainWindow()
    made = Dropdown()
    for n in range(20):
        made.addItem(f"{'Repeat' if n == 3 else 'Line'} {n}", n)
    window.setCentralWidget(made)
    window.resize(300, 60)
    with qtbot.waitExposed(window):
        window.show()
    made.setFocus()
    yield made
    made.hidePopup()
    window.hide()
    window.deleteLater()


def test_a_closed_list_takes_no_letter_and_no_wheel(box: Dropdown, qtbot: QtBot) -> None:
    qtbot.keyClicks(box, "repeat")
    turned = QWheelEvent(
        QPointF(5, 5), QPointF(5, 5), QPoint(), QPoint(0, -240), Qt.MouseButton.NoButton,
        Qt.KeyboardModifier.NoModifier, Qt.ScrollPhase.NoScrollPhase, False,
    )  # fmt: skip
    QApplication.sendEvent(box, turned)
    assert box.currentIndex() == 0
    assert not turned.isAccepted()


@pytest.mark.parametrize(
    ("key", "held"),
    [
        (Qt.Key.Key_Return, Qt.KeyboardModifier.NoModifier),
        (Qt.Key.Key_Space, Qt.KeyboardModifier.NoModifier),
        (Qt.Key.Key_Down, Qt.KeyboardModifier.AltModifier),
    ],
)
def test_opened_by_a_key_letters_choose(box: Dropdown, qtbot: QtBot, key, held) -> None:
    qtbot.keyClick(box, key, held)
    view = box.view()
    assert view is not None and view.isVisible()
    qtbot.keyClick(QApplication.focusWidget(), Qt.Key.Key_R)
    assert box.currentIndex() == 0
    qtbot.keyClick(QApplication.focusWidget(), Qt.Key.Key_Return)
    assert box.currentIndex() == 3


@pytest.mark.parametrize("count", [4, MOST_SHOWN, 20])
def test_up_to_twelve_lines_are_seen_whole(box: Dropdown, qtbot: QtBot, count: int) -> None:
    while box.count() > count:
        box.removeItem(box.count() - 1)
    qtbot.keyClick(box, Qt.Key.Key_Return)
    view = box.view()
    port = None if view is None else view.viewport()
    model = box.model()
    assert view is not None and port is not None and model is not None
    last = view.visualRect(model.index(min(count, MOST_SHOWN) - 1, 0))
    assert port.rect().top() <= last.top()
    assert last.bottom() <= port.rect().bottom()
    assert port.height() - last.bottom() < 2 or count > MOST_SHOWN


def test_what_is_said_behind_a_name_stays_where_the_room_is_small(box: Dropdown) -> None:
    metrics = box.fontMetrics()
    said = "Demo data sheet 1, all of its numbers · maker's manual"
    room = metrics.horizontalAdvance("Demo data sheet · maker's manual")
    short = shortened(said, metrics, room)
    assert short.startswith("Demo") and short.endswith("… · maker's manual")
    assert metrics.horizontalAdvance(short) <= room
    assert shortened(said, metrics, 2000) == said
    assert shortened("Plain words without a kind", metrics, 60).endswith("…")
    box.addItem(said, "long")
    box.setCurrentIndex(box.count() - 1)
    option = QStyleOptionComboBox()
    box.setFixedWidth(room)
    box.initStyleOption(option)
    assert option.currentText.endswith("… · maker's manual")
    assert box.currentText() == said
