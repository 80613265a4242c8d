"""Lets the words of a callout be written on the picture, where they stand."""

from __future__ import annotations

from PyQt6.QtCore import QEvent, QObject, QPointF, QSize, Qt, pyqtSignal
from PyQt6.QtGui import QFocusEvent, QKeyEvent
from PyQt6.QtWidgets import QLineEdit, QWidget

from author.bench.views.callout_drawing import Laid

_ENTER = (Qt.Key.Key_Return, Qt.Key.Key_Enter)
_STAYS = (Qt.FocusReason.PopupFocusReason, Qt.FocusReason.ActiveWindowFocusReason)
"""Reasons for which the keys leave a field for a moment only."""
_WIDEST = 260
_LOWEST = 28


class WordsInPlace(QObject):
    """Shows a field over a picture; Enter, or going elsewhere, ends the writing."""

    writing = pyqtSignal(int)
    """The words of an item are about to be written; -1 when that has ended."""

    def __init__(self, field: QLineEdit, over: QWidget) -> None:
        super().__init__(over)
        self._field = field
        self._over = over
        self.item = -1
        field.setParent(over)
        field.hide()
        field.installEventFilter(self)

    def begin(self, item: int, laid: Laid) -> None:
        """Write the words of an item that is laid out so."""
        self.item = item
        self.writing.emit(item)
        self.put(laid)
        self._field.show()
        self._field.raise_()
        self._field.selectAll()
        self._field.setFocus(Qt.FocusReason.OtherFocusReason)

    def end(self) -> None:
        """Hide the field; the keys go back to the picture if the field had them."""
        if self.item < 0:
            return
        had_focus = self._field.hasFocus()
        self.item = -1
        self._field.hide()
        if had_focus:
            self._over.setFocus(Qt.FocusReason.OtherFocusReason)
        self.writing.emit(-1)

    def put(self, laid: Laid) -> None:
        """Put the field where the words stand, inside the picture's widget."""
        middle = laid.tail or laid.tip
        if laid.plate is not None:
            middle = laid.plate.rect.center()
        elif laid.rect is not None:
            middle = QPointF(laid.rect.center().x(), laid.rect.bottom())
        room = self._over.size()
        size = self._field.sizeHint().expandedTo(QSize(_WIDEST, _LOWEST)).boundedTo(room)
        x = min(max(0, round(middle.x() - size.width() / 2)), room.width() - size.width())
        y = min(max(0, round(middle.y() - size.height() / 2)), room.height() - size.height())
        self._field.setGeometry(x, y, size.width(), size.height())

    def eventFilter(self, of: QObject | None, event: QEvent | None) -> bool:
        """Hear when the field is left."""
        if of is self._field and event is not None and self.item >= 0:
            if event.type() == QEvent.Type.FocusOut and isinstance(event, QFocusEvent):
                if event.reason() not in _STAYS:
                    self.end()
            elif _is_enter(event):
                self.end()
                return True
        return super().eventFilter(of, event)


def _is_enter(event: QEvent) -> bool:
    if event.type() != QEvent.Type.KeyPress or not isinstance(event, QKeyEvent):
        return False
    return event.key() in _ENTER
