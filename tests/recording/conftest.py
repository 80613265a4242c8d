from __future__ import annotations

from collections.abc import Callable
from fractions import Fraction
from multiprocessing import get_context
from pathlib import Path

import numpy as np
import pytest

from . import films, handmade

ONE = 1 << 16
LONG_GOP = {"g": "60", "bf": "3", "sc_threshold": "0", "preset": "veryfast", "crf": "18"}


def _turned(matrix: list[int], to_stored: Callable[[np.ndarray], np.ndarray]):
    def make(folder: Path) -> Path:
        return films.make(
            folder / "turned.mp4",
            films.steady(12, 1001),
            size=(64, 96),
            options=LONG_GOP,
            matrix=matrix,
            to_stored=to_stored,
        )

    return make


def _ffmpeg(name: str, *arguments: str):
    """A film made of the B-frame film by ffmpeg."""

    def make(folder: Path) -> Path:
        source, out = MAKERS["b_frames"](folder), folder / name
        films.ffmpeg("-i", source, *arguments, out)
        return out

    return make


def _edited(name: str, *edits: tuple[Fraction, Fraction | None], sound: Fraction | None = None):
    """A film of steady frames with this edit list for its pictures."""

    def make(folder: Path) -> Path:
        wave = None if sound is None else films.tone(float(sound))
        path = films.make(folder / name, films.steady(75), options=LONG_GOP, sound=wave)
        return handmade.with_edits(path, edits)

    return make


def _two_pass(name: str, codec: str):
    """A film with pictures that are decoded and never shown: only two passes make them."""

    def make(folder: Path) -> Path:
        source, out = MAKERS["b_frames"](folder), folder / name
        for number in (1, 2):
            films.ffmpeg(
                *("-i", source, "-c:v", codec, "-pass", str(number)),
                *("-passlogfile", folder / "log", "-deadline", "good", "-cpu-used", "4"),
                *("-auto-alt-ref", "1", "-lag-in-frames", "25", "-b:v", "400k", out),
            )
        return out

    return make


def _trimmed(folder: Path) -> Path:
    """A film cut without decoding: its first frames are there and an edit list hides them."""
    source, out = MAKERS["b_frames"](folder), folder / "trimmed.mp4"
    films.ffmpeg("-ss", "0.5", "-i", source, "-c", "copy", out)
    return out


def _fields(name: str, *arguments: str):
    def make(folder: Path) -> Path:
        source, out = handmade.field_pairs(folder / "fields.ts", 30), folder / name
        films.ffmpeg("-i", source, "-c", "copy", *arguments, out)
        return out

    return make


def _plain(name: str, ticks=None, base=Fraction(1, 30_000), **more):
    def make(folder: Path) -> Path:
        chosen = {"options": LONG_GOP, **more}
        return films.make(folder / name, ticks or films.steady(75), base, **chosen)

    return make


def _av1(folder: Path) -> Path:
    """Made in a process of its own: run by root, the encoder SVT-AV1 gives the whole process
    that uses it the highest priority of all, and everything else on the machine waits."""
    path = folder / "one.mp4"
    made = get_context("spawn").Process(
        target=films.make,
        args=(path, films.steady(75)),
        kwargs={"codec": "libsvtav1", "options": {"preset": "12", "g": "30", "crf": "20"}},
    )
    made.start()
    made.join()
    assert made.exitcode == 0
    return path


def _m(a: int, b: int, c: int, d: int) -> list[int]:
    return [a * ONE, b * ONE, 0, c * ONE, d * ONE, 0, 0, 0, ONE << 14]


# Composition begins two frames in, as films with B-frames written by libav have it.
_LEAD = Fraction(2, 30)
_OPEN_HEVC = "log-level=error:open-gop=1:keyint=20:min-keyint=20:bframes=3:scenecut=0"
_FAST_VP9 = {"deadline": "realtime", "cpu-used": "8"}

