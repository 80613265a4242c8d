"""Times the commands on the sample, as a user waits for them: each in a process of its own.

Run by hand: ``python tests/benchmarks/bench_commands.py``. Never part of the tests.
"""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
COMMAND = Path(sys.executable).with_name("reelwright")
SAMPLE = "sample_media/upper-wheel-bearings"


def seconds(arguments: list[str], cache: Path) -> float:
    """Return the wall time of one run of the command."""
    began = time.perf_counter()
    subprocess.run(
        [COMMAND, *arguments],
        cwd=ROOT,
        env={**os.environ, "REELWRIGHT_CACHE": str(cache)},
        check=True,
        capture_output=True,
    )
    return time.perf_counter() - began


def main() -> None:
    """Print a table: median, smallest and largest of the runs."""
    with tempfile.TemporaryDirectory() as folder:
        place = Path(folder)
        publish = ["publish", SAMPLE, "--to"]
        jobs = [
            ("--help", ["--help"], 9, False),
            ("demo, nothing cached", ["demo", "--to", str(place / "demo")], 1, True),
            ("check, films known", ["check", SAMPLE], 5, False),
            (
                "frame, film known",
                ["frame", "sample_media/saw.mp4", "--at", "75", "--out", str(place / "x.png")],
                5,
                False,
            ),
            *(
                (f"publish --only {name}", [*publish, str(place / name), "--only", name], 3, False)
                for name in ("yaml", "stills", "pdf")
            ),
        ]  # fmt: skip
        sys.stdout.write(f"{os.cpu_count()} cores\n{'job':<24}{'median':>9}{'min':>9}{'max':>9}\n")
        for name, arguments, runs, cold in jobs:
            cache = place / (f"cold-{name}" if cold else "cache")
            if not cold:
                seconds(arguments, cache)
            times = [seconds(arguments, cache) for _ in range(runs)]
            row = (statistics.median(times), min(times), max(times))
            sys.stdout.write(f"{name:<24}" + "".join(f"{value:>8.2f}s" for value in row) + "\n")


if __name__ == "__main__":
    main()
