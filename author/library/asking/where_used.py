"""Which procedures use a part, a tool, a supply or another procedure."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from sqlalchemy import ColumnElement, Connection, func, or_, select

from author.library.asking.filtering import is_thing
from author.library.index.tables import files, links, procedures, things
from author.library.index.words import number_key
from author.procedure.superseded import Succession

Conditions = tuple[ColumnElement[bool], ...]


@dataclass(frozen=True, slots=True)
class Use:
    """One use of a thing by one procedure.

    Attributes:
        kind: ``part``, ``tool``, ``supply`` or ``procedure``.
        name: what the procedure calls it; what it says of another procedure.
        number: the number the procedure has for it, None without one.
        role: how it is named: ``own`` for the thing itself, ``older`` for a number that the
            procedure's part has taken the place of, ``instead`` for an alternative; of a
            procedure ``before``, ``after``, ``finding`` or ``branch``.
        procedure: id of the procedure that uses it.
        revision: its revision.
        title: its title.
        state: its state.
        unit: the unit it applies to.
        quantity: how many pieces, of a part.
        steps: numbers of the steps that use it.
        superseded_by: the newest numbers, where the number the procedure orders by has been
            superseded.
        place: where the procedure's file lies, below the folder of procedures.
        doubt: why its state is not to be relied on, None if nothing is known against it.
    """

    kind: str
    name: str
    number: str | None
    role: str
    procedure: str
    revision: int
    title: str
    state: str
    unit: str
    quantity: int | None
    steps: tuple[int, ...]
    superseded_by: tuple[str, ...] = ()
    place: str = ""
    doubt: str | None = None


@dataclass(frozen=True, slots=True)
class Uses:
    """Where something is used.

    Attributes:
        what: what was asked for.
        results: the uses, by kind, procedure and name.
        count: how many there are; more than are given where only the first were asked for.
        superseded_by: the newest numbers, where what was asked for is a superseded number.
        older: the numbers that it has taken the place of.
    """

    what: str
    results: tuple[Use, ...]
    count: int
    superseded_by: tuple[str, ...]
    older: tuple[str, ...]


def where_used(
    connection: Connection, what: str, *, older_revisions: bool = False, most: int | None = None
) -> Uses:
    """Return where something is used.

    A number is looked for first, however its dashes are set, with all older numbers that
    lead to it; then the id of a procedure; then ids and names of parts, tools and supplies.

    Args:
        connection: to the index.
        what: a number, an id or a name.
        older_revisions: look through older revisions too.
        most: how many uses to give at the most; all if not said.
    """
    numbers = succession_of(connection)
    keys = {number_key(number): number for number in _all_numbers(numbers)}
    number = keys.get(number_key(what), what)
    newest = tuple(one for one in numbers.newest(number) if one != number)
    older = _leading_to(numbers, number)
    asked = {number_key(one) for one in (what, *older)} - {""}
    known: ColumnElement[bool] = things.c.key.in_(asked)
    current = tuple(_current(older_revisions))
    linked = list(_procedures(connection, what, current))
    count = _count(connection, known, current)
    if not count and not linked:
        known = is_thing(connection, what)
        count = _count(connection, known, current)
    found = [*_things(connection, known, numbers, current, most), *linked] if count else linked
    ranked = sorted(found, key=_rank)[:most]
    return Uses(what, tuple(ranked), count + len(linked), newest, older)


def _rank(one: Use) -> tuple[object, ...]:
    of = (one.kind, one.procedure, one.revision, one.place)
    return (*of, one.name, one.role, one.number or "", one.steps)


def succession_of(connection: Connection) -> Succession:
    """Return which numbers took the place of which, as all procedures say."""
    rows = connection.execute(
        select(things.c.file, things.c.item, things.c.number, things.c.role)
        .join(procedures, procedures.c.id == things.c.file)
        .where(things.c.kind == "part", things.c.role.in_(("own", "older")))
        .where(*_current(older=False))
        .where(
            things.c.file.in_(select(things.c.file).where(things.c.role == "older")),
        )
    ).all()
    own = {(row.file, row.item): row.number for row in rows if row.role == "own"}
    newer: dict[str, set[str]] = {}
    for row in rows:
        new = own.get((row.file, row.item))
        if row.role == "older" and new is not None and new != row.number:
            newer.setdefault(row.number, set()).add(new)
    return Succession({old: tuple(sorted(news)) for old, news in sorted(newer.items())})


def _all_numbers(numbers: Succession) -> Iterator[str]:
    for old, news in numbers.newer.items():
        yield from (old, *news)


def _leading_to(numbers: Succession, number: str) -> tuple[str, ...]:
    """Return the numbers that a number has taken the place of, sorted."""
    before: dict[str, list[str]] = {}
    for old, news in numbers.newer.items():
        for new in news:
            before.setdefault(new, []).append(old)
    found: set[str] = set()
    waiting = [number]
    while waiting:
        for old in before.get(waiting.pop(), ()):
            if old not in found and old != number:
                found.add(old)
                waiting.append(old)
    return tuple(sorted(found))


def _count(connection: Connection, wanted: ColumnElement[bool], current: Conditions) -> int:
    asked = select(func.count()).select_from(
        things.join(procedures, procedures.c.id == things.c.file)
    )
    return connection.scalar(asked.where(wanted, *current)) or 0


def _things(
    connection: Connection,
    wanted: ColumnElement[bool],
    numbers: Succession,
    current: Conditions,
    most: int | None,
) -> Iterator[Use]:
    own, use = procedures.c, things.c
    rows = connection.execute(
        select(
            use.kind, use.name, use.number, use.role, use.quantity, use.steps,
            own.procedure, own.revision, own.title, own.state, own.unit, files.c.place,
        )
        .join(procedures, own.id == use.file)
        .join(files, files.c.id == own.id)
        .where(wanted, *current)
        # As ``_rank`` has it; two that differ in their steps alone are told apart by their id.
        .order_by(
            use.kind, own.procedure, own.revision, files.c.place, use.name, use.role,
            func.coalesce(use.number, ""), use.item,
        )
        .limit(most)
    )  # fmt: skip
    for row in rows:
        ends = numbers.newest(row.number) if row.number and row.role != "older" else ()
        yield Use(
            row.kind, row.name, row.number, row.role,
            row.procedure, row.revision, row.title, row.state, row.unit,
            row.quantity if row.kind == "part" else None,
            tuple(map(int, row.steps.split())),
            tuple(one for one in ends if one != row.number), row.place,
        )  # fmt: skip


def _procedures(connection: Connection, what: str, current: Conditions) -> Iterator[Use]:
    own, link = procedures.c, links.c
    rows = connection.execute(
        select(
            link.kind, link.what, link.revision.label("asked"), link.step,
            own.procedure, own.revision, own.title, own.state, own.unit, files.c.place,
        )
        .join(procedures, own.id == link.file)
        .join(files, files.c.id == own.id)
        .where(link.target == what, *current)
    )  # fmt: skip
    for row in rows:
        yield Use(
            "procedure", row.what, None if row.asked is None else f"revision {row.asked}", row.kind,
            row.procedure, row.revision, row.title, row.state, row.unit,
            None, () if row.step is None else (row.step,), place=row.place,
        )  # fmt: skip


def _current(older: bool) -> Iterable[ColumnElement[bool]]:
    own = procedures.c
    return () if older else (or_(own.current, own.in_force),)
