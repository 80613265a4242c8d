"""A list for a few letters: its keys stay in it, and what is taken lands where it was asked for."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest
from PyQt6.QtCore import Qt
from PyQt6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from author.bench.source_words import source_called
from author.bench.views.hazard_picker import HazardPicker
from author.bench.views.part_picker import Picker
from author.bench.views.sheet.named import NamedChoice
from author.bench.window import BenchWindow
from author.editing import SetField
from author.procedure.lists import Source
from author.procedure.steps import Step
from bench.hands import Hands
from bench.jobs import sample_job

Open = Callable[[Path], BenchWindow]


@pytest.fixture
def saw(open_window: Open, tmp_path: Path, qtbot: QtBot) -> BenchWindow:
    """The whole window, where Down is a deed, on the demonstration procedure."""
    window = open_window(sample_job(tmp_path))
    window.activateWindow()
    window.to_film()
    qtbot.waitUntil(window.film_view.hasFocus)
    window.session.choose_step("bend-tab")
    return window


def opened(window: BenchWindow) -> Picker:
    return next(one for one in window.findChildren(Picker) if one.isVisible())


def step(window: BenchWindow, name: str = "bend-tab") -> Step:
    placed = window.session.placed(name)
    assert placed is not None
    return placed.step


@pytest.mark.parametrize("key", ["H", "U", "O", "I"])
def test_keys_that_move_go_down_the_list_and_the_bench_stays(saw: BenchWindow, key: str) -> None:
    hands = Hands(saw)
    hands.press(key)
    picker = opened(saw)
    last = len(picker.offers.shown) - 1
    assert last > 0
    rows = []
    for move in ("Down", "Up", "Up", "PgDown", "PgDown", "Down", "PgUp"):
        hands.press(move)
        rows.append(picker.rows.currentIndex().row())
    assert rows[:3] == [1, 0, 0]
    assert rows[3] > 0
    assert rows[5] >= rows[4] > 0
    assert rows[6] < rows[5]
    assert saw.session.step == "bend-tab"


def test_keys_are_the_list_s_when_its_line_has_lost_them(saw: BenchWindow, qtbot: QtBot) -> None:
    hands = Hands(saw)
    hands.press("H")
    picker = opened(saw)
    hands.type("p")
    saw.film_view.setFocus(Qt.FocusReason.ActiveWindowFocusReason)
    assert not picker.filter.hasFocus()
    qtbot.keyClick(saw, Qt.Key.Key_Down)
    assert picker.rows.currentIndex().row() == 1
    assert saw.session.step == "bend-tab"
    assert picker.filter.hasFocus()
    hands.type("r")
    assert picker.filter.text() == "pr"


def test_a_hazard_lands_on_the_step_it_was_asked_for(saw: BenchWindow) -> None:
    hands = Hands(saw)
    before = len(step(saw).hazards or ())
    hands.press("H")
    hands.type("nip")
    saw.session.choose_step("spin-wheel")
    other = step(saw, "spin-wheel")
    hands.press("Enter")
    assert step(saw, "spin-wheel") == other
    assert len(step(saw).hazards or ()) == before + 1
    assert saw.session.step == "bend-tab"


def test_a_whole_word_of_the_title_comes_first(saw: BenchWindow) -> None:
    picker = HazardPicker(saw)
    for typed, title in (("press", "Press and brittle parts"), ("pressure", "Trapped pressure")):
        picker.filter.setText(typed)
        assert picker.offers.shown[0].words.endswith(f"· {title}")
    picker.leave()


def test_a_new_source_is_named_where_it_was_asked_for(saw: BenchWindow, qtbot: QtBot) -> None:
    hands = Hands(saw)
    saw.session.choose_step("measure-bore")
    specs = step(saw, "measure-bore").specs or ()
    saw.step_sheet.specs.open(specs[0].id)
    source = saw.step_sheet.specs.editor.source
    source.setFocus()
    hands.press("Enter", "End", "Enter")
    assert opened(saw).isVisible()
    hands.type("Bench book")
    other = step(saw, "spin-wheel")
    saw.session.choose_step("spin-wheel")
    hands.press("Enter")
    made = saw.session.procedure.sources[-1]
    assert made.title == "Bench book"
    assert (step(saw, "measure-bore").specs or ())[0].source == made.id
    assert step(saw, "spin-wheel") == other


def test_a_new_source_is_the_technician_s_word_until_more_is_chosen(
    saw: BenchWindow, qtbot: QtBot
) -> None:
    session = saw.session
    session.choose_step("measure-bore")
    spec = (step(saw, "measure-bore").specs or ())[0]
    session.go_to((*next(p for _, p, s in session.procedure.placed_specs() if s is spec), "source"))
    field = QApplication.focusWidget()
    assert isinstance(field, NamedChoice)
    known = next(one for one in session.procedure.sources if one.id == spec.source)
    assert field.currentText() == f"{known.title} · published standard"
    titles = [field.itemText(row) for row in range(1, field.count() - 1)]
    assert titles == [source_called(one) for one in session.procedure.sources]
    hands = Hands(saw)
    hands.press("End", "Up", "Down")
    picker = opened(saw)
    shown = picker.offers.data(picker.offers.index(0))
    assert shown == source_called(session.procedure.sources[0])
    hands.type("Bearing list 7")
    assert [offer.entry[1]["kind"] for offer in picker.offers.shown if offer.entry] == [
        "film", "measured", "shop", "standard", "maker", "demo",
    ]  # fmt: skip
    hands.press("Enter")
    made = session.procedure.sources[-1]
    assert (made.kind, made.title) == ("film", "Bearing list 7")
    assert field.currentText() == "Bearing list 7 · the technician's word on the film"
    session.do(SetField(("sources", made.id, "kind"), "maker"))
    assert field.currentText() == "Bearing list 7 · maker's manual"


def test_a_source_whose_title_is_its_kind_is_called_so_once():
    named = Source(id="film", kind="film", title="The technician's word on the film")
    assert source_called(named) == "The technician's word on the film"
    other = named.model_copy(update={"title": "The technician's notes"})
    assert source_called(other) == "The technician's notes · the technician's word on the film"
