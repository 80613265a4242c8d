"""The sound of clips: as loud as each other, never above the peak allowed, never pumped."""

from __future__ import annotations

import subprocess

import imageio_ffmpeg
import numpy as np
import pyloudnorm
import pytest
from hypothesis import given
from hypothesis import strategies as st

from author.recording import facts_of
from author.recording.clips import ClipOrder, export_clips
from author.recording.loudness import (
    Loudness,
    Setting,
    Trial,
    best,
    first_setting,
    next_setting,
)

from . import films

RATE = films.RATE
FRAMES = 10  # a second
# ITU-R BS.1770-4, annex 2: coefficients of the filter of order 48 for four times the rate,
# phases 0 and 1; phases 3 and 2 are the same from behind.
PHASES = np.array(
    [
        [0.0017089843750, 0.0109863281250, -0.0196533203125, 0.0332031250000],
        [-0.0594482421875, 0.1373291015625, 0.9721679687500, -0.1022949218750],
        [0.0476074218750, -0.0266113281250, 0.0148925781250, -0.0083007812500],
        [-0.0291748046875, 0.0292968750000, -0.0517578125000, 0.0891113281250],
        [-0.1665039062500, 0.4650878906250, 0.7797851562500, -0.2003173828125],
        [0.1015625000000, -0.0582275390625, 0.0330810546875, -0.0189208984375],
    ]
).reshape(2, 12)


def true_peak(wave):
    """dBTP of samples × channels, by ITU-R BS.1770-4, annex 2."""
    phases = [*PHASES, *PHASES[:, ::-1]]
    found = max(abs(np.convolve(side, each)).max() for side in wave.T for each in phases)
    return 20 * np.log10(max(found, 1e-9))


def loudness(wave):
    """LUFS of samples × channels, by ITU-R BS.1770-4 as pyloudnorm has it."""
    return pyloudnorm.Meter(RATE).integrated_loudness(wave)


def sound_of(path):
    """Samples × two channels of a clip as a player gives them out."""
    command = [imageio_ffmpeg.get_ffmpeg_exe(), "-v", "error", "-nostdin", "-i", str(path)]
    command += ["-f", "f32le", "-ac", "2", "-ar", str(RATE), "-"]
    done = subprocess.run(command, capture_output=True, check=True)
    return np.frombuffer(done.stdout, np.float32).reshape(-1, 2).astype(float)


def noise(seconds, seed=1):
    return np.random.default_rng(seed).normal(size=int(seconds * RATE))


def clock(seconds):
    return np.arange(int(seconds * RATE)) / RATE


def dull(wave):
    """The same without much treble."""
    return np.convolve(wave, np.hanning(40) / 20)[: len(wave)]


def speech(seconds, level):
    time = clock(seconds)
    words = np.clip(np.sin(2 * np.pi * 3.1 * time), 0, 1) * (np.sin(1.6 * time) > -0.3)
    return level * dull(noise(seconds)) * (0.02 + words)


def machine(seconds, level):
    time = clock(seconds)
    hum = np.sin(2 * np.pi * 120 * time) + 0.3 * np.sin(2 * np.pi * 2900 * time)
    return level * (0.5 * hum + np.tanh(0.4 * noise(seconds, 2)))


def blows(seconds, level, decay):
    """Two hammer blows a second, ringing for some milliseconds."""
    ring = np.exp(-clock(0.4) / decay) * noise(0.4, 3)
    wave = np.zeros(int(seconds * RATE))
    for start in np.arange(0.2, seconds - 0.4, 0.5):
        wave[int(start * RATE) :][: len(ring)] += level * ring / abs(ring).max()
    return wave


