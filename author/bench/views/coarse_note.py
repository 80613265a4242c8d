"""A note over proposals that were made before a film was read: coarse ones, offered again."""

from __future__ import annotations

from PyQt6.QtWidgets import QHBoxLayout, QPushButton, QWidget

from author.bench.actions import Actions
from author.bench.proposing import PROPOSE, Proposing
from author.bench.session import Session
from author.bench.views.labels import WrappedLabel


class CoarseNote(QWidget):
    """Says that proposals are coarse, and offers finer ones once the films are read.

    Args:
        session: whose films.
        deeds: what can be done.
        proposing: what is proposed.
    """

    def __init__(self, session: Session, deeds: Actions, proposing: Proposing) -> None:
        super().__init__()
        self._session = session
        self._asked: frozenset[str] = frozenset()
        self._unread: frozenset[str] = frozenset()
        self._told = False
        self.words = WrappedLabel()
        self.again = QPushButton(self.tr("Propose again"))
        self.again.setToolTip(deeds["propose"].shortcut().toString())
        self.again.clicked.connect(deeds["propose"].trigger)
        row = QHBoxLayout(self)
        row.setContentsMargins(4, 0, 4, 0)
        row.addWidget(self.words, 1)
        row.addWidget(self.again)
        self.hide()
        session.jobs.started.connect(self._begin)
        proposing.renewed.connect(self._take)
        session.films.surveyed.connect(self._look)
        session.checked.connect(self._look)  # it is checked anew once the frames are known

    def _begin(self, job: str) -> None:
        if job == PROPOSE:
            films = self._session.films
            self._asked = frozenset(r for r in films.recordings if self._is_unread(r))

    def _is_unread(self, recording: str) -> bool:
        films = self._session.films
        if films.broken(recording) is not None:
            return False
        known = self._session.facts().get(recording)
        return films.analyses(recording) is None or known is None

    def _take(self) -> None:
        """Take up that other proposals are there."""
        self._unread, self._told = self._asked, False
        self._look()

    def _look(self, *_: object) -> None:
        """Say how it stands."""
        self.setVisible(bool(self._unread))
        if not self._unread:
            return
        reading = any(self._is_unread(r) for r in self._unread)
        self.again.setVisible(not reading)
        if reading:
            self.words.setText(
                self.tr(
                    "The film is still being read: these are coarse, without what its shots and"
                    " stills tell. Finer ones are offered once it is read."
                )
            )
            return
        words = self.tr("The film is read: propose again for finer steps. Your answers stay.")
        self.words.setText(words)
        if not self._told:
            self._told = True
            self._session.tell("advice", words)
