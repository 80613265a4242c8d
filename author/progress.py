"""Progress and cancellation, with no toolkit in them.

A long job takes a ``Progress`` and a ``Cancel``. The command line draws the
first as a bar, the window as it likes, tests as a list.
"""

from __future__ import annotations

import threading
from typing import Protocol

from author.errors import Cancelled


class Progress(Protocol):
    """Hears how far a job is."""

    def report(self, job: str, done: int, total: int | None) -> None:
        """Take one report.

        Args:
            job: what is being done, in a few words a user understands.
            done: how much of it is done, in units of the job's own.
            total: how much there is in all, or None if nobody knows.
        """


class Silent:
    """A progress that tells nobody."""

    def report(self, job: str, done: int, total: int | None) -> None:
        """Take one report and drop it."""


class Cancel:
    """A flag one thread raises and a long job looks at."""

    def __init__(self) -> None:
        self._event = threading.Event()

    def request(self) -> None:
        """Ask the job to stop at its next look."""
        self._event.set()

    @property
    def requested(self) -> bool:
        """Whether somebody asked to stop."""
        return self._event.is_set()

    def check(self) -> None:
        """Raise ``Cancelled`` if somebody asked to stop."""
        if self.requested:
            raise Cancelled


SILENT = Silent()


def begin_part(job: str, progress: Progress, cancel: Cancel | None) -> None:
    """Tell that the next part of a job begins, and stop there if somebody asked to.

    Args:
        job: what is done now, in a few words a user understands.
        progress: told so.
        cancel: looked at.

    Raises:
        Cancelled: if somebody asked to stop.
    """
    progress.report(job, 0, None)
    if cancel:
        cancel.check()
