"""Clips: the very frames of the span, upright, in time, with their sound at one loudness."""

from __future__ import annotations

import json
import shutil
from dataclasses import replace
from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import av
import numpy as np
import psutil
import pytest
from hypothesis import given
from hypothesis import strategies as st

from author.errors import Cancelled, InputError, MachineError
from author.progress import Cancel
from author.recording import (
    FrameReader,
    clips,
    describe,
    encode_still,
    export_clip,
    facts_of,
    ffmpeg_version,
)
from author.recording.clip_groups import grouped
from author.recording.clips import ClipOrder, export_clips
from author.recording.index import FilmIndex, Geometry
from author.recording.knowing import known
from author.recording.spans import Span

from . import films

SPANS = {
    "b_frames": [(0, 75), (17, 18), (33, 61), (61, 75)],
    "vfr": [(0, 60), (13, 41)],
    "vfr_b_mkv": [(13, 41)],
    "right": [(2, 9)],
    "over": [(2, 9)],
    "left": [(2, 9)],
    "mirror": [(2, 9)],
    "flip": [(2, 9)],
    "mirror_right": [(2, 9)],
    "mirror_left": [(2, 9)],
    "ts": [(0, 10), (40, 66)],
    "sound_first": [(0, 20), (30, 60)],
    "odd": [(20, 40)],
    "wide_pixels": [(20, 40)],
    "fragmented": [(41, 59)],
    "open_gop": [(19, 43)],
    "open_gop_ts": [(19, 43)],
    "refresh": [(31, 50)],
    "vp9": [(31, 50)],
    "part2": [(31, 50)],
    "mpeg2": [(31, 50)],
    "hevc": [(31, 50)],
    "interlaced": [(31, 50)],
    "flv": [(31, 50)],
    "raw": [(31, 50)],
    "mjpeg": [(31, 50)],
}


class Clip:
    """A clip as another reader sees it: no matrix, no aspect, no clock of ours."""

    def __init__(self, path):
        with av.open(str(path)) as film:
            stream = film.streams.video[0]
            self.size = (stream.width, stream.height)
            self.aspect = stream.sample_aspect_ratio
            self.duration = stream.duration * stream.time_base
            frames = list(film.decode(stream))
        self.starts = [frame.pts * frame.time_base for frame in frames]
        self.turned = any(frame.rotation for frame in frames)
        self.numbers = [films.number_in(each.to_ndarray(format="rgb24")) for each in frames]


def orders(folder, spans, **more):
    return [
        ClipOrder(f"clip {at}", first, end, folder / f"{at}.mp4", **more)
        for at, (first, end) in enumerate(spans)
    ]


