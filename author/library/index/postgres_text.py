"""PostgreSQL's own engine for full text (tsvector, GIN), and what else is written for it alone.

The vector of a procedure has every stem, and each stem of its title, of what it is about, of its
things and of its numbers once more behind a letter for the place: ``A/bear``. So the engine's
index alone says which procedures match and how much each weighs; no vector has to be fetched,
which for thousands of them would take far too long.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from typing import Any, NamedTuple

from sqlalchemy import (
    Column,
    Connection,
    Integer,
    MetaData,
    Row,
    Select,
    Table,
    Text,
    cast,
    delete,
    func,
    literal,
    select,
    text,
)
from sqlalchemy.dialects.postgresql import ARRAY, TEXT, TSQUERY, TSVECTOR

from author.library.index.stems import stems_of
from author.library.index.tables import (
    GENERATION,
    TABLES,
    make_indexes,
    passages,
    procedures,
)
from author.library.index.terms import WEIGHTS, Entry, Term
from author.library.index.words import words_in

TABLE = "found"
_PLACES = "ABC--D"
"""The letter of each column of ``facts``; the steps and the rest have none."""
_WEIGHTS = {
    letter: weight for letter, weight in zip(_PLACES, WEIGHTS, strict=True) if letter != "-"
}
_FINE = 10_000
"""Weights are whole numbers, this many for one, so that their sums are exact."""
_MOST_BYTES = 1_000_000
"""A vector holds no more."""
_LONGEST_LETTER = 4
"""Bytes of UTF-8."""
_TOTAL, _COUNTS = "procedures in the index", "procedures with a word"
_MOST_COUNTS = 5_000
_FEW = 1_500
"""Where a word is in so few procedures, these alone are looked at for the others."""

found = Table(
    TABLE,
    MetaData(),
    Column("id", Integer, primary_key=True, autoincrement=False),
    Column("place", TEXT(collation="C"), nullable=False),
    Column("words", TSVECTOR, nullable=False),
)
_BESIDE = (procedures, passages, found)
_ALL = (*TABLES, found)


def create(connection: Connection) -> None:
    """Make the table of the full text; its index is made when it is full."""
    found.create(connection, checkfirst=False)
    connection.execute(text(f"ALTER TABLE {TABLE} ALTER words SET STORAGE EXTERNAL"))


def add(connection: Connection, rows: Sequence[Entry]) -> None:
    """Take up procedures."""
    texts = [[_all_words(column) for column in columns] for _, _, columns in rows]
    stems_of(set().union(*(column for columns in texts for column in columns)))  # at once
    lines = [
        {"id": id_, "place": place, "words": _vector(columns)}
        for (id_, place, _), columns in zip(rows, texts, strict=True)
    ]
    put(connection, found, lines)


def _all_words(column: str) -> list[str]:
    """Return the words of a text, each once; of what a text repeats only the first is looked at."""
    return list(dict.fromkeys(words_in(" ".join(dict.fromkeys(column.split())))))


def _vector(columns: Sequence[Sequence[str]]) -> str:
    """Return the text of a vector of the words of each column, as many as it can hold."""
    vector: dict[str, None] = {}
    for letter, column in zip(_PLACES, columns, strict=True):
        stems = dict.fromkeys(stems_of(column))
        vector.update(stems)
        if letter != "-":
            vector.update(dict.fromkeys(f"{letter}/{stem}" for stem in stems))
    if sum(map(len, vector)) * _LONGEST_LETTER + 8 * len(vector) < _MOST_BYTES:
        return "'" + "' '".join(vector) + "'" if vector else ""
    room = _MOST_BYTES
    kept = []
    for word in vector:
        room -= len(word.encode()) + 8
        if room > 0:
            kept.append(f"'{word}'")
    return " ".join(kept)


def remove(connection: Connection, rows: Sequence[Entry]) -> None:
    """Take procedures out."""
    ids = [id_ for id_, *_ in rows]
    if ids:
        connection.execute(delete(found).where(found.c.id.in_(ids)))


def put(connection: Connection, table: Table, rows: Sequence[Mapping[str, Any]]) -> None:
    """Put rows into a table, each with the same columns, by the engine's way for many rows."""
    if not rows:
        return
    names = list(rows[0])
    columns = ", ".join(f'"{name}"' for name in names)
    if not connection.in_transaction():
        connection.begin()
    plain: Any = connection.connection.driver_connection
    with (
        plain.cursor() as cursor,
        cursor.copy(f'COPY "{table.name}" ({columns}) FROM STDIN') as copy,
    ):
        for row in rows:
            copy.write_row([row[name] for name in names])


