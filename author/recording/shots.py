"""Where the shots of a film change and where hands are at work, decided from its looks."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any, Literal

import numpy as np
import numpy.typing as npt

from author.recording.looks import FAR, LAG

Looks = npt.NDArray[np.void]
"""One ``LOOK`` record a frame."""
Times = npt.NDArray[np.float64]
_Floats = npt.NDArray[np.float32]

_UNLIKE = 0.42
"""A cut leaves less likeness than this; shake, fast hands and flashes leave more."""
_UNLIKE_ALONE = 0.6
"""Enough for a cut if the frames on both sides change far less."""
_DROP = 0.65
"""A cut's likeness is under this share of what is usual around it."""
_AROUND = 12
_SAME = 0.87
"""Correlation of two thumbs above which they show the same scene."""
_RETURN = 0.5
"""Seconds within which a scene that comes back after a sudden change was only disturbed."""
_SLOW_RETURN = 1.0
"""The same after a gradual change."""
_SOLID = 0.27
_MOVING = 0.025
"""Share of the picture that must move for hands to be at work."""
_NOTHING = 1.5
"""Contrast (grey levels) of a picture in which there is nothing to see."""
_MISFIT = 0.45
_KEPT = 0.55
_LONGEST = 4.0
"""Seconds; slower changes are taken for the light's or the camera's."""


@dataclass(frozen=True, slots=True)
class ShotChange:
    """Where one shot ends and the next begins.

    Attributes:
        kind: ``cut``, or ``fade`` for any gradual change (through black or white, or
            one picture into the other).
        start: index of the first frame of the transition.
        index: index of the first whole frame of the new shot; for a cut as ``start``.
    """

    kind: Literal["cut", "fade"]
    start: int
    index: int


@dataclass(frozen=True, slots=True)
class MotionSpan:
    """A half-open run of frames in which something moves before the camera, or nothing.

    Attributes:
        start: index of the first frame.
        end: one past the last.
        kind: ``working`` or ``still``.
    """

    start: int
    end: int
    kind: Literal["working", "still"]


def shot_changes(looks: Looks, times: Times) -> tuple[ShotChange, ...]:
    """Return the shot changes of a film, in order.

    Args:
        looks: a record a frame, in the order shown.
        times: when each frame is shown, seconds, rising; gaps may differ.
    """
    if len(looks) < 2:
        return ()
    solid = _through_solid(looks, times)
    cuts = _cuts(looks, times, solid)
    found = [change for change in solid if change.index > change.start]
    found += [ShotChange("cut", cut, cut) for cut in cuts]
    found += _dissolves(looks, times, found)
    return tuple(sorted(found, key=lambda change: change.start))


def _thumbs(looks: Looks) -> _Floats:
    return looks["thumb"].reshape(len(looks), -1).astype(np.float32)


def _even(thumbs: _Floats) -> _Floats:
    """Return thumbs without mean and of length one, so that products are correlations."""
    free = thumbs - thumbs.mean(1, keepdims=True)
    return np.asarray(free / (np.linalg.norm(free, axis=1, keepdims=True) + 1.0), np.float32)


def _comes_back(looks: Looks, times: Times, left: int, right: int, within: float = _RETURN) -> bool:
    """Return whether frames just before ``left`` show the scene of frames from ``right`` on."""
    first = int(np.searchsorted(times, times[left] - within))
    last = int(np.searchsorted(times, times[right] + within, "right"))
    first, last = min(first, left - 1), max(last, right + 1)
    before = _even(_thumbs(looks[max(0, first, left - 60) : left]))
    after = _even(_thumbs(looks[right : min(last, right + 60)]))
    return bool(before.size and (before @ after.T).max() > _SAME)


def _cuts(looks: Looks, times: Times, solid: Sequence[ShotChange]) -> list[int]:
    like, far = looks["like"], np.where(looks["flags"] & FAR, looks["like_far"], 1.0)
    possible = like < _UNLIKE_ALONE
    for change in solid:
        possible[change.start : change.index + 1] = False
    found: list[int] = []
    for at in np.flatnonzero(possible).tolist():
        beside = np.concatenate([like[max(0, at - 2) : at], like[at + 1 : at + 3]])
        around = np.concatenate([like[max(0, at - _AROUND) : at], like[at + 1 : at + _AROUND]])
        usual = float(np.median(around)) if around.size else 1.0
        alone = beside.size == 0 or float(beside.min()) > like[at] + 0.2
        after = float(far[at : at + LAG - 1].max())
        if like[at] > _DROP * usual or (like[at] >= _UNLIKE and not alone):
            continue
        if after > max(_UNLIKE, like[at] + 0.12) or (beside.size and like[at] > beside.min()):
            continue
        if not _comes_back(looks, times, at, at):
            found.append(at)
    return found


def _through_solid(looks: Looks, times: Times) -> list[ShotChange]:
    """Return changes through black or white; a scene that comes back at once has no length."""
    spread, mean = looks["spread"], looks["mean"]
    usual = _usual(spread)
    empty = (spread < _SOLID * usual) & (spread < 8) & ((mean < 48) | (mean > 200))
    found = []
    for first, end in runs(empty):
        if first == 0 or end == len(looks):
            continue
        start = _ramp(spread, times, first, -1)
        index = _ramp(spread, times, end - 1, 1)
        ramps = (first - start >= 3) + (index - end >= 3)
        if not ramps and spread[first:end].min() > _NOTHING:
            continue  # a dark room, not an empty picture
        if ramps < 2 and _comes_back(looks, times, max(1, start), min(index, len(looks) - 1)):
            found.append(ShotChange("fade", start, start))
        else:
            found.append(ShotChange("fade", start, min(index, len(looks) - 1)))
    return found


