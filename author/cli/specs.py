"""``reelwright specs``."""

from __future__ import annotations

import shutil
import sys
from pathlib import Path

import click

from author.cli.option_words import NAMED_PATH
from author.cli.showing import print_json
from author.errors import InputError, one_line
from author.tasks.spec_table import spec_table

_LEAST_WIDE = 60


@click.command("specs")
@click.argument("procedure", type=NAMED_PATH)
@click.option("--csv", "as_csv", is_flag=True, help="Print a table for a spreadsheet, in UTF-8.")
@click.option("--json", "as_json", is_flag=True, help="Print all of it for programs.")
@click.option(
    "--points", "points_only", is_flag=True, help="Critical points and criteria alone, no numbers."
)
def specs_command(procedure: Path, as_csv: bool, as_json: bool, points_only: bool) -> int:
    """List every number of PROCEDURE, a folder or a file, with all a reviewer signs it by.

    For each: what is accepted in both units, where it is measured from and with what,
    whether that is fine enough, the load a torque puts on its screw, what to do otherwise,
    where it comes from, and who has signed it. Critical points and criteria follow. --csv
    prints the numbers, with --points the points. No film is looked at.
    """
    if as_csv and as_json:
        raise InputError("--csv and --json are asked for at once", remedy="Take one of them")
    table = spec_table(procedure)
    if as_csv:
        from author.tasks.spec_csv import table_csv

        # As bytes: the table is UTF-8 with its own line ends, whatever the terminal has.
        sys.stdout.buffer.write(table_csv(table, points_only=points_only))
        sys.stdout.buffer.flush()
    elif as_json:
        from author.tasks.spec_data import table_plain

        print_json(table_plain(table, points_only=points_only))
    else:
        from author.tasks.spec_layout import MOST_WIDE, Layout

        width = MOST_WIDE
        if sys.stdout.isatty():
            width = max(_LEAST_WIDE, min(MOST_WIDE, shutil.get_terminal_size().columns))
        for line in Layout(table, width).lines(points_only=points_only):
            click.echo(one_line(line))
    return 0
