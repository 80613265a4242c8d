"""Saw film, part two: guard, nut, wheel, ring and the old bearings out."""

from __future__ import annotations

import math

from generate import machine as m
from generate import places, tools
from generate.camera import Jolt, View
from generate.hands import hand
from generate.kit import (
    CAST,
    GREEN,
    PALE_WOOD,
    Kit,
    Point,
    along,
    circle,
    ease,
    poly,
    rect,
)
from generate.parts import axle_end, ears, nut, retaining_ring, tab_washer, washer
from generate.scene import Scene
from generate.section import HubSection
from generate.wheel import hub_close, side_axle, wheel, wheel_side


def _guard_back(k: Kit) -> None:
    """Draw what does not move: guard."""
    places.frame_close(k)
    m.guard_plate(k)


def guard_screws(k: Kit, u: float) -> None:
    """Draw the scene "guard_screws" at share u of its length."""
    swing = 56 * ease(u, 0.6, 0.74)
    spans = {
        "screw_1": (0.04, 0.2),
        "screw_2": (0.22, 0.38),
        "screw_3": (0.4, 0.56),
        "hidden_screw": (0.78, 0.99),
    }
    active = ""
    for name, (start, end) in spans.items():
        out = ease(u, start + (end - start) * 0.3, end)
        if name == "hidden_screw":
            out *= 0.55
        m.guard_screw(k, name, -900 * out, out)
        if start <= u < end:
            active = name
        k.mark(name, *m.SCREWS[name])
    m.dust_chute(k, swing)
    if active:
        x, y = m.SCREWS[active]
        out = ease(u, *spans[active])
        tools.driver(k, x, y, -38 if y > 300 else 30, 300)
        away = 238
        a = math.radians(-38 if y > 300 else 30)
        hand(
            k,
            (x + away * math.cos(a) - 10, y + away * math.sin(a)),
            180 + math.degrees(a) + 20 * math.sin(out * 30),
            1.0,
            "grip",
        )
    elif 0.56 <= u < 0.78:
        hand(k, (1130 + 3.2 * swing, 560 - 2.4 * swing), 200, 1.1, "flat")
    k.mark("dust_chute", 1060 + swing * 1.5, 620 - swing)


def _wheel_back(k: Kit) -> None:
    """Draw what does not move: wheel."""
    places.frame_close(k)
    k.shape(rect(560, -130, 160, 470, 30), GREEN, "h", 2.5, 16)


def support_wheel(k: Kit, u: float) -> None:
    """Draw the scene "support_wheel" at share u of its length."""
    wheel(k, 640, 270, 250, 12)
    up = 1 - ease(u, 0.1, 0.6)
    y = 470 + 260 * up
    points = [(380, y + 190), (380, y - 30)]
    for i in range(13):
        a = math.radians(148 - 9.6 * i)
        points.append((640 + 254 * math.cos(a), y - 200 + 254 * math.sin(a)))
    points += [(900, y - 30), (900, y + 190)]
    body = poly(points)
    k.shape(body, PALE_WOOD, "v", 3, 26)
    for i in range(4):
        k.seg((384, y + 60 + 34 * i), (896, y + 54 + 34 * i), "#8a6432", 2.5, 0.45)
    for x in (420, 860):
        k.shape(circle(x, y + 110, 9), CAST, "r", 1.5)
    hand(k, (376, y + 90), -6, 1.05, "flat")
    hand(k, (904, y + 90), 186, 1.05, "flat", flip=True)
    k.mark("cradle", 640, y + 100)
    k.mark("upper_wheel", 640, 270)


def _hub_back(k: Kit) -> None:
    """Draw what does not move: hub."""
    hub_close(k, 640, 360, 205, "bearing", 20)


