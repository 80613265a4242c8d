"""The band saw and its fittings: whole machine, panel, isolator, guard, tension, press."""

from __future__ import annotations

import skia

from generate.kit import (
    BLACK,
    BRIGHT,
    CAST,
    DARK,
    DEEP_GREEN,
    GREEN,
    GREY,
    LAMP_GREEN,
    RED,
    RUBBER,
    STEEL,
    WOOD,
    YELLOW,
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
from generate.parts import empty_hole, screw_head
from generate.wheel import blade_line, wheel

UPPER = (620.0, 190.0)
LOWER = (620.0, 560.0)
RADIUS = 118.0
GUARD_PAINT = Material(("#e9e2cc", "#d8d0b5", "#beb595"), "paint")
CHUTE_PAINT = Material(("#6d737a", "#4c5259", "#33383d"), "paint")


def saw(k: Kit, angle: float = 0, door: str = "shut", blade: bool = True) -> None:
    """Draw the whole band saw from the front. door: shut or open."""
    ux, uy = UPPER
    lx, ly = LOWER
    k.shape(rect(760, 60, 86, 600, 18), GREEN, "h", 2.5, 26)
    k.shape(rect(lx - 190, ly - 138, 420, 290, 20), GREEN, "d", 2.5, 24)
    k.shape(rect(lx - 200, ly + 140, 450, 34, 6), DARK, "v", 2.5, 14)
    k.shape(rect(ux - 20, uy - 60, 220, 120, 14), GREEN, "v", 2.5)
    k.shape(circle(ux, uy, RADIUS + 26), DEEP_GREEN, "d", 2.5, 20)
    if door == "open":
        _guard_small(k)
    wheel(k, ux, uy, RADIUS, angle, 8)
    _saw_blade(k, blade)
    k.shape(circle(lx, ly, 128), DEEP_GREEN, "r", 3, 8)
    if door == "open":
        wheel(k, lx, ly, RADIUS, angle + 30, 8)
    else:
        k.shape(circle(lx, ly, 112), GREEN, "r", 2)
        for i in range(5):
            k.seg((lx - 60, ly - 40 + 20 * i), (lx + 60, ly - 40 + 20 * i), "#1d3125", 7)
    _upper_door(k, door)
    k.shape(rect(ux - 330, 386, 380, 30, 5), CAST, "v", 2.5, 22)
    k.shape(rect(ux - 200, 414, 120, 42, 4), DARK, "v", 2)
    k.shape(rect(ux - 318, 372, 60, 14, 3), STEEL, "v", 2)
    k.shape(rect(ux - RADIUS - 22, 296, 44, 62, 6), STEEL, "h", 2, 8)
    k.shape(rect(ux - RADIUS - 8, 262, 16, 40, 3), BRIGHT, "h", 1.5)
    k.shape(rect(ux - 8, 8, 16, 48, 3), STEEL, "h", 1.5)
    k.shape(rect(ux - 44, -10, 88, 20, 8), BLACK, "v", 2, 6)
    switch_small(k, 805, 330)
    k.shape(rect(lx + 120, 420, 40, 34, 5), GREY, "d", 2)


def _guard_small(k: Kit) -> None:
    """Draw the inner guard behind the open upper door as seen from afar, its screws in."""
    ux, uy = UPPER
    k.shape(rect(ux - 156, uy - 142, 312, 284, 30), GUARD_PAINT, "d", 2.5, 10)
    k.shape(circle(ux, uy, RADIUS + 6), DEEP_GREEN, "d", 2.5)
    for dx, dy in ((-128, -114), (128, -114), (-128, 114)):
        screw_head(k, ux + dx, uy + dy, 8, dx + dy, 2)
    k.shape(
        poly([(ux + 96, uy + 92), (ux + 166, uy + 80), (ux + 166, uy + 170), (ux + 90, uy + 170)]),
        CHUTE_PAINT,
        "h",
        2,
        8,
    )


def _saw_blade(k: Kit, on: bool) -> None:
    """Draw the blade round both wheels, its cutting length free over the table."""
    if not on:
        return
    ux, uy = UPPER
    lx, ly = LOWER
    path = poly([(lx - RADIUS, ly - 70), (ux - RADIUS, uy)], closed=False)
    blade_line(k, path, 6)
    blade_line(k, arc(ux, uy, RADIUS, 180, 180), 6)
    blade_line(k, poly([(ux + RADIUS, uy), (ux + RADIUS, 426)], closed=False), 6)


def _upper_door(k: Kit, door: str) -> None:
    """Draw the door over the upper wheel, shut with three slots, or swung open."""
    ux, uy = UPPER
    if door == "open":
        with k.at(ux + 210, uy, 0, 0.34, 1):
            k.shape(circle(0, 0, RADIUS + 24), GREEN, "d", 3, 14)
        return
    body = circle(ux, uy, RADIUS + 24)
    for i in range(3):
        start = 150 + 120 * i
        outer = [polar(ux, uy, 96, start + s * 8) for s in range(10)]
        inner = [polar(ux, uy, 58, start + s * 8) for s in range(9, -1, -1)]
        body.addPath(poly([*outer, *inner]))
    body.setFillType(skia.PathFillType.kEvenOdd)
    k.shape(body, GREEN, "d", 2.5, 6)
    k.shape(circle(ux, uy, 34), DEEP_GREEN, "r", 2)
    for i in range(4):
        screw_head(k, *polar(ux, uy, RADIUS + 10, 45 + 90 * i), 8, 20 * i, 2)


def switch_small(k: Kit, x: float, y: float) -> None:
    """Draw the switch panel as seen from afar."""
    k.shape(rect(x - 34, y - 54, 68, 108, 6), GREY, "d", 2, 8)
    k.shape(circle(x, y - 24, 15), BLACK, "r", 1.5)
    k.shape(circle(x, y + 12, 11), LAMP_GREEN, "r", 1.5)
    k.shape(circle(x, y + 38, 11), RED, "r", 1.5)


def panel(k: Kit) -> None:
    """Draw the switch panel's fixed parts, large: plate, lettering, rings."""
    plate = rect(330, 60, 560, 600, 26)
    k.shape(plate, GREY, "d", 3, 34)
    k.line(rect(346, 76, 528, 568, 18), "#ffffff", 2.5, 0.55)
    for x, y in ((366, 96), (854, 96), (366, 624), (854, 624)):
        screw_head(k, x, y, 15, x + y, 3)
    k.shape(circle(610, 250, 128), STEEL, "s", 2.5, 10)
    k.shape(circle(610, 250, 116), Material(("#f4f4f0", "#e6e6e0"), "paint"), "v", 1.5)
    k.text("I", 722, 140, 50)
    k.text("O", 498, 140, 50)
    k.shape(ring(500, 520, 78, 60), BRIGHT, "s", 2, 10)
    k.shape(ring(720, 520, 78, 60), BRIGHT, "s", 2, 10)


def switch_knob(k: Kit, angle: float) -> None:
    """Draw the rotary knob, its pointer at angle degrees from straight up."""
    with k.at(610, 250, angle):
        k.shape(circle(0, 0, 82), BLACK, "r", 2.5, 14)
        k.shape(rect(-24, -96, 48, 186, 20), BLACK, "h", 2.5, 8)
        k.seg((0, -82), (0, -30), "#ffffff", 9)


def button(
    k: Kit, x: float, y: float, mat: Material, sign: str, down: float = 0, lit: bool = False
) -> None:
    """Draw a push button, pressed by down 0..1, lit or dark."""
    if lit:
        k.flat(circle(x, y, 92), "#8dffb0", 0.35)
    k.shape(circle(x, y + 4 * down, 58 - 3 * down), mat, "r", 2.5, 14 * (1 - down) + 1)
    k.text(sign, x, y + 4 * down, 40, "#ffffff")


def lamp(k: Kit, x: float, y: float, lit: bool) -> None:
    """Draw the power lamp."""
    k.shape(ring(x, y, 30, 22), BRIGHT, "s", 2, 5)
    k.flat(circle(x, y, 22), "#ffd34a" if lit else "#4a3f22")
    if lit:
        k.flat(circle(x, y, 48), "#ffe27a", 0.3)
    k.line(arc(x, y, 14, 200, 70), "#ffffff", 4, 0.7 if lit else 0.3)


def isolator(k: Kit, angle: float) -> None:
    """Draw the wall isolator; its red handle is at angle from upright (0 on, 90 off)."""
    k.shape(rect(400, 90, 420, 500, 22), GREY, "d", 3, 34)
    k.line(rect(416, 106, 388, 468, 14), "#ffffff", 2.5, 0.5)
    for x, y in ((436, 126), (784, 126), (436, 554), (784, 554)):
        screw_head(k, x, y, 14, x, 3)
    k.shape(rect(440, 170, 356, 280, 14), YELLOW, "d", 2.5, 8)
    k.text("I  ON", 610, 190, 34)
    k.text("O", 760, 304, 34)
    k.text("OFF", 760, 340, 30)
    k.shape(circle(610, 320, 92), RED, "r", 2.5, 10)
    with k.at(610, 320, angle):
        handle = rect(-32, -112, 64, 224, 24)
        k.shape(handle, RED, "h", 3, 16)
        k.seg((0, -96), (0, -44), "#ffffff", 10)
        k.flat(circle(0, 86, 13), "#240704")
    k.tube(poly([(610, 700), (610, 590)], closed=False), DARK, 40)


def guard_plate(k: Kit) -> None:
    """Draw the wheel guard's fixed plate close up, without screws and chute."""
    body = rect(240, 40, 820, 640, 90)
    k.shape(body, GUARD_PAINT, "d", 3, 26)
    k.line(rect(258, 58, 784, 604, 76), "#ffffff", 3, 0.55)
    k.shape(circle(620, 360, 180), DEEP_GREEN, "d", 3)
    wheel(k, 620, 360, 420 / 2.4, 14, 0)
    k.line(circle(620, 360, 180), "#23272a", 9, 0.7)


SCREWS = {
    "screw_1": (330.0, 130.0),
    "screw_2": (330.0, 590.0),
    "screw_3": (930.0, 130.0),
    "hidden_screw": (930.0, 590.0),
}


def guard_screw(k: Kit, name: str, angle: float, out: float) -> None:
    """Draw a guard screw, turned by angle; out 0..1 is how far it is undone (1: gone)."""
    x, y = SCREWS[name]
    empty_hole(k, x, y, 20)
    if out < 1:
        screw_head(k, x, y, 30 * (1 + 0.45 * out), angle, 6 + 24 * out)


def dust_chute(k: Kit, swing: float) -> None:
    """Draw the dust chute: a dark duct hung at its top, swung aside by swing degrees."""
    with k.at(1100, 470, -swing):
        duct = poly([(-290, 30), (40, -40), (90, 40), (70, 330), (-250, 330)])
        k.shape(duct, CHUTE_PAINT, "h", 3, 30)
        for i in range(6):
            y = 80 + 44 * i
            k.seg((-250 + 6 * i, y), (96, y), "#1c1f22", 7, 0.7)
            k.seg((-250 + 6 * i, y + 8), (96, y + 8), "#a3abb3", 3, 0.5)
        k.shape(rect(-276, 14, 380, 34, 8), STEEL, "v", 2.5)
        k.shape(circle(40, 4, 26), STEEL, "r", 2.5, 6)
        k.shape(hexagon(40, 4, 15, 8), DARK, "d", 1.5)


def tension_gear(k: Kit, turns: float, slack: float) -> None:
    """Draw the tension spindle: spring, indicator scale, hand wheel. slack 0 tight .. 1 off."""
    k.shape(rect(520, -130, 240, 190, 16), DEEP_GREEN, "h", 3, 20)
    k.shape(rect(624, 40, 34, 520, 4), BRIGHT, "h", 2)
    for i in range(34):
        y = 300 + i * 8 - (turns * 16) % 8
        k.seg((625, y), (657, y + 5), "#3d4349", 2.5, 0.8)
    top = 74.0
    bottom = 250 + 70 * slack
    coils = 7
    for i in range(coils):
        y = top + (bottom - top) * (i + 0.5) / coils
        k.tube(poly([(584, y + 10), (698, y - 10)], closed=False), STEEL, 17)
    k.shape(rect(560, bottom, 162, 30, 6), STEEL, "v", 2.5, 8)
    k.shape(rect(790, 60, 130, 320, 8), Material(("#fbf9f2", "#efece0"), "paint"), "h", 3, 12)
    for i in range(11):
        y = 84 + i * 27
        k.seg((800, y), (842 if i % 5 == 0 else 826, y), "#15171a", 4)
        if i % 5 == 0:
            k.text(str(10 - i), 880, y, 34)
    pointer = 84 + 270 * slack
    k.shape(
        poly(
            [
                (722, pointer - 14),
                (790, pointer - 3),
                (800, pointer),
                (790, pointer + 3),
                (722, pointer + 14),
            ]
        ),
        RED,
        "v",
        2,
        6,
    )
    k.shape(rect(700, min(pointer, bottom) - 6, 24, abs(bottom - pointer) + 30, 3), STEEL, "h", 1.5)
    hand_wheel(k, 641, 560, turns)


def hand_wheel(k: Kit, x: float, y: float, turns: float) -> None:
    """Draw a hand wheel seen at a slant, turned."""
    with k.at(x, y, 0, 1, 0.42):
        k.shape(ring(0, 0, 210, 172), BLACK, "s", 3, 22)
        for i in range(3):
            a = polar(0, 0, 176, turns * 360 + 120 * i)
            k.line(poly([(0, 0), a], closed=False), "#14171a", 34)
            k.line(poly([(0, 0), a], closed=False), "#6b7076", 26)
        k.shape(circle(0, 0, 46), STEEL, "r", 3)
        knob = polar(0, 0, 190, turns * 360 + 40)
    kx, ky = x + knob[0], y + knob[1] * 0.42
    k.shape(rect(kx - 17, ky - 70, 34, 74, 14), RED, "h", 2.5, 8)


def press(k: Kit, ram: float, lever: float, cx: float = 610) -> None:
    """Draw the arbor press behind the work: base, column, head. Ram end at height ram."""
    k.shape(rect(cx + 230, -80, 220, 760, 20), GREEN, "h", 3, 30)
    k.shape(rect(cx - 130, -120, 470, 190, 26), GREEN, "v", 3, 24)
    k.shape(rect(cx - 330, 640, 800, 160, 16), GREEN, "v", 3, 20)
    k.shape(rect(cx - 40, -140, 80, ram + 140, 4), BRIGHT, "h", 2.5, 10)
    for i in range(40):
        y = ram - 20 - i * 17
        if y < 60:
            break
        k.flat(rect(cx + 18, y - 8, 22, 9), "#2c3136")
    k.shape(rect(cx - 92, 30, 184, 48, 8), DEEP_GREEN, "v", 2.5)
    k.shape(circle(cx + 130, -10, 62), STEEL, "r", 3, 12)
    with k.at(cx + 130, -10, lever):
        k.tube(poly([(0, 0), (-360, 0)], closed=False), STEEL, 30)
        k.shape(circle(-372, 0, 34), BLACK, "r", 3, 10)
    k.shape(circle(cx + 130, -10, 30), DARK, "r", 2)


def press_bed(k: Kit, cx: float, top: float, half: float, gap: float) -> None:
    """Draw the bolster the hub stands on, with its opening."""
    for x in (cx - half, cx + gap):
        k.shape(rect(x, top, half - gap, 644 - top, 4), STEEL, "v", 2.5, 10)
    k.flat(rect(cx - gap, top, 2 * gap, 644 - top), "#101314", 0.85)


def guide_block(k: Kit, x: float, y: float, s: float = 1) -> None:
    """Draw the worn guide block with the groove the blade has cut into it."""
    with k.at(x, y, 0, s):
        k.shape(poly([(-260, -60), (260, -60), (330, -130), (-190, -130)]), CAST, "h", 2.5)
        k.shape(poly([(260, -60), (330, -130), (330, 110), (260, 190)]), DARK, "h", 2.5)
        k.shape(rect(-260, -60, 520, 250, 4), BRIGHT, "v", 3, 30)
        groove = poly([(-40, -60), (-22, 60), (-12, 104), (8, 112), (22, 96), (36, 50), (50, -60)])
        k.shape(groove, DARK, "h", 3)
        k.shape(poly([(-40, -60), (50, -60), (120, -130), (44, -130)]), DARK, "h", 2)
        k.line(poly([(-22, 60), (-12, 104), (8, 112), (22, 96)], closed=False), "#e8edf1", 4, 0.8)
        for i in range(12):
            gx = -34 + i * 6
            k.seg((gx, -54), (gx + 3, 30 + (i * 17) % 40), "#aeb6bc", 1.6, 0.6)
        for i in range(9):
            k.seg(
                (-230 + 19 * i, -30 + (i * 37) % 150),
                (-215 + 19 * i, -24 + (i * 37) % 150),
                "#3b4045",
                2,
                0.6,
            )


def tyre_edge(k: Kit, x: float, y: float, w: float, h: float, run: float) -> None:
    """Draw the wheel's rim edge-on, tall, its tyre moving by run pixels."""
    k.shape(rect(x - w / 2, y, w, h, 10), BRIGHT, "h", 2.5, 20)
    k.shape(rect(x - w * 0.44, y, w * 0.88, h, 14), RUBBER, "h", 2.5, 0)
    step = 46.0
    gy = y + run % step
    while gy < y + h:
        k.seg((x - w * 0.42, gy), (x + w * 0.42, gy), "#7a7876", 2, 0.4)
        gy += step
    k.shape(rect(x - 4, y, 1, h), WOOD, "h", 0)
