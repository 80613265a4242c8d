"""The order sheet for the parts desk: as CSV for a spreadsheet and as PDF to print."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import groupby

from author.checks.verdict import DraftProcedure, Publishable
from author.procedure.orders import (
    RULES,
    Job,
    OrderRule,
    OrderSheet,
    PartLine,
    SupplyLine,
    order_sheet,
)
from author.publish import glyphs
from author.publish.lookup import Data
from author.publish.pdf import Paper
from author.publish.sheet_frame import STATES, frame, texts_of
from author.publish.spreadsheet import table_csv
from author.publish.typesetting import typeset

COLUMNS = (
    "list", "number", "name", "grade", "order", "needed_always", "needed_in_case",
    "needed_only_if", "only_if", "pack_size", "packs_now", "pieces_now", "packs_all",
    "pieces_all", "for", "amounts", "instead_of", "alternatives", "comes_with", "note", "look_at",
    "mark", "ordered", "received",
)  # fmt: skip
WORDS: dict[OrderRule, str] = {"always": "always", "in_case": "in case", "only_if": "only if"}
_NOW: tuple[OrderRule, ...] = ("always", "in_case")
_TITLES: dict[OrderRule, str] = {
    "always": "Order always",
    "in_case": "Order in case it is needed",
    "only_if": "Order only if",
}


def sheet_of(judged: Publishable, times: int = 1) -> OrderSheet:
    """Return the order sheet of one procedure.

    Args:
        judged: the procedure, checked or a draft.
        times: how many times it is to be done.
    """
    return order_sheet([Job(judged.procedure, times, isinstance(judged, DraftProcedure))])


def order_csv(sheet: OrderSheet) -> bytes:
    """Return an order sheet as CSV for a spreadsheet.

    One row for each part or supply. ``packs_now`` and ``pieces_now`` hold what is ordered
    always and in case; ``packs_all`` and ``pieces_all`` also what is ordered only if the
    condition is so. ``ordered`` and ``received`` are for the parts desk to fill in.

    Part numbers come out as they were written: a number a spreadsheet would change, such as
    ``00417``, has an apostrophe before it (see ``author.publish.spreadsheet``).
    """
    rows: list[dict[str, str | int | None]] = []
    rows += [_part_row(line, sheet) for line in (*sheet.numbered, *sheet.unnumbered)]
    rows += [_supply_row(line, sheet) for line in sheet.supplies]
    return table_csv(COLUMNS, [[row.get(name) for name in COLUMNS] for row in rows])


def order_pdf(sheet: OrderSheet, paper: Paper = "a4") -> bytes:
    """Return an order sheet as PDF/A-3a and PDF/UA-1, the same bytes for the same input.

    Args:
        sheet: what to order.
        paper: size of the pages.

    Raises:
        InputError: if a text has characters that the shipped fonts lack.
        MachineError: if the working files cannot be written.
    """
    data = order_data(sheet)
    glyphs.refuse_missing(texts_of(data, "the order sheet"))
    return typeset("order", {**glyphs.breakable(data), "paper": paper}, {}, "pdf")


def _part_row(line: PartLine, sheet: OrderSheet) -> dict[str, str | int | None]:
    return {
        "list": "part",
        "number": line.number,
        "name": line.name,
        "order": WORDS[line.rule],
        "needed_always": line.asked("always"),
        "needed_in_case": line.asked("in_case"),
        "needed_only_if": line.asked("only_if"),
        "only_if": "; ".join(_conditions(line)),
        "pack_size": line.pack_size,
        "packs_now": line.packs(*_NOW),
        "pieces_now": line.ordered(*_NOW),
        "packs_all": line.packs(),
        "pieces_all": line.ordered(),
        "for": "; ".join(
            f"{share.pieces} {WORDS[share.rule]} in {share.procedure}, revision {share.revision}"
            for share in line.shares
        ),
        "instead_of": "; ".join(" → ".join(chain[:-1]) for chain in line.instead_of),
        "alternatives": "; ".join(line.alternatives),
        "comes_with": "; ".join(line.brings),
        "note": "; ".join(line.notes),
        "look_at": "; ".join(line.remarks),
        "mark": _mark(line, sheet),
    }


def _supply_row(line: SupplyLine, sheet: OrderSheet) -> dict[str, str | int | None]:
    return {
        "list": "supply",
        "number": line.number,
        "name": line.name,
        "grade": line.grade,
        "order": "if there is not enough",
        "for": "; ".join(f"{share.procedure}, revision {share.revision}" for share in line.shares),
        "amounts": "; ".join(dict.fromkeys(a for share in line.shares for a in share.amounts)),
        "note": "; ".join(line.notes),
        "look_at": "; ".join(line.remarks),
        "mark": _mark(line, sheet),
    }


def _mark(line: PartLine | SupplyLine, sheet: OrderSheet) -> str:
    """Return what whoever copies the row has to know of the procedures behind it."""
    behind = {(share.procedure, share.revision) for share in line.shares}
    jobs = [job for job in sheet.jobs if (job.procedure.id, job.procedure.revision) in behind]
    words = []
    if any(job.draft for job in jobs):
        words.append("DRAFT: not for use")
    for state in ("withdrawn", "superseded"):
        if any(job.procedure.state == state for job in jobs):
            words.append(STATES[state])
    if any(job.procedure.data == "demo" for job in jobs):
        words.append("Demo data")
    return "; ".join(words)


def _conditions(line: PartLine) -> list[str]:
    return [condition or "asked for" for condition in line.conditions]


def order_data(sheet: OrderSheet) -> Data:
    """Return an order sheet as plain page data."""
    jobs, count = sheet.jobs, len(sheet.jobs)
    numbers = {
        (job.procedure.id, job.procedure.revision): place for place, job in enumerate(jobs, 1)
    }
    one = jobs[0].procedure if count == 1 else None
    parts = [
        {"title": _TITLES[rule], "rule": rule, "lines": [_part(line, numbers) for line in lines]}
        for rule, lines in groupby(sheet.numbered, key=lambda line: line.rule)
    ]
    return {
        **frame(
            [job.procedure for job in jobs],
            draft=any(job.draft for job in jobs),
            title=f"Order sheet: {one.title}" if one else f"Order sheet for {count} procedures",
            foot=f"Order sheet for {jobs[0].name}"
            if one
            else f"Order sheet for {count} procedures",
        ),
        "jobs": [_job(job, place) for place, job in enumerate(jobs, 1)],
        "several": count > 1,
        "parts": parts,
        "unnumbered": [_part(line, numbers) for line in sheet.unnumbered],
        "supplies": [_supply(line, numbers) for line in sheet.supplies],
    }


def _job(job: Job, place: int) -> Data:
    procedure = job.procedure
    state = STATES[procedure.state]
    return {
        "place": place,
        "id": procedure.id,
        "revision": procedure.revision,
        "title": procedure.title,
        "machine": procedure.unit.name,
        "state": f"{state}, with errors" if job.draft else state,
        "demo": procedure.data == "demo",
        "times": job.times,
    }


def _part(line: PartLine, numbers: dict[tuple[str, int], int]) -> Data:
    split = [f"{line.asked(rule)} {WORDS[rule]}" for rule in RULES if line.asked(rule)]
    return {
        "number": line.number,
        "name": line.name,
        "rule": WORDS[line.rule],
        "needed": str(line.asked()),
        "split": " + ".join(split) if len(split) > 1 else None,
        "conditions": _conditions(line),
        "order": [*_amounts(line)],
        "jobs": [
            f"{'' if len(split) == 1 else WORDS[share.rule] + ' '}{share.pieces} for job "
            f"{numbers[share.procedure, share.revision]}"
            for share in line.shares
        ],
        "instead_of": [" → ".join(chain[:-1]) for chain in line.instead_of],
        "alternatives": ", ".join(line.alternatives),
        "brings": ", ".join(line.brings),
        "notes": [*line.notes],
        "remarks": [*line.remarks],
    }


def _amounts(line: PartLine) -> Iterator[Data]:
    """Yield how much is ordered: now, and where the condition is so."""
    now, everything = line.packs(*_NOW), line.packs()
    if now and now < everything:
        yield _amount(line, now, "now")
        yield _amount(line, everything, "if so")
    else:
        yield _amount(line, everything, None)


def _amount(line: PartLine, packs: int, when: str | None) -> Data:
    size = line.pack_size
    if size == 1:
        said, holds = f"{packs} piece{'s' * (packs != 1)}", None
    else:
        said = f"{packs} pack{'s' * (packs != 1)}"
        holds = f"of {size} = {packs * size} pieces" if packs > 1 else f"of {size} pieces"
    return {"packs": said, "holds": holds, "when": when}


def _supply(line: SupplyLine, numbers: dict[tuple[str, int], int]) -> Data:
    return {
        "number": line.number,
        "name": line.name,
        "grade": line.grade,
        "jobs": [f"job {numbers[share.procedure, share.revision]}" for share in line.shares],
        "amounts": [*dict.fromkeys(a for share in line.shares for a in share.amounts)],
        "notes": [*line.notes],
        "remarks": [*line.remarks],
    }
