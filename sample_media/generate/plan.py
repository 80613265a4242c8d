"""When everything happens: scene lengths from the spoken words, frame times, captions."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

import numpy as np

from generate import scenes_close, scenes_fitting, scenes_phone, scenes_removal, scenes_safe
from generate.scene import Scene
from generate.speech import PAUSE, RATE, room, say, sentences, thud

LEAD = 0.4
TAIL = 0.45


@dataclass(frozen=True)
class Film:
    """A film to be made: its scenes, shown size, and the clock of its frames."""

    name: str
    width: int
    height: int
    scenes: tuple[Scene, ...]
    time_base: Fraction
    rotation: int = 0
    picture_delay: int = 0


SAW = Film(
    "saw", 1280, 720,
    scenes_safe.SCENES + scenes_removal.SCENES + scenes_fitting.SCENES + scenes_close.SCENES,
    Fraction(1, 30000),
)  # fmt: skip
PHONE = Film("phone", 720, 1280, scenes_phone.SCENES, Fraction(1, 90000), 90, 22500)
SAW_TICKS = 1001


@dataclass
class Shot:
    """A scene laid on the film's frames."""

    scene: Scene
    first: int
    end: int

    def share(self, frame: int) -> float:
        """Return how far into the scene a frame is, 0 to 1."""
        return (frame - self.first) / max(1, self.end - self.first - 1)


@dataclass
class Plan:
    """A film laid out: ticks of every frame, shots, captions, sound."""

    film: Film
    ticks: list[int]
    end_tick: int
    shots: list[Shot]
    captions: list[tuple[float, float, str]]
    sound: np.ndarray

    def time(self, frame: int) -> float:
        """Return a frame's start in seconds; the film's end for one past the last."""
        tick = self.ticks[frame] if frame < len(self.ticks) else self.end_tick
        return float(tick * self.film.time_base)


def _phone_ticks(seconds: float, start: int) -> list[int]:
    """Return irregular ticks such as a phone writes, with one long gap."""
    rng = np.random.default_rng(350)
    ticks, slow = [start], 0
    gap_at = start + round(seconds * 0.55 * 90000)
    gap_done = False
    while ticks[-1] < start + seconds * 90000:
        if slow == 0 and rng.random() < 0.02:
            slow = int(rng.integers(2, 9))
        if slow:
            step, slow = int(rng.integers(4500, 10800)), slow - 1
        else:
            step = 3000 + int(rng.integers(-140, 141))
        if not gap_done and ticks[-1] >= gap_at:
            step, gap_done = 36113, True
        ticks.append(ticks[-1] + step)
    return ticks


def lay_out(film: Film) -> Plan:
    """Speak the words, give each scene its length, and lay frames and captions."""
    clock = float(film.picture_delay * film.time_base)
    captions: list[tuple[float, float, str]] = []
    lines: list[tuple[float, np.ndarray]] = []
    starts = []
    for scene in film.scenes:
        starts.append(clock)
        at = clock + LEAD
        for sentence in sentences(scene.narration):
            samples = say(sentence)
            captions.append((at, at + len(samples) / RATE, sentence))
            lines.append((at, samples))
            at += len(samples) / RATE + PAUSE
        clock = max(clock + scene.least, at - PAUSE + TAIL)
    ticks, end = _frames(film, starts[0], clock)
    shots = _shots(film, starts, ticks)
    sound = _mix(lines, end * film.time_base)
    _knock(sound, shots, [float(t * film.time_base) for t in [*ticks, end]])
    return Plan(film, ticks, end, shots, captions, sound)


def _frames(film: Film, start: float, end: float) -> tuple[list[int], int]:
    """Return the ticks of all frames and the tick at which the last one ends."""
    if film.rotation:
        ticks = _phone_ticks(end - start, film.picture_delay)
    else:
        count = round(end / float(SAW_TICKS * film.time_base)) + 1
        ticks = [SAW_TICKS * i for i in range(count)]
    return ticks[:-1], ticks[-1]


def _shots(film: Film, starts: list[float], ticks: list[int]) -> list[Shot]:
    """Return the scenes on frames: each begins at the frame nearest its start."""
    times = np.array(ticks) * float(film.time_base)
    firsts = [int(np.abs(times - s).argmin()) for s in starts]
    ends = [*firsts[1:], len(ticks)]
    return [Shot(*row) for row in zip(film.scenes, firsts, ends, strict=True)]


def _knock(sound: np.ndarray, shots: list[Shot], times: list[float]) -> None:
    """Add the scenes' knocks: hammer blows, the click of the ring."""
    for shot in shots:
        for share in shot.scene.knocks:
            at = times[shot.first] + share * (times[shot.end] - times[shot.first])
            first = round(at * RATE)
            blow = thud(0.22, first)
            part = sound[first : first + len(blow)]
            part += blow[: len(part)]


def _mix(lines: list[tuple[float, np.ndarray]], seconds: Fraction) -> np.ndarray:
    """Return the film's sound: room and speech."""
    sound = room(int(seconds * RATE), 7)
    for at, samples in lines:
        first = round(at * RATE)
        part = sound[first : first + len(samples)]
        part += samples[: len(part)]
    return np.clip(sound, -0.98, 0.98)
