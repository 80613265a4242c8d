"""The bolts of a joint drawn where they sit, numbered in the order they are tightened."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from itertools import pairwise
from typing import TYPE_CHECKING

from PyQt6.QtCore import QPointF, QRectF, QSize, Qt, pyqtSignal
from PyQt6.QtGui import (
    QColor,
    QFont,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPen,
    QPolygonF,
    QResizeEvent,
)
from PyQt6.QtWidgets import QWidget

from author.bench.places import Keys
from author.bench.theme import Colours, colours_of
from author.procedure.bolt_patterns import Place, turn_text

if TYPE_CHECKING:
    from author.bench.session import Session

_ARROWS = {
    Qt.Key.Key_Left: (-1, 0),
    Qt.Key.Key_Right: (1, 0),
    Qt.Key.Key_Up: (0, -1),
    Qt.Key.Key_Down: (0, 1),
}
_NUMBER_KEYS = {Qt.Key.Key_Return, Qt.Key.Key_Enter, Qt.Key.Key_Space}
_BACK_KEYS = {Qt.Key.Key_Backspace, Qt.Key.Key_Delete}
_PROPOSE_KEY = Qt.Key.Key_C
_KEPT = frozenset({*_ARROWS, *_NUMBER_KEYS, *_BACK_KEYS, _PROPOSE_KEY})
_NUDGE = Decimal("0.02")
_DIGITS = Decimal("0.001")
_CORNERS = 6
_SHORT = 3
"""Letters that fit into the head of a bolt."""


@dataclass(frozen=True, slots=True)
class Bolt:
    """One bolt as it is drawn.

    Attributes:
        name: what a person calls it.
        at: its place, 0,0 top left to 1,1 bottom right.
        turn: when it is tightened, from 1; None where that is not said yet.
    """

    name: str
    at: Place
    turn: int | None = None


class BoltPatternView(QWidget):
    """Draws a pattern; arrow keys choose a bolt, Enter or a click gives it the next turn.

    A bolt that has its turn loses it again by Enter or a click, and those behind it move
    up. Backspace takes the last turn back, C asks for a proposal. With Shift an arrow key
    moves the bolt, and so does dragging it. It holds nothing: what is wanted is told, and
    shown when it is there.

    Args:
        session: whose undo Ctrl+Z is.
    """

    order_wanted = pyqtSignal(object)
    """The names in the order wanted, a tuple."""
    proposal_wanted = pyqtSignal()
    """An order is to be proposed."""
    place_wanted = pyqtSignal(str, object)
    """A bolt is to be drawn elsewhere: its name and its place."""

    def __init__(self, session: Session | None = None, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._bolts: tuple[Bolt, ...] = ()
        self._chosen = 0
        self._pressed: int | None = None
        self._dragged: Place | None = None
        self._told: list[QWidget] = []
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setAccessibleName(self.tr("Bolt pattern in tightening order"))
        Keys(session, self, _KEPT)
        self._describe()

    # --- what it shows ---

    @property
    def bolts(self) -> tuple[Bolt, ...]:
        """The bolts as they are drawn."""
        return self._bolts

    @property
    def chosen(self) -> Bolt | None:
        """The bolt that Enter gives a turn."""
        return self._bolts[self._chosen] if self._bolts else None

    def show_pattern(self, places: Sequence[tuple[str, Place]], order: Sequence[str]) -> None:
        """Draw bolts by name and place, with their turns."""
        turns = {name: index for index, name in reversed([*enumerate(order, 1)])}
        bolts = tuple(Bolt(name, at, turns.get(name)) for name, at in places)
        if bolts == self._bolts:
            return
        self._bolts = bolts
        self._tell_each()
        self._chosen = min(self._chosen, max(0, len(bolts) - 1))
        self._describe()
        self.updateGeometry()
        self.update()

    def order(self) -> tuple[str, ...]:
        """Return the names of the bolts that have their turn, in order."""
        ranked = sorted((bolt.turn, bolt.name) for bolt in self._bolts if bolt.turn is not None)
        return tuple(name for _, name in ranked)

    def choose(self, index: int) -> None:
        """Choose a bolt."""
        if self._bolts and index != self._chosen:
            self._chosen = index % len(self._bolts)
            self._describe()
            self.update()

    def give_turn(self) -> None:
        """Give the chosen bolt the next turn, or take the turn it has."""
        bolt = self.chosen
        if bolt is None:
            return
        order = list(self.order())
        if bolt.turn is None:
            order.append(bolt.name)
        else:
            order.remove(bolt.name)
        self.order_wanted.emit(tuple(order))

    def take_back(self) -> None:
        """Take the last turn back."""
        if order := self.order():
            self.order_wanted.emit(order[:-1])

    def _describe(self) -> None:
        bolt, of = self.chosen, len(self._bolts)
        if bolt is None:
            words = self.tr("No bolts drawn")
        else:
            turn = turn_text(bolt.turn) if bolt.turn else self.tr("no turn yet")
            words = self.tr("%1 of %2: bolt %3, %4")
            for key, value in (
                ("%1", str(self._chosen + 1)), ("%2", str(of)), ("%3", bolt.name), ("%4", turn)
            ):  # fmt: skip
                words = words.replace(key, value, 1)
        # Qt itself tells assistive technology of the change.
        self.setAccessibleDescription(words)

    def _tell_each(self) -> None:
        """Let there be one item for each bolt that assistive technology can read and find."""
        while len(self._told) > len(self._bolts):
            self._told.pop().deleteLater()
        while len(self._told) < len(self._bolts):
            item = QWidget(self)
            item.setAttribute(Qt.WidgetAttribute.WA_TransparentForMouseEvents)
            item.setFocusPolicy(Qt.FocusPolicy.NoFocus)
            item.show()
            self._told.append(item)
        for item, bolt in zip(self._told, self._bolts, strict=True):
            turn = turn_text(bolt.turn) if bolt.turn else self.tr("no turn yet")
            words = self.tr("Bolt %1: %2").replace("%1", bolt.name, 1).replace("%2", turn, 1)
            item.setAccessibleName(words)
        self._put_each()

    def _put_each(self) -> None:
        half = self._radius()
        for item, spot in zip(self._told, self._spots(), strict=True):
            item.setGeometry(QRectF(spot.x() - half, spot.y() - half, 2 * half, 2 * half).toRect())

    def resizeEvent(self, event: QResizeEvent | None) -> None:
        """Keep the items where their bolts are drawn."""
        super().resizeEvent(event)
        self._put_each()

    # --- keys and mouse ---

    def keyPressEvent(self, event: QKeyEvent | None) -> None:
        """Choose, move, give or take a turn."""
        if event is None:
            return
        key = Qt.Key(event.key())
        if key in _ARROWS and event.modifiers() & Qt.KeyboardModifier.ShiftModifier:
            self._nudge(*_ARROWS[key])
        elif key in _ARROWS:
            self._go(*_ARROWS[key])
        elif key in _NUMBER_KEYS:
            self.give_turn()
        elif key in _BACK_KEYS:
            self.take_back()
        elif key == _PROPOSE_KEY:
            self.proposal_wanted.emit()
        else:
            super().keyPressEvent(event)

    def _go(self, right: int, down: int) -> None:
        """Choose the nearest bolt that lies in a direction."""
        spots = self._spots()
        if not spots:
            return
        here = spots[self._chosen]
        best: tuple[float, int] | None = None
        for index, spot in enumerate(spots):
            x, y = spot.x() - here.x(), spot.y() - here.y()
            along, aside = x * right + y * down, abs(x * down) + abs(y * right)
            if along > 1 and (best is None or along + 2 * aside < best[0]):
                best = (along + 2 * aside, index)
        if best is not None:
            self.choose(best[1])

    def _nudge(self, right: int, down: int) -> None:
        bolt = self.chosen
        if bolt is not None:
            at = (_inside(bolt.at[0] + right * _NUDGE), _inside(bolt.at[1] + down * _NUDGE))
            self.place_wanted.emit(bolt.name, at)

    def mousePressEvent(self, event: QMouseEvent | None) -> None:
        """Take hold of a bolt."""
        if event is None or event.button() != Qt.MouseButton.LeftButton:
            return
        self._dragged = None
        self._pressed = self._index_at(event.position())
        if self._pressed is not None:
            self.choose(self._pressed)

    def mouseMoveEvent(self, event: QMouseEvent | None) -> None:
        """Drag a bolt."""
        if event is None or self._pressed is None:
            return
        away = event.position() - self._spots()[self._pressed]
        if self._dragged is None and math.hypot(away.x(), away.y()) < self._radius():
            return
        area = self._area()
        self._dragged = (
            _inside(Decimal((event.position().x() - area.left()) / area.width())),
            _inside(Decimal((event.position().y() - area.top()) / area.height())),
        )
        self.update()

    def mouseReleaseEvent(self, event: QMouseEvent | None) -> None:
        """Give a turn to the bolt that was clicked, or leave the one dragged where it is."""
        if event is None or self._pressed is None:
            return
        name, dragged = self._bolts[self._pressed].name, self._dragged
        self._pressed = self._dragged = None
        if dragged is not None:
            self.place_wanted.emit(name, dragged)
        else:
            self.give_turn()
        self.update()

    def _index_at(self, point: QPointF) -> int | None:
        reach = self._radius() * 1.5
        away = [math.hypot(s.x() - point.x(), s.y() - point.y()) for s in self._spots()]
        nearest = min(range(len(away)), key=away.__getitem__, default=None)
        return nearest if nearest is not None and away[nearest] <= reach else None

    # --- drawing ---

    def sizeHint(self) -> QSize:
        """Be as high as a pattern needs to be read."""
        line = self.fontMetrics().lineSpacing()
        high = min(20, 6 + max(4, len(self._bolts))) if self._is_round() else 10
        return QSize(line * 17, line * high)

    minimumSizeHint = sizeHint

    def _radius(self) -> float:
        return self.fontMetrics().lineSpacing() * (0.72 if len(self._bolts) > 16 else 0.85)

    def _area(self) -> QRectF:
        """Return where the middles of bolts may lie."""
        edge = self._radius() + self.fontMetrics().lineSpacing() * 1.4
        width, height = self.width() - 2 * edge, self.height() - 2 * edge
        # Not much wider than high: a circle is to look like one.
        wide = min(width, height * 1.6)
        if self._is_round():
            wide = height = min(width, height)
        return QRectF((self.width() - wide) / 2, (self.height() - height) / 2, wide, height)

    def _is_round(self) -> bool:
        from_middle = [math.dist((float(x), float(y)), (0.5, 0.5)) for x, y in self._places()]
        rows = {y for _, y in self._places()}
        even = bool(from_middle) and max(from_middle) - min(from_middle) < 0.05
        return even and len(rows) > 2

    def _places(self) -> list[Place]:
        return [bolt.at for bolt in self._bolts]

    def _spots(self) -> list[QPointF]:
        area, places = self._area(), self._places()
        if self._dragged is not None and self._pressed is not None:
            places[self._pressed] = self._dragged
        return [
            QPointF(area.left() + float(x) * area.width(), area.top() + float(y) * area.height())
            for x, y in places
        ]

    def paintEvent(self, _event: QPaintEvent | None) -> None:
        """Draw the face of the joint, the way from bolt to bolt, and the bolts."""
        colours, painter = colours_of(self.palette()), QPainter(self)
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        face = QRectF(self.rect()).adjusted(1, 1, -1, -1)
        painter.setBrush(QColor(colours.paper))
        edge = colours.chosen if self.hasFocus() else colours.edge
        painter.setPen(QPen(QColor(edge), 2 if self.hasFocus() else 1))
        painter.drawRoundedRect(face, 2, 2)
        spots = self._spots()
        if not spots:
            painter.setPen(QColor(colours.quiet))
            words = self.tr("One bolt. Draw a pattern where there are more.")
            painter.drawText(face, Qt.AlignmentFlag.AlignCenter | Qt.TextFlag.TextWordWrap, words)
        self._draw_way(painter, spots, colours)
        for index, (bolt, spot) in enumerate(zip(self._bolts, spots, strict=True)):
            self._draw_bolt(painter, bolt, spot, colours, index == self._chosen)
        painter.end()

    def _draw_way(self, painter: QPainter, spots: list[QPointF], colours: Colours) -> None:
        turns = sorted((b.turn, i) for i, b in enumerate(self._bolts) if b.turn is not None)
        painter.setBrush(QColor(colours.quiet))
        painter.setPen(QPen(QColor(colours.quiet), 1.5))
        for (_, start), (_, end) in pairwise(turns):
            a, b = spots[start], spots[end]
            length = math.hypot(b.x() - a.x(), b.y() - a.y())
            if length <= 2 * self._radius():
                continue
            ahead = (b - a) / length
            a, b = a + ahead * self._radius(), b - ahead * (self._radius() + 2)
            painter.drawLine(a, b)
            side = QPointF(-ahead.y(), ahead.x())
            painter.drawPolygon(QPolygonF([b, b - ahead * 8 + side * 4, b - ahead * 8 - side * 4]))

    def _draw_bolt(
        self, painter: QPainter, bolt: Bolt, spot: QPointF, colours: Colours, chosen: bool
    ) -> None:
        radius = self._radius()
        done = bolt.turn is not None
        painter.setBrush(QColor(colours.chosen if done else colours.paper))
        painter.setPen(QPen(QColor(colours.chosen if done else colours.edge), 1.5))
        turns = [2 * math.pi * corner / _CORNERS for corner in range(_CORNERS)]
        head = [spot + QPointF(math.cos(t), math.sin(t)) * radius for t in turns]
        painter.drawPolygon(QPolygonF(head))
        if chosen:
            painter.setBrush(Qt.BrushStyle.NoBrush)
            style = Qt.PenStyle.SolidLine if self.hasFocus() else Qt.PenStyle.DotLine
            painter.setPen(QPen(QColor(colours.ink), 2, style))
            painter.drawEllipse(spot, radius + 4, radius + 4)
        painter.setPen(QColor(colours.on_chosen if done else colours.ink))
        inside = QRectF(spot.x() - radius, spot.y() - radius, 2 * radius, 2 * radius)
        # A short name stands in the bolt and its turn beside it; a long one changes places.
        short = len(bolt.name) <= _SHORT
        turn = turn_text(bolt.turn)
        within, said = (bolt.name, turn) if short else (turn, bolt.name)
        painter.drawText(inside, Qt.AlignmentFlag.AlignCenter, within)
        font = QFont(self.font())
        font.setBold(done)
        painter.setFont(font)
        painter.setPen(QColor(colours.ink if done else colours.quiet))
        line = self.fontMetrics().lineSpacing()
        metrics = painter.fontMetrics()
        said = metrics.elidedText(said, Qt.TextElideMode.ElideRight, self._room())
        wide = metrics.horizontalAdvance(said)
        x, y = self._away(spot)
        beside = QRectF(0, 0, wide + 4, line)
        beside.moveCenter(spot + QPointF(x * (radius + 5 + wide / 2), y * (radius + 5 + line / 2)))
        painter.drawText(beside, Qt.AlignmentFlag.AlignCenter, said)
        painter.setFont(self.font())

    def _room(self) -> int:
        """Return how wide a name may be written, so that it does not run into the next."""
        row = len({x for x, _ in self._places()})
        return int(self.width() / max(2, row)) - 6 if not self._is_round() else self.width() // 3

    def _away(self, spot: QPointF) -> tuple[float, float]:
        """Return the direction in which the turn of a bolt is written: out of the pattern."""
        if not self._is_round():
            return 0.0, -1.0 if spot.y() <= self.height() / 2 else 1.0
        from_middle = spot - self._area().center()
        length = math.hypot(from_middle.x(), from_middle.y()) or 1.0
        return from_middle.x() / length, from_middle.y() / length


def _inside(value: Decimal) -> Decimal:
    return min(Decimal(1), max(Decimal(0), value)).quantize(_DIGITS)
