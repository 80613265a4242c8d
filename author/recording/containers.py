"""What the container of a film tells: its zero, its sound, its chapters, its usual rate."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise

import av
from av.audio.stream import AudioStream
from av.container import InputContainer
from av.packet import Packet
from av.video.frame import VideoFrame
from av.video.stream import VideoStream

from author.recording.index import MICRO, Chapter, Sound, seconds


@dataclass
class Ends:
    """First start and last end of one stream's packets, in ticks."""

    first: int | None = None
    last: int | None = None

    def add(self, packet: Packet[av.stream.Stream]) -> None:
        """Take one packet that is meant to be seen or heard."""
        start = packet.pts if packet.pts is not None else packet.dts
        if start is None or packet.is_discard:
            return
        end = start + (packet.duration or 0)
        self.first = start if self.first is None else min(self.first, start)
        self.last = end if self.last is None else max(self.last, end)


def base_of(stream: VideoStream) -> Fraction:
    """Seconds of one tick of a picture stream."""
    return stream.time_base or Fraction(1, 90_000)


def tick_of(frame: VideoFrame, container: InputContainer) -> int | None:
    """Return when a frame is shown, in ticks, or None if the file does not tell.

    AVI has no times of showing: what libav makes up for them runs to and fro where there
    are B-frames, so only the order of decoding counts.
    """
    if frame.pts is None or container.format.name == "avi":
        return frame.dts
    return frame.pts


def nominal_ticks(stream: VideoStream) -> int:
    """Ticks of one frame at the rate the header claims, for films without time stamps."""
    rate = stream.guessed_rate or stream.average_rate or Fraction(25)
    return max(1, round(1 / (rate * base_of(stream))))


def usual_step(ticks: Sequence[int], stream: VideoStream) -> int:
    """Median of the ticks between frames; with a single frame, by the header's rate."""
    steps = sorted(after - before for before, after in pairwise(ticks))
    return steps[len(steps) // 2] if steps else nominal_ticks(stream)


def origin_of(container: InputContainer, first_tick: int, base: Fraction) -> int:
    """Return zero of the recording's clock, microseconds of container time.

    That is the container's start, unless a picture comes even before it.
    """
    # Rounded as libav rounds the container's start, or the first frame came a microsecond late.
    return min(container.start_time or 0, round(first_tick * base * MICRO))


def claimed_end(container: InputContainer, zero: Fraction) -> Fraction | None:
    """End of the film as its header has it, seconds on the recording's clock."""
    if not container.duration:
        return None
    start = Fraction(container.start_time or 0, MICRO)
    return start + Fraction(container.duration, MICRO) - zero


def listed_pictures(container: InputContainer, stream: VideoStream) -> int | None:
    """Number of picture samples in the container's list, where it lists every one."""
    if "mp4" not in container.format.name.split(","):
        return None
    return len(stream.index_entries)


def stream_ends(
    container: InputContainer, ends: Mapping[int, Ends], zero: Fraction
) -> list[Fraction]:
    """Return where each stream ends by its packets, seconds on the recording's clock."""
    found = []
    for index, each in ends.items():
        base = container.streams[index].time_base
        if each.last is not None and base is not None:
            found.append(each.last * base - zero)
    return found


def heard_stream(container: InputContainer) -> AudioStream | None:
    """Return the first sound that can be decoded, if any."""
    for stream in container.streams.audio:
        if stream.codec_context is not None:
            return stream
    return None


def sound_of(container: InputContainer, ends: Mapping[int, Ends], zero: Fraction) -> Sound | None:
    """Return the first sound that has any packets, if any."""
    for stream in container.streams.audio:
        found = ends.get(stream.index, Ends())
        if stream.codec_context is None or found.first is None or found.last is None:
            continue
        base = stream.time_base or Fraction(1, stream.rate or 48_000)
        return Sound(
            stream=stream.index,
            codec=stream.codec_context.name,
            channels=stream.channels,
            rate=stream.rate,
            start=seconds(found.first * base - zero),
            end=seconds(found.last * base - zero),
        )
    return None


def chapters_of(container: InputContainer, zero: Fraction) -> tuple[Chapter, ...]:
    """Return the named passages the container lists."""
    chapters = []
    for each in container.chapters():
        base = each["time_base"] or Fraction(1, MICRO)
        title = str(each["metadata"].get("title", ""))
        start, end = each["start"] * base - zero, each["end"] * base - zero
        chapters.append(Chapter(title, seconds(start), seconds(end)))
    return tuple(chapters)