def count_words(connection: Connection, counted: Mapping[str, int]) -> None:
    """Add to the number of procedures that have a word."""
    statement = text(
        "INSERT INTO words(word, procedures) "
        "SELECT * FROM unnest(CAST(:words AS text[]), CAST(:more AS integer[])) "
        "ON CONFLICT (word) DO UPDATE SET procedures = words.procedures + excluded.procedures"
    )
    if counted:
        connection.execute(statement, {"words": list(counted), "more": list(counted.values())})


def name_things(connection: Connection, names: Iterable[str]) -> None:
    """Note the names of things; one that is noted already stays as it is."""
    statement = text(
        "INSERT INTO thing_names(name) SELECT * FROM unnest(CAST(:names AS text[])) "
        "ON CONFLICT (name) DO NOTHING"
    )
    some = sorted(names)
    if some:
        connection.execute(statement, {"names": some})


def is_whole(connection: Connection) -> bool:
    """Whether every table can be read, and those with a row for each procedure agree."""
    for table in _ALL:
        connection.scalar(select(func.count(cast(func.row(*table.c), Text))))
    return not any(
        connection.scalar(
            select(func.count())
            .select_from(one.outerjoin(other, one.c.id == other.c.id))
            .where(other.c.id.is_(None))
        )
        for one in _BESIDE
        for other in _BESIDE
        if one is not other
    )


def settle(connection: Connection, *, much: bool) -> None:
    """Make the indexes where they are not there yet; count anew if much has changed."""
    connection.execute(text("SET LOCAL maintenance_work_mem = '128MB'"))
    make_indexes(connection)
    connection.execute(
        text(
            f"CREATE INDEX IF NOT EXISTS found_words ON {TABLE} USING gin (words) "
            "WITH (fastupdate = off)"
        )
    )
    if much:
        for table in _ALL:
            connection.execute(text(f'ANALYZE "{table.name}"'))


def _query(term: Term, place: str = "") -> str:
    """Return a word of a query in the engine's own language, of stems."""
    star = ":*" if term.prefix else ""
    ways = (" & ".join(f"'{place}{stem}'{star}" for stem in stems_of(way)) for way in term.ways)
    return " | ".join(f"({way})" for way in ways)


def _hits(queries: Sequence[str], **numbers: Sequence[int]) -> tuple[Select[Any], Any]:
    """Return a query for what each of many queries matches, and the table of those queries.

    Asked so, and told what an operator costs (``author.library.index.postgres_store``), the engine
    looks each of them up in its index.

    Args:
        queries: as ``_query`` gives them.
        numbers: numbers that go with each query, by the name of their column.
    """
    arrays: list[Any] = [cast(literal([*queries], ARRAY(TEXT)), ARRAY(TSQUERY))]
    names: list[Column[Any]] = [Column("query", TSQUERY)]
    for name, values in numbers.items():
        arrays.append(cast(literal([*values], ARRAY(Integer)), ARRAY(Integer)))
        names.append(Column(name, Integer))
    asked = func.unnest(*arrays).table_valued(*names).render_derived("asked")
    joined = found.join(asked, _matches(asked.c.query))
    return select().select_from(joined), asked


def _matches(query: Any) -> Any:
    return found.c.words.op("@@", is_comparison=True)(query)


def _among(column: Any, ids: Sequence[int]) -> Any:
    return column == func.any(cast(literal([*ids], ARRAY(Integer)), ARRAY(Integer)))


def counts(connection: Connection, terms: Sequence[Term]) -> list[int]:
    """Return how many procedures have each of some words; counted once in each state of it."""
    known = _kept(connection, _COUNTS)
    queries = [_query(one) for one in terms]
    fresh = [one for one in dict.fromkeys(queries) if one not in known]
    if fresh:
        hits, asked = _hits(fresh, term=range(len(fresh)))
        statement = hits.add_columns(asked.c.term, func.count()).group_by(asked.c.term)
        rows = connection.execute(statement).all()
        held = {term: count for term, count in rows}  # noqa: C416 - rows are no plain pairs
        if len(known) > _MOST_COUNTS:
            known.clear()
        known.update((one, held.get(row, 0)) for row, one in enumerate(fresh))
    return [known[one] for one in queries]


