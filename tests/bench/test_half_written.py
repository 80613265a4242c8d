"""What is half written stays, shows again, and is asked about; what is empty leaves nothing."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from PyQt6.QtWidgets import QApplication, QWidget
from pytestqt.qtbot import QtBot

from author.bench.session import Session
from author.bench.views.sheet.numbers import NumbersGroup
from author.bench.views.status_line import StatusLine
from author.bench.window import BenchWindow
from author.editing import SetField
from author.procedure.steps import Step
from bench.hands import Hands
from bench.jobs import Desk, desk_on, sample_job


@pytest.fixture
def saw(open_session: Callable[[Path], Session], tmp_path: Path, qtbot: QtBot) -> Iterator[Desk]:
    with desk_on(open_session(sample_job(tmp_path)), qtbot) as desk:
        desk.session.choose_step("bend-tab")
        yield desk


def chosen(desk: Desk) -> Step:
    placed = desk.session.placed()
    assert placed is not None
    return placed.step


def focused() -> QWidget:
    found = QApplication.focusWidget()
    assert found is not None
    return found


@pytest.mark.parametrize(("key", "name"), [("D", "specs"), ("T", "torques")])
def test_a_begun_number_is_there_when_one_comes_back(saw: Desk, key: str, name: str) -> None:
    hands, session = Hands(saw), saw.session
    told: list[str] = []
    session.said.connect(lambda _severity, words: told.append(words))
    before = session.procedure
    hands.press(key)
    hands.type("Bore")
    hands.press("Enter")
    hands.type("10")
    group = getattr(saw.step_sheet, name)
    assert isinstance(group, NumbersGroup)
    assert group.editor.limits.property("wrong") is True
    hands.press("Esc", "Esc", "Down")
    assert session.step != "bend-tab"
    assert any("Bore, 10" in words for words in told)
    hands.press("Up")
    assert session.step == "bend-tab"
    assert session.procedure is before
    editor = group.editor
    assert editor.isVisible()
    assert (editor.what.text(), editor.limits.text()) == ("Bore", "10")
    assert editor.limits.property("wrong") is True
    left = session.unfinished.left()
    assert [(one.at, one.words) for one in left] == [(("steps", "bend-tab", name), "Bore, 10")]
    group.editor.limits.setFocus()
    group.editor.limits.selectAll()
    hands.type("max 10 mm" if key == "D" else "9..11 Nm")
    for _ in range(3):
        hands.press("Enter")
        if group.editor.at is None and key == "T":
            hands.type("M8" if focused() is group.editor.fields()["thread"] else "dry")
    assert group.editor.at is not None
    assert session.unfinished.left() == []


def test_a_reaction_without_its_sentence_stays(saw: Desk) -> None:
    hands, session = Hands(saw), saw.session
    session.choose_step("measure-bore")
    step = chosen(saw)
    spec = (step.specs or ())[0]
    session.do(SetField(("steps", step.id, "specs", spec.id, "below"), None))
    saw.step_sheet.show_place(("steps", step.id, "specs", spec.id, "below"))
    editor = saw.step_sheet.specs.editor
    below = editor.reactions["below"]
    below.do.setFocus()
    hands.press("Down")
    assert below.problem.text()
    assert [one.words for one in session.unfinished.left()] == ["repeat the step"]
    editor.edit(None)
    editor.edit(("steps", step.id, "specs", spec.id))
    assert below.do.currentData() == "repeat"
    assert below.problem.text()


def test_a_criterion_waits_until_something_is_written(saw: Desk) -> None:
    hands, session = Hands(saw), saw.session
    session.do(SetField(("steps", "bend-tab", "criteria"), None))
    before = session.procedure
    hands.press("K")
    assert session.procedure is before
    assert saw.step_sheet.criteria.isVisible()
    hands.press("Esc")
    assert session.procedure is before
    assert not saw.step_sheet.criteria.isVisible()
    hands.press("K", "Shift+Tab")
    assert session.procedure is before


def test_enter_goes_through_a_criterion_and_back_from_its_last_field(saw: Desk) -> None:
    hands = Hands(saw)
    saw.session.do(SetField(("steps", "bend-tab", "criteria"), None))
    saw.to_film()
    hands.press("K")
    for words in ("A gap of light", "No light is seen", "Fit another washer"):
        hands.type(words)
        hands.press("Enter")
    found = (chosen(saw).criteria or ())[0]
    assert (found.look_for, found.accept, found.otherwise) == (
        "A gap of light",
        "No light is seen",
        "Fit another washer",
    )
    assert saw.film.hasFocus()


def test_a_criterion_is_called_by_its_finished_words(saw: Desk) -> None:
    hands, session = Hands(saw), saw.session
    session.do(SetField(("steps", "bend-tab", "criteria"), None))
    before = session.procedure
    saw.to_film()
    hands.press("K")
    hands.type("shiny")
    assert [one.id for one in chosen(saw).criteria or ()] == ["criterion"]
    hands.type(" flats on the race")
    hands.press("Enter")
    found = (chosen(saw).criteria or ())[0]
    assert (found.id, found.look_for) == ("shiny-flats-on-race", "shiny flats on the race")
    session.undo()
    assert session.procedure == before
    session.redo()
    assert (chosen(saw).criteria or ())[0].id == "shiny-flats-on-race"


def test_saving_and_publishing_tell_what_is_half_written(
    window: BenchWindow, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    hands, status = Hands(window), window.statusBar()
    assert isinstance(status, StatusLine)
    qtbot.waitUntil(lambda: window.session.verdict is not None)
    window.activateWindow()
    window.to_film()
    qtbot.waitUntil(window.film_view.hasFocus)
    hands.press("D")
    hands.type("Bore")
    hands.press("Esc", "Ctrl+S")
    qtbot.waitUntil(lambda: "Saved in" in status.words())
    assert status.words().endswith("Half written, and not in it yet: Step 1: “Bore”.")
    hands.press("Ctrl+P")
    sheet = window.publishing.sheet
    assert sheet is not None
    assert sheet._says.text().endswith("Half written, and not in it yet: Step 1: “Bore”.")
    window.step_sheet.specs.editor.what.clear()
    sheet.ready()
    assert "Half written" not in sheet._says.text()
