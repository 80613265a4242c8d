"""Questions from the work to the authors of procedures, with their answers."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from sqlalchemy import Connection, select, true

from author.errors import InputError
from author.library.records.tables import job_records, record_answers, record_questions


@dataclass(frozen=True, slots=True)
class Said:
    """An answer: what, by whom, when."""

    answer: str
    by: str
    at: str


@dataclass(frozen=True, slots=True)
class Asked:
    """A question from the work, with its answers.

    Attributes:
        id: its id, by which it is answered.
        text: the question.
        step: number of the step it is about.
        procedure: id of the procedure.
        revision: its revision.
        title: its title.
        slug: name of the folder of the unit.
        key: name of the folder of the newest record that asks it.
        unit: name and serial number of the unit.
        by: who worked.
        began: when the job began.
        answers: the answers, oldest first.
    """

    id: str
    text: str
    step: int | None
    procedure: str
    revision: int
    title: str
    slug: str
    key: str
    unit: str
    by: tuple[str, ...]
    began: str
    answers: tuple[Said, ...]


def questions_of(
    connection: Connection, *, answered: bool | None = None, procedure: str | None = None
) -> list[Asked]:
    """Return the questions from the work, those without an answer first, then the newest.

    A question that once came with a record stays.

    Args:
        connection: to the index.
        answered: only those with an answer, or only those without; all if None.
        procedure: only those about one procedure, by its id; all if None.
    """
    own, job = record_questions.c, job_records.c
    rows = connection.execute(
        select(record_answers).order_by(record_answers.c.question, record_answers.c.n)
    )
    answers: dict[str, list[Said]] = {}
    for row in rows:
        answers.setdefault(row.question, []).append(Said(row.answer, row.by, row.at))
    asked = connection.execute(
        select(
            record_questions, job.procedure, job.revision, job.title, job.slug, job.key,
            job.unit, job.serial, job.workers, job.began,
        )
        .join(job_records, job.file == own.file)
        .where(true() if procedure is None else job.procedure == procedure)
        .order_by(job.began_utc, job.latest, job.entries, job.number, job.key, own.question)
    )  # fmt: skip
    found: dict[str, Asked] = {}
    for row in asked:
        unit = row.unit if row.serial is None else f"{row.unit}, {row.serial}"
        found.pop(row.question, None)
        found[row.question] = Asked(
            row.question, row.text, row.step, row.procedure, row.revision, row.title, row.slug,
            row.key, unit, tuple(row.workers.split("\n")), row.began,
            tuple(answers.get(row.question, ())),
        )  # fmt: skip
    newest = [one for one in reversed(found.values()) if answered in {None, bool(one.answers)}]
    return sorted(newest, key=lambda one: bool(one.answers))


def find_question(questions: Sequence[Asked], named: str) -> Asked:
    """Return the question whose id begins so.

    Raises:
        InputError: if there is none or there are several.
    """
    found = [one for one in questions if named and one.id.startswith(named)]
    if len(found) == 1:
        return found[0]
    raise InputError(
        f"'{named[:40]}' begins the id of {len(found)} questions",
        remedy="Name the id of one, as 'reelwright library questions SHOP' shows it",
    )
