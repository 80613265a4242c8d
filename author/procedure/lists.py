"""What a procedure lists up front: unit, people, recordings, sources, parts, tools, supplies."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from author.procedure.specs import UnitSymbol
from author.procedure.values import SOME, Count, FileName, Id, Line, Mark, Node, Number


class Machine(Node):
    """The machine or assembly the procedure applies to.

    Attributes:
        name: what it is called in the shop.
        applies_to: which ones, by serial numbers or build, and which not.
    """

    name: Line
    applies_to: Line | None = None


class Person(Node):
    """A role in the job, never a named individual.

    Attributes:
        id: short name of the role.
        role: the role in words.
        count: how many people of that role the job needs.
        skill: what they must be trained or licensed for.
    """

    id: Id
    role: Line
    count: Count = 1
    skill: Line | None = None


class RecordingRef(Node):
    """A recording the procedure was made from.

    Attributes:
        id: short name used by steps.
        file: file name without folder.
        size: bytes.
        duration: seconds, six decimals.
        sha256: SHA-256 of the content, by which a moved file is found and a changed one
            noticed.
        shows: what is on it.
    """

    id: Id
    file: FileName
    size: Annotated[int, Field(ge=0)]
    duration: Mark
    sha256: Annotated[str, Field(pattern=r"^[0-9a-f]{64}$")]
    shows: Line | None = None


class Source(Node):
    """Where a number or a demand comes from.

    Attributes:
        id: short name used by specs.
        kind: maker's manual, published standard, the shop's own rule, a reading on this
            unit, the technician's word on the film, or invented demo data.
        title: what it is, with edition and clause where there is one.
    """

    id: Id
    kind: Literal["maker", "standard", "shop", "measured", "film", "demo"]
    title: Line


class Part(Node):
    """Something that comes off, goes back, or is replaced.

    Attributes:
        id: short name used by steps.
        name: what it is.
        number: the shop's or maker's number to order by.
        quantity: how many are on the machine and handled in this job.
        replace: whether a new one goes in: always, if found worn, or never.
        order: when to order: always, in case, only if ``order_if`` holds, or never.
        order_if: the condition for ``only_if``.
        pack_size: how many come in one pack.
        single_use: true where the part must not be fitted a second time.
        note: anything else worth saying.
    """

    id: Id
    name: Line
    number: Line | None = None
    quantity: Count = 1
    replace: Literal["always", "if_worn", "never"]
    order: Literal["always", "in_case", "only_if", "never"]
    order_if: Line | None = None
    pack_size: Count = 1
    single_use: bool = False
    note: Line | None = None


class Tool(Node):
    """What the hand holds, measuring instruments included.

    Attributes:
        id: short name used by steps.
        name: what it is, with size.
        measures: unit of its scale, for an instrument.
        range_from: lower end of its range, in that unit.
        range_to: upper end of its range, in that unit.
        resolution: smallest step of its scale, in that unit.
        uncertainty: expanded uncertainty (k = 2), in that unit.
        note: anything else worth saying.
    """

    id: Id
    name: Line
    measures: UnitSymbol | None = None
    range_from: Number | None = None
    range_to: Number | None = None
    resolution: Number | None = None
    uncertainty: Number | None = None
    note: Line | None = None


class Supply(Node):
    """What is used up: grease, cleaner, threadlocker, cloth.

    Attributes:
        id: short name used by steps.
        name: what it is, with grade.
        number: number to order by.
        recommended_by: id of the source that asks for it.
        note: anything else worth saying.
    """

    id: Id
    name: Line
    number: Line | None = None
    recommended_by: Id | None = None
    note: Line | None = None


class Stack(Node):
    """Parts that sit on one another and must go back in order.

    Attributes:
        id: short name.
        name: what the stack is.
        inside_out: ids of the parts, the first fitted first.
    """

    id: Id
    name: Line
    inside_out: Annotated[tuple[Id, ...], *SOME]


class ProcedureRef(Node):
    """Another procedure, at a revision.

    Attributes:
        id: its id.
        revision: its revision.
    """

    id: Id
    revision: Count | None = None


class Prerequisite(Node):
    """What must be done or true before the job starts.

    Attributes:
        id: short name.
        what: one sentence.
        procedure: the procedure that does it, if there is one.
    """

    id: Id
    what: Line
    procedure: ProcedureRef | None = None


class CloseOut(Node):
    """What must be done after the last step, before the unit is used again.

    Attributes:
        id: short name.
        what: one sentence.
        role: id of the role that does it.
        procedure: the procedure that does it, if there is one.
    """

    id: Id
    what: Line
    role: Id | None = None
    procedure: ProcedureRef | None = None


class Finding(Node):
    """A defect seen on the unit.

    Attributes:
        id: short name.
        what: what is wrong, one sentence.
        step: id of the step at which it is seen.
        state: dealt with here, inherited from an earlier job, or deferred to another.
        holds: true where the unit must not be used until it is released.
        released_by: id of the role that may release it.
        follow_on: what has to happen, one sentence.
        procedure: the procedure that deals with it, if there is one.
    """

    id: Id
    what: Line
    step: Id | None = None
    state: Literal["dealt_with", "inherited", "deferred"]
    holds: bool = False
    released_by: Id | None = None
    follow_on: Line | None = None
    procedure: ProcedureRef | None = None
