"""Converted numbers of one table with the same digits, so that no torque reads as two."""

from __future__ import annotations

from dataclasses import replace
from decimal import ROUND_CEILING, ROUND_FLOOR
from fractions import Fraction

from author.library.records.run_series import Limit, Series
from author.procedure.quantities import decimals_of, round_fraction


def same_digits(series: Series) -> Series:
    """Return readings and limits with as many decimals as the finest of them has.

    What was read or written in the unit of the series keeps its own digits. A limit is rounded
    to the side on which nothing is accepted that it does not accept.

    Args:
        series: the readings of one requirement.
    """
    limits = [one for job in series.jobs for one in (job.lower, job.upper) if one is not None]
    shown = [*(one.shown for one in series.points), *(one.shown for one in limits)]
    digits = max(map(decimals_of, shown), default=0)

    def limit(one: Limit | None, rounding: str) -> Limit | None:
        if one is None or Fraction(one.shown) == one.exact:
            return one
        return replace(one, shown=round_fraction(one.exact, digits, rounding))

    return replace(
        series,
        jobs=tuple(
            replace(job, lower=limit(job.lower, ROUND_CEILING), upper=limit(job.upper, ROUND_FLOOR))
            for job in series.jobs
        ),
        points=tuple(
            one
            if one.unit == series.unit.symbol
            else replace(one, shown=round_fraction(one.exact, digits))
            for one in series.points
        ),
    )
