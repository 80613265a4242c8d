"""Which frame becomes the still of a step: the one the film shows, or the best one near it."""

from __future__ import annotations

from decimal import Decimal

from PyQt6.QtCore import QObject, pyqtSignal

from author.bench.session import Session
from author.bench.twice import Twice
from author.editing import NO_ALT, SetField
from author.procedure.steps import Clip, Still
from author.procedure.times import clock_text
from author.progress import Cancel, Progress
from author.recording.best_still import Choice

_NEAR = 1.0
"""Seconds to both sides of the frame in front in which the best one is looked for."""
_AROUND = 5.0
"""Seconds to both sides of a step's middle, where the film stands elsewhere."""
_JOB = "best still"


class StillTaking(QObject):
    """Makes a frame of the film in front the still of the chosen step; its callouts stay."""

    wanted = pyqtSignal()
    """The still may be another frame than the one in front: it is to be shown."""

    def __init__(self, session: Session, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._twice = Twice()

    def this_frame(self) -> None:
        """Take the frame the film shows."""
        if self._can() and self._is_sure():
            self._take_front(self.tr("this frame is the still"))

    def _is_sure(self) -> bool:
        """Whether the frame in front may be the still: one outside the step is asked for twice."""
        placed, films = self._session.placed(), self._session.films
        clip = None if placed is None else placed.step.clip
        if placed is None or clip is None or self._is_inside(clip):
            return True
        if self._twice.sure(placed.step.id, films.front, films.frame):
            return True
        said = self.tr(
            "This frame lies outside step {number} ({start}–{end}). Press it again to take it"
            " all the same."
        )
        if films.front != clip.recording:
            said = self.tr(
                "This frame is of another film than step {number} ({film}). Press it again to"
                " take it all the same."
            )
        said = said.format(
            number=placed.number,
            film=clip.recording,
            start=clock_text(clip.start, 1),
            end=clock_text(clip.end, 1),
        )
        self._session.tell("warning", said)
        return False

    def _is_inside(self, clip: Clip) -> bool:
        films = self._session.films
        return films.front == clip.recording and clip.start <= films.moment < clip.end

    def best_frame(self) -> None:
        """Take the best frame near it, and say why it is; until the film is read, this one.

        Where the film stands outside the step, the best one of the step is taken.
        """
        if not self._can():
            return
        films, placed = self._session.films, self._session.placed()
        step, clip = self._session.step, None if placed is None else placed.step.clip
        recording, frame, near = films.front, films.frame, _NEAR
        if clip is not None and not self._is_inside(clip):
            recording = clip.recording
            frame = films.frame_at((clip.start + clip.end) / 2, recording)
            near = min(float(clip.end - clip.start) / 2, _AROUND)
        analyses = films.analyses(recording)
        if analyses is None and not self._is_sure():
            return
        if analyses is None:
            words = self.tr("this frame is the still for now, which is best is not known yet")
            self._take_front(words)
            self.wanted.emit()
            return

        def work(_progress: Progress, _cancel: Cancel) -> Choice:
            return analyses.best_still(frame, near)

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
