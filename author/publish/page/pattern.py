"""The bolt pattern of a joint as a drawing: where each circle, name, turn and line stands.

A short name stands in its circle, as on the still and over the field its torque is typed in;
when it has its turn stands beside it as ``1st``, so that no number is taken for a name.
"""

from __future__ import annotations

from itertools import pairwise
from typing import Any

from author.procedure.bolt_patterns import turn_text

WIDTH = 360
HEIGHT = 270
_EDGE_X = 34
_EDGE_Y = 60
_RADIUS = 24
# Below this share of the width a name begins at the edge, above the rest it ends there.
_SIDE = 0.34
_LETTERS = 14
# Letters that fit into a circle, and how many of them in large ones.
_SHORT = 3
_WIDE = 2
_LEAST_EXTENT = 0.3


def pattern_drawing(pattern: list[dict[str, Any]]) -> dict[str, Any]:
    """Return a drawing of the pattern with its tightening order.

    Args:
        pattern: fasteners as ``shown``, ``at`` (shares of the drawing) and ``rank`` or None.

    Returns:
        Width, height, ``circles`` with what stands inside and beside each, and ``lines`` from
        each to the next.
    """
    spots = _spread_out([f["at"] for f in pattern])
    ranked = sorted((f["rank"], spot) for f, spot in zip(pattern, spots, strict=True) if f["rank"])
    lines = [
        {"x1": a[0], "y1": a[1], "x2": b[0], "y2": b[1]} for (_, a), (_, b) in pairwise(ranked)
    ]
    circles = [_circle(f, spot) for f, spot in zip(pattern, spots, strict=True)]
    return {
        "width": WIDTH,
        "height": HEIGHT,
        "radius": _RADIUS if len(pattern) <= 8 else _RADIUS - 6,
        "circles": circles,
        "lines": lines,
    }


def _spread_out(places: list[list[float]]) -> list[tuple[float, float]]:
    """Return places moved apart until they fill the drawing, in the same proportions by axis."""
    found = []
    for axis, (size, edge) in enumerate(((WIDTH, _EDGE_X), (HEIGHT, _EDGE_Y))):
        values = [place[axis] for place in places]
        middle = (min(values) + max(values)) / 2
        # What lies nearly in a row is drawn so.
        extent = max(max(values) - min(values), _LEAST_EXTENT)
        shares = [(v - middle) / extent + 0.5 for v in values]
        found.append([round(edge + share * (size - 2 * edge), 1) for share in shares])
    return list(zip(*found, strict=True))


def _circle(fastener: dict[str, Any], spot: tuple[float, float]) -> dict[str, Any]:
    x, y = spot
    anchor, name_x = "middle", x
    if x < WIDTH * _SIDE:
        anchor, name_x = "start", 6.0
    elif x > WIDTH * (1 - _SIDE):
        anchor, name_x = "end", WIDTH - 6.0
    name, rank = fastener["shown"], fastener["rank"]
    turn = turn_text(rank) if rank else "–"
    short = len(name) <= _SHORT
    long_name = name if len(name) <= _LETTERS else f"{name[: _LETTERS - 1].rstrip()}…"
    inside, beside = (name, turn) if short else (turn, long_name)
    above = y <= HEIGHT / 2
    return {
        "x": x,
        "y": y,
        "inside": inside,
        "beside": beside,
        "small": len(inside) > _WIDE,
        "beside_x": x if short else name_x,
        "anchor": "middle" if short else anchor,
        "beside_y": round(y - _RADIUS - 9 if above else y + _RADIUS + 23, 1),
    }
