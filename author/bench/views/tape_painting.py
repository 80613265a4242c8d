"""Paints the tape: scale, sound, pictures, words and brackets, a stretch at a time."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

from PyQt6.QtCore import QPointF, QRectF, Qt
from PyQt6.QtGui import QColor, QFont, QFontMetricsF, QPainter, QPen, QPolygonF

from author.bench.theme import Colours
from author.bench.views.labels import lines_of
from author.bench.views.tape_bands import StepSpan, TapeContent
from author.bench.views.tape_scale import TapeScale

End = Literal["from", "to"]

SLOT_GAP = 3
_SCALE, _SOUND, _PAUSE, _BRACKETS = 58, 34, 7, 54
_LANE = 11
_ROW = 2
_HANDLE = 7


@dataclass(frozen=True, slots=True)
class Columns:
    """Where the columns of a tape of some width begin, points from its left.

    Attributes:
        width: of the tape.
        tall: whether the pictures of the film are higher than they are wide.
    """

    width: int
    tall: bool = False

    @property
    def sound(self) -> int:
        """Left of the sound, at the end of the scale."""
        return _SCALE

    @property
    def pictures(self) -> int:
        """Left of the pictures, at the end of the sound."""
        return _SCALE + _SOUND

    @property
    def picture_width(self) -> int:
        """Width of a picture: more on a wide tape, none on a very narrow one.

        What is said has most of the room: it is read, the pictures are only known again.
        """
        room = self.brackets - self.pictures
        return 0 if room < 48 else min(max(room // 3, 48), 120)

    @property
    def words(self) -> int:
        """Left of the captions."""
        return self.pictures + self.picture_width + 6

    @property
    def brackets(self) -> int:
        """Left of the brackets, at the end of the captions."""
        return self.width - _BRACKETS

    def line(self, lane: int) -> int:
        """Where the line of a bracket stands."""
        return self.brackets + 8 + lane * _LANE

    @property
    def slot(self) -> int:
        """Points from one picture to the next."""
        # Of a tall picture its middle is shown, as high as wide: whole it would be a thread.
        high = self.picture_width if self.tall else self.picture_width * 9 // 16
        return max(high, 20) + SLOT_GAP


class TapePainter:
    """Paints parts of a tape; knows nothing of widgets."""

    def __init__(self, scale: TapeScale, columns: Columns, colours: Colours, font: QFont) -> None:
        self._scale = scale
        self._columns = columns
        self._colours = colours
        self._font = QFont(font)
        self._small = QFont(font)
        self._small.setPointSizeF(font.pointSizeF() * 0.85)
        self._metrics = QFontMetricsF(self._small)

    def ground(self, painter: QPainter, content: TapeContent, top: int, bottom: int) -> None:
        """Paint a stretch without what moves.

        Args:
            painter: in coordinates of the tape.
            content: what lies on it.
            top: of the stretch, points from the top of the tape.
            bottom: its end.
        """
        colours, columns = self._colours, self._columns
        painter.fillRect(QRectF(0, top, columns.width, bottom - top), QColor(colours.tape))
        self._paint_sound(painter, content, top, bottom)
        self._paint_pictures(painter, content, top, bottom)
        self._paint_shots(painter, content, top, bottom)
        self._paint_words(painter, content, top, bottom)
        self._paint_scale(painter, top, bottom)
        first, last = self._times(top - 20, bottom + 20)
        for span in content.spans_between(first, last):
            self.bracket(painter, span, chosen=False)

    def _times(self, top: float, bottom: float) -> tuple[float, float]:
        return self._scale.seconds(top), self._scale.seconds(bottom)

    def _paint_scale(self, painter: QPainter, top: int, bottom: int) -> None:
        painter.setFont(self._small)
        painter.setPen(QPen(QColor(self._colours.ink), 1))
        right = self._columns.sound - 3
        for each in self._scale.graduations(top - 20, bottom + 20):
            y = round(each.y) + 0.5
            painter.drawLine(QPointF(right - (11, 8, 5)[each.rank], y), QPointF(right, y))
            if each.figure:
                box = QRectF(0, each.y - 9, right - 14, 18)
                flags = Qt.AlignmentFlag.AlignRight | Qt.AlignmentFlag.AlignVCenter
                painter.drawText(box, flags, each.figure)
        painter.drawLine(QPointF(right + 0.5, top), QPointF(right + 0.5, bottom))

    def _paint_sound(self, painter: QPainter, content: TapeContent, top: int, bottom: int) -> None:
        left, width = self._columns.sound, _SOUND - _PAUSE - 4
        painter.setPen(QPen(QColor(self._colours.edge), 1))
        painter.setBrush(QColor(self._colours.pause))
        for start, end in content.pauses_between(*self._times(top, bottom)):
            y = self._scale.y(start)
            high = max(self._scale.y(end) - y, 1.0)
            painter.drawRect(QRectF(left + width + 1.5, y, _PAUSE - 1, high))
        painter.setBrush(Qt.BrushStyle.NoBrush)
        if content.analyses is None or content.analyses.heard is None:
            return
        colour = QColor(self._colours.sound)
        end = min(bottom, self._scale.height - 10)
        for y in range(max(top, 10), end, _ROW):
            level = content.level(*self._times(y, y + _ROW))
            if level > 0:
                painter.fillRect(left, y, round(level * width), _ROW, colour)

    def _paint_pictures(
        self, painter: QPainter, content: TapeContent, top: int, bottom: int
    ) -> None:
        columns, slot = self._columns, self._columns.slot
        wide = columns.picture_width
        if not wide:
            return
        painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform)
        for number in range((top - 2 * slot) // slot, bottom // slot + 1):
            begin, end = number * slot, (number + 1) * slot
            if end <= 10 or begin >= self._scale.height:
                continue
            found = content.pictures.within(*self._times(begin, end))
            if found is None:
                continue
            # Each picture hangs from its own moment, in the slot that is its own.
            y = min(max(self._scale.y(found[0]), begin), end)
            image = found[1]
            whole = wide * image.height() / max(image.width(), 1)
            high = min(whole, slot - SLOT_GAP)
            across = wide if columns.tall else high * image.width() / max(image.height(), 1)
            shown = QRectF(image.rect())
            if columns.tall and high < whole:
                cut = image.height() * (1 - high / whole) / 2
                shown.adjust(0, cut, 0, -cut)
            painter.drawImage(QRectF(columns.pictures + 2, y, across, high), image, shown)
        painter.setRenderHint(QPainter.RenderHint.SmoothPixmapTransform, False)

    def _paint_shots(self, painter: QPainter, content: TapeContent, top: int, bottom: int) -> None:
        """A line with a notch where a shot ends and the next begins."""
        left, right = self._columns.sound, self._columns.words - 4
        painter.setBrush(QColor(self._colours.ink))
        for time in content.shots_between(*self._times(top - 6, bottom + 6)):
            y = round(self._scale.y(time)) + 0.5
            painter.setPen(QPen(QColor(self._colours.ink), 1, Qt.PenStyle.DashLine))
            painter.drawLine(QPointF(left, y), QPointF(right, y))
            painter.setPen(Qt.PenStyle.NoPen)
            notch = [QPointF(left, y - 4), QPointF(left, y + 4), QPointF(left + 6, y)]
            painter.drawPolygon(QPolygonF(notch))
        painter.setBrush(Qt.BrushStyle.NoBrush)

    def _paint_words(self, painter: QPainter, content: TapeContent, top: int, bottom: int) -> None:
        left, wide = self._columns.words, self._columns.brackets - self._columns.words - 4
        line = self._metrics.height()
        if wide < 40:
            return
        painter.setFont(self._small)
        painter.setPen(QColor(self._colours.ink))
        free = -1.0
        reach = 30 / self._scale.points * line
        first, last = self._times(top, bottom)
        for cue, following in content.cues_between(first - reach, last):
            y = self._scale.y(cue.start)
            end = self._scale.y(following) if following is not None else y + 8 * line
            if y < free or end - y < line:
                continue
            most = min(max(int((end - y) // line), 1), 8)
            lines = lines_of(cue.text, self._small, wide, most)
            for number, words in enumerate(lines):
                at = QPointF(left, y + number * line + self._metrics.ascent())
                painter.drawText(at, words)
            free = y + line

    # --- what moves ---

    def bracket(self, painter: QPainter, span: StepSpan, *, chosen: bool) -> None:
        """Paint the bracket of a step, with its number where there is room."""
        x = self._columns.line(span.lane)
        top, bottom = self._scale.y(span.start), self._scale.y(span.end)
        bottom = max(bottom, top + 2)
        colour = QColor(self._colours.span if chosen else self._colours.edge)
        pen = QPen(colour, 4 if chosen else 1.5)
        pen.setCapStyle(Qt.PenCapStyle.FlatCap)
        painter.setPen(pen)
        inner = x - (8 if chosen else 5)
        corners = [(inner, top), (x, top), (x, bottom), (inner, bottom)]
        painter.drawPolyline(QPolygonF([QPointF(*corner) for corner in corners]))
        if chosen:
            self._paint_handles(painter, x, (top, bottom))
        if chosen or bottom - top >= 13:
            self._paint_number(painter, span, x, (top + bottom) / 2, chosen=chosen)

    def _paint_handles(self, painter: QPainter, x: float, ends: tuple[float, float]) -> None:
        painter.setPen(QPen(QColor(self._colours.span), 1.5))
        painter.setBrush(QColor(self._colours.paper))
        for y in ends:
            painter.drawRect(QRectF(x - 4, y - 4, 8, 8))
        painter.setBrush(Qt.BrushStyle.NoBrush)

    def _paint_number(
        self, painter: QPainter, span: StepSpan, x: float, y: float, *, chosen: bool
    ) -> None:
        font = QFont(self._small)
        font.setBold(chosen)
        painter.setFont(font)
        words = str(span.number)
        wide = self._metrics.horizontalAdvance(words) + (8 if chosen else 4)
        box = QRectF(min(x + 4, self._columns.width - wide - 1), y - 8, wide, 16)
        ground = self._colours.chosen if chosen else self._colours.tape
        painter.fillRect(box, QColor(ground))
        painter.setPen(QColor(self._colours.on_chosen if chosen else self._colours.ink))
        painter.drawText(box, Qt.AlignmentFlag.AlignCenter, words)

    def begun(self, painter: QPainter, mark: Decimal, moment: Decimal) -> None:
        """Paint the step that is begun and has no end yet."""
        x = self._columns.line(0) - 6
        top, bottom = self._scale.y(mark), self._scale.y(moment)
        painter.setPen(QPen(QColor(self._colours.chosen), 3, Qt.PenStyle.DashLine))
        painter.drawLine(QPointF(x, top), QPointF(x, bottom))
        painter.setPen(QPen(QColor(self._colours.chosen), 3))
        painter.drawLine(QPointF(self._columns.pictures, top), QPointF(self._columns.width, top))

    def moment(self, painter: QPainter, moment: Decimal, words: str) -> None:
        """Paint the line at the moment that is looked at."""
        y = round(self._scale.y(moment))
        colour = QColor(self._colours.chosen)
        painter.setPen(QPen(colour, 2))
        painter.drawLine(QPointF(0, y), QPointF(self._columns.width, y))
        painter.setFont(self._small)
        box = QRectF(0, y - 9, self._metrics.horizontalAdvance(words) + 8, 18)
        painter.fillRect(box, colour)
        painter.setPen(QColor(self._colours.on_chosen))
        painter.drawText(box, Qt.AlignmentFlag.AlignCenter, words)

    def end_at(self, span: StepSpan, x: float, y: float) -> End | None:
        """Return which end of a chosen span lies at a place, if one does."""
        line = self._columns.line(span.lane)
        if abs(x - line) > 14:
            return None
        top, bottom = self._scale.y(span.start), self._scale.y(span.end)
        if abs(y - bottom) <= _HANDLE and abs(y - bottom) <= abs(y - top):
            return "to"
        return "from" if abs(y - top) <= _HANDLE else None

    def span_at(self, content: TapeContent, x: float, y: float) -> StepSpan | None:
        """Return the span whose bracket lies at a place."""
        if x < self._columns.brackets - 2:
            return None
        seconds = self._scale.seconds(y)
        slack = 3 / self._scale.points
        there = content.spans_between(seconds - slack, seconds + slack)
        return min(
            there,
            key=lambda span: (abs(self._columns.line(span.lane) + 6 - x), span.end - span.start),
            default=None,
        )
