"""Hand tools: wrenches, drivers, pliers, hammer, drift, pick, blocks, glasses, lock and tag."""

from __future__ import annotations

from generate.kit import (
    BLACK,
    BRASS,
    BRIGHT,
    DARK,
    PALE_WOOD,
    RED,
    STEEL,
    YELLOW,
    Kit,
    Material,
    Point,
    arc,
    circle,
    curve,
    hexagon,
    poly,
    rect,
    ring,
)


def wrench(
    k: Kit, x: float, y: float, angle: float, length: float, r: float, torque: bool = False
) -> Point:
    """Draw a socket wrench on a nut; return the middle of its grip. Angle: way of the handle."""
    with k.at(x, y, angle):
        k.shadow(rect(0, -r * 0.3, length, r * 0.6, 10), 16)
        k.shape(rect(r * 0.5, -r * 0.24, length * 0.62, r * 0.48, r * 0.2), BRIGHT, "v", 2)
        grip = rect(length * 0.62, -r * 0.36, length * 0.38, r * 0.72, r * 0.3)
        k.shape(grip, BLACK, "v", 2)
        for i in range(9):
            gx = length * (0.66 + 0.035 * i)
            k.seg((gx, -r * 0.3), (gx, r * 0.3), "#5f6468", 2.5, 0.7)
        if torque:
            k.shape(rect(length * 0.32, -r * 0.5, length * 0.24, r, 10), YELLOW, "v", 2)
            k.shape(rect(length * 0.34, -r * 0.36, length * 0.2, r * 0.72, 6), BLACK, "v", 1.5)
        k.shape(circle(0, 0, r), STEEL, "r", 2.4)
        k.shape(ring(0, 0, r * 0.92, r * 0.72), BRIGHT, "s", 1.4)
        k.shape(circle(0, 0, r * 0.5), DARK, "r", 1.6)
    return length * 0.8, 0


def driver(k: Kit, x: float, y: float, angle: float, length: float, body: Material = RED) -> None:
    """Draw a screwdriver with its tip at x, y; angle is the way from tip to handle."""
    with k.at(x, y, angle):
        k.shadow(rect(0, -10, length, 20, 8), 14)
        k.shape(rect(0, -7, length * 0.55, 14, 3), BRIGHT, "v", 2)
        k.shape(rect(length * 0.5, -14, length * 0.08, 28, 6), DARK, "v", 2)
        k.shape(rect(length * 0.56, -25, length * 0.44, 50, 20), body, "v", 2)
        for dy in (-13, 0, 13):
            k.seg((length * 0.61, dy), (length * 0.93, dy), "#000000", 3, 0.28)


def ring_pliers(k: Kit, a: Point, b: Point, reach: float) -> None:
    """Draw retaining ring pliers seen from above, their tips in two ear holes."""
    mx, my = (a[0] + b[0]) / 2, (a[1] + b[1]) / 2
    pivot = (mx, my - reach * 0.42)
    spread = max(16.0, (b[0] - a[0]) / 2)
    for side, tip in ((-1, a), (1, b)):
        far = (pivot[0] - side * (spread * 0.7 + 26), pivot[1] - reach)
        k.tube(
            curve([pivot, (pivot[0] - side * spread * 1.5, pivot[1] - reach * 0.4), far]), RED, 34
        )
        k.tube(
            curve([pivot, (mx + side * (spread + 26), my - reach * 0.24), (tip[0], tip[1] - 20)]),
            STEEL,
            22,
        )
        k.tube(poly([(tip[0], tip[1] - 22), tip], closed=False), BRIGHT, 8)
    k.shape(circle(*pivot, 30), STEEL, "r", 2.4, 8)
    k.shape(circle(*pivot, 13), DARK, "r", 2)


def hammer(k: Kit, x: float, y: float, angle: float, scale: float = 1) -> None:
    """Draw a hammer whose face is at x, y, striking down; the handle runs to the right."""
    with k.at(x, y, angle, scale):
        k.shadow(rect(0, -96, 420, 30, 12), 16)
        k.shape(rect(20, -96, 430, 34, 14), PALE_WOOD, "v", 2.4)
        k.shape(rect(-34, -130, 68, 100, 8), DARK, "h", 2.4)
        k.shape(rect(-42, -38, 84, 38, 8), STEEL, "h", 2.4)
        k.shape(poly([(-34, -128), (34, -128), (12, -182), (-12, -182)]), STEEL, "h", 2.4)


def drift(k: Kit, top: Point, tip: Point, width: float) -> None:
    """Draw a brass drift between the hammer and the ring."""
    line = poly([top, tip], closed=False)
    k.shadow(line, 8, 0.2)
    k.tube(line, BRASS, width)
    k.flat(circle(top[0], top[1], width * 0.42), "#f9ecba")