def nut_stack(k: Kit, angle: float, bent: float, lift: float = 0) -> None:
    """Draw washer, tab washer, nut and axle end on the hub, close up."""
    washer(k, 640, 360, 178, 0.45, 12)
    tab_washer(k, 640, 360, 150, bent, -90, 8)
    nut(k, 640, 360, 118 * (1 + lift), angle, 12 + 60 * lift)
    axle_end(k, 640, 360, 58)


def nut_off(k: Kit, u: float) -> None:
    """Draw the scene "nut_off" at share u of its length."""
    bent = 1 - ease(u, 0.16, 0.36)
    turn = ease(u, 0.5, 0.98)
    nut_stack(k, 30 - 150 * turn, bent, 0.06 * turn)
    if u < 0.42:
        away = 300 * (1 - ease(u, 0, 0.12)) + 420 * ease(u, 0.37, 0.42)
        tools.driver(k, 640 + away, 262 - 26 * (1 - bent) - away * 0.5, -28 - 14 * (1 - bent), 390)
        hand(k, (930 + away, 118 - away * 0.5), 158, 1.05, "grip")
    else:
        away = 520 * (1 - ease(u, 0.42, 0.5))
        angle = 62 - 105 * turn
        with k.at(away, away * 0.4):
            tools.wrench(k, 640, 360, angle, 470, 104)
            a = math.radians(angle)
            hand(k, (640 + 385 * math.cos(a), 360 + 385 * math.sin(a)), angle + 118, 1.1, "grip")
    k.mark("tab_washer", 640, 222)
    k.mark("nut", 640, 360)


def _side_back(k: Kit) -> None:
    """Draw what does not move: side."""
    places.bench_front(k, 560)
    k.shape(rect(-130, -130, 360, 700, 20), GREEN, "h", 3, 26)
    k.shape(rect(200, 130, 70, 330, 14), GREEN, "v", 2.5, 14)
    side_axle(k, 280, 300)
    places.cloth(k, 390, 590, 470, 120)


REST: tuple[Point, ...] = ((470, 640), (600, 640), (730, 640))


def _edge_part(k: Kit, kind: str, at: Point, lying: float, bent: float = 0.3) -> None:
    """Draw nut, tab washer or washer: edge-on at the axle, from above on the cloth."""
    with k.at(*at):
        if lying > 0.5:
            with k.at(0, 0, 0, 1, 0.55):
                if kind == "nut":
                    nut(k, 0, 0, 50, 10, 10)
                elif kind == "tab":
                    tab_washer(k, 0, 0, 52, bent, -60, 10)
                else:
                    washer(k, 0, 0, 60, 0.45, 10)
            return
        size = {"nut": (44, 92), "tab": (9, 104), "washer": (14, 120)}[kind]
        k.shape(rect(-size[0] / 2, -size[1] / 2, *size, 3), CAST, "v", 2.5, 8)
        if kind == "nut":
            for y in (-22, 22):
                k.seg((-20, y), (20, y), "#22272b", 2.5)
        if kind == "tab":
            k.shape(rect(-4, -74, 9, 26, 2), CAST, "v", 2)


def cradle_side(k: Kit, x: float) -> None:
    """Draw the cradle from the side, under the wheel whose left face is at x."""
    k.shape(rect(x - 26, 524, 252, 40, 4), PALE_WOOD, "v", 2.5, 8)
    k.seg((x - 22, 546), (x + 222, 544), "#8a6432", 2.5, 0.45)


def _path(start: Point, end: Point, u: float) -> Point:
    """Return a point on the way off the axle end and down to the cloth."""
    out = (700.0, start[1])
    if u < 0.4:
        return along(start, out, u / 0.4)
    x, y = along(out, end, (u - 0.4) / 0.6)
    return x, y - 90 * math.sin(math.pi * (u - 0.4) / 0.6)


