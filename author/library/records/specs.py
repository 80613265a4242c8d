"""Which requirements were read in jobs, and how often."""

from __future__ import annotations

from dataclasses import dataclass

from sqlalchemy import Connection, select, true

from author.library.records.run_series import graver
from author.library.records.tables import job_records, record_readings


@dataclass(frozen=True, slots=True)
class SpecRead:
    """A requirement that was read in some job.

    Attributes:
        procedure: id of the procedure.
        title: its title, by the newest record.
        spec: id of the requirement.
        characteristic: what is measured, by the newest record.
        step: number of its step, by the newest record.
        readings: how many readings there are, superseded ones left out.
        rejected: how many of them were rejected.
    """

    procedure: str
    title: str
    spec: str
    characteristic: str
    step: int
    readings: int
    rejected: int


def specs_read(connection: Connection, slug: str | None = None) -> list[SpecRead]:
    """Return every requirement that was read in a job, by procedure and step.

    Args:
        connection: to the index.
        slug: name of the folder of the unit it was read on; any if None.
    """
    job, one = job_records.c, record_readings.c
    rows = connection.execute(
        select(
            one.procedure, job.title, one.spec, one.characteristic, one.step, one.verdict,
            one.judged, one.superseded,
        )
        .join(job_records, job.file == one.file)
        .where(job.latest, true() if slug is None else job.slug == slug)
        .order_by(job.began_utc, job.slug, job.key, one.n)
    )  # fmt: skip
    found: dict[tuple[str, str], SpecRead] = {}
    for row in rows:
        before = found.get((row.procedure, row.spec))
        counts = not row.superseded
        refused = counts and graver(row.verdict, row.judged) == "reject"
        found[row.procedure, row.spec] = SpecRead(
            row.procedure, row.title, row.spec, row.characteristic, row.step,
            counts + (before.readings if before else 0),
            refused + (before.rejected if before else 0),
        )  # fmt: skip
    return sorted(found.values(), key=lambda seen: (seen.procedure, seen.step, seen.spec))
