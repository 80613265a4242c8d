"""Saw film, part three: new bearings in, ring in, wheel on, nut tightened."""

from __future__ import annotations

import math

import skia

from generate import gauges, places, tools
from generate import machine as m
from generate.camera import Jolt, View
from generate.hands import hand
from generate.kit import (
    BRIGHT,
    GREEN,
    STEEL,
    Kit,
    along,
    circle,
    ease,
    mix,
    poly,
    rect,
)
from generate.parts import axle_end, bearing_box, ears, nut, retaining_ring, tab_washer, washer
from generate.scene import Scene
from generate.scenes_removal import _edge_part, cradle_side
from generate.section import HubSection
from generate.wheel import can, hub_close, hub_tilted, side_axle, wheel, wheel_side

PRESS_X = 570.0


def _press_back(k: Kit) -> None:
    """Draw what does not move: press."""
    places.wall(k, 700)
    places.tool_board(k, -60, 40, 260, 300)
    places.window(k, 1080, -60, 300, 260)
    m.press(k, 60, 0, PRESS_X)
    m.press_bed(k, PRESS_X, 600, 200, 112)


def _press_sleeve(k: Kit, hub: HubSection, top: float) -> None:
    """Draw the pressing sleeve, cut, standing on the outer ring at depth top."""
    x, y = hub.at(0, top)
    s = hub.s
    k.shape(rect(x - 16.8 * s, y - 20 * s, 33.6 * s, 20 * s), STEEL, "h", 2)
    for side in (-19.7, 16.4):
        k.shape(rect(x + side * s, y - 20 * s, 3.3 * s, 20 * s), BRIGHT, "h", 2.4)
    k.shape(rect(x - 20.6 * s, y - 25 * s, 41.2 * s, 6 * s, 4), BRIGHT, "h", 2.5, 8)


def _pressing(k: Kit, hub: HubSection, u: float, final: float, first: bool) -> float:
    """Draw one bearing going in; return its depth."""
    depth = mix(-13.5, final, ease(u, 0.22, 0.72))
    ram = hub.at(0, depth)[1] - 25 * hub.s
    k.shape(rect(PRESS_X - 40, -140, 80, ram + 140, 4), BRIGHT, "h", 2.5, 10)
    for i in range(14):
        y = ram - 20 - i * 17
        if y > 76:
            k.flat(rect(PRESS_X + 18, y - 8, 22, 9), "#2c3136")
    k.shape(rect(PRESS_X - 92, 30, 184, 48, 8), GREEN, "v", 2.5)
    lever = 30 - 74 * ease(u, 0.22, 0.72)
    with k.at(PRESS_X + 130, -10, lever):
        k.tube(_bar(), STEEL, 30)
        k.shape(circle(-352, 0, 34), m.BLACK, "r", 3, 10)
    a = math.radians(lever)
    grip = (PRESS_X + 130 - 352 * math.cos(a), -10 - 352 * math.sin(a))
    hub.draw_back(k)
    if not first:
        hub.bearing(k, hub.depth(4.5) - 12)
        hub.sleeve(k, 14)
    hub.bearing(k, depth)
    hub.draw_cut(k)
    _press_sleeve(k, hub, depth)
    hand(k, (grip[0], grip[1] - 6), 20, 0.95, "grip")
    k.mark("pressing_sleeve", *hub.at(-17, depth - 10))
    k.mark("bearing_outer_ring", *hub.at(-18.5, depth + 6))
    k.mark("shoulder", *hub.at(-18.4, hub.depth(16.5 if first else 32.0)))
    return depth


def _bar() -> skia.Path:
    """Return the press lever's axis."""
    return poly([(0, 0), (-340, 0)], closed=False)


