"""What there is to hear: a level strip, momentary loudness, and the pauses in speech.

The sound is heard once, as it is decoded, in frames of 40 ms that overlap by half. All
three answers come from the power spectrum of those frames, so an hour costs about as
much as one Fourier transform of it. Samples are mono at 16 kHz.

For speech, each frame is compared with a floor that follows the steady noise: in each bin
the least power (after Martin 2001, "Noise power spectral density estimation based on
optimal smoothing and minimum statistics") of about two seconds before and of two seconds
after, whichever is more, so that a machine that starts or stops moves it at once. What
stands above the floor is judged in ``speech``.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from itertools import pairwise
from typing import Any

import numpy as np
from numpy.typing import NDArray

from author.recording.speech import SURE, runs, speech_in

RATE = 16_000
"""Samples a second that a ``Listener`` hears."""

FRAME = Decimal("0.02")
"""Seconds from one value of ``Heard.level`` to the next."""

LONGEST = 24 * 3600
"""Seconds after which nothing more is heard; bounds memory against false time stamps."""

SILENCE = -120.0
"""Level and loudness of silence, dB."""

Floats = NDArray[np.float32]

_HOP = 320
_SIZE = 2 * _HOP
_HERTZ = RATE / _SIZE  # from one bin to the next
_CORE = 300  # frames analysed at a time: small enough for the caches
_BLOCK = 5  # frames in one step of the floor and of the loudness
_REACH = 18  # blocks the floor looks ahead and back
_SIDE = _REACH * _BLOCK
_LOW = 4  # the bin (100 Hz) below which nothing is looked at
_HIGH = 160  # the bin (4 kHz) above which only three bands are kept
_ABOVE_LEAST = 1.8  # how much more the mean of a steady noise is than its least
_HUSH = 1e-12  # power in one bin below which it is silent whatever the floor


@dataclass(frozen=True, slots=True)
class Pause:
    """A time without speech, seconds on the recording's clock, half open."""

    start: Decimal
    end: Decimal


