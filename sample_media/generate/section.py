"""The hub cut through its middle, axis upright: hub, bearings, sleeve, ring, in millimetres."""

from __future__ import annotations

import skia

from generate.kit import BRIGHT, CAST, DARK, SEAL, STEEL, Kit, circle, poly, rect
from generate.parts import hatch

LENGTH = 46.0
FRONT_DEPTH = 4.5
SHOULDER = (16.5, 32.0)
WIDTH = 12.0
BORE = 20.0
SHOULDER_BORE = 16.4
HUB = 33.0


class HubSection:
    """A hub section at a place and scale (pixels per millimetre); y is depth from the top face."""

    def __init__(self, x: float, y: float, scale: float, flipped: bool = False) -> None:
        self.x, self.y, self.s, self.flipped = x, y, scale, flipped

    def at(self, mx: float, my: float) -> tuple[float, float]:
        """Return the pixel of a point in millimetres from axis and top face."""
        return self.x + mx * self.s, self.y + my * self.s

    def box(self, mx: float, my: float, w: float, h: float) -> skia.Path:
        """Return a rectangle given in millimetres."""
        px, py = self.at(mx, my)
        return rect(px, py, w * self.s, h * self.s)

    def depth(self, front: float) -> float:
        """Return the depth from the upper face of a depth from the front face."""
        return LENGTH - front if self.flipped else front

    def _half(self, side: int) -> list[tuple[float, float]]:
        """Return the outline of one cut half of the hub, with groove and web."""
        outline = [
            (HUB, 0), (BORE, 0), (BORE, 2.6), (21.6, 2.6), (21.6, 4.2), (BORE, 4.2),
            (BORE, SHOULDER[0]), (SHOULDER_BORE, SHOULDER[0]), (SHOULDER_BORE, SHOULDER[1]),
            (BORE, SHOULDER[1]), (BORE, LENGTH), (HUB, LENGTH), (HUB, 29), (150, 28),
            (150, 19), (HUB, 18),
        ]  # fmt: skip
        return [self.at(side * mx, self.depth(my)) for mx, my in outline]

    def draw_back(self, k: Kit) -> None:
        """Draw the far half of the bore, seen behind the cut."""
        k.shape(self.box(-BORE, 0, 2 * BORE, LENGTH), STEEL, "h", 1.5)
        top = min(self.depth(SHOULDER[0]), self.depth(SHOULDER[1]))
        k.shape(self.box(-BORE, top, 2 * BORE, SHOULDER[1] - SHOULDER[0]), CAST, "h", 2)
        k.shape(self.box(-4, top, 8, SHOULDER[1] - SHOULDER[0]), DARK, "h", 1.5)
        groove = min(self.depth(2.6), self.depth(4.2))
        k.shape(self.box(-BORE, groove, 2 * BORE, 1.6), DARK, "h", 1)

    def draw_cut(self, k: Kit) -> None:
        """Draw the two cut faces."""
        for side in (-1, 1):
            shape = poly(self._half(side))
            k.shadow(shape, 12, 0.3)
            hatch(k, shape)
        k.line(poly([self.at(-HUB, 0), self.at(HUB, 0)], closed=False), "#ffe6d4", 2, 0.4)

    def bearing(self, k: Kit, top: float, tilt: float = 0, dx: float = 0) -> None:
        """Draw a cut bearing whose upper face is at depth top."""
        s = self.s
        x, y = self.at(dx, top + WIDTH / 2)
        h = WIDTH * s
        with k.at(x, y, tilt):
            k.shape(rect(-17 * s, -h * 0.4, 34 * s, h * 0.8), SEAL, "h", 1)
            k.shape(rect(-11.4 * s, -h / 2, 22.8 * s, h), BRIGHT, "h", 1.5)
            k.shape(rect(-8.5 * s, -h / 2, 17 * s, h), DARK, "h", 1.2)
            for side in (-1, 1):
                outer = rect(min(side * 20, side * 16.6) * s, -h / 2, 3.4 * s, h, 3)
                inner = rect(min(side * 8.5, side * 11.6) * s, -h / 2, 3.1 * s, h, 3)
                for part in (outer, inner):
                    k.shape(part, BRIGHT, "v", 2)
                middle = side * 14.2 * s
                k.flat(rect(middle - 2.7 * s, -h * 0.42, 5.4 * s, h * 0.84), "#0e1626")
                k.shape(circle(middle, 0, 3.2 * s), BRIGHT, "r", 2)
                for edge in (-0.44, 0.38):
                    k.shape(rect(middle - 2.7 * s, edge * h, 5.4 * s, h * 0.07), SEAL, "h", 1)

    def sleeve(
        self, k: Kit, top: float, length: float = 15.5, dx: float = 0, tilt: float = 0
    ) -> None:
        """Draw the spacer sleeve, cut, its upper end at depth top."""
        s = self.s
        x, y = self.at(dx, top + length / 2)
        with k.at(x, y, tilt):
            k.shape(rect(-11.4 * s, -length * s / 2, 22.8 * s, length * s), STEEL, "h", 1.5)
            k.shape(rect(-8.5 * s, -length * s / 2, 17 * s, length * s), DARK, "h", 1.5)
            for side in (-11.4, 8.5):
                k.shape(rect(side * s, -length * s / 2, 2.9 * s, length * s), BRIGHT, "h", 2)

    def ring_cut(self, k: Kit) -> None:
        """Draw the retaining ring, cut, in its groove."""
        top = min(self.depth(2.7), self.depth(4.1))
        for mx in (-21.4, 18.2):
            k.shape(self.box(mx, top, 3.2, 1.4), DARK, "v", 1.5)
