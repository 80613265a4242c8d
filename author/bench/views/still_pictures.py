"""Sharp pictures of single frames, fetched beside the window's thread; a few are kept.

They come from a decoding process of their own, which is kept for a while: the film in front
stays where it is.
"""

from __future__ import annotations

import threading
from collections import OrderedDict
from dataclasses import dataclass
from pathlib import Path

from PyQt6.QtCore import QObject, QSize, Qt, pyqtSignal
from PyQt6.QtGui import QImage

from author.bench.images import image_of
from author.bench.session import Session
from author.errors import Cancelled, ReelwrightError
from author.progress import Cancel, Progress
from author.recording.index import FilmIndex
from author.recording.one_frame import SingleFrames

_BYTES = 96 * 1024 * 1024
"""What kept pictures may take: twelve of the largest."""
_LARGEST = 1920
"""Longer side of a picture in pixels: more than the pane has on a screen of 3840."""
_JOB = "still pictures"
_LOOK_EVERY = 0.05
"""Seconds between looks at whether the job is to end."""
_IDLE = 400
"""Looks without a wish, after which the process is let go: twenty seconds."""

Key = tuple[str, int, int]
"""Recording, frame, and its tick: a better index may give the frame another number."""


@dataclass(frozen=True, slots=True, eq=False)
class _Wish:
    key: Key
    path: Path
    index: FilmIndex


class StillPictures(QObject):
    """Gives the sharp picture of a frame, at once if it was fetched before."""

    came = pyqtSignal(str, int)
    """A picture that was wished can be had: recording, frame."""
    failed = pyqtSignal(str, int, object)
    """It cannot be fetched: recording, frame, error."""
    _answered = pyqtSignal(object, object)

    def __init__(self, session: Session, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._session = session
        self._kept: OrderedDict[Key, QImage] = OrderedDict()
        self._wanted: Key | None = None
        self._lock = threading.Lock()
        self._wish: _Wish | None = None
        self._wake = threading.Event()
        self._answered.connect(self._take)  # from another thread: it waits for this one

    @property
    def waiting(self) -> bool:
        """Whether a picture is on its way."""
        return self._wanted is not None

    def of(self, recording: str, frame: int) -> QImage | None:
        """Return a picture that is there, or None and fetch it; only the newest wish counts."""
        index, path = self._session.films.index(recording), self._session.films.path(recording)
        if index is None or path is None or not 0 <= frame < len(index.ticks):
            return None
        key = (recording, frame, index.ticks[frame])
        if key in self._kept:
            self._kept.move_to_end(key)
            self._wanted = None
            return self._kept[key]
        if key != self._wanted:
            self._wanted = key
            self._ask(_Wish(key, path, index))
        return None

    def rest(self) -> None:
        """Let the process go: no still is looked at."""
        self._wanted = None
        self._session.jobs.cancel(_JOB)

    def _ask(self, wish: _Wish) -> None:
        with self._lock:
            self._wish = wish
            self._wake.set()
        if not self._session.jobs.is_running(_JOB):
            self._session.jobs.run(_JOB, self._serve, self._go_on, self._break_off)

    def _serve(self, _progress: Progress, cancel: Cancel) -> None:
        """Fetch what is wished until nothing was wished for a while; on a thread of its own."""
        source: SingleFrames | None = None
        opened: FilmIndex | None = None
        idle = 0
        try:
            while not cancel.requested and idle < _IDLE:
                idle += 1
                if not self._wake.wait(_LOOK_EVERY):
                    continue
                with self._lock:
                    wish, self._wish = self._wish, None
                    self._wake.clear()
                if wish is None:
                    continue
                idle = 0
                if source is None or opened is not wish.index:
                    if source is not None:
                        source.close()
                    source, opened = SingleFrames(wish.path, wish.index, cancel), wish.index
                self._answered.emit(wish.key, _fetched(source, wish.key[1]))
        finally:
            if source is not None:
                source.close()

    def _go_on(self, _nothing: object) -> None:
        """Serve again if something was wished just as the job ended."""
        if self._wake.is_set():
            self._session.jobs.run(_JOB, self._serve, self._go_on, self._break_off)

    def _break_off(self, error: ReelwrightError) -> None:
        if self._wanted is not None:
            self._take(self._wanted, error)

    def _take(self, key: Key, answer: object) -> None:
        if key == self._wanted:
            self._wanted = None
        if isinstance(answer, QImage):
            self._kept[key] = answer
            while len(self._kept) > 1 and self._bytes() > _BYTES:
                self._kept.popitem(last=False)
            self.came.emit(key[0], key[1])
        else:
            self.failed.emit(key[0], key[1], answer)

    def _bytes(self) -> int:
        return sum(image.sizeInBytes() for image in self._kept.values())


def _fetched(source: SingleFrames, frame: int) -> QImage | ReelwrightError:
    """Return a frame ready to be drawn: making it so would hold the window up."""
    try:
        image = image_of(source.frame(frame))
    except Cancelled:
        raise
    except ReelwrightError as error:
        return error
    if max(image.width(), image.height()) > _LARGEST:
        most = QSize(_LARGEST, _LARGEST)
        smooth = Qt.TransformationMode.SmoothTransformation
        image = image.scaled(most, Qt.AspectRatioMode.KeepAspectRatio, smooth)
    return image.convertToFormat(QImage.Format.Format_RGB32)