@dataclass(frozen=True, slots=True)
class Heard:
    """What a ``Listener`` heard from zero of the recording's clock on.

    Attributes:
        level: for each 20 ms the level between 80 Hz and 7.5 kHz in dBFS (a sine wave
            of full scale is 0, AES17), in steps of 0.01 dB, not below ``SILENCE``.
        momentary: for each 100 ms the momentary loudness in LUFS of the 400 ms that end
            with it, the sound taken as one channel (ITU-R BS.1770-4, EBU Tech 3341), in
            steps of 0.01 LU, not below ``SILENCE``.
        speech: for each 20 ms how surely somebody speaks, 0 to 255; from 128 on it
            counts as speech.
    """

    level: Floats
    momentary: Floats
    speech: NDArray[np.uint8]

    def to_bytes(self) -> bytes:
        """Return a compact form, about 0.6 MB for an hour."""
        head = _HEAD + np.array([len(self.level), len(self.momentary)], "<u4").tobytes()
        parts = [np.rint(each * 100).astype("<i2") for each in (self.level, self.momentary)]
        return head + b"".join(part.tobytes() for part in parts) + self.speech.tobytes()

    @classmethod
    def from_bytes(cls, data: bytes) -> Heard:
        """Return what ``to_bytes`` wrote.

        Raises:
            ValueError: it is damaged or of another version.
        """
        at = len(_HEAD) + 8
        if data[: len(_HEAD)] != _HEAD or len(data) < at:
            raise ValueError("not a record of what was heard, or of another version")
        frames, steps = (int(each) for each in np.frombuffer(data, "<u4", 2, len(_HEAD)))
        if len(data) != at + 3 * frames + 2 * steps or steps != -(-frames // _BLOCK):
            raise ValueError("a record of what was heard is not whole")
        level = np.frombuffer(data, "<i2", frames, at)
        momentary = np.frombuffer(data, "<i2", steps, at + 2 * frames)
        speech = np.frombuffer(data, np.uint8, frames, at + 2 * (frames + steps))
        return cls(_from_hundredths(level), _from_hundredths(momentary), speech.copy())


_HEAD = b"RWHEARD1"


class Listener:
    """Hears a recording piece by piece; needs about 5 MB for each hour of it."""

    def __init__(self) -> None:
        self._next = 0  # sample number that comes next
        self._samples: list[Floats] = [np.zeros(_HOP // 2, np.float32)]
        self._waiting = _HOP // 2
        self._bands: list[Floats] = []  # frames that wait to be compared with the floor
        self._rows = 0
        self._begun = False
        self._totals: list[Floats] = []  # for each frame, level and loudness as power
        self._marks: list[Floats] = []  # for each frame, what ``_compared`` says

    def hear(self, samples: Floats, start: int) -> None:
        """Hear one piece.

        Args:
            samples: mono samples at ``RATE``, full scale 1, one dimension.
            start: number of the first on the recording's clock. What lies before zero or
                was heard already is dropped; a gap counts as silence.
        """
        piece = samples[max(0, self._next - start) :]
        start = max(start, self._next)
        piece = piece[: max(0, LONGEST * RATE - start)]
        if not len(piece):
            return
        while self._next < start:
            self._add(np.zeros(min(start - self._next, _CORE * _HOP), np.float32))
        for at in range(0, len(piece), _CORE * _HOP):
            self._add(piece[at : at + _CORE * _HOP].astype(np.float32))

    def finish(self) -> Heard:
        """Return what was heard. Nothing more may be heard after it."""
        frames = -(-self._next // _HOP)
        self._add(np.zeros(frames * _HOP - self._next + _HOP // 2, np.float32))
        self._transform()
        if self._rows:
            self._settle(last=True)
        totals = np.concatenate([*self._totals, np.zeros((0, 2), np.float32)])
        marks = np.concatenate([*self._marks, np.zeros((0, 4), np.float32)])[:frames]
        level = _decibels(totals[:, 0] * 2)  # a full sine wave has a mean square of a half
        return Heard(level, _momentary(totals[:, 1]), speech_in(marks, level))

    def _add(self, piece: Floats) -> None:
        self._samples.append(piece)
        self._waiting += len(piece)
        self._next += len(piece)
        if self._waiting >= _CORE * _HOP:
            self._transform()

    def _transform(self) -> None:
        """Turn the samples that wait into spectra, and keep of them what will be needed."""
        samples = np.concatenate(self._samples)
        count = max(0, len(samples) // _HOP - 1)
        power = _powers(samples, count)
        left = samples[count * _HOP :].copy()
        self._samples, self._waiting = [left], len(left)
        self._totals.append(power @ _WEIGHTS)
        self._bands.append(np.hstack([power[:, _LOW:_HIGH], power[:, _HIGH:] @ _ABOVE]))
        self._rows += count
        if self._rows >= _CORE + 2 * _SIDE:
            self._settle()

    def _settle(self, *, last: bool = False) -> None:
        """Compare the frames whose surroundings are known with the floor."""
        bands = np.concatenate(self._bands)
        # Beyond both ends the sound is taken as mirrored there.
        before = 0 if self._begun else _SIDE
        after = _SIDE + -len(bands) % _BLOCK if last else 0
        bands = np.pad(bands, ((before, after), (0, 0)), mode="symmetric")
        self._begun = True
        count = (len(bands) - 2 * _SIDE) // _BLOCK * _BLOCK
        self._marks.append(_compared(bands[: count + 2 * _SIDE]))
        left = bands[count:].copy()
        self._bands, self._rows = [left], len(left)


def pauses(heard: Heard, shortest: Decimal = Decimal("0.4")) -> tuple[Pause, ...]:
    """Return the times without speech.

    Args:
        heard: what a ``Listener`` heard.
        shortest: shortest pause told, seconds.
    """
    found = []
    for begin, end in runs(heard.speech < SURE):
        if (end - begin) * FRAME >= shortest:
            found.append(Pause(_at(begin), _at(end)))
    return tuple(found)


def _at(frame: int) -> Decimal:
    return (frame * FRAME).quantize(Decimal("0.000001"))


def _powers(samples: Floats, count: int) -> Floats:
    """Return power spectra: frames × bins; each row adds up to the frame's mean square."""
    if not count or not samples.any():
        return np.zeros((count, _SIZE // 2 + 1), np.float32)
    frames = np.lib.stride_tricks.sliding_window_view(samples, _SIZE)[::_HOP][:count]
    with np.errstate(over="ignore", invalid="ignore"):
        spectra = np.fft.rfft(frames * _WINDOW, axis=1)
        power = (spectra.real**2 + spectra.imag**2).astype(np.float32, copy=False)
        sound = np.isfinite(power.sum(1))
    power[~sound] = 0  # a damaged packet can decode to anything
    return power


def _k_weighting(hertz: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return the power gain of the two filters of ITU-R BS.1770-4, annex 1, tables 1 and 2.

    The standard gives coefficients at 48 kHz; their response is taken at the frequencies
    themselves, so that nothing is bent as a filter made anew for 16 kHz would be.
    """
    turn = np.exp(-2j * np.pi * hertz / 48_000)
    shelf = (1.53512485958697, -2.69169618940638, 1.19839281085285)
    shelf_back = (1.0, -1.69065929318241, 0.73248077421585)
    high = (1.0, -2.0, 1.0)
    high_back = (1.0, -1.99004745483398, 0.99007225036621)
    gain = np.ones(len(hertz), complex)
    for above, below in ((shelf, shelf_back), (high, high_back)):
        gain *= np.polyval(above[::-1], turn) / np.polyval(below[::-1], turn)
    return np.abs(gain) ** 2


def _decibels(power: Floats) -> Floats:
    """Return hundredths of a decibel as decibels, so that a stored value is the same."""
    least = 10 ** (SILENCE / 10)
    return _from_hundredths(np.rint(1000 * np.log10(np.maximum(power, least))))


def _from_hundredths(values: NDArray[Any]) -> Floats:
    return values.astype(np.float32) / np.float32(100)


def _momentary(power: Floats) -> Floats:
    """Return the loudness of the 400 ms that end with each 100 ms; before zero is silence."""
    steps = np.pad(power, (0, -len(power) % _BLOCK)).reshape(-1, _BLOCK).mean(1)
    known = np.pad(steps, (3, 0))
    windows = (known[:-3] + known[1:-2] + known[2:-1] + known[3:]) / 4
    return _decibels(windows * np.float32(10**-0.0691))


def _compared(bands: Floats) -> Floats:
    """Compare frames with the floor under them.

    Args:
        bands: power, frames × bands, with ``_SIDE`` frames more at each end.

    Returns:
        For each frame between: excess over the floor in dB from 200 Hz to 3.5 kHz; how
        like a comb the spectrum is, 0 to 1; how many dB more excess there is below 900 Hz
        than from 1.2 kHz up, and above 4 kHz than from 200 Hz to 3.5 kHz.
    """
    blocks = bands.reshape(-1, _BLOCK, bands.shape[1]).mean(1)
    smooth = blocks.copy()
    smooth[:, 1:-4] = (blocks[:, :-5] + 2 * blocks[:, 1:-4] + blocks[:, 2:-3]) / 4
    least = _least(smooth, _REACH + 1)
    floor = np.maximum(least[:-_REACH], least[_REACH:]) * _ABOVE_LEAST + _HUSH
    frames = bands[_SIDE : len(bands) - _SIDE].reshape(len(floor), _BLOCK, -1)
    ratio = (frames / floor[:, None]).reshape(-1, bands.shape[1])
    teeth = np.log(np.clip(ratio[:, _VOICED], 1, 50))
    sums = np.cumsum(np.pad(teeth, ((0, 0), (_TOOTH + 1, _TOOTH)), mode="edge"), axis=1)
    teeth -= (sums[:, 2 * _TOOTH + 1 :] - sums[:, : -2 * _TOOTH - 1]) / (2 * _TOOTH + 1)
    comb = (teeth @ _COMBS).max(1) / (np.abs(teeth).sum(1) + 6)
    broad = 10 * np.log10(ratio @ _BROAD + np.float32(1e-9))
    lean = broad[:, 2] - broad[:, 3]
    return np.column_stack([broad[:, 0], comb, lean, broad[:, 1] - broad[:, 0]])


def _least(rows: Floats, count: int) -> Floats:
    """Return the least of each ``count`` rows that follow one another."""
    have = 1
    while have < count:
        step = min(have, count - have)
        rows = np.minimum(rows[:-step], rows[step:])
        have += step
    return rows


def _mean_of(low: float, high: float) -> Floats:
    """Return the weights that average the bands from ``low`` to ``high`` Hz."""
    weights = ((low <= _CENTRES) & (high > _CENTRES)).astype(np.float32)
    return np.asarray(weights / weights.sum(), np.float32)


_BINS = np.asarray(np.arange(_SIZE // 2 + 1) * _HERTZ, np.float64)
_WINDOW = np.sin(np.pi * (np.arange(_SIZE) + 0.5) / _SIZE).astype(np.float32) * np.float32(
    2 / _SIZE
)
_WEIGHTS = np.column_stack([(_BINS >= 80) & (_BINS <= 7500), _k_weighting(_BINS)]).astype(
    np.float32
)
_EDGES = (4000.0, 5000.0, 6200.0, 7600.0)
_ABOVE = np.column_stack(
    [
        ((low <= _BINS) & (high > _BINS))[_HIGH:] * _HERTZ / (high - low)
        for low, high in pairwise(_EDGES)
    ]
).astype(np.float32)
_CENTRES = np.concatenate([_BINS[_LOW:_HIGH], [(low + high) / 2 for low, high in pairwise(_EDGES)]])
_BROAD = np.column_stack(
    [_mean_of(*each) for each in ((200, 3500), (4000, 8000), (200, 900), (1200, 4000))]
)
_LAGS = 1 / np.geomspace(75, 400, 48)  # seconds: the pitch of voices
_VOICED = slice(0, 64)  # 100 Hz to 1.7 kHz
_COMBS = np.cos(2 * np.pi * np.outer(_CENTRES[_VOICED], _LAGS)).astype(np.float32)
_TOOTH = 4  # bins to each side over which the envelope of a comb is taken
