"""Folds the ledger along every way through a procedure.

Decisions and reactions are followed each way they lead. Ways that meet again in the same
state are walked on once. A part can only be in so many places, so a way back without end
comes to a state it has been in, and the walk ends.
"""

from __future__ import annotations

from collections import Counter, deque
from collections.abc import Mapping
from dataclasses import dataclass, field

from author.procedure.document import PlacedStep, Procedure
from author.procedure.ledger import Account, Bookkeeper, Entry, Ledger
from author.procedure.ways import Edge, EndKind, Path, ways_of

# Steps walked and different ends come to in all, for a procedure whose many decisions all
# lead to different states.
_MOST_STEPS = 50_000
_MOST_ENDS = 1_000


@dataclass(frozen=True, slots=True)
class WayEnd:
    """One way through the procedure, to its end.

    Attributes:
        kind: the last step was done, the job stopped, or another procedure takes over.
        via: the ways taken at decisions and reactions, in order.
        accounts: where the pieces of every part are at the end, by its id.
        entries: what could not be accounted for on it. What is left off counts only
            where the last step was done.
    """

    kind: EndKind
    via: tuple[Edge, ...]
    accounts: Mapping[str, Account]
    entries: frozenset[Entry]


@dataclass(frozen=True, slots=True)
class Walk:
    """All ways through a procedure.

    Attributes:
        ends: one for each state a way can end in, the shortest way to it.
        first_via: the ways taken when an entry first came up.
        whole: false if there were more ways than can be walked.
    """

    ends: tuple[WayEnd, ...]
    first_via: Mapping[Entry, tuple[Edge, ...]]
    whole: bool


@dataclass(slots=True)
class _Walker:
    """Somebody on the way.

    Attributes:
        book: the ledger; another walker may hold the same while nothing changes in it.
        via: the ways taken.
        taken: how often those ways were taken that say how often they may be.
    """

    book: Ledger
    via: tuple[Edge, ...] = ()
    taken: Mapping[Path, int] = field(default_factory=dict)
    _owns: bool = False

    def own_book(self) -> Ledger:
        """Return the ledger as one that nobody else holds."""
        if not self._owns:
            self.book, self._owns = self.book.copy(), True
        return self.book

    def work(
        self, placed: PlacedStep, keeper: Bookkeeper, first_via: dict[Entry, tuple[Edge, ...]]
    ) -> None:
        """Do what a step does with parts, and note what comes up for the first time."""
        if not placed.step.ledger:
            return
        book = self.own_book()
        before = book.entries
        for number, movement in enumerate(placed.step.ledger):
            keeper.post(book, movement, (*placed.path, "ledger", number))
        if book.entries is not before:
            _note_first(self, first_via)

    def after(self, edge: Edge) -> _Walker | None:
        """Return the walker that took an edge, or None if it may not be taken again."""
        taken = self.taken
        if edge.at_most is not None:
            taken = {**taken, edge.path: taken.get(edge.path, 0) + 1}
            if taken[edge.path] > edge.at_most:
                return None
        via = (*self.via, edge) if edge.when else self.via
        return _Walker(self.book, via, taken)


class _Known:
    """Where walkers have come by in which state."""

    def __init__(self) -> None:
        self._seen: dict[tuple[object, ...], list[Mapping[Path, int]]] = {}

    def has(self, at: int, walker: _Walker) -> bool:
        """Whether somebody in the same state came by who may still go on as far.

        A walker that was not known is from now on.
        """
        seen = self._seen.setdefault((at, walker.book.key()), [])
        taken = walker.taken
        if any(all(taken.get(p, 0) >= n for p, n in other.items()) for other in seen):
            return True
        seen.append(taken)
        return False


def walk(procedure: Procedure) -> Walk:
    """Fold the ledger along every way through a procedure.

    Args:
        procedure: the document; parts that are not listed are passed over.
    """
    ways, keeper = ways_of(procedure), Bookkeeper(procedure)
    entered = Counter(edge.target for edges in ways.edges for edge in edges)
    joins = {target for target, count in entered.items() if count > 1} | {0}
    waiting: deque[tuple[int | EndKind, _Walker]] = deque([(0, _Walker(keeper.opening()))])
    known = _Known()
    ends: dict[tuple[object, ...], WayEnd] = {}
    first_via: dict[Entry, tuple[Edge, ...]] = {}
    walked, most = 0, max(_MOST_STEPS, 4 * len(ways.steps))
    while waiting:
        # The shortest ways come first; when it gets too much, some are walked to their end.
        at, walker = waiting.popleft() if walked < most // 2 else waiting.pop()
        while isinstance(at, int):
            if at in joins and known.has(at, walker):
                break
            if walked >= most or len(ends) >= _MOST_ENDS:
                return Walk(tuple(ends.values()), first_via, whole=False)
            walked += 1
            walker.work(ways.steps[at], keeper, first_via)
            edges = ways.edges[at]
            if len(edges) == 1 and not edges[0].path:
                at = edges[0].target
                continue
            onward = [(edge.target, walker.after(edge)) for edge in edges]
            waiting.extend((target, fresh) for target, fresh in onward if fresh is not None)
            break
        else:
            end = _end(at, walker, keeper)
            ends.setdefault((at, walker.book.key()), end)
            _note_first(walker, first_via)
    return Walk(tuple(ends.values()), first_via, whole=True)


def _note_first(walker: _Walker, first_via: dict[Entry, tuple[Edge, ...]]) -> None:
    for entry in walker.book.entries:
        first_via.setdefault(entry, walker.via)


def _end(kind: EndKind, walker: _Walker, keeper: Bookkeeper) -> WayEnd:
    if kind == "done":
        keeper.close(walker.own_book())
    return WayEnd(kind, walker.via, walker.book.accounts, walker.book.entries)
