"""How well and how fast the sound of recordings is judged, on sounds made for it.

``python tests/benchmarks/recordings/bench_sound.py [--quick] [--only PART]`` prints
tables: CPU time of listening to an hour; pauses of 0.5 s and more found within 0.15 s, in
each noise; offsets found and refused at each level of noise; offset of two hours, with the
memory it takes. All seeds are others than those on which weights were fitted (1 to 35).
With ``--voices`` and a folder of spoken WAV, FLAC or G.722 files, the pauses are measured
on those as well.
"""

from __future__ import annotations

import argparse
import os
import sys
import threading
import time
from collections import defaultdict
from collections.abc import Callable, Iterator
from pathlib import Path

import av
import numpy as np

sys.path.insert(0, str(Path(__file__).parents[2]))

from recording import staged_sounds as staged

from author.errors import InputError
from author.recording.hearing import RATE, Heard, Listener, pauses
from author.recording.offsets import Offset, offset_between

RATIOS = (20, 15, 10, 5, 3)
FIRST_SEED = 50_000
Spoken = Callable[[np.random.Generator, float], tuple[np.ndarray, list[tuple[float, float]]]]


def _on_first(found: Offset, at: float) -> float:
    """Return the time on the first's clock of a time on the second's."""
    return float(found.seconds) + at * (1 + (found.drift or 0) / 1e6)


def say(line: str) -> None:
    print(line, flush=True)  # noqa: T201 - a script that is read at the terminal


def hear(wave: np.ndarray, piece: int = 1024) -> Heard:
    listener = Listener()
    for at in range(0, len(wave), piece):
        listener.hear(wave[at : at + piece], at)
    return listener.finish()


def speed() -> None:
    """CPU time of an hour, the best of five, heard as packets of a phone come (1024 samples)."""
    wave, _ = staged.in_noise(np.random.default_rng(FIRST_SEED), 300, "room", 15)
    times = []
    for _ in range(5):
        start = time.process_time()
        heard = hear(wave)
        pauses(heard)
        times.append(time.process_time() - start)
    per_hour = min(times) * 12
    size = len(heard.to_bytes()) * 12 / 1e6
    say(f"listening to an hour: {per_hour:.2f} s CPU, {3600 / per_hour:.0f} × real time")
    say(f"record of an hour: {size:.2f} MB")


def voices(folder: Path) -> Spoken:
    """Speech joined from files; a pause is where the clean sound is 25 dB below its level."""
    ends = {".wav", ".flac", ".g722"}
    files = sorted(each for each in folder.rglob("*") if each.suffix in ends)

    def load(path: Path) -> np.ndarray:
        form = "g722" if path.suffix == ".g722" else None
        resampler = av.AudioResampler("flt", "mono", RATE)
        with av.open(str(path), format=form) as sound:
            made = [each for frame in sound.decode(audio=0) for each in resampler.resample(frame)]
        return np.concatenate([each.to_ndarray().reshape(-1) for each in made])

    def speak(rng: np.random.Generator, length: float):
        wave, at = np.zeros(int(length * RATE), np.float32), 0
        while True:
            at += int(rng.choice([rng.uniform(0.25, 0.6), rng.uniform(0.6, 4)]) * RATE)
            said = load(files[rng.integers(len(files))])[: 6 * RATE]
            if at + len(said) + RATE // 2 > len(wave):
                return wave, quiet(wave)
            level = staged.rms(said[np.abs(said) > 0.02]) or 1.0
            wave[at : at + len(said)] = said * (0.12 / level) * rng.uniform(0.7, 1.2)
            at += len(said)

    return speak


