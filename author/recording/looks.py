"""What is kept of each frame when a film is seen once, for all later decisions on pictures.

A ``Watcher`` gets every decoded frame and returns one small record. Shot changes,
working and still spans and the best still are decided from these records alone.
"""

from __future__ import annotations

import math
from collections import deque
from dataclasses import dataclass
from typing import cast

import cv2
import numpy as np
import numpy.typing as npt

Plane = npt.NDArray[np.uint8]
_Floats = npt.NDArray[np.float32]

LOOKS_VERSION = 1
"""Raised when the meaning of a record changes; stored records of another version are void."""

ALONE = 1
"""Flag: no frame came before this one, so it has no difference to one."""
FAR = 2
"""Flag: ``like_far`` was measured; it is only where the picture changed a short time ago."""

LAG = 6
"""How many frames back the farther comparison reaches: more than a flash lasts."""

MIX_LENGTHS = (6, 9, 13, 19, 28, 41, 60)
"""Frames over which one picture turning into another is looked for."""

LOOK: np.dtype[np.void] = np.dtype(
    [
        ("thumb", "u1", (9, 16)),
        ("chroma", "u1", (2, 3, 4)),
        ("flags", "u1"),
        ("lag", "u1"),
        ("mixed", "u1"),
        ("mean", "<f4"),
        ("spread", "<f4"),
        ("like", "<f4"),
        ("like_far", "<f4"),
        ("like_mixed", "<f4"),
        ("shift", "<f4", (2,)),
        ("moving", "<f4"),
        ("clipped", "<f4"),
        ("noise", "<f4"),
        ("fine", "<f4", (4,)),
        ("middle", "<f4", (4,)),
    ]
)
"""One frame's record.

``thumb``: luma, 9 × 16. ``chroma``: U and V, each 3 × 4. ``flags``: ALONE, FAR.
``lag``: frames back that ``moving`` and ``like_far`` reach. ``mean``, ``spread``: of the
luma, 0–255. ``like``, ``like_far``: how much of the structure of the frame before, or of
``lag`` frames before, is found again nearby, 1 all to 0 nothing; blind to exposure.
``mixed``: frames over which the picture seems to have turned into another, or 0;
``like_mixed``: the likeness over them.
``shift``: how far the picture moved since the frame before, in its widths and heights.
``moving``: share of the picture that moved since ``lag`` frames before, apart from the
camera's own move. ``clipped``: share that is wholly black or white. ``noise``: standard
deviation, grey levels. ``fine``: mean difference of stored luma over a short distance
across, down and along both diagonals, noise taken off, grey levels. ``middle``: the same
over four times the distance.
"""

