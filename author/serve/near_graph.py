"""What stands around one procedure, without a look at all the others of the library."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from sqlalchemy import Connection, select

from author.library.asking.graph import Graph, Order, Stop, circles_in
from author.library.index.tables import links, procedures

Needs = dict[str, dict[str, int | None]]


@dataclass(frozen=True, slots=True)
class Naming:
    """A procedure that names another.

    Attributes:
        procedure: its id.
        title: its title.
        revision: its revision.
        state: its state.
        kind: how it names it, ``before``, ``after``, ``finding`` or ``branch``.
        what: what it says of it.
    """

    procedure: str
    title: str
    revision: int
    state: str
    kind: str
    what: str


@dataclass(frozen=True, slots=True)
class Before:
    """A demand of one procedure on another, and what is wrong with it.

    Attributes:
        first: the one to be done before.
        order: the demand.
        wrong: why it cannot be met as it stands; None if it can.
    """

    first: Stop
    order: Order
    wrong: str | None


def graph_before(rows: Connection, name: str, most: int) -> tuple[Graph, bool]:
    """Return what has to be done before a procedure, the nearest first.

    Args:
        rows: the index.
        name: id of the procedure.
        most: how many procedures to look at.

    Returns:
        The graph, and whether there is more before it than was looked at.
    """
    needs: Needs = {}
    found, fresh = {name: None}, [name]
    while fresh and len(found) < most:
        for then, first, revision in _demands(rows, fresh):
            asked = needs.setdefault(then, {})
            asked[first] = asked.get(first) or revision
        reached = dict.fromkeys(one for then in fresh for one in needs.get(then, ()))
        fresh = [one for one in reached if one not in found][: most - len(found)]
        found |= dict.fromkeys(fresh)
    more = bool(fresh) or any(one not in found for some in needs.values() for one in some)
    stops = {stop.id: stop for stop in _stops(rows, found)}
    inside = {id_: sorted(one for one in needs.get(id_, ()) if one in found) for id_ in found}
    circles = tuple(tuple(sorted(some)) for some in circles_in(inside))
    circle_of = {id_: number for number, some in enumerate(circles) for id_ in some}
    orders = tuple(
        Order(
            first,
            then,
            needs[then][first],
            then in circle_of and circle_of[then] == circle_of.get(first),
        )
        for then in inside
        for first in inside[then]
    )
    shown = tuple(stops.get(id_, Stop(id_, "", None, "missing")) for id_ in sorted(found))
    return Graph(shown, orders, circles, ()), more


def demands_of(graph: Graph) -> list[Before]:
    """Return each demand of a graph with what is wrong with it."""
    stops = {stop.id: stop for stop in graph.stops}
    return [
        Before(stops[order.first], order, _wrong(stops[order.first], order))
        for order in graph.orders
    ]


_WRONG = {
    "missing": "the library does not hold it",
    "withdrawn": "it is withdrawn",
    "superseded": "another procedure has taken its place",
}


def _wrong(first: Stop, order: Order) -> str | None:
    if first.state in _WRONG:
        return _WRONG[first.state]
    if order.in_circle:
        return "they wait for one another in a circle"
    if order.revision is not None and order.revision != first.revision:
        return f"the library has revision {first.revision}"
    return None


def _demands(rows: Connection, of: Iterable[str]) -> Iterator[tuple[str, str, int | None]]:
    own = procedures.c
    found = rows.execute(
        select(own.procedure, links.c.target, links.c.revision)
        .join(procedures, own.id == links.c.file)
        .where(own.in_force, own.procedure.in_(list(of)), links.c.kind == "before")
    )
    yield from ((row[0], row[1], row[2]) for row in found)


def _stops(rows: Connection, of: Iterable[str]) -> Iterator[Stop]:
    own = procedures.c
    found = rows.execute(
        select(own.procedure, own.title, own.revision, own.state).where(
            own.in_force, own.procedure.in_(list(of))
        )
    )
    yield from (Stop(*row) for row in found)


def after_unfit(rows: Connection, name: str) -> list[tuple[str, str, str]]:
    """Return what has to be done after a procedure and cannot be relied on.

    Args:
        rows: the index.
        name: id of the procedure.

    Returns:
        Id and title of each, and why, the titles empty of those the library does not hold.
    """
    own = procedures.c
    named = rows.scalars(
        select(links.c.target)
        .join(procedures, own.id == links.c.file)
        .where(own.procedure == name, own.in_force, links.c.kind == "after")
        .distinct()
    )
    wanted = sorted({*named} - {name})
    stops = {stop.id: stop for stop in _stops(rows, wanted)} if wanted else {}
    found = []
    for one in wanted:
        stop = stops.get(one, Stop(one, "", None, "missing"))
        wrong = _WRONG.get(stop.state)
        if wrong is not None:
            found.append((one, stop.title, wrong))
    return found


def naming(rows: Connection, name: str, most: int) -> list[Naming]:
    """Return procedures that name one, by id.

    Args:
        rows: the index.
        name: id of the procedure that is named.
        most: how many to return at the most.
    """
    own = procedures.c
    found = rows.execute(
        select(own.procedure, own.title, own.revision, own.state, links.c.kind, links.c.what)
        .join(procedures, own.id == links.c.file)
        .where(links.c.target == name, own.in_force)
        .order_by(own.procedure, links.c.kind, links.c.what)
        .limit(most)
    )
    return [Naming(*row) for row in found]
