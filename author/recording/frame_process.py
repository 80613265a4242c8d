"""A decoding process of its own and the memory it gives whole frames through."""

from __future__ import annotations

from contextlib import suppress
from multiprocessing.shared_memory import SharedMemory
from pathlib import Path
from types import TracebackType
from typing import TYPE_CHECKING, Any, Self

from author.errors import MachineError
from author.progress import Cancel
from author.recording.index import FilmIndex
from author.recording.process import Decoder

if TYPE_CHECKING:
    import numpy as np

    from author.recording.picture import Pixels


class FrameProcess:
    """A context manager for one thread; the process starts when it is first needed.

    Args:
        path: the film.
        index: its index, quick or exact.
        cancel: looked at while waiting.
    """

    def __init__(self, path: Path, index: FilmIndex, cancel: Cancel | None = None) -> None:
        self._path = path
        self._index = index
        self._cancel = cancel
        self._decoder: Decoder | None = None
        self._memory: SharedMemory | None = None

    def __enter__(self) -> Self:
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

    def _ready(self) -> tuple[Decoder, SharedMemory]:
        """Return the process, with the film open, and its memory.

        Raises:
            InputError: the film cannot be read.
            MachineError: the decoder crashed or memory ran out.
            Cancelled: the user asked to stop.
        """
        if self._decoder is not None and self._memory is not None:
            return self._decoder, self._memory
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
        """Return the frame that lies in the memory: height × width × 3, RGB."""
        import numpy as np

        width, height = self._index.geometry.shown
        shared: np.ndarray[Any, np.dtype[np.uint8]] = np.ndarray(
            (height, width, 3), np.uint8, memory.buf
        )
        return shared.copy()
