"""The index in a schema of a PostgreSQL database that several machines share."""

from __future__ import annotations

import contextlib
import errno
import hashlib
import time
import weakref
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Engine, create_engine, event, text
from sqlalchemy.exc import DBAPIError
from sqlalchemy.schema import CreateSchema

from author.errors import InputError, MachineError, one_line
from author.library.index import postgres_text
from author.library.index.address import HERE, VARIABLE, Address
from author.library.index.damage import IndexDamagedError
from author.library.index.tables import metadata, notes
from author.storage import before_step, file_error

try:
    import psycopg
except ImportError:
    psycopg = None  # type: ignore[assignment]

_GLANCE = 0.1
_CONNECT_SECONDS = 10
_CONNECTIONS = 4
"""So many are kept open; a server that answers many at once opens more and closes them."""
_MORE_CONNECTIONS = 60
_ADDED = ("record_", "job_records")
"""How the names of tables begin that other parts of the library add to an index."""
_SESSION = (
    "SET search_path TO {}; SET jit = off; SET synchronous_commit = off; "
    "SET cpu_operator_cost = 0.25; SET max_parallel_workers_per_gather = 0"
)
"""An index is made from files: what the last moments before a crash wrote is read again.

The operator that counts is the one that holds a vector of words against a query. The engine
does not know that the vector has to be fetched first, piece by piece; so costly, it looks it up.
Because of that cost it would also start a second worker for what takes less than the start.
"""
# The database's codes: https://www.postgresql.org/docs/15/errcodes-appendix.html
_DAMAGED = ("42P01", "42703", "42883", "42804", "3F000", "XX001", "XX002")
_BUSY = ("55P03", "40001", "40P01", "57014")
_FULL = ("53100",)
_AWAY = ("08", "57P")
_FORBIDDEN = ("42501", "25006")


