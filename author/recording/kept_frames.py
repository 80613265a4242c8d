"""How decoded frames are kept for a cursor: how many, how large, and which go first."""

from __future__ import annotations

import threading
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from author.recording.index import FilmIndex

if TYPE_CHECKING:
    from av.video.frame import VideoFrame

    from author.recording.picture import Size

_FEWEST, _MOST = 96, 360
_HELD_BYTES = 192 * 1024 * 1024
_MOST_HELD = 60
_BYTES_A_PIXEL = 1.5  # 8-bit 4:2:0
# Whole frames that two decoders have in hand: references, frames on their way out, threads.
_IN_DECODERS = 26
# Frames of 4K and more: one decoder takes as much as all else that is kept.
_LARGE = 6_000_000 * _BYTES_A_PIXEL
_KEPT_OF_LARGE = 48 * 1024 * 1024
SLOTS = 2
HEADER = 64
"""Bytes before the pixels of a slot: its number, written before and after them."""


@dataclass(frozen=True, slots=True)
class Layout:
    """How much a cursor keeps.

    Attributes:
        count: most frames kept.
        pixels: most pixels of each.
        held: most frames held for a moment as they were decoded.
        decoders: 2 where one may go back while the other stands ready to go on.
        slot_bytes: size of one slot of the memory shared with the parent.
    """

    count: int
    pixels: int
    held: int
    decoders: int
    slot_bytes: int


def layout_for(index: FilmIndex, box: Size, cache_bytes: int) -> Layout:
    """Return how to keep frames of a film: fewer pixels before fewer frames.

    What the decoders take for themselves is taken off, so that large films do not take
    more memory than small ones: an hour of 4K, walked through while it is surveyed, stays
    below 700 MB.

    Args:
        index: the film.
        box: the largest size that is shown while walking.
        cache_bytes: bytes that kept frames may take.
    """
    geometry = index.geometry
    count = min(max(int(_longest_group(index.keys, len(index.ticks)) * 1.1) + 50, _FEWEST), _MOST)
    frame = geometry.stored_width * geometry.stored_height * _BYTES_A_PIXEL
    large = frame > _LARGE
    room = cache_bytes + _HELD_BYTES - _IN_DECODERS * frame
    kept = min(cache_bytes, _KEPT_OF_LARGE if large else max(room * 2 / 3, _KEPT_OF_LARGE))
    pixels = min(int(kept / count / _BYTES_A_PIXEL), box[0] * box[1])
    held = 1 if large else max(1, min(_MOST_HELD, int((room - kept) / frame)))
    width, height = geometry.shown
    return Layout(count, pixels, held, 1 if large else 2, HEADER + width * height * 3)


def _longest_group(keys: Sequence[int], frames: int) -> int:
    ends = [*keys[1:], frames]
    return max((end - key for key, end in zip(keys, ends, strict=True)), default=frames)


class Kept:
    """Reduced frames by index; the farthest from where the cursor is go first."""

    def __init__(self, layout: Layout) -> None:
        self._most = layout.count
        self._frames: dict[int, VideoFrame] = {}
        self._lock = threading.Lock()
        self.centre = 0

    def __contains__(self, number: int) -> bool:
        return number in self._frames

    def get(self, number: int) -> VideoFrame | None:
        """Return a frame, if it is kept."""
        return self._frames.get(number)

    def put(self, number: int, frame: VideoFrame) -> None:
        """Keep a frame, and let the farthest go if there are too many."""
        with self._lock:
            self._frames[number] = frame
            while len(self._frames) > self._most:
                centre = self.centre
                del self._frames[max(self._frames, key=lambda n: abs(n - centre))]

    def clear(self) -> None:
        """Keep nothing."""
        with self._lock:
            self._frames.clear()
