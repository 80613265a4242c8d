"""Exact frames of a film, by index, out of the decoding process."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path

from author.errors import InputError
from author.procedure.facts import RecordingFacts
from author.progress import SILENT, Cancel
from author.recording.frame_process import FrameProcess
from author.recording.knowing import known
from author.recording.opening import check_file
from author.recording.picture import Pixels


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


class FrameReader(FrameProcess):
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
        self._facts = facts
        self._state = state_of(path)
        digest, index = known(path, SILENT, cancel)
        if digest != facts.sha256:
            raise changed(path)
        super().__init__(path, index, cancel)

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
                start = self._facts.frame_starts[answer[1]]
                frame = Frame(self._copy(memory), answer[1], start)
                if state_of(self._path) != self._state:
                    raise changed(self._path)
                decoder.send("next")
                yield frame
        finally:
            if not complete:  # the process is in the middle of something: end it
                self.close()


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
