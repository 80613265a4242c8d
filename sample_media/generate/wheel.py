"""The upper wheel: from the front, its hub close up, and from the side."""

from __future__ import annotations

import skia

from generate.kit import (
    BRIGHT,
    CAST,
    DARK,
    GREY,
    RUBBER,
    STEEL,
    Kit,
    circle,
    polar,
    poly,
    rect,
    ring,
)
from generate.parts import axle_end, bearing, nut, retaining_ring, tab_washer, washer


def wheel(
    k: Kit, x: float, y: float, r: float, angle: float = 0, shadow: float = 22, dress: str = "nut"
) -> None:
    """Draw the wheel from the front. dress: nut, washer, bearing, or bare."""
    spin = (angle, x, y)
    if shadow:
        k.shadow(ring(x, y, r, r * 0.2), shadow)
    k.shape(ring(x, y, r, r * 0.94), RUBBER, "d", 2, 0, spin)
    k.shape(ring(x, y, r * 0.94, r * 0.8), BRIGHT, "s", 1.8, 0, spin)
    web = circle(x, y, r * 0.8)
    for i in range(5):
        hx, hy = polar(x, y, r * 0.52, angle + 72 * i)
        web.addCircle(hx, hy, r * 0.155)
    web.addCircle(x, y, r * 0.12)
    web.setFillType(skia.PathFillType.kEvenOdd)
    k.shape(web, CAST, "d", 1.8, 0, spin)
    for i in range(5):
        hx, hy = polar(x, y, r * 0.52, angle + 72 * i)
        k.line(circle(hx, hy, r * 0.162), "#e4e8ea", r * 0.012, 0.6)
        k.line(circle(hx + 1, hy + 2, r * 0.152), "#0d0f10", r * 0.014, 0.6)
    k.line(circle(x, y, r * 0.775), "#2a2e31", r * 0.012, 0.5)
    with k.at(x, y, angle + 20):
        k.shape(rect(r * 0.82, -r * 0.025, r * 0.1, r * 0.05, 3), GREY, "v", 0)
        k.flat(rect(r * 0.82, -r * 0.025, r * 0.1, r * 0.05, 3), "#ffffff", 0.85)
    k.shape(ring(x, y, r * 0.215, r * 0.12), STEEL, "s", 2, 6, spin)
    _dress(k, x, y, r, dress, angle)


def _dress(k: Kit, x: float, y: float, r: float, dress: str, angle: float) -> None:
    """Draw what sits on the hub."""
    if dress == "bare":
        return
    bearing(k, x, y, r * 0.12, angle)
    axle_end(k, x, y, r * 0.05)
    if dress == "bearing":
        return
    washer(k, x, y, r * 0.1, 0.45)
    if dress == "nut":
        tab_washer(k, x, y, r * 0.09, 0.9)
        nut(k, x, y, r * 0.075, 10)
        axle_end(k, x, y, r * 0.037)


def hub_close(
    k: Kit, x: float, y: float, r: float, what: str = "bearing", spin: float = 0, gap: float = 22
) -> None:
    """Draw the hub's face close up; r is the bore's radius. what: bare, bearing, ring."""
    turn = (spin, x, y)
    k.shape(circle(x, y, r * 4.2), CAST, "d", 0, 0, turn)
    for i in range(5):
        hx, hy = polar(x, y, r * 3.15, spin + 36 + 72 * i)
        k.flat(circle(hx, hy, r * 0.95), "#20242a")
        k.line(circle(hx, hy, r * 0.97), "#e4e8ea", r * 0.03, 0.7)
        k.line(circle(hx + 3, hy + 4, r * 0.9), "#000000", r * 0.06, 0.5)
    k.shape(circle(x, y, r * 1.72), CAST, "r", 2, 14, turn)
    k.shape(circle(x, y, r * 1.62), STEEL, "s", 2, 0, turn)
    k.line(circle(x, y, r * 1.56), "#ffffff", r * 0.012, 0.5)
    k.shape(circle(x, y, r * 1.05), DARK, "d", 2)
    k.line(circle(x, y, r * 1.045), "#f2f5f7", r * 0.02, 0.6)
    k.shape(circle(x, y, r), DARK, "v", 1.5)
    if what == "bare":
        k.shape(circle(x, y, r * 0.99), STEEL, "v", 0)
        k.shape(circle(x, y + r * 0.02, r * 0.8), CAST, "v", 2)
        k.flat(circle(x, y + r * 0.03, r * 0.66), "#16191c")
        for side in (0, 180):
            with k.at(x, y, side):
                k.flat(rect(r * 0.6, -r * 0.16, r * 0.2, r * 0.32), "#16191c")
        return
    bearing(k, x, y, r * 0.965, spin)
    k.flat(circle(x, y, r * 0.41), "#15181b")
    k.line(circle(x + 2, y + 4, r * 0.98), "#000000", r * 0.05, 0.4)
    if what == "ring":
        retaining_ring(k, x, y, r * 1.02, gap)


def can(x: float, y: float, r: float, flat: float, height: float) -> skia.Path:
    """Return the side of an upright cylinder seen at a slant; x, y is its top's middle."""
    path = skia.Path()
    path.moveTo(x - r, y)
    path.lineTo(x - r, y + height)
    low = skia.Rect.MakeLTRB(x - r, y + height - r * flat, x + r, y + height + r * flat)
    path.arcTo(low, 180, -180, False)
    path.lineTo(x + r, y)
    path.close()
    return path


