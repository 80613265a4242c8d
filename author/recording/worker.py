"""The decoding process: takes requests from a pipe, puts pictures into shared memory.

It is a process of its own so that a decoder that crashes on a bad file takes nothing
else with it. It holds nothing that must not be lost.
"""

from __future__ import annotations

import os
import signal
import time
import traceback
from contextlib import suppress
from multiprocessing.connection import Connection
from multiprocessing.shared_memory import SharedMemory
from pathlib import Path
from typing import Any

import numpy as np
from av.video.frame import VideoFrame

from author.errors import InputError, MachineError
from author.memory import give_back_at_once
from author.recording.index import FilmIndex
from author.recording.picture import Painter, Pixels
from author.recording.seeking import Seeker

_TELL_EVERY = 0.1  # seconds
_SAMPLES = 1 << 20


def serve(pipe: Connection) -> None:
    """Answer requests until the pipe closes.

    Requests are tuples: ``("survey", path, folder)``, ``("packets", path)``,
    ``("keys", path, index, most)``,
    ``("strip", folder, index, frames)`` (None for the index of before),
    ``("sound", path, index, rate)``,
    ``("open", path, index, memory)``, ``("frames", indices)``. Answers are
    ``("progress", done, total)``, ``("part", plain)``, ``("index", plain)``,
    ``("picture", frame, pixels)``, ``("samples", bytes)``, ``("ready",)``,
    ``("frame", index)`` (which waits for any word before the memory is used again),
    ``("done",)``, and for failures ``("input" | "machine" | "bug", problem, remedy)``.
    """
    signal.signal(signal.SIGINT, signal.SIG_IGN)  # the parent decides when to stop
    give_back_at_once()
    session = _Session(pipe)
    try:
        while True:
            request = pipe.recv()
            try:
                session.answer(request)
            except (EOFError, BrokenPipeError, ConnectionResetError):
                raise
            except InputError as error:
                pipe.send(("input", error.problem, error.remedy))
            except MachineError as error:
                pipe.send(("machine", error.problem, error.remedy))
            except MemoryError:
                pipe.send(("machine", "needs more memory than there is", ""))
            except Exception:
                pipe.send(("bug", traceback.format_exc(), ""))
    except (EOFError, BrokenPipeError, ConnectionResetError):
        pass  # the parent is gone or has closed
    finally:
        session.close()
        pipe.close()


def _be_modest() -> None:
    """Let the window and the cursor have the processor first, where the system knows how."""
    with suppress(AttributeError, OSError):
        os.nice(5)


class _Session:
    def __init__(self, pipe: Connection) -> None:
        self._pipe = pipe
        self._seeker: Seeker | None = None
        self._strip_index: FilmIndex | None = None
        self._painter: Painter | None = None
        self._memory: SharedMemory | None = None
        self._shape = (0, 0, 3)
        self._told = 0.0

    def answer(self, request: tuple[Any, ...]) -> None:
        # Each request loads what it needs: most processes live for a few frames only.
        match request:
            case ("survey", path, folder):
                from author.recording.survey import survey

                _be_modest()
                found = survey(Path(path), None if folder is None else Path(folder), self._tell)
                self._pipe.send(("index", found.index.to_plain()))
            case ("packets", path):
                from author.recording.packets import index_packets

                quick = index_packets(Path(path), self._tell, self._part)
                self._pipe.send(("index", None if quick is None else quick.to_plain()))
            case ("keys", path, plain, most):
                from author.recording.key_pictures import key_pictures

                key_pictures(Path(path), FilmIndex.from_plain(plain), most, self._picture)
                self._pipe.send(("done",))
            case ("strip", folder, plain, frames):
                from author.recording.key_pictures import strip_pictures

                _be_modest()
                if plain is not None:
                    self._strip_index = FilmIndex.from_plain(plain)
                assert self._strip_index is not None  # noqa: S101 - it comes with the first
                strip_pictures(Path(folder), self._strip_index, frames, self._picture)
                self._pipe.send(("done",))
            case ("sound", path, plain, rate):
                from author.recording.sound_reading import read_sound

                samples = read_sound(Path(path), FilmIndex.from_plain(plain), rate, self._tell)
                for at in range(0, len(samples), _SAMPLES):
                    self._pipe.send(("samples", samples[at : at + _SAMPLES].tobytes()))
                self._pipe.send(("done",))
            case ("open", path, plain, memory):
                self._open(Path(path), FilmIndex.from_plain(plain), memory)
                self._pipe.send(("ready",))
            case ("frames", indices):
                assert self._seeker is not None  # noqa: S101 - "open" comes first
                self._seeker.frames(indices, self._give)
                self._pipe.send(("done",))

    def close(self) -> None:
        if self._seeker is not None:
            self._seeker.close()
        if self._memory is not None:
            self._memory.close()

    def _open(self, path: Path, index: FilmIndex, memory: str) -> None:
        width, height = index.geometry.shown
        self._shape = (height, width, 3)
        self._memory = SharedMemory(name=memory)
        self._painter = Painter(index.geometry)
        self._seeker = Seeker(path, index)

    def _give(self, index: int, frame: VideoFrame) -> None:
        assert self._painter is not None  # noqa: S101 - "open" comes first
        assert self._memory is not None  # noqa: S101 - "open" comes first
        target: np.ndarray[Any, np.dtype[np.uint8]] = np.ndarray(
            self._shape, np.uint8, self._memory.buf
        )
        target[...] = self._painter.paint(frame)
        del target  # or the memory could not be closed
        self._pipe.send(("frame", index))
        self._pipe.recv()

    def _part(self, index: FilmIndex) -> None:
        self._pipe.send(("part", index.to_plain()))

    def _picture(self, frame: int, pixels: Pixels) -> None:
        self._pipe.send(("picture", frame, np.ascontiguousarray(pixels)))

    def _tell(self, done: int, total: int | None) -> None:
        now = time.monotonic()
        if now - self._told >= _TELL_EVERY:
            self._told = now
            self._pipe.send(("progress", done, total))
