"""Lists of what the records say: units and their jobs, findings that are open or released."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from difflib import get_close_matches
from typing import Any

from sqlalchemy import Connection, Row, select, true

from author.errors import InputError
from author.library.records.keeping import SLUG
from author.library.records.tables import (
    job_records,
    record_findings,
    record_releases,
)

_KNOWN = "known"
_LOOK = "Look for it with 'reelwright library records SHOP'"
_MOST_NEAR = 5


OUTCOMES = {"done": "finished", "stopped": "stopped before its end", "open": "still open"}
"""How a job stands by its record, in words."""


@dataclass(frozen=True, slots=True)
class JobDone:
    """A record, as a list shows it.

    Attributes:
        slug: name of the folder of its unit.
        key: name of its own folder.
        procedure: id of the procedure.
        revision: its revision.
        title: its title then.
        data: ``demo`` or ``shop``.
        began: when the work began.
        ended: when it ended.
        outcome: ``done``, ``stopped`` or ``open``.
        workers: who worked.
        hours: hours of all together, with their digits; None if nobody wrote any.
        notes: how many things have to be told beside it.
        sent_by: who sent it.
        sent_at: when.
        latest: whether it is the state of the job that counts.
    """

    slug: str
    key: str
    procedure: str
    revision: int
    title: str
    data: str
    began: str
    ended: str | None
    outcome: str
    workers: tuple[str, ...]
    hours: str | None
    notes: int
    sent_by: str
    sent_at: str
    latest: bool


@dataclass(frozen=True, slots=True)
class Released:
    """Who released a finding, in which role, when and why."""

    by: str
    role: str
    at: str
    why: str


@dataclass(frozen=True, slots=True)
class UnitFinding:
    """A defect of a unit, as the jobs on it told of it.

    Attributes:
        id: its id, by which it is released.
        slug: name of the folder of the unit.
        unit: the unit's name.
        serial: its serial number.
        kind: ``new`` for one seen in the job, ``known`` for one its procedure tells of.
        what: what is wrong.
        holds: whether the unit must not be used until it is released.
        tagged_by: who hung the tag.
        role: the role the procedure lets release it, in words; None where a keeper has to.
        step: number of its step.
        follow_on: what has to happen.
        due: by when: a day, year first, or words.
        procedure: id of the procedure.
        revision: its revision.
        key: name of the folder of the record that told of it last.
        began: when that job began.
        alike: id and words of it in this and all earlier jobs that are not released, the
            oldest first.
        released: who released it; None while it is open.
    """

    id: str
    slug: str
    unit: str
    serial: str | None
    kind: str
    what: str
    holds: bool
    tagged_by: str | None
    role: str | None
    step: int | None
    follow_on: str | None
    due: str | None
    procedure: str
    revision: int
    key: str
    began: str
    alike: tuple[tuple[str, str], ...]
    released: Released | None


@dataclass(frozen=True, slots=True)
class UnitSeen:
    """A unit that was worked on.

    Attributes:
        slug: name of its folder.
        name: its name, as the records have it.
        serial: its serial number.
        jobs: how many jobs were done on it.
        last: when the last of them began.
        holds: open findings that hold it.
        open: other open findings.
        alike: slugs of units that are spelled almost so, and may be the same.
        stopped: whether its last job was stopped before its end.
    """

    slug: str
    name: str
    serial: str | None
    jobs: int
    last: str
    holds: int
    open: int
    alike: tuple[str, ...] = ()
    stopped: bool = False

    @property
    def on_hold(self) -> bool:
        """Whether it must not be used: a finding holds it, or its last job was stopped."""
        return bool(self.holds) or self.stopped

    @property
    def title(self) -> str:
        """Name and serial number."""
        return self.name if self.serial is None else f"{self.name}, {self.serial}"


def jobs_of(connection: Connection, slug: str | None = None) -> list[JobDone]:
    """Return records, the newest first, superseded states among them.

    Args:
        connection: to the index.
        slug: the unit; all if None.
    """
    own = job_records.c
    asked = select(job_records).order_by(own.began_utc.desc(), own.slug, own.number.desc(), own.key)
    if slug is not None:
        asked = asked.where(own.slug == slug)
    return [_job(row) for row in connection.execute(asked)]


def _job(row: Row[Any]) -> JobDone:
    return JobDone(
        row.slug, row.key, row.procedure, row.revision, row.title, row.data, row.began,
        row.ended, row.outcome, tuple(row.workers.split("\n")), row.hours,
        row.notes + row.disputed,
        row.sent_by, row.sent_at, row.latest,
    )  # fmt: skip


def findings_of(
    connection: Connection, slug: str | None = None, *, released: bool = False
) -> list[UnitFinding]:
    """Return the findings of units, those that hold the unit first, then the newest.

    A finding that once came with a record stays, even if a later state of the job has it no
    more: only a release ends it. What a procedure tells of is one finding, however many jobs
    it was seen in.

    Args:
        connection: to the index.
        slug: the unit; all if None.
        released: those that are released; else those that are open.
    """
    let = _releases(connection)
    groups: dict[tuple[str, ...], list[Row[Any]]] = {}
    for row in _told(connection, slug):
        if (row.finding in let) != released:
            continue
        same = (row.procedure, row.item) if row.kind == _KNOWN and not released else (row.finding,)
        some = groups.pop((row.slug, *same), [])  # put in anew, so that the newest come last
        some.append(row)
        groups[(row.slug, *same)] = some
    newest = [_finding(some, let.get(some[-1].finding)) for some in reversed(groups.values())]
    return sorted(newest, key=lambda one: not one.holds)


def findings_in(connection: Connection, slug: str, key: str) -> list[UnitFinding]:
    """Return the findings that one record tells of, open or released, as it tells of them.

    Args:
        connection: to the index.
        slug: name of the folder of the unit.
        key: name of the folder of the record.
    """
    let = _releases(connection)
    rows = (row for row in _told(connection, slug) if row.key == key)
    return [_finding([row], let.get(row.finding)) for row in rows]


def _told(connection: Connection, slug: str | None) -> Iterable[Row[Any]]:
    """Return what the records tell of findings, the oldest first, the newest state last."""
    own, job = record_findings.c, job_records.c
    asked = (
        select(
            record_findings, job.slug, job.unit, job.serial, job.procedure, job.revision,
            job.key, job.began,
        )
        .join(job_records, job.file == own.file)
        .order_by(job.began_utc, job.latest, job.entries, job.number, job.key, own.finding)
    )  # fmt: skip
    return connection.execute(asked if slug is None else asked.where(job.slug == slug))


def _releases(connection: Connection) -> dict[str, Released]:
    return {
        row.finding: Released(row.by, row.role, row.at, row.why)
        for row in connection.execute(select(record_releases))
    }


def _finding(some: Sequence[Row[Any]], released: Released | None) -> UnitFinding:
    """Return what rows tell of one finding, the newest last."""
    row = some[-1]
    tags = (one.tagged_by for one in reversed(some) if one.tagged_by)
    return UnitFinding(
        row.finding, row.slug, row.unit, row.serial, row.kind, row.what,
        any(one.holds for one in some), next(tags, None), row.role, row.step,
        row.follow_on, row.due, row.procedure, row.revision, row.key, row.began,
        tuple({one.finding: one.what for one in some}.items()), released,
    )  # fmt: skip


def units_of(connection: Connection, slug: str | None = None) -> list[UnitSeen]:
    """Return the units that were worked on, those on hold first, then by name.

    Args:
        connection: to the index.
        slug: name of the folder of one unit, to have it alone; all if None.
    """
    own = job_records.c
    rows = connection.execute(
        select(own.slug, own.unit, own.serial, own.alike, own.began, own.outcome)
        .where(own.latest, true() if slug is None else own.slug == slug)
        .order_by(own.began_utc, own.number, own.key)
    )
    seen: dict[str, UnitSeen] = {}
    spelled: dict[str, str] = {}
    for row in rows:
        before = seen.get(row.slug)
        jobs = 1 + (before.jobs if before else 0)
        seen[row.slug] = UnitSeen(
            row.slug, row.unit, row.serial, jobs, row.began, 0, 0, (), row.outcome == "stopped"
        )
        spelled[row.slug] = row.alike
    for one in findings_of(connection, slug):
        unit = seen[one.slug]
        seen[one.slug] = replace(
            unit, holds=unit.holds + one.holds, open=unit.open + (not one.holds)
        )
    same = _spelled_alike(connection, set(spelled.values()) if slug is not None else None)
    for name, unit in seen.items():
        others = same[spelled[name]] - {name}
        seen[name] = replace(unit, alike=tuple(sorted(others))) if others else unit
    return sorted(seen.values(), key=lambda one: (not one.on_hold, one.title.casefold(), one.slug))


def _spelled_alike(connection: Connection, some: set[str] | None) -> dict[str, set[str]]:
    """Return the folders of the units that share a spelling, for some spellings or all."""
    own = job_records.c
    asked = select(own.alike, own.slug).where(own.latest).distinct()
    found: dict[str, set[str]] = {}
    for row in connection.execute(asked if some is None else asked.where(own.alike.in_(some))):
        found.setdefault(row.alike, set()).add(row.slug)
    return found


def unit_of(connection: Connection, slug: str) -> UnitSeen:
    """Return a unit by the name of its folder.

    Raises:
        InputError: if no record tells of it.
    """
    found = units_of(connection, slug) if SLUG.fullmatch(slug) else []
    if not found:
        raise InputError(
            f"the library has no records of a unit '{slug[:80]}'",
            remedy=_LOOK,
        )
    return found[0]


def find_unit(connection: Connection, named: str) -> UnitSeen:
    """Return the unit somebody means by its name, by name and serial number, or by its folder.

    Raises:
        InputError: if there is none or there are several.
    """
    own = job_records.c
    rows = connection.execute(
        select(own.slug, own.unit, own.serial).where(own.latest).distinct().order_by(own.slug)
    )
    units = [UnitSeen(row.slug, row.unit, row.serial, 0, "", 0, 0) for row in rows]
    for way in (
        lambda one: named in {one.slug, one.title},
        lambda one: named == one.name,
        lambda one: named.casefold() in {one.title.casefold(), one.name.casefold()},
        lambda one: named == one.serial,
    ):
        found = [one for one in units if way(one)]
        if len(found) == 1:
            return unit_of(connection, found[0].slug)
        if found:
            names = "; ".join(f"{one.title} ({one.slug})" for one in found[:5])
            raise InputError(
                f"'{named[:80]}' may be one of {len(found)} units",
                remedy=f"Name one by what stands in brackets: {names}",
            )
    raise InputError(
        f"the library has no records of a unit '{named[:80]}'",
        remedy=_near_units(units, named) or _LOOK,
    )


def _near_units(units: Sequence[UnitSeen], named: str) -> str:
    """Return what to name instead: units whose name holds the words, or is spelt much alike."""
    asked = named.casefold()
    titles = {one.title: one for one in units}
    held = [one for one in units if asked.strip() and asked in f"{one.title} {one.slug}".casefold()]
    alike = {
        text.casefold(): one
        for one in units
        for text in (one.slug, one.name, one.serial or "", *one.title.split(", "))
    }
    close = [alike[text] for text in get_close_matches(asked, alike, n=_MOST_NEAR)]
    near = dict.fromkeys(one.title for one in (*held, *close))
    if not near:
        return ""
    more = "" if len(near) <= _MOST_NEAR else f" and {len(near) - _MOST_NEAR} more"
    shown = "; ".join(f"{title} ({titles[title].slug})" for title in list(near)[:_MOST_NEAR])
    return f"Near to it are, to be named by what stands in brackets: {shown}{more}"


def find_finding(findings: Sequence[UnitFinding], named: str) -> UnitFinding:
    """Return the finding whose id begins so, among some.

    Raises:
        InputError: if there is none or there are several.
    """
    found = [one for one in findings if named and one.id.startswith(named)]
    if len(found) == 1:
        return found[0]
    raise InputError(
        f"'{named[:40]}' begins the id of {len(found)} open findings of this unit",
        remedy="Name the id of one, as 'reelwright library records SHOP --unit UNIT' shows it",
    )
