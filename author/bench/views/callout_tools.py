"""What drawing, dragging and nudging make of callouts and masks, in shares of the picture."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from typing import Literal

from author.procedure import callout_places as places
from author.procedure.callout_places import Place
from author.procedure.steps import Callout, Mask, Still

Tool = Literal["arrow", "ring", "box", "label", "leader", "mask"]
Grip = Literal["whole", "at", "tail", "00", "10", "01", "11"]
"""What of an item is held: all of it, an end, or a corner (right or not, lower or not)."""

_OPPOSITE: dict[Grip, Grip] = {"00": "11", "11": "00", "10": "01", "01": "10"}
TOOLS: tuple[Tool, ...] = ("arrow", "ring", "box", "label", "leader", "mask")
COARSE, MIDDLE, FINE = Decimal("0.1"), Decimal("0.01"), Decimal("0.001")
"""Steps of the arrow keys: with Ctrl, alone, with Shift."""
ONE_PLACE: tuple[Tool, ...] = ("label",)
"""Tools that need one place only."""


def items_of(still: Still | None) -> tuple[Callout | Mask, ...]:
    """Return callouts, then masks, of a still."""
    return () if still is None else (*(still.callouts or ()), *(still.masks or ()))


def address_in_still(still: Still, item: int) -> tuple[str, int]:
    """Return list and index in the document of an item counted through both lists."""
    count = len(still.callouts or ())
    return ("callouts", item) if item < count else ("masks", item - count)


def drawn(tool: Tool, start: Place, end: Place, ratio: float) -> Callout | Mask:
    """Return what a tool makes between two places; at one place, it takes the usual size.

    Args:
        tool: the tool.
        start: where the drawing began: words or number of what points, a corner of the rest.
        end: where it ended: what is pointed at, or the corner opposite.
        ratio: width of the picture by its height.
    """
    if tool == "mask":
        at, size = places.area(start, end) if start != end else _usual(start, ratio)
        return Mask(at=at, size=size)
    if tool in ("ring", "box"):
        at, size = places.area(start, end) if start != end else _usual(start, ratio)
        return Callout(shape=tool, at=at, size=size)
    if tool == "label" or start == end:
        return places.filled(Callout(shape=tool, at=places.place(*end)), ratio)
    return Callout(shape=tool, at=places.place(*end), tail=places.place(*start))


def _usual(middle: Place, ratio: float) -> tuple[Place, Place]:
    size = places.place(*places.default_size(ratio))
    kept = places.within(Mask(at=places.place(*middle), size=size))
    return kept.at, kept.size


def grips(item: Callout | Mask) -> dict[Grip, Place]:
    """Return the places at which an item can be held to change its form."""
    both = places.corners(item)
    if both is not None:
        (left, top), (right, bottom) = both
        return {"00": (left, top), "10": (right, top), "01": (left, bottom), "11": (right, bottom)}
    if isinstance(item, Callout) and item.tail is not None:
        return {"at": item.at, "tail": item.tail}
    return {}


def dragged(item: Callout | Mask, grip: Grip, start: Place, here: Place) -> Callout | Mask:
    """Return an item after one of its grips was dragged from a place to another."""
    by = (here[0] - start[0], here[1] - start[1])
    if grip == "whole":
        return places.moved(item, by)
    held = grips(item)[grip]
    to = (held[0] + by[0], held[1] + by[1])
    if isinstance(item, Callout) and (grip == "at" or grip == "tail"):  # noqa: PLR1714 - typed
        return places.with_end(item, grip, to)
    return places.with_area(item, grips(item)[_OPPOSITE[grip]], to)


def nudged(item: Callout | Mask, by: Place, *, form: bool) -> Callout | Mask:
    """Return an item after an arrow key.

    Args:
        item: the callout or mask.
        by: the step, to the right and down.
        form: whether its form is changed: the head alone is moved, or the size changed; and
            not the whole moved.
    """
    if not form:
        return places.moved(item, by)
    if item.size is not None:
        return places.resized(item, by)
    if isinstance(item, Callout):
        return places.with_end(item, "at", (item.at[0] + by[0], item.at[1] + by[1]))
    return item


def reordered(count: int, item: int, by: int) -> int | None:
    """Return the new index of one of ``count`` entries moved by some, or None at the end."""
    to = item + by
    return to if 0 <= to < count and 0 <= item < count else None


def in_per_cent(place: Sequence[Decimal]) -> tuple[str, str]:
    """Return a place as a person reads it, such as ``62.5`` and ``41``."""
    across, down = (format((value * 100).quantize(Decimal("0.1")), "f") for value in place)
    return across.removesuffix(".0"), down.removesuffix(".0")
