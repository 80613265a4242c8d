"""The span of a film that a clip shows, and the ffmpeg filters that make it so."""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from typing import Any

from author.recording.colour import Colours
from author.recording.ffmpeg import SCALING
from author.recording.high_range import lowered
from author.recording.index import FilmIndex
from author.recording.opening import FORMATS, url_of

Mask = tuple[float, float, float, float]
"""x, y, width, height of a hidden area, as fractions of the shown picture."""

SOUND_RATE = 48_000
THREADS = 2  # a fixed number: the bytes of a clip depend on it

_MICRO = 1_000_000
_SOUND_LEAD = Fraction(1, 10)
"""Seconds before the span at which reading begins, so that the sound has run in."""


@dataclass(frozen=True, slots=True)
class Span:
    """The part of a film that a clip shows."""

    path: Path
    index: FilmIndex
    first: int
    end: int
    masks: tuple[Mask, ...] = ()
    overlay: Path | None = None

    @property
    def preroll(self) -> int:
        """Frames before the span that are decoded when it is sought by itself."""
        key = self.index.key_before(self.first) if self.index.timed else 0
        return self.first - max(0, key)

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


def picture_seek(span: Span, back: int = 0) -> Fraction | None:
    """Return seconds after the container's start to seek to, or None to read from the start.

    Args:
        span: the span wanted.
        back: how many key frames before the nearest one to begin.
    """
    index = span.index
    key = index.key_before(span.first, back) if index.timed else -1
    return None if key <= 0 else _since_start(index, key)


def sound_seek(span: Span) -> Fraction | None:
    """Return the same for the sound: so far before the span that the sound has run in."""
    index = span.index
    for back in range(len(index.keys) if index.timed else 0):
        key = index.key_before(span.first, back)
        if key <= 0:
            return None
        if index.ticks[key] * index.time_base <= span.start - _SOUND_LEAD:
            return _since_start(index, key)
    return None


def _since_start(index: FilmIndex, key: int) -> Fraction | None:
    """Seconds from the container's start to a key frame, rounded up to what ffmpeg reads."""
    micro = math.ceil(index.ticks[key] * index.time_base * _MICRO) - index.container_start
    return Fraction(micro, _MICRO) if micro > 0 else None


def trimmed(source: Any, span: Span, first: int, end: int) -> Any:
    """Return the stored pictures of frames ``[first, end)``, their times untouched."""
    index = span.index
    if index.timed:
        return source.filter("trim", start_pts=index.ticks[first], end_pts=index.boundary(end))
    # The file tells no times: frames are counted.
    return source.filter("trim", start_frame=first, end_frame=end)


def picture(span: Span, source: Any, colours: Colours) -> Any:
    """Return the chain of filters from the stored pictures to those of the clip.

    Args:
        span: the span wanted.
        source: the film's stored pictures, from a time before the span.
        colours: how the film's colours are meant.
    """
    index, geometry = span.index, span.index.geometry
    first, end = span.ticks
    width, height = geometry.shown
    chain = trimmed(source, span, span.first, span.end)
    if index.timed:
        chain = chain.filter("setpts", f"PTS-({first})")
    else:  # each frame lasts equally long
        step = (end - first) * index.time_base / (span.end - span.first)
        chain = chain.filter("settb", f"1/{span.timescale}")
        chain = chain.filter("setpts", f"N*{round(step * span.timescale)}")
    if colours.high_range:
        named = colours.primaries == "auto"
        chain = lowered(chain, colours.matrix, colours.full_range, named=named)
        colours = Colours("bt709", "bt709", "bt709")
    matrix = colours.matrix
    chain = chain.filter(
        "scale",
        geometry.scaled_width,
        geometry.scaled_height,
        in_color_matrix=matrix,
        out_color_matrix=matrix,
        in_range="pc" if colours.full_range else "tv",
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
    return chain.filter(
        "setparams",
        colorspace=matrix,
        color_primaries=colours.primaries,
        color_trc=colours.transfer,
        range="tv",
        field_mode="prog",
    )


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
    """Return the sound of exactly the span: silence where the film has none.

    Args:
        span: the span wanted.
        source: the film's sound, from a time before the span.
    """
    start, length = span.start, span.length
    chain = source.filter("atrim", start=decimal(start), end=decimal(start + length))
    chain = chain.filter("asetpts", f"PTS-({decimal(start)})/TB")
    chain = chain.filter("aresample", SOUND_RATE, **{"async": 1, "first_pts": 0})
    chain = chain.filter("aformat", channel_layouts="stereo")
    chain = chain.filter("apad", whole_dur=decimal(length))
    return chain.filter("atrim", end_sample=round(length * SOUND_RATE))


def decimal(value: Fraction) -> str:
    """Return seconds with six decimals, as ffmpeg reads them."""
    return f"{round(value * _MICRO) / _MICRO:.6f}"
