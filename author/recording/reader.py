"""Exact frames of a film, by index, out of the decoding process."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass
from decimal import Decimal
from multiprocessing.shared_memory import SharedMemory
from pathlib import Path
from types import TracebackType
from typing import Any

import numpy as np

from author.errors import InputError, MachineError
from author.procedure.facts import RecordingFacts
from author.progress import SILENT, Cancel
from author.recording.knowing import known
from author.recording.opening import check_file
from author.recording.picture import Pixels
from author.recording.process import Decoder


@dataclass(frozen=True, slots=True, eq=False)
class Frame:
    """One frame as it is shown.

    Attributes:
        pixels: height × width × 3, RGB, one byte each; a copy of its own.
        index: number of the frame, from 0.
        start: when it is shown, seconds on the recording's clock.
    """

    pixels: Pixels
    index: int
    start: Decimal


class FrameReader:
    """Reads frames of one film; a context manager that ends its process.

    The process starts with the first frame asked for.
    """

    def __init__(self, path: Path, facts: RecordingFacts, cancel: Cancel | None = None) -> None:
        """Prepare to read.

        Args:
            path: the film.
            facts: what is known of it; it must still be the same film.
            cancel: looked at while waiting for a frame.

        Raises:
            InputError: it is not the film the facts speak of.
            MachineError: it cannot be read.
            Cancelled: the user asked to stop.
        """
        self._path = path
        self._facts = facts
        self._cancel = cancel
        self._state = state_of(path)
        digest, self._index = known(path, SILENT, cancel)
        if digest != facts.sha256:
            raise changed(path)
        self._decoder: Decoder | None = None
        self._memory: SharedMemory | None = None

    def __enter__(self) -> FrameReader:
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

    def frame(self, index: int) -> Frame:
        """Return one frame; raises as ``frames``."""
        return next(iter(list(self.frames([index]))))

    def at(self, seconds: Decimal) -> Frame:
        """Return the frame a mark means: the one whose start is nearest.

        Args:
            seconds: a mark on the recording's clock; the film's end means its last frame.
        """
        return self.frame(min(self._facts.index_at(seconds), self._facts.frame_count - 1))

    def frames(self, indices: Sequence[int]) -> Iterator[Frame]:
        """Yield the frames asked for, each once, in rising order, in one pass.

        Raises:
            InputError: an index is outside the film, or the film changed.
            MachineError: the decoder crashed or memory ran out.
            Cancelled: the user asked to stop.
        """
        wanted = sorted(set(indices))
        if not wanted:
            return
        if wanted[0] < 0 or wanted[-1] >= self._facts.frame_count:
            bad = wanted[0] if wanted[0] < 0 else wanted[-1]
            raise InputError(
                f"has no frame {bad}: it has {self._facts.frame_count}, counted from 0",
                file=self._path,
            )
        complete = False
        try:
            decoder, memory = self._ready()
            for answer in decoder.ask("frames", wanted):
                if answer[0] == "done":
                    complete = True
                    return
                frame = self._copy(memory, answer[1])
                if state_of(self._path) != self._state:
                    raise changed(self._path)
                decoder.send("next")
                yield frame
        finally:
            if not complete:  # the process is in the middle of something: end it
                self.close()

    def _copy(self, memory: SharedMemory, index: int) -> Frame:
        width, height = self._facts.width, self._facts.height
        shared: np.ndarray[Any, np.dtype[np.uint8]] = np.ndarray(
            (height, width, 3), np.uint8, memory.buf
        )
        pixels = shared.copy()
        del shared  # or the memory could not be closed
        return Frame(pixels, index, self._facts.frame_starts[index])

    def _ready(self) -> tuple[Decoder, SharedMemory]:
        if self._decoder is not None and self._memory is not None:
            return self._decoder, self._memory
        size = self._facts.width * self._facts.height * 3
        try:
            self._memory = SharedMemory(create=True, size=size)
        except OSError as error:
            raise MachineError(f"no memory for a picture ({error.strerror})") from None
        self._decoder = Decoder(self._path, self._cancel)
        plain = self._index.to_plain()
        for answer in self._decoder.ask("open", str(self._path), plain, self._memory.name):
            if answer[0] == "ready":
                break
        return self._decoder, self._memory


def state_of(path: Path) -> tuple[int, int, int]:
    """Return what differs when a file has been written to or another took its place.

    Raises:
        InputError: it is gone.
        MachineError: it cannot be asked.
    """
    try:
        status = path.stat()
    except OSError:
        check_file(path)
        status = path.stat()
    return status.st_size, status.st_mtime_ns, status.st_ino


def changed(path: Path) -> InputError:
    """Return the error that says a film is not the one its facts speak of."""
    return InputError(
        "is not the recording it was: its content changed",
        remedy="Bring back the original file, or take the recording into the procedure anew",
        file=path,
    )