def quiet(wave: np.ndarray) -> list[tuple[float, float]]:
    """Pauses of 0.2 s and more in clean speech of level 0.12; clicks under 30 ms are none."""
    levels = np.sqrt(np.mean(wave[: len(wave) // 160 * 160].reshape(-1, 160) ** 2, axis=1))
    found: list[list[int]] = []
    for begin, end in _runs(levels <= 0.12 * 10 ** (-25 / 20)):
        if found and begin - found[-1][1] < 3:
            found[-1][1] = end
        else:
            found.append([begin, end])
    return [(begin / 100, end / 100) for begin, end in found if end - begin >= 20]


def _runs(on: np.ndarray) -> Iterator[tuple[int, int]]:
    edges = np.flatnonzero(np.diff(np.concatenate([[0], on.astype(np.int8), [0]])))
    yield from zip(edges[::2].tolist(), edges[1::2].tolist(), strict=True)


def matched(found, true, tolerance: float) -> np.ndarray:
    """Return true pauses found, true pauses, found pauses that are true, found pauses."""

    def near(one, other) -> bool:
        return all(abs(a - b) <= tolerance for a, b in zip(one, other, strict=True))

    long_true = [each for each in true if each[1] - each[0] >= 0.5]
    long_found = [each for each in found if each[1] - each[0] >= 0.5]
    hit = sum(any(near(each, other) for other in found) for each in long_true)
    right = sum(any(near(each, other) for other in true) for each in long_found)
    return np.array([hit, len(long_true), right, len(long_found)])


def pause_table(name: str, spoken: Spoken, seeds: int) -> None:
    totals = defaultdict(lambda: np.zeros(4))
    sums = {0.15: np.zeros(4), 0.25: np.zeros(4)}
    for kind in staged.NOISES:
        for ratio in RATIOS:
            for seed in range(FIRST_SEED, FIRST_SEED + seeds):
                rng = np.random.default_rng(seed)
                said, true = spoken(rng, 60)
                wave = staged.with_noise(rng, said, true, kind, ratio)
                found = [(float(each.start), float(each.end)) for each in pauses(hear(wave, RATE))]
                totals[kind, ratio] += matched(found, true, 0.15)
                for tolerance in sums:
                    sums[tolerance] += matched(found, true, tolerance)
    say(f"\npauses of 0.5 s and more in {name}, recall / precision within 0.15 s, by SNR in dB")
    say("             " + "".join(f"{ratio:>12}" for ratio in RATIOS))
    for kind in staged.NOISES:
        cells = [totals[kind, ratio] for ratio in RATIOS]
        say(f"  {kind:<11}" + "".join(f"{_rates(each):>12}" for each in cells))
    for tolerance, total in sums.items():
        say(f"  all, within {tolerance} s: {_rates(total)}")


def _rates(total: np.ndarray) -> str:
    hit, true, right, found = total
    return f"{hit / max(true, 1):.2f}/{right / max(found, 1):.2f}"


def pair(seed: int) -> tuple[np.ndarray, np.ndarray, float, float, bool, int]:
    """Return two recordings, the true offset, drift, whether they are of one job, and SNR."""
    rng = np.random.default_rng(seed)
    ratio = int(rng.choice([20, 10, 5, 0, -5]))
    noise = str(rng.choice(["room", "compressor", "band saw"]))
    length, one_job = float(rng.choice([15, 30, 60, 120])), rng.random() < 0.6
    shared, drift = rng.uniform(6, 0.9 * length), rng.uniform(-50, 50)
    wave = staged.scene(rng, 2 * length + 2)
    start = length - shared
    first = staged.heard_by(rng, wave, 0, length, ratio, noise=noise)
    if not one_job:
        wave = staged.scene(rng, 2 * length + 2)
    second = staged.heard_by(rng, wave, start, start + length, ratio, drift=drift, noise=noise)
    if rng.random() < 0.5:
        first, second, start, drift = second, first, -start, -drift
    return first, second, start, drift, one_job, ratio


def offset_table(pairs: int) -> None:
    right, wrong, all_of = (defaultdict(int) for _ in range(3))
    errors, false, others = [], 0, 0
    for seed in range(FIRST_SEED, FIRST_SEED + pairs):
        first, second, start, drift, one_job, ratio = pair(seed)
        found: Offset | None = None
        try:
            found = offset_between(first, second, RATE)
        except InputError:
            found = None
        if not one_job:
            others += 1
            false += found is not None
            continue
        all_of[ratio] += 1
        if found is None:
            continue
        # The error in the middle of what both recordings hold.
        ends = min(len(second) / RATE, len(first) / RATE - start)
        middle = round((max(0.0, -start) + ends) / 2, 3)
        slow = drift * 1e-6
        true = start + middle * (1 + slow) + (start * slow if start < 0 else 0.0)
        error = abs(_on_first(found, middle) - true)
        errors.append(error * 1000)
        (right if error <= 0.02 else wrong)[ratio] += 1
    say("\noffsets of pairs of 15 to 120 s, 6 s or more shared, drift to 50 ppm, by SNR in dB")
    for ratio in sorted(all_of, reverse=True):
        told = f"{right[ratio]} right, {wrong[ratio]} wrong of {all_of[ratio]}, the rest refused"
        say(f"  {ratio:>4}: {told}")
    say(f"  pairs of two jobs: {false} of {others} accepted")
    quantiles = np.percentile(errors, [50, 95, 100]).round(2).tolist()
    say(f"  error in ms, median / 95 % / most: {quantiles}")


def hour() -> None:
    """Two recordings of an hour at 8 kHz; the memory is what comes on top of both sounds."""
    rng = np.random.default_rng(FIRST_SEED)
    wave = staged.scene(rng, 4300)
    halves = [
        staged.shaped(each, lambda f: (f < 3900) * 1.0)[::2].copy()
        for each in (
            staged.heard_by(rng, wave, 0, 3600, 5),
            staged.heard_by(rng, wave, 600, 4200, 5, drift=50),
        )
    ]
    del wave
    before = most = _resident()
    done = threading.Event()

    def watch() -> None:
        nonlocal most
        while not done.wait(0.02):
            most = max(most, _resident())

    watcher = threading.Thread(target=watch)
    watcher.start()
    start = time.process_time()
    found = offset_between(halves[0], halves[1], 8000)
    spent = time.process_time() - start
    done.set()
    watcher.join()
    error = max(abs(_on_first(found, at) - (600 + at * (1 + 50e-6))) for at in (0, 3000))
    say(f"\noffset of two recordings of an hour (SNR 5 dB, 50 ppm): {spent:.2f} s CPU,")
    say(f"  {(most - before) / 1e6:.0f} MB, error {error * 1000:.2f} ms, drift {found.drift} ppm")


def _resident() -> int:
    pages = int(Path("/proc/self/statm").read_text().split()[1])
    return pages * os.sysconf("SC_PAGE_SIZE")


def main() -> None:
    parser = argparse.ArgumentParser()
    parser.add_argument("--quick", action="store_true", help="fewer seeds, no hour")
    parser.add_argument("--only", choices=("hearing", "offsets"), help="leave out the rest")
    parser.add_argument("--voices", type=Path, help="folder of spoken files")
    given = parser.parse_args()
    say(f"cores: {os.cpu_count()}")
    seeds = 2 if given.quick else 4
    if given.only != "offsets":
        speed()
        pause_table("generated speech", staged.speech, seeds)
    if given.voices:
        pause_table("recorded speech", voices(given.voices), seeds)
    if given.only != "hearing":
        offset_table(40 if given.quick else 200)
        if not given.quick:
            hour()


if __name__ == "__main__":
    main()
