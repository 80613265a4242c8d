"""The tables of the index."""

from __future__ import annotations

from typing import Any

from sqlalchemy import (
    BigInteger,
    Boolean,
    Column,
    Float,
    ForeignKey,
    Index,
    Integer,
    LargeBinary,
    MetaData,
    Table,
    Text,
)

INDEX_VERSION = 1
"""Counted up when the tables or what is kept in them change; an older index is built anew."""

metadata = MetaData()

notes = Table(
    "notes",
    metadata,
    Column("name", Text, primary_key=True),
    Column("value", Text, nullable=False),
)
"""What the index says of itself."""

files = Table(
    "files",
    metadata,
    Column("id", Integer, primary_key=True),
    Column("place", Text, nullable=False, unique=True),
    Column("size", BigInteger, nullable=False),
    Column("changed_ns", BigInteger, nullable=False),
    Column("seen_ns", BigInteger, nullable=False),
    Column("digest", Text, nullable=False),
    Column("problem", Text),
    Column("remedy", Text),
    Column("line", Integer),
)
"""Every procedure file by its place below the folder of procedures, damaged ones too."""

procedures = Table(
    "procedures",
    metadata,
    Column("id", Integer, ForeignKey("files.id"), primary_key=True),
    Column("procedure", Text, nullable=False, index=True),
    Column("revision", Integer, nullable=False),
    Column("current", Boolean, nullable=False),
    Column("title", Text, nullable=False),
    Column("state", Text, nullable=False, index=True),
    Column("language", Text, nullable=False),
    Column("data", Text, nullable=False),
    Column("unit", Text, nullable=False),
    Column("unit_number", Text),
    Column("unit_folded", Text, nullable=False),
    Column("unit_key", Text, nullable=False),
    Column("labour_time", Text),
    Column("steps", Integer, nullable=False),
    Column("authors", Text, nullable=False),
    Column("authors_folded", Text, nullable=False),
    Column("changed", Text),
    Column("due", Text, index=True),
    Column("holds", Boolean, nullable=False),
)

passages = Table(
    "passages",
    metadata,
    Column("id", Integer, ForeignKey("files.id"), primary_key=True),
    Column("packed", LargeBinary, nullable=False),
)


def _of_file(*columns: Any) -> list[Any]:
    return [
        Column("file", Integer, ForeignKey("files.id"), nullable=False, index=True),
        *columns,
    ]


things = Table(
    "things",
    metadata,
    *_of_file(
        Column("kind", Text, nullable=False),
        Column("item", Text, nullable=False),
        Column("name", Text, nullable=False),
        Column("folded", Text, nullable=False),
        Column("number", Text),
        Column("key", Text, nullable=False, index=True),
        Column("role", Text, nullable=False),
        Column("quantity", Integer, nullable=False),
        Column("steps", Text, nullable=False),
    ),
)
"""Parts, tools and supplies; a part once more for each older number and each alternative."""

specs = Table(
    "specs",
    metadata,
    *_of_file(
        Column("step", Integer, nullable=False),
        Column("item", Text, nullable=False),
        Column("characteristic", Text, nullable=False),
        Column("quantity", Text, nullable=False),
        Column("unit", Text, nullable=False),
        Column("lower", Text),
        Column("nominal", Text),
        Column("upper", Text),
        Column("lowest", Float, nullable=False),
        Column("highest", Float, nullable=False),
    ),
    Index("specs_by_size", "quantity", "lowest", "highest"),
)
"""Numbers with the digits they are written with, and their ends in SI, rounded."""

links = Table(
    "links",
    metadata,
    *_of_file(
        Column("kind", Text, nullable=False),
        Column("target", Text, nullable=False, index=True),
        Column("revision", Integer),
        Column("what", Text, nullable=False),
        Column("step", Integer),
    ),
)
"""What one procedure says of another."""

hazards = Table(
    "hazards",
    metadata,
    *_of_file(
        Column("step", Integer),
        Column("signal", Text, nullable=False),
        Column("text", Text, nullable=False),
        Column("folded", Text, nullable=False),
    ),
)

findings = Table(
    "findings",
    metadata,
    *_of_file(
        Column("item", Text, nullable=False),
        Column("what", Text, nullable=False),
        Column("state", Text, nullable=False),
        Column("holds", Boolean, nullable=False),
        Column("released_by", Text),
        Column("step", Integer),
        Column("follow_on", Text),
    ),
)

words = Table(
    "words",
    metadata,
    Column("word", Text, primary_key=True),
    Column("procedures", Integer, nullable=False),
)
"""Words a typing slip is held against, with the number of procedures that have them."""

DETAILS = {table.name: table for table in (things, specs, links, hazards, findings)}
"""Tables whose rows belong to a file."""
