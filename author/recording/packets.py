"""The quick index of a film: from its packets, with a single picture decoded.

It is there in the time it takes to read the file, and good enough to walk by. Packets are
not frames in every film (fields, pictures never shown), so the survey's index takes its
place when that is done.
"""

from __future__ import annotations

import time
from bisect import bisect_left
from collections.abc import Callable
from fractions import Fraction
from pathlib import Path
from typing import Any, overload

import av
from av.audio.frame import AudioFrame
from av.audio.stream import AudioStream
from av.container import InputContainer
from av.video.frame import VideoFrame
from av.video.stream import VideoStream

from author.errors import InputError
from author.recording import containers
from author.recording.index import MICRO, FilmIndex, Sound, seconds
from author.recording.opening import opened
from author.recording.picture import MAX_PIXELS, geometry_of, is_full_range, matrix_of

_MAX_PACKETS = 8_000_000
_LOOK_EVERY = 512  # packets
_FIRST_PART = 0.25  # seconds after which a part of the index is given; then twice that, …
_PACKETS_TO_FIRST = 600

Tell = Callable[[int, int | None], None]
Give = Callable[[FilmIndex], None]


def index_packets(path: Path, tell: Tell, give: Give | None = None) -> FilmIndex | None:
    """Read a film's packets and return the index they tell.

    Args:
        path: the film.
        tell: hears seconds of film read, and of how many; may raise to stop.
        give: takes the index as far as it is known, now and then.

    Returns:
        The index, or None if only decoding tells this film's times.

    Raises:
        InputError: the film cannot be opened or shows no frame.
        MachineError: reading failed.
    """
    with opened(path) as (container, stream):
        first = _first_picture(path, container, stream)
    with opened(path) as (container, stream):
        return None if first is None else _Packets(container, stream, first).read(tell, give)


def _first_picture(path: Path, container: InputContainer, stream: VideoStream) -> VideoFrame | None:
    """Decode the first picture; None if the film has no time stamps."""
    if stream.width * stream.height > MAX_PIXELS:
        raise InputError(
            f"claims a picture of {stream.width} × {stream.height}, too large",
            remedy="Convert it to 8K or smaller",
            file=path,
        )
    stream.thread_type = "SLICE"
    count = 0
    try:
        for packet in container.demux(stream):
            if packet.has_sidedata("encryption_info"):
                raise InputError("is encrypted", remedy="Give an unprotected copy", file=path)
            if packet.size and packet.pts is None:
                return None
            count += 1
            for frame in decoded(stream, packet):
                return frame
            if count > _PACKETS_TO_FIRST:
                return None
    except (IndexError, OSError, ValueError):  # FFmpegError is an OSError or a ValueError
        return None
    return None


@overload
def decoded(stream: VideoStream, packet: av.Packet[VideoStream] | None) -> list[VideoFrame]: ...
@overload
def decoded(stream: AudioStream, packet: av.Packet[AudioStream] | None) -> list[AudioFrame]: ...
def decoded(stream: Any, packet: Any) -> Any:
    """Return what a packet holds, nothing where it is damaged; the rest of a stream for None."""
    try:
        return stream.decode(packet)
    except (av.FFmpegError, ValueError):
        return []


class _Packets:
    """Times and key marks of a film's packets, as they are read."""

    def __init__(self, container: InputContainer, stream: VideoStream, first: VideoFrame) -> None:
        self._container = container
        self._stream = stream
        self._first = first
        self._times: list[int] = []
        self._keys: list[int] = []
        self._end = 0

    def read(self, tell: Tell, give: Give | None) -> FilmIndex | None:
        begun, pause = time.monotonic(), _FIRST_PART
        claimed = self._container.duration
        total = claimed // MICRO if claimed else None
        base = containers.base_of(self._stream)
        while self._some():
            done = int((self._end - self._times[0]) * base) if self._times else 0
            tell(done, total)
            if give is not None and time.monotonic() - begun > pause and len(self._keys) > 2:
                pause *= 2
                give(self._index(until=sorted(self._keys)[-2]))
        return self._index() if self._keys else None

    def _some(self) -> bool:
        """Read some packets; return whether there may be more."""
        times, keys = self._times, self._keys
        made_up = self._container.format.name == "avi"
        end = self._end
        more = False
        try:
            for count, packet in enumerate(self._container.demux(self._stream)):
                start = packet.pts
                if start is None or packet.is_discard:
                    continue
                times.append(start)
                if packet.is_keyframe:
                    keys.append(start)
                if made_up and start != packet.dts:
                    self._keys = []  # only the order of decoding counts there
                    return False
                length = packet.duration
                if start + (length or 0) > end or length is None:
                    end = start + (length or 0)
                if count >= _LOOK_EVERY:
                    more = len(times) < _MAX_PACKETS
                    break
        except IndexError:  # of a stream that came up only now: not for us
            more = True
        except (av.FFmpegError, OSError, ValueError):
            pass  # what is there stays usable; the survey tells the damage
        self._end = end
        return more

    def _index(self, until: int | None = None) -> FilmIndex:
        """Return the index, or the part of it before ``until``, where no packet is to come."""
        container, stream = self._container, self._stream
        base = containers.base_of(stream)
        first_key = min(self._keys)
        ticks = sorted({tick for tick in self._times if tick >= first_key})
        if until is not None:
            ticks = ticks[: bisect_left(ticks, until)]
        at = {tick: number for number, tick in enumerate(ticks)}
        origin = containers.origin_of(container, ticks[0], base)
        whole = until is None and self._end > ticks[-1]
        end = self._end if whole else ticks[-1] + containers.usual_step(ticks, stream)
        zero = Fraction(origin, MICRO)
        return FilmIndex(
            container=container.format.name.split(",")[0],
            codec=stream.codec_context.name,
            stream=stream.index,
            time_base=base,
            container_start=container.start_time or 0,
            origin=origin,
            ticks=tuple(ticks),
            end_tick=end,
            keys=tuple(sorted({at[tick] for tick in self._keys if tick in at})),
            timed=True,
            geometry=geometry_of(self._first, stream.sample_aspect_ratio),
            matrix=matrix_of(self._first.colorspace, self._first.height),
            full_range=is_full_range(self._first),
            sound=self._sound(zero),
            chapters=containers.chapters_of(container, zero),
            damage=(),
        )

    def _sound(self, zero: Fraction) -> Sound | None:
        """What the header tells of the sound."""
        stream = containers.heard_stream(self._container)
        if stream is None or stream.time_base is None:
            return None
        start = (stream.start_time or 0) * stream.time_base - zero
        length = (stream.duration or 0) * stream.time_base
        return Sound(
            stream=stream.index,
            codec=stream.codec_context.name,
            channels=stream.channels,
            rate=stream.rate,
            start=seconds(start),
            end=seconds(start + length),
        )
