"""The look of callouts where they are drawn by a program and not by a template.

The unit of every length is the size of a plate's letters. ``templates/callouts.typ`` draws
the same on paper.
"""

from __future__ import annotations

import math
from typing import Literal

UNIT = 0.027
"""The unit, as a share of the longer side of the picture."""
HEAD_LENGTH = 1.15
_HEAD_HALF = 0.5
HEAD_EDGE = 0.22
"""Width of the pale edge around a head."""
LINE = (0.42, 0.2)
"""Width of a line's pale edge, and of the line."""
OUTLINE = (0.46, 0.22)
"""The same of rings and boxes."""
DOT = 0.32
"""Radius of the dot a leader ends in."""
DOT_EDGE = 0.14
DISC = 0.95
"""Radius of the disc a number stands on."""
DISC_EDGE = 0.16
NUMBER = 1.05
"""Size of a number."""
PLATE_EDGE = 0.13
PLATE_ROUND = 0.25
PLATE_INSET = (0.45, 0.38)
"""From the words to the edge of their plate, sideways and up."""
PLATE_WIDEST = 0.38
"""Widest words on one line, as a share of the picture's width."""
PLATE_NARROWER = (0.9, 0.8, 0.7, 0.6)
"""Shares of that to try, so that lines are about equally long."""
LEADING = 0.42
"""Between the foot of a line of words and the capitals of the next."""
GAP = 0.45
"""Between a ring or box and its plate."""
RIM = 0.006
"""Between a plate and the rim of the picture, as a share of its width."""

Corner = tuple[float, float]
Side = Literal["below", "above", "over"]


def head_corners(dx: float, dy: float) -> tuple[Corner, Corner]:
    """Return both rear corners of an arrow's head, in units from its tip.

    Args:
        dx: to the right from the tail to the tip, in any length but that of ``dy``.
        dy: down, likewise.
    """
    length = math.hypot(dx, dy) or 1.0
    ux, uy = dx / length, dy / length
    first, second = (
        (-HEAD_LENGTH * ux + side * uy, -HEAD_LENGTH * uy - side * ux)
        for side in (_HEAD_HALF, -_HEAD_HALF)
    )
    return first, second


def plate_side(middle: float, away: float, room: float, whole: float) -> Side:
    """Return on which side of a ring or box its plate finds room.

    Args:
        middle: middle of the ring or box, from the top of the picture.
        away: half its height.
        room: height of the plate and of the gap to it.
        whole: height of the picture, in the same length as the others.
    """
    if middle + away + room <= whole:
        return "below"
    return "above" if middle - away - room >= 0 else "over"
