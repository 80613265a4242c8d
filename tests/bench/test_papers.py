"""The papers of the tray: remarks, what is off the machine, what is said, the review."""

from __future__ import annotations

from decimal import Decimal

import pytest
from PyQt6.QtCore import Qt
from PyQt6.QtGui import QFontMetrics
from PyQt6.QtWidgets import QApplication, QStyleOptionViewItem

from author.bench import theme
from author.bench.views.ledger_view import ledger_at
from author.bench.views.telling_apart import shortened
from author.contract import read_procedure
from author.editing import AddEntry, AddStep, SetField, Span
from author.procedure.document import Procedure
from bench.jobs import everything_said, sample_job

SPEC = {
    "id": "bore",
    "characteristic": "Bore diameter",
    "quantity": "length",
    "unit": "mm",
    "lower": "39.967",
    "upper": "39.992",
    "source": "film",
}


def checked(window, qtbot):
    with qtbot.waitSignal(window.session.checked, timeout=10_000):
        pass


def test_remarks_are_grouped_and_lead_to_their_place(window, qtbot):
    checked(window, qtbot)
    wanted = []
    window.session.place_wanted.connect(wanted.append)
    assert window.remarks_view.remarks
    window.actions_by_name["next_remark"].trigger()
    first = window.remarks_view.chosen()
    assert first == window.remarks_view.remarks[0]
    assert wanted == [first.path]
    window.actions_by_name["previous_remark"].trigger()
    assert window.remarks_view.chosen() == window.remarks_view.remarks[-1]


def test_a_remark_goes_when_it_is_mended_and_the_chosen_one_stays(window, qtbot):
    checked(window, qtbot)
    view = window.remarks_view
    while view.chosen() is None or view.chosen().path != ("purpose",):
        window.actions_by_name["next_remark"].trigger()
    count = len(view.remarks)
    window.session.do(SetField(("title",), "Change the belt of the saw"))
    window.session.do(SetField(("unit", "name"), "Band saw"))
    qtbot.waitUntil(lambda: len(view.remarks) < count, timeout=10_000)
    assert view.chosen() is not None
    assert view.chosen().path == ("purpose",)


def with_nut(session) -> None:
    session.do(
        AddEntry(
            ("parts",),
            {
                "id": "nut",
                "name": "Axle nut",
                "quantity": 2,
                "replace": "never",
                "order": "never",
            },
        )
    )
    off = AddStep("Undo the nuts.", id="off", span=Span("bench", Decimal(1), Decimal(2)))
    on = AddStep("Fit the nuts.", id="on", after="off", span=Span("bench", Decimal(2), Decimal(3)))
    session.do(off)
    session.do(on)
    for step, act in (("off", "removes"), ("on", "refits")):
        movement = {"act": act, "part": "nut", "quantity": 2}
        session.do(AddEntry(("steps", step, "ledger"), movement))


def test_the_ledger_tells_what_is_off_after_a_step(window):
    session = window.session
    with_nut(session)
    (line,) = ledger_at(session.procedure, "off")
    assert (line.name, line.in_hand, line.on, line.moved) == ("Axle nut", 2, 0, True)
    (line,) = ledger_at(session.procedure, "on")
    assert (line.in_hand, line.on, line.moved) == (0, 2, True)
    window.actions_by_name["show_ledger"].trigger()
    session.choose_step("off")
    table = window.ledger_view._table
    assert [table.topLevelItem(0).text(n) for n in (0, 1, 3)] == ["Axle nut", "2", "0"]
    session.undo()
    session.undo()
    assert ledger_at(session.procedure, "off") == ()


def test_everything_is_on_at_the_end_of_the_sample():
    sample: Procedure = read_procedure_of_sample()
    steps = [placed.step.id for placed in sample.placed_steps()]
    assert ledger_at(sample, "no-such-step") == ()
    assert any(ledger_at(sample, step) for step in steps)


def read_procedure_of_sample() -> Procedure:
    from pathlib import Path

    root = Path(__file__).parents[2] / "sample_media"
    return read_procedure(root / "upper-wheel-bearings").procedure