@pytest.mark.parametrize("name", SPANS)
def test_a_clip_holds_its_frames_at_their_times(film, tmp_path, name):
    path = film(name)
    facts = facts_of(path)
    wanted = orders(tmp_path, SPANS[name])
    made = export_clips(path, facts, wanted)
    assert [each.out for each in made] == [each.out for each in wanted]
    for order in wanted:
        first, end = order.first, order.end
        clip = Clip(order.out)
        assert clip.numbers == list(range(first, end))
        starts = [each - facts.frame_starts[first] for each in facts.frame_starts[first:end]]
        stop = facts.frame_starts[end] if end < facts.frame_count else facts.duration
        wanted_times = [*starts, stop - facts.frame_starts[first]]
        found = [*clip.starts, clip.duration]
        worst = max(abs(Fraction(one) - two) for one, two in zip(wanted_times, found, strict=True))
        assert worst <= Fraction(2, 100_000)
        assert not clip.turned
        assert clip.aspect in (None, 0, 1)
        assert clip.size == (facts.width // 2 * 2, facts.height // 2 * 2)


IN_COMPANY = ["vfr_b_mkv", "ts", "sound_first", "open_gop_ts", "refresh", "raw"]


@pytest.mark.parametrize("name", IN_COMPANY)
def test_a_clip_is_the_same_in_any_company(film, tmp_path, name):
    """Overlapping, equal and neighbouring spans, each with masks of its own."""
    path = film(name)
    facts = facts_of(path)
    masks = [((0.1, 0.6, 0.2, 0.3),), (), ((0.5, 0.5, 0.25, 0.25), (0, 0, 0.1, 0.1))]
    spans = [(31, 44), (24, 40), (31, 44), (46, 52)]
    wanted = [
        replace(order, masks=masks[at % 3]) for at, order in enumerate(orders(tmp_path, spans))
    ]
    overlay = tmp_path / "overlay.png"
    overlay.write_bytes(encode_still(np.full((9, 20, 3), 200, np.uint8), "png"))
    wanted[0] = replace(wanted[0], overlay=overlay)
    index = known(path)[1]
    groups = grouped(wanted, lambda each: Span(path, index, each.first, each.end))
    assert len(groups) < len(wanted)
    export_clips(path, facts, wanted)
    alone = replace(wanted[0], out=tmp_path / "alone.mp4")
    export_clips(path, facts, [alone])
    assert alone.out.read_bytes() == wanted[0].out.read_bytes()
    assert wanted[0].out.read_bytes() != wanted[2].out.read_bytes()


@given(
    keys=st.sets(st.integers(1, 999), max_size=30),
    spans=st.lists(st.tuples(st.integers(0, 990), st.integers(1, 60)), min_size=1, max_size=25),
    size=st.sampled_from([(640, 360), (1920, 1080), (3840, 2160)]),
)
def test_groups_never_decode_more_than_clips_by_themselves(keys, spans, size):
    index = flat_index(1000, tuple(sorted({0, *keys})), size)
    wanted = [Span(Path("film"), index, first, min(first + n, 1000)) for first, n in spans]
    groups = grouped(wanted, lambda span: span)
    flat = [span for group in groups for span in group]
    assert sorted(map(id, flat)) == sorted(map(id, wanted))

    def decoded(group):
        first = min(span.first for span in group)
        return max(span.end for span in group) - max(0, index.key_before(first))

    assert sum(map(decoded, groups)) <= sum(decoded([span]) for span in wanted)
    assert max(len(group) for group in groups) * size[0] * size[1] <= 3840 * 2160


def flat_index(count, keys, size):
    return FilmIndex(
        container="mp4",
        codec="h264",
        stream=0,
        time_base=Fraction(1, 30),
        container_start=0,
        origin=0,
        ticks=tuple(range(count)),
        end_tick=count,
        keys=keys,
        timed=True,
        geometry=Geometry(*size, *size),
        matrix=1,
        full_range=False,
        sound=None,
        chapters=(),
        damage=(),
    )


def test_what_lies_between_far_clips_is_not_decoded(film, tmp_path, monkeypatch):
    """Two clips in different groups of pictures are two runs, each from its key frame."""
    path = film("no_b")  # a key frame every 12 frames
    seeks = []
    real = clips.film_input
    monkeypatch.setattr(
        clips, "film_input", lambda span, seek: seeks.append(seek) or real(span, seek)
    )
    export_clips(path, facts_of(path), orders(tmp_path, [(14, 17), (60, 63), (64, 66)]))
    assert len(seeks) == 2
    assert round((max(seeks) - min(seeks)) * 30) == 60 - 12


def test_our_own_reader_finds_a_clip_whole(film, tmp_path):
    path, out = film("vfr"), tmp_path / "clip.mp4"
    export_clip(path, facts_of(path), 13, 41, out)
    clip = describe(out)
    assert clip.damage == ()
    assert (clip.rotation, clip.mirrored, clip.facts.frame_count) == (0, False, 28)


def sound_of(path):
    with av.open(str(path)) as clip:
        resampler = av.AudioResampler("fltp", "mono", films.RATE)
        parts, first = [], None
        for frame in clip.decode(audio=0):
            first = frame.pts * frame.time_base if first is None else first
            parts += [each.to_ndarray()[0] for each in resampler.resample(frame)]
    samples = np.concatenate(parts)
    skipped = int(-first * films.RATE) if first < 0 else 0
    return samples[skipped:]


@pytest.mark.parametrize(
    ("start", "kind"),
    [(Fraction(0), "mkv"), (Fraction(1, 2), "mp4"), (Fraction(-1, 4), "mp4"), (Fraction(0), "ts")],
)
def test_sound_stays_with_the_picture(tmp_path, start, kind):
    """Beeps at known frames are found at those frames of the clip."""
    lead = Fraction(1, 4)  # so that nothing starts before zero
    beeps = [1.0, 2.0, 3.0]
    path = films.make(
        tmp_path / f"beeps.{kind}",
        films.steady(120, 1000, int(lead * 30_000)),
        options={"g": "40", "bf": "2"},
        sound=films.tone(4.2, beeps=[b - float(start) for b in beeps]),
        sound_start=lead + start,
    )
    facts = facts_of(path)
    out = tmp_path / "clip.mp4"
    export_clip(path, facts, 50, 110, out)
    wave = sound_of(out)
    clip = describe(out)
    assert abs(len(wave) / films.RATE - 2.0) < 0.05
    assert abs(clip.sound.start) < Decimal("0.03")
    loud = np.abs(wave) > 0.25 * np.abs(wave).max()
    onset = np.flatnonzero(loud)[0] / films.RATE
    assert abs(onset - (2.0 - 50 / 30)) < 0.012
    second = np.flatnonzero(loud[int(1.2 * films.RATE) :])[0] / films.RATE + 1.2
    assert abs(second - (3.0 - 50 / 30)) < 0.012


def test_no_sound_in_the_span_makes_a_clip_without_sound(film, tmp_path):
    out = tmp_path / "clip.mp4"
    export_clip(film("sound_late"), facts_of(film("sound_late")), 0, 10, out)
    assert describe(out).sound is None


def test_masks_and_overlay_lie_on_the_shown_picture(film, tmp_path):
    path = film("right")  # shown 64 × 96
    facts = facts_of(path)
    drawing = np.zeros((96, 64, 4), np.uint8)
    drawing[80:90, 40:60] = (0, 255, 0, 255)
    overlay = tmp_path / "over 100%.png"
    import cv2

    overlay.write_bytes(cv2.imencode(".png", drawing[:, :, [2, 1, 0, 3]])[1].tobytes())
    out = tmp_path / "clip.mp4"
    export_clip(path, facts, 2, 9, out, masks=[(0.25, 0.75, 0.25, 0.125)], overlay=overlay)
    with FrameReader(out, facts_of(out)) as reader:
        shown = [each.pixels.astype(int) for each in reader.frames(range(7))]
    for picture in shown:
        assert picture[74:82, 18:30].max() < 24  # masked
        assert picture[76, 50, 2] > 150  # blue beside
        green = picture[82:88, 44:56].mean((0, 1))
        assert abs(green - (0, 255, 0)).max() < 30
    assert Clip(out).numbers == list(range(2, 9))


def test_same_bytes_each_time(film, tmp_path):
    path = film("sound_first")
    for name in ("one.mp4", "two.mp4"):
        export_clip(path, facts_of(path), 5, 50, tmp_path / name)
    assert (tmp_path / "one.mp4").read_bytes() == (tmp_path / "two.mp4").read_bytes()


def boxes(data):
    """The outermost boxes of an MP4 file in their order: ISO/IEC 14496-12, 4.2."""
    found, at = [], 0
    while at < len(data):
        size, kind = int.from_bytes(data[at : at + 4], "big"), data[at + 4 : at + 8]
        found.append(kind)
        at += size
    return found


def test_fast_start_and_no_dates(film, tmp_path):
    out = tmp_path / "clip.mp4"
    export_clip(film("sound_first"), facts_of(film("sound_first")), 5, 50, out)
    data = out.read_bytes()
    assert boxes(data) == [b"ftyp", b"moov", b"free", b"mdat"]
    with av.open(str(out)) as clip:
        assert "creation_time" not in json.dumps([clip.metadata, clip.streams.video[0].metadata])
    assert ffmpeg_version().startswith("ffmpeg version ")


@pytest.mark.parametrize("name", ["-dash.mp4", 'it\'s "quoted" 50%d a:b.mp4', "größe 🎬.mp4"])
def test_awkward_names(film, tmp_path, name, monkeypatch):
    monkeypatch.chdir(tmp_path)
    shutil.copy(film("b_frames"), name)
    out = Path("out " + name)
    export_clip(Path(name), facts_of(Path(name)), 3, 8, out)
    assert Clip(out).numbers == [3, 4, 5, 6, 7]
    assert sorted(each.name for each in tmp_path.iterdir()) == sorted([name, out.name])


class Stop:
    """Asks to stop as soon as the first frames are written."""

    def __init__(self):
        self.cancel = Cancel()

    def report(self, job, done, total):
        if done:
            self.cancel.request()


def test_cancelled_and_failed_clips_leave_what_was_there(film, tmp_path):
    path = film("b_frames")
    facts = facts_of(path)
    out = tmp_path / "clip.mp4"
    out.write_bytes(b"before")
    stop = Stop()
    stop.cancel.request()
    with pytest.raises(Cancelled):
        export_clip(path, facts, 0, 75, out, cancel=stop.cancel)
    with pytest.raises(MachineError):
        export_clip(path, facts, 0, 75, out, overlay=tmp_path / "missing.png")
    with pytest.raises(InputError, match="no frames from 5 up to 5"):
        export_clip(path, facts, 5, 5, out)
    with pytest.raises(InputError, match="no frames"):
        export_clip(path, facts, 5, 76, out)
    assert [each.name for each in tmp_path.iterdir()] == ["clip.mp4"]
    assert out.read_bytes() == b"before"
    with pytest.raises(MachineError, match="cannot be written"):
        export_clip(path, facts, 0, 9, tmp_path / "missing" / "clip.mp4")


def test_a_clip_that_fails_is_named_and_nothing_is_replaced(film, tmp_path):
    path = film("b_frames")
    good, bad, other = orders(tmp_path, [(5, 9), (7, 12), (11, 15)])
    good.out.write_bytes(b"before")
    broken = tmp_path / "overlay.png"
    broken.write_bytes(b"no picture")
    bad = replace(bad, name="step 7 (bolt)", overlay=broken)
    with pytest.raises(MachineError, match=r"step 7 \(bolt\)"):
        export_clips(path, facts_of(path), [good, bad, other])
    assert good.out.read_bytes() == b"before"
    assert sorted(each.name for each in tmp_path.iterdir()) == ["0.mp4", "overlay.png"]
    with pytest.raises(InputError, match="clip 1 has no frames from 70 up to 76"):
        export_clips(path, facts_of(path), orders(tmp_path, [(5, 9), (70, 76)]))


def test_cancel_ends_every_ffmpeg(film, tmp_path):
    path = film("vp9")
    facts = facts_of(path)
    stop = Stop()
    with pytest.raises(Cancelled):
        export_clips(path, facts, orders(tmp_path, [(0, 70), (3, 75)]), stop, stop.cancel)
    children = psutil.Process().children(recursive=True)
    assert [each.name() for each in children if "ffmpeg" in each.name()] == []
    assert list(tmp_path.iterdir()) == []


def test_progress(film, tmp_path):
    heard = []

    class Ear:
        def report(self, job, done, total):
            heard.append((done, total))

    path = film("b_frames")
    export_clips(path, facts_of(path), orders(tmp_path, [(10, 60), (50, 75), (2, 4)]), Ear())
    assert heard[-1] == (77, 77)
    assert heard == sorted(heard)


@pytest.mark.parametrize("name", ["full_range", "b_frames", "hevc", "odd"])
def test_colours_of_clip_and_still_agree(film, tmp_path, name):
    path, out = film(name), tmp_path / "clip.mp4"
    facts = facts_of(path)
    export_clip(path, facts, 3, 9, out)
    with FrameReader(path, facts) as reader:
        still = reader.frame(3).pixels.astype(int)
    with FrameReader(out, facts_of(out)) as reader:
        clip = reader.frame(0).pixels.astype(int)
    height, width, _ = clip.shape
    assert abs(still[:height, :width] - clip).mean() < 5
    for y, x in ((height * 3 // 4, width // 5), (height * 3 // 4, width * 4 // 5)):
        area = (slice(y - 4, y + 4), slice(x - 8, x + 8))
        assert abs(still[area].mean((0, 1)) - clip[area].mean((0, 1))).max() < 4


def test_a_clip_across_damage_is_made_of_what_is_there(tmp_path):
    path = films.make(tmp_path / "hole.ts", films.steady(100), options={"g": "25", "bf": "2"})
    data = path.read_bytes()
    middle = len(data) // 188 // 2 * 188
    path.write_bytes(data[:middle] + data[middle + 188 * 3 :])
    facts = facts_of(path)
    assert facts.damage
    out = tmp_path / "clip.mp4"
    export_clip(path, facts, 10, facts.frame_count - 5, out)
    with av.open(str(out)) as clip:
        assert sum(1 for _ in clip.decode(video=0)) > 60


def test_a_full_disk_is_the_machines_fault(film, tmp_path, monkeypatch):
    script = tmp_path / "ffmpeg"
    script.write_text(
        "#!/bin/sh\necho 'av_interleaved_write_frame(): No space left on device' >&2\nexit 1\n"
    )
    script.chmod(0o755)
    monkeypatch.setattr("author.recording.ffmpeg.ffmpeg_program", lambda: str(script))
    path, folder = film("b_frames"), tmp_path / "out"
    folder.mkdir()
    with pytest.raises(MachineError, match="disk is full"):
        export_clip(path, facts_of(path), 0, 9, folder / "clip.mp4")
    assert list(folder.iterdir()) == []
