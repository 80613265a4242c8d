"""Whether a value can be what an instrument showed: its digits against the steps of the scale."""

from __future__ import annotations

from decimal import Decimal, localcontext
from fractions import Fraction
from typing import Literal

from author.checks.instruments import fits
from author.procedure.items import Tool
from author.procedure.quantities import decimals_of
from author.procedure.specs import LimitSpec, TorqueSpec
from author.procedure.units import all_units

Fineness = Literal["finer", "coarser"]
_DIGITS = 60


def step_of(tool: Tool, spec: LimitSpec) -> Decimal | None:
    """Return the smallest step of an instrument as its readings for a spec are written down.

    Args:
        tool: the instrument.
        spec: what is read with it.

    Returns:
        The step in the unit of the spec, with the digits of the document. None where it is
        not known, and where what is written down is not what the scale shows: worked out
        from other readings, behind an adapter, or told in a unit whose digits are others.
    """
    scale, unit = all_units().get(tool.measures or ""), all_units()[spec.unit]
    adapted = isinstance(spec, TorqueSpec) and spec.extension is not None
    if tool.resolution is None or scale is None or not fits(scale, unit):
        return None
    shift = None if adapted or spec.spread_of is not None else _power(scale.factor / unit.factor)
    return None if shift is None else tool.resolution.scaleb(shift)


def _power(ratio: Fraction) -> int | None:
    """Return the exponent of a power of ten, or None for any other number."""
    for exponent in range(-24, 25):
        if ratio == Fraction(10) ** exponent:
            return exponent
    return None


def fineness(value: Decimal, step: Decimal) -> Fineness | None:
    """Return how the digits of a reading differ from what a scale can show.

    Args:
        value: the reading with its digits as written.
        step: the smallest step of the scale, in the same unit.

    Returns:
        ``finer`` where the value lies between two steps or has more digits after the point
        than the step is written with; ``coarser`` where it has fewer than the step needs;
        None where it is one that the scale shows.
    """
    with localcontext() as context:
        context.prec = _DIGITS
        between = value % step != 0
        needed = decimals_of(step.normalize())
    if between or decimals_of(value) > decimals_of(step):
        return "finer"
    return "coarser" if decimals_of(value) < needed else None
