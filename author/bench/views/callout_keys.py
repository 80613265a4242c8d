"""Keys on a still, and its nine fields, by which a key takes the cross far at once.

The fields are numbered as they are read. A figure puts the cross into the middle of its
field; the next one divides that field again. Two figures come within a twentieth of the
picture of any place.
"""

from __future__ import annotations

from decimal import Decimal

from PyQt6.QtCore import QPointF, QRectF, Qt
from PyQt6.QtGui import QColor, QPainter, QPen

from author.bench.theme import LIGHT
from author.procedure.callout_places import Place, place

STEPS = {
    Qt.Key.Key_Left: (-1, 0),
    Qt.Key.Key_Right: (1, 0),
    Qt.Key.Key_Up: (0, -1),
    Qt.Key.Key_Down: (0, 1),
}
ENTER = (Qt.Key.Key_Return, Qt.Key.Key_Enter)
REMOVE = (Qt.Key.Key_Delete, Qt.Key.Key_Backspace)
PAD = Qt.KeyboardModifier.KeypadModifier
_THIRD = Decimal(3)
_FIGURES = {getattr(Qt.Key, f"Key_{figure}"): figure for figure in range(1, 10)}
_ALPHA = 170
"""How much of the lines of the fields is seen, of 255: the picture counts."""
_LEAST = 60.0
"""Height of a field, pixels, below which no figures are written into it."""


def figure_of(key: int) -> int | None:
    """Return the field a key means, 1 to 9; None for another key."""
    return _FIGURES.get(Qt.Key(key))


class Ninths:
    """The field the cross was put into last; at first the whole picture."""

    def __init__(self) -> None:
        self._begin_anew()

    def _begin_anew(self) -> None:
        self._left = self._top = Decimal(0)
        self._side = Decimal(1)

    def enter(self, figure: int) -> Place:
        """Go into one of the nine fields, and return its middle."""
        if self._side < Decimal("0.02"):
            self._begin_anew()
        self._side /= _THIRD
        self._left += (figure - 1) % 3 * self._side
        self._top += (figure - 1) // 3 * self._side
        return place(self._left + self._side / 2, self._top + self._side / 2)

    def draw(self, painter: QPainter, picture: QRectF) -> None:
        """Draw the fields the next figure chooses among."""
        side = float(self._side)
        field = QRectF(
            picture.left() + float(self._left) * picture.width(),
            picture.top() + float(self._top) * picture.height(),
            side * picture.width(),
            side * picture.height(),
        )
        wide, high = field.width() / 3, field.height() / 3
        painter.save()
        for colour, thick in ((QColor(LIGHT.on_chosen), 2.0), (QColor(LIGHT.chosen), 1.0)):
            colour.setAlpha(_ALPHA)
            painter.setPen(QPen(colour, thick, Qt.PenStyle.DotLine))
            for line in (1, 2):
                x, y = field.left() + line * wide, field.top() + line * high
                painter.drawLine(QPointF(x, field.top()), QPointF(x, field.bottom()))
                painter.drawLine(QPointF(field.left(), y), QPointF(field.right(), y))
        if field.height() >= _LEAST:
            for figure in range(9):
                corner = QPointF(field.left() + figure % 3 * wide, field.top() + figure // 3 * high)
                _write(painter, corner, str(figure + 1))
        painter.restore()


def _write(painter: QPainter, corner: QPointF, words: str) -> None:
    metrics = painter.fontMetrics()
    plate = QRectF(corner, corner)
    plate.setSize(QRectF(0, 0, metrics.horizontalAdvance(words) + 6, metrics.height()).size())
    plate.translate(2, 2)
    painter.fillRect(plate, QColor(LIGHT.paper))
    painter.setPen(QColor(LIGHT.ink))
    painter.drawText(plate, Qt.AlignmentFlag.AlignCenter, words)