class PostgresStore:
    """A schema of a database.

    Attributes:
        address: where it lies.
        shown, is_shared, failures: see ``author.library.index.database.Store``.
    """

    is_shared = True

    def __init__(self, address: Address, folder: Path) -> None:
        if psycopg is None:
            raise InputError(
                "the index lies in PostgreSQL, and psycopg, which reaches it, is not installed",
                remedy=f"Run: pip install 'reelwright[postgres]', or set {VARIABLE}={HERE} for an "
                "index on this machine",
                file=address.shown,
            )
        self.address = address
        self.shown = address.shown
        self.failures: tuple[type[Exception], ...] = (DBAPIError, psycopg.Error)
        self._folder = folder
        self._engine = _engine(address)
        weakref.finalize(self, self._engine.dispose)
        self._held: Connection | None = None

    def is_there(self) -> bool:
        """Whether the schema has any table of an index."""
        with self._engine.connect() as connection:
            return bool(self._tables(connection))

    @contextlib.contextmanager
    def reading(self) -> Iterator[Connection]:
        """Give a connection that sees one state of the index and changes nothing."""
        with self._engine.connect() as connection:
            connection.execution_options(
                isolation_level="REPEATABLE READ", postgresql_readonly=True
            )
            # What is seen is settled by the first look, and this is none: an index that is
            # being made anew is waited for, never seen half.
            connection.execute(text("LOCK TABLE notes IN ACCESS SHARE MODE"))
            yield connection

    @contextlib.contextmanager
    def writing(self) -> Iterator[Connection]:
        """Give the connection that holds the lock: if it is lost, so is the right to write."""
        connection = self._writer()
        try:
            yield connection
        finally:
            with contextlib.suppress(*self.failures):
                connection.rollback()

    @contextlib.contextmanager
    def lock(self, wait: float) -> Iterator[None]:
        """Hold the lock of whoever writes; the database lets go of it if this process dies.

        Raises:
            InputError: if another run holds it for longer than ``wait`` seconds.
        """
        digest = hashlib.sha256(f"reelwright index {self.address.schema}".encode()).digest()
        key = {"key": int.from_bytes(digest[:8], "big", signed=True)}
        until = time.monotonic() + wait
        with self._engine.connect() as connection:
            while not connection.scalar(text("SELECT pg_try_advisory_lock(:key)"), key):
                connection.commit()
                if time.monotonic() >= until:
                    raise InputError(
                        "another run is writing there",
                        remedy="Wait until it has ended",
                        file=self.shown,
                    )
                time.sleep(_GLANCE)
            connection.commit()
            self._held = connection
            try:
                yield
            finally:
                self._held = None
                try:
                    connection.rollback()
                    connection.execute(text("SELECT pg_advisory_unlock(:key)"), key)
                    connection.commit()
                except self.failures:
                    connection.invalidate()  # the lock goes with it

    def clear(self) -> None:
        """Drop the tables of an index, and make the schema if there is none.

        Nothing is gone before what takes its place is committed.

        Raises:
            InputError: if the schema holds other tables, or the database is no use.
        """
        connection = self._writer()
        encoding = connection.scalar(text("SHOW server_encoding"))
        if encoding != "UTF8":
            raise InputError(
                f"the database keeps its texts as {encoding}",
                remedy="Make one that keeps them as UTF8: createdb --encoding=UTF8",
                file=self.shown,
            )
        there = self._tables(connection)
        strange = sorted(one for one in there if not _is_ours(one))
        if strange and notes.name not in there:
            raise InputError(
                f"the schema holds tables that are no index, such as '{strange[0]}'",
                remedy="Name another schema in the address: ?schema=NAME",
                file=self.shown,
            )
        named = {"schema": self.address.schema}
        known = text("SELECT 1 FROM pg_namespace WHERE nspname = :schema")
        if connection.scalar(known, named) is None:
            connection.execute(CreateSchema(self.address.schema))
        connection.execute(text("SET LOCAL lock_timeout = '60s'"))
        if notes.name in there:
            connection.execute(text("LOCK TABLE notes IN ACCESS EXCLUSIVE MODE"))
        before_step("remove", self._folder)
        gone = ", ".join(f'"{one}"' for one in sorted(there) if _is_ours(one))
        if gone:
            connection.execute(text(f"DROP TABLE {gone} CASCADE"))

    def close(self) -> None:
        """Let go of the database."""
        self._engine.dispose()

    def told(self, error: Exception) -> Exception:
        """Return an error of the database as one of ours."""
        cause = getattr(error, "orig", None) or error
        code = getattr(cause, "sqlstate", None) or ""
        said = one_line(str(cause).strip().partition("\n")[0])[:300]
        if code.startswith(_FULL):
            return file_error(OSError(errno.ENOSPC, said), self.shown)
        if code.startswith(_DAMAGED):
            return IndexDamagedError(said)
        if code.startswith(_BUSY):
            return InputError(
                "the index is in use by another run",
                remedy="Wait until it has ended",
                file=self.shown,
            )
        if code.startswith(_FORBIDDEN):
            schema, user = self.address.schema, self.address.url.username or "the user"
            return InputError(
                f"the database does not let this be done: {said}",
                remedy=f"Have its keeper run: CREATE SCHEMA {schema} AUTHORIZATION {user}",
                file=self.shown,
            )
        if code.startswith(_AWAY) or (not code and isinstance(cause, psycopg.OperationalError)):
            return InputError(
                f"the database with the index cannot be reached: {said}",
                remedy=f"Start it, or look at the address in {self.address.told_by}; "
                f"{VARIABLE}={HERE} takes an index on this machine instead",
                file=self.shown,
            )
        if isinstance(cause, psycopg.DataError):
            return InputError(
                f"the database cannot take this: {said}",
                remedy="Look for characters that no text has",
                file=self.shown,
            )
        return MachineError(
            f"the index failed: {said}",
            remedy="Run 'reelwright library reindex SHOP --anew'; it is made from the files",
            file=self.shown,
        )

    def _writer(self) -> Connection:
        if self._held is None:
            msg = "the lock of the index is not held"
            raise RuntimeError(msg)
        return self._held

    def _tables(self, connection: Connection) -> set[str]:
        """Return the names of the tables and views in the schema."""
        statement = text(
            "SELECT relname FROM pg_class JOIN pg_namespace n ON n.oid = relnamespace "
            "WHERE nspname = :schema AND relkind IN ('r', 'p', 'v', 'm', 'f')"
        )
        return set(connection.scalars(statement, {"schema": self.address.schema}))


def _engine(address: Address) -> Engine:
    arguments: dict[str, Any] = {"prepare_threshold": None}
    if "connect_timeout" not in address.url.query:
        arguments["connect_timeout"] = _CONNECT_SECONDS
    engine = create_engine(
        address.url,
        pool_size=_CONNECTIONS,
        max_overflow=_MORE_CONNECTIONS,
        pool_pre_ping=True,
        pool_use_lifo=True,
        connect_args=arguments,
        use_native_hstore=False,
    )
    session = _SESSION.format(f'"{address.schema}"')

    def prepare(connection: Any, _record: Any) -> None:
        connection.autocommit = True
        connection.execute(session)
        connection.autocommit = False

    event.listen(engine, "connect", prepare)
    return engine


def _is_ours(table: str) -> bool:
    return table in metadata.tables or table == postgres_text.TABLE or table.startswith(_ADDED)
