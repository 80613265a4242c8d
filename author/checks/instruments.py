"""Instruments that fit what they measure and are fine enough to decide."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
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
# Nought of these is a point of the scale like any other.
_NO_NOUGHT = {"temperature"}


def check(subject: Subject) -> Iterator[Remark]:
    """Yield remarks on the instruments of limit and torque specs."""
    tools = {tool.id: tool for tool in subject.procedure.tools}
    placed = [*subject.procedure.placed_specs()]
    specs = {spec.id: spec for _, _, spec in placed}
    for _, path, spec in placed:
        tool = tools.get(spec.instrument or "")
        if spec.instrument is None:
            counted = spec.quantity in _COUNTED
            if not spec.reference and spec.spread_of is None and not counted:
                yield remark("instruments.none", f"'{spec.id}' names no instrument", path)
        elif tool is not None:
            yield from _instrument(spec, tool, (*path, "instrument"))
        behind = tools.get(instrument_of(spec, specs) or "")
        if behind is not None and not spec.reference:
            at = (*path, "instrument") if spec.instrument else path
            yield from _fineness(spec, behind, at)
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
    tolerance = spec.limits().tolerance()
    if band is None:
        said = f"'{spec.id}' is guarded by an uncertainty that is not given"
        yield remark("instruments.guard_band", said, path)
    elif tolerance is None or tolerance > 0:
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


def _end(value: Decimal | None) -> str:
    return "…" if value is None else f"{value:f}"


def instrument_of(spec: LimitSpec, specs: Mapping[str, LimitSpec]) -> str | None:
    """Return the id of the tool behind a number; a spread has that of its readings."""
    base = specs.get(spec.spread_of or "")
    return spec.instrument or (base.instrument if base is not None else None)


def fineness(spec: LimitSpec, tool: Tool) -> tuple[Fraction | None, Fraction | None]:
    """Return how fine an instrument is for a number.

    Two limits are held against the tolerance between them, and the ratio is tolerance ÷ 2 U:
    the guard band of ISO 14253-1 lies at both of its ends. Of one limit the span is that from
    nought, where nought is the end of what can be; the band lies at one end, and the ratio is
    span ÷ U. At 4 to 1 both leave three quarters of what is accepted. A spread is held
    against the uncertainty of one reading: what is common to all readings falls out of it.

    Args:
        spec: the number.
        tool: what it is read with.

    Returns:
        Step ÷ span, and the uncertainty ratio; None for what is not known. A limit without a
        span (a temperature, or on a scale that goes below nought) has neither.
    """
    scale = all_units().get(tool.measures or "")
    found = _span(spec, tool)
    if scale is None or found is None or not fits(scale, all_units()[spec.unit]):
        return None, None
    span, ends = found
    share, ratio = None, None
    if tool.resolution is not None:
        share = Fraction(tool.resolution) * scale.factor / span
    if tool.uncertainty:
        band = abs(Fraction(tool.uncertainty)) * scale.factor
        ratio = uncertainty_ratio(span, band) * (2 if ends == 1 else 1)
    return share, ratio


def _span(spec: LimitSpec, tool: Tool) -> tuple[Fraction, int] | None:
    """Return what the limits accept, in SI units, and at how many ends a band is cut off."""
    unit, ends = all_units()[spec.unit], 1
    if spec.lower is not None and spec.upper is not None:
        span, ends = Fraction(spec.upper) - Fraction(spec.lower), 2
    else:
        below = tool.range_from is not None and tool.range_from < 0
        limit = spec.upper if spec.lower is None else spec.lower
        if limit is None or unit.quantity in _NO_NOUGHT or below:
            return None
        span = Fraction(limit)
    # Behind an adapter the wrench shows less of a torque, and of its tolerance.
    factor = settings_of(spec, Decimal(1)) if isinstance(spec, TorqueSpec) else None
    span *= unit.factor * (factor or 1)
    return (span, ends) if span > 0 else None


def misses_last_digit(spec: LimitSpec, tool: Tool) -> bool:
    """Whether an instrument steps over the last digit of a limit that has no span."""
    scale, unit = all_units().get(tool.measures or ""), all_units()[spec.unit]
    limit = spec.upper if spec.lower is None else spec.lower
    if None not in (spec.lower, spec.upper) or limit is None or scale is None:
        return False
    if _span(spec, tool) is not None or tool.resolution is None or not fits(scale, unit):
        return False
    exponent = limit.as_tuple().exponent
    digit = Fraction(10) ** exponent if isinstance(exponent, int) else Fraction(1)
    return Fraction(tool.resolution) * scale.factor > digit * unit.factor


def _fineness(spec: LimitSpec, tool: Tool, path: Path) -> Iterator[Remark]:
    scale = tool.measures or ""
    share, ratio = fineness(spec, tool)
    two = spec.lower is not None and spec.upper is not None
    if ratio is not None and ratio < LEAST_RATIO and tool.uncertainty is not None:
        yield remark(
            "instruments.uncertainty",
            f"'{tool.id}' is uncertain by ±{tool.uncertainty:f} {scale}: its "
            f"uncertainty ratio for '{spec.id}' is {float(ratio):.2g} to 1, not 4 to 1",
            path,
        )
    coarse = share is not None and share > coarsest_step(Fraction(1))
    if tool.resolution is not None and coarse:
        of = "the tolerance" if two else "the one limit"
        yield remark(
            "instruments.resolution",
            f"'{tool.id}' steps in {tool.resolution:f} {scale}, "
            f"more than a tenth of {of} of '{spec.id}'",
            path,
        )
    elif tool.resolution is not None and misses_last_digit(spec, tool):
        yield remark(
            "instruments.resolution",
            f"'{tool.id}' steps in {tool.resolution:f} {scale}, "
            f"more than the last digit of the limit of '{spec.id}'",
            path,
        )
