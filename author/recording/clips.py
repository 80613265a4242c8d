"""Clips: spans of a film as MP4 files of their own, exact to the frame.

The span is chosen by the film's own time stamps, so a variable rate keeps its timing
and its first and last frame. Rotation, mirroring and sample aspect are baked in, masks
are filled, sound is cut to the same span and brought to one loudness. The same input
gives the same bytes for one version of ffmpeg, in whatever company a clip is made.
"""

from __future__ import annotations

import os
import secrets
import tempfile
from collections.abc import Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from typing import Any

import av

from author.errors import InputError, MachineError
from author.procedure.facts import RecordingFacts
from author.progress import SILENT, Cancel, Progress
from author.recording.clip_groups import Tally, grouped
from author.recording.colour import Colours, colours_of
from author.recording.ffmpeg import DiskFullError, execute, together
from author.recording.index import FilmIndex
from author.recording.knowing import known
from author.recording.loudness import Loudness
from author.recording.opening import url_of
from author.recording.reader import changed
from author.recording.soundtracks import Soundtrack, make_soundtracks, split
from author.recording.spans import (
    THREADS,
    Mask,
    Span,
    film_input,
    picture,
    picture_seek,
    trimmed,
)

_EARLIER = 2  # key frames further back, where beginning at the nearest one does not lead to it


@dataclass(frozen=True, slots=True)
class ClipOrder:
    """A clip that is wanted.

    Attributes:
        name: what the clip is called in errors, such as ``step 4 (bearing)``.
        first: index of the first frame.
        end: one past the index of the last frame.
        out: the file to write; one that is there is replaced.
        masks: areas to fill with black, as fractions of the shown picture.
        overlay: a PNG laid over the picture from its top left corner, pixel for pixel.
    """

    name: str
    first: int
    end: int
    out: Path
    masks: tuple[Mask, ...] = ()
    overlay: Path | None = None


@dataclass(frozen=True, slots=True)
class ClipMade:
    """A clip that was written.

    Attributes:
        name: as in the order.
        out: the file.
        loudness: of the finished sound, None without sound. ``loudness.reached`` is false
            where the sound is silent or so much of single blows that the loudness aimed
            at cannot be had below the peak allowed.
    """

    name: str
    out: Path
    loudness: Loudness | None


@dataclass(frozen=True, slots=True)
class _Job:
    """A clip on its way."""

    order: ClipOrder
    span: Span
    temporary: Path


def export_clips(
    path: Path,
    facts: RecordingFacts,
    wanted: Sequence[ClipOrder],
    progress: Progress = SILENT,
    cancel: Cancel | None = None,
) -> list[ClipMade]:
    """Write spans of a film, with their sound, as MP4 files.

    H.264 and AAC, fast start, upright, square pixels, even size (an odd last row or
    column is cut off). What lies between two spans is decoded only where it is less
    than a fresh start would cost. No file is replaced before all are made.

    Args:
        path: the film.
        facts: what is known of it; it must still be the same film.
        wanted: the clips, in any order; spans may overlap.
        progress: hears of frames, over all clips.
        cancel: looked at many times a second.

    Returns:
        What was made, in the order of ``wanted``.

    Raises:
        InputError: a span is empty or outside the film, or the film changed.
        MachineError: a folder cannot be written, the disk is full, or ffmpeg failed.
        Cancelled: the user asked to stop; nothing is left behind.
    """
    for order in wanted:
        if not 0 <= order.first < order.end <= facts.frame_count:
            raise InputError(
                f"{order.name} has no frames from {order.first} up to {order.end}: "
                f"the film has {facts.frame_count}",
                file=path,
            )
    digest, index = known(path, SILENT, cancel)
    if digest != facts.sha256:
        raise changed(path)
    if not wanted:
        return []
    with _reserved(wanted) as temporaries:
        jobs = [_job(path, index, *each) for each in zip(wanted, temporaries, strict=True)]
        colours = colours_of(path, index, cancel)
        made = _Cutter(jobs, colours, progress, cancel).cut()
        for job in jobs:
            try:
                job.temporary.replace(job.order.out)
            except OSError as error:
                raise _unwritable(job.order.out, error) from None
    return [ClipMade(o.name, o.out, made[t]) for o, t in zip(wanted, temporaries, strict=True)]


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
) -> ClipMade:
    """Write frames ``[first, end)`` of a film as an MP4: ``export_clips`` for one clip."""
    order = ClipOrder(out.name, first, end, out, tuple(masks), overlay)
    return export_clips(path, facts, [order], progress, cancel)[0]


def _job(path: Path, index: FilmIndex, order: ClipOrder, temporary: Path) -> _Job:
    span = Span(path, index, order.first, order.end, order.masks, order.overlay)
    return _Job(order, span, temporary)


@contextmanager
def _reserved(wanted: Sequence[ClipOrder]) -> Iterator[list[Path]]:
    """Give each clip an empty file beside its place; remove those that are left."""
    temporaries: list[Path] = []
    try:
        for order in wanted:
            temporary = order.out.with_name(f".{secrets.token_hex(6)}.part.mp4")
            try:
                temporary.open("xb").close()
            except OSError as error:
                raise _unwritable(order.out, error) from None
            temporaries.append(temporary)
        yield temporaries
    finally:
        for temporary in temporaries:
            with suppress(OSError):
                temporary.unlink(missing_ok=True)