def wheel_off(k: Kit, u: float) -> None:
    """Draw the scene "wheel_off" at share u of its length."""
    slide = ease(u, 0.62, 0.92)
    cradle_side(k, 362 + 330 * slide)
    wheel_side(k, 362 + 330 * slide, 300, 236, 200)
    starts = {"nut": (604.0, 300.0), "tab": (578.0, 300.0), "washer": (566.0, 300.0)}
    carried: Point | None = None
    for i, (kind, start) in enumerate(starts.items()):
        v = min(1.0, max(0.0, (u - 0.04 - 0.18 * i) / 0.17))
        at = _path(start, REST[i], v)
        _edge_part(k, kind, at, v)
        if 0 < v < 1:
            carried = at
    if carried:
        hand(k, (carried[0] + 26, carried[1] - 20), 140, 0.85, "pinch")
    if u > 0.6:
        x = 362 + 330 * slide
        hand(k, (x + 170, 108), 128, 1.0, "flat")
        hand(k, (x + 180, 480), 214, 1.0, "flat", flip=True)
    names = {"nut": REST[0], "tab_washer": REST[1], "washer": REST[2]}
    for name, at in names.items():
        k.mark(name, *at)
    k.mark("wheel", 462 + 330 * slide, 300)
    k.mark("axle", 470, 300)


def _bench_hub_back(k: Kit) -> None:
    """Draw what does not move: bench hub."""
    places.bench(k)
    hub_close(k, 640, 452, 165, "bearing", 10)


def ring_out(k: Kit, u: float) -> None:
    """Draw the scene "ring_out" at share u of its length."""
    squeeze = ease(u, 0.25, 0.42)
    lift = ease(u, 0.5, 0.8)
    gap = 24 - 11 * squeeze
    r = 168 * (1 - 0.055 * squeeze) * (1 + 0.12 * lift)
    x, y = 640 + 250 * ease(u, 0.66, 0.95), 452 - 30 * lift
    retaining_ring(k, x, y, r, gap, -90, 8 + 30 * lift)
    come = 1 - ease(u, 0, 0.2)
    a, b = ears(x, y, r, gap)
    with k.at(260 * come, -420 * come):
        tools.ring_pliers(k, a, b, 235)
        hand(k, ((a[0] + b[0]) / 2 + 34, (a[1] + b[1]) / 2 - 225), 158, 1.12, "grip")
    k.mark("retaining_ring", x, y + r * 0.95)
    k.mark("groove", 640 - 168, 452)
    k.mark("pliers", (a[0] + b[0]) / 2, (a[1] + b[1]) / 2 - 60)


def _blocks_back(k: Kit) -> None:
    """Draw what does not move: blocks."""
    places.bench_front(k, 590)


BEATS = 11.5


def _blow(u: float) -> tuple[int, float, float]:
    """Return the side struck last, where the drift stands (-1 to 1), how far the hammer is up."""
    beat = min(u * BEATS, 7.9)
    struck = -1 if int(beat) % 2 else 1
    if u < 8 / BEATS:
        side = struck * (1 - 2 * ease(beat % 1, 0.25, 0.75))
        return struck, side, abs(math.sin(math.pi * beat)) ** 0.6
    return struck, -struck, 0.5 + 0.5 * ease(u, 8 / BEATS, 0.8)


def _driven_bearing(k: Kit, hub: HubSection, u: float, struck: int) -> float:
    """Draw the bearings and the sleeve inside the hub; return how deep the driven one sits."""
    gone = ease(u, 0.1, 0.62) * 15 + 9 * ease(u, 0.62, 0.7) + 26 * ease(u, 0.64, 0.72)
    tilt = struck * 1.6 * (1 - ease(u, 0.55, 0.65))
    floor = 46 + 18.5
    top = min(29.5 + gone, floor - 12)
    hub.bearing(k, top, tilt if top < 48 else 0)
    if top > 36:
        fall = ease(u, 0.66, 0.8)
        hub.sleeve(k, min(14 + 60 * fall, top - 15.5), dx=2 * fall, tilt=6 * fall)
    else:
        hub.sleeve(k, 14 + gone * 0.5)
    hub.bearing(k, 2)
    return top


