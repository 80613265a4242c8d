"""Generated workshop films whose shot changes, disturbances and blur are known by frame.

A bench is a large textured picture strewn with parts. A shot looks at it from one angle
with a moving camera; hands and a turning part move over it. Sensor noise is added last,
so that a smeared frame is as noisy as a sharp one.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field, replace
from functools import cache

import cv2
import numpy as np
import numpy.typing as npt

Picture = npt.NDArray[np.uint8]
Floats = npt.NDArray[np.float64]

_BENCH = (1500, 1000)
"""Width and height of a bench picture, in bench units of one pixel at scale 1."""

DISTURBANCES = (
    *("none", "none", "flash", "arc", "shake", "exposure", "light", "zoom"),
    *("whip", "fast hands", "covered", "pan"),
)


@dataclass(frozen=True, slots=True)
class Angle:
    """Where the camera looks: centre on the bench, bench units across, turn, tilt."""

    x: float
    y: float
    across: float
    turn: float
    tilt: tuple[float, float]


@dataclass(frozen=True, slots=True)
class Shot:
    """One shot: its bench, angle, length in frames, what disturbs it and how it ends."""

    bench: int
    angle: Angle
    frames: int
    seed: int
    disturbance: str = "none"
    leave: str = "cut"
    overlap: int = 0
    gain: float = 1.0
    noise: float = 2.0
    busy: bool = True
    smears: bool = False


@dataclass(frozen=True, slots=True)
class Change:
    """A true shot change: first frame of the transition, first whole frame of the new shot."""

    kind: str
    start: int
    index: int


@dataclass(slots=True)
class Truth:
    """What is known of each frame, filled while the film is drawn."""

    changes: list[Change] = field(default_factory=list)
    disturbances: list[tuple[str, int, int]] = field(default_factory=list)
    smear: list[float] = field(default_factory=list)
    """Blur of each frame as a fraction of the width (length of a smear, or of a disc)."""
    direction: list[float] = field(default_factory=list)


def _noise_picture(rng: np.random.Generator, width: int, height: int, scale: float) -> Floats:
    total = np.zeros((height, width))
    for octave, weight in ((4, 1.0), (12, 0.7), (40, 0.5), (160, 0.45), (500, 0.4)):
        rows, columns = max(2, octave * height // width), octave
        grain = rng.standard_normal((rows, columns)).astype(np.float32)
        total += weight * cv2.resize(grain, (width, height), interpolation=cv2.INTER_CUBIC)
    fine = rng.standard_normal((height, width)).astype(np.float32)
    return total + 0.5 * cv2.GaussianBlur(fine, (0, 0), max(0.6, 0.5 * scale))


@cache
def bench(seed: int, scale: float = 1.0) -> Picture:
    """Return a bench strewn with parts: height × width × 3, BGR. Not to be changed."""
    rng = np.random.default_rng([seed, 1])
    width, height = int(_BENCH[0] * scale), int(_BENCH[1] * scale)
    grain = _noise_picture(rng, width, height, scale)
    colour = np.array(rng.uniform(50, 150, 3))
    picture = np.clip(colour + grain[..., None] * rng.uniform(6, 16), 0, 255).astype(np.uint8)
    for _ in range(70):
        _put_part(picture, rng, scale)
    wear = 1 + 0.06 * _noise_picture(rng, width, height, scale)
    return np.clip(picture * wear[..., None], 0, 255).astype(np.uint8)


def _put_part(picture: Picture, rng: np.random.Generator, scale: float) -> None:
    height, width = picture.shape[:2]
    x, y = int(rng.uniform(0, width)), int(rng.uniform(0, height))
    radius = int(rng.uniform(14, 95) * scale)
    colour = tuple(float(value) for value in rng.uniform(20, 235, 3) * rng.uniform(0.6, 1))
    dark = tuple(value * 0.35 for value in colour)
    line = max(1, int(3 * scale))
    match int(rng.integers(6)):
        case 0:
            cv2.fillPoly(picture, [_gear(x, y, radius, rng)], colour, cv2.LINE_AA)
            cv2.circle(picture, (x, y), radius // 3, dark, -1, cv2.LINE_AA)
        case 1:
            turn = float(rng.uniform(0, 180))
            box = cv2.boxPoints(((x, y), (radius * 2.2, radius * rng.uniform(0.4, 1.5)), turn))
            cv2.fillPoly(picture, [box.astype(np.int32)], colour, cv2.LINE_AA)
            cv2.polylines(picture, [box.astype(np.int32)], True, dark, line, cv2.LINE_AA)
        case 2:
            cv2.circle(picture, (x, y), radius // 2, colour, -1, cv2.LINE_AA)
            cv2.circle(picture, (x, y), radius // 3, dark, line, cv2.LINE_AA)
        case 3:
            for tick in range(0, 2 * radius, max(3, int(8 * scale))):
                long = radius // (3 if tick % (5 * max(3, int(8 * scale))) else 2)
                cv2.line(picture, (x + tick, y), (x + tick, y + long), dark, line, cv2.LINE_AA)
        case 4:
            text = "".join(rng.choice(list("ABCDEFGHKLMNPRSTUXZ0123456789"), 7))
            size = float(rng.uniform(0.6, 1.6)) * scale
            cv2.putText(picture, text, (x, y), 0, size, dark, line, cv2.LINE_AA)
        case _:
            bend = np.array([x, y]) + rng.uniform(-radius, radius, (7, 2)).cumsum(0)
            cv2.polylines(picture, [bend.astype(np.int32)], False, colour, 3 * line, cv2.LINE_AA)


def _gear(x: int, y: int, radius: int, rng: np.random.Generator) -> npt.NDArray[np.int32]:
    teeth = int(rng.integers(8, 24))
    turn = np.arange(teeth * 4) * (math.tau / (teeth * 4))
    reach = np.where(np.arange(teeth * 4) // 2 % 2, radius, radius * 0.8)
    return np.stack([x + reach * np.cos(turn), y + reach * np.sin(turn)], 1).astype(np.int32)


def _hand(rng: np.random.Generator, size: int) -> tuple[Picture, npt.NDArray[np.float32]]:
    """A hand or glove with its share of cover (0–1), both square."""
    cover = np.zeros((size, size), np.uint8)
    middle = size // 2
    cv2.ellipse(cover, (middle, middle), (size // 6, size // 5), 0, 0, 360, 255, -1)
    cv2.line(cover, (middle, middle), (middle, size - 1), 255, size // 4)
    for finger in np.linspace(-0.7, 0.7, 5):
        aside, up = size * 0.4 * math.sin(finger), middle * 0.8 * math.cos(finger)
        end = (int(middle + aside), int(middle - up))
        cv2.line(cover, (middle, middle), end, 255, max(1, size // 14), cv2.LINE_AA)
    skin = np.array([[110, 150, 205], [60, 80, 120], [150, 70, 40], [60, 60, 60]][rng.integers(4)])
    grain = _noise_picture(rng, size, size, 1)
    picture = np.clip(skin + 10 * grain[..., None], 0, 255).astype(np.uint8)
    for _ in range(12):
        a, b = rng.integers(0, size, (2, 2))
        cv2.line(picture, a.tolist(), b.tolist(), (skin * 0.5).tolist(), max(1, size // 90), 16)
    return picture, cover.astype(np.float32) / 255


def _wander(rng: np.random.Generator, frames: int, tempo: float, reach: float) -> Floats:
    """A smooth path, frames × 2; ``tempo`` is the seconds of one swing at 30 a second."""
    knots = max(4, int(frames / (30 * tempo)) + 4)
    points = rng.normal(0, reach, (knots, 2))
    x = np.linspace(0, knots - 1.001, frames)
    left = x.astype(int)
    part = (1 - np.cos((x - left) * math.pi)) / 2
    return np.asarray(points[left] * (1 - part[:, None]) + points[left + 1] * part[:, None])


def _line_kernel(length: float, direction: float) -> npt.NDArray[np.float32]:
    reach = max(1, math.ceil(length / 2))
    offsets = np.arange(-reach, reach + 1)
    x, y = np.meshgrid(offsets, offsets)
    along = np.abs(x * math.cos(direction) + y * math.sin(direction))
    aside = np.abs(x * math.sin(direction) - y * math.cos(direction))
    kernel = np.clip(length / 2 + 0.5 - along, 0, 1) * np.clip(1 - aside, 0, 1)
    return np.asarray(kernel / kernel.sum(), np.float32)


def smeared(picture: Picture, length: float, direction: float) -> Picture:
    """Return the picture smeared over ``length`` pixels in a direction (radians)."""
    if length < 1:
        return picture
    return np.asarray(cv2.filter2D(picture, -1, _line_kernel(length, direction)), np.uint8)


class _Stage:
    """Draws the frames of one shot."""

    def __init__(self, shot: Shot, picture: Picture, scale: float, size: tuple[int, int]) -> None:
        self.shot, self.picture, self.scale, self.size = shot, picture, scale, size
        rng = self.rng = np.random.default_rng([shot.seed, 2])
        frames, quick = shot.frames, shot.disturbance == "fast hands"
        self.drift = _wander(rng, frames, 1.2, 0.004) + _wander(rng, frames, 0.3, 0.0008)
        self.zoom = np.ones(frames)
        self.gains = np.full(frames, shot.gain)
        self.blur = np.zeros((frames, 2))
        self.disc = np.zeros(frames)
        reach, tempo = (0.35, 0.14) if quick else (0.2, 0.9)
        self.hands = []
        for _ in range(2 if shot.busy else 0):
            sprite = _hand(rng, max(8, int(size[0] * rng.uniform(0.25, 0.4))))
            self.hands.append((sprite, np.array([0, 0.25]) + _wander(rng, frames, tempo, reach)))
        self.event = (0, 0)
        self._disturb()
        if shot.smears:
            self._smear()

    def _disturb(self) -> None:
        shot, rng = self.shot, self.rng
        first = int(rng.integers(12, max(13, shot.frames - 32)))
        kind, rest = shot.disturbance, shot.frames - first
        length = {"flash": int(rng.integers(1, 6)), "arc": int(rng.integers(1, 6))}.get(kind, 20)
        length = max(1, min(length, rest))
        ramp = np.clip((np.arange(shot.frames) - first) / length, 0, 1)
        ease = ramp * ramp * (3 - 2 * ramp)
        angle = float(rng.uniform(0, math.tau))
        way = np.array([math.cos(angle), math.sin(angle)])
        if kind == "shake":
            jolt = _wander(rng, length, 0.07, 0.035)
            self.drift[first : first + length] += jolt * np.hanning(length)[:, None]
        elif kind == "exposure":
            step = float(rng.choice([0.45, 0.6, 1.6, 1.9]))
            quick = np.clip((np.arange(shot.frames) - first) / rng.integers(1, 5), 0, 1)
            self.gains *= step**quick
        elif kind == "light":
            self.gains *= np.where(np.arange(shot.frames) < first, rng.uniform(0.15, 0.35), 1)
        elif kind == "zoom":
            self.zoom = 1 + ease * float(rng.choice([-0.35, 0.6]))
        elif kind == "whip":
            self.drift += ease[:, None] * way * 0.5
        elif kind == "pan":
            slow = np.linspace(0, 1, shot.frames)[:, None]
            self.drift += slow * way * 0.5
        moving = np.diff(self.drift, axis=0, prepend=self.drift[:1])
        self.blur = moving * (0.5 if kind in ("shake", "whip", "pan") else 0.25)
        self.event = (first, first + length) if kind != "none" else (0, 0)

    def _smear(self) -> None:
        """Bursts of camera shake in random directions and of lost focus, sharp in between."""
        rng, at = self.rng, int(self.rng.integers(0, 20))
        while at < self.shot.frames:
            length = min(int(rng.integers(4, 40)), self.shot.frames - at)
            rise = np.sin(np.linspace(0.25, math.pi - 0.25, length))
            if rng.random() < 0.65:
                angle, reach = rng.uniform(0, math.pi), rng.uniform(0.004, 0.02)
                way = np.array([math.cos(angle), math.sin(angle)])
                wobble = rise * rng.uniform(0.5, 1.2, length)
                self.blur[at : at + length] += (wobble * reach)[:, None] * way
            else:
                self.disc[at : at + length] += rise * rng.uniform(0.002, 0.006)
            at += length + int(rng.integers(1, 30))

    def frame(self, number: int) -> tuple[Picture, float, float]:
        """Return a frame before noise, its blur (fraction of the width) and its direction."""
        width, view = self.size[0], self._view(number)
        picture = cv2.warpPerspective(
            self.picture, view, self.size, flags=cv2.INTER_LINEAR | cv2.WARP_INVERSE_MAP,
            borderMode=cv2.BORDER_REFLECT,
        )  # fmt: skip
        for (sprite, cover), path in self.hands:
            self._lay(picture, sprite, cover, path, number)
        if self.shot.disturbance == "covered":
            self._cover(picture, number)
        dx, dy = self.blur[number]
        length, direction = math.hypot(dx, dy), math.atan2(dy, dx)
        picture = smeared(picture, length * width, direction)
        if self.disc[number] * width > 0.3:
            picture = cv2.GaussianBlur(picture, (0, 0), float(self.disc[number] * width) / 2)
        return self._light(picture, number), max(length, self.disc[number]), direction

    def _view(self, number: int) -> Floats:
        angle, (width, height) = self.shot.angle, self.size
        across = angle.across / self.zoom[number]
        half = np.array([across, across * height / width]) / 2
        corners = np.array([[-1, -1], [1, -1], [1, 1], [-1, 1]]) * half
        corners = corners * (1 + np.array([[-1], [1], [-1], [1]]) * angle.tilt[0])
        corners[:2] *= 1 + angle.tilt[1]
        turn = np.array(
            [
                [math.cos(angle.turn), -math.sin(angle.turn)],
                [math.sin(angle.turn), math.cos(angle.turn)],
            ]
        )
        middle = np.array([angle.x, angle.y]) + self.drift[number] @ turn.T * across
        seen = ((corners @ turn.T + middle) * self.scale).astype(np.float32)
        frame = np.array([[0, 0], [width, 0], [width, height], [0, height]], np.float32)
        return np.asarray(cv2.getPerspectiveTransform(frame, seen))

    def _lay(
        self,
        picture: Picture,
        sprite: Picture,
        cover: npt.NDArray[np.float32],
        path: Floats,
        n: int,
    ) -> None:
        width, height = self.size
        x, y = (0.5 + path[n]) * (width, height)
        step = (path[n] - path[max(0, n - 1)]) * (width, height)
        size = sprite.shape[0]
        left, top = int(x) - size // 2, int(y) - size // 2
        x0, y0 = max(0, left), max(0, top)
        x1, y1 = min(width, left + size), min(height, top + size)
        if x0 >= x1 or y0 >= y1:
            return
        length = 0.5 * math.hypot(*step)
        if length > 1:
            kernel = _line_kernel(min(length, 60), math.atan2(step[1], step[0]))
            sprite, cover = cv2.filter2D(sprite, -1, kernel), cv2.filter2D(cover, -1, kernel)
        part = (slice(y0 - top, y1 - top), slice(x0 - left, x1 - left))
        share = cover[part][..., None]
        below = picture[y0:y1, x0:x1]
        picture[y0:y1, x0:x1] = (below * (1 - share) + sprite[part] * share).astype(np.uint8)

    def _cover(self, picture: Picture, number: int) -> None:
        """A forearm passes close to the lens and hides most of the picture for some frames."""
        first, end = self.event
        if first <= number < end:
            width = picture.shape[1]
            x = int(width * (-1 + 2 * (number - first) / (end - first)))
            left, right = max(0, x), min(width, x + int(width * 0.8))
            if left < right:
                picture[:, left:right] = cv2.blur(picture[:, left:right], (31, 31)) // 8 + 60

    def _light(self, picture: Picture, number: int) -> Picture:
        first, end = self.event
        gain, lift = float(self.gains[number]), 0.0
        inside = first <= number < end
        if inside and self.shot.disturbance == "flash":
            gain, lift = gain * 2.2, 70.0
        picture = np.asarray(cv2.convertScaleAbs(picture, alpha=gain, beta=lift), np.uint8)
        if inside and self.shot.disturbance == "arc":
            width, height = self.size
            glow = np.zeros((height // 8 + 1, width // 8 + 1), np.float32)
            cv2.circle(glow, (glow.shape[1] // 3, glow.shape[0] // 2), glow.shape[1] // 12, 900, -1)
            glow = cv2.GaussianBlur(glow, (0, 0), glow.shape[1] / 7) + glow / 3
            glow = cv2.resize(glow, (width, height))
            dimmed = picture * 0.4 + glow[..., None] * (1.0, 0.9, 0.85)
            picture = np.clip(dimmed, 0, 255).astype(np.uint8)
        return picture


def script(seed: int, shots: int = 52) -> list[Shot]:
    """Return a film of shots with ≥ 40 cuts, ≥ 8 fades and every disturbance several times."""
    rng = np.random.default_rng([seed, 3])
    leaves = ["black", "white", "black", "dissolve", "dissolve", "black", "dissolve", "black"]
    leaves += ["dissolve"] + ["cut"] * (shots - 10)
    leaves = [*rng.permutation(leaves), "end"]
    plan: list[Shot] = []
    kinds: list[str] = []
    for leave in leaves:
        kinds = kinds or list(rng.permutation(DISTURBANCES))
        bench_number, angle = int(rng.integers(3)), _angle(rng)
        if plan and rng.random() < 0.75:
            bench_number = plan[-1].bench
            if rng.random() < 0.4:
                angle = _reframed(plan[-1].angle, rng)
        overlap = {"cut": 0, "end": 0}.get(leave, int(rng.integers(8, 31)))
        room = overlap + (plan[-1].overlap if plan else 0)
        plan.append(
            Shot(
                *(bench_number, angle, int(rng.integers(45, 110)) + room, _seed(rng)),
                *(str(kinds.pop()), str(leave), overlap),
                gain=float(rng.uniform(0.6, 1.15)),
                noise=float(rng.uniform(1, 5)),
                busy=bool(rng.random() < 0.75),
            )
        )
    return plan


def _seed(rng: np.random.Generator) -> int:
    return int(rng.integers(1 << 30))


def _angle(rng: np.random.Generator) -> Angle:
    across = float(rng.uniform(420, 900))
    x, y = float(rng.uniform(350, 1150)), float(rng.uniform(250, 750))
    tilt = (float(rng.uniform(-0.12, 0.12)), float(rng.uniform(-0.3, 0.3)))
    return Angle(x, y, across, float(rng.uniform(-0.5, 0.5)), tilt)


def _reframed(angle: Angle, rng: np.random.Generator) -> Angle:
    """The same view, cut in closer or wider and aside, as an editor does with one camera."""
    ratio = float(rng.choice([0.55, 0.65, 1.6]))
    aside = rng.uniform(-0.15, 0.15, 2) * angle.across
    if not 260 < angle.across * ratio < 1100:
        ratio = 1 / ratio
    across = angle.across * ratio
    return replace(angle, across=across, x=angle.x + aside[0], y=angle.y + aside[1])


def still_script(seed: int, shots: int = 8) -> list[Shot]:
    """Return a film of shots with bursts of smear and lost focus."""
    plan = [
        replace(shot, smears=True, frames=180, disturbance="none", leave="cut", overlap=0)
        for shot in script(seed, 20)[:shots]
    ]
    return [*plan[:-1], replace(plan[-1], leave="end")]


def play(
    shots: Sequence[Shot], seed: int, size: tuple[int, int], truth: Truth
) -> Iterator[Picture]:
    """Yield the frames (BGR) of a film and fill ``truth`` on the way."""
    rng = np.random.default_rng([seed, 4])
    scale = max(0.05, size[0] / 640)
    benches = {shot.bench: bench(seed * 10 + shot.bench, scale) for shot in shots}
    shape = (size[1] + 64, size[0] + 64)
    grain = [rng.standard_normal(shape).astype(np.float32) for _ in range(3)]
    waiting: list[Picture] = []
    at = 0
    for shot in shots:
        stage = _Stage(shot, benches[shot.bench], scale, size)
        if stage.event[1]:
            truth.disturbances.append((shot.disturbance, at + stage.event[0], at + stage.event[1]))
        keep = shot.frames - (shot.overlap if shot.leave == "dissolve" else 0)
        tail: list[Picture] = []
        for number in range(shot.frames):
            picture, smear, direction = stage.frame(number)
            if number < len(waiting):
                share = (number + 1) / (len(waiting) + 1)
                picture = cv2.addWeighted(waiting[number], 1 - share, picture, share, 0)
            if number >= keep:
                tail.append(picture)
                continue
            yield _noisy(_faded(picture, shots, shot, number), shot.noise, grain, rng)
            truth.smear.append(smear)
            truth.direction.append(direction)
        at += keep
        waiting = tail
        _note_change(truth, shot, at)


def _faded(picture: Picture, shots: Sequence[Shot], shot: Shot, number: int) -> Picture:
    """Half of a fade's frames belong to the shot that ends, half to the one that begins."""
    place = next(index for index, other in enumerate(shots) if other is shot)
    before = shots[place - 1] if place else None
    left, share, tone = shot.frames - number, 1.0, 0.0
    if shot.leave in ("black", "white") and left <= shot.overlap:
        share, tone = (left - 1) / shot.overlap, 255.0 * (shot.leave == "white")
    elif before and before.leave in ("black", "white") and number < before.overlap:
        share, tone = number / before.overlap, 255.0 * (before.leave == "white")
    if share == 1:
        return picture
    return np.asarray(cv2.convertScaleAbs(picture, alpha=share, beta=tone * (1 - share)), np.uint8)


