from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest

from author.errors import Cancelled, InputError
from author.progress import Cancel
from author.recording.offsets import offset_between
from author.recording.sound_reading import read_sound
from author.recording.survey import survey

from . import films
from . import staged_sounds as staged

RATE = staged.RATE


def rng(seed: int) -> np.random.Generator:
    return np.random.default_rng(seed)


@pytest.fixture(scope="module")
def scene() -> np.ndarray:
    return staged.scene(rng(1), 50)


@pytest.mark.parametrize(
    ("one", "two"), [((0, 30), (12, 45)), ((20, 45), (2, 40)), ((5, 45), (20, 30))]
)
def test_two_cameras_at_one_job(scene, one, two):
    first = staged.heard_by(rng(2), scene, *one, 10)
    second = staged.heard_by(rng(3), scene, *two, 10, drift=30)
    found = offset_between(first, second, RATE)
    assert float(found.seconds) == pytest.approx(two[0] - one[0], abs=0.003)
    assert found.confidence >= 0.9
    assert found.seconds == found.seconds.quantize(Decimal("0.000001"))
    assert found.drift is None  # so short a time tells nothing of it


def test_a_drifting_clock_is_followed():
    scene = staged.scene(rng(4), 200)[::2]  # as if at 8 kHz: higher, which does not matter
    first = scene[: 180 * 8000].copy()
    moments = np.arange(170 * 8000) * (1 + 50e-6) + 20 * 8000
    second = np.interp(moments, np.arange(len(scene)), scene).astype(np.float32)
    found = offset_between(first, second, 8000)
    assert found.drift == pytest.approx(50, abs=5)
    assert float(found.seconds) + 150 * (1 + found.drift / 1e6) == pytest.approx(
        20 + 150 * (1 + 50e-6), abs=0.001
    )


def _hum(seed: int, shift: float) -> np.ndarray:
    time = np.arange(30 * RATE) / RATE
    wave = sum(np.sin(2 * np.pi * 50 * k * time + shift * k) / k for k in range(1, 20))
    return (wave + rng(seed).standard_normal(len(time)) * 1e-3).astype(np.float32)


def _press(seed: int, first: int) -> np.ndarray:
    """A machine that strikes every 0.7 s, each blow like the last."""
    blow = staged.blow(rng(5))
    wave = staged.room(rng(seed), 30 * RATE) * 0.01
    for at in range(first, len(wave) - RATE, int(0.7 * RATE)):
        wave[at : at + len(blow)] += blow
    return wave


def _tone_in_both(seed: int, at: int) -> np.ndarray:
    """A job in which the same signal of 3 s sounds once."""
    wave = staged.scene(rng(seed), 40) * 0.5
    signal = staged.phrase(rng(9), 3, 150)[: 3 * RATE] * 2
    wave[at * RATE : at * RATE + len(signal)] += signal
    return wave


REFUSED = {
    "other jobs": (lambda: staged.scene(rng(6), 30), lambda: staged.scene(rng(7), 30)),
    "hum": (lambda: _hum(1, 0), lambda: _hum(2, 1)),
    "a beating machine": (lambda: _press(1, 100), lambda: _press(2, 5000)),
    "two compressors": (
        lambda: staged.compressor(rng(1), 30 * RATE),
        lambda: staged.compressor(rng(2), 30 * RATE),
    ),
    "one signal in two jobs": (lambda: _tone_in_both(11, 8), lambda: _tone_in_both(12, 25)),
    "silence": (lambda: np.zeros(10 * RATE, np.float32), lambda: staged.scene(rng(6), 30)),
    "not a number": (
        lambda: np.full(10 * RATE, np.nan, np.float32),
        lambda: staged.scene(rng(6), 30),
    ),
    "too short": (lambda: staged.scene(rng(6), 30)[: 2 * RATE], lambda: staged.scene(rng(6), 30)),
}


@pytest.mark.parametrize("name", REFUSED)
def test_what_tells_nothing_sure_is_refused(name):
    first, second = (make() for make in REFUSED[name])
    with pytest.raises(InputError) as caught:
        offset_between(first, second, RATE)
    assert "Clap" in caught.value.remedy


def test_the_user_may_stop_it_and_sees_how_far_it_is(scene):
    class Stopping(Cancel):
        seen: list[int] = []  # noqa: RUF012

        def report(self, job: str, done: int, total: int | None) -> None:
            self.seen.append(done)
            if done >= 40:
                self.request()

    both = Stopping()
    with pytest.raises(Cancelled):
        offset_between(scene, scene, RATE, both, both)
    assert both.seen == sorted(both.seen)


