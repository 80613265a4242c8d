"""The pictures on the film's controls, drawn in the colours of the theme.

Run and halt are the signs for normal run and pause of IEC 60417 (from memory: 5107 and
5111); the others are ours.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Literal

from PyQt6.QtCore import QPointF, QRectF, Qt
from PyQt6.QtGui import QColor, QIcon, QPainter, QPen, QPixmap, QPolygonF

Sign = Literal["run", "halt", "back", "on", "loop", "mark", "end_mark"]
_SIDE = 24.0


def icon(sign: Sign, ink: str, on_chosen: str, ratio: float = 1.0) -> QIcon:
    """Return a sign as an icon of 24 × 24.

    Args:
        sign: which.
        ink: its colour.
        on_chosen: its colour where the button is pressed in.
        ratio: points of the screen for one of these.
    """
    made = QIcon()
    for colour, state in ((ink, QIcon.State.Off), (on_chosen, QIcon.State.On)):
        pixmap = QPixmap(round(_SIDE * ratio), round(_SIDE * ratio))
        pixmap.setDevicePixelRatio(ratio)
        pixmap.fill(Qt.GlobalColor.transparent)
        painter = QPainter(pixmap)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        painter.setPen(QPen(QColor(colour), 2, Qt.PenStyle.SolidLine, Qt.PenCapStyle.FlatCap))
        painter.setBrush(QColor(colour))
        _DRAWN[sign](painter)
        painter.end()
        made.addPixmap(pixmap, QIcon.Mode.Normal, state)
    return made


def _triangle(painter: QPainter, *points: tuple[float, float]) -> None:
    painter.save()
    painter.setPen(Qt.PenStyle.NoPen)
    painter.drawPolygon(QPolygonF([QPointF(*each) for each in points]))
    painter.restore()


def _run(painter: QPainter) -> None:
    _triangle(painter, (7, 4), (20, 12), (7, 20))


def _halt(painter: QPainter) -> None:
    for left in (6.0, 14.0):
        painter.fillRect(QRectF(left, 4, 4, 16), painter.brush())


def _frame(painter: QPainter, left: float) -> None:
    """One frame of a film with its holes."""
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawRect(QRectF(left, 4, 9, 16))
    for top in (7.0, 11.0, 15.0):
        painter.drawPoint(QPointF(left + 2.5, top + 1))


def _back(painter: QPainter) -> None:
    _triangle(painter, (10, 6), (10, 18), (2, 12))
    _frame(painter, 13)


def _on(painter: QPainter) -> None:
    _triangle(painter, (14, 6), (14, 18), (22, 12))
    _frame(painter, 2)


def _loop(painter: QPainter) -> None:
    """A belt around two wheels."""
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.drawRoundedRect(QRectF(2, 7, 20, 10), 5, 5)
    painter.setBrush(painter.pen().color())
    for middle in (7.0, 17.0):
        painter.drawEllipse(QPointF(middle, 12), 1.2, 1.2)
    _triangle(painter, (10, 3.5), (15, 7), (10, 10.5))


def _mark(painter: QPainter) -> None:
    """A scriber on a line: a step begins."""
    painter.drawLine(QPointF(3, 20), QPointF(21, 20))
    _triangle(painter, (17, 2), (21, 6), (9, 19), (7, 19), (7, 17))


def _end_mark(painter: QPainter) -> None:
    """A scriber on the second of two lines: it ends."""
    painter.drawLine(QPointF(3, 20), QPointF(21, 20))
    painter.drawLine(QPointF(3, 3), QPointF(13, 3))
    painter.drawLine(QPointF(4, 3), QPointF(4, 20))
    _triangle(painter, (18, 3), (22, 7), (12, 19), (10, 19), (10, 17))


_DRAWN: dict[Sign, Callable[[QPainter], None]] = {
    "run": _run,
    "halt": _halt,
    "back": _back,
    "on": _on,
    "loop": _loop,
    "mark": _mark,
    "end_mark": _end_mark,
}
