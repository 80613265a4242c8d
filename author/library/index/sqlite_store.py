"""The index in a SQLite file of this machine's own."""

from __future__ import annotations

import contextlib
import errno
import hashlib
import os
import sqlite3
import threading
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Engine, create_engine, event
from sqlalchemy.exc import DBAPIError
from sqlalchemy.pool import NullPool, QueuePool

from author.errors import InputError, MachineError
from author.library.index.damage import IndexDamagedError
from author.library.locking import one_writer
from author.library.shop import INDEX, Shop
from author.storage import before_step, cache_folder, file_error

INDEX_FILE = "index.sqlite"
_CONNECTIONS = 4
"""So many stay open where an index is read again and again."""
_MORE_CONNECTIONS = 60
_DAMAGED = {sqlite3.SQLITE_CORRUPT, sqlite3.SQLITE_NOTADB, sqlite3.SQLITE_FORMAT}
_FULL = {sqlite3.SQLITE_FULL}
_BUSY = {sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED}
# The last is of the table of words, whose own tables are not there yet.
_HALF_MADE = ("no such table", "no such column", "vtable constructor failed")
_UNWRITABLE = {sqlite3.SQLITE_CANTOPEN, sqlite3.SQLITE_READONLY, sqlite3.SQLITE_PERM}


class SqliteStore:
    """A file that lies in the library, or in the cache folder if that cannot be written.

    Attributes:
        file: the file.
        apart: whether it lies in the cache folder.
        shown, is_shared, failures: see ``author.library.index.database.Store``.
    """

    is_shared = False
    failures: tuple[type[Exception], ...] = (DBAPIError,)

    def __init__(self, shop: Shop, *, standing: bool = False) -> None:
        folder, self.apart = _folder(shop)
        # Elsewhere than on POSIX a file that somebody has open cannot be made anew.
        self._standing = standing and os.name == "posix"
        self._opening = threading.Lock()
        self._file_opened: tuple[int, int] | None = None
        self.file = folder / INDEX_FILE
        self.shown = str(self.file)
        self._engine: Engine | None = None

    def is_there(self) -> bool:
        """Whether there is a file."""
        return self.file.exists()

    @contextlib.contextmanager
    def reading(self) -> Iterator[Connection]:
        """Give a connection that sees one state of the index.

        Raises:
            IndexDamagedError: if there is no file.
        """
        before = self._number()
        if before is None:
            raise IndexDamagedError
        try:
            with self._opened(before).connect() as connection:
                # Else each statement would see a state of its own.
                connection.exec_driver_sql("BEGIN")
                yield connection
        except DBAPIError as error:
            # Made anew by another thread or run meanwhile: the disk itself is not at fault.
            if _code(error) == sqlite3.SQLITE_IOERR and self._number() != before:
                raise IndexDamagedError(str(error.orig)) from error
            raise

    def _number(self) -> tuple[int, int] | None:
        """Return what the disk knows the file by; None where there is none."""
        try:
            status = self.file.stat()
        except FileNotFoundError:
            return None
        return status.st_dev, status.st_ino

    @contextlib.contextmanager
    def writing(self) -> Iterator[Connection]:
        """Give a connection to write with."""
        with self._opened().connect() as connection:
            yield connection

    @contextlib.contextmanager
    def lock(self, wait: float) -> Iterator[None]:
        """Hold the lock of whoever writes.

        Raises:
            InputError: if another run holds it for longer than ``wait`` seconds.
        """
        with one_writer(self.file.with_name("write.lock"), self.file, wait):
            yield

    def clear(self) -> None:
        """Delete the file."""
        self.close()
        for name in (self.file.name, f"{self.file.name}-wal", f"{self.file.name}-shm"):
            before_step("remove", self.file.with_name(name))
            self.file.with_name(name).unlink(missing_ok=True)

    def close(self) -> None:
        """Let go of the file."""
        with self._opening:
            engine, self._engine = self._engine, None
        if engine is not None:
            engine.dispose()

    def told(self, error: Exception) -> Exception:
        """Return an error of the database as one of ours."""
        code, said = _code(error), str(getattr(error, "orig", None))
        if code in _FULL:
            return file_error(OSError(errno.ENOSPC, said), self.file)
        if code in _DAMAGED or any(one in said for one in _HALF_MADE):
            return IndexDamagedError(said)
        if code in _BUSY:
            return InputError(
                "another run is writing the index", remedy="Wait until it has ended", file=self.file
            )
        if code in _UNWRITABLE:
            return InputError(
                f"the index cannot be written: {said}",
                remedy="Look at its permissions",
                file=self.file,
            )
        if "fts5" in said and "no such module" in said:
            return MachineError(
                "this Python's SQLite has no full text (FTS5)",
                remedy="Use a Python whose SQLite has it",
            )
        return MachineError(
            f"the index failed: {said}",
            remedy="Delete the index; it is made anew",
            file=self.file,
        )

    def _opened(self, number: tuple[int, int] | None = None) -> Engine:
        """Return what opens the file; one that was put in its place is another file.

        Args:
            number: what the disk knows the file by now. It gives no other file that number
                while a connection holds it open.
        """
        with self._opening:
            if self._engine is not None and self._standing and number != self._file_opened:
                self._engine.dispose()
                self._engine = None
            if self._engine is None:
                self._engine = _engine(self.file, standing=self._standing)
                self._file_opened = number
            return self._engine


def _engine(file: Path, *, standing: bool) -> Engine:
    pool: dict[str, Any] = {"poolclass": NullPool}
    if standing:
        pool = {
            "poolclass": QueuePool,
            "pool_size": _CONNECTIONS,
            "max_overflow": _MORE_CONNECTIONS,
            "pool_use_lifo": True,
        }
    engine = create_engine(f"sqlite+pysqlite:///{file}", connect_args={"timeout": 60.0}, **pool)
    event.listen(engine, "connect", _prepare)
    return engine


def _code(error: Exception) -> int:
    cause = getattr(error, "orig", None)
    return getattr(cause, "sqlite_errorcode", sqlite3.SQLITE_CORRUPT) & 0xFF


def _prepare(connection: sqlite3.Connection, _record: Any) -> None:
    for setting in (
        "journal_mode=WAL",
        "synchronous=NORMAL",
        "cache_size=-16000",
        "temp_store=MEMORY",
    ):
        connection.execute(f"PRAGMA {setting}").close()


def _folder(shop: Shop) -> tuple[Path, bool]:
    """Return where the index lies: in the library, or in the cache if that cannot be done."""
    place = shop.folder / INDEX
    try:
        place.mkdir(exist_ok=True)
        ignored = place / ".gitignore"
        if not ignored.exists():
            ignored.write_text("*\n", encoding="ascii")
        if os.access(place, os.W_OK):
            return place, False
    except OSError:
        pass  # it cannot be written, or its disk is full: what is asked is answered all the same
    name = hashlib.sha256(os.fsencode(shop.folder.resolve())).hexdigest()[:24]
    apart = cache_folder() / "library" / name
    try:
        apart.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise file_error(error, apart) from error
    return apart, True
