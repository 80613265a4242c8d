"""Numbers a person must meet and measure: limit specs and torque specs."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import BeforeValidator, Field

from author.procedure.quantities import Limits
from author.procedure.units import all_quantities, all_units, find_unit, nearest_unit
from author.procedure.values import SOME, Id, Line, Node, Number, Point, SiNumber

Quantity = Annotated[str, Field(json_schema_extra=lambda s: s.update(enum=[*all_quantities()]))]


def _unit_symbol(value: object) -> object:
    if not isinstance(value, str):
        return value
    unit = find_unit(value)
    if unit is None:
        close = nearest_unit(value)
        hint = f"did you mean {close}?" if close else f"units are: {', '.join(all_units())}"
        msg = f"{value[:20]!r} is not a unit on the list: {hint}"
        raise ValueError(msg)
    return unit.symbol


def _quantity(value: object) -> object:
    if isinstance(value, str) and value not in all_quantities():
        msg = f"{value[:20]!r} is not a kind of quantity: {', '.join(all_quantities())}"
        raise ValueError(msg)
    return value


UnitSymbol = Annotated[
    str,
    BeforeValidator(_unit_symbol),
    Field(json_schema_extra=lambda s: s.update(enum=[*all_units()])),
]


class Reaction(Node):
    """What to do about a reading outside its limits, or one that cannot be judged.

    Attributes:
        do: ``repeat`` the step, ``recover`` by what ``how`` says, or ``stop`` the job.
        how: one sentence that says what to do.
        step: the step to go back to, if any.
    """

    do: Literal["repeat", "recover", "stop"]
    how: Line
    step: Id | None = None


class SiValues(Node):
    """The limits in the coherent SI unit: derived, written on publishing, never signed.

    Attributes:
        unit: the coherent SI unit of the quantity, e.g. ``m``.
        lower: smallest value accepted.
        nominal: value aimed at.
        upper: largest value accepted.
    """

    unit: Line
    lower: SiNumber | None = None
    nominal: SiNumber | None = None
    upper: SiNumber | None = None


class LimitSpec(Node):
    """One numeric requirement.

    Attributes:
        id: name of the requirement, unique in the procedure.
        characteristic: what is measured, e.g. ``Bore diameter``.
        where: where it is measured.
        positions: names of the readings to take, if more than one.
        quantity: kind of quantity, a key of ``schema/units.yaml``.
        unit: unit of all numbers here.
        lower: smallest value accepted.
        nominal: value aimed at.
        upper: largest value accepted.
        reference: true where the number is for information and nothing is accepted or
            refused by it.
        datum: what it is measured from.
        instrument: id of the tool it is measured with.
        spread_of: id of another spec with several positions; this spec then limits the
            largest less the smallest of its readings.
        source: id of the source the numbers come from.
        below: what to do about a reading below the limits.
        above: what to do about a reading above the limits.
        undecided: what to do when the instrument cannot tell.
        si: the numbers in SI, derived.
        note: anything else worth saying.
    """

    id: Id
    characteristic: Line
    where: Line | None = None
    positions: Annotated[tuple[Line, ...], *SOME] | None = None
    quantity: Annotated[Quantity, BeforeValidator(_quantity)]
    unit: UnitSymbol
    lower: Number | None = None
    nominal: Number | None = None
    upper: Number | None = None
    reference: bool = False
    datum: Line | None = None
    instrument: Id | None = None
    spread_of: Id | None = None
    source: Id | None = None
    below: Reaction | None = None
    above: Reaction | None = None
    undecided: Reaction | None = None
    si: SiValues | None = None
    note: Line | None = None

    def limits(self) -> Limits:
        """Return the numbers with their unit."""
        return Limits(self.lower, self.nominal, self.upper, all_units()[self.unit])


class Fastener(Node):
    """One bolt, screw or nut of a pattern: its name, and where it is drawn.

    Attributes:
        name: what a person calls it, e.g. ``A`` or ``top left``.
        at: its place in a drawing of the pattern: 0,0 top left to 1,1 bottom right.
    """

    name: Line
    at: Point


class Pass(Node):
    """One round of tightening.

    Attributes:
        percent: share of the final torque, 1 to 100.
        note: anything worth saying about this round.
    """

    percent: Annotated[int, Field(ge=1, le=100)]
    note: Line | None = None


class TorqueSpec(LimitSpec):
    """A limit spec for a threaded joint.

    Attributes:
        thread: designation, e.g. ``M16 × 1.5`` (ISO 261).
        property_class: e.g. ``8.8`` (ISO 898-1), if known.
        threads: condition of the threads when tightened: dry, oiled, threadlocker …
        fasteners: the fasteners of the pattern, where there is more than one.
        order: names of the fasteners in tightening order.
        passes: rounds of tightening, rising to 100 per cent.
    """

    quantity: Literal["torque"]
    thread: Line
    property_class: Line | None = None
    threads: Line
    fasteners: Annotated[tuple[Fastener, ...], *SOME] | None = None
    order: Annotated[tuple[Line, ...], *SOME] | None = None
    passes: Annotated[tuple[Pass, ...], *SOME] | None = None
