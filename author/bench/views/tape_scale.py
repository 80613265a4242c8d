"""The scale of the tape: where a time lies on it, and its graduations."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from decimal import Decimal

from author.procedure.times import clock_text

LARGEST = 480.0
"""Most points for a second: at 30 frames a second each frame has 16."""

MARGIN = 10
"""Points above the beginning and below the end."""

_FIGURE_ROOM = 58
_LEAST_GAP = 5.5
# Seconds between figures, between the longer lines, and between the short ones.
_RULES = (
    ("0.1", "0.05", "0.01"),
    ("0.5", "0.1", "0.05"),
    ("1", "0.5", "0.1"),
    ("2", "1", "0.2"),
    ("5", "1", "0.5"),
    ("10", "5", "1"),
    ("30", "10", "5"),
    ("60", "30", "10"),
    ("120", "60", "20"),
    ("300", "60", "30"),
    ("600", "300", "60"),
    ("1800", "600", "300"),
    ("3600", "1800", "600"),
)


@dataclass(frozen=True, slots=True)
class Graduation:
    """One line of the scale.

    Attributes:
        y: where it lies, points from the top of the tape.
        rank: 0 with a figure, 1 long, 2 short.
        figure: its time, on lines of rank 0.
    """

    y: float
    rank: int
    figure: str = ""


@dataclass(frozen=True, slots=True)
class TapeScale:
    """How a tape is drawn.

    Attributes:
        length: of the recording, seconds.
        points: for each second.
    """

    length: float = 0.0
    points: float = 8.0

    @property
    def height(self) -> int:
        """Height of the whole tape, points."""
        return math.ceil(self.length * self.points) + 2 * MARGIN

    def y(self, seconds: float | Decimal) -> float:
        """Return where a time lies, points from the top of the tape."""
        return MARGIN + float(seconds) * self.points

    def seconds(self, y: float) -> float:
        """Return the time that lies at a place, within the recording."""
        return min(max((y - MARGIN) / self.points, 0.0), self.length)

    def scaled(self, factor: float, room: int) -> TapeScale:
        """Return a larger or smaller scale.

        Args:
            factor: by which it is larger.
            room: points in sight; the scale is never so small that the film leaves room.
        """
        least = min(max(room - 2 * MARGIN, 1) / max(self.length, 0.04), LARGEST)
        return replace(self, points=min(max(self.points * factor, least), LARGEST))

    def graduations(self, top: float, bottom: float) -> list[Graduation]:
        """Return the lines between two places, from the top down."""
        major, middle, minor = self._rule()
        smallest = minor if float(minor) * self.points >= _LEAST_GAP else middle
        first = math.floor(self.seconds(top) / float(smallest))
        last = math.ceil(self.seconds(bottom) / float(smallest))
        decimals = 1 if major < 1 else 0
        found = []
        for number in range(max(first, 0), last + 1):
            at = number * smallest
            if at > Decimal(self.length):
                break
            if at % major == 0:
                found.append(Graduation(self.y(at), 0, clock_text(at, decimals)))
            else:
                found.append(Graduation(self.y(at), 1 if at % middle == 0 else 2))
        return found

    def _rule(self) -> tuple[Decimal, Decimal, Decimal]:
        for rule in _RULES:
            if float(rule[0]) * self.points >= _FIGURE_ROOM:
                break
        major, middle, minor = (Decimal(each) for each in rule)
        return major, middle, minor
