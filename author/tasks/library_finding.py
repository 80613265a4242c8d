"""Ask a library: find, where used, what comes before, what to order, due, open findings."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date
from pathlib import Path
from typing import Generic, TypeVar

from sqlalchemy import Connection, select

from author.contract import read_procedure
from author.contract.procedure_file import PROCEDURE_FILE
from author.errors import InputError
from author.library.asking.finding import Answer, find
from author.library.asking.graph import Graph, prerequisites
from author.library.asking.graph_drawing import draw
from author.library.asking.listing import (
    Due,
    FileProblem,
    OpenFinding,
    open_findings,
    problems,
    reviews_due,
)
from author.library.asking.query import Filters, read_query
from author.library.asking.where_used import Uses, where_used
from author.library.index.damage import with_mending
from author.library.index.database import Index
from author.library.index.indexing import mend, refresh
from author.library.index.tables import files, procedures
from author.library.shop import Shop, open_shop
from author.library.signing.glance import NOT_LOOKED_AT, doubts_about, has_keys
from author.procedure.orders import Job, OrderSheet, order_sheet
from author.progress import SILENT, Cancel, Progress
from author.storage import replace_file

Value = TypeVar("Value")
_WAIT = 2.0


@dataclass(frozen=True, slots=True)
class Reply(Generic[Value]):
    """An answer of the library.

    Attributes:
        value: the answer.
        notes: what happened to the index on the way, a sentence each.
        problems: procedure files that could not be looked through.
    """

    value: Value
    notes: tuple[str, ...]
    problems: tuple[FileProblem, ...]


@dataclass(frozen=True, slots=True)
class LibraryOrder:
    """What to order for some procedures and all that has to be done before them.

    Attributes:
        sheet: what to order.
        files: the procedure files, in the order of the sheet's jobs.
        asked: ids that were asked for; the others are prerequisites.
        remarks: prerequisites that are missing, withdrawn, or wait for one another.
        doubts: why the state of one is not to be relied on, by its id.
    """

    sheet: OrderSheet
    files: tuple[Path, ...]
    asked: tuple[str, ...]
    remarks: tuple[str, ...]
    doubts: Mapping[str, str] = field(default_factory=dict)


def find_in(
    folder: Path,
    words: str,
    filters: Filters,
    most: int,
    *,
    progress: Progress = SILENT,
    cancel: Cancel | None = None,
) -> Reply[Answer]:
    """Find procedures by words and filters; see ``author.library.asking.finding.find``.

    At those that are shown a glance is taken, whether they are as they were signed; a note says
    what was not looked at.

    Raises:
        InputError, MachineError: if the query, the library or the index is wrong.
    """
    asked = read_query(words)
    found = _ask(folder, lambda rows: find(rows, asked, filters, most), progress, cancel)
    shop = open_shop(folder)
    doubts = doubts_about(shop, [(one.place, one.revision) for one in found.value.results])
    shown = tuple(replace(one, doubt=doubts.get(one.place)) for one in found.value.results)
    believed = any(one.state == "approved" and one.doubt is None for one in shown)
    notes = (*found.notes, *((NOT_LOOKED_AT,) if believed and has_keys(shop) else ()))
    return replace(found, value=replace(found.value, results=shown), notes=notes)


def where_used_in(folder: Path, what: str, *, older: bool = False) -> Reply[Uses]:
    """Say where a part, tool, supply or procedure is used."""
    return _ask(folder, lambda rows: where_used(rows, what, older_revisions=older))


def graph_of(folder: Path, wanted: Sequence[str], to: Path | None = None) -> Reply[Graph]:
    """Return what has to be done before which, and draw it.

    Args:
        folder: the library.
        wanted: ids to begin at; all procedures if none is named.
        to: the SVG file to write, if any.

    Raises:
        InputError: if a procedure is not in the library, or the file is no SVG or cannot be
            written.
        MachineError: if the machine fails.
    """
    if to is not None and to.suffix.lower() != ".svg":
        raise InputError("the drawing is SVG", remedy="Name a file that ends in .svg", file=to)

    def look(connection: Connection) -> Graph:
        _places(connection, wanted)
        return prerequisites(connection, wanted)

    found = _ask(folder, look)
    if to is not None:
        name = f"What has to be done before {', '.join(wanted)}" if wanted else "Prerequisites"
        replace_file(to, draw(found.value, name).encode())
    return found


def due_in(folder: Path, by: str) -> Reply[list[Due]]:
    """Return the reviews that are due by a day, year first."""
    found = _ask(folder, lambda rows: reviews_due(rows, by))
    doubts = doubts_about(open_shop(folder), [(one.place, one.revision) for one in found.value])
    return replace(found, value=[replace(o, doubt=doubts.get(o.place)) for o in found.value])


def holds_in(folder: Path, day: str | None = None) -> Reply[list[OpenFinding]]:
    """Return the open findings of each unit; what is overdue by a day, else today, comes first."""
    now = day or date.today().isoformat()
    return _ask(folder, lambda rows: open_findings(rows, now))


def order_from(
    folder: Path, wanted: Sequence[str], times: Mapping[str, int] | None = None
) -> Reply[LibraryOrder]:
    """Return what to order for procedures of the library and their prerequisites.

    Every procedure is done once, however many wait for it, unless ``times`` says otherwise.

    Args:
        folder: the library.
        wanted: ids of the procedures.
        times: how many times each is done, by its id.

    Raises:
        InputError: if a procedure is not in the library or is withdrawn, ``times`` names none
            of them, or the sheet cannot be made.
        MachineError: if the machine fails.
    """
    shop = open_shop(folder)

    def look(connection: Connection) -> tuple[Graph, dict[str, str]]:
        _places(connection, wanted)
        graph = prerequisites(connection, wanted)
        there = [stop.id for stop in graph.stops if stop.state not in {"missing", "withdrawn"}]
        gone = sorted(set(wanted) - set(there))
        if gone:
            raise InputError(f"'{gone[0]}' is withdrawn", remedy="Name what takes its place")
        return graph, _places(connection, there)

    asked = _ask(folder, look)
    graph, places = asked.value
    given = dict(times or {})
    strange = sorted(set(given) - set(places))
    if strange:
        raise InputError(
            f"'{strange[0][:60]}' is not among the procedures to order for",
            remedy=f"Name one of: {', '.join(sorted(places))}",
        )
    read = [_file(shop, place) for place in places.values()]
    loaded = [read_procedure(file).procedure for file in read]
    sheet = order_sheet(Job(one, given.get(one.id, 1)) for one in loaded)
    about = dict(zip(places.values(), loaded, strict=True))
    seen = doubts_about(shop, [(place, one.revision) for place, one in about.items()])
    doubts = {about[place].id: said for place, said in seen.items()}
    order = LibraryOrder(sheet, tuple(read), tuple(wanted), graph.remarks, doubts)
    return Reply(order, asked.notes, asked.problems)


def _file(shop: Shop, place: str) -> Path:
    return shop.procedures.joinpath(*place.split("/")) / PROCEDURE_FILE


def _places(connection: Connection, wanted: Sequence[str]) -> dict[str, str]:
    """Return the place of each procedure by its id.

    Raises:
        InputError: if the library does not hold one.
    """
    own = procedures.c
    rows = connection.execute(
        select(own.procedure, files.c.place)
        .join(files, files.c.id == own.id)
        .where(own.in_force, own.procedure.in_(wanted))
        .order_by(files.c.place.desc())
    )
    found = {row.procedure: row.place for row in rows}
    for one in wanted:
        if one not in found:
            raise InputError(
                f"the library holds no procedure '{one[:60]}'",
                remedy="Look for it with 'reelwright library find', and name its id",
            )
    return dict(sorted(found.items()))


def _ask(
    folder: Path,
    job: Callable[[Connection], Value],
    progress: Progress = SILENT,
    cancel: Cancel | None = None,
) -> Reply[Value]:
    """Take up what has changed, then ask; an index found damaged is built anew once."""
    shop = open_shop(folder)
    index = Index(shop)
    done = refresh(shop, index, wait=_WAIT, progress=progress, cancel=cancel)
    notes = [f"The index was built anew: {done.rebuilt}"] if done.rebuilt else []
    if done.behind:
        notes.append(
            f"Another run is writing the index: {done.behind} changed files are not in it yet"
        )
    if index.apart:
        notes.append("The library cannot be written: its index lies in the cache folder")

    def asked() -> Reply[Value]:
        with index.reading() as connection:
            return Reply(job(connection), tuple(notes), tuple(problems(connection)))

    def mended(anew: bool) -> None:
        if mend(shop, index, anew, progress=progress, cancel=cancel).rebuilt:
            notes.append("The index was built anew: it was damaged")

    try:
        return with_mending(asked, mended)
    finally:
        index.close()
