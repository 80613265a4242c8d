"""Twenty clips of one film at once, beside twenty runs of ffmpeg by themselves.

``python tests/benchmarks/recordings/bench_clips.py [FILM]``. Without a film, one of five
minutes (1920×1080, 30 frames a second, a key frame every 250 frames, B-frames, noise) is
made first, which takes some minutes. The runs beside use the same decoder and encoder
settings and filters, seek to the key frame before the clip, and even the loudness in two
passes (``loudnorm``: measure, then set), as its documentation says. CPU time is that of
the child processes (user and system); memory is the largest sum over the processes
running at a time, seen twenty times a second.
"""

from __future__ import annotations

import os
import random
import re
import resource
import subprocess
import sys
import tempfile
import threading
import time
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import psutil

from author.recording import facts_of
from author.recording.clips import ClipOrder, export_clips
from author.recording.ffmpeg import SCALING, ffmpeg_program
from author.recording.spans import THREADS

COUNT, LENGTH, RATE = 20, 300, 30
LOUD = "I=-16:TP=-1.5:LRA=11"


def say(line: str) -> None:
    print(line, flush=True)  # noqa: T201 - a script that is read at the terminal


def make(path: Path) -> Path:
    picture = "testsrc2=s=1920x1080:r=30:d=300,noise=alls=12:allf=t"
    command = [ffmpeg_program(), "-v", "error", "-f", "lavfi", "-i", picture, "-f", "lavfi"]
    command += ["-i", "anoisesrc=d=300:c=pink:a=0.1,aformat=channel_layouts=stereo"]
    command += ["-c:v", "libx264", "-preset", "veryfast", "-b:v", "10M", "-g", "250"]
    command += ["-keyint_min", "250", "-sc_threshold", "0", "-bf", "3", "-pix_fmt", "yuv420p"]
    subprocess.run([*command, "-c:a", "aac", "-b:a", "128k", str(path)], check=True)
    return path


def spread(total: int, seed: int) -> list[int]:
    """First frames of clips that do not overlap, with gaps of chance."""
    free = total - COUNT * LENGTH
    cuts = sorted(random.Random(seed).randint(0, free) for _ in range(COUNT))
    return [cut + LENGTH * number for number, cut in enumerate(cuts)]


def even(total: int) -> list[int]:
    """First frames of clips with equal gaps."""
    return [total * number // COUNT for number in range(COUNT)]


def overlapping(total: int) -> list[int]:
    """First frames of clips of which each begins in the middle of the one before."""
    return [total // 4 + number * LENGTH // 2 for number in range(COUNT)]


def alone(path: Path, first: int, out: Path) -> None:
    """Write one clip as a person would with ffmpeg alone."""
    start, length = f"{first / RATE:.6f}", f"{LENGTH / RATE:.6f}"
    program = [ffmpeg_program(), "-hide_banner", "-nostdin", "-y", "-threads", str(THREADS)]
    opened = [*program, "-ss", start, "-t", length, "-i", str(path)]
    meter = f"aresample=48000,loudnorm={LOUD}:print_format=json"
    command = [*opened, "-vn", "-af", meter, "-f", "null", "-"]
    log = subprocess.run(command, capture_output=True, text=True, check=True).stderr
    found = dict(re.findall(r'"(\w+)" : "([^"]+)"', log))
    measured = ":".join(
        f"{name}={found[key]}"
        for name, key in (
            ("measured_I", "input_i"),
            ("measured_TP", "input_tp"),
            ("measured_LRA", "input_lra"),
            ("measured_thresh", "input_thresh"),
            ("offset", "target_offset"),
        )
    )
    scale = "scale=1920:1080:in_color_matrix=bt709:out_color_matrix=bt709:in_range=tv"
    chain = f"{scale}:out_range=tv:flags={SCALING},format=yuv420p,setsar=1"
    command = [*opened, "-vf", f"{chain},setparams=colorspace=bt709:range=tv:field_mode=prog"]
    command += ["-af", f"aresample=48000,loudnorm={LOUD}:{measured}:linear=true,aresample=48000"]
    command += ["-c:v", "libx264", "-preset", "veryfast", "-crf", "23", "-bf", "0", "-g", "60"]
    command += ["-threads:v", str(THREADS), "-c:a", "aac", "-b:a", "160k", "-ac", "2"]
    command += ["-movflags", "+faststart", str(out)]
    subprocess.run(command, capture_output=True, check=True)


@dataclass
class Cost:
    """What a piece of work took: seconds of CPU and of the clock, largest memory in MB."""

    cpu: float
    wall: float
    memory: float


def cost(work: Callable[[], object]) -> Cost:
    peak, over = 0.0, threading.Event()

    def watch() -> None:
        nonlocal peak
        while not over.wait(0.05):
            total = 0
            for child in psutil.Process().children(recursive=True):
                try:
                    total += child.memory_info().rss
                except psutil.Error:
                    continue
            peak = max(peak, total / 1e6)

    watcher = threading.Thread(target=watch)
    watcher.start()
    before, start = resource.getrusage(resource.RUSAGE_CHILDREN), time.perf_counter()
    try:
        work()
    finally:
        over.set()
        watcher.join()
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    cpu = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
    return Cost(cpu, time.perf_counter() - start, peak)


def compare(path: Path, name: str, firsts: list[int], folder: Path) -> None:
    facts = facts_of(path)
    orders = [
        ClipOrder(f"clip {n}", first, first + LENGTH, folder / f"ours-{n}.mp4")
        for n, first in enumerate(firsts)
    ]
    ours = cost(lambda: export_clips(path, facts, orders))
    theirs = cost(
        lambda: [alone(path, first, folder / f"alone-{n}.mp4") for n, first in enumerate(firsts)]
    )
    for what, taken in (("at once", ours), ("alone", theirs)):
        say(
            f"{name}, {what}: CPU {taken.cpu:.1f} s, wall {taken.wall:.1f} s, "
            f"memory {taken.memory:.0f} MB"
        )
    say(f"{name}: CPU {ours.cpu / theirs.cpu:.3f}, wall {ours.wall / theirs.wall:.3f} of alone")


def main() -> None:
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        os.environ["REELWRIGHT_CACHE"] = str(folder / "cache")
        path = Path(sys.argv[1]) if len(sys.argv) > 1 else make(folder / "film.mp4")
        total = facts_of(path).frame_count
        say(f"cores: {os.cpu_count()}, load: {os.getloadavg()[0]:.1f}, frames: {total}")
        compare(path, "equal gaps", even(total), folder)
        compare(path, "gaps of chance", spread(total, 1), folder)
        compare(path, "overlapping", overlapping(total), folder)


if __name__ == "__main__":
    main()
