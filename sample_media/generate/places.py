"""Places: the workshop wall, the bench, the saw's frame. Drawn once per scene, with a margin."""

from __future__ import annotations

from generate.kit import (
    CAST,
    CLOTH,
    CREAM,
    DARK,
    DEEP_GREEN,
    GREEN,
    GREY,
    STEEL,
    WOOD,
    Kit,
    Material,
    circle,
    curve,
    hexagon,
    poly,
    rect,
)

FLOOR = Material(("#8d8f8c", "#797b78", "#646663"), "concrete")
PLASTER = Material(("#d9d4c4", "#cbc5b3", "#b7b19f"), "concrete")
PEG = Material(("#b8935f", "#a8834f", "#94703f"), "cast")


def wall(k: Kit, floor: float = 600) -> None:
    """Draw the workshop: plaster wall, tool board, window, dado and concrete floor."""
    k.shape(rect(-120, -120, 1520, floor + 120), PLASTER, "d", 0)
    k.shape(rect(-120, floor - 190, 1520, 190), DEEP_GREEN, "v", 0)
    k.seg((-120, floor - 190), (1400, floor - 190), "#20352a", 5)
    k.shape(rect(-120, floor, 1520, 400), FLOOR, "v", 0)
    k.seg((-120, floor), (1400, floor), "#2b2d2b", 7, 0.8)


def window(k: Kit, x: float, y: float, w: float, h: float) -> None:
    """Draw a workshop window with daylight."""
    k.shape(rect(x - 12, y - 12, w + 24, h + 24, 4), CREAM, "v", 2, 10)
    k.shape(rect(x, y, w, h), Material(("#eaf5fb", "#cfe3ee", "#b9d3e2"), "paint"), "v", 2)
    for i in (1, 2):
        k.shape(rect(x + w * i / 3 - 5, y, 10, h), CREAM, "h", 1.5)
    k.shape(rect(x, y + h / 2 - 5, w, 10), CREAM, "v", 1.5)


def tool_board(k: Kit, x: float, y: float, w: float, h: float) -> None:
    """Draw a board with tools hung on it."""
    k.shape(rect(x, y, w, h, 4), PEG, "d", 2.5, 14)
    for row in range(int(h / 28)):
        for column in range(int(w / 28)):
            k.flat(circle(x + 16 + 28 * column, y + 16 + 28 * row, 2.6), "#4a361d", 0.6)
    for i in range(5):
        tx, size = x + 34 + i * w / 5.6, 0.5 * h - 12 * i
        k.tube(poly([(tx, y + 44), (tx, y + 44 + size)], closed=False), STEEL, 11)
        k.shape(hexagon(tx, y + 40, 17, 30), STEEL, "r", 2)
        k.flat(hexagon(tx, y + 40, 8), "#4a361d")


def bench(k: Kit) -> None:
    """Draw the bench top from above: planks with gaps, and a few old marks."""
    for i in range(7):
        y = -130 + i * 148
        k.shape(rect(-130, y, 1540, 146, 3), WOOD, "v", 0)
        k.seg((-130, y + 147), (1410, y + 147), "#3d2512", 5, 0.85)
        k.seg((-130, y + 2), (1410, y + 2), "#f0cf9d", 2, 0.4)
    for i in range(14):
        x, y = (i * 397) % 1280, (i * 211) % 720
        k.seg((x, y), (x + 46 + (i * 13) % 50, y + (i * 7) % 20 - 10), "#5d3a1c", 2, 0.5)
    for x, y, r in ((180, 600, 46), (1090, 150, 58), (1180, 560, 34)):
        k.line(circle(x, y, r), "#4f3018", 5, 0.22)


def bench_front(k: Kit, top: float) -> None:
    """Draw the wall and, in front of it, the bench with its edge at height top."""
    wall(k, top + 400)
    tool_board(k, 60, -60, 420, 300)
    window(k, 900, -70, 340, 260)
    k.shadow(rect(-130, top, 1540, 30), 20)
    k.shape(rect(-130, top, 1540, 400), WOOD, "v", 2)
    k.shape(
        rect(-130, top + 96, 1540, 400), Material(("#8a5f34", "#74502b", "#5b3d20"), "wood"), "v", 2
    )
    k.seg((-130, top + 2), (1410, top + 2), "#f3d8ae", 3, 0.6)


