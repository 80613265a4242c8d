"""The lines of an order sheet, and what comes inside an assembly."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from author.procedure.document import Procedure
from author.procedure.items import Part

OrderRule = Literal["always", "in_case", "only_if"]
RULES: tuple[OrderRule, ...] = ("always", "in_case", "only_if")
"""When to order, the strongest first."""


@dataclass(frozen=True, slots=True)
class Job:
    """A procedure that is to be done.

    Attributes:
        procedure: the document.
        times: how many times it is done.
        draft: whether it has faults that keep it from leaving the house unmarked.
    """

    procedure: Procedure
    times: int = 1
    draft: bool = False

    @property
    def name(self) -> str:
        """Id and revision in words."""
        return f"{self.procedure.id}, revision {self.procedure.revision}"


@dataclass(frozen=True, slots=True, order=True)
class Share:
    """What one job asks for of a line.

    Attributes:
        procedure: id of the procedure.
        revision: its revision.
        rank: index of the order rule in ``RULES``.
        condition: what has to be so for ``only_if``, in words; else empty.
        pieces: how many, for all the times the job is done.
        number: the number by which the procedure calls it; empty without one.
        part: id of the part in the procedure.
    """

    procedure: str
    revision: int
    rank: int
    condition: str
    pieces: int
    number: str
    part: str

    @property
    def rule(self) -> OrderRule:
        """When to order it."""
        return RULES[self.rank]


@dataclass(frozen=True, slots=True)
class PartLine:
    """One part to order.

    Attributes:
        number: the number to order by, None where there is none.
        name: what it is, as the first procedure with that number calls it.
        pack_size: pieces in one pack.
        shares: what each job asks for.
        instead_of: older numbers that procedures still name, each as the chain of numbers
            that leads from it to this one.
        alternatives: numbers of others that may be fitted instead.
        brings: what comes inside a new one, in words.
        notes: what procedures note about it.
        remarks: what has to be looked at before it is ordered, one sentence each.
    """

    number: str | None
    name: str
    pack_size: int
    shares: tuple[Share, ...]
    instead_of: tuple[tuple[str, ...], ...]
    alternatives: tuple[str, ...]
    brings: tuple[str, ...]
    notes: tuple[str, ...]
    remarks: tuple[str, ...]

    @property
    def rule(self) -> OrderRule:
        """The strongest rule of all jobs."""
        return RULES[min(share.rank for share in self.shares)]

    @property
    def conditions(self) -> tuple[str, ...]:
        """What has to be so for the pieces that are ordered only if, in words."""
        found = (share.condition for share in self.shares if share.rule == "only_if")
        return tuple(dict.fromkeys(found))

    def asked(self, *rules: OrderRule) -> int:
        """Return how many pieces are asked for under some rules, or under all."""
        wanted = rules or RULES
        return sum(share.pieces for share in self.shares if share.rule in wanted)

    def packs(self, *rules: OrderRule) -> int:
        """Return how many packs hold the pieces asked for under some rules, or under all."""
        return -(-self.asked(*rules) // self.pack_size)

    def ordered(self, *rules: OrderRule) -> int:
        """Return how many pieces those packs hold."""
        return self.packs(*rules) * self.pack_size


@dataclass(frozen=True, slots=True)
class SupplyShare:
    """What one job uses of a supply.

    Attributes:
        procedure: id of the procedure.
        revision: its revision.
        name: what the procedure calls it.
        grade: the grade it names; empty without one.
        amounts: how much and where, in words, each way once.
    """

    procedure: str
    revision: int
    name: str
    grade: str
    amounts: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class SupplyLine:
    """Something that is used up; nobody counts it in pieces, so no quantity is worked out.

    Attributes:
        number: the number to order by, None where there is none.
        name: what it is.
        grade: its grade, None where none is named.
        shares: what each job uses of it.
        notes: what procedures note about it.
        remarks: what has to be looked at before it is ordered, one sentence each.
    """

    number: str | None
    name: str
    grade: str | None
    shares: tuple[SupplyShare, ...]
    notes: tuple[str, ...]
    remarks: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Coming:
    """How a part comes inside others that are ordered.

    Attributes:
        surely: pieces that come inside assemblies that are always ordered.
        inside: names of those assemblies.
        perhaps: names of assemblies that bring it and are not always ordered.
    """

    surely: int
    inside: tuple[str, ...]
    perhaps: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Entry:
    """One part of one job, as it is asked for.

    Attributes:
        job: the job.
        part: the part.
        rule: when to order it.
        pieces: how many, for all the times the job is done.
        comes: how it comes inside others.
    """

    job: Job
    part: Part
    rule: OrderRule
    pieces: int
    comes: Coming


def what_comes(procedure: Procedure) -> dict[str, Coming]:
    """Return how parts come inside assemblies that are ordered and come complete, by id.

    An assembly that is ordered in case, or only if something is so, may stay on the shelf
    while its contents are needed: it does not count for sure. One that comes inside another
    brings its own contents, as in the ledger.
    """
    parts: dict[str, Part] = {}
    for part in procedure.parts:
        parts.setdefault(part.id, part)
    surely: dict[str, int] = {}
    inside: dict[str, dict[str, None]] = {}
    perhaps: dict[str, dict[str, None]] = {}
    done: set[str] = set()
    for part in _outside_in(parts):
        done.add(part.id)
        within = surely.get(part.id, 0)
        own = max(0, part.quantity - within)
        complete = part.supplied == "complete" and own > 0
        sure = within + (own if complete and part.order == "always" else 0)
        unsure = dict(perhaps.get(part.id, {}))
        if complete and part.order in {"in_case", "only_if"}:
            unsure[f"“{part.name}”"] = None
        for content in part.contains or ():
            if content.part in done:
                continue  # it contains this one: a circle, cut here
            if sure:
                surely[content.part] = surely.get(content.part, 0) + sure * content.quantity
                inside.setdefault(content.part, {})[f"“{part.name}”"] = None
            perhaps.setdefault(content.part, {}).update(unsure)
    return {
        key: Coming(surely.get(key, 0), (*inside.get(key, ()),), (*perhaps.get(key, ()),))
        for key in parts
    }


def _outside_in(parts: dict[str, Part]) -> list[Part]:
    """Return parts so that an assembly stands before what it contains.

    Source: topological order by a walk in depth, here without recursion (from memory). Where
    assemblies contain one another, the first of the list counts as the outer one.
    """
    seen: set[str] = set()
    done: list[Part] = []
    for start, outer in parts.items():
        waiting = [(outer, iter(outer.contains or ()))] if start not in seen else []
        seen.add(start)
        while waiting:
            part, rest = waiting[-1]
            content = next(rest, None)
            if content is None:
                waiting.pop()
                done.append(part)
            elif content.part in parts and content.part not in seen:
                seen.add(content.part)
                inner = parts[content.part]
                waiting.append((inner, iter(inner.contains or ())))
    return done[::-1]
