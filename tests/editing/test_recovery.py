"""Unsaved work of an earlier run is offered back, and never thrown away unasked."""

import os
from pathlib import Path

import pytest

from author.editing import AddStep, OpenDocument, Saved, SetField, open_document
from author.editing import recovery as recovering
from author.editing.journal_file import journal_path
from author.errors import InputError
from editing.opened import guard, same

TITLE = ("title",)


def left_behind(folder: Path) -> OpenDocument:
    """A document with two gestures and an undone one, closed without saving."""
    document = guard(folder)
    document.do(SetField(TITLE, "New"))
    document.do(AddStep("Do more."))
    document.do(SetField(("purpose",), "Other"))
    document.undo()
    document.close()
    return document


def test_work_is_offered_with_what_was_done(tmp_path: Path) -> None:
    before = left_behind(tmp_path / "guard")
    document = open_document(tmp_path / "guard")
    offered = document.recovery
    assert offered is not None
    assert offered.labels == ("Change the title", "Add step 3")
    assert (offered.gestures, offered.same_base, offered.damaged) == (4, True, False)
    assert offered.last is not None and offered.problem is None
    assert not document.dirty, "nothing is taken in unasked"
    assert document.accept_recovery() is None
    assert same(document.procedure, before.procedure) and document.dirty
    assert (document.undo_label, document.redo_label) == ("Add step 3", "Change the purpose")
    document.redo()
    assert document.procedure.purpose == "Other"
    assert isinstance(document.save(), Saved)
    document.close()
    last = open_document(tmp_path / "guard")
    assert last.recovery is None
    last.close()


def test_work_that_was_taken_in_is_offered_again_until_it_is_saved(tmp_path: Path) -> None:
    left_behind(tmp_path / "guard")
    document = open_document(tmp_path / "guard")
    document.accept_recovery()
    document.do(SetField(("note",), "More"))
    document.close()
    again = open_document(tmp_path / "guard")
    assert again.recovery is not None and again.recovery.gestures == 5
    again.accept_recovery()
    assert again.procedure.note == "More" and again.procedure.title == "New"
    again.close()


@pytest.mark.parametrize("by_going_on", [False, True])
def test_work_that_is_declined_is_kept_aside(tmp_path: Path, by_going_on: bool) -> None:
    left_behind(tmp_path / "guard")
    document = open_document(tmp_path / "guard")
    kept = journal_path(document.file).read_bytes()
    if by_going_on:
        document.do(SetField(TITLE, "Another"))
    else:
        document.decline_recovery()
    assert document.recovery is None
    aside = list(journal_path(document.file).parent.glob("*.aside-*.journal"))
    assert [path.read_bytes() == kept for path in aside] == [True]
    document.close()
    again = open_document(tmp_path / "guard")
    assert (again.recovery is not None) is by_going_on
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(recovering, "ASIDE_DAYS", -1)
        again.close()
        open_document(tmp_path / "guard").close()
    assert not list(journal_path(document.file).parent.glob("*.aside-*.journal"))


def test_old_work_that_is_declined_is_still_there_the_next_day(tmp_path: Path) -> None:
    left_behind(tmp_path / "guard")
    journal = journal_path(tmp_path / "guard" / "procedure.yaml")
    os.utime(journal, (1, 1))
    document = open_document(tmp_path / "guard")
    document.decline_recovery()
    document.close()
    open_document(tmp_path / "guard").close()
    assert len(list(journal.parent.glob("*.aside-*.journal"))) == 1


def change_by_hand(document: OpenDocument, old: str, new: str) -> None:
    text = document.file.read_text()
    assert old in text
    document.file.write_text(text.replace(old, new))


def test_work_on_a_file_that_has_changed_is_brought_together(tmp_path: Path) -> None:
    before = left_behind(tmp_path / "guard")
    change_by_hand(before, "name: Bench drill BD-2", "name: Bench drill BD-3")
    document = open_document(tmp_path / "guard")
    assert document.recovery is not None and not document.recovery.same_base
    found = document.accept_recovery()
    assert found is not None and found.procedure is document.procedure
    assert (document.procedure.title, document.procedure.unit.name) == ("New", "Bench drill BD-3")
    assert document.undo_label == "Taken in from the file"
    document.undo()
    assert document.procedure.unit.name == "Bench drill BD-2"
    document.redo()
    document.close()
    again = open_document(tmp_path / "guard")
    assert again.recovery is not None and again.recovery.same_base, "the file is known by now"
    again.accept_recovery()
    assert same(again.procedure, document.procedure)
    assert isinstance(again.save(), Saved)
    again.close()


