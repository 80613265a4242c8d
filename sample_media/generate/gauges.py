"""Measuring instruments and readouts."""

from __future__ import annotations

from generate.kit import (
    BLACK,
    BRIGHT,
    DARK,
    GREY,
    PAPER,
    RED,
    STEEL,
    YELLOW,
    Kit,
    arc,
    circle,
    polar,
    poly,
    rect,
    ring,
)


def lcd(k: Kit, x: float, y: float, w: float, h: float, words: str, unit: str = "") -> None:
    """Draw a liquid crystal display with a number and its unit; x, y is the middle."""
    k.flat(rect(x - w / 2, y - h / 2, w, h, 5), "#1d2420")
    k.flat(rect(x - w / 2 + 4, y - h / 2 + 4, w - 8, h - 8, 3), "#c5d6b4")
    share = 0.74 if unit else 1.0
    size = min(h * 0.68, (w * share - 12) / k.width(words, 1.0))
    k.text(words, x - w / 2 + w * share / 2 + 6, y, size, "#10160f")
    if unit:
        k.text(
            unit, x + w * 0.37, y + h * 0.14, min(h * 0.28, w * 0.2 / k.width(unit, 1.0)), "#10160f"
        )


def readout_box(
    k: Kit, x: float, y: float, w: float, words: str, unit: str, caption: str = ""
) -> None:
    """Draw a bench readout: a grey box with a big display."""
    h = w * 0.56
    k.shape(rect(x, y, w, h, 12), GREY, "v", 2.5, 18)
    k.shape(rect(x + w * 0.05, y + h * 0.1, w * 0.9, h * 0.6, 6), BLACK, "v", 2)
    lcd(k, x + w / 2, y + h * 0.4, w * 0.84, h * 0.5, words, unit)
    for i, mat in enumerate((RED, YELLOW, BRIGHT)):
        k.shape(circle(x + w * (0.66 + 0.11 * i), y + h * 0.85, h * 0.06), mat, "r", 1.5)
    if caption:
        k.text(caption, x + w * 0.28, y + h * 0.85, h * 0.12, "#2b2d30")


def dial(
    k: Kit,
    x: float,
    y: float,
    r: float,
    needle: float,
    labels: list[tuple[float, str]],
    unit: str = "",
    ticks: int = 100,
    lettering: float = 0.155,
) -> None:
    """Draw a dial: needle and labels as turns from the top, clockwise."""
    k.shadow(circle(x, y, r), 18)
    k.shape(circle(x, y, r), STEEL, "s", 2.5)
    k.shape(ring(x, y, r * 0.97, r * 0.86), DARK, "s", 1.5)
    k.shape(circle(x, y, r * 0.86), PAPER, "r", 1.5)
    for i in range(ticks):
        angle = 360 * i / ticks - 90
        inner = 0.7 if i % 10 == 0 else (0.745 if i % 5 == 0 else 0.775)
        k.seg(
            polar(x, y, r * inner, angle),
            polar(x, y, r * 0.82, angle),
            "#15171a",
            r * (0.017 if i % 10 == 0 else 0.009),
        )
    for turn, words in labels:
        k.text(
            words,
            *polar(x, y, r * (0.57 if lettering > 0.13 else 0.54), 360 * turn - 90),
            r * lettering,
        )
    if unit:
        k.text(unit, x, y + r * 0.3, r * 0.12, "#444444")
    angle = 360 * needle - 90
    a, b = polar(x, y, r * 0.76, angle), polar(x, y, -r * 0.2, angle)
    k.seg((b[0] + 4, b[1] + 6), (a[0] + 4, a[1] + 6), "#000000", r * 0.03, 0.2)
    tip = poly([a, polar(*b, r * 0.035, angle + 90), polar(*b, r * 0.035, angle - 90)])
    k.flat(tip, "#c01818")
    k.line(tip, "#c01818", r * 0.012)
    k.shape(circle(x, y, r * 0.075), DARK, "r", 1.5)
    k.line(arc(x, y, r * 0.78, 200, 60), "#ffffff", r * 0.05, 0.28)


def dial_indicator(
    k: Kit, x: float, y: float, r: float, needle: float, tip_angle: float, reach: float
) -> None:
    """Draw a dial indicator with its plunger, tip reach away at tip_angle degrees."""
    with k.at(x, y, tip_angle - 90):
        k.shape(rect(-r * 0.16, r * 0.8, r * 0.32, r * 0.6, 5), STEEL, "h", 2)
        k.shape(rect(-r * 0.065, r * 1.3, r * 0.13, reach - r * 1.42, 3), BRIGHT, "h", 2)
        k.shape(circle(0, reach - r * 0.1, r * 0.1), BRIGHT, "r", 2)
        k.shape(rect(-r * 0.1, -r * 1.25, r * 0.2, r * 0.4, 5), STEEL, "h", 2)
    labels = [(i / 10, str(i * 10 if i <= 5 else 100 - i * 10)) for i in range(10)]
    dial(k, x, y, r, needle, labels, "0.01 mm")


