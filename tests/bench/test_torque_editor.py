"""A torque, its joint, its bolts and their order, made by keys or clicks."""

from __future__ import annotations

import math
import shutil
from collections.abc import Callable, Iterator
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PyQt6.QtCore import QEvent, Qt
from PyQt6.QtWidgets import QApplication, QMainWindow, QPushButton, QWidget
from pytestqt.qtbot import QtBot

from author.bench.actions import Actions
from author.bench.session import Session
from author.bench.views.bolt_pattern_view import BoltPatternView
from author.bench.views.torque_editor import TorqueEditor
from author.procedure.bolt_patterns import LEAST, MOST_BOLTS, pattern_of, proposed_order, turn_text
from author.procedure.specs import TorqueSpec

SAMPLE = Path(__file__).parents[2] / "sample_media" / "upper-wheel-bearings" / "procedure.yaml"
GUARD = ("steps", "guard-on", "torques", "guard-torque")
NUT = ("steps", "tighten-nut", "torques", "nut-torque")


@pytest.fixture
def session(open_session: Callable[[Path], Session], tmp_path: Path) -> Session:
    folder = tmp_path / "saw"
    folder.mkdir()
    shutil.copy(SAMPLE, folder)
    return open_session(folder)


@pytest.fixture
def editor(qtbot: QtBot, session: Session) -> Iterator[TorqueEditor]:
    window = QMainWindow()
    made = TorqueEditor(session, Actions(window))
    window.setCentralWidget(made)
    window.resize(460, 1000)
    with qtbot.waitExposed(window):
        window.show()
    yield made
    window.hide()
    window.deleteLater()


def torque(editor: TorqueEditor) -> TorqueSpec:
    spec = editor.spec
    assert isinstance(spec, TorqueSpec)
    return spec


def press(qtbot: QtBot, *keys: str | Qt.Key) -> int:
    """Press keys on whatever has them; return how many."""
    count = 0
    for one in keys:
        for key in one if isinstance(one, str) else [one]:
            target = QApplication.focusWidget()
            assert target is not None
            if isinstance(key, str):
                qtbot.keyClicks(target, key)
            else:
                qtbot.keyClick(target, key)
            count += 1
    return count


ENTER, DOWN, TAB = Qt.Key.Key_Return, Qt.Key.Key_Down, Qt.Key.Key_Tab


def test_a_torque_with_a_bolt_order_is_attached_by_keys_alone(
    qtbot: QtBot, session: Session, editor: TorqueEditor
) -> None:
    editor.begin("spin-wheel")
    typed = press(qtbot, "Cover", ENTER, "22 ±2 lbf ft", ENTER, "M8", ENTER, "dry", ENTER)
    assert torque(editor).id == "cover"
    assert QApplication.focusWidget() is editor.strength
    # No class, no K, no rounds; a circle of eight, proposed crosswise.
    extra = press(qtbot, ENTER, ENTER, ENTER, "c", TAB, "8", ENTER, "c")
    spec = torque(editor)
    assert (spec.thread, spec.threads, spec.unit) == ("M8", "dry", "lbf·ft")
    assert (spec.lower, spec.upper) == (Decimal(20), Decimal(24))
    assert spec.order == ("A", "E", "C", "G", "B", "F", "D", "H")
    assert "maker's manual" in editor.bolts.said_of_order.text()
    assert typed == len("Cover22 ±2 lbf ftM8dry") + 4
    assert extra == 8


