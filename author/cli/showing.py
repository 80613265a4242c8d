"""What commands share: progress on standard error, JSON on standard output."""

from __future__ import annotations

import contextlib
import json
import sys
import time
from collections.abc import Iterator
from typing import Any

import click

from author.errors import one_line
from author.progress import Progress

_EVERY = 2.0


class _Lines:
    """Progress as lines, for a log or a pipe: each job once, then every two seconds."""

    def __init__(self) -> None:
        self._told: tuple[str, int, int | None] = ("", 0, None)
        self._said = 0.0

    def report(self, job: str, done: int, total: int | None) -> None:
        """Take one report."""
        now = time.monotonic()
        told = (job, done, total)
        if told == self._told or (
            job == self._told[0] and now - self._said < _EVERY and done != total
        ):
            return
        self._told, self._said = told, now
        share = f" {done}/{total}" if total and done else ""
        click.echo(one_line(f"  {job}{share}"), err=True)


class _Bar:
    """Progress as one moving line."""

    def __init__(self, bar: Any) -> None:
        self._bar = bar
        self._tasks: dict[str, Any] = {}

    def report(self, job: str, done: int, total: int | None) -> None:
        """Take one report."""
        if job not in self._tasks:
            self._tasks[job] = self._bar.add_task(job, total=total)
        self._bar.update(self._tasks[job], completed=done, total=total)


@contextlib.contextmanager
def progress_shown() -> Iterator[Progress]:
    """Show progress on standard error: a bar on a terminal, lines elsewhere."""
    if not sys.stderr.isatty():
        yield _Lines()
        return
    from rich.console import Console
    from rich.progress import BarColumn, MofNCompleteColumn, TextColumn
    from rich.progress import Progress as RichProgress

    with RichProgress(
        TextColumn("  {task.description}"),
        BarColumn(),
        MofNCompleteColumn(),
        console=Console(stderr=True),
        transient=True,
    ) as bar:
        yield _Bar(bar)


def print_json(value: Any) -> None:
    """Print a value for programs."""
    click.echo(json.dumps(value, indent=2, ensure_ascii=False))
