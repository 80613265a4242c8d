"""What a reviewer weighs a number by: instrument, acceptance zone, load of the joint, wrench."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal
from fractions import Fraction
from typing import Literal

from author.checks.instruments import (
    LEAST_RATIO,
    fineness,
    instrument_of,
    misses_last_digit,
    uncertainty_in,
)
from author.checks.joints import Load, load_of, settings_of
from author.procedure.conformity import coarsest_step, judge
from author.procedure.items import Tool
from author.procedure.joints import nut_factor_for
from author.procedure.quantities import Limits, convert, range_text, round_fraction
from author.procedure.specs import LimitSpec, TorqueSpec
from author.procedure.threads import proof_strength, read_thread
from author.procedure.units import Unit, all_units

Verdict = Literal["adequate", "not adequate", "not judged"]

# What is counted needs no instrument.
_COUNTED = {"count", "turns"}


@dataclass(frozen=True, slots=True)
class Adequacy:
    """Whether an instrument is fine enough for its number.

    Attributes:
        verdict: ``adequate``, ``not adequate``, or ``not judged`` where there is nothing to
            judge, or too little is known.
        reasons: why it is not.
        share: smallest step of the scale over the tolerance, or over the one limit that there
            is; None without either.
        ratio: test uncertainty ratio, tolerance ÷ (2 U), or the one limit ÷ U; None without
            either.
    """

    verdict: Verdict
    reasons: tuple[str, ...] = ()
    share: Fraction | None = None
    ratio: Fraction | None = None

    def share_text(self) -> str | None:
        """Return the share in per cent, rounded up: it never looks better than it is."""
        if self.share is None:
            return None
        percent = round_fraction(self.share * 100, 0, ROUND_CEILING)
        return "under 1 %" if self.share * 100 < 1 else f"{percent} %"

    def ratio_text(self) -> str | None:
        """Return the ratio such as ``6.2:1``, rounded down: it never looks better than it is."""
        if self.ratio is None:
            return None
        return f"{round_fraction(self.ratio, 1, ROUND_FLOOR)}:1"


@dataclass(frozen=True, slots=True)
class Zone:
    """What a decision rule accepts.

    Attributes:
        limits: the readings accepted; None where nobody can say.
        why: why nobody can.
    """

    limits: Limits | None
    why: str | None = None


@dataclass(frozen=True, slots=True)
class Joint:
    """What a torque does to its screw, and what the wrench is set to.

    Attributes:
        load: share of the proof load at the highest torque named, None if not known.
        at: that torque.
        basis: what the proof load was read from.
        why: why the load is not known.
        setting: what the wrench is set to through its adapter; None without one.
        setting_why: why that cannot be said.
    """

    load: Load | None
    at: Decimal | None
    basis: str | None
    why: str | None
    setting: Limits | None
    setting_why: str | None

    def percent_text(self) -> str | None:
        """Return the load in per cent of the proof load, rounded up."""
        if self.load is None:
            return None
        return f"{round_fraction(self.load.share * 100, 0, ROUND_CEILING)} %"


def adequacy(
    spec: LimitSpec, tools: Mapping[str, Tool], specs: Mapping[str, LimitSpec]
) -> Adequacy:
    """Judge the instrument of a number by range, resolution and uncertainty.

    Args:
        spec: the number.
        tools: tools by id.
        specs: all numbers by id; a spread is worked out from the readings of another.

    Source: rule of tens for the resolution; ANSI/NCSL Z540.3, 5.3 b) for the ratio.
    """
    if spec.reference:
        return Adequacy("not judged", ("nothing is decided by it",))
    named = instrument_of(spec, specs)
    if named is None:
        if spec.quantity in _COUNTED:
            return Adequacy("not judged", ("it is counted",))
        return Adequacy("not adequate", ("no instrument is named",))
    tool, unit = tools.get(named), all_units()[spec.unit]
    if tool is None:
        return Adequacy("not adequate", (f"'{named}' is not on the list of tools",))
    if tool.measures is None:
        return Adequacy("not adequate", ("it is not said to measure anything",))
    if not _measures(all_units()[tool.measures], unit):
        return Adequacy("not adequate", (f"it measures {tool.measures}, not {unit.symbol}",))
    share, ratio = fineness(spec, tool)
    bad = tuple(_too_coarse(spec, tool, share, ratio))
    if bad:
        return Adequacy("not adequate", bad, share, ratio)
    open_questions = tuple(_not_known(spec, tool))
    return Adequacy("not judged" if open_questions else "adequate", open_questions, share, ratio)


def _measures(scale: Unit, unit: Unit) -> bool:
    difference = (scale.quantity, unit.quantity) == ("temperature", "temperature_difference")
    return difference or scale.quantity == unit.quantity


def _too_coarse(
    spec: LimitSpec, tool: Tool, share: Fraction | None, ratio: Fraction | None
) -> Iterator[str]:
    scale, unit = all_units()[tool.measures or ""], all_units()[spec.unit]
    limits = wrench_setting_of(spec) if isinstance(spec, TorqueSpec) else spec.limits()
    ends = [None if e is None else scale.to_si(e) for e in (tool.range_from, tool.range_to)]
    values = [unit.to_si(value) for value in (limits or spec.limits()).values()]
    apart = spec.spread_of is not None or scale.quantity != unit.quantity
    below = ends[0] is not None and any(value < ends[0] for value in values)
    above = ends[1] is not None and any(value > ends[1] for value in values)
    if not apart and (below or above):
        reach = range_text(Limits(tool.range_from, None, tool.range_to, scale))
        yield f"its range, {reach}, does not cover the limits"
    if share is not None and share > coarsest_step(Fraction(1)):
        two = spec.lower is not None and spec.upper is not None
        of = "the tolerance" if two else "the one limit"
        yield f"steps of more than a tenth of {of} are too coarse"
    if misses_last_digit(spec, tool):
        yield "its steps are more than the last digit of the limit"
    if ratio is not None and ratio < LEAST_RATIO:
        yield f"a ratio of less than {LEAST_RATIO}:1 is too small"


def _not_known(spec: LimitSpec, tool: Tool) -> Iterator[str]:
    one = spec.lower is None or spec.upper is None
    if one and fineness(spec, tool) == (None, None) and (tool.resolution or tool.uncertainty):
        yield "one limit and no end at nought, so there is no span to hold it against"
    else:
        if tool.resolution is None:
            yield "its resolution is not given"
        if tool.uncertainty is None:
            yield "its uncertainty is not given"


def zone_of(
    spec: LimitSpec, tools: Mapping[str, Tool], specs: Mapping[str, LimitSpec]
) -> Zone | None:
    """Return the readings a guard band accepts, or None for simple acceptance."""
    if spec.decision_rule != "guard_band" or (spec.lower is None and spec.upper is None):
        return None
    tool = tools.get(instrument_of(spec, specs) or "")
    unit = all_units()[spec.unit]
    band = None if tool is None else uncertainty_in(tool, unit)
    if band is None:
        return Zone(None, "the uncertainty of the instrument is not given")
    try:
        found = judge(spec.limits().values()[0], spec.limits(), band, "guard_band")
    except ValueError as error:
        return Zone(None, str(error))
    return Zone(Limits(found.lower, None, found.upper, unit))


def joint_of(spec: TorqueSpec) -> Joint | None:
    """Return what a torque does to its screw; None where it tightens nothing.

    A reference value is read when a screw is undone, a spread is no torque on a screw.
    """
    if spec.reference or spec.spread_of is not None:
        return None
    load = load_of(spec)
    setting, setting_why = None, None
    if spec.extension is not None:
        setting = wrench_setting_of(spec)
        if setting is None:
            turns = settings_of(spec, Decimal(1)) is not None
            setting_why = "the limits leave no tolerance" if turns else "no wrench turns"
    return Joint(
        load=load,
        at=max(spec.limits().values(), default=None),
        basis=None if load is None else _basis(spec),
        why=None if load is not None else _why_no_load(spec),
        setting=setting,
        setting_why=setting_why,
    )


def _basis(spec: TorqueSpec) -> str:
    return proof_strength(read_thread(spec.thread), spec.property_class or "").basis


def _why_no_load(spec: TorqueSpec) -> str:
    if not spec.limits().values():
        return "no torque is given"
    try:
        thread = read_thread(spec.thread)
        if spec.property_class is None:
            return "no property class is given"
        proof_strength(thread, spec.property_class)
    except ValueError as error:
        return str(error)
    if spec.nut_factor is None and nut_factor_for(spec.threads) is None:
        return f"no nut factor is given, and none is published for threads '{spec.threads}'"
    return "the numbers do not make a load"


def wrench_setting_of(spec: TorqueSpec) -> Limits | None:
    """Return what the wrench is set to, rounded so that the tolerance never widens.

    Returns:
        The limits themselves without an adapter; None where no wrench turns with it, or
        where the limits leave no tolerance.
    """
    if spec.extension is None:
        return spec.limits()
    share = settings_of(spec, Decimal(1))
    if share is None:
        return None
    unit = all_units()[spec.unit]
    # One unit on the scale of the wrench is more than that at the screw.
    shown = replace(unit, factor=unit.factor / share)
    try:
        found = convert(spec.limits(), shown)
    except ValueError:
        return None
    return replace(found, unit=unit)
