"""The file is written whole, with its comments, and never over what another has written."""

from pathlib import Path

import pytest
from document.samples import changed, filmed, load

from author import storage
from author.editing import (
    AddSection,
    Changed,
    MoveSteps,
    OpenDocument,
    RemoveSteps,
    Rename,
    Saved,
    SetField,
    WouldDrop,
    open_document,
)
from author.editing.journal_file import journal_path
from author.errors import InputError, MachineError
from editing.opened import guard, read, same

TITLE = ("title",)
PLAIN = load(changed(filmed)).text()
COMMENTED = (
    "# Ask before you change this.\n"
    + PLAIN.replace("      - id: guard-on", "      # The gap first.\n      - id: guard-on")
    .replace("          - id: gap", "          # From the card.\n          - id: gap")
    .replace("chains: none", "# Nothing here\nchains: none")
    + "# The end.\n"
)


def after(text: str, comment: str) -> str:
    """The line a comment stands before."""
    lines = text.splitlines()
    return lines[lines.index(next(line for line in lines if comment in line)) + 1].strip()


def test_saving_writes_canonical_text_and_ends_the_journal(tmp_path: Path) -> None:
    document = guard(tmp_path / "guard")
    document.do(SetField(TITLE, "New"))
    assert document._journal is not None and document._journal.flush()
    assert journal_path(document.file).exists()
    assert isinstance(document.save(), Saved)
    assert not document.dirty and document.can_undo
    assert read(document.file).title == "New"
    assert document._journal.flush()
    assert not journal_path(document.file).exists()
    document.undo()
    assert document.dirty, "what was saved can be undone"
    assert document.save() and read(document.file).title != "New"
    document.close()


def test_comments_stay_with_what_they_stand_before(tmp_path: Path) -> None:
    document = guard(tmp_path / "guard", COMMENTED)
    document.save()
    assert (document.file.read_text() == COMMENTED) is True, "writing what was read changes nothing"
    document.do(MoveSteps(("guard-on",), before="guard-off"))
    document.do(Rename(("steps", "guard-on"), "guard-back"))
    document.do(SetField(("steps", "guard-back", "specs", "gap", "upper"), "7"))
    document.do(Rename(("steps", "guard-back", "specs", "gap"), "gap-width"))
    document.save()
    text = document.file.read_text()
    assert after(text, "# The gap first.") == "- id: guard-back"
    assert after(text, "# From the card.") == "- id: gap-width"
    assert after(text, "# Nothing here") == "chains: none"
    assert text.startswith("# Ask before") and text.endswith("# The end.\n")
    while document.can_undo:
        document.undo()
    document.save()
    assert (document.file.read_text() == COMMENTED) is True
    document.close()


def test_comments_go_with_a_step_to_another_section(tmp_path: Path) -> None:
    document = guard(tmp_path / "guard", COMMENTED)
    document.do(AddSection("Closing"))
    document.do(MoveSteps(("guard-on",), section="closing"))
    document.do(SetField(("steps", "guard-on", "action"), "Clip it on."))
    document.save()
    text = document.file.read_text()
    assert text.index("id: closing") < text.index("# The gap first.")
    assert after(text, "# The gap first.") == "- id: guard-on"
    assert after(text, "# From the card.") == "- id: gap"
    document.close()


def test_a_comment_on_what_is_removed_moves_to_what_held_it_and_back(tmp_path: Path) -> None:
    document = guard(tmp_path / "guard", COMMENTED)
    document.do(RemoveSteps(("guard-on",)))
    document.save()
    assert after(document.file.read_text(), "# From the card.") == "steps:"
    document.undo()
    document.save()
    assert (document.file.read_text() == COMMENTED) is True
    document.close()


def test_comments_that_would_be_lost_are_told_first(tmp_path: Path) -> None:
    text = PLAIN.replace("revision: 1", "revision: 1  # the first")
    document = guard(tmp_path / "guard", text)
    document.do(SetField(TITLE, "New"))
    result = document.save()
    line = 1 + PLAIN[: PLAIN.index("revision: 1")].count("\n")
    assert result == WouldDrop((line,))
    assert document.dirty and (document.file.read_text() == text) is True
    assert isinstance(document.save(drop_comments=True), Saved)
    document.do(SetField(TITLE, "Newer"))
    assert isinstance(document.save(), Saved), "they are gone now"
    document.close()


def write_by_hand(document: OpenDocument, *changes: tuple[str, str]) -> str:
    text = document.file.read_text()
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    document.file.write_text(text)
    return text