def press_front(k: Kit, u: float) -> None:
    """Draw the scene "press_front" at share u of its length."""
    hub = HubSection(PRESS_X, 370, 5.0)
    _pressing(k, hub, u, 4.5, True)
    load = (
        0.2
        + 3.6 * ease(u, 0.24, 0.62)
        + (0.4 if u > 0.72 else 0)
        + 0.1 * math.sin(u * 90) * (u < 0.7)
    )
    if u < 0.22:
        load = 0.0
    gauges.readout_box(k, 900, 420, 300, f"{max(0.0, load):.1f}", "kN", "LOAD")
    bearing_box(k, 70, 470, 210)
    k.mark("force_readout", 1050, 488)
    k.mark("bearing_box", 175, 535)


def _bench_back(k: Kit) -> None:
    """Draw what does not move: bench."""
    places.bench(k)


def depth_front(k: Kit, u: float) -> None:
    """Draw the scene "depth_front" at share u of its length."""
    turn = 120 * (ease(u, 0.3, 0.38) + ease(u, 0.62, 0.7))
    hub_tilted(k, 640, 380, 185, 46, "bearing", turn)
    part = 0 if u < 0.34 else (1 if u < 0.66 else 2)
    settled = (0.06 < u < 0.3, 0.4 < u < 0.62, u > 0.72)[part]
    words = (("4.52", "4.51", "4.53")[part]) if settled else "4.9" + str(int(u * 97) % 10)
    x = (530.0, 640.0, 750.0)[part]
    y = (375.0, 452.0, 375.0)[part]
    lift = 0 if settled else 46
    gauges.depth_gauge(k, x, y - lift, 1.02, words, 40, 260)
    hand(k, (x + 96, y - 150 - lift), 196, 0.95, "pinch")
    k.mark("readout", x, y - lift - 180)
    k.mark("gauge_foot", x - 100, y - lift - 16)
    k.mark("hub_face", 640 - 250, 380)


def sleeve_in(k: Kit, u: float) -> None:
    """Draw the scene "sleeve_in" at share u of its length."""
    down = ease(u, 0.25, 0.72)
    depth = 110.0
    hub_tilted(k, 640, 400, 185, depth, "through")
    y = mix(60, 455, down)
    mouth = skia.Path()
    mouth.addOval(skia.Rect.MakeLTRB(640 - 185, 400 - 92, 640 + 185, 400 + 92))
    above = skia.Path(mouth)
    above.addRect(skia.Rect.MakeLTRB(300, -200, 980, 400))
    with k.clip(above):
        k.shape(can(640, y, 106, 0.5, 150), BRIGHT, "h", 2.5)
        with k.at(640, y, 0, 1, 0.5):
            washer(k, 0, 0, 106, 0.75)
            k.flat(circle(0, 0, 79), "#2a2f34")
    if u < 0.84:
        away = 420 * ease(u, 0.74, 0.84)
        hand(k, (742 + away, y + 18 - away * 0.4), 168, 1.0, "pinch")
    k.mark("sleeve", 640, y + 50)
    k.mark("hub_back_face", 640 + 250, 400)


def press_back(k: Kit, u: float) -> None:
    """Draw the scene "press_back" at share u of its length."""
    hub = HubSection(PRESS_X, 370, 5.0, flipped=True)
    if u < 0.5:
        _pressing(k, hub, u * 1.6, 2.0, False)
        gauges.readout_box(k, 900, 420, 300, f"{4.0 * ease(u, 0.12, 0.45):.1f}", "kN", "LOAD")
    else:
        hub.draw_back(k)
        hub.bearing(k, hub.depth(4.5) - 12)
        hub.sleeve(k, 14)
        hub.bearing(k, 2)
        hub.draw_cut(k)
        down = ease(u, 0.52, 0.66)
        words = "2.01" if u > 0.67 else f"{9 - 6.5 * down:.2f}"
        x, y = hub.at(-18, 0)
        gauges.depth_gauge(k, x + 30, y - 150 * (1 - down), 1.1, words, 9, 250)
        hand(k, (x + 120, y - 150 * (1 - down) - 150), 190, 0.95, "pinch")
        k.mark("readout", x + 30, y - 194)
        k.mark("back_face", *hub.at(28, 0))
    k.mark("bearing", *hub.at(-14, 8))
    k.mark("sleeve", *hub.at(10, 22))


