from __future__ import annotations

from decimal import Decimal

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from author.recording.hearing import RATE, SILENCE, Heard, Listener, pauses

from . import staged_sounds as staged


def hear(*pieces: tuple[np.ndarray, int]) -> Heard:
    listener = Listener()
    for samples, start in pieces:
        listener.hear(samples.astype(np.float32), start)
    return listener.finish()


def sine(length: float, hertz: float, decibels: float) -> np.ndarray:
    time = np.arange(int(length * RATE)) / RATE
    return np.sin(2 * np.pi * hertz * time) * 10 ** (decibels / 20)


def same(one: Heard, other: Heard) -> bool:
    return all(
        np.array_equal(getattr(one, name), getattr(other, name))
        for name in ("level", "momentary", "speech")
    )


@pytest.mark.parametrize("hertz", [200, 440, 1000, 5000])
def test_the_level_of_a_sine_is_its_peak(hertz):
    # AES17: a sine wave of full scale is 0 dBFS.
    level = hear((sine(1, hertz, -20), 0)).level
    assert len(level) == 50
    assert np.allclose(level[5:-5], -20, atol=0.1)


def test_rumble_is_not_in_the_level():
    assert hear((sine(1, 20, -6), 0)).level[5:-5].max() < -30  # 24 dB less at least


def test_the_loudness_of_a_sine_of_1_khz():
    # EBU Tech 3341, case 1, from memory: a stereo sine of 1 kHz at -23 dBFS reads
    # -23.0 LUFS ±0.1; one channel alone has half the power, 3.01 LU less.
    momentary = hear((sine(5, 1000, -23), 0)).momentary
    assert np.allclose(momentary[5:-1], -26.01, atol=0.1)


# Gain of the two filters of ITU-R BS.1770-4, worked out from its coefficients at 48 kHz with
# the constant of -0.691 taken off; at 1 kHz the two make 0 together.
@pytest.mark.parametrize(
    ("hertz", "gain"), [(40, -5.57), (50, -3.93), (60, -2.90), (100, -1.13), (200, -0.26)]
)
def test_low_tones_count_less_in_loudness(hertz, gain):
    momentary = hear((sine(2, hertz, -10), 0)).momentary
    assert np.allclose(momentary[6:-1], -10 - 3.01 - 0.691 + gain, atol=0.2)


def test_momentary_loudness_is_that_of_the_last_400_ms():
    # EBU Tech 3341: a window of 400 ms. A tone half as long in it reads 3 LU less.
    heard = hear((np.concatenate([np.zeros(RATE), sine(2, 1000, -20)]), 0)).momentary
    assert np.all(heard[:9] == SILENCE)
    assert heard[13] - heard[11] == pytest.approx(3.01, abs=0.4)
    assert heard[20] == pytest.approx(-23.01, abs=0.1)


@settings(max_examples=20, deadline=None)
@given(st.lists(st.integers(1, 30_000), min_size=1, max_size=12), st.integers(0, 5))
def test_it_does_not_matter_how_the_sound_is_cut(cuts, overlap):
    samples = np.random.default_rng(1).standard_normal(160_000).astype(np.float32) * 0.1
    pieces, at = [], 0
    for cut in [*cuts, len(samples)]:
        begin = max(0, at - overlap)
        pieces.append((samples[begin : at + cut], begin))
        at += cut
    assert same(hear((samples, 0)), hear(*pieces))


def test_gaps_are_silence_and_what_lies_before_zero_is_dropped():
    tone = sine(1, 1000, -20)
    level = hear((tone, -RATE // 2), (tone, 2 * RATE)).level
    assert len(level) == 150
    assert np.allclose(level[2:23], -20, atol=0.1)
    assert np.all(level[27:98] == SILENCE)
    assert np.allclose(level[102:148], -20, atol=0.1)


def test_nothing_heard_is_nothing():
    heard = Listener().finish()
    assert len(heard.level) == len(heard.momentary) == len(heard.speech) == 0
    assert pauses(heard) == ()
    assert same(Heard.from_bytes(heard.to_bytes()), heard)


def test_senseless_samples_are_silence():
    bad = np.array([np.nan, np.inf, 1e30] * 4000)
    heard = hear((bad, 0), (sine(2, 1000, -20), len(bad)))
    assert np.isfinite(heard.level).all()
    assert heard.level[-20] == pytest.approx(-20, abs=0.1)


def test_a_stored_record_comes_back_and_a_damaged_one_does_not():
    heard = hear((sine(3.33, 700, -12), 0))
    data = heard.to_bytes()
    assert same(Heard.from_bytes(data), heard)
    assert len(data) * 3600 / 3.33 < 2_000_000
    for bad in (b"", data[:-1], data + b"0", b"X" + data[1:], data[:12]):
        with pytest.raises(ValueError, match="record"):
            Heard.from_bytes(bad)


def spans(heard: Heard) -> list[tuple[float, float]]:
    return [(float(pause.start), float(pause.end)) for pause in pauses(heard)]


@pytest.mark.parametrize("noise", ["room", "band saw"])
def test_pauses_between_phrases_are_found(noise):
    # A quiet room and a machine that runs on, both 15 dB under the voice.
    rng = np.random.default_rng(11)
    wave = np.zeros(int(14 * RATE), np.float32)
    for start, length in ((1.0, 3.0), (6.0, 2.0), (10.0, 2.5)):
        said = staged.phrase(rng, length, 170)[: int(length * RATE)]
        wave[int(start * RATE) :][: len(said)] = said
    level = staged.rms(wave[RATE : 4 * RATE]) * 10 ** (-15 / 20)
    found = spans(hear((wave + staged.NOISES[noise](rng, len(wave)) * level, 0)))
    for start, end in ((0.0, 1.0), (4.0, 6.0), (8.0, 10.0), (12.5, 14.0)):
        assert any(abs(a - start) < 0.2 and abs(b - end) < 0.2 for a, b in found), found


@pytest.mark.parametrize("noise", ["room", "compressor", "clinks"])
def test_noise_alone_is_one_long_pause(noise):
    rng = np.random.default_rng(5)
    wave = staged.NOISES[noise](rng, 20 * RATE) * 0.1
    quiet = sum(end - start for start, end in spans(hear((wave, 0))))
    assert quiet > 18


def test_a_machine_that_starts_is_not_speech():
    rng = np.random.default_rng(3)
    wave = staged.room(rng, 20 * RATE) * 0.003
    wave[10 * RATE :] += staged.band_saw(rng, 10 * RATE) * 0.1
    assert spans(hear((wave, 0))) == [(0.0, 20.0)]


def test_short_pauses_are_told_when_asked_for():
    heard = Heard(
        np.zeros(100, np.float32),
        np.zeros(20, np.float32),
        np.repeat([255, 0, 255, 0], [30, 10, 30, 30]).astype(np.uint8),
    )
    assert [(p.start, p.end) for p in pauses(heard)] == [(Decimal("1.400000"), Decimal("2.000000"))]
    assert len(pauses(heard, Decimal("0.2"))) == 2
