"""Saving, what a crash left, and another's change to the same file."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest
from PyQt6.QtCore import Qt, QTimer
from PyQt6.QtWidgets import QApplication, QMessageBox

from author.bench.window import BenchWindow
from author.contract import read_procedure
from author.editing import AddEntry, SetField
from author.editing.journal_file import journal_path
from author.tasks.opening import open_for_editing

from .hands import answer_by as press


def title_in(file) -> str:
    return read_procedure(file).procedure.title


def test_saving_writes_the_file_and_says_where(window: BenchWindow, qtbot):
    document = window.session.document
    window.session.do(SetField(("title",), "Change the belt"))
    assert window.windowTitle().startswith("*Change the belt")
    window.actions_by_name["save"].trigger()
    qtbot.waitUntil(lambda: not document.dirty)
    assert title_in(document.file) == "Change the belt"
    assert str(document.file) in window.statusBar().words()
    assert window.windowTitle().startswith("Change the belt")


def test_that_it_is_saved_is_taken_back_by_the_next_change(window: BenchWindow, qtbot):
    document, bar = window.session.document, window.statusBar()
    window.session.do(SetField(("title",), "Change the belt"))
    window.actions_by_name["save"].trigger()
    qtbot.waitUntil(lambda: not document.dirty)
    assert "Saved in" in bar.words()
    window.session.do(SetField(("title",), "Change the belts"))
    assert "Saved" not in bar.words()
    window.session.tell("good", "Something else")
    window.session.do(SetField(("title",), "Change both belts"))
    assert bar.words() == "Something else"


def test_another_s_change_of_another_place_is_taken_in(window: BenchWindow, qtbot):
    document = window.session.document
    window.session.do(SetField(("title",), "Change the belt"))
    text = document.file.read_text(encoding="utf-8")
    document.file.write_text(text.replace("Technician", "Fitter"), encoding="utf-8")
    window.actions_by_name["save"].trigger()
    qtbot.waitUntil(lambda: not document.dirty, timeout=10_000)
    saved = read_procedure(document.file).procedure
    assert (saved.title, saved.people[0].role) == ("Change the belt", "Fitter")
    window.session.undo()
    assert window.session.procedure.people[0].role == "Technician"


@pytest.mark.parametrize(("whose", "title"), [("Mine", "Mine here"), ("Theirs", "Theirs here")])
def test_where_both_wrote_the_person_is_asked(window, qtbot, monkeypatch, whose, title):
    document = window.session.document
    asked = press(monkeypatch, whose)
    before = window.session.procedure.title
    window.session.do(SetField(("title",), "Mine here"))
    text = document.file.read_text(encoding="utf-8")
    document.file.write_text(
        text.replace(f"title: {before}", "title: Theirs here"), encoding="utf-8"
    )
    window.actions_by_name["save"].trigger()
    qtbot.waitUntil(lambda: not document.dirty, timeout=10_000)
    assert len(asked) == 1
    assert title_in(document.file) == title


def test_deciding_later_writes_nothing_over(window, qtbot, monkeypatch):
    document = window.session.document
    asked = press(monkeypatch, "Decide later")
    before = window.session.procedure.title
    window.session.do(SetField(("title",), "Mine here"))
    theirs = document.file.read_text(encoding="utf-8").replace(before, "Theirs here")
    document.file.write_text(theirs, encoding="utf-8")
    window.actions_by_name["save"].trigger()
    qtbot.waitUntil(lambda: bool(asked))
    assert title_in(document.file) == "Theirs here"
    assert window.session.procedure.title == "Mine here"


def test_who_decides_later_is_left_in_peace_until_they_save(window, qtbot, monkeypatch):
    document, keeper = window.session.document, window.keeper
    asked = press(monkeypatch, "Decide later")
    before = window.session.procedure.title
    window.session.do(SetField(("title",), "Mine here"))
    theirs = document.file.read_text(encoding="utf-8").replace(before, "Theirs here")
    document.file.write_text(theirs, encoding="utf-8")
    keeper._look_at_file()
    qtbot.waitUntil(lambda: bool(asked))
    assert "saving asks again (Ctrl+S)" in window.statusBar().words()
    for _ in range(2):
        keeper._look_at_file()
        qtbot.waitUntil(lambda: not window.session.jobs.is_running("look"))
    assert len(asked) == 1
    window.actions_by_name["save"].trigger()
    qtbot.waitUntil(lambda: len(asked) == 2)
    document.file.write_text(theirs.replace("Technician", "Fitter"), encoding="utf-8")
    keeper._look_at_file()
    qtbot.waitUntil(lambda: len(asked) == 3)


def test_a_file_that_is_damaged_is_told_once_with_the_way_out(window, qtbot):
    document, keeper, status = window.session.document, window.keeper, window.statusBar()
    document.file.write_bytes(document.file.read_bytes() + b"\n : [ damaged")
    keeper._look_at_file()
    qtbot.waitUntil(lambda: "save in another folder (Ctrl+Shift+S)" in status.words())
    window.session.tell("good", "Something else")
    keeper._look_at_file()
    qtbot.waitUntil(lambda: not window.session.jobs.is_running("look"))
    assert status.words() == "Something else"
    window.session.do(SetField(("title",), "Mine here"))
    window.actions_by_name["save"].trigger()
    qtbot.waitUntil(lambda: "save in another folder (Ctrl+Shift+S)" in status.words())


@pytest.mark.parametrize("take", [True, False])
def test_work_that_was_not_saved_is_offered_again(
    window, open_window, job_folder, qtbot, monkeypatch, take
):
    document = window.session.document
    before = window.session.procedure.title
    window.session.do(SetField(("title",), "Not saved"))
    qtbot.wait(200)
    window.keeper.close()
    window.session.close()  # as a window does that ends without being asked
    asked = press(monkeypatch, "Take it up" if take else "Leave it aside")
    again = open_window(job_folder)
    qtbot.waitUntil(lambda: bool(asked))
    assert again.session.procedure.title == ("Not saved" if take else before)
    assert again.session.document.dirty is take
    assert title_in(document.file) == before


def test_escape_does_not_leave_work_aside_and_whoever_does_is_told_where_it_is(
    window, open_window, job_folder, qtbot, monkeypatch
):
    window.session.do(SetField(("title",), "Not saved"))
    qtbot.wait(200)
    window.keeper.close()
    window.session.close()
    QTimer.singleShot(
        300, lambda: qtbot.keyClick(QApplication.activeModalWidget(), Qt.Key.Key_Escape)
    )
    again = open_window(job_folder)
    qtbot.waitUntil(lambda: again.session.procedure.title == "Not saved")
    again.keeper.close()
    again.session.close()
    asked = press(monkeypatch, "Leave it aside")
    third = open_window(job_folder)
    qtbot.waitUntil(lambda: bool(asked))
    place = journal_path(third.session.document.file).parent
    assert str(place) in third.statusBar().words()
    assert [*place.glob("*.aside-*.journal")]


def test_work_that_is_offered_says_when_and_what_newest_first(
    window, open_window, job_folder, qtbot, monkeypatch
):
    session = window.session
    entry = {"look_for": "Bolt heads", "accept": "No gap is seen.", "otherwise": "Stop"}
    session.do(AddEntry(("steps", session.step, "criteria"), entry))
    session.do(SetField(("title",), "Not saved"))
    qtbot.wait(200)
    window.keeper.close()
    window.session.close()
    said = []

    def leave(box):
        said.append((box.text(), box.informativeText()))
        next(b for b in box.buttons() if "aside" in b.text()).click()

    monkeypatch.setattr(QMessageBox, "exec", leave)
    open_window(job_folder)
    qtbot.waitUntil(lambda: bool(said))
    text, more = said[0]
    assert re.search(r"The last: .*[0-9]:[0-9]{2}", text)
    assert more.splitlines()[1:] == ["Change the title", "Add criterion “Bolt heads” of step 1"]


@pytest.mark.parametrize(
    ("key", "closes", "saved", "kept"),
    [
        (Qt.Key.Key_W, True, True, False),
        (Qt.Key.Key_Return, True, True, False),
        (Qt.Key.Key_C, True, False, True),
        (Qt.Key.Key_G, False, False, True),
        (Qt.Key.Key_Escape, False, False, True),
    ],
)
def test_closing_asks_what_to_do_with_work_that_is_not_written(
    window, qtbot, key, closes, saved, kept, job_folder
):
    window.session.do(SetField(("title",), "New title"))
    journal = journal_path(window.session.document.file)
    qtbot.waitUntil(journal.exists)
    told = []

    def answer() -> None:
        box = QApplication.activeModalWidget()
        told.append({button.text().replace("&", "") for button in box.buttons()})
        told.append(journal.exists())
        qtbot.keyClick(box, key)

    QTimer.singleShot(50, answer)
    assert window.close() is closes
    words = {"Write it and close  Enter", "Close, keep it aside  C", "Go back to the work  Esc"}
    assert told == [words, True]
    assert (title_in(job_folder) == "New title") is saved
    assert journal.exists() is kept


def test_a_second_window_on_the_file_can_only_read(window, open_window, job_folder, qtbot):
    second = open_window(job_folder)
    qtbot.waitUntil(lambda: second.statusBar().words() != "")
    assert "reading only" in second.statusBar().words()
    assert not second.session.do(SetField(("title",), "Mine"))
    second.actions_by_name["save"].trigger()
    assert title_in(job_folder) == window.session.procedure.title


def test_undo_in_the_menu_says_what_it_undoes(window: BenchWindow):
    undo = window.actions_by_name["undo"]
    assert not undo.isEnabled()
    window.session.do(SetField(("title",), "Change the belt"))
    assert undo.isEnabled()
    assert "title" in undo.text().lower()
    undo.trigger()
    assert not window.session.document.dirty


def test_the_document_opens_without_reading_its_films(job_folder, bench_film):
    (job_folder / bench_film.name).unlink()
    opened = open_for_editing(job_folder)
    try:
        assert opened.places == {}
    finally:
        opened.document.close()


def test_a_duration_is_put_right_only_after_the_offer_of_left_work(session, qtbot, monkeypatch):
    (ref,) = session.procedure.recordings
    qtbot.waitUntil(lambda: session.films.analyses() is not None)
    # What the reading at the start found must be told by then: it would undo what comes.
    qtbot.waitUntil(lambda: not session.jobs.is_running(f"facts of {ref.id}"))
    entries = len(session.document.history)
    longer = replace(session.facts()[ref.id], duration=ref.duration + 1)
    monkeypatch.setattr(session.document, "recovery", object())
    session._take_facts(ref.id, longer)
    qtbot.wait(30)
    assert len(session.document.history) == entries
    monkeypatch.setattr(session.document, "recovery", None)
    qtbot.waitUntil(
        lambda: session.procedure.recordings[0].duration == longer.duration, timeout=60_000
    )
