"""``reelwright publish``."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import click

from author.cli.checking import MEDIA_OPTION, show_report
from author.cli.option_words import NAMED_PATH
from author.cli.showing import print_json, progress_shown
from author.errors import one_line
from author.progress import Cancel
from author.publish.pdf import Paper
from author.tasks.checking import CheckReport
from author.tasks.publishing import OUTPUTS, PLACES, Published, publish


@click.command("publish")
@click.argument("procedure", type=NAMED_PATH)
@click.option(
    "--to",
    required=True,
    type=NAMED_PATH,
    metavar="FOLDER",
    help="Folder to publish into: new, empty, or published into before.",
)
@click.option(
    "--only",
    multiple=True,
    type=click.Choice(OUTPUTS),
    help="Make this output only; others that are there stay. May be given more than once.",
)
@click.option("--draft", is_flag=True, help="Publish in spite of errors, marked DRAFT.")
@click.option(
    "--paper", type=click.Choice(["a4", "us-letter"]), default="a4", show_default=True,
    help="Paper of the PDF.",
)  # fmt: skip
@MEDIA_OPTION
@click.option("--json", "as_json", is_flag=True, help="Print what was made for programs.")
@click.pass_obj
def publish_command(
    cancel: Cancel,
    procedure: Path,
    to: Path,
    only: tuple[str, ...],
    draft: bool,
    paper: Paper,
    media: tuple[Path, ...],
    as_json: bool,
) -> int:
    """Check PROCEDURE and publish it: PDF, work page, clips, sheets, and files for programs.

    What was there before stays until all of the new is made; what would come out the same
    is not made again.
    """
    with progress_shown() as progress:
        result = publish(
            procedure,
            to,
            only=only or OUTPUTS,
            draft=draft,
            paper=paper,
            media=media,
            progress=progress,
            cancel=cancel,
        )
    return show_result(result, as_json)


def show_result(result: Published | CheckReport, as_json: bool = False) -> int:
    """Print what was made, or the remarks that forbade it, and return the exit code."""
    if isinstance(result, CheckReport):
        if as_json:
            print_json({"published": None, **result.as_plain()})
        else:
            show_report(result)
            click.echo(
                "Nothing was published. Mend the errors and write what is still to be written, "
                "or publish with --draft."
            )
        return 1
    if as_json:
        check = result.report.as_plain()
        print_json(
            {
                "published": str(result.folder),
                "files": dict(result.files),
                "unchanged": list(result.unchanged),
                "stale": list(result.stale),
                "notes": list(result.notes),
                **check,
            }
        )
        return 0
    show_report(result.report)
    click.echo(one_line(f"Published in {result.folder}:"))
    tops = Counter(name.split("/")[0] for name in result.files)
    for name in OUTPUTS:
        for place in PLACES[name]:
            if place in tops:
                click.echo(f"  {_what(place, tops[place], result)}{_how(name, result)}")
    for note in result.notes:
        click.echo(one_line(f"Note: {note}."))
    if result.stale:
        click.echo(
            f"Kept, but of another state of the procedure: {', '.join(result.stale)}. "
            "Publish without --only to make them anew."
        )
    return 0


def _what(place: str, files: int, result: Published) -> str:
    return place if place in result.files else f"{place}/, {files} file{'s' * (files != 1)}"


def _how(name: str, result: Published) -> str:
    if name not in result.made:
        return " (kept)"
    return " (as before)" if name in result.unchanged else ""
