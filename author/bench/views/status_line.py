"""The line at the bottom: what was said last, and what is being done behind."""

from __future__ import annotations

from PyQt6.QtCore import QElapsedTimer, QTimer
from PyQt6.QtWidgets import QLabel, QStatusBar, QWidget

from author.bench.session import Session
from author.bench.views.labels import FewLines
from author.errors import ReelwrightError

_QUIET_JOBS = {"check", "look"}
_STAYS = 12_000
_FRESH = 800
_LINES = 2
"""Lines there are for a message, said or not: nothing moves when one comes."""


class StatusLine(QStatusBar):
    """Says things in words; errors stay until something else is said."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._said = FewLines(_LINES)
        self._said.setAccessibleName(self.tr("Message"))
        self._doing = QLabel()
        self._doing.setAccessibleName(self.tr("What is being done"))
        self.addWidget(self._said, 1)
        self.addPermanentWidget(self._doing)
        self._wipe = QTimer(self)
        self._wipe.setSingleShot(True)
        self._wipe.setInterval(_STAYS)
        self._wipe.timeout.connect(self._clear)
        self._since = QElapsedTimer()
        self._since.start()
        session.said.connect(self.say)
        session.changed.connect(self._leave_behind)
        session.jobs.progressed.connect(self._progress)
        session.jobs.ended.connect(self._ended)
        session.films.reading.connect(self._reading)
        session.films.surveyed.connect(self._ended)
        session.films.failed.connect(self._failed)

    def say(self, severity: str, words: str) -> None:
        """Show a message."""
        self._said.setProperty("severity", severity)
        style = self._said.style()
        if style is not None:
            style.polish(self._said)
        self._said.say(words)
        self._since.restart()
        if severity == "error":
            self._wipe.stop()
        else:
            self._wipe.start()

    def words(self) -> str:
        """Return what is said now."""
        return self._said.words

    def _leave_behind(self, *_: object) -> None:
        """Wipe what was said before the work went on; what the change itself said stays."""
        if self._since.elapsed() > _FRESH:
            self._clear()

    def _clear(self) -> None:
        self._said.say("")

    def _progress(self, name: str, job: str, done: int, total: int | None) -> None:
        if name not in _QUIET_JOBS:
            self._doing.setText(_how_far(job, done, total))

    def _ended(self, _name: str) -> None:
        self._doing.clear()

    def _failed(self, _recording: str, error: ReelwrightError) -> None:
        self.say("error", str(error))

    def _reading(self, _recording: str, job: str, done: int, total: int | None) -> None:
        self._doing.setText(_how_far(job, done, total))


def _how_far(job: str, done: int, total: int | None) -> str:
    return f"{job}: {done} / {total}" if total else f"{job}: {done}"
