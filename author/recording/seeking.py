"""Find and decode exact frames of an opened film. Runs in the decoding process."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from pathlib import Path

import av
from av.video.frame import VideoFrame

from author.errors import InputError
from author.recording.index import FilmIndex
from author.recording.opening import opened

_THREADS = 2
# How many key frames earlier to try when a seek did not lead to the frame.
_STEPS_BACK = (0, 1, 4)


class Seeker:
    """An opened film with a decoder that stands somewhere in it.

    A frame is found by its time stamp, never by counting, wherever the file gives
    time stamps. A seek that does not lead to the frame is tried from further back,
    at last from the start of the file.
    """

    def __init__(self, path: Path, index: FilmIndex) -> None:
        self._path = path
        self._index = index
        self._at = {tick: number for number, tick in enumerate(index.ticks)}
        self._opened = opened(path)
        self._container, _ = self._opened.__enter__()
        streams = self._container.streams
        if index.stream >= len(streams) or streams[index.stream].type != "video":
            self.close()
            raise InputError("changed while it was open", file=path)
        self._stream = streams.video[_nth_video(streams, index.stream)]
        self._stream.thread_type = "AUTO"
        self._stream.thread_count = _THREADS
        self._source: Iterator[tuple[int, VideoFrame]] | None = None
        self._next = 0  # every frame before this one has gone by
        self._moved = False

    def close(self) -> None:
        """Close the film."""
        self._source = None
        self._opened.__exit__(None, None, None)

    def frames(self, indices: Sequence[int], give: Callable[[int, VideoFrame], None]) -> None:
        """Decode the frames asked for, in one pass where they lie close together.

        Args:
            indices: frame indices, rising.
            give: called with each index and its frame.

        Raises:
            InputError: a frame that was there when the film was read is not found.
        """
        for wanted in indices:
            give(wanted, self._frame(wanted))

    def _frame(self, wanted: int) -> VideoFrame:
        for attempt in self._starts(wanted):
            found = None
            if attempt is None or self._seek(attempt):
                found = self._run_to(wanted)
            if found is not None:
                return found
        raise InputError(
            f"frame {wanted} can no longer be found",
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
            try:
                tick = self._index.ticks[key]
                self._container.seek(tick, stream=self._stream, backward=True)
            except (av.FFmpegError, OSError, ValueError):
                self._source = None
                return False
        elif self._moved or self._source is not None:
            self._reopen()
        self._source = self._decode(key)
        self._next = max(key, 0)
        return True

    def _reopen(self) -> None:
        """Begin again from the first byte: more certain than seeking there."""
        self._opened.__exit__(None, None, None)
        self._opened = opened(self._path)
        self._container, _ = self._opened.__enter__()
        streams = self._container.streams
        self._stream = streams.video[_nth_video(streams, self._index.stream)]
        self._stream.thread_type = "AUTO"
        self._stream.thread_count = _THREADS
        self._moved = True

    def _run_to(self, wanted: int) -> VideoFrame | None:
        """Decode on to the frame wanted; None if it is not met."""
        source = self._source
        if source is None:
            return None
        for number, frame in source:
            self._next = number + 1
            if number == wanted:
                return frame
            if number > wanted:
                break
        self._source = None
        return None

    def _decode(self, key: int) -> Iterator[tuple[int, VideoFrame]]:
        """Yield frames with their indices, from a key frame on, or from the start of the file.

        After a seek, frames before the first key frame may be built on pictures that
        were never read, so they are passed over.
        """
        counted = 0
        clean = key < 0
        for frame in self._pictures():
            tick = frame.pts if frame.pts is not None else frame.dts
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

    def _pictures(self) -> Iterator[VideoFrame]:
        """Yield every picture from here on, passing over packets that do not decode."""
        packets = self._container.demux(self._stream)
        while True:
            try:
                packet = next(packets)
            except IndexError:  # of a stream that came up only now: not for us
                packets = self._container.demux(self._stream)
                continue
            except (StopIteration, av.FFmpegError, OSError, ValueError):
                break
            if packet.size:
                yield from self._decoded(packet)
        yield from self._decoded(None)

    def _decoded(self, packet: av.Packet[av.VideoStream] | None) -> list[VideoFrame]:
        try:
            return self._stream.decode(packet)
        except (av.FFmpegError, ValueError):
            return []


def _nth_video(streams: av.container.streams.StreamContainer, index: int) -> int:
    return [each.index for each in streams.video].index(index)
