"""What the index keeps of a job record, a release and an answer."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from typing import Any

from author.checks.job_records import Known
from author.checks.record_verdicts import JudgedReading, judge_reading
from author.errors import InputError
from author.library.index.words import number_key
from author.library.records.answers import Answer, numbered, read_answer
from author.library.records.keeping import (
    ANSWERS,
    KeptRecord,
    digest_of_values,
    job_key,
    read_kept,
    records_folder,
    unit_slug,
)
from author.library.records.releases import read_release
from author.library.records.tables import (
    job_records,
    record_answers,
    record_findings,
    record_questions,
    record_readings,
    record_releases,
)
from author.library.shop import Shop
from author.procedure.job_record import JobRecord

Row = dict[str, Any]
_ADDED_TO = (
    "workers",
    "instruments",
    "hazards_read",
    "readings",
    "rounds_tightened",
    "observations",
    "witnessed",
    "ways_taken",
    "deviations",
)
"""Lists of a record from which the work page never takes an entry out."""
_ID = 24


@dataclass(frozen=True, slots=True)
class Rows:
    """What the index keeps of one file.

    Attributes:
        tables: rows by the name of their table, without the id of the file.
        problem: why the file is no use, None if it is.
        remedy: what to do about it.
    """

    tables: dict[str, list[Row]]
    problem: str | None = None
    remedy: str | None = None


def rows_of(shop: Shop, place: str) -> Rows:
    """Return what the index keeps of a file; a damaged one gives a problem, never an error.

    Args:
        shop: the library.
        place: the place of a record, a release or an answer below the folder of records.

    Raises:
        MachineError: if the machine fails.
    """
    try:
        return Rows(_tables(shop, place))
    except InputError as error:
        return Rows({}, error.problem, error.remedy)


def _tables(shop: Shop, place: str) -> dict[str, list[Row]]:
    file = records_folder(shop).joinpath(*place.split("/"))
    parts = place.split("/")
    if len(parts) == 3:
        one = read_release(file)
        row = {"finding": one.finding, "by": one.by, "role": one.role, "at": one.at}
        return {record_releases.name: [{**row, "why": one.why}]}
    if parts[0] == ANSWERS:
        return {record_answers.name: [_answer(read_answer(file), parts[1])]}
    return record_rows(read_kept(shop, parts[0], parts[1]))


def _answer(one: Answer, name: str) -> Row:
    return {
        "question": one.question,
        "n": numbered(name),
        "answer": one.answer,
        "by": one.by,
        "at": one.at,
    }


def record_rows(kept: KeptRecord) -> dict[str, list[Row]]:
    """Return the rows of a record by the name of their table.

    Raises:
        InputError: if it is the record of another unit than its folder says.
    """
    record = kept.record
    if unit_slug(record.unit, record.serial) != kept.slug:
        raise InputError(
            "this is the record of another unit than its folder says",
            remedy="Put it back into the folder it was in",
            file=kept.file,
        )
    known = Known.of(kept.procedure)
    judged = [judge_reading(one, record, known) for one in record.readings]
    again = _taken_again(judged)
    readings = [
        _reading(n, one.reading, one.verdict, record, known) | {"superseded": n in again}
        for n, one in enumerate(judged)
    ]
    return {
        job_records.name: [_about(kept, len(kept.notes()))],
        record_readings.name: readings,
        record_findings.name: [*_new_findings(record, known), *_known_findings(record, known)],
        record_questions.name: [*_questions(record, known)],
    }


def _taken_again(judged: Sequence[JudgedReading]) -> set[int]:
    """Return the indices of the readings that decide nothing any more.

    These are those the record says so of, and of those after the work a refused one that was
    taken again later at the same place of the same requirement: the unit did not leave so.
    """
    found: set[int] = set()
    later: set[tuple[str, str | None]] = set()
    for n, one in reversed([*enumerate(judged)]):
        reading = one.reading
        place = reading.spec, reading.position
        refused = bool({"reject", "cannot_tell"} & {reading.verdict, one.verdict})
        if reading.superseded or (refused and reading.phase == "as_left" and place in later):
            found.add(n)
        elif reading.phase == "as_left":
            later.add(place)
    return found


def _about(kept: KeptRecord, notes: int) -> Row:
    record = kept.record
    hours = [worker.hours for worker in record.workers if worker.hours is not None]
    return {
        "slug": kept.slug,
        "key": kept.key,
        "job": job_key(record),
        "unit": record.unit,
        "serial": record.serial,
        "alike": number_key(f"{record.unit} {record.serial or ''}"),
        "procedure": record.procedure.id,
        "revision": kept.procedure.revision,
        "title": kept.procedure.title,
        "data": record.data,
        "began": record.began,
        "began_utc": _counted_from(record.began, kept.sent.sent_at),
        "ended": record.ended,
        "outcome": record.outcome,
        "workers": "\n".join(worker.name for worker in record.workers),
        "hours": format(sum(hours, Decimal(0)), "f") if hours else None,
        "notes": notes,
        "entries": sum(len(getattr(record, name)) for name in _ADDED_TO),
        "number": kept.sent.number,
        "sent_by": kept.sent.sent_by,
        "sent_at": kept.sent.sent_at,
        "latest": False,
        "disputed": False,
    }


def _counted_from(began: str, sent: str) -> str:
    """Return from when a job counts among the others of its unit.

    A clock may be a little ahead. Work said to begin a day or more after its record came may have
    been at any time: it counts as the first, so that it hides no later STOP.
    """
    ahead = datetime.fromisoformat(began) - datetime.fromisoformat(sent)
    return _FIRST if ahead > timedelta(days=1) else min(_utc(began), _utc(sent))


_FIRST = "0001-01-01T00:00:00Z"


def _utc(time: str) -> str:
    try:
        return datetime.fromisoformat(time).astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")
    except OverflowError:  # a moment of the year 1 or 9999 at the edge of the calendar
        return f"{time[:19]}Z"


def _reading(n: int, reading: Any, judged: str | None, record: JobRecord, known: Known) -> Row:
    placed, spec = known.specs[reading.spec]
    used = None if reading.instrument is None else record.instruments[reading.instrument]
    limits = {key: getattr(spec, key) for key in ("lower", "nominal", "upper")}
    return {
        "n": n,
        "procedure": record.procedure.id,
        "spec": spec.id,
        "step": placed.number,
        "characteristic": spec.characteristic,
        "quantity": spec.quantity,
        "position": reading.position,
        "phase": reading.phase,
        "value": format(reading.value, "f"),
        "unit": reading.unit,
        "verdict": reading.verdict,
        "judged": judged,
        "instrument": None if used is None else used.number,
        "calibrated": None if used is None else used.calibrated,
        "by": reading.by,
        "reaction": reading.reaction,
        "spec_unit": spec.unit,
        **{key: None if one is None else format(one, "f") for key, one in limits.items()},
    }


def _new_findings(record: JobRecord, known: Known) -> Iterator[Row]:
    """Yield defects seen in the job; the same words at the same step are told apart by count."""
    seen: Counter[tuple[str, str | None]] = Counter()
    for one in record.findings:
        seen[one.what, one.step] += 1
        nth = str(seen[one.what, one.step])
        named = digest_of_values(job_key(record), "new", one.what, one.step, nth)[:_ID]
        yield {
            "finding": named,
            "kind": "new",
            "item": named,
            "what": one.what,
            "holds": one.holds,
            "tagged_by": one.tagged_by,
            "step": _number(one.step, known),
            "role": None,
            "follow_on": None,
            "due": None,
        }


def _known_findings(record: JobRecord, known: Known) -> Iterator[Row]:
    tags = {tag.finding: tag.by for tag in record.tags_hung}
    for one in known.procedure.findings:
        if one.holds or one.state != "dealt_with":
            yield {
                "finding": digest_of_values(job_key(record), "known", one.id)[:_ID],
                "kind": "known",
                "item": one.id,
                "what": one.what,
                "holds": one.holds,
                "tagged_by": tags.get(one.id),
                "step": _number(one.step, known),
                "role": known.roles.get(one.released_by or "", one.released_by),
                "follow_on": one.follow_on,
                "due": one.due,
            }


def _questions(record: JobRecord, known: Known) -> Iterator[Row]:
    seen: Counter[tuple[str, str | None]] = Counter()
    for one in record.questions:
        seen[one.text, one.step] += 1
        nth = str(seen[one.text, one.step])
        named = digest_of_values(job_key(record), "question", one.text, one.step, nth)[:_ID]
        yield {"question": named, "step": _number(one.step, known), "text": one.text}


def _number(step: str | None, known: Known) -> int | None:
    placed = known.steps.get(step or "")
    return None if placed is None else placed.number
