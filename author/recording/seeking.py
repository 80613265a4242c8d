"""Find and decode exact frames of an opened film. Runs in the decoding process."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from pathlib import Path

import av
from av.video.frame import VideoFrame

from author.errors import InputError
from author.recording.containers import tick_of
from author.recording.index import FilmIndex
from author.recording.opening import opened

THREADS = 2
# How many key frames earlier to try when a seek did not lead to the frame.
_STEPS_BACK = (0, 1, 4)
# Codecs in which a picture marked as no reference is none for anybody. In HEVC it can be
# one for a higher layer, in VP9 and AV1 the mark does not exist.
_MARKS_REFERENCES = ("h264", "mpeg4", "mpeg2video", "mpeg1video")
_LOOSE = ("mpegts", "mpeg")
_LOOSE_SEEK = 1  # second

Give = Callable[[int, VideoFrame], None]
"""Takes the index of a frame and the frame."""


def _never() -> bool:
    return False


class Seeker:
    """An opened film with a decoder that stands somewhere in it.

    A frame is found by its time stamp, never by counting, wherever the file gives
    time stamps. A seek that does not lead to the frame is tried from further back,
    at last from the start of the file. On the way to a frame, pictures that no other
    is built on are not decoded.
    """

    def __init__(self, path: Path, index: FilmIndex, threads: int = THREADS) -> None:
        self._path = path
        self._index = index
        self._threads = threads
        self._at = {tick: number for number, tick in enumerate(index.ticks)}
        self._opened = opened(path)
        self._container, _ = self._opened.__enter__()
        self._choose_stream()
        self._source: Iterator[tuple[int, VideoFrame | None]] | None = None
        self._next = 0  # every frame before this one has gone by
        self._moved = False
        self._first_tick: int | None = None  # pictures before it are only passed through
        self._awaited: int | None = None  # nothing is decoded before this key frame

    @property
    def position(self) -> int:
        """Index of the frame that would come next, or -1 if the decoder stands nowhere."""
        return self._next if self._source is not None else -1

    def adopt(self, index: FilmIndex) -> None:
        """Go on with a better index of the same film."""
        self._index = index
        self._at = {tick: number for number, tick in enumerate(index.ticks)}
        self._source = None

    def close(self) -> None:
        """Close the film."""
        self._source = None
        self._opened.__exit__(None, None, None)

    def frames(self, indices: Sequence[int], give: Give) -> None:
        """Decode the frames asked for, in one pass where they lie close together.

        Args:
            indices: frame indices, rising.
            give: called with each index and its frame.

        Raises:
            InputError: a frame that was there when the film was read is not found.
        """
        for wanted in indices:
            self.run(wanted, wanted, give)

    def run(self, first: int, last: int, give: Give, stop: Callable[[], bool] = _never) -> bool:
        """Decode every frame from ``first`` up to and including ``last``, in order.

        Args:
            first: index of the first frame wanted.
            last: index of the last; if it has to be looked for again from further back,
                some frames are given twice.
            give: called with each index and its frame.
            stop: asked after every packet; true ends the run, and the decoder stays
                where it is.

        Returns:
            Whether the run came to its end.

        Raises:
            InputError: the last frame is not found.
        """
        for attempt in self._starts(first):
            if attempt is None or self._seek(attempt):
                outcome = self._run_on(first, last, give, stop)
                if outcome is not None:
                    return outcome
        raise InputError(
            f"frame {last} can no longer be found",
            remedy="The file may have changed: open it again",
            file=self._path,
        )

    def _starts(self, wanted: int) -> Iterator[int | None]:
        """Yield where to begin: None to go on from here, a key frame, or -1 for the start."""
        key = self._index.key_before(wanted) if self._index.timed else -1
        if self._source is not None and max(key, 0) <= self._next <= wanted:
            yield None
        if self._index.timed:
            tried = {-1}
            for back in _STEPS_BACK:
                start = self._index.key_before(wanted, back)
                if start not in tried:
                    tried.add(start)
                    yield start
        yield -1

    def _seek(self, key: int) -> bool:
        """Stand at a key frame, or at the start of the file; return whether that was possible."""
        if key >= 0:
            self._moved = True
            tick = self._index.ticks[key]
            # There, a seek goes by decoding times and lands somewhere: begin a little
            # earlier, and leave out what comes before the key frame.
            early = round(_LOOSE_SEEK / self._index.time_base) if self._loose else 0
            self._awaited = tick if self._loose else None
            try:
                self._container.seek(tick - early, stream=self._stream, backward=True)
            except (av.FFmpegError, OSError, ValueError):
                self._source = None
                return False
        else:
            self._awaited = None
            if self._moved or self._source is not None:
                self._reopen()
        self._source = self._decode(key)
        self._next = max(key, 0)
        return True

    def _reopen(self) -> None:
        """Begin again from the first byte: more certain than seeking there."""
        self._opened.__exit__(None, None, None)
        self._opened = opened(self._path)
        self._container, _ = self._opened.__enter__()
        self._choose_stream()
        self._moved = True

    def _choose_stream(self) -> None:
        streams = self._container.streams
        if self._index.stream >= len(streams) or streams[self._index.stream].type != "video":
            self.close()
            raise InputError("changed while it was open", file=self._path)
        nth = [each.index for each in streams.video].index(self._index.stream)
        self._stream = streams.video[nth]
        self._stream.thread_type = "AUTO"
        self._stream.thread_count = self._threads
        self._loose = self._index.container in _LOOSE
        self._passes = self._index.timed and self._index.codec in _MARKS_REFERENCES

    def _run_on(self, first: int, last: int, give: Give, stop: Callable[[], bool]) -> bool | None:
        """Decode on; return whether ``last`` was reached, or None if it cannot be from here."""
        source = self._source
        if source is None:
            return None
        self._first_tick = self._index.ticks[first] if self._passes else None
        expected = first
        for number, frame in source:
            if frame is None:
                if stop():
                    return False
                continue
            self._next = number + 1
            if number > last or (number > first == expected):
                break
            if number >= first:
                expected = number + 1
                give(number, frame)
            if number == last:
                return True
        self._source = None
        return None

    def _decode(self, key: int) -> Iterator[tuple[int, VideoFrame | None]]:
        """Yield frames with their indices, from a key frame on, or from the start of the file.

        After a seek, frames before the first key frame may be built on pictures that
        were never read, so they are passed over. A packet is told by (-1, None).
        """
        counted = 0
        clean = key < 0
        for frame in self._pictures():
            if frame is None:
                yield -1, None
                continue
            tick = tick_of(frame, self._container)
            if not self._index.timed:
                if tick is None or self._kept(tick, counted):
                    yield counted, frame
                    counted += 1
                continue
            number = self._at.get(tick) if tick is not None else None
            clean = clean or frame.key_frame
            if number is None or not clean:
                continue
            if key >= 0 and frame.is_corrupt:
                continue
            if number >= counted:
                counted = number + 1
                yield number, frame

    def _kept(self, tick: int, counted: int) -> bool:
        return counted >= len(self._index.ticks) or tick == self._index.ticks[counted]

    def _pictures(self) -> Iterator[VideoFrame | None]:
        """Yield every picture from here on, and None after each packet.

        Packets that do not decode are passed over.
        """
        packets = self._container.demux(self._stream)
        while True:
            try:
                packet = next(packets)
            except IndexError:  # of a stream that came up only now: not for us
                packets = self._container.demux(self._stream)
                continue
            except (StopIteration, av.FFmpegError, OSError, ValueError):
                break
            if packet.size and self._is_due(packet):
                self._pass_through(packet)
                yield from self._decoded(packet)
            yield None
        yield from self._decoded(None)

    def _is_due(self, packet: av.Packet[av.VideoStream]) -> bool:
        """Whether the packet is, or comes after, the key frame that was sought."""
        if self._awaited is not None and packet.pts in (self._awaited, None):
            self._awaited = None
        return self._awaited is None

    def _pass_through(self, packet: av.Packet[av.VideoStream]) -> None:
        """Let the decoder leave out a picture nobody needs, before the first one wanted."""
        first = self._first_tick
        early = first is not None and packet.pts is not None and packet.pts < first
        self._stream.codec_context.skip_frame = "NONREF" if early else "DEFAULT"

    def _decoded(self, packet: av.Packet[av.VideoStream] | None) -> list[VideoFrame]:
        try:
            return self._stream.decode(packet)
        except (av.FFmpegError, ValueError):
            return []
