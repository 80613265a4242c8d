"""What puts a wrong frame, span or signature into a procedure is asked for twice, or comes back."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from decimal import Decimal
from pathlib import Path

import pytest
from PyQt6.QtCore import Qt
from PyQt6.QtWidgets import QMessageBox
from pytestqt.qtbot import QtBot

from author.bench.session import Session
from author.bench.twice import Twice
from author.bench.views import review_view
from author.bench.views.status_line import StatusLine
from author.bench.views.still_taking import StillTaking
from author.bench.window import BenchWindow
from author.editing import AddEntry, AddStep, SetField, Span

from .jobs import Desk, desk_on, everything_said, sample_job

SPEC = {
    "characteristic": "Bore",
    "quantity": "length",
    "unit": "mm",
    "upper": "39.992",
    "source": "film",
}


@pytest.fixture
def desk(session: Session, qtbot: QtBot) -> Iterator[Desk]:
    """Three steps of a second each, the first chosen."""
    qtbot.waitUntil(lambda: session.films.is_exact() and session.films.count() == 150,
                    timeout=60_000)  # fmt: skip
    begun = session.step
    for at in (1, 2, 3):
        span = Span(session.films.front, Decimal(at), Decimal(at) + Decimal("0.8"))
        session.do(AddStep(f"Look at bolt {at}.", id=f"bolt-{at}", span=span))
    session.do(SetField(("steps", begun, "clip"), None))
    session.choose_step("bolt-1")
    with desk_on(session, qtbot) as made:
        yield made


def clip_of(session: Session, step: str) -> tuple[Decimal, Decimal]:
    placed = session.placed(step)
    assert placed is not None and placed.step.clip is not None
    return placed.step.clip.start, placed.step.clip.end


def still_of(session: Session, step: str) -> Decimal:
    placed = session.placed(step)
    assert placed is not None and placed.step.still is not None
    return placed.step.still.at


def said_by(session: Session) -> list[str]:
    words: list[str] = []
    session.said.connect(lambda _severity, told: words.append(told))
    return words


def test_only_the_same_twice_in_a_row_is_sure() -> None:
    twice = Twice()
    assert [twice.sure(*what) for what in ("a", "b", "b", "b", "b")] == [
        False, False, True, False, True,
    ]  # fmt: skip


def test_a_step_covers_others_only_when_asked_twice(desk: Desk) -> None:
    session = desk.session
    said, before = said_by(session), clip_of(session, "bolt-1")
    session.films.show(95)
    desk.deeds["end_here"].trigger()
    assert clip_of(session, "bolt-1") == before
    assert "Step 2 would then show what these steps show: 3, 4" in said[-1]
    desk.deeds["end_here"].trigger()
    assert clip_of(session, "bolt-1")[1] == session.films.start_of(96)
    session.films.show(60)
    desk.deeds["end_here"].trigger()  # it covers no more than it did
    assert clip_of(session, "bolt-1")[1] == session.films.start_of(61)


def test_the_best_still_is_not_taken_from_another_film_unasked(desk: Desk) -> None:
    session, taking = desk.session, StillTaking(desk.session)
    (ref,) = session.procedure.recordings
    lost = ref.model_copy(update={"id": "lost", "file": "lost.mp4", "sha256": "0" * 64})
    session.do(AddEntry(("recordings",), lost))
    for part in ("clip", "still"):
        session.do(SetField(("steps", "bolt-1", part, "recording"), "lost"))
    said, before = said_by(session), still_of(session, "bolt-1")
    session.films.show(120)
    taking.best_frame()
    assert still_of(session, "bolt-1") == before
    assert "of another film than step 2 (lost)" in said[-1]
    taking.best_frame()
    assert still_of(session, "bolt-1") == session.films.start_of(120)


def test_a_still_from_outside_the_step_is_asked_for_twice(desk: Desk) -> None:
    session, taking = desk.session, StillTaking(desk.session)
    said, before = said_by(session), still_of(session, "bolt-1")
    session.films.show(120)
    taking.this_frame()
    assert still_of(session, "bolt-1") == before
    assert "lies outside step 2" in said[-1]
    taking.this_frame()
    assert still_of(session, "bolt-1") == session.films.start_of(120)
    session.films.show(30)
    taking.this_frame()
    assert still_of(session, "bolt-1") == session.films.start_of(30)
    taking.deleteLater()


def test_the_best_frame_is_one_of_the_step_wherever_the_film_stands(
    desk: Desk, qtbot: QtBot
) -> None:
    session, taking = desk.session, StillTaking(desk.session)
    qtbot.waitUntil(lambda: session.films.analyses() is not None, timeout=60_000)
    start, end = clip_of(session, "bolt-3")
    session.choose_step("bolt-3")
    session.do(SetField(("steps", "bolt-3", "still", "at"), start))
    session.films.show(5)
    with qtbot.waitSignal(taking.wanted, timeout=60_000):
        taking.best_frame()
    assert start <= still_of(session, "bolt-3") < end
    taking.deleteLater()


@pytest.fixture
def signing(window: BenchWindow, monkeypatch: pytest.MonkeyPatch) -> BenchWindow:
    """A window with two numbers in one step, and a step that has none."""
    monkeypatch.setattr(review_view, "_READING", 0)
    session, view = window.session, window.review_view
    step = next(session.procedure.placed_steps()).step.id
    for name in ("bore", "width"):
        session.do(AddEntry(("steps", step, "specs"), SPEC | {"id": name, "characteristic": name}))
    span = Span(session.films.front, Decimal(1), Decimal(2))
    session.do(AddStep("Look at it.", id="bare", span=span))
    view._by.setText("R. V.")
    view._role.setText("Reviewer")
    return window


def test_nothing_is_signed_that_is_not_in_front(signing: BenchWindow, qtbot: QtBot) -> None:
    session, view = signing.session, signing.review_view
    signing.actions_by_name["show_remarks"].trigger()
    signing.actions_by_name["accept"].trigger()
    assert view.isVisible() and session.sign_offs is None
    assert "look at it" in signing.statusBar().words()
    session.choose_step("bare")
    signing.actions_by_name["accept"].trigger()
    assert session.sign_offs is None
    chosen = view.chosen()
    assert chosen is not None and session.step == chosen.placed.step.id != "bare"
    signing.actions_by_name["accept"].trigger()
    qtbot.waitUntil(lambda: session.sign_offs is not None, timeout=60_000)


def test_the_review_follows_the_chosen_step(signing: BenchWindow) -> None:
    session, view = signing.session, signing.review_view
    session.do(AddEntry(("steps", "bare", "specs"), SPEC | {"id": "depth"}))
    signing.actions_by_name["show_review"].trigger()
    session.choose_step("bare")
    chosen = view.chosen()
    assert chosen is not None and chosen.placed.step.id == "bare"


def test_what_is_signed_is_not_signed_again_and_not_undone(
    signing: BenchWindow, qtbot: QtBot
) -> None:
    session, view = signing.session, signing.review_view
    said = everything_said(session)
    signing.actions_by_name["show_review"].trigger()
    for count in (1, 2):
        signing.actions_by_name["accept"].trigger()
        qtbot.waitUntil(
            lambda n=count: sum("Accepted" in words for words in said) == n, timeout=60_000
        )
        assert session.sign_offs is not None and len(session.sign_offs.sign_offs) == count
    assert any("All are signed" in words for words in said)
    signing.actions_by_name["accept"].trigger()
    assert "accepted already" in signing.statusBar().words()
    chosen, entries = view.chosen(), len(session.document.history)
    assert chosen is not None
    signing.actions_by_name["undo"].trigger()
    assert "A sign-off is not undone" in signing.statusBar().words()
    assert len(session.document.history) == entries
    signing.actions_by_name["undo"].trigger()
    assert len(session.document.history) == entries - 1


def test_that_a_sign_off_is_not_undone_is_said_also_where_there_is_nothing_to_undo(
    open_window: Callable[[Path], BenchWindow],
    tmp_path: Path,
    qtbot: QtBot,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    monkeypatch.setattr(review_view, "_READING", 0)
    window = open_window(sample_job(tmp_path))
    undo, status = window.actions_by_name["undo"], window.statusBar()
    assert isinstance(status, StatusLine)
    window.review_view._by.setText("R. V.")
    window.review_view._role.setText("Reviewer")
    window.actions_by_name["show_review"].trigger()
    assert not undo.isEnabled()
    window.actions_by_name["accept"].trigger()
    qtbot.waitUntil(lambda: window.session.sign_offs is not None, timeout=60_000)
    undo.trigger()
    assert "A sign-off is not undone" in status.words()
    assert not undo.isEnabled()


def test_what_the_window_does_by_itself_after_a_signing_is_not_what_undo_takes_back(
    signing: BenchWindow, qtbot: QtBot
) -> None:
    session = signing.session
    said = everything_said(session)
    signing.actions_by_name["show_review"].trigger()
    signing.actions_by_name["accept"].trigger()
    qtbot.waitUntil(lambda: any("Accepted" in words for words in said), timeout=60_000)
    with session.unasked():
        session.do(SetField(("title",), "As the film is called"))
    signing.actions_by_name["undo"].trigger()
    assert "A sign-off is not undone" in signing.statusBar().words()
    assert session.procedure.title == "As the film is called"


def test_a_name_that_was_lacking_is_not_asked_for_when_it_is_there(
    signing: BenchWindow, qtbot: QtBot
) -> None:
    view = signing.review_view
    signing.actions_by_name["show_review"].trigger()
    view._role.clear()
    signing.actions_by_name["accept"].trigger()
    assert "Write a name" in signing.statusBar().words()
    qtbot.keyClicks(view._role, "Foreman")
    qtbot.keyClick(view._role, Qt.Key.Key_Tab)
    assert signing.statusBar().words() == "Now accept it, or query it."


def test_the_next_is_not_signed_in_the_same_breath(
    signing: BenchWindow, qtbot: QtBot, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(review_view, "_READING", 60_000)
    said = everything_said(signing.session)
    signing.actions_by_name["show_review"].trigger()
    signing.actions_by_name["accept"].trigger()
    qtbot.waitUntil(lambda: any("Accepted" in words for words in said), timeout=60_000)
    signing.actions_by_name["accept"].trigger()
    assert "look at it before it is signed" in signing.statusBar().words()
    sheet = signing.session.sign_offs
    assert sheet is not None and len(sheet.sign_offs) == 1


def test_work_taken_up_is_shown_even_if_all_of_it_was_undone(
    window: BenchWindow,
    open_window: Callable[[Path], BenchWindow],
    job_folder: Path,
    qtbot: QtBot,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    session = window.session
    action = ("steps", session.step, "action")
    session.do(SetField(action, "Wipe the bore."))
    session.document.save()
    session.undo()
    qtbot.wait(200)
    window.keeper.close()
    session.close()
    said: list[tuple[str, str]] = []

    def take(box: QMessageBox) -> None:
        said.append((box.text(), box.informativeText()))
        next(b for b in box.buttons() if "Take" in b.text()).click()

    monkeypatch.setattr(QMessageBox, "exec", take)
    again = open_window(job_folder)
    qtbot.waitUntil(lambda: bool(said))
    text, more = said[0]
    assert "one change" in text and "Undone: " in more
    placed = again.session.placed()
    assert placed is not None and placed.step.action != "Wipe the bore."
    row = again.steps_view.model.rows[again.steps_view.model.row_of(placed.step.id)]
    assert "Wipe" not in row.text
    assert "Wipe" not in again.step_sheet.action.field.toPlainText()
