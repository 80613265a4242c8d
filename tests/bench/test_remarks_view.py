"""Remarks of the same words are one line that opens; next remark goes through them all."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal
from pathlib import Path

import pytest
from PyQt6.QtCore import QModelIndex, Qt
from PyQt6.QtWidgets import QWidget
from pytestqt.modeltest import ModelTester
from pytestqt.qtbot import QtBot

from author.bench.remark_sorting import RemarkLine
from author.bench.views.remark_rows import RemarkModel
from author.bench.window import BenchWindow
from author.editing import AddEntry, AddStep, SetSpan, Span


@pytest.fixture
def four(window: BenchWindow, qtbot: QtBot) -> BenchWindow:
    """The window on a job of four more steps, none of whose pictures is put in words."""
    session = window.session
    films = session.films
    qtbot.waitUntil(lambda: films.is_exact() and films.count() == 150, timeout=20_000)
    for at in (1, 2, 3, 4):
        span = Span(films.front, Decimal(at), Decimal(at) + Decimal("0.8"))
        session.document.do(AddStep(f"Look at bolt {at}.", span=span))
    qtbot.waitUntil(lambda: len(lines(window)) > 0 and session.verdict is not None, timeout=10_000)
    session.check()
    with qtbot.waitSignal(session.checked):
        pass
    return window


def rows(window: BenchWindow) -> RemarkModel:
    window.remarks_view._fill()
    return window.remarks_view._rows


def below(model: RemarkModel, index: QModelIndex) -> list[QModelIndex]:
    return [model.index(row, 0, index) for row in range(model.rowCount(index))]


def lines(window: BenchWindow) -> list[tuple[QModelIndex, RemarkLine]]:
    """The lines that lead to a place or stand for several, from above to below."""
    model, found = rows(window), []
    for heading in below(model, QModelIndex()):
        for index in below(model, heading):
            found += [index, *below(model, index)]
    return [(index, line) for index in found if (line := model.line(index)) is not None]


def text(index: QModelIndex, role: Qt.ItemDataRole = Qt.ItemDataRole.DisplayRole) -> str:
    return str(index.data(role))


def test_qt_finds_no_fault_in_the_lines(four: BenchWindow, qtmodeltester: ModelTester) -> None:
    qtmodeltester.check(rows(four), force_py=True)  # type: ignore[no-untyped-call]


def test_one_line_stands_for_the_same_remark_of_many_steps(four: BenchWindow) -> None:
    view, model = four.remarks_view, rows(four)
    many = [index for index, line in lines(four) if line.about is not None]
    said = [text(index) for index in many]
    index = many[said.index("5 steps: “What it shows” is still to be written")]
    assert not view._list.isExpanded(index)
    places = below(model, index)
    assert [text(place) for place in places] == [f"Step {number}" for number in range(1, 6)]
    spoken = text(places[0], Qt.ItemDataRole.AccessibleTextRole)
    assert spoken == "Step 1: “What it shows” is still to be written"
    view._go(index)
    assert view._list.isExpanded(index)
    assert "Write it" in view._remedy.text()
    view._click(index)
    assert not view._list.isExpanded(index)


def test_the_next_remark_goes_through_the_places_of_such_a_line(four: BenchWindow) -> None:
    view = four.remarks_view
    seen = []
    for _ in view.remarks:
        four.actions_by_name["next_remark"].trigger()
        chosen = view.chosen()
        assert chosen is not None
        seen.append((chosen.rule.id, chosen.path))
    assert sorted(seen, key=str) == sorted(((r.rule.id, r.path) for r in view.remarks), key=str)


def test_the_film_goes_to_the_step_of_a_remark(four: BenchWindow) -> None:
    view, films = four.remarks_view, four.session.films
    last = next(one for one in view.remarks if one.path[:4][-1:] == (4,))
    view._go(rows(four).place_of(last))
    placed = four.session.placed()
    assert placed is not None and placed.number == 5 and placed.step.still is not None
    assert films.frame == films.frame_at(placed.step.still.at)


def test_what_names_no_source_leads_to_the_source(window: BenchWindow, qtbot: QtBot) -> None:
    session = window.session
    entry = {"look_for": "Bolt heads", "accept": "No gap is seen.", "otherwise": "Call the lead"}
    session.document.do(AddEntry(("steps", session.step, "criteria"), entry))
    with qtbot.waitSignal(session.checked, timeout=10_000):
        session.check()
    view = window.remarks_view
    index = next(
        index
        for index, line in lines(window)
        if line.remark is not None and line.remark.rule.id == "review.no_source"
    )
    assert "“Bolt heads” names no source" in text(index, Qt.ItemDataRole.ToolTipRole)
    window.activateWindow()
    view._go(index)
    qtbot.waitUntil(lambda: isinstance(window.focusWidget(), QWidget))
    focused = window.focusWidget()
    assert focused is not None and focused.accessibleName() == "Source"
    assert "beside “Source”" in view._remedy.text()


def test_the_film_stands_at_the_chosen_step_when_a_job_is_opened_again(
    four: BenchWindow, open_window: Callable[[Path], BenchWindow], qtbot: QtBot
) -> None:
    file = four.session.document.file
    first = next(four.session.procedure.placed_steps()).step.id
    films = four.session.films
    four.session.do(SetSpan(first, Span(films.front, Decimal("0.4"), Decimal("1.2"))))
    four.session.document.save()
    four.put_down()
    again = open_window(file.parent)
    desk = again.session.films
    qtbot.waitUntil(lambda: desk.frame > 0, timeout=20_000)
    placed = again.session.placed()
    assert placed is not None and placed.step.id == first and placed.step.still is not None
    assert desk.frame == desk.frame_at(placed.step.still.at)
