"""A procedure folder is in the library whole or not at all, whatever happens on the way."""

from __future__ import annotations

import errno
import os
from collections.abc import Callable
from pathlib import Path

import pytest

from author import storage
from author.contract import read_procedure
from author.errors import InputError, MachineError
from author.library.index import database, indexing, postgres_store, sqlite_store
from author.library.index.database import Index
from author.library.index.indexing import refresh
from author.library.shelves import shelving
from author.library.shelves.shelving import shelve
from author.library.shop import Shop, new_shop, revision_files
from author.library.signing.manifest import with_state
from author.tasks.library_shelves import reindex

from .killing import killed
from .shops import Plain, content, empty_shop, found, ids, looked_over, procedure, put

SEAMS = (storage, shelving, indexing, database, sqlite_store, postgres_store)


@pytest.fixture
def shop(tmp_path: Path) -> Shop:
    return new_shop(tmp_path / "shop", "Demo shop")


def desk(tmp_path: Path, plain: Plain) -> Path:
    """A procedure folder on its author's desk, with a picture and a note beside it."""
    folder = tmp_path / "desk" / plain["id"]
    put(folder, plain)
    (folder / "media").mkdir(exist_ok=True)
    (folder / "media" / "step.jpg").write_bytes(f"picture {plain['revision']}".encode())
    (folder / "note.txt").write_text("a note of the author")
    return folder


def names(folder: Path) -> set[str]:
    return {one.relative_to(folder).as_posix() for one in folder.rglob("*") if one.is_file()}


def test_the_folder_is_copied_as_it_is_but_for_what_is_hidden(shop: Shop, tmp_path: Path) -> None:
    folder = desk(tmp_path, procedure("tank-lid"))
    (folder / ".tank-lid.lock").write_text("")
    done = shelve(shop, folder)
    assert (done.did, done.before) == ("new", None)
    assert names(done.folder) == {"procedure.yaml", "media/step.jpg", "note.txt"}
    assert (done.folder / "procedure.yaml").read_bytes() == (folder / "procedure.yaml").read_bytes()
    assert shelve(shop, folder / "procedure.yaml").did == "same"
    assert (folder / "procedure.yaml").stat().st_ino != (
        done.folder / "procedure.yaml"
    ).stat().st_ino  # what the author does to it later must not reach the library


def test_the_revision_before_is_kept_and_superseded(shop: Shop, tmp_path: Path) -> None:
    shelve(shop, desk(tmp_path, procedure("tank-lid", "Refit the red lid")))
    place = shop.place_of("tank-lid")
    (place / "signatures").mkdir()
    (place / "signatures" / "0001-authored.json").write_text("{}")
    second = desk(tmp_path, procedure("tank-lid", "Refit the tan lid", revision=2))
    (second / "signatures").mkdir()
    (second / "signatures" / "0001-authored.json").write_text("forged")
    done = shelve(shop, second)
    assert (done.did, done.before) == ("next", 1)
    assert names(place) == {
        "procedure.yaml", "media/step.jpg", "note.txt", "signatures/0001-authored.json",
        "revisions/1/procedure.yaml", "revisions/1/media/step.jpg", "revisions/1/note.txt",
    }  # fmt: skip
    assert (place / "signatures" / "0001-authored.json").read_text() == "{}"
    assert (place / "revisions" / "1" / "media" / "step.jpg").read_bytes() == b"picture 1"
    shelve(shop, desk(tmp_path, procedure("tank-lid", "Refit the blue lid", revision=5)))
    assert [number for number, _ in revision_files(place)] == [1, 2]
    assert ids(found(shop, "red lid")) == ["tank-lid"]  # any word: the current one has lid
    older = found(shop, "red", older=True).results
    assert [(one.revision, one.state, one.current) for one in older] == [(1, "superseded", False)]