def _hub_bench_back(k: Kit) -> None:
    """Draw what does not move: hub bench."""
    places.bench(k)
    hub_close(k, 640, 400, 190, "bearing", 46)


def ring_in(k: Kit, u: float) -> None:
    """Draw the scene "ring_in" at share u of its length."""
    put = ease(u, 0.05, 0.3)
    open_ = ease(u, 0.34, 0.38)
    gap = 13 + 11 * open_
    r = 194 * (0.945 + 0.055 * open_) * (1.12 - 0.12 * put)
    x, y = 640 + 220 * (1 - put), 400 - 120 * (1 - put)
    retaining_ring(k, x, y, r, gap, -90, 8 + 26 * (1 - put))
    if u < 0.48:
        a, b = ears(x, y, r, gap)
        away = ease(u, 0.4, 0.48)
        with k.at(220 * away, -420 * away):
            tools.ring_pliers(k, a, b, 270)
            hand(k, ((a[0] + b[0]) / 2 + 30, (a[1] + b[1]) / 2 - 250), 140, 1.12, "grip")
    else:
        a = math.radians(-62 + 305 * ease(u, 0.54, 0.98))
        come = 300 * (1 - ease(u, 0.48, 0.54))
        tip = (640 + 176 * math.cos(a) + come, 400 + 176 * math.sin(a) + come)
        tools.pick(k, tip, 22)
        hand(k, (tip[0] + 268, tip[1] + 86), 202, 1.0, "grip")
        k.mark("pick", *tip)
    k.mark("retaining_ring", 640 - 186, 400)
    k.mark("ring_ears", 640, 238)


def _side_back(k: Kit) -> None:
    """Draw what does not move: side."""
    places.bench_front(k, 560)
    k.shape(rect(-130, -130, 360, 700, 20), GREEN, "h", 3, 26)
    k.shape(rect(200, 130, 70, 330, 14), GREEN, "v", 2.5, 14)
    side_axle(k, 280, 300)
    places.cloth(k, 390, 590, 470, 120)


def wheel_on(k: Kit, u: float) -> None:
    """Draw the scene "wheel_on" at share u of its length."""
    slide = 1 - ease(u, 0.08, 0.52)
    x = 362 + 360 * slide
    cradle_side(k, x)
    wheel_side(k, x, 300, 236, 200)
    v = ease(u, 0.62, 0.9)
    at = along((730, 630), (604, 300), v)
    _edge_part(k, "washer", at, 0 if v else 1)
    _edge_part(k, "nut", (470, 640), 1)
    _edge_part(k, "tab", (600, 640), 1, 0)
    if u < 0.6:
        away = 400 * ease(u, 0.52, 0.6)
        hand(k, (x + 170 + away, 108), 128, 1.0, "flat")
        hand(k, (x + 180 + away, 480), 214, 1.0, "flat", flip=True)
    else:
        hand(k, (at[0] + 24, at[1] + 30), 200, 0.85, "pinch")
    k.mark("axle_shoulder", 340, 300)
    k.mark("washer", *at)
    k.mark("wheel", x + 100, 300)


def _axle_close_back(k: Kit) -> None:
    """Draw what does not move: axle close."""
    hub_close(k, 640, 360, 205, "bearing", 20)


def nut_torque(k: Kit, u: float) -> None:
    """Draw the scene "nut_torque" at share u of its length."""
    washer(k, 640, 360, 178, 0.45, 12)
    tab_washer(k, 640, 360, 150, 0, -90, 8)
    pull = ease(u, 0.1, 0.8)
    nut(k, 640, 360, 118, 8 + 60 * pull, 12)
    axle_end(k, 640, 360, 58)
    angle = -28 + 62 * pull
    tools.wrench(k, 640, 360, angle, 520, 104, torque=True)
    a = math.radians(angle)
    hand(k, (640 + 430 * math.cos(a), 360 + 430 * math.sin(a)), angle + 100, 1.1, "grip", arm=520)
    value = min(40.0, 3 + 37.2 * ease(u, 0.12, 0.74) ** 1.4)
    gauges.readout_box(k, 70, 60, 330, f"{value:.1f}", "N·m", "TORQUE")
    k.mark("nut", 640, 360)
    k.mark("torque_readout", 235, 135)
    k.mark("wrench_grip", 640 + 430 * math.cos(a), 360 + 430 * math.sin(a))


