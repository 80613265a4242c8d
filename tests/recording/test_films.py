"""The films of the corpus are what they are said to be: else they would prove nothing."""

from __future__ import annotations

import re
import subprocess
from collections import Counter
from fractions import Fraction
from itertools import pairwise
from pathlib import Path

import av
import imageio_ffmpeg
import pytest

from . import handmade

# NAL unit types of HEVC (ITU-T H.265, table 7-1).
RASL, CRA = {8, 9}, 21


def said(path: Path, *names: str) -> list[tuple[str, int]]:
    """Return the named syntax elements of the picture stream, in order, with their values."""
    command = [imageio_ffmpeg.get_ffmpeg_exe(), "-hide_banner", "-nostdin", "-i", path]
    command += ["-map", "0:v", "-c", "copy", "-bsf:v", "trace_headers", "-f", "null", "-"]
    done = subprocess.run(command, capture_output=True, text=True, check=True)
    pattern = rf"\] \d+ +({'|'.join(names)}) +[01]+ = (-?\d+)"
    return [(name, int(value)) for name, value in re.findall(pattern, done.stderr)]


def values(path: Path, name: str) -> Counter[int]:
    return Counter(value for _, value in said(path, name))


def packets_of(path: Path) -> list[av.Packet]:
    with av.open(str(path)) as film:
        return [each for each in film.demux(video=0) if each.size]


def frames_of(path: Path) -> list[av.VideoFrame]:
    with av.open(str(path)) as film:
        return list(film.decode(video=0))


def kinds(path: Path) -> Counter[str]:
    return Counter(av.video.frame.PictureType(each.pict_type).name for each in frames_of(path))


@pytest.mark.parametrize("name", ["b_frames", "long_gop", "vfr", "ts", "live_mkv", "part2"])
def test_b_frames(film, name):
    """Most frames are B-frames, and packets come in another order than frames."""
    found = kinds(film(name))
    assert found["B"] >= sum(found.values()) * 0.4


def test_long_group(film):
    keys = [n for n, each in enumerate(frames_of(film("long_gop"))) if each.key_frame]
    assert keys == [0, 250]


def test_variable_rate(film):
    ticks = sorted(each.pts for each in packets_of(film("vfr")))
    steps = {after - before for before, after in pairwise(ticks)}
    assert (min(steps), max(steps)) == (90 * 5, 90 * 2000)


@pytest.mark.parametrize(
    ("name", "signs"),
    [
        ("right", (0, 1, -1, 0)),
        ("over", (-1, 0, 0, -1)),
        ("left", (0, -1, 1, 0)),
        ("mirror", (-1, 0, 0, 1)),
        ("flip", (1, 0, 0, -1)),
        ("mirror_right", (0, 1, 1, 0)),
        ("mirror_left", (0, -1, -1, 0)),
    ],
)
def test_turned(film, name, signs):
    (frame, *_), (packet, *_) = frames_of(film(name)), packets_of(film(name))
    stored = memoryview(frame.side_data[av.sidedata.sidedata.Type.DISPLAYMATRIX]).cast("B")
    matrix = stored.cast("i")
    assert tuple(matrix[at] >> 16 for at in (0, 1, 3, 4)) == signs
    assert packet.duration * packet.time_base == Fraction(1001, 30_000)


@pytest.mark.parametrize(
    ("name", "form"),
    [
        ("hevc", "yuv420p10le"),
        ("hevc_open", "yuv420p10le"),
        ("odd", "yuv444p"),
        ("odd_small_colour", "yuv420p"),
        ("full_range", "yuvj420p"),
        ("mjpeg", "yuvj420p"),
        ("prores", "yuv422p10le"),
    ],
)
def test_form_of_the_pixels(film, name, form):
    frame = frames_of(film(name))[0]
    assert frame.format.name == form
    assert (frame.width % 2, frame.height % 2) == ((1, 1) if "odd" in name else (0, 0))


@pytest.mark.parametrize("name", ["open_gop", "open_gop_ts", "hevc_open", "hevc_open_ts"])
def test_open_group(film, name):
    """After a key frame in the file come frames that are shown before it."""
    packets = packets_of(film(name))
    keys = [at for at, each in enumerate(packets) if each.is_keyframe][1:]
    leading = [p for at in keys for p in packets[at + 1 : at + 6] if p.pts < packets[at].pts]
    assert len(keys) >= 2
    assert len(leading) >= len(keys)
    if name.startswith("hevc"):
        found = values(film(name), "nal_unit_type")
        assert found[CRA] >= 2
        assert sum(found[each] for each in RASL) >= found[CRA]