def _kept(connection: Connection, name: str) -> dict[str, int]:
    """Return what is kept with a connection for as long as the index stays as it is."""
    generation = connection.info.get(GENERATION)
    kept: dict[str, int]
    state, kept = connection.info.get(name, (None, {}))
    if state != generation or generation is None:
        kept = {}
        connection.info[name] = generation, kept
    return kept


def _total(connection: Connection) -> int:
    kept = _kept(connection, _TOTAL)
    if not kept:
        kept[""] = connection.scalar(select(func.count()).select_from(procedures)) or 0
    return kept[""]


def _all_of(
    connection: Connection, terms: Sequence[Term], allowed: Select[tuple[int]]
) -> Sequence[int]:
    """Return the ids, of those that come into question, of procedures that have all words."""
    match = " & ".join(f"({_query(term)})" for term in terms)
    having = connection.scalars(
        select(found.c.id).where(_matches(cast(literal(match, TEXT), TSQUERY)))
    ).all()
    return connection.scalars(allowed.where(_among(procedures.c.id, having))).all()


def ranked(
    connection: Connection,
    terms: Sequence[Term],
    held: Sequence[int],
    allowed: Select[tuple[int]],
    most: int,
    *,
    every: bool,
) -> list[tuple[int, float]]:
    """Return the procedures that have the words, the best first.

    A word weighs more the fewer procedures have it, as in BM25, and by the places it stands in.

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
    total = _total(connection)
    ids = _all_of(connection, terms, allowed) if every and min(held) <= _FEW else None
    if ids is not None and not ids:
        return []
    queries: list[_Weighed] = []
    for term, count in zip(terms, held, strict=True):
        share = math.log(1 + (total - count + 0.5) / (count + 0.5)) * _FINE
        # Whether a procedure has a word is not asked where it is known already.
        known = ids is not None or (every and count == total)
        queries.append(_Weighed(_query(term), round(share), int(not known)))
        queries += (
            _Weighed(_query(term, f"{letter}/"), round(share * weight), 0)
            for letter, weight in _WEIGHTS.items()
        )
    needed = sum(one.whole for one in queries) if every else 1
    telling = [one for one in queries if one.weight or one.whole]
    rows = _rows(connection, telling, needed, ids, allowed, most) if telling else []
    if len(telling) < len(queries) and len(rows) < (most if ids is None else min(most, len(ids))):
        # Those of no weight at all come last.
        rows = _rows(connection, queries, needed, ids, allowed, most)
    return [(row.id, row.weight / _FINE) for row in rows]


class _Weighed(NamedTuple):
    """A query for one word in one place.

    Attributes:
        query: as ``_query`` gives it.
        weight: what a procedure that matches gets.
        whole: 1 where it is counted, how many of the words a procedure has.
    """

    query: str
    weight: int
    whole: int


def _rows(
    connection: Connection,
    queries: Sequence[_Weighed],
    needed: int,
    ids: Sequence[int] | None,
    allowed: Select[tuple[int]],
    most: int,
) -> Sequence[Row[Any]]:
    """Return id and weight of the procedures with as many words as needed, the best first."""
    texts, weights, whole = zip(*queries, strict=True)
    hits, asked = _hits(texts, weight=weights, whole=whole)
    if ids is not None:
        # Written so that the engine does not begin with these and fetch their vectors.
        hits = hits.where(_among(found.c.id, ids).is_(True))
    weighed = (
        hits.add_columns(found.c.id, found.c.place, func.sum(asked.c.weight).label("weight"))
        .group_by(found.c.id)
        .having(func.sum(asked.c.whole) >= needed)
        .cte("weighed")
    )
    statement = (
        select(weighed.c.id, weighed.c.weight)
        .order_by(weighed.c.weight.desc(), weighed.c.place)
        .limit(most)
    )
    if ids is None:
        # The engine expects few hits, and would look each up in a join; this it cannot join.
        statement = statement.where(weighed.c.id.in_(allowed).is_(True))
    return connection.execute(statement).all()