def test_a_draft_may_change_and_what_is_settled_may_not(shop: Shop, tmp_path: Path) -> None:
    shelve(shop, desk(tmp_path, procedure("tank-lid", "Refit the red lid")))
    (shop.place_of("tank-lid") / "own.txt").write_text("put there in the library")
    done = shelve(shop, desk(tmp_path, procedure("tank-lid", state="approved")))
    assert done.did == "changed"
    assert (done.folder / "own.txt").exists()
    with pytest.raises(InputError, match="approved in the library"):
        shelve(shop, desk(tmp_path, procedure("tank-lid", "Refit the grey lid")))
    shelve(shop, desk(tmp_path, procedure("tank-lid", revision=3)))
    with pytest.raises(InputError, match="library has revision 3"):
        shelve(shop, desk(tmp_path, procedure("tank-lid", revision=2)))


def _outer_link(folder: Path) -> None:
    (folder / "media" / "out.jpg").symlink_to("/etc/hostname")


def _folder_link(folder: Path) -> None:
    (folder / "more").symlink_to("/etc")


def _two_cases(folder: Path) -> None:
    (folder / "media" / "Step.jpg").write_bytes(b"another")


def _pipe(folder: Path) -> None:
    os.mkfifo(folder / "media" / "pipe.jpg")


def _broken(folder: Path) -> None:
    (folder / "procedure.yaml").write_text("schema: procedure/1\n")


@pytest.mark.parametrize("spoil", [_outer_link, _folder_link, _two_cases, _pipe, _broken])
def test_a_folder_that_cannot_be_taken_leaves_the_library_as_it_was(
    shop: Shop, tmp_path: Path, spoil: Callable[[Path], None]
) -> None:
    folder = desk(tmp_path, procedure("tank-lid"))
    spoil(folder)
    with pytest.raises(InputError) as told:
        shelve(shop, folder)
    assert told.value.remedy
    assert told.value.file
    assert list(shop.procedures.iterdir()) == []


def test_other_wrong_calls_say_what_to_do(shop: Shop, tmp_path: Path) -> None:
    (shop.procedures / "Tank-Lid").mkdir()
    with pytest.raises(InputError, match="only in case"):
        shelve(shop, desk(tmp_path, procedure("tank-lid")))
    place = shelve(shop, desk(tmp_path, procedure("drum-seal"))).folder
    with pytest.raises(InputError, match="lies in the library already"):
        shelve(shop, place)
    (place / "procedure.yaml").write_text("schema: procedure/1\n")
    with pytest.raises(InputError, match="damaged"):
        shelve(shop, desk(tmp_path, procedure("drum-seal")))
    inner = desk(tmp_path, procedure("wash-pump"))
    (inner / "again.jpg").symlink_to(inner / "media" / "step.jpg")
    assert (shelve(shop, inner).folder / "again.jpg").read_bytes() == b"picture 1"


def _killed(job: Callable[[], object], fatal: int, *, at_once: bool) -> bool:
    """Run a job in a child that kills itself at a step; return whether it got through."""

    def run() -> None:
        if not at_once:
            shelving.exchange = _in_two  # type: ignore[attr-defined]
        job()

    return killed(SEAMS, run, fatal)


def _in_two(built: Path, target: Path) -> None:
    """As on a file system that cannot exchange, with a step between the two renames."""
    away = built.with_name(f"{built.name}-old")
    if target.exists():
        target.rename(away)
        shelving.before_step("between", target)
    built.rename(target)
    if away.exists():
        away.rename(built)


