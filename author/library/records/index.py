"""Brings the index of records up to what lies in the library.

Files of records never change, so their names are enough to know them by. All rows are made
from the files: an index that is rebuilt is the one that was kept up.
"""

from __future__ import annotations

import os
from collections.abc import Iterator, Sequence
from contextlib import ExitStack
from dataclasses import dataclass
from pathlib import Path

from sqlalchemy import Connection, delete, func, insert, select

from author.errors import InputError
from author.library.index.database import Index
from author.library.index.tables import metadata, notes
from author.library.records.answers import numbered
from author.library.records.keeping import ANSWERS, KEY, RELEASED, SLUG, records_folder
from author.library.records.releases import FINDING
from author.library.records.rows import Rows, rows_of
from author.library.records.states import choose_latest
from author.library.records.tables import (
    RECORD_DETAILS,
    RECORD_TABLES,
    RECORDS_VERSION,
    VERSION_NOTE,
    job_records,
    record_files,
)
from author.library.shop import Shop
from author.progress import SILENT, Cancel, Progress
from author.storage import before_step, file_error

_BATCH = 200
_AT_ONCE = 400


@dataclass(frozen=True, slots=True)
class RecordProblem:
    """A file among the records that is no use as it is.

    Attributes:
        place: its place below the library's folder.
        problem: what is wrong.
        remedy: what to do about it.
    """

    place: str
    problem: str
    remedy: str


@dataclass(slots=True)
class TakenUp:
    """What bringing the index of records up to date did.

    Attributes:
        read: files that are in the index now and were not, or not so.
        removed: files that are gone.
        behind: files that could not be taken up, because another run was writing.
    """

    read: int = 0
    removed: int = 0
    behind: int = 0


def refresh_records(
    shop: Shop,
    index: Index,
    *,
    anew: bool = False,
    wait: float = 60.0,
    progress: Progress = SILENT,
    cancel: Cancel | None = None,
) -> TakenUp:
    """Take up the records, releases and answers that are new, and leave out what is gone.

    Args:
        shop: the library.
        index: its index, which is there already.
        anew: read every file.
        wait: seconds to wait for another run that writes the index.
        progress: told how many files are read.
        cancel: looked at between files; what was read by then is kept.

    Raises:
        IndexDamagedError: if the index is missing or damaged.
        InputError, MachineError: if the library or the index cannot be read or written.
        Cancelled: on request.
    """
    done = TakenUp()
    there = set(places_in(shop))
    if not anew:
        known = _known(index)
        if known is not None and there == known.keys() and not any(known.values()):
            return done
        waiting = len(there.symmetric_difference(known or ()))
    with ExitStack() as held:
        try:
            held.enter_context(index.lock(wait))
        except InputError:
            if anew or known is None:
                raise
            done.behind = waiting
            return done
        _take_up(shop, index, there, done, progress, cancel or Cancel(), anew=anew)
    return done


def _take_up(
    shop: Shop,
    index: Index,
    there: set[str],
    done: TakenUp,
    progress: Progress,
    cancel: Cancel,
    *,
    anew: bool,
) -> None:
    known = _known(index)
    with index.writing() as connection:
        if anew or known is None:
            _make_tables(connection)
            known = {}
        gone = sorted(known.keys() - there)
        for start in range(0, len(gone), _AT_ONCE):
            _remove(connection, gone[start : start + _AT_ONCE])
            _commit(connection, index)
        done.removed += len(gone)
        # What could not be read may have been mended since.
        fresh = sorted(place for place in there if place not in known or known[place])
        batch: list[tuple[str, Rows]] = []
        for count, place in enumerate(fresh, 1):
            cancel.check()
            rows = rows_of(shop, place)
            if rows.problem is None or rows.problem != known.get(place):
                batch.append((place, rows))
            if len(batch) >= _BATCH:
                progress.report("reading records", count, len(fresh))
                done.read += _write(connection, index, batch)
                batch = []
        done.read += _write(connection, index, batch)


