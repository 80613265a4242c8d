"""What the window draws over a still while it is worked on, and never publishes."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache

from PyQt6.QtCore import QPointF, QRect, QRectF, QSize, QSizeF, Qt
from PyQt6.QtGui import QColor, QImage, QPainter, QPalette, QPen, QPixmap

from author.bench.theme import LIGHT, colours_of
from author.bench.views.callout_drawing import Laid
from author.bench.views.callout_tools import Grip

_GRIP = 0.42
"""Half the side of a grip that is seen, as a share of the reach in which it is hit."""


def fit(size: QSize, into: QRectF) -> QRectF:
    """Return the largest place for a picture in the middle of a rectangle."""
    scaled_size = QSizeF(size).scaled(into.size(), Qt.AspectRatioMode.KeepAspectRatio)
    rect = QRectF(QPointF(), scaled_size)
    rect.moveCenter(into.center())
    return rect


def scaled(image: QImage, rect: QRectF, ratio: float) -> tuple[QPixmap, QRectF]:
    """Return a picture in the size it is shown, and the whole of it; kept for the next time."""
    pixmap = _scaled(_Kept(image), round(rect.width() * ratio), round(rect.height() * ratio))
    return pixmap, QRectF(pixmap.rect())


class _Kept:
    """A picture as the key of a cache."""

    __slots__ = ("image",)

    def __init__(self, image: QImage) -> None:
        self.image = image

    def __hash__(self) -> int:
        return hash(self.image.cacheKey())

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Kept) and self.image.cacheKey() == other.image.cacheKey()


@lru_cache(maxsize=2)
def _scaled(kept: _Kept, width: int, height: int) -> QPixmap:
    smooth = Qt.TransformationMode.SmoothTransformation
    whole = Qt.AspectRatioMode.IgnoreAspectRatio
    return QPixmap.fromImage(kept.image.scaled(max(1, width), max(1, height), whole, smooth))


def draw_grips(painter: QPainter, laid: Laid, grips: Mapping[Grip, QPointF], reach: float) -> None:
    """Draw squares where what is chosen can be held, or a dashed line around it.

    The squares are open, and words and numbers are framed: what is there can be read.
    """
    painter.save()
    painter.setBrush(Qt.BrushStyle.NoBrush)
    half = _GRIP * reach
    rects = [
        laid.end if grip == "tail" and laid.end is not None else _square(at, half)
        for grip, at in grips.items()
    ]
    style = Qt.PenStyle.SolidLine if rects else Qt.PenStyle.DashLine
    for colour, width in ((QColor(LIGHT.on_chosen), 5.0), (QColor(LIGHT.chosen), 2.5)):
        pale = width == 5.0
        pen = QPen(colour, width, Qt.PenStyle.SolidLine if pale else style)
        pen.setJoinStyle(Qt.PenJoinStyle.MiterJoin)
        painter.setPen(pen)
        for rect in rects or [laid.bounds.adjusted(-5, -5, 5, 5)]:
            painter.drawRect(rect)
    painter.restore()


def _square(middle: QPointF, half: float) -> QRectF:
    return QRectF(middle.x() - half, middle.y() - half, 2 * half, 2 * half)


def draw_cross(painter: QPainter, picture: QRectF, at: QPointF) -> None:
    """Draw a cross over the whole picture, dark in pale edges."""
    painter.save()
    lines = (
        (QPointF(picture.left(), at.y()), QPointF(picture.right(), at.y())),
        (QPointF(at.x(), picture.top()), QPointF(at.x(), picture.bottom())),
    )
    for colour, width in ((QColor(LIGHT.on_chosen), 3.0), (QColor(LIGHT.chosen), 1.0)):
        painter.setPen(QPen(colour, width))
        for start, end in lines:
            painter.drawLine(start, end)
    painter.restore()


def draw_focus(painter: QPainter, rect: QRect, palette: QPalette) -> None:
    """Draw the line around what the keys go to."""
    painter.setBrush(Qt.BrushStyle.NoBrush)
    painter.setPen(QPen(QColor(colours_of(palette).chosen), 2))
    painter.drawRect(rect.adjusted(1, 1, -1, -1))
