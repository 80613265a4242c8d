"""The journal: whole records or none, a disk that fails, and garbage that is not trusted."""

import json
from pathlib import Path
from typing import Any, BinaryIO, cast

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from author import storage
from author.editing import (
    AddSection,
    AddStep,
    OpenDocument,
    RemoveSection,
    SetField,
    journal,
    open_document,
)
from author.editing.journal_file import (
    framed,
    header,
    journal_path,
    read_journal,
    state_folder,
)
from author.editing.records import rebuild
from author.editing.saving import text_of
from author.errors import InputError
from editing.opened import EVERYTHING, guard, same

TITLE = ("title",)


def worked_on(folder: Path) -> tuple[OpenDocument, Path]:
    """A document with three gestures, and its journal."""
    document = guard(folder)
    document.do(SetField(TITLE, "New"))
    document.do(AddStep("Do more."))
    document.undo()
    assert document._journal is not None and document._journal.flush()
    return document, journal_path(document.file)


def test_a_journal_is_private_and_begins_with_the_first_gesture(tmp_path: Path) -> None:
    document = guard(tmp_path / "guard")
    assert document._journal is not None and document._journal.flush()
    path = journal_path(document.file)
    assert path.is_relative_to(state_folder()) and not path.exists()
    document.do(SetField(TITLE, "New"))
    assert document._journal.flush()
    assert path.stat().st_mode & 0o777 == 0o600
    assert path.parent.stat().st_mode & 0o777 == 0o700
    document.close(discard=True)
    assert not path.exists()


def test_a_gesture_takes_few_bytes(tmp_path: Path) -> None:
    document, path = worked_on(tmp_path / "guard")
    before = path.stat().st_size
    document.do(SetField(("steps", "guard-on", "action"), "Clip it on."))
    assert document._journal is not None and document._journal.flush()
    assert path.stat().st_size - before < 400
    document.close()


def test_cut_off_anywhere_the_records_before_are_whole(tmp_path: Path) -> None:
    document, path = worked_on(tmp_path / "guard")
    data = path.read_bytes()
    ends = [0]
    for frame in read_journal(data).frames:
        ends.append(ends[-1] + len(frame))
    for cut in (*range(ends[1], len(data)), *range(0, ends[1], 97)):
        if cut < ends[1]:
            with pytest.raises(InputError):
                read_journal(data[:cut])
            continue
        found = read_journal(data[:cut])
        assert len(found.records) == sum(end <= cut for end in ends[2:])
        assert found.damaged is (cut not in ends)
    document.close()


def test_one_wrong_byte_ends_a_journal_before_it(tmp_path: Path) -> None:
    document, path = worked_on(tmp_path / "guard")
    data = path.read_bytes()
    first = len(read_journal(data).frames[0])
    for at in range(first, len(data), 3):
        broken = bytearray(data)
        broken[at] ^= 0x20
        found = read_journal(bytes(broken))
        assert found.damaged
        rebuild(found, document.file)
    document.close()


@given(st.binary(max_size=200))
def test_garbage_is_no_journal(data: bytes) -> None:
    with pytest.raises(InputError):
        read_journal(data)


values = st.none() | st.booleans() | st.integers() | st.text(max_size=5) | st.floats()
record = st.dictionaries(
    st.sampled_from(["act", "label", "was", "now", "when", "patch", "merge", "extends", "sha256"]),
    values
    | st.sampled_from(["do", "undo", "redo", "file", "2026-03-31T14:05:00+01:00", {}, [], [1, {}]])
    | st.dictionaries(st.sampled_from(["title", "parts"]), st.just({"to": "x"})),
)


@settings(max_examples=60)
@example([], {"bound": 2**63})
@given(
    st.lists(record, max_size=4),
    st.dictionaries(st.sampled_from(["bound", "when", "file"]), values),
)
def test_records_that_make_no_sense_are_left_out(
    records: list[dict[str, Any]], head: dict[str, Any]
) -> None:
    file = Path("/nowhere/procedure.yaml")
    data = EXAMPLE
    first = header(file, data, storage_digest(data), 10, "2026-03-31T14:05:00+01:00") | head
    found = read_journal(b"".join(framed(entry) for entry in (first, *records)))
    try:
        made = rebuild(found, file)
    except InputError:
        return
    assert made.state.procedure.id == "belt-guard"


def storage_digest(data: bytes) -> str:
    from hashlib import sha256

    return sha256(data).hexdigest()


def _example() -> bytes:
    from document.samples import changed, filmed, load

    return load(changed(filmed)).text().encode()


EXAMPLE = _example()


@pytest.mark.parametrize("base", ["", "AAAA", "====", 7, None, "x" * 100])
def test_a_base_that_is_damaged_is_refused(base: Any) -> None:
    file = Path("/nowhere/procedure.yaml")
    first = {**header(file, EXAMPLE, "0" * 64, 10, "x"), "base": base}
    with pytest.raises(InputError):
        read_journal(framed(first)).base()


