"""Procedure folders for tests of the window."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from PyQt6.QtCore import Qt
from PyQt6.QtWidgets import QMainWindow, QVBoxLayout, QWidget
from pytestqt.qtbot import QtBot

from author.bench.actions import Actions
from author.bench.session import Session
from author.bench.views.step_sheet import StepSheet
from author.bench.views.steps_view import StepsView

SAMPLE = Path(__file__).parents[2] / "sample_media" / "upper-wheel-bearings" / "procedure.yaml"


def sample_job(folder: Path) -> Path:
    """Return a folder with the demonstration procedure; its films are not beside it."""
    job = folder / "saw" / "upper-wheel-bearings"
    job.mkdir(parents=True)
    shutil.copy(SAMPLE, job / "procedure.yaml")
    return job


def everything_said(session: Session) -> list[str]:
    """Return what the line at the bottom is told from now on.

    What a film says when it has been read through may take the line's place at any moment.
    """
    said: list[str] = []
    session.said.connect(lambda _severity, words: said.append(words))
    return said


class Desk(QMainWindow):
    """The right column alone, with something that stands for the film and takes the keys.

    Args:
        session: whose document.
    """

    def __init__(self, session: Session) -> None:
        super().__init__()
        self.session = session
        self.deeds = Actions(self)
        self.film = QWidget()
        self.film.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.steps_view = StepsView(session, self.deeds)
        self.step_sheet = StepSheet(session, self.deeds)
        page = QWidget()
        column = QVBoxLayout(page)
        for part, share in ((self.film, 1), (self.steps_view, 3), (self.step_sheet, 8)):
            column.addWidget(part, share)
        self.setCentralWidget(page)
        self.resize(560, 690)
        self.deeds["undo"].triggered.connect(session.undo)
        self.deeds["redo"].triggered.connect(session.redo)
        self.deeds["to_film"].triggered.connect(self.to_film)

    def to_film(self) -> None:
        """Give the keys to the film."""
        self.film.setFocus()


@contextmanager
def desk_on(session: Session, qtbot: QtBot) -> Iterator[Desk]:
    """Show a desk, the keys with the film, and take it away again."""
    made = Desk(session)
    made.show()
    qtbot.waitExposed(made)
    made.activateWindow()
    made.to_film()
    qtbot.waitUntil(made.film.hasFocus)
    yield made
    made.hide()
    made.deleteLater()
