"""The preview of a film: every frame small, each coded by itself, and what was seen of it.

A folder in the cache holds ``track`` (the coded pictures, one after another),
``records`` (one record a frame), ``sound`` (what was heard) and ``state`` (how far the
making came, rewritten last, in one step). A preview that is still being made can be read,
and one whose making was broken off is gone on with from its last state.
"""

from __future__ import annotations

import json
import os
import time
import zlib
from collections.abc import Sequence
from contextlib import suppress
from fractions import Fraction
from pathlib import Path
from typing import IO, Any

import av
import numpy as np
import numpy.typing as npt
from av.video.codeccontext import VideoCodecContext
from av.video.frame import VideoFrame

from author.recording.cache import remove_preview
from author.recording.looks import LOOK, LOOKS_VERSION

PREVIEW_VERSION = 1
PIXELS = 320 * 180
"""Most pixels of a preview picture."""

KEY, CORRUPT, INTERLACED = 1, 2, 4

RECORD = np.dtype(
    [
        ("tick", "<i8"),
        ("duration", "<i8"),
        ("at", "<u8"),
        ("bytes", "<u4"),
        ("crc", "<u4"),
        ("flags", "<u4"),
        ("look", LOOK),
    ]
)
"""What is kept of one frame: its time, where its picture lies in the track, what was seen."""

Records = npt.NDArray[np.void]

# 70 kB a second is 252 MB an hour; records and sound add about a tenth.
_BITS_A_SECOND = 560_000
_FEWEST_RATE, _MOST_RATE = 5, 240
_FLUSH_EVERY = 64


class PreviewWriter:
    """Writes a preview beside the pass that makes it; a disk that fails only ends the preview."""

    def __init__(self, folder: Path | None, rate: Fraction) -> None:
        """Prepare to write.

        Args:
            folder: where to write, or None to keep no pictures.
            rate: frames a second, about; shares out the space.
        """
        self._folder = folder
        self._rate = min(max(rate, Fraction(_FEWEST_RATE)), Fraction(_MOST_RATE))
        self._coder: VideoCodecContext | None = None
        self._files: dict[str, IO[bytes]] = {}
        self._waiting: list[Any] = []
        self._at = 0
        self._count = 0
        self._grown = np.zeros(1024, RECORD)
        self.resumed_at = -1

    @property
    def size(self) -> int:
        """Bytes of the track so far."""
        return self._at

    @property
    def records(self) -> Records:
        """The records so far."""
        return self._grown[: self._count]

    def begin(self, kept: Records) -> None:
        """Start after the frames that are there already (none: anew)."""
        self._count = len(kept)
        self.resumed_at = len(kept) or -1
        self._grown = np.zeros(max(1024, 2 * len(kept)), RECORD)
        self._grown[: len(kept)] = kept
        self._at = int(kept["at"][-1] + kept["bytes"][-1]) if len(kept) else 0
        if self._folder is None:
            return
        try:
            self._folder.mkdir(parents=True, exist_ok=True)
            for name, size in (("track", self._at), ("records", len(kept) * RECORD.itemsize)):
                file = (self._folder / name).open("r+b" if size else "wb", buffering=1 << 18)
                self._files[name] = file
                file.truncate(size)
                file.seek(size)
            if not self._count:
                (self._folder / "state").unlink(missing_ok=True)
        except OSError:
            self._give_up()

    def add(self, small: VideoFrame, tick: int, duration: int, flags: int, look: np.void) -> None:
        """Take one frame.

        Args:
            small: its reduced copy.
            tick: its start.
            duration: in ticks, 0 if the file does not say.
            flags: ``KEY``, ``CORRUPT``, ``INTERLACED``, added up.
            look: what was seen of it.
        """
        data = self._coded(small) if self._files else b""
        if self._count == len(self._grown):
            self._grown = np.concatenate([self._grown, np.zeros_like(self._grown)])
        self._grown[self._count] = (
            tick,
            duration,
            self._at,
            len(data),
            zlib.crc32(data),
            flags,
            look,
        )
        self._count += 1
        if not self._files:
            return
        try:
            self._files["track"].write(data)
            self._at += len(data)
            if self._count % _FLUSH_EVERY == 0:
                self._flush()
        except OSError:
            self._give_up()

    def _coded(self, small: VideoFrame) -> bytes:
        if self._coder is None:
            self._coder = _coder(small.width, small.height, self._rate)
        small.pts, small.time_base = self._count, 1 / self._rate
        return b"".join(bytes(packet) for packet in self._coder.encode(small))

    def _flush(self) -> None:
        """Write what is there: the pictures first, so that no record points into nothing."""
        self._files["track"].flush()
        records = self._files["records"]
        done = records.tell() // RECORD.itemsize
        records.write(self._grown[done : self._count].tobytes())
        records.flush()

    def mark(self, state: dict[str, Any], sound: bytes | None = None) -> None:
        """Note how far the making came: where it could go on.

        Args:
            state: what the pass needs to go on; ``frames`` of them count.
            sound: what was heard, at the end.
        """
        if not self._files or self._folder is None:
            return
        try:
            self._flush()
            if sound is not None:
                (self._folder / "sound").write_bytes(sound)
            made = {**state, "version": [PREVIEW_VERSION, LOOKS_VERSION]}
            part = self._folder / "state.part"
            part.write_text(json.dumps(made))
            part.replace(self._folder / "state")
        except OSError:
            self._give_up()

    def close(self) -> None:
        """Close the files. May be called twice."""
        for each in self._files.values():
            with suppress(OSError):
                each.close()
        self._files = {}

    def _give_up(self) -> None:
        """The disk is full or gone: keep no preview, and give the space back."""
        self.close()
        if self._folder is not None:
            remove_preview(self._folder)


