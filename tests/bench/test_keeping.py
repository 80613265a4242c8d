"""Saving, what a crash left, and another's change to the same file."""

from __future__ import annotations

import pytest

from author.bench.window import BenchWindow
from author.contract import read_procedure
from author.editing import SetField
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


@pytest.mark.parametrize("take", [True, False])
def test_work_that_was_not_saved_is_offered_again(
    window, open_window, job_folder, qtbot, monkeypatch, take
):
    document = window.session.document
    before = window.session.procedure.title
    window.session.do(SetField(("title",), "Not saved"))
    qtbot.wait(200)
    window.keeper.close()
    window.session.close()  # as a window does that is told to keep the work aside
    asked = press(monkeypatch, "Take it up" if take else "Leave it aside")
    again = open_window(job_folder)
    qtbot.waitUntil(lambda: bool(asked))
    assert again.session.procedure.title == ("Not saved" if take else before)
    assert again.session.document.dirty is take
    assert title_in(document.file) == before


@pytest.mark.parametrize(
    ("words", "closes", "saved"),
    [("Save and close", True, True), ("Keep it aside", True, False), ("Go on", False, False)],
)
def test_closing_asks_what_to_do_with_unsaved_work(
    window, monkeypatch, words, closes, saved, job_folder
):
    asked = press(monkeypatch, words)
    window.session.do(SetField(("title",), "New title"))
    assert window.close() is closes
    assert len(asked) == 1
    assert (title_in(job_folder) == "New title") is saved


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
