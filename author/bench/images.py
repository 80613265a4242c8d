"""Pictures of films as images of Qt."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from PyQt6.QtGui import QImage

from author.recording.cursor import Quality


@dataclass(frozen=True, slots=True, eq=False)
class FramePicture:
    """A picture of one frame of one recording.

    Attributes:
        recording: id of the recording.
        frame: index of the frame in the recording's index.
        start: when it is shown, seconds on the recording's clock.
        quality: ``preview``, ``reduced`` or ``full``.
        image: the picture, upright.
    """

    recording: str
    frame: int
    start: Decimal
    quality: Quality
    image: QImage


def image_of(pixels: Any) -> QImage:
    """Return a picture (height × width × 3, RGB bytes) as an image that owns its bytes."""
    height, width = pixels.shape[:2]
    data = pixels if pixels.flags.c_contiguous else pixels.copy()
    return QImage(data.data, width, height, 3 * width, QImage.Format.Format_RGB888).copy()
