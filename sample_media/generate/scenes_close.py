"""Saw film, part four: runout, blade, tension, tracking, guard, handover."""

from __future__ import annotations

import math

import skia

from generate import gauges, places, tools
from generate import machine as m
from generate.camera import Jolt, View
from generate.hands import hand
from generate.kit import (
    BLACK,
    BRIGHT,
    DARK,
    GREEN,
    LEATHER,
    RED,
    STEEL,
    Kit,
    circle,
    ease,
    poly,
    rect,
)
from generate.scene import Scene
from generate.scenes_removal import _guard_back, _wheel_back
from generate.wheel import blade_strip, wheel


def runout(k: Kit, u: float) -> None:
    """Draw the scene "runout" at share u of its length."""
    angle = 300 * ease(u, 0.02, 0.98)
    wheel(k, 760, 300, 270, angle)
    swing = 0.04 + 0.04 * math.sin(math.radians(angle * 1.2 - 80))
    k.tube(poly([(250, 720), (250, 400)], closed=False), STEEL, 24)
    k.shape(rect(155, 590, 190, 110, 10), RED, "v", 3, 20)
    k.shape(circle(250, 500, 30), DARK, "r", 2.5, 8)
    gauges.dial_indicator(k, 240, 300, 150, swing, 0, 250)
    a = math.radians(52 + (angle * 0.7) % 26)
    hand(k, (760 + 268 * math.cos(a), 300 + 268 * math.sin(a)), 215, 1.1, "flat")
    k.mark("dial", 240, 300)
    k.mark("plunger_tip", 490, 300)
    k.mark("rim", 525, 300)


def _blade_back(k: Kit) -> None:
    """Draw what does not move: blade."""
    places.frame_close(k)
    k.shape(rect(560, -130, 160, 470, 30), GREEN, "h", 2.5, 16)


def _toothed(k: Kit, x: float, y: float, r: float, drop: float) -> None:
    """Draw the blade over the wheel: toothed band on top and down both sides."""
    outer = [(x - r, 900.0)]
    inner = [(x - r + 22, 900.0)]
    n = 20
    for i in range(46):
        yy = 880 - i * (880 - y) / 46
        outer += [(x - r - 1, yy), (x - r - 15, yy + 8)]
    for i in range(4 * n):
        a = math.radians(180 + 180 * i / (4 * n))
        b = math.radians(180 + 180 * (i - 0.45) / (4 * n))
        outer += [
            (x + r * math.cos(a), y + r * math.sin(a)),
            (x + (r + 14) * math.cos(b), y + (r + 14) * math.sin(b)),
        ]
        inner.append((x + (r - 22) * math.cos(a), y + (r - 22) * math.sin(a)))
    for i in range(46):
        yy = y + i * (880 - y) / 46
        outer += [(x + r, yy), (x + r + 14, yy - 8)]
    inner.append((x + r - 22, 900.0))
    with k.at(0, -drop):
        k.shape(poly([*outer, *reversed(inner)]), BRIGHT, "h", 2.2, 14)


def blade_on(k: Kit, u: float) -> None:
    """Draw the scene "blade_on" at share u of its length."""
    wheel(k, 640, 370, 268, 12)
    drop = 210 * (1 - ease(u, 0.12, 0.72))
    _toothed(k, 640, 370, 280, drop)
    hand(k, (352, 470 - drop), -24, 1.05, "grip", LEATHER)
    hand(k, (928, 470 - drop), 204, 1.05, "grip", LEATHER, flip=True)
    k.mark("cutting_side_teeth", 352, 580 - drop)
    k.mark("blade", 640, 100 - drop)
    k.mark("upper_wheel", 640, 370)


def tension(k: Kit, u: float) -> None:
    """Draw the scene "tension" at share u of its length."""
    push = ease(u, 0.25, 0.62)
    s = 17.0
    bow = -5 * s * push
    blade_strip(k, 466, -340, 1060, 72, 0, bow, kink=True)
    tip = 502 + bow
    k.shape(rect(180, 96, 460, 128, 6), m.YELLOW, "v", 2.5, 14)
    for i in range(-5, 16):
        x = 502 - i * s
        k.seg((x, 222), (x, 222 - (56 if i % 5 == 0 else 32)), "#15171a", 3)
        if i % 5 == 0 and i >= 0:
            k.text(str(i), x, 140, 38)
    k.text("mm", 600, 140, 30)
    k.shape(rect(tip - 40, 268, 52, 34, 4), RED, "v", 2, 6)
    k.flat(poly([(tip - 12, 270), (tip, 226), (tip + 12, 270)]), "#c01818")
    gauges.spring_gauge(k, tip + 2, 362, 22 * push)
    grip = tip + 620 - 22 * push * 3.2
    hand(k, (grip - 30, 372), 188, 1.25, "grip", LEATHER)
    k.mark("blade", 466 + bow, 480)
    k.mark("deflection_scale", 502 - 5 * s, 190)
    k.mark("spring_gauge", tip + 330, 362)


