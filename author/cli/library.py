"""``reelwright library``: keep procedures together, find them, order from them."""

from __future__ import annotations

from datetime import date, timedelta
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from author.cli.library_answers import (
    doubted_graph,
    doubted_uses,
    due_plain,
    found_plain,
    graph_plain,
    holds_plain,
    order_plain,
    reindexed_plain,
    say_due,
    say_found,
    say_graph,
    say_holds,
    say_order,
    say_reindexed,
    say_used,
    told,
    used_plain,
)
from author.cli.option_words import NAMED_PATH
from author.cli.showing import print_json, progress_shown
from author.errors import InputError, one_line
from author.progress import Cancel
from author.storage import without_links

if TYPE_CHECKING:
    from author.library.asking.listing import OpenFinding
    from author.library.asking.query import Filters

_SHOP = click.argument("shop", type=NAMED_PATH)
_JSON = click.option("--json", "as_json", is_flag=True, help="Print it for programs.")
_STATES = ("draft", "in_review", "approved", "superseded", "withdrawn")
# Where the other commands are: a module is loaded when one of its commands is asked for.
_ELSEWHERE = {
    **dict.fromkeys(("take", "back-up", "restore"), "library_moving"),
    **dict.fromkeys(
        ("key", "admit", "revoke", "sign", "state", "verify", "audit", "history"),
        "library_signing",
    ),
    **dict.fromkeys(
        ("record", "records", "release", "readings", "questions", "answer", "hours"),
        "library_records",
    ),
    "account": "library_accounts",
}


