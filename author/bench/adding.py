"""Brings another recording to the job that is on the bench."""

from __future__ import annotations

from pathlib import Path

from PyQt6.QtCore import QObject
from PyQt6.QtWidgets import QFileDialog, QWidget

from author.bench.actions import Actions
from author.bench.session import Session
from author.editing import AddEntry
from author.tasks.opening import Added, recording_to_add


class Adding(QObject):
    """Asks for recordings, and adds each when its fingerprint is known."""

    def __init__(self, session: Session, deeds: Actions, window: QWidget) -> None:
        super().__init__(window)
        self._session = session
        self._window = window
        deeds["add_recording"].triggered.connect(self._ask)

    def add(self, path: Path) -> None:
        """Add a recording: read its fingerprint, note it in the document, open it."""
        document = self._session.document
        self._session.jobs.run(
            f"add {path.name}",
            lambda progress, cancel: recording_to_add(document, path, progress, cancel),
            self._take,
            lambda error: self._session.tell("error", str(error)),
        )

    def _ask(self) -> None:
        files, _ = QFileDialog.getOpenFileNames(self._window, self.tr("Recordings"))
        for file in files:
            self.add(Path(file))

    def _take(self, added: Added) -> None:
        known = {ref.sha256: ref.id for ref in self._session.procedure.recordings}
        if added.ref.sha256 in known:
            name = known[added.ref.sha256]
            self._session.tell(
                "advice", self.tr("This recording is here already: %1").replace("%1", name)
            )
        else:
            name = added.ref.id
            if not self._session.do(AddEntry(("recordings",), added.ref)):
                return
        self._session.films.open(name, added.path)
        self._session.films.bring_to_front(name)