def test_work_that_clashes_with_the_file_is_told(tmp_path: Path) -> None:
    before = left_behind(tmp_path / "guard")
    change_by_hand(before, "title: Refit a belt guard", "title: Theirs")
    document = open_document(tmp_path / "guard")
    found = document.accept_recovery()
    assert found is not None and found.procedure is None
    assert [conflict.what for conflict in found.conflicts] == ["title"]
    assert document.recovery is not None and document.procedure.title == "Theirs"
    document.accept_recovery(prefer="mine")
    assert document.procedure.title == "New" and document.recovery is None
    document.close()


def test_work_that_is_in_the_file_is_not_offered(tmp_path: Path) -> None:
    """As after a run that was killed between its save and the end of its journal."""
    document = guard(tmp_path / "guard")
    document.do(SetField(TITLE, "New"))
    assert document._journal is not None and document._journal.flush()
    document.saving().run()  # and never taken in
    document._hold.release()
    again = open_document(tmp_path / "guard")
    assert again.recovery is None and again.procedure.title == "New"
    assert not journal_path(again.file).exists()
    again.close()
    document.close(discard=True)


def test_what_was_saved_is_undone_and_done_again_after_a_recovery(tmp_path: Path) -> None:
    document = guard(tmp_path / "guard")
    document.do(SetField(TITLE, "New"))
    document.do(SetField(("purpose",), "Other"))
    document.save()
    document.undo()
    document.close()
    again = open_document(tmp_path / "guard")
    assert again.recovery is not None
    again.accept_recovery()
    assert again.procedure.purpose != "Other" and again.redo_label == "Change the purpose"
    again.redo()
    assert again.procedure.purpose == "Other" and not again.dirty
    again.undo()
    assert again.procedure.purpose != "Other"
    again.close()


@pytest.mark.parametrize(
    "garbage", [b"nonsense\n" * 9, b"00000002 0000beef {}\n", b"\0" * 99 + b"\n"]
)
def test_notes_that_cannot_be_read_are_told_and_kept_aside(tmp_path: Path, garbage: bytes) -> None:
    first = guard(tmp_path / "guard")
    first.close()
    path = journal_path(first.file)
    path.write_bytes(garbage)
    document = open_document(tmp_path / "guard")
    assert document.recovery is not None and document.recovery.problem
    with pytest.raises(InputError, match="damaged"):
        document.accept_recovery()
    document.decline_recovery()
    document.do(SetField(TITLE, "New"))
    assert [p.read_bytes() == garbage for p in path.parent.glob("*.aside-*")] == [True]
    document.close(discard=True)


def test_the_notes_of_another_file_are_not_taken(tmp_path: Path) -> None:
    one, other = left_behind(tmp_path / "one"), guard(tmp_path / "two")
    other.close()
    journal_path(one.file).rename(journal_path(other.file))
    document = open_document(tmp_path / "two")
    assert document.recovery is not None and document.recovery.problem
    document.close()


def test_a_record_torn_off_by_a_kill_is_left_out(tmp_path: Path) -> None:
    before = left_behind(tmp_path / "guard")
    path = journal_path(before.file)
    path.write_bytes(path.read_bytes()[:-20])
    document = open_document(tmp_path / "guard")
    assert document.recovery is not None
    assert (document.recovery.gestures, document.recovery.damaged) == (3, True)
    document.accept_recovery()
    assert document.procedure.purpose == "Other"
    document.do(SetField(("note",), "On"))
    document.close()
    again = open_document(tmp_path / "guard")
    assert again.recovery is not None and not again.recovery.damaged
    assert again.recovery.gestures == 4
    again.close()


def test_without_a_place_for_notes_work_goes_on(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "no-folder").write_text("")
    monkeypatch.setenv("REELWRIGHT_STATE", str(tmp_path / "no-folder"))
    document = guard(tmp_path / "guard")
    document.do(SetField(TITLE, "New"))
    assert document._journal is not None and document._journal.flush()
    assert document.journal_problem
    assert isinstance(document.save(), Saved)
    document.close()
