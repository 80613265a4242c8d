"""An entry of a list that was begun: it is in the document once something is written in it."""

from __future__ import annotations

from functools import partial
from typing import TYPE_CHECKING

from PyQt6.QtCore import QObject, Qt, pyqtSignal
from PyQt6.QtWidgets import QApplication, QWidget

from author.bench.fields import Address, LongField
from author.bench.views.sheet.naming import NamedByWords
from author.bench.views.sheet.rows import Row
from author.editing import AddEntry
from author.editing.entries import entry_id

if TYPE_CHECKING:
    from author.bench.session import Session
    from author.bench.views.sheet.forms import Form


class Begun(QObject):
    """Waits until something is written in a form that stands for nothing yet, then adds it.

    What is written first and the entry are one thing to undo.

    Args:
        session: whose document.
        row: what an entry is made of.
        at: address the entry gets.
        frame: what is shown of it.
        form: the form in it.
    """

    ended = pyqtSignal()
    """It is in the document, or the keys went elsewhere and nothing was written."""

    def __init__(self, session: Session, row: Row, at: Address, frame: QWidget, form: Form) -> None:
        super().__init__(frame)
        self.frame = frame
        self.written = False
        self._looking = False
        self._session = session
        self._row = row
        self._at = at
        self._form = form
        self._heard = [
            (field, field.textChanged.connect(partial(self._write, key, field)))
            for key, field in form.sentences()
        ]
        form.begin(on=True)

    def take_keys(self) -> None:
        """Give the keys to the first field; nothing is begun any more when they go elsewhere."""
        self._heard[0][0].setFocus(Qt.FocusReason.ShortcutFocusReason)
        app = QApplication.instance()
        if isinstance(app, QApplication) and not self._looking:
            self._looking = True
            app.focusChanged.connect(self._look)

    def let_go(self) -> None:
        """Wait no longer."""
        for _, heard in self._heard:
            QObject.disconnect(heard)
        self._heard.clear()
        app = QApplication.instance()
        if isinstance(app, QApplication) and self._looking:
            app.focusChanged.disconnect(self._look)
        self._form.begin(on=False)
        self.deleteLater()

    def _write(self, key: str, field: LongField) -> None:
        value = field.value_of(field.text())
        if self.written or not field.text().strip() or self._row.entry is None:
            return
        self.written = True
        procedure, into = self._session.procedure, self._at[:-1]
        # One letter is no name: it has that of its sort until its first words are written.
        name = entry_id(procedure, into)
        entry = {"id": name, **self._row.entry(procedure), key: value}
        merge = "/".join(map(str, (*self._at, key)))
        self.written = self._session.do(AddEntry(into, entry), merge)
        if self.written:
            NamedByWords(self._session, field, (*into, name), key, merge)
            field.place.go_on()
            self.ended.emit()

    def _look(self, _old: QWidget | None, now: QWidget | None) -> None:
        if now is None or self.frame.isAncestorOf(now) or now.window() is not self.frame.window():
            return
        self.ended.emit()
