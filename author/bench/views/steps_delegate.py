"""Draws a line of the outline: number, action, signs for what it holds, how long its clip is.

The signs are ours, each with a shape of its own, and said in words by the model.
"""

from __future__ import annotations

import math

from PyQt6.QtCore import QModelIndex, QPointF, QRect, QRectF, QSize, Qt
from PyQt6.QtGui import QColor, QFont, QFontMetrics, QPainter, QPen, QPolygonF
from PyQt6.QtWidgets import QLineEdit, QStyle, QStyledItemDelegate, QStyleOptionViewItem, QWidget

from author.bench.fields import TEXT_KEYS, Keys
from author.bench.theme import Colours, colours_of
from author.bench.views.steps_model import ROW, OutlineRow

_RANKS = ("error", "warning", "advice")


class StepsDelegate(QStyledItemDelegate):
    """Paints the lines of the outline, and edits the title of a section in place."""

    def sizeHint(
        self,
        option: QStyleOptionViewItem,
        index: QModelIndex,  # noqa: ARG002 - all alike
    ) -> QSize:
        """Every line has one height."""
        return QSize(200, option.fontMetrics.height() + 9)

    def paint(
        self, painter: QPainter | None, option: QStyleOptionViewItem, index: QModelIndex
    ) -> None:
        """Draw a line."""
        row = index.data(ROW)
        if painter is None or not isinstance(row, OutlineRow):
            return
        colours = colours_of(option.palette)
        chosen = bool(option.state & QStyle.StateFlag.State_Selected)
        painter.save()
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        if chosen:
            painter.fillRect(option.rect, QColor(colours.chosen))
        ink = QColor(colours.on_chosen if chosen else colours.ink)
        quiet = QColor(colours.on_chosen if chosen else colours.quiet)
        painter.setFont(option.font)
        if row.is_section:
            _draw_section(painter, option.rect, row, ink, QColor(colours.rule))
        else:
            _draw_step(painter, option.rect, row, (ink, quiet), colours, chosen=chosen)
        if option.state & QStyle.StateFlag.State_HasFocus:
            edge = QColor(colours.on_chosen if chosen else colours.chosen)
            painter.setPen(QPen(edge, 1, Qt.PenStyle.DotLine))
            painter.setBrush(Qt.BrushStyle.NoBrush)
            painter.drawRect(option.rect.adjusted(1, 1, -2, -2))
        painter.restore()

    def createEditor(
        self,
        parent: QWidget | None,
        option: QStyleOptionViewItem,  # noqa: ARG002 - always the same
        index: QModelIndex,  # noqa: ARG002 - always the same
    ) -> QWidget | None:
        """Make the field in which a title is written; it keeps its keys."""
        editor = QLineEdit(parent)
        editor.setAccessibleName(self.tr("Title of the section"))
        editor.setPlaceholderText(self.tr("Title of the section"))
        Keys(None, editor, TEXT_KEYS, letters=True)
        return editor


def _draw_section(
    painter: QPainter, place: QRect, row: OutlineRow, ink: QColor, rule: QColor
) -> None:
    font = QFont(painter.font())
    font.setBold(True)
    painter.setFont(font)
    painter.setPen(ink)
    room = place.adjusted(6, 2, -6, 0)
    title = row.text or "…"
    text = painter.fontMetrics().elidedText(title, Qt.TextElideMode.ElideRight, room.width())
    painter.drawText(room, Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft, text)
    painter.setPen(QPen(rule, 1))
    painter.drawLine(place.bottomLeft(), place.bottomRight())


def _draw_step(
    painter: QPainter,
    place: QRect,
    row: OutlineRow,
    inks: tuple[QColor, QColor],
    colours: Colours,
    *,
    chosen: bool,
) -> None:
    ink, quiet = inks
    metrics = painter.fontMetrics()
    digit = metrics.horizontalAdvance("0")
    size = metrics.ascent()
    middle = place.center().y()
    right = place.right() - 6
    painter.setPen(quiet)
    number = QRect(place.left() + 6, place.top(), 3 * digit, place.height())
    painter.drawText(
        number, Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignRight, str(row.number)
    )
    length = row.length()
    time = QRect(right - 6 * digit, place.top(), 6 * digit, place.height())
    painter.drawText(
        time,
        Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignRight,
        "–" if length is None else f"{length:.1f} s",
    )
    at = float(time.left() - 6)
    for sign in _signs_of(row):
        at -= size + 4
        box = QRectF(at, middle - size / 2 + 0.5, size, size)
        _draw_sign(painter, sign, box, row, colours, ink if chosen else None)
    left = number.right() + digit
    room = QRect(left, place.top(), int(at) - left - 6, place.height())
    words = row.text
    if not words:
        font = QFont(painter.font())
        font.setItalic(True)
        painter.setFont(font)
        words = "still to be written"
    painter.setPen(ink if row.text else quiet)
    text = QFontMetrics(painter.font()).elidedText(words, Qt.TextElideMode.ElideRight, room.width())
    painter.drawText(room, Qt.AlignmentFlag.AlignVCenter | Qt.AlignmentFlag.AlignLeft, text)


