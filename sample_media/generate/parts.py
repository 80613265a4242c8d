"""Machine parts seen from the front: bearing, ring, nut, washers, screws, sleeve, box."""

from __future__ import annotations

import skia

from generate.kit import (
    BRIGHT,
    CUT,
    DARK,
    PALE_WOOD,
    SEAL,
    STEEL,
    Kit,
    Material,
    arc,
    circle,
    hexagon,
    polar,
    poly,
    rect,
    ring,
)


def bearing(k: Kit, x: float, y: float, r: float, spin: float = 0, shadow: float = 0) -> None:
    """Draw a sealed ball bearing from the front (bore 17 to 40 across the outside)."""
    if shadow:
        k.shadow(ring(x, y, r, r * 0.425), shadow)
    k.shape(ring(x, y, r, r * 0.84), BRIGHT, "s")
    k.shape(ring(x, y, r * 0.84, r * 0.57), SEAL, "d")
    k.line(circle(x, y, r * 0.8), "#6d8cc4", r * 0.012, 0.8)
    k.line(circle(x, y, r * 0.7), "#0c1630", r * 0.016, 0.7)
    k.line(circle(x, y, r * 0.61), "#6d8cc4", r * 0.012, 0.6)
    k.shape(ring(x, y, r * 0.57, r * 0.425), BRIGHT, "s", spin=(spin, x, y))
    k.line(circle(x, y, r * 0.445), "#ffffff", r * 0.014, 0.7)


def retaining_ring(
    k: Kit, x: float, y: float, r: float, gap: float = 22, turn: float = -90, shadow: float = 0
) -> None:
    """Draw an internal retaining ring: open ring with two ears inside the gap."""
    body = arc(x, y, r * 0.95, turn + gap, 360 - 2 * gap)
    if shadow:
        k.shadow(ring(x, y, r, r * 0.9), shadow, 0.3)
    k.line(body, "#101214", r * 0.125)
    k.line(body, "#4a4f55", r * 0.09)
    k.line(
        arc(x - r * 0.008, y - r * 0.012, r * 0.96, turn + gap, 360 - 2 * gap), "#9aa2aa", r * 0.025
    )
    for side in (-1, 1):
        ear = polar(x, y, r * 0.83, turn + side * gap)
        k.shape(circle(*ear, r * 0.125), DARK, "d")
        k.flat(circle(*ear, r * 0.05), "#050505")
        k.line(circle(*ear, r * 0.05), "#b9c0c6", r * 0.012)


def ears(x: float, y: float, r: float, gap: float, turn: float = -90) -> tuple:
    """Return the two ear holes of a retaining ring."""
    return polar(x, y, r * 0.83, turn - gap), polar(x, y, r * 0.83, turn + gap)


def nut(k: Kit, x: float, y: float, r: float, angle: float = 0, shadow: float = 0) -> None:
    """Draw a hexagon nut from the front, its bore left to what is behind."""
    body = hexagon(x, y, r, angle)
    body.addCircle(x, y, r * 0.5)
    body.setFillType(skia.PathFillType.kEvenOdd)
    k.shape(body, STEEL, "d", 2, shadow, (angle, x, y))
    k.shape(ring(x, y, r * 0.84, r * 0.5), BRIGHT, "s", 1.2)
    for i in range(6):
        a, b = polar(x, y, r, angle + 60 * i), polar(x, y, r * 0.84, angle + 60 * i)
        k.seg(a, b, "#ffffff", 2, 0.5)


def axle_end(k: Kit, x: float, y: float, r: float) -> None:
    """Draw the threaded end of the axle from the front, with its centre hole."""
    k.shape(circle(x, y, r), STEEL, "r", 2)
    for share in (0.93, 0.85):
        k.line(circle(x, y, r * share), "#3a3f45", r * 0.03, 0.7)
    k.shape(circle(x, y, r * 0.3), DARK, "r")
    k.flat(circle(x, y, r * 0.12), "#08090a")


def tab_washer(
    k: Kit, x: float, y: float, r: float, bent: float = 0, turn: float = -90, shadow: float = 0
) -> None:
    """Draw a washer with a tab outwards; bent 0..1 folds it up against the nut."""
    body = ring(x, y, r, r * 0.42)
    k.shape(body, BRIGHT, "s", 2, shadow)
    with k.at(x, y, turn + 90):
        length = r * 0.62 * (1 - 0.55 * bent)
        tab = rect(
            -r * 0.3, -r - length * 0.9 + bent * r * 0.42, r * 0.6, length + r * 0.14, r * 0.06
        )
        k.shape(tab, BRIGHT if bent < 0.5 else STEEL, "v", 2, 5 + 9 * bent)
        if bent > 0.05:
            k.seg((-r * 0.3, -r * 0.93), (r * 0.3, -r * 0.93), "#2a2d31", 2 + 3 * bent, 0.8)
    k.shape(rect(x - r * 0.1, y + r * 0.36, r * 0.2, r * 0.14), BRIGHT, "v", 1)


def washer(k: Kit, x: float, y: float, r: float, hole: float = 0.5, shadow: float = 0) -> None:
    """Draw a flat washer."""
    k.shape(ring(x, y, r, r * hole), BRIGHT, "s", 2, shadow)


def screw_head(k: Kit, x: float, y: float, r: float, angle: float = 0, shadow: float = 6) -> None:
    """Draw a socket head screw from the front."""
    k.shape(circle(x, y, r), STEEL, "r", 2, shadow, (angle, x, y))
    k.line(circle(x, y, r * 0.86), "#ffffff", 1.5, 0.5)
    k.shape(hexagon(x, y, r * 0.52, angle), DARK, "v", 1.5)
    k.flat(hexagon(x, y, r * 0.36, angle), "#0a0b0c", 0.8)


def empty_hole(k: Kit, x: float, y: float, r: float) -> None:
    """Draw a tapped hole with nothing in it."""
    k.shape(circle(x, y, r), DARK, "v", 2)
    k.flat(circle(x, y, r * 0.72), "#070808")


def bearing_box(k: Kit, x: float, y: float, w: float, label: str = "BW-101") -> None:
    """Draw the carton of a bearing with its label."""
    k.shape(rect(x, y, w, w * 0.62, 4), PALE_WOOD, "d", 2, 16)
    k.shape(
        poly([(x, y), (x + w * 0.1, y - w * 0.12), (x + w * 1.1, y - w * 0.12), (x + w, y)]),
        PALE_WOOD,
    )
    k.shape(
        poly(
            [
                (x + w, y),
                (x + w * 1.1, y - w * 0.12),
                (x + w * 1.1, y + w * 0.5),
                (x + w, y + w * 0.62),
            ]
        ),
        PALE_WOOD,
        "h",
    )
    plate = rect(x + w * 0.12, y + w * 0.14, w * 0.76, w * 0.34, 3)
    k.flat(plate, "#fbfaf4")
    k.line(plate, "#2b2d30", 2)
    k.text(label, x + w * 0.5, y + w * 0.31, w * 0.17)


def hatch(k: Kit, shape: skia.Path, mat: Material = CUT, step: float = 16) -> None:
    """Fill a cut face: cut colour and thin slanted lines."""
    k.shape(shape, mat, "v", 2.4)
    box = shape.getBounds()
    with k.clip(shape):
        x = box.left() - box.height()
        while x < box.right():
            k.seg((x, box.bottom()), (x + box.height(), box.top()), "#5b2a12", 1.6, 0.55)
            x += step
