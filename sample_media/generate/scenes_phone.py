"""Phone film (upright): the inspection at the bench."""

from __future__ import annotations

import math

from generate import gauges, places
from generate.camera import Jolt, View
from generate.hands import hand
from generate.kit import (
    BRIGHT,
    CLOTH,
    DARK,
    GREEN,
    GREY,
    NITRILE,
    STEEL,
    YELLOW,
    Kit,
    circle,
    curve,
    ease,
    poly,
    rect,
)
from generate.parts import tab_washer
from generate.scene import Scene
from generate.wheel import hub_close


def _bore_back(k: Kit) -> None:
    """Draw what does not move: bore."""
    places.bench_tall(k)
    hub_close(k, 360, 720, 190, "bare", 54)


def _solvent(k: Kit, x: float, y: float) -> None:
    """Draw a spray bottle of solvent lying on the bench, no name on it."""
    k.shape(rect(x, y, 130, 210, 26), YELLOW, "h", 3, 20)
    k.shape(rect(x + 40, y - 44, 50, 54, 8), DARK, "h", 2.5)
    k.shape(
        poly([(x + 10, y - 90), (x + 110, y - 90), (x + 96, y - 40), (x + 34, y - 40)]),
        GREY,
        "v",
        2.5,
    )
    k.shape(rect(x + 18, y + 70, 94, 90, 4), CLOTH, "v", 2)
    k.shape(poly([(x + 65, y + 86), (x + 88, y + 146), (x + 42, y + 146)]), YELLOW, "v", 3)


def clean_bore(k: Kit, u: float) -> None:
    """Draw the scene "clean_bore" at share u of its length."""
    _solvent(k, 300, 130)
    a = 2 * math.pi * (2.4 * u)
    x, y = 360 + 118 * math.cos(a), 720 + 112 * math.sin(a)
    wet = ease(u, 0.1, 0.8)
    k.line(circle(360, 720, 178), "#ffffff", 14, 0.12 + 0.25 * wet)
    wad = curve(
        [
            (
                x + (64 + 14 * math.sin(3 * i)) * math.cos(i * 0.524),
                y + (58 + 13 * math.cos(2.3 * i)) * math.sin(i * 0.524),
            )
            for i in range(13)
        ]
    )
    wad.close()
    k.shape(wad, CLOTH, "d", 2.5, 16)
    for i in range(3):
        k.seg((x - 40 + 26 * i, y - 28), (x - 26 + 26 * i, y + 30), "#6f7e93", 4, 0.5)
    k.shape(
        poly([(x - 30, y + 10), (x + 30, y + 20), (x + 76, y + 120), (x + 10, y + 128)]),
        CLOTH,
        "d",
        2.5,
    )
    hand(k, (x + 8, y + 16), -112, 1.25, "pinch", NITRILE)
    k.mark("bore", 360 - 170, 720)
    k.mark("cloth", x, y)
    k.mark("solvent", 365, 230)


def look_feel(k: Kit, u: float) -> None:
    """Draw the scene "look_feel" at share u of its length."""
    a = math.radians(-130 + 330 * ease(u, 0.08, 0.95))
    x, y = 360 + 176 * math.cos(a), 720 + 176 * math.sin(a)
    beam = poly([(118, 272), (196, 214), (530, 620), (220, 850)])
    with k.clip(circle(360, 725, 126), outside=True):
        k.flat(beam, "#fff3bf", 0.26)
        k.flat(circle(360, 720, 190), "#fff3bf", 0.22)
    with k.at(150, 236, 54, 1.2):
        k.shape(rect(-330, -38, 300, 76, 16), DARK, "v", 3, 20)
        k.shape(poly([(-40, -38), (40, -58), (40, 58), (-40, 38)]), STEEL, "v", 3)
        k.flat(rect(34, -54, 12, 108, 4), "#fffbe6")
    hand(k, (x, y), -104 + 14 * math.cos(a), 1.2, "point")
    k.mark("fingertip", x, y)
    k.mark("bore", 360 - 180, 720)
    k.mark("torch", 120, 190)


def _gauge_back(k: Kit) -> None:
    """Draw what does not move: gauge."""
    places.bench_tall(k)
    hub_close(k, 360, 850, 190, "bare", 18)


def measure_bore(k: Kit, u: float) -> None:
    """Draw the scene "measure_bore" at share u of its length."""
    step = min(3, int(u * 4))
    v = u * 4 - step
    turn = 90.0 if step % 2 else 0.0
    before = 0.0 if step % 2 else (90.0 if step else 0.0)
    turn = before + (turn - before) * ease(v, 0, 0.3)
    rock = math.sin(v * 19) * (1 - ease(v, 0.3, 0.7))
    needle = -0.2 + 0.06 * abs(rock)
    deep = 14 if step >= 2 else 0
    gauges.bore_gauge(k, 360, 850 + deep, 188, turn, needle, (360 + 8 * rock, 330 + deep), 236)
    hand(k, (366 + 6 * rock, 640 + deep), -30, 1.1, "grip", arm=560)
    k.mark("dial", 360, 330)
    k.mark("needle", *_needle(330 + deep))
    k.mark("bore", 360 - 180, 850)


def _needle(y: float) -> tuple[float, float]:
    """Return a point near the needle's tip when it shows 39.98."""
    a = math.radians(-0.2 * 360 - 90)
    return 360 + 150 * math.cos(a), y + 150 * math.sin(a)


AXLE_X = 285.0


def _axle_back(k: Kit) -> None:
    """Draw what does not move: axle."""
    k.shape(rect(-150, -150, 1020, 1600), places.FLOOR, "v", 0)
    k.shape(rect(-150, 1130, 1020, 320, 20), GREEN, "v", 3, 26)
    k.shape(rect(110, 1070, 350, 70, 14), GREEN, "h", 2.5, 14)


