"""The drawing kit: shapes filled with shaded, textured materials; shadows; tubes; lettering."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import skia

from generate import textures

Point = tuple[float, float]
FONTS = Path(__file__).resolve().parents[2] / "author" / "resources" / "fonts"


@dataclass(frozen=True)
class Material:
    """What a surface looks like: colours along its shading, texture and how strong it is."""

    stops: tuple[str, ...]
    texture: str = "grain"


STEEL = Material(("#eef1f3", "#b9bfc5", "#878e95", "#c6ccd1", "#70767c"), "brushed")
BRIGHT = Material(("#ffffff", "#d5dade", "#a3aab1", "#e3e7ea", "#8d949b"), "brushed")
DARK = Material(("#7c838a", "#565c62", "#383d42", "#5c6268", "#2b2f33"), "brushed")
CAST = Material(("#a9afb3", "#8b9196", "#747a7f"), "cast")
GREEN = Material(("#6f9a78", "#567f61", "#41664c"), "paint")
DEEP_GREEN = Material(("#45694f", "#365642", "#284434"), "paint")
CREAM = Material(("#e9e2cc", "#dcd4ba", "#c8bfa3"), "paint")
GREY = Material(("#c9cccd", "#b3b7b9", "#979c9f"), "paint")
RED = Material(("#ee5a48", "#d3301f", "#98190d"), "paint")
YELLOW = Material(("#ffe066", "#f5c518", "#c4970a"), "paint")
LAMP_GREEN = Material(("#6fd08a", "#1f9b49", "#0d6a2d"), "paint")
BLACK = Material(("#4a4d50", "#2b2d30", "#17181a"), "grain")
RUBBER = Material(("#4b4a49", "#353433", "#232221"), "cast")
SEAL = Material(("#2f4a78", "#213760", "#152647"), "grain")
BRASS = Material(("#f6dd8e", "#d2aa45", "#92701c", "#e3c268", "#7d5f15"), "brushed")
WOOD = Material(("#cfa26a", "#bd8d55", "#a67743"), "wood")
PALE_WOOD = Material(("#e8c890", "#d9b577", "#c29c5e"), "wood")
CLOTH = Material(("#d7dde6", "#bcc6d4", "#9eabbd"), "cloth")
CUT = Material(("#d9825a", "#cc7048", "#b85f3a"), "grain")
LEATHER = Material(("#e9b65f", "#d39a3f", "#a8742a"), "leather")
SKIN = Material(("#f0c9ae", "#d89c7d", "#ab6d55"), "grain")
NITRILE = Material(("#7db2e8", "#4d8bd0", "#2c62a6"), "grain")
SLEEVE = Material(("#5a6b86", "#435270", "#2c3954"), "cloth")
PAPER = Material(("#fbf9f2", "#f1eee3", "#e2ddcd"), "grain")


def colour(text: str, alpha: float = 1.0) -> int:
    """Return a Skia colour of '#rrggbb' and an opacity."""
    return skia.Color(
        int(text[1:3], 16), int(text[3:5], 16), int(text[5:7], 16), round(255 * alpha)
    )


@cache
def typeface(bold: bool) -> skia.Typeface:
    """Return the project's own DejaVu font."""
    return skia.Typeface.MakeFromFile(str(FONTS / f"DejaVuSans{'-Bold' if bold else ''}.ttf"))


def rect(x: float, y: float, w: float, h: float, r: float = 0) -> skia.Path:
    """Return a rectangle, its corners rounded by r."""
    path = skia.Path()
    path.addRRect(skia.RRect.MakeRectXY(skia.Rect.MakeXYWH(x, y, w, h), r, r))
    return path


def circle(x: float, y: float, r: float) -> skia.Path:
    """Return a circle."""
    path = skia.Path()
    path.addCircle(x, y, r)
    return path


def ring(x: float, y: float, outer: float, inner: float) -> skia.Path:
    """Return a flat ring."""
    path = circle(x, y, outer)
    path.addCircle(x, y, inner)
    path.setFillType(skia.PathFillType.kEvenOdd)
    return path


