"""``reelwright library`` record, records, release, readings, questions, answer and hours."""

from __future__ import annotations

from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING, cast

import click

from author.cli.library_keys import proof_options, shown_to_be
from author.cli.library_records_said import (
    hours_plain,
    kept_plain,
    line,
    question_plain,
    say_hours,
    say_notes,
    say_questions,
    say_series,
    say_specs,
    say_unit,
    say_units,
    series_plain,
    stopped,
    told,
)
from author.cli.option_words import NAMED_PATH
from author.cli.showing import print_json
from author.errors import InputError

if TYPE_CHECKING:
    from author.library.records.run_series import Phase

_SHOP = click.argument("shop", type=NAMED_PATH)
_JSON = click.option("--json", "as_json", is_flag=True, help="Print it for programs.")
_BY = click.option("--by", required=True, metavar="NAME", help="Who you are.")


@click.command("record")
@_SHOP
@click.argument("files", nargs=-1, required=True, type=NAMED_PATH)
@_BY
@_JSON
def record_command(shop: Path, files: tuple[Path, ...], by: str, as_json: bool) -> int:
    """Keep job records, JSON or YAML files, in the library SHOP.

    Each is held against the very procedure file it was made with: the current one, an older
    revision, or what was published of them. The same record is kept once, however often it is
    sent; a later state of the same job takes the place of the earlier, and both are kept. A
    finished one gives way to no other than a finished one that has all of its readings.
    """
    from author.tasks.library_people import sender_notes
    from author.tasks.library_records import keep_files

    done = keep_files(shop, files, by)
    notes = sender_notes(shop, by)
    if as_json:
        print_json({"results": [kept_plain(one) for one in done], "notes": list(notes)})
        return 0
    for one in done:
        record = one.kept.record
        said = "kept" if one.did == "new" else "the library had it already"
        line(f"{one.kept.slug}/{one.kept.key}: {said} ({record.procedure.id}, {record.unit})")
        for note in one.notes:
            line(f"    {stopped(note)}")
    say_notes(notes)
    return 0


@click.command("records")
@_SHOP
@click.option("--unit", metavar="UNIT", help="The jobs and findings of one unit, by its name.")
@_JSON
def records_command(shop: Path, unit: str | None, as_json: bool) -> int:
    """List the units that were worked on, or the jobs and findings of one.

    A finding stays open until the role its procedure names, or a keeper, releases it.
    """
    from author.tasks.library_records import unit_list, unit_report

    if unit is None:
        return told(unit_list(shop), as_json, lambda units: [asdict(one) for one in units],
                     say_units)  # fmt: skip
    return told(unit_report(shop, unit), as_json, lambda one: [asdict(one)], say_unit)


@click.command("release")
@_SHOP
@click.argument("unit")
@click.argument("finding")
@_BY
@click.option("--why", required=True, metavar="TEXT", help="Why the unit may be used again.")
@click.option(
    "--role",
    metavar="ROLE",
    help="The role you release in, as the procedure names it; any you have if not said.",
)
@proof_options
@_JSON
def release_command(
    shop: Path, unit: str, finding: str, by: str, why: str, role: str | None, key: str | None,
    passphrase_file: Path | None, as_json: bool,
) -> int:  # fmt: skip
    """Release FINDING of UNIT, by the beginning of its id: the unit may be used again.

    A keeper may release every finding; others only what a procedure lets their role release.
    What somebody is, keys, library.yaml and accounts say ('library account … --trade ROLE'), and
    where there are keys or accounts, you are asked for your key or your password. A library that
    knows nobody yet takes ROLE as stated, and keeps that it did. Who released it, in which role,
    when and why is kept.
    """
    from author.library.signing.known_people import NOBODY_KNOWN
    from author.tasks.library_people import releaser_of
    from author.tasks.library_records import release_finding

    releaser = releaser_of(shop, by, role)
    shown_to_be(shop, by, key, passphrase_file)
    found, done = release_finding(shop, unit, finding, releaser, why)
    notes = (NOBODY_KNOWN,) if releaser.as_stated else ()
    if as_json:
        released = [done.model_dump(mode="json")]
        print_json({"results": released, "unit": found.unit, "notes": list(notes)})
    else:
        line(f"Released by {done.by}, {done.role}: {found.what}")
        say_notes(notes)
    return 0


