"""The span of a film that a clip shows, and the ffmpeg filters that make it so."""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from typing import Any

from author.recording.index import FilmIndex
from author.recording.opening import FORMATS, url_of

Mask = tuple[float, float, float, float]
"""x, y, width, height of a hidden area, as fractions of the shown picture."""

SCALING = "bicubic+accurate_rnd+full_chroma_int+bitexact"
SOUND_RATE = 48_000
THREADS = 2  # a fixed number: the bytes of a clip depend on it

_MICRO = 1_000_000
# ITU-T H.273 numbers -> ffmpeg's names.
_MATRIX = {1: "bt709", 4: "fcc", 5: "bt470bg", 6: "smpte170m", 7: "smpte240m", 9: "bt2020nc"}
_MATRIX[10] = "bt2020nc"


@dataclass(frozen=True, slots=True)
class Span:
    """The part of a film that a clip shows."""

    path: Path
    index: FilmIndex
    first: int
    end: int
    masks: tuple[Mask, ...]
    overlay: Path | None

    @property
    def ticks(self) -> tuple[int, int]:
        """Start of the first frame and end of the last, in ticks of the film."""
        return self.index.ticks[self.first], self.index.boundary(self.end)

    @property
    def start(self) -> Fraction:
        """Seconds of container time at which the first frame is shown."""
        return self.ticks[0] * self.index.time_base

    @property
    def length(self) -> Fraction:
        """Seconds from the first frame to the end of the last."""
        return (self.ticks[1] - self.ticks[0]) * self.index.time_base

    @property
    def has_sound(self) -> bool:
        """Whether any sound falls into the span."""
        sound = self.index.sound
        if sound is None:
            return False
        clock = self.index.clock
        return sound.start < clock(self.ticks[1]) and sound.end > clock(self.ticks[0])

    @property
    def timescale(self) -> int:
        """Ticks a second in the clip: those of the film where a clip can have them."""
        base = self.index.time_base
        scale = base.denominator
        while scale < 10_000:
            scale *= 10
        return scale if base.numerator <= 1001 and scale <= 10_000_000 else 90_000


def film_input(span: Span, seek: Fraction | None) -> Any:
    """Return the film as input of an ffmpeg job.

    Turning is left to our own filters, and the exact span as well: seeking only
    saves time.

    Args:
        span: the span wanted.
        seek: seconds after the container's start to begin reading at, or None.
    """
    import ffmpeg

    options: dict[str, Any] = {
        "protocol_whitelist": "file",
        "format_whitelist": FORMATS,
        "threads": THREADS,
    }
    if seek is not None:
        options["ss"] = decimal(seek)
        options["noaccurate_seek"] = None
    return ffmpeg.input(  # type: ignore[no-untyped-call]
        url_of(span.path), noautorotate=None, **{"display_rotation:v": 0}, **options
    )


def picture(span: Span, source: Any) -> Any:
    """Return the chain of filters from the stored pictures to those of the clip."""
    index, geometry = span.index, span.index.geometry
    first, end = span.ticks
    matrix = _MATRIX.get(index.matrix, "bt709")
    width, height = geometry.shown
    shown_range = "pc" if index.full_range else "tv"
    chain = source[str(index.stream)]
    if index.timed:
        chain = chain.filter("trim", start_pts=first, end_pts=end)
        chain = chain.filter("setpts", f"PTS-({first})")
    else:  # the file tells no times: frames are counted, and each lasts equally long
        chain = chain.filter("trim", start_frame=span.first, end_frame=span.end)
        step = (end - first) * index.time_base / (span.end - span.first)
        chain = chain.filter("settb", f"1/{span.timescale}")
        chain = chain.filter("setpts", f"N*{round(step * span.timescale)}")
    chain = chain.filter(
        "scale",
        geometry.scaled_width,
        geometry.scaled_height,
        in_color_matrix=matrix,
        out_color_matrix=matrix,
        in_range=shown_range,
        out_range="tv",
        flags=SCALING,
    )
    chain = chain.filter("format", "yuv420p").filter("setsar", 1)
    if geometry.transpose:
        chain = chain.filter("transpose", "cclock_flip")
    if geometry.flip_x:
        chain = chain.filter("hflip")
    if geometry.flip_y:
        chain = chain.filter("vflip")
    for mask in span.masks:
        left, top, wide, high = mask_box(mask, width, height)
        chain = chain.filter("drawbox", left, top, wide, high, color="black", t="fill")
    if span.overlay is not None:
        chain = _overlaid(chain, span.overlay, matrix)
    chain = _even(chain, width, height)
    return chain.filter("setparams", colorspace=matrix, range="tv", field_mode="prog")


def _overlaid(chain: Any, overlay: Path, matrix: str) -> Any:
    import ffmpeg

    file = url_of(overlay)
    drawing = ffmpeg.input(file, f="png_pipe", framerate=1)["0"]  # type: ignore[no-untyped-call]
    drawing = drawing.filter("scale", out_color_matrix=matrix, out_range="tv", flags=SCALING)
    drawing = drawing.filter("format", "yuva420p")
    return ffmpeg.filter([chain, drawing], "overlay", 0, 0, eof_action="repeat", format="yuv420")


def _even(chain: Any, width: int, height: int) -> Any:
    """Cut an odd last column or row off; a single one is doubled."""
    if width == 1 or height == 1:
        return chain.filter("pad", max(2, width // 2 * 2), max(2, height // 2 * 2))
    if width % 2 or height % 2:
        return chain.filter("crop", width // 2 * 2, height // 2 * 2, 0, 0)
    return chain


def mask_box(mask: Mask, width: int, height: int) -> tuple[int, int, int, int]:
    """Whole pixels that cover a mask: even, outwards, so that no colour shows at the rim."""
    x, y, wide, high = mask
    left = max(0, math.floor(x * width / 2) * 2)
    top = max(0, math.floor(y * height / 2) * 2)
    right = min(width, math.ceil((x + wide) * width / 2) * 2)
    bottom = min(height, math.ceil((y + high) * height / 2) * 2)
    return left, top, max(1, right - left), max(1, bottom - top)


def sound(span: Span, source: Any) -> Any:
    """Return the sound of exactly the span: silence where the film has none."""
    assert span.index.sound is not None  # noqa: S101 - has_sound was asked
    start, length = span.start, span.length
    chain = source[str(span.index.sound.stream)]
    chain = chain.filter("atrim", start=decimal(start), end=decimal(start + length))
    chain = chain.filter("asetpts", f"PTS-({decimal(start)})/TB")
    chain = chain.filter("aresample", SOUND_RATE, **{"async": 1, "first_pts": 0})
    chain = chain.filter("aformat", channel_layouts="stereo")
    chain = chain.filter("apad", whole_dur=decimal(length))
    return chain.filter("atrim", end_sample=round(length * SOUND_RATE))


def decimal(value: Fraction) -> str:
    """Return seconds with six decimals, as ffmpeg reads them."""
    return f"{round(value * _MICRO) / _MICRO:.6f}"
