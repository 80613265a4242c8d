"""Pictures and clips as the work page shows them."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from author.procedure.cues import Cue


@dataclass(frozen=True, slots=True)
class PagePicture:
    """A still without its callouts, which the page draws itself at any size.

    Attributes:
        file: name relative to the page; masks are burnt into it.
        width: width in pixels.
        height: height in pixels.
    """

    file: str
    width: int
    height: int


@dataclass(frozen=True, slots=True)
class PageClip:
    """A clip, its masks and the band of its grade burnt in.

    Attributes:
        file: name relative to the page.
        width: width in pixels.
        height: height in pixels.
        frame_starts: start of every frame, seconds from the clip's start.
        duration: end of the last frame, seconds.
        cues: captions, in order.
    """

    file: str
    width: int
    height: int
    frame_starts: tuple[Decimal, ...]
    duration: Decimal
    cues: tuple[Cue, ...] = ()
