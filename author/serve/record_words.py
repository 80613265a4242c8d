"""What lists say of jobs: finished, stopped or open, and whether a reading was rejected."""

from __future__ import annotations

import contextlib
from collections import Counter, defaultdict
from collections.abc import Iterator
from datetime import datetime

from sqlalchemy import Connection, func, or_, select

from author.errors import ReelwrightError
from author.library.records.keeping import KeptRecord
from author.library.records.lists import OUTCOMES
from author.library.records.run_series import graver
from author.library.records.tables import job_records, record_readings
from author.library.signing.states import OUT_OF_USE
from author.serve.standing_audit import StandingAudit

_FOUND = "as_found"
_GONE = "gone"


def unit_words(connection: Connection) -> dict[str, str]:
    """Return how the jobs on each unit stand, by the name of its folder; no full stop.

    Earlier states of a job are left out.

    Args:
        connection: to the index.
    """
    job, one = job_records.c, record_readings.c
    standing: dict[str, Counter[str]] = defaultdict(Counter)
    for row in connection.execute(
        select(job.slug, job.outcome, func.count().label("jobs"))
        .where(job.latest)
        .group_by(job.slug, job.outcome)
    ):
        standing[row.slug][row.outcome] = row.jobs
    refused: Counter[tuple[str, str]] = Counter()
    for row in connection.execute(
        select(job.slug, job.key, one.phase, one.superseded)
        .join(record_readings, job.file == one.file)
        .where(job.latest, or_(one.verdict == "reject", one.judged == "reject"))
        .distinct()
    ):
        refused[row.slug, _GONE if row.superseded else row.phase] += 1
    looked = connection.execute(
        select(job.slug, func.count().label("jobs"))
        .where(job.latest, or_(job.notes > 0, job.disputed))
        .group_by(job.slug)
    )
    to_look_at = {row.slug: row.jobs for row in looked}
    return {
        slug: "; ".join(
            _unit(
                jobs,
                to_look_at.get(slug, 0),
                *(refused[slug, kind] for kind in ("as_left", _FOUND, _GONE)),
            )
        )
        for slug, jobs in standing.items()
    }


def _unit(jobs: Counter[str], looked: int, left: int, found: int, gone: int) -> Iterator[str]:
    """Yield how the jobs on a unit stand: how many of each, and in how many one was rejected."""
    only = sum(jobs.values()) == 1
    some = ((jobs[name], words) for name, words in OUTCOMES.items() if jobs[name])
    yield ", ".join(words if only else f"{count} {words}" for count, words in some)
    if not left + found:
        yield (
            "every reading that was rejected was taken again or taken back"
            if gone
            else "no reading rejected"
        )
    for count, words in ((left, ""), (found, " as found")):
        if count:
            yield f"a reading rejected{words}{'' if only else f' in {count}'}"
    if looked:
        yield f"something to look at{'' if only else f' in {looked}'}"


def job_words(connection: Connection, slug: str) -> dict[str, str]:
    """Return what became of the readings of each job on a unit, by the folder of its record.

    The verdict is the graver of the record's and what the program makes of the reading.

    Args:
        connection: to the index.
        slug: name of the folder of the unit.
    """
    job, one = job_records.c, record_readings.c
    asked = (
        select(job.key, one.verdict, one.judged, one.superseded, one.phase)
        .outerjoin(record_readings, job.file == one.file)
        .where(job.slug == slug)
    )
    seen: dict[str, Counter[str]] = {}
    for row in connection.execute(asked):
        counts = seen.setdefault(row.key, Counter())
        if row.verdict is None:
            continue
        verdict = graver(row.verdict, row.judged)
        counts["all"] += 1
        if row.superseded:
            counts["gone"] += verdict == "reject"
        elif verdict == "reject" and row.phase == _FOUND:
            counts[_FOUND] += 1
        else:
            counts[verdict] += 1
    return {key: ", ".join(_job(counts)) for key, counts in seen.items()}


def _job(counts: Counter[str]) -> Iterator[str]:
    """Yield how many readings of a job were rejected, and which of them were set right."""
    if not counts["all"]:
        yield "no readings"
        return
    if counts["reject"]:
        yield f"{counts['reject']} reading{'s' * (counts['reject'] > 1)} rejected"
    if counts[_FOUND]:
        yield f"{counts[_FOUND]} rejected as found"
    if counts["gone"]:
        yield f"{counts['gone']} rejected, then taken again or taken back"
    if not counts["reject"] + counts[_FOUND] + counts["gone"]:
        yield "no reading rejected"
    if counts["cannot_tell"]:
        yield f"{counts['cannot_tell']} that cannot be told"


def taken_out(audit: StandingAudit, kept: KeptRecord) -> Iterator[str]:
    """Yield that a revision was taken out of use before a job by it had ended, no full stop.

    Args:
        audit: holds procedures against their signatures.
        kept: the record of the job.
    """
    record = kept.record
    ended = datetime.fromisoformat(record.ended or kept.sent.sent_at)
    with contextlib.suppress(ReelwrightError):  # the procedure's own page tells it
        for one in audit.of(record.procedure.id).audit.acts:
            act, at = one.entry.act, datetime.fromisoformat(one.entry.act.time)
            out = act.purpose in OUT_OF_USE
            if out and act.revision == record.procedure.revision and at <= ended:
                begun = "was begun" if at <= datetime.fromisoformat(record.began) else "had ended"
                yield (
                    f"Revision {act.revision} was {act.purpose} by {act.name} on "
                    f"{act.time[:10]} at {act.time[11:16]} UTC, before this job {begun}"
                )
