"""Which frame becomes the still of a step: the one the film shows, or the best one near it."""

from __future__ import annotations

from decimal import Decimal

from PyQt6.QtCore import QObject, pyqtSignal

from author.bench.session import Session
from author.editing import NO_ALT, SetField
from author.procedure.steps import Still
from author.procedure.times import clock_text
from author.progress import Cancel, Progress
from author.recording.best_still import Choice

_NEAR = 1.0
"""Seconds to both sides of the frame in front in which the best one is looked for."""
_JOB = "best still"


class StillTaking(QObject):
    """Makes a frame of the film in front the still of the chosen step; its callouts stay."""

    wanted = pyqtSignal()
    """The still may be another frame than the one in front: it is to be shown."""

    def __init__(self, session: Session, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._session = session

    def this_frame(self) -> None:
        """Take the frame the film shows."""
        if self._can():
            self._take_front(self.tr("this frame is the still"))

    def best_frame(self) -> None:
        """Take the best frame near it, and say why it is; until the film is read, this one."""
        if not self._can():
            return
        films, step = self._session.films, self._session.step
        analyses, frame, recording = films.analyses(), films.frame, films.front
        if analyses is None:
            words = self.tr("this frame is the still for now, which is best is not known yet")
            self._take_front(words)
            self.wanted.emit()
            return

        def work(_progress: Progress, _cancel: Cancel) -> Choice:
            return analyses.best_still(frame, _NEAR)

        def done(choice: Choice) -> None:
            self._put(step, recording, films.start_of(choice.index, recording), choice.reason)
            self.wanted.emit()

        self._session.jobs.run(
            _JOB, work, done, lambda error: self._session.tell("error", str(error))
        )

    def _can(self) -> bool:
        films = self._session.films
        if not self._session.step:
            words = self.tr("Mark a step first: a still belongs to a step")
        elif not films.front or films.index() is None:
            words = self.tr("No film is open yet whose frame could be taken")
        else:
            return True
        self._session.tell("warning", words)
        return False

    def _take_front(self, words: str) -> None:
        films = self._session.films
        self._put(self._session.step, films.front, films.moment, words)

    def _put(self, step: str, recording: str, at: Decimal, words: str) -> None:
        placed = self._session.placed(step)
        if placed is None:  # removed while the best frame was looked for
            return
        had = placed.step.still
        if had is None:
            still = Still(recording=recording, at=at, alt=NO_ALT)
        elif (had.recording, had.at) != (recording, at):
            still = had.model_copy(update={"recording": recording, "at": at})
        else:
            still = had
        if still is had or self._session.do(SetField(("steps", step, "still"), still)):
            said = self.tr("Still of step {number} at {time}: {words}").format(
                number=placed.number, time=clock_text(at, 3), words=words
            )
            self._session.tell("good", said)
