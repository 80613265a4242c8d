"""Draws the ground, the rule and the focus of a line; what stands in it others say."""

from __future__ import annotations

from PyQt6.QtCore import QModelIndex, QRect, QSize, Qt
from PyQt6.QtGui import QColor, QFontMetrics, QPainter, QPen
from PyQt6.QtWidgets import QStyle, QStyledItemDelegate, QStyleOptionViewItem

from author.bench.theme import colours_of


class RowDelegate(QStyledItemDelegate):
    """Paints a line; ``draw_row`` paints what stands in it."""

    def draw_row(
        self,
        painter: QPainter,
        place: QRect,
        index: QModelIndex,
        inks: tuple[QColor, QColor],
        metrics: QFontMetrics,
    ) -> None:
        """Draw what stands in a line.

        Args:
            painter: with the font of the line.
            place: the line.
            index: which line.
            inks: the colour of words, and of what matters less.
            metrics: of the font.
        """
        raise NotImplementedError

    def sizeHint(
        self,
        option: QStyleOptionViewItem,
        index: QModelIndex,  # noqa: ARG002 - all alike
    ) -> QSize:
        """Every line has one height."""
        return QSize(200, 2 * option.fontMetrics.height() + 8)

    def paint(
        self, painter: QPainter | None, option: QStyleOptionViewItem, index: QModelIndex
    ) -> None:
        """Draw a line."""
        if painter is None:
            return
        colours = colours_of(option.palette)
        chosen = bool(option.state & QStyle.StateFlag.State_Selected)
        painter.save()
        if chosen:
            painter.fillRect(option.rect, QColor(colours.chosen))
        ink = QColor(colours.on_chosen if chosen else colours.ink)
        quiet = QColor(colours.on_chosen if chosen else colours.quiet)
        painter.setFont(option.font)
        self.draw_row(painter, option.rect, index, (ink, quiet), option.fontMetrics)
        painter.setPen(QPen(QColor(colours.rule), 1))
        painter.drawLine(option.rect.bottomLeft(), option.rect.bottomRight())
        if option.state & QStyle.StateFlag.State_HasFocus:
            edge = QColor(colours.on_chosen if chosen else colours.chosen)
            painter.setPen(QPen(edge, 1, Qt.PenStyle.DotLine))
            painter.drawRect(option.rect.adjusted(1, 1, -2, -2))
        painter.restore()
