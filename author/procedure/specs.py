"""Numbers a person must meet and measure: limit specs and torque specs."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import BeforeValidator, Field

from author.procedure.quantities import Limits
from author.procedure.units import all_quantities, all_units, find_unit, near_units
from author.procedure.values import (
    SEVERAL,
    SOME,
    Amount,
    Count,
    Id,
    Line,
    Node,
    Number,
    Point,
    SiNumber,
)

Quantity = Annotated[str, Field(json_schema_extra=lambda s: s.update(enum=[*all_quantities()]))]


_USUAL = "schema/units.yaml has them all, such as mm, in, N·m, lbf·ft, bar, psi, °C, s and turn"
_USUAL_KINDS = "length, torque, pressure or temperature; schema/units.yaml has them all"


def _unit_symbol(value: object) -> object:
    if not isinstance(value, str):
        return value
    unit = find_unit(value)
    if unit is None:
        close = " or ".join(near_units(value)[:2])
        hint = f"did you mean {close}?" if close else _USUAL
        msg = f"{value[:20]!r} is not a unit on the list: {hint}"
        raise ValueError(msg)
    return unit.symbol


def _quantity(value: object) -> object:
    if isinstance(value, str) and value not in all_quantities():
        msg = f"{value[:20]!r} is not a kind of quantity, such as {_USUAL_KINDS}"
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
        at_most: how often it may be done before the job stops.
    """

    do: Literal["repeat", "recover", "stop"]
    how: Line
    step: Id | None = None
    at_most: Count | None = None


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
        id: name of the requirement, unique among specs, critical points and criteria.
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
        decision_rule: ``simple_acceptance`` accepts every reading inside the limits;
            ``guard_band`` only one that lies inside by at least the instrument's
            uncertainty, and leaves those nearer to a limit undecided.
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
    decision_rule: Literal["simple_acceptance", "guard_band"] = "simple_acceptance"
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


class WrenchExtension(Node):
    """An adapter that makes the torque wrench longer, so that it has to be set lower.

    Attributes:
        unit: unit of both lengths.
        wrench: from the middle of the wrench's grip to its square drive.
        adds: from the square drive to the fastener; negative where it comes back.
        angle: between adapter and wrench in degrees, 0 in line; 0 if absent.
    """

    unit: UnitSymbol
    wrench: Amount
    adds: Number
    angle: Number | None = None


class TorqueSpec(LimitSpec):
    """A limit spec for a threaded joint.

    Attributes:
        thread: designation, e.g. ``M16 × 1.5`` (ISO 261).
        property_class: e.g. ``8.8`` (ISO 898-1), if known.
        threads: condition of the threads when tightened: dry, oiled, threadlocker …
        nut_factor: K of T = K·d·F for that condition, if the source gives it.
        extension: adapter the wrench is used with, if any.
        fasteners: the fasteners of the pattern, where there is more than one.
        order: names of the fasteners in tightening order.
        passes: rounds of tightening, rising to 100 per cent.
    """

    quantity: Literal["torque"]
    thread: Line
    property_class: Line | None = None
    threads: Line
    nut_factor: Amount | None = None
    extension: WrenchExtension | None = None
    fasteners: Annotated[tuple[Fastener, ...], *SOME] | None = None
    order: Annotated[tuple[Line, ...], *SOME] | None = None
    passes: Annotated[tuple[Pass, ...], *SOME] | None = None


class ChainLink(Node):
    """One dimension of a chain.

    Attributes:
        what: what it is, e.g. ``Width of the bearing``.
        spec: id of the spec that limits it; its limits then stand there alone.
        lower: its smallest size, where no spec has it.
        upper: its largest size, where no spec has it.
        direction: whether it ``adds`` to the closing dimension or ``subtracts`` from it.
    """

    what: Line
    spec: Id | None = None
    lower: Number | None = None
    upper: Number | None = None
    direction: Literal["adds", "subtracts"]


class Chain(Node):
    """Dimensions that add up to one that is left over: a gap, an end float, a height.

    Attributes:
        id: short name.
        name: what the chain is.
        unit: unit of the numbers given here.
        method: ``worst_case`` adds the tolerances, ``root_sum_square`` their squares.
        closes: id of the spec that limits what is left over.
        links: the dimensions, in the order of the chain.
    """

    id: Id
    name: Line
    unit: UnitSymbol
    method: Literal["worst_case", "root_sum_square"]
    closes: Id
    links: Annotated[tuple[ChainLink, ...], *SEVERAL]
