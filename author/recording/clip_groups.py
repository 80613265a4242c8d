"""Which clips are made in one run, and how far all of them are."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from threading import Lock
from typing import TypeVar

from author.progress import Progress
from author.recording.spans import Span

_Item = TypeVar("_Item")

# An encoder keeps about 70 bytes for each pixel, and keeps them until its run ends: three
# clips of 1920 × 1080, one of 4K.
_MOST_PIXELS = 3 * 1920 * 1080
_MOST_CLIPS = 8


def grouped(items: Sequence[_Item], span_of: Callable[[_Item], Span]) -> list[list[_Item]]:
    """Return clips of one film in groups that are best decoded in one go.

    Two clips are in one group if what lies between them is fewer frames than would have
    to be decoded anyway, from the key frame before the second.

    Args:
        items: the clips.
        span_of: tells the span of a clip.
    """
    ordered = sorted(items, key=lambda item: (span_of(item).first, span_of(item).end))
    groups: list[list[_Item]] = []
    end = 0
    for item in ordered:
        span = span_of(item)
        near = bool(groups) and span.first - end < span.preroll
        if near and len(groups[-1]) < _room(span):
            groups[-1].append(item)
            end = max(end, span.end)
        else:
            groups.append([item])
            end = span.end
    return groups


def _room(span: Span) -> int:
    width, height = span.index.geometry.shown
    return max(1, min(_MOST_CLIPS, _MOST_PIXELS // (width * height)))


class Tally:
    """Counts frames over all clips and tells a progress, from several threads."""

    def __init__(self, spans: Sequence[Span], progress: Progress) -> None:
        self._progress = progress
        self._job = f"cutting clips of {spans[0].path.name}, frames"
        self._total = sum(span.end - span.first for span in spans)
        self._done: dict[int, int] = {}
        self._told = -1
        self._lock = Lock()

    def ear(self, spans: Sequence[Span], first: int) -> Callable[[int], None]:
        """Return what hears of frames decoded by a run that makes these clips.

        Args:
            spans: the clips of the run.
            first: index of the frame from which the run counts.
        """

        def heard(count: int) -> None:
            reached = first + count
            with self._lock:
                for span in spans:
                    done = min(max(reached - span.first, 0), span.end - span.first)
                    key = id(span)
                    self._done[key] = max(done, self._done.get(key, 0))
                self._tell()

        return heard

    def _tell(self) -> None:
        done = min(sum(self._done.values()), self._total)
        if done > self._told:
            self._told = done
            self._progress.report(self._job, done, self._total)
