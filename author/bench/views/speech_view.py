"""What is said on the film in front, line by line; a press goes to the moment."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable
from decimal import Decimal

from PyQt6.QtCore import QSignalBlocker
from PyQt6.QtWidgets import QListWidget, QListWidgetItem, QVBoxLayout, QWidget

from author.bench.actions import Actions
from author.bench.session import Session
from author.bench.views.labels import WrappedLabel
from author.errors import ReelwrightError
from author.procedure.cues import Cue
from author.procedure.times import clock_text
from author.proposals.draft.answers import answers_for
from author.recording.captions import captions_beside
from author.tasks.captions_alone import cues_alone


class SpeechView(QWidget):
    """The captions that lie beside the film, or those a draft without films was made from."""

    def __init__(self, session: Session, deeds: Actions, parent: QWidget | None = None) -> None:  # noqa: ARG002
        super().__init__(parent)
        self._session = session
        self._cues: tuple[Cue, ...] = ()
        self._starts: list[Decimal] = []
        self._says = WrappedLabel()
        self._list = QListWidget()
        self._list.setAccessibleName(self.tr("What is said"))
        self._list.setUniformItemSizes(True)
        column = QVBoxLayout(self)
        column.setContentsMargins(0, 0, 0, 0)
        column.addWidget(self._says)
        column.addWidget(self._list, 1)
        self._list.itemActivated.connect(self._go)
        self._list.itemClicked.connect(self._go)
        session.films.front_changed.connect(self._load)
        session.films.moved.connect(self._follow)
        self._load()

    def _load(self, *_: object) -> None:
        front = self._session.films.front
        path = self._session.films.path(front)
        self._take(())
        if path is not None:
            self._read(lambda: captions_beside(path))
            return
        self._says.setText(self.tr("No film is open."))
        answers = answers_for(self._session.document.file)
        if not self._session.procedure.recordings and answers.exists():
            self._read(lambda: cues_alone(answers))

    def _read(self, read: Callable[[], tuple[Cue, ...]]) -> None:
        self._session.jobs.run(
            "captions", lambda _progress, _cancel: read(), self._take, self._fail
        )

    def _take(self, cues: tuple[Cue, ...]) -> None:
        self._cues = cues
        self._starts = [cue.start for cue in cues]
        with QSignalBlocker(self._list):
            self._list.clear()
            for cue in cues:
                words = " ".join(cue.text.split("\n"))
                self._list.addItem(QListWidgetItem(f"{clock_text(cue.start)}  {words}"))
        self._says.setText("" if cues else self.tr("No captions lie beside this film."))
        self._says.setVisible(not cues)
        self._follow()

    def _fail(self, error: ReelwrightError) -> None:
        self._says.setText(str(error))
        self._says.show()

    def _follow(self, *_: object) -> None:
        at = bisect_right(self._starts, self._session.films.moment) - 1
        if at >= 0 and at != self._list.currentRow():
            with QSignalBlocker(self._list):
                self._list.setCurrentRow(at)

    def _go(self, item: QListWidgetItem) -> None:
        self._session.films.show_at(self._cues[self._list.row(item)].start)