def _axle(k: Kit) -> None:
    """Draw the axle on the saw frame, seen from above: outer seat at the top, then thread."""
    with k.at(AXLE_X - 360):
        k.shape(rect(230, 980, 260, 96, 8), STEEL, "h", 3, 14)
        k.shape(rect(262, 880, 196, 110, 8), BRIGHT, "h", 3, 14)
        k.shape(rect(300, 640, 120, 244, 4), BRIGHT, "h", 2.5)
        k.shape(rect(308, 520, 104, 124, 3), STEEL, "h", 2.5)
        k.shape(rect(300, 300, 120, 224, 4), BRIGHT, "h", 2.5)
        k.shape(rect(312, 120, 96, 184, 4), STEEL, "h", 2.5)
        for i in range(15):
            k.seg((312, 134 + 11 * i), (408, 140 + 11 * i), "#23272b", 3, 0.8)


def _measure_axle(k: Kit, u: float, y: float, final: str, name: str) -> None:
    """Draw the micrometer closing on a seat and both hands."""
    close = ease(u, 0.15, 0.55)
    gap = 121 + 60 * (1 - close)
    words = final if u > 0.58 else f"{17.9 - 0.9 * close + 0.003 * math.sin(u * 80):.3f}"
    gauges.micrometer(k, AXLE_X, y, gap, 6 * close, words, 0.82)
    hand(k, (AXLE_X + 0.82 * 425, y + 12), 200, 0.9, "pinch", flip=True, arm=420)
    hand(k, (AXLE_X - 0.82 * 165, y + 160), -38, 1.0, "grip", arm=480)
    k.mark(name, AXLE_X, y - 70)
    k.mark("readout", AXLE_X, y + 167)
    k.mark("anvil", AXLE_X - 70, y)


def axle_outer(k: Kit, u: float) -> None:
    """Draw the scene "axle_outer" at share u of its length."""
    _axle(k)
    _measure_axle(k, u, 410, "16.995", "outer_seat")


def axle_inner(k: Kit, u: float) -> None:
    """Draw the scene "axle_inner" at share u of its length."""
    _axle(k)
    _measure_axle(k, u, 760, "16.994", "inner_seat")


def _cloth_back(k: Kit) -> None:
    """Draw what does not move: cloth."""
    places.bench_tall(k)
    places.cloth(k, 60, 150, 600, 980)


def tab_compare(k: Kit, u: float) -> None:
    """Draw the scene "tab_compare" at share u of its length."""
    with k.at(360, 420, -8):
        tab_washer(k, 0, 0, 170, 0.32, -90, 18)
        crack = curve([(-52, -186), (-30, -172), (-8, -180), (16, -164), (34, -170)])
        k.line(crack, "#0a0806", 8)
        k.line(crack, "#8b5a3a", 2.5, 0.8)
        for i in range(7):
            k.seg(
                (-120 + 38 * i, 60 + (i * 53) % 60),
                (-96 + 38 * i, 66 + (i * 53) % 60),
                "#4b4035",
                3,
                0.6,
            )
        for i in range(4):
            k.flat(circle(-100 + 62 * i, 118 - (i * 31) % 40, 9 + i), "#8a5a2b", 0.35)
    tab_washer(k, 360, 880, 170, 0, -90, 18)
    point = ease(u, 0.1, 0.35)
    hand(k, (410 + 260 * (1 - point), 268 + 160 * (1 - point)), -152, 1.1, "point", flip=True)
    k.mark("crack", 336, 250)
    k.mark("old_washer", 360, 540)
    k.mark("new_washer", 360, 1000)


SCENES = (
    Scene(
        "clean_bore",
        "The hub bore is wiped with cloth and solvent.",
        "Clean the bore with solvent and a lint-free cloth, right into the groove.",
        _bore_back, clean_bore, 0.55, View((1.02, 1.032), shake=2.6),
    ),
    Scene(
        "look_feel",
        "A fingertip goes round the bore in the light of a torch.",
        "Look with a light, and feel all the way round. No scores, no steps.",
        _bore_back, look_feel, 0.6,
        View((1.04, 1.05), shake=2.6, jolts=(Jolt(0.02, 0.5, 60, 70),)),
        6.2,
    ),
    Scene(
        "measure_bore",
        "A bore gauge, set to 40.00, shows 39.98 mm in two planes and two directions.",
        "Bore gauge, set to forty. Two planes, two directions. Thirty-nine point nine eight.",
        _gauge_back, measure_bore, 0.46, View((1.0, 1.012), shake=2.6),
        9.0,
    ),
    Scene(
        "axle_outer",
        "A micrometer on the outer axle seat reads 16.995 mm.",
        "Micrometer on the outer seat. Sixteen point nine nine five.",
        _axle_back, axle_outer, 0.85,
        View((1.0, 1.03), shake=3.2, jolts=(Jolt(0.0, 0.4, 90, 60),)),
        5.8,
    ),
    Scene(
        "axle_inner",
        "A micrometer on the inner axle seat reads 16.994 mm.",
        "And the inner seat. Sixteen point nine nine four.",
        _axle_back, axle_inner, 0.85, View((1.0, 1.012), shake=2.6),
        5.8,
    ),
    Scene(
        "tab_compare",
        "The old tab washer, cracked at its tab, beside a new one.",
        "Here is the old tab washer next to a new one. See the crack? Never again.",
        _cloth_back, tab_compare, 0.7, View((1.02, 1.035), shake=2.6),
    ),
)  # fmt: skip