def pick(k: Kit, tip: Point, angle: float) -> None:
    """Draw a hooked pick; angle is the way from tip to handle."""
    with k.at(*tip, angle):
        k.line(curve([(0, 0), (16, -20), (44, -20), (210, -20)]), "#14171a", 13)
        k.line(curve([(0, 0), (16, -20), (44, -20), (210, -20)]), "#d4dade", 8)
        k.shape(rect(196, -40, 190, 40, 18), RED, "v", 2.4, 10)


def glasses(k: Kit, x: float, y: float, scale: float) -> None:
    """Draw safety glasses lying on the bench."""
    with k.at(x, y, -6, scale):
        k.line(curve([(-118, 4), (-150, 60), (-90, 96)]), "#1c1f22", 13)
        k.line(curve([(118, 4), (150, 60), (90, 96)]), "#1c1f22", 13)
        for side in (-1, 1):
            lens = rect(-58 + side * 62, -36, 116, 78, 30)
            k.shadow(lens, 16)
            k.flat(lens, "#cfe9f5", 0.55)
            k.line(lens, "#1c1f22", 9)
            k.seg((side * 62 - 30, 20), (side * 62 + 6, -22), "#ffffff", 9, 0.75)
        k.line(arc(0, 6, 14, 180, 180), "#1c1f22", 10)


def padlock(k: Kit, x: float, y: float, w: float, lift: float = 0) -> None:
    """Draw a red padlock, its shackle raised by lift; x, y is the middle of the shackle top."""
    shackle = curve(
        [
            (x - w * 0.3, y + w * 0.75),
            (x - w * 0.32, y + w * 0.1),
            (x, y - w * 0.16),
            (x + w * 0.32, y + w * 0.1),
            (x + w * 0.3, y + w * 0.75 - lift),
        ]
    )
    k.tube(shackle, BRIGHT, w * 0.13)
    body = rect(x - w / 2, y + w * 0.55, w, w * 0.85, w * 0.1)
    k.shape(body, RED, "h", 3, 16)
    k.line(rect(x - w * 0.43, y + w * 0.62, w * 0.86, w * 0.71, w * 0.08), "#ffb3a6", 2, 0.7)
    k.shape(circle(x, y + w * 1.02, w * 0.13), BRASS, "s", 2)
    k.flat(rect(x - w * 0.02, y + w * 0.96, w * 0.04, w * 0.13), "#191512")


def tag(k: Kit, x: float, y: float, w: float, sway: float = 0) -> None:
    """Draw the LOCKED OUT tag hanging from a string at x, y."""
    with k.at(x, y, sway):
        k.line(curve([(0, 0), (-w * 0.06, w * 0.2), (0, w * 0.36)]), "#e8e2d2", 5)
        body = poly(
            [
                (-w * 0.3, w * 0.28),
                (w * 0.3, w * 0.28),
                (w / 2, w * 0.46),
                (w / 2, w * 1.75),
                (-w / 2, w * 1.75),
                (-w / 2, w * 0.46),
            ]
        )
        k.shape(body, Material(("#fffdf5", "#f4f0e2", "#dcd7c4"), "grain"), "v", 2.5, 16)
        k.shape(ring(0, w * 0.4, w * 0.07, w * 0.04), BRASS, "s", 1.2)
        k.shape(rect(-w / 2, w * 0.58, w, w * 0.56), RED, "v", 1.5)
        k.text("LOCKED", 0, w * 0.74, w * 0.2, "#ffffff")
        k.text("OUT", 0, w * 0.97, w * 0.22, "#ffffff")
        for i in range(4):
            k.seg(
                (-w * 0.38, w * (1.27 + i * 0.12)), (w * 0.38, w * (1.27 + i * 0.12)), "#7d796c", 2
            )
        k.line(
            curve([(-w * 0.34, w * 1.25), (-w * 0.1, w * 1.2), (0, w * 1.27), (w * 0.2, w * 1.2)]),
            "#1f3b8a",
            3,
        )


def hex_key(k: Kit, x: float, y: float, angle: float, size: float) -> None:
    """Draw an L-shaped hexagon key with its short end in a screw."""
    with k.at(x, y, angle):
        k.line(poly([(0, 0), (size, 0)], closed=False), "#0d0f10", 18)
        k.line(poly([(0, 0), (size, 0)], closed=False), "#7d848b", 13)
        k.line(poly([(8, -3), (size, -3)], closed=False), "#dfe4e8", 4)
        k.shape(hexagon(0, 0, 14), DARK, "d", 2)
