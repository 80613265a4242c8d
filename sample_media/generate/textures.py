"""Fixed noise textures for metal, wood, paint, cloth and concrete: fine, repeatable, made once."""

from __future__ import annotations

from functools import cache

import cv2
import numpy as np
import skia

SIZE = 512


def _noise(seed: int, sigma_x: float, sigma_y: float) -> np.ndarray:
    """Return tileable noise with unit deviation, blurred by the two sigmas."""
    rng = np.random.default_rng(seed)
    field = rng.standard_normal((SIZE, SIZE)).astype(np.float32)
    if sigma_x > 0 or sigma_y > 0:
        pad = 64
        wide = cv2.copyMakeBorder(field, pad, pad, pad, pad, cv2.BORDER_WRAP)
        wide = cv2.GaussianBlur(wide, (0, 0), max(sigma_x, 0.01), sigmaY=max(sigma_y, 0.01))
        field = wide[pad:-pad, pad:-pad]
    return field / field.std()


def _wood() -> np.ndarray:
    """Return wood grain along x: long streaks with dark pores."""
    streaks = _noise(11, 20, 1.2) * 0.8 + _noise(12, 24, 5) * 0.7 + _noise(13, 6, 0.7) * 0.5
    pores = (_noise(14, 5, 0.6) > 2.0) * -1.8
    return streaks + pores + _noise(15, 1, 1) * 0.35


RECIPES = {
    "brushed": lambda: _noise(1, 14, 0.9) * 0.85 + _noise(2, 1.0, 1.0) * 0.5,
    "grain": lambda: _noise(3, 1.1, 1.1) * 0.8 + _noise(4, 3, 3) * 0.5,
    "paint": lambda: _noise(5, 1.8, 1.8) * 0.8 + _noise(6, 1.0, 1.0) * 0.35,
    "wood": _wood,
    "concrete": lambda: _noise(7, 1.2, 1.2) * 0.7 + _noise(8, 6, 6) * 0.9,
    "leather": lambda: _noise(9, 1.5, 1.5) * 0.9 + _noise(10, 1.0, 1.0) * 0.4,
    "cast": lambda: _noise(16, 1.3, 1.3) * 1.0 + _noise(17, 4, 4) * 0.4,
    "cloth": lambda: _noise(18, 3, 0.9) * 0.8 + _noise(19, 0.9, 3) * 0.8,
}
STRENGTH = {"wood": 18, "leather": 14, "brushed": 13, "cast": 15, "cloth": 17}


@cache
def image(name: str) -> skia.Image:
    """Return the named texture as a grey picture around mid grey."""
    field = RECIPES[name]() * STRENGTH.get(name, 12) + 128
    grey = np.clip(field, 0, 255).astype(np.uint8)
    rgba = np.dstack([grey, grey, grey, np.full_like(grey, 255)])
    return skia.Image.fromarray(np.ascontiguousarray(rgba), colorType=skia.kRGBA_8888_ColorType)


def shader(name: str, matrix: skia.Matrix | None = None) -> skia.Shader:
    """Return a repeating shader of the named texture."""
    return image(name).makeShader(
        skia.TileMode.kRepeat,
        skia.TileMode.kRepeat,
        skia.SamplingOptions(skia.FilterMode.kLinear),
        matrix or skia.Matrix(),
    )