def test_what_is_said_leads_to_its_moment(open_window, job_folder, bench_film, qtbot):
    words = "WEBVTT\n\n00:01.000 --> 00:02.000\nFirst the nut.\n\n00:03.000 --> 00:04.000\nNext.\n"
    (job_folder / bench_film.name).with_suffix(".vtt").write_text(words, encoding="utf-8")
    window = open_window(job_folder)
    view = window.speech_view
    window.actions_by_name["show_speech"].trigger()
    qtbot.waitUntil(lambda: view._list.count() == 2, timeout=10_000)
    qtbot.waitUntil(lambda: window.session.films.index() is not None, timeout=20_000)
    view._list.setCurrentRow(1)
    qtbot.keyClick(view._list, Qt.Key.Key_Return)
    assert window.session.films.moment == 3


def test_a_reviewer_accepts_and_queries_number_by_number(window, qtbot):
    session, view = window.session, window.review_view
    step = next(session.procedure.placed_steps()).step.id
    session.do(AddEntry(("steps", step, "specs"), SPEC))
    session.do(AddEntry(("steps", step, "specs"), SPEC | {"id": "width", "upper": "40.100"}))
    window.actions_by_name["show_review"].trigger()
    assert view.chosen().spec.id == "bore"
    view._by.setText("R. V.")
    view._role.setText("Reviewer")
    window.actions_by_name["accept"].trigger()
    qtbot.waitUntil(lambda: session.sign_offs is not None, timeout=10_000)
    assert not session.document.dirty
    assert view.chosen().spec.id == "width"
    window.actions_by_name["query"].trigger()
    assert "what is wrong" in window.statusBar().words()
    view._note.setText("Which drawing?")
    window.actions_by_name["query"].trigger()
    qtbot.waitUntil(lambda: len(session.sign_offs.sign_offs) == 2, timeout=10_000)
    said = session.sign_offs.latest()
    assert (said["bore"].verdict, said["width"].note) == ("accepted", "Which drawing?")
    session.do(SetField(("steps", step, "specs", "bore", "upper"), "39.993"))
    window.actions_by_name["next_point"].trigger()
    states = {row.spec.id: row.signed.state for row in view._rows}
    assert states == {"bore": "stale", "width": "queried"}


def test_a_doubt_is_told_before_a_number_is_accepted_and_blocks_nothing(window, qtbot):
    session, view = window.session, window.review_view
    step = next(session.procedure.placed_steps()).step.id
    session.do(AddEntry(("steps", step, "specs"), SPEC))
    window.actions_by_name["show_review"].trigger()
    assert "No instrument" in view._doubt.text() and "author" in view._doubt.text()
    session.do(AddEntry(("tools",), {"id": "bore-gauge", "name": "Bore gauge", "measures": "mm"}))
    session.do(SetField(("steps", step, "specs", "bore", "instrument"), "bore-gauge"))
    view.refresh()
    assert "not judged" in view._doubt.text()
    assert view._doubt.isVisible()
    session.do(SetField(("review",), {"authors": ["Ann Bee"]}))
    view.refresh()
    assert "author" not in view._doubt.text()
    view._by.setText("R. V.")
    view._role.setText("Reviewer")
    window.actions_by_name["accept"].trigger()
    qtbot.waitUntil(lambda: session.sign_offs is not None, timeout=10_000)


def test_what_is_signed_has_more_room_than_the_list_and_the_fields(window, qtbot):
    session, view = window.session, window.review_view
    step = next(session.procedure.placed_steps()).step.id
    session.do(AddEntry(("steps", step, "specs"), SPEC))
    window.resize(1280, 720)
    window.actions_by_name["show_review"].trigger()
    qtbot.waitExposed(window)
    read = view._says.parentWidget()
    assert read.width() > view._list.width()
    assert read.height() > view._note.mapTo(view, view._note.rect().bottomLeft()).y() / 2


