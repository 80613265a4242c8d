"""Saw film, part one: make safe, and the blade off."""

from __future__ import annotations

from generate import machine as m
from generate import places, tools
from generate.camera import Jolt, View
from generate.hands import hand
from generate.kit import (
    GREY,
    LAMP_GREEN,
    LEATHER,
    RED,
    Kit,
    arc,
    ease,
    mix,
    poly,
    rect,
)
from generate.scene import Scene
from generate.wheel import blade_line, blade_strip


def _shop(k: Kit) -> None:
    """Draw the workshop round the saw."""
    places.wall(k, 600)
    places.tool_board(k, 30, 30, 260, 300)
    places.window(k, 940, 40, 300, 230)
    k.shape(rect(1020, 470, 330, 30, 4), GREY, "v", 2, 16)
    k.shape(rect(1050, 500, 30, 190), GREY, "h", 2)
    k.shape(rect(1060, 420, 90, 50, 5), RED, "v", 2, 8)


def intro(k: Kit, u: float) -> None:
    """Draw the scene "intro" at share u of its length."""
    with k.at(60, 46, 0, 0.88):
        m.saw(k, 30 + 4 * u)
        k.mark("upper_wheel", *m.UPPER)
        k.mark("table", 480, 400)
        k.mark("switch_panel", 805, 330)


def _panel_back(k: Kit) -> None:
    """Draw what does not move: panel."""
    places.metal_wall(k)
    m.panel(k)


def switch_off(k: Kit, u: float) -> None:
    """Draw the scene "switch_off" at share u of its length."""
    turn = mix(45, -45, ease(u, 0.4, 0.58))
    lit = u < 0.56
    m.lamp(k, 800, 380, lit)
    m.button(k, 500, 520, LAMP_GREEN, "I")
    m.button(k, 720, 520, RED, "O")
    m.switch_knob(k, turn)
    away = 1 - ease(u, 0.06, 0.32) + ease(u, 0.8, 1)
    with k.at(610 + 420 * away, 250 + 340 * away, turn * 0.5):
        hand(k, (14, 10), 222, 1.18, "grip")
    k.mark("switch", 610, 250)
    k.mark("lamp", 800, 380)


def _isolator_back(k: Kit) -> None:
    """Draw what does not move: isolator."""
    places.metal_wall(k)


def lock_out(k: Kit, u: float) -> None:
    """Draw the scene "lock_out" at share u of its length."""
    turn = 90 * ease(u, 0.12, 0.28)
    m.isolator(k, turn)
    hang = 1 - ease(u, 0.4, 0.58)
    lift = 34 * (1 - ease(u, 0.58, 0.63))
    tag_in = 1 - ease(u, 0.62, 0.8)
    sway = 9 * (1 - ease(u, 0.8, 1)) * (1 if int(u * 12) % 2 else -1) * 0.4
    if tag_in < 1 and u > 0.6:
        tools.tag(k, 548 - 380 * tag_in, 372 + 260 * tag_in, 150, sway)
    if hang < 1:
        tools.padlock(k, 524 + 420 * hang, 312 + 300 * hang, 92, lift)
    if u < 0.36:
        away = 1 - ease(u, 0.0, 0.1) + ease(u, 0.28, 0.36)
        with k.at(610, 320, turn * 0.5):
            hand(k, (20 + 420 * away, 10 + 300 * away), 215, 1.1, "grip")
    elif u < 0.72:
        back = ease(u, 0.64, 0.72)
        hand(k, (570 + 420 * hang + 500 * back, 400 + 300 * hang + 300 * back), 205, 1.0, "pinch")
    else:
        gone = ease(u, 0.82, 0.92)
        tx, ty = 548 - 380 * tag_in - 500 * gone, 520 + 260 * tag_in + 300 * gone
        hand(k, (tx - 50, ty), -24, 0.95, "pinch")
    k.mark("isolator", 610, 320)
    k.mark("padlock", 524, 400)
    k.mark("tag", 548, 520)


def try_start(k: Kit, u: float) -> None:
    """Draw the scene "try_start" at share u of its length."""
    down = ease(u, 0.4, 0.44) - ease(u, 0.52, 0.56) + ease(u, 0.62, 0.66) - ease(u, 0.74, 0.78)
    turn = mix(-45, 45, ease(u, 0.06, 0.18) - ease(u, 0.88, 0.98))
    m.lamp(k, 800, 380, False)
    m.button(k, 720, 520, RED, "O")
    m.button(k, 500, 520, LAMP_GREEN, "I", down)
    m.switch_knob(k, turn)
    if 0.24 < u < 0.84:
        away = 1 - ease(u, 0.24, 0.38) + ease(u, 0.78, 0.84)
        hand(k, (494 - 380 * away, 540 + 340 * away - 8 + 8 * down), -42, 1.25, "point")
    else:
        away = ease(u, 0.18, 0.24) if u < 0.5 else 1 - ease(u, 0.84, 0.88)
        with k.at(610 + 420 * away, 250 + 340 * away, turn * 0.5):
            hand(k, (14, 10), 222, 1.18, "grip")
    k.mark("start_button", 500, 520)
    k.mark("lamp", 800, 380)