@click.command("readings")
@_SHOP
@click.argument("procedure", required=False)
@click.argument("spec", required=False)
@click.option("--phase", type=click.Choice(["as_found", "as_left"]), help="Before or after work.")
@click.option("--position", metavar="NAME", help="Only those taken at one place.")
@click.option("--unit", metavar="UNIT", help="Only those on one unit, by its name.")
@click.option(
    "--most", type=click.IntRange(1, 100_000), metavar="N", help="Only those of the newest N jobs."
)
@click.option(
    "--chart", type=NAMED_PATH, metavar="FILE.svg", help="Draw them as a run chart as well."
)
@_JSON
def readings_command(
    shop: Path,
    procedure: str | None,
    spec: str | None,
    phase: str | None,
    position: str | None,
    unit: str | None,
    most: int | None,
    chart: Path | None,
    as_json: bool,
) -> int:
    """List the readings of SPEC in PROCEDURE, job after job, with signs of a drift.

    Each reading stands with the limits of the revision it was taken under; all are in one
    unit, converted exactly. Without SPEC the numbers that were read are listed. Signs are
    looked for in the means of the jobs by the run rules of the NIST/SEMATECH e-Handbook, 6.3.2.
    """
    from author.tasks.library_records import readings, spec_list

    if procedure is None or spec is None:
        if chart is not None:
            raise InputError("a chart is of one number", remedy="Name a procedure and a number")
        return told(spec_list(shop), as_json, lambda some: [asdict(one) for one in some],
                     say_specs)  # fmt: skip
    if chart is not None and chart.suffix.lower() != ".svg":
        raise InputError("the chart is SVG", remedy="Name a file that ends in .svg", file=chart)
    wanted = cast("Phase | None", phase)
    found = readings(shop, procedure, spec, phase=wanted, position=position, unit=unit, most=most)
    if chart is not None:
        from author.storage import replace_file
        from author.tasks.run_chart import run_chart

        replace_file(chart, run_chart(found.value))
    return told(found, as_json, lambda one: [series_plain(one)], say_series)


@click.command("questions")
@_SHOP
@click.option("--open", "only_open", is_flag=True, help="Only those without an answer.")
@click.option("--procedure", metavar="ID", help="Only those about one procedure.")
@_JSON
def questions_command(shop: Path, only_open: bool, procedure: str | None, as_json: bool) -> int:
    """List the questions from the work to the authors of procedures, with their answers.

    An answer by somebody the library does not know is told as such.
    """
    from author.tasks.library_people import strangers
    from author.tasks.library_records import questions

    found = questions(shop, answered=False if only_open else None, procedure=procedure)
    strange = strangers(shop, [said.by for one in found.value for said in one.answers])
    return told(
        found,
        as_json,
        lambda some: [question_plain(one, strange) for one in some],
        lambda some: say_questions(some, strange),
    )


@click.command("answer")
@_SHOP
@click.argument("question")
@click.argument("text")
@_BY
@proof_options
@_JSON
def answer_command(
    shop: Path, question: str, text: str, by: str, key: str | None,
    passphrase_file: Path | None, as_json: bool,
) -> int:  # fmt: skip
    """Answer QUESTION, by the beginning of its id, with TEXT.

    Authors, reviewers and keepers answer, and whoever wrote the procedure. A library that knows
    nobody yet takes every name; one with keys or accounts asks for yours. Earlier answers stay.
    Nothing is written into the procedure.
    """
    from author.tasks.library_people import answer_as

    shown_to_be(shop, by, key, passphrase_file)
    done = answer_as(shop, question, text, by)
    if as_json:
        said = done.answer.model_dump(mode="json")
        print_json({"results": [said], "notes": list(done.notes)})
    else:
        line(f"{done.asked.text}")
        line(f"    {done.answer.by}, {done.answer.at[:10]}: {done.answer.answer}")
        say_notes(done.notes)
    return 0


@click.command("hours")
@_SHOP
@_JSON
def hours_command(shop: Path, as_json: bool) -> int:
    """Say what finished jobs took, against the labour time of their procedure.

    The hours of all who worked are added up. A labour time is proposed from three jobs on, and
    never written into the procedure.
    """
    from author.tasks.library_records import hours

    return told(hours(shop), as_json, lambda some: [hours_plain(one) for one in some],
                 say_hours)  # fmt: skip


COMMANDS = (
    record_command,
    records_command,
    release_command,
    readings_command,
    questions_command,
    answer_command,
    hours_command,
)
"""What the group ``library`` takes in."""
