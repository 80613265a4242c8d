"""The sample recordings are what their manifest says."""

import hashlib
import itertools
import json
import re
from fractions import Fraction
from pathlib import Path

import av
import numpy as np
import pytest
from generate import pixel_code

FOLDER = Path(__file__).resolve().parents[1] / "sample_media"
MANIFEST = FOLDER / "manifest.json"
FILMS = json.loads(MANIFEST.read_text(encoding="utf-8"))["films"] if MANIFEST.exists() else {}
SAW_SCENES = """
    intro switch_off lock_out try_start release_tension blade_off guard_screws support_wheel
    nut_off wheel_off ring_out drive_out press_front depth_front sleeve_in press_back ring_in
    wheel_on nut_torque tab_bend runout blade_on tension track guard_back handover
"""
PHONE_SCENES = "clean_bore look_feel measure_bore axle_outer axle_inner tab_compare"
EXPECTED_SCENES = {"saw": SAW_SCENES.split(), "phone": PHONE_SCENES.split()}
STAMP = re.compile(r"(\d\d):(\d\d):(\d\d)[.,](\d{3}) --> (\d\d):(\d\d):(\d\d)[.,](\d{3})$")

both = pytest.mark.parametrize("name", ["saw", "phone"])


def true_ticks(film):
    frames = film["frames"]
    if frames["form"] == "list":
        return frames["ticks"]
    return [frames["start_tick"] + frames["step_ticks"] * i for i in range(frames["count"])]