def track(k: Kit, u: float) -> None:
    """Draw the scene "track" at share u of its length."""
    run = 1500 * u
    off = 46 * (1 - ease(u, 0.2, 0.72)) * math.cos(u * 14)
    m.tyre_edge(k, 470, -140, 330, 1000, run)
    blade_strip(k, 470 + off, -140, 860, 120, run, 0)
    k.shape(rect(860, 250, 300, 170, 16), GREEN, "v", 3, 18)
    k.shape(rect(780, 318, 130, 34, 4), STEEL, "v", 2)
    turn = 260 * ease(u, 0.2, 0.72)
    with k.at(1010, 335, turn):
        k.shape(_star(92), BLACK, "r", 3, 16)
        k.shape(circle(0, 0, 32), STEEL, "r", 2)
        k.seg((0, -36), (0, -74), "#ffffff", 8)
    hand(k, (1030, 360), 218 + 10 * math.sin(turn / 12), 1.2, "grip", LEATHER)
    k.mark("blade", 470 + off, 300)
    k.mark("rim_edge", 320, 300)
    k.mark("tracking_knob", 1010, 335)


def _star(r: float) -> skia.Path:
    """Return a star knob's outline."""
    points = []
    for i in range(72):
        a = math.radians(5 * i)
        d = r * (1 + 0.14 * math.cos(6 * a))
        points.append((d * math.cos(a), d * math.sin(a)))
    return poly(points)


ORDER = ("screw_1", "hidden_screw", "screw_3", "screw_2")


def guard_back(k: Kit, u: float) -> None:
    """Draw the scene "guard_back" at share u of its length."""
    step = min(7, int(u * 8))
    v = u * 8 - step
    with k.clip(circle(620, 360, 179)), k.at(620, 360, 0, 0.605):
        _toothed(k, 0, 0, 280, 0)
    for name in m.SCREWS:
        turn = 40 * (step > ORDER.index(name)) + 30 * (step - 4 > ORDER.index(name))
        if name == ORDER[step % 4]:
            turn += 40 * ease(v, 0.3, 0.8)
        m.guard_screw(k, name, turn, 0)
        k.mark(name, *m.SCREWS[name])
    m.dust_chute(k, 56)
    x, y = m.SCREWS[ORDER[step % 4]]
    ox, oy = m.SCREWS[ORDER[(step - 1) % 4]] if step else (x + 200, y - 100)
    w = ease(v, 0, 0.26)
    x, y = ox + (x - ox) * w, oy + (y - oy) * w
    angle = -38 if y > 350 else 30
    tools.driver(k, x, y, angle, 300, m.YELLOW)
    a = math.radians(angle)
    turn = 24 * math.sin(math.pi * ease(v, 0.3, 0.8))
    grip = (x + 238 * math.cos(a) - 10, y + 238 * math.sin(a))
    hand(k, grip, 180 + angle + turn, 1.0, "grip", LEATHER)
    k.mark("driver_tip", x, y)


def _handover_back(k: Kit) -> None:
    """Draw what does not move: handover."""
    places.frame_close(k)


def handover(k: Kit, u: float) -> None:
    """Draw the scene "handover" at share u of its length."""
    if u < 0.55:
        k.shape(rect(520, -130, 220, 180, 12), STEEL, "h", 2.5, 14)
        m.guide_block(k, 600, 350, 1.15)
        blade_strip(k, 606, -140, 250, 60, 0, 0)
        come = 300 * (1 - ease(u, 0, 0.16))
        hand(k, (660 + come, 462), 196, 1.1, "point", LEATHER, flip=True)
        k.mark("groove", 606, 440)
        k.mark("guide_block", 400, 480)
        return
    places.metal_wall(k)
    m.isolator(k, 90)
    tools.tag(k, 548, 372, 150, 2 * math.sin(u * 20))
    tools.padlock(k, 524, 312, 92)
    k.mark("padlock", 524, 400)
    k.mark("tag", 548, 530)


SCENES = (
    Scene(
        "runout",
        "A dial indicator on the rim while the wheel is turned by hand; the needle swings"
        " 0.08 mm in all.",
        "Dial indicator on the rim, still locked out. Turn it by hand. No more than zero point"
        " one five.",
        _wheel_back, runout, 0.7,
        View((1.02, 1.04), jolts=(Jolt(0.04, 0.4, -20, 60),)),
    ),
    Scene(
        "blade_on",
        "Gloved hands put the blade on, teeth pointing down on the cutting side.",
        "Gloves again. Blade on, teeth pointing down on the cutting side.",
        _blade_back, blade_on, 0.85,
    ),
    Scene(
        "tension",
        "A spring gauge pushes the blade sideways: five millimetres at 22 N.",
        "Tension it, then push the blade sideways. About five millimetres with twenty-odd newtons.",
        _handover_back, tension, 0.85,
    ),
    Scene(
        "track",
        "The wheel turns by hand; the tracking knob is set until the blade runs mid-rim.",
        "Turn it by hand, and set the tracking knob until the blade runs in the middle of the rim.",
        _handover_back, track, 0.9, View((1.03, 1.05), flash=0.3),
    ),
    Scene(
        "guard_back",
        "Gloved, because the blade is on: four guard screws are tightened crosswise with a torque"
        " driver, in two passes.",
        "Four guard screws, crosswise. Three newton metres first, then six.",
        _guard_back, guard_back, 0.2, least=6.4,
    ),
    Scene(
        "handover",
        "The worn guide block with its groove; then lock and tag, still on the isolator.",
        "The guide block is worn through. That is another job. The lock stays on, the tag stays"
        " on, no test run.",
        _handover_back, handover, 0.4, cut=0.55,
    ),
)  # fmt: skip