def bench_tall(k: Kit) -> None:
    """Draw the bench top from above for an upright picture."""
    for i in range(8):
        x = -150 + i * 146
        with k.at(x, 0, 90):
            k.shape(rect(-140, -146, 1600, 144, 3), WOOD, "v", 0)
            k.seg((-140, -147), (1460, -147), "#3d2512", 5, 0.85)
            k.seg((-140, -3), (1460, -3), "#f0cf9d", 2, 0.4)
    for i in range(14):
        x, y = (i * 397) % 720, (i * 211) % 1280
        k.seg((x, y), (x + (i * 7) % 20 - 10, y + 46 + (i * 13) % 50), "#5d3a1c", 2, 0.5)


def frame_close(k: Kit) -> None:
    """Draw the saw's painted casting close up: ribs, bolts, edges."""
    k.shape(rect(-130, -130, 1540, 980), GREEN, "d", 0)
    k.shape(rect(-130, -130, 300, 980), DEEP_GREEN, "h", 2)
    k.shape(rect(150, -130, 34, 980), GREEN, "h", 2)
    for x, y in ((60, 90), (60, 620), (1210, 90), (1210, 630)):
        k.shape(circle(x, y, 34), GREEN, "r", 2, 8)
        k.shape(hexagon(x, y, 27, 12), STEEL, "d", 2)
        k.line(circle(x, y, 15), "#4b5157", 2, 0.7)
    k.line(rect(204, 24, 1090, 660, 40), "#2a4735", 5, 0.55)
    k.line(rect(208, 28, 1090, 660, 40), "#a9cdb2", 2.5, 0.5)


def cloth(k: Kit, x: float, y: float, w: float, h: float) -> None:
    """Draw a clean cloth spread on the bench."""
    shape = curve(
        [
            (x, y + 12),
            (x + w * 0.3, y - 8),
            (x + w * 0.7, y + 8),
            (x + w, y - 6),
            (x + w + 10, y + h * 0.5),
            (x + w - 8, y + h),
            (x + w * 0.6, y + h + 10),
            (x + w * 0.25, y + h - 8),
            (x - 6, y + h),
            (x - 8, y + h * 0.5),
            (x, y + 12),
        ]
    )
    k.shape(shape, CLOTH, "d", 2, 14)
    for i in (0.3, 0.62):
        k.seg((x + w * i, y + 6), (x + w * (i + 0.03), y + h - 6), "#7d8ca0", 4, 0.35)
        k.seg((x + w * i + 5, y + 6), (x + w * (i + 0.03) + 5, y + h - 6), "#ffffff", 3, 0.4)


def blocks(k: Kit, left: float, right: float, top: float, w: float, h: float) -> None:
    """Draw two wooden blocks seen end-on."""
    from generate.kit import PALE_WOOD

    for x in (left, right):
        k.shape(rect(x, top, w, h, 4), PALE_WOOD, "v", 2.5, 14)
        for i in range(4):
            k.line(
                curve(
                    [
                        (x + 6, top + h * (0.2 + 0.2 * i)),
                        (x + w / 2, top + h * (0.13 + 0.2 * i)),
                        (x + w - 6, top + h * (0.22 + 0.2 * i)),
                    ]
                ),
                "#8a6432",
                2.5,
                0.5,
            )


def metal_wall(k: Kit) -> None:
    """Draw a wall of painted sheet steel with a seam and rivets."""
    k.shape(rect(-130, -130, 1540, 980), CREAM, "d", 0)
    k.shape(rect(-130, 560, 1540, 300), GREY, "v", 2)
    k.seg((-130, 558), (1410, 558), "#4f5153", 6)
    for i in range(16):
        k.shape(circle(-60 + 92 * i, 590, 9), CAST, "r", 1.5)
    k.tube(poly([(1130, -130), (1130, 560)], closed=False), DARK, 34)
    for y in (80, 380):
        k.shape(rect(1096, y, 68, 26, 6), STEEL, "h", 2, 6)
