"""Walking through a film beside other libraries, in one run.

``python tests/benchmarks/recordings/bench_walking.py [FOLDER]``: films are made in FOLDER
once (five minutes and one hour of 1080p30; about 5 GB). Needs ``pip install decord`` to
compare. The memory of an hour of 4K is looked at by ``memory_of_4k.py``.

Bars: walking back median at least 100 × faster than OpenCV's positioning, p95 at most
33 ms, longest at most 120 ms; forward p95 at most 33 ms; a random exact frame at most
1.1 × plain PyAV; a picture after a jump with the preview ready p95 at most 10 ms; packet
index at most 1.3 × demuxing; key pictures of an hour at most 1.5 × (demuxing + decoding
them); survey at least 0.75 of plain decoding.
"""

from __future__ import annotations

import os
import random
import statistics
import sys
import tempfile
import threading
import time
from collections.abc import Callable
from pathlib import Path

import av
import cv2
import made

from author.recording.cursor import Cursor, Lost, Shown
from author.recording.film import Film, Indexed, KeyPicture
from author.recording.index import FilmIndex
from author.recording.knowing import quick_index
from author.recording.packets import index_packets
from author.recording.preview import Preview
from author.recording.process import Decoder
from author.recording.survey import survey

SEED = 11


def say(line: str) -> None:
    print(line, flush=True)  # noqa: T201 - a script that is read at the terminal


def timed(work: Callable[[], object]) -> float:
    start = time.perf_counter()
    work()
    return time.perf_counter() - start


def spread(times: list[float]) -> str:
    ordered = sorted(times)
    p95 = ordered[min(len(ordered) - 1, int(len(ordered) * 0.95))]
    return (
        f"median {statistics.median(ordered) * 1000:7.2f}  p95 {p95 * 1000:7.2f}  "
        f"longest {ordered[-1] * 1000:7.1f} ms"
    )


class Screen:
    """Waits for what a cursor shows."""

    def __init__(self) -> None:
        self.change = threading.Condition()
        self.got: list[tuple[float, Shown | Lost]] = []

    def __call__(self, event: Shown | Lost) -> None:
        with self.change:
            self.got.append((time.perf_counter(), event))
            self.change.notify_all()

    def time_of(self, ticket: int, qualities: tuple[str, ...]) -> float:
        def ready() -> float | None:
            for when, each in self.got:
                if isinstance(each, Lost):
                    raise SystemExit(str(each.error))
                if each.ticket == ticket and each.quality in qualities:
                    return when
            return None

        with self.change:
            self.change.wait_for(ready, timeout=60)
            found = ready()
            assert found is not None
            return found

    def forget(self) -> None:
        with self.change:
            self.got.clear()


def asked(cursor: Cursor, screen: Screen, frame: int, *qualities: str, full: bool = False) -> float:
    screen.forget()
    start = time.perf_counter()
    ticket = cursor.show(frame, full=full)
    return screen.time_of(ticket, qualities) - start


class PlainPyAV:
    def __init__(self, path: Path) -> None:
        self.container = av.open(str(path))
        self.stream = self.container.streams.video[0]
        self.stream.thread_type = "AUTO"
        self.stream.thread_count = 2

    def frame(self, tick: int) -> object:
        self.container.seek(tick, stream=self.stream)
        for frame in self.container.decode(self.stream):
            if frame.pts >= tick:
                return frame.to_ndarray(format="rgb24")
        return None


def others(path: Path, index: FilmIndex, at: list[int], walks: list[int]) -> dict[str, float]:
    found = {}
    plain = PlainPyAV(path)
    times = [timed(lambda n=n: plain.frame(index.ticks[n])) for n in at]
    found["pyav"] = statistics.median(times)
    say(f"random frame, plain PyAV          {spread(times)}")
    film = cv2.VideoCapture(str(path))

    def positioned(n: int) -> None:
        film.set(cv2.CAP_PROP_POS_FRAMES, n)
        film.read()

    times = [timed(lambda n=n: positioned(n)) for n in at]
    say(f"random frame, OpenCV              {spread(times)}")
    back = [n - k for n in walks[:2] for k in range(1, 13)]
    times = [timed(lambda n=n: positioned(n)) for n in back]
    found["cv_back"] = statistics.median(times)
    say(f"one back, OpenCV positioning      {spread(times)}")
    try:
        import decord
    except ImportError:
        say("decord is not installed")
        return found
    reader = decord.VideoReader(str(path))
    say(f"random frame, decord              {spread([timed(lambda n=n: reader[n]) for n in at])}")
    say(f"one back, decord                  {spread([timed(lambda n=n: reader[n]) for n in back])}")
    return found