_WIDE, _HIGH = 80, 45
_BLOCKS_X, _BLOCKS_Y = 5, 3
_BLOCK_W, _BLOCK_H = _WIDE // _BLOCKS_X, _HIGH // _BLOCKS_Y
_FARTHEST = 30
_FLOOR = 9.0
"""Variance (grey levels²) under which a region counts as flat."""
_STEADY = 0.95
_UNLIKE = 0.8
_MISFIT = 0.25
_DIFFERENT = 25.0
_LOST = 0.25
_MIX_PLACES = np.array([[length * part // 4 for part in (4, 3, 2, 1)] for length in MIX_LENGTHS])
_ROWS = 24
_GRAIN = 4.0
_STARTLED = 0.42
_WINDOW = cv2.createHanningWindow((_WIDE, _HIGH), cv2.CV_32F)
_CORE = np.ones((3, 3), np.uint8)


@dataclass(slots=True)
class _Seen:
    """A frame seen: its structure, whole and by blocks, and the camera's move since."""

    structure: _Floats
    padded: _Floats
    blocks: _Floats
    power: _Floats
    x: float = 0.0
    y: float = 0.0

    @classmethod
    def of(cls, structure: _Floats) -> _Seen:
        """Prepare a structure for comparisons."""
        margin = _FARTHEST + 4
        padded = cv2.copyMakeBorder(
            structure, margin, margin, margin, margin, cv2.BORDER_CONSTANT, value=0
        )
        parts = structure.reshape(_BLOCKS_Y, _BLOCK_H, _BLOCKS_X, _BLOCK_W)
        blocks = parts.swapaxes(1, 2).reshape(_BLOCKS_X * _BLOCKS_Y, -1)
        power = np.square(blocks).sum(1)
        return cls(structure, np.asarray(padded, np.float32), blocks, power)


class Watcher:
    """Makes the record of each frame of one film, in order.

    Costs about half a millisecond a frame at 1080p on one core. Holds a few
    frames of 80 × 45 points, never a whole picture.
    """

    def __init__(self) -> None:
        self._seen: deque[_Seen] = deque(maxlen=MIX_LENGTHS[-1] + 1)
        self._uneasy = 0
        self._odd = False
        self._moving = 0.0
        self._noise: float | None = None
        self._thumbs = np.zeros((MIX_LENGTHS[-1] + 1, 16 * 9), np.float32)

    def forget(self) -> None:
        """Begin anew: the next frame has no frame before it."""
        self._seen.clear()
        self._uneasy = 0
        self._odd = False
        self._moving = 0.0
        self._noise = None

    def look(
        self,
        luma: Plane | npt.NDArray[np.uint16],
        small: Plane,
        small_u: Plane,
        small_v: Plane,
        bits: int = 8,
    ) -> np.void:
        """Return the record of the next frame.

        Args:
            luma: the stored luma plane, height × width; may be a view with padded rows.
            small: luma of the reduced picture, of any size.
            small_u: its U plane.
            small_v: its V plane.
            bits: bits of one luma value; more than 8 only with 16-bit arrays.

        Returns:
            One ``LOOK`` record.
        """
        record = np.zeros((), LOOK)
        grid = _grid(small)
        record["thumb"] = _reduced(grid, 16, 9)
        record["chroma"][0] = _reduced(small_u, 4, 3)
        record["chroma"][1] = _reduced(small_v, 4, 3)
        (mean,), (spread,) = (value.ravel() for value in cv2.meanStdDev(grid))
        record["mean"], record["spread"] = mean, spread
        record["clipped"] = _clipped(grid)
        self._compare(record, _Seen.of(_structure(grid)))
        self._sharpness(record, luma, bits)
        return cast(np.void, record[()])

    def _compare(self, record: npt.NDArray[np.void], now: _Seen) -> None:
        record["like"] = record["like_far"] = record["like_mixed"] = 1.0
        if not self._seen:
            record["flags"] = ALONE
        else:
            before = self._seen[-1]
            like, x, y = _likeness(now, before)
            now.x, now.y = before.x + x, before.y + y
            self._uneasy = LAG if like < _UNLIKE else max(0, self._uneasy - 1)
            lag = min(LAG, len(self._seen))
            record["like"], record["lag"] = like, lag
            record["shift"] = x / _WIDE, y / _HIGH
            if self._uneasy:
                record["flags"] = FAR
                record["like_far"] = _likeness(now, self._seen[-lag])[0]
            # Movement and dissolves last: each is looked for in every other frame.
            if not self._odd:
                self._moving = _moved(now, self._seen[-lag])
            record["moving"] = self._moving
        self._seen.append(now)
        self._thumbs[:-1] = self._thumbs[1:]
        self._thumbs[-1] = record["thumb"].ravel()
        self._odd = not self._odd
        mixed = _mixed(self._thumbs[-len(self._seen) :]) if self._odd else 0
        if mixed:
            record["mixed"] = mixed
            record["like_mixed"] = _likeness(now, self._seen[-1 - mixed])[0]

    def _sharpness(
        self, record: npt.NDArray[np.void], luma: Plane | npt.NDArray[np.uint16], bits: int
    ) -> None:
        """Measure differences in rows spread over the full-size picture.

        A smear takes away the differences along its direction and leaves those across it,
        so four directions are kept apart.
        """
        height, width = luma.shape
        near = max(1, max(width, height) // 960)
        if min(height, width) < 4 * near + 3:
            near = 1
            if min(height, width) < 7:
                return
        far = 4 * near
        count = max(1, min(_ROWS * 1920 // width, (height - far - 2) // 2, 4 * _ROWS))
        step = (height - far - 2) // count
        end = step * (count - 1) + 1

        def rows(down: int) -> Plane:
            taken = luma[down : down + end : step]
            return (taken >> (bits - 8)).astype(np.uint8) if bits > 8 else cast(Plane, taken)

        top, low = rows(0), rows(near)
        noise = _noise(top[::3], low[::3], near)
        usual = self._noise
        if usual is None or record["like"] < _STARTLED or noise > 1.3 * usual:
            self._noise = noise
        else:
            self._noise = 0.8 * usual + 0.2 * noise
        record["noise"] = self._noise
        record["fine"] = _differences(top, low, near, self._noise)
        record["middle"] = _differences(top, rows(far), far, self._noise)


def _mixed(thumbs: _Floats) -> int:
    """Return over how many frames the picture turned into another one, or 0.

    Between its ends a dissolve is a mix of them, frame by frame, in a share that grows.
    Two pictures that have nothing in common lose contrast when mixed; a picture that only
    moves does not.
    """
    known = int(np.searchsorted(_MIX_PLACES[:, 0], len(thumbs)))
    last = thumbs[-1]
    if not known or float(np.abs(last - thumbs[-2]).max()) < 1.0:
        return 0
    thumbs = thumbs[len(thumbs) - 1 - _MIX_PLACES[:known]]
    whole = last - thumbs[:, 0]
    size = np.square(whole).sum(1) + 1.0
    middle = thumbs[:, 1:] - thumbs[:, :1]
    share = (middle @ whole[:, :, None])[..., 0] / size[:, None]
    rest = middle - share[..., None] * whole[:, None]
    misfit = np.square(rest).sum(2).max(1) / size
    steps = np.minimum((share[:, 1:] - share[:, :-1]).min(1), share[:, 0])
    steps = np.minimum(steps, 1 - share[:, -1])
    good = (misfit < _MISFIT) & (steps > 0.06) & (size > _DIFFERENT * whole.shape[1])
    if not good.any():
        return 0
    power = thumbs.var(2)
    ends = (1 - share) * power[:, :1] + share * last.var()
    lost = 2 * share * (1 - share) * (power[:, :1] + last.var()) / 2
    good &= (ends - power[:, 1:]).sum(1) > _LOST * lost.sum(1)
    return MIX_LENGTHS[int(np.argmin(np.where(good, misfit, np.inf)))] if good.any() else 0


def _reduced(plane: Plane, width: int, height: int) -> Plane:
    return np.asarray(cv2.resize(plane, (width, height), interpolation=cv2.INTER_AREA), np.uint8)


def _grid(small: Plane) -> Plane:
    height, width = small.shape
    # Halving has a fast path in the library; the general area mean is four times slower.
    if width >= 4 * _WIDE and height >= 4 * _HIGH:
        small = _reduced(small, width // 2, height // 2)
    return _reduced(small, _WIDE, _HIGH)


def _clipped(grid: Plane) -> float:
    middle = cv2.countNonZero(cv2.inRange(grid, 6, 249))
    return float(1 - middle / grid.size)


def _structure(grid: Plane) -> _Floats:
    """Return the grid with its local mean taken off and its local contrast evened.

    What is left is the same in dim and bright light; flat regions stay near zero.
    """
    values = grid.astype(np.float32)
    mean = cv2.blur(values, (15, 15))
    power = cv2.sqrBoxFilter(values, -1, (15, 15))
    variance = cv2.max(power - mean * mean, 0.0)  # type: ignore[call-overload]
    return np.asarray((values - mean) / cv2.sqrt(variance + _FLOOR), np.float32)


def _likeness(now: _Seen, before: _Seen) -> tuple[float, float, float]:
    """Return how much of ``before`` is found in ``now``, and the shift in grid points."""
    best = _searched(now, before, 0, 0, 0)
    if best >= _STEADY:
        return best, 0.0, 0.0
    (x, y), _ = cv2.phaseCorrelate(before.structure, now.structure, _WINDOW)
    whole_x, whole_y = round(x), round(y)
    if max(abs(whole_x), abs(whole_y)) > _FARTHEST:
        whole_x = whole_y = 0
    if whole_x or whole_y:
        moved = _searched(now, before, whole_x, whole_y, 0)
        if moved <= best:
            whole_x = whole_y = 0
    if (whole_x, whole_y) != (round(x), round(y)):
        x = y = 0.0
    best = _searched(now, before, whole_x, whole_y, 1)
    if best < _UNLIKE:
        best = max(best, _searched(now, before, whole_x, whole_y, 3))
    return best, x, y


def _searched(now: _Seen, before: _Seen, x: int, y: int, reach: int) -> float:
    """Return the likeness if every block may lie up to ``reach`` off the shift ``x``, ``y``.

    The best correlation of each block counts, weighted by the block's texture.
    """
    padded, margin, steps = before.padded, _FARTHEST + 4, 2 * reach + 1
    start = padded[margin - y - reach :, margin - x - reach :]
    row, point = start.strides
    places = np.lib.stride_tricks.as_strided(
        start,
        (_BLOCKS_Y, _BLOCKS_X, steps, steps, _BLOCK_H, _BLOCK_W),
        (_BLOCK_H * row, _BLOCK_W * point, row, point, row, point),
        writeable=False,
    )
    theirs = places.reshape(_BLOCKS_X * _BLOCKS_Y, steps * steps, -1)
    product = np.matmul(theirs, now.blocks[:, :, None])[..., 0].max(1)
    weight = np.sqrt(np.maximum(now.power, before.power)) + 1e-3
    found = product / np.sqrt(now.power * before.power + 1.0)
    return min(1.0, float(np.maximum(found, 0.0) @ weight) / float(weight.sum()))


def _moved(now: _Seen, far: _Seen) -> float:
    """Return the share of points that differ by more than a small shift can explain.

    What is left of a camera's move is seen in most blocks, hands and parts in some: what
    the middle block shows is taken off.
    """
    x, y = now.x - far.x, now.y - far.y
    inside_x, inside_y = math.ceil(abs(x)), math.ceil(abs(y))
    if inside_x * 2 >= _WIDE or inside_y * 2 >= _HIGH:
        return 1.0  # nothing is seen in both
    move = np.array([[1, 0, x], [0, 1, y]], np.float32)
    before = cv2.warpAffine(
        far.structure, move, (_WIDE, _HIGH), flags=cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE
    )
    allowed = cv2.morphologyEx(before, cv2.MORPH_GRADIENT, _CORE) * 0.25 + 0.3
    differs = cv2.compare(cv2.absdiff(now.structure, before), allowed, cv2.CMP_GT)
    inside = differs[inside_y : _HIGH - inside_y, inside_x : _WIDE - inside_x]
    shares = np.sort(_reduced(np.asarray(inside, np.uint8), _BLOCKS_X, _BLOCKS_Y).ravel()) / 255
    return float(np.maximum(shares - shares[shares.size // 2], 0).mean())


def _differences(top: Plane, low: Plane, distance: int, noise: float) -> list[float]:
    """Return the root mean square difference across, down and along both diagonals.

    Only what stands out of the noise counts: the edges, not the grain.
    """
    pairs = (
        (top[:, distance:], top[:, :-distance]),
        (top, low),
        (top[:, distance:], low[:, :-distance]),
        (top[:, :-distance], low[:, distance:]),
    )
    hidden = np.full(top.shape, min(255, round(_GRAIN * noise)), np.uint8)
    powers = []
    for one, other in pairs:
        strong = cv2.subtract(cv2.absdiff(one, other), hidden[:, : one.shape[1]])
        powers.append(math.sqrt(float(cv2.norm(strong, cv2.NORM_L2SQR)) / one.size))
    return powers


def _noise(top: Plane, low: Plane, distance: int) -> float:
    """Return the standard deviation of the noise, from the flattest quarter of the picture.

    Where nothing is to be seen, the difference of two points is that of their noise. It is
    taken over the distance of the fine differences, since compression makes the noise of
    neighbours alike. The mean size of a normal value is √(2/π) of its deviation; the
    quarter of pieces of 32 points with the least lies about a tenth under the mean.
    """
    differences = cv2.absdiff(top[:, distance:], low[:, :-distance])
    height, count = differences.shape[0], max(1, differences.shape[1] // 32)
    # Whole pieces only: their mean has a fast path in the library. Sixteenths of a grey
    # level; larger differences are cut off, the flat quarter has none.
    scaled = cv2.convertScaleAbs(differences[:, : 32 * count], alpha=16.0)
    pieces = _reduced(np.asarray(scaled, np.uint8), count, height).ravel()
    quarter = float(np.partition(pieces, len(pieces) // 4)[len(pieces) // 4]) / 16
    return 1.1 * quarter * math.sqrt(math.pi / 2) / math.sqrt(2)
