"""One gesture is one entry; whoever shows the document is told each step."""

import contextlib
import gc
import weakref
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from author.editing import MoveMark, OpenDocument, RemoveSteps, SetField, SplitStep, open_document
from author.editing.ids import ids_in
from author.errors import InputError
from editing.opened import guard, same

TITLE = ("title",)


@pytest.fixture
def document(tmp_path: Path) -> Iterator[OpenDocument]:
    opened = guard(tmp_path / "guard")
    yield opened
    opened.close()


def drag(document: OpenDocument, *seconds: str) -> None:
    for second in seconds:
        document.do(MoveMark("guard-off", "to", Decimal(second)), merge="drag to")


def test_commands_with_one_key_are_one_entry(document: OpenDocument) -> None:
    first = document.procedure
    drag(document, "3", "4", "5")
    assert [entry.label for entry in document.history] == ["Move the end of the clip of step 1"]
    document.undo()
    assert document.procedure is first
    document.redo()
    assert document.procedure.sections[0].steps[0].clip is not None
    assert document.procedure.sections[0].steps[0].clip.end == 5


def test_what_comes_between_ends_an_entry(document: OpenDocument) -> None:
    drag(document, "3")
    document.do(SetField(TITLE, "New"))
    drag(document, "4")
    document.end_merge()
    drag(document, "5")
    document.undo()
    document.redo()
    drag(document, "6")
    assert len(document.history) == 5
    document.undo()
    document.undo()
    drag(document, "7")
    assert len(document.history) == 4, "an undone entry is not gone on with"
    document.do(SetField(TITLE, "Newer"))
    document.undo()
    drag(document, "8")
    assert len(document.history) == 5, "nor is the one before it"


def test_a_gesture_is_one_entry_and_told_as_it_goes(document: OpenDocument) -> None:
    told: list[tuple[bool, str]] = []
    stop = document.on_change(lambda b, a, entry: told.append((b is a, entry.label)))
    first = document.procedure
    with document.gesture("Name it anew"):
        document.do(SetField(TITLE, "New"))
        with document.gesture("inner"):
            document.do(SetField(("purpose",), "Better"))
    assert told == [
        (False, "Change the title"),
        (False, "Change the purpose"),
        (True, "Name it anew"),
    ]
    assert document.undo_label == "Name it anew"
    stop()
    document.undo()
    assert document.procedure is first and len(told) == 3


def test_a_gesture_that_is_broken_off_leaves_nothing(document: OpenDocument) -> None:
    first, told = document.procedure, []
    document.on_change(lambda _b, after, _e: told.append(after))
    with pytest.raises(KeyboardInterrupt), document.gesture("Half"):
        document.do(SetField(TITLE, "New"))
        raise KeyboardInterrupt
    assert document.procedure is first
    assert told[-1] is first
    assert not document.can_undo and not document.dirty


def test_inside_a_gesture_nothing_is_undone(document: OpenDocument) -> None:
    document.do(SetField(TITLE, "New"))
    with document.gesture("More"), pytest.raises(RuntimeError):
        document.undo()
    assert document.undo_label == "Change the title"


def test_a_listener_does_not_change_the_document(document: OpenDocument) -> None:
    def meddle(*_: Any) -> None:
        document.do(SetField(TITLE, "Mine"))

    stop = document.on_change(meddle)
    with pytest.raises(RuntimeError):
        document.do(SetField(TITLE, "New"))
    stop()
    document.do(SetField(TITLE, "Newer"))


def test_a_new_command_ends_what_could_be_done_again(document: OpenDocument) -> None:
    document.do(SetField(TITLE, "New"))
    document.undo()
    assert (document.can_redo, document.redo_label) == (True, "Change the title")
    document.do(SetField(("purpose",), "Better"))
    assert (document.can_redo, document.redo_label) == (False, "")
    with pytest.raises(InputError, match="nothing to do again"):
        document.redo()
    document.undo()
    with pytest.raises(InputError, match="nothing to undo"):
        document.undo()


def test_what_changes_nothing_is_no_entry(document: OpenDocument) -> None:
    change = document.do(SetField(TITLE, document.procedure.title))
    assert change.entry is None and change.before is change.after
    assert not document.can_undo


def test_other_digits_are_a_change(document: OpenDocument) -> None:
    upper = ("steps", "guard-on", "specs", "gap", "upper")
    assert document.do(SetField(upper, "6.000")).entry is not None
    assert document.dirty


def test_the_place_to_show_is_there(document: OpenDocument) -> None:
    made = document.do(SplitStep("guard-off", Decimal("1.5")))
    assert made.place == ("steps", "step-2")
    assert document.undo().place == ("steps", "guard-off")
    assert document.redo().place == ("steps", "step-2")
    assert document.do(RemoveSteps(("step-2",))).place == ("steps", "guard-off")
    assert document.undo().place == ("steps", "step-2")


def test_the_history_is_bounded(tmp_path: Path) -> None:
    guard(tmp_path / "bounded").close()
    document = open_document(tmp_path / "bounded", bound=3)
    for number in range(10):
        document.do(SetField(TITLE, f"Title {number}"))
    assert len(document.history) == 3
    while document.can_undo:
        document.undo()
    assert document.procedure.title == "Title 6"
    document.close()


def test_dirty_is_what_differs_from_the_file(document: OpenDocument) -> None:
    old = document.procedure.title
    assert not document.dirty
    document.do(SetField(TITLE, "New"))
    assert document.dirty
    document.do(SetField(TITLE, old))
    assert not document.dirty, "it is as it was, by another way"
    assert same(document.procedure, document.loaded().procedure)


def test_a_second_window_can_only_read(tmp_path: Path, document: OpenDocument) -> None:
    second = open_document(tmp_path / "guard")
    assert second.read_only and second.held_by is not None
    with pytest.raises(InputError, match="has this procedure open"):
        second.do(SetField(TITLE, "New"))
    with pytest.raises(InputError):
        second.saving()
    second.close()
    document.do(SetField(TITLE, "New"))
    document.close(discard=True)
    third = open_document(tmp_path / "guard")
    assert not third.read_only
    third.close()


def test_what_a_worker_has_opened_another_thread_closes(tmp_path: Path) -> None:
    guard(tmp_path / "guard").close()
    with ThreadPoolExecutor() as worker:
        document = worker.submit(open_document, tmp_path / "guard").result()
    document.do(SetField(TITLE, "New"))
    document.close(discard=True)
    again = open_document(tmp_path / "guard")
    assert not again.read_only and again.recovery is None
    again.close()


def test_snapshots_that_cannot_be_undone_any_more_are_let_go(tmp_path: Path) -> None:
    guard(tmp_path / "guard").close()
    with contextlib.closing(open_document(tmp_path / "guard", bound=5)) as document:
        seen = []
        for number in range(60):
            document.do(SetField(TITLE, f"Title {number}"))
            document.do(SetField(("steps", "guard-off", "action"), f"Undo nut {number}."))
            ids_in(document.procedure)  # as the views do
            seen.append(weakref.ref(document.procedure))
        gc.collect()
        assert sum(each() is not None for each in seen) < 15
