"""The readings of one requirement through all jobs, in one unit, with the limits of their time."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from decimal import ROUND_CEILING, ROUND_FLOOR, ROUND_HALF_EVEN, Decimal
from fractions import Fraction
from typing import Any, Literal

from sqlalchemy import Connection, Row, func, select, true

from author.errors import InputError
from author.library.records.run_rules import Centre, Sign, centre_of, signs_in, words_of
from author.library.records.tables import job_records, record_readings
from author.procedure.quantities import decimals_of, round_fraction
from author.procedure.units import Unit, all_units

Phase = Literal["as_found", "as_left"]
_MOST_DECIMALS = 12
_AT_ONCE = 400
_VERDICTS = ("reject", "cannot_tell", "accept", "not_judged")
"""The worst first."""


@dataclass(frozen=True, slots=True)
class Point:
    """One reading.

    Attributes:
        job: index of its job in ``Series.jobs``.
        position: where it was taken, where there are several places.
        value: what the instrument showed.
        unit: symbol of the unit it was read in.
        exact: the value in the unit of the series, exact.
        shown: the same with as many digits as the reading's own resolution asks for.
        verdict: the graver of what the record says and what the program makes of it.
        recorded: what the record says.
        superseded: whether it decides nothing any more, or was taken again after a refusal.
        counts: whether it enters counts, means and signs: not superseded, and the job is done.
        by: who read it.
        instrument: number of the instrument.
        reaction: what was done about it.
    """

    job: int
    position: str | None
    value: Decimal
    unit: str
    exact: Fraction
    shown: Decimal
    verdict: str
    recorded: str
    superseded: bool
    counts: bool
    by: str | None
    instrument: str | None
    reaction: str | None


@dataclass(frozen=True, slots=True)
class Limit:
    """A limit at the time of a job, in the unit of the series.

    Attributes:
        exact: exact.
        shown: as it is printed.
    """

    exact: Fraction
    shown: Decimal


@dataclass(frozen=True, slots=True)
class SeriesJob:
    """A job with readings of the requirement.

    Attributes:
        slug: name of the folder of its unit.
        key: name of the folder of its record.
        unit: the unit's name.
        serial: its serial number.
        began: when the job began, as the record says.
        revision: the revision that was followed.
        outcome: ``done``, ``stopped`` or ``open``.
        lower: the lower limit of that revision, None without one.
        upper: the upper one.
        mean: mean of its readings that count, exact; None if none does or the job is not
            done.
    """

    slug: str
    key: str
    unit: str
    serial: str | None
    began: str
    revision: int
    outcome: str
    lower: Limit | None
    upper: Limit | None
    mean: Fraction | None


@dataclass(frozen=True, slots=True)
class Series:
    """All readings of one requirement, job after job.

    Signs of a drift are looked for in the means of the jobs, so that four readings of one bore
    weigh as one.

    Attributes:
        procedure: id of the procedure.
        title: its title, by the newest record.
        spec: id of the requirement.
        characteristic: what is measured, by the newest record.
        phase: before the work or after it.
        unit: unit of all numbers here: that of the newest revision that was followed.
        data: ``demo`` or ``shop``.
        jobs: the jobs in the order they began.
        points: the readings in that order.
        centre: mean and scatter of the means of the jobs, None without one.
        means: index of each job that has a mean.
        signs: signs of a drift; their indices are into ``means``.
        left_out: what is not in it and why, a sentence each.
    """

    procedure: str
    title: str
    spec: str
    characteristic: str
    phase: Phase
    unit: Unit
    data: str
    jobs: tuple[SeriesJob, ...]
    points: tuple[Point, ...]
    centre: Centre | None
    means: tuple[int, ...]
    signs: tuple[Sign, ...]
    left_out: tuple[str, ...]

    @property
    def mean(self) -> Decimal | None:
        """The mean of the means, with one digit more than the readings have."""
        if self.centre is None:
            return None
        digits = max((decimals_of(one.shown) for one in self.points), default=0)
        return round_fraction(self.centre.mean, min(digits + 1, _MOST_DECIMALS))

    def sign_words(self) -> tuple[str, ...]:
        """Return each sign of a drift as a sentence without a full stop, the latest first."""
        said = []
        for one in reversed(self.signs):
            first, last = (self.jobs[self.means[n]].began[:10] for n in (one.first, one.last))
            when = f"on {last}" if first == last else f"from {first} to {last}"
            what = "The mean of a job" if one.rule == "beyond" else "Means of jobs:"
            said.append(f"{what} {words_of(one)}, {when}")
        return tuple(said)


def exact_in(value: Decimal, read: Unit, unit: Unit) -> Fraction:
    """Return a value in another unit, exact.

    A difference of temperatures read on a scale of temperatures has no offset.
    """
    if unit.quantity == "temperature_difference":
        return Fraction(value) * read.factor / unit.factor
    return unit.from_si(read.to_si(value))


def shown_in(value: Decimal, read: Unit, unit: Unit, rounding: str = ROUND_HALF_EVEN) -> Decimal:
    """Return a value in another unit with digits for its resolution, rounded half to even.

    In its own unit it keeps the digits it was written with.
    """
    if read.symbol == unit.symbol:
        return value
    step = Fraction(1, 10 ** decimals_of(value)) * read.factor / unit.factor
    digits = 0
    while Fraction(1, 10**digits) > step and digits < _MOST_DECIMALS:
        digits += 1
    return round_fraction(exact_in(value, read, unit), digits, rounding)


def series_of(
    connection: Connection,
    procedure: str,
    spec: str,
    *,
    phase: Phase | None = None,
    position: str | None = None,
    slug: str | None = None,
    most: int | None = None,
) -> Series:
    """Return the readings of one requirement.

    Args:
        connection: to the index.
        procedure: id of the procedure.
        spec: id of the requirement.
        phase: before the work or after it; after it if there are any such, where None.
        position: only those taken at one place.
        slug: only those on one unit, by the name of its folder.
        most: only those of so many jobs, the newest.

    Raises:
        InputError: if nobody has read it.
    """
    heads = _heads(connection, procedure, spec, position, slug)
    if not heads:
        raise InputError(
            f"no record in the library has a reading of '{spec[:60]}' in '{procedure[:60]}'",
            remedy="Name a procedure and one of its numbers that were read",
        )
    newest = heads[-1]
    unit = all_units()[newest.spec_unit]
    kinds = {head.phase for head in heads}
    chosen: Phase = phase or ("as_left" if "as_left" in kinds else "as_found")
    alike = [head for head in heads if head.data == newest.data]
    mine = [head for head in alike if head.quantity == newest.quantity]
    left_out = [
        f"{_many(count)} {why}"
        for count, why in (
            (_count(heads) - _count(alike), f"not of {_DATA[newest.data]}"),
            (_count(alike) - _count(mine), "of another quantity"),
        )
        if count
    ]
    files = [head.file for head in mine if head.phase == chosen]
    shown = files[-most if most else 0 :]
    if len(shown) < len(files):
        count = len(files) - len(shown)
        left_out.append(f"{count} job{'s' * (count != 1)} before the newest {len(shown)}")
    jobs, points = _points(_rows(connection, shown, spec, chosen, position), unit)
    undone = sum(job.outcome != "done" for job in jobs)
    if undone:
        left_out.append(
            f"{undone} job{'s' * (undone != 1)} not done: the readings are shown, and enter no "
            "mean and no sign of a drift"
        )
    means = tuple(n for n, job in enumerate(jobs) if job.mean is not None)
    values = [job.mean for job in jobs if job.mean is not None]
    return Series(
        procedure=procedure,
        title=newest.title,
        spec=spec,
        characteristic=newest.characteristic,
        phase=chosen,
        unit=unit,
        data=newest.data,
        jobs=jobs,
        points=points,
        centre=centre_of(values),
        means=means,
        signs=signs_in(values),
        left_out=tuple(left_out),
    )


_DATA = {"demo": "invented demo data", "shop": "real work"}


def _many(count: int) -> str:
    return f"{count} reading is" if count == 1 else f"{count} readings are"


def _count(heads: Sequence[Row[Any]]) -> int:
    return sum(head.readings for head in heads)


def _heads(
    connection: Connection, procedure: str, spec: str, position: str | None, slug: str | None
) -> list[Row[Any]]:
    """Return a row for each job and phase with readings, the oldest first."""
    job, one = job_records.c, record_readings.c
    told = (
        job.file, one.phase, job.data, one.quantity, one.spec_unit, job.title,
        one.characteristic, job.began_utc, job.slug, job.key,
    )  # fmt: skip
    found = connection.execute(
        select(*told, func.count().label("readings"))
        .join(job_records, job.file == one.file)
        .where(job.latest, one.procedure == procedure, one.spec == spec)
        .where(true() if position is None else one.position == position)
        .where(true() if slug is None else job.slug == slug)
        .group_by(*told)
        .order_by(job.began_utc, job.slug, job.key, one.phase)
    )
    return list(found)


def _rows(
    connection: Connection, files: Sequence[int], spec: str, phase: Phase, position: str | None
) -> list[list[Row[Any]]]:
    """Return the readings of some jobs, job by job in their order."""
    job, one = job_records.c, record_readings.c
    found: dict[int, list[Row[Any]]] = {file: [] for file in files}
    for start in range(0, len(files), _AT_ONCE):
        rows = connection.execute(
            select(
                record_readings, job.slug, job.key, job.unit.label("unit_name"), job.serial,
                job.began, job.revision, job.outcome,
            )
            .join(job_records, job.file == one.file)
            .where(one.file.in_(files[start : start + _AT_ONCE]))
            .where(one.spec == spec, one.phase == phase)
            .where(true() if position is None else one.position == position)
            .order_by(one.n)
        )  # fmt: skip
        for row in rows:
            found[row.file].append(row)
    return list(found.values())


def _points(
    by_job: Sequence[Sequence[Row[Any]]], unit: Unit
) -> tuple[tuple[SeriesJob, ...], tuple[Point, ...]]:
    jobs, points = [], []
    for number, some in enumerate(by_job):
        own = [_point(row, number, unit) for row in some]
        counting = [one.exact for one in own if one.counts]
        first = some[0]
        jobs.append(
            SeriesJob(
                first.slug, first.key, first.unit_name, first.serial, first.began,
                first.revision, first.outcome, _limit(first.lower, first, unit, ROUND_CEILING),
                _limit(first.upper, first, unit, ROUND_FLOOR),
                Fraction(sum(counting), len(counting)) if counting else None,
            )
        )  # fmt: skip
        points += own
    return tuple(jobs), tuple(points)


def _point(row: Row[Any], job: int, unit: Unit) -> Point:
    value, read = Decimal(row.value), all_units()[row.unit]
    return Point(
        job=job,
        position=row.position,
        value=value,
        unit=row.unit,
        exact=exact_in(value, read, unit),
        shown=shown_in(value, read, unit),
        verdict=graver(row.verdict, row.judged),
        recorded=row.verdict,
        superseded=row.superseded,
        counts=not row.superseded and row.outcome == "done",
        by=row.by,
        instrument=row.instrument,
        reaction=row.reaction,
    )


def graver(*verdicts: str | None) -> str:
    """Return the gravest of some verdicts, ``reject`` before ``cannot_tell``."""
    return min((one for one in verdicts if one is not None), key=_VERDICTS.index)


def _limit(value: str | None, row: Row[Any], unit: Unit, rounding: str) -> Limit | None:
    """Return a limit; in another unit than its own it is printed rounded inward."""
    if value is None:
        return None
    own, written = all_units()[row.spec_unit], Decimal(value)
    return Limit(exact_in(written, own, unit), shown_in(written, own, unit, rounding))
