"""SQLite's own engine for full text (FTS5), and what else is written for SQLite alone."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from sqlalchemy import (
    ColumnElement,
    Connection,
    Float,
    Integer,
    Select,
    Table,
    func,
    insert,
    literal_column,
    select,
    text,
)

from author.library.index.facts import COLUMNS
from author.library.index.stems import TOKENS
from author.library.index.tables import files, make_indexes
from author.library.index.terms import WEIGHTS, Entry, Term
from author.library.index.words import folded


def create(connection: Connection) -> None:
    """Make the table of the full text."""
    connection.execute(
        text(
            f"CREATE VIRTUAL TABLE found USING fts5({', '.join(COLUMNS)}, "
            f"content='', tokenize='{TOKENS}')"
        )
    )


def add(connection: Connection, rows: Sequence[Entry]) -> None:
    """Take up procedures."""
    names, places = ", ".join(COLUMNS), ", ".join(f":{name}" for name in COLUMNS)
    statement = text(f"INSERT INTO found(rowid, {names}) VALUES(:id, {places})")
    _each(connection, statement, rows)


def remove(connection: Connection, rows: Sequence[Entry]) -> None:
    """Take procedures out, each with the text it was taken up with."""
    names, places = ", ".join(COLUMNS), ", ".join(f":{name}" for name in COLUMNS)
    statement = text(f"INSERT INTO found(found, rowid, {names}) VALUES('delete', :id, {places})")
    _each(connection, statement, rows)


def _each(connection: Connection, statement: Any, rows: Sequence[Entry]) -> None:
    if rows:
        values = [
            {"id": id_, **dict(zip(COLUMNS, map(folded, columns), strict=True))}
            for id_, _, columns in rows
        ]
        connection.execute(statement, values)


def put(connection: Connection, table: Table, rows: Sequence[Mapping[str, Any]]) -> None:
    """Put rows into a table, each with the same columns."""
    if rows:
        connection.execute(insert(table), rows)


def count_words(connection: Connection, counted: Mapping[str, int]) -> None:
    """Add to the number of procedures that have a word."""
    statement = text(
        "INSERT INTO words(word, procedures) VALUES(:word, :more) "
        "ON CONFLICT(word) DO UPDATE SET procedures = words.procedures + :more"
    )
    rows = [{"word": word, "more": more} for word, more in counted.items()]
    if rows:
        connection.execute(statement, rows)


def name_things(connection: Connection, names: Iterable[str]) -> None:
    """Note the names of things; one that is noted already stays as it is."""
    rows = [{"name": name} for name in sorted(names)]
    if rows:
        connection.execute(text("INSERT OR IGNORE INTO thing_names(name) VALUES(:name)"), rows)


def is_whole(connection: Connection) -> bool:
    """Whether the database and the full text in it are undamaged."""
    if connection.scalar(text("PRAGMA quick_check(1)")) != "ok":
        return False
    connection.rollback()  # whoever has read cannot go on to write once another run has written
    connection.execute(text("INSERT INTO found(found) VALUES('integrity-check')"))
    connection.rollback()
    counts = ("procedures", "passages", "found_docsize")
    held = {connection.scalar(text(f"SELECT count(*) FROM {name}")) for name in counts}  # noqa: S608
    return len(held) == 1


def settle(connection: Connection, *, much: bool) -> None:
    """Make the indexes where they are not there yet; put all in order if much has changed."""
    make_indexes(connection)
    if much:
        connection.execute(text("INSERT INTO found(found) VALUES('optimize')"))
        connection.execute(text("ANALYZE"))


def match_text(terms: Sequence[Term], *, every: bool = True) -> str:
    """Return a query in the engine's own language; the words are quoted, never read as such."""
    return (" AND " if every else " OR ").join(f"({term_text(term)})" for term in terms)


def term_text(term: Term) -> str:
    """Return one word of a query in the engine's own language."""
    star = "*" if term.prefix else ""
    return " OR ".join(
        "(" + " AND ".join(f'"{word}"{star}' for word in way) + ")" for way in term.ways
    )


def counts(connection: Connection, terms: Sequence[Term]) -> list[int]:
    """Return whether any procedure has each of some words: 1 or 0."""
    statement = text("SELECT count(*) FROM (SELECT 1 FROM found WHERE found MATCH :match LIMIT 1)")
    return [connection.scalar(statement, {"match": match_text([one])}) or 0 for one in terms]


def ranked(
    connection: Connection,
    terms: Sequence[Term],
    held: Sequence[int],  # noqa: ARG001 - the engine counts itself
    allowed: Select[tuple[int]],
    most: int,
    *,
    every: bool,
) -> list[tuple[int, float]]:
    """Return the procedures that have the words, the best first.

    Args:
        connection: to the index.
        terms: the words.
        held: how many procedures have each, as ``counts`` gives it.
        allowed: the ids that come into question.
        most: how many at the most.
        every: whether every word has to be there; else any will do.

    Returns:
        Ids with a weight: the greater, the better.
    """
    weight = func.bm25(literal_column("found"), *WEIGHTS, type_=Float)
    row: ColumnElement[int] = literal_column("found.rowid", Integer)
    # Matched once, before anything else: else the engine looks every allowed id up in it.
    hits = (
        select(row.label("id"), weight.label("weight"))
        .select_from(text("found"))
        .where(text("found MATCH :match"))
        .cte("hits")
        .prefix_with("MATERIALIZED")
    )
    statement = (
        select(hits.c.id, hits.c.weight)
        .join(files, files.c.id == hits.c.id)
        .where(hits.c.id.in_(allowed))
        .order_by(hits.c.weight, files.c.place)
        .limit(most)
    )
    rows = connection.execute(statement, {"match": match_text(terms, every=every)})
    return [(row.id, -row.weight) for row in rows]