class _Library(click.Group):
    """The group, with the commands of other modules loaded when they are asked for."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        return [*super().list_commands(ctx), *_ELSEWHERE]

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:
        if cmd_name not in _ELSEWHERE:
            return super().get_command(ctx, cmd_name)
        module = import_module(f"author.cli.{_ELSEWHERE[cmd_name]}")
        command: click.Command = next(one for one in module.COMMANDS if one.name == cmd_name)
        return command


@click.group("library", cls=_Library)
def library_command() -> None:
    """Keep a shop's procedures together: find them, follow a part, order, see what is due.

    A library is a folder: library.yaml says whose it is, procedures/ holds a folder for each
    procedure. The files are the truth. The index beside them (.index) is made from them, looks
    itself for files that have changed, and may be deleted at any time. Where several machines
    use the library, REELWRIGHT_INDEX puts it into PostgreSQL: postgresql://machine/database.
    """


@library_command.command("new")
@_SHOP
@click.option("--name", metavar="TEXT", help="What the shop calls it; the folder's name if absent.")
@_JSON
def new_command(shop: Path, name: str | None, as_json: bool) -> int:
    """Make an empty library in the folder SHOP, missing or empty."""
    from author.tasks.library_shelves import new_library

    made = new_library(shop, name or without_links(shop).name)
    if as_json:
        print_json({"results": [{"folder": str(made.folder), "name": made.sheet.name}]})
    else:
        click.echo(one_line(f"Made the library '{made.sheet.name}' in {made.folder}"))
    return 0


@library_command.command("shelve")
@_SHOP
@click.argument("procedures", nargs=-1, required=True, type=NAMED_PATH)
@click.option(
    "--keep",
    multiple=True,
    metavar="PLACE=SIDE",
    help="Where both have changed the same, let mine or library count; all=mine for every place.",
)
@click.option("--replace", is_flag=True, help="Put another draft of this revision aside.")
@_JSON
@click.pass_obj
def shelve_command(
    cancel: Cancel, shop: Path, procedures: tuple[Path, ...], keep: tuple[str, ...],
    replace: bool, as_json: bool,
) -> int:  # fmt: skip
    """Copy procedure folders into the library SHOP, each in one step.

    A higher revision takes the place of the one before, which is kept below revisions/. A
    revision that is approved, superseded or withdrawn is not changed any more. Files that the
    library has beside the new ones stay.

    Where others have shelved another content since a folder was taken, both are brought together
    step by step. What both have changed, each in their own way, is told, and nothing is written
    until --keep says what counts.
    """
    from author.cli.library_moving import shelved_plain, shelving_told
    from author.tasks.library_merging import ClashError
    from author.tasks.library_shelves import shelve_folders

    done: list[dict[str, Any]] = []
    open_: dict[str, Any] = {}
    with progress_shown() as progress:
        told = shelve_folders(
            shop, procedures, keep=keep, replace=replace, progress=progress, cancel=cancel
        )
        try:
            for one in told:
                source = procedures[len(done)]
                done.append(shelved_plain(one))
                if not as_json:
                    for line in shelving_told(one, shop, source):
                        click.echo(one_line(line))
        except ClashError as error:
            if not as_json:
                raise
            open_ = {"conflicts": error.as_plain(), "not_asked": list(error.unasked)}
    if as_json:
        print_json({"results": done, **open_})
    return 2 if open_ else 0


@library_command.command("find")
@_SHOP
@click.argument("words", nargs=-1)
@click.option("--unit", default="", metavar="TEXT", help="Words of the unit, or its number.")
@click.option("--state", "states", multiple=True, type=click.Choice(_STATES), help="Of this state.")
@click.option(
    "--part", "parts", multiple=True, metavar="TEXT", help="With a part, by name or number."
)
@click.option("--tool", "tools", multiple=True, metavar="TEXT", help="With a tool, by name.")
@click.option("--supply", "supplies", multiple=True, metavar="TEXT", help="With a supply.")
@click.option(
    "--spec",
    "specs",
    multiple=True,
    metavar="RANGE",
    help="With a requirement whose numbers reach into a range: 'torque 20 to 30 N·m'.",
)
@click.option(
    "--hazard",
    "hazards",
    multiple=True,
    metavar="TEXT",
    help="With a hazard message of these words, the signal word among them.",
)
@click.option("--hold/--no-hold", default=None, help="With a finding that holds the unit, or none.")
@click.option("--author", default="", metavar="NAME", help="Written by somebody of this name.")
@click.option(
    "--changed-since", default="", metavar="DAY", help="Last changed on this day or later."
)
@click.option("--changed-before", default="", metavar="DAY", help="Last changed before this day.")
@click.option(
    "--older-than",
    type=click.IntRange(0, 40_000),
    metavar="DAYS",
    help="Not changed for so many days.",
)
@click.option("--revisions", is_flag=True, help="Look through older revisions too.")
@click.option(
    "--most", type=click.IntRange(1, 1000), default=20, show_default=True, help="How many to show."
)
@_JSON
@click.pass_obj
def find_command(
    cancel: Cancel, /, shop: Path, words: tuple[str, ...], most: int, as_json: bool, **given: Any
) -> int:
    """Find procedures in the library SHOP by WORDS, filters, or both.

    Words match by their English stem; one that nobody has is taken for its like. Part numbers
    may have dashes or not. A range among the words is a filter: torque 20 to 30 N·m finds
    limits in lbf·ft as well. A requirement with one limit counts at that limit.
    """
    from author.library.asking.forgotten_units import forgotten_units, taken_values
    from author.library.asking.query import read_query
    from author.tasks.library_finding import find_in

    filters, typed = _filters(given), " ".join(words)
    with progress_shown() as progress:
        found = find_in(shop, typed, filters, most, progress=progress, cancel=cancel)
    asked = read_query(typed)
    notes = (*forgotten_units(typed, asked), *taken_values(typed, asked))
    for said in () if as_json else notes:
        click.echo(one_line(f"{said}."))
    return told(found, as_json, found_plain, say_found)


def _filters(given: dict[str, Any]) -> Filters:
    from author.library.asking.query import Filters, read_range

    before = _day(given["changed_before"])
    if given["older_than"] is not None:
        aged = (date.today() - timedelta(days=given["older_than"])).isoformat()
        before = min(before, aged) if before else aged
    return Filters(
        unit=given["unit"],
        states=given["states"],
        parts=given["parts"],
        tools=given["tools"],
        supplies=given["supplies"],
        specs=tuple(map(read_range, given["specs"])),
        hazards=given["hazards"],
        hold=given["hold"],
        author=given["author"],
        changed_since=_day(given["changed_since"]),
        changed_before=before,
        older=given["revisions"],
    )


def _day(text: str) -> str:
    if not text:
        return ""
    try:
        day = date.fromisoformat(text).isoformat()
    except ValueError:
        day = ""
    if day != text:
        raise InputError(
            f"'{text[:40]}' is not a day of the calendar", remedy="Write it like 2026-03-31"
        )
    return text


@library_command.command("where-used")
@_SHOP
@click.argument("what")
@click.option("--revisions", is_flag=True, help="Look through older revisions too.")
@_JSON
def where_used_command(shop: Path, what: str, revisions: bool, as_json: bool) -> int:
    """Say which procedures use WHAT: a part, tool or supply by number, id or name, or a procedure.

    A number is followed through those it has taken the place of, and a procedure that still
    orders by an older one is named with the number to order by now.
    """
    from author.tasks.library_finding import where_used_in

    uses = doubted_uses(shop, where_used_in(shop, what, older=revisions))
    return told(uses, as_json, used_plain, say_used)


@library_command.command("before")
@_SHOP
@click.argument("procedures", nargs=-1)
@click.option("--svg", type=NAMED_PATH, metavar="FILE.svg", help="Draw it as well.")
@_JSON
def before_command(shop: Path, procedures: tuple[str, ...], svg: Path | None, as_json: bool) -> int:
    """Say what has to be done before PROCEDURES, by their ids, or before each of the library.

    Procedures that wait for one another in a circle, and prerequisites that are missing or
    withdrawn, are named.
    """
    from author.tasks.library_finding import graph_of

    found = doubted_graph(shop, graph_of(shop, procedures, svg), procedures, svg)
    return told(found, as_json, graph_plain, say_graph)


@library_command.command("order")
@_SHOP
@click.argument("procedures", nargs=-1, required=True)
@click.option(
    "--times",
    multiple=True,
    metavar="ID=N",
    help="How many times a procedure is done, by its id; once if not said.",
)
@click.option("--to", type=NAMED_PATH, metavar="FOLDER", help="Write order.csv and order.pdf.")
@click.option("--draft", is_flag=True, help="Order by what is not approved; sheets are marked.")
@_JSON
@click.pass_obj
def order_command(
    cancel: Cancel, shop: Path, procedures: tuple[str, ...], times: tuple[str, ...],
    to: Path | None, draft: bool, as_json: bool,
) -> int:  # fmt: skip
    """Say what to order for PROCEDURES, by their ids, and for all that comes before them.

    What is always ordered comes first, then what to have in case, then what is ordered only if
    something is so. Exit code 1 where one of them is not approved as it is, without --draft.
    """
    from author.cli.sheets import not_to_order_by, read_times, refused
    from author.tasks.library_finding import order_from
    from author.tasks.sheets import MadeOrder, make_order_sheet

    counts = read_times(times)
    order = order_from(shop, procedures, counts)
    if to is not None:
        with progress_shown() as progress:
            made = make_order_sheet(
                order.value.files, to, times=counts, draft=draft, progress=progress, cancel=cancel
            )
        if not isinstance(made, MadeOrder):
            return refused(made, as_json)
    said = told(order, as_json, order_plain, say_order)
    return said or (0 if draft else not_to_order_by(order.value))


@library_command.command("due")
@_SHOP
@click.option("--by", metavar="DAY", help="The day to look at; today if not said.")
@_JSON
def due_command(shop: Path, by: str | None, as_json: bool) -> int:
    """List the procedures whose review has fallen due, the longest first."""
    from author.tasks.library_finding import due_in

    day = date.today().isoformat() if by is None else _day(by or " ")
    return told(due_in(shop, day), as_json, due_plain, say_due)


@library_command.command("holds")
@_SHOP
@_JSON
def holds_command(shop: Path, as_json: bool) -> int:
    """List the findings that are open, unit by unit, what is overdue and what holds the unit first.

    First those that procedures tell of: they would hold each unit they are found on. Then the
    units themselves, by their job records: on hold, released, or stopped in their last job.
    """
    from author.cli import library_records_said as records
    from author.tasks.library_finding import holds_in
    from author.tasks.library_records import unit_findings

    reply, (worked, released, stopped) = holds_in(shop), unit_findings(shop).value

    def plain(findings: list[OpenFinding]) -> dict[str, Any]:
        found = [records.unit_finding_plain(one) for one in worked]
        let = [records.unit_released_plain(one) for one in released]
        held = [records.stopped_plain(one) for one in stopped]
        return {**holds_plain(findings), "from_records": found, "released": let, "stopped": held}

    def say(findings: list[OpenFinding]) -> None:
        say_holds(findings)
        records.say_open(worked, released, stopped)

    return told(reply, as_json, plain, say)


@library_command.command("reindex")
@_SHOP
@click.option("--anew", is_flag=True, help="Build the index from nothing.")
@click.option("--watch", "watched", is_flag=True, help="Stay, and take up what changes.")
@click.option(
    "--every", type=click.FloatRange(0.2, 3600), default=2.0, show_default=True,
    metavar="SECONDS", help="Time between two looks of --watch.",
)  # fmt: skip
@_JSON
@click.pass_obj
def reindex_command(
    cancel: Cancel, shop: Path, anew: bool, watched: bool, every: float, as_json: bool
) -> int:
    """Hold the index of the library SHOP against every file, and mend it.

    The other commands look for changed files themselves, by time and size; this one reads every
    file and looks whether the index is whole. Damaged procedures are named, and make the exit
    code 1.
    """
    from author.tasks.library_shelves import reindex, watch

    def tell(seen: Any) -> None:
        if as_json:
            print_json(reindexed_plain(seen))
        else:
            say_reindexed(seen)

    with progress_shown() as progress:
        seen = reindex(shop, anew=anew, progress=progress, cancel=cancel)
    tell(seen)
    if watched:
        watch(shop, every, cancel, tell)
        return 0
    return 1 if seen.problems or seen.records else 0