def _drift_and_hammer(k: Kit, tip: Point, head: Point, hit: float) -> None:
    """Draw the drift, the hammer over it, and a hand on each."""
    tools.drift(k, head, tip, 26)
    hold = (head[0] * 0.6 + tip[0] * 0.4 - 14, head[1] * 0.6 + tip[1] * 0.4 - 20)
    hand(k, hold, -8, 0.95, "grip")
    tools.hammer(k, head[0] + 4, head[1] - 4 - 90 * hit, 14 * hit, 0.9)
    hand(k, (head[0] + 350, head[1] - 90 - 40 * hit), 195 + 10 * hit, 1.0, "grip")


def drive_out(k: Kit, u: float) -> None:
    """Draw the scene "drive_out" at share u of its length."""
    hub = HubSection(560, 236, 5.4, flipped=True)
    struck, side, hit = _blow(u)
    places.blocks(k, 560 - 29 * 5.4 - 120, 560 + 29 * 5.4, 236 + 46 * 5.4, 120, 106)
    hub.draw_back(k)
    top = _driven_bearing(k, hub, u, struck)
    hub.draw_cut(k)
    rest = 40 * ease(u, 0.7, 0.82)
    tip = hub.at(side * 15.6, min(top, 44))
    head = hub.at(-side * 20, min(top, 44) - 56)
    tip, head = (tip[0], tip[1] - rest), (head[0], head[1] - rest)
    _drift_and_hammer(k, tip, head, hit)
    k.mark("drift_tip", *tip)
    k.mark("outer_ring", *hub.at(-18, top + 6))
    k.mark("wooden_block", 560 - 29 * 5.4 - 60, 236 + 46 * 5.4 + 60)
    k.mark("hub", *hub.at(27, 8))


SCENES = (
    Scene(
        "guard_screws",
        "Three visible guard screws and the fourth, hidden behind the dust chute, are undone.",
        "Guard screws, four in all. Three you can see, and one hides behind the dust chute.",
        _guard_back, guard_screws, 0.8,
        View((1.03, 1.05), jolts=(Jolt(0.57, 0.6, 25, 60),)), 6.2,
    ),
    Scene(
        "support_wheel",
        "A wooden cradle is pushed under the wheel.",
        "Push the cradle under the wheel before you touch the nut. It weighs about six kilos.",
        _wheel_back, support_wheel, 0.8,
    ),
    Scene(
        "nut_off",
        "The tab is bent back from the nut, then the axle nut is undone with a socket wrench.",
        "Bend the tab back, then undo the axle nut. That tab washer is scrap, it never goes back.",
        _hub_back, nut_off, 0.62,
    ),
    Scene(
        "wheel_off",
        "Nut, tab washer and washer are laid on a cloth in order; the wheel slides off the axle.",
        "Nut, tab washer, washer. Lay them on the cloth in order, then slide the wheel off.",
        _side_back, wheel_off, 0.9, least=6.0,
    ),
    Scene(
        "ring_out",
        "Pliers take the internal retaining ring out of the hub bore.",
        "Glasses stay on. The retaining ring comes out of the bore first, and it can fly.",
        _bench_hub_back, ring_out, 0.58,
    ),
    Scene(
        "drive_out",
        "The hub, cut open, on two wooden blocks: drift and hammer drive the bearing out by its"
        " outer ring, a bit each side; the sleeve falls free.",
        "Hub on two blocks, drift on the outer ring, a bit each side so it comes straight."
        " The sleeve falls free. If it does not move after a dozen good blows, stop,"
        " and fetch the puller.",
        _blocks_back, drive_out, 0.42,
        View((1.02, 1.05), jolts=(Jolt(0.2, 0.8, 84, 55),)),
        knocks=tuple(n / BEATS for n in range(1, 8)),
    ),
)  # fmt: skip
