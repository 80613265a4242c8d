"""Shot changes and stills against truth, beside PySceneDetect.

``python tests/benchmarks/recordings/bench_shots.py [--seeds 201,202] [--width 640]
[--shots 52] [--stills 301] [--folder FOLDER]``

Films are generated (their truth is known), encoded with x264 and then read by all. The
seeds given here must be ones that nobody looked at while limits were set. Films and their
truth are kept in the folder, if one is given, and used again.
"""

from __future__ import annotations

import argparse
import os
import pickle
import sys
import tempfile
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from pathlib import Path

import av
import cv2
import numpy as np
from av.video.reformatter import Interpolation, VideoReformatter

sys.path.insert(0, str(Path(__file__).parents[2]))

from recording import staged_films as staged

from author.recording.best_still import best_still
from author.recording.looks import LOOK, Watcher
from author.recording.shots import ShotChange, shot_changes

Found = list[tuple[int, int]]
TOLERANCE = 2
SHARP = 0.0014
"""Blur that still counts as sharp, as a fraction of the width: 2.7 pixels at 1080p."""


def say(line: str) -> None:
    print(line, flush=True)  # noqa: T201 - a script that is read at the terminal


def made(
    folder: Path, seed: int, width: int, shots: int, stills: bool
) -> tuple[Path, staged.Truth]:
    size = (width, width * 9 // 16 // 2 * 2)
    path = folder / f"{'stills' if stills else 'shots'}-{seed}-{width}-{shots}.mp4"
    kept = path.with_suffix(".truth")
    if kept.exists():
        return path, pickle.loads(kept.read_bytes())  # noqa: S301 - our own file
    plan = staged.still_script(seed) if stills else staged.script(seed, shots)
    truth = staged.Truth()
    options = {"preset": "veryfast", "crf": "21", "g": "250", "bf": "3", "sc_threshold": "0"}
    with av.open(str(path), "w") as film:
        stream = film.add_stream("libx264", rate=30, options=options)
        stream.width, stream.height = size
        stream.pix_fmt = "yuv420p"
        for picture in staged.play(plan, seed, size, truth):
            stored = cv2.cvtColor(picture, cv2.COLOR_BGR2YUV_I420)
            film.mux(stream.encode(av.VideoFrame.from_ndarray(stored, format="yuv420p")))
        film.mux(stream.encode(None))
    kept.write_bytes(pickle.dumps(truth))
    return path, truth


@dataclass
class Times:
    """Seconds of one reading: of all, and of the looks and decisions alone."""

    whole: float = 0.0
    looking: float = 0.0
    looking_cpu: float = 0.0
    frames: int = 0


def watched(path: Path, times: Times) -> np.ndarray:
    threads = cv2.getNumThreads()
    cv2.setNumThreads(1)
    begin = time.perf_counter()
    watcher, reducer, looks = Watcher(), VideoReformatter(), []
    with av.open(str(path)) as film:
        film.streams.video[0].thread_type = "AUTO"
        for frame in film.decode(video=0):
            small = reducer.reformat(frame, 320, 180, "yuv420p", interpolation=Interpolation.AREA)
            planes = [_plane(one) for one in (frame.planes[0], *small.planes)]
            start, cpu = time.perf_counter(), time.thread_time()
            looks.append(watcher.look(*planes))
            times.looking += time.perf_counter() - start
            times.looking_cpu += time.thread_time() - cpu
    times.whole += time.perf_counter() - begin
    times.frames += len(looks)
    cv2.setNumThreads(threads)
    return np.array(looks, LOOK)


def _plane(plane: av.video.plane.VideoPlane) -> np.ndarray:
    return np.frombuffer(plane, np.uint8).reshape(-1, plane.line_size)[
        : plane.height, : plane.width
    ]


def decoded(path: Path) -> float:
    """Seconds that decoding alone takes, by OpenCV, as PySceneDetect reads."""
    begin = time.perf_counter()
    film = cv2.VideoCapture(str(path))
    while film.grab():
        film.retrieve()
    film.release()
    return time.perf_counter() - begin


@dataclass
class Score:
    right: int = 0
    wrong: int = 0
    missed: int = 0
    seconds: float = 0.0
    notes: list[str] = field(default_factory=list)

    def add(self, found: Found, truth: Sequence[staged.Change]) -> None:
        """A cut must be within two frames; a gradual change must be overlapped, once."""
        left = list(found)
        for change in sorted(truth, key=lambda one: one.start):
            slack = TOLERANCE if change.kind == "cut" else 0
            hits = [
                one
                for one in left
                if one[0] <= change.index + slack and one[1] >= change.start - slack
            ]
            if hits:
                left.remove(min(hits, key=lambda one: abs(one[0] - change.start)))
                self.right += 1
            else:
                self.missed += 1
                self.notes.append(f"missed {change.kind} at {change.start}")
        self.wrong += len(left)
        self.notes += [f"wrong at {one[0]}" for one in left]

    @property
    def f1(self) -> float:
        return 2 * self.right / max(1, 2 * self.right + self.wrong + self.missed)

    def row(self, name: str, frames: int) -> str:
        precision = self.right / max(1, self.right + self.wrong)
        recall = self.right / max(1, self.right + self.missed)
        cost = self.seconds / frames * 1e3
        return f"| {name} | {self.f1:.3f} | {precision:.3f} | {recall:.3f} | {cost:.2f} |"


def theirs(path: Path) -> dict[str, tuple[Found, float]]:
    """Return the changes and seconds of PySceneDetect's detectors, each with its defaults."""
    import scenedetect as sd

    makers: dict[str, Callable[[], list[sd.SceneDetector]]] = {
        "AdaptiveDetector": lambda: [sd.AdaptiveDetector()],
        "ContentDetector": lambda: [sd.ContentDetector()],
        "HashDetector": lambda: [sd.HashDetector()],
        "HistogramDetector": lambda: [sd.HistogramDetector()],
    }
    for name in list(makers):
        alone = makers[name]
        makers[f"{name} + ThresholdDetector"] = lambda alone=alone: [
            *alone(),
            sd.ThresholdDetector(),
        ]
    results = {}
    for name, make in makers.items():
        begin = time.perf_counter()
        manager = sd.SceneManager()
        for detector in make():
            manager.add_detector(detector)
        manager.detect_scenes(sd.open_video(str(path)))
        marks = {scene[0].frame_num for scene in manager.get_scene_list()[1:]}
        results[name] = [(mark, mark) for mark in sorted(marks)], time.perf_counter() - begin
    return results


def compare(films: Sequence[tuple[Path, staged.Truth]]) -> None:
    ours, times, others, bare = Score(), Times(), {}, 0.0
    for path, truth in films:
        looks = watched(path, times)
        bare += decoded(path)
        begin = time.perf_counter()
        found = shot_changes(looks, np.arange(len(looks)) / 30)
        ours.seconds += time.perf_counter() - begin
        # A change ends where the new shot is whole; for a cut both are the same frame.
        ours.add([(one.start, one.index) for one in found], truth.changes)
        for name, (marks, seconds) in theirs(path).items():
            score = others.setdefault(name, Score())
            score.add(marks, truth.changes)
            score.seconds += seconds
    kinds = [one.kind for _, truth in films for one in truth.changes]
    say(f"{times.frames} frames, {kinds.count('cut')} cuts, {kinds.count('fade')} fades")
    say("| shot changes | F1 | precision | recall | ms a frame |\n| --- | --- | --- | --- | --- |")
    decided = ours.seconds
    for name, seconds in (
        ("ours, decoding and reducing included", times.whole + decided),
        ("ours, looks and decisions", times.looking + decided),
        ("ours, their CPU time", times.looking_cpu + decided),
    ):
        ours.seconds = seconds
        say(ours.row(name, times.frames))
    for name, score in others.items():
        say(score.row(f"PySceneDetect {name}, end to end", times.frames))
    say(f"decoding alone, by OpenCV: {bare / times.frames * 1e3:.2f} ms a frame")
    best = max(others.values(), key=lambda one: one.f1)
    say(
        f"beside its best: {best.seconds / (times.whole + decided):.1f} x as fast with decoding, "
        f"{(best.seconds - bare) / (times.looking + decided):.1f} x both without, "
        f"{best.seconds / (times.looking + decided):.1f} x its whole time to our looks alone"
    )
    say("ours: " + ("; ".join(ours.notes) or "nothing missed, nothing wrong"))


def stills(films: Sequence[tuple[Path, staged.Truth]]) -> None:
    sharp = windows = marks = unsaid = none = 0
    for number, (path, truth) in enumerate(films):
        looks, blur = watched(path, Times()), np.array(truth.smear)
        times, rng = np.arange(len(looks)) / 30, np.random.default_rng(number)
        cuts = [ShotChange("cut", one.index, one.index) for one in truth.changes]
        edges = np.array([0, *(one.index for one in cuts), len(looks)])
        for at in rng.integers(0, len(looks), 400):
            within = float(rng.choice([0.5, 1.0, 1.5]))
            shot = int(np.searchsorted(edges, at, "right"))
            low = max(int(edges[shot - 1]), int(np.ceil(at - within * 30)))
            window = blur[low : min(int(edges[shot]), int(at + within * 30) + 1)]
            choice = best_still(looks, times, cuts, int(at), within)
            if window.min() < SHARP / 2:
                windows += 1
                sharp += bool(blur[choice.index] < SHARP)
                marks += bool(blur[at] < SHARP)
                unsaid += choice.reason.startswith("no frame")
            elif window.min() > 2 * SHARP:
                none += 1
    say(f"stills: {windows} windows with a sharp frame; sharp one taken {sharp / windows:.3f}; ")
    say(f"the mark itself sharp {marks / windows:.3f}; called blurred {unsaid / windows:.3f}; ")
    say(f"windows without a sharp frame: {none}")


def main() -> None:
    numbers = lambda text: [int(one) for one in text.split(",") if one]  # noqa: E731
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--seeds", type=numbers, default=[201, 202])
    options.add_argument("--stills", type=numbers, default=[301])
    options.add_argument("--width", type=int, default=640)
    options.add_argument("--shots", type=int, default=52)
    options.add_argument("--folder", type=Path)
    given = options.parse_args()
    say(f"{os.cpu_count()} cores, load {os.getloadavg()[0]:.1f}, OpenCV on one thread for ours")
    with tempfile.TemporaryDirectory() as spare:
        folder = given.folder or Path(spare)
        folder.mkdir(parents=True, exist_ok=True)
        if given.seeds:
            compare([made(folder, one, given.width, given.shots, False) for one in given.seeds])
        if given.stills:
            stills([made(folder, one, 1920, 8, True) for one in given.stills])


if __name__ == "__main__":
    main()
