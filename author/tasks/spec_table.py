"""The reviewer's table: every number and point to be signed, with all it rests on."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Literal

from author.checks.instruments import instrument_of
from author.contract import LoadedProcedure, read_procedure
from author.contract.review_file import read_review
from author.procedure.document import PlacedStep, Point, Procedure
from author.procedure.items import Tool
from author.procedure.lists import Source
from author.procedure.quantities import Limits, second_unit
from author.procedure.review import ReviewSheet, SignOff, point_content
from author.procedure.specs import LimitSpec, TorqueSpec
from author.procedure.steps import Criterion, CriticalPoint
from author.tasks.spec_judgements import (
    Adequacy,
    Joint,
    Zone,
    adequacy,
    joint_of,
    zone_of,
)

State = Literal["accepted", "queried", "stale", "not signed"]
STATES: tuple[State, ...] = ("accepted", "queried", "stale", "not signed")


@dataclass(frozen=True, slots=True)
class Signed:
    """The last word on a point.

    Attributes:
        state: ``stale`` where the point, its source or its instrument was changed since.
        verdict: what was said then, None if nothing was.
        by: who said it.
        role: what that person is to the shop.
        date: when.
        note: what was queried.
        own: true where the signer wrote the procedure.
    """

    state: State
    verdict: str | None = None
    by: str | None = None
    role: str | None = None
    date: str | None = None
    note: str | None = None
    own: bool = False

    def text(self) -> str:
        """Return it in words."""
        if self.verdict is None:
            return "not signed"
        said = f"{self.verdict} by {self.by}, {self.role}, on {self.date}"
        said += f": {self.note}" if self.note else ""
        said += "; the signer wrote the procedure" if self.own else ""
        return f"stale: {said}; changed since" if self.state == "stale" else said


@dataclass(frozen=True, slots=True)
class NumberRow:
    """One number.

    Attributes:
        placed: its step.
        path: its path in the document.
        spec: the number as the document has it.
        second: its limits in the unit shown beside, None if they cannot be shown.
        second_why: why they cannot.
        instrument: the tool behind it, None if it is not named or not listed.
        adequacy: whether that is fine enough.
        zone: what a guard band accepts, None for simple acceptance.
        joint: what a torque does to its screw.
        source: where it comes from, None if it is not named or not listed.
        conceded: remarks on it that stand, each with its reason.
        signed: the last word on it.
    """

    placed: PlacedStep
    path: tuple[str | int, ...]
    spec: LimitSpec
    second: Limits | None
    second_why: str | None
    instrument: Tool | None
    adequacy: Adequacy
    zone: Zone | None
    joint: Joint | None
    source: Source | None
    conceded: tuple[str, ...]
    signed: Signed


@dataclass(frozen=True, slots=True)
class PointRow:
    """One critical point or criterion.

    Attributes:
        placed: its step.
        path: its path in the document.
        point: the point as the document has it.
        source: where it comes from, None if it is not named or not listed.
        signed: the last word on it.
    """

    placed: PlacedStep
    path: tuple[str | int, ...]
    point: CriticalPoint | Criterion
    source: Source | None
    signed: Signed


@dataclass(frozen=True, slots=True)
class SpecTable:
    """All a reviewer signs, in the order of the work.

    Attributes:
        loaded: the procedure and its file.
        numbers: limit and torque specs.
        points: critical points and criteria.
        remark: what is to be said of the sign-offs as a whole, None if nothing.
    """

    loaded: LoadedProcedure
    numbers: tuple[NumberRow, ...]
    points: tuple[PointRow, ...]
    remark: str | None

    @property
    def procedure(self) -> Procedure:
        """The procedure."""
        return self.loaded.procedure

    def counts(self) -> dict[str, int]:
        """Return how many numbers and points are in each state of signing."""
        found = Counter([row.signed.state for row in self.numbers])
        found.update(row.signed.state for row in self.points)
        return {state: found[state] for state in STATES}


def spec_table(path: Path) -> SpecTable:
    """Make the table of a procedure, a folder or a file, from the document alone.

    Raises:
        InputError: if the procedure or its sign-offs are missing or wrong.
        MachineError: if they cannot be read.
    """
    loaded = read_procedure(path)
    return table_of(loaded, read_review(loaded.file.parent))


def table_of(loaded: LoadedProcedure, sheet: ReviewSheet | None) -> SpecTable:
    """Make the table of a procedure that was read already.

    Args:
        loaded: the procedure and its file.
        sheet: the sign-offs beside it, if there are any.
    """
    procedure = loaded.procedure
    remark = _remark(procedure, sheet)
    book = _Book.of(procedure, sheet if remark is None else None)
    numbers, points = [], []
    for placed, place, point in procedure.placed_points():
        if isinstance(point, LimitSpec):
            numbers.append(book.number(placed, place, point))
        else:
            source = book.sources.get(point.source or "")
            points.append(PointRow(placed, place, point, source, book.signed(point)))
    return SpecTable(loaded, tuple(numbers), tuple(points), remark)


@dataclass(frozen=True, slots=True)
class _Book:
    """What rows are looked up in; of two equal ids the first counts."""

    procedure: Procedure
    tools: dict[str, Tool]
    sources: dict[str, Source]
    specs: dict[str, LimitSpec]
    latest: dict[str, SignOff]
    authors: frozenset[str]

    @classmethod
    def of(cls, procedure: Procedure, sheet: ReviewSheet | None) -> _Book:
        authors = procedure.review.authors if procedure.review else ()
        return cls(
            procedure=procedure,
            tools={tool.id: tool for tool in reversed(procedure.tools)},
            sources={source.id: source for source in reversed(procedure.sources)},
            specs={spec.id: spec for _, _, spec in reversed([*procedure.placed_specs()])},
            latest={} if sheet is None else sheet.latest(),
            authors=frozenset(name.casefold() for name in authors),
        )

    def number(self, placed: PlacedStep, path: tuple[str | int, ...], spec: LimitSpec) -> NumberRow:
        second, second_why = _second(spec)
        return NumberRow(
            placed=placed,
            path=path,
            spec=spec,
            second=second,
            second_why=second_why,
            instrument=self.tools.get(instrument_of(spec, self.specs) or ""),
            adequacy=adequacy(spec, self.tools, self.specs),
            zone=zone_of(spec, self.tools, self.specs),
            joint=joint_of(spec) if isinstance(spec, TorqueSpec) else None,
            source=self.sources.get(spec.source or ""),
            conceded=_conceded(self.procedure, spec),
            signed=self.signed(spec),
        )

    def signed(self, point: Point) -> Signed:
        last = self.latest.get(point.id)
        if last is None:
            return Signed("not signed")
        current = last.content == point_content(self.procedure, point)
        return Signed(
            state=last.verdict if current else "stale",
            verdict=last.verdict,
            by=last.by,
            role=last.role,
            date=last.date,
            note=last.note,
            own=last.by.casefold() in self.authors,
        )


def _second(spec: LimitSpec) -> tuple[Limits | None, str | None]:
    limits = spec.limits()
    # Equal numbers with other digits are other limits: 4.5 says less than 4.50.
    return _converted(tuple(str(value) for value in limits.values()), limits)


@lru_cache(maxsize=4096)
def _converted(
    digits: tuple[str, ...],  # noqa: ARG001 - part of the key
    limits: Limits,
) -> tuple[Limits | None, str | None]:
    try:
        found = second_unit(limits)
    except ValueError as error:
        return None, str(error)
    if found is None:
        return None, "no second unit"
    return found, None


def _conceded(procedure: Procedure, spec: LimitSpec) -> tuple[str, ...]:
    roles = {person.id: person.role for person in procedure.people}
    return tuple(
        f"{one.rule}: {one.reason} ({roles.get(one.role, one.role)})"
        for one in procedure.concessions
        if one.at == spec.id
    )


def _remark(procedure: Procedure, sheet: ReviewSheet | None) -> str | None:
    if sheet is None or (sheet.procedure, sheet.revision) == (procedure.id, procedure.revision):
        return None
    return f"the sign-offs are of {sheet.procedure}, revision {sheet.revision}: none counts here"
