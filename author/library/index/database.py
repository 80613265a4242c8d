"""The index of a library: a SQLite file, or a schema in PostgreSQL. Either may be deleted."""

from __future__ import annotations

import contextlib
import secrets
import zlib
from collections.abc import Iterator
from contextlib import AbstractContextManager
from typing import Protocol

from sqlalchemy import Connection, insert, select

from author.errors import InputError
from author.library.index.address import VARIABLE, address_of
from author.library.index.damage import IndexDamagedError
from author.library.index.fulltext import engine_of
from author.library.index.sqlite_store import SqliteStore
from author.library.index.tables import GENERATION, INDEX_VERSION, make_tables, notes
from author.library.shop import Shop
from author.storage import before_step, file_error

__all__ = ["Index", "IndexDamagedError", "generation_of", "new_generation"]


def new_generation() -> str:
    """Return a word for a state of an index that no other state has."""
    return secrets.token_hex(16)


def generation_of(connection: Connection) -> str:
    """Return the word for the state of an index that a connection for reading began to see.

    What is made of procedures in the index alone may be kept by it: any change of them gives
    the index another word, in the same transaction.
    """
    return str(connection.info[GENERATION])


class Store(Protocol):
    """The place of an index, and how a database is told of it.

    Attributes:
        shown: the place, as people are told it.
        is_shared: whether other machines, and other libraries, may use the same database.
        failures: errors of the database.
    """

    shown: str
    is_shared: bool
    failures: tuple[type[Exception], ...]

    def is_there(self) -> bool:
        """Whether there is anything that could be an index."""

    def reading(self) -> AbstractContextManager[Connection]:
        """Give a connection that sees one state of the index."""

    def writing(self) -> AbstractContextManager[Connection]:
        """Give a connection to write with; the lock has to be held."""

    def lock(self, wait: float) -> AbstractContextManager[None]:
        """Hold the lock of whoever writes."""

    def clear(self) -> None:
        """Take away what lies there; nothing but an index is taken. The lock is held."""

    def told(self, error: Exception) -> Exception:
        """Return an error of the database as one of ours."""

    def close(self) -> None:
        """Let go of the database."""


class Index:
    """The index of one library.

    Attributes:
        shown: where it lies, as people are told it.
        apart: whether it lies in the cache folder, because the library cannot be written.
        file: the SQLite file; the library's folder where the index lies in PostgreSQL.
    """

    def __init__(self, shop: Shop, *, standing: bool = False) -> None:
        """Name the index of a library; nothing is opened yet.

        Args:
            shop: the library.
            standing: whether it is read again and again, so that connections stay open.
        """
        self._library = shop.sheet.name
        self.apart = False
        self.file = shop.folder
        address = address_of(shop)
        if address is None:
            here = SqliteStore(shop, standing=standing)
            self.file, self.apart = here.file, here.apart
            self._store: Store = here
        else:
            from author.library.index.postgres_store import PostgresStore

            self._store = PostgresStore(address, shop.folder)
        self.shown = self._store.shown

    def is_there(self) -> bool:
        """Whether there is anything that could be an index.

        Raises:
            InputError, MachineError: if that cannot be seen.
        """
        with self._told():
            return self._store.is_there()

    @contextlib.contextmanager
    def reading(self) -> Iterator[Connection]:
        """Give a connection that sees the index as it is at its first look, undisturbed.

        Raises:
            IndexDamagedError: if the index is missing, damaged or of an older version.
            InputError, MachineError: if it cannot be read for another reason.
        """
        with self._told(), self._store.reading() as connection:
            self._look(connection)
            yield connection

    @contextlib.contextmanager
    def lock(self, wait: float) -> Iterator[None]:
        """Hold the lock of whoever writes the index.

        Raises:
            InputError: if another run holds it for longer than ``wait`` seconds.
        """
        with contextlib.ExitStack() as held:
            with self._told():
                held.enter_context(self._store.lock(wait))
            yield

    @contextlib.contextmanager
    def writing(self) -> Iterator[Connection]:
        """Give a connection to write with; the lock has to be held.

        Raises:
            IndexDamagedError: if the index is damaged.
            InputError, MachineError: if it cannot be written.
        """
        with self._told(), self._store.writing() as connection:
            yield connection

    def make(self) -> None:
        """Put an empty index in place of what is there; the lock has to be held.

        Raises:
            InputError, MachineError: if it cannot be made there.
        """
        with self._told():
            self._store.clear()
            with self._store.writing() as connection:
                make_tables(connection)
                engine_of(connection).create(connection)
                before_step("index", self.file)
                about = {
                    "version": str(INDEX_VERSION),
                    "library": self._library,
                    GENERATION: new_generation(),
                }
                rows = [{"name": name, "value": value} for name, value in about.items()]
                connection.execute(insert(notes), rows)
                connection.commit()

    def is_whole(self) -> bool:
        """Read the whole index and hold its parts against one another."""
        try:
            with self.reading() as connection:
                return engine_of(connection).is_whole(connection)
        except IndexDamagedError:
            return False

    def close(self) -> None:
        """Let go of the database."""
        self._store.close()

    def _look(self, connection: Connection) -> None:
        """Look whether an index is one of this library that this program can read."""
        about = {row.name: row.value for row in connection.execute(select(notes))}
        connection.info[GENERATION] = about.get(GENERATION, "")
        library, version = about.get("library"), about.get("version", "")
        if self._store.is_shared and library not in {None, self._library}:
            raise InputError(
                f"the index there belongs to the library '{library}'",
                remedy="Name another schema in the address, ?schema=NAME; if the library was "
                "only renamed, run 'reelwright library reindex SHOP --anew'",
                file=self.shown,
            )
        if self._store.is_shared and version.isdecimal() and int(version) > INDEX_VERSION:
            raise InputError(
                "the index there was made by a newer Reelwright",
                remedy=f"Bring this machine up to date, or set {VARIABLE}=sqlite for an index here",
                file=self.shown,
            )
        if version != str(INDEX_VERSION):
            raise IndexDamagedError

    @contextlib.contextmanager
    def _told(self) -> Iterator[None]:
        """Tell errors of the database as ours."""
        try:
            yield
        except self._store.failures as error:
            raise self._store.told(error) from error
        except zlib.error as error:
            raise IndexDamagedError from error
        except OSError as error:
            raise file_error(error, self.file) from error
