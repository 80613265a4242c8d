"""Marks on the film that begin and end a step.

The first press of the key notes the frame shown as the first one. The second makes the
step: the frame shown then is the last one inside, so the span ends at the begin of the
frame behind it. What is seen at either press belongs to the step.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from decimal import Decimal
from itertools import islice
from typing import TYPE_CHECKING, Literal

from PyQt6.QtCore import QObject

from author.bench.actions import Actions
from author.bench.overlaps import overlap_of
from author.bench.stills import automatic_at, settle
from author.bench.twice import Twice
from author.bench.words import translate
from author.checks.wording import UNWRITTEN
from author.editing import NO_ALT, AddStep, MoveMark, SetField, SetSpan, Span
from author.procedure.document import PlacedStep
from author.procedure.steps import Step

if TYPE_CHECKING:
    from author.bench.session import Session


_MOST_NAMED = 6


class StepMarks(QObject):
    """Turns marks into steps, and moves the marks of the chosen one.

    Args:
        session: whose document and films.
        deeds: what the window can do.
    """

    def __init__(self, session: Session, deeds: Actions, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._deeds = deeds
        self._recording = ""
        self._twice = Twice()
        pairs: tuple[tuple[str, Callable[[], None]], ...] = (
            ("mark", self.mark),
            ("unmark", self.unmark),
            ("begin_here", self.begin_here),
            ("end_here", self.end_here),
        )
        for name, deed in pairs:
            deeds[name].triggered.connect(lambda _=False, deed=deed: deed())

    # --- making a step ---

    def mark(self) -> None:
        """Begin a step at the frame shown, or end it there and make it."""
        if not self._is_read():
            return
        if self._session.mark is None:
            self._begin()
            return
        span = self._span_to_here()
        if span is not None and self._make(span):
            self._session.set_mark(None)
            placed = self._session.placed()
            words = self.tr("Step %1, %2 s. Write its action; Enter goes back to the film.")
            number = "" if placed is None else str(placed.number)
            words = words.replace("%1", number).replace("%2", f"{span.end - span.start:.1f}")
            self._session.tell("good", words)
            self._deeds["write_action"].trigger()

    def unmark(self) -> None:
        """Take the begun mark back."""
        if self._session.mark is not None:
            self._session.set_mark(None)
            self._session.tell("advice", self.tr("The mark is taken back"))

    def _begin(self) -> None:
        films = self._session.films
        self._recording = films.front
        self._session.set_mark(films.moment)
        self._session.tell(
            "advice",
            self.tr("The step begins with this frame. Press %1 again on its last frame.").replace(
                "%1", self._deeds["mark"].shortcut().toString()
            ),
        )

    def _span_to_here(self) -> Span | None:
        """Return the span between the mark and the frame shown, both inside, whichever is first."""
        films, mark = self._session.films, self._session.mark
        if mark is None:
            return None
        if self._recording and films.front != self._recording:
            self._session.tell(
                "error",
                self.tr(
                    "The step was begun on the other film: go back to it, or take the mark back"
                ),
            )
            return None
        frames = sorted((films.frame_at(mark), films.frame))
        return Span(films.front, films.start_of(frames[0]), films.start_of(frames[1] + 1))

    def _make(self, span: Span) -> bool:
        """Make a step of a span, behind the chosen one, and choose it."""
        session = self._session
        begun = self._begun_step(span.recording)
        if begun is not None:
            with session.document.gesture(self.tr("Mark a step")):
                if not session.do(SetSpan(begun, span)):
                    return False
                settle(session, begun)
            session.choose_step(begun)
            return True
        best = automatic_at(session.films, span)
        if not session.do(AddStep(after=session.step or None, span=span, still_at=best)):
            return False
        session.choose_step(str(session.document.history[-1].now[1]))
        return True

    def _begun_step(self, recording: str) -> str | None:
        """Return the step that a new procedure has for a whole film, while nobody wrote it."""
        steps = (step for section in self._session.procedure.sections for step in section.steps)
        own = (step for step in steps if step.clip and step.clip.recording == recording)
        here = [*islice(own, 2)]
        if len(here) != 1 or not self._is_whole_film(here[0]) or not _is_untouched(here[0]):
            return None
        return here[0].id

    def _is_whole_film(self, step: Step) -> bool:
        films, clip = self._session.films, step.clip
        index = None if clip is None else films.index(clip.recording)
        if clip is None or index is None:
            return False
        first, last = (
            films.frame_at(clip.start, clip.recording),
            films.frame_at(clip.end, clip.recording),
        )
        return first == 0 and last >= len(index.ticks)

    # --- moving the marks of a step ---

    def begin_here(self) -> None:
        """Let the chosen step begin with the frame shown."""
        self._set("from")

    def end_here(self) -> None:
        """Let the frame shown be the last one of the chosen step."""
        self._set("to")

    def _set(self, which: str) -> None:
        placed = self._session.placed()
        if placed is None or not self._is_read():
            return
        films, clip = self._session.films, placed.step.clip
        if clip is None or clip.recording != films.front:
            self._span_for(placed.step, which)
        elif which == "from":
            if self._is_sure(placed, films.moment, clip.end):
                move_end(self._session, placed.step.id, "from", films.moment)
        elif self._is_sure(placed, clip.start, self._behind()):
            move_end(self._session, placed.step.id, "to", self._behind())

    def _is_sure(self, placed: PlacedStep, start: Decimal, end: Decimal) -> bool:
        """Whether a step may get a span: one that covers further steps is asked for twice."""
        clip, procedure = placed.step.clip, self._session.procedure
        assert clip is not None  # noqa: S101 - its ends are moved
        was, now = (
            set() if over is None else {*over.numbers} - {placed.number}
            for over in (
                overlap_of(procedure, clip.recording, clip.start, clip.end),
                overlap_of(procedure, clip.recording, start, end),
            )
        )
        more = sorted(now - was)
        if not more or self._twice.sure(placed.step.id, start, end):
            return True
        others = ", ".join(map(str, more[:_MOST_NAMED])) + (" …" if more[_MOST_NAMED:] else "")
        words = self.tr(
            "Step %1 would then show what these steps show: %2. Press it again to do so."
        )
        self._session.tell("warning", words.replace("%1", str(placed.number)).replace("%2", others))
        return False

    def _span_for(self, step: Step, which: str) -> None:
        """Give a span to a step that has none on this film: first its begin, then its end."""
        if which == "from":
            self._begin()
            return
        if self._session.mark is None:
            key = self._deeds["begin_here"].shortcut().toString()
            self._session.tell(
                "error",
                self.tr("The step has no span on this film: let it begin first, with %1").replace(
                    "%1", key
                ),
            )
            return
        span = self._span_to_here()
        if span is not None and self._session.do(SetSpan(step.id, span)):
            self._session.set_mark(None)

    def _behind(self) -> Decimal:
        films = self._session.films
        return films.start_of(films.frame + 1)

    def _is_read(self) -> bool:
        films = self._session.films
        if films.front and films.index() is not None:
            return True
        self._session.tell(
            "error",
            self.tr("The film is still being read: try again in a moment")
            if films.front
            else self.tr("There is no film: add a recording first"),
        )
        return False


def film_to_step(session: Session) -> None:
    """Let the film go to the still of the chosen step, or else to the begin of its clip.

    Where that film is not there, it is said that what is shown is none of the step.
    """
    placed = session.placed()
    if placed is None:
        return
    films, clip, still = session.films, placed.step.clip, placed.step.still
    for recording, at in (
        *(((still.recording, still.at),) if still is not None else ()),
        *(((clip.recording, clip.start),) if clip is not None else ()),
    ):
        if films.path(recording) is None or films.index(recording) is None:
            continue
        if films.front != recording or films.frame != films.frame_at(at, recording):
            films.show_at(at, recording)
        return
    if clip is not None and films.path(clip.recording) is None:
        files = [ref.file for ref in session.procedure.recordings if ref.id == clip.recording]
        session.tell("warning", not_found(files))


def not_found(files: Sequence[str]) -> str:
    """Return that films were not found, and what is done then."""
    words = translate(
        "StepMarks",
        "Not found: %1. “Add a recording” in the menu “Job” shows where it lies; laid beside the"
        " procedure, it is found by itself the next time.",
    )
    return words.replace("%1", ", ".join(files))


def move_end(session: Session, step: str, end: Literal["from", "to"], to: Decimal) -> bool:
    """Move an end of a step's clip; a still nobody worked on is taken anew if it is left outside.

    Args:
        session: whose document.
        step: id of the step.
        end: which end.
        to: where it goes, seconds.

    Returns:
        Whether the document took it.
    """
    words = (
        translate("StepMarks", "Move the begin of step {0}")
        if end == "from"
        else translate("StepMarks", "Move the end of step {0}")
    )
    placed = session.placed(step)
    number = placed.number if placed is not None else ""
    with session.document.gesture(words.format(number)):
        if not session.do(MoveMark(step, end, to)):
            return False
        placed = session.placed(step)
        if placed is None or _still_lies_inside(placed.step):
            return True
        clip, still = placed.step.clip, placed.step.still
        if clip is None or still is None:
            return True
        if still.alt == NO_ALT and not still.callouts and not still.masks:
            span = Span(clip.recording, clip.start, clip.end)
            best = automatic_at(session.films, span, measured=bool(placed.step.specs))
            at = span.middle() if best is None else best
            anew = still.model_copy(update={"at": at})
            return session.do(SetField(("steps", step, "still"), anew))
    session.tell(
        "warning",
        translate(
            "StepMarks", "The still of step {0} lies outside the step now: take another frame"
        ).format(number),
    )
    return True


def _still_lies_inside(step: Step) -> bool:
    """Whether the still is a frame of the clip; one of another recording is none it could leave."""
    clip, still = step.clip, step.still
    if clip is None or still is None or still.recording != clip.recording:
        return True
    return clip.start <= still.at < clip.end


def _is_untouched(step: Step) -> bool:
    """Whether a step has nothing but a clip and a still that nobody worked on."""
    fields = set(type(step).model_fields) - {"id", "action", "clip", "still"}
    return (
        step.action.startswith(UNWRITTEN)
        and all(getattr(step, name) is None for name in fields)
        and (step.still is None or not (step.still.callouts or step.still.masks))
    )
