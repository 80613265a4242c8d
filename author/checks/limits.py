"""Numbers: limits in order, units that fit, sources, and instruments that can decide."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal
from fractions import Fraction

from author.checks.remarks import Path, Remark, Subject, remark
from author.procedure.lists import Tool
from author.procedure.quantities import round_fraction
from author.procedure.specs import LimitSpec, SiValues
from author.procedure.units import Unit, all_units

# Rule of tens: the instrument resolves at least a tenth of the tolerance.
_RESOLUTION_SHARE = 10
_LEAST_RATIO = 4
# What is counted needs no instrument.
_COUNTED = {"count", "turns"}


def check(subject: Subject) -> Iterator[Remark]:
    """Yield remarks on limit and torque specs."""
    tools = {tool.id: tool for tool in subject.procedure.tools}
    for _, path, spec in subject.procedure.placed_specs():
        yield from _order(spec, path)
        yield from _unit(spec, path)
        if spec.source is None:
            yield remark("limits.no_source", f"'{spec.id}' names no source", path)
        tool = tools.get(spec.instrument or "")
        if spec.instrument is None:
            counted = spec.quantity in _COUNTED
            if not spec.reference and spec.spread_of is None and not counted:
                yield remark("instruments.none", f"'{spec.id}' names no instrument", path)
        elif tool is not None:
            yield from _instrument(spec, tool, (*path, "instrument"))


def _order(spec: LimitSpec, path: Path) -> Iterator[Remark]:
    values = spec.limits().values()
    if spec.lower is None and spec.upper is None and not (spec.reference and values):
        said = "a nominal value alone" if spec.nominal is not None else "no number at all"
        yield remark("limits.no_limits", f"'{spec.id}' has {said}", path)
    if list(values) != sorted(values):
        said = ", ".join(
            f"{key} {value:f}"
            for key, value in (
                ("lower", spec.lower), ("nominal", spec.nominal), ("upper", spec.upper)
            )
            if value is not None
        )  # fmt: skip
        yield remark("limits.order", f"the limits of '{spec.id}' are crossed: {said}", path)
    elif spec.lower is not None and spec.lower == spec.upper:
        yield remark("limits.order", f"the limits of '{spec.id}' leave no tolerance", path)


def _unit(spec: LimitSpec, path: Path) -> Iterator[Remark]:
    unit = all_units()[spec.unit]
    if unit.quantity != spec.quantity:
        yield remark(
            "limits.unit",
            f"'{spec.id}' is a {spec.quantity.replace('_', ' ')}, "
            f"but {unit.symbol} is a unit of {unit.quantity.replace('_', ' ')}",
            (*path, "unit"),
        )
    elif spec.si is not None and spec.si != si_values(spec):
        yield remark(
            "limits.si_value", f"the SI values of '{spec.id}' are not its limits", (*path, "si")
        )


def si_values(spec: LimitSpec) -> SiValues:
    """Return the numbers of a spec in the coherent SI unit, exact or to twelve decimals."""
    unit = all_units()[spec.unit]

    def value(number: Decimal | None) -> Decimal | None:
        return None if number is None else _plain(unit.to_si(number))

    return SiValues(
        unit=unit.si,
        lower=value(spec.lower),
        nominal=value(spec.nominal),
        upper=value(spec.upper),
    )


def _plain(value: Fraction) -> Decimal:
    text = format(round_fraction(value, 12), "f")
    return Decimal(text.rstrip("0").rstrip("."))


def _fits(scale: Unit, unit: Unit) -> bool:
    if scale.quantity == "temperature" and unit.quantity == "temperature_difference":
        return True
    return scale.quantity == unit.quantity


def _instrument(spec: LimitSpec, tool: Tool, path: Path) -> Iterator[Remark]:
    if tool.measures is None:
        yield remark("instruments.unit", f"'{tool.id}' is not said to measure anything", path)
        return
    scale, unit = all_units()[tool.measures], all_units()[spec.unit]
    if not _fits(scale, unit):
        yield remark(
            "instruments.unit",
            f"'{tool.id}' measures {scale.symbol}, '{spec.id}' is in {unit.symbol}",
            path,
        )
        return
    # A spread, or a difference, is worked out from readings that lie elsewhere.
    apart = spec.spread_of is not None or scale.quantity != unit.quantity
    values = [] if apart else [unit.to_si(v) for v in spec.limits().values()]
    ends = [None if e is None else scale.to_si(e) for e in (tool.range_from, tool.range_to)]
    if any(
        (ends[0] is not None and v < ends[0]) or (ends[1] is not None and v > ends[1])
        for v in values
    ):
        yield remark(
            "instruments.range", f"the range of '{tool.id}' does not cover '{spec.id}'", path
        )
    if spec.lower is not None and spec.upper is not None:
        tolerance = (Fraction(spec.upper) - Fraction(spec.lower)) * unit.factor
        yield from _fineness(spec, tool, tolerance, path)


def uncertainty_ratio(tolerance: Fraction, uncertainty: Fraction) -> Fraction:
    """Return how many times the tolerance holds the band of an instrument's uncertainty.

    Args:
        tolerance: upper less lower limit.
        uncertainty: expanded uncertainty (k = 2) in the same unit; not zero.

    Source: ANSI/NCSL Z540.3, 5.3 b): tolerance ÷ (2 × U95), at least 4 to 1.
    """
    return tolerance / (2 * uncertainty)


def _fineness(spec: LimitSpec, tool: Tool, tolerance: Fraction, path: Path) -> Iterator[Remark]:
    scale = all_units()[tool.measures or ""]
    if tool.uncertainty and tolerance > 0:
        ratio = uncertainty_ratio(tolerance, Fraction(tool.uncertainty) * scale.factor)
        if ratio < _LEAST_RATIO:
            yield remark(
                "instruments.uncertainty",
                f"'{tool.id}' is uncertain by ±{tool.uncertainty:f} {scale.symbol}: "
                f"the tolerance of '{spec.id}' is {float(ratio):.1f} times that, not 4",
                path,
            )
    if tool.resolution is None:
        return
    step = Fraction(tool.resolution) * scale.factor
    if 0 < tolerance < step * _RESOLUTION_SHARE:
        yield remark(
            "instruments.resolution",
            f"'{tool.id}' steps in {tool.resolution:f} {scale.symbol}, "
            f"more than a tenth of the tolerance of '{spec.id}'",
            path,
        )
