"""Single frames of a film, whole, while others walk through the film."""

from __future__ import annotations

from multiprocessing.shared_memory import SharedMemory
from typing import TYPE_CHECKING

from author.errors import InputError
from author.recording.frame_process import FrameProcess
from author.recording.process import Decoder

if TYPE_CHECKING:
    from author.recording.high_range import Transfer
    from author.recording.picture import Pixels


class SingleFrames(FrameProcess):
    """Gives frames of one film as stills have them, out of a process of its own."""

    _transfer: Transfer | None = None

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
        if self._decoder is None:
            from author.recording.colour import colours_of

            self._transfer = colours_of(self._path, self._index, self._cancel).high_range
        return super()._ready()
