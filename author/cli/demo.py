"""``reelwright demo``."""

from __future__ import annotations

from pathlib import Path

import click

from author.cli.option_words import NAMED_PATH
from author.cli.publishing import show_result
from author.cli.showing import progress_shown
from author.progress import Cancel
from author.tasks.demo import run_demo


@click.command("demo")
@click.option(
    "--to",
    type=NAMED_PATH,
    metavar="FOLDER",
    help="Folder to publish into; exports/demo in the checkout if not given.",
)
@click.option("--json", "as_json", is_flag=True, help="Print what was made for programs.")
@click.pass_obj
def demo_command(cancel: Cancel, to: Path | None, as_json: bool) -> int:
    """Check and publish the sample procedure from the sample recordings."""
    with progress_shown() as progress:
        result = run_demo(Path.cwd(), to, progress, cancel)
    return show_result(result, as_json)
