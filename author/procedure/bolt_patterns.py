"""Patterns that bolts are set in, and an order to tighten them in that may be proposed.

The orders are common practice, no source: crosswise where the bolts lie on a circle or at
the corners of a rectangle, from the middle outwards where they lie in rows. They are
proposals; the maker's manual decides.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

Shape = Literal["circle", "rectangle", "line"]
Place = tuple[Decimal, Decimal]

MOST_BOLTS = 40
LEAST: dict[Shape, int] = {"circle": 3, "rectangle": 4, "line": 2}
"""The smallest number of bolts of each shape."""
_EDGE = 0.12
# On a circle, or nearly so, all lie as far from the middle.
_SAME_RADIUS = 0.15
_DIGITS = Decimal("0.001")


@dataclass(frozen=True, slots=True)
class Pattern:
    """Bolts of a common pattern.

    Attributes:
        names: ``A``, ``B`` … clockwise from the top, or row by row.
        places: where each is drawn, 0,0 top left to 1,1 bottom right, three decimals.
    """

    names: tuple[str, ...]
    places: tuple[Place, ...]


def turn_text(turn: int | None) -> str:
    """Return when something has its turn: ``1st``, ``2nd``, ``11th``; a dash for never."""
    if turn is None:
        return "–"
    ending = {1: "st", 2: "nd", 3: "rd"}.get(turn % 10, "th")
    return f"{turn}{'th' if turn % 100 in range(11, 14) else ending}"


def pattern_of(shape: Shape, count: int) -> Pattern:
    """Return a pattern of a number of bolts.

    Args:
        shape: ``circle`` clockwise from the top, ``rectangle`` two rows and clockwise from
            the top left, ``line`` from left to right.
        count: how many; an odd rectangle gets one more.

    Raises:
        ValueError: if there are too few for the shape, or more than ``MOST_BOLTS``.
    """
    if not LEAST[shape] <= count <= MOST_BOLTS:
        msg = f"a {shape} has {LEAST[shape]} to {MOST_BOLTS} bolts"
        raise ValueError(msg)
    room = 1 - 2 * _EDGE
    if shape == "circle":
        turns = [2 * math.pi * index / count for index in range(count)]
        shares = [(0.5 + math.sin(t) * room / 2, 0.5 - math.cos(t) * room / 2) for t in turns]
    elif shape == "line":
        shares = [(_EDGE + room * index / (count - 1), 0.5) for index in range(count)]
    else:
        row = (count + 1) // 2
        across = [_EDGE + room * index / (row - 1) for index in range(row)]
        shares = [(x, 0.25) for x in across] + [(x, 0.75) for x in reversed(across)]
    places = tuple((_share(x), _share(y)) for x, y in shares)
    return Pattern(names_for(len(places)), places)


def _share(value: float) -> Decimal:
    return Decimal(value).quantize(_DIGITS)


def names_for(count: int) -> tuple[str, ...]:
    """Return names for a number of bolts: A to Z, then A2 and so on."""
    letters = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
    rounds = [(index % len(letters), index // len(letters) + 1) for index in range(count)]
    return tuple(letters[letter] + (str(lap) if lap > 1 else "") for letter, lap in rounds)


def proposed_order(places: Sequence[Place]) -> tuple[int, ...]:
    """Return the indices of bolts in an order that presses a joint together evenly.

    Each second bolt is the one most nearly opposite the one before. The ones between are
    as far as can be from those already tight on a circle, and the nearest to the middle
    elsewhere.

    Source: common practice, no source. Eight on a circle come out as 1-5-3-7-2-6-4-8.
    """
    points = [(float(x), float(y)) for x, y in places]
    if not points:
        return ()
    middle = (
        sum(x for x, _ in points) / len(points),
        sum(y for _, y in points) / len(points),
    )
    radii = [math.dist(point, middle) for point in points]
    on_circle = max(radii) - min(radii) <= _SAME_RADIUS * max(radii)
    left = list(range(len(points)))
    order: list[int] = []
    while left:
        if len(order) % 2 == (1 if on_circle or not _is_middle(radii, order) else 0) and order:
            chosen = _opposite(points, middle, order[-1], left)
        elif on_circle:
            chosen = max(left, key=lambda i: (*_distances(points, order, i), -i))
        else:
            chosen = min(left, key=lambda i: (round(radii[i], 6), i))
        order.append(chosen)
        left.remove(chosen)
    return tuple(order)


def _is_middle(radii: Sequence[float], order: Sequence[int]) -> bool:
    """Whether the first bolt stands in the middle and so has none opposite."""
    return bool(order) and radii[order[0]] < _SAME_RADIUS * max(radii)


def _opposite(
    points: Sequence[tuple[float, float]],
    middle: tuple[float, float],
    last: int,
    left: Sequence[int],
) -> int:
    wanted = (2 * middle[0] - points[last][0], 2 * middle[1] - points[last][1])
    return min(left, key=lambda i: (round(math.dist(points[i], wanted), 3), i))


def _distances(
    points: Sequence[tuple[float, float]], tight: Sequence[int], index: int
) -> tuple[float, ...]:
    return tuple(sorted(round(math.dist(points[index], points[other]), 2) for other in tight))
