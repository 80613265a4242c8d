"""Sounds of a workshop, made when they are needed: speech with known pauses, machines, blows.

The speech is a source and filter: glottal pulses with a moving pitch led through the
resonances of vowels, with hiss and bursts for consonants. It says nothing, but has the
pitch, formants and syllable rate of speech (values: common practice, no source).
Every sound is made from the random generator that is given, so a seed names it.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np
from numpy.typing import NDArray

RATE = 16_000

Wave = NDArray[np.float32]

# First four resonances of vowels in Hz (a man's voice, rounded; from memory).
VOWELS = (
    (730, 1090, 2440, 3400),
    (270, 2290, 3010, 3500),
    (300, 870, 2240, 3300),
    (530, 1840, 2480, 3500),
    (570, 840, 2410, 3300),
    (440, 1020, 2240, 3300),
    (490, 1350, 1690, 3300),
    (250, 1200, 2300, 3000),
)
_WIDTHS = (70, 90, 130, 200)


def shaped(wave: NDArray[np.floating], gain: Callable[[NDArray[np.float64]], object]) -> Wave:
    """Return ``wave`` led through a filter given by its gain at each frequency in Hz."""
    size = 1 << (len(wave) + 1024).bit_length()
    spectrum = np.fft.rfft(wave, size)
    spectrum *= gain(np.fft.rfftfreq(size, 1 / RATE))
    return np.fft.irfft(spectrum, size)[: len(wave)].astype(np.float32)


def band(low: float, high: float) -> Callable[[NDArray[np.float64]], object]:
    """Gain of a band pass with gentle edges."""
    return lambda f: 1 / np.sqrt((1 + (low / np.maximum(f, 1)) ** 6) * (1 + (f / high) ** 6))


def rms(wave: NDArray[np.floating]) -> float:
    return float(np.sqrt(np.mean(np.square(wave, dtype=np.float64)))) if len(wave) else 0.0


def _faded(wave: Wave, edge: float = 0.012) -> Wave:
    count = min(len(wave) // 2, int(edge * RATE))
    ramp = 0.5 - 0.5 * np.cos(np.pi * np.arange(count) / max(count, 1))
    wave[:count] *= ramp
    wave[len(wave) - count :] *= ramp[::-1]
    return wave


def _resonances(formants: Sequence[float], scale: float) -> Callable[[NDArray[np.float64]], object]:
    def gain(f: NDArray[np.float64]) -> object:
        total = np.ones(len(f), complex)
        for centre, width in zip(formants, _WIDTHS, strict=True):
            at = centre * scale
            total *= at**2 / (at**2 - f**2 + 1j * f * width)
        return total

    return gain


def _vowel(rng: np.random.Generator, pitch: NDArray[np.float64], scale: float) -> Wave:
    """Glottal pulses at ``pitch`` (Hz for each sample) through two vowels, gliding over."""
    turns = np.cumsum(pitch / RATE)
    # Pulses that open slowly and close fast: the spectrum falls about 12 dB an octave.
    phase = turns % 1
    pulses = np.where(phase < 0.6, phase**2 * (0.6 - phase) * 28, 0) - 0.2
    pulses = np.diff(pulses, prepend=pulses[0])  # what leaves the lips
    pulses += rng.standard_normal(len(pulses)) * 0.002
    first, second = rng.choice(len(VOWELS), 2)
    glide = np.linspace(0, 1, len(pitch))
    return _faded(
        shaped(pulses, _resonances(VOWELS[first], scale)) * (1 - glide)
        + shaped(pulses, _resonances(VOWELS[second], scale)) * glide
    ).astype(np.float32)


def _consonant(rng: np.random.Generator) -> Wave:
    kind = rng.integers(4)
    if kind == 0:  # nothing before the vowel
        return np.zeros(0, np.float32)
    if kind == 1:  # a hiss
        count = int(rng.uniform(0.06, 0.14) * RATE)
        low = rng.uniform(1500, 3500)
        return _faded(shaped(rng.standard_normal(count), band(low, 7000)) * 0.10)
    if kind == 2:  # closure and burst
        closed = np.zeros(int(rng.uniform(0.03, 0.07) * RATE), np.float32)
        count = int(rng.uniform(0.01, 0.03) * RATE)
        burst = shaped(rng.standard_normal(count), band(rng.uniform(500, 2500), 5000)) * 0.25
        return np.concatenate([closed, burst])
    count = int(rng.uniform(0.05, 0.09) * RATE)  # a soft breath
    return _faded(shaped(rng.standard_normal(count), band(400, 3000)) * 0.04)


def phrase(rng: np.random.Generator, length: float, voice: float, scale: float = 1.0) -> Wave:
    """Return about ``length`` seconds of syllables; ``voice`` is the mean pitch in Hz."""
    parts: list[Wave] = []
    said, end = 0, int(length * RATE)
    while said < end:
        onset = _consonant(rng) if parts else _consonant(rng).copy()
        count = int(rng.uniform(0.09, 0.24) * RATE)
        way = said / end
        start = voice * (1.12 - 0.25 * way) * rng.uniform(0.92, 1.12)
        pitch = start * np.linspace(1, rng.uniform(0.85, 1.12), count)
        pitch *= 1 + 0.01 * np.interp(np.arange(count), [0, count], rng.standard_normal(2))
        vowel = _vowel(rng, pitch, scale)
        vowel *= rng.uniform(0.4, 1.0) / max(rms(vowel), 1e-9) * 0.2
        parts += [onset, vowel]
        said += len(onset) + len(vowel)
    joined = np.concatenate(parts)
    first = int(np.argmax(np.abs(joined) > 1e-4))
    return joined[first:]


def speech(
    rng: np.random.Generator, length: float, *, longest: float = 4.0
) -> tuple[Wave, list[tuple[float, float]]]:
    """Return speech of ``length`` seconds (active level about −17 dBFS) and its pauses.

    Pauses between phrases last 0.25 s to ``longest``; those at both ends are told too.
    """
    wave = np.zeros(int(length * RATE), np.float32)
    voice, scale = rng.uniform(90, 240), rng.uniform(0.95, 1.18)
    pauses, at = [], 0.0
    while True:
        pause = float(rng.choice([rng.uniform(0.25, 0.6), rng.uniform(0.6, longest)]))
        said = phrase(rng, rng.uniform(0.3, 3.5), voice, scale)
        start = int((at + pause) * RATE)
        if start + len(said) + RATE // 2 > len(wave):
            break
        wave[start : start + len(said)] = said * rng.uniform(0.7, 1.2)
        pauses.append((at, start / RATE))
        at = (start + len(said)) / RATE
    pauses.append((at, length))
    return wave, pauses


def active_rms(wave: Wave, pauses: Sequence[tuple[float, float]]) -> float:
    """Level of the speech without its pauses."""
    quiet = sum(end - start for start, end in pauses)
    return float(np.sqrt(np.sum(np.square(wave, dtype=np.float64)) / (len(wave) - quiet * RATE)))


def room(rng: np.random.Generator, count: int) -> Wave:
    """The hiss and rumble of a room: falls with frequency."""
    wave = shaped(rng.standard_normal(count), lambda f: 1 / np.sqrt(1 + (f / 120) ** 1.4))
    return wave / rms(wave)


def compressor(rng: np.random.Generator, count: int) -> Wave:
    """A piston compressor: thumps at 10 to 20 a second, hum of its motor, broad noise."""
    time = np.arange(count) / RATE
    beat = rng.uniform(10, 20)
    thumps = np.maximum(0, np.cos(2 * np.pi * beat * time)) ** 8
    broad = shaped(rng.standard_normal(count), band(60, 2500))
    hum = sum(
        rng.uniform(0.2, 1) * np.sin(2 * np.pi * 50 * k * time + rng.uniform(0, 6))
        for k in (1, 2, 3, 4, 6, 8, 12)
    )
    wave = broad * (0.5 + 1.5 * thumps) + 0.4 * hum
    return (wave / rms(wave)).astype(np.float32)


def band_saw(rng: np.random.Generator, count: int) -> Wave:
    """A band saw: teeth at a few hundred Hz that sag under load, hiss, slow swell."""
    time = np.arange(count) / RATE
    knots = np.interp(time, np.arange(0, time[-1] + 4, 2.0), _walk(rng, int(time[-1] / 2) + 3))
    turns = np.cumsum(rng.uniform(250, 600) * (1 + 0.01 * knots) / RATE)
    teeth = sum(np.sin(2 * np.pi * k * turns + rng.uniform(0, 6)) / k for k in range(1, 9))
    hiss = shaped(rng.standard_normal(count), band(800, 6000))
    wave = (teeth * 0.5 + hiss / rms(hiss)) * (1 + 0.2 * knots)
    return (wave / rms(wave)).astype(np.float32)


def _walk(rng: np.random.Generator, count: int) -> NDArray[np.float64]:
    return np.clip(np.cumsum(rng.standard_normal(count) * 0.4), -1, 1)


def blow(rng: np.random.Generator, *, bright: bool = False) -> Wave:
    """One hammer blow on steel, or with ``bright`` the clink of a tool laid down."""
    count = int(RATE * (0.3 if bright else 0.8))
    time = np.arange(count) / RATE
    low, high = (2000, 7000) if bright else (150, 5000)
    modes = np.exp(rng.uniform(np.log(low), np.log(high), 7))
    wave = sum(
        rng.uniform(0.2, 1)
        * np.exp(-time * rng.uniform(6, 60))
        * np.sin(2 * np.pi * mode * time + rng.uniform(0, 6))
        for mode in modes
    )
    wave = wave + rng.standard_normal(count) * np.exp(-time * 250) * 2
    return (wave / np.abs(wave).max()).astype(np.float32)


def blows(
    rng: np.random.Generator, count: int, every: float, *, bright: bool = False, peak: float = 1.0
) -> Wave:
    """Return ``count`` samples with a blow about ``every`` seconds."""
    wave = np.zeros(count, np.float32)
    at = rng.uniform(0, every)
    while at < count / RATE - 0.9:
        one = blow(rng, bright=bright) * rng.uniform(0.2, 1) * peak
        start = int(at * RATE)
        wave[start : start + len(one)] += one
        at += rng.uniform(0.4, 1.6) * every
    return wave


NOISES: dict[str, Callable[[np.random.Generator, int], Wave]] = {
    "room": room,
    "compressor": compressor,
    "band saw": band_saw,
    "hammer": lambda rng, count: room(rng, count) * 0.02 + blows(rng, count, 1.2),
    "clinks": lambda rng, count: room(rng, count) * 0.02 + blows(rng, count, 0.8, bright=True),
}
"""Noises by name, of level 1 (steady ones) or with peaks up to 1 (blows)."""


def with_noise(
    rng: np.random.Generator,
    said: Wave,
    pauses: Sequence[tuple[float, float]],
    kind: str,
    ratio: float,
) -> Wave:
    """Return speech in a noise ``ratio`` dB below its active level.

    For blows the ratio sets the room's noise; the blows themselves are as loud as the voice.
    """
    level = active_rms(said, pauses) * 10 ** (-ratio / 20)
    noise = NOISES[kind](rng, len(said))
    alone = kind in ("hammer", "clinks")
    noise = noise + room(rng, len(said)) * level if alone else noise * level
    return (said + noise).astype(np.float32)


def in_noise(
    rng: np.random.Generator, length: float, kind: str, ratio: float
) -> tuple[Wave, list[tuple[float, float]]]:
    """Return speech in a noise ``ratio`` dB below its active level, and its pauses."""
    said, pauses = speech(rng, length)
    return with_noise(rng, said, pauses, kind, ratio), pauses


def scene(rng: np.random.Generator, length: float) -> Wave:
    """A job as it sounds: speech, blows and clinks, a few seconds apart."""
    wave, _ = speech(rng, length)
    wave += blows(rng, len(wave), rng.uniform(2, 6), peak=rng.uniform(0.2, 0.8))
    wave += blows(rng, len(wave), rng.uniform(2, 6), bright=True, peak=rng.uniform(0.1, 0.5))
    return wave


def heard_by(
    rng: np.random.Generator,
    wave: Wave,
    start: float,
    end: float,
    ratio: float,
    *,
    drift: float = 0.0,
    noise: str = "room",
) -> Wave:
    """Return ``wave`` from ``start`` to ``end`` as one camera records it.

    The camera stands in a room with echoes, has its own colour and gain, a clock that
    runs ``drift`` parts per million slow, and its own noise ``ratio`` dB below the sound.
    """
    count = int((end - start) * RATE)
    decay = rng.uniform(0.03, 0.09)
    echoes = rng.standard_normal(int(6 * decay * RATE))
    echoes *= np.exp(-np.arange(len(echoes)) / (decay * RATE)) * rng.uniform(0.03, 0.1)
    echoes[0] = 1.0
    first = int(start * RATE)
    piece = wave[first : int(end * RATE * (1 + abs(drift) * 1e-6)) + RATE]
    made = np.zeros(len(piece), np.float32)
    step = 1 << 16
    size = 1 << (step + len(echoes)).bit_length()
    colour = 1 / np.sqrt(1 + (np.fft.rfftfreq(size, 1 / RATE) / rng.uniform(1500, 7000)) ** 2)
    filt = np.fft.rfft(echoes, size) * colour
    for at in range(0, len(piece), step):
        part = np.fft.irfft(np.fft.rfft(piece[at : at + step], size) * filt, size)
        end_at = min(len(made), at + size)
        made[at:end_at] += part[: end_at - at].astype(np.float32)
    if drift:
        moments = np.arange(count) * (1 + drift * 1e-6) + (start * RATE - first)
        made = np.interp(moments, np.arange(len(made)), made).astype(np.float32)
    made = np.pad(made[:count], (0, max(0, count - len(made))))
    made += NOISES[noise](rng, count) * rms(made) * 10 ** (-ratio / 20)
    return (made * rng.uniform(0.1, 1.5)).astype(np.float32)
