"""How long the recording engine takes: ``python tests/benchmarks/bench_recording.py [FILM]``.

Without a film, one of 150 s (1280×720, 30 frames a second, a key frame every 250
frames, B-frames, noise) is made first. Prints one figure a line.
"""

from __future__ import annotations

import os
import random
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

import av
import imageio_ffmpeg

from author.recording import FrameReader, export_clip, facts_of

RUNS = 25


def say(line: str) -> None:
    print(line, flush=True)  # noqa: T201 - a script that is read at the terminal


def timed(work: Callable[[], object]) -> float:
    """Seconds that ``work`` takes."""
    start = time.perf_counter()
    work()
    return time.perf_counter() - start


def make(path: Path) -> Path:
    picture = "testsrc2=s=1280x720:r=30:d=150,noise=alls=4:allf=t"
    command = [imageio_ffmpeg.get_ffmpeg_exe(), "-v", "error", "-f", "lavfi", "-i", picture]
    command += ["-f", "lavfi", "-i", "sine=d=150", "-c:v", "libx264", "-preset", "veryfast"]
    command += ["-g", "250", "-bf", "3", "-c:a", "aac", str(path)]
    subprocess.run(command, check=True)
    return path


def decode_only(path: Path) -> None:
    with av.open(str(path)) as film:
        film.streams.video[0].thread_type = "AUTO"
        for _ in film.decode(video=0):
            pass


def main() -> None:
    with tempfile.TemporaryDirectory() as folder:
        os.environ["REELWRIGHT_CACHE"] = str(Path(folder) / "cache")
        path = Path(sys.argv[1]) if len(sys.argv) > 1 else make(Path(folder) / "film.mp4")
        say(f"cores: {os.cpu_count()}, film: {path.stat().st_size / 1e6:.1f} MB")
        say(f"bare decoding: {timed(lambda: decode_only(path)):.2f} s")
        say(f"describe, first time: {timed(lambda: facts_of(path)):.2f} s")
        facts = facts_of(path)
        say(f"describe, known: {timed(lambda: facts_of(path)) * 1000:.0f} ms")
        chosen = [random.randrange(facts.frame_count) for _ in range(RUNS)]
        with FrameReader(path, facts) as reader:
            say(f"first frame: {timed(lambda: reader.frame(0)) * 1000:.0f} ms")
            times = sorted(timed(lambda n=n: reader.frame(n)) for n in chosen)
            median = statistics.median(times)
            say(f"random frame: median {median * 1000:.0f}, longest {times[-1] * 1000:.0f} ms")
            row = range(facts.frame_count // 2, facts.frame_count // 2 + 60)
            each = timed(lambda: list(reader.frames(row))) / len(row)
            say(f"next frame: {each * 1000:.1f} ms")
        out, first = Path(folder) / "clip.mp4", facts.frame_count // 2
        end = min(first + 180, facts.frame_count)
        took = timed(lambda: export_clip(path, facts, first, end, out))
        say(f"clip of {end - first} frames: {took:.2f} s, {out.stat().st_size / 1e6:.2f} MB")


if __name__ == "__main__":
    main()
