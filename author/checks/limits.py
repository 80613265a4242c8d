"""Numbers: limits in order, units that fit, sources, and what a reading outside leads to."""

from __future__ import annotations

import re
from collections.abc import Iterator
from decimal import Decimal
from fractions import Fraction

from author.checks.instruments import fits
from author.checks.remarks import Path, Remark, Subject, remark
from author.checks.wording import unconfirmed
from author.procedure.fits import read_zone
from author.procedure.quantities import round_fraction, second_unit
from author.procedure.specs import LimitSpec, SiValues, TorqueSpec
from author.procedure.steps import Step
from author.procedure.units import all_units

# A size with its zone as drawings give it: 40 N7, ø17 h6. A thread such as M8 is none.
_ZONE = re.compile(r"(?<![\w.])ø?\d+(?:\.\d+)?\s?(?:[A-Z]{1,2}|[a-z]{1,2})\d{1,2}(?![\w.])")


def check(subject: Subject) -> Iterator[Remark]:
    """Yield remarks on limit and torque specs."""
    specs = {spec.id: spec for _, _, spec in subject.procedure.placed_specs()}
    for placed, path, spec in subject.procedure.placed_specs():
        yield from _order(spec, path)
        if unconfirmed(spec):
            yield remark("limits.unconfirmed", f"nobody has confirmed the number '{spec.id}'", path)
        yield from _unit(spec, path)
        yield from _second_unit(spec, path)
        yield from _fit(spec, path)
        yield from _spread(spec, specs, path)
        yield from _reactions(spec, placed.step, path)
    for _, path, point in subject.procedure.placed_points():
        if point.source is None:
            rule = "limits.no_source" if isinstance(point, LimitSpec) else "review.no_source"
            yield remark(rule, f"'{point.id}' names no source", path)


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
        yield remark("limits.order", f"the numbers of '{spec.id}' do not rise: {said}", path)
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


def _fit(spec: LimitSpec, path: Path) -> Iterator[Remark]:
    """Compare a diameter that names its ISO 286 zone with the limits of that zone."""
    unit = all_units()[spec.unit]
    if unit.quantity != "length" or spec.lower is None or spec.upper is None:
        return
    for named in _ZONE.findall(f"{spec.characteristic} {spec.where or ''}"):
        try:
            zone = read_zone(named).limits()
        except ValueError:
            continue
        ends = [(spec.lower, zone.lower), (spec.upper, zone.upper)]
        if any(own is None or unit.to_si(own) != zone.unit.to_si(iso) for own, iso in ends if iso):
            yield remark(
                "limits.fit",
                f"{named} is {zone.lower:f} to {zone.upper:f} mm, '{spec.id}' says "
                f"{spec.lower:f} to {spec.upper:f} {unit.symbol}",
                path,
            )


def _second_unit(spec: LimitSpec, path: Path) -> Iterator[Remark]:
    tolerance = spec.limits().tolerance()
    if tolerance is not None and tolerance <= 0:
        return
    try:
        second_unit(spec.limits())
    except ValueError as error:
        yield remark("limits.second_unit", f"'{spec.id}': {error}", path)


def _spread(spec: LimitSpec, specs: dict[str, LimitSpec], path: Path) -> Iterator[Remark]:
    if spec.positions and len(set(spec.positions)) != len(spec.positions):
        yield remark(
            "limits.spread",
            f"'{spec.id}' has two positions of one name",
            (*path, "positions"),
            "Give each position a name of its own",
        )
    readings = specs.get(spec.spread_of or "")
    if readings is None:
        return
    unit, other = all_units()[spec.unit], all_units()[readings.unit]
    said = None
    if len(readings.positions or ()) < 2:
        said = f"'{readings.id}' has no positions to be spread over"
    elif not fits(other, unit):
        said = f"'{spec.id}' is in {unit.symbol}, the readings of '{readings.id}' in {other.symbol}"
    elif spec.upper is not None:
        if readings.lower is None or readings.upper is None:
            return
        room = (Fraction(readings.upper) - Fraction(readings.lower)) * other.factor
        if room > 0 and Fraction(spec.upper) * unit.factor >= room:
            said = f"readings of '{readings.id}' inside their limits can never break '{spec.id}'"
    if said:
        yield remark("limits.spread", said, (*path, "spread_of"))


def _reactions(spec: LimitSpec, step: Step, path: Path) -> Iterator[Remark]:
    """Ask for a reaction to every reading that can be, and to no other."""
    possible = {
        "below": spec.lower is not None,
        "above": spec.upper is not None,
        "undecided": spec.decision_rule == "guard_band",
    }
    decided = step.decision is not None and step.decision.spec == spec.id
    missing = []
    for side, can_be in possible.items():
        reaction = getattr(spec, side)
        if reaction is not None and not can_be:
            yield remark(
                "limits.reaction_never",
                f"no reading of '{spec.id}' can be {side}",
                (*path, side),
            )
        elif reaction is None and can_be:
            missing.append(side)
    # A torque wrench is set to the value; its joint has no reading to be outside.
    if missing and not (decided or spec.reference or isinstance(spec, TorqueSpec)):
        yield remark(
            "limits.no_reaction",
            f"'{spec.id}' does not say what to do {' or '.join(missing)}",
            path,
        )
