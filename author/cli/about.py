"""``reelwright about``."""

from __future__ import annotations

from pathlib import Path

import click

from author.cli.option_words import NAMED_PATH
from author.errors import one_line
from author.tasks.about import about, save_report


@click.command("about")
@click.option(
    "--to",
    type=NAMED_PATH,
    metavar="FILE",
    help="Save it with the end of the log as a text file, to send with a report.",
)
def about_command(to: Path | None) -> int:
    """Say which versions are at work and where settings, cache and log lie.

    The saved report holds what this prints and the last lines of the log, which name
    files; nothing of a procedure or a film.
    """
    if to is None:
        click.echo(about(), nl=False)
        return 0
    save_report(to)
    click.echo(one_line(f"Saved {to}"))
    return 0
