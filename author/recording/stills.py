"""Still pictures as PNG or JPEG, the same bytes each time."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Literal

import numpy as np

from author.errors import InputError
from author.progress import SILENT, Cancel
from author.recording.colour import colours_of
from author.recording.high_range import lowered_still
from author.recording.knowing import known
from author.recording.picture import Pixels
from author.recording.spans import Mask, mask_box

_JPEG_QUALITY = 92
_PNG_LEVEL = 6


def encode_still(pixels: Pixels, form: Literal["png", "jpeg"]) -> bytes:
    """Return a picture as the bytes of an image file, without dates or other metadata.

    Args:
        pixels: height × width × 3, RGB, one byte each.
        form: ``png`` keeps every pixel; ``jpeg`` has quality 92 and full colour resolution.

    Raises:
        InputError: the picture cannot be stored in this form.
    """
    import cv2

    if form == "png":
        suffix, options = ".png", [cv2.IMWRITE_PNG_COMPRESSION, _PNG_LEVEL]
    else:
        suffix = ".jpg"
        options = [
            *(cv2.IMWRITE_JPEG_QUALITY, _JPEG_QUALITY),
            *(cv2.IMWRITE_JPEG_SAMPLING_FACTOR, cv2.IMWRITE_JPEG_SAMPLING_FACTOR_444),
        ]
    done, data = cv2.imencode(suffix, cv2.cvtColor(pixels, cv2.COLOR_RGB2BGR), options)
    if not done:
        raise InputError(f"a picture of {pixels.shape[1]} × {pixels.shape[0]} is too large")
    return data.tobytes()


def decode_still(data: bytes) -> Pixels:
    """Return the pixels of a PNG or JPEG: height × width × 3, RGB, one byte each.

    Raises:
        InputError: it is no picture that can be read.
    """
    import cv2

    found = cv2.imdecode(np.frombuffer(data, np.uint8), cv2.IMREAD_COLOR) if data else None
    if found is None:
        raise InputError("the picture cannot be read", remedy="Give a PNG or JPEG file")
    return np.asarray(cv2.cvtColor(found, cv2.COLOR_BGR2RGB), dtype=np.uint8)


def for_screen(path: Path, cancel: Cancel | None = None) -> Callable[[Pixels], Pixels]:
    """Return what makes a film's frames fit for an ordinary screen, as clips are.

    That is nothing but for films of high dynamic range (PQ, HLG), whose frames look pale
    and dark as they are.

    Raises:
        InputError, MachineError, Cancelled: as ``describe``.
    """
    transfer = colours_of(path, known(path, SILENT, cancel)[1], cancel).high_range
    if transfer is None:
        return lambda pixels: pixels
    return lambda pixels: lowered_still(pixels, transfer)


def hide(pixels: Pixels, masks: Sequence[Mask]) -> Pixels:
    """Return a picture with areas filled with black, as clips have them.

    Args:
        pixels: height × width × 3, RGB; not changed.
        masks: left, top, width and height of each area, as fractions of the picture.
    """
    if not masks:
        return pixels
    hidden = pixels.copy()
    height, width = hidden.shape[:2]
    for mask in masks:
        left, top, wide, high = mask_box(mask, width, height)
        hidden[top : top + high, left : left + wide] = 0
    return hidden
