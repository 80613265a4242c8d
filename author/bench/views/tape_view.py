"""The tape: time runs down it as on a tape measure, with all that is seen and heard.

Drawing along it moves the film; the ends of the chosen step's bracket can be drawn. A
stretch once painted is kept as a picture, so that scrolling is quick.
"""

from __future__ import annotations

import time
from dataclasses import replace
from decimal import Decimal
from typing import TYPE_CHECKING

from PyQt6.QtCore import QEvent, QPointF, QSize, Qt, QTimer
from PyQt6.QtGui import (
    QColor,
    QImage,
    QKeyEvent,
    QMouseEvent,
    QPainter,
    QPaintEvent,
    QPen,
    QPixmap,
    QResizeEvent,
    QWheelEvent,
)
from PyQt6.QtWidgets import QAbstractScrollArea, QFrame, QScrollBar, QSizePolicy, QWidget

from author.bench.actions import Actions
from author.bench.theme import colours_of
from author.bench.views.stretches import unlike
from author.bench.views.tape_bands import TapeContent, TapePictures, spans_of
from author.bench.views.tape_hand import TapeHand
from author.bench.views.tape_painting import Columns, TapePainter
from author.bench.views.tape_scale import TapeScale
from author.procedure.document import Procedure
from author.procedure.times import clock_text

if TYPE_CHECKING:
    from author.bench.session import Session

_TILE = 128
_AT_ONCE = 0.005  # seconds of painting tiles before the window may go on
_MOST_TILES = 80
_PICTURES_AFTER = 250  # milliseconds at rest
_HUNG_AFTER = 300
_LOOKS = (QEvent.Type.PaletteChange, QEvent.Type.FontChange)
_FIRST_POINTS = 8.0
_STEP = 1.25
_LINE = 16
"""Points above and below the moment in which its line and its time are drawn."""


