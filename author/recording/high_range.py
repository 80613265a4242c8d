"""Pictures of high dynamic range (PQ, HLG) made fit for an ordinary screen, stills and clips alike.

Light is counted in white pages of 203 cd/m² (ITU-R BT.2408). Up to 0.3 of that nothing is
changed but the primaries; what is brighter is pressed together more and more, so that
sparks keep their shape, until a thousand cd/m² are white. The screen follows ITU-R BT.1886.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Literal

import numpy as np
import numpy.typing as npt

from author.recording.picture import Pixels

Transfer = Literal["smpte2084", "arib-std-b67"]
"""PQ and HLG by ffmpeg's names."""

_Floats = npt.NDArray[np.float32]

WHITE = 203
"""cd/m² of a white page (ITU-R BT.2408, table 1)."""

_BRIGHTEST = 1000 / WHITE  # also what an HLG picture's brightest value is shown with
_KNEE = 0.3
_SCREEN_POWER = 2.4  # ITU-R BT.1886
_HLG_POWER = 1.2  # ITU-R BT.2100, table 5, for a screen of 1000 cd/m²
_STEPS = 4096
_LUMINANCE = np.array([0.2627, 0.6780, 0.0593], np.float32)  # ITU-R BT.2020, table 4
# Worked out from the primaries and the white of ITU-R BT.2020 and of BT.709.
_TO_709 = np.array(
    [[1.6605, -0.5876, -0.0728], [-0.1246, 1.1329, -0.0083], [-0.0182, -0.1006, 1.1187]],
    np.float32,
)


def lowered(chain: Any, matrix: str, full_range: bool, *, named: bool) -> Any:
    """Return an ffmpeg graph's pictures as BT.709 with ten bits in the limited range.

    Args:
        chain: pictures that name their transfer.
        matrix: their matrix by ffmpeg's name.
        full_range: whether their luma uses all values from 0.
        named: whether they name their primaries too; those of BT.2020 are taken if not.
    """
    coded = {"bt2020nc": "2020_ncl", "bt709": "709"}.get(matrix, matrix)
    spread = "full" if full_range else "limited"
    if not named:
        chain = chain.filter("setparams", color_primaries="bt2020")
    chain = chain.filter(
        "zscale", matrixin=coded, rangein=spread, transfer="linear", npl=WHITE, agamma="false"
    )
    chain = chain.filter("format", "gbrpf32le").filter("zscale", primaries="709")
    chain = chain.filter("tonemap", "mobius", param=_KNEE, desat=0, peak=f"{_BRIGHTEST:.4f}")
    chain = chain.filter("zscale", transfer="709", matrix="709", range="limited")
    return chain.filter("format", "yuv420p10le")


def lowered_still(pixels: Pixels, transfer: Transfer) -> Pixels:
    """Return a still for an ordinary screen.

    Args:
        pixels: height × width × 3, RGB with the primaries of BT.2020, one byte each.
        transfer: how light became values.
    """
    values: _Floats = np.linspace(0, 1, 256, dtype=np.float32)
    curve: Callable[[_Floats], _Floats] = _pq_light if transfer == "smpte2084" else _hlg_scene
    light = curve(values).astype(np.float32)[pixels]
    if transfer == "arib-std-b67":
        light *= _BRIGHTEST * (light @ _LUMINANCE)[..., None] ** np.float32(_HLG_POWER - 1)
    light = np.maximum(light @ _TO_709.T, 0)
    highest: _Floats = np.maximum(light.max(2, keepdims=True), np.float32(1e-6))
    light *= _pressed(highest) / highest
    shown = np.arange(_STEPS + 1, dtype=np.float32) / _STEPS
    # The table is finer in the dark, where a step is seen first: it goes by the square root.
    table = np.rint(255 * (shown**2) ** (1 / _SCREEN_POWER)).astype(np.uint8)
    at = np.sqrt(np.minimum(light, 1)) * _STEPS + np.float32(0.5)
    found: Pixels = table[at.astype(np.int32)]
    return found


def _pq_light(value: _Floats) -> _Floats:
    """Light in white pages: ITU-R BT.2100, table 4."""
    m1, m2, c1, c2, c3 = 2610 / 16384, 2523 / 32, 3424 / 4096, 2413 / 128, 2392 / 128
    power = value ** (1 / m2)
    return np.asarray(
        (np.maximum(power - c1, 0) / (c2 - c3 * power)) ** (1 / m1) * (10_000 / WHITE), np.float32
    )


def _hlg_scene(value: _Floats) -> _Floats:
    """Light of the scene, 0 to 1: ITU-R BT.2100, table 5, the inverse of its OETF."""
    a, b, c = 0.17883277, 0.28466892, 0.55991073
    return np.where(value <= 0.5, value**2 / 3, (np.exp((value - c) / a) + b) / 12)


def _pressed(light: _Floats) -> _Floats:
    """A straight line up to the knee, then a hyperbola to white, without a corner.

    The same as ffmpeg's filter ``tonemap`` has under the name Möbius.
    """
    j, peak = _KNEE, _BRIGHTEST
    a = -(j**2) * (peak - 1) / (j**2 - 2 * j + peak)
    b = (j**2 - 2 * j * peak + peak) / (peak - 1)
    curved = (b**2 + 2 * b * j + j**2) / (b - a) * (light + a) / (light + b)
    return np.asarray(np.where(light <= j, light, curved), np.float32)