# Where the beeps are heard, on the recording's clock, in films that are awkward.


def beeps_in(samples: np.ndarray, rate: int) -> list[float]:
    loud = np.flatnonzero(np.abs(samples) > 0.05)
    firsts = loud[np.diff(loud, prepend=-rate) > rate // 5]
    return [float(each) / rate for each in firsts]


def read(path: Path, rate: int = 8000) -> np.ndarray:
    told: list[tuple[int, int | None]] = []
    index = survey(path, None, lambda done, total: None).index
    samples = read_sound(path, index, rate, lambda done, total: told.append((done, total)))
    assert samples.dtype == np.float32
    assert samples.ndim == 1
    assert told
    return samples


SOUND = films.tone(3, beeps=[0.5, 1.5, 2.25])
MADE = {
    "plain.mp4": ({"sound": SOUND}, 0.0),
    "plain.mkv": ({"sound": SOUND}, 0.0),
    "late.mp4": ({"sound": SOUND, "sound_start": Fraction(1, 2)}, 0.5),
    "late.mov": ({"sound": SOUND, "sound_start": Fraction(3, 4)}, 0.75),
    "far.ts": (
        {
            "sound": SOUND,
            "sound_start": Fraction(7401, 2),
            "base": Fraction(1, 90_000),
            "ticks": films.steady(75, 3003, 90_000 * 3700),
        },
        0.5,
    ),
    "before.mkv": (
        {"sound": SOUND, "sound_start": Fraction(1), "ticks": films.steady(75, 1000, 30_000)},
        0.0,
    ),
}


@pytest.mark.parametrize("name", MADE)
@pytest.mark.parametrize("rate", [8000, 16_000])
def test_sound_lies_where_it_is_on_the_clock(name, rate, tmp_path):
    options, late = MADE[name]
    plain = {"ticks": films.steady(75), **options}
    path = films.make(tmp_path / name, **plain)
    index = survey(path, None, lambda done, total: None).index
    samples = read(path, rate)
    assert len(samples) == round(Fraction(index.sound.end) * rate)
    # A codec smears a beep over a few milliseconds.
    assert beeps_in(samples, rate) == pytest.approx([late + t for t in (0.5, 1.5, 2.25)], abs=0.012)


def test_an_edit_list_is_obeyed(tmp_path):
    whole = films.make(tmp_path / "whole.mp4", films.steady(75), sound=SOUND, options={"g": "15"})
    path = tmp_path / "cut.mp4"
    films.ffmpeg("-ss", "1.0", "-i", whole, "-c", "copy", path)
    index = survey(path, None, lambda done, total: None).index
    # The reference is ffmpeg's own decoding of the file, led to the same clock.
    films.ffmpeg("-i", path, "-vn", "-ac", "1", "-ar", "8000", "-f", "f32le", tmp_path / "raw")
    reference = np.fromfile(tmp_path / "raw", np.float32)
    shift = float(index.sound.start)
    expected = [each + max(0.0, shift) for each in beeps_in(reference, 8000)]
    assert beeps_in(read(path), 8000) == pytest.approx(expected, abs=0.025)


def test_two_channels_become_their_mean(tmp_path):
    path = films.make(tmp_path / "one.mp4", films.steady(75), sound=films.tone(2, level=0.4))
    wide = tmp_path / "two.mkv"
    pan = "pan=stereo|c0=c0|c1=0*c0"
    films.ffmpeg("-i", path, "-c:v", "copy", "-af", pan, "-c:a", "pcm_s16le", wide)
    assert np.abs(read(wide)[4000:12_000]).max() == pytest.approx(0.2, abs=0.02)


def test_damaged_packets_are_silence_and_the_rest_stays(tmp_path):
    path = films.make(tmp_path / "film.mkv", films.steady(75), sound=films.tone(3))
    index = survey(path, None, lambda done, total: None).index
    data = bytearray(path.read_bytes())
    middle = len(data) // 2
    data[middle : middle + 1500] = rng(1).bytes(1500)
    path.write_bytes(data)
    samples = read_sound(path, index, 8000, lambda done, total: None)
    assert len(samples) == round(Fraction(index.sound.end) * 8000)
    assert np.isfinite(samples).all()
    assert np.abs(samples[2000:6000]).max() == pytest.approx(0.2, abs=0.02)


def test_a_film_without_sound_is_refused(tmp_path):
    path = films.make(tmp_path / "mute.mp4", films.steady(10))
    index = survey(path, None, lambda done, total: None).index
    with pytest.raises(InputError, match="has no sound"):
        read_sound(path, index, 8000, lambda done, total: None)
