"""What the hand does on the tape: draws the film along, an end of a bracket, or takes a step."""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING

from PyQt6.QtCore import QPointF, Qt

from author.bench.views.step_marks import film_to_step, move_end
from author.bench.views.tape_bands import StepSpan, TapeContent
from author.bench.views.tape_painting import End, TapePainter
from author.bench.views.tape_scale import TapeScale

if TYPE_CHECKING:
    from author.bench.session import Session

_STILL = 5  # points a hand may move that only presses


class TapeHand:
    """Follows one hand from pressing to letting go. Places are points from the tape's top."""

    def __init__(self, session: Session) -> None:
        self._session = session
        self._films = session.films
        self._pressed: StepSpan | None = None
        self._pressed_at = QPointF()
        self._drawn: tuple[StepSpan, End] | None = None
        self._scrubbing = False

    @property
    def busy(self) -> bool:
        """Whether the film or an end of a bracket is in hand."""
        return self._scrubbing or self._drawn is not None

    def chosen(self, content: TapeContent) -> StepSpan | None:
        """Return the span of the chosen step, as it is drawn just now."""
        if self._drawn is not None:
            return self._drawn[0]
        step = self._session.step
        return next((span for span in content.spans if span.step == step), None)

    def press(self, at: QPointF, content: TapeContent, tape: TapePainter, scale: TapeScale) -> None:
        """Take an end of the chosen bracket, a bracket, or the film itself."""
        self._pressed_at = at
        chosen = self.chosen(content)
        end = None if chosen is None else tape.end_at(chosen, at.x(), at.y())
        if chosen is not None and end is not None:
            self._drawn = (chosen, end)
            return
        self._pressed = tape.span_at(content, at.x(), at.y())
        if self._pressed is None:
            self._scrub(scale.seconds(at.y()))

    def move(self, at: QPointF, scale: TapeScale) -> None:
        """Draw along what is in hand."""
        seconds = scale.seconds(at.y())
        if self._drawn is not None:
            self._draw_end(*self._drawn, Decimal(seconds))
        elif self._scrubbing:
            self._scrub(seconds)
        elif self._pressed is not None and (at - self._pressed_at).manhattanLength() > _STILL:
            self._pressed = None
            self._scrub(seconds)

    def let_go(self, content: TapeContent) -> None:
        """Choose the step pressed, or move the mark that was drawn: one command a gesture."""
        drawn, pressed = self._drawn, self._pressed
        self._drawn, self._pressed, self._scrubbing = None, None, False
        if drawn is not None:
            span, end = drawn
            if span != self.chosen(content):
                to = span.start if end == "from" else span.end
                move_end(self._session, span.step, end, to)
        elif pressed is not None:
            self._session.choose_step(pressed.step)
            film_to_step(self._session)

    def shape(self, at: QPointF, content: TapeContent, tape: TapePainter) -> Qt.CursorShape:
        """Return the shape of the hand over a place."""
        chosen = self.chosen(content)
        if chosen is not None and tape.end_at(chosen, at.x(), at.y()) is not None:
            return Qt.CursorShape.SizeVerCursor
        if tape.span_at(content, at.x(), at.y()) is not None:
            return Qt.CursorShape.PointingHandCursor
        return Qt.CursorShape.ArrowCursor

    def _scrub(self, seconds: float) -> None:
        self._scrubbing = True
        self._films.show(self._films.frame_during(Decimal(seconds)), patient=True)

    def _draw_end(self, span: StepSpan, end: End, seconds: Decimal) -> None:
        """Move an end to the nearest frame; one frame at least stays between both."""
        films = self._films
        frame = films.frame_at(seconds)
        if end == "from":
            frame = max(0, min(frame, films.frame_at(span.end) - 1))
            span = span._replace(start=films.start_of(frame))
        else:
            frame = max(frame, films.frame_at(span.start) + 1)
            span = span._replace(end=films.start_of(frame))
        self._drawn = (span, end)
        films.show(frame, patient=True)
