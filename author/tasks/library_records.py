"""Job records of a library: keep them, list them, release, answer, and see how readings run."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path
from typing import Generic, TypeVar

from sqlalchemy import Connection

from author.contract.reading import read_bytes
from author.errors import InputError
from author.library.asking.near_units import near_units
from author.library.index.damage import with_mending
from author.library.index.database import Index
from author.library.index.indexing import mend
from author.library.records.answers import Answer, answer
from author.library.records.asked import Asked, find_question, questions_of
from author.library.records.hours import HoursSeen, hours_of
from author.library.records.index import RecordProblem, record_problems, refresh_records
from author.library.records.keeping import Keeping, KeptRecord, keep_record, read_kept
from author.library.records.lists import (
    JobDone,
    UnitFinding,
    UnitSeen,
    find_finding,
    find_unit,
    findings_in,
    findings_of,
    jobs_of,
    unit_of,
    units_of,
)
from author.library.records.releases import Release, Releaser, release
from author.library.records.run_series import Phase, Series, series_of
from author.library.records.specs import SpecRead, specs_read
from author.library.records.states import said_otherwise
from author.library.shop import Shop, open_shop
from author.library.signing.known_people import people_of
from author.procedure.values import check_line
from author.publish.published_yaml import published_yaml

Value = TypeVar("Value")
_WAIT = 2.0


@dataclass(frozen=True, slots=True)
class Looked(Generic[Value]):
    """What was asked of the records, and the files among them that are no use."""

    value: Value
    problems: tuple[RecordProblem, ...]


@dataclass(frozen=True, slots=True)
class UnitReport:
    """A unit with its jobs and findings.

    Attributes:
        unit: the unit.
        alike: units that are spelled almost so.
        jobs: its records, the newest first.
        open: its open findings.
        released: its released findings.
        specs: the requirements that were read on it.
    """

    unit: UnitSeen
    alike: tuple[UnitSeen, ...]
    jobs: tuple[JobDone, ...]
    open: tuple[UnitFinding, ...]
    released: tuple[UnitFinding, ...]
    specs: tuple[SpecRead, ...]


@dataclass(frozen=True, slots=True)
class RecordReport:
    """A record with what belongs to it.

    Attributes:
        kept: the record.
        notes: what has to be told beside it.
        latest: key of the newest state of its job, in the same unit.
        findings: the findings it told of that are open or released.
        questions: its questions, with their answers.
    """

    kept: KeptRecord
    notes: tuple[str, ...]
    latest: str
    findings: tuple[UnitFinding, ...]
    questions: tuple[Asked, ...]


def keep(
    folder: Path,
    data: bytes,
    *,
    name: str,
    by: str,
    procedure: str | None = None,
    now: datetime | None = None,
) -> Keeping:
    """Keep a record in a library; see ``author.library.records.keeping.keep_record``.

    Raises:
        InputError: if it is wrong, or the library does not know what it was made with.
        MachineError: if the machine fails; nothing was kept then.
    """
    check_text("the name of whoever sends it", by)
    return keep_record(
        open_shop(folder), data, name=name, by=by, published=published_yaml,
        procedure=procedure, now=now,
    )  # fmt: skip


def keep_files(folder: Path, files: Sequence[Path], by: str) -> list[Keeping]:
    """Keep records that lie in files, one after another; those before a wrong one are kept.

    Beside each that is new, the units of the library that are spelled almost like its own.
    """
    done = [keep(folder, read_bytes(file), name=str(file), by=by) for file in files]

    def ask(rows: Connection) -> list[Keeping]:
        return [with_surroundings(rows, one) for one in done]

    return look(folder, ask).value


def with_surroundings(rows: Connection, one: Keeping) -> Keeping:
    """Return what became of a record with what the library has beside it.

    Args:
        rows: connection to the index, in which the record is.
        one: what became of it.
    """
    kept = one.kept
    otherwise = tuple(said_otherwise(rows, kept.slug, kept.key))
    near: tuple[str, ...] = ()
    if one.did == "new":
        near = near_units(rows, kept.slug, kept.record.unit, kept.record.serial)
    return replace(one, near=near, otherwise=otherwise)


def unit_list(folder: Path) -> Looked[list[UnitSeen]]:
    """Return the units that were worked on."""
    return look(folder, units_of)


def unit_findings(
    folder: Path,
) -> Looked[tuple[list[UnitFinding], list[UnitFinding], list[UnitSeen]]]:
    """Return the open findings of all units, those released that held one, and stopped units.

    What was released at once of several jobs is one.
    """

    def ask(rows: Connection) -> tuple[list[UnitFinding], list[UnitFinding], list[UnitSeen]]:
        released = {
            (one.slug, one.procedure, one.what, one.released): one
            for one in findings_of(rows, released=True)
            if one.holds
        }
        stopped = [one for one in units_of(rows) if one.stopped]
        return findings_of(rows), [*released.values()], stopped

    return look(folder, ask)


def unit_report(folder: Path, named: str) -> Looked[UnitReport]:
    """Return a unit, by its name or folder, with its jobs and findings.

    Raises:
        InputError: if there is none or the name may mean several.
    """

    def ask(rows: Connection) -> UnitReport:
        unit = find_unit(rows, named)
        return UnitReport(
            unit,
            tuple(unit_of(rows, slug) for slug in unit.alike),
            tuple(jobs_of(rows, unit.slug)),
            tuple(findings_of(rows, unit.slug)),
            tuple(findings_of(rows, unit.slug, released=True)),
            tuple(specs_read(rows, unit.slug)),
        )

    return look(folder, ask)


def record_report(folder: Path, slug: str, key: str) -> RecordReport:
    """Return a record by its folders.

    Raises:
        InputError: if there is none, or it is damaged.
    """
    shop = open_shop(folder)
    kept = read_kept(shop, slug, key)
    strange = _strange(shop, kept)

    def ask(rows: Connection) -> RecordReport:
        jobs = {one.key: one for one in jobs_of(rows, slug)}
        mine = (kept.record.began, kept.record.workers[0].name, kept.record.procedure.id)
        same = [
            one.key
            for one in jobs.values()
            if one.latest and (one.began, one.workers[0], one.procedure) == mine
        ]
        asked = questions_of(rows)
        return RecordReport(
            kept,
            (*said_otherwise(rows, slug, key), *kept.notes(), *strange),
            same[0] if same else key,
            tuple(findings_in(rows, slug, key)),
            tuple(one for one in asked if (one.slug, one.key) == (slug, key)),
        )

    return look(folder, ask).value


def _strange(shop: Shop, kept: KeptRecord) -> tuple[str, ...]:
    """Return who allowed or witnessed something and is nobody the library knows, no full stop."""
    record = kept.record
    allowed = [one.approved_by for one in record.deviations if one.approved_by is not None]
    try:
        strange = people_of(shop).strange([*allowed, *(one.by for one in record.witnessed)])
    except InputError as error:  # a record is shown also where the keys are damaged
        return (f"Whether the library knows who is named here cannot be told: {error.problem}",)
    return tuple(
        f"“{name}”, who {'allowed something' if name in allowed else 'is named as a witness'}, "
        "is nobody the library knows"
        for name in strange
    )


def release_finding(
    folder: Path,
    unit: str,
    finding: str,
    releaser: Releaser,
    why: str,
    now: datetime | None = None,
) -> tuple[UnitFinding, Release]:
    """Release an open finding of a unit, with the same one of earlier jobs.

    Args:
        folder: the library.
        unit: the unit's name or folder.
        finding: the beginning of the finding's id.
        releaser: who releases.
        why: why the unit may be used again.
        now: the time; the clock's if None.

    Returns:
        What was open, and its release.

    Raises:
        InputError: if there is no such finding, or they may not release it.
        MachineError: if the machine fails; it is open then, or released.
    """
    check_text("the reason", why)
    check_text("the name", releaser.name)
    report = unit_report(folder, unit).value
    found = find_finding(report.open, finding)
    done = release(open_shop(folder), found.slug, found.alike, releaser, found.role, why, now)
    return found, done[-1]


def spec_list(folder: Path) -> Looked[list[SpecRead]]:
    """Return every requirement that was read in a job."""
    return look(folder, specs_read)


def readings(
    folder: Path,
    procedure: str,
    spec: str,
    *,
    phase: Phase | None = None,
    position: str | None = None,
    unit: str | None = None,
    most: int | None = None,
) -> Looked[Series]:
    """Return the readings of one requirement; see ``author.library.records.run_series.series_of``.

    Args:
        folder: the library.
        procedure: id of the procedure.
        spec: id of the requirement.
        phase: before the work or after it.
        position: only those taken at one place.
        unit: only those on one unit, by its name or folder.
        most: only those of so many jobs, the newest.

    Raises:
        InputError: if nobody has read it, or there is no such unit.
    """

    def ask(rows: Connection) -> Series:
        slug = None if unit is None else find_unit(rows, unit).slug
        return series_of(
            rows, procedure, spec, phase=phase, position=position, slug=slug, most=most
        )

    return look(folder, ask)


def questions(
    folder: Path, *, answered: bool | None = None, procedure: str | None = None
) -> Looked[list[Asked]]:
    """Return the questions from the work, those without an answer first.

    Args:
        folder: the library.
        answered: only those with an answer, or only those without.
        procedure: only those about one procedure, by its id.
    """
    return look(folder, lambda rows: questions_of(rows, answered=answered, procedure=procedure))


def answer_question(
    folder: Path, question: str, text: str, by: str, now: datetime | None = None
) -> tuple[Asked, Answer]:
    """Answer a question from the work.

    Args:
        folder: the library.
        question: the beginning of its id.
        text: the answer, one paragraph.
        by: who answers.
        now: the time; the clock's if None.

    Raises:
        InputError: if there is no such question, or the text has no words.
        MachineError: if the machine fails.
    """
    check_text("the answer", text, longest=2000)
    check_text("the name", by)
    asked = find_question(questions(folder).value, question)
    return asked, answer(open_shop(folder), asked.id, asked.text, text, by, now)


def hours(folder: Path) -> Looked[list[HoursSeen]]:
    """Return the hours that jobs took against the labour time of their procedure."""
    return look(folder, hours_of)


def look(folder: Path, job: Callable[[Connection], Value]) -> Looked[Value]:
    """Take up what is new among the records, then ask the index.

    Raises:
        InputError, MachineError: if the library or the index cannot be read.
    """
    shop = open_shop(folder)
    index = Index(shop)

    def looked() -> Looked[Value]:
        refresh_records(shop, index, wait=_WAIT)
        with index.reading() as connection:
            return Looked(job(connection), tuple(record_problems(connection)))

    try:
        return with_mending(looked, lambda again: mend(shop, index, again))
    finally:
        index.close()


def check_text(what: str, text: str, longest: int = 400) -> None:
    """Raise unless a text that somebody gave is one line that is not empty.

    Raises:
        InputError: if it is not.
    """
    problem = ""
    if not text:
        problem = "is missing"
    elif len(text) > longest:
        problem = f"has {len(text) - longest} characters too many"
    else:
        try:
            check_line(text)
        except ValueError as error:
            problem = str(error)
    if problem:
        raise InputError(f"{what} {problem}", remedy="Write it in one line of plain text")
