"""A line under the film in which a time is written to go to."""

from __future__ import annotations

from typing import TYPE_CHECKING

from PyQt6.QtCore import QEvent, QObject, Qt, pyqtSignal
from PyQt6.QtWidgets import QHBoxLayout, QLabel, QLineEdit, QWidget

from author.procedure.times import clock_text, read_clock

if TYPE_CHECKING:
    from author.bench.session import Session


class GoToTime(QWidget):
    """Asks for a time and goes there; put away when it is left."""

    gone = pyqtSignal()
    """The film went to the time."""

    def __init__(self, session: Session, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self.field = QLineEdit()
        self.field.setAccessibleName(self.tr("Go to a time"))
        label = QLabel(self.tr("Time (m:ss or seconds)"))
        label.setBuddy(self.field)
        row = QHBoxLayout(self)
        row.setContentsMargins(0, 0, 0, 0)
        row.addWidget(label)
        row.addWidget(self.field, 1)
        self.field.returnPressed.connect(self._go)
        self.field.installEventFilter(self)
        self.hide()

    def ask(self) -> None:
        """Show the field with the time that is looked at, to be written over."""
        self.show()
        self.field.setText(clock_text(self._session.films.moment, 3))
        self.field.selectAll()
        self.field.setFocus(Qt.FocusReason.ShortcutFocusReason)

    def eventFilter(self, watched: QObject | None, event: QEvent | None) -> bool:
        """Put the field away when it is left."""
        if watched is self.field and event is not None and event.type() == QEvent.Type.FocusOut:
            self.hide()
        return False

    def _go(self) -> None:
        try:
            seconds = read_clock(self.field.text().strip().replace(",", "."))
        except ValueError as error:
            self._session.tell("error", str(error))
            return
        self._session.films.show_at(seconds)
        self.gone.emit()