def test_bolts_are_numbered_in_order_by_arrow_keys_and_enter(
    qtbot: QtBot, session: Session, editor: TorqueEditor
) -> None:
    editor.edit(GUARD)
    before = torque(editor)
    editor.bolts.anew.click()
    assert torque(editor).order is None
    assert "No turn yet: A, B, C, D" in editor.bolts.said_of_order.text()
    editor.bolts.pattern.setFocus()
    press(qtbot, ENTER, Qt.Key.Key_Right, DOWN, ENTER, Qt.Key.Key_Left, ENTER, Qt.Key.Key_Up)
    press(qtbot, Qt.Key.Key_Right, ENTER)
    assert torque(editor).order == ("A", "C", "D", "B")
    assert editor.bolts.pattern.accessibleDescription() == "2 of 4: bolt B, 4th"
    assert editor.bolts.said_of_order.text() == "Every bolt has its turn: A → C → D → B"
    press(qtbot, Qt.Key.Key_Backspace)
    assert torque(editor).order == ("A", "C", "D")
    for _ in range(6):
        session.undo()
    assert torque(editor) == before


def test_bolts_are_numbered_by_clicks(qtbot: QtBot, editor: TorqueEditor) -> None:
    editor.edit(GUARD)
    editor.bolts.anew.click()
    spots = dict(zip("ABCD", editor.bolts.pattern._spots(), strict=True))
    for name in "CABD":
        qtbot.mouseClick(editor.bolts.pattern, Qt.MouseButton.LeftButton, pos=spots[name].toPoint())
    assert torque(editor).order == ("C", "A", "B", "D")
    qtbot.mouseClick(editor.bolts.pattern, Qt.MouseButton.LeftButton, pos=spots["A"].toPoint())
    assert torque(editor).order == ("C", "B", "D")


def test_a_bolt_is_moved_by_shift_and_an_arrow_key(qtbot: QtBot, editor: TorqueEditor) -> None:
    editor.edit(GUARD)
    editor.bolts.pattern.setFocus()
    was = (torque(editor).fasteners or ())[0].at
    qtbot.keyClick(editor.bolts.pattern, Qt.Key.Key_Right, Qt.KeyboardModifier.ShiftModifier)
    now = (torque(editor).fasteners or ())[0].at
    assert (now[0] - was[0], now[1]) == (Decimal("0.020"), was[1])
    assert torque(editor).order == ("A", "C", "B", "D")


def test_names_of_bolts_go_into_the_order(qtbot: QtBot, editor: TorqueEditor) -> None:
    editor.edit(GUARD)
    editor.bolts.names.setFocus()
    editor.bolts.names.selectAll()
    press(qtbot, "top left, top right, low right, low left")
    assert torque(editor).order == ("top left", "low right", "top right", "low left")
    editor.bolts.names.selectAll()
    press(qtbot, "a, a")
    assert editor.bolts.names.property("wrong") is True
    assert (torque(editor).fasteners or ())[0].name == "top left"


def test_the_load_of_the_screw_is_said_as_the_table_of_specs_says_it(
    qtbot: QtBot, editor: TorqueEditor
) -> None:
    editor.edit(GUARD)
    # 6.5 N·m on M6 at K 0.20: 5417 N of 20.1 mm² × 580 N/mm² (ISO 898-1).
    share = math.ceil(6.5 / (0.20 * 0.006) / (20.1 * 580) * 100)
    assert editor.load.text().startswith(f"{share} % of the proof load at 6.5 N·m, K 0.20")
    assert editor.load.property("severity") == "good"
    editor.limits.setFocus()
    editor.limits.selectAll()
    press(qtbot, "15 ±1 Nm")
    assert "stretches for good" in editor.load.text()
    assert editor.load.property("severity") == "error"


def test_rounds_and_an_adapter_are_typed(qtbot: QtBot, editor: TorqueEditor) -> None:
    editor.edit(NUT)
    editor.rounds.setFocus()
    press(qtbot, "50 100")
    assert [one.percent for one in torque(editor).passes or ()] == [50, 100]
    editor.adapter.setFocus()
    press(qtbot, "300 + 100 mm")
    adapter = torque(editor).extension
    assert adapter is not None
    assert (adapter.wrench, adapter.adds, adapter.unit) == (300, 100, "mm")
    # T·L/(L + E): 40 N·m by three quarters.
    assert editor.setting.text().startswith("Set the wrench to 30.0 (28.5 to 31.5) N·m")
    editor.adapter.selectAll()
    press(qtbot, "long")
    assert editor.adapter.property("wrong") is True
    assert torque(editor).extension == adapter


