"""Callouts and masks drawn over a still in the window, as they will be published.

Everything is laid out first, so that what is seen and what a pointer can hit are the same.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cache, lru_cache

from PyQt6.QtCore import QPointF, QRectF, QSizeF, Qt
from PyQt6.QtGui import (
    QBrush,
    QColor,
    QFont,
    QFontDatabase,
    QFontMetricsF,
    QPainter,
    QPainterPath,
    QPainterPathStroker,
    QPen,
    QPolygonF,
    QTextLayout,
    QTextOption,
)

from author.procedure.callout_places import filled
from author.procedure.steps import Callout, Mask
from author.publish import callout_look as look
from author.publish import palette
from author.resources import font_folder

UNSAID = "…"
"""What a label says until it has words."""
_MEASURED = 100
"""Size in pixels at which words are measured; they are drawn scaled from it."""


@dataclass(frozen=True, slots=True)
class Plate:
    """Words on their plate.

    Attributes:
        rect: the plate.
        lines: the words, line by line.
        unit: size of the letters.
    """

    rect: QRectF
    lines: tuple[str, ...]
    unit: float


@dataclass(frozen=True, slots=True)
class Laid:
    """One callout or mask laid out in pixels.

    Attributes:
        shape: its shape, or ``mask``.
        tip: what it points at, or its middle.
        tail: where an arrow or leader begins.
        rect: of a ring, box or mask; of a leader's disc.
        plate: words, if they are drawn.
        number: of a leader.
        unit: of every length, in pixels.
    """

    shape: str
    tip: QPointF
    unit: float
    tail: QPointF | None = None
    rect: QRectF | None = None
    plate: Plate | None = None
    number: int = 0

    def numbered(self, number: int) -> Laid:
        """Return the same with another number."""
        return replace(self, number=number)

    def solid(self, reach: float) -> QPainterPath:
        """Return what a pointer hits: all that is drawn, and so far around thin lines."""
        path = QPainterPath()
        path.setFillRule(Qt.FillRule.WindingFill)
        if self.tail is not None:
            path.moveTo(self.tail)
            path.lineTo(self.tip)
        if self.rect is not None and self.shape in ("ring", "box"):
            _add_outline(path, self.shape, self.rect)
        stroker = QPainterPathStroker()
        stroker.setWidth(2 * reach)
        stroker.setCapStyle(Qt.PenCapStyle.RoundCap)
        solid = stroker.createStroke(path)
        solid.setFillRule(Qt.FillRule.WindingFill)
        for rect in (self.rect if self.shape in ("mask", "leader") else None, self._plate_rect):
            if rect is not None:
                more = max(0.0, reach - min(rect.width(), rect.height()) / 2)
                solid.addRect(rect.adjusted(-more, -more, more, more))
        return solid

    @property
    def end(self) -> QRectF | None:
        """What stands at the tail of an arrow or leader: its words or its number."""
        if self.tail is None:
            return None
        return self._plate_rect or self.rect

    @property
    def _plate_rect(self) -> QRectF | None:
        return None if self.plate is None else self.plate.rect

    @property
    def bounds(self) -> QRectF:
        """The smallest rectangle around all of it."""
        parts = [self._plate_rect, self.rect]
        if self.tail is not None:
            parts.append(QRectF(self.tail, self.tip).normalized())
        found = QRectF()
        for part in parts:
            if part is not None:
                found = part if found.isNull() else found.united(part)
        return found if not found.isNull() else QRectF(self.tip, QSizeF(1, 1))


def unit_of(picture: QRectF, least: float = 0.0) -> float:
    """Return the unit of all lengths on a picture.

    Args:
        picture: where the picture is shown.
        least: what letters are never smaller than.
    """
    return max(max(picture.width(), picture.height()) * look.UNIT, least)


def lay_out(items: Sequence[Callout | Mask], picture: QRectF, unit: float) -> list[Laid]:
    """Return where everything is drawn over a picture; leaders are numbered from 1."""
    found: list[Laid] = []
    leaders = 0
    for item in items:
        leaders += isinstance(item, Callout) and item.shape == "leader"
        found.append(_laid(item, leaders, picture, unit))
    return found


def draw(painter: QPainter, laid: Sequence[Laid]) -> None:
    """Draw what is laid out: masks first, as they are burnt into the published picture."""
    painter.save()
    painter.setRenderHint(QPainter.RenderHint.Antialiasing)
    for each in laid:
        if each.shape == "mask" and each.rect is not None:
            painter.fillRect(QRectF(each.rect.toAlignedRect()), QColor("#000000"))
    for each in laid:
        if each.shape != "mask":
            _draw(painter, each)
    painter.restore()


def hit(laid: Sequence[Laid], at: QPointF, reach: float) -> int:
    """Return what lies under a point: what was drawn last, insides of rings and boxes last.

    Args:
        laid: what is drawn.
        at: the point.
        reach: how far from a thin line a point still hits it, in pixels.

    Returns:
        An index, or -1.
    """
    backwards = range(len(laid) - 1, -1, -1)
    for number in backwards:
        if laid[number].solid(reach).contains(at):
            return number
    for number in backwards:
        rect = laid[number].rect
        if rect is not None and rect.contains(at):
            return number
    return -1


def to_pixels(place: Sequence[object], picture: QRectF) -> QPointF:
    """Return where a place of the picture lies."""
    x, y = (float(str(value)) for value in place)
    return QPointF(picture.x() + x * picture.width(), picture.y() + y * picture.height())


def _laid(item: Callout | Mask, number: int, picture: QRectF, unit: float) -> Laid:
    tip = to_pixels(item.at, picture)
    if isinstance(item, Mask):
        return Laid("mask", tip, unit, rect=_around(tip, item.size, picture))
    item = filled(item, picture.width() / max(1.0, picture.height()))
    words = item.text or (UNSAID if item.shape == "label" else "")
    tail = None if item.tail is None else to_pixels(item.tail, picture)
    if item.shape in ("ring", "box") and item.size is not None:
        rect = _around(tip, item.size, picture)
        plate = _plate_beside(words, rect, picture, unit) if words else None
        return Laid(item.shape, tip, unit, rect=rect, plate=plate)
    if item.shape == "leader" and tail is not None:
        side = 2 * (look.DISC + look.DISC_EDGE / 2) * unit
        disc = _inside(QRectF(0, 0, side, side), tail, picture)
        return Laid("leader", tip, unit, tail=tail, rect=disc, number=number)
    at = tip if tail is None or item.shape == "label" else tail
    plate = _plate(words, at, picture, unit) if words else None
    return Laid(item.shape, tip, unit, tail=tail, plate=plate)


def _around(middle: QPointF, size: Sequence[object], picture: QRectF) -> QRectF:
    w, h = (float(str(value)) for value in size)
    rect = QRectF(0, 0, w * picture.width(), h * picture.height())
    rect.moveCenter(middle)
    return rect


def _inside(rect: QRectF, middle: QPointF, picture: QRectF) -> QRectF:
    """Return a rectangle about a place, moved inside the picture if need be."""
    rim = picture.width() * look.RIM
    right = picture.right() - rect.width() - rim
    bottom = picture.bottom() - rect.height() - rim
    x = max(picture.left() + rim, min(middle.x() - rect.width() / 2, right))
    y = max(picture.top() + rim, min(middle.y() - rect.height() / 2, bottom))
    return QRectF(x, y, rect.width(), rect.height())


def _plate_beside(words: str, around: QRectF, picture: QRectF, unit: float) -> Plate:
    plate = _plate(words, around.center(), picture, unit)
    tall, gap = plate.rect.height(), look.GAP * unit
    middle = around.center()
    side = look.plate_side(
        middle.y() - picture.top(), around.height() / 2, tall + gap, picture.height()
    )
    away = around.height() / 2 + gap + tall / 2
    middle.setY(middle.y() + (away if side == "below" else -away))
    rect = _inside(QRectF(0, 0, plate.rect.width(), tall), middle, picture)
    return Plate(rect, plate.lines, unit)


def _plate(words: str, middle: QPointF, picture: QRectF, unit: float) -> Plate:
    lines, wide = _broken(words, picture.width() * look.PLATE_WIDEST / unit * _MEASURED)
    # A capital's height and the leading, as the template sets them.
    capital = _metrics().capHeight() / _MEASURED
    tall = len(lines) * capital + (len(lines) - 1) * look.LEADING
    across, up = look.PLATE_INSET
    size = QSizeF((wide / _MEASURED + 2 * across) * unit, (tall + 2 * up) * unit)
    return Plate(_inside(QRectF(QPointF(), size), middle, picture), lines, unit)


@lru_cache(maxsize=256)
def _broken(words: str, most: float) -> tuple[tuple[str, ...], float]:
    """Return words in lines about equally long, and the width they take, as measured."""
    natural = _metrics().horizontalAdvance(words)
    if natural <= most:
        return (words,), natural
    wide = most
    lines = _lines(words, most)
    longest = max(map(_metrics().horizontalAdvance, words.replace("-", " ").split(" ")))
    for share in look.PLATE_NARROWER:
        trial = most * share
        if trial < longest or len(_lines(words, trial)) > len(lines):
            break
        wide = trial
    return _lines(words, wide), wide


def _lines(words: str, wide: float) -> tuple[str, ...]:
    layout = QTextLayout(words, _font())
    option = QTextOption()
    option.setWrapMode(QTextOption.WrapMode.WrapAtWordBoundaryOrAnywhere)
    layout.setTextOption(option)
    layout.beginLayout()
    lines = []
    while (line := layout.createLine()).isValid():
        line.setLineWidth(wide)
        start = line.textStart()
        lines.append(words[start : start + line.textLength()].strip())
    layout.endLayout()
    return tuple(lines)


@cache
def _font() -> QFont:
    """Return the letters of a plate: the shipped ones, so that they take the same room."""
    QFontDatabase.addApplicationFont(str(font_folder() / "DejaVuSans-Bold.ttf"))
    font = QFont("DejaVu Sans")
    font.setBold(True)
    font.setPixelSize(_MEASURED)
    font.setHintingPreference(QFont.HintingPreference.PreferNoHinting)
    return font


@cache
def _metrics() -> QFontMetricsF:
    return QFontMetricsF(_font())


def _draw(painter: QPainter, laid: Laid) -> None:
    mark, casing = QColor(palette.CALLOUT), QColor(palette.CASING)
    unit = laid.unit
    if laid.shape == "arrow" and laid.tail is not None:
        _draw_arrow(painter, laid.tail, laid.tip, unit)
    elif laid.shape == "leader" and laid.tail is not None and laid.rect is not None:
        _stroke(painter, laid.tail, laid.tip, unit)
        painter.setPen(QPen(casing, look.DOT_EDGE * unit))
        painter.setBrush(mark)
        painter.drawEllipse(laid.tip, look.DOT * unit, look.DOT * unit)
        painter.setPen(QPen(casing, look.DISC_EDGE * unit))
        painter.drawEllipse(laid.rect.center(), look.DISC * unit, look.DISC * unit)
        _write(painter, str(laid.number), laid.rect.center(), look.NUMBER * unit)
    elif laid.rect is not None:
        painter.setBrush(Qt.BrushStyle.NoBrush)
        for colour, width in zip((casing, mark), look.OUTLINE, strict=True):
            pen = QPen(colour, width * unit)
            pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
            path = QPainterPath()
            _add_outline(path, laid.shape, laid.rect)
            painter.strokePath(path, pen)
    if laid.plate is not None:
        _draw_plate(painter, laid.plate)


def _add_outline(path: QPainterPath, shape: str, rect: QRectF) -> None:
    if shape == "ring":
        path.addEllipse(rect)
    else:
        path.addRect(rect)


def _draw_arrow(painter: QPainter, tail: QPointF, tip: QPointF, unit: float) -> None:
    corners = look.head_corners(tip.x() - tail.x(), tip.y() - tail.y())
    rear = [QPointF(tip.x() + x * unit, tip.y() + y * unit) for x, y in corners]
    head = QPolygonF([tip, *rear])
    pen = QPen(QColor(palette.CASING), look.HEAD_EDGE * unit)
    pen.setJoinStyle(Qt.PenJoinStyle.RoundJoin)
    painter.setPen(pen)
    painter.setBrush(QColor(palette.CASING))
    painter.drawPolygon(head)
    _stroke(painter, tail, (rear[0] + rear[1]) / 2, unit)
    painter.setPen(Qt.PenStyle.NoPen)
    painter.setBrush(QColor(palette.CALLOUT))
    painter.drawPolygon(head)


def _stroke(painter: QPainter, start: QPointF, end: QPointF, unit: float) -> None:
    colours = (palette.CASING, palette.CALLOUT)
    for colour, width in zip(colours, look.LINE, strict=True):
        pen = QPen(QColor(colour), width * unit)
        pen.setCapStyle(Qt.PenCapStyle.RoundCap)
        painter.setPen(pen)
        painter.drawLine(start, end)


def _draw_plate(painter: QPainter, plate: Plate) -> None:
    unit = plate.unit
    painter.setPen(QPen(QColor(palette.CASING), look.PLATE_EDGE * unit))
    painter.setBrush(QBrush(QColor(palette.CALLOUT)))
    rounded = look.PLATE_ROUND * unit
    painter.drawRoundedRect(plate.rect, rounded, rounded)
    capital = _metrics().capHeight() / _MEASURED * unit
    across, up = (inset * unit for inset in look.PLATE_INSET)
    for number, line in enumerate(plate.lines):
        base = plate.rect.top() + up + capital + number * (capital + look.LEADING * unit)
        _letters(painter, line, QPointF(plate.rect.left() + across, base), unit)


def _write(painter: QPainter, words: str, middle: QPointF, size: float) -> None:
    wide = _metrics().horizontalAdvance(words) / _MEASURED * size
    capital = _metrics().capHeight() / _MEASURED * size
    _letters(painter, words, QPointF(middle.x() - wide / 2, middle.y() + capital / 2), size)


def _letters(painter: QPainter, words: str, at: QPointF, size: float) -> None:
    """Write words from a point on their base line on."""
    painter.save()
    painter.translate(at)
    painter.scale(size / _MEASURED, size / _MEASURED)
    painter.setFont(_font())
    painter.setPen(QColor(palette.CASING))
    painter.drawText(QPointF(0, 0), words)
    painter.restore()


def distance(one: QPointF, other: QPointF) -> float:
    """Return how far two points are apart, in pixels."""
    return math.hypot(one.x() - other.x(), one.y() - other.y())
