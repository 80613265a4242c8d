"""What the document needs to know of a recording, without knowing any video library.

``author.recording`` makes these; ``author.checks`` reads them.
"""

from __future__ import annotations

from bisect import bisect_left
from dataclasses import dataclass
from decimal import Decimal


@dataclass(frozen=True, slots=True)
class Damage:
    """A passage of a recording that is not whole.

    Attributes:
        start: where it begins, seconds on the recording's clock, or None if it is
            not about a moment.
        end: where it ends, same clock.
        what: one sentence for the user.
    """

    start: Decimal | None
    end: Decimal | None
    what: str


@dataclass(frozen=True, slots=True)
class RecordingFacts:
    """What is known of one recording file.

    Attributes:
        file: file name without folder.
        size: bytes.
        sha256: lower-case hexadecimal SHA-256 of the whole content.
        width: shown width in pixels, rotation and sample aspect applied.
        height: shown height in pixels, rotation and sample aspect applied.
        frame_starts: start of every frame that can be shown, in order, seconds with
            six decimals on the recording's clock (0 = the container's start).
        duration: end of the last frame, seconds with six decimals.
        damage: passages that are not whole.
    """

    file: str
    size: int
    sha256: str
    width: int
    height: int
    frame_starts: tuple[Decimal, ...]
    duration: Decimal
    damage: tuple[Damage, ...] = ()

    @property
    def frame_count(self) -> int:
        """Number of frames that can be shown."""
        return len(self.frame_starts)

    def index_at(self, seconds: Decimal) -> int:
        """Frame boundary a mark means: the frame whose start is nearest.

        The end of the film is a boundary too, one index past the last frame, so a
        span may end there. A tie goes to the earlier boundary.

        Args:
            seconds: a mark on the recording's clock.

        Returns:
            An index from 0 up to and including ``frame_count``.
        """
        after = bisect_left(self.frame_starts, seconds)
        candidates = [i for i in (after - 1, after) if 0 <= i <= self.frame_count]
        return min(candidates, key=lambda i: (abs(self.boundary(i) - seconds), i))

    def boundary(self, index: int) -> Decimal:
        """Where a frame begins, or the film ends, seconds on the recording's clock.

        Args:
            index: from 0 up to and including ``frame_count``.
        """
        return self.duration if index == self.frame_count else self.frame_starts[index]