def shown(frame, clockwise):
    return np.rot90(frame.to_ndarray(format="rgb24"), -(clockwise // 90))


def test_both_films_are_there_and_small():
    assert set(FILMS) == {"saw", "phone"}
    assert sum((FOLDER / film["file"]).stat().st_size for film in FILMS.values()) <= 18_000_000


@both
def test_bytes_and_hash(name):
    film = FILMS[name]
    data = (FOLDER / film["file"]).read_bytes()
    assert len(data) == film["bytes"]
    assert hashlib.sha256(data).hexdigest() == film["sha256"]
    assert film["licence"].startswith("CC0-1.0")
    assert "Flite's voice rms" in film["licence"]


@both
def test_packet_times_are_the_manifest_times(name):
    film = FILMS[name]
    with av.open(str(FOLDER / film["file"])) as file:
        video, audio = file.streams.video[0], file.streams.audio[0]
        assert video.codec_context.name == "h264"
        assert audio.codec_context.name == "aac"
        assert (video.width, video.height) == tuple(film["stored"].values())
        assert video.time_base == Fraction(film["time_base"])
        assert file.start_time == 0
        packets = sorted((p.pts, p.duration) for p in file.demux(video) if p.pts is not None)
    found = [pts for pts, _ in packets]
    assert found == true_ticks(film)
    end_tick = sum(packets[-1])
    assert film["frames"]["end_tick"] == end_tick
    assert film["duration"] == f"{float(end_tick * Fraction(film['time_base'])):.6f}"
    assert all(b > a for a, b in itertools.pairwise(found))


def test_saw_is_constant_and_phone_is_not():
    assert FILMS["saw"]["frames"]["step_seconds"] == "1001/30000"
    steps = np.diff(true_ticks(FILMS["phone"])) / 90
    assert steps.max() > 390
    assert np.median(steps) == pytest.approx(33.3, abs=1)
    assert ((steps > 49) & (steps < 125)).sum() > 20


def test_phone_starts_with_sound_and_is_turned():
    film = FILMS["phone"]
    with av.open(str(FOLDER / film["file"])) as file:
        video, audio = file.streams.video[0], file.streams.audio[0]
        assert audio.start_time == 0
        assert video.start_time == true_ticks(film)[0] > 0.2 / video.time_base
        frame = next(file.decode(video))
    # PyAV counts counter-clockwise.
    assert (-frame.rotation) % 360 == film["rotation_clockwise"] == 90
    assert shown(frame, 90).shape[:2] == (film["shown"]["height"], film["shown"]["width"])


@both
def test_every_frame_says_its_own_number(name):
    film = FILMS[name]
    ticks = true_ticks(film)
    limit = None if name == "phone" else 900
    with av.open(str(FOLDER / film["file"])) as file:
        stream = file.streams.video[0]
        stream.thread_type = "AUTO"
        for number, frame in enumerate(file.decode(stream)):
            if number == limit:
                break
            assert frame.pts == ticks[number]
            if number % 5 == 0 or number in film["flash_frames"]:
                assert pixel_code.read(shown(frame, film["rotation_clockwise"])) == number


@both
@pytest.mark.parametrize("share", [0.35, 0.6, 0.8, 0.97])
def test_frames_after_a_seek_say_their_number(name, share):
    film = FILMS[name]
    ticks = true_ticks(film)
    wanted = int(share * (len(ticks) - 1))
    with av.open(str(FOLDER / film["file"])) as file:
        stream = file.streams.video[0]
        stream.thread_type = "AUTO"
        file.seek(ticks[wanted], stream=stream, backward=True)
        frame = next(f for f in file.decode(stream) if f.pts >= ticks[wanted])
    assert frame.pts == ticks[wanted]
    assert pixel_code.read(shown(frame, film["rotation_clockwise"])) == wanted


@both
def test_scenes_in_order_and_complete(name):
    film = FILMS[name]
    ticks, base = true_ticks(film), Fraction(film["time_base"])
    ends = [*ticks, film["frames"]["end_tick"]]
    scenes = film["scenes"]
    assert [s["id"] for s in scenes] == EXPECTED_SCENES[name]
    assert scenes[0]["first_frame"] == 0
    assert scenes[-1]["end_frame"] == len(ticks)
    for scene, following in zip(scenes, [*scenes[1:], None], strict=True):
        assert following is None or scene["end_frame"] == following["first_frame"]
        assert scene["from"] == f"{float(ends[scene['first_frame']] * base):.6f}"
        assert scene["to"] == f"{float(ends[scene['end_frame']] * base):.6f}"
        assert scene["first_frame"] <= scene["best_frame"] < scene["end_frame"]
        assert scene["points"]
        assert all(0 < x < 1 and 0 < y < 1 for x, y in scene["points"].values()), scene["id"]


@both
def test_shots_and_spans(name):
    film = FILMS[name]
    count = len(true_ticks(film))
    cuts = [c["frame"] for c in film["shot_changes"]]
    assert cuts == sorted(set(cuts))
    assert {s["first_frame"] for s in film["scenes"][1:]} <= set(cuts)
    state = np.zeros(count, int)
    for start, end in film["sharp_spans"] + film["blurred_spans"]:
        assert 0 <= start < end <= count
        state[start:end] += 1
    state[film["flash_frames"]] += 1
    assert (state == 1).all()
    sharp = [set(range(*span)) for span in film["sharp_spans"]]
    assert all(any(s["best_frame"] in span for span in sharp) for s in film["scenes"])


@both
@pytest.mark.parametrize("ending", ["vtt", "srt"])
def test_captions_are_valid_and_inside(name, ending):
    text = (FOLDER / f"{name}.{ending}").read_text(encoding="utf-8")
    assert (ending == "vtt") == text.startswith("WEBVTT\n\n")
    blocks = [b for b in text.removeprefix("WEBVTT").strip().split("\n\n") if b]
    last = 0.0
    words = []
    for number, block in enumerate(blocks, 1):
        first, times, *lines = block.strip().split("\n")
        assert first == str(number)
        h1, m1, s1, ms1, h2, m2, s2, ms2 = map(int, STAMP.match(times).groups())
        start, end = 3600 * h1 + 60 * m1 + s1 + ms1 / 1000, 3600 * h2 + 60 * m2 + s2 + ms2 / 1000
        assert last <= start < end <= float(FILMS[name]["duration"])
        last = end
        assert 1 <= len(lines) <= 3
        words += lines
    spoken = " ".join(s["narration"] for s in FILMS[name]["scenes"])
    assert " ".join(words).split() == spoken.split()


def test_code_survives_scaling_noise_and_refuses_nonsense():
    cv2 = pytest.importorskip("cv2")
    random = np.random.default_rng(5)
    for height, width in ((720, 1280), (1280, 720)):
        for number in (0, 1, 1000, 4711, 65535):
            frame = random.integers(60, 200, (height, width, 3), dtype=np.uint8)
            pixel_code.draw(frame, number)
            assert pixel_code.read(frame) == number
            small = cv2.resize(frame, (width // 2, height // 2), interpolation=cv2.INTER_AREA)
            assert pixel_code.read(small) == number
            noisy = np.clip(small + random.normal(0, 12, small.shape), 0, 255).astype(np.uint8)
            assert pixel_code.read(noisy) in (number, None)
    nonsense = random.integers(0, 256, (300, 720, 1280, 1), dtype=np.uint8)
    assert all(pixel_code.read(np.repeat(n, 3, axis=2)) is None for n in nonsense[:60])
    assert pixel_code.read(np.zeros((720, 1280, 3), np.uint8)) is None


def test_a_wrong_bit_is_never_a_wrong_number():
    frame = np.full((720, 1280, 3), 90, np.uint8)
    pixel_code.draw(frame, 1234)
    cell, left, top = 12, 18, 720 - 66
    for row in range(pixel_code.ROWS):
        for column in range(pixel_code.COLUMNS):
            hurt = frame.copy()
            y, x = top + row * cell, left + column * cell
            hurt[y : y + cell, x : x + cell] = 251 - hurt[y : y + cell, x : x + cell]
            assert pixel_code.read(hurt) is None
