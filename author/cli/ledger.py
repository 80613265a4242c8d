"""``reelwright ledger``."""

from __future__ import annotations

from pathlib import Path

import click

from author.cli.option_words import NAMED_PATH
from author.cli.showing import print_json
from author.errors import one_line
from author.tasks.ledger_report import report_ledger


@click.command("ledger")
@click.argument("procedure", type=NAMED_PATH)
@click.option("--json", "as_json", is_flag=True, help="Print it for programs.")
def ledger_command(procedure: Path, as_json: bool) -> int:
    """Say what every way through PROCEDURE leaves off the machine, in hand or scrapped.

    Each decision and each reaction that leads to a step is followed. Ways that come to the
    same end with the same parts off are told once, by the shortest. A way that ends at a stop
    leaves off what was off at that moment: whoever takes over has to know. Where a reaction
    alone says stop, or a way back is used up, look at the step in the procedure.
    """
    report = report_ledger(procedure)
    if as_json:
        print_json(report.as_plain())
        return 0
    one = report.procedure
    click.echo(one_line(f"{one.id}, revision {one.revision}: {one.title}"))
    for line in report.lines():
        click.echo(one_line(line))
    return 0
