"""The camera: handheld shake, slow moves, passages of motion blur, and the flash."""

from __future__ import annotations

import math
from dataclasses import dataclass, field

import cv2
import numpy as np


@dataclass(frozen=True)
class Jolt:
    """A passage of fast camera movement, in shares of the scene: blurred, then calm again."""

    start: float
    seconds: float
    angle: float = 0.0
    reach: float = 90.0


@dataclass(frozen=True)
class View:
    """How a scene is filmed: zoom from and to, centre of interest, shake and its seed."""

    zoom: tuple[float, float] = (1.04, 1.052)
    pan: tuple[float, float] = (0.0, 0.0)
    shake: float = 2.6
    jolts: tuple[Jolt, ...] = field(default=())
    flash: float | None = None


def shake(seconds: float, seed: int, size: float) -> tuple[float, float, float]:
    """Return the camera's x, y in pixels and its roll in degrees."""
    x = y = roll = 0.0
    for i, (rate, share) in enumerate(((0.31, 1.0), (0.83, 0.32), (1.9, 0.07))):
        phase = seed * 2.399 + i * 1.7
        x += share * math.sin(2 * math.pi * rate * seconds + phase)
        y += share * math.sin(2 * math.pi * rate * 0.87 * seconds + phase * 1.37)
        roll += share * math.sin(2 * math.pi * rate * 0.71 * seconds + phase * 0.77)
    return x * size, y * size, roll * 0.055


def jolt_at(jolts: tuple[Jolt, ...], u: float, length: float) -> tuple[float, float, float, float]:
    """Return the jolt's x, y, and the blur's length and angle, at share u of a scene."""
    for jolt in jolts:
        v = (u - jolt.start) * length / jolt.seconds
        if 0 <= v < 1:
            away = math.sin(math.pi * v) ** 2 * jolt.reach
            speed = abs(math.sin(2 * math.pi * v))
            a = math.radians(jolt.angle)
            return away * math.cos(a), away * math.sin(a), 15 + 30 * speed, jolt.angle
    return 0.0, 0.0, 0.0, 0.0


def smear(rgb: np.ndarray, length: float, angle: float) -> np.ndarray:
    """Blur a picture along one direction, as a moving camera does."""
    size = int(length) | 1
    kernel = np.zeros((size, size), np.float32)
    a = math.radians(angle)
    for step in np.linspace(-size / 2 + 0.5, size / 2 - 0.5, size * 4):
        column = round(size // 2 + step * math.cos(a))
        row = round(size // 2 + step * math.sin(a))
        kernel[row, column] += 1
    return cv2.filter2D(rgb, -1, kernel / kernel.sum(), borderType=cv2.BORDER_REFLECT)


def over_expose(rgb: np.ndarray, step: int) -> np.ndarray:
    """Return the picture as a flash of light leaves it; step counts the flash's frames."""
    gain, lift = ((2.6, 90), (3.2, 130), (1.9, 60))[step]
    return np.clip(rgb.astype(np.float32) * gain + lift, 0, 255).astype(np.uint8)
