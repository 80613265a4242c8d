"""What the job handles and takes: parts with their places, tools, supplies, stacks."""

from __future__ import annotations

from typing import Annotated, Literal

from author.procedure.specs import UnitSymbol
from author.procedure.values import SEVERAL, SOME, Amount, Count, Id, Line, Node, Number


class Content(Node):
    """Parts that sit in an assembly and come off and go on with it.

    Attributes:
        part: id of the part.
        quantity: how many sit in one assembly.
    """

    part: Id
    quantity: Count = 1


def bare_number(number: str) -> str:
    """Return what two ways to write a part number share: ``CP 030`` and ``cp-030``."""
    return "".join(char for char in number.lower() if char.isalnum())


class Part(Node):
    """Something that comes off, goes back, or is replaced.

    Attributes:
        id: short name used by steps.
        name: what it is.
        number: the shop's or maker's number to order by.
        supersedes: older numbers that this number has taken the place of.
        alternatives: numbers of others that may be fitted instead.
        quantity: how many are on the machine and handled in this job.
        places: names of the places the pieces sit at, one for each, where like pieces
            have to be told apart.
        contains: parts that sit in it, where it is an assembly.
        supplied: whether a new assembly comes ``complete`` with its contents or ``bare``.
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
    supersedes: Annotated[tuple[Line, ...], *SOME] | None = None
    alternatives: Annotated[tuple[Line, ...], *SOME] | None = None
    quantity: Count = 1
    places: Annotated[tuple[Line, ...], *SEVERAL] | None = None
    contains: Annotated[tuple[Content, ...], *SOME] | None = None
    supplied: Literal["bare", "complete"] | None = None
    replace: Literal["always", "if_worn", "never"]
    order: Literal["always", "in_case", "only_if", "never"]
    order_if: Line | None = None
    pack_size: Count = 1
    single_use: bool = False
    note: Line | None = None

    @property
    def numbers(self) -> tuple[str, ...]:
        """The numbers it may be fitted under; none where it is not told by a number."""
        return () if self.number is None else (self.number, *(self.alternatives or ()))

    def is_called_for(self, number: str | None) -> bool:
        """Return whether one of that number may go in; what has no number is not judged."""
        if number is None or not self.numbers:
            return True
        return bare_number(number) in {bare_number(one) for one in self.numbers}


class Tool(Node):
    """What the hand holds, measuring instruments included.

    Attributes:
        id: short name used by steps.
        name: what it is, with size.
        bears_on: the surface it may bear on, where that matters.
        measures: unit of its scale, for an instrument.
        range_from: lower end of its range, in that unit.
        range_to: upper end of its range, in that unit.
        resolution: smallest step of its scale, in that unit.
        uncertainty: expanded uncertainty (k = 2), in that unit.
        note: anything else worth saying.
    """

    id: Id
    name: Line
    bears_on: Line | None = None
    measures: UnitSymbol | None = None
    range_from: Number | None = None
    range_to: Number | None = None
    resolution: Amount | None = None
    uncertainty: Amount | None = None
    note: Line | None = None


class Supply(Node):
    """What is used up: grease, cleaner, threadlocker, cloth.

    Attributes:
        id: short name used by steps.
        name: what it is.
        grade: its grade or class, where another would be wrong.
        number: number to order by.
        recommended_by: id of the source that asks for it.
        note: anything else worth saying.
    """

    id: Id
    name: Line
    grade: Line | None = None
    number: Line | None = None
    recommended_by: Id | None = None
    note: Line | None = None


class Stack(Node):
    """Parts that sit on one another and must go back in order.

    Attributes:
        id: short name.
        name: what the stack is.
        inside_out: ids of the parts, the first fitted first; a part that sits at several
            places of the stack is named at each.
    """

    id: Id
    name: Line
    inside_out: Annotated[tuple[Id, ...], *SOME]
