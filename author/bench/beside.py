"""Windows that stand beside the bench: where they stand, and how they are closed."""

from __future__ import annotations

from PyQt6.QtCore import QPoint, QRect, QSize
from PyQt6.QtWidgets import QDialog, QPushButton, QWidget

FILM = "film"
"""Name of the widget that is to stay in sight."""
_FRAME = QSize(8, 34)
"""What a window's frame takes, where it was not shown yet."""


class Beside(QDialog):
    """A window that stands beside the bench while the work goes on; Escape closes it.

    Args:
        parent: a widget of the bench.
    """

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setModal(False)
        self.close_button = QPushButton(f"{self.tr('C&lose')}   {self.tr('Esc')}")
        self.close_button.setAccessibleName(self.tr("Close this window"))
        self.close_button.setAutoDefault(False)
        self.close_button.clicked.connect(self.close)

    def come(self) -> None:
        """Show it in front, where the film stays in sight if the screen has the room."""
        if not self.isVisible():
            self._stand_beside()
        self.show()
        self.raise_()
        self.activateWindow()

    def make_room(self) -> None:
        """Go, if it lies over the bench and something there is wanted now."""
        bench = self._bench()
        if self.isVisible() and bench is not None and _meet(self, bench):
            self.hide()

    def _bench(self) -> QWidget | None:
        parent = self.parentWidget()
        return None if parent is None else parent.window()

    def room(self) -> QRect | None:
        """Return what there is of the screen."""
        screen = self.screen()
        return None if screen is None else screen.availableGeometry()

    def _stand_beside(self) -> None:
        bench, room = self._bench(), self.room()
        if bench is None or room is None or not bench.isVisible():
            return
        film = bench.findChild(QWidget, FILM)
        seen = QRect()
        if film is not None and film.isVisible():
            seen = QRect(film.mapToGlobal(QPoint()), film.size())
        self.move(place_beside(self.size() + _FRAME, bench.frameGeometry(), seen, room))


def _meet(one: QWidget, other: QWidget) -> bool:
    return one.frameGeometry().intersects(other.frameGeometry())


def place_beside(size: QSize, bench: QRect, film: QRect, screen: QRect) -> QPoint:
    """Return where a window stands: beside the bench, or over it where it hides least film.

    Args:
        size: of the window with its frame.
        bench: the bench, on the screen.
        film: what is to stay in sight; may be empty.
        screen: what there is of the screen.
    """
    wide, high = size.width(), size.height()
    top = bench.top() + max((bench.height() - high) // 2, 0)
    places = (
        QPoint(bench.right() + 1, top),
        QPoint(bench.left() - wide, top),
        QPoint(bench.right() + 1 - wide, top),
        QPoint(film.right() + 1, top),
        QPoint(film.left(), film.bottom() + 1),
        QPoint(film.left() - wide, top),
    )
    inside = [_inside(place, size, screen) for place in places]

    def hidden(place: QPoint, of: QRect) -> int:
        both = QRect(place, size).intersected(of)
        return max(both.width(), 0) * max(both.height(), 0)

    return min(inside, key=lambda place: (hidden(place, film), hidden(place, bench)))


def _inside(place: QPoint, size: QSize, screen: QRect) -> QPoint:
    right, low = screen.right() + 1 - size.width(), screen.bottom() + 1 - size.height()
    return QPoint(max(min(place.x(), right), screen.left()), max(min(place.y(), low), screen.top()))
