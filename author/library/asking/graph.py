"""Which procedure has to be done before which: circles, missing and withdrawn ones named."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from sqlalchemy import Connection, select

from author.library.index.tables import files, links, procedures

_MISSING = "which the library does not hold"
_WITHDRAWN = "which is withdrawn"


@dataclass(frozen=True, slots=True)
class Stop:
    """A procedure in the graph.

    Attributes:
        id: its id.
        title: its title; empty where the library does not hold it.
        revision: its revision, None where the library does not hold it.
        state: its state; ``missing`` where the library does not hold it.
        place: where its file lies, below the folder of procedures; empty if nobody asked.
        doubt: why the state is not to be relied on, None if nothing is known against it.
    """

    id: str
    title: str
    revision: int | None
    state: str
    place: str = ""
    doubt: str | None = None


@dataclass(frozen=True, slots=True)
class Order:
    """That one procedure comes before another.

    Attributes:
        first: id of the one to be done before.
        then: id of the one that asks for it.
        revision: the revision asked for, None if any will do.
        in_circle: whether both lie in one circle.
    """

    first: str
    then: str
    revision: int | None
    in_circle: bool


@dataclass(frozen=True, slots=True)
class Graph:
    """Procedures and what has to be done before each.

    Attributes:
        stops: the procedures, by id.
        orders: the demands, sorted.
        circles: ids of procedures that wait for one another, each circle sorted.
        remarks: what has to be looked at, one sentence each.
    """

    stops: tuple[Stop, ...]
    orders: tuple[Order, ...]
    circles: tuple[tuple[str, ...], ...]
    remarks: tuple[str, ...]


def prerequisites(connection: Connection, wanted: Iterable[str] = ()) -> Graph:
    """Return the graph of prerequisites.

    Args:
        connection: to the index.
        wanted: ids to begin at, with all they wait for; all procedures that wait for one or
            are waited for if none is named.
    """
    own = procedures.c
    rows = connection.execute(
        select(own.procedure, own.title, own.revision, own.state, files.c.place)
        .join(files, files.c.id == own.id)
        .where(own.in_force)
        .order_by(files.c.place.desc())  # of two folders with one id the first counts
    )
    known = {row.procedure: Stop(*row) for row in rows}
    needs: dict[str, dict[str, int | None]] = {}
    for row in connection.execute(
        select(own.procedure, links.c.target, links.c.revision)
        .join(procedures, own.id == links.c.file)
        .where(own.in_force, links.c.kind == "before")
    ):
        asked = needs.setdefault(row.procedure, {})
        asked[row.target] = asked.get(row.target) or row.revision
    ids = _reached(list(wanted), needs) or {
        *needs,
        *(one for some in needs.values() for one in some),
    }
    stops = tuple(known.get(id_, Stop(id_, "", None, "missing")) for id_ in sorted(ids))
    inside = {id_: sorted(one for one in needs.get(id_, {}) if one in ids) for id_ in sorted(ids)}
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
    return Graph(stops, orders, circles, tuple(_remarks(stops, orders, circles)))


def _reached(start: list[str], needs: Mapping[str, Mapping[str, int | None]]) -> set[str]:
    found, waiting = set(start), list(start)
    while waiting:
        for one in needs.get(waiting.pop(), ()):
            if one not in found:
                found.add(one)
                waiting.append(one)
    return found


def _remarks(
    stops: tuple[Stop, ...], orders: tuple[Order, ...], circles: tuple[tuple[str, ...], ...]
) -> Iterable[str]:
    known = {stop.id: stop for stop in stops}
    for some in circles:
        yield f"These wait for one another in a circle: {', '.join(some)}"
    for order in orders:
        first = known[order.first]
        if first.state == "missing":
            yield f"{order.then} waits for {order.first}, {_MISSING}"
        elif first.state == "withdrawn":
            yield f"{order.then} waits for {order.first}, {_WITHDRAWN}"
        elif order.revision is not None and order.revision != first.revision:
            yield (
                f"{order.then} waits for revision {order.revision} of {order.first}, "
                f"and the library has revision {first.revision}"
            )


def leaves_out(remark: str) -> bool:
    """Whether a remark tells of a prerequisite that nothing can be ordered for."""
    return remark.endswith((_MISSING, _WITHDRAWN))


def circles_in(needs: Mapping[str, Iterable[str]]) -> list[list[str]]:
    """Return the groups of nodes that wait for one another, each node in at most one.

    Source: Tarjan's strongly connected components (1972), from memory, without recursion.

    Args:
        needs: by each node, those it waits for.
    """
    index: dict[str, int] = {}
    low: dict[str, int] = {}
    stack: list[str] = []
    on_stack: set[str] = set()
    found: list[list[str]] = []
    for root in needs:
        work = [(root, iter(needs[root]))] if root not in index else []
        while work:
            node, rest = work[-1]
            if node not in index:
                index[node] = low[node] = len(index)
                stack.append(node)
                on_stack.add(node)
            onward = next(rest, None)
            if onward is not None:
                if onward not in index:
                    work.append((onward, iter(needs.get(onward, ()))))
                elif onward in on_stack:
                    low[node] = min(low[node], index[onward])
                continue
            work.pop()
            if work:
                low[work[-1][0]] = min(low[work[-1][0]], low[node])
            if low[node] == index[node]:
                group = stack[stack.index(node) :]
                del stack[stack.index(node) :]
                on_stack.difference_update(group)
                if len(group) > 1 or node in set(needs.get(node, ())):
                    found.append(group)
    return found
