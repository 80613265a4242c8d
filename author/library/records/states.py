"""Which state of a job counts, and what another finished state of it says otherwise."""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any

from sqlalchemy import Connection, Row, select, update

from author.library.records.tables import job_records, record_readings

Readings = Counter[tuple[str, ...]]
_DONE = "done"


def choose_latest(connection: Connection, jobs: Iterable[str]) -> None:
    """Mark the state of each of some jobs that counts, and those that speak against it.

    The work page only adds to a record. So the state with most in it is the newest, but for
    one thing: a finished state gives way to no other than a finished one that has all of its
    readings. Whatever else is sent for the same job, a copy gone on with on another device or
    one with other numbers, is kept beside it.

    Args:
        connection: to the index, for writing.
        jobs: what all states of a job share, as ``records.job_key`` has it.
    """
    own = job_records.c
    some = sorted(set(jobs))
    states: dict[str, list[Row[Any]]] = defaultdict(list)
    rows = connection.execute(
        select(own.job, own.file, own.entries, own.outcome)
        .where(own.job.in_(some))
        .order_by(own.job, own.number, own.sent_at, own.key)
    )
    for row in rows:
        states[row.job].append(row)
    read = _readings(connection, [one for one in states.values() if len(one) > 1])

    def has_more(one: Row[Any], than: Row[Any]) -> bool:
        return one is not than and bool(read[one.file] - read[than.file])

    ruling, against = [], []
    for of_job in states.values():
        first = _counting(of_job, read)
        ruling.append(first.file)
        other = [one.file for one in of_job if one.outcome == _DONE and has_more(one, first)]
        against += [first.file, *other] if other else []
    connection.execute(
        update(job_records).where(own.job.in_(some)).values(latest=False, disputed=False)
    )
    connection.execute(update(job_records).where(own.file.in_(ruling)).values(latest=True))
    connection.execute(update(job_records).where(own.file.in_(against)).values(disputed=True))


def _counting(states: Sequence[Row[Any]], read: Mapping[int, Readings]) -> Row[Any]:
    """Return the state that counts, of the states in the order they came."""
    first, *others = states
    for one in others:
        if first.outcome != _DONE:
            follows = one.outcome == _DONE or one.entries >= first.entries
        else:
            follows = (
                one.outcome == _DONE
                and one.entries >= first.entries
                and not read[first.file] - read[one.file]
            )
        first = one if follows else first
    return first


def _readings(connection: Connection, states: Iterable[Sequence[Row[Any]]]) -> dict[int, Readings]:
    """Return the readings of each of some states, whatever became of them later."""
    files = [one.file for of_job in states for one in of_job]
    found: dict[int, Readings] = {one: Counter() for one in files}
    own = record_readings.c
    if files:
        asked = select(
            own.file, own.spec, own.position, own.phase, own.value, own.unit, own.verdict
        ).where(own.file.in_(files))
        for file, *reading in connection.execute(asked):
            found[file][tuple(str(one) for one in reading)] += 1
    return found


def said_otherwise(connection: Connection, slug: str, key: str) -> Iterator[str]:
    """Yield that a record does not count, or that another speaks against it, no full stop.

    Args:
        connection: to the index.
        slug: name of the folder of its unit.
        key: name of its own folder.
    """
    own = job_records.c
    mine = connection.execute(
        select(own.job, own.latest, own.disputed, own.outcome).where(
            own.slug == slug, own.key == key
        )
    ).one_or_none()
    if mine is None:
        return
    others = connection.execute(
        select(own.latest, own.disputed, own.sent_by, own.sent_at)
        .where(own.job == mine.job, own.key != key)
        .order_by(own.number, own.key)
    ).all()
    if mine.latest and mine.disputed:
        by = "; ".join(_sent(one) for one in others if one.disputed)
        yield f"Another finished record of this job has other readings; it was sent by {by}"
    for one in others:
        if one.latest and mine.disputed:
            yield (
                "The library had a finished record of this job with other readings, sent by "
                f"{_sent(one)}: that one counts, not this"
            )
        elif one.latest and mine.outcome != _DONE:
            yield f"The record of this job that counts was sent by {_sent(one)}"


def _sent(row: Row[Any]) -> str:
    return f"{row.sent_by} on {row.sent_at[:10]} at {row.sent_at[11:16]} UTC"
