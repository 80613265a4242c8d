"""A procedure taken out of the library remembers what it was taken from."""

from __future__ import annotations

import errno
import json
import shutil
from pathlib import Path

import pytest

from author.contract import read_procedure
from author.errors import InputError, MachineError
from author.library.shelves import shelving
from author.library.shelves.bases import BASE_FILE
from author.library.shelves.shelving import shelve
from author.library.shop import Shop, new_shop
from author.library.signing.manifest import with_state
from author.storage import file_sha256
from author.tasks import library_taking
from author.tasks.library_shelves import shelve_folders
from author.tasks.library_taking import take

from .shops import action, procedure, put


@pytest.fixture
def shop(tmp_path: Path) -> Shop:
    made = new_shop(tmp_path / "shop", "Demo shop")
    folder = tmp_path / "first"
    put(folder, procedure("tank-lid", "Refit the red lid"))
    (folder / "media").mkdir()
    (folder / "media" / "step.jpg").write_bytes(b"picture")
    shelve(made, folder)
    return made


def names(folder: Path) -> set[str]:
    return {one.relative_to(folder).as_posix() for one in folder.rglob("*") if one.is_file()}


def test_a_copy_has_every_file_and_comes_back_as_it_was(shop: Shop, tmp_path: Path) -> None:
    done = take(shop.folder, "tank-lid", tmp_path / "desk")
    assert (done.did, done.procedure.revision, done.notes) == ("new", 1, ())
    assert names(tmp_path / "desk") == {"procedure.yaml", "media/step.jpg", BASE_FILE}
    assert shelve(shop, tmp_path / "desk").did == "same"
    put(tmp_path / "desk", procedure("tank-lid", "Refit the tan lid"))
    assert shelve(shop, tmp_path / "desk").did == "changed"
    assert names(shop.place_of("tank-lid")) == {"procedure.yaml", "media/step.jpg"}


def test_an_unchanged_copy_is_brought_up_to_date(shop: Shop, tmp_path: Path) -> None:
    desk, other = tmp_path / "desk", tmp_path / "other"
    for folder in (desk, other):
        take(shop.folder, "tank-lid", folder)
    (desk / "own.txt").write_text("stays")
    put(other, procedure("tank-lid", "Refit the tan lid"))
    (other / "media" / "new.jpg").write_bytes(b"new")
    shelve(shop, other)
    assert take(shop.folder, "tank-lid", desk).did == "renewed"
    assert names(desk) == {
        "procedure.yaml",
        "media/step.jpg",
        "media/new.jpg",
        "own.txt",
        BASE_FILE,
    }
    assert read_procedure(desk).procedure.title == "Refit the tan lid"
    assert take(shop.folder, "tank-lid", desk).did == "same"
    assert shelve(shop, desk).did == "changed"  # its own note is new to the library
    put(desk, procedure("tank-lid", "Refit the lid"))
    with pytest.raises(InputError, match="changed since"):
        take(shop.folder, "tank-lid", desk)


def test_what_is_settled_says_to_count_up(shop: Shop, tmp_path: Path) -> None:
    stored = shop.place_of("tank-lid") / "procedure.yaml"
    stored.write_bytes(with_state(stored.read_bytes(), "approved") or b"")
    (note,) = take(shop.folder, "tank-lid", tmp_path / "desk").notes
    assert "count the revision up to 2" in note
    put(tmp_path / "desk", procedure("tank-lid", "Refit the tan lid"))
    with pytest.raises(InputError, match="approved in the library"):
        list(shelve_folders(shop.folder, [tmp_path / "desk"], replace=True))
    put(tmp_path / "desk", procedure("tank-lid", "Refit the tan lid", revision=2))
    assert shelve(shop, tmp_path / "desk").did == "next"


def test_wrong_calls_leave_no_folder(shop: Shop, tmp_path: Path) -> None:
    with pytest.raises(InputError, match="no procedure 'tank'"):
        take(shop.folder, "tank", tmp_path / "desk")
    with pytest.raises(InputError, match="lies in the library"):
        take(shop.folder, "tank-lid", shop.folder / "desk")
    (tmp_path / "used").mkdir()
    (tmp_path / "used" / "note.txt").write_text("mine")
    with pytest.raises(InputError, match="in use"):
        take(shop.folder, "tank-lid", tmp_path / "used")
    assert not (tmp_path / "desk").exists()
    assert [one.name for one in tmp_path.iterdir() if one.name.startswith(".")] == []


def test_no_note_and_another_draft_is_refused_or_put_aside(shop: Shop, tmp_path: Path) -> None:
    folder = tmp_path / "elsewhere"
    put(folder, procedure("tank-lid", "Refit the blue lid"))
    with pytest.raises(InputError, match="does not say what it was taken from") as told:
        list(shelve_folders(shop.folder, [folder]))
    assert "library take" in told.value.remedy
    assert not (folder / BASE_FILE).exists()
    (done,) = shelve_folders(shop.folder, [folder], replace=True)
    assert done.did == "replaced"
    place = shop.place_of("tank-lid")
    kept = place / "revisions" / "1-replaced-1"
    assert read_procedure(place).procedure.title == "Refit the blue lid"
    assert read_procedure(kept).procedure.title == "Refit the red lid"
    assert (kept / "media" / "step.jpg").read_bytes() == b"picture"
    (folder / BASE_FILE).unlink()
    put(folder, procedure("tank-lid", "Refit the grey lid"))
    list(shelve_folders(shop.folder, [folder], replace=True))
    assert (place / "revisions" / "1-replaced-2" / "procedure.yaml").exists()