def test_a_base_that_unpacks_to_no_end_is_refused() -> None:
    import base64
    import zlib

    bomb = base64.b64encode(zlib.compress(bytes(80_000_000), 9)).decode()
    assert len(bomb) < 200_000
    first = {**header(Path("x"), b"", "0" * 64, 10, "x"), "base": bomb}
    with pytest.raises(InputError):
        read_journal(framed(first)).base()


class Fault:
    """Lets the disk be full at one step, or from then on."""

    def __init__(self, at: int, *, for_good: bool = False) -> None:
        self.left, self.for_good = at, for_good

    def __call__(self, what: str, path: Path) -> None:
        self.left -= 1
        if self.left == 0 or (self.for_good and self.left < 0):
            raise OSError(28, "No space left on device")


@pytest.mark.parametrize("step", range(1, 10))
def test_a_disk_that_fails_once_costs_no_gesture(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, step: int
) -> None:
    document = guard(tmp_path / "guard")
    fault = Fault(step)
    monkeypatch.setattr(journal, "before_step", fault)
    monkeypatch.setattr(storage, "before_step", fault)
    for number in range(6):
        document.do(SetField(TITLE, f"Title {number}"))
        assert document._journal is not None and document._journal.flush()
    assert fault.left <= 0, "the fault has happened"
    assert document.journal_problem is None
    document.close()
    again = open_document(tmp_path / "guard")
    assert again.recovery is not None and again.recovery.gestures == 6
    assert not again.recovery.damaged
    again.accept_recovery()
    assert same(again.procedure, document.procedure)
    again.close()


class AlmostFull:
    """A file whose disk takes a few bytes of what is written, then no more until room is made."""

    def __init__(self, file: Any) -> None:
        self.file, self.room = file, 10

    def write(self, data: Any) -> int:
        taken = self.file.write(data[: self.room])
        self.room -= taken
        return int(taken)

    def __getattr__(self, name: str) -> Any:
        return getattr(self.file, name)


def test_a_record_of_which_the_disk_took_a_part_is_written_anew(tmp_path: Path) -> None:
    """A full disk takes what it has room for, and says no only to the next write."""
    document = guard(tmp_path / "guard")
    kept = document._journal
    assert kept is not None
    document.do(SetField(TITLE, "Title 0"))
    assert kept.flush()
    kept._stream = cast("BinaryIO", AlmostFull(kept._stream))
    for number in range(1, 4):
        document.do(SetField(TITLE, f"Title {number}"))
    assert kept.flush() and document.journal_problem is None
    document.close()
    again = open_document(tmp_path / "guard")
    assert again.recovery is not None and again.recovery.gestures == 4
    again.close()


def test_a_disk_that_stays_full_is_told_and_stops_nobody(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    document = guard(tmp_path / "guard")
    full = Fault(1, for_good=True)
    with monkeypatch.context() as patch:
        patch.setattr(journal, "before_step", full)
        patch.setattr(storage, "before_step", full)
        for number in range(3):
            document.do(SetField(TITLE, f"Title {number}"))
        assert document._journal is not None and document._journal.flush()
        assert document.journal_problem == "the disk is full"
    document.do(SetField(TITLE, "At last"))
    assert document._journal.flush() and document.journal_problem is None
    document.close()
    again = open_document(tmp_path / "guard")
    assert again.recovery is not None and again.recovery.gestures == 4
    again.close()


def test_a_record_that_cannot_be_written_stops_no_later_one(tmp_path: Path) -> None:
    document, path = worked_on(tmp_path / "guard")
    kept = document._journal
    assert kept is not None
    kept.append({"what": object()})
    assert kept.flush()
    assert kept.problem is not None
    document.do(AddStep("Do this too."))
    assert kept.flush()
    assert b"Do this too." in path.read_bytes()


def test_records_are_plain_json_lines(tmp_path: Path) -> None:
    document, path = worked_on(tmp_path / "guard")
    lines = path.read_bytes().splitlines()
    assert len(lines) == 4
    assert [json.loads(line[18:]).get("act") for line in lines] == [None, "do", "do", "undo"]
    document.close()


def test_comments_of_a_gesture_are_found_again_where_they_went(tmp_path: Path) -> None:
    plain = EVERYTHING.read_text(encoding="utf-8")
    file = tmp_path / "procedure.yaml"
    file.write_text(plain.replace("\n  - id: ", "\n  # of it\n  - id: "), encoding="utf-8")
    document = open_document(file)
    with document.gesture("A section in place of another"):
        document.do(AddSection("Undo the nut."))
        document.do(RemoveSection(document.procedure.sections[0].id))
    assert document._journal is not None and document._journal.flush()
    found = rebuild(read_journal(journal_path(file).read_bytes()), file)
    assert text_of(found.state, file) == text_of(document._state, file)
    document.close()
