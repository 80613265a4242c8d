"""The tables of the index.

What belongs to a file names it by its id. The database is not asked to watch over that: it
would look up every one of millions of rows, and whoever writes holds the lock of the index.
"""

from __future__ import annotations

from typing import Any

from sqlalchemy import (
    BigInteger,
    Boolean,
    Column,
    Connection,
    Float,
    Index,
    Integer,
    LargeBinary,
    MetaData,
    Table,
    Text,
)
from sqlalchemy.schema import CreateIndex, CreateTable

INDEX_VERSION = 7
"""Counted up when the tables or what is kept in them change; an older index is built anew."""

Letters = Text().with_variant(Text(collation="C"), "postgresql")
"""Text that is put in order by its characters' numbers, whatever database holds it."""

metadata = MetaData()

notes = Table(
    "notes",
    metadata,
    Column("name", Letters, primary_key=True),
    Column("value", Letters, nullable=False),
)
"""What the index says of itself."""

GENERATION = "generation"
"""The note that names one state of the index: another word after each transaction."""

files = Table(
    "files",
    metadata,
    Column("id", Integer, primary_key=True, autoincrement=False),
    Column("place", Letters, nullable=False, unique=True),
    Column("size", BigInteger, nullable=False),
    Column("changed_ns", BigInteger, nullable=False),
    Column("seen_ns", BigInteger, nullable=False),
    Column("digest", Letters, nullable=False),
    Column("problem", Letters),
    Column("remedy", Letters),
    Column("line", Integer),
)
"""Every procedure file by its place below the folder of procedures, damaged ones too."""

procedures = Table(
    "procedures",
    metadata,
    Column("id", Integer, primary_key=True, autoincrement=False),
    Column("procedure", Letters, nullable=False, index=True),
    Column("revision", BigInteger, nullable=False),
    Column("current", Boolean, nullable=False),
    Column("in_force", Boolean, nullable=False),
    Column("title", Letters, nullable=False),
    Column("written", Letters, nullable=False),
    Column("state", Letters, nullable=False, index=True),
    Column("language", Letters, nullable=False),
    Column("data", Letters, nullable=False),
    Column("unit", Letters, nullable=False),
    Column("unit_number", Letters),
    Column("unit_folded", Letters, nullable=False),
    Column("unit_key", Letters, nullable=False),
    Column("labour_time", Letters),
    Column("steps", Integer, nullable=False),
    Column("authors", Letters, nullable=False),
    Column("authors_folded", Letters, nullable=False),
    Column("changed", Letters),
    Column("due", Letters, index=True),
    Column("holds", Boolean, nullable=False),
)
"""``current`` is what lies in the folder itself, ``in_force`` what work goes by: that, or while
it is still worked on, the older revision that is approved. ``written`` is the state as the file
has it, ``state`` as it stands beside the other revisions."""

passages = Table(
    "passages",
    metadata,
    Column("id", Integer, primary_key=True, autoincrement=False),
    Column("packed", LargeBinary, nullable=False),
)


def of_file(*columns: Any) -> list[Any]:
    """Return columns of a table whose rows belong to a file each."""
    return [
        Column("file", Integer, nullable=False, index=True),
        *columns,
    ]


things = Table(
    "things",
    metadata,
    *of_file(
        Column("kind", Letters, nullable=False),
        Column("item", Letters, nullable=False),
        Column("name", Letters, nullable=False),
        Column("folded", Letters, nullable=False),
        Column("number", Letters),
        Column("key", Letters, nullable=False, index=True),
        Column("role", Letters, nullable=False),
        Column("quantity", BigInteger, nullable=False),
        Column("steps", Letters, nullable=False),
    ),
    Index("things_by_name", "folded"),
    Index("things_by_item", "item"),
)
Index(
    "things_older",
    things.c.file,
    sqlite_where=things.c.role == "older",
    postgresql_where=things.c.role == "older",
)
"""Parts, tools and supplies; a part once more for each older number and each alternative."""

specs = Table(
    "specs",
    metadata,
    *of_file(
        Column("step", Integer, nullable=False),
        Column("item", Letters, nullable=False),
        Column("characteristic", Letters, nullable=False),
        Column("quantity", Letters, nullable=False),
        Column("unit", Letters, nullable=False),
        Column("lower", Letters),
        Column("nominal", Letters),
        Column("upper", Letters),
        Column("lowest", Float, nullable=False),
        Column("highest", Float, nullable=False),
    ),
    Index("specs_by_size", "quantity", "lowest", "highest", "file"),
    Index("specs_by_top", "quantity", "highest", "lowest"),
)
"""Numbers with the digits they are written with, and their ends in SI, rounded."""

links = Table(
    "links",
    metadata,
    *of_file(
        Column("kind", Letters, nullable=False),
        Column("target", Letters, nullable=False, index=True),
        Column("revision", BigInteger),
        Column("what", Letters, nullable=False),
        Column("step", Integer),
    ),
)
"""What one procedure says of another."""

hazards = Table(
    "hazards",
    metadata,
    *of_file(
        Column("step", Integer),
        Column("signal", Letters, nullable=False),
        Column("text", Letters, nullable=False),
        Column("folded", Letters, nullable=False),
    ),
)

findings = Table(
    "findings",
    metadata,
    *of_file(
        Column("item", Letters, nullable=False),
        Column("what", Letters, nullable=False),
        Column("state", Letters, nullable=False),
        Column("holds", Boolean, nullable=False),
        Column("released_by", Letters),
        Column("step", Integer),
        Column("follow_on", Letters),
        Column("due", Letters),
    ),
)

thing_names = Table(
    "thing_names",
    metadata,
    Column("name", Letters, primary_key=True),
)
"""Every name of a thing once, so that part of a name is not looked for among all things.

A name stays when the last thing of it is gone; it leads nowhere then."""

words = Table(
    "words",
    metadata,
    Column("word", Letters, primary_key=True),
    Column("procedures", Integer, nullable=False),
)
"""Words a typing slip is held against, with the number of procedures that have them."""

DETAILS = {table.name: table for table in (things, specs, links, hazards, findings)}
"""Tables whose rows belong to a file."""

TABLES = (notes, files, procedures, passages, *DETAILS.values(), thing_names, words)


def make_tables(connection: Connection) -> None:
    """Make the tables; what speeds looking things up comes when they are full."""
    for table in TABLES:
        connection.execute(CreateTable(table))


def make_indexes(connection: Connection) -> None:
    """Make what speeds looking things up, where it is not there yet."""
    for table in TABLES:
        for index in sorted(table.indexes, key=lambda one: str(one.name)):
            connection.execute(CreateIndex(index, if_not_exists=True))
