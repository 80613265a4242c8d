"""Fields write into the document as a person types, and leave nothing behind that was refused."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from PyQt6.QtCore import Qt
from PyQt6.QtWidgets import QApplication, QLineEdit, QMainWindow, QVBoxLayout, QWidget
from pytestqt.qtbot import QtBot

from author.bench.actions import Actions
from author.bench.fields import (
    ChoiceField,
    LinesField,
    LongField,
    TextField,
    TicksField,
    options_of,
    under,
    whole_number,
)
from author.bench.session import Session
from author.checks.wording import UNWRITTEN
from author.editing import NO_ACTION, SetField
from bench.jobs import sample_job

Open = Callable[[Path], Session]


@pytest.fixture
def saw(open_session: Open, tmp_path: Path) -> Session:
    """A session on the demonstration procedure, without its films."""
    return open_session(sample_job(tmp_path))


@pytest.fixture
def bench(qtbot: QtBot) -> Iterator[tuple[QMainWindow, Actions]]:
    """A window with every deed and its keys, to lay fields in."""
    window = QMainWindow()
    page = QWidget()
    QVBoxLayout(page)
    window.setCentralWidget(page)
    deeds = Actions(window)
    window.show()
    qtbot.waitExposed(window)
    yield window, deeds
    window.close()
    window.deleteLater()


def lay(qtbot: QtBot, bench: tuple[QMainWindow, Actions], *fields: QWidget) -> None:
    window, _ = bench
    page = window.centralWidget()
    assert page is not None
    layout = page.layout()
    assert layout is not None
    for field in fields:
        layout.addWidget(field)
    window.activateWindow()
    fields[0].setFocus()
    first = fields[0].focusProxy() or fields[0]
    qtbot.waitUntil(first.hasFocus)


def test_what_is_typed_is_in_the_document_and_one_visit_is_one_entry(
    saw: Session, bench: tuple[QMainWindow, Actions], qtbot: QtBot
) -> None:
    field = LongField(saw, ("purpose",), "Purpose")
    other = QLineEdit()
    lay(qtbot, bench, field, other)
    was, before = saw.procedure.purpose, len(saw.document.history)
    field.selectAll()
    qtbot.keyClicks(field, "Renew both  bearings. ")
    assert saw.procedure.purpose == "Renew both bearings."
    assert len(saw.document.history) == before + 1
    other.setFocus()
    field.setFocus()
    qtbot.keyClicks(field, "x")
    assert len(saw.document.history) == before + 2
    saw.undo()
    assert field.text() == "Renew both bearings."
    saw.undo()
    assert (field.text(), saw.procedure.purpose) == (was, was)


def test_undo_in_a_field_is_the_documents(
    saw: Session, bench: tuple[QMainWindow, Actions], qtbot: QtBot
) -> None:
    _, deeds = bench
    deeds["undo"].triggered.connect(saw.undo)
    deeds["redo"].triggered.connect(saw.redo)
    field = TextField(saw, ("unit", "name"), "Machine")
    lay(qtbot, bench, field)
    was = saw.procedure.unit.name
    field.selectAll()
    qtbot.keyClicks(field, "Saw 7")
    qtbot.keyClick(field, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    assert (saw.procedure.unit.name, field.text()) == (was, was)
    qtbot.keyClick(field, Qt.Key.Key_Y, Qt.KeyboardModifier.ControlModifier)
    assert (saw.procedure.unit.name, field.text()) == ("Saw 7", "Saw 7")


def test_undo_works_where_the_window_has_no_such_deed(saw: Session, qtbot: QtBot) -> None:
    field = TextField(saw, ("unit", "name"), "Machine")
    qtbot.addWidget(field)
    field.show()
    was = saw.procedure.unit.name
    qtbot.keyClicks(field, "!")
    qtbot.keyClick(field, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    assert saw.procedure.unit.name == was


def test_a_refused_text_stays_with_a_sentence_and_goes_with_the_next_good_one(
    saw: Session, bench: tuple[QMainWindow, Actions], qtbot: QtBot
) -> None:
    field = TextField(saw, ("language",), "Language")
    box = under(field)
    lay(qtbot, bench, box)
    field.selectAll()
    qtbot.keyClicks(field, "English!")
    assert field.text() == "English!"
    assert saw.procedure.language == "en"
    assert "language" in field.place.problem
    assert field.property("wrong") is True
    assert field.accessibleDescription() == field.place.problem
    field.selectAll()
    qtbot.keyClicks(field, "de")
    assert (saw.procedure.language, field.place.problem) == ("de", "")
    assert field.property("wrong") is False


def test_a_count_says_what_it_wants(saw: Session, qtbot: QtBot) -> None:
    field = TextField(saw, ("parts", 0, "quantity"), "How many", read_as=whole_number)
    qtbot.addWidget(field)
    field.selectAll()
    qtbot.keyClicks(field, "two")
    assert "whole number" in field.place.problem
    field.selectAll()
    qtbot.keyClicks(field, "3")
    assert saw.procedure.parts[0].quantity == 3


def test_a_change_from_elsewhere_is_shown_and_the_cursor_stays(
    saw: Session, bench: tuple[QMainWindow, Actions], qtbot: QtBot
) -> None:
    field = LongField(saw, ("purpose",), "Purpose")
    lay(qtbot, bench, field)
    cursor = field.textCursor()
    cursor.setPosition(7)
    field.setTextCursor(cursor)
    saw.do(SetField(("purpose",), "Renew all the bearings."))
    assert field.text() == "Renew all the bearings."
    assert field.textCursor().position() == 7


def test_letters_and_moving_keys_are_no_deeds_while_a_text_is_written(
    saw: Session, bench: tuple[QMainWindow, Actions], qtbot: QtBot
) -> None:
    window, deeds = bench
    done: list[str] = []
    for name, action in deeds.items():
        action.triggered.connect(lambda _=False, name=name: done.append(name))
    field = TextField(saw, ("unit", "number"), "Number")
    lay(qtbot, bench, field)
    qtbot.keyClicks(field, "md[H 7/-+")
    qtbot.keyClick(field, Qt.Key.Key_Up)
    qtbot.keyClick(field, Qt.Key.Key_Left)
    assert (done, field.text()) == ([], "md[H 7/-+")
    qtbot.keyClick(field, Qt.Key.Key_Escape)
    assert done == ["to_film"]
    window.setFocus()


def test_what_must_be_there_goes_back_to_be_written(saw: Session, qtbot: QtBot) -> None:
    step = saw.step
    field = LongField(saw, ("steps", step, "action"), "Action", blank=NO_ACTION)
    qtbot.addWidget(field)
    field.selectAll()
    qtbot.keyClick(field, Qt.Key.Key_Delete)
    placed = saw.placed(step)
    assert placed is not None and placed.step.action.startswith(UNWRITTEN)
    saw.document.end_merge()
    assert field.text() == ""


def test_an_optional_value_that_is_emptied_is_taken_out(saw: Session, qtbot: QtBot) -> None:
    field = TextField(saw, ("parts", "bearing", "note"), "Note")
    qtbot.addWidget(field)
    field.selectAll()
    qtbot.keyClick(field, Qt.Key.Key_Backspace)
    assert saw.procedure.parts[0].note is None


def test_lines_are_entries(saw: Session, qtbot: QtBot) -> None:
    field = LinesField(saw, ("limits_of_use",), "Limits of use", blank=())
    qtbot.addWidget(field)
    field.selectAll()
    qtbot.keyClicks(field, "Upper wheel")
    qtbot.keyClick(field, Qt.Key.Key_Return)
    qtbot.keyClicks(field, "Cold machine ")
    assert saw.procedure.limits_of_use == ("Upper wheel", "Cold machine")
    assert field.text().count("\n") == 1


def test_a_choice_shows_names_and_is_made_by_keys(
    saw: Session, bench: tuple[QMainWindow, Actions], qtbot: QtBot
) -> None:
    at = ("supplies", "cleaner", "recommended_by")
    field = ChoiceField(
        saw, lambda: options_of(saw.procedure, "sources"), at, "Asked for by", none="nobody"
    )
    lay(qtbot, bench, field)
    assert field.currentText().startswith("Alder Row")
    qtbot.keyClick(field, Qt.Key.Key_Up)
    assert saw.procedure.supplies[0].recommended_by is None
    qtbot.keyClick(field, Qt.Key.Key_Return)
    for key in (Qt.Key.Key_2, Qt.Key.Key_9, Qt.Key.Key_Return):
        qtbot.keyClick(QApplication.focusWidget(), key)
    assert saw.procedure.supplies[0].recommended_by == "osha-air"
    saw.undo()
    assert field.currentText() != "" and saw.procedure.supplies[0].recommended_by != "osha-air"


def test_ticks_are_written_in_the_order_of_the_list(saw: Session, qtbot: QtBot) -> None:
    at = ("steps", saw.step, "people")
    field = TicksField(saw, lambda: options_of(saw.procedure, "people"), at, "People")
    qtbot.addWidget(field)
    field.show()
    boxes = [box for _, box in field.boxes]
    for box in (boxes[1], boxes[0]):
        qtbot.keyClick(box, Qt.Key.Key_Space)
    placed = saw.placed()
    assert placed is not None and placed.step.people == ("fitter", "second-person")
    qtbot.keyClick(boxes[0], Qt.Key.Key_Space)
    qtbot.keyClick(boxes[1], Qt.Key.Key_Space)
    placed = saw.placed()
    assert placed is not None and placed.step.people is None


def test_a_field_stands_for_another_place_and_for_none(saw: Session, qtbot: QtBot) -> None:
    field = TextField(saw, ("parts", 0, "number"), "Number")
    qtbot.addWidget(field)
    field.place.bind(("parts", 1, "number"))
    qtbot.keyClicks(field, "A")
    assert saw.procedure.parts[0].number == "BW-101"
    assert saw.procedure.parts[1].number == "ATW-16"
    field.place.bind(None)
    qtbot.keyClicks(field, "zzz")
    assert "zzz" not in repr(saw.procedure)


@pytest.mark.parametrize("make", [LongField, LinesField, TextField])
def test_what_is_still_to_be_written_gives_way_to_what_is_typed(
    saw: Session, bench: tuple[QMainWindow, Actions], qtbot: QtBot, make: type
) -> None:
    at = ("limits_of_use",) if make is LinesField else ("notice",)
    unwritten = f"{UNWRITTEN} for whom it is not"
    saw.do(SetField(at, [unwritten] if make is LinesField else "Old words"))
    field, other = make(saw, at, "It"), QLineEdit()
    lay(qtbot, bench, other, field)
    if make is not LinesField:  # one that shows it, as of what another wrote into its middle
        field.show_text(unwritten)
    field.setFocus()
    qtbot.keyClicks(field, "Nobody")
    assert field.text() == "Nobody"
