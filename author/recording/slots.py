"""Pictures from the decoding process to its parent: a few slots of shared memory in turn.

A slot carries the number of its answer before and after the pixels. A parent that was too
slow sees another number and drops the picture: a newer one is on its way.
"""

from __future__ import annotations

import struct
import threading
from multiprocessing.connection import Connection
from multiprocessing.shared_memory import SharedMemory
from typing import TYPE_CHECKING, Any

import numpy as np

from author.recording.kept_frames import HEADER, SLOTS, Layout

if TYPE_CHECKING:
    from author.recording.picture import Pixels

_NUMBER = struct.Struct("<qq")


class Slots:
    """The decoding process's side: writes pictures and tells of them. Threads may share it."""

    def __init__(self, memory: str, layout: Layout, pipe: Connection) -> None:
        self._memory = SharedMemory(name=memory)
        self._size = layout.slot_bytes
        self._pipe = pipe
        self._count = 0
        self._lock = threading.Lock()

    def show(self, ticket: int, frame: int, tick: int, quality: str, pixels: Pixels) -> None:
        """Hand a picture over of the frame that begins at a tick."""
        height, width = pixels.shape[:2]
        with self._lock:
            self._count += 1
            start = self._count % SLOTS * self._size
            buffer = self._memory.buf
            assert buffer is not None  # noqa: S101 - it is not closed
            _NUMBER.pack_into(buffer, start, self._count, 0)
            target: np.ndarray[Any, np.dtype[np.uint8]] = np.ndarray(
                (height, width, 3), np.uint8, buffer, start + HEADER
            )
            target[...] = pixels
            del target  # or the memory could not be closed
            _NUMBER.pack_into(buffer, start, self._count, self._count)
            self._pipe.send(("shown", ticket, frame, tick, quality, self._count, width, height))

    def lost(self, ticket: int, frame: int, problem: str, remedy: str) -> None:
        """Say that a frame cannot be shown."""
        with self._lock:
            self._pipe.send(("lost", ticket, frame, problem, remedy))

    def close(self) -> None:
        """Let go of the memory."""
        self._memory.close()


def take(
    memory: SharedMemory, slot_bytes: int, number: int, width: int, height: int
) -> Pixels | None:
    """Return a copy of the picture with this number, or None if it was written over.

    Args:
        memory: the shared memory.
        slot_bytes: size of one slot.
        number: of the answer that told of the picture.
        width: of the picture.
        height: of the picture.
    """
    start = number % SLOTS * slot_bytes
    shared: np.ndarray[Any, np.dtype[np.uint8]] = np.ndarray(
        (height, width, 3), np.uint8, memory.buf, start + HEADER
    )
    pixels = shared.copy()
    del shared
    assert memory.buf is not None  # noqa: S101 - it is not closed
    whole: bool = _NUMBER.unpack_from(memory.buf, start) == (number, number)
    return pixels if whole else None