def _unwritable(out: Path, error: OSError) -> MachineError:
    return MachineError(
        f"cannot be written ({error.strerror})",
        remedy="Choose a folder that exists and can be written, on a disk with space",
        file=out,
    )


class _Siblings(Cancel):
    """Raised by the user, or when one of several runs failed."""

    def __init__(self, outer: Cancel | None) -> None:
        super().__init__()
        self._outer = outer

    @property
    def requested(self) -> bool:
        return super().requested or (self._outer is not None and self._outer.requested)


class _Cutter:
    """Makes clips of one film, a group of them in each run of ffmpeg."""

    def __init__(
        self,
        jobs: Sequence[_Job],
        colours: Colours,
        progress: Progress,
        cancel: Cancel | None,
    ) -> None:
        self._jobs = jobs
        self._colours = colours
        self._tally = Tally([job.span for job in jobs], progress)
        self._cancel = _Siblings(cancel)
        self._made: dict[Path, Loudness | None] = {}

    def cut(self) -> dict[Path, Loudness | None]:
        """Write every clip to its temporary file and return its loudness."""
        groups = grouped(self._jobs, lambda job: job.span)
        # Each run keeps about two cores busy.
        with ThreadPoolExecutor(max(1, min(4, (os.cpu_count() or 1) // 2))) as pool:
            waiting = [pool.submit(self._cut_group, group) for group in groups]
            try:
                for future in waiting:
                    future.result()
            except BaseException:
                self._cancel.request()
                for future in waiting:
                    future.cancel()
                raise
        return self._made

    def _cut_group(self, group: Sequence[_Job]) -> None:
        self._cancel.check()
        try:
            self._cut_together(group)
        except DiskFullError:
            raise
        except (InputError, MachineError) as error:
            if len(group) == 1:
                problem = f"{group[0].order.name}: {error.problem}"
                raise type(error)(problem, remedy=error.remedy, file=error.file) from error
            for job in group:  # one by one, to learn which it is
                self._cut_group([job])

    def _cut_together(self, group: Sequence[_Job]) -> None:
        place = group[0].temporary
        try:
            folder = tempfile.TemporaryDirectory(
                prefix=f"{place.stem}-", dir=place.parent, ignore_cleanup_errors=True
            )
        except OSError as error:
            raise _unwritable(place.parent, error) from None
        with folder as name:
            spans = [job.span for job in group]
            sounds = make_soundtracks(spans, Path(name), self._cancel)
            left = list(zip(group, sounds, strict=True))
            seeks = [picture_seek(spans[0], back) for back in range(_EARLIER)]
            for seek in dict.fromkeys([*seeks, None]):
                self._write(left, seek)
                left = [each for each in left if not is_exact(each[0].span, each[0].temporary)]
                if not left:
                    break
        for job, _ in left:
            _accept_damaged(job.span, job.temporary)
        for job, track in zip(group, sounds, strict=True):
            self._made[job.temporary] = None if track is None else track.loudness

    def _write(
        self, parts: Sequence[tuple[_Job, Soundtrack | None]], seek: Fraction | None
    ) -> None:
        """Decode the film from ``seek`` on, once, and write clips from it."""
        spans = [job.span for job, _ in parts]
        first, end = min(s.first for s in spans), max(s.end for s in spans)
        source = film_input(spans[0], seek)[str(spans[0].index.stream)]
        counted, *branches = split(source, len(parts) + 1, "split")
        outputs = [_counter(trimmed(counted, spans[0], first, end))]
        for (job, track), branch in zip(parts, branches, strict=True):
            streams = [picture(job.span, branch, self._colours)]
            outputs.append(_clip_output(job, streams, track))
        execute(
            together(outputs),
            file=spans[0].path,
            heard=self._tally.ear(spans, first),
            cancel=self._cancel,
        )


def _counter(chain: Any) -> Any:
    """Return an output that keeps nothing: its frames tell how far the decoder is."""
    import ffmpeg

    options = {"f": "null", "c:v": "wrapped_avframe", "fps_mode:v": "passthrough"}
    return ffmpeg.output(chain, "-", **options)


def _clip_output(job: _Job, streams: list[Any], track: Soundtrack | None) -> Any:
    import ffmpeg

    options = _output_options(job.span)
    if track is not None:
        coded = ffmpeg.input(url_of(track.file), f="mp4")  # type: ignore[no-untyped-call]
        streams.append(coded["a:0"])
        options["c:a"] = "copy"
    return ffmpeg.output(*streams, url_of(job.temporary), **options)


def _output_options(span: Span) -> dict[str, Any]:
    return {
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


def _last_duration(span: Span) -> str:
    """The filter of packets that lets the last frame last as long as in the film."""
    index = span.index
    last = span.end - span.first - 1
    length = (span.ticks[1] - index.ticks[span.end - 1]) * index.time_base
    return f"setts=duration=if(eq(N\\,{last})\\,{round(length * span.timescale)}\\,DURATION)"


def is_exact(span: Span, out: Path) -> bool:
    """Return whether a clip holds the very frames of the span, each at its own time."""
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
