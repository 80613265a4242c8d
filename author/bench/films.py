"""The films of a job as the window sees them: which is in front, at which frame, what is known.

A picture that comes is always of the frame it says, and only pictures of the frame asked for
last are passed on: no view ever shows a frame for another time. A wish by key is asked for
at once. Wishes that come faster than pictures (a drag, a running film) are asked for one at
a time, the newest next, so that something is seen on the way. Everything here runs on the
window's thread and waits for nothing.
"""

from __future__ import annotations

import time
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING, Any

from PyQt6.QtCore import QObject, pyqtSignal
from PyQt6.QtGui import QGuiApplication, QImage

from author.bench.images import FramePicture, image_of
from author.procedure.cues import Cue
from author.procedure.facts import RecordingFacts
from author.recording.cursor import Lost, Shown
from author.recording.film import Failed, Film, Indexed, KeyPicture, Reading, StripPicture, Surveyed

if TYPE_CHECKING:
    from author.errors import ReelwrightError
    from author.recording.analyses import Analyses
    from author.recording.index import FilmIndex


_LARGEST_BOX = (1280, 720)
_PATIENCE = 2.0
"""Seconds after which an answer is no longer waited for."""


@dataclass(eq=False)
class _Open:
    path: Path
    film: Film
    index: FilmIndex | None = None
    exact: bool = False
    frame: int = 0
    """The moment that is looked at."""
    asked: int = 0
    """The frame asked for last."""
    asked_at: float | None = None
    """When it was asked for; None since a picture of it came."""
    next: int | None = None
    """The frame to ask for when that picture has come."""
    running_to: int | None = None
    """The frame asked for by a running film, until it comes."""
    picture: FramePicture | None = None
    broken: ReelwrightError | None = None
    analyses: Analyses | None = None
    keys: dict[int, QImage] = field(default_factory=dict)
    facts: RecordingFacts | None = None
    captions: tuple[Cue, ...] = ()


