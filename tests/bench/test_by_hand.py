"""What a person does by hand at the steps, and types into fields, is meant as it is done."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from PyQt6.QtCore import QPoint, Qt
from PyQt6.QtWidgets import QApplication
from pytestqt.qtbot import QtBot

from author.bench import places
from author.bench.fields import LongField
from author.bench.session import Session
from author.bench.views.list_editor import ListEditor
from author.bench.views.part_picker import Picker
from author.bench.views.sheet.typed import number_typed, time_text, time_typed
from author.editing import NO_ALT, AddStep, SetField, Span
from author.errors import InputError
from bench.hands import Hands
from bench.jobs import Desk, desk_on, sample_job

Open = Callable[[Path], Session]


@pytest.fixture
def bench(session: Session, qtbot: QtBot) -> Iterator[Desk]:
    def known() -> bool:
        index = session.films.index()
        return index is not None and len(index.ticks) == 150

    qtbot.waitUntil(known, timeout=20_000)
    with desk_on(session, qtbot) as desk:
        yield desk


@pytest.fixture
def saw(open_session: Open, tmp_path: Path, qtbot: QtBot) -> Iterator[Desk]:
    with desk_on(open_session(sample_job(tmp_path)), qtbot) as desk:
        yield desk


def test_a_half_seen_line_is_the_one_that_is_chosen(saw: Desk, qtbot: QtBot) -> None:
    outline = saw.steps_view.list
    port = outline.viewport()
    bar = outline.verticalScrollBar()
    assert port is not None and bar is not None
    rows = saw.steps_view.model.rows
    tried = 0
    for row in range(3, 14):
        if rows[row].is_section:
            continue
        # Only its upper part is seen, at the foot of the list.
        top = outline.visualRect(saw.steps_view.model.index(row)).top() + bar.value()
        bar.setValue(top - port.height() + 6)
        at = outline.visualRect(saw.steps_view.model.index(row)).topLeft() + QPoint(40, 3)
        if not port.rect().contains(at):
            continue
        tried += 1
        before = bar.value()
        qtbot.mousePress(port, Qt.MouseButton.LeftButton, pos=at)
        assert bar.value() == before
        qtbot.mouseRelease(port, Qt.MouseButton.LeftButton, pos=at)
        lit = [index.row() for index in outline.selectedIndexes()]
        assert (saw.session.step, lit) == (rows[row].id, [row])
    assert tried >= 3


def two_steps(session: Session) -> tuple[str, str]:
    films = session.films
    first = session.step
    span = Span(films.front, films.start_of(100), films.start_of(120))
    session.do(AddStep(after=first, span=span))
    return first, [one.step.id for one in session.procedure.placed_steps()][1]


def test_a_step_chosen_by_hand_takes_the_film_along_and_undo_does_not(bench: Desk) -> None:
    session, films, hands = bench.session, bench.session.films, Hands(bench)
    _, second = two_steps(session)
    placed = session.placed(second)
    assert placed is not None and placed.step.still is not None
    films.show(3)
    bench.steps_view.list.setFocus()
    hands.press("Down")
    assert session.step == second
    assert films.frame == films.frame_at(placed.step.still.at)
    films.show(3)
    session.do(SetField(("steps", second, "note"), "Mind the edge."))
    session.undo()
    assert films.frame == 3
    bench.deeds["step_before"].trigger()
    first = session.placed()
    assert first is not None and first.step.still is not None
    assert films.frame == films.frame_at(first.step.still.at)
    session.do(SetField(("steps", second, "still"), None))
    bench.deeds["step_after"].trigger()
    assert films.frame == 100


def test_an_untouched_still_stays_inside_its_step_in_one_entry(bench: Desk) -> None:
    session, films = bench.session, bench.session.films
    first, _ = two_steps(session)
    session.choose_step(first)
    entries = len(session.document.history)
    films.show(100)
    bench.deeds["begin_here"].trigger()
    placed = session.placed()
    assert placed is not None and placed.step.still is not None and placed.step.clip is not None
    still, clip = placed.step.still, placed.step.clip
    assert clip.start == films.start_of(100) and clip.start <= still.at < clip.end
    assert still.alt == NO_ALT and len(session.document.history) == entries + 1
    session.do(SetField(("steps", first, "still", "alt"), "The nut from the side"))
    told: list[str] = []
    session.said.connect(lambda severity, _words: told.append(severity))
    films.show(149)
    bench.deeds["begin_here"].trigger()
    now = session.placed()
    assert now is not None and now.step.still is not None
    assert now.step.still.at == still.at and told == ["warning"]


@pytest.mark.parametrize(
    ("typed", "number"),
    [("0,001", "0.001"), ("12,5", "12.5"), ("4.50", "4.50"), ("-0,05", "-0.05")],
)
def test_a_comma_behind_a_nought_groups_nothing(typed: str, number: str) -> None:
    assert number_typed(typed) == number
    with pytest.raises(InputError):
        number_typed("1,250")


def test_a_refused_number_is_there_and_marked_when_one_comes_back(saw: Desk, qtbot: QtBot) -> None:
    lists = ListEditor(saw.session)
    qtbot.addWidget(lists)
    page = lists.page(1)
    field = page.form.field("resolution")
    at = next(i for i, tool in enumerate(saw.session.procedure.tools) if tool.resolution)
    page.choose(at)
    field.selectAll()
    qtbot.keyClicks(field, "0,001")
    assert str(saw.session.procedure.tools[at].resolution) == "0.001"
    field.selectAll()
    qtbot.keyClicks(field, "1,250")
    saw.session.do(SetField(("note",), "Something else is written meanwhile."))
    assert (field.text(), field.property("wrong")) == ("1,250", True)
    page.choose(at - 1 if at else at + 1)
    assert (field.text() == "1,250", field.property("wrong")) == (False, False)
    page.choose(at)
    assert (field.text(), field.property("wrong")) == ("1,250", True)


@pytest.mark.parametrize(
    ("typed", "kept"),
    [("45 min", "PT45M"), ("1:30", "PT1H30M"), ("2 h 30", "PT2H30M"), ("pt45m", "PT45M"),
     ("2h", "PT2H"), ("90 min", "PT1H30M")],
)  # fmt: skip
def test_a_time_is_typed_as_it_is_said(typed: str, kept: str) -> None:
    assert time_typed(typed) == kept
    assert time_typed(time_text(kept)) == kept


@pytest.mark.parametrize("typed", ["45", "1:75", "0 min", "soon", "PT"])
def test_what_is_no_time_is_refused(typed: str) -> None:
    with pytest.raises(InputError):
        time_typed(typed)


def act_of_last(desk: Desk, act: str) -> None:
    entries = desk.step_sheet.movements.entries
    assert entries is not None
    field = entries.form(entries.count() - 1).field("act")
    field.setFocus()
    field.activated.emit(field.findData(act))


def test_a_part_made_by_name_is_ordered_when_a_new_one_goes_on(saw: Desk) -> None:
    session, hands = saw.session, Hands(saw)
    step = session.step
    saw.step_sheet.movements.pick(saw.step_sheet, "on")
    hands.type("Rubber ring")
    picker = next(one for one in saw.findChildren(Picker) if one.isVisible())
    assert picker is not None
    hands.press("Enter")
    part = session.procedure.parts[-1]
    assert (part.name, part.order) == ("Rubber ring", "never")
    entries = len(session.document.history)
    act_of_last(saw, "replaces")
    part = session.procedure.parts[-1]
    assert (part.replace, part.order) == ("always", "always")
    assert len(session.document.history) == entries + 1
    session.undo()
    session.do(SetField(("parts", part.id, "replace"), "if_worn"))
    told: list[str] = []
    session.said.connect(lambda _severity, words: told.append(words))
    assert session.step == step
    act_of_last(saw, "replaces")
    assert session.procedure.parts[-1].order == "never"
    assert "Rubber ring" in told[-1] and "never ordered" in told[-1]


def test_enter_gives_the_keys_back_and_undo_takes_words_since_a_pause(
    saw: Desk, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    clock = [100.0]
    monkeypatch.setattr(places, "now", lambda: clock[0])
    session = saw.session
    field = LongField(session, ("steps", session.step, "note"), "Note", parent=saw)
    field.show()
    field.setFocus(Qt.FocusReason.ShortcutFocusReason)
    field.selectAll()
    qtbot.keyClicks(field, "One")
    clock[0] += 3
    qtbot.keyClicks(field, " two")
    session.undo()
    assert field.text() == "One"
    qtbot.keyClick(field, Qt.Key.Key_Return)
    assert QApplication.focusWidget() is saw.film
