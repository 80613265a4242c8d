"""``reelwright order-sheet`` and ``reelwright record-sheet``."""

from __future__ import annotations

import re
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Literal

import click

from author.cli.checking import show_report
from author.cli.option_words import NAMED_PATH
from author.cli.showing import print_json, progress_shown
from author.errors import InputError, one_line
from author.progress import Cancel
from author.tasks.checking import CheckReport
from author.tasks.sheets import MadeOrder, make_order_sheet, make_record_sheet

if TYPE_CHECKING:
    from author.tasks.library_finding import LibraryOrder

_PAPER = click.option(
    "--paper", type=click.Choice(["a4", "us-letter"]), default="a4", show_default=True,
    help="Paper of the PDF.",
)  # fmt: skip
_JSON = click.option("--json", "as_json", is_flag=True, help="Print what was made for programs.")
_TIMES = re.compile(r"([^=]+)=([0-9]{1,5})")

_SHOWN = 3


@click.command("order-sheet")
@click.argument("procedures", nargs=-1, required=True, type=NAMED_PATH)
@click.option(
    "--to",
    required=True,
    type=NAMED_PATH,
    metavar="FOLDER",
    help="Folder to write order.csv and order.pdf into; made if it is missing.",
)
@click.option(
    "--times",
    multiple=True,
    metavar="ID=N",
    help="How many times a procedure is done, by its id; once if not said. "
    "May be given more than once.",
)
@click.option("--draft", is_flag=True, help="Go on in spite of errors, marked DRAFT.")
@_PAPER
@_JSON
@click.pass_obj
def order_sheet_command(
    cancel: Cancel,
    procedures: tuple[Path, ...],
    to: Path,
    times: tuple[str, ...],
    draft: bool,
    paper: Literal["a4", "us-letter"],
    as_json: bool,
) -> int:
    """Write one order sheet for PROCEDURES, folders or files.

    Parts of one number add up over all of them before they are counted in packs; older
    numbers give way to the newest. The CSV is for a spreadsheet: a part number that one
    would change, such as 00417, has an apostrophe before it. No film is looked at.
    """
    with progress_shown() as progress:
        made = make_order_sheet(
            procedures,
            to,
            times=read_times(times),
            draft=draft,
            paper=paper,
            progress=progress,
            cancel=cancel,
        )
    if not isinstance(made, MadeOrder):
        return refused(made, as_json)
    sheet = made.sheet
    parts, supplies = (*sheet.numbered, *sheet.unnumbered), sheet.supplies
    look = sum(bool(line.remarks) for line in parts) + sum(bool(s.remarks) for s in supplies)
    if as_json:
        print_json(
            {
                "files": [str(file) for file in made.files],
                "jobs": [
                    {
                        "procedure": job.procedure.id,
                        "revision": job.procedure.revision,
                        "times": job.times,
                        "draft": job.draft,
                    }
                    for job in sheet.jobs
                ],
                "parts": len(parts),
                "supplies": len(supplies),
                "to_look_at": look,
            }
        )
        return 0
    for file in made.files:
        click.echo(one_line(f"Wrote {file}"))
    for job in sheet.jobs:
        mark = ", DRAFT" if job.draft else ""
        click.echo(f"  {job.name}: {job.times} time{'s' * (job.times != 1)}{mark}")
    click.echo(
        f"{_counted(len(parts), 'part')} and {_counted(len(supplies), 'supply')} to order"
        f"{f', {look} to look at first' if look else ''}."
    )
    return 0


@click.command("record-sheet")
@click.argument("procedure", type=NAMED_PATH)
@click.option(
    "--record",
    type=NAMED_PATH,
    metavar="FILE",
    help="Fill it from this job record, JSON or YAML; blank if not given.",
)
@click.option(
    "--to",
    required=True,
    type=NAMED_PATH,
    metavar="FILE.pdf",
    help="PDF to write.",
)
@click.option("--draft", is_flag=True, help="Go on in spite of errors, marked DRAFT.")
@_PAPER
@_JSON
def record_sheet_command(
    procedure: Path,
    record: Path | None,
    to: Path,
    draft: bool,
    paper: Literal["a4", "us-letter"],
    as_json: bool,
) -> int:
    """Write the record sheet of PROCEDURE, blank or filled from a job record.

    A record has to be of the very procedure and revision. Where its verdicts are not those
    of the procedure's limits, both are printed. No film is looked at.
    """
    made = make_record_sheet(procedure, to, record=record, draft=draft, paper=paper)
    if isinstance(made, CheckReport):
        return refused([made], as_json)
    one = made.loaded.procedure
    if as_json:
        print_json(
            {
                "file": str(made.file),
                "procedure": one.id,
                "revision": one.revision,
                "filled": made.record is not None,
                "draft": made.draft,
            }
        )
        return 0
    form = "blank" if made.record is None else f"filled, {len(made.record.readings)} readings"
    mark = ", DRAFT" if made.draft else ""
    click.echo(one_line(f"Wrote {made.file}: {one.id}, revision {one.revision}, {form}{mark}"))
    return 0


def refused(reports: Sequence[CheckReport], as_json: bool) -> int:
    """Print the remarks that forbid a sheet, and return the exit code."""
    if as_json:
        print_json({"files": [], "checks": [report.as_plain() for report in reports]})
        return 1
    for report in reports:
        show_report(report)
    click.echo(
        "Nothing was written. Mend the errors and write what is still to be written, "
        "or go on with --draft."
    )
    return 1


def read_times(given: Sequence[str]) -> dict[str, int]:
    """Return how often each procedure is done, from texts such as ``dishwasher-board=3``.

    Raises:
        InputError: one of them is not an id and a number.
    """
    found: dict[str, int] = {}
    for text in given:
        match = _TIMES.fullmatch(text)
        if match is None:
            raise InputError(
                f"--times '{text[:60]}' is not an id and a number",
                remedy="Write it such as --times upper-wheel-bearings=2",
            )
        if match[1] in found:
            raise InputError(f"--times names '{match[1][:60]}' twice", remedy="Name it once")
        found[match[1]] = int(match[2])
    return found


def _counted(count: int, word: str) -> str:
    plural = f"{word[:-1]}ies" if word.endswith("y") else f"{word}s"
    return f"{count} {word if count == 1 else plural}"


def not_to_order_by(order: LibraryOrder) -> int:
    """Say beside an order which procedures nobody has approved as they are; return the exit code.

    An order sheet is not written for such either.
    """
    jobs = [job.procedure for job in order.sheet.jobs]
    unfit = [one for one in jobs if one.state != "approved" or one.id in order.doubts]
    if not unfit:
        return 0
    named = ", ".join(one.id for one in unfit[:_SHOWN])
    more = f" and {len(unfit) - _SHOWN} more" if len(unfit) > _SHOWN else ""
    said = f"Not to order by: nobody has approved {named}{more} as it is. --draft lists it anyway."
    click.echo(one_line(said), err=True)
    return 1
