"""Stills that the window takes by itself: the best frame of a step, as soon as that is known.

Until a film is read through, a marked step has its middle frame as its still. When the best
one is known, stills that nobody worked on are taken anew: one entry that can be undone.
"""

from __future__ import annotations

from decimal import Decimal
from typing import TYPE_CHECKING

from PyQt6.QtCore import QObject, QTimer
from PyQt6.QtWidgets import QApplication, QLineEdit, QPlainTextEdit

from author.bench.steady import best_at, reading_at
from author.bench.words import translate
from author.editing import NO_ALT, SetField, Span
from author.procedure.document import PlacedStep
from author.procedure.steps import Still

if TYPE_CHECKING:
    from author.bench.films import FilmDesk
    from author.bench.session import Session


def automatic_at(films: FilmDesk, span: Span, *, measured: bool = False) -> Decimal | None:
    """Return where the still of a step belongs: on its reading, or else on its best frame.

    Args:
        films: the open films.
        span: the span of the step.
        measured: whether something is measured in it.

    Returns:
        Seconds; None where that is not known yet.
    """
    reading = None
    if measured:
        reading = reading_at(films, span.recording, span.start, span.end)
    return reading if reading is not None else best_at(films, span)


def span_of(placed: PlacedStep | None) -> Span | None:
    """Return the span of a step; None where it has none."""
    clip = None if placed is None else placed.step.clip
    return None if clip is None else Span(clip.recording, clip.start, clip.end)


def settle(session: Session, step: str) -> None:
    """Take the still of a step that was just given its span to where it belongs, if known.

    What a person drew on or wrote to stays.
    """
    placed = session.placed(step)
    span = span_of(placed)
    if placed is None or span is None or not _is_untouched(placed.step.still, span):
        return
    at = automatic_at(session.films, span, measured=bool(placed.step.specs))
    if at is not None and placed.step.still is not None and at != placed.step.still.at:
        session.do(SetField(("steps", step, "still", "at"), at))


def _is_untouched(still: Still | None, span: Span) -> bool:
    if still is None or still.recording != span.recording:
        return False
    return still.alt == NO_ALT and not still.callouts and not still.masks


def renewed(session: Session, placed: PlacedStep) -> Decimal | None:
    """Return where a still belongs that is only the middle of its clip; None if it may stay.

    What a person chose, drew on or wrote to is no such still. Nor is the one step that a new
    procedure has for a whole film: nobody marked it.
    """
    span, still = span_of(placed), placed.step.still
    if span is None or still is None or not _is_untouched(still, span):
        return None
    if still.at != span.middle():
        return None
    if is_whole_film(session.films, span):
        return None
    at = automatic_at(session.films, span, measured=bool(placed.step.specs))
    return None if at == still.at else at


def take_best(session: Session, step: str) -> None:
    """Take the still of a step anew if it is only the middle of its clip."""
    placed = session.placed(step)
    at = None if placed is None else renewed(session, placed)
    if at is not None:
        session.do(SetField(("steps", step, "still", "at"), at))


def is_whole_film(films: FilmDesk, span: Span) -> bool:
    """Whether a span is a whole film, as the first step of a new procedure has it."""
    index = films.index(span.recording)
    return index is not None and span.start == 0 and span.end >= index.clock(index.end_tick)


class StillRenewing(QObject):
    """Takes the stills anew that stand on the middle of their clips, once a film is read.

    It waits while somebody writes, so that what is written stays one entry, and while work
    of an earlier run is offered.

    Args:
        session: whose document and films.
    """

    def __init__(self, session: Session, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._read: set[str] = set()
        # Never inside the change or the move of the keys that is being told.
        self._soon = QTimer(self)
        self._soon.setSingleShot(True)
        self._soon.timeout.connect(self._renew)
        session.films.surveyed.connect(self._surveyed)
        session.changed.connect(self._look)
        app = QApplication.instance()
        if isinstance(app, QApplication):
            app.focusChanged.connect(self._look)

    def _surveyed(self, recording: str) -> None:
        self._read.add(recording)
        self._look()

    def _look(self, *_: object) -> None:
        if self._read:
            self._soon.start()

    def _renew(self) -> None:
        document = self._session.document
        busy = isinstance(QApplication.focusWidget(), QLineEdit | QPlainTextEdit)
        if not self._read or busy or document.read_only or document.recovery is not None:
            return
        read, self._read = self._read, set()
        steps = [
            (placed, at)
            for placed in self._session.procedure.placed_steps()
            if placed.step.clip is not None and placed.step.clip.recording in read
            if (at := renewed(self._session, placed)) is not None
        ]
        if not steps:
            return
        said = translate("Stills", "Take the best frames as stills")
        with self._session.unasked(), document.gesture(said):
            for placed, at in steps:
                self._session.do(SetField(("steps", placed.step.id, "still", "at"), at))
        numbers = ", ".join(str(placed.number) for placed, _ in steps)
        self._session.tell(
            "good",
            translate("Stills", "The film is read: the best frame is the still of step {0}").format(
                numbers
            ),
        )
