"""An index in a file: whatever becomes of the file, nothing is lost."""

from __future__ import annotations

import errno
import sqlite3
from collections.abc import Callable
from pathlib import Path

import pytest
from sqlalchemy.exc import DBAPIError

from author.errors import MachineError
from author.library.asking.query import Filters
from author.library.index import sqlite_store
from author.library.index.damage import IndexDamagedError, with_mending
from author.library.index.database import Index
from author.library.shop import Shop
from author.tasks import library_finding, library_records
from author.tasks.library_finding import find_in
from author.tasks.library_records import unit_list

from .record_samples import content_of, job, lid_shop, sent
from .shops import found, ids, looked_over, procedure, shop_of


def spoilt(file: Path, how: str) -> None:
    if how == "no database":
        file.write_bytes(b"not a database" * 500)
    elif how == "empty":
        file.write_bytes(b"")
    elif how == "cut":
        file.write_bytes(file.read_bytes()[: file.stat().st_size // 2])
    else:
        data = bytearray(file.read_bytes())
        for at in range(4096, len(data), 4096):
            data[at : at + 64] = b"\xff" * 64
        file.write_bytes(data)


@pytest.mark.parametrize("how", ["no database", "empty", "cut", "overwritten"])
def test_a_file_that_is_no_index_any_more_is_made_anew_and_said(tmp_path: Path, how: str) -> None:
    shop = shop_of(tmp_path / "shop", procedure("tank-lid"), procedure("drum-seal"))
    index, _ = looked_over(shop)
    index.close()
    spoilt(index.file, how)
    reply = find_in(shop.folder, "tank", Filters(parts=("clip",)), 5)
    assert ids(reply.value) == ["tank-lid"]
    assert any("built anew" in note for note in reply.notes)
    assert not find_in(shop.folder, "tank", Filters(), 5).notes


def test_a_library_that_cannot_be_written_has_its_index_in_the_cache(
    tmp_path: Path, own_cache: Path
) -> None:
    shop = shop_of(tmp_path / "shop", procedure("tank-lid"))
    (shop.folder / ".index").write_text("a file where the folder should be")
    reply = find_in(shop.folder, "tank", Filters(), 5)
    assert ids(reply.value) == ["tank-lid"]
    assert any("cache" in note for note in reply.notes)
    assert Index(shop).file.is_relative_to(own_cache)


def test_a_disk_the_engine_finds_full_is_the_machine_s_failure(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    shop = shop_of(tmp_path / "shop", procedure("tank-lid"))
    real = sqlite_store._prepare

    def small(connection: sqlite3.Connection, record: object) -> None:
        real(connection, record)
        connection.execute("PRAGMA max_page_count=20")

    with monkeypatch.context() as patch:
        patch.setattr(sqlite_store, "_prepare", small)
        with pytest.raises(MachineError, match="disk is full"):
            looked_over(shop, anew=True)
    assert ids(found(shop, "tank")) == ["tank-lid"]


def test_a_library_on_a_full_disk_is_still_searched(
    tmp_path: Path, own_cache: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    shop = shop_of(tmp_path / "shop", procedure("tank-lid"))
    made = Path.mkdir

    def full(path: Path, *more: object, **keys: object) -> None:
        if path.name == ".index":
            raise OSError(errno.ENOSPC, "No space left on device", str(path))
        made(path, *more, **keys)  # type: ignore[arg-type]

    monkeypatch.setattr(Path, "mkdir", full)
    assert ids(found(shop, "tank")) == ["tank-lid"]
    assert Index(shop).file.is_relative_to(own_cache)


@pytest.mark.parametrize("replaced", [True, False])
def test_a_file_made_anew_under_a_reader_is_no_fault_of_the_disk(
    tmp_path: Path, *, replaced: bool
) -> None:
    index, _ = looked_over(shop_of(tmp_path / "shop", procedure("tank-lid")))
    failed = sqlite3.OperationalError("disk I/O error")
    failed.sqlite_errorcode = sqlite3.SQLITE_IOERR
    expected = IndexDamagedError if replaced else MachineError
    with pytest.raises(expected), index.reading():
        if replaced:
            index.file.unlink()
        raise DBAPIError("SELECT 1", None, failed)


@pytest.mark.parametrize("often", [1, 2])
def test_a_file_another_run_empties_between_looking_and_asking_is_asked_again(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, often: int
) -> None:
    shop = lid_shop(tmp_path / "shop")
    sent(shop, job(content_of(shop)))
    left = []

    def emptied_after(real: Callable[..., object]) -> Callable[..., object]:
        def looking(shop: Shop, index: Index, **named: object) -> object:
            done = real(shop, index, **named)
            if left:
                left.pop()
                spoilt(index.file, "empty")  # as it is while another run makes it anew
            return done

        return looking

    for module, name in ((library_records, "refresh_records"), (library_finding, "refresh")):
        monkeypatch.setattr(module, name, emptied_after(getattr(module, name)))
    left[:] = [None] * often
    assert [unit.name for unit in unit_list(shop.folder).value] == ["Bench drill BD-2"]
    left[:] = [None]
    assert ids(find_in(shop.folder, "tank", Filters(), 5).value) == ["tank-lid"]


def test_an_index_that_is_no_use_time_and_again_is_given_up() -> None:
    mended: list[bool] = []

    def useless() -> None:
        raise IndexDamagedError

    with pytest.raises(MachineError, match="being built anew"):
        with_mending(useless, mended.append)
    assert (mended[0], mended[-1]) == (False, True)


def test_a_table_of_words_that_is_only_half_there_is_made_anew(tmp_path: Path) -> None:
    shop = shop_of(tmp_path / "shop", procedure("tank-lid", "Refit the red lid"))
    index, _ = looked_over(shop)
    with sqlite3.connect(index.file) as data:  # as a reader may meet it while it is being made
        data.execute("DROP TABLE found_config")
    reply = find_in(shop.folder, "red", Filters(), 5)
    assert ids(reply.value) == ["tank-lid"]
    assert any("built anew" in note for note in reply.notes)
