"""Speech told from the noises of a workshop.

What stands above the floor falls into bursts of a syllable or two. A burst is speech if
its partials stand in a comb (as the autocorrelation of its spectrum shows), if it swells
again after its peak, if it lies low rather than high, and if there is more speech close
by. Blows and clinks start at their loudest, fade, ring out of tune, and stand alone.
The weights of these signs were fitted on the sounds of ``tests/recording/staged_sounds.py``.
"""

from __future__ import annotations

from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float32]

SURE = 128
"""Value from which a frame counts as speech."""

_BURST = (1.5, 6.0)  # dB above the floor at which a burst begins: in smooth and in rough noise
_ROUGH = 3.5  # how much more where the noise is rough, in units of its spread
_STRETCH = 500  # frames over which the roughness is taken
_FAINT = -75.0  # dBFS under which nothing is speech
_BEFORE, _AFTER = 1, 4  # frames that a burst is widened by: words set in and fade under the noise
_NEAR = 20.0  # frames beyond which a burst is no company
_NEIGHBOURS = 8
_ENOUGH = 12.0  # frames of speech around that are company enough
_LONG = 20  # frames of the longest burst


def runs(on: NDArray[np.bool_]) -> list[tuple[int, int]]:
    """Return begin and end of each unbroken run of true values."""
    edges = np.flatnonzero(np.diff(np.concatenate([[False], on, [False]]).astype(np.int8)))
    return list(zip(edges[::2].tolist(), edges[1::2].tolist(), strict=True))


def speech_in(marks: Floats, level: Floats) -> NDArray[np.uint8]:
    """Return for each frame how surely it is speech, 0 to 255."""
    surely = np.zeros(len(marks), np.uint8)
    if not len(marks):
        return surely
    edged = np.pad(marks[:, 0], 1, mode="edge")
    excess = np.asarray((edged[:-2] + 2 * edged[1:-1] + edged[2:]) / 4, np.float32)
    over = excess - _thresholds(excess)
    bursts = _bursts((over > 0) & (level > _FAINT))
    if not len(bursts):
        return surely
    own = _features(marks, over, bursts)
    near = _company(bursts, _sigmoid(own @ _ALONE[:-1] + _ALONE[-1]))
    chance = _sigmoid(np.column_stack([own, near]) @ _TOGETHER[:-1] + _TOGETHER[-1])
    for (begin, end), each in zip(bursts.tolist(), np.rint(chance * 255).tolist(), strict=True):
        around = slice(max(0, begin - _BEFORE), end + _AFTER)
        surely[around] = np.maximum(surely[around], int(each))
    return surely


def _bursts(on: NDArray[np.bool_]) -> NDArray[np.intp]:
    """Return begin and end of each run, long ones cut into pieces of a syllable or two."""
    found = []
    for begin, end in runs(on):
        edges = np.linspace(begin, end, 1 + -(-(end - begin) // _LONG)).astype(int).tolist()
        found += list(pairwise(edges))
    return np.array(found, np.intp).reshape(-1, 2)


def _thresholds(excess: Floats) -> Floats:
    """Return for each frame how far a burst must stand out there: more where noise is rough.

    The lower quarter of the excess is noise even where somebody speaks most of the time;
    its spread tells how rough that is.
    """
    found = np.empty_like(excess)
    for at in range(0, len(excess), _STRETCH):
        low, quarter = np.percentile(excess[max(0, at - _STRETCH) : at + 2 * _STRETCH], (5, 25))
        found[at : at + _STRETCH] = np.clip(quarter + _ROUGH * (quarter - low), *_BURST)
    return found


def _features(marks: Floats, over: Floats, bursts: NDArray[np.intp]) -> NDArray[np.float64]:
    """Describe each burst: likeness to a comb, swelling after its peak, lean, hiss."""
    begins, ends = bursts.T
    inside = np.append(np.clip(over + 1, 0, 10), 0)
    pairs = bursts.ravel()

    def mean(column: int) -> NDArray[np.float64]:
        values = np.append(marks[:, column], 0) * inside
        total: NDArray[np.float64] = np.add.reduceat(values, pairs)[::2]
        return total / np.add.reduceat(inside, pairs)[::2]

    lengths = ends - begins
    peaks = np.maximum.reduceat(np.append(over, 0), pairs)[::2]
    frames = np.concatenate([np.arange(begin, end) for begin, end in bursts])
    at_peak = frames[over[frames] == np.repeat(peaks, lengths)]
    first = at_peak[np.searchsorted(at_peak, begins)]
    swell = np.maximum(np.diff(over, append=over[-1:]), 0)
    swell[ends - 1] = 0
    again = np.where(frames >= np.repeat(first, lengths), swell[frames], 0)
    rises = np.add.reduceat(again, np.cumsum(lengths) - lengths)
    low, high = (np.clip(mean(column), -10, 10) for column in (2, 3))
    return np.column_stack([mean(1), np.log1p(rises), low, high])


def _company(bursts: NDArray[np.intp], chance: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return how much likely speech lies around each burst, near ones counting more."""
    begins, ends = bursts.T
    worth = chance * (ends - begins)
    found = np.zeros(len(bursts))
    for step in range(1, min(_NEIGHBOURS, len(bursts) - 1) + 1):
        far = np.clip(1 - (begins[step:] - ends[:-step]) / _NEAR, 0, 1)
        found[step:] += far * worth[:-step]
        found[:-step] += far * worth[step:]
    return np.minimum(found / _ENOUGH, 1)


def _sigmoid(value: NDArray[np.float64]) -> NDArray[np.float64]:
    return np.asarray(1 / (1 + np.exp(-np.clip(value, -50, 50))))


# Weights of ``_features`` and of ``_company``, and the constant; fitted on generated sounds.
_ALONE = np.array([17.75, 4.02, 0.35, 0.24, -6.21])
_TOGETHER = np.array([15.17, 1.44, 0.3, 0.23, 7.22, -7.45])
