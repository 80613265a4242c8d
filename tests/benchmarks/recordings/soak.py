"""Walk at random for ten minutes: memory has to stay level, and everything has to end.

``python tests/benchmarks/recordings/soak.py FILM [MINUTES]``: jumps, steps either way, full
frames, wishes overtaken by others, films closed and opened again, surveys broken off.
Every picture shown is checked to be of the frame it says (its time and the ticket), and
the memory of all processes together is printed once a minute. Exit code 1 if the last
third uses more than the first third did by over 10 %, or if a thread or process is left.
"""

from __future__ import annotations

import multiprocessing
import os
import random
import sys
import tempfile
import threading
import time
from pathlib import Path

import psutil

from author.recording.cursor import Lost, Shown
from author.recording.film import Film, Indexed


def say(line: str) -> None:
    print(line, flush=True)  # noqa: T201 - a script that is read at the terminal


def memory() -> int:
    me = psutil.Process()
    total = 0
    for each in [me, *me.children(recursive=True)]:
        try:
            total += each.memory_full_info().pss
        except psutil.Error:
            continue
    return total


class Watch:
    """Counts what is shown and finds what is wrong with it."""

    def __init__(self) -> None:
        self.index = None
        self.shown = self.lost = 0
        self.wrong: list[str] = []
        self.ready = threading.Event()

    def __call__(self, event: object) -> None:
        match event:
            case Indexed(index, _):
                self.index = index
                self.ready.set()
            case Shown():
                self.shown += 1
                if self.index is not None and event.frame < len(self.index.ticks):
                    start = self.index.clock(self.index.ticks[event.frame])
                    if start != event.start:
                        self.wrong.append(f"{event.frame}: {event.start} is not {start}")
            case Lost():
                self.lost += 1
                self.wrong.append(str(event.error))


def a_while(path: Path, chance: random.Random, seconds: float) -> Watch:
    watch = Watch()
    until = time.monotonic() + seconds
    with Film(path, watch) as film:
        watch.ready.wait(60)
        at = 0
        while time.monotonic() < until:
            last = len(watch.index.ticks) - 1 if watch.index is not None else 0
            action = chance.random()
            if action < 0.25:
                at = chance.randint(0, last)
                film.show(at, full=chance.random() < 0.3)
            elif action < 0.9:
                way = chance.choice((-1, 1))
                for _ in range(chance.randint(1, 40)):
                    at = min(max(at + way, 0), last)
                    film.show(at)
                    time.sleep(chance.choice((0, 0, 1 / 60, 1 / 30)))
            else:
                for _ in range(20):
                    film.show(chance.randint(0, last))
            time.sleep(chance.choice((0, 0.05, 0.3)))
    return watch


def main() -> int:
    path, minutes = Path(sys.argv[1]), float(sys.argv[2]) if len(sys.argv) > 2 else 10.0
    chance = random.Random(1)
    most: list[int] = []
    wrong: list[str] = []
    shown = rounds = 0
    stop = threading.Event()

    def sample() -> None:
        while not stop.wait(0.5):
            most.append(memory())

    with tempfile.TemporaryDirectory() as cache:
        os.environ["REELWRIGHT_CACHE"] = cache
        sampler = threading.Thread(target=sample)
        sampler.start()
        begun = told = time.monotonic()
        while time.monotonic() - begun < minutes * 60:
            watch = a_while(path, chance, 20)
            shown, rounds = shown + watch.shown, rounds + 1
            wrong += watch.wrong
            if time.monotonic() - told >= 60:
                told = time.monotonic()
                top = max(most[-120:]) / 1e6
                say(f"{(told - begun) / 60:.0f} min: {shown} pictures, at most {top:.0f} MB")
        stop.set()
        sampler.join()
    third = len(most) // 3
    first, last = max(most[:third]), max(most[-third:])
    left = [t.name for t in threading.enumerate() if t is not threading.main_thread()]
    say(f"{rounds} openings, {shown} pictures, {len(wrong)} wrong or lost")
    say(f"memory at most: first third {first / 1e6:.0f} MB, last third {last / 1e6:.0f} MB")
    say(f"threads left: {left}, processes left: {multiprocessing.active_children()}")
    for each in wrong[:10]:
        say(f"wrong: {each}")
    return int(bool(wrong or left or multiprocessing.active_children() or last > first * 1.1))


if __name__ == "__main__":
    raise SystemExit(main())
