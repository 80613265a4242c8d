"""The first pictures of a film: its key frames, small, coarse to fine.

Key frames decode by themselves, so a long film can be looked through within seconds of
being opened. Runs in the decoding process.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from contextlib import suppress
from pathlib import Path

import av
from av.video.frame import VideoFrame

from author.errors import InputError
from author.recording.index import FilmIndex
from author.recording.opening import opened
from author.recording.picture import Painter, Pixels
from author.recording.preview import Preview
from author.recording.reducing import Reducer, upright
from author.recording.seeking import Seeker

PICTURE_PIXELS = 160 * 90
"""Most pixels of one picture of the strip."""

Give = Callable[[int, Pixels], None]


def coarse_to_fine(count: int) -> Iterator[int]:
    """Yield every number below ``count`` once: the first, the middle, the quarters, and so on."""
    step = 1
    while step < count:
        step *= 2
    yield from range(0, min(count, 1))
    while step > 1:
        step //= 2
        yield from range(step, count, 2 * step)


def chosen_keys(index: FilmIndex, most: int) -> list[int]:
    """Return at most ``most`` key frames, evenly spread, rising."""
    keys = index.keys
    if len(keys) <= most:
        return list(keys)
    return [keys[number * len(keys) // most] for number in range(most)]


def key_pictures(path: Path, index: FilmIndex, most: int, give: Give) -> None:
    """Decode key frames, coarse to fine.

    Args:
        path: the film.
        index: its index, quick or exact.
        most: most pictures to make.
        give: takes the index of a frame and its picture, upright; may raise to stop.

    Raises:
        InputError: the film cannot be opened.
    """
    keys = chosen_keys(index, most)
    painter, reducer = Painter(index.geometry), Reducer(PICTURE_PIXELS)
    missed: list[int] = []
    with opened(path) as (container, stream):
        stream.thread_type = "SLICE"  # one picture at a time: no use in decoding ahead
        stream.codec_context.skip_frame = "NONKEY"
        for number in coarse_to_fine(len(keys)):
            tick = index.ticks[keys[number]]
            frame = _key_at(container, stream, tick)
            if frame is not None:
                give(keys[number], _upright(index, painter, reducer.reduce(frame)))
            else:
                missed.append(keys[number])
        _sought(
            path, index, missed, lambda n, f: give(n, _upright(index, painter, reducer.reduce(f)))
        )


def _sought(
    path: Path, index: FilmIndex, frames: Sequence[int], give: Callable[[int, VideoFrame], None]
) -> None:
    """Find frames the thorough way, where a seek alone does not lead to them."""
    if not frames:
        return
    seeker = Seeker(path, index)
    try:
        for number in frames:
            with suppress(InputError):
                seeker.run(number, number, give)
    finally:
        seeker.close()


def _key_at(
    container: av.container.InputContainer, stream: av.VideoStream, tick: int
) -> VideoFrame | None:
    """Decode the key frame at ``tick``; None if it is not found there."""
    try:
        container.seek(tick, stream=stream, backward=True)
        for packet in container.demux(stream):
            if packet.pts is None or packet.pts < tick:
                continue
            if packet.pts > tick and not packet.is_keyframe:
                return None
            frames = [*stream.decode(packet), *stream.decode(None)]
            stream.codec_context.flush_buffers()
            return next((each for each in frames if each.pts == tick), None)
    except (av.FFmpegError, OSError, ValueError, IndexError):
        stream.codec_context.flush_buffers()
    return None


def strip_pictures(folder: Path, index: FilmIndex, frames: Sequence[int], give: Give) -> None:
    """Make small pictures of frames out of a preview; those it does not hold are left out.

    Args:
        folder: of the preview.
        index: the film's index.
        frames: indices of frames.
        give: takes the index of a frame and its picture, upright; may raise to stop.
    """
    painter, reducer = Painter(index.geometry), Reducer(PICTURE_PIXELS)
    preview = Preview(folder, index.ticks)
    try:
        for number in frames:
            found = preview.picture(number)
            if found is not None:
                give(number, _upright(index, painter, reducer.reduce(found)))
    finally:
        preview.close()


def _upright(index: FilmIndex, painter: Painter, small: VideoFrame) -> Pixels:
    size = upright(index.geometry, small.width, small.height)
    return painter.paint_small(small, index.matrix, index.full_range, size)
