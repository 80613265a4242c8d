"""A film that is open for a person: there at once, better by and by.

First the quick index and the first frame, then pictures of the key frames, then the
survey: exact index, preview, what is seen and heard. Walking works all the time.
"""

from __future__ import annotations

import threading
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING

from author.errors import Cancelled, MachineError, ReelwrightError
from author.progress import Cancel, Progress
from author.recording import cache
from author.recording.cursor import CACHE_BYTES, Cursor, Lost, Shown
from author.recording.index import FilmIndex
from author.recording.knowing import known, quick_index, sha256_of
from author.recording.process import Decoder
from author.recording.strip import Strip

if TYPE_CHECKING:
    from author.recording.analyses import Analyses
    from author.recording.picture import Pixels, Size

_STRIP = 600
"""Most key frames that are pictured."""


@dataclass(frozen=True, slots=True)
class Indexed:
    """An index of the film is there.

    Attributes:
        index: the index.
        exact: whether every frame was decoded for it; until then it may be only a part.
    """

    index: FilmIndex
    exact: bool


@dataclass(frozen=True, slots=True, eq=False)
class KeyPicture:
    """A small picture of a key frame.

    Attributes:
        frame: index of the frame in the index told last.
        start: when it is shown, seconds on the recording's clock.
        pixels: height × width × 3, RGB.
    """

    frame: int
    start: Decimal
    pixels: Pixels


@dataclass(frozen=True, slots=True, eq=False)
class StripPicture:
    """A small picture that was wished for.

    Attributes:
        frame: index of the frame in the index the wish was of.
        pixels: height × width × 3, RGB.
    """

    frame: int
    pixels: Pixels


@dataclass(frozen=True, slots=True)
class Reading:
    """How far the reading of the film is: what is done, how much, of how much."""

    job: str
    done: int
    total: int | None


@dataclass(frozen=True, slots=True, eq=False)
class Surveyed:
    """All is known of the film."""

    analyses: Analyses


@dataclass(frozen=True, slots=True)
class Failed:
    """The film cannot be opened, or its reading came to nothing; what was shown stays."""

    error: ReelwrightError


Event = Indexed | KeyPicture | StripPicture | Reading | Surveyed | Failed | Shown | Lost


class Film:
    """An open film. A context manager; closing it ends its processes and threads."""

    def __init__(
        self,
        path: Path,
        heard: Callable[[Event], None],
        *,
        box: Size = (1280, 720),
        cache_bytes: int = CACHE_BYTES,
    ) -> None:
        """Begin to open the film; returns at once.

        Args:
            path: the film.
            heard: takes what comes up, on threads of the film's own.
            box: the largest size shown while walking.
            cache_bytes: bytes that decoded frames may take.
        """
        self._path = path
        self._heard = heard
        self._box = box
        self._cache_bytes = cache_bytes
        self._cancel = Cancel()
        self._lock = threading.Lock()
        self._cursor: Cursor | None = None
        self._strip = Strip(path, lambda frame, pixels: self._tell(StripPicture(frame, pixels)))
        self._wish: tuple[int, bool] = (0, False)
        self._running = False
        self._thread = threading.Thread(target=self._open, name="reelwright-film")
        self._thread.start()

    def __enter__(self) -> Film:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def show(self, frame: int, *, full: bool = False) -> None:
        """Wish to see a frame of the index told last; older wishes are void.

        Args:
            frame: its index.
            full: whether the full frame is wanted after the reduced one.
        """
        with self._lock:
            self._wish = (frame, full)
            if self._cursor is not None:
                self._cursor.show(frame, full=full)

    def run(self, on: bool) -> None:
        """Say whether the film runs: then frames to come are decoded ahead, none before."""
        with self._lock:
            self._running = on
            if self._cursor is not None:
                self._cursor.run(on)

    def picture_strip(self, index: FilmIndex, frames: Sequence[int]) -> None:
        """Wish for small pictures out of the preview; each comes as a ``StripPicture``.

        Args:
            index: the index told last.
            frames: indices of frames in it; those the preview does not hold are left out.
        """
        self._strip.want(index, frames)

    def close(self) -> None:
        """Stop everything and wait for its end. May be called twice."""
        self._cancel.request()
        self._strip.close()
        self._thread.join()
        if self._cursor is not None:
            self._cursor.close()

    def _open(self) -> None:
        try:
            index = self._quick()
            if index is not None:
                self._picture_keys(index)
            self._survey()
        except Cancelled:
            pass
        except ReelwrightError as error:
            self._tell(Failed(error))
        except Exception as error:
            self._tell(Failed(MachineError(f"the reading failed: {error!r}", file=self._path)))

    def _tell(self, event: Event) -> None:
        if not self._cancel.requested:
            self._heard(event)

    def _quick(self) -> FilmIndex | None:
        index = quick_index(self._path, self._part, self._progress(), self._cancel)
        if index is not None:
            self._adopt(index, exact=False)
        return index

    def _part(self, index: FilmIndex) -> None:
        self._adopt(index, exact=False)

    def _adopt(self, index: FilmIndex, *, exact: bool) -> None:
        with self._lock:
            if self._cursor is None:
                self._cursor = Cursor(
                    self._path, index, self._tell, box=self._box, cache_bytes=self._cache_bytes
                )
                self._cursor.run(self._running)
                frame, full = self._wish
                self._cursor.show(min(frame, len(index.ticks) - 1), full=full)
            else:
                self._cursor.adopt(index)
        self._tell(Indexed(index, exact))

    def _picture_keys(self, index: FilmIndex) -> None:
        digest = cache.load_digest(self._path)
        if digest is not None and cache.load_index(digest) is not None:
            return  # the preview shows more
        with Decoder(self._path, self._cancel) as decoder:
            for answer in decoder.ask("keys", str(self._path), index.to_plain(), _STRIP):
                if answer[0] == "done":
                    return
                start = index.clock(index.ticks[answer[1]])
                self._tell(KeyPicture(answer[1], start, answer[2]))

    def _survey(self) -> None:
        progress = self._progress()
        digest = cache.load_digest(self._path) or sha256_of(self._path, progress, self._cancel)
        self._use_preview(digest)
        _, index = known(self._path, progress, self._cancel)
        self._adopt(index, exact=True)
        from author.recording.analyses import analyses_of

        analyses = analyses_of(self._path, progress, self._cancel)
        self._use_preview(digest)
        self._tell(Surveyed(analyses))

    def _use_preview(self, digest: str) -> None:
        place = cache.use_preview(digest)
        self._strip.use_preview(place)
        with self._lock:
            if self._cursor is not None:
                self._cursor.use_preview(place)

    def _progress(self) -> Progress:
        return _Told(self._tell)


class _Told:
    """A progress that tells of itself as events."""

    def __init__(self, tell: Callable[[Event], None]) -> None:
        self._tell = tell

    def report(self, job: str, done: int, total: int | None) -> None:
        """Take one report."""
        self._tell(Reading(job, done, total))
