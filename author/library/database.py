"""Opens the index: a SQLite file that may be deleted at any time."""

from __future__ import annotations

import contextlib
import errno
import hashlib
import os
import sqlite3
import zlib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import platformdirs
from sqlalchemy import Connection, Engine, create_engine, event, insert, select
from sqlalchemy.exc import DBAPIError
from sqlalchemy.pool import NullPool

from author.errors import InputError, MachineError
from author.library import fulltext
from author.library.locking import one_writer
from author.library.shop import INDEX, Shop
from author.library.tables import INDEX_VERSION, metadata, notes
from author.storage import before_step, file_error

INDEX_FILE = "index.sqlite"
_DAMAGED = {sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB, sqlite3.SQLITE_FORMAT}
_FULL = {sqlite3.SQLITE_FULL}
_BUSY = {sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED}
_UNWRITABLE = {sqlite3.SQLITE_CANTOPEN, sqlite3.SQLITE_READONLY, sqlite3.SQLITE_PERM}


class IndexDamagedError(Exception):
    """The index cannot be read: it has to be built anew."""


class Index:
    """The index of one library.

    Attributes:
        folder: where it lies.
        file: the SQLite file.
        apart: whether it lies in the cache folder, because the library cannot be written.
    """

    def __init__(self, shop: Shop) -> None:
        self.folder, self.apart = _folder(shop)
        self.file = self.folder / INDEX_FILE
        self._engine: Engine | None = None

    @contextlib.contextmanager
    def reading(self) -> Iterator[Connection]:
        """Give a connection that sees the index as it is at its first look, undisturbed.

        Raises:
            IndexDamagedError: if the index is missing, damaged or of another version.
            InputError, MachineError: if it cannot be read for another reason.
        """
        with told(self.file):
            if not self.file.exists():
                raise IndexDamagedError
            with self._opened().connect() as connection:
                if not _is_ours(connection):
                    raise IndexDamagedError
                yield connection

    @contextlib.contextmanager
    def lock(self, wait: float) -> Iterator[None]:
        """Hold the lock of whoever writes the index.

        Raises:
            InputError: if another run holds it for longer than ``wait`` seconds.
        """
        with one_writer(self.folder / "write.lock", self.file, wait):
            yield

    @contextlib.contextmanager
    def writing(self) -> Iterator[Connection]:
        """Give a connection to write with; the lock has to be held.

        Raises:
            IndexDamagedError: if the index is damaged.
            InputError, MachineError: if it cannot be written.
        """
        with told(self.file), self._opened().connect() as connection:
            yield connection

    def make(self) -> None:
        """Put an empty index in place of what is there; the lock has to be held."""
        self.close()
        with told(self.file):
            for name in (self.file.name, f"{self.file.name}-wal", f"{self.file.name}-shm"):
                before_step("remove", self.folder / name)
                (self.folder / name).unlink(missing_ok=True)
            with self._opened().connect() as connection:
                metadata.create_all(connection)
                fulltext.create(connection)
                before_step("index", self.file)
                values = {"name": "version", "value": str(INDEX_VERSION)}
                connection.execute(insert(notes), [values])
                connection.commit()

    def is_whole(self) -> bool:
        """Read every page of the index and hold its parts against one another."""
        try:
            with self.reading() as connection:
                return fulltext.is_whole(connection)
        except IndexDamagedError:
            return False

    def close(self) -> None:
        """Let go of the file."""
        if self._engine is not None:
            self._engine.dispose()
            self._engine = None

    def _opened(self) -> Engine:
        if self._engine is None:
            self._engine = create_engine(
                f"sqlite+pysqlite:///{self.file}",
                poolclass=NullPool,
                connect_args={"timeout": 60.0},
            )
            event.listen(self._engine, "connect", _prepare)
        return self._engine


def _prepare(connection: sqlite3.Connection, _record: Any) -> None:
    for setting in (
        "journal_mode=WAL",
        "synchronous=NORMAL",
        "cache_size=-16000",
        "temp_store=MEMORY",
    ):
        connection.execute(f"PRAGMA {setting}").close()


def _is_ours(connection: Connection) -> bool:
    version = connection.scalar(select(notes.c.value).where(notes.c.name == "version"))
    return bool(version == str(INDEX_VERSION))


@contextlib.contextmanager
def told(file: Path) -> Iterator[None]:
    """Tell errors of the database as ours.

    Raises:
        IndexDamagedError: if the index has to be built anew.
        InputError, MachineError: if it cannot be read or written.
    """
    try:
        yield
    except DBAPIError as error:
        raise _told(error, file) from error
    except zlib.error as error:
        raise IndexDamagedError from error
    except OSError as error:
        raise file_error(error, file) from error


def _told(error: DBAPIError, file: Path) -> Exception:
    code = getattr(error.orig, "sqlite_errorcode", sqlite3.SQLITE_CORRUPT) & 0xFF
    said = str(error.orig)
    if code in _FULL:
        return file_error(OSError(errno.ENOSPC, said), file)
    if code in _DAMAGED or "no such table" in said or "no such column" in said:
        return IndexDamagedError(said)
    if code in _BUSY:
        return InputError(
            "another run is writing the index", remedy="Wait until it has ended", file=file
        )
    if code in _UNWRITABLE:
        return InputError(
            f"the index cannot be written: {said}", remedy="Look at its permissions", file=file
        )
    if "fts5" in said and "no such module" in said:
        return MachineError(
            "this Python's SQLite has no full text (FTS5)",
            remedy="Use a Python whose SQLite has it",
        )
    return MachineError(
        f"the index failed: {said}", remedy="Delete the index; it is made anew", file=file
    )


def _folder(shop: Shop) -> tuple[Path, bool]:
    """Return where the index lies: in the library, or in the cache if that cannot be written."""
    place = shop.folder / INDEX
    try:
        place.mkdir(exist_ok=True)
        ignored = place / ".gitignore"
        if not ignored.exists():
            ignored.write_text("*\n", encoding="ascii")
        if os.access(place, os.W_OK):
            return place, False
    except OSError as error:
        if error.errno in {errno.ENOSPC, errno.EDQUOT}:
            raise file_error(error, place) from error
    name = hashlib.sha256(os.fsencode(shop.folder.resolve())).hexdigest()[:24]
    apart = _cache_folder() / "library" / name
    try:
        apart.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise file_error(error, apart) from error
    return apart, True


def _cache_folder() -> Path:
    named = os.environ.get("REELWRIGHT_CACHE")
    return Path(named) if named else Path(platformdirs.user_cache_dir("reelwright", False))
