"""Callouts over a still, as shapes that stay sharp and legible at any size of the picture.

They look as ``templates/callouts.typ`` draws them on paper: every stroke has a pale edge,
leaders are numbered. Places are shares of the picture, sizes are in em, and the style sheet
makes an em of the drawing a share of the picture's width, but never too small to read.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Any

from author.procedure.callout_places import default_size, default_tail
from author.publish.callout_look import GAP, head_corners, plate_side

Data = dict[str, Any]

# What a plate takes at most, on the smallest screen: an em as a share of the picture's width
# there, a letter in em, the widest line, a line and the edges of the plate in em.
_EM = 0.06
_LETTER = 0.65
_WIDEST = 0.46
_LINE = 1.2
_EDGES = 0.9


def callout_shapes(callouts: Sequence[Data], width: int, height: int) -> Data:
    """Return what is drawn over a picture.

    Args:
        callouts: as ``step_content.callout_data`` gives them.
        width: width of the picture in pixels; with the height, its shape alone counts.
        height: height of the picture in pixels.

    Returns:
        ``lines``, ``heads`` of arrows, ``rings``, ``boxes``, ``dots``, ``discs`` with their
        numbers, and ``plates`` with their words and the number that stands in their place
        where the picture is small: places in per cent of the picture. ``key`` has the number
        and words of every callout that has words, and whether its number always shows.
    """
    drawn: Data = {
        name: [] for name in ("lines", "heads", "rings", "boxes", "dots", "discs", "plates")
    }
    signs = _key_of(callouts)
    drawn["key"] = sorted((s for s in signs if s["text"]), key=lambda sign: sign["number"])
    for callout, sign in zip(callouts, signs, strict=True):
        shape, at = callout["shape"], callout["at"]
        tail = callout["tail"] or default_tail(*at)
        if shape in ("arrow", "leader"):
            drawn["lines"].append((*_percent(tail), *_percent(at)))
        if shape == "arrow":
            drawn["heads"].append((*_percent(at), _head(at, tail, width, height)))
        elif shape == "leader":
            drawn["dots"].append(_percent(at))
            drawn["discs"].append((*_percent(tail), callout["number"]))
        elif shape in ("ring", "box"):
            _outline(drawn, callout, width / height, sign["number"])
        if callout["text"] and shape in ("arrow", "label"):
            x, y = tail if shape == "arrow" else at
            plate = _plate(callout["text"], x, y, width / height)
            drawn["plates"].append({**plate, "number": sign["number"]})
    return drawn


def _key_of(callouts: Sequence[Data]) -> list[Data]:
    """Return the number and words of each callout: leaders first, then what has a plate.

    On a small picture plates would cover what they point at: their numbers stand there
    instead, and their words beside the picture.
    """
    last = sum(callout["number"] is not None for callout in callouts)
    signs: list[Data] = []
    for callout in callouts:
        number = callout["number"]
        if number is None and callout["text"]:
            last += 1
            number = last
        signs.append({"number": number, "text": callout["text"], "led": bool(callout["number"])})
    return signs


def plate_rules(drawings: Sequence[Data]) -> str:
    """Return style rules for the places of all plates; style attributes are not allowed."""
    rules = {
        f".{name}{value}{{--{name}:{value / 10:g}%}}\n"
        for drawing in drawings
        for plate in drawing["plates"]
        for name, value in plate["place"].items()
    }
    return "".join(sorted(rules))


def _percent(place: Sequence[float]) -> tuple[str, str]:
    return f"{place[0] * 100:.2f}%", f"{place[1] * 100:.2f}%"


def _head(at: Sequence[float], tail: Sequence[float], width: int, height: int) -> str:
    """Return the head of an arrow as a path whose unit is an em and whose tip is at 0,0."""
    corners = head_corners((at[0] - tail[0]) * width, (at[1] - tail[1]) * height)
    return "M0 0" + "".join(f"L{x:.3f} {y:.3f}" for x, y in corners) + "Z"


def _outline(drawn: Data, callout: Data, ratio: float, number: int | None) -> None:
    x, y = callout["at"]
    w, h = callout["size"] or default_size(ratio)
    if callout["shape"] == "ring":
        drawn["rings"].append((*_percent((x, y)), *_percent((w / 2, h / 2))))
    else:
        drawn["boxes"].append((*_percent((x - w / 2, y - h / 2)), *_percent((w, h))))
    if callout["text"]:
        plate = _plate(callout["text"], x, y, ratio, h / 2)
        drawn["plates"].append({**plate, "number": number})


def _plate(text: str, x: float, y: float, ratio: float, away: float = 0.0) -> Data:
    """Return words with their place, and which share of itself the plate is moved back by.

    It is the half, or what keeps the plate inside the picture on the smallest screen.

    Args:
        text: the words.
        x: middle of the plate, as a share of the picture's width.
        y: middle of the plate, or of what it belongs to, as a share of the height.
        ratio: width of the picture by its height.
        away: half the height of what it belongs to and must not cover.
    """
    natural = (len(text) * _LETTER + _EDGES) * _EM
    wide = min(natural, _WIDEST)
    tall = min(1.0, (math.ceil(natural / _WIDEST) * _LINE + _EDGES) * _EM * ratio)
    side = plate_side(y, away, tall + GAP * _EM * ratio, 1) if away else "over"
    y += {"below": away, "above": -away, "over": 0}[side]
    place = {"x": x, "y": y, "s": _back(x, wide), "t": _back(y, tall)}
    return {"text": text, "side": side, "place": {k: round(v * 1000) for k, v in place.items()}}


def _back(middle: float, size: float) -> float:
    """Return the share of itself that something is moved back by, from its middle, to fit."""
    return min(max(0.5, 1 - (1 - middle) / size), middle / size) if size < 1 else middle