def _coder(width: int, height: int, rate: Fraction) -> VideoCodecContext:
    coder = av.CodecContext.create("libx264", "w")
    coder.width, coder.height = width, height
    coder.pix_fmt = "yuv420p"
    coder.framerate, coder.time_base = rate, 1 / rate
    coder.thread_count = 1
    coder.options = {
        "preset": "ultrafast",
        "tune": "zerolatency",
        "crf": "27",
        "maxrate": str(_BITS_A_SECOND),
        "bufsize": str(_BITS_A_SECOND),
        "x264-params": "keyint=1:scenecut=0:log-level=-1",
    }
    return coder


def read_state(folder: Path) -> dict[str, Any] | None:
    """Return how far the making of a preview came, or None if there is none to be used."""
    try:
        state = json.loads((folder / "state").read_text())
        if state["version"] != [PREVIEW_VERSION, LOOKS_VERSION]:
            return None
        frames, size = int(state["frames"]), int(state["track"])
        if os.stat(folder / "records").st_size < frames * RECORD.itemsize:  # noqa: PTH116
            return None
        return state if (folder / "track").stat().st_size >= size else None
    except (OSError, ValueError, KeyError, TypeError):
        return None


def read_records(folder: Path, count: int = -1) -> Records:
    """Return the records of a preview: the first ``count`` of them, or all that are whole.

    Raises:
        OSError: there is none.
    """
    return np.fromfile(folder / "records", RECORD, count)


class Preview:
    """Reads a preview, also one that is still growing."""

    _LOOK_AGAIN = 0.5  # seconds

    def __init__(self, folder: Path, ticks: Sequence[int]) -> None:
        """Prepare to read a preview, which may come to be only later.

        Args:
            folder: where it lies.
            ticks: starts of the film's frames.
        """
        self._folder = folder
        self._track: IO[bytes] | None = None
        self._ticks = ticks
        self._starts: npt.NDArray[np.int64] = np.zeros(0, np.int64)
        self._places: npt.NDArray[np.int64] = np.zeros((0, 3), np.int64)
        self._looked = 0.0
        self._decoder: VideoCodecContext = av.CodecContext.create("h264", "r")
        self._decoder.thread_count = 1
        self._whole = False

    def close(self) -> None:
        """Close the file."""
        if self._track is not None:
            self._track.close()

    def retime(self, ticks: Sequence[int]) -> None:
        """Take a better list of the film's frames."""
        self._ticks = ticks

    def picture(self, index: int) -> VideoFrame | None:
        """Return the small picture of a frame, or None if it is not made or is damaged."""
        tick = self._ticks[index]
        if not len(self._starts) or tick > self._starts[-1]:
            self._grow()
        number = int(np.searchsorted(self._starts, tick))
        missing = number >= len(self._starts) or self._starts[number] != tick
        if missing or self._track is None:
            return None
        at, size, crc = self._places[number]
        try:
            self._track.seek(int(at))
            data = self._track.read(int(size))
            return self._decoded(data) if zlib.crc32(data) == crc else None
        except (OSError, ValueError, av.FFmpegError):
            return None

    def _decoded(self, data: bytes) -> VideoFrame | None:
        if not data:
            return None
        self._decoder.flush_buffers()
        frames = [*self._decoder.decode(av.Packet(data)), *self._decoder.decode(None)]
        return frames[0] if frames else None

    def _grow(self) -> None:
        now = time.monotonic()
        if self._whole or now - self._looked < self._LOOK_AGAIN:
            return
        self._looked = now
        with suppress(OSError):
            state = read_state(self._folder)
            self._whole = state is not None and bool(state.get("done"))
            records = read_records(self._folder)
            if self._track is None:
                self._track = (self._folder / "track").open("rb", buffering=0)
            self._starts = np.ascontiguousarray(records["tick"])
            kept = [records[name].astype(np.int64) for name in ("at", "bytes", "crc")]
            self._places = np.stack(kept, axis=1)