def _usual(values: _Floats) -> _Floats:
    """Return the 80th percentile of the values around each, coarsely."""
    step, reach = 16, 96
    marks = np.arange(0, len(values), step)
    levels = [np.percentile(values[max(0, at - reach) : at + reach], 80) for at in marks]
    return np.repeat(np.array(levels, np.float32), step)[: len(values)]


def _ramp(spread: _Floats, times: Times, at: int, way: int) -> int:
    """Walk away from a solid frame while the contrast grows; return the first whole frame.

    Walking back, it returns the first frame of the transition.
    """
    begin = at
    while 0 <= at + way < len(spread) and abs(times[at + way] - times[begin]) < _LONGEST:
        if spread[at + way] <= spread[at] * 1.012 + 0.05:
            break
        at += way
    return at if way > 0 else at + 1


def runs(marks: npt.NDArray[np.bool_]) -> list[tuple[int, int]]:
    """Return the half-open runs of true values."""
    edges = np.flatnonzero(np.diff(np.concatenate([[False], marks, [False]])))
    return [(int(a), int(b)) for a, b in edges.reshape(-1, 2)]


def _dissolves(looks: Looks, times: Times, known: Sequence[ShotChange]) -> list[ShotChange]:
    """Return changes of one picture into another, best first, where no other change is."""
    candidates: list[tuple[float, int, int]] = []
    for at in np.flatnonzero((looks["mixed"] > 0) & (looks["like_mixed"] < _UNLIKE)):
        last, first = int(at), int(at) - int(looks["mixed"][at])
        misfit, kept = _mixture(looks[first : last + 1])
        if times[last] - times[first] <= _LONGEST and misfit < _MISFIT and kept < _KEPT:
            candidates.append((misfit + kept, first, last))
    found: list[ShotChange] = []
    for _, first, last in sorted(candidates):
        if all(last < change.start or first >= change.index for change in [*known, *found]):
            change = _bounds(looks, first, last)
            if not _comes_back(looks, times, max(1, change.start), change.index, _SLOW_RETURN):
                found.append(change)
    return found


def _mixture(looks: Looks) -> tuple[float, float]:
    """Return how far frames are from a mix of the first and last, and how much detail is kept.

    Kept is 0 where contrast and detail fall as those of a mix of two unrelated pictures
    must (by the squares of the shares), and 1 where they do not fall.
    """
    thumbs = _thumbs(looks)
    share = _shares(thumbs)
    whole = thumbs[-1] - thumbs[0]
    rest = thumbs - thumbs[0] - share[:, None] * whole
    misfit = float(np.square(rest).sum(1).max() / (np.square(whole).sum() + 1.0))
    share = np.clip(share, 0, 1)
    kept = []
    for power in (
        looks["spread"] ** 2,
        np.square(looks["middle"]).sum(1),
        np.square(looks["fine"]).sum(1),
    ):
        even = (1 - share) * power[0] + share * power[-1]
        mixed = (1 - share) ** 2 * power[0] + share**2 * power[-1]
        kept.append(float((power - mixed).sum() / ((even - mixed).sum() + 1e-6)))
    return misfit, max(kept[0] * 0.8, float(np.mean(kept)))


def _shares(thumbs: _Floats) -> _Floats:
    whole = thumbs[-1] - thumbs[0]
    return np.asarray((thumbs - thumbs[0]) @ whole / (float(whole @ whole) + 1.0), np.float32)


def _bounds(looks: Looks, first: int, last: int) -> ShotChange:
    """Return the change between two frames of different shots, by the share of the mix."""
    thumbs = _thumbs(looks[first : last + 1])
    share = _shares(thumbs)
    # The middle half tells the pace; near the ends whatever moves hides the mix.
    early = int(np.flatnonzero(share < 0.25)[-1]) + 1
    late = max(early + 1, int(np.flatnonzero(share > 0.75)[0]))
    half = (late - early + 1) // 2
    start, end = max(0, early - half), min(last - first, late + half)
    return ShotChange("fade", first + start, first + max(end, start + 1))


def motion_spans(looks: Looks, times: Times) -> tuple[MotionSpan, ...]:
    """Return where hands or parts move and where all is still, over the whole film.

    A moving camera alone is no work. Pauses under a second and movements under a third
    of a second do not count.

    Args:
        looks: a record a frame, in the order shown.
        times: when each frame is shown, seconds, rising.
    """
    if not len(looks):
        return ()
    # Across a cut all has "moved"; that tells nothing.
    other = ((looks["flags"] & FAR) > 0) & (looks["like_far"] < _UNLIKE_ALONE)
    working = (looks["moving"] > _MOVING) & ~other
    working = _closed(working, times, 1.0)
    working = ~_closed(~working, times, 0.33)
    edges = [0, *(np.flatnonzero(np.diff(working)) + 1).tolist(), len(looks)]
    return tuple(
        MotionSpan(start, end, "working" if working[start] else "still")
        for start, end in pairwise(edges)
    )


def _closed(marks: Any, times: Times, gap: float) -> npt.NDArray[np.bool_]:
    """Return the marks with gaps between them that are shorter than ``gap`` seconds filled."""
    filled = np.array(marks, bool)
    for start, end in runs(~filled):
        if start > 0 and end < len(filled) and times[end] - times[start] < gap:
            filled[start:end] = True
    return filled
