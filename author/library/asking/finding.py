"""Finds procedures in the index: by words, by filters, ranked, with the hit shown."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from sqlalchemy import Connection, func, select

from author.library.asking.filtering import allowed
from author.library.asking.query import Asked, Filters, SpecRange
from author.library.index.fulltext import Hit, Term, best_passages, engine_of
from author.library.index.tables import files, passages, procedures, specs, words
from author.library.index.words import SHORTEST_CORRECTED, edits_between

_LONG_WORD = 7
_MOST_CORRECTIONS = 3
_MOST_SPECS = 3


@dataclass(frozen=True, slots=True)
class FoundSpec:
    """A requirement whose numbers reach into a range that was asked for.

    Attributes:
        step: number of the step.
        characteristic: what is measured.
        unit: unit of the numbers.
        lower, nominal, upper: the numbers, with their digits; None where there is none.
    """

    step: int
    characteristic: str
    unit: str
    lower: str | None
    nominal: str | None
    upper: str | None


@dataclass(frozen=True, slots=True)
class Found:
    """A procedure that was found.

    Attributes:
        place: its place below the folder of procedures.
        procedure: its id.
        revision: its revision.
        current: False for an older revision.
        in_force: whether it is what work goes by; False for a later revision that is still
            worked on while an older one is approved.
        title: what the job is.
        state: its state.
        unit: the unit it applies to.
        changed: day of its last change, None if none is noted.
        holds: whether a finding holds the unit.
        weight: the greater, the better it fits; 0 without words.
        hit: the passage that fits best; None without words.
        specs: the first requirements that reach into a range asked for.
        doubt: why its state is not to be relied on, where that was looked at; else None.
    """

    place: str
    procedure: str
    revision: int
    current: bool
    in_force: bool
    title: str
    state: str
    unit: str
    changed: str | None
    holds: bool
    weight: float = 0.0
    hit: Hit | None = None
    specs: tuple[FoundSpec, ...] = ()
    doubt: str | None = None


@dataclass(frozen=True, slots=True)
class Answer:
    """What a query found.

    Attributes:
        results: the best first.
        more: whether there are more than were asked for.
        taken_as: words nobody has, with those taken for them.
        any_word: True where no procedure has all the words, so that any will do.
    """

    results: tuple[Found, ...]
    more: bool = False
    taken_as: dict[str, tuple[str, ...]] = field(default_factory=dict)
    any_word: bool = False


def find(connection: Connection, asked: Asked, filters: Filters, most: int) -> Answer:
    """Return the procedures that have the words and pass the filters.

    A word matches by its stem. One that no procedure has is taken for the words nearest to
    it. Where no procedure has all words, those with any of them are given.

    Args:
        connection: to the index.
        asked: words, and ranges typed among them.
        filters: what a procedure has to be.
        most: how many to give at the most.
    """
    filters = replace(filters, specs=(*filters.specs, *asked.specs))
    fitting = allowed(connection, filters)
    terms, held, taken_as = _terms(connection, asked)
    any_word = False
    engine = engine_of(connection)
    if terms:
        found = engine.ranked(connection, terms, held, fitting, most + 1, every=True)
        if not found and len(terms) > 1:
            found = engine.ranked(connection, terms, held, fitting, most + 1, every=False)
            any_word = bool(found)
    elif asked.words:
        found = []
    else:
        statement = (
            select(procedures.c.id)
            .join(files, files.c.id == procedures.c.id)
            .where(procedures.c.id.in_(fitting))
            .order_by(procedures.c.title, files.c.place)
            .limit(most + 1)
        )
        found = [(id_, 0.0) for id_ in connection.scalars(statement)]
    shown = _in_force_first(_shown(connection, found[:most], terms, filters.specs))
    return Answer(tuple(shown), len(found) > most, taken_as, any_word)


def _in_force_first(shown: Sequence[Found]) -> list[Found]:
    """Let what work goes by stand before other revisions of the same procedure."""
    beside: dict[str, list[Found]] = {}
    for one in shown:
        beside.setdefault(one.procedure, []).append(one)
    for some in beside.values():
        some.sort(key=lambda one: not one.in_force)
    return [beside[one.procedure].pop(0) for one in shown]


def _terms(
    connection: Connection, asked: Asked
) -> tuple[list[Term], list[int], dict[str, tuple[str, ...]]]:
    """Return the words as they are looked for, those nobody has replaced by their like.

    Returns:
        The words, how many procedures have each, and those taken for others.
    """
    engine = engine_of(connection)
    terms = [Term(ways) for ways in asked.words]
    held = engine.counts(connection, terms)
    taken_as: dict[str, tuple[str, ...]] = {}
    for row, term in enumerate(terms):
        if held[row]:
            continue
        terms[row] = Term(term.ways, prefix=True)
        (held[row],) = engine.counts(connection, terms[row : row + 1])
        word = term.ways[0][0]
        like = () if held[row] else _like(connection, word)
        if like:
            taken_as[word] = like
            terms[row] = Term(tuple((one,) for one in like))
            (held[row],) = engine.counts(connection, terms[row : row + 1])
    return terms, held, taken_as


def _like(connection: Connection, word: str) -> tuple[str, ...]:
    """Return the words of the library a typing slip could have made this one from."""
    if len(word) < SHORTEST_CORRECTED or not word.isalpha():
        return ()
    most = 1 if len(word) < _LONG_WORD else 2
    own = words.c
    lengths = func.length(own.word).between(len(word) - most, len(word) + most)
    # As one text: so many rows, one by one, would take longer than all the rest.
    all_words = connection.scalar(select(func.aggregate_strings(own.word, " ")).where(lengths))
    slips = {one: edits_between(word, one, most) for one in (all_words or "").split()}
    fewest = min(slips.values(), default=most + 1)
    if fewest > most:
        return ()
    nearest = [one for one, count in slips.items() if count == fewest]
    ranked = select(own.word).where(own.word.in_(nearest)).order_by(own.procedures.desc(), own.word)
    return tuple(connection.scalars(ranked.limit(_MOST_CORRECTIONS)))


def _shown(
    connection: Connection,
    found: Sequence[tuple[int, float]],
    terms: Sequence[Term],
    ranges: Sequence[SpecRange],
) -> list[Found]:
    ids = [id_ for id_, _ in found]
    own = procedures.c
    rows = connection.execute(
        select(
            own.id, files.c.place, own.procedure, own.revision, own.current,
            own.in_force, own.title,
            own.state, own.unit, own.changed, own.holds,
        ).join(files, files.c.id == own.id).where(own.id.in_(ids))
    )  # fmt: skip
    about = {row[0]: Found(*tuple(row)[1:]) for row in rows}
    hits: dict[int, Hit] = {}
    if terms:
        packed = connection.execute(select(passages).where(passages.c.id.in_(ids)))
        hits = best_passages({id_: some for id_, some in packed}, terms)  # noqa: C416
    reached = _reached(connection, ids, ranges)
    return [
        replace(about[id_], weight=weight, hit=hits.get(id_), specs=tuple(reached.get(id_, ())))
        for id_, weight in found
    ]


def _reached(
    connection: Connection, ids: Sequence[int], ranges: Sequence[SpecRange]
) -> dict[int, list[FoundSpec]]:
    """Return the first requirements of each procedure that reach into a range."""
    if not ranges or not ids:
        return {}
    own = specs.c
    rows = connection.execute(
        select(own.file, own.step, own.characteristic, own.unit, own.lower, own.nominal, own.upper)
        .where(own.file.in_(ids), own.quantity.in_({one.quantity for one in ranges}))
        .order_by(own.file, own.step, own.item)
    )
    found: dict[int, list[FoundSpec]] = {}
    for file, step, characteristic, *numbers in rows:
        some = found.setdefault(file, [])
        if len(some) < _MOST_SPECS and any(one.holds(*numbers) for one in ranges):
            some.append(FoundSpec(step, characteristic, *numbers))
    return found
