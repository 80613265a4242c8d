"""``reelwright compare``."""

from __future__ import annotations

from pathlib import Path

import click

from author.cli.option_words import NAMED_PATH
from author.cli.showing import print_json
from author.errors import one_line
from author.tasks.comparing import compare_procedures


@click.command("compare")
@click.argument("old", type=NAMED_PATH)
@click.argument("new", type=NAMED_PATH)
@click.option("--json", "as_json", is_flag=True, help="Print the differences for programs.")
def compare_command(old: Path, new: Path, as_json: bool) -> int:
    """Tell what has changed from OLD to NEW, each a procedure's folder or file.

    Each difference is one line: how grave it is, where, what. 'safety' is what somebody can
    be hurt by or the machine fail by, 'work' what changes what is done or ordered, 'words'
    text, pictures and notes. Leaves with 0 whether anything differs or not.
    """
    comparison = compare_procedures(old, new)
    if as_json:
        print_json(comparison.as_plain())
        return 0
    for line in comparison.lines():
        click.echo(one_line(line))
    click.echo(one_line(comparison.summary()))
    return 0
