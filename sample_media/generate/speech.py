"""The spoken narration: the program Flite with its CMU ARCTIC voice "rms"."""

from __future__ import annotations

import re
import subprocess
import tempfile
import wave
from pathlib import Path

import cv2
import numpy as np

RATE = 48000
VOICE = "rms"
SENTENCE = re.compile(r"[^.!?]+[.!?]")
PAUSE = 0.28
LOUDNESS = 0.078
MIDDLE_DB = 8.0
TREBLE_DB = 5.0
# What the voice's American lexicon would say wrongly, and what it says rightly.
RESPELT = {"kilonewton": "kilo newton", "metre": "meter"}


def sentences(narration: str) -> list[str]:
    """Return the narration's sentences, each one caption long."""
    return [s.strip() for s in SENTENCE.findall(narration)]


def say(words: str) -> np.ndarray:
    """Return the sentence as mono samples (-1..1) at RATE, silence at its ends cut off.

    The same words always give the same samples, and every sentence is equally loud.
    """
    line = _clear(*_flite(words))
    loud = np.flatnonzero(np.abs(line) > 0.02 * np.abs(line).max())
    first, end = loud[0], loud[-1] + 1
    line *= LOUDNESS / np.sqrt(np.mean(line[first:end] ** 2))
    pad = RATE // 50
    return line[max(0, first - pad) : end + 3 * pad]


def _flite(words: str) -> tuple[np.ndarray, int]:
    """Return the words as Flite speaks them, and the rate of the samples."""
    for written, spoken in RESPELT.items():
        words = words.replace(written, spoken)
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "line.wav"
        subprocess.run(["flite", "-voice", VOICE, "-t", words, "-o", str(path)], check=True)  # noqa: S607
        with wave.open(str(path)) as file:
            raw = file.readframes(file.getnframes())
            rate = file.getframerate()
    return np.frombuffer(raw, np.int16).astype(np.float64) / 32768, rate


def _clear(samples: np.ndarray, rate: int) -> np.ndarray:
    """Return the samples at RATE, less boomy: middle and treble are lifted."""
    count = round(len(samples) * RATE / rate)
    spectrum = np.fft.rfft(samples)
    pitch = np.fft.rfftfreq(len(samples), 1 / rate)
    shelves = MIDDLE_DB * _rise(pitch, 250, 900)
    shelves += (TREBLE_DB - MIDDLE_DB) * _rise(pitch, 2500, 4500)
    band = _rise(pitch, 40, 160) * (1 - _rise(pitch, 0.44 * rate, 0.5 * rate))
    line = np.fft.irfft(spectrum * band * 10 ** (shelves / 20), count) * (count / len(samples))
    return line.astype(np.float32)


def _rise(pitch: np.ndarray, low: float, high: float) -> np.ndarray:
    """Return 0 below the low pitch, 1 above the high one, and a soft step between them."""
    share = np.clip((pitch - low) / (high - low), 0, 1)
    return share * share * (3 - 2 * share)


def room(length: int, seed: int) -> np.ndarray:
    """Return a quiet workshop: hum and air."""
    rng = np.random.default_rng(seed)
    air = rng.standard_normal(length).astype(np.float32)
    air = cv2.GaussianBlur(air.reshape(1, -1), (0, 0), 9)[0] * 0.01
    t = np.arange(length) / RATE
    return air + (0.0016 * np.sin(2 * np.pi * 50 * t)).astype(np.float32)


def thud(strength: float, seed: int, pitch: float = 170.0) -> np.ndarray:
    """Return a short knock, as of a hammer or a click."""
    rng = np.random.default_rng(seed)
    t = np.arange(int(RATE * 0.16)) / RATE
    tone = np.sin(2 * np.pi * pitch * t) * np.exp(-t * 38)
    tap = rng.standard_normal(len(t)) * np.exp(-t * 160) * 0.5
    return (strength * (tone + tap)).astype(np.float32)
