"""What a scene is, and how one frame of it is drawn."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field

import numpy as np
import skia

from generate import camera, pixel_code
from generate.camera import View
from generate.kit import Kit, Point

MARGIN = 90
Back = Callable[[Kit], None]
Front = Callable[[Kit, float], None]


@dataclass(frozen=True)
class Scene:
    """One shot: its words, its fixed background, its moving foreground, its camera."""

    id: str
    shows: str
    narration: str
    back: Back
    front: Front
    best: float = 0.75
    view: View = field(default=View())
    least: float = 4.6
    cut: float | None = None
    knocks: tuple[float, ...] = ()


class Painter:
    """Draws the frames of one scene; keeps the background between frames."""

    def __init__(self, scene: Scene, width: int, height: int, seed: int, length: float) -> None:
        self.scene, self.seed, self.length = scene, seed, length
        self.width, self.height = width, height
        self.pixels = np.zeros((height, width, 4), np.uint8)
        self.surface = skia.Surface(self.pixels, colorType=skia.kRGBA_8888_ColorType)
        self.back = self._background()

    def _background(self) -> skia.Image:
        """Draw the background once, with a margin for the camera's movement."""
        surface = skia.Surface(self.width + 2 * MARGIN, self.height + 2 * MARGIN)
        canvas = surface.getCanvas()
        canvas.clear(skia.ColorBLACK)
        canvas.translate(MARGIN, MARGIN)
        self.scene.back(Kit(canvas))
        return surface.makeImageSnapshot()

    def _camera(self, canvas: skia.Canvas, u: float) -> tuple[float, float]:
        """Set the canvas as the camera stands; return blur length and angle."""
        view = self.scene.view
        dx, dy, roll = camera.shake(u * self.length, self.seed, view.shake)
        jx, jy, blur, angle = camera.jolt_at(view.jolts, u, self.length)
        zoom = view.zoom[0] + (view.zoom[1] - view.zoom[0]) * u
        zoom *= 1 + (abs(jx) + abs(jy)) / self.width
        canvas.translate(self.width / 2 + dx + jx, self.height / 2 + dy + jy)
        canvas.rotate(roll)
        canvas.scale(zoom, zoom)
        canvas.translate(
            -self.width / 2 + view.pan[0] * (u - 0.5), -self.height / 2 + view.pan[1] * (u - 0.5)
        )
        return blur, angle

    def draw(
        self, u: float, number: int, flash: int | None = None
    ) -> tuple[np.ndarray, dict[str, Point]]:
        """Return the picture at share u of the scene, and its named points in pixels."""
        canvas = self.surface.getCanvas()
        canvas.clear(skia.ColorBLACK)
        canvas.save()
        blur, angle = self._camera(canvas, u)
        sampling = skia.SamplingOptions(skia.CubicResampler.CatmullRom())
        canvas.drawImage(self.back, -MARGIN, -MARGIN, sampling)
        kit = Kit(canvas)
        self.scene.front(kit, u)
        canvas.restore()
        rgb = np.ascontiguousarray(self.pixels[:, :, :3])
        if blur:
            rgb = camera.smear(rgb, blur, angle)
        if flash is not None:
            rgb = camera.over_expose(rgb, flash)
        pixel_code.draw(rgb, number)
        return rgb, kit.points
