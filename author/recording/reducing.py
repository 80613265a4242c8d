"""Smaller copies of decoded frames: for the preview, for the cache, for the analyses."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import numpy.typing as npt
from av.video.frame import VideoFrame
from av.video.reformatter import Interpolation, VideoReformatter

from author.recording.index import Geometry
from author.recording.picture import SCALER_MATRIX, Size, is_full_range, matrix_of, scaler_range

Plane = npt.NDArray[np.uint8] | npt.NDArray[np.uint16]

_LEAST = 16
_PLANAR = ("yuv4", "yuvj4", "yuva4", "nv12", "nv21", "gray")


def reduced_size(width: int, height: int, pixels: int) -> tuple[int, int]:
    """Return the size of a copy with at most about ``pixels`` pixels: even, never larger.

    Args:
        width: of the stored picture.
        height: of the stored picture.
        pixels: bound on width × height.
    """
    factor = min(1.0, math.sqrt(pixels / (width * height)))
    return _even(width * factor), _even(height * factor)


def _even(length: float) -> int:
    return max(_LEAST, int(length) // 2 * 2)


def upright(geometry: Geometry, width: int, height: int) -> Size:
    """Size of a reduced copy of ``width`` by ``height`` with square pixels, not yet turned."""
    return (
        max(1, round(width * geometry.scaled_width / geometry.stored_width)),
        max(1, round(height * geometry.scaled_height / geometry.stored_height)),
    )


class Reducer:
    """Makes copies of one size as 8-bit Y'CbCr 4:2:0, colours and range left as they are."""

    def __init__(self, pixels: int) -> None:
        self._pixels = pixels
        self._reformatter = VideoReformatter()

    def reduce(self, frame: VideoFrame) -> VideoFrame:
        """Return a smaller copy of a stored picture, neither turned nor stretched."""
        width, height = reduced_size(frame.width, frame.height, self._pixels)
        matrix = SCALER_MATRIX[matrix_of(frame.colorspace, frame.height)]
        span = scaler_range(is_full_range(frame))
        return self._reformatter.reformat(
            frame,
            width=width,
            height=height,
            format="yuv420p",
            src_colorspace=matrix,
            dst_colorspace=matrix,
            src_color_range=span,
            dst_color_range=span,
            interpolation=Interpolation.AREA,
            threads=1,
        )


def plane(frame: VideoFrame, number: int) -> npt.NDArray[np.uint8]:
    """Return one plane of an 8-bit planar frame as a view, height × width."""
    return _view(frame, number, np.uint8)


def luma(frame: VideoFrame) -> tuple[Plane, int] | None:
    """Return a view of a frame's luma at full size and its bits, or None if it has none as such."""
    form = frame.format
    if not form.name.startswith(_PLANAR):
        return None
    bits = form.components[0].bits
    if bits == 8:
        return _view(frame, 0, np.uint8), 8
    return (_view(frame, 0, np.uint16), bits) if form.name.endswith("le") else None


def _view(frame: VideoFrame, number: int, kind: type[Any]) -> npt.NDArray[Any]:
    held = frame.planes[number]
    row = held.line_size // np.dtype(kind).itemsize
    pixels: npt.NDArray[Any] = np.frombuffer(memoryview(held), kind)
    return pixels.reshape(-1, row)[: held.height, : held.width]
