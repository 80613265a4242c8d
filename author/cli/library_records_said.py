"""What the records of a library say, as lines for a person and as plain values for a program."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator
from dataclasses import asdict
from typing import TYPE_CHECKING, Any, TypeVar

import click

from author.cli.showing import print_json
from author.errors import one_line

if TYPE_CHECKING:
    from author.library.records.asked import Asked
    from author.library.records.hours import HoursSeen
    from author.library.records.index import RecordProblem
    from author.library.records.keeping import Keeping
    from author.library.records.lists import JobDone, UnitFinding, UnitSeen
    from author.library.records.run_series import Limit, Point, Series
    from author.library.records.specs import SpecRead
    from author.tasks.library_records import Looked, UnitReport

Value = TypeVar("Value")
Plain = dict[str, Any]

_STOPPED = "its last job was stopped"


def line(text: str) -> None:
    """Print one line."""
    click.echo(one_line(text))


def counted(number: int, one: str, more: str = "") -> str:
    """Return a count with its word: ``1 job``, ``2 jobs``."""
    return f"{number} {one if number == 1 else more or f'{one}s'}"


def stopped(text: str) -> str:
    """Return a text with one full stop at its end, also where initials have one."""
    return text if text.endswith(".") else f"{text}."


def told(
    found: Looked[Value],
    as_json: bool,
    plain: Callable[[Value], list[Plain]],
    say: Callable[[Value], None],
) -> int:
    """Print an answer, and the files among the records that are no use."""
    if as_json:
        problems = [asdict(one) for one in found.problems]
        print_json({"results": plain(found.value), "problems": problems})
    else:
        say(found.value)
        for problem in _problem_lines(found.problems):
            click.echo(one_line(problem), err=True)
    return 0


def _problem_lines(problems: tuple[RecordProblem, ...]) -> Iterator[str]:
    for one in problems:
        yield f"{one.place}: {stopped(one.problem)} {stopped(one.remedy)}"


def kept_plain(one: Keeping) -> Plain:
    """Return what became of a record, for a program."""
    return {
        "did": one.did,
        "unit": one.kept.slug,
        "key": one.kept.key,
        "file": str(one.kept.file),
        "notes": list(one.notes),
    }


def say_units(units: list[UnitSeen]) -> None:
    """Print the units that were worked on."""
    for one in units:
        held = f"ON HOLD ({_held_by(one)}), " if one.on_hold else ""
        more = f", {counted(one.open, 'finding')} open" if one.open else ""
        jobs = counted(one.jobs, "job")
        line(f"{one.title}: {held}{jobs}, the last {one.last[:10]}{more}  [{one.slug}]")
        if one.alike:
            line(f"    spelled almost so: {', '.join(one.alike)}")
    if not units:
        line("No record is kept yet")


def _held_by(one: UnitSeen) -> str:
    """Return what holds a unit: how many findings, and that its last job was stopped."""
    said = [str(one.holds)] if one.holds else []
    return ", ".join([*said, _STOPPED] if one.stopped else said)


def stopped_plain(one: UnitSeen) -> Plain:
    """Return a unit whose last job was stopped, for a program."""
    return {"folder": one.slug, "unit": one.name, "serial": one.serial, "began": one.last}


def say_unit(report: UnitReport) -> None:
    """Print a unit with its findings and jobs."""
    unit = report.unit
    line(f"{unit.title}  [{unit.slug}]")
    if unit.stopped:
        line(f"  ON HOLD: {_STOPPED}")
    for one in report.open:
        line(f"  {_finding_line(one)}")
    for said in dict.fromkeys(_released_line(one) for one in report.released):
        line(f"  {said}")
    timed = _shared_days(job.began for job in report.jobs if job.latest)
    for job in report.jobs:
        line(f"  {_job_line(job, timed)}")
    for alike in report.alike:
        line(f"  spelled almost so: {alike.title}, {alike.holds} on hold  [{alike.slug}]")


def unit_finding_plain(one: UnitFinding) -> Plain:
    """Return an open finding that records brought, for a program."""
    return {
        "finding": one.id,
        "unit": one.unit,
        "serial": one.serial,
        "what": one.what,
        "holds": one.holds,
        "released_by_role": one.role,
        "tagged_by": one.tagged_by,
        "follow_on": one.follow_on,
        "due": one.due,
        "procedure": one.procedure,
        "revision": one.revision,
        "began": one.began,
    }


def unit_released_plain(one: UnitFinding) -> Plain:
    """Return a finding that is released, for a program."""
    return {**unit_finding_plain(one), "released": one.released and asdict(one.released)}


def say_open(
    findings: list[UnitFinding], released: list[UnitFinding], stopped_units: list[UnitSeen]
) -> None:
    """Print what records brought, unit by unit: stopped jobs, what is open, and what was let."""
    for unit in stopped_units:
        line(f"{unit.title}: ON HOLD: {_STOPPED}, {unit.last[:10]}")
    last = ""
    some = [*findings, *released]
    for one in sorted(some, key=lambda one: (one.unit, one.slug, one.released is not None)):
        if one.slug != last:
            last = one.slug
            line(f"{one.unit}{f', {one.serial}' if one.serial else ''}, by its job records:")
        line(f"  {_released_line(one) if one.released else _finding_line(one)}")
    if not some and not stopped_units:
        line("No unit is on hold by its job records")


def _released_line(one: UnitFinding) -> str:
    let = one.released
    by = f" ({let.by}, {let.role}, {let.at[:10]}: {let.why})" if let is not None else ""
    return f"released: {one.what}{by}"


def _finding_line(one: UnitFinding) -> str:
    hold = "ON HOLD: " if one.holds else "open: "
    by = f"{one.role} or a keeper" if one.role else "a keeper"
    tag = f", tag hung by {one.tagged_by}" if one.tagged_by else ""
    onward = f"; {one.follow_on}" if one.follow_on else ""
    onward += f"; due: {one.due}" if one.due else ""
    return f"{hold}{one.what}{onward} (released by {by}{tag}) [{one.id[:8]}]"


def _shared_days(began: Iterable[str]) -> frozenset[str]:
    """Return the days on which several jobs began: there the time tells them apart."""
    days = Counter(one[:10] for one in began)
    return frozenset(day for day, count in days.items() if count > 1)


def _when(began: str, timed: frozenset[str]) -> str:
    return began[:16].replace("T", " ") if began[:10] in timed else began[:10]


def _job_line(job: JobDone, timed: frozenset[str]) -> str:
    from author.library.records.lists import OUTCOMES

    state = "" if job.latest else ", not the record that counts"
    hours = f", {job.hours} h" if job.hours else ""
    notes = f", {counted(job.notes, 'thing')} to tell" if job.notes else ""
    when = _when(job.began, timed)
    return (
        f"{when}  {job.procedure}, revision {job.revision}: {OUTCOMES[job.outcome]}{state}, "
        f"by {', '.join(job.workers)}{hours}{notes}  [{job.key}]"
    )


def say_specs(some: list[SpecRead]) -> None:
    """Print the requirements that were read."""
    for one in some:
        refused = f", {one.rejected} rejected" if one.rejected else ""
        line(
            f"{one.procedure} {one.spec}: step {one.step}, {one.characteristic}, "
            f"{counted(one.readings, 'reading')}{refused}"
        )
    if not some:
        line("No record has a reading")


def series_plain(series: Series) -> Plain:
    """Return the readings of a requirement, for a program."""

    def limit(one: Limit | None) -> str | None:
        return None if one is None else format(one.shown, "f")

    jobs = [
        {
            "unit": job.unit,
            "serial": job.serial,
            "record": f"{job.slug}/{job.key}",
            "began": job.began,
            "revision": job.revision,
            "outcome": job.outcome,
            "lower": limit(job.lower),
            "upper": limit(job.upper),
            "readings": [_point_plain(one) for one in series.points if one.job == n],
        }
        for n, job in enumerate(series.jobs)
    ]
    return {
        "procedure": series.procedure,
        "spec": series.spec,
        "characteristic": series.characteristic,
        "phase": series.phase,
        "unit": series.unit.symbol,
        "data": series.data,
        "mean": None if series.mean is None else format(series.mean, "f"),
        "signs": list(series.sign_words()),
        "left_out": list(series.left_out),
        "jobs": jobs,
    }


def _point_plain(one: Point) -> Plain:
    return {
        "value": format(one.shown, "f"),
        "as_read": format(one.value, "f"),
        "read_in": one.unit,
        "position": one.position,
        "verdict": one.verdict,
        "recorded": one.recorded,
        "superseded": one.superseded,
        "by": one.by,
        "instrument": one.instrument,
        "reaction": one.reaction,
    }


def say_series(series: Series) -> None:
    """Print the readings of a requirement."""
    from author.library.records.lists import OUTCOMES
    from author.procedure.quantities import Limits, number_text, range_text, with_unit
    from author.procedure.units import all_units

    demo = " (demo data)" if series.data == "demo" else ""
    line(f"{series.procedure}, {series.characteristic}{demo}")
    timed = _shared_days(job.began for job in series.jobs)
    for n, job in enumerate(series.jobs):
        low, high = (None if one is None else one.shown for one in (job.lower, job.upper))
        limits = range_text(Limits(low, None, high, series.unit))
        unit = job.unit if job.serial is None else f"{job.unit}, {job.serial}"
        open_ = "" if job.outcome == "done" else f", {OUTCOMES[job.outcome]}"
        began = _when(job.began, timed)
        line(f"{began}  {unit}, revision {job.revision}: {limits}{open_}")
        for one in series.points:
            if one.job != n:
                continue
            at = f"{one.position}: " if one.position else ""
            read = with_unit(number_text(one.value), all_units()[one.unit])
            as_read = f" (read {read})" if one.unit != series.unit.symbol else ""
            gone = ", superseded" if one.superseded else ""
            value = with_unit(number_text(one.shown), series.unit)
            line(f"    {at}{value}{as_read}, {one.verdict.replace('_', ' ')}{gone}")
    if series.mean is not None:
        line(f"Mean of the jobs: {with_unit(number_text(series.mean), series.unit)}")
    for said in (*series.sign_words(), *series.left_out):
        line(stopped(said))


def say_notes(notes: Iterable[str]) -> None:
    """Print what has to be told beside an answer."""
    for note in notes:
        line(stopped(note))


def question_plain(one: Asked, strange: tuple[str, ...]) -> Plain:
    """Return a question for a program, with whether the library knows who answered."""
    plain = asdict(one)
    plain["answers"] = [{**asdict(a), "known": a.by not in strange} for a in one.answers]
    return plain


def say_questions(some: list[Asked], strange: tuple[str, ...]) -> None:
    """Print questions with their answers, and who answered and is not known to the library."""
    for one in some:
        step = f", step {one.step}" if one.step else ""
        line(f"[{one.id[:8]}] {one.procedure}, revision {one.revision}{step}: {one.text}")
        line(f"    asked by {', '.join(one.by)}, {one.began[:10]}, {one.unit}")
        for said in one.answers:
            who = f"{said.by}, not known to the library" if said.by in strange else said.by
            line(f"    {who}, {said.at[:10]}: {said.answer}")
    if not some:
        line("No question is open")


def hours_plain(one: HoursSeen) -> Plain:
    """Return the hours of a procedure, for a program."""
    return {
        "procedure": one.procedure,
        "labour_time": one.labour_time,
        "jobs": one.count,
        "least": format(one.least, "f"),
        "median": format(one.middle, "f"),
        "most": format(one.most, "f"),
        "proposal": one.proposal,
    }


def say_hours(some: list[HoursSeen]) -> None:
    """Print the hours of procedures."""
    from author.publish.content import labour_text

    for one in some:
        said = labour_text(one.labour_time) or "no labour time"
        proposal = f"; propose {labour_text(one.proposal)}" if one.proposal else ""
        line(
            f"{one.procedure}: {said}; {counted(one.count, 'job')}, "
            f"median {one.shown(one.middle)} h ({one.shown(one.least)} to "
            f"{one.shown(one.most)}){proposal}"
        )
    if not some:
        line("No finished job has hours")