def _tension_back(k: Kit) -> None:
    """Draw what does not move: tension."""
    places.frame_close(k)


def release_tension(k: Kit, u: float) -> None:
    """Draw the scene "release_tension" at share u of its length."""
    slack = ease(u, 0.12, 0.85)
    blade_strip(k, 1080, -140, 860, 64, 0, 74 * ease(u, 0.55, 0.95))
    m.tension_gear(k, slack * 3.2, slack)
    turn = slack * 3.2 * 6.283
    import math

    x = 641 + 150 * math.cos(turn + 0.7)
    y = 560 + 70 * math.sin(turn + 0.7)
    hand(k, (x - 10, y + 6), -68, 1.1, "grip", arm=520)
    k.mark("hand_wheel", 641, 560)
    k.mark("tension_indicator", 780, 84 + 270 * slack)
    k.mark("blade", 1080 + 74 * ease(u, 0.55, 0.95), 360)


def _open_saw_back(k: Kit) -> None:
    """Draw what does not move: open saw."""
    _shop(k)
    with k.at(-330, -40, 0, 1.5):
        m.saw(k, 30, "open", blade=False)


def blade_off(k: Kit, u: float) -> None:
    """Draw the scene "blade_off" at share u of its length."""
    off = ease(u, 0.22, 0.85)
    dx, dy = -300 * off, 24 * off
    with k.at(-330 + dx, -40 + dy, 0, 1.5):
        ux, uy = m.UPPER
        r = m.RADIUS
        loop = poly([(ux - r, 700), (ux - r, uy)], closed=False)
        blade_line(k, loop, 7)
        blade_line(k, arc(ux, uy, r, 180, 180), 7)
        blade_line(k, poly([(ux + r, uy), (ux + r, 700)], closed=False), 7)
        for i in range(46):
            y = uy + 6 + i * 11
            for side in (-1, 1):
                x = ux + side * r
                tip = y + 8 if side < 0 else y
                tooth = [(x + 4 * side, y), (x + 11 * side, tip), (x + 4 * side, y + 8)]
                k.flat(poly(tooth), "#dfe5ea")
    left, right = 600 - 177 + dx, 600 + 177 + dx
    come = 1 - ease(u, 0, 0.18)
    hand(k, (left - 8, 430 + dy + 300 * come), -35, 1.0, "grip", LEATHER)
    hand(k, (right + 8, 470 + dy + 300 * come), 215, 1.0, "grip", LEATHER, flip=True)
    k.mark("blade_teeth", left, 300 + dy)
    k.mark("left_glove", left - 30, 440 + dy)
    k.mark("upper_wheel", 600, 245)


SCENES = (
    Scene(
        "intro",
        "The whole band saw in the tool room, its doors shut.",
        "This is the three hundred and fifty saw in the tool room. The upper wheel has been"
        " rumbling, so we change both bearings.",
        _shop, intro, 0.7,
        View((1.0, 1.06), (0, -16), 3.0, (Jolt(0.02, 0.5, 8, 80),)),
    ),
    Scene(
        "switch_off",
        "A hand turns the main switch of the panel to off; the lamp goes out.",
        "First tell the others, then switch off at the panel.",
        _panel_back, switch_off, 0.72,
    ),
    Scene(
        "lock_out",
        "The isolator is turned off; padlock and tag are hung on its handle.",
        "Isolator off, my padlock on, and the tag where everybody sees it.",
        _isolator_back, lock_out, 0.93, View((1.14, 1.17)), 5.4,
    ),
    Scene(
        "try_start",
        "The switch is turned to I and the green start button pressed: the lamp stays dark and"
        " nothing turns. The switch goes back to O.",
        "Now try to start it. Nothing turns. Good.",
        _panel_back, try_start, 0.7,
    ),
    Scene(
        "release_tension",
        "The tension hand wheel is wound back; the indicator falls and the blade hangs slack.",
        "Wind the tension right off. That spring holds a lot, so keep going until the blade"
        " hangs slack.",
        _tension_back, release_tension, 0.9,
    ),
    Scene(
        "blade_off",
        "Gloved hands lift the blade off both wheels, teeth away from the body.",
        "Gloves on, glasses on. Lift the blade off, teeth away from your body.",
        _open_saw_back, blade_off, 0.62,
    ),
)  # fmt: skip