# Where a stored pixel goes: (a, b) is the way of stored x on the screen, (c, d) of stored y.
MAKERS: dict[str, Callable[[Path], Path]] = {
    "b_frames": _plain("b_frames.mp4"),
    "vfr": _plain("vfr.mp4", films.uneven(60), Fraction(1, 90_000)),
    "vfr_b_mkv": _plain("vfr.mkv", [t // 90 * 1 for t in films.uneven(60)], Fraction(1, 1000)),
    "right": _turned(_m(0, 1, -1, 0), lambda p: np.rot90(p, 1)),
    "over": _turned(_m(-1, 0, 0, -1), lambda p: np.rot90(p, 2)),
    "left": _turned(_m(0, -1, 1, 0), lambda p: np.rot90(p, -1)),
    "mirror": _turned(_m(-1, 0, 0, 1), lambda p: p[:, ::-1]),
    "flip": _turned(_m(1, 0, 0, -1), lambda p: p[::-1]),
    "mirror_right": _turned(_m(0, 1, 1, 0), lambda p: p.transpose(1, 0, 2)),
    "mirror_left": _turned(_m(0, -1, -1, 0), lambda p: np.rot90(p, 2).transpose(1, 0, 2)),
    "ts": _plain(
        "late.ts",
        films.steady(75, 3003, 90_000 * 3700),
        Fraction(1, 90_000),
        sound=films.tone(2.5),
        sound_start=Fraction(3700),
    ),
    "sound_first": _plain("sound_first.mp4", films.steady(60, 1000, 15_000), sound=films.tone(2.5)),
    "sound_late": _plain("sound_late.mov", sound=films.tone(1.5), sound_start=Fraction(1, 2)),
    "odd": _plain("odd.mkv", size=(97, 65), pixel_format="yuv444p"),
    "wide_pixels": _plain("wide.mp4", aspect=Fraction(2)),
    "tall_pixels": _plain("tall.mp4", aspect=Fraction(1, 2)),
    "fragmented": _plain(
        "fragments.mp4", container={"movflags": "frag_keyframe+empty_moov"}, sound=films.tone(2)
    ),
    "no_b": _plain("plain.mp4", options={"bf": "0", "g": "12"}),
    "open_gop": _plain("open.mkv", options={**LONG_GOP, "g": "20", "x264-params": "open-gop=1"}),
    "open_gop_ts": _plain("open.ts", options={**LONG_GOP, "g": "20", "x264-params": "open-gop=1"}),
    "refresh": _plain("refresh.mp4", options={"intra-refresh": "1", "g": "20", "bf": "0"}),
    "full_range": _plain("full.mp4", pixel_format="yuvj420p"),
    "vp9": _plain("nine.webm", codec="libvpx-vp9", options={"deadline": "realtime"}),
    "vp8": _two_pass("eight.webm", "libvpx"),
    "mjpeg": _plain("motion.avi", codec="mjpeg", pixel_format="yuvj420p", options={}),
    "part2": _ffmpeg("part2.avi", "-c:v", "mpeg4", "-bf", "2", "-q:v", "2", "-g", "25"),
    "part2_mp4": _ffmpeg("part2.mp4", "-c:v", "mpeg4", "-bf", "2", "-q:v", "2", "-g", "25"),
    "hevc": _ffmpeg(
        "high.mp4", "-c:v", "libx265", "-pix_fmt", "yuv420p10le", "-x265-params", "log-level=error"
    ),
    "interlaced": _ffmpeg("inter.ts", "-c:v", "libx264", "-flags", "+ilme+ildct", "-qp", "4"),
    # Pictures large enough that each has packets, and so a time stamp, of its own.
    "mpeg2": _plain(
        "two.mpg",
        films.steady(75, 1),
        Fraction(1, 30),
        codec="mpeg2video",
        options={"bf": "2", "qmin": "1", "qmax": "1"},
        size=(384, 256),
    ),
    "long_gop": _plain("long.mp4", films.steady(260), options={**LONG_GOP, "g": "250"}),
    "hevc_open_ts": _ffmpeg("open.ts", "-c:v", "libx265", "-x265-params", _OPEN_HEVC),
    "hevc_open": _ffmpeg(
        *("open.mp4", "-c:v", "libx265", "-pix_fmt", "yuv420p10le"),
        *("-x265-params", _OPEN_HEVC, "-tag:v", "hvc1"),
    ),
    # The clock of the stream has 33 bits: it wraps one second in.
    "ts_wrap": _plain("wrap.ts", films.steady(75, 3003, 2**33 - 90_000), Fraction(1, 90_000)),
    "video_late_ts": _plain("late.ts", films.steady(60, 1000, 45_000), sound=films.tone(3.5)),
    "trimmed": _trimmed,
    "delayed": _edited(
        "delayed.mp4", (Fraction(1, 2), None), (Fraction(5, 2), _LEAD), sound=Fraction(3)
    ),
    "delayed_alone": _edited("alone.mp4", (Fraction(3, 4), None), (Fraction(5, 2), _LEAD)),
    "cut_out": _edited(
        "cut_out.mp4", (Fraction(1), _LEAD), (Fraction(1, 2), 2 + _LEAD), sound=Fraction(3, 2)
    ),
    "negative": _plain(
        "negative.mov",
        films.steady(75, 1000, -30_000),
        sound=films.tone(1.5),
        container={"avoid_negative_ts": "disabled"},
    ),
    "vp9_hidden": _two_pass("hidden.webm", "libvpx-vp9"),
    "odd_small_colour": _plain("odd.webm", codec="libvpx-vp9", options=_FAST_VP9, size=(97, 65)),
    "live_webm": _plain(
        "live.webm", codec="libvpx-vp9", options=_FAST_VP9, container={"live": "1"}
    ),
    "live_mkv": _ffmpeg("live.mkv", "-c", "copy", "-live", "1"),
    "av1": _av1,
    "field_pairs": _fields("pairs.m2ts", "-mpegts_m2ts_mode", "1"),
    "field_pairs_mp4": _fields("pairs.mp4"),
    "avi_b_frames": _plain("order.avi", films.steady(75, 1), Fraction(1, 30)),
    "mxf": _ffmpeg("studio.mxf", "-c:v", "mpeg2video", "-bf", "2", "-qscale:v", "2"),
    "prores": _ffmpeg("ten.mov", "-c:v", "prores_ks", "-profile:v", "2"),
    "wmv": _ffmpeg("old.wmv", "-c:v", "wmv2", "-q:v", "2", "-g", "20"),
    "flv": _ffmpeg("flash.flv", "-c", "copy"),
    "raw": _ffmpeg("bare.h264", "-c", "copy"),
}


@pytest.fixture(scope="session")
def film(tmp_path_factory: pytest.TempPathFactory) -> Callable[[str], Path]:
    """Make the film of this name, once."""
    made: dict[str, Path] = {}

    def get(name: str) -> Path:
        if name not in made:
            made[name] = MAKERS[name](tmp_path_factory.mktemp(name))
        return made[name]

    return get
