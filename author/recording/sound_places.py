"""What the sound itself says, at places of two recordings that may have been made at once.

The cross-correlation with phase transform (GCC-PHAT; Knapp and Carter 1976, "The
generalized correlation method for estimation of time delay") gives at each place the
shift at which both are most alike. Places that agree lie on one line: its height is the
offset of the two clocks, its slope their drift.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float32]

REACH = 0.4  # seconds to each side that are searched there
_LOWEST, _HIGHEST = 150.0, 3800.0  # Hz
_AGREE = 0.02  # seconds between places: a sound that moves from one camera to the other
LOBE = 0.03  # seconds around a peak that belong to it: the early echoes of a room
CLEAR = 6.0  # height of a peak, in units of what lies around, from which it counts
_MOST_DRIFT = 2e-4
_TO_TELL_DRIFT = 5  # places from which a drift can be told
_LONG_ENOUGH = 90.0  # seconds between the first and the last of them


@dataclass(frozen=True, slots=True)
class Match:
    """What one place of the sound says: shift in seconds, height of its peak, and around."""

    time: float  # on the second's clock, of the middle
    length: float
    shift: float  # first's clock minus second's
    height: float
    around: Floats  # likeness at each shift searched


@dataclass(frozen=True, slots=True)
class Fit:
    """What the places say together about one shift."""

    matches: tuple[Match, ...]
    looked: int
    offset: float
    slope: float
    error: float  # of the slope
    strength: float
    rival: float


def fast_size(least: int) -> int:
    """Return a length of at least ``least`` for which the Fourier transform is fast."""
    power = 1 << max(0, (least - 1).bit_length())
    return min(size for size in (power, power // 4 * 3, power // 8 * 5) if size >= least)


def phase_correlation(wide: Floats, piece: Floats, rate: int) -> tuple[Floats, float] | None:
    """Correlate by phase alone.

    Args:
        wide: sound in which ``piece`` may lie.
        piece: the shorter sound.
        rate: samples a second.

    Returns:
        Likeness (1 if the same) for each place in ``wide`` at which ``piece`` may begin,
        and the seconds from one place to the next; None if one of them is silent.
    """
    size = fast_size(len(wide))
    low, high = (int(each * size / rate) for each in (_LOWEST, min(_HIGHEST, 0.47 * rate)))
    product = np.ones(high - low, np.complex64)
    for number, sound in enumerate((wide, piece)):
        level = float(np.sqrt(np.mean(np.square(sound, dtype=np.float64)))) if len(sound) else 0.0
        if not 1e-7 < level < 1e7:
            return None
        # Noise far below the sound: where there is none, phases shall be chance, not rounding.
        hiss = np.random.default_rng(number).standard_normal(len(sound), np.float32)
        part = np.fft.rfft((sound + hiss * (level * 1e-3)) * _taper(len(sound)), size)[low:high]
        product *= np.conj(part) if number else part
    product /= np.abs(product) + np.float32(1e-30)
    short = fast_size(4 * high)
    full = np.zeros(short // 2 + 1, np.complex64)
    full[low:high] = product
    values = np.fft.irfft(full, short).astype(np.float32) * (short / (2 * (high - low)))
    return values, size / (short * rate)


def _taper(count: int) -> Floats:
    """Return a window that rises and falls over a tenth of its length at each end."""
    edge = max(1, count // 10)
    window = np.ones(count, np.float32)
    ramp = (0.5 - 0.5 * np.cos(np.pi * (np.arange(edge) + 0.5) / edge)).astype(np.float32)
    window[:edge] = ramp
    window[-edge:] = ramp[::-1]
    return window


def highest(values: Floats, step: float) -> tuple[float, float]:
    """Return the height of the highest peak over what lies around, and its exact place.

    A microphone may turn the sound over, so a peak may point down.
    """
    size = np.abs(values)
    place = int(np.argmax(size))
    lobe = int(LOBE / step)
    outside = np.concatenate([values[: max(0, place - lobe)], values[place + lobe :]])
    height = float(size[place] / (np.sqrt(np.mean(outside**2)) + 1e-9)) if len(outside) else 0.0
    return height, _vertex(size, place)


def _vertex(size: Floats, place: int) -> float:
    """Return the exact place of the peak at ``place``, by the parabola through three points."""
    if not 0 < place < len(size) - 1:
        return float(place)
    before, top, after = (float(each) for each in size[place - 1 : place + 2])
    bend = before - 2 * top + after
    return place + float(np.clip(0.5 * (before - after) / bend, -0.5, 0.5)) if bend else place


def agreed(matches: list[Match], looked: int, shift: float) -> Fit:
    """Keep the matches that lie on one line, and say how strong they are together."""
    if not matches:
        return Fit((), looked, shift, 0.0, float("inf"), 0.0, 1.0)
    times = np.array([match.time for match in matches])
    shifts = np.array([match.shift for match in matches])
    weights = np.array([match.height - CLEAR + 1 for match in matches])
    best = np.zeros(len(matches), bool)
    for one in range(len(matches)):
        for other in range(one, len(matches)):
            span = times[other] - times[one]
            slope = (shifts[other] - shifts[one]) / span if span else 0.0
            if abs(slope) > _MOST_DRIFT:
                continue
            fits = np.abs(shifts - shifts[one] - slope * (times - times[one])) < _AGREE
            if weights[fits].sum() > weights[best].sum():
                best = fits
    kept = tuple(match for match, fits in zip(matches, best, strict=True) if fits)
    offset, slope, error = _line(times[best], shifts[best], weights[best])
    return Fit(kept, looked, offset, slope, error, float(weights[best].sum()), _rival(kept))


def _line(
    times: NDArray[np.float64], shifts: NDArray[np.float64], weights: NDArray[np.float64]
) -> tuple[float, float, float]:
    """Fit shift = offset + slope × time, and tell how exact the slope is.

    Returns:
        Offset, slope, and standard error of the slope; too few or too near places give
        their weighted middle and no slope.
    """
    for _ in range(2):
        middle = float(np.average(times, weights=weights))
        away = times - middle
        level = float(np.average(shifts, weights=weights))
        spread = float(np.sum(weights * away**2))
        if len(times) < _TO_TELL_DRIFT or np.ptp(times) < _LONG_ENOUGH:
            return _middle(shifts, weights), 0.0, float("inf")
        slope = float(np.sum(weights * away * (shifts - level))) / spread
        left = shifts - level - slope * away
        usual = float(np.median(np.abs(left))) * 1.4826 + 1e-5
        keep = np.abs(left) < 4 * usual
        times, shifts, weights = times[keep], shifts[keep], weights[keep]
    error = usual / float(np.sqrt(np.sum((times - times.mean()) ** 2)) + 1e-9)
    return level - slope * middle, slope, error


def _middle(values: NDArray[np.float64], weights: NDArray[np.float64]) -> float:
    order = np.argsort(values)
    reached = np.cumsum(weights[order])
    return float(values[order][np.searchsorted(reached, reached[-1] / 2)])


def _rival(matches: tuple[Match, ...]) -> float:
    """Return the height of the next peak beside the highest, all places together, 0 to 1.

    The hum of a motor and the beat of a machine repeat: then the next is nearly as high.
    """
    total = np.zeros(1)
    for match in matches:
        size = np.abs(match.around)
        half = len(size) // 2
        place = int(np.argmax(size))
        # Around the peak to both sides; what lies beyond the piece counts as nothing.
        part = np.pad(size / size[place], half)[place : place + 2 * half + 1] * match.height
        total = total + part
    half = len(total) // 2
    lobe = int(LOBE * half / REACH)
    return float(max(total[: half - lobe].max(), total[half + lobe + 1 :].max()) / total[half])
