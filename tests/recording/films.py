"""Small awkward films whose frames carry their own number, made when the tests run.

The number stands as twelve upright bars across the upper half of the shown picture,
white for one, so that it survives scaling; the lower half is red at the left and blue
at the right, so that a turned or mirrored picture is noticed.
"""

from __future__ import annotations

import subprocess
from collections.abc import Callable, Sequence
from fractions import Fraction
from pathlib import Path

import av
import imageio_ffmpeg
import numpy as np

BITS = 12
RATE = 48_000


def draw(number: int, width: int, height: int) -> np.ndarray:
    """Return a shown picture: height × width × 3, RGB."""
    picture = np.zeros((height, width, 3), np.uint8)
    x = np.arange(width) * BITS // width
    bits = (number >> x) & 1
    picture[: height // 2] = (bits * 215 + 20).astype(np.uint8)[None, :, None]
    noise = np.random.default_rng(number).integers(0, 40, (height - height // 2, width))
    picture[height // 2 :, :, 1] = noise
    picture[height // 2 :, : width // 2, 0] = 220
    picture[height // 2 :, width // 2 :, 2] = 220
    return picture


def number_in(pixels: np.ndarray) -> int:
    """Return the number a shown picture carries; fails if it is turned or mirrored."""
    height, width, _ = pixels.shape
    low = pixels[height * 5 // 8 : height * 7 // 8].astype(int)
    left, right = low[:, : width * 3 // 8].mean((0, 1)), low[:, width * 5 // 8 :].mean((0, 1))
    assert left[0] > left[2] + 80, "red is not at the lower left"
    assert right[2] > right[0] + 80, "blue is not at the lower right"
    found = 0
    for bit in range(BITS):
        middle = int((bit + 0.5) * width / BITS)
        bar = pixels[height // 8 : height * 3 // 8, max(0, middle - 1) : middle + 2]
        found |= int(bar.mean() > 128) << bit
    return found


def make(
    path: Path,
    ticks: Sequence[int],
    base: Fraction = Fraction(1, 30_000),
    *,
    size: tuple[int, int] = (96, 64),
    codec: str = "libx264",
    pixel_format: str = "yuv420p",
    options: dict[str, str] | None = None,
    container: dict[str, str] | None = None,
    aspect: Fraction | None = None,
    matrix: Sequence[int] | None = None,
    to_stored: Callable[[np.ndarray], np.ndarray] = lambda shown: shown,
    sound: np.ndarray | None = None,
    sound_start: Fraction = Fraction(0),
    form: str | None = None,
    first_number: int = 0,
) -> Path:
    """Write a film whose frames are shown at ``ticks``; ``size`` is that of the shown picture."""
    with av.open(str(path), "w", format=form, options=container or {}) as film:
        stored = to_stored(draw(0, *size))
        stream = film.add_stream(codec, rate=30, options=options or {})
        stream.height, stream.width = stored.shape[:2]
        stream.pix_fmt = pixel_format
        stream.codec_context.time_base = base
        stream.time_base = base
        if aspect is not None:
            stream.codec_context.sample_aspect_ratio = aspect
        if matrix is not None:
            stream.set_display_matrix(matrix)
        audio = film.add_stream("aac", rate=RATE, layout="mono") if sound is not None else None
        packets = []
        for number, tick in enumerate(ticks, first_number):
            frame = av.VideoFrame.from_ndarray(to_stored(draw(number, *size)), format="rgb24")
            frame = frame.reformat(format=pixel_format)
            frame.pts, frame.time_base = tick, base
            packets += stream.encode(frame)
        packets += stream.encode(None)
        if audio is not None:
            packets += coded(audio, sound, sound_start)
        packets.sort(key=lambda each: each.dts * each.time_base)
        for packet in packets:
            film.mux(packet)
    return path


def coded(stream, samples: np.ndarray, start: Fraction) -> list:
    packets = []
    first = int(start * RATE)
    for at in range(0, len(samples), 1024):
        part = samples[None, at : at + 1024].astype(np.float32)
        frame = av.AudioFrame.from_ndarray(np.ascontiguousarray(part), "fltp", "mono")
        frame.sample_rate, frame.pts, frame.time_base = RATE, first + at, Fraction(1, RATE)
        packets += stream.encode(frame)
    return packets + stream.encode(None)


def ffmpeg(*arguments: str | Path) -> None:
    """Run ffmpeg, to make what PyAV cannot, or as a second opinion."""
    command = [imageio_ffmpeg.get_ffmpeg_exe(), "-v", "error", "-nostdin", "-y"]
    subprocess.run([*command, *map(str, arguments)], check=True)


def steady(count: int, step: int = 1000, start: int = 0) -> list[int]:
    """Ticks of a constant rate."""
    return [start + step * number for number in range(count)]


def uneven(count: int) -> list[int]:
    """Ticks of a rate as phones write it: 5 ms to 2 s between frames (base 1/90000)."""
    steps = [450, 3003, 2997, 3600, 9000, 1500, 27_000, 180_000]
    ticks = [0]
    for number in range(count - 1):
        ticks.append(ticks[-1] + steps[number * 5 % 8 if number % 11 == 0 else number % 6])
    return ticks


def tone(length: float, *, level: float = 0.2, beeps: Sequence[float] | None = None) -> np.ndarray:
    """A 1 kHz tone of ``length`` seconds; with ``beeps``, only 0.1 s from each of those times."""
    time = np.arange(int(length * RATE)) / RATE
    wave = level * np.sin(2 * np.pi * 1000 * time)
    if beeps is not None:
        on = np.zeros(len(time), bool)
        for each in beeps:
            on |= (time >= each) & (time < each + 0.1)
        wave = wave * on
    return wave