def depth_gauge(
    k: Kit, x: float, y: float, scale: float, words: str, rod: float, base: float
) -> None:
    """Draw a digital depth gauge: foot resting at x, y, rod reaching down from it."""
    with k.at(x, y, 0, scale):
        k.shape(rect(-7, -40, 14, 40 + rod, 2), BRIGHT, "h", 2)
        k.shape(rect(-10, -330, 20, 120, 4), BRIGHT, "h", 2)
        k.shape(rect(-base / 2, -34, base, 34, 4), STEEL, "v", 2.5, 10)
        k.shape(rect(-90, -238, 180, 204, 14), DARK, "h", 2.5, 12)
        lcd(k, 0, -176, 156, 78, words, "mm")
        for i, mat in enumerate((YELLOW, GREY, RED)):
            k.shape(circle(-48 + 48 * i, -88, 15), mat, "r", 2)
        k.text("0", -48, -88, 17)


def micrometer(
    k: Kit, x: float, y: float, gap: float, turn: float, words: str, s: float = 1
) -> None:
    """Draw a digital micrometer lying level; its jaws close on x from both sides with a gap."""
    with k.at(x, y, 0, s):
        half = gap / (2 * s)
        frame = arc(0, 0, 205, 12, 156)
        k.line(frame, "#14171a", 70)
        k.line(frame, "#7a8188", 64)
        k.line(arc(-4, -6, 205, 14, 152), "#a3abb2", 36)
        k.line(arc(-4, -10, 216, 20, 140), "#d2d8dd", 7, 0.7)
        k.shape(rect(-half - 170, -17, 170, 34, 3), BRIGHT, "v", 2)
        k.shape(rect(-246, -34, 84, 92, 12), STEEL, "v", 2.5)
        k.shape(rect(half, -17, 190, 34, 3), BRIGHT, "v", 2)
        k.shape(rect(166, -36, 96, 96, 12), STEEL, "v", 2.5)
        k.shape(rect(258, -27, 84, 54, 4), BRIGHT, "v", 2)
        k.shape(rect(330, -38, 150, 76, 6), STEEL, "v", 2.5, 10)
        for i in range(14):
            ny = -36 + ((i * 6 + turn * 40) % 74)
            k.seg((352, ny), (474, ny), "#2f343a", 2, 0.75)
        for i in range(8):
            k.seg((266 + 8 * i, -12 if i % 2 else -18), (266 + 8 * i, 0), "#22262a", 2)
        k.shape(rect(480, -24, 44, 48, 6), DARK, "v", 2)
        k.shape(rect(-112, 152, 224, 104, 14), BLACK, "v", 2.5, 10)
        lcd(k, 0, 204, 200, 76, words, "mm")


def spring_gauge(k: Kit, x: float, y: float, newtons: float, length: float = 460) -> None:
    """Draw a push gauge lying level, its tip at x, y; the body lies to the right."""
    travel = newtons * 3.2
    k.shape(rect(x, y - 8, 150, 16, 3), BRIGHT, "v", 2)
    k.shape(circle(x + 6, y, 16), DARK, "r", 2)
    bx = x + 150 - travel
    k.shape(rect(bx, y - 52, length, 104, 16), YELLOW, "v", 2.5, 16)
    k.shape(rect(bx + 26, y - 34, length - 130, 68, 6), PAPER, "v", 2)
    step = (length - 180) / 30
    for n in range(31):
        h = 26 if n % 10 == 0 else (18 if n % 5 == 0 else 11)
        k.seg((bx + 46 + n * step, y - 30), (bx + 46 + n * step, y - 30 + h), "#15171a", 2.4)
        if n % 10 == 0:
            k.text(str(n), bx + 46 + n * step, y + 12, 24)
    k.text("N", bx + 70, y + 12, 24)
    nx = bx + 46 + newtons * step
    k.seg((nx, y - 33), (nx, y + 32), "#c01818", 6)
    k.shape(rect(bx + length - 90, y - 40, 70, 80, 10), BLACK, "v", 2)


def bore_gauge(
    k: Kit,
    x: float,
    y: float,
    r: float,
    turn: float,
    needle: float,
    dial_at: tuple[float, float],
    face: float,
) -> None:
    """Draw a bore gauge: its head across a bore of radius r, its dial at dial_at."""
    k.tube(poly([(x, y), (dial_at[0], dial_at[1] + face * 0.9)], closed=False), STEEL, face * 0.26)
    with k.at(x, y, turn):
        k.shape(rect(-r * 0.99, -r * 0.1, r * 1.98, r * 0.2, r * 0.09), BRIGHT, "v", 2, 8)
        k.shape(rect(-r * 0.34, -r * 0.26, r * 0.68, r * 0.52, r * 0.14), BLACK, "v", 2)
        for side in (-1, 1):
            k.shape(circle(side * r * 0.94, 0, r * 0.09), STEEL, "r", 1.5)
    k.tube(
        poly([(x, y), (x + (dial_at[0] - x) * 0.12, y + (dial_at[1] - y) * 0.12)], closed=False),
        BLACK,
        face * 0.3,
    )
    labels = [
        (-0.318, "39.97"),
        (-0.234, "39.98"),
        (-0.1, "39.99"),
        (0, "40.00"),
        (0.1, "40.01"),
        (0.234, "40.02"),
        (0.318, "40.03"),
    ]
    dial(k, *dial_at, face, needle, labels, "mm", lettering=0.115)
