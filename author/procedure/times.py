"""Times as files and people write them: seconds with six decimals, a clock, a duration.

A frame's time is whole ticks of its stream's time base; only ``author.recording`` converts
between the two.
"""

from __future__ import annotations

import re
from decimal import ROUND_HALF_EVEN, Decimal

MARK_PATTERN = r"^(0|[1-9][0-9]{0,6})(\.[0-9]{1,6})?$"
_MARK = re.compile(MARK_PATTERN)
DURATION_PATTERN = r"^PT([0-9]{1,4}H([0-9]{1,2}M)?|[0-9]{1,4}M)$"
_DURATION = re.compile(DURATION_PATTERN)
_CLOCK = re.compile(r"^(?:([0-9]{1,3}):)?([0-9]{1,4}):([0-9]{2})(\.[0-9]{1,6})?$")


def read_mark(text: str) -> Decimal:
    """Return a mark as seconds with six decimals.

    Args:
        text: seconds, at most six decimals: ``12.5`` or ``12.500000``.

    Raises:
        ValueError: if it is not such a number or is negative.
    """
    if not _MARK.fullmatch(text):
        msg = f"{text[:40]!r} is not a time in seconds such as 12.500000"
        raise ValueError(msg)
    return Decimal(text).quantize(Decimal("0.000001"))


def read_clock(text: str) -> Decimal:
    """Return a time a person typed, ``75.5``, ``1:15.5`` or ``0:01:15.5``, in seconds.

    Raises:
        ValueError: if it is none of these.
    """
    match = _CLOCK.fullmatch(text)
    if match is None:
        return read_mark(text)
    hours, minutes, seconds, rest = match.groups()
    if int(seconds) > 59 or (hours is not None and int(minutes) > 59):
        msg = f"{text[:40]!r} has more than 59 seconds or minutes"
        raise ValueError(msg)
    whole = int(hours or 0) * 3600 + int(minutes) * 60 + int(seconds)
    return read_mark(f"{whole}{rest or ''}")


def clock_text(seconds: Decimal, decimals: int = 1) -> str:
    """Return seconds as minutes and seconds a person reads, rounded: ``2:05.3``."""
    rounded = seconds.quantize(Decimal(1).scaleb(-decimals), rounding=ROUND_HALF_EVEN)
    minutes, rest = divmod(rounded, 60)
    width = 3 + decimals if decimals else 2
    return f"{int(minutes)}:{rest:0{width}.{decimals}f}"


def read_duration(text: str) -> int:
    """Return minutes in a duration of hours and minutes, ``PT2H30M`` (RFC 3339, appendix A).

    Raises:
        ValueError: if it is not such a duration.
    """
    if not _DURATION.fullmatch(text):
        msg = f"{text[:40]!r} is not a duration such as PT2H30M"
        raise ValueError(msg)
    hours, _, minutes = text[2:].rpartition("H")
    return int(hours or 0) * 60 + int(minutes.rstrip("M") or 0)