@pytest.mark.parametrize("spoil", ["cut", "other", "gone"])
def test_a_note_that_cannot_be_believed_is_no_note(shop: Shop, tmp_path: Path, spoil: str) -> None:
    take(shop.folder, "tank-lid", tmp_path / "desk")
    note = tmp_path / "desk" / BASE_FILE
    if spoil == "cut":
        note.write_bytes(note.read_bytes()[:-40])
    elif spoil == "other":
        note.write_text(note.read_text().replace("red lid", "rot lid"))
    else:
        note.unlink()
    put(tmp_path / "desk", procedure("tank-lid", "Refit the blue lid", action("Undo it.")))
    with pytest.raises(InputError, match="does not say what it was taken from"):
        list(shelve_folders(shop.folder, [tmp_path / "desk"]))


@pytest.mark.parametrize(
    "name",
    ["../victim.txt", "media/../../victim.txt", "/victim.txt", "media\\\\..\\\\victim.txt", "C:x"],
)
def test_a_note_that_names_files_outside_is_no_note(shop: Shop, tmp_path: Path, name: str) -> None:
    victim = tmp_path / "victim.txt"
    victim.write_bytes(b"mine")
    take(shop.folder, "tank-lid", tmp_path / "desk")
    note = tmp_path / "desk" / BASE_FILE
    plain = json.loads(note.read_text())
    plain["files"][name] = file_sha256(victim)
    note.write_text(json.dumps(plain))
    put(tmp_path / "again", procedure("tank-lid", "Refit the blue lid"))
    list(shelve_folders(shop.folder, [tmp_path / "again"], replace=True))
    with pytest.raises(InputError, match="in use"):
        take(shop.folder, "tank-lid", tmp_path / "desk")
    assert victim.read_bytes() == b"mine"


def test_a_folder_that_is_a_link_is_not_written_through(shop: Shop, tmp_path: Path) -> None:
    take(shop.folder, "tank-lid", tmp_path / "desk")
    (tmp_path / "desk" / "media").rename(tmp_path / "elsewhere")
    (tmp_path / "desk" / "media").symlink_to(tmp_path / "elsewhere")
    put(tmp_path / "again", procedure("tank-lid", "Refit the blue lid"))
    list(shelve_folders(shop.folder, [tmp_path / "again"], replace=True))
    with pytest.raises(InputError, match="link to a folder"):
        take(shop.folder, "tank-lid", tmp_path / "desk")
    assert (tmp_path / "elsewhere" / "step.jpg").read_bytes() == b"picture"


def test_a_desk_that_cannot_be_written_says_nothing(shop: Shop, tmp_path: Path) -> None:
    folder = tmp_path / "desk"
    put(folder, procedure("drum-seal"))
    (folder / BASE_FILE).mkdir()  # nothing can be put in its place
    assert shelve(shop, folder).did == "new"
    shutil.rmtree(folder)


@pytest.mark.parametrize("renewed", [False, True])
def test_a_disk_that_fills_up_at_any_step_loses_nothing(
    shop: Shop, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, *, renewed: bool
) -> None:
    desk, other = tmp_path / "desk", tmp_path / "other"
    for fatal in range(1, 50):
        if renewed:
            shutil.rmtree(desk, ignore_errors=True)
            take(shop.folder, "tank-lid", desk)
            shutil.rmtree(other, ignore_errors=True)
            take(shop.folder, "tank-lid", other)
            put(other, procedure("tank-lid", f"Refit lid {fatal}"))
            (other / "media" / "step.jpg").write_bytes(b"picture %d" % fatal)
            (other / "media" / "more.jpg").write_bytes(b"more %d" % fatal)
            shelve(shop, other)
        left = fatal

        def full(_what: str, path: Path) -> None:
            nonlocal left
            left -= 1
            if not left:
                raise OSError(errno.ENOSPC, "No space left on device", str(path))

        monkeypatch.setattr(library_taking, "before_step", full)
        monkeypatch.setattr(shelving, "before_step", full)
        try:
            take(shop.folder, "tank-lid", desk)
        except MachineError:
            monkeypatch.undo()
            assert [one.name for one in tmp_path.iterdir() if one.name.startswith(".")] == []
            if not renewed:
                assert not desk.exists()
                continue
            (again,) = shelve_folders(shop.folder, [desk])  # half of it is the library's by now
            assert again.did == "same"
            take(shop.folder, "tank-lid", desk)
        else:
            monkeypatch.undo()
            break
    assert fatal > 4
    shelf = shop.place_of("tank-lid")
    assert names(desk) == {*names(shelf), BASE_FILE}
    assert all((desk / name).read_bytes() == (shelf / name).read_bytes() for name in names(shelf))


def test_a_new_library_says_what_is_not_for_a_version_store(tmp_path: Path) -> None:
    made = new_shop(tmp_path / "new", "Demo shop").folder / ".gitignore"
    assert {"/.index/", "/.accounts/", "/.lock", "*.lock"} <= set(made.read_text().splitlines())
    (tmp_path / "own").mkdir()
    (tmp_path / "own" / ".gitignore").write_text("mine\n")
    new_shop(tmp_path / "own", "Demo shop")
    assert (tmp_path / "own" / ".gitignore").read_text() == "mine\n"