class FilmDesk(QObject):
    """Holds the open films and the moment that is looked at."""

    opened = pyqtSignal(str)
    """A recording was opened; its first frame will come."""
    front_changed = pyqtSignal(str)
    """Another recording is in front."""
    moved = pyqtSignal(str, int)
    """Another frame is wished: recording, frame."""
    shown = pyqtSignal(object)
    """A ``FramePicture`` of the frame asked for last of the recording in front."""
    indexed = pyqtSignal(str)
    """A better index of a recording is there; frames may have other numbers."""
    key_pictured = pyqtSignal(str, int, object)
    """A small picture of a key frame: recording, frame, ``QImage``."""
    captioned = pyqtSignal(str)
    """What is said in a recording is known from captions."""
    strip_pictured = pyqtSignal(str, int, object)
    """A small picture that was wished for: recording, frame, ``QImage``."""
    surveyed = pyqtSignal(str)
    """All is known of a recording."""
    reading = pyqtSignal(str, str, int, object)
    """How far the reading is: recording, job, done, total or None."""
    failed = pyqtSignal(str, object)
    """A recording cannot be read, or a frame not be shown: recording, error."""
    _heard = pyqtSignal(str, object)

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._films: dict[str, _Open] = {}
        self._front = ""
        self._heard.connect(self._take)  # told by other threads, so it is queued

    def open(self, recording: str, path: Path) -> None:
        """Begin to open a film; returns at once. The first one opened comes to the front.

        Args:
            recording: id of the recording in the document.
            path: the film.
        """
        if recording in self._films:
            return
        film = Film(path, lambda event: self._heard.emit(recording, event), box=_box())
        self._films[recording] = _Open(path, film)
        self.opened.emit(recording)
        if not self._front:
            self.bring_to_front(recording)

    def close(self) -> None:
        """Close every film and wait for their processes. May be called twice."""
        for opened in self._films.values():
            opened.film.close()
        self._films.clear()
        self._front = ""

    @property
    def recordings(self) -> tuple[str, ...]:
        """Ids of the open recordings in the order they were opened."""
        return tuple(self._films)

    @property
    def front(self) -> str:
        """Id of the recording in front; empty when none is open."""
        return self._front

    @property
    def frame(self) -> int:
        """Index of the frame wished last in the recording in front."""
        opened = self._films.get(self._front)
        return opened.frame if opened else 0

    @property
    def moment(self) -> Decimal:
        """Start of that frame, seconds on the recording's clock, six decimals."""
        return self.start_of(self.frame)

    def path(self, recording: str) -> Path | None:
        """Where a recording lies; None if it is not open."""
        opened = self._films.get(recording)
        return opened.path if opened else None

    def index(self, recording: str | None = None) -> FilmIndex | None:
        """Best index so far of a recording (of the one in front); None until there is one."""
        opened = self._films.get(self._front if recording is None else recording)
        return opened.index if opened else None

    def is_exact(self, recording: str | None = None) -> bool:
        """Whether every frame of a recording was decoded for its index."""
        opened = self._films.get(self._front if recording is None else recording)
        return bool(opened and opened.exact)

    def analyses(self, recording: str | None = None) -> Analyses | None:
        """What was seen and heard in a recording; None until its survey has ended."""
        opened = self._films.get(self._front if recording is None else recording)
        return opened.analyses if opened else None

    def key_pictures(self, recording: str | None = None) -> Mapping[int, QImage]:
        """Small pictures of key frames so far, by frame."""
        opened = self._films.get(self._front if recording is None else recording)
        return opened.keys if opened else {}

    @property
    def picture(self) -> FramePicture | None:
        """The picture that came last of the recording in front, of the frame it names."""
        opened = self._films.get(self._front)
        return opened.picture if opened else None

    @property
    def waiting(self) -> bool:
        """Whether the frame asked for last has not come yet."""
        opened = self._films.get(self._front)
        return bool(opened and _waits(opened))

    def broken(self, recording: str | None = None) -> ReelwrightError | None:
        """Why a recording cannot be read; None if it can, as far as is known."""
        opened = self._films.get(self._front if recording is None else recording)
        return opened.broken if opened else None

    def captions(self, recording: str | None = None) -> tuple[Cue, ...]:
        """What is said, as captions beside the film have it, by their start."""
        opened = self._films.get(self._front if recording is None else recording)
        return opened.captions if opened else ()

    def set_captions(self, recording: str, cues: Sequence[Cue]) -> None:
        """Take the captions that were read beside a film."""
        opened = self._films.get(recording)
        if opened is not None:
            opened.captions = tuple(cues)
            self.captioned.emit(recording)

    def start_of(self, frame: int, recording: str | None = None) -> Decimal:
        """When a frame begins, seconds on the recording's clock; the end for one past the last."""
        index = self.index(recording)
        if index is None:
            return Decimal("0.000000")
        if frame >= len(index.ticks):
            return index.clock(index.end_tick)
        return index.clock(index.ticks[max(frame, 0)])

    def frame_at(self, seconds: Decimal, recording: str | None = None) -> int:
        """Index of the frame whose start is nearest to a mark; at most one past the last."""
        index = self.index(recording)
        return 0 if index is None else index.index_at(seconds)

    def frame_during(self, seconds: Decimal, recording: str | None = None) -> int:
        """Index of the frame that is being shown at a time, while the film runs."""
        frame = self.frame_at(seconds, recording)
        frame -= frame > 0 and self.start_of(frame, recording) > seconds
        return min(frame, max(self.count(recording) - 1, 0))

    def boundary(self, seconds: Decimal | None = None, recording: str | None = None) -> Decimal:
        """Return a mark as the boundary between two frames that it means.

        Args:
            seconds: the mark; the start of the frame that is looked at if None.
            recording: id of the recording; the one in front if None.

        Returns:
            Start of a frame or end of the film, seconds with six decimals.
        """
        at = self.moment if seconds is None else seconds
        return self.start_of(self.frame_at(at, recording), recording)

    def count(self, recording: str | None = None) -> int:
        """Number of frames known so far."""
        index = self.index(recording)
        return 0 if index is None else len(index.ticks)

    def bring_to_front(self, recording: str) -> None:
        """Show another recording, at the frame it was left at."""
        if recording == self._front or recording not in self._films:
            return
        self._front = recording
        self.front_changed.emit(recording)
        self.show(self._films[recording].frame)

    def show(self, frame: int, *, patient: bool = False) -> None:
        """Wish to see a frame of the recording in front; the nearest there is.

        Args:
            frame: its index; below 0 means the first, past the end the last.
            patient: whether a frame that is being decoded may be shown first.
        """
        opened = self._films.get(self._front)
        if opened is None:
            return
        opened.frame = self._within(opened, frame)
        opened.running_to = None
        if patient and _waits(opened):
            opened.next = opened.frame
        else:
            self._ask(opened, opened.frame)
        self.moved.emit(self._front, opened.frame)

    def run_to(self, frame: int) -> bool:
        """While the film runs: have a frame shown, and be there when it is.

        Returns:
            Whether it was asked for; if not, the one asked for before has not come yet.
        """
        opened = self._films.get(self._front)
        if opened is None or _waits(opened):
            return False
        opened.running_to = self._within(opened, frame)
        self._ask(opened, opened.running_to)
        return True

    def run(self, on: bool) -> None:
        """Say whether the film in front runs: then frames to come are made ready."""
        opened = self._films.get(self._front)
        if opened is not None:
            opened.film.run(on)
            opened.running_to = None

    def sharpen(self) -> None:
        """Have the frame that is looked at once more, in its full size."""
        opened = self._films.get(self._front)
        if opened is not None and opened.asked == opened.frame:
            opened.film.show(opened.frame, full=True)

    def picture_strip(self, frames: Sequence[int]) -> None:
        """Have small pictures made of frames of the recording in front, as it is known now."""
        opened = self._films.get(self._front)
        if opened is not None and opened.index is not None:
            opened.film.picture_strip(opened.index, frames)

    def _ask(self, opened: _Open, frame: int) -> None:
        opened.next = None
        opened.asked, opened.asked_at = frame, time.monotonic()
        opened.film.show(frame)

    @staticmethod
    def _within(opened: _Open, frame: int) -> int:
        if opened.index is not None:
            frame = min(frame, len(opened.index.ticks) - 1)
        return max(frame, 0)

    def show_at(
        self, seconds: Decimal, recording: str | None = None, *, patient: bool = False
    ) -> None:
        """Wish to see the frame a mark means, bringing its recording to the front."""
        if recording is not None:
            self.bring_to_front(recording)
        self.show(self.frame_at(seconds), patient=patient)

    def _take(self, recording: str, event: Any) -> None:
        opened = self._films.get(recording)
        if opened is None:
            return
        match event:
            case Shown():
                self._take_picture(recording, opened, event)
            case Indexed():
                self._adopt(recording, opened, event)
            case KeyPicture():
                image = image_of(event.pixels)
                opened.keys[event.frame] = image
                self.key_pictured.emit(recording, event.frame, image)
            case StripPicture():
                self.strip_pictured.emit(recording, event.frame, image_of(event.pixels))
            case Surveyed():
                opened.analyses = event.analyses
                self.surveyed.emit(recording)
            case Reading():
                self.reading.emit(recording, event.job, event.done, event.total)
            case Failed():
                opened.broken = event.error
                self.failed.emit(recording, event.error)
            case Lost():
                self._take_loss(recording, opened, event)

    def _take_picture(self, recording: str, opened: _Open, event: Shown) -> None:
        if recording != self._front or event.frame != opened.asked:
            return
        opened.asked_at = None
        image = image_of(event.pixels)
        opened.picture = FramePicture(recording, event.frame, event.start, event.quality, image)
        if opened.running_to == event.frame:
            opened.running_to = None
            opened.frame = event.frame
            self.moved.emit(recording, event.frame)
        self.shown.emit(opened.picture)
        self._go_on(opened)

    def _take_loss(self, recording: str, opened: _Open, event: Lost) -> None:
        if event.frame == opened.asked:
            opened.asked_at = opened.running_to = None
            opened.picture = None
            self.failed.emit(recording, event.error)
            self._go_on(opened)

    def _go_on(self, opened: _Open) -> None:
        if opened.next is not None:
            self._ask(opened, opened.next)

    def _adopt(self, recording: str, opened: _Open, event: Indexed) -> None:
        """Take a better index, staying at the moment, whose frame may have another number."""
        before = opened.index
        at = self.start_of(opened.frame, recording) if before is not None else None
        running_to = opened.running_to
        reached = None if running_to is None else self.start_of(running_to, recording)
        opened.index, opened.exact = event.index, event.exact
        if at is not None:
            frame = min(event.index.index_at(at), len(event.index.ticks) - 1)
            again = frame != opened.frame or _waits(opened)
            opened.frame = frame
            if reached is not None:
                opened.running_to = self._within(opened, event.index.index_at(reached))
                self._ask(opened, opened.running_to)
            elif again and recording == self._front:
                self.show(frame)
        self.indexed.emit(recording)


def _waits(opened: _Open) -> bool:
    return opened.asked_at is not None and time.monotonic() - opened.asked_at < _PATIENCE


def _box() -> tuple[int, int]:
    """Return the largest size shown while walking, of half the screen; at rest comes the full."""
    screen = QGuiApplication.primaryScreen()
    if screen is None:
        return _LARGEST_BOX
    half = round(screen.size().width() * screen.devicePixelRatio() / 2)
    width = min(max(half, 640), _LARGEST_BOX[0])
    return width, width * 9 // 16
