"""Runs what takes long beside the window's thread: checks, publishing, reading of films.

A job takes an immutable request, tells how far it is, and can be cancelled. Of jobs that
share a name only the newest counts: an older one is cancelled and its answer dropped.
"""

from __future__ import annotations

import threading
from collections.abc import Callable
from dataclasses import dataclass, field
from typing import Any

from PyQt6.QtCore import QObject, pyqtSignal

from author.errors import Cancelled, MachineError, ReelwrightError
from author.progress import Cancel, Progress

Work = Callable[[Progress, Cancel], Any]


@dataclass(eq=False)
class _Job:
    name: str
    done: Callable[[Any], None]
    failed: Callable[[ReelwrightError], None]
    cancel: Cancel = field(default_factory=Cancel)


class JobRunner(QObject):
    """Runs jobs on threads and gives their answers on the thread it lives on."""

    progressed = pyqtSignal(str, str, int, object)
    """Name of the job, what is being done, how much of it, of how much (int or None)."""
    started = pyqtSignal(str)
    ended = pyqtSignal(str)
    broke = pyqtSignal(object)
    """An exception that is a fault of the program."""
    _answered = pyqtSignal(object, object, object)

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._threads: list[threading.Thread] = []
        self._newest: dict[str, _Job] = {}
        self._closed = False
        self._answered.connect(self._take)

    def run(
        self,
        name: str,
        work: Work,
        done: Callable[[Any], None],
        failed: Callable[[ReelwrightError], None] = lambda _: None,
    ) -> None:
        """Start a job; one of the same name that still runs is cancelled.

        Args:
            name: what it is about; jobs of one name replace one another.
            work: called on a thread of its own with a progress and a cancel.
            done: takes the answer, on this runner's thread.
            failed: takes an error the user or the machine has made, likewise; a cancelled
                job tells nothing.
        """
        if self._closed:
            return
        self.cancel(name)
        job = _Job(name, done, failed)
        self._newest[name] = job
        thread = threading.Thread(
            target=self._work, args=(job, work), name=f"reelwright-{name}", daemon=True
        )
        self.started.emit(name)
        thread.start()
        self._threads = [one for one in self._threads if one.is_alive()] + [thread]

    def is_running(self, name: str) -> bool:
        """Whether a job of this name has not ended yet."""
        return name in self._newest

    def cancel(self, name: str) -> None:
        """Ask the job of this name to stop; its answer will not be taken."""
        job = self._newest.pop(name, None)
        if job is not None:
            job.cancel.request()
            self.ended.emit(name)

    def close(self) -> None:
        """Cancel every job and wait for its end. May be called twice."""
        self._closed = True
        for name in list(self._newest):
            self.cancel(name)
        for thread in self._threads:  # one whose answer was taken may not have ended yet
            thread.join()
        self._threads.clear()

    def _work(self, job: _Job, work: Work) -> None:
        try:
            answer, error = work(_Told(self, job), job.cancel), None
        except Exception as raised:  # whatever it is, the window has to hear of it
            answer, error = None, raised
        self._answered.emit(job, answer, error)

    def _take(self, job: _Job, answer: object, error: Exception | None) -> None:
        if self._newest.get(job.name) is not job:
            return
        del self._newest[job.name]
        self.ended.emit(job.name)
        if error is None:
            job.done(answer)
        elif isinstance(error, Cancelled):
            return
        elif isinstance(error, ReelwrightError):
            job.failed(error)
        else:
            job.failed(MachineError(f"this went wrong inside the program: {error!r}"))
            self.broke.emit(error)


class _Told:
    """A progress that tells the runner."""

    def __init__(self, runner: JobRunner, job: _Job) -> None:
        self._runner = runner
        self._job = job

    def report(self, job: str, done: int, total: int | None) -> None:
        """Take one report."""
        if not self._job.cancel.requested:
            self._runner.progressed.emit(self._job.name, job, done, total)
