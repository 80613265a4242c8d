"""The frame number as a small pixel code in the bottom-left corner of the shown picture.

Eight columns by four rows of square cells. Six cells are fixed (three white, three black) and
serve as references; sixteen carry the number, ten its CRC. One cell is a sixtieth of the
picture's short side (12 pixels at 1280 x 720), so a scaled picture reads as well.
Needs numpy only.
"""

from __future__ import annotations

import numpy as np
import numpy.typing as npt

COLUMNS = 8
ROWS = 4
CELLS_PER_SHORT_SIDE = 60
MARGIN_CELLS = 1.0
QUIET_CELLS = 0.5
WHITE = 235
BLACK = 16
FIXED: dict[tuple[int, int], int] = {
    (0, 0): 1,
    (0, 7): 0,
    (3, 0): 0,
    (3, 7): 1,
    (1, 4): 1,
    (2, 3): 0,
}
NUMBER_BITS = 16
CRC_BITS = 10
CRC_POLYNOMIAL = 0x233
CRC_START = 0x2A5
LEAST_CONTRAST = 80.0
UNSURE_BAND = 0.2

Image = npt.NDArray[np.uint8]


def crc10(number: int) -> int:
    """Return the ten-bit CRC of a sixteen-bit number."""
    register = CRC_START
    for shift in range(NUMBER_BITS - 1, -1, -1):
        bit = (number >> shift) & 1
        carry = (register >> (CRC_BITS - 1)) & 1
        register = (register << 1) & ((1 << CRC_BITS) - 1)
        if bit ^ carry:
            register ^= CRC_POLYNOMIAL
    return register


def _data_cells() -> list[tuple[int, int]]:
    """Return the cells that carry bits, row by row, without the fixed ones."""
    cells = [(row, column) for row in range(ROWS) for column in range(COLUMNS)]
    return [cell for cell in cells if cell not in FIXED]


def _grid(height: int, width: int) -> tuple[float, float, float]:
    """Return the cell size and the left and top of the first cell, in pixels."""
    cell = min(height, width) / CELLS_PER_SHORT_SIDE
    left = (MARGIN_CELLS + QUIET_CELLS) * cell
    top = height - (MARGIN_CELLS + QUIET_CELLS + ROWS) * cell
    return cell, left, top


def draw(frame: Image, number: int) -> None:
    """Write the number into the frame (height x width x 3, RGB), in place."""
    if not 0 <= number < 1 << NUMBER_BITS:
        raise ValueError(f"number {number} does not fit {NUMBER_BITS} bits")
    cell, left, top = _grid(frame.shape[0], frame.shape[1])
    quiet = QUIET_CELLS * cell
    right, bottom = left + COLUMNS * cell, top + ROWS * cell
    frame[
        round(top - quiet) : round(bottom + quiet), round(left - quiet) : round(right + quiet)
    ] = 128
    word = (number << CRC_BITS) | crc10(number)
    bits = dict(FIXED)
    for place, key in enumerate(_data_cells()):
        bits[key] = (word >> (NUMBER_BITS + CRC_BITS - 1 - place)) & 1
    for (row, column), bit in bits.items():
        y0, y1 = round(top + row * cell), round(top + (row + 1) * cell)
        x0, x1 = round(left + column * cell), round(left + (column + 1) * cell)
        frame[y0:y1, x0:x1] = WHITE if bit else BLACK


def _cell_levels(frame: Image) -> npt.NDArray[np.float64]:
    """Return the mean brightness of the middle of every cell."""
    cell, left, top = _grid(frame.shape[0], frame.shape[1])
    levels = np.zeros((ROWS, COLUMNS))
    for row in range(ROWS):
        for column in range(COLUMNS):
            y0 = round(top + (row + 0.25) * cell)
            x0 = round(left + (column + 0.25) * cell)
            y1 = max(y0 + 1, round(top + (row + 0.75) * cell))
            x1 = max(x0 + 1, round(left + (column + 0.75) * cell))
            levels[row, column] = frame[y0:y1, x0:x1, :3].mean()
    return levels


def read(frame_rgb: Image) -> int | None:
    """Return the number in the shown picture, or None where it cannot be read surely."""
    if frame_rgb.ndim != 3 or min(frame_rgb.shape[:2]) < 2 * CELLS_PER_SHORT_SIDE:
        return None
    levels = _cell_levels(frame_rgb)
    whites = [levels[key] for key, bit in FIXED.items() if bit]
    blacks = [levels[key] for key, bit in FIXED.items() if not bit]
    contrast = min(whites) - max(blacks)
    if contrast < LEAST_CONTRAST:
        return None
    middle = (min(whites) + max(blacks)) / 2
    word = 0
    for key in _data_cells():
        if abs(levels[key] - middle) < UNSURE_BAND * contrast:
            return None
        word = (word << 1) | int(levels[key] > middle)
    number = word >> CRC_BITS
    return number if crc10(number) == word & ((1 << CRC_BITS) - 1) else None
