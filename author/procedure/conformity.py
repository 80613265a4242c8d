"""Whether a measured value conforms, and whether an instrument is fine enough to tell.

A decision rule is named before anything is measured (ISO/IEC 17025:2017, 7.1.3; ILAC-G8:
09/2019). With ``simple_acceptance`` a value inside the limits is accepted, whatever the
instrument: at a limit it is wrong half the time. With ``guard_band`` the acceptance zone
is the limits shrunk by the expanded uncertainty U, the rejection zone what lies outside
the limits grown by U, and between them nobody can tell (ISO 14253-1).
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from typing import Literal

from author.procedure.quantities import Limits

DecisionRule = Literal["simple_acceptance", "guard_band"]
Outcome = Literal["accept", "reject", "cannot_tell"]
Side = Literal["below", "above"]

# Rule of tens: the instrument resolves at least a tenth of the tolerance.
_STEPS_IN_TOLERANCE = 10


@dataclass(frozen=True, slots=True)
class Conformity:
    """What is decided about one measured value.

    Attributes:
        outcome: ``accept``, ``reject`` or ``cannot_tell``.
        side: the limit that is missed, or too near to tell; None if accepted.
        lower: smallest value that would have been accepted; None without a lower limit.
        upper: largest value that would have been accepted; None without an upper limit.
        rule: name of the decision rule.
    """

    outcome: Outcome
    side: Side | None
    lower: Decimal | None
    upper: Decimal | None
    rule: DecisionRule


def judge(
    value: Decimal, limits: Limits, uncertainty: Decimal | None, rule: DecisionRule
) -> Conformity:
    """Decide whether a measured value conforms to its limits.

    The value is compared as it was read, never rounded first: 0.236 does not pass as 0.24
    (tec-ease.com, tip 64, after ASME Y14.5M-1994). A value exactly at an acceptance limit
    is accepted, one exactly at a limit grown by U is not rejected.

    Args:
        value: what was measured, in the unit of the limits.
        limits: lower and upper limit, or one of them; the nominal value is not used.
        uncertainty: expanded uncertainty U (k = 2) in the unit of the limits; not used by
            ``simple_acceptance``.
        rule: ``simple_acceptance`` (guard band w = 0) or ``guard_band`` (w = U).

    Raises:
        ValueError: if there is no limit, or the limits are crossed; if ``guard_band`` has
            no uncertainty, a negative one, or one that leaves no acceptance zone
            (2 U as large as the tolerance); if the rule has another name.

    Source: ILAC-G8:09/2019, 4.2.1 (w = 0) and 4.2.2 (AL = TL − w); ISO 14253-1 for the
    rejection zone.
    """
    if limits.lower is None and limits.upper is None:
        msg = "there is no limit to judge by: a reference value accepts and refuses nothing"
        raise ValueError(msg)
    guard = _guard_band(limits, uncertainty, rule)
    lower = None if limits.lower is None else limits.lower + guard
    upper = None if limits.upper is None else limits.upper - guard
    outcome: Outcome = "accept"
    side: Side | None = None
    if lower is not None and value < lower:
        side = "below"
        outcome = "reject" if value < lower - 2 * guard else "cannot_tell"
    elif upper is not None and value > upper:
        side = "above"
        outcome = "reject" if value > upper + 2 * guard else "cannot_tell"
    return Conformity(outcome, side, lower, upper, rule)


def _guard_band(limits: Limits, uncertainty: Decimal | None, rule: DecisionRule) -> Decimal:
    """Return w, the width cut off the limits on each side."""
    lower, upper = limits.lower, limits.upper
    if lower is not None and upper is not None and lower > upper:
        msg = f"the limits are crossed: {lower:f} lies above {upper:f}"
        raise ValueError(msg)
    if rule == "simple_acceptance":
        return Decimal(0)
    if rule != "guard_band":
        msg = f"{rule!r} is no decision rule: simple_acceptance or guard_band"
        raise ValueError(msg)
    if uncertainty is None or uncertainty < 0:
        msg = "the guard band needs the instrument's expanded uncertainty, 0 or more: give it"
        raise ValueError(msg)
    if lower is not None and upper is not None and 2 * uncertainty >= upper - lower:
        msg = (
            f"±{uncertainty:f} {limits.unit.symbol} leaves nothing of the tolerance "
            f"{lower:f} to {upper:f} to accept: use a better instrument"
        )
        raise ValueError(msg)
    return uncertainty


def uncertainty_ratio(tolerance: Fraction, uncertainty: Fraction) -> Fraction:
    """Return how many times the tolerance holds the band of an instrument's uncertainty.

    Args:
        tolerance: upper less lower limit.
        uncertainty: expanded uncertainty (k = 2) in the same unit, more than zero.

    Raises:
        ValueError: if the uncertainty is not more than zero.

    Source: ANSI/NCSL Z540.3, 5.3 b): tolerance ÷ (2 × U95), at least 4 to 1.
    """
    if uncertainty <= 0:
        msg = "an uncertainty ratio needs an uncertainty of more than zero"
        raise ValueError(msg)
    return tolerance / (2 * uncertainty)


def coarsest_step(tolerance: Fraction) -> Fraction:
    """Return the largest step an instrument may have to decide on a tolerance.

    Args:
        tolerance: upper less lower limit, in any unit.

    Returns:
        A tenth of it, in the same unit.

    Source: rule of tens (Minitab glossary, measurement systems analysis).
    """
    return tolerance / _STEPS_IN_TOLERANCE
