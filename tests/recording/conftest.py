from __future__ import annotations

from collections.abc import Callable, Iterator
from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest

from . import films

ONE = 1 << 16
LONG_GOP = {"g": "60", "bf": "3", "sc_threshold": "0", "preset": "veryfast", "crf": "18"}


@pytest.fixture(scope="session", autouse=True)
def _own_cache(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Path]:
    folder = tmp_path_factory.mktemp("cache")
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("REELWRIGHT_CACHE", str(folder))
        yield folder


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


def _plain(name: str, ticks=None, base=Fraction(1, 30_000), **more):
    def make(folder: Path) -> Path:
        chosen = {"options": LONG_GOP, **more}
        return films.make(folder / name, ticks or films.steady(75), base, **chosen)

    return make


def _m(a: int, b: int, c: int, d: int) -> list[int]:
    return [a * ONE, b * ONE, 0, c * ONE, d * ONE, 0, 0, 0, ONE << 14]


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
    "vp8": _plain(
        "eight.webm", codec="libvpx", options={"auto-alt-ref": "1", "lag-in-frames": "9"}
    ),
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
