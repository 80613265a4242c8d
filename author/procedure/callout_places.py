"""Where callouts and masks lie on a still, and how they are moved without leaving it.

Places are shares of the picture: 0 is left or top, 1 is right or bottom. What is worked out
here has four digits, a fifth of a pixel on a picture of 1920; what nobody moves keeps the
digits it has.
"""

from __future__ import annotations

from decimal import ROUND_CEILING, ROUND_HALF_EVEN, Decimal
from typing import Literal, TypeVar, cast

from author.procedure.steps import Callout, Mask

Place = tuple[Decimal, Decimal]
End = Literal["at", "tail"]
Item = TypeVar("Item", bound=Callout | Mask)

LEAST = Decimal("0.0100")
"""Least width and height of a ring, box or mask."""
_FINE = Decimal("0.0001")
_HALF = Decimal("0.5")
_ZERO, _ONE = Decimal(0), Decimal(1)


def default_tail(x: float, y: float) -> tuple[float, float]:
    """Return where an arrow or leader to a place begins if that is not said.

    It is at some distance from the place, towards the middle of the picture.
    """
    return x + (0.14 if x < 0.5 else -0.14), y + (0.16 if y < 0.5 else -0.16)


def default_size(ratio: float) -> tuple[float, float]:
    """Return width and height of a ring or box if they are not said.

    Args:
        ratio: width of the picture by its height.
    """
    return 0.14, min(1.0, 0.14 * ratio)


def place(x: float | Decimal, y: float | Decimal) -> Place:
    """Return the place of four digits nearest to a point, inside the picture."""
    return _share(Decimal(x)), _share(Decimal(y))


def filled(callout: Callout, ratio: float) -> Callout:
    """Return a callout in which a tail or size that is drawn by default is said.

    Args:
        callout: any callout.
        ratio: width of the picture by its height.
    """
    if callout.shape in ("arrow", "leader") and callout.tail is None:
        tail = default_tail(float(callout.at[0]), float(callout.at[1]))
        return callout.model_copy(update={"tail": place(*tail)})
    if callout.shape in ("ring", "box") and callout.size is None:
        return within(callout.model_copy(update={"size": place(*default_size(ratio))}))
    return callout


def corners(item: Callout | Mask) -> tuple[Place, Place] | None:
    """Return upper left and lower right of what has a size, or None."""
    if item.size is None:
        return None
    (x, y), (w, h) = item.at, item.size
    return (x - w / 2, y - h / 2), (x + w / 2, y + h / 2)


def area(one: Place, other: Place) -> tuple[Place, Place]:
    """Return middle and size of the area between two opposite corners.

    It is no smaller than ``LEAST`` either way, and lies inside the picture.
    """
    ends = [sorted((place(*one)[axis], place(*other)[axis])) for axis in (0, 1)]
    size = tuple(max(LEAST, high - low) for low, high in ends)
    middle = tuple(
        _kept_in((low + high) / 2, extent) for (low, high), extent in zip(ends, size, strict=True)
    )
    return (middle[0], middle[1]), (size[0], size[1])


def with_area(item: Item, one: Place, other: Place) -> Item:
    """Return a ring, box or mask between two opposite corners."""
    at, size = area(one, other)
    return _with(item, {"at": at, "size": size})


def within(item: Item) -> Item:
    """Return what has a size with the whole of it inside the picture."""
    if item.size is None:
        return item
    at = tuple(_kept_in(middle, extent) for middle, extent in zip(item.at, item.size, strict=True))
    return _with(item, {"at": at})


def with_end(callout: Callout, end: End, to: Place) -> Callout:
    """Return a callout with its head or its tail at another place."""
    return callout.model_copy(update={end: place(*to)})


def moved(item: Item, by: Place) -> Item:
    """Return a callout or mask moved as a whole, as far as the picture reaches.

    Args:
        item: the callout or mask.
        by: how far to the right and down; may be negative.
    """
    if item.size is not None:
        at = place(item.at[0] + by[0], item.at[1] + by[1])
        return within(_with(item, {"at": at}))
    tail = item.tail if isinstance(item, Callout) else None
    points = [item.at] if tail is None else [item.at, tail]
    far = [
        min(max(by[axis], -min(p[axis] for p in points)), _ONE - max(p[axis] for p in points))
        for axis in (0, 1)
    ]
    shifted = [place(x + far[0], y + far[1]) for x, y in points]
    return _with(item, dict(zip(("at", "tail"), shifted, strict=False)))


def resized(item: Item, by: Place) -> Item:
    """Return a ring, box or mask made wider and higher about its middle, inside the picture.

    Args:
        item: the callout or mask; one without a size stays as it is.
        by: how much wider and higher; may be negative.
    """
    if item.size is None:
        return item
    size = tuple(
        min(_ONE, max(LEAST, (extent + more).quantize(_FINE, ROUND_HALF_EVEN)))
        for extent, more in zip(item.size, by, strict=True)
    )
    return within(_with(item, {"size": size}))


def _with(item: Item, update: dict[str, object]) -> Item:
    return cast(Item, item.model_copy(update=update))


def _share(value: Decimal) -> Decimal:
    return min(_ONE, max(_ZERO, value)).quantize(_FINE, ROUND_HALF_EVEN)


def _kept_in(middle: Decimal, extent: Decimal) -> Decimal:
    """Return the middle of four digits nearest to one, so that half the extent fits each side."""
    room = (extent * _HALF).quantize(_FINE, ROUND_CEILING)
    return min(_ONE - room, max(room, middle.quantize(_FINE, ROUND_HALF_EVEN)))
