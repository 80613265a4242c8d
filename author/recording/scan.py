"""Read a whole film once: every frame decoded, every complaint of the decoder noted.

Runs in the decoding process. Only decoded time stamps count: packets are not
frames, and headers may be wrong.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Collection, Iterator
from dataclasses import dataclass, field, replace
from fractions import Fraction
from itertools import pairwise
from pathlib import Path
from typing import cast

import av
from av.audio.stream import AudioStream
from av.container import InputContainer
from av.packet import Packet
from av.video.frame import VideoFrame
from av.video.stream import VideoStream

from author.errors import InputError
from author.recording.damage import Complaint, Observed, damage_of
from author.recording.index import Chapter, FilmIndex, Geometry, Sound, seconds
from author.recording.opening import opened
from author.recording.picture import MAX_PIXELS, geometry_of, is_full_range, matrix_of

_MAX_FRAMES = 4_000_000
_MAX_COMPLAINTS = 5_000
_THREADS = 2
_MICRO = 1_000_000

Tell = Callable[[int, int | None], None]
"""Hears how many seconds of film are read, and of how many."""


def scan(path: Path, tell: Tell) -> FilmIndex:
    """Decode all of a film and return what was found.

    Args:
        path: the film.
        tell: called after every few packets; may raise to stop.

    Raises:
        InputError: the film cannot be opened or shows no frame at all.
        MachineError: reading failed.
    """
    av.logging.set_level(av.logging.ERROR)
    av.logging.set_skip_repeated(False)
    try:
        # The threads of the decoder log too, so the capture is of all threads.
        with av.logging.Capture(local=False) as log, opened(path) as (container, stream):
            return _Scan(path, container, stream, log).run(tell)
    finally:
        av.logging.set_level(None)


@dataclass
class _Ends:
    """First start and last end of one stream's packets, in ticks."""

    first: int | None = None
    last: int | None = None

    def add(self, packet: Packet[av.stream.Stream]) -> None:
        start = packet.pts if packet.pts is not None else packet.dts
        if start is None or packet.is_discard:
            return
        end = start + (packet.duration or 0)
        self.first = start if self.first is None else min(self.first, start)
        self.last = end if self.last is None else max(self.last, end)


