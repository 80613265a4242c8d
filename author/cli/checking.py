"""``reelwright check``."""

from __future__ import annotations

from pathlib import Path

import click

from author.cli.showing import print_json, progress_shown
from author.errors import one_line
from author.progress import Cancel
from author.tasks.checking import CheckReport, check_procedure

MEDIA_OPTION = click.option(
    "--media",
    multiple=True,
    type=click.Path(path_type=Path),
    metavar="FOLDER",
    help="Look for recordings here as well. May be given more than once.",
)


@click.command("check")
@click.argument("procedure", type=click.Path(path_type=Path))
@MEDIA_OPTION
@click.option("--json", "as_json", is_flag=True, help="Print the remarks for programs.")
@click.pass_obj
def check_command(cancel: Cancel, procedure: Path, media: tuple[Path, ...], as_json: bool) -> int:
    """Hold PROCEDURE, a folder or a file, against every rule.

    Each remark is one line: file, line, column, severity, rule, problem, remedy. Leaves
    with 1 if a remark is an error.
    """
    with progress_shown() as progress:
        report = check_procedure(procedure, media, progress, cancel)
    if as_json:
        print_json(report.as_plain())
    else:
        show_report(report)
    return 1 if report.verdict.count("error") else 0


def show_report(report: CheckReport) -> None:
    """Print every remark and a line that counts them."""
    for line in report.lines():
        click.echo(one_line(line))
    verdict = report.verdict
    counts = [
        f"{count} {word if count == 1 or word == 'advice' else word + 's'}"
        for word in ("error", "warning", "advice")
        for count in [verdict.count(word)]
        if count
    ]
    procedure = report.loaded.procedure
    steps = sum(1 for _ in procedure.placed_steps())
    click.echo(
        f"{procedure.id}, revision {procedure.revision}: {steps} step{'s' * (steps != 1)}, "
        f"{', '.join(counts) or 'no remark'}."
    )
