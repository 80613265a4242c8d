"""The procedure itself, and ways to walk through it."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Annotated, Literal, NamedTuple

from pydantic import Field

from author.procedure.items import Part, Stack, Supply, Tool
from author.procedure.lists import (
    Change,
    CloseOut,
    Concession,
    Finding,
    Machine,
    Person,
    Prerequisite,
    RecordingRef,
    ReviewPlan,
    Source,
)
from author.procedure.specs import Chain, LimitSpec
from author.procedure.steps import Criterion, CriticalPoint, Hazard, Section, Step
from author.procedure.values import SOME, STATED, Count, Duration, Id, Line, Node

SCHEMA_NAME = "procedure/1"

Point = LimitSpec | CriticalPoint | Criterion
"""What a reviewer signs: a number, a critical point, or a criterion."""

State = Literal["draft", "in_review", "approved", "superseded", "withdrawn"]


class PlacedStep(NamedTuple):
    """A step and where it stands.

    Attributes:
        number: its number through the whole procedure, from 1.
        section_index: index of its section, from 0.
        step_index: index in its section, from 0.
        section: its section.
        step: the step.
    """

    number: int
    section_index: int
    step_index: int
    section: Section
    step: Step

    @property
    def path(self) -> tuple[str | int, ...]:
        """Path of the step in the document."""
        return ("sections", self.section_index, "steps", self.step_index)


class Procedure(Node):
    """A shop procedure.

    Attributes:
        schema_name: ``procedure/1``; written as ``schema``, always first.
        id: short name, the same through all revisions.
        title: what the job is.
        revision: counts from 1.
        state: draft, in review, approved, superseded or withdrawn.
        language: language of the text, a BCP 47 tag such as ``en``.
        data: ``shop`` for real work; ``demo`` is printed as such on every page.
        notice: a sentence printed with the title.
        purpose: what the job achieves and when it is due.
        unit: the machine it applies to.
        labour_time: time the job takes, such as ``PT2H30M``.
        limits_of_use: what it does not cover.
        people: roles the job needs.
        recordings: the films it was made from.
        sources: where its numbers come from.
        prerequisites: what must be done before.
        parts: parts handled.
        tools: tools used.
        supplies: supplies used.
        stacks: parts that must go back in order.
        general_hazards: hazard messages for the whole job.
        sections: the work.
        chains: dimensions that have to add up.
        close_outs: what must be done after.
        findings: defects seen on the unit.
        concessions: remarks that may stand, with reason and role.
        changes: what each revision changed.
        review: who wrote it, and when it is looked at again.
        note: anything else worth saying.
    """

    schema_name: Annotated[Literal["procedure/1"], Field(alias="schema")]
    id: Id
    title: Line
    revision: Count
    state: State
    language: Annotated[str, Field(pattern=r"^[a-z]{2,3}(-[A-Z]{2})?$")]
    data: Literal["shop", "demo"] = "shop"
    notice: Line | None = None
    purpose: Line
    unit: Machine
    labour_time: Duration | None = None
    limits_of_use: Annotated[tuple[Line, ...], STATED]
    people: Annotated[tuple[Person, ...], STATED]
    recordings: Annotated[tuple[RecordingRef, ...], STATED]
    sources: Annotated[tuple[Source, ...], STATED]
    prerequisites: Annotated[tuple[Prerequisite, ...], STATED]
    parts: Annotated[tuple[Part, ...], STATED]
    tools: Annotated[tuple[Tool, ...], STATED]
    supplies: Annotated[tuple[Supply, ...], STATED]
    stacks: Annotated[tuple[Stack, ...], STATED]
    general_hazards: Annotated[tuple[Hazard, ...], STATED]
    sections: Annotated[tuple[Section, ...], *SOME]
    chains: Annotated[tuple[Chain, ...], STATED]
    close_outs: Annotated[tuple[CloseOut, ...], STATED]
    findings: Annotated[tuple[Finding, ...], STATED]
    concessions: Annotated[tuple[Concession, ...], STATED]
    changes: Annotated[tuple[Change, ...], STATED]
    review: ReviewPlan | None = None
    note: Line | None = None

    def placed_steps(self) -> Iterator[PlacedStep]:
        """Yield every step in order, with its number and place."""
        number = 0
        for section_index, section in enumerate(self.sections):
            for step_index, step in enumerate(section.steps):
                number += 1
                yield PlacedStep(number, section_index, step_index, section, step)

    def placed_specs(self) -> Iterator[tuple[PlacedStep, tuple[str | int, ...], LimitSpec]]:
        """Yield every limit and torque spec with its step and its path in the document."""
        for placed in self.placed_steps():
            for key, specs in (("specs", placed.step.specs), ("torques", placed.step.torques)):
                for index, spec in enumerate(specs or ()):
                    yield placed, (*placed.path, key, index), spec

    def placed_points(self) -> Iterator[tuple[PlacedStep, tuple[str | int, ...], Point]]:
        """Yield all a reviewer signs, step by step, with its step and its path."""
        for placed in self.placed_steps():
            for key in ("specs", "torques", "critical_points", "criteria"):
                for index, point in enumerate(getattr(placed.step, key) or ()):
                    yield placed, (*placed.path, key, index), point