def loud_then_soft(seconds):
    wave = speech(seconds, 0.2)
    wave[len(wave) // 2 :] *= 0.25
    return wave


HIGH = np.sin(2 * np.pi * 12_000 * clock(3) + np.pi / 4)  # its peaks lie between the samples
SOUNDS = {
    "quiet speech": speech(5, 0.03),
    "loud machine": machine(5, 0.6),
    "hammer in a room": blows(5, 0.95, 0.03) + 0.003 * noise(5),
    "hammer and speech": blows(5, 0.95, 0.004) + speech(5, 0.05),
    "clipped": np.clip(machine(5, 3), -1, 1),
    "half a second": speech(1, 0.2)[: RATE // 2],
    "peaks between samples": 0.9 * HIGH,
    "loud, then soft": loud_then_soft(6),
}
UNREACHABLE = {
    "clicks in silence": np.where(np.arange(4 * RATE) % (RATE // 2) == 999, 0.95, 0),
    "short and clipped": np.clip(machine(0.3, 3), -1, 1),
    "silence": np.zeros(2 * RATE),
    "hardly anything": 0.0003 * noise(2),
}


def film_of(path, wave):
    """A film with this sound (samples × channels), uncompressed, and a small picture."""
    raw = path.with_suffix(".pcm")
    raw.write_bytes(np.ascontiguousarray(wave, np.float32).tobytes())
    length = len(wave) / RATE
    films.ffmpeg(
        *("-f", "f32le", "-ar", RATE, "-ac", wave.shape[1], "-i", raw),
        *("-f", "lavfi", "-i", f"color=s=32x32:r={FRAMES}:d={length}", "-c:a", "pcm_f32le"),
        *("-c:v", "libx264", "-preset", "ultrafast", "-g", "10", path),
    )
    return path


@pytest.fixture(scope="module")
def made(tmp_path_factory):
    """Every sound in one film, one after the other, and the clips made of it."""
    folder = tmp_path_factory.mktemp("sounds")
    parts, orders, at = [], [], 0
    for name, wave in (SOUNDS | UNREACHABLE).items():
        frames = len(wave) * FRAMES // RATE
        orders.append(ClipOrder(name, at, at + frames, folder / f"{len(orders)}.mp4"))
        rest = -frames % FRAMES  # each begins at a whole second
        parts += [wave, np.zeros(rest * RATE // FRAMES)]
        at += frames + rest
    wave = np.concatenate(parts)
    path = film_of(folder / "film.mkv", np.stack([wave, wave], 1))
    clips = export_clips(path, facts_of(path), orders)
    return {clip.name: (sound_of(clip.out), clip.loudness) for clip in clips}


@pytest.mark.parametrize("name", SOUNDS)
def test_every_sound_comes_out_equally_loud(made, name):
    """−16 LUFS within 1 LU and at most −1 dBTP, by meters of others' making."""
    wave, told = made[name]
    assert len(wave) >= len(SOUNDS[name])
    found = loudness(wave), true_peak(wave)
    assert abs(found[0] + 16) <= 1
    assert found[1] <= -1
    assert told.reached
    assert abs(told.integrated - found[0]) < 0.5


@pytest.mark.parametrize("name", UNREACHABLE)
def test_what_cannot_be_had_is_told_and_the_peak_comes_first(made, name):
    wave, told = made[name]
    assert not told.reached
    assert true_peak(wave) <= -1


def test_what_cannot_be_heard_is_not_lifted(made):
    assert not made["silence"][0].any()
    before, after = UNREACHABLE["hardly anything"], made["hardly anything"][0]
    assert after.std() <= 1.2 * before.std()


def test_the_soft_half_stays_as_much_softer(made):
    """One gain for the whole clip: nothing follows the voice up and down."""
    wave = made["loud, then soft"][0][:, 0]
    half = len(SOUNDS["loud, then soft"]) // 2
    loud, soft = wave[:half], wave[half : 2 * half]
    before = SOUNDS["loud, then soft"]
    wanted = 20 * np.log10(before[:half].std() / before[half:].std())
    assert abs(20 * np.log10(loud.std() / soft.std()) - wanted) < 1


def test_after_a_blow_the_rest_is_as_loud_as_before_it(tmp_path):
    """A steady tone under hammer blows stays steady, but for the moment of each blow."""
    tone = 0.02 * np.sin(2 * np.pi * 1000 * clock(5))
    wave = tone + blows(5, 0.95, 0.004)
    path = film_of(tmp_path / "film.mkv", np.stack([wave, wave], 1))
    out = tmp_path / "clip.mp4"
    (clip,) = export_clips(path, facts_of(path), [ClipOrder("c", 0, 50, out)])
    after = sound_of(out)[:, 0]
    assert clip.loudness.peak <= -1
    turn = np.exp(-2j * np.pi * 1000 * clock(0.2))
    levels = [
        20 * np.log10(abs(after[int((at + 0.2) * RATE) :][: len(turn)] @ turn))
        for at in np.arange(0.2, 4.2, 0.5)
    ]
    assert max(levels) - min(levels) < 0.5


@pytest.mark.parametrize("channels", [1, 6])
def test_any_number_of_channels(tmp_path, channels):
    """One channel, and 5.1 with speech in the middle and a machine behind."""
    wave = np.zeros((3 * RATE, channels))
    wave[:, min(2, channels - 1)] = speech(3, 0.1)
    wave[:, -1] += machine(3, 0.05)
    path = film_of(tmp_path / "film.mkv", wave)
    out = tmp_path / "clip.mp4"
    export_clips(path, facts_of(path), [ClipOrder("c", 0, 30, out)])
    after = sound_of(out)
    assert abs(loudness(after) + 16) <= 1
    assert true_peak(after) <= -1


def test_the_meter_of_these_tests_finds_peaks_between_samples():
    """A quarter of the rate at 45 degrees has samples at 0.707 of its peak."""
    found = true_peak(HIGH[:, None])
    assert abs(found) < 0.3
    assert 20 * np.log10(abs(HIGH).max()) < -3


@given(
    loud=st.floats(-49, 5),
    crest=st.floats(0, 40),
    softness=st.floats(0.2, 1),
    over=st.floats(0, 3),
)
def test_the_search_ends_within_the_peak(loud, crest, softness, over):
    """Whatever limiter and coder do in reason, some trial keeps the peak."""
    source = Loudness(loud, loud + crest)

    def finished(setting: Setting) -> Loudness:
        peak, lost = source.peak + setting.gain, 0.0
        if setting.ceiling is not None:
            lost = max(0.0, peak - setting.ceiling) * (1 - softness)
            peak = min(peak, setting.ceiling)
        return Loudness(loud + setting.gain - lost, peak + over)

    trials: list[Trial] = []
    setting: Setting | None = first_setting(source)
    while setting is not None and len(trials) < 7:
        trials.append(Trial(setting, finished(setting)))
        setting = next_setting(source, trials)
    chosen = trials[best(trials)]
    assert chosen.result.peak <= -1
    limited = source.peak + chosen.setting.gain - (chosen.setting.ceiling or 0)
    if chosen.setting.ceiling is not None and limited < 29:
        assert abs(chosen.result.integrated + 16) <= 1
