"""Hands, bare or gloved: an arm, a palm and fingers made of round bars, in a few poses."""

from __future__ import annotations

from generate.kit import SKIN, SLEEVE, Kit, Material, Point, along, curve, poly, rect

# Finger lines in the hand's own frame: wrist at 0,0, fingers towards +x, thumb below.
POSES: dict[str, tuple[Point, tuple[tuple[Point, ...], ...], tuple[Point, ...]]] = {
    "point": (
        (238, -26),
        (
            ((96, 42), (140, 46), (112, 52)),
            ((100, 20), (152, 22), (116, 32)),
            ((104, -4), (158, -4), (122, 10)),
            ((100, -30), (165, -32), (232, -26)),
        ),
        ((34, 48), (84, 66), (126, 44)),
    ),
    "pinch": (
        (214, 6),
        (
            ((96, 40), (142, 52), (128, 66)),
            ((102, 18), (160, 20), (158, 44)),
            ((104, -6), (174, -16), (186, 18)),
            ((98, -32), (168, -46), (212, -4)),
        ),
        ((34, 46), (120, 78), (206, 20)),
    ),
    "grip": (
        (128, 4),
        (
            ((92, 46), (136, 48), (138, 50)),
            ((98, 20), (150, 20), (152, 22)),
            ((100, -8), (154, -9), (156, -8)),
            ((94, -36), (146, -38), (148, -36)),
        ),
        ((30, 50), (72, 84), (120, 82)),
    ),
    "flat": (
        (170, 0),
        (
            ((90, 42), (150, 54), (196, 60)),
            ((98, 16), (170, 20), (228, 22)),
            ((100, -10), (176, -12), (240, -14)),
            ((94, -36), (162, -46), (214, -52)),
        ),
        ((30, 50), (74, 92), (128, 108)),
    ),
}


# The fingers, counted from the little one, whose nails are seen; 4 is the thumb.
NAILS = {"point": (3,), "pinch": (3, 4), "grip": (), "flat": (0, 1, 2, 3)}


def _arm(k: Kit, length: float, mat: Material) -> None:
    """Draw the sleeve and, from the wrist on, the glove's cuff or bare skin."""
    if mat is SKIN:
        k.tube(poly([(-104, 4), (-14, -2)], closed=False), mat, 84)
        k.tube(poly([(-length, 16), (-104, 4)], closed=False), SLEEVE, 124)
        k.seg((-74, -56), (-68, 64), "#000000", 3, 0.35)
        return
    k.tube(poly([(-length, 16), (-86, 2)], closed=False), SLEEVE, 124)
    k.tube(poly([(-64, 0), (-40, 0)], closed=False), mat, 104)
    for x in (-72, -54):
        k.seg((x, -44), (x, 44), "#000000", 2.5, 0.35)


def _nail(k: Kit, before: Point, end: Point, thick: float) -> None:
    """Draw the nail on a finger that runs to its end from the point before."""
    base = along(before, end, 0.72)
    k.line(poly([base, end], closed=False), "#8f5644", thick * 0.5)
    k.line(poly([base, end], closed=False), "#f7ded3", thick * 0.38)


def hand(
    k: Kit,
    tip: Point,
    angle: float,
    scale: float = 1.0,
    pose: str = "grip",
    mat: Material = SKIN,
    flip: bool = False,
    arm: float = 1000,
) -> None:
    """Draw a hand whose working point is at tip; angle is the way the fingers point."""
    grip, fingers, thumb = POSES[pose]
    with k.at(tip[0], tip[1], angle, scale, -scale if flip else scale), k.at(-grip[0], -grip[1]):
        _arm(k, arm, mat)
        palm = rect(-34, -54, 148, 110, 44)
        k.shape(palm, mat, edge=3)
        for line in fingers:
            k.tube(curve(line), mat, 30, 1.6)
        k.tube(curve(thumb), mat, 33, 1.6)
        if mat is SKIN:
            for i in NAILS[pose]:
                line = (*fingers, thumb)[i]
                _nail(k, line[-2], line[-1], 30)
            return
        with k.clip(palm):
            for y in (-34, -8, 18):
                k.seg((30, y + 6), (88, y), "#000000", 2, 0.18)
