"""Lists of what has to be seen to: reviews that have fallen due, findings still open."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from sqlalchemy import Connection, or_, select

from author.library.index.tables import files, findings, procedures
from author.library.signing.states import OUT_OF_USE


@dataclass(frozen=True, slots=True)
class Due:
    """A review that has fallen due.

    Attributes:
        procedure: id of the procedure.
        revision: its revision.
        title: its title.
        state: its state.
        due: the day it was due.
        authors: who wrote it, so that another reviews it.
        place: its place below the folder of procedures.
        doubt: why its state is not to be relied on, where that was looked at; else None.
    """

    procedure: str
    revision: int
    title: str
    state: str
    due: str
    authors: tuple[str, ...]
    place: str = ""
    doubt: str | None = None


@dataclass(frozen=True, slots=True)
class OpenFinding:
    """A finding that is not dealt with, or holds the unit.

    Attributes:
        unit: the unit it was seen on.
        unit_number: its number, None without one.
        holds: True where the unit must not be used until it is released.
        released_by: the role that may release it, in words; None if none is named.
        what: what is wrong.
        state: ``inherited``, ``deferred`` or ``dealt_with``.
        follow_on: what has to happen.
        due: by when: a day, year first, or words; None if that is not said.
        step: number of the step at which it is seen.
        procedure: id of the procedure that says so.
        revision: its revision.
        overdue: whether the day it is due is over.
    """

    unit: str
    unit_number: str | None
    holds: bool
    released_by: str | None
    what: str
    state: str
    follow_on: str | None
    due: str | None
    step: int | None
    procedure: str
    revision: int
    overdue: bool


@dataclass(frozen=True, slots=True)
class FileProblem:
    """A procedure file of the library that is no use as it is.

    Attributes:
        place: its place below the folder of procedures.
        problem: what is wrong.
        remedy: what to do about it.
        line: where in the file, from 1; None if that is not known.
    """

    place: str
    problem: str
    remedy: str
    line: int | None


def problems(connection: Connection) -> list[FileProblem]:
    """Return the procedure files that are no use as they are.

    Damaged files come first, then procedures in a folder of another name: two folders may
    hold one procedure so.
    """
    own = procedures.c
    rows = connection.execute(
        select(files.c.place, files.c.problem, files.c.remedy, files.c.line)
        .where(files.c.problem.is_not(None))
        .order_by(files.c.place)
    )
    found = [FileProblem(*row) for row in rows]
    rows = connection.execute(
        select(files.c.place, own.procedure)
        .join(procedures, files.c.id == own.id)
        .where(own.current, files.c.place != own.procedure)
        .order_by(files.c.place)
    )
    for place, procedure in rows:
        said = f"the folder is called '{place}', the procedure in it '{procedure}'"
        found.append(FileProblem(place, said, f"Rename the folder to '{procedure}'", None))
    return found


def reviews_due(connection: Connection, by: str) -> list[Due]:
    """Return the reviews that are due by a day, the longest first; none of withdrawn ones.

    Args:
        connection: to the index.
        by: the day, year first.
    """
    own = procedures.c
    rows = connection.execute(
        select(
            own.procedure, own.revision, own.title, own.state, own.due, own.authors,
            files.c.place,
        )
        .join(files, files.c.id == own.id)
        .where(own.in_force, own.due <= by, own.state.not_in(sorted(OUT_OF_USE)))
        .order_by(own.due, files.c.place)
    )  # fmt: skip
    return [
        Due(
            one.procedure, one.revision, one.title, one.state, one.due, _lines(one.authors),
            one.place,
        )
        for one in rows
    ]  # fmt: skip


def _lines(text: str) -> tuple[str, ...]:
    return tuple(text.split("\n")) if text else ()


def open_findings(connection: Connection, day: str) -> list[OpenFinding]:
    """Return the findings that are open, by unit.

    Units with something overdue come first, and what is overdue is the first of its unit, the
    longest before others; then comes what holds the unit.

    Args:
        connection: to the index.
        day: the day to look at, year first; what is due in words is never overdue.
    """
    own, one = procedures.c, findings.c
    rows = connection.execute(
        select(
            own.unit, own.unit_number, one.holds, one.released_by, one.what, one.state,
            one.follow_on, one.due, one.step, own.procedure, own.revision,
        )
        .join(procedures, own.id == one.file)
        .where(own.current, or_(one.holds, one.state != "dealt_with"))
        .order_by(
            own.unit, own.unit_number.nulls_first(), one.holds.desc(), own.procedure,
            own.revision, one.item,
        )
    )  # fmt: skip
    found = [OpenFinding(**row, overdue=_is_over(row["due"], day)) for row in rows.mappings()]
    late = {(one.unit, one.unit_number) for one in found if one.overdue}
    units = dict.fromkeys((one.unit, one.unit_number) for one in found)
    places = {unit: at for at, unit in enumerate(units)}
    return sorted(
        found,
        key=lambda one: (
            (one.unit, one.unit_number) not in late,
            places[one.unit, one.unit_number],
            (one.due or "") if one.overdue else _LATEST,
        ),
    )


_LATEST = "9999-12-31"


def _is_over(due: str | None, day: str) -> bool:
    try:
        return due is not None and date.fromisoformat(due) < date.fromisoformat(day)
    except ValueError:
        return False
