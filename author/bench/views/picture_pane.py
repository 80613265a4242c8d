"""A picture as large as there is room for, and where its places lie on the screen."""

from __future__ import annotations

from PyQt6.QtCore import QPointF, QRectF, QSize, Qt
from PyQt6.QtGui import QFocusEvent, QImage, QPainter, QPaintEvent
from PyQt6.QtWidgets import QSizePolicy, QWidget

from author.bench.views import callout_drawing as drawing
from author.bench.views.callout_marks import draw_focus, fit, scaled
from author.procedure.callout_places import Place, place

_LETTER = 0.75
"""Size of the smallest letters over the picture, by the height of the window's lines."""
_REACH = 12.0
"""Half of what a pointer has to hit at least, in pixels."""


class PicturePane(QWidget):
    """Shows a picture, or words in its place; what lies over it is drawn by a subclass."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setMinimumSize(240, 135)
        self._image: QImage | None = None
        self._words = ""
        self._is_tall = False

    def set_picture(self, image: QImage | None, words: str = "") -> None:
        """Show a picture, or words in its place."""
        self._image, self._words = image, words
        if image is not None:
            self._is_tall = image.height() > image.width()
        self.update()

    @property
    def is_tall(self) -> bool:
        """Whether the picture shown last is higher than it is wide."""
        return self._is_tall

    def picture_rect(self) -> QRectF:
        """Where the picture lies; as for a picture of 16 by 9 as long as there is none."""
        size = self._image.size() if self._image is not None else QSize(16, 9)
        return fit(size, QRectF(self.rect()).adjusted(3, 3, -3, -3))

    def ratio(self) -> float:
        """Width of the picture by its height."""
        rect = self.picture_rect()
        return rect.width() / max(1.0, rect.height())

    def unit(self) -> float:
        """Unit of what is drawn, in pixels."""
        return drawing.unit_of(self.picture_rect(), _LETTER * self.fontMetrics().height())

    def reach(self) -> float:
        """Half of what a pointer has to hit, in pixels."""
        return max(_REACH, _LETTER * self.fontMetrics().height())

    def place_of(self, at: QPointF) -> Place:
        """Return the place of the picture at a point of the widget, or the nearest."""
        rect = self.picture_rect()
        return place((at.x() - rect.x()) / rect.width(), (at.y() - rect.y()) / rect.height())

    def paint_over(self, painter: QPainter, rect: QRectF) -> None:
        """Draw what lies over the picture.

        Args:
            painter: of the widget.
            rect: where the picture lies.
        """

    def paintEvent(self, _event: QPaintEvent | None) -> None:
        """Draw the picture and what lies over it, or the words."""
        painter = QPainter(self)
        if self._image is None:
            margins = QRectF(self.rect()).adjusted(16, 16, -16, -16)
            flags = Qt.AlignmentFlag.AlignCenter | Qt.TextFlag.TextWordWrap
            painter.drawText(margins, int(flags), self._words)
        else:
            rect = self.picture_rect()
            painter.drawPixmap(rect, *scaled(self._image, rect, self.devicePixelRatioF()))
            self.paint_over(painter, rect)
        if self.hasFocus():
            draw_focus(painter, self.rect(), self.palette())
        painter.end()

    def focusInEvent(self, event: QFocusEvent | None) -> None:
        """Show that the keys come here."""
        super().focusInEvent(event)
        self.update()

    def focusOutEvent(self, event: QFocusEvent | None) -> None:
        """Show that they go elsewhere."""
        super().focusOutEvent(event)
        self.update()