def hub_tilted(
    k: Kit, x: float, y: float, r: float, depth: float, what: str, spin: float = 0
) -> None:
    """Draw the wheel's hub lying flat, seen from above at a slant; depth is how far things sit."""
    flat = 0.5
    with k.at(x, y + r * 0.95, 0, 1, flat):
        k.shape(ring(0, 0, r * 3.9, r * 1.2), CAST, "d", 2, 26, (spin, 0, 0))
        for i in range(5):
            hx, hy = polar(0, 0, r * 2.85, spin + 36 + 72 * i)
            k.shape(circle(hx, hy, r * 0.72), DARK, "v", 2)
            k.flat(circle(hx, hy + r * 0.1, r * 0.6), "#191c1f")
    k.shape(can(x, y, r * 1.6, flat, r * 0.95), STEEL, "h", 2)
    with k.at(x, y, 0, 1, flat):
        k.shape(circle(0, 0, r * 1.6), BRIGHT, "s", 2, 0, (spin, 0, 0))
        k.shape(circle(0, 0, r), DARK, "h", 2)
    mouth = skia.Path()
    mouth.addOval(skia.Rect.MakeLTRB(x - r, y - r * flat, x + r, y + r * flat))
    with k.clip(mouth):
        k.shape(rect(x - r, y - r, 2 * r, 2 * r), STEEL, "h", 0)
        with k.at(x, y + depth, 0, 1, flat):
            if what in ("bearing", "sleeve"):
                bearing(k, 0, 0, r * 0.99, spin)
                k.flat(circle(0, 0, r * 0.42), "#121416")
            else:
                k.shape(ring(0, 0, r, r * 0.8), CAST, "s", 2)
                k.flat(circle(0, 0, r * 0.8), "#16191c")
                if what == "through":
                    with k.clip(circle(0, 0, r * 0.8)):
                        bearing(k, 0, 0, r * 0.99, spin)
                        k.flat(circle(0, 0, r * 0.42), "#121416")
        groove = skia.Path()
        groove.addOval(
            skia.Rect.MakeLTRB(x - r, y - r * flat + r * 0.09, x + r, y + r * flat + r * 0.09)
        )
        k.line(groove, "#15181b", r * 0.05, 0.8)
    k.line(mouth, "#ffffff", 2.5, 0.7)


def wheel_side(k: Kit, x: float, y: float, r: float, width: float) -> None:
    """Draw the wheel edge-on: hub, rim with rubber tyre; x is its left face."""
    k.shape(rect(x - width * 0.18, y - r * 0.2, width * 1.36, r * 0.4, 5), STEEL, "v", 2)
    k.shape(rect(x + width * 0.36, y - r * 0.93, width * 0.28, r * 1.86, 3), CAST, "v", 2)
    k.shape(rect(x, y - r, width, r * 2, 16), BRIGHT, "v", 2, 16)
    k.shape(rect(x + width * 0.06, y - r * 1.02, width * 0.88, r * 2.04, 18), RUBBER, "v", 2)
    for i in range(27):
        gy = y - r * 0.98 + i * r * 0.0754
        k.seg((x + width * 0.1, gy), (x + width * 0.9, gy), "#6a6866", 1.5, 0.35)
    k.flat(rect(x + width * 0.14, y - r, width * 0.12, r * 2, 8), "#ffffff", 0.08)


def blade_line(k: Kit, path: skia.Path, width: float = 9) -> None:
    """Draw the blade as a bright band edge-on along a path."""
    k.line(path, "#14171a", width + 3)
    k.line(path, "#aeb6bd", width)
    k.line(path, "#f2f5f7", width * 0.35, 0.8)


def blade_strip(
    k: Kit,
    x: float,
    top: float,
    bottom: float,
    w: float,
    run: float = 0,
    bow: float = 0,
    teeth: int = -1,
    kink: bool = False,
) -> None:
    """Draw an upright length of blade, flat to us, teeth pointing down on side teeth (-1, 1)."""
    step = 34.0
    mid = (top + bottom) / 2

    def edge(y: float, side: int) -> float:
        """Draw the scene "edge" at share u of its length."""
        u = (y - mid) / ((bottom - top) / 2)
        lean = max(0.0, 1 - abs(u)) if kink else max(0.0, 1 - u * u) ** 2
        return x + side * w / 2 + bow * lean

    points = []
    y = top + (run % step) - step
    while y < bottom + step:
        points += [
            (edge(y, teeth), y),
            (edge(y + step * 0.62, teeth) + teeth * 13, y + step * 0.86),
        ]
        y += step
    back = []
    y = bottom + step
    while y > top - step:
        back.append((edge(y, -teeth), y))
        y -= step / 2
    k.shape(poly([*points, *back]), BRIGHT, "h", 2, 12)


def side_axle(k: Kit, x: float, y: float, s: float = 1.0) -> None:
    """Draw the fixed axle pointing right from its bracket at x."""
    k.shape(rect(x - 20, y - 72 * s, 60 * s, 144 * s, 8), STEEL, "v", 2.4, 12)
    k.shape(rect(x + 40 * s, y - 40 * s, 34 * s, 80 * s, 4), BRIGHT, "v", 2.4)
    k.shape(rect(x + 70 * s, y - 28 * s, 240 * s, 56 * s, 3), BRIGHT, "v", 2.4)
    k.shape(rect(x + 150 * s, y - 25 * s, 78 * s, 50 * s, 3), STEEL, "v", 2.4)
    k.shape(rect(x + 308 * s, y - 24 * s, 92 * s, 48 * s, 4), STEEL, "v", 2.4)
    for i in range(11):
        tx = x + (314 + 8 * i) * s
        k.seg((tx, y - 24 * s), (tx - 4, y + 24 * s), "#23272b", 2.2, 0.8)
