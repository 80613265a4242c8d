"""The memory that an hour of 4K takes: walked through, surveyed, and both at once.

``python tests/benchmarks/recordings/memory_of_4k.py FOLDER``: the film is made in FOLDER
once (about 5 GB). Each way is run by itself, as a window would, and the memory of all its
processes is added up twenty times a second (proportional set size). Bar: 700 MB.
"""

from __future__ import annotations

import os
import random
import subprocess
import sys
import tempfile
import threading
import time
from contextlib import suppress
from pathlib import Path

import made
import psutil

from author.recording.cursor import Lost, Shown
from author.recording.film import Film, Indexed, Surveyed

SEED = 11
SURVEYED = 60  # seconds of the survey alone


def say(line: str) -> None:
    print(line, flush=True)  # noqa: T201 - a script that is read at the terminal


def most_memory(way: str, film: Path) -> int:
    """Return the most bytes that this script run by itself and all its children held."""
    most = 0
    with subprocess.Popen([sys.executable, __file__, way, str(film)]) as child:
        root = psutil.Process(child.pid)
        while child.poll() is None:
            total = 0
            with suppress(psutil.Error):
                for each in [root, *root.children(recursive=True)]:
                    with suppress(psutil.Error):
                        total += each.memory_full_info().pss
            most = max(most, total)
            time.sleep(0.05)
    if child.returncode:
        raise SystemExit(f"{way} failed")
    return most


class Screen:
    """Holds the picture shown last, as a window does."""

    def __init__(self) -> None:
        self.change = threading.Condition()
        self.indexed = threading.Event()
        self.frames = 0
        self.shown: Shown | None = None

    def __call__(self, event: object) -> None:
        match event:
            case Shown():
                with self.change:
                    self.shown = event
                    self.change.notify_all()
            case Lost():
                raise SystemExit(str(event.error))
            case Indexed(index, _):
                self.frames = len(index.ticks)
                self.indexed.set()
            case Surveyed():
                pass

    def wait_for(self, frame: int, quality: str) -> None:
        def there() -> bool:
            shown = self.shown
            return shown is not None and (shown.frame, shown.quality) == (frame, quality)

        with self.change:
            assert self.change.wait_for(there, timeout=300)


def opened(hour: Path, *, walked: bool) -> None:
    """Open a film, which is then surveyed, and walk through it if wanted."""
    screen = Screen()
    chance = random.Random(SEED)
    with Film(hour, screen) as film:
        assert screen.indexed.wait(60)
        if not walked:
            time.sleep(SURVEYED)
            return
        for _ in range(12):
            n = chance.randrange(100, screen.frames - 50)
            film.show(n, full=True)
            screen.wait_for(n, "full")
            for k in range(1, 25):
                film.show(n - k)
                screen.wait_for(n - k, "reduced")
            time.sleep(1.0)


def main() -> None:
    if sys.argv[1:2] in (["--walked"], ["--surveyed"]):
        with tempfile.TemporaryDirectory() as cache:
            os.environ["REELWRIGHT_CACHE"] = cache
            opened(Path(sys.argv[2]), walked=sys.argv[1] == "--walked")
        return
    hour = made.repeated(made.five_minutes(Path(sys.argv[1]), "3840x2160", 20), 180)
    for way, words in (("--surveyed", "opened and surveyed"), ("--walked", "walked through too")):
        say(f"an hour of 4K, {words}: {most_memory(way, hour) / 1e6:.0f} MB (bar 700)")


if __name__ == "__main__":
    main()
