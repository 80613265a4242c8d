"""Hours that jobs took, against the labour time their procedure names."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from statistics import median

from sqlalchemy import Connection, and_, select

from author.library.index.tables import procedures
from author.library.records.tables import job_records
from author.procedure.quantities import round_fraction
from author.procedure.times import read_duration

FEWEST = 3
"""So many finished jobs are needed for a proposal: common practice, no source."""
STEP = 5
"""Minutes a proposal is rounded up to: common practice, no source."""
_MOST_MINUTES = 9999 * 60 + 59


@dataclass(frozen=True, slots=True)
class HoursSeen:
    """What the finished jobs of a procedure took.

    Attributes:
        procedure: id of the procedure.
        title: its title.
        labour_time: what it says, such as ``PT2H30M``; None if it says nothing, or is not in
            the library any more.
        said: the same in hours, exact; None without one.
        count: finished jobs with hours.
        least: fewest hours of one.
        middle: the median.
        most: most hours of one.
        proposal: a labour time to write into the procedure, such as ``PT2H35M``; None where
            there are too few jobs, or it is what the procedure says.
    """

    procedure: str
    title: str
    labour_time: str | None
    said: Fraction | None
    count: int
    least: Decimal
    middle: Decimal
    most: Decimal
    proposal: str | None

    def shown(self, hours: Decimal) -> str:
        """Return hours as a list shows them, with no nought behind the last digit."""
        text = format(hours, "f")
        return text.rstrip("0").rstrip(".") if "." in text else text


def hours_of(connection: Connection) -> list[HoursSeen]:
    """Return the hours of each procedure that a finished job has hours of.

    The hours of all who worked on a job are added up. Of a procedure of real work only such
    jobs count. Nothing is ever written into a procedure.
    """
    own, now = job_records.c, procedures.c
    rows = connection.execute(
        select(own.procedure, own.title, own.hours, own.data, now.labour_time, now.data)
        .outerjoin(procedures, and_(now.procedure == own.procedure, now.current))
        .where(own.latest, own.outcome == "done", own.hours.is_not(None))
        .order_by(own.procedure, own.began_utc, own.slug, own.key)
    )
    jobs: dict[str, list[tuple[str, str, str | None]]] = {}
    for procedure, title, hours, data, labour, kind in rows:
        if kind is None or data == kind:
            jobs.setdefault(procedure, []).append((title, hours, labour))
    return [_seen(procedure, some) for procedure, some in jobs.items()]


def _seen(procedure: str, some: list[tuple[str, str, str | None]]) -> HoursSeen:
    title, _, labour = some[-1]
    hours = sorted(Decimal(one) for _, one, _ in some)
    middle = Fraction(median(Fraction(one) for one in hours))
    said = None if labour is None else Fraction(read_duration(labour), 60)
    proposal = labour_time(middle) if len(hours) >= FEWEST else None
    if proposal is not None and said == Fraction(read_duration(proposal), 60):
        proposal = None
    return HoursSeen(
        procedure, title, labour, said, len(hours), hours[0], round_fraction(middle, 2),
        hours[-1], proposal,
    )  # fmt: skip


def labour_time(hours: Fraction) -> str | None:
    """Return a duration for a procedure, rounded up to whole steps; None if it takes none."""
    minutes = -(-hours * 60 // STEP) * STEP
    if not 0 < minutes <= _MOST_MINUTES:
        return None
    whole, rest = divmod(int(minutes), 60)
    return f"PT{f'{whole}H' if whole else ''}{f'{rest}M' if rest or not whole else ''}"