def places_in(shop: Shop) -> Iterator[str]:
    """Yield the places of all records, releases and answers below the folder of records.

    Raises:
        InputError, MachineError: if they cannot be read.
    """
    top = records_folder(shop)
    for slug in _folders(top):
        if SLUG.fullmatch(slug):
            for name in _folders(top / slug):
                if KEY.fullmatch(name):
                    yield f"{slug}/{name}"
            for name in _files(top / slug / RELEASED):
                if FINDING.fullmatch(name.removesuffix(".json")) and name.endswith(".json"):
                    yield f"{slug}/{RELEASED}/{name}"
    for name in _files(top / ANSWERS):
        if numbered(name) is not None:
            yield f"{ANSWERS}/{name}"


def _folders(folder: Path) -> list[str]:
    return [entry.name for entry in _entries(folder) if entry.is_dir(follow_symlinks=False)]


def _files(folder: Path) -> list[str]:
    return [entry.name for entry in _entries(folder) if not entry.is_dir(follow_symlinks=False)]


def _entries(folder: Path) -> list[os.DirEntry[str]]:
    try:
        with os.scandir(folder) as entries:
            return list(entries)
    except (FileNotFoundError, NotADirectoryError):
        return []
    except OSError as error:
        raise file_error(error, folder) from error


def _known(index: Index) -> dict[str, str | None] | None:
    """Return the problem of each file by its place; None if the tables have to be made."""
    with index.reading() as connection:
        version = connection.scalar(select(notes.c.value).where(notes.c.name == VERSION_NOTE))
        if version != str(RECORDS_VERSION):
            return None
        rows = connection.execute(select(record_files.c.place, record_files.c.problem))
        return {row.place: row.problem for row in rows}


def _make_tables(connection: Connection) -> None:
    # The note goes first and comes last: while it is not there, the tables are made anew.
    connection.execute(delete(notes).where(notes.c.name == VERSION_NOTE))
    connection.commit()
    metadata.drop_all(connection, tables=[*RECORD_TABLES])
    metadata.create_all(connection, tables=[*RECORD_TABLES])
    connection.execute(insert(notes), [{"name": VERSION_NOTE, "value": str(RECORDS_VERSION)}])
    connection.commit()


def _remove(connection: Connection, places: Sequence[str]) -> None:
    ids = connection.scalars(
        select(record_files.c.id).where(record_files.c.place.in_(places))
    ).all()
    jobs = connection.scalars(
        select(job_records.c.job).where(job_records.c.file.in_(ids)).distinct()
    ).all()
    for table in RECORD_DETAILS:
        connection.execute(delete(table).where(table.c.file.in_(ids)))
    connection.execute(delete(record_files).where(record_files.c.id.in_(ids)))
    choose_latest(connection, jobs)


def _write(connection: Connection, index: Index, batch: Sequence[tuple[str, Rows]]) -> int:
    """Put what was read into the tables, in one transaction."""
    if not batch:
        return 0
    _remove(connection, [place for place, _ in batch])
    free = (connection.scalar(select(func.max(record_files.c.id))) or 0) + 1
    numbered_rows = list(enumerate(batch, free))
    connection.execute(
        insert(record_files),
        [
            {"id": id_, "place": place, "problem": rows.problem, "remedy": rows.remedy}
            for id_, (place, rows) in numbered_rows
        ],
    )
    jobs = []
    for table in RECORD_DETAILS:
        lines = [
            {"file": id_, **row}
            for id_, (_, rows) in numbered_rows
            for row in rows.tables.get(table.name, ())
        ]
        if lines:
            connection.execute(insert(table), lines)
        if table is job_records:
            jobs = [line["job"] for line in lines]
    choose_latest(connection, jobs)
    _commit(connection, index)
    return len(batch)


def _commit(connection: Connection, index: Index) -> None:
    before_step("index", index.file)
    connection.commit()
    before_step("indexed", index.file)


def record_problems(connection: Connection) -> list[RecordProblem]:
    """Return the files among the records that are no use as they are."""
    own = record_files.c
    rows = connection.execute(
        select(own.place, own.problem, own.remedy)
        .where(own.problem.is_not(None))
        .order_by(own.place)
    )
    return [RecordProblem(f"records/{place}", problem, remedy) for place, problem, remedy in rows]
