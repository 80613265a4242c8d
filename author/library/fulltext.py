"""Full text by SQLite's own engine (FTS5): the one module that knows it.

Another database puts its own functions of these names here. A word of a query matches by
its English stem.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Sequence
from dataclasses import dataclass

from sqlalchemy import (
    ColumnElement,
    Connection,
    Float,
    Integer,
    Select,
    func,
    literal_column,
    select,
    text,
)

from author.library.facts import COLUMNS, Passage
from author.library.tables import files
from author.library.words import folded

_TOKENS = "porter unicode61 remove_diacritics 2"
_WEIGHTS = (10.0, 5.0, 4.0, 2.0, 1.0, 6.0)
_MARKS = ("\ue000", "\ue001")
_AROUND = 24


@dataclass(frozen=True, slots=True)
class Term:
    """One word of a query.

    Attributes:
        ways: what stands for it, any of them: each a list of words that all have to be there.
        prefix: whether a word that begins so will do.
    """

    ways: tuple[tuple[str, ...], ...]
    prefix: bool = False


@dataclass(frozen=True, slots=True)
class Hit:
    """The passage of a procedure that fits a query best.

    Attributes:
        place: where it stands, in words.
        text: the words around what was found.
        found: start and end of each word found in it, in characters.
    """

    place: str
    text: str
    found: tuple[tuple[int, int], ...]


def create(connection: Connection) -> None:
    """Make the tables of the full text."""
    connection.execute(
        text(
            f"CREATE VIRTUAL TABLE found USING fts5({', '.join(COLUMNS)}, "
            f"content='', tokenize='{_TOKENS}')"
        )
    )


def add(connection: Connection, rows: Sequence[tuple[int, tuple[str, ...]]]) -> None:
    """Take up procedures: the id of each, and the text of its columns."""
    names, places = ", ".join(COLUMNS), ", ".join(f":{name}" for name in COLUMNS)
    statement = text(f"INSERT INTO found(rowid, {names}) VALUES(:id, {places})")
    _each(connection, statement, rows)


def remove(connection: Connection, rows: Sequence[tuple[int, tuple[str, ...]]]) -> None:
    """Take procedures out, each with the text it was taken up with."""
    names, places = ", ".join(COLUMNS), ", ".join(f":{name}" for name in COLUMNS)
    statement = text(f"INSERT INTO found(found, rowid, {names}) VALUES('delete', :id, {places})")
    _each(connection, statement, rows)


def _each(
    connection: Connection, statement: object, rows: Sequence[tuple[int, tuple[str, ...]]]
) -> None:
    if rows:
        values = [{"id": id_, **dict(zip(COLUMNS, row, strict=True))} for id_, row in rows]
        connection.execute(statement, values)  # type: ignore[call-overload]


def is_whole(connection: Connection) -> bool:
    """Whether the database and the full text in it are undamaged."""
    if connection.scalar(text("PRAGMA quick_check(1)")) != "ok":
        return False
    connection.execute(text("INSERT INTO found(found) VALUES('integrity-check')"))
    connection.rollback()
    counts = ("procedures", "passages", "found_docsize")
    held = {connection.scalar(text(f"SELECT count(*) FROM {name}")) for name in counts}  # noqa: S608
    return len(held) == 1


def tidy(connection: Connection) -> None:
    """Put the full text in order after much has changed."""
    connection.execute(text("INSERT INTO found(found) VALUES('optimize')"))


def match_text(terms: Sequence[Term], *, every: bool = True) -> str:
    """Return a query in the engine's own language; the words are quoted, never read as such."""
    return (" AND " if every else " OR ").join(f"({_term(term)})" for term in terms)


def _term(term: Term) -> str:
    star = "*" if term.prefix else ""
    return " OR ".join(
        "(" + " AND ".join(f'"{word}"{star}' for word in way) + ")" for way in term.ways
    )


def is_known(connection: Connection, term: Term) -> bool:
    """Whether any procedure has a word."""
    statement = text("SELECT 1 FROM found WHERE found MATCH :match LIMIT 1")
    return connection.scalar(statement, {"match": match_text([term])}) is not None


def ranked(
    connection: Connection, match: str, allowed: Select[tuple[int]], most: int
) -> list[tuple[int, float]]:
    """Return the procedures that match, the best first.

    Args:
        connection: to the index.
        match: as ``match_text`` gives it.
        allowed: the ids that come into question.
        most: how many at the most.

    Returns:
        Ids with a weight: the greater, the better.
    """
    weight = func.bm25(literal_column("found"), *_WEIGHTS, type_=Float)
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
    rows = connection.execute(statement, {"match": match})
    return [(row.id, -row.weight) for row in rows]


def best_passages(
    passages: Sequence[tuple[int, Sequence[Passage]]], terms: Sequence[Term]
) -> dict[int, Hit]:
    """Return for each procedure the passage that fits best, with the words around.

    Args:
        passages: id and passages of each procedure.
        terms: the words looked for.
    """
    begins = {word[: max(3, len(word) - 4)] for term in terms for way in term.ways for word in way}
    places: list[tuple[int, Passage]] = []
    for id_, some in passages:
        likely = [one for one in some if any(begin in folded(one.text) for begin in begins)]
        places += ((id_, one) for one in likely or some)
    with sqlite3.connect(":memory:") as memory:
        memory.execute(f"CREATE VIRTUAL TABLE p USING fts5(t, tokenize='{_TOKENS}')")
        memory.executemany(
            "INSERT INTO p(rowid, t) VALUES(?, ?)",
            ((row, _spaced(one.text)) for row, (_, one) in enumerate(places)),
        )
        best: dict[int, tuple[float, int]] = {}
        for index, term in enumerate(terms):
            for (row,) in memory.execute("SELECT rowid FROM p WHERE p MATCH ?", (_term(term),)):
                seen, first = best.get(row, (0.0, index))
                best[row] = (seen + 1, first)
        chosen: dict[int, int] = {}
        for row, (count, _) in sorted(best.items()):
            id_, one = places[row]
            rank = (count, _WEIGHTS[one.column])
            other = chosen.get(id_)
            if other is None or rank > (best[other][0], _WEIGHTS[places[other][1].column]):
                chosen[id_] = row
        return {
            id_: _hit(memory, row, places[row][1], match_text(terms, every=False))
            for id_, row in chosen.items()
        }


def _spaced(text_: str) -> str:
    return text_.replace(_MARKS[0], " ").replace(_MARKS[1], " ")


def _hit(memory: sqlite3.Connection, row: int, passage: Passage, match: str) -> Hit:
    marked: str = memory.execute(
        "SELECT snippet(p, 0, ?, ?, '…', ?) FROM p WHERE p MATCH ? AND rowid = ?",
        (*_MARKS, _AROUND, match, row),
    ).fetchone()[0]
    plain, found, start = "", [], 0
    for char in marked:
        if char == _MARKS[0]:
            start = len(plain)
        elif char == _MARKS[1]:
            found.append((start, len(plain)))
        else:
            plain += char
    return Hit(passage.place, plain, tuple(found))