def poly(points: Sequence[Point], closed: bool = True) -> skia.Path:
    """Return a polygon or an open line."""
    path = skia.Path()
    path.addPoly([skia.Point(*p) for p in points], closed)
    return path


def curve(points: Sequence[Point]) -> skia.Path:
    """Return a smooth open line through points."""
    path = skia.Path()
    path.moveTo(*points[0])
    for (ax, ay), (bx, by) in zip(points[1:], [*points[2:], points[-1]], strict=True):
        path.quadTo(ax, ay, (ax + bx) / 2, (ay + by) / 2)
    path.lineTo(*points[-1])
    return path


def hexagon(x: float, y: float, r: float, angle: float = 0) -> skia.Path:
    """Return a hexagon with corner radius r, turned by angle degrees."""
    return poly([polar(x, y, r, angle + 60 * i) for i in range(6)])


def arc(x: float, y: float, r: float, start: float, sweep: float) -> skia.Path:
    """Return an open arc, in degrees, clockwise on the screen."""
    path = skia.Path()
    path.addArc(skia.Rect.MakeLTRB(x - r, y - r, x + r, y + r), start, sweep)
    return path


def polar(x: float, y: float, r: float, degrees: float) -> Point:
    """Return the point at radius and angle (clockwise on the screen) about a centre."""
    a = math.radians(degrees)
    return x + r * math.cos(a), y + r * math.sin(a)


def ease(t: float, start: float = 0.0, end: float = 1.0) -> float:
    """Return 0 before start, 1 after end, and a smooth way between."""
    u = min(1.0, max(0.0, (t - start) / (end - start)))
    return u * u * (3 - 2 * u)


def mix(a: float, b: float, u: float) -> float:
    """Return the value the share u of the way from a to b."""
    return a + (b - a) * u


def along(a: Point, b: Point, u: float) -> Point:
    """Return the point the share u of the way from a to b."""
    return mix(a[0], b[0], u), mix(a[1], b[1], u)