def _noisy(
    picture: Picture, sigma: float, grain: list[npt.NDArray[np.float32]], rng: np.random.Generator
) -> Picture:
    x, y = rng.integers(0, 64, 2)
    height, width = picture.shape[:2]
    layer = grain[rng.integers(len(grain))][y : y + height, x : x + width] * np.float32(sigma)
    return np.asarray(cv2.add(picture, cv2.merge([layer] * 3), dtype=cv2.CV_8U), np.uint8)


def _note_change(truth: Truth, shot: Shot, end: int) -> None:
    if shot.leave == "cut":
        truth.changes.append(Change("cut", end, end))
    elif shot.leave == "dissolve":
        truth.changes.append(Change("fade", end, end + shot.overlap))
    elif shot.leave != "end":
        truth.changes.append(Change("fade", end - shot.overlap, end + shot.overlap))


def planes(picture: Picture, small: tuple[int, int] = (320, 180)) -> tuple[Picture, ...]:
    """Return luma, and the luma, U and V of the reduced picture, of a BGR picture."""
    luma = cv2.cvtColor(picture, cv2.COLOR_BGR2YUV)[..., 0]
    reduced = cv2.cvtColor(
        cv2.resize(picture, small, interpolation=cv2.INTER_AREA), cv2.COLOR_BGR2YUV
    )
    half = cv2.resize(reduced, (small[0] // 2, small[1] // 2), interpolation=cv2.INTER_AREA)
    return luma, reduced[..., 0].copy(), half[..., 1].copy(), half[..., 2].copy()