def tab_bend(k: Kit, u: float) -> None:
    """Draw the scene "tab_bend" at share u of its length."""
    if u < 0.5:
        bent = ease(u, 0.12, 0.4)
        washer(k, 640, 360, 178, 0.45, 12)
        tab_washer(k, 640, 360, 150, bent, -90, 8)
        nut(k, 640, 360, 118, 0, 12)
        axle_end(k, 640, 360, 58)
        tools.driver(k, 640, 196 + 36 * bent, -62, 360)
        hand(k, (775, -60 + 36 * bent), 122, 1.05, "grip")
        k.mark("tab", 640, 240)
        k.mark("nut_flat", 640, 262)
        return
    places.frame_close(k)
    k.shape(rect(560, -130, 160, 470, 30), GREEN, "h", 2.5, 16)
    v = ease(u, 0.56, 0.98)
    wheel(k, 640, 340, 280, 12 + 520 * v * (1.6 - 0.6 * v))
    push = ease(u, 0.5, 0.58) - ease(u, 0.62, 0.74)
    hand(k, (905 + 260 * (1 - push), 300 + 110 * push), 166, 1.1, "flat")
    k.mark("tab", 640, 318)
    k.mark("rim", 640 - 245, 340)


SCENES = (
    Scene(
        "press_front",
        "The arbor press pushes the new front bearing into the hub by a sleeve on its outer"
        " ring; the load readout shows 4.2 kN when it seats.",
        "New bearing, B W one oh one. Press it by the outer ring only, until it seats."
        " Never over eight kilonewtons.",
        _press_back, press_front, 0.8,
    ),
    Scene(
        "depth_front",
        "A depth gauge on the hub face at three places reads 4.52, 4.51 and 4.53 mm.",
        "Depth from the hub face. Four and a half millimetres, between four point four five"
        " and four point six, at three places.",
        _bench_back, depth_front, 0.5,
    ),
    Scene(
        "sleeve_in",
        "The wheel lies back face up; the spacer sleeve is set in on the inner ring.",
        "Turn the wheel over, and set the spacer sleeve in, on the inner ring.",
        _bench_back, sleeve_in, 0.42,
    ),
    Scene(
        "press_back",
        "The second bearing is pressed from the back; the depth gauge then reads 2.01 mm.",
        "Second bearing from the back, the same way. Two millimetres under the face, one point"
        " nine to two point one.",
        _press_back, press_back, 0.86, cut=0.5,
    ),
    Scene(
        "ring_in",
        "The retaining ring goes into its groove and is checked all the way round with a pick.",
        "Ring into its groove till it clicks. Go all the way round with the pick, and get"
        " somebody to look at it before the wheel goes on.",
        _hub_bench_back, ring_in, 0.8, knocks=(0.37,),
    ),
    Scene(
        "wheel_on",
        "The wheel slides onto the axle up to the shoulder; the washer follows.",
        "Wheel back on the axle, right up to the shoulder, then the washer.",
        _side_back, wheel_on, 0.93,
        View((1.03, 1.06), jolts=(Jolt(0.0, 0.5, 12, 70),)),
    ),
    Scene(
        "nut_torque",
        "New tab washer and nut; the torque wrench swings until its readout shows 40.0 N·m.",
        "New tab washer, nut on, and forty newton metres, give or take two.",
        _axle_close_back, nut_torque, 0.9, least=5.0,
    ),
    Scene(
        "tab_bend",
        "The tab is bent over a flat of the nut; then the wheel is spun by hand.",
        "Bend the tab over a flat of the nut. Spin the wheel by hand. It runs free, and there is"
        " no end float you can feel.",
        _axle_close_back, tab_bend, 0.42, cut=0.5,
    ),
)  # fmt: skip
