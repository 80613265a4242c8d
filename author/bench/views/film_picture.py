"""The picture of a film: one frame, whole, in the middle of its place; or words instead."""

from __future__ import annotations

from PyQt6.QtCore import QRect, QRectF, QSize, Qt, pyqtSignal
from PyQt6.QtGui import (
    QColor,
    QFont,
    QImage,
    QPainter,
    QPaintEvent,
    QPen,
    QPixmap,
    QResizeEvent,
    QTextOption,
)
from PyQt6.QtWidgets import QSizePolicy, QWidget

from author.bench.images import FramePicture
from author.bench.theme import colours_of

_DARKROOM = QColor("#101214")
_ON_DARKROOM = QColor("#E9EBE6")


def fitted(picture: QSize, place: QRect) -> QRect:
    """Return where a picture lies in a place: whole, as large as it can be, in the middle."""
    size = picture.scaled(place.size(), Qt.AspectRatioMode.KeepAspectRatio)
    size = size.expandedTo(QSize(1, 1))
    left = place.left() + (place.width() - size.width()) // 2
    return QRect(left, place.top() + (place.height() - size.height()) // 2, *_pair(size))


def _pair(size: QSize) -> tuple[int, int]:
    return size.width(), size.height()


class FilmPicture(QWidget):
    """Shows a frame; every point of the screen is used, whatever its scale."""

    painted = pyqtSignal(object)
    """A ``FramePicture`` stands on the screen."""

    def __init__(self, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._picture: FramePicture | None = None
        self._words = ""
        self._fine = False
        self._scaled: QPixmap | None = None
        self.setMinimumSize(240, 135)
        self.setSizePolicy(QSizePolicy.Policy.Expanding, QSizePolicy.Policy.Expanding)
        self.setAttribute(Qt.WidgetAttribute.WA_OpaquePaintEvent)

    def sizeHint(self) -> QSize:
        """Return a size of the usual shape."""
        return QSize(640, 360)

    @property
    def picture(self) -> FramePicture | None:
        """The frame that is shown."""
        return self._picture

    @property
    def words(self) -> str:
        """What stands in the picture's place; empty when there is a picture."""
        return self._words

    def show_picture(self, picture: FramePicture) -> None:
        """Show a frame."""
        self._picture, self._words, self._scaled, self._fine = picture, "", None, False
        self.update()

    def refine(self) -> None:
        """Draw the frame as well as can be: there is time."""
        if self._picture is not None and not self._fine:
            self._fine, self._scaled = True, None
            self.update()

    def show_words(self, words: str) -> None:
        """Show words and no picture."""
        self._picture, self._words, self._scaled = None, words, None
        self.update()

    def wants_full(self) -> bool:
        """Whether there are more points on the screen than in the picture."""
        if self._picture is None or self._picture.quality != "reduced":
            return False
        image = self._picture.image
        return fitted(image.size(), self._points()).width() > image.width()

    def _points(self) -> QRect:
        ratio = self.devicePixelRatioF()
        return QRect(0, 0, round(self.width() * ratio), round(self.height() * ratio))

    def resizeEvent(self, event: QResizeEvent | None) -> None:
        """Scale anew."""
        self._scaled = None
        super().resizeEvent(event)

    def paintEvent(self, _event: QPaintEvent | None) -> None:
        """Draw the frame or the words."""
        painter = QPainter(self)
        painter.fillRect(self.rect(), _DARKROOM)
        if self._picture is None:
            self._paint_words(painter)
            return
        ratio = self.devicePixelRatioF()
        place = fitted(self._picture.image.size(), self._points())
        if self._scaled is None:
            self._scaled = self._made(self._picture.image, place.size())
            self._scaled.setDevicePixelRatio(ratio)
        painter.drawPixmap(round(place.left() / ratio), round(place.top() / ratio), self._scaled)
        if self._picture.quality == "preview":
            self._paint_rough(painter)
        painter.end()
        self.painted.emit(self._picture)

    def _made(self, image: QImage, size: QSize) -> QPixmap:
        """Return a picture in the size of its place: quickly on the way, finely at rest."""
        if image.size() == size:
            return QPixmap.fromImage(image)
        if self._fine:
            ignore, smooth = Qt.AspectRatioMode.IgnoreAspectRatio, Qt.TransformationMode
            return QPixmap.fromImage(image.scaled(size, ignore, smooth.SmoothTransformation))
        made = QPixmap(size)
        painter = QPainter(made)
        painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
        quick = image.convertToFormat(QImage.Format.Format_RGB32)
        painter.drawImage(QRect(0, 0, size.width(), size.height()), quick)
        painter.end()
        return made

    def _paint_words(self, painter: QPainter) -> None:
        painter.setPen(_ON_DARKROOM)
        font = QFont(self.font())
        font.setPointSizeF(font.pointSizeF() * 1.15)
        painter.setFont(font)
        option = QTextOption(Qt.AlignmentFlag.AlignCenter)
        option.setWrapMode(QTextOption.WrapMode.WrapAtWordBoundaryOrAnywhere)
        painter.drawText(QRectF(self.rect().adjusted(24, 16, -24, -16)), self._words, option)

    def _paint_rough(self, painter: QPainter) -> None:
        """Say that the frame is the right one and its picture not yet sharp."""
        words = self.tr("rough")
        colours = colours_of(self.palette())
        box = painter.fontMetrics().boundingRect(words).adjusted(-8, -4, 8, 4)
        box.moveTopLeft(self.rect().topLeft() + QRect(8, 8, 0, 0).topLeft())
        painter.setPen(QPen(QColor(colours.edge), 1))
        painter.setBrush(QColor(colours.paper))
        painter.drawRect(box)
        painter.setPen(QColor(colours.ink))
        painter.drawText(box, Qt.AlignmentFlag.AlignCenter, words)
