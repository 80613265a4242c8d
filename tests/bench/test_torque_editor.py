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
from author.bench.views.bolts_editor import with_reservation, without_reservation
from author.bench.views.torque_editor import TorqueEditor
from author.editing import SetField
from author.procedure.bolt_counts import bolts_named
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
            QApplication.processEvents()  # a list that closes gives the keys back
            count += 1
    return count


ENTER, DOWN, TAB = Qt.Key.Key_Return, Qt.Key.Key_Down, Qt.Key.Key_Tab


def test_a_torque_with_a_bolt_order_is_attached_by_keys_alone(
    qtbot: QtBot, session: Session, editor: TorqueEditor
) -> None:
    editor.begin("spin-wheel")
    typed = press(qtbot, "Cover", ENTER, "22 ±2 lbf ft", ENTER, "M8", ENTER, "dry", ENTER)
    assert torque(editor).id == "cover"
    assert QApplication.focusWidget() is editor.bolts.shape
    # A circle of eight, proposed crosswise.
    extra = press(qtbot, ENTER, "c", ENTER, TAB, "8", ENTER, "c")
    spec = torque(editor)
    assert (spec.thread, spec.threads, spec.unit) == ("M8", "dry", "lbf·ft")
    assert (spec.lower, spec.upper) == (Decimal(20), Decimal(24))
    assert spec.order == ("A", "E", "C", "G", "B", "F", "D", "H")
    assert "maker's manual" in editor.bolts.said_of_order.text()
    assert typed == len("Cover22 ±2 lbf ftM8dry") + 4
    assert extra == 7


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
    wanted = [bolts.shape, bolts.crosswise, bolts.anew, bolts.pattern, bolts.names]
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


@pytest.mark.parametrize(
    ("typed", "wanted"),
    [
        ("22 Nm", ("22 N·m is one number", "22 ±2 N·m", "20..24 N·m", "source")),
        ("4.50 lbf ft", ("4.50 lbf·ft is one number", "4.50 ±0.5 lbf·ft", "4.00..5.00 lbf·ft")),
        ("180", ("180 N·m is one number", "180 ±20 N·m", "160..200 N·m")),
    ],
)
def test_one_torque_alone_is_refused_with_the_forms_wanted(
    qtbot: QtBot, editor: TorqueEditor, typed: str, wanted: tuple[str, ...]
) -> None:
    editor.begin("spin-wheel")
    press(qtbot, "Cover", ENTER, typed, ENTER)
    assert editor.limits.hasFocus()
    said = editor.limit_box.reading.text()
    assert [words for words in wanted if words not in said] == []
    # Each form that is named is one that is read.
    for form in wanted[1:3]:
        editor.limits.selectAll()
        press(qtbot, form)
        assert not editor.limits.place.problem


def test_other_faults_of_a_torque_are_told_as_they_are(qtbot: QtBot, editor: TorqueEditor) -> None:
    editor.begin("spin-wheel")
    press(qtbot, "Cover", ENTER, "22 mm")
    assert "unit of length" in editor.limit_box.reading.text()


RESERVED = "Order: common practice, no source."


def test_a_proposed_order_says_in_the_note_that_it_has_no_source(
    qtbot: QtBot, session: Session, editor: TorqueEditor
) -> None:
    editor.edit(GUARD)
    editor.note.setFocus()
    editor.note.selectAll()
    press(qtbot, "Cold engine only.", TAB)
    editor.bolts.anew.click()
    before = torque(editor)
    editor.bolts.pattern.setFocus()
    press(qtbot, "c")
    assert torque(editor).order == ("A", "C", "B", "D")
    assert torque(editor).note == f"Cold engine only. {RESERVED}"
    press(qtbot, "c")
    assert torque(editor).note == f"Cold engine only. {RESERVED}"
    session.undo()
    assert torque(editor) == before
    session.redo()
    editor.bolts.pattern.setFocus()
    press(qtbot, Qt.Key.Key_Backspace)
    assert torque(editor).order == ("A", "C", "B")
    assert torque(editor).note == "Cold engine only."
    session.undo()
    assert torque(editor).note == f"Cold engine only. {RESERVED}"


@pytest.mark.parametrize("note", [None, "Oil it.", "a  b"])
def test_the_reservation_goes_as_it_came(note: str | None) -> None:
    assert without_reservation(with_reservation(note, RESERVED), RESERVED) == note
    assert without_reservation(f"x {RESERVED} y", RESERVED) == "x y"


def test_the_names_of_the_bolts_have_their_label(editor: TorqueEditor) -> None:
    editor.edit(GUARD)
    bolts = editor.bolts
    assert bolts.names_label.isVisible() and bolts.names_label.text() == "Names of the bolts"
    assert bolts.names_label.buddy() is bolts.names
    assert bolts.names_label.geometry().right() < bolts.names.parentWidget().geometry().left()
    editor.edit(NUT)
    assert not bolts.names_label.isVisible()


@pytest.mark.parametrize(
    ("text", "count"),
    [
        ("Tighten the four M8 bolts crosswise.", 4),
        ("Tighten all six of the flange bolts.", 6),
        ("4 × M8", 4),
        ("12x M10 x 40 cap screws", 12),
        ("M8 bolts A to D", 4),
        ("Bolts 1–6 of the cover", 6),
        ("Tighten bolts A, B and C.", 3),
        ("Tighten the thirteen M6 bolts", 13),
        ("One of the four M8 bolts is longer", 4),
        ("Tighten the axle nut with the 24 mm socket.", None),
        ("Tighten the 8 mm bolts", None),
        ("Tighten the grade 8 bolts to 22 N·m", None),
        ("Fit M8 × 30 bolts", None),
        ("Turn the nuts two turns", None),
        ("In two rounds, with new nuts", None),
        ("In two rounds with new nuts", None),
        ("One bolt", None),
        ("99 bolts", None),
    ],
)
def test_a_number_of_bolts_in_the_words(text: str, count: int | None) -> None:
    assert bolts_named(text) == count


def test_one_bolt_is_not_taken_where_the_words_name_four(
    qtbot: QtBot, session: Session, editor: TorqueEditor
) -> None:
    session.do(SetField(("steps", NUT[1], "action"), "Tighten the four M8 bolts."))
    editor.edit(NUT)
    bolts = editor.bolts
    assert bolts.shape.currentText() == "not said yet"
    assert "name 4 bolts" in bolts.said_of_order.text()
    bolts.shape.setFocus()
    press(qtbot, ENTER, "c", ENTER)
    assert len(torque(editor).fasteners or ()) == 4
    assert bolts.shape.findText("not said yet") < 0
    session.undo()
    assert bolts.shape.currentText() == "not said yet"
    press(qtbot, ENTER, Qt.Key.Key_Home, ENTER)
    assert torque(editor).fasteners is None
    assert (bolts.shape.currentText(), bolts.said_of_order.text()) == ("one bolt", "")