@pytest.mark.parametrize("at_once", [True, False])
def test_killed_at_any_step_the_library_is_whole(tmp_path: Path, *, at_once: bool) -> None:
    first = desk(tmp_path / "1", procedure("tank-lid", "Refit the red lid"))
    second = desk(tmp_path / "2", procedure("tank-lid", "Refit the tan lid", revision=2))
    fatal = 0
    through = False
    while not through:
        fatal += 1
        shop = new_shop(tmp_path / f"shop{fatal}", "Demo shop")
        shelve(shop, first)
        looked_over(shop)

        def job(shop: Shop = shop) -> None:
            shelve(shop, second)
            refresh(shop, Index(shop), workers=1)

        through = _killed(job, fatal, at_once=at_once)
        place = shop.place_of("tank-lid")
        if place.exists():  # else the next run puts it back
            one = read_procedure(place).procedure.revision
            assert (place / "media" / "step.jpg").read_bytes() == f"picture {one}".encode()
            assert one == 1 or (place / "revisions/1/procedure.yaml").exists()
        shelve(shop, second)
        assert [entry.name for entry in shop.procedures.iterdir()] == ["tank-lid"]
        assert names(place) == {
            "procedure.yaml", "media/step.jpg", "note.txt",
            "revisions/1/procedure.yaml", "revisions/1/media/step.jpg", "revisions/1/note.txt",
        }  # fmt: skip
        index, _ = looked_over(shop)
        kept = content(index)
        looked_over(shop, anew=True)
        assert content(Index(shop)) == kept
    assert fatal > 10


def test_a_folder_that_a_killed_run_had_moved_away_is_put_back(tmp_path: Path) -> None:
    shop = new_shop(tmp_path / "shop", "Demo shop")
    shelve(shop, desk(tmp_path, procedure("tank-lid")))
    shop.place_of("tank-lid").rename(shop.procedures / ".tank-lid.new-0123abcd-old")
    (shop.procedures / ".tank-lid.new-0123abcd").mkdir()
    reindex(shop.folder)
    assert [one.name for one in shop.procedures.iterdir()] == ["tank-lid"]
    assert ids(found(shop, "lid")) == ["tank-lid"]


@pytest.mark.usefixtures("database")
def test_an_index_killed_while_it_is_built_is_completed(tmp_path: Path) -> None:
    shop = empty_shop(tmp_path / "shop")
    for name in ("tank-lid", "drum-seal"):
        shelve(shop, desk(tmp_path, procedure(name)))
    fatal = 0
    through = False
    while not through:
        fatal += 1
        through = _killed(
            lambda: refresh(shop, Index(shop), workers=1, anew=True), fatal, at_once=True
        )
        assert set(ids(found(shop, "refit"))) == {"tank-lid", "drum-seal"}
        assert Index(shop).is_whole()
    assert fatal > 4


def test_a_disk_that_fills_up_at_any_step_changes_nothing(
    shop: Shop, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    shelve(shop, desk(tmp_path / "1", procedure("tank-lid")))
    second = desk(tmp_path / "2", procedure("tank-lid", revision=2))
    for fatal in range(1, 100):
        left = fatal

        def full(what: str, path: Path) -> None:
            nonlocal left
            left -= 1
            if not left and what != "tidy":
                raise OSError(errno.ENOSPC, "No space left on device", str(path))

        monkeypatch.setattr(shelving, "before_step", full)
        try:
            shelve(shop, second)
        except MachineError as error:
            assert error.exit_code == 3
            assert read_procedure(shop.place_of("tank-lid")).procedure.revision == 1
            assert [entry.name for entry in shop.procedures.iterdir()] == ["tank-lid"]
        else:
            break
    assert fatal > 5
    assert read_procedure(shop.place_of("tank-lid")).procedure.revision == 2


def test_a_procedure_shelved_again_keeps_the_state_the_library_gave_it(
    shop: Shop, tmp_path: Path
) -> None:
    folder = desk(tmp_path, procedure("tank-lid"))
    stored = shelve(shop, folder).folder / "procedure.yaml"
    stored.write_bytes(with_state(stored.read_bytes(), "approved") or b"")
    assert shelve(shop, folder).did == "same"
    assert b"state: approved" in stored.read_bytes()


def test_a_still_of_an_approved_revision_is_not_exchanged(shop: Shop, tmp_path: Path) -> None:
    folder = desk(tmp_path, procedure("tank-lid"))
    stored = shelve(shop, folder).folder / "procedure.yaml"
    stored.write_bytes(with_state(stored.read_bytes(), "approved") or b"")
    (folder / "media" / "step.jpg").write_bytes(b"another picture")
    with pytest.raises(InputError, match="another content"):
        shelve(shop, folder)