def walking(path: Path, index: FilmIndex) -> None:
    chance = random.Random(SEED)
    last = len(index.ticks) - 100
    at = [chance.randrange(300, last) for _ in range(15)]
    walks = [chance.randrange(300, last) for _ in range(8)]
    found = others(path, index, at, walks)
    screen = Screen()
    with Cursor(path, index, screen) as cursor:
        asked(cursor, screen, 0, "reduced")
        reduced = [asked(cursor, screen, n, "reduced") for n in at]
        say(f"random frame, ours                {spread(reduced)}")
        chance.shuffle(at)
        full = [asked(cursor, screen, n + 7, "full", full=True) for n in at]
        say(f"random full frame, ours           {spread(full)}")
        ratio = statistics.median(full) / found["pyav"]
        say(f"  against plain PyAV: {ratio:.2f} ×   (bar 1.1)")
        for pause, name in ((0.0, "without a pause"), (1 / 30, "30 a second")):
            back, forth = [], []
            for start in walks:
                asked(cursor, screen, start, "reduced")
                time.sleep(5 * pause)
                for n in range(start - 1, start - 61, -1):
                    back.append(asked(cursor, screen, n, "reduced"))
                    time.sleep(pause)
                asked(cursor, screen, start + 300 if start + 400 < last else 300, "reduced")
                for n in range(1, 61):
                    goal = (start + 300 if start + 400 < last else 300) + n
                    forth.append(asked(cursor, screen, goal, "reduced"))
                    time.sleep(pause)
            say(f"60 back, {name:<15}          {spread(back)}")
            say(f"  against OpenCV: {found['cv_back'] / statistics.median(back):.0f} ×   (bar 100)")
            say(f"60 forward, {name:<15}       {spread(forth)}")


def indexing(path: Path) -> None:
    def demux() -> None:
        with av.open(str(path)) as film:
            for _ in film.demux(film.streams.video[0]):
                pass

    def ours() -> None:
        index_packets(path, lambda done, total: None)

    demux()
    bare, index = (min(timed(work) for _ in range(3)) for work in (demux, ours))
    ratio = index / bare
    say(f"demuxing an hour: {bare:.2f} s, packet index: {index:.2f} s, {ratio:.2f} × (bar 1.3)")


def key_strip(path: Path, index: FilmIndex) -> None:
    def demux_and_keys() -> None:
        with av.open(str(path)) as film:
            stream = film.streams.video[0]
            stream.thread_type = "AUTO"
            stream.codec_context.skip_frame = "NONKEY"
            for _ in film.decode(stream):
                pass

    def ours() -> None:
        with Decoder(path) as decoder:
            for answer in decoder.ask("keys", str(path), index.to_plain(), 10_000):
                if answer[0] == "done":
                    return

    bare, strip = (min(timed(work) for _ in range(2)) for work in (demux_and_keys, ours))
    say(
        f"demuxing an hour and decoding its {len(index.keys)} key frames: {bare:.2f} s, "
        f"our pictures of them: {strip:.2f} s, {strip / bare:.2f} × (bar 1.5)"
    )


def opening(path: Path) -> None:
    """How soon an unknown hour can be looked at."""
    begun = time.perf_counter()
    first: dict[str, float] = {}
    pictures = 0
    enough = threading.Event()

    def heard(event: object) -> None:
        nonlocal pictures
        now = time.perf_counter() - begun
        first.setdefault(type(event).__name__, now)
        if isinstance(event, KeyPicture):
            pictures += 1
            if pictures in (16, 64):
                first[f"{pictures} key pictures"] = now
            if pictures == 64:
                enough.set()
        if isinstance(event, Indexed) and len(event.index.ticks) > 100_000:
            first.setdefault("whole quick index", now)

    with Film(path, heard):
        enough.wait(60)
    say("opening an unknown hour: " + ", ".join(f"{k} {v:.2f} s" for k, v in first.items()))


