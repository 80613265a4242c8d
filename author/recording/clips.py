"""Clips: a span of a film as an MP4 of its own, exact to the frame.

The span is chosen by the film's own time stamps, so a variable rate keeps its timing
and its first and last frame. Rotation, mirroring and sample aspect are baked in, masks
are filled, sound is cut to the same span and brought to one loudness. The same input
gives the same bytes for one version of ffmpeg.
"""

from __future__ import annotations

import secrets
from collections.abc import Callable, Sequence
from contextlib import suppress
from fractions import Fraction
from pathlib import Path
from typing import Any

import av

from author.errors import InputError, MachineError
from author.procedure.facts import RecordingFacts
from author.progress import SILENT, Cancel, Progress
from author.recording import loudness
from author.recording.describing import known
from author.recording.ffmpeg import ffmpeg_program, run
from author.recording.opening import url_of
from author.recording.reader import changed
from author.recording.spans import (
    SCALING,
    SOUND_RATE,
    THREADS,
    Mask,
    Span,
    film_input,
    picture,
    sound,
)

_MARGIN = Fraction(1, 10)
"""Seconds before the span at which reading begins, so that the sound has run in."""

_MICRO = 1_000_000


def export_clip(
    path: Path,
    facts: RecordingFacts,
    first: int,
    end: int,
    out: Path,
    *,
    masks: Sequence[Mask] = (),
    overlay: Path | None = None,
    progress: Progress = SILENT,
    cancel: Cancel | None = None,
) -> None:
    """Write frames ``[first, end)`` of a film, with their sound, as an MP4.

    H.264 and AAC, fast start, upright, square pixels, even size (an odd last row or
    column is cut off). An existing ``out`` is replaced, at the very end, in one step.

    Args:
        path: the film.
        facts: what is known of it; it must still be the same film.
        first: index of the first frame.
        end: one past the index of the last frame.
        out: the clip to write.
        masks: areas to fill with black, as fractions of the shown picture.
        overlay: a PNG laid over the picture from its top left corner, pixel for pixel.
        progress: hears of frames written.
        cancel: looked at many times a second.

    Raises:
        InputError: the span is empty or outside the film, or the film changed.
        MachineError: the folder cannot be written, the disk is full, or ffmpeg failed.
        Cancelled: the user asked to stop; nothing is left behind.
    """
    if not 0 <= first < end <= facts.frame_count:
        raise InputError(
            f"has no frames from {first} up to {end}: it has {facts.frame_count}", file=path
        )
    digest, index = known(path, SILENT, cancel)
    if digest != facts.sha256:
        raise changed(path)
    span = Span(path, index, first, end, tuple(masks), overlay)
    temporary = _reserve(out)

    def heard(done: int) -> None:
        progress.report("writing the clip", min(done, end - first), end - first)

    try:
        gain = _measure(span, cancel) if span.has_sound else None
        for seek in dict.fromkeys((_seek_time(span), None)):
            _execute(_write(span, seek, temporary, gain), span, heard, cancel)
            if _is_exact(span, temporary):
                break
        else:
            _accept_damaged(span, temporary)
        _replace(temporary, out)
    finally:
        with suppress(OSError):
            temporary.unlink(missing_ok=True)


def _reserve(out: Path) -> Path:
    """Create an empty file beside ``out`` to write into."""
    temporary = out.with_name(f".{secrets.token_hex(6)}.part.mp4")
    try:
        temporary.open("xb").close()
    except OSError as error:
        raise _unwritable(out, error) from None
    return temporary


def _replace(temporary: Path, out: Path) -> None:
    try:
        temporary.replace(out)
    except OSError as error:
        raise _unwritable(out, error) from None


def _unwritable(out: Path, error: OSError) -> MachineError:
    return MachineError(
        f"cannot be written ({error.strerror})",
        remedy="Choose a folder that exists and can be written, on a disk with space",
        file=out,
    )


def _seek_time(span: Span) -> Fraction | None:
    """Seconds after the container's start to seek to, or None to read from the start.

    That is a key frame far enough before the span for the sound to run in.
    """
    index = span.index
    if not index.timed:
        return None
    for back in range(len(index.keys)):
        key = index.key_before(span.first, back)
        if key <= 0:
            return None
        time = index.ticks[key] * index.time_base
        if time <= span.start - _MARGIN:
            since_start = time - Fraction(index.container_start, _MICRO)
            return since_start if since_start > 0 else None
    return None