def test_another_pattern_is_one_entry_to_undo(
    qtbot: QtBot, session: Session, editor: TorqueEditor
) -> None:
    editor.edit(NUT)
    before = torque(editor)
    assert not editor.bolts.pattern.isVisible()
    editor.bolts.shape.setFocus()
    press(qtbot, DOWN)
    editor.bolts.count.setFocus()
    editor.bolts.count.selectAll()
    press(qtbot, "12", ENTER)
    assert len(torque(editor).fasteners or ()) == 12
    assert editor.bolts.pattern.isVisible()
    session.undo()
    assert torque(editor) == before
    assert editor.bolts.shape.currentData() == ""


def test_everything_is_named_and_reached_by_tab(qtbot: QtBot, editor: TorqueEditor) -> None:
    editor.edit(GUARD)
    editor.what.setFocus()
    seen: list[QWidget] = []
    while (widget := QApplication.focusWidget()) not in seen:
        assert widget is not None
        assert widget.accessibleName() or isinstance(widget, QPushButton)
        seen.append(widget)
        qtbot.keyClick(widget, TAB)
    bolts = editor.bolts
    wanted = [bolts.shape, bolts.pattern, bolts.crosswise, bolts.anew, bolts.names]
    assert [widget for widget in seen if widget in wanted] == wanted


@pytest.mark.parametrize(("turn", "text"), [(1, "1st"), (2, "2nd"), (11, "11th"), (23, "23rd")])
def test_turns_are_said_as_people_say_them(turn: int, text: str) -> None:
    assert turn_text(turn) == text


# Common practice, no source; eight on a circle go as in the figures of flange manuals (from
# memory).
@pytest.mark.parametrize(
    ("shape", "count", "order"),
    [
        ("circle", 4, [1, 3, 2, 4]),
        ("circle", 6, [1, 4, 2, 5, 3, 6]),
        ("circle", 8, [1, 5, 3, 7, 2, 6, 4, 8]),
        ("rectangle", 4, [1, 3, 2, 4]),
        ("line", 5, [3, 2, 4, 1, 5]),
    ],
)
def test_the_order_proposed(shape: str, count: int, order: list[int]) -> None:
    places = pattern_of(shape, count).places  # type: ignore[arg-type]
    assert [index + 1 for index in proposed_order(places)] == order


@given(st.sampled_from(sorted(LEAST)), st.integers(4, MOST_BOLTS))
def test_every_bolt_of_a_pattern_has_one_turn_and_a_place_of_its_own(
    shape: str, count: int
) -> None:
    made = pattern_of(shape, count)  # type: ignore[arg-type]
    assert len({*made.places}) == len(made.places) == len({*made.names})
    assert all(0 <= x <= 1 and 0 <= y <= 1 for x, y in made.places)
    assert sorted(proposed_order(made.places)) == [*range(len(made.places))]


def test_assistive_technology_finds_one_item_for_each_bolt(qtbot: QtBot) -> None:
    view = BoltPatternView()
    view.resize(300, 200)
    places = [("A", (Decimal("0.1"), Decimal("0.1"))), ("B", (Decimal("0.9"), Decimal("0.9")))]
    view.show_pattern(places, ["B"])
    items = [child for child in view.children() if isinstance(child, QWidget)]
    assert [item.accessibleName() for item in items] == ["Bolt A: no turn yet", "Bolt B: 1st"]
    assert [view._index_at(item.geometry().center().toPointF()) for item in items] == [0, 1]
    view.show_pattern(places[:1], ["A"])
    QApplication.sendPostedEvents(None, QEvent.Type.DeferredDelete.value)
    items = [child for child in view.children() if isinstance(child, QWidget)]
    assert [item.accessibleName() for item in items] == ["Bolt A: 1st"]
    view.deleteLater()