def test_a_file_another_has_changed_is_not_written_over(tmp_path: Path) -> None:
    document = guard(tmp_path / "guard", COMMENTED)
    document.do(SetField(("purpose",), "Mine"))
    theirs = write_by_hand(
        document, ("title: Refit a belt guard", "title: Theirs"), ("# The end.", "# Ended.")
    )
    result = document.save()
    assert isinstance(result, Changed)
    assert (document.file.read_text() == theirs) is True
    assert document.take_in(result).procedure is not None
    assert (document.procedure.title, document.procedure.purpose) == ("Theirs", "Mine")
    assert document.undo_label == "Taken in from the file"
    assert document.dirty
    assert isinstance(document.save(), Saved)
    assert "# Ended." in document.file.read_text()
    document.undo()
    assert (document.procedure.title, document.procedure.purpose) == ("Refit a belt guard", "Mine")
    document.save()
    assert "# Ended." in document.file.read_text(), "comments are those of the file"
    document.close()


def test_what_both_have_changed_is_refused_and_named(tmp_path: Path) -> None:
    document = guard(tmp_path / "guard")
    document.do(SetField(TITLE, "Mine"))
    document.do(SetField(("steps", "guard-on", "specs", "gap", "upper"), "6.10"))
    write_by_hand(document, ("title: Refit a belt guard", "title: Theirs"), ('"6.00"', '"6.20"'))
    result = document.check_file()
    assert result is not None
    merge = document.take_in(result)
    assert merge.procedure is None and document.procedure.title == "Mine"
    assert [str(conflict) for conflict in merge.conflicts] == [
        "title: here 'Mine', in the file 'Theirs'",
        "limits of measurement “Gap to the pulley” of step 2: here '6.10', in the file '6.20'",
    ]
    assert document.take_in(result, prefer="theirs").procedure is not None
    assert document.procedure.title == "Theirs" and not document.dirty
    document.undo()
    assert document.procedure.title == "Mine"
    assert isinstance(document.save(), Saved), "the file is known now"
    document.close()


def test_a_look_at_the_file_is_cheap_and_sees_only_other_bytes(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    document = guard(tmp_path / "guard")
    with monkeypatch.context() as patch:
        patch.setattr("author.editing.saving.read_bytes", lambda _file: pytest.fail("was read"))
        assert document.check_file() is None
    data = document.file.read_bytes()
    document.file.write_bytes(data)
    assert document.check_file() is None, "the same bytes, written again"
    document.file.write_bytes(data + b"# more\n")
    found = document.check_file()
    assert found is not None and found.merge.procedure is not None
    document.take_in(found)
    assert document.check_file() is None and not document.can_undo
    document.save()
    assert document.file.read_bytes().endswith(b"# more\n")
    document.close()


def test_a_file_that_is_broken_or_gone_is_told(tmp_path: Path) -> None:
    document = guard(tmp_path / "guard")
    document.do(SetField(TITLE, "Mine"))
    document.file.write_text("title: [")
    broken = document.check_file()
    assert broken is not None and broken.theirs is None and broken.problem is not None
    with pytest.raises(InputError):
        document.take_in(broken)
    assert isinstance(document.save(), Changed)
    document.file.unlink()
    gone = document.check_file()
    assert gone is not None and gone.stamp is None
    assert isinstance(document.save(), Saved), "nothing is there to be written over"
    assert read(document.file).title == "Mine"
    document.close()


def test_what_is_done_while_a_save_runs_is_not_lost(tmp_path: Path) -> None:
    document = guard(tmp_path / "guard")
    document.do(SetField(TITLE, "Saved"))
    job = document.saving()
    document.do(SetField(("purpose",), "Meanwhile"))
    document.saved(job.run())
    assert read(document.file).title == "Saved"
    assert document.dirty
    document.close()
    again = open_document(tmp_path / "guard")
    assert again.recovery is not None and again.recovery.labels == ("Change the purpose",)
    assert again.recovery.same_base
    again.accept_recovery()
    assert (again.procedure.title, again.procedure.purpose) == ("Saved", "Meanwhile")
    again.close()


def test_a_full_disk_leaves_file_and_document_as_they_were(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    document = guard(tmp_path / "guard")
    before = document.file.read_bytes()
    document.do(SetField(TITLE, "New"))

    def full(what: str, where: Path) -> None:
        if what == "rename":
            raise OSError(28, "No space left on device")

    with monkeypatch.context() as patch:
        patch.setattr(storage, "before_step", full)
        with pytest.raises(MachineError, match="disk is full"):
            document.save()
    assert document.file.read_bytes() == before and document.dirty
    assert isinstance(document.save(), Saved)
    document.close()


def test_a_copy_is_another_file(tmp_path: Path) -> None:
    document = guard(tmp_path / "guard")
    document.do(SetField(TITLE, "New"))
    document.save_copy(tmp_path / "copy.yaml")
    assert same(read(tmp_path / "copy.yaml"), document.procedure)
    assert document.dirty
    document.close()


def test_a_save_that_ends_after_the_window_was_closed_begins_no_journal(tmp_path: Path) -> None:
    document = guard(tmp_path / "guard")
    document.do(SetField(TITLE, "New"))
    job = document.saving()
    document.close()
    document.saved(job.run())
    again = open_document(tmp_path / "guard")
    assert again.recovery is None and again.procedure.title == "New"
    again.close()
