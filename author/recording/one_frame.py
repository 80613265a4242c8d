"""Single frames of a film, whole, while others walk through the film."""

from __future__ import annotations

from contextlib import suppress
from multiprocessing.shared_memory import SharedMemory
from pathlib import Path
from types import TracebackType
from typing import TYPE_CHECKING, Any

from author.errors import InputError, MachineError
from author.progress import Cancel
from author.recording.index import FilmIndex
from author.recording.process import Decoder

if TYPE_CHECKING:
    import numpy as np

    from author.recording.high_range import Transfer
    from author.recording.picture import Pixels


class SingleFrames:
    """Gives frames of one film as stills have them, out of a process of its own.

    A context manager; for one thread. The process starts with the first frame asked for.
    """

    def __init__(self, path: Path, index: FilmIndex, cancel: Cancel | None = None) -> None:
        """Prepare to read.

        Args:
            path: the film.
            index: its index, quick or exact.
            cancel: looked at while waiting.
        """
        self._path = path
        self._index = index
        self._cancel = cancel
        self._decoder: Decoder | None = None
        self._memory: SharedMemory | None = None
        self._transfer: Transfer | None = None

    def __enter__(self) -> SingleFrames:
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        self.close()

    def close(self) -> None:
        """End the process and give back its memory. May be called twice."""
        if self._decoder is not None:
            self._decoder.close()
            self._decoder = None
        if self._memory is not None:
            self._memory.close()
            with suppress(FileNotFoundError):
                self._memory.unlink()
            self._memory = None

    def frame(self, number: int) -> Pixels:
        """Return one whole frame, upright and fit for an ordinary screen.

        Args:
            number: index of the frame in the index given.

        Returns:
            Height × width × 3, RGB, one byte each.

        Raises:
            InputError: there is no such frame, or the film cannot be read.
            MachineError: the decoder crashed or memory ran out.
            Cancelled: the user asked to stop.
        """
        count = len(self._index.ticks)
        if not 0 <= number < count:
            raise InputError(f"has no frame {number}: it has {count}", file=self._path)
        try:
            pixels = self._decoded(number)
        except BaseException:
            self.close()  # the process is in the middle of something
            raise
        if self._transfer is None:
            return pixels
        from author.recording.high_range import lowered_still

        return lowered_still(pixels, self._transfer)

    def _decoded(self, number: int) -> Pixels:
        decoder, memory = self._ready()
        found: Pixels | None = None
        for answer in decoder.ask("frames", [number]):
            if answer[0] == "done":
                break
            found = self._copy(memory)
            decoder.send("next")
        if found is None:
            raise InputError(f"frame {number} cannot be decoded", file=self._path)
        return found

    def _ready(self) -> tuple[Decoder, SharedMemory]:
        if self._decoder is not None and self._memory is not None:
            return self._decoder, self._memory
        from author.recording.colour import colours_of

        self._transfer = colours_of(self._path, self._index, self._cancel).high_range
        width, height = self._index.geometry.shown
        try:
            self._memory = SharedMemory(create=True, size=width * height * 3)
        except OSError as error:
            raise MachineError(f"no memory for a picture ({error.strerror})") from None
        self._decoder = Decoder(self._path, self._cancel)
        plain = self._index.to_plain()
        for answer in self._decoder.ask("open", str(self._path), plain, self._memory.name):
            if answer[0] == "ready":
                break
        return self._decoder, self._memory

    def _copy(self, memory: SharedMemory) -> Pixels:
        import numpy as np

        width, height = self._index.geometry.shown
        shared: np.ndarray[Any, np.dtype[np.uint8]] = np.ndarray(
            (height, width, 3), np.uint8, memory.buf
        )
        return shared.copy()
