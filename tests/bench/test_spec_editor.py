"""A measurement is typed in one line, read in both units, and is in the document."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from decimal import Decimal
from pathlib import Path

import pytest
from PyQt6.QtCore import Qt
from PyQt6.QtWidgets import QApplication, QMainWindow
from pytestqt.qtbot import QtBot

from author.bench.actions import Actions
from author.bench.session import Session
from author.bench.views.spec_editor import SpecEditor
from author.procedure.specs import LimitSpec

SAMPLE = Path(__file__).parents[2] / "sample_media" / "upper-wheel-bearings" / "procedure.yaml"
BORE = ("steps", "measure-bore", "specs", "bore-diameter")


@pytest.fixture
def session(open_session: Callable[[Path], Session], tmp_path: Path) -> Session:
    folder = tmp_path / "saw"
    folder.mkdir()
    shutil.copy(SAMPLE, folder)
    return open_session(folder)


@pytest.fixture
def editor(qtbot: QtBot, session: Session) -> Iterator[SpecEditor]:
    window = QMainWindow()
    deeds = Actions(window)
    made = SpecEditor(session, deeds)
    window.setCentralWidget(made)
    window.resize(460, 700)
    deeds["undo"].triggered.connect(session.undo)
    deeds["redo"].triggered.connect(session.redo)
    with qtbot.waitExposed(window):
        window.show()
    yield made
    window.hide()
    window.deleteLater()


def spec_of(session: Session, at: tuple[str | int, ...] = BORE) -> LimitSpec:
    return next(
        s for p, _, s in session.procedure.placed_specs() if (p.step.id, s.id) == (at[1], at[3])
    )


def type_into(qtbot: QtBot, text: str) -> int:
    """Type into whatever has the keys; return how many keys were pressed."""
    for letter in text:
        target = QApplication.focusWidget()
        assert target is not None
        if letter == "\n":
            qtbot.keyClick(target, Qt.Key.Key_Return)
        else:
            qtbot.keyClicks(target, letter)
    return len(text)


def test_both_limits_are_read_while_they_are_typed(
    qtbot: QtBot, session: Session, editor: SpecEditor
) -> None:
    editor.edit(BORE)
    editor.limits.setFocus()
    editor.limits.selectAll()
    type_into(qtbot, "9.80..10.20 mm")
    spec = spec_of(session)
    assert (spec.lower, spec.nominal, spec.upper) == (Decimal("9.80"), None, Decimal("10.20"))
    assert format(spec.lower or 0, "f") == "9.80"
    assert editor.limit_box.reading.text() == "9.80 to 10.20 mm = 0.386 to 0.401 in"
    assert editor.limits.accessibleDescription() == editor.limit_box.reading.text()


def test_one_visit_is_one_entry_to_undo(qtbot: QtBot, session: Session, editor: SpecEditor) -> None:
    before = session.procedure
    editor.edit(BORE)
    editor.limits.setFocus()
    editor.limits.selectAll()
    type_into(qtbot, "0.5 ±0.1 in")
    assert spec_of(session).unit == "in"
    qtbot.keyClick(editor.limits, Qt.Key.Key_Z, Qt.KeyboardModifier.ControlModifier)
    assert session.procedure == before
    assert editor.limits.text() == "39.980 (39.967..39.992) mm"


def test_what_is_not_read_stays_with_a_red_edge_and_a_sentence(
    qtbot: QtBot, session: Session, editor: SpecEditor
) -> None:
    editor.edit(BORE)
    before = spec_of(session)
    editor.limits.setFocus()
    editor.limits.selectAll()
    type_into(qtbot, "1,250..1,300 in")
    assert editor.limits.property("wrong") is True
    assert "1250 or 1.250" in editor.limit_box.reading.text()
    assert editor.limit_box.reading.isVisible()
    assert spec_of(session).limits() == before.limits()
    editor.edit(("steps", "spin-wheel", "specs", "run-down"))
    assert editor.limits.property("wrong") is False
    editor.edit(BORE)
    assert editor.limits.text() == "1,250..1,300 in"
    assert editor.limits.property("wrong") is True


def test_a_measurement_is_added_by_keys_alone(
    qtbot: QtBot, session: Session, editor: SpecEditor
) -> None:
    editor.begin("spin-wheel")
    assert "9.80..10.20 mm" in editor.limit_box.reading.text()
    keys = type_into(qtbot, "Gap at the rim\n9.80..10.20 mm\n")
    assert keys == len("Gap at the rim") + len("9.80..10.20 mm") + 2
    assert editor.at == ("steps", "spin-wheel", "specs", "gap-rim")
    spec = editor.spec
    assert spec is not None
    assert (spec.characteristic, spec.quantity, spec.unit) == ("Gap at the rim", "length", "mm")
    assert QApplication.focusWidget() is editor.instrument
    session.undo()
    assert editor.spec is None
    assert not editor.isEnabled()


def test_a_new_measurement_waits_for_what_is_missing(
    qtbot: QtBot, session: Session, editor: SpecEditor
) -> None:
    before = session.procedure
    editor.begin("spin-wheel")
    type_into(qtbot, "Gap\n10 mm\n")
    assert session.procedure is before
    assert QApplication.focusWidget() is editor.limits
    assert "without limits" in editor.limit_box.reading.text()
    editor.edit(BORE)
    editor.begin("spin-wheel")
    assert (editor.what.text(), editor.limits.text()) == ("Gap", "10 mm")


def test_a_zone_gives_the_limits_and_says_where_they_are_from(
    qtbot: QtBot, session: Session, editor: SpecEditor
) -> None:
    editor.begin("spin-wheel")
    type_into(qtbot, "Seat\n40 H7\n")
    spec = editor.spec
    assert spec is not None
    assert (spec.lower, spec.upper) == (Decimal("40.000"), Decimal("40.025"))
    assert spec.note == "Limits of 40 H7, ISO 286-2"


def test_each_instrument_says_whether_it_is_fine_enough(
    session: Session, editor: SpecEditor, qtbot: QtBot
) -> None:
    editor.edit(BORE)
    editor.instrument.setFocus()
    words = {editor.instrument.itemData(i): editor.instrument.itemText(i) for i in range(1, 9)}
    assert words["bore-gauge"].startswith("fine enough")
    assert any(text.startswith("not good enough") for text in words.values())
    coarse = next(tool for tool, text in words.items() if text.startswith("not good enough"))
    editor.instrument.setCurrentIndex(editor.instrument.findData(coarse))
    editor.instrument.activated.emit(editor.instrument.currentIndex())
    assert spec_of(session).instrument == coarse
    assert editor.verdict.text().startswith("Not good enough")


def test_a_reaction_is_written_when_it_says_how(
    qtbot: QtBot, session: Session, editor: SpecEditor
) -> None:
    editor.begin("spin-wheel")
    type_into(qtbot, "Gap\nmax 0.10 mm\n")
    at = editor.at
    above = editor.reactions["above"]
    assert above.isVisible()
    assert not editor.reactions["below"].isVisible()
    above.do.setFocus()
    qtbot.keyClick(above.do, Qt.Key.Key_Down)
    assert "not said how" in above.problem.text()
    assert QApplication.focusWidget() is above.how
    type_into(qtbot, "Clean and measure again")
    assert editor.spec is not None and editor.spec.above is not None
    assert (editor.spec.above.do, editor.spec.above.how) == ("repeat", "Clean and measure again")
    assert above.problem.text() == ""
    type_into(qtbot, "\n")
    above.at_most.setFocus()
    type_into(qtbot, "2")
    above.step.setFocus()
    above.step.setCurrentIndex(above.step.findData("measure-bore"))
    above.step.activated.emit(above.step.currentIndex())
    reaction = editor.spec.above
    assert (reaction.step, reaction.at_most) == ("measure-bore", 2)
    session.undo()
    session.undo()
    assert editor.at == at


def test_the_guard_band_says_what_is_accepted(session: Session, editor: SpecEditor) -> None:
    editor.edit(BORE)
    row = editor.rule.findData("guard_band")
    editor.rule.setCurrentIndex(row)
    editor.rule.activated.emit(row)
    assert editor.zone.text().startswith("Accepted: 39.")
    assert editor.reactions["undecided"].isVisible()


def test_names_of_readings_are_a_list(qtbot: QtBot, session: Session, editor: SpecEditor) -> None:
    editor.edit(BORE)
    editor.positions.setFocus()
    editor.positions.selectAll()
    type_into(qtbot, "top; bottom")
    assert spec_of(session).positions == ("top", "bottom")


def test_the_form_written_by_the_program_stands_there_after_a_visit(
    qtbot: QtBot, editor: SpecEditor
) -> None:
    editor.edit(BORE)
    editor.limits.setFocus()
    editor.limits.selectAll()
    type_into(qtbot, "40 +0.025/-0.05 mm")
    assert editor.limits.text() == "40 +0.025/-0.05 mm"
    editor.where.setFocus()
    assert editor.limits.text() == "40 (39.95..40.025) mm"


@pytest.mark.parametrize(
    "key", ["characteristic", "lower", "upper", "unit", "instrument", "below", "source", "note"]
)
def test_the_field_of_a_remark_takes_the_keys(editor: SpecEditor, key: str) -> None:
    editor.edit(BORE)
    assert editor.focus_field(key)
    widget = QApplication.focusWidget()
    field = editor.fields()[key]
    assert widget is not None
    assert widget is field or field.isAncestorOf(widget)


def test_everything_has_a_name_and_is_reached_by_tab(qtbot: QtBot, editor: SpecEditor) -> None:
    editor.edit(BORE)
    editor.what.setFocus()
    seen = []
    while (widget := QApplication.focusWidget()) not in seen:
        assert widget is not None
        assert widget.accessibleName()
        seen.append(widget)
        qtbot.keyClick(widget, Qt.Key.Key_Tab)
    assert {editor.what, editor.limits, editor.instrument, editor.note} <= set(seen)


def test_letters_are_written_and_do_no_deeds(qtbot: QtBot, editor: SpecEditor) -> None:
    editor.edit(BORE)
    done: list[bool] = []
    for name in ("mark", "measurement", "torque", "step_after", "play"):
        editor.deeds[name].triggered.connect(done.append)
    for field in (editor.where, editor.instrument, editor.reactions["below"].do):
        field.setFocus()
        for key in (Qt.Key.Key_M, Qt.Key.Key_D, Qt.Key.Key_T, Qt.Key.Key_Down):
            qtbot.keyClick(field, key)
    assert done == []


def test_a_unit_that_is_one_key_beside_is_asked_back(
    qtbot: QtBot, session: Session, editor: SpecEditor
) -> None:
    editor.edit(BORE)
    editor.limits.setFocus()
    editor.limits.selectAll()
    type_into(qtbot, "9.80..10.20 nm")
    assert editor.limit_box.reading.text().endswith("Did you mean mm?")
    editor.edit(None)
    editor.begin("measure-bore")
    type_into(qtbot, "Gap\nmax 0.1 nm")
    assert editor.limit_box.reading.text().endswith("Did you mean mm or N·m?")
