"""Find how the clocks of two recordings of one job stand to each other, from their sound.

A coarse search compares how loud eight bands are every 20 ms, at every shift, block by
block. The few shifts that stand out are then tried on the sound itself, at places spread
over the time that both would share (``sound_places``), which does not mind microphones
that colour the sound differently. The places must agree with one another, and no other
shift may do nearly as well; otherwise the answer is refused.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from author.errors import InputError
from author.progress import SILENT, Cancel, Progress
from author.recording.index import seconds
from author.recording.sound_places import (
    CLEAR,
    LOBE,
    REACH,
    Fit,
    Match,
    agreed,
    fast_size,
    highest,
    phase_correlation,
)

LEAST_OVERLAP = 5
"""Seconds that both recordings must share, about."""

SURE = 0.9
"""Confidence under which an offset is refused."""

Floats = NDArray[np.float32]

_REMEDY = "Clap once in view of both cameras, or set the offset by hand"
_JOB = "comparing the sound of two recordings"

_STEP = Fraction(1, 50)  # seconds between values of the coarse outline
_EDGES = np.geomspace(160, 3600, 9)  # Hz, of its bands
_DEPTH = 70.0  # dB below its loudest that an outline still follows
_SMOOTH = 25  # steps over which the slow part of an outline is taken away
_BLOCK = 15_000  # steps of the second recording compared at a time: drift stays under a step
_LEAST = 200  # steps of overlap
_TRIED = 8  # shifts tried on the sound itself
_CLOSE = 4  # steps within which two shifts are one
_PLACES = (6, 24)  # places looked at, for every shift and for the best
_PIECE = 6.0  # seconds of sound at one place
_PART, _PART_REACH = 1.5, 0.1  # seconds of the parts of a piece, and searched at each side
_PART_CLEAR = 4.5
_SAME = 0.003  # seconds between a part and its piece
_ENOUGH = 10.0  # seconds over which the sounds should be one
# Where each sign of a right offset stands even, and how steep it is; from generated pairs.
_STRENGTH = (0.8, 3.0)  # natural logarithm of the sum of heights
_OTHER = (0.5, -15.0)  # strength of the next best shift to that of the best
_RIVAL = (0.78, -20.0)
_EXTENT = (0.45, 20.0)
_DRIFT_ERROR = 5e-6  # standard error up to which it is told


@dataclass(frozen=True, slots=True)
class Offset:
    """How the clock of a second recording stands to that of a first.

    Attributes:
        seconds: the time on the first's clock at which the second's zero lies, six
            decimals; negative if the second began earlier.
        confidence: 0 to 1. On the careful side: of generated pairs of recordings, more
            were right at each confidence than it says (``bench_sound.py`` prints how many).
        drift: parts per million by which the second's clock runs slow: ``drift`` micro-
            seconds pass on the first's clock beyond each second of the second's. None if
            the overlap is too short to tell; then it is taken as 0.
    """

    seconds: Decimal
    confidence: float
    drift: float | None


def offset_between(
    first: Floats,
    second: Floats,
    rate: int,
    progress: Progress = SILENT,
    cancel: Cancel | None = None,
) -> Offset:
    """Find the offset between two recordings of one job.

    Args:
        first: mono sound of the first, from zero of its clock on; may be a memory map.
        second: the same of the second.
        rate: samples a second of both, 6000 at least; 8000 is enough.
        progress: hears how far it is.
        cancel: looked at often.

    Raises:
        InputError: there is no offset to be sure of.
        Cancelled: the user asked to stop.
        ValueError: the rate is too low.
    """
    if rate < 6000:
        raise ValueError("a rate too low for comparing sound")
    search = _Search(first, second, rate, progress, cancel or Cancel())
    return search.run()


class _Search:
    def __init__(
        self, first: Floats, second: Floats, rate: int, progress: Progress, cancel: Cancel
    ) -> None:
        self._sounds = (first, second)
        self._rate = rate
        self._progress = progress
        self._cancel = cancel
        self._outlines: list[Floats] = []

    def run(self) -> Offset:
        for sound in self._sounds:
            if len(sound) < LEAST_OVERLAP * self._rate * 0.9:
                raise InputError("is too short to be compared by its sound", remedy=_REMEDY)
        for number, sound in enumerate(self._sounds):
            self._outlines.append(self._outline(sound, number))
        shifts = self._shifts()
        fits = []
        for number, shift in enumerate(shifts):
            self._say(60 + 30 * number // len(shifts))
            fits.append(self._fit(shift, _PLACES[0]))
        fits.sort(key=lambda fit: -fit.strength)
        if not fits or not fits[0].matches:
            raise _unsure()
        best = self._fit(fits[0].offset, _PLACES[1])
        others = [fit.strength for fit in fits[1:] if abs(fit.offset - best.offset) > LOBE]
        found = _judged(best, fits[0].strength, max(others, default=0.0), self._extent(best))
        self._say(100)
        if found.confidence < SURE:
            raise _unsure()
        return found

    def _say(self, done: int) -> None:
        self._cancel.check()
        self._progress.report(_JOB, done, 100)

    def _outline(self, sound: Floats, number: int) -> Floats:
        """Return how loud the bands are, without what is slow: steps × bands."""
        hop = round(self._rate * _STEP)
        size = 2 * hop
        window = np.hanning(size).astype(np.float32)
        hertz = np.fft.rfftfreq(size, 1 / self._rate)
        bands = np.column_stack(
            [(hertz >= low) & (hertz < high) for low, high in pairwise(_EDGES)]
        ).astype(np.float32)
        count = max(0, len(sound) // hop - 1)
        found = np.zeros((count, bands.shape[1]), np.float32)
        for at in range(0, count, 500):
            if at % 10_000 == 0:
                self._say(round(20 * number + 20 * at / count))
            end = min(count, at + 500)
            part = np.nan_to_num(sound[at * hop : (end + 1) * hop], posinf=0.0, neginf=0.0)
            frames = np.lib.stride_tricks.sliding_window_view(part, size)[::hop]
            spectra = np.fft.rfft(frames * window, axis=1)
            found[at:end] = (spectra.real**2 + spectra.imag**2) @ bands
        return _flattened(found)

    def _shifts(self) -> list[float]:
        """Return shifts in seconds worth trying, the likeliest first."""
        one, two = self._outlines
        size = fast_size(len(one) + min(len(two), _BLOCK))
        spectra = [np.fft.rfft(band, size) for band in one.T]
        total = np.zeros(len(one) + len(two), np.float32)  # by shift + len(two)
        found: list[tuple[float, int]] = []
        for at in range(0, len(two), _BLOCK):
            self._say(40 + 20 * at // len(two))
            block = two[at : at + _BLOCK]
            product = np.zeros(size // 2 + 1, np.complex64)
            for spectrum, band in zip(spectra, block.T, strict=True):
                product += spectrum * np.conj(np.fft.rfft(band, size))
            near = np.fft.irfft(product, size).astype(np.float32)
            # Shift of the block against the first, from -len(block) to len(one).
            near = np.concatenate([near[-len(block) :], near[: len(one)]])
            shared = _shared(len(one), len(block))
            score = np.where(shared >= min(_LEAST, len(block)), near / np.sqrt(shared + 1.0), 0)
            score /= np.sqrt(np.mean(score**2)) + 1e-9
            begin = len(two) - len(block) - at
            found += [(height, begin + place) for height, place in _peaks(score, 3)]
            total[begin : begin + len(score)] += _widened(near)
        shared = _shared(len(one), len(two))
        total = np.where(shared >= _LEAST, total / np.sqrt(shared + 1.0), 0)
        total /= np.sqrt(np.mean(total**2)) + 1e-9
        found = sorted(found + _peaks(total, 4), reverse=True)
        kept: list[int] = []
        for _, place in found:
            if all(abs(place - other) > _CLOSE for other in kept):
                kept.append(place)
        return [float((place - len(two)) * _STEP) for place in kept[:_TRIED]]

    def _fit(self, shift: float, places: int) -> Fit:
        """Look at the sound at up to ``places`` places that share this shift."""
        matches = []
        looked = 0
        for start, length in self._spread(shift, places):
            self._cancel.check()
            looked += 1
            match = self._match(start, length, shift)
            if match is not None and match.height >= CLEAR:
                matches.append(match)
        return agreed(matches, looked, shift)

    def _spread(self, shift: float, places: int) -> Iterator[tuple[float, float]]:
        """Yield start and length, on the second's clock, of the places to look at.

        The overlap is cut evenly, and in each cut the place is taken where the outlines
        agree best, which is where there is something to hear in both.
        """
        lengths = [len(sound) / self._rate for sound in self._sounds]
        begin, end = max(0.0, -shift), min(lengths[1], lengths[0] - shift)
        cut = max((end - begin) / places, min(_PIECE, (end - begin) / 2))
        length = min(_PIECE, cut)
        one, two = self._outlines
        moved = round(shift / float(_STEP))
        for number in range(int((end - begin) / cut + 1e-6)):
            low = begin + number * cut
            at = max(round(low / float(_STEP)), 0, -moved)
            stop = min(round((low + cut) / float(_STEP)), len(two), len(one) - moved)
            wide = round(length / float(_STEP))
            if stop - at <= wide:
                yield low, length
                continue
            alike = (one[at + moved : stop + moved] * two[at:stop]).sum(1)
            sums = np.cumsum(np.concatenate([[0], alike]))
            yield (at + int(np.argmax(sums[wide:] - sums[:-wide]))) * float(_STEP), length

    def _match(
        self, start: float, length: float, shift: float, reaching: float = REACH
    ) -> Match | None:
        rate = self._rate
        count, reach = int(length * rate), int(reaching * rate)
        start = max(start, 0.0)
        at = round(start * rate)
        away = round((start + shift) * rate) - reach
        piece = self._sounds[1][at : at + count]
        wide = self._sounds[0][max(0, away) : max(0, away + count + 2 * reach)]
        wide = np.pad(wide, (max(0, -away), 0))
        wide = np.pad(wide, (0, max(0, count + 2 * reach - len(wide))))
        found = phase_correlation(wide, piece, rate)
        if found is None:
            return None
        values, step = found
        values = values[: int(2 * reaching / step)]
        height, place = highest(values, step)
        moment = (away - at) / rate + place * step
        return Match(start + length / 2, length, moment, height, values)

    def _extent(self, fit: Fit) -> float:
        """Return over how much of the time looked at the sounds are one, 0 to 1.

        The pieces that agree are looked at again in short parts: a signal tone that both
        recordings hold at different times makes them agree, but only as long as it lasts.
        """
        rate = self._rate
        found = []
        for match in fit.matches:
            parts = max(1, round(match.length / _PART))
            for number in range(parts):
                middle = match.time + match.length * ((number + 0.5) / parts - 0.5)
                part = self._match(middle - _PART / 2, _PART, match.shift, _PART_REACH)
                if part and part.height >= _PART_CLEAR and abs(part.shift - match.shift) < _SAME:
                    found.append(middle)
        if not fit.matches:
            return 0.0
        # Between the first and the last piece lies more than one such tone.
        pieces = fit.matches[-1].time - fit.matches[0].time - fit.matches[0].length
        parts_span = max(found) - min(found) if found else 0.0
        lengths = [len(sound) / rate for sound in self._sounds]
        shared = min(lengths[1], lengths[0] - fit.offset) - max(0.0, -fit.offset)
        return min(1.0, (max(pieces, parts_span) + _PART) / min(_ENOUGH, 0.6 * shared))


def _unsure() -> InputError:
    return InputError(
        "the sound does not tell surely how the two recordings lie in time", remedy=_REMEDY
    )


def _flattened(power: Floats) -> Floats:
    """Return outlines with their slow part taken away, scaled to a spread of 1, clipped."""
    if not len(power):
        return power
    least = power.max(0) * 10 ** (-_DEPTH / 10) + 1e-20
    found = np.log(np.maximum(power, least))
    sums = np.cumsum(np.pad(found, ((_SMOOTH + 1, _SMOOTH), (0, 0)), mode="edge"), axis=0)
    found -= (sums[2 * _SMOOTH + 1 :] - sums[: -2 * _SMOOTH - 1]) / (2 * _SMOOTH + 1)
    spread = np.sqrt(np.mean(found**2, axis=0)) + 1e-3
    found = np.clip(found / spread, -2, 4)
    found -= found.mean(0)
    return np.asarray(found, np.float32)


def _shared(one: int, two: int) -> Floats:
    """Return how many steps are shared at each shift from ``-two`` to ``one - 1``."""
    shift = np.arange(-two, one)
    shared = np.minimum(one, two + shift) - np.maximum(0, shift)
    return np.asarray(np.maximum(shared, 0), np.float32)


def _widened(values: Floats) -> Floats:
    """Return the most of each value and its neighbours, so that a drift does not matter."""
    edged = np.pad(values, 1, mode="edge")
    return np.asarray(np.maximum(np.maximum(edged[:-2], edged[2:]), values))


def _peaks(values: Floats, count: int) -> list[tuple[float, int]]:
    """Return height and place of the highest peaks that lie apart from one another."""
    left = values.copy()
    found = []
    for _ in range(count):
        place = int(np.argmax(left))
        found.append((float(left[place]), place))
        left[max(0, place - _CLOSE) : place + _CLOSE + 1] = 0
    return found


def _judged(best: Fit, strength: float, other: float, extent: float) -> Offset:
    """Weigh the evidence: any one sign that is bad makes it all worthless."""
    signs = (
        (np.log(best.strength + 1e-9), *_STRENGTH),
        (other / (strength + 1e-9), *_OTHER),
        (best.rival, *_RIVAL),
        (extent, *_EXTENT),
    )
    confidence = 1.0
    for value, middle, slope in signs:
        confidence /= 1 + float(np.exp(np.clip(-slope * (value - middle), -50, 50)))
    drift = round(best.slope * 1e6, 2) if best.error <= _DRIFT_ERROR else None
    return Offset(seconds(Fraction(best.offset)), round(confidence, 4), drift)