def _signs_of(row: OutlineRow) -> list[str]:
    """Return the signs of a step from the right: what is missing stands nearest to the time."""
    step = row.step
    if step is None:
        return []
    found = []
    if row.remarks:
        ranks = [_RANKS.index(one.rule.severity) for one in row.remarks]
        found.append(_RANKS[min(ranks)])
    if row.holds or any(one.if_not == "stop" for one in step.criteria or ()):
        found.append("hold")
    if step.witness is not None:
        found.append("witness")
    if step.critical_points:
        found.append("critical")
    if step.hazards:
        found.append("hazard")
    return found


def _draw_sign(
    painter: QPainter,
    sign: str,
    box: QRectF,
    row: OutlineRow,
    colours: Colours,
    ink: QColor | None,
) -> None:
    """Draw one sign.

    Args:
        painter: what draws.
        sign: which one.
        box: where.
        row: the line.
        colours: of the theme.
        ink: the one colour of a chosen line, or None.
    """
    if sign in _RANKS:
        _draw_count(painter, sign, box, len(row.remarks), colours, ink)
        return
    colour = ink or QColor(colours.ink)
    painter.setPen(QPen(colour, 1.3))
    painter.setBrush(Qt.BrushStyle.NoBrush)
    centre = box.center()
    if sign == "hazard":
        top = QPointF(centre.x(), box.top())
        painter.drawPolygon(QPolygonF([top, box.bottomRight(), box.bottomLeft()]))
        painter.drawLine(
            QPointF(centre.x(), box.top() + box.height() * 0.38),
            QPointF(centre.x(), box.top() + box.height() * 0.68),
        )
        painter.drawPoint(QPointF(centre.x(), box.top() + box.height() * 0.84))
    elif sign == "critical":
        half = box.width() / 2
        painter.setBrush(colour)
        painter.drawPolygon(
            QPolygonF(
                [
                    centre + QPointF(0, -half),
                    centre + QPointF(half, 0),
                    centre + QPointF(0, half),
                    centre + QPointF(-half, 0),
                ]
            )
        )
    elif sign == "witness":
        painter.drawEllipse(centre, box.width() / 2, box.height() / 3.2)
        painter.setBrush(colour)
        painter.drawEllipse(centre, box.width() / 7, box.width() / 7)
    else:
        painter.drawPolygon(_octagon(centre, box.width() / 2))
        reach = box.width() * 0.22
        painter.drawLine(centre + QPointF(-reach, 0), centre + QPointF(reach, 0))


def _octagon(centre: QPointF, radius: float) -> QPolygonF:
    angles = [math.pi / 8 + math.pi / 4 * corner for corner in range(8)]
    return QPolygonF([centre + QPointF(radius * math.cos(a), radius * math.sin(a)) for a in angles])


def _draw_count(
    painter: QPainter,
    sign: str,
    box: QRectF,
    count: int,
    colours: Colours,
    ink: QColor | None,
) -> None:
    """Draw how many remarks there are: full for an error, a ring for a warning, bare for advice."""
    colour = ink or QColor(
        {"error": colours.error, "warning": colours.warning}.get(sign, colours.advice)
    )
    painter.setPen(QPen(colour, 1.3))
    painter.setBrush(colour if sign == "error" else Qt.BrushStyle.NoBrush)
    around = box.adjusted(-1, -1, 1, 1)
    if sign != "advice":
        painter.drawRoundedRect(around, 3, 3)
    if sign == "error":
        painter.setPen(QColor(colours.chosen if ink is not None else colours.paper))
    font = QFont(painter.font())
    font.setPointSizeF(font.pointSizeF() * 0.8)
    font.setBold(True)
    painter.save()
    painter.setFont(font)
    painter.drawText(around, Qt.AlignmentFlag.AlignCenter, f"{count}" if count < 10 else "9+")
    painter.restore()
