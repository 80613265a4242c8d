"""Writes what is answered to proposals into the sheet beside the procedure."""

from __future__ import annotations

import threading
import time
from collections.abc import Mapping, Sequence
from pathlib import Path

from PyQt6.QtCore import QObject, pyqtSignal

from author.bench.session import Session
from author.errors import ReelwrightError, one_line
from author.progress import Cancel, Progress
from author.proposals.draft.answers import answers_for
from author.proposals.proposal import Proposal, Question
from author.tasks.proposal_sheet import Decision, keep_answers

_MOMENT = 0.4
"""Seconds without another answer after which they are written."""


class AnswersKept(QObject):
    """Has the answers written when no more come for a moment, or at the end.

    Args:
        session: beside whose document the sheet lies.
    """

    questions = pyqtSignal(object)
    """What the film leaves out after the answers that were written."""

    def __init__(self, session: Session, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._write = threading.Lock()
        self._turn = 0

    @property
    def file(self) -> Path:
        """The sheet of answers."""
        return answers_for(self._session.document.file)

    def keep(self, proposals: Sequence[Proposal], said: Mapping[str, Decision]) -> None:
        """Have answers written; a write that a newer one has overtaken is left out.

        Args:
            proposals: all that is proposed, as it was proposed.
            said: what was answered in this window, by the id of the proposal.
        """
        file, said = self.file, dict(said)
        self._turn += 1
        turn = self._turn

        def work(_progress: Progress, cancel: Cancel) -> tuple[Question, ...] | None:
            until = time.monotonic() + _MOMENT
            while time.monotonic() < until and not cancel.requested:
                time.sleep(0.02)
            with self._write:
                return keep_answers(file, proposals, said) if turn == self._turn else None

        self._session.jobs.run("answers", work, self._tell_questions, self._fail)

    def _tell_questions(self, questions: tuple[Question, ...] | None) -> None:
        if questions is not None:
            self.questions.emit(questions)

    def _fail(self, error: ReelwrightError) -> None:
        words = self.tr("The answers are not kept: %1").replace("%1", str(error))
        self._session.tell("error", one_line(words))