def surveying(path: Path, folder: Path) -> None:
    def decode() -> None:
        with av.open(str(path)) as film:
            film.streams.video[0].thread_type = "AUTO"
            for _ in film.decode(video=0):
                pass

    def ours() -> None:
        survey(path, folder, lambda done, total: None)

    bare, whole = timed(decode), timed(ours)
    say(
        f"decoding five minutes: {bare:.1f} s, survey with preview and all analyses: {whole:.1f} s,"
        f" {bare / whole:.2f} of its speed (bar 0.75)"
    )
    size = sum(each.stat().st_size for each in folder.iterdir())
    say(f"preview: {size / 1e6:.1f} MB, {size * 12 / 1e6:.0f} MB an hour (bar 300)")


def jumping(path: Path, index: FilmIndex, folder: Path) -> None:
    chance = random.Random(SEED)
    screen = Screen()
    with Cursor(path, index, screen) as cursor:
        cursor.use_preview(folder)
        asked(cursor, screen, 0, "reduced")
        times, full = [], []
        for _ in range(60):
            n = chance.randrange(len(index.ticks))
            screen.forget()
            start = time.perf_counter()
            ticket = cursor.show(n)
            times.append(screen.time_of(ticket, ("preview", "reduced")) - start)
            full.append(screen.time_of(ticket, ("reduced",)) - start)
        say(f"picture after a jump, preview     {spread(times)}   (bar p95 10 ms)")
        say(f"  replaced by the frame           {spread(full)}")
        back = []
        for _ in range(8):
            n = chance.randrange(300, len(index.ticks))
            asked(cursor, screen, n, "preview", "reduced")
            for k in range(1, 61):
                back.append(asked(cursor, screen, n - k, "preview", "reduced"))
                time.sleep(1 / 30)
        say(f"60 back, 30 a second, preview     {spread(back)}   (bar longest 120 ms)")


def hour_of_preview(five: Path, hour: Path, folder: Path) -> Path:
    """The preview of five minutes laid out for the hour that repeats it."""
    import numpy as np

    small, large = quick_index(five), quick_index(hour)
    from author.recording.preview import read_records

    records = read_records(folder)
    track = (folder / "track").read_bytes()
    out = folder.with_name("hour-preview")
    out.mkdir()
    (out / "track").write_bytes(track * 12)
    long = np.concatenate([records] * 12)[: len(large.ticks)]
    long["tick"] = large.ticks[: len(long)]
    for n in range(12):
        long["at"][n * len(small.ticks) : (n + 1) * len(small.ticks)] += np.uint64(n * len(track))
    (out / "records").write_bytes(long.tobytes())
    (out / "state").write_bytes((folder / "state").read_bytes())
    assert Preview(out, large.ticks).picture(100_000) is not None
    return out


def main() -> None:
    with tempfile.TemporaryDirectory() as scratch:
        os.environ["REELWRIGHT_CACHE"] = str(Path(scratch) / "cache")
        folder = Path(sys.argv[1]) if len(sys.argv) > 1 else Path(scratch)
        five = made.five_minutes(folder)
        hour = made.repeated(five, 12)
        say(f"cores: {os.cpu_count()}; five minutes: {five.stat().st_size / 1e6:.0f} MB")
        index, long = quick_index(five), quick_index(hour)
        assert index is not None
        assert long is not None
        walking(five, index)
        indexing(hour)
        key_strip(hour, long)
        known, os.environ["REELWRIGHT_CACHE"] = os.environ["REELWRIGHT_CACHE"], f"{scratch}/new"
        opening(hour)
        os.environ["REELWRIGHT_CACHE"] = known
        preview = Path(scratch) / "preview"
        surveying(five, preview)
        jumping(hour, long, hour_of_preview(five, hour, preview))


if __name__ == "__main__":
    main()