def test_recovery_without_key_frames(film):
    """Later frames are refreshed column by column: only the first is a true key frame."""
    assert values(film("refresh"), "nal_unit_type")[5] == 1
    assert values(film("refresh"), "recovery_frame_cnt").total() >= 3


def test_clock_of_the_stream(film):
    assert packets_of(film("ts"))[0].pts > 3699 * 90_000
    before, after = packets_of(film("ts_wrap"))[0].pts, packets_of(film("ts_wrap"))[-1].pts
    assert before < 0 < after  # libav takes 2³³ off before the wrap
    stamps = [each.pts % 2**33 for each in packets_of(film("ts_wrap"))]
    assert max(stamps) - min(stamps) > 2**32


def starts(path: Path) -> tuple[Fraction, Fraction]:
    with av.open(str(path)) as film:
        first = [s.start_time * s.time_base for s in (film.streams.video[0], film.streams.audio[0])]
    return first[0], first[1]


@pytest.mark.parametrize(
    ("name", "later"),
    [
        ("sound_first", Fraction(1, 2)),
        ("sound_late", -Fraction(1, 2)),
        ("video_late_ts", Fraction(3, 2)),
        ("delayed", Fraction(1, 2)),
    ],
)
def test_picture_and_sound_do_not_start_together(film, name, later):
    picture, sound = starts(film(name))
    assert abs(picture - sound - later) < Fraction(1, 20)


def edits(path: Path) -> list[tuple[int, int]]:
    """Length and media time of each edit of the picture track (ISO/IEC 14496-12, 8.6.6)."""
    data = path.read_bytes()
    for kind, content in handmade.boxes(data[data.rindex(b"moov") + 4 :]):
        if kind == b"trak" and b"vide" in content[:600]:
            parts = dict(handmade.boxes(content))
            elst = dict(handmade.boxes(parts[b"edts"]))[b"elst"]
            return handmade.edits_in(elst)
    raise AssertionError("no picture track")


def test_edit_lists(film):
    assert edits(film("delayed"))[0][1] == -1
    assert edits(film("delayed_alone"))[0][1] == -1
    assert len(edits(film("cut_out"))) == 2
    for name, hidden in (("trimmed", 15), ("negative", 30)):
        assert edits(film(name))[-1][1] > 0
        assert sum(each.is_discard for each in packets_of(film(name))) == hidden


@pytest.mark.parametrize("name", ["vp9_hidden", "av1", "vp8"])
def test_pictures_that_are_never_shown(film, name):
    path = film(name)
    if name == "vp8":
        assert len(packets_of(path)) > len(frames_of(path))
    else:
        assert values(path, "show_frame")[0] >= 3


def test_a_group_of_fields(film):
    """Field pairs: two packets to a frame; the adaptive kind: one, its blocks in fields or not."""
    for name in ("field_pairs", "field_pairs_mp4"):
        pairs = film(name)
        assert set(values(pairs, "field_pic_flag")) == {1}
        assert len(packets_of(pairs)) == 2 * len(frames_of(pairs)) == 60
        assert all(each.interlaced_frame for each in frames_of(pairs))
    adaptive = film("interlaced")
    assert set(values(adaptive, "field_pic_flag")) == {0}
    assert set(values(adaptive, "mb_adaptive_frame_field_flag")) == {1}
    assert all(each.interlaced_frame for each in frames_of(adaptive))


def test_fragments_and_missing_lengths(film):
    data = film("fragmented").read_bytes()
    assert data.count(b"moof") >= 2
    assert b"mehd" not in data
    for name in ("live_webm", "live_mkv"):
        with av.open(str(film(name))) as live:
            assert live.duration is None


def test_sample_aspect(film):
    for name, aspect in (("wide_pixels", 2), ("tall_pixels", Fraction(1, 2))):
        with av.open(str(film(name))) as each:
            assert each.streams.video[0].sample_aspect_ratio == aspect


def test_containers_without_times_of_their_own(film):
    """A bare stream has no time stamps at all; AVI has only the order of decoding."""
    assert {each.pts for each in packets_of(film("raw"))} == {None}
    ticks = [each.pts for each in frames_of(film("avi_b_frames"))]
    assert kinds(film("avi_b_frames"))["B"] > 30
    assert ticks != sorted(ticks)