class TapeView(QAbstractScrollArea):
    """Shows the recording in front as a tape."""

    def __init__(self, session: Session, _deeds: Actions, parent: QWidget | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._films = session.films
        self._content = TapeContent()
        self._scale = TapeScale()
        self._tiles: dict[int, QPixmap] = {}
        self._begun = False
        self._hand = TapeHand(session)
        self._more_pictures = QTimer(self)
        self._more_pictures.setSingleShot(True)
        self._more_pictures.setInterval(_PICTURES_AFTER)
        self._more_pictures.timeout.connect(self._want_pictures)
        self._hung: list[float] = []
        self._moment_at = 0.0
        self._show_hung = QTimer(self)
        self._show_hung.setSingleShot(True)
        self._show_hung.setInterval(_HUNG_AFTER)
        self._show_hung.timeout.connect(self._take_hung)
        self._dress()
        self._connect()
        self._change_front()

    # --- outside ---

    @property
    def scale(self) -> TapeScale:
        """How the tape is drawn."""
        return self._scale

    def sizeHint(self) -> QSize:
        """Return a width that has room for all columns."""
        return QSize(300, 600)

    def minimumSizeHint(self) -> QSize:
        """Return the width of scale, sound, pictures and brackets."""
        return QSize(220, 200)

    def enlarge(self, factor: float, at: float | None = None) -> None:
        """Draw the tape larger or smaller.

        Args:
            factor: by which it is larger.
            at: the place that stays where it is, points from the top of what is in sight;
                the moment that is looked at if None.
        """
        at = self._scale.y(self._films.moment) - self._top if at is None else at
        at = min(max(at, 0.0), float(self._room))
        seconds = self._scale.seconds(self._top + at)
        self._scale = self._scale.scaled(factor, self._room)
        self._forget()
        self._measure()
        self._bar().setValue(round(self._scale.y(seconds) - at))
        self._more_pictures.start()

    # --- making ---

    def _dress(self) -> None:
        self.setAccessibleName(self.tr("Tape"))
        words = self.tr(
            "The recording as a tape, time running down. Z draws it larger, Shift+Z smaller, "
            "as does Ctrl with the wheel. The arrow keys walk through the film; F and E set "
            "where the chosen step begins and ends; Up and Down choose a step."
        )
        self.setAccessibleDescription(words)
        self.setFocusPolicy(Qt.FocusPolicy.StrongFocus)
        self.setFrameShape(QFrame.Shape.NoFrame)
        self.setHorizontalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOff)
        self.setVerticalScrollBarPolicy(Qt.ScrollBarPolicy.ScrollBarAlwaysOn)
        self.setSizePolicy(QSizePolicy.Policy.Preferred, QSizePolicy.Policy.Expanding)
        self._port().setMouseTracking(True)

    def _connect(self) -> None:
        films, session = self._films, self._session
        films.front_changed.connect(self._change_front)
        films.indexed.connect(self._take_index)
        films.moved.connect(self._follow)
        films.key_pictured.connect(self._take_key_picture)
        films.captioned.connect(self._take_known)
        films.surveyed.connect(self._take_known)
        session.changed.connect(self._take_change)
        session.step_chosen.connect(lambda _: self._port().update())
        session.mark_changed.connect(lambda _: self._port().update())
        films.strip_pictured.connect(self._take_key_picture)
        self._bar().valueChanged.connect(lambda _: self._more_pictures.start())

    def _port(self) -> QWidget:
        port = self.viewport()
        assert port is not None  # noqa: S101 - a scroll area always has one
        return port

    def _bar(self) -> QScrollBar:
        bar = self.verticalScrollBar()
        assert bar is not None  # noqa: S101 - a scroll area always has one
        return bar

    @property
    def _top(self) -> int:
        return self._bar().value()

    @property
    def _room(self) -> int:
        return self._port().height()

    @property
    def _columns(self) -> Columns:
        return Columns(self._port().width(), self._content.tall)

    def _painter(self) -> TapePainter:
        return TapePainter(self._scale, self._columns, colours_of(self.palette()), self.font())

    # --- what comes from films and document ---

    def _change_front(self, _: str = "") -> None:
        films = self._films
        self._content = TapeContent(pictures=TapePictures())
        self._begun = False
        keys = films.key_pictures().items()
        self._content.hang([(float(films.start_of(n)), image) for n, image in keys])
        self._content.spans = spans_of(self._session.procedure, films.front)
        self._take_known(films.front)
        self._take_index(films.front)

    def _take_index(self, recording: str) -> None:
        films = self._films
        if recording != films.front:
            return
        self._scale = replace(self._scale, length=float(films.start_of(films.count())))
        if films.count() and not self._begun:
            self._begun = True
            self._scale = replace(self._scale, points=_FIRST_POINTS)
        self._scale = self._scale.scaled(1, self._room)
        self._take_shots()
        self._forget()
        self._measure()
        self._more_pictures.start()

    def _take_known(self, recording: str) -> None:
        if recording == self._films.front:
            self._content.cues = self._films.captions()
            self._content.analyses = self._films.analyses()
            self._take_shots()
            self._forget()
            self._more_pictures.start()

    def _take_shots(self) -> None:
        analyses = self._content.analyses
        shots = analyses.shots if analyses is not None else ()
        self._content.shots = tuple(float(self._films.start_of(shot.index)) for shot in shots)

    def _take_key_picture(self, recording: str, frame: int, image: QImage) -> None:
        if recording == self._films.front:
            self._take_picture(recording, float(self._films.start_of(frame)), image)

    def _take_picture(self, recording: str, seconds: float, image: QImage) -> None:
        if recording == self._films.front:
            if self._content.hang([(seconds, image)]):
                self._take_known(recording)  # the slots for pictures have another height
            self._hung.append(seconds)
            if not self._show_hung.isActive():
                self._show_hung.start()

    def _take_hung(self) -> None:
        """Paint anew where pictures came: many at a time, not one by one."""
        slot = self._columns.slot
        for y in {round(self._scale.y(seconds)) for seconds in self._hung}:
            self._forget(y - slot, y + 2 * slot)
        self._hung.clear()

    def _take_change(self, before: Procedure, after: Procedure) -> None:
        if before.sections is after.sections:
            return
        old = self._content.spans
        self._content.spans = new = spans_of(after, self._films.front)
        top, gone, come = unlike(old, new)
        if changed := old[top:gone] + new[top:come]:
            first, last = min(s.start for s in changed), max(s.end for s in changed)
            self._drop(self._scale.y(first) - 24, self._scale.y(last) + 24)
        self._port().update()

    def _want_pictures(self) -> None:
        """Have the pictures made that are wanted in sight and not there yet."""
        films, slot = self._films, self._columns.slot
        if films.index() is None or not self._columns.picture_width:
            return
        frames = []
        for number in range(self._top // slot - 1, (self._top + self._room) // slot + 2):
            first, last = (self._scale.seconds(y) for y in (number * slot, (number + 1) * slot))
            if last > first and self._content.pictures.within(first, last) is None:
                frame = films.frame_during(Decimal(first))
                frames.append(frame + (films.start_of(frame) < first))
        wanted = sorted({frame for frame in frames if frame < films.count()})
        if wanted:
            films.picture_strip(wanted)

    # --- painting ---

    def _measure(self) -> None:
        bar = self._bar()
        bar.setRange(0, max(self._scale.height - self._room, 0))
        bar.setPageStep(self._room)
        bar.setSingleStep(24)
        self._port().update()

    def _forget(self, top: float | None = None, bottom: float | None = None) -> None:
        """Paint anew, a stretch or all."""
        if top is None or bottom is None:
            self._tiles.clear()
        else:
            self._drop(top, bottom)
        self._port().update()

    def _drop(self, top: float, bottom: float) -> None:
        for tile in range(int(top) // _TILE, int(bottom) // _TILE + 1):
            self._tiles.pop(tile, None)

    def _tile(self, number: int, painter: TapePainter) -> QPixmap:
        found = self._tiles.pop(number, None)
        if found is None:
            ratio = self.devicePixelRatioF()
            found = QPixmap(round(self._columns.width * ratio), round(_TILE * ratio))
            found.setDevicePixelRatio(ratio)
            on_tile = QPainter(found)
            on_tile.translate(0, -number * _TILE)
            painter.ground(on_tile, self._content, number * _TILE, (number + 1) * _TILE)
            on_tile.end()
        self._tiles[number] = found  # the one used last is the last to go
        while len(self._tiles) > _MOST_TILES:
            del self._tiles[next(iter(self._tiles))]
        return found

    def paintEvent(self, event: QPaintEvent | None) -> None:
        """Draw what is in sight."""
        area = event.rect() if event is not None else self._port().rect()
        top, tape = self._top, self._painter()
        painter = QPainter(self._port())
        painter.setClipRect(area)
        painter.fillRect(area, QColor(colours_of(self.palette()).tape))
        painter.translate(0, -top)
        until = time.perf_counter() + _AT_ONCE
        for number in range((area.top() + top) // _TILE, (area.bottom() + top) // _TILE + 1):
            if number in self._tiles or time.perf_counter() < until:
                painter.drawPixmap(0, number * _TILE, self._tile(number, tape))
            else:
                QTimer.singleShot(0, self._port().update)
        self._paint_moving(painter, tape)
        painter.end()

    def _paint_moving(self, painter: QPainter, tape: TapePainter) -> None:
        painter.setRenderHint(QPainter.RenderHint.Antialiasing)
        moment = self._films.moment
        if self._session.mark is not None:
            tape.begun(painter, self._session.mark, moment)
        if self._films.count():
            tape.moment(painter, moment, clock_text(moment, 2))
        chosen = self._hand.chosen(self._content)
        if chosen is not None:  # over the line of the moment: its number can be read
            tape.bracket(painter, chosen, chosen=True)
        if self.hasFocus():
            painter.resetTransform()
            painter.setPen(QPen(QColor(colours_of(self.palette()).chosen), 2))
            painter.drawRect(self._port().rect().adjusted(1, 1, -1, -1))

    def _follow(self, recording: str, _frame: int) -> None:
        """Keep the moment in sight."""
        if recording != self._films.front:
            return
        y = self._scale.y(self._films.moment) - self._top
        low, high = self._room * 0.12, self._room * 0.72
        if not low <= y <= high and not self._hand.busy:
            far = not -self._room < y < 2 * self._room
            goal = self._room * 0.4 if far else (low if y < low else high)
            self._bar().setValue(round(self._top + y - goal))
        self._show_moment()

    def _show_moment(self) -> None:
        """Paint anew where the line of the moment stood and where it stands now."""
        y = self._scale.y(self._films.moment)
        if self._session.mark is not None:
            self._port().update()  # the step that is begun reaches up to the moment
        for each in (self._moment_at, y):
            top = round(each) - self._top - _LINE
            self._port().update(0, top, self._port().width(), 2 * _LINE)
        self._moment_at = y

    def resizeEvent(self, event: QResizeEvent | None) -> None:
        """Measure anew."""
        super().resizeEvent(event)
        if event is not None and event.oldSize().width() != event.size().width():
            self._forget()
        self._scale = self._scale.scaled(1, self._room)
        self._measure()
        self._more_pictures.start()

    def changeEvent(self, event: QEvent | None) -> None:
        """Paint anew in other colours or type."""
        super().changeEvent(event)
        if event is not None and event.type() in _LOOKS:
            self._forget()

    # --- the hand ---

    def wheelEvent(self, event: QWheelEvent | None) -> None:
        """Scroll; with Ctrl draw larger or smaller."""
        if event is not None and event.modifiers() & Qt.KeyboardModifier.ControlModifier:
            self.enlarge(_STEP ** (event.angleDelta().y() / 120), event.position().y())
            event.accept()
        else:
            super().wheelEvent(event)

    def keyPressEvent(self, event: QKeyEvent | None) -> None:
        """Z draws larger, Shift+Z smaller."""
        if event is not None and event.key() == Qt.Key.Key_Z:
            shift = bool(event.modifiers() & Qt.KeyboardModifier.ShiftModifier)
            self.enlarge(1 / _STEP if shift else _STEP)
        else:
            super().keyPressEvent(event)

    def mousePressEvent(self, event: QMouseEvent | None) -> None:
        """Take what is under the hand."""
        if event is None or event.button() != Qt.MouseButton.LeftButton or not self._films.count():
            return
        self._hand.press(self._on_tape(event), self._content, self._painter(), self._scale)
        self._port().update()

    def mouseMoveEvent(self, event: QMouseEvent | None) -> None:
        """Draw along what is in hand."""
        if event is None:
            return
        at = self._on_tape(event)
        if event.buttons() & Qt.MouseButton.LeftButton:
            self._hand.move(at, self._scale)
            self._port().update()
        else:
            self._port().setCursor(self._hand.shape(at, self._content, self._painter()))

    def mouseReleaseEvent(self, event: QMouseEvent | None) -> None:
        """Let go."""
        if event is not None and event.button() == Qt.MouseButton.LeftButton:
            self._hand.let_go(self._content)
            self._port().update()

    def _on_tape(self, event: QMouseEvent) -> QPointF:
        return event.position() + QPointF(0, self._top)
