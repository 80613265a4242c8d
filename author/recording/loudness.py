"""Bring the sound of clips to one loudness: what to aim at, how to measure, what to try next.

−16 LUFS with a true peak of at most −1 dBTP (ITU-R BS.1770-4): programmes for phones and
tablets are made about so loud, and speech stays clear beside a machine. The gain is one
number for the whole clip, so nothing is pumped up and down. Only peaks that would pass
the limit are turned down, by a limiter that works at four times the rate.
"""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

TARGET = -16.0
"""Integrated loudness aimed at, LUFS."""

TOLERANCE = 1.0
"""How far from the target a clip may be, LU."""

PEAK = -1.0
"""Highest true peak a finished clip may have, dBTP."""

_CLOSE = 0.5  # LU from the target at which no further try is made
_CEILING = -1.8  # dBTP the limiter is first set to: coding raises peaks by some tenths
_MARGIN = 0.1  # dB below the limit: the meter of ffmpeg shows tenths
_MOST_LIMITING = 30.0
"""Most that peaks are turned down, dB.

Single blows in a quiet room would need more; they stay quieter than the target.
"""
_SILENT = -50.0
"""Below this (LUFS) there is nothing to hear; lifting it would lift only noise."""

_OVERSAMPLED = 4 * 48_000
# Limiter: the ear does not notice that what follows a blow is turned down for so short a
# time (masking); a slower return is heard as pumping. Common practice, no source.
_ATTACK_MS = 5
_RELEASE_MS = 50


@dataclass(frozen=True, slots=True)
class Loudness:
    """What a meter showed.

    Attributes:
        integrated: LUFS, gated; minus infinity for silence and below 0.4 s.
        peak: true peak in dBTP; minus infinity for silence.
    """

    integrated: float
    peak: float

    @property
    def silent(self) -> bool:
        """Whether there is nothing to hear, or too little of it to be measured."""
        return self.integrated < _SILENT

    @property
    def reached(self) -> bool:
        """Whether a finished clip is as loud as all others."""
        return abs(self.integrated - TARGET) <= TOLERANCE and self.peak <= PEAK


@dataclass(frozen=True, slots=True)
class Setting:
    """How a sound is changed.

    Attributes:
        gain: dB, the same for the whole clip.
        ceiling: dBTP above which peaks are turned down, or None without a limiter.
    """

    gain: float
    ceiling: float | None


@dataclass(frozen=True, slots=True)
class Trial:
    """A setting, and what the meter showed of the finished, coded sound."""

    setting: Setting
    result: Loudness


def metered(chain: Any, name: str) -> Any:
    """Return the sound led through a meter that writes to the log under ``name``."""
    return chain.filter(f"ebur128@{name}", peak="true", framelog="quiet")


def read(log: str, name: str) -> Loudness:
    """Return what the meter of this name wrote to the log; silence if it wrote nothing."""
    _, _, text = log.rpartition(f"[ebur128@{name} @")
    text = text.partition("[ebur128@")[0]
    number = r"\s+(-?[\d.]+|-?inf|nan) "
    loud = re.search(rf"\bI:{number}LUFS", text)
    peak = re.search(rf"\bPeak:{number}dBFS", text)
    values = [float(found[1]) if found else -math.inf for found in (loud, peak)]
    integrated, highest = (-math.inf if math.isnan(value) else value for value in values)
    # The meter shows its lower gate, −70 LUFS, where no block of 0.4 s passed it.
    return Loudness(integrated if integrated > -70 else -math.inf, highest)


def evened(chain: Any, setting: Setting) -> Any:
    """Return the sound changed by a setting: 48 kHz in, 48 kHz out, no sample more or less."""
    if setting.gain:
        chain = chain.filter("volume", f"{setting.gain:.2f}dB", precision="float")
    if setting.ceiling is None:
        return chain
    chain = chain.filter("aresample", _OVERSAMPLED).filter(
        "alimiter",
        limit=f"{10 ** (setting.ceiling / 20):.5f}",
        attack=_ATTACK_MS,
        release=_RELEASE_MS,
        level="false",
        latency="true",
    )
    return chain.filter("aresample", _OVERSAMPLED // 4)


def first_setting(source: Loudness) -> Setting:
    """Return what to try first with a sound that measured so."""
    gain = 0.0 if source.silent else TARGET - source.integrated
    return _limited(source, gain, _CEILING)


def next_setting(source: Loudness, trials: Sequence[Trial]) -> Setting | None:
    """Return what to try next, or None if the last trial is good or cannot be bettered.

    Args:
        source: the sound as it came.
        trials: what was tried so far, at least one.
    """
    last = trials[-1]
    setting, result = last.setting, last.result
    gain, ceiling = setting.gain, setting.ceiling
    over = result.peak - (PEAK - _MARGIN)
    if over > 0:
        ceiling = (_CEILING if ceiling is None else ceiling) - over - _MARGIN
    short = 0.0 if source.silent else TARGET - result.integrated
    if abs(short) > _CLOSE:
        gain += short / _slope(trials)
    wanted = _limited(source, gain, _CEILING if ceiling is None else ceiling)
    if over > 0 and wanted.ceiling is None:
        wanted = Setting(wanted.gain, ceiling)
    unchanged = abs(wanted.gain - setting.gain) < _MARGIN
    return None if over <= 0 and unchanged else wanted


def best(trials: Sequence[Trial]) -> int:
    """Return which trial to keep: within the peak if one is, then nearest to the target."""

    def worth(at: int) -> tuple[float, float]:
        result = trials[at].result
        return max(0.0, result.peak - PEAK), abs(result.integrated - TARGET)

    return min(range(len(trials)), key=worth)


def _limited(source: Loudness, gain: float, ceiling: float) -> Setting:
    """Return a setting with a limiter if it is needed, which never has too much to do."""
    gain = min(gain, ceiling - source.peak + _MOST_LIMITING)
    return Setting(gain, ceiling if source.peak + gain > ceiling else None)


def _slope(trials: Sequence[Trial]) -> float:
    """Return how much louder the sound becomes by one dB more gain, from the last two trials."""
    if len(trials) < 2:
        return 1.0
    (before, one), (after, two) = ((t.setting.gain, t.result.integrated) for t in trials[-2:])
    if abs(after - before) < _MARGIN:
        return 1.0
    return min(1.0, max(0.25, (two - one) / (after - before)))