def test_who_wrote_it_cannot_sign_it(window, qtbot):
    session, view = window.session, window.review_view
    step = next(session.procedure.placed_steps()).step.id
    session.do(AddEntry(("steps", step, "specs"), SPEC))
    review = {"authors": ["Ann Bee"], "due": "2027-01-31"}
    session.do(SetField(("review",), review))
    window.actions_by_name["show_review"].trigger()
    view._by.setText("ann bee")
    view._role.setText("Reviewer")
    said = everything_said(session)
    window.actions_by_name["accept"].trigger()
    qtbot.waitUntil(lambda: any("wrote this procedure" in words for words in said))
    assert session.sign_offs is None


def test_the_next_remark_is_one_key_away_in_a_window_beside_the_bench_too(window, qtbot):
    checked(window, qtbot)
    paper = window.step_sheet.paper("front")
    paper.open_paper()
    qtbot.waitExposed(paper)
    qtbot.waitUntil(paper.isActiveWindow)
    qtbot.keyClick(QApplication.focusWidget() or paper, Qt.Key.Key_F8)
    assert window.remarks_view.chosen() == window.remarks_view.remarks[0]
    while window.remarks_view.chosen().path[0] != "sections":
        qtbot.keyClick(QApplication.activeWindow(), Qt.Key.Key_F8)
    qtbot.waitUntil(window.isActiveWindow)
    paper.close()


def test_all_type_grows_with_that_of_the_window(window, qapp):
    fields = (window.film_view.time, window.step_sheet.action.field, window.remarks_view)
    before = [field.font().pointSizeF() for field in fields]
    theme.put_on(qapp, dark=False, scale=1.5)
    after = [field.font().pointSizeF() for field in fields]
    theme.put_on(qapp, dark=False)
    assert after == pytest.approx([1.5 * size for size in before])
    assert [field.font().pointSizeF() for field in fields] == before


@pytest.mark.parametrize("size", [(1280, 720), (1600, 1000)])
def test_what_is_to_sign_is_told_apart_by_its_name(open_window, tmp_path, qtbot, size):
    window = open_window(sample_job(tmp_path))
    window.resize(*size)
    checked(window, qtbot)
    window.actions_by_name["show_review"].trigger()
    qtbot.waitUntil(lambda: window.review_view._list.topLevelItemCount() > 10)
    qtbot.wait(50)
    tree = window.review_view._list
    seen = []
    for row in range(tree.topLevelItemCount()):
        item, index = tree.topLevelItem(row), tree.model().index(row, 1)
        option = QStyleOptionViewItem()
        option.rect = tree.visualRect(index)
        option.font, option.fontMetrics = tree.font(), tree.fontMetrics()
        tree.itemDelegateForColumn(1).initStyleOption(option, index)
        room = tree.columnWidth(1) - 2 * 4
        words = tree.fontMetrics().elidedText(option.text, Qt.TextElideMode.ElideMiddle, room)
        assert len(words) >= min(len(item.text(1)), size[0] // 80)
        assert item.toolTip(1) == item.text(1)
        seen.append((item.text(0), words))
    assert len(set(seen)) == len(seen)
    assert tree.headerItem().toolTip(2) == "Signed"


def test_a_name_loses_first_what_it_begins_with_as_another_does(qapp):
    metrics = QFontMetrics(qapp.font())

    def short(name: str, other: str, letters: int) -> str:
        room = metrics.horizontalAdvance(name[:letters])
        words = shortened(name, (name, other), metrics, room)
        assert metrics.horizontalAdvance(words) <= room
        return words

    front, rear = "Width of the slot in front", "Width of the slot at the rear"
    assert short(front, rear, len(front)) == front
    assert short(front, rear, 18).endswith("in front")
    assert short(rear, front, 18).endswith("at the rear")
    assert short(rear, front, 6).startswith("…at")
    assert short(front, "Torque of the nut", 12)[0] == "W"  # nothing alike: cut in its middle
    assert short(front, front, 12)[0] == "W"  # the same words cannot be told apart
