"""Turns filters into conditions on the tables of the index."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from sqlalchemy import ColumnElement, Connection, Select, and_, or_, select, true

from author.library.asking.query import Filters, SpecRange
from author.library.index.tables import hazards, procedures, specs, thing_names, things
from author.library.index.words import folded, number_key, words_in

_MOST_NAMES = 2_000
"""So many names are handed to the database; more it is left to look for itself."""
_UNSURE = Fraction(1, 10**12)


def allowed(connection: Connection, filters: Filters) -> Select[tuple[int]]:
    """Return a query for the ids of the procedures that pass all filters.

    Args:
        connection: to the index.
        filters: what a procedure has to be.
    """
    return select(procedures.c.id).where(*_conditions(connection, filters))


def _conditions(connection: Connection, filters: Filters) -> Iterator[ColumnElement[bool]]:
    own = procedures.c
    if not filters.older:
        yield or_(own.current, own.in_force)
    if filters.states:
        yield own.state.in_(filters.states)
    if filters.unit:
        named = and_(*(own.unit_folded.contains(w, autoescape=True) for w in _of(filters.unit)))
        key = number_key(filters.unit)
        yield or_(named, own.unit_key == key) if key else named
    if filters.author:
        yield own.authors_folded.contains(folded(filters.author), autoescape=True)
    if filters.changed_since:
        yield own.changed >= filters.changed_since
    if filters.changed_before:
        yield own.changed < filters.changed_before
    if filters.hold is not None:
        yield own.holds == filters.hold
    for kind, wanted in (
        ("part", filters.parts),
        ("tool", filters.tools),
        ("supply", filters.supplies),
    ):
        for text in wanted:
            named = is_thing(connection, text)
            yield own.id.in_(select(things.c.file).where(things.c.kind == kind, named))
    for text in filters.hazards:
        has = (hazards.c.folded.contains(word, autoescape=True) for word in _of(text))
        yield own.id.in_(select(hazards.c.file).where(*has))
    for asked in filters.specs:
        yield own.id.in_(select(specs.c.file).where(reaches(connection, asked)))


def is_thing(connection: Connection, text: str) -> ColumnElement[bool]:
    """Return the condition that a part, tool or supply is one of a number, id or name.

    Part of a name is looked for among the names alone, of which a library has far fewer than
    things: the condition is then one that indexes answer.

    Args:
        connection: to the index.
        text: a number, however its dashes are set, an id, or words of the name.
    """
    own = things.c
    ways: list[ColumnElement[bool]] = [own.item == text]
    if number_key(text):
        ways.append(own.key == number_key(text))
    name = thing_names.c.name
    named = select(name).where(*(name.contains(word, autoescape=True) for word in _of(text)))
    names = connection.scalars(named.limit(_MOST_NAMES + 1)).all()
    ways.append(own.folded.in_(names if len(names) <= _MOST_NAMES else named))
    return or_(*ways)


def _of(text: str) -> list[str]:
    return words_in(text) or [folded(text)]


def reaches(connection: Connection, asked: SpecRange) -> ColumnElement[bool]:
    """Return the condition that the numbers of a requirement reach into a range.

    The ends in the table are rounded: where one lies as near to an end of the range as
    rounding could matter, its own digits decide.

    Args:
        connection: to the index.
        asked: the range.
    """
    own = specs.c
    surely, near = [own.quantity == asked.quantity], []
    low, high = (None if end is None else _around(end) for end in (asked.lower, asked.upper))
    reaching_up = own.highest >= low[0] if low else true()
    reaching_down = own.lowest <= high[1] if high else true()
    if high:
        surely.append(own.lowest <= high[0])
        near.append(and_(own.lowest > high[0], own.lowest <= high[1], reaching_up))
    if low:
        surely.append(own.highest >= low[1])
        near.append(and_(own.highest >= low[0], own.highest < low[1], reaching_down))
    if not near:
        return surely[0]
    digits = (own.unit, own.lower, own.nominal, own.upper)
    unsure = connection.execute(
        # Each way with its quantity, so that an index answers it.
        select(*digits).distinct().where(or_(*(and_(surely[0], one) for one in near)))
    )
    exact = [
        and_(*(column.is_(value) if value is None else column == value
               for column, value in zip(digits, row, strict=True)))
        for row in unsure
        if asked.holds(*row)
    ]  # fmt: skip
    if not exact:
        return and_(*surely)
    # Each way with its range, so that an index answers it.
    return or_(and_(*surely), *(and_(surely[0], one, or_(*exact)) for one in near))


def _around(end: Fraction) -> tuple[float, float]:
    """Return numbers surely below and surely above an end, whatever was rounded."""
    room = abs(end) * _UNSURE + Fraction(1, 10**300)
    return float(end - room), float(end + room)
