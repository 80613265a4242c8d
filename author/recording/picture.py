"""From a decoded frame to the picture that is shown: colour, sample aspect, rotation, mirroring."""

from __future__ import annotations

import struct
from collections.abc import Mapping
from fractions import Fraction
from typing import cast

import numpy as np
import numpy.typing as npt
from av.sidedata.sidedata import Type
from av.video.frame import VideoFrame
from av.video.reformatter import Interpolation, VideoReformatter

from author.recording.index import Geometry

Pixels = npt.NDArray[np.uint8]
"""Height × width × 3, RGB, one byte each."""

Size = tuple[int, int]
"""Width and height in pixels."""

MAX_PIXELS = 100_000_000
"""The largest picture that is shown; larger ones are refused (8K has 33 million)."""

_MAX_ASPECT = 16
_SCALING = (
    Interpolation.BICUBIC
    | Interpolation.ACCURATE_RND
    | Interpolation.FULL_CHR_H_INT
    | Interpolation.BITEXACT
)
# ITU-T H.273 matrix coefficients -> the scaler's numbers for them.
SCALER_MATRIX = {1: 1, 4: 4, 5: 5, 6: 5, 7: 7, 9: 9, 10: 9}
_FULL_RANGE = 2
_LIMITED_RANGE = 1


def matrix_of(named: int, height: int) -> int:
    """Return the colour matrix to use (ITU-T H.273).

    Args:
        named: what the stream names; if nothing known, the size decides, as players do.
        height: stored height in pixels.
    """
    if named in SCALER_MATRIX:
        return named
    return 1 if height >= 720 else 6


def is_full_range(frame: VideoFrame) -> bool:
    """Return whether the frame's luma uses all values from 0."""
    return frame.color_range == _FULL_RANGE or frame.format.name.startswith("yuvj")


def scaler_range(full: bool) -> int:
    """Return the scaler's number for a range of luma."""
    return _FULL_RANGE if full else _LIMITED_RANGE


def geometry_of(frame: VideoFrame, sample_aspect: Fraction | None) -> Geometry:
    """Return how frames like this one are shown.

    Args:
        frame: the first decoded frame.
        sample_aspect: width over height of one stored pixel, or None if not told.
    """
    aspect = sample_aspect or Fraction(1)
    if not Fraction(1, _MAX_ASPECT) <= aspect <= _MAX_ASPECT:
        aspect = Fraction(1)
    width, height = frame.width, frame.height
    # The longer way is stretched, so that no stored pixel is lost.
    scaled_width = max(1, round(width * aspect)) if aspect > 1 else width
    scaled_height = max(1, round(height / aspect)) if aspect < 1 else height
    transpose, flip_x, flip_y = _turns(frame)
    return Geometry(width, height, scaled_width, scaled_height, transpose, flip_x, flip_y)


def _turns(frame: VideoFrame) -> tuple[bool, bool, bool]:
    """Return transpose, flip_x, flip_y of the frame's display matrix.

    The matrix takes stored (x, y) to shown (a·x + c·y, b·x + d·y). Only its signs
    and its larger diagonal count: cameras turn by right angles.
    """
    try:
        side_data = cast(Mapping[Type, bytes], frame.side_data)[Type.DISPLAYMATRIX]
    except KeyError:
        return False, False, False
    a, b, _, c, d, *_ = struct.unpack("=9i", bytes(side_data)[:36])
    if abs(a) + abs(d) >= abs(b) + abs(c):
        return False, a < 0, d < 0
    return True, c < 0, b < 0


class Painter:
    """Turns decoded frames into shown pictures, all of one size."""

    def __init__(self, geometry: Geometry) -> None:
        self._geometry = geometry
        self._reformatter = VideoReformatter()

    def paint(self, frame: VideoFrame) -> Pixels:
        """Return the shown picture; the array may be a view that is not contiguous."""
        geometry = self._geometry
        matrix, full = matrix_of(frame.colorspace, frame.height), is_full_range(frame)
        size = (geometry.scaled_width, geometry.scaled_height)
        return self._turned(self._rgb(frame, size, matrix, full, _SCALING))

    def paint_small(self, frame: VideoFrame, matrix: int, full: bool, size: Size) -> Pixels:
        """Return a reduced copy as it is shown, quickly: for a look, not for a still.

        Args:
            frame: a reduced copy (``reducing``), which carries no colours of its own.
            matrix: colour matrix of the film (ITU-T H.273).
            full: whether the film's luma uses all values from 0.
            size: width and height of the picture, before it is turned.
        """
        return self._turned(self._rgb(frame, size, matrix, full, Interpolation.FAST_BILINEAR))

    def _rgb(
        self, frame: VideoFrame, size: Size, matrix: int, full: bool, how: Interpolation
    ) -> Pixels:
        rgb = self._reformatter.reformat(
            frame,
            width=size[0],
            height=size[1],
            format="rgb24",
            src_colorspace=SCALER_MATRIX[matrix],
            src_color_range=scaler_range(full),
            dst_color_range=_FULL_RANGE,
            interpolation=how,
            threads=1,
        )
        return np.asarray(rgb.to_ndarray(), dtype=np.uint8)

    def _turned(self, pixels: Pixels) -> Pixels:
        geometry = self._geometry
        if geometry.transpose:
            pixels = pixels.transpose(1, 0, 2)
        if geometry.flip_x:
            pixels = pixels[:, ::-1]
        if geometry.flip_y:
            pixels = pixels[::-1]
        return pixels
