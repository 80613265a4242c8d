"""A list that drops down: closed, neither a letter nor the wheel changes what it says."""

from __future__ import annotations

from PyQt6.QtCore import Qt
from PyQt6.QtGui import QFontMetrics, QKeyEvent, QWheelEvent
from PyQt6.QtWidgets import QComboBox, QStyle, QStyleOptionComboBox, QWidget

MOST_SHOWN = 12
"""Lines of a list that are seen without scrolling."""
_TRIES = 3
"""For the list, without the signs for scrolling, and without the room they took."""
_EDGES = 4
"""Pixels between the words and the edges of their field."""
_LEAST = 6
"""Letters of a name that have to be seen before what is said of it."""
_OPENING = {Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Space}
_HELD = (
    Qt.KeyboardModifier.ControlModifier
    | Qt.KeyboardModifier.AltModifier
    | Qt.KeyboardModifier.MetaModifier
)


class Dropdown(QComboBox):
    """One of some lines; Enter, Space or Alt+Down opens the list, and letters choose in it."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setMaxVisibleItems(MOST_SHOWN)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)

    def showPopup(self) -> None:
        """Show the list, as high as its lines."""
        super().showPopup()
        self._fit_popup()

    def _fit_popup(self) -> None:
        """Make the list as high as its lines.

        Qt leaves the edge of a list out of its reckoning, and then lays signs for scrolling
        over the last line, which go once all has room.
        """
        view = self.view()
        port = None if view is None else view.viewport()
        paper = None if view is None else view.window()
        if view is None or port is None or paper is None:
            return
        lines = sum(view.sizeHintForRow(n) for n in range(min(self.count(), MOST_SHOWN)))
        if port.height() >= lines:
            return
        for _ in range(_TRIES):
            _make_higher(paper, lines - port.height())

    def initStyleOption(self, option: QStyleOptionComboBox | None) -> None:
        """Shorten words that have no room; what is said of a thing behind its name stays."""
        super().initStyleOption(option)
        style = self.style()
        if option is None or style is None or self.isEditable():
            return
        box, text = QStyle.ComplexControl.CC_ComboBox, QStyle.SubControl.SC_ComboBoxEditField
        room = style.subControlRect(box, option, text, self).width() - _EDGES
        option.currentText = shortened(option.currentText or "", self.fontMetrics(), room)

    def wheelEvent(self, event: QWheelEvent | None) -> None:
        """Leave the wheel to the page: it must not change a value in passing."""
        if event is not None:
            event.ignore()

    def keyPressEvent(self, event: QKeyEvent | None) -> None:
        """Let Enter and Space show the list, and letters do nothing before it is shown."""
        if event is None:
            return
        if event.modifiers() & _HELD or not (event.key() in _OPENING or _writes(event)):
            super().keyPressEvent(event)
        elif event.key() in _OPENING:
            self.showPopup()


def shortened(text: str, metrics: QFontMetrics, room: int) -> str:
    """Return a text that has room: ``Demo data sh… · maker's manual``.

    Args:
        text: what is shown, perhaps with what is said of it behind a middle dot.
        metrics: of its type.
        room: how wide it may be, pixels.
    """
    if metrics.horizontalAdvance(text) <= room:
        return text
    name, dot, kind = text.rpartition(" · ")
    left = room - metrics.horizontalAdvance(dot + kind)
    if not dot or left < metrics.averageCharWidth() * _LEAST:
        return metrics.elidedText(text, Qt.TextElideMode.ElideRight, room)
    return metrics.elidedText(name, Qt.TextElideMode.ElideRight, left) + dot + kind


def _make_higher(paper: QWidget, by: int) -> None:
    """Make a list higher, or lower, inside the screen."""
    place = paper.geometry()
    place.setHeight(place.height() + by)
    screen = paper.screen()
    if screen is not None:
        room = screen.availableGeometry()
        place.moveTop(max(room.top(), min(place.top(), room.bottom() + 1 - place.height())))
        place.setBottom(min(place.bottom(), room.bottom()))
    paper.setGeometry(place)
    layout = paper.layout()
    if layout is not None:
        layout.activate()


def _writes(event: QKeyEvent) -> bool:
    return bool(event.text()) and event.text().isprintable()
