"""Clips: the very frames of the span, upright, in time, with their sound at one loudness."""

from __future__ import annotations

import json
import re
import shutil
import subprocess
from decimal import Decimal
from fractions import Fraction

import av
import imageio_ffmpeg
import numpy as np
import pytest

from author.errors import Cancelled, InputError, MachineError
from author.progress import Cancel
from author.recording import (
    FrameReader,
    describe,
    export_clip,
    facts_of,
    ffmpeg_version,
)

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
CASES = [(name, *span) for name, spans in SPANS.items() for span in spans]


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


@pytest.mark.parametrize(("name", "first", "end"), CASES)
def test_a_clip_holds_its_frames_at_their_times(film, tmp_path, name, first, end):
    path, out = film(name), tmp_path / "clip.mp4"
    facts = facts_of(path)
    export_clip(path, facts, first, end, out)
    clip = Clip(out)
    assert clip.numbers == list(range(first, end))
    starts = [each - facts.frame_starts[first] for each in facts.frame_starts[first:end]]
    stop = facts.frame_starts[end] if end < facts.frame_count else facts.duration
    wanted = [*starts, stop - facts.frame_starts[first]]
    found = [*clip.starts, clip.duration]
    worst = max(abs(Fraction(one) - two) for one, two in zip(wanted, found, strict=True))
    assert worst <= Fraction(2, 100_000)
    assert not clip.turned
    assert clip.aspect in (None, 0, 1)
    assert clip.size == (facts.width // 2 * 2, facts.height // 2 * 2)


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


def loudness(path):
    """Integrated loudness and true peak by ffmpeg's other meter."""
    command = [imageio_ffmpeg.get_ffmpeg_exe(), "-nostdin", "-hide_banner", "-i", str(path)]
    command += ["-af", "ebur128=peak=true", "-f", "null", "-"]
    log = subprocess.run(command, capture_output=True, text=True, check=True).stderr
    summary = log[log.rindex("Summary") :]
    loud = float(re.search(r"I:\s+(-?[\d.]+) LUFS", summary)[1])
    return loud, float(re.search(r"Peak:\s+(-?[\d.]+|-inf) dBFS", summary)[1])


@pytest.mark.parametrize("level", [0.02, 0.1, 0.9])
def test_loudness_is_even(tmp_path, level):
    rng = np.random.default_rng(1)
    bursts = np.repeat(rng.uniform(0.2, 1, 40), films.RATE // 8)
    wave = films.tone(5, level=level) * bursts
    path = films.make(tmp_path / "loud.mp4", films.steady(150), options={"g": "30"}, sound=wave)
    out = tmp_path / "clip.mp4"
    export_clip(path, facts_of(path), 10, 140, out)
    loud, peak = loudness(out)
    assert abs(loud + 16) <= 1
    assert peak <= -1


@pytest.mark.parametrize("level", [0.0, 0.0005])
def test_silence_stays_silent(tmp_path, level):
    path = films.make(tmp_path / "quiet.mp4", films.steady(60), sound=films.tone(2, level=level))
    out = tmp_path / "clip.mp4"
    export_clip(path, facts_of(path), 10, 50, out)
    assert np.abs(sound_of(out)).max() < 0.01


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


def test_fast_start_and_no_dates(film, tmp_path):
    out = tmp_path / "clip.mp4"
    export_clip(film("sound_first"), facts_of(film("sound_first")), 5, 50, out)
    data = out.read_bytes()
    assert data.index(b"moov") < data.index(b"mdat")
    with av.open(str(out)) as clip:
        assert "creation_time" not in json.dumps([clip.metadata, clip.streams.video[0].metadata])
    assert ffmpeg_version().startswith("ffmpeg version ")


@pytest.mark.parametrize("name", ["-dash.mp4", 'it\'s "quoted" 50%d a:b.mp4', "größe 🎬.mp4"])
def test_awkward_names(film, tmp_path, name, monkeypatch):
    from pathlib import Path

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


def test_progress(film, tmp_path):
    heard = []

    class Ear:
        def report(self, job, done, total):
            heard.append((done, total))

    path = film("b_frames")
    export_clip(path, facts_of(path), 10, 60, tmp_path / "clip.mp4", progress=Ear())
    assert heard[-1] == (50, 50)
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
    monkeypatch.setattr("author.recording.clips.ffmpeg_program", lambda: str(script))
    path, folder = film("b_frames"), tmp_path / "out"
    folder.mkdir()
    with pytest.raises(MachineError, match="disk is full"):
        export_clip(path, facts_of(path), 0, 9, folder / "clip.mp4")
    assert list(folder.iterdir()) == []
