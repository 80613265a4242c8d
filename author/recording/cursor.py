"""A cursor in a film: goes forward, back and anywhere, and always shows the newest wish first."""

from __future__ import annotations

import threading
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from decimal import Decimal
from multiprocessing.connection import Connection
from multiprocessing.shared_memory import SharedMemory
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal

from author.errors import Cancelled, MachineError, ReelwrightError
from author.progress import Cancel
from author.recording.index import FilmIndex
from author.recording.kept_frames import SLOTS, layout_for
from author.recording.process import Decoder
from author.recording.slots import take

if TYPE_CHECKING:
    from author.recording.picture import Pixels, Size

CACHE_BYTES = 256 * 1024 * 1024
_MOST_RESTARTS = 3

Quality = Literal["preview", "reduced", "full"]


@dataclass(frozen=True, slots=True, eq=False)
class Shown:
    """A picture of one frame, perhaps to be followed by a better one.

    Attributes:
        ticket: of the wish it answers.
        frame: index of the frame; it is always this very frame.
        start: when it is shown, seconds on the recording's clock.
        quality: ``preview`` (about 320 × 180), ``reduced`` (fits the box) or ``full``.
        pixels: height × width × 3, RGB.
    """

    ticket: int
    frame: int
    start: Decimal
    quality: Quality
    pixels: Pixels


@dataclass(frozen=True, slots=True)
class Lost:
    """A frame that cannot be shown, and why.

    Attributes:
        ticket: of the wish.
        frame: index of the frame.
        error: what to tell the user.
    """

    ticket: int
    frame: int
    error: ReelwrightError


Heard = Callable[[Shown | Lost], None]


def _walk(pipe: Connection) -> None:
    """Walk, in the process beside: only there the media libraries are loaded."""
    from author.recording.walking import serve_walk

    serve_walk(pipe)


class Cursor:
    """Walks through one film. A context manager; all methods may be called from one thread.

    Wishes return at once. Pictures come to ``heard`` on a thread of the cursor's own: for
    one wish first the best that is there (a preview), then the frame reduced to the box,
    then, if it was asked for, the full frame. A newer wish makes older ones void.
    """

    def __init__(
        self,
        path: Path,
        index: FilmIndex,
        heard: Heard,
        *,
        box: Size = (1280, 720),
        cache_bytes: int = CACHE_BYTES,
    ) -> None:
        """Open the film in a process of its own.

        Args:
            path: the film.
            index: its index, quick or exact.
            heard: takes pictures, on another thread.
            box: the largest size shown while walking.
            cache_bytes: bytes that decoded frames may take.

        Raises:
            MachineError: there is no memory, or no process can be started.
        """
        self._path = path
        self._index = index
        self._heard = heard
        self._layout = layout_for(index, box, cache_bytes)
        self._preview: Path | None = None
        self._running = False
        self._ticket = 0
        self._last: tuple[int, int, bool] | None = None
        self._restarts = 0
        self._cancel = Cancel()
        self._lock = threading.Lock()
        try:
            self._memory = SharedMemory(create=True, size=self._layout.slot_bytes * SLOTS)
        except OSError as error:
            raise MachineError(f"no memory for pictures ({error.strerror})") from None
        self._decoder = self._started()
        self._thread = threading.Thread(target=self._listen, name="reelwright-cursor")
        self._thread.start()

    def __enter__(self) -> Cursor:
        return self

    def __exit__(self, *_: object) -> None:
        self.close()

    def show(self, frame: int, *, full: bool = False) -> int:
        """Wish to see a frame; older wishes are void.

        Args:
            frame: its index.
            full: whether the full frame is wanted after the reduced one.

        Returns:
            The ticket that the answers carry.
        """
        with self._lock:
            self._ticket += 1
            self._last = (self._ticket, frame, full)
            with suppress(MachineError, Cancelled):  # its death is told by the thread that listens
                self._decoder.send("show", *self._last)
            return self._ticket

    def adopt(self, index: FilmIndex) -> None:
        """Go on with a better index of the same film."""
        with self._lock:
            self._index = index
            with suppress(MachineError, Cancelled):
                self._decoder.send("index", index.to_plain())

    def use_preview(self, folder: Path) -> None:
        """Show pictures of the preview in a folder, which may still be growing."""
        with self._lock:
            self._preview = folder
            with suppress(MachineError, Cancelled):
                self._decoder.send("preview", str(folder))

    def run(self, on: bool) -> None:
        """Say whether the film runs: then frames to come are decoded ahead, none before."""
        with self._lock:
            self._running = on
            with suppress(MachineError, Cancelled):
                self._decoder.send("run", on)

    def close(self) -> None:
        """End the process, the thread and the memory. May be called twice."""
        self._cancel.request()
        if self._thread is not threading.current_thread():
            self._thread.join()
        with self._lock:
            self._decoder.close()
        self._memory.close()
        with suppress(FileNotFoundError):
            self._memory.unlink()

    def _started(self) -> Decoder:
        decoder = Decoder(self._path, self._cancel, _walk)
        try:
            plain = self._index.to_plain()
            decoder.send("open", str(self._path), plain, self._memory.name, self._layout)
            if self._preview is not None:
                decoder.send("preview", str(self._preview))
            decoder.send("run", self._running)
        except (MachineError, Cancelled):
            decoder.close()
            raise
        return decoder

    def _listen(self) -> None:
        while True:
            try:
                answer = self._decoder.receive()
            except Cancelled:
                return
            except (ReelwrightError, RuntimeError) as error:
                if not self._again(error):
                    return
                continue
            self._tell(answer)

    def _tell(self, answer: tuple[Any, ...]) -> None:
        match answer:
            case ("shown", ticket, frame, tick, quality, number, width, height):
                size = self._layout.slot_bytes
                pixels = take(self._memory, size, number, width, height)
                # A picture from before a better index may go by another number.
                numbered = self._index.ticks[frame : frame + 1] == (tick,)
                if pixels is not None and numbered and ticket == self._ticket:
                    start = self._index.clock(tick)
                    self._heard(Shown(ticket, frame, start, quality, pixels))
            case ("lost", ticket, frame, problem, remedy):
                error = ReelwrightError(problem, remedy=remedy, file=self._path)
                self._heard(Lost(ticket, frame, error))

    def _again(self, error: Exception) -> bool:
        """After the process died: say so, and start another one, a few times."""
        told = error if isinstance(error, ReelwrightError) else MachineError(str(error))
        with self._lock:
            last = self._last or (0, 0, False)
            self._decoder.close()
            self._restarts += 1
            if not self._cancel.requested and self._restarts <= _MOST_RESTARTS:
                with suppress(MachineError, Cancelled):
                    self._decoder = self._started()
                    self._last = None  # what killed it is not asked for again
                    self._heard(Lost(last[0], last[1], told))
                    return True
        self._heard(Lost(last[0], last[1], told))
        return False
