"""Read a whole film once: every frame decoded, looked at, kept small; every complaint noted.

Runs in the decoding process. Only decoded time stamps count: packets are not frames, and
headers may be wrong. The one pass gives the exact index, the damage, the preview, what
was seen of each frame, and what was heard.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Collection, Iterator
from dataclasses import dataclass, field, replace
from fractions import Fraction
from pathlib import Path
from typing import cast

import av
import cv2
import numpy as np
from av.container import InputContainer
from av.packet import Packet
from av.video.frame import VideoFrame
from av.video.reformatter import VideoReformatter
from av.video.stream import VideoStream

from author.errors import InputError
from author.recording import containers
from author.recording.containers import Ends
from author.recording.damage import Complaint, Observed, damage_of
from author.recording.index import MICRO, FilmIndex, Geometry
from author.recording.looks import Watcher
from author.recording.opening import opened
from author.recording.picture import MAX_PIXELS, geometry_of, is_full_range, matrix_of
from author.recording.preview import (
    CORRUPT,
    INTERLACED,
    KEY,
    PIXELS,
    RECORD,
    PreviewWriter,
    Records,
)
from author.recording.reducing import Reducer, luma, plane
from author.recording.resuming import Halt, read_halt
from author.recording.sound_pass import SoundPass

_MAX_FRAMES = 4_000_000
_MAX_COMPLAINTS = 5_000
_THREADS = 3
_FRAMES_BETWEEN_MARKS = 600

Tell = Callable[[int, int | None], None]
"""Hears how many seconds of film are read, and of how many; may raise to stop."""


@dataclass(frozen=True, slots=True, eq=False)
class Surveyed:
    """What one full reading found.

    Attributes:
        index: the exact index.
        records: one record a frame.
        sound: what was heard, as ``Heard.to_bytes`` writes it; empty without sound.
    """

    index: FilmIndex
    records: Records
    sound: bytes


def survey(path: Path, folder: Path | None, tell: Tell) -> Surveyed:
    """Decode all of a film and return what was found.

    Args:
        path: the film.
        folder: where the preview is kept, gone on with from where it was broken off;
            None keeps none.
        tell: called after every few packets.

    Raises:
        InputError: the film cannot be opened or shows no frame at all.
        MachineError: reading failed.
    """
    halt = read_halt(folder)
    if halt is not None:
        found = _reading(path, folder, tell, halt)
        if found is not None:
            return found
    found = _reading(path, folder, tell, None)
    assert found is not None  # noqa: S101 - a reading from the start misses nothing
    return found


def _reading(path: Path, folder: Path | None, tell: Tell, halt: Halt | None) -> Surveyed | None:
    """Read the film; None if the place to go on from was not met."""
    cv2.setNumThreads(1)  # the decoder's threads have the processor
    av.logging.set_level(av.logging.ERROR)
    av.logging.set_skip_repeated(False)
    try:
        # The threads of the decoder log too, so the capture is of all threads.
        with av.logging.Capture(local=False) as log, opened(path) as (container, stream):
            reading = _Reading(path, container, stream, log, folder, halt)
            try:
                return reading.run(tell)
            finally:
                # A decoder's thread that wants to complain waits for Python, and Python waits
                # for that thread when the decoder is freed: let them all end their work first.
                stream.codec_context.flush_buffers()
                reading.writer.close()
    finally:
        av.logging.set_level(None)


@dataclass
class _Reading:
    path: Path
    container: InputContainer
    stream: VideoStream
    log: list[tuple[int, str, str]]
    folder: Path | None
    halt: Halt | None
    seen: Observed = field(default_factory=Observed)
    geometry: Geometry | None = None
    matrix: int = 2
    full_range: bool = False
    ends: dict[int, Ends] = field(default_factory=dict)
    marked: int = 0
    begin: int = 0

    def __post_init__(self) -> None:
        rate = self.stream.average_rate or self.stream.guessed_rate or Fraction(30)
        self.writer = PreviewWriter(self.folder, rate)
        self.reducer = Reducer(PIXELS)
        self.watcher = Watcher()
        self.grey = VideoReformatter()
        self.sound = SoundPass(self.container, self.stream)

    def run(self, tell: Tell) -> Surveyed | None:
        if self.stream.width * self.stream.height > MAX_PIXELS:
            raise InputError(
                f"claims a picture of {self.stream.width} × {self.stream.height}, too large",
                remedy="Convert it to 8K or smaller",
                file=self.path,
            )
        self.stream.thread_type = "AUTO"
        self.stream.thread_count = _THREADS
        if self.halt is not None:
            self.halt.give_back(self.seen)
            self.begin = self.halt.begin
        self.writer.begin(self.halt.records if self.halt is not None else np.zeros(0, RECORD))
        self._read(tell)
        if self.halt is not None:
            return None
        if not self.seen.ticks:
            raise InputError(
                "holds no picture that can be decoded",
                remedy="Copy the recording from the camera again",
                file=self.path,
            )
        sound = self.sound.finish()
        index = self._index()
        self._mark(done=True, sound=sound)
        return Surveyed(index, self.writer.records, sound)

    def _read(self, tell: Tell) -> None:
        """Demux all, decode the pictures, and tie each complaint to where it came up."""
        seen = self.seen
        recent: deque[int] = deque(maxlen=_THREADS + 1)
        claimed = self.container.duration
        total = claimed // MICRO if claimed else None
        packets = self._packets()
        count = 0
        self._drain(recent)
        while True:
            try:
                packet = next(packets)
            except StopIteration:
                break
            except IndexError:  # of a stream that came up only now: not for us
                packets = self._packets()
                continue
            except (av.FFmpegError, OSError, ValueError) as error:
                seen.cut = str(error)
                break
            count += 1
            if count % 8 == 0:
                tell(self._seconds_read(), total)
            self.ends.setdefault(packet.stream_index, Ends()).add(packet)
            if packet.stream_index == self.stream.index:
                if packet.size:
                    self._note(packet, recent)
                    self._decode(packet, recent)
            elif packet.stream_index == self.sound.stream_index and packet.size:
                self._hear(packet, recent)
        self._decode(None, recent)
        self._hear(None, recent)

    def _packets(self) -> Iterator[Packet[av.stream.Stream]]:
        streams = [each for each in self.container.streams if each.type in ("video", "audio")]
        return self.container.demux(tuple(streams))

    def _note(self, packet: Packet[av.stream.Stream], recent: deque[int]) -> None:
        if packet.has_sidedata("encryption_info"):
            raise InputError("is encrypted", remedy="Give an unprotected copy", file=self.path)
        self.seen.packet(packet.pts, packet.is_discard)
        if packet.pts is not None:
            recent.append(packet.pts)
            if packet.is_corrupt:
                where = (packet.pts, packet.pts)
                self.seen.complaints.append(Complaint("file", "data is missing", where))

    def _decode(self, packet: Packet[av.stream.Stream] | None, recent: deque[int]) -> None:
        if self.halt is not None:
            if packet is None or not self.halt.begins_at(packet):
                return
            self.halt = None
        try:
            frames = self.stream.decode(cast("Packet[VideoStream] | None", packet))
        except (av.FFmpegError, ValueError) as error:
            frames = []
            self.log.append((av.logging.ERROR, self.stream.codec_context.name, str(error)))
        self._drain(recent)
        for frame in frames:
            self._frame(frame)

    def _hear(self, packet: Packet[av.stream.Stream] | None, recent: Collection[int]) -> None:
        self._drain(recent)
        problem = self.sound.hear(packet)
        if not problem and packet is not None and packet.is_corrupt:
            problem = "data is missing"
        if problem and packet is not None and packet.pts is not None:
            base = packet.time_base / containers.base_of(self.stream)
            at = round(packet.pts * base)
            self.seen.complaints.append(Complaint("sound", problem, (at, at)))
        if self.log:
            self.log[:] = [each for each in self.log if each[1] != self.sound.codec]

    def _drain(self, recent: Collection[int]) -> None:
        """Take over what the library complained of since the last look.

        The decoder works on several packets at once, so its complaints are about any
        of the recent ones; those it made while the film was opened come again later.
        """
        names = set(self.container.format.name.split(","))
        for level, source, text in self.log:
            container = set(source.split(",")) & names
            if level > av.logging.ERROR or len(self.seen.complaints) >= _MAX_COMPLAINTS:
                continue
            if container:
                self.seen.complaints.append(Complaint(source, text.strip(), None))
            elif recent:
                where = (min(recent), max(recent))
                self.seen.complaints.append(Complaint(source, text.strip(), where))
        self.log.clear()

    def _frame(self, frame: VideoFrame) -> None:
        if len(self.seen.ticks) >= _MAX_FRAMES:
            raise InputError("holds more than four million frames", file=self.path)
        if self.geometry is None:
            self.geometry = self._geometry(frame)
            self.matrix = matrix_of(frame.colorspace, frame.height)
            self.full_range = is_full_range(frame)
        tick = containers.tick_of(frame, self.container)
        if tick is None:
            self.seen.timed = False
            step = containers.nominal_ticks(self.stream)
            tick = self.seen.ticks[-1] + step if self.seen.ticks else 0
        known = self.seen.ticks[-1] if self.writer.resumed_at == len(self.seen.ticks) else None
        if known is not None and tick <= known:
            if tick >= self.begin:
                self._look(frame, self.reducer.reduce(frame))
            return
        kept = self.seen.frame(tick, frame.key_frame, frame.is_corrupt, frame.interlaced_frame)
        if kept:
            self._keep(frame, tick)

    def _keep(self, frame: VideoFrame, tick: int) -> None:
        small = self.reducer.reduce(frame)
        flags = KEY * frame.key_frame + CORRUPT * frame.is_corrupt
        flags += INTERLACED * frame.interlaced_frame
        look = self._look(frame, small)
        if frame.key_frame and len(self.seen.ticks) - 1 - self.marked >= _FRAMES_BETWEEN_MARKS:
            self._mark()
        self.writer.add(small, tick, frame.duration or 0, flags, look)

    def _look(self, frame: VideoFrame, small: VideoFrame) -> np.void:
        found = luma(frame) or (plane(self.grey.reformat(frame, format="gray8"), 0), 8)
        y, u, v = (plane(small, number) for number in range(3))
        return self.watcher.look(found[0], y, u, v, found[1])

    def _mark(self, *, done: bool = False, sound: bytes | None = None) -> None:
        """Note that all frames so far are kept; the one in hand is not among them."""
        count = len(self.writer.records)
        self.marked = count
        if self.seen.timed or done:
            self.writer.mark(Halt.state(self.seen, count, self.writer.size, done), sound)

    def _geometry(self, frame: VideoFrame) -> Geometry:
        geometry = geometry_of(frame, self.stream.sample_aspect_ratio)
        if geometry.scaled_width * geometry.scaled_height > MAX_PIXELS:
            raise InputError("claims a picture too large to be shown", file=self.path)
        return geometry

    def _seconds_read(self) -> int:
        ticks = self.seen.ticks
        return int((ticks[-1] - ticks[0]) * containers.base_of(self.stream)) if ticks else 0

    def _end_tick(self) -> int:
        """End of the last frame: its own duration, else that of a usual frame."""
        length = int(self.writer.records["duration"][-1])
        ticks = self.seen.ticks
        # Where two fields are two packets, the frame is told to last as long as one of them.
        halved = self.seen.interlaced and self.seen.packets * 2 > len(ticks) * 3
        if length <= 0 or halved:
            length = max(length, containers.usual_step(ticks, self.stream))
        return ticks[-1] + length

    def _index(self) -> FilmIndex:
        assert self.geometry is not None  # noqa: S101 - a frame was kept
        base = containers.base_of(self.stream)
        origin = containers.origin_of(self.container, self.seen.ticks[0], base)
        zero = Fraction(origin, MICRO)
        end_tick = self._end_tick()
        ends = containers.stream_ends(self.container, self.ends, zero)
        self.seen.claimed_end = containers.claimed_end(self.container, zero)
        self.seen.real_end = max([end_tick * base - zero, *ends])
        self.seen.listed = containers.listed_pictures(self.container, self.stream)
        index = FilmIndex(
            container=self.container.format.name.split(",")[0],
            codec=self.stream.codec_context.name,
            stream=self.stream.index,
            time_base=base,
            container_start=self.container.start_time or 0,
            origin=origin,
            ticks=tuple(self.seen.ticks),
            end_tick=end_tick,
            keys=tuple(self.seen.keys),
            timed=self.seen.timed,
            geometry=self.geometry,
            matrix=self.matrix,
            full_range=self.full_range,
            sound=containers.sound_of(self.container, self.ends, zero),
            chapters=containers.chapters_of(self.container, zero),
            damage=(),
        )
        return replace(index, damage=damage_of(self.seen, index))
