"""``reelwright new``."""

from __future__ import annotations

from pathlib import Path

import click

from author.cli.option_words import NAMED_PATH
from author.cli.showing import print_json, progress_shown
from author.errors import in_command, one_line
from author.procedure.times import clock_text
from author.progress import Cancel
from author.tasks.starting import start_procedure


@click.command("new")
@click.argument("folder", type=NAMED_PATH)
@click.option(
    "--recording",
    "recordings",
    multiple=True,
    required=True,
    type=NAMED_PATH,
    metavar="FILE",
    help="A film of the job. May be given more than once.",
)
@click.option("--json", "as_json", is_flag=True, help="Print what was made for programs.")
@click.pass_obj
def new_command(cancel: Cancel, folder: Path, recordings: tuple[Path, ...], as_json: bool) -> int:
    """Start a procedure in FOLDER from one or more recordings.

    The films stay where they are. What only a person knows is left marked
    "(to be written)"; 'reelwright check' lists it.
    """
    with progress_shown() as progress:
        started = start_procedure(folder, recordings, progress, cancel)
    if as_json:
        names = {name: facts.file for name, facts in started.recordings.items()}
        print_json({"file": str(started.file), "recordings": names})
        return 0
    click.echo(one_line(f"Made {started.file}"))
    for name, facts in started.recordings.items():
        click.echo(one_line(f"  {name}: {facts.file}, {clock_text(facts.duration)} long"))
        for damage in facts.damage:
            click.echo(f"    damaged: {damage.what}")
    here = in_command(folder)
    click.echo(
        one_line(f"Next: 'reelwright bench {here}' opens the window; or write it in an editor.")
    )
    click.echo(one_line(f"What is missing: 'reelwright check {here}'."))
    return 0