class Kit:
    """A canvas with the workshop's materials; remembers named points in the shown picture."""

    def __init__(self, canvas: skia.Canvas) -> None:
        self.c = canvas
        self.points: dict[str, Point] = {}

    def mark(self, name: str, x: float, y: float) -> None:
        """Remember where a named object is in the shown picture, in pixels."""
        p = self.c.getTotalMatrix().mapXY(x, y)
        self.points[name] = (p.x(), p.y())

    @contextmanager
    def at(
        self, x: float = 0, y: float = 0, angle: float = 0, sx: float = 1, sy: float | None = None
    ) -> Iterator[None]:
        """Draw in a moved, turned and scaled frame of reference."""
        self.c.save()
        self.c.translate(x, y)
        self.c.rotate(angle)
        self.c.scale(sx, sx if sy is None else sy)
        try:
            yield
        finally:
            self.c.restore()

    @contextmanager
    def clip(self, path: skia.Path, outside: bool = False) -> Iterator[None]:
        """Draw only within (or only outside) a shape."""
        self.c.save()
        op = skia.ClipOp.kDifference if outside else skia.ClipOp.kIntersect
        self.c.clipPath(path, op, True)
        try:
            yield
        finally:
            self.c.restore()

    def _gradient(self, box: skia.Rect, mat: Material, shade: str) -> skia.Shader:
        """Return the material's colours laid over a box: v, h, d, r(adial) or s(weep)."""
        colours = [colour(s) for s in mat.stops]
        cx, cy = box.centerX(), box.centerY()
        if shade == "r":
            spot = skia.Point(cx - 0.18 * box.width(), cy - 0.22 * box.height())
            return skia.GradientShader.MakeRadial(spot, 0.75 * max(box.width(), 1), colours)
        if shade == "s":
            there_and_back = [*colours, *colours[-2::-1]]
            both = [*there_and_back, *there_and_back[1:]]
            return skia.GradientShader.MakeSweep(cx, cy, both)
        ends = {
            "v": ((cx, box.top()), (cx, box.bottom())),
            "h": ((box.left(), cy), (box.right(), cy)),
            "d": ((box.left(), box.top()), (box.right(), box.bottom())),
        }[shade]
        return skia.GradientShader.MakeLinear([skia.Point(*p) for p in ends], colours)

    def _grain(self, mat: Material, spin: tuple[float, ...] = ()) -> skia.Paint:
        """Return a paint that lays a texture over what is there; spin turns the texture."""
        matrix = skia.Matrix.RotateDeg(spin[0], skia.Point(spin[1], spin[2])) if spin else None
        paint = skia.Paint(AntiAlias=True, Shader=textures.shader(mat.texture, matrix))
        paint.setBlendMode(skia.BlendMode.kOverlay)
        return paint

    def shape(
        self,
        path: skia.Path,
        mat: Material,
        shade: str = "v",
        edge: float = 1.6,
        shadow: float = 0,
        spin: tuple[float, ...] = (),
    ) -> None:
        """Fill a shape with a material; edge is the outline's width, shadow its throw."""
        if shadow:
            self.shadow(path, shadow)
        ground = skia.Paint(AntiAlias=True, Shader=self._gradient(path.getBounds(), mat, shade))
        self.c.drawPath(path, ground)
        self.c.drawPath(path, self._grain(mat, spin))
        if edge:
            self.line(path, "#14171a", edge, 0.75)

    def shadow(self, path: skia.Path, throw: float, dark: float = 0.42) -> None:
        """Draw a soft shadow of a shape, thrown down and right."""
        paint = skia.Paint(AntiAlias=True, Color=colour("#000000", dark))
        paint.setMaskFilter(skia.MaskFilter.MakeBlur(skia.kNormal_BlurStyle, throw * 0.55))
        with self.at(throw * 0.45, throw * 0.75):
            self.c.drawPath(path, paint)

    def flat(self, path: skia.Path, tint: str, alpha: float = 1.0) -> None:
        """Fill a shape with one colour."""
        self.c.drawPath(path, skia.Paint(AntiAlias=True, Color=colour(tint, alpha)))

    def line(self, path: skia.Path, tint: str, width: float, alpha: float = 1.0) -> None:
        """Draw a line along a path."""
        paint = skia.Paint(
            AntiAlias=True,
            Color=colour(tint, alpha),
            Style=skia.Paint.kStroke_Style,
            StrokeWidth=width,
            StrokeCap=skia.Paint.kRound_Cap,
            StrokeJoin=skia.Paint.kRound_Join,
        )
        self.c.drawPath(path, paint)

    def seg(self, a: Point, b: Point, tint: str, width: float, alpha: float = 1.0) -> None:
        """Draw a straight line."""
        self.line(poly([a, b], closed=False), tint, width, alpha)

    def tube(self, path: skia.Path, mat: Material, width: float, edge: float = 1.8) -> None:
        """Draw a round bar along a path: outline, body, shine."""
        self.line(path, "#14171a", width + 2 * edge, 0.9)
        middle = mat.stops[len(mat.stops) // 2]
        for share, tint in ((1.0, mat.stops[-1]), (0.72, middle), (0.34, mat.stops[0])):
            with self.at(-width * (1 - share) * 0.12, -width * (1 - share) * 0.22):
                self.line(path, tint, width * share)
        grain = self._grain(mat)
        grain.setStyle(skia.Paint.kStroke_Style)
        grain.setStrokeCap(skia.Paint.kRound_Cap)
        grain.setStrokeJoin(skia.Paint.kRound_Join)
        grain.setStrokeWidth(width)
        self.c.drawPath(path, grain)

    def width(self, words: str, size: float) -> float:
        """Return how wide words are in bold lettering of a size."""
        return skia.Font(typeface(True), 100).measureText(words) * size / 100

    def text(
        self, words: str, x: float, y: float, size: float, tint: str = "#111111", bold: bool = True
    ) -> None:
        """Write words, centred on a point."""
        font = skia.Font(typeface(bold), size)
        font.setEdging(skia.Font.Edging.kAntiAlias)
        width = font.measureText(words)
        paint = skia.Paint(AntiAlias=True, Color=colour(tint))
        self.c.drawString(words, x - width / 2, y + size * 0.36, font, paint)