def _write(span: Span, seek: Fraction | None, out: Path, gain: loudness.Loudness | None) -> Any:
    """Return the ffmpeg job that writes the clip."""
    import ffmpeg

    source = film_input(span, seek)
    streams = [picture(span, source)]
    if span.has_sound:
        heard = sound(span, source)
        streams.append(loudness.evened(heard, gain) if gain is not None else _resampled(heard))
    return ffmpeg.output(*streams, url_of(out), **_output_options(span))


def _execute(node: Any, span: Span, heard: Callable[[int], None], cancel: Cancel | None) -> str:
    import ffmpeg

    node = node.global_args(
        *(
            "-hide_banner",
            "-nostdin",
            "-nostats",
            "-copyts",
            "-y",
            "-max_error_rate",
            "1",
            "-sws_flags",
            SCALING,
        ),
        *("-filter_complex_threads", "1", "-stats_period", "0.2", "-progress", "pipe:1"),
    )
    command = [str(each) for each in ffmpeg.compile(node, cmd=ffmpeg_program())]
    return run(command, file=span.path, heard=heard, cancel=cancel)


def _output_options(span: Span) -> dict[str, Any]:
    options: dict[str, Any] = {
        "c:v": "libx264",
        "preset": "veryfast",
        "crf": 23,
        "pix_fmt": "yuv420p",
        "bf": 0,  # so that the clip needs no edit list for its pictures
        "g": 60,
        "threads:v": THREADS,
        "fps_mode:v": "passthrough",
        "enc_time_base:v": f"1:{span.timescale}",
        "video_track_timescale": span.timescale,
        "movie_timescale": span.timescale,
        "map_metadata": -1,
        "map_chapters": -1,
        "fflags": "+bitexact",
        "flags:v": "+bitexact",
        "bsf:v": _last_duration(span),
        "movflags": "+faststart",
        "f": "mp4",
    }
    if span.has_sound:
        options |= {"c:a": "aac", "b:a": "160k", "ac": 2, "ar": SOUND_RATE, "flags:a": "+bitexact"}
    return options


def _last_duration(span: Span) -> str:
    """The filter of packets that lets the last frame last as long as in the film."""
    index = span.index
    last = span.end - span.first - 1
    length = (span.ticks[1] - index.ticks[span.end - 1]) * index.time_base
    return f"setts=duration=if(eq(N\\,{last})\\,{round(length * span.timescale)}\\,DURATION)"


def _resampled(chain: Any) -> Any:
    return chain.filter("aresample", SOUND_RATE)


def _measure(span: Span, cancel: Cancel | None) -> loudness.Loudness | None:
    """Measure the span's loudness; None if it is too quiet to be evened."""
    import ffmpeg

    chain = loudness.meter(sound(span, film_input(span, _seek_time(span))))
    node = ffmpeg.output(chain, "-", f="null", vn=None)
    return loudness.read(_execute(node, span, lambda _: None, cancel))


def _is_exact(span: Span, out: Path) -> bool:
    """Whether the clip holds the very frames of the span, each at its own time."""
    first, _ = span.ticks
    wanted = [(t - first) * span.index.time_base for t in span.index.ticks[span.first : span.end]]
    try:
        with av.open(url_of(out)) as clip:
            base = clip.streams.video[0].time_base or Fraction(1, span.timescale)
            found = sorted(p.pts * base for p in clip.demux(video=0) if p.pts is not None)
    except (av.FFmpegError, IndexError):
        return False
    step = Fraction(1, span.timescale)
    return len(found) == len(wanted) and all(
        abs(one - other) <= step for one, other in zip(found, wanted, strict=True)
    )


def _accept_damaged(span: Span, out: Path) -> None:
    """Let a clip that lacks frames pass only where the film itself is damaged."""
    start, end = (span.index.clock(tick) for tick in span.ticks)
    hurt = any(
        each.start is None or (each.start <= end and (each.end is None or each.end >= start))
        for each in span.index.damage
    )
    if not hurt or out.stat().st_size == 0:
        raise MachineError(
            f"the clip of frames {span.first} to {span.end} did not come out exact",
            remedy="Convert the recording to H.264 in an MP4 file and use that",
            file=span.path,
        )
