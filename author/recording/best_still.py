"""Which frame near a mark makes the best still picture, decided from the film's looks."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import numpy.typing as npt

from author.recording.shots import Looks, ShotChange, Times

_SHARP = 0.75
"""Sharpness from which a frame counts as sharp, beside the best of its shot."""
_NEARLY = 0.97
"""A frame with this share of the best sharpness is as good, if it is nearer to the mark."""
_AROUND = 3.0
"""Seconds to both sides whose sharpest frames set the scale."""
_EDGELESS = 0.13
"""Share of fine in middle differences below which even the sharpest frame is blurred."""
_CLIPPED = 0.15


@dataclass(frozen=True, slots=True)
class Choice:
    """The frame to take.

    Attributes:
        index: of the frame.
        reason: why, one sentence.
        sharpness: of the frame, beside the sharpest around it; 0 to 1.
        at_sharpness: of the marked frame, on the same scale.
    """

    index: int
    reason: str
    sharpness: float
    at_sharpness: float


def best_still(
    looks: Looks, times: Times, shots: Sequence[ShotChange], at: int, within: float
) -> Choice:
    """Return the sharpest frame near a mark, in the same shot; of equals the nearest.

    Args:
        looks: a record a frame, in the order shown.
        times: when each frame is shown, seconds, rising.
        shots: the film's shot changes.
        at: index of the marked frame.
        within: seconds to both sides of it.

    Raises:
        IndexError: there is no frame ``at``.
    """
    if not 0 <= at < len(looks):
        raise IndexError(f"no frame {at} of {len(looks)}")
    first, end = _shot(shots, at, len(looks))
    low, high = _span(times, at, within, first, end)
    if low >= high:
        low, high = (first, first + 1) if at < first else (end - 1, end)
    wide_low, wide_high = _span(times, at, max(within, _AROUND), first, end)
    wide_low, wide_high = min(low, wide_low), max(high, wide_high)
    around = looks[wide_low:wide_high]
    scale = _scale(around)
    sharpness = _sharpness(looks[low:high], scale)
    usable = sharpness * _undisturbed(looks[low:high], around)
    chosen = _nearest(usable, times[low:high], float(times[at]))
    own = float(_sharpness(looks[at : at + 1], scale)[0])
    is_sharp = bool(usable[chosen] >= _SHARP) and scale.clear
    reason = _reason(looks, at, low + chosen, high - low, own, is_sharp, not first <= at < end)
    return Choice(low + chosen, reason, float(sharpness[chosen]), own)


def _shot(shots: Sequence[ShotChange], at: int, frames: int) -> tuple[int, int]:
    """Return the whole frames of the shot at a frame; inside a transition, of the nearer one."""
    first, end = 0, frames
    for change in shots:
        if at >= change.index or at - change.start > change.index - 1 - at:
            first = max(first, change.index)
        else:
            end = min(end, change.start)
    return first, max(end, first + 1)


def _span(times: Times, at: int, within: float, first: int, end: int) -> tuple[int, int]:
    low = int(np.searchsorted(times, times[at] - within - 1e-9))
    high = int(np.searchsorted(times, times[at] + within + 1e-9, "right"))
    return max(low, first), min(high, end)


@dataclass(frozen=True, slots=True)
class _Scale:
    """The sharpest that the frames around a mark reach, along each direction."""

    fine: npt.NDArray[np.float64]
    ratio: npt.NDArray[np.float64]
    clear: bool


def _measures(looks: Looks) -> tuple[npt.NDArray[np.float64], npt.NDArray[np.float64]]:
    """Return fine detail for the contrast there is, and for the coarser detail there is.

    The first falls with every blur but also if hands hide detail; the second hardly
    depends on what is seen, but falls less.
    """
    fine = looks["fine"].astype(np.float64)
    return fine / (looks["spread"][:, None] + 2.0), fine / (looks["middle"] + 0.5)


def _scale(around: Looks) -> _Scale:
    fine, ratio = (measure.max(0) for measure in _measures(around))
    return _Scale(fine + 1e-6, ratio + 1e-6, bool(ratio.min() > _EDGELESS))


def _sharpness(looks: Looks, scale: _Scale) -> npt.NDArray[np.float64]:
    """Return the sharpness along the worst direction: a smear dulls one direction only."""
    fine, ratio = _measures(looks)
    both = np.minimum(fine / scale.fine, 1) ** 0.6 * np.minimum(ratio / scale.ratio, 1) ** 0.4
    return np.asarray(both.min(1))


def _undisturbed(looks: Looks, around: Looks) -> npt.NDArray[np.float64]:
    """Return a factor for each frame that is less than one in a flash or a swift move."""
    brighter = np.abs(looks["mean"] - np.median(around["mean"])) / 60
    burnt = np.maximum(looks["clipped"] - np.median(around["clipped"]) - _CLIPPED, 0)
    moved = np.abs(looks["shift"]).max(1)
    return np.asarray(
        1 - np.clip(0.3 * np.maximum(brighter - 0.5, 0) + burnt + np.minimum(4 * moved, 0.3), 0, 1)
    )


def _nearest(usable: npt.NDArray[np.float64], times: Times, mark: float) -> int:
    good = np.flatnonzero(usable >= _NEARLY * usable.max())
    return int(good[np.argmin(np.abs(times[good] - mark))])


def _reason(
    looks: Looks, at: int, chosen: int, count: int, own: float, is_sharp: bool, between: bool
) -> str:
    if not is_sharp:
        return f"no frame of {count} is sharp; this is the least blurred"
    if chosen == at:
        return f"the marked frame is as sharp as any of {count} frames"
    if between:
        fault = "the marked frame lies in a change of shots"
    elif own >= _SHARP:
        fault = "the marked frame is a little less sharp"
    else:
        fault = f"the marked frame is {_fault(looks, at, chosen)}"
    return f"sharpest of {count} frames; {fault}"


def _fault(looks: Looks, at: int, chosen: int) -> str:
    """Name the blur: a smear takes detail along one way, lost focus along all."""
    kept = looks["middle"][at] / (looks["middle"][chosen] + 0.1)
    one_way = kept.min() < 0.75 * kept.max() and kept.max() > 0.5
    moving = np.abs(looks["shift"][at]).max() > 0.02
    return "smeared by movement" if one_way or moving else "out of focus"