@dataclass
class _Scan:
    path: Path
    container: InputContainer
    stream: VideoStream
    log: list[tuple[int, str, str]]
    seen: Observed = field(default_factory=Observed)
    geometry: Geometry | None = None
    matrix: int = 2
    full_range: bool = False
    durations: list[int] = field(default_factory=list)
    ends: dict[int, _Ends] = field(default_factory=dict)

    def run(self, tell: Tell) -> FilmIndex:
        if self.stream.width * self.stream.height > MAX_PIXELS:
            raise InputError(
                f"claims a picture of {self.stream.width} × {self.stream.height}, too large",
                remedy="Convert it to 8K or smaller",
                file=self.path,
            )
        self.stream.thread_type = "AUTO"
        self.stream.thread_count = _THREADS
        self._read(tell)
        if not self.seen.ticks:
            raise InputError(
                "holds no picture that can be decoded",
                remedy="Copy the recording from the camera again",
                file=self.path,
            )
        return self._index()

    def _read(self, tell: Tell) -> None:
        """Demux all, decode the pictures, and tie each complaint to where it came up."""
        seen = self.seen
        recent: deque[int] = deque(maxlen=_THREADS + 1)
        claimed = self.container.duration
        total = claimed // _MICRO if claimed else None
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
            self.ends.setdefault(packet.stream_index, _Ends()).add(packet)
            if packet.stream_index == self.stream.index and packet.size:
                self._note(packet, recent)
                self._decode(packet, recent)
        self._decode(None, recent)

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
        try:
            frames = self.stream.decode(cast("Packet[VideoStream] | None", packet))
        except (av.FFmpegError, ValueError) as error:
            frames = []
            self.log.append((av.logging.ERROR, self.stream.codec_context.name, str(error)))
        self._drain(recent)
        for frame in frames:
            self._frame(frame)

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
        tick = frame.pts if frame.pts is not None else frame.dts
        if tick is None:
            self.seen.timed = False
            tick = self.seen.ticks[-1] + self._nominal() if self.seen.ticks else 0
        kept = self.seen.frame(tick, frame.key_frame, frame.is_corrupt, frame.interlaced_frame)
        if kept:
            self.durations.append(frame.duration or 0)

    def _geometry(self, frame: VideoFrame) -> Geometry:
        geometry = geometry_of(frame, self.stream.sample_aspect_ratio)
        if geometry.scaled_width * geometry.scaled_height > MAX_PIXELS:
            raise InputError("claims a picture too large to be shown", file=self.path)
        return geometry

    def _nominal(self) -> int:
        """Ticks of one frame at the rate the header claims, for films without time stamps."""
        rate = self.stream.guessed_rate or self.stream.average_rate or Fraction(25)
        return max(1, round(1 / (rate * self._base())))

    def _base(self) -> Fraction:
        return self.stream.time_base or Fraction(1, 90_000)

    def _seconds_read(self) -> int:
        if not self.seen.ticks:
            return 0
        return int((self.seen.ticks[-1] - self.seen.ticks[0]) * self._base())

    def _end_tick(self) -> int:
        """End of the last frame: its own duration, else that of a usual frame."""
        ticks = self.seen.ticks
        if self.durations[-1] > 0:
            return ticks[-1] + self.durations[-1]
        steps = sorted(after - before for before, after in pairwise(ticks))
        return ticks[-1] + (steps[len(steps) // 2] if steps else self._nominal())

    def _index(self) -> FilmIndex:
        assert self.geometry is not None  # noqa: S101 - a frame was kept
        base = self._base()
        container_start = self.container.start_time or 0
        first = self.seen.ticks[0] * base
        # Zero is the container's start, unless a picture comes even before that.
        origin = min(container_start, int(first * _MICRO // 1))
        zero = Fraction(origin, _MICRO)
        end_tick = self._end_tick()
        self.seen.claimed_end = self._claimed_end(zero)
        self.seen.real_end = max([end_tick * base - zero, *self._stream_ends(zero)])
        self.seen.listed = self._listed()
        index = FilmIndex(
            container=self.container.format.name.split(",")[0],
            codec=self.stream.codec_context.name,
            stream=self.stream.index,
            time_base=base,
            container_start=container_start,
            origin=origin,
            ticks=tuple(self.seen.ticks),
            end_tick=end_tick,
            keys=tuple(self.seen.keys),
            timed=self.seen.timed,
            geometry=self.geometry,
            matrix=self.matrix,
            full_range=self.full_range,
            sound=self._sound(zero),
            chapters=self._chapters(zero),
            damage=(),
        )
        return replace(index, damage=damage_of(self.seen, index))

    def _claimed_end(self, zero: Fraction) -> Fraction | None:
        """End of the film as its header has it, seconds on the recording's clock."""
        if not self.container.duration:
            return None
        start = Fraction(self.container.start_time or 0, _MICRO)
        return start + Fraction(self.container.duration, _MICRO) - zero

    def _listed(self) -> int | None:
        """Number of picture samples in the container's list, where it lists every one."""
        if "mp4" not in self.container.format.name.split(","):
            return None
        return len(self.stream.index_entries)

    def _stream_ends(self, zero: Fraction) -> list[Fraction]:
        found = []
        for index, ends in self.ends.items():
            base = self.container.streams[index].time_base
            if ends.last is not None and base is not None:
                found.append(ends.last * base - zero)
        return found

    def _sound(self, zero: Fraction) -> Sound | None:
        for stream in self.container.streams.audio:
            ends = self.ends.get(stream.index, _Ends())
            if stream.codec_context is None or ends.first is None or ends.last is None:
                continue
            return _sound(stream, ends.first, ends.last, zero)
        return None

    def _chapters(self, zero: Fraction) -> tuple[Chapter, ...]:
        chapters = []
        for each in self.container.chapters():
            base = each["time_base"] or Fraction(1, _MICRO)
            title = str(each["metadata"].get("title", ""))
            start, end = each["start"] * base - zero, each["end"] * base - zero
            chapters.append(Chapter(title, seconds(start), seconds(end)))
        return tuple(chapters)


def _sound(stream: AudioStream, first: int, last: int, zero: Fraction) -> Sound:
    base = stream.time_base or Fraction(1, stream.rate or 48_000)
    return Sound(
        stream=stream.index,
        codec=stream.codec_context.name,
        channels=stream.channels,
        rate=stream.rate,
        start=seconds(first * base - zero),
        end=seconds(last * base - zero),
    )
