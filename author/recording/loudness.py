"""Bring clips to one loudness (EBU R 128), in two passes: measure, then set.

−16 LUFS with a true peak of −1.5 dBTP: programmes for phones and tablets are made
about so loud, and speech stays clear beside a machine.
"""

from __future__ import annotations

import json
import math
import re
from dataclasses import dataclass
from typing import Any

TARGET = -16.0
"""Integrated loudness aimed at, LUFS."""

PEAK = -1.5
"""Highest true peak, dBTP."""

_RANGE = 11.0
_SILENT = -50.0
"""Below this (LUFS) there is nothing to hear; lifting it would lift only noise."""

_RATE = 48_000


@dataclass(frozen=True, slots=True)
class Loudness:
    """What the first pass measured.

    Attributes:
        integrated: LUFS.
        peak: dBTP.
        spread: loudness range, LU.
        threshold: LUFS.
        offset: LU.
    """

    integrated: float
    peak: float
    spread: float
    threshold: float
    offset: float


def meter(chain: Any) -> Any:
    """Return the sound led through the meter of the first pass."""
    return chain.filter("loudnorm", I=TARGET, TP=PEAK, LRA=_RANGE, print_format="json")


def read(log: str) -> Loudness | None:
    """Return what the meter wrote to the log, or None if the sound is too quiet."""
    blocks = re.findall(r"\{[^{}]*\"input_i\"[^{}]*\}", log)
    if not blocks:
        return None
    try:
        plain = json.loads(blocks[-1])
        names = ("input_i", "input_tp", "input_lra", "input_thresh", "target_offset")
        values = [float(plain[name]) for name in names]
    except (ValueError, KeyError):
        return None
    if not all(math.isfinite(value) for value in values) or values[0] < _SILENT:
        return None
    return Loudness(*values)


def evened(chain: Any, found: Loudness) -> Any:
    """Return the sound brought to the target by what the first pass measured."""
    chain = chain.filter(
        "loudnorm",
        I=TARGET,
        TP=PEAK,
        LRA=max(_RANGE, min(50.0, found.spread)),
        measured_I=found.integrated,
        measured_TP=found.peak,
        measured_LRA=found.spread,
        measured_thresh=found.threshold,
        offset=found.offset,
        linear="true",
    )
    return chain.filter("aresample", _RATE)
