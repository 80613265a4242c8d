"""Full text by the engine of whatever database the index lies in.

A word of a query matches by its English stem. ``sqlite_text`` knows SQLite's engine (FTS5) and
``postgres_text`` that of PostgreSQL; both have the functions of ``Engine``. The words around a
hit are shown by SQLite's for both, so that they are the same.
"""

from __future__ import annotations

import sqlite3
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from contextlib import closing
from typing import Any, NamedTuple, Protocol

from sqlalchemy import Connection, Select, Table

from author.library.index import sqlite_text
from author.library.index.facts import packed_lines, passage_of, searched_in
from author.library.index.stems import TOKENS, stems_of
from author.library.index.terms import WEIGHTS, Entry, Hit, Term

__all__ = ["Engine", "Hit", "Term", "best_passages", "engine_of"]

_MARKS = ("\ue000", "\ue001")
_AROUND = 24
_AT_ONCE = 3
"""So many passages of a procedure are looked at before the others: mostly one of them is best."""


class Engine(Protocol):
    """What is done otherwise in each database; see ``author.library.index.sqlite_text``."""

    def create(self, connection: Connection) -> None:
        """Make the tables of the full text."""

    def add(self, connection: Connection, rows: Sequence[Entry]) -> None:
        """Take up procedures."""

    def remove(self, connection: Connection, rows: Sequence[Entry]) -> None:
        """Take procedures out, each with the text it was taken up with."""

    def put(self, connection: Connection, table: Table, rows: Sequence[Mapping[str, Any]]) -> None:
        """Put rows into a table, each with the same columns."""

    def count_words(self, connection: Connection, counted: Mapping[str, int]) -> None:
        """Add to the number of procedures that have a word."""

    def name_things(self, connection: Connection, names: Iterable[str]) -> None:
        """Note the names of things; one that is noted already stays as it is."""

    def is_whole(self, connection: Connection) -> bool:
        """Read the whole index and hold its parts against one another."""

    def settle(self, connection: Connection, *, much: bool) -> None:
        """Put the index in order after a run has written."""

    def counts(self, connection: Connection, terms: Sequence[Term]) -> list[int]:
        """Return how many procedures have each of some words; more than one may count as one."""

    def ranked(
        self,
        connection: Connection,
        terms: Sequence[Term],
        held: Sequence[int],
        allowed: Select[tuple[int]],
        most: int,
        *,
        every: bool,
    ) -> list[tuple[int, float]]:
        """Return the procedures that have the words, with a weight, the best first."""


def engine_of(connection: Connection) -> Engine:
    """Return the engine of the database of a connection."""
    if connection.dialect.name == "sqlite":
        return sqlite_text
    from author.library.index import postgres_text

    return postgres_text


class _Place(NamedTuple):
    """A passage that may be the best of its procedure; the greater in order, the likelier.

    Attributes:
        terms: how many words it has; at the most, before it is looked at.
        weight: what its column weighs.
        order: less for one that stands later.
        line: the passage, as ``author.library.index.facts`` has packed it.
    """

    terms: int
    weight: float
    order: int
    line: bytes


def best_passages(packed: Mapping[int, bytes], terms: Sequence[Term]) -> dict[int, Hit]:
    """Return for each procedure the passage that fits best, with the words around.

    Args:
        packed: passages of each procedure by its id, as ``index.facts.pack`` has them.
        terms: the words looked for.
    """
    begins = {
        word[: max(3, len(word) - 4)].encode()
        for term in terms
        for way in term.ways
        for word in way
    }
    # A stem is how a word begins, but for its last letter: ``happi`` of ``happy``.
    sure = [[[stem[:-1].encode() for stem in stems_of(way)] for way in term.ways] for term in terms]
    waiting = {id_: _places(some, begins, sure) for id_, some in packed.items()}
    best: dict[int, tuple[_Place, int]] = {}
    row = 0
    with closing(sqlite3.connect(":memory:")) as memory:
        memory.execute(f"CREATE VIRTUAL TABLE p USING fts5(t, tokenize='{TOKENS}')")
        while waiting:
            looked: dict[int, tuple[int, _Place]] = {}
            for id_, places in waiting.items():
                for one in places[:_AT_ONCE]:
                    looked[row] = (id_, one)
                    row += 1
                del places[:_AT_ONCE]
            for at, count in _counted(memory, looked, terms).items():
                id_, one = looked[at]
                one = one._replace(terms=count)
                if id_ not in best or one > best[id_][0]:
                    best[id_] = one, at
            waiting = {
                id_: places
                for id_, places in waiting.items()
                if places and (id_ not in best or places[0] > best[id_][0])
            }
        match = sqlite_text.match_text(terms, every=False)
        return {
            id_: _hit(memory, at, passage_of(one.line).place, match)
            for id_, (one, at) in best.items()
        }


def _places(
    packed: bytes, begins: Iterable[bytes], sure: Sequence[Sequence[Sequence[bytes]]]
) -> list[_Place]:
    """Return the passages of a procedure that come into question, the likeliest first.

    Args:
        packed: all of its passages.
        begins: where there are passages with any of these, the others are left out.
        sure: for each word the ways it may stand, each with what all has to be there for it.
    """
    _, *lines = packed_lines(packed)
    plain = [searched_in(line) for line in lines]
    likely = {row for begin in begins for row, one in enumerate(plain) if begin in one}
    rows = sorted(likely) or range(len(lines))
    counts = dict.fromkeys(rows, 0)
    for ways in sure:
        having: set[int] = set()
        for way in ways:
            some: Iterable[int] = rows
            for begin in way:
                some = [row for row in some if begin in plain[row]]
            having.update(some)
        for row in having:
            counts[row] += 1
    places = [
        _Place(counts[row], WEIGHTS[int(lines[row].partition(b"\t")[0])], -row, lines[row])
        for row in rows
    ]
    return sorted(places, reverse=True)


def _counted(
    memory: sqlite3.Connection, looked: Mapping[int, tuple[int, _Place]], terms: Sequence[Term]
) -> Counter[int]:
    """Return how many of the words each of some passages has, by its row."""
    memory.executemany(
        "INSERT INTO p(rowid, t) VALUES(?, ?)",
        ((row, _spaced(passage_of(one.line).text)) for row, (_, one) in looked.items()),
    )
    counts: Counter[int] = Counter()
    for term in terms:
        rows = memory.execute(
            "SELECT rowid FROM p WHERE p MATCH ? AND rowid >= ?",
            (sqlite_text.term_text(term), min(looked, default=0)),
        )
        counts.update(row for (row,) in rows)
    return counts


def _spaced(text_: str) -> str:
    return text_.replace(_MARKS[0], " ").replace(_MARKS[1], " ")


def _hit(memory: sqlite3.Connection, row: int, place: str, match: str) -> Hit:
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
    return Hit(place, plain, tuple(found))
