"""Instruments that fit what they measure and are fine enough to decide."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import ROUND_CEILING, Decimal
from fractions import Fraction

from author.checks.joints import settings_of
from author.checks.remarks import Path, Remark, Subject, remark
from author.procedure.conformity import coarsest_step, judge, uncertainty_ratio
from author.procedure.items import Tool
from author.procedure.quantities import round_fraction
from author.procedure.specs import LimitSpec, TorqueSpec
from author.procedure.units import Unit, all_units

LEAST_RATIO = 4
"""Least test uncertainty ratio (ANSI/NCSL Z540.3, 5.3 b)."""
# What is counted needs no instrument.
_COUNTED = {"count", "turns"}


def check(subject: Subject) -> Iterator[Remark]:
    """Yield remarks on the instruments of limit and torque specs."""
    tools = {tool.id: tool for tool in subject.procedure.tools}
    for _, path, spec in subject.procedure.placed_specs():
        tool = tools.get(spec.instrument or "")
        if spec.instrument is None:
            counted = spec.quantity in _COUNTED
            if not spec.reference and spec.spread_of is None and not counted:
                yield remark("instruments.none", f"'{spec.id}' names no instrument", path)
        elif tool is not None:
            yield from _instrument(spec, tool, (*path, "instrument"))
        yield from _guard_band(spec, tool, path)


def uncertainty_in(tool: Tool, unit: Unit) -> Decimal | None:
    """Return an instrument's expanded uncertainty in a unit, rounded up to twelve decimals.

    Args:
        tool: the instrument.
        unit: a unit of what it measures.

    Returns:
        None where it is not known, or the instrument measures something else.
    """
    scale = all_units().get(tool.measures or "")
    if scale is None or tool.uncertainty is None or not fits(scale, unit):
        return None
    if scale == unit:
        return tool.uncertainty
    exact = round_fraction(
        Fraction(tool.uncertainty) * scale.factor / unit.factor, 12, ROUND_CEILING
    )
    return exact.normalize() if exact else exact


def _guard_band(spec: LimitSpec, tool: Tool | None, path: Path) -> Iterator[Remark]:
    if spec.decision_rule != "guard_band" or (spec.lower is None and spec.upper is None):
        return
    if tool is None and spec.instrument is not None:
        return  # an unknown tool has its own remark
    band = None if tool is None else uncertainty_in(tool, all_units()[spec.unit])
    crossed = None not in (spec.lower, spec.upper) and spec.lower >= spec.upper  # type: ignore[operator]
    if band is None:
        said = f"'{spec.id}' is guarded by an uncertainty that is not given"
        yield remark("instruments.guard_band", said, path)
    elif not crossed:
        try:
            judge(spec.limits().values()[0], spec.limits(), band, "guard_band")
        except ValueError as error:
            yield remark(
                "instruments.guard_band", f"'{spec.id}': {str(error).partition(':')[0]}", path
            )


def fits(scale: Unit, unit: Unit) -> bool:
    """Whether readings in one unit, or differences of them, can be told in another."""
    if scale.quantity == "temperature" and unit.quantity == "temperature_difference":
        return True
    return scale.quantity == unit.quantity


def _instrument(spec: LimitSpec, tool: Tool, path: Path) -> Iterator[Remark]:
    if tool.measures is None:
        yield remark("instruments.unit", f"'{tool.id}' is not said to measure anything", path)
        return
    scale, unit = all_units()[tool.measures], all_units()[spec.unit]
    if not fits(scale, unit):
        yield remark(
            "instruments.unit",
            f"'{tool.id}' measures {scale.symbol}, '{spec.id}' is in {unit.symbol}",
            path,
        )
        return
    # A spread, or a difference, is worked out from readings that lie elsewhere.
    # Behind an adapter the wrench shows another torque: the rule on wrenches asks then.
    adapted = isinstance(spec, TorqueSpec) and spec.extension is not None
    apart = adapted or spec.spread_of is not None or scale.quantity != unit.quantity
    values = [] if apart else [unit.to_si(v) for v in spec.limits().values()]
    ends = [None if e is None else scale.to_si(e) for e in (tool.range_from, tool.range_to)]
    if any(
        (ends[0] is not None and v < ends[0]) or (ends[1] is not None and v > ends[1])
        for v in values
    ):
        said = f"'{tool.id}' reaches from {_end(tool.range_from)} to {_end(tool.range_to)} "
        needs = " and ".join(f"{value:f}" for value in spec.limits().values())
        yield remark(
            "instruments.range",
            f"{said}{scale.symbol}, '{spec.id}' needs {needs} {unit.symbol}",
            path,
        )
    if spec.lower is not None and spec.upper is not None:
        tolerance = (Fraction(spec.upper) - Fraction(spec.lower)) * unit.factor
        if isinstance(spec, TorqueSpec):
            # A longer wrench shows less of it.
            tolerance *= settings_of(spec, Decimal(1)) or 1
        yield from _fineness(spec, tool, tolerance, path)


def _end(value: Decimal | None) -> str:
    return "…" if value is None else f"{value:f}"


def _fineness(spec: LimitSpec, tool: Tool, tolerance: Fraction, path: Path) -> Iterator[Remark]:
    scale = all_units()[tool.measures or ""]
    if tool.uncertainty and tolerance > 0:
        ratio = uncertainty_ratio(tolerance, Fraction(tool.uncertainty) * scale.factor)
        if ratio < LEAST_RATIO:
            yield remark(
                "instruments.uncertainty",
                f"'{tool.id}' is uncertain by ±{tool.uncertainty:f} {scale.symbol}: its "
                f"uncertainty ratio for '{spec.id}' is {float(ratio):.2g} to 1, not 4 to 1",
                path,
            )
    if tool.resolution is None:
        return
    step = Fraction(tool.resolution) * scale.factor
    if tolerance > 0 and step > coarsest_step(tolerance):
        yield remark(
            "instruments.resolution",
            f"'{tool.id}' steps in {tool.resolution:f} {scale.symbol}, "
            f"more than a tenth of the tolerance of '{spec.id}'",
            path,
        )
