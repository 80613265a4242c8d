"""Where the keys of the film lead: one frame, a second, a shot change, a pause in speech."""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from decimal import Decimal

from PyQt6.QtCore import QEvent, QObject
from PyQt6.QtGui import QKeyEvent

from author.bench.films import FilmDesk
from author.procedure.cues import Cue


class HeldKey(QObject):
    """Knows whether the key that is pressed repeats itself because it is held down."""

    def __init__(self, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self.repeats = False

    def eventFilter(self, _: QObject | None, event: QEvent | None) -> bool:
        """Look at keys on their way; keep none."""
        if isinstance(event, QKeyEvent) and event.type() != QEvent.Type.KeyRelease:
            self.repeats = event.isAutoRepeat()
        return False


def seconds_away(films: FilmDesk, seconds: int) -> int:
    """Return the frame some seconds away, another one than that looked at."""
    at = films.frame
    goal = films.frame_at(max(films.moment + seconds, Decimal(0)))
    return goal if goal != at else at + (1 if seconds > 0 else -1)


def change_away(films: FilmDesk, way: int) -> int | None:
    """Return the first frame of the next shot, or of this or the one before.

    Args:
        films: the films.
        way: 1 on, -1 back.

    Returns:
        A frame; None if the film has not been read yet. Past the last change the way
        leads to the ends of the film.
    """
    analyses = films.analyses()
    if analyses is None:
        return None
    return _next(sorted({0, *(each.index for each in analyses.shots)}), films, way)


def pause_away(films: FilmDesk, way: int) -> int | None:
    """Return the frame at which the next pause in speech begins, or the one before; as above."""
    analyses = films.analyses()
    if analyses is None:
        return None
    return _next(sorted({films.frame_at(each.start) for each in analyses.pauses}), films, way)


def _next(frames: Sequence[int], films: FilmDesk, way: int) -> int:
    if way > 0:
        at = bisect_right(frames, films.frame)
        return frames[at] if at < len(frames) else films.count() - 1
    at = bisect_left(frames, films.frame)
    return frames[at - 1] if at else 0


def said_at(cues: Sequence[Cue], seconds: Decimal) -> str:
    """Return what is said at a moment, in one line.

    Args:
        cues: captions by their start.
        seconds: the moment.
    """
    end = bisect_right(cues, seconds, key=lambda cue: cue.start)
    found = [cue.text for cue in cues[max(0, end - 8) : end] if cue.end > seconds]
    return " / ".join(" ".join(text.split()) for text in found)
