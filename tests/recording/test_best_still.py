"""The still that is taken near a mark, on short films whose blur is known frame by frame."""

from __future__ import annotations

import cv2
import numpy as np
import pytest

from author.recording.best_still import best_still
from author.recording.looks import LOOK, Watcher
from author.recording.shots import ShotChange

from . import staged_films as staged

WIDTH, HEIGHT = 640, 360
VIEW = staged.Angle(600, 450, 700, 0.2, (0.05, 0.1))


def scene(seed: int, frames: int) -> list[np.ndarray]:
    """A held shot of a bench, without noise yet."""
    shot = staged.Shot(0, VIEW, frames, seed, leave="end", noise=0.0)
    return list(staged.play([shot], 3, (WIDTH, HEIGHT), staged.Truth()))


def watched(pictures: list[np.ndarray], noise: float = 2.0) -> np.ndarray:
    rng = np.random.default_rng(5)
    watcher, looks = Watcher(), []
    for picture in pictures:
        grain = rng.normal(0, noise, picture.shape[:2]).astype(np.float32)
        noisy = cv2.add(picture, cv2.merge([grain] * 3), dtype=cv2.CV_8U)
        looks.append(watcher.look(*staged.planes(noisy)))
    return np.array(looks, LOOK)


def steady(count: int) -> np.ndarray:
    return np.arange(count) / 30


@pytest.mark.parametrize("degrees", [0, 35, 90, 140])
def test_a_sharp_frame_beside_a_smear_in_any_direction_is_taken(degrees: int):
    pictures = scene(3, 24)
    for at in range(8, 20):
        pictures[at] = staged.smeared(pictures[at], 12, np.radians(degrees))
    choice = best_still(watched(pictures), steady(24), (), 10, 1.0)
    assert choice.index not in range(8, 20)
    assert choice.at_sharpness < 0.75 * choice.sharpness
    assert choice.reason == "sharpest of 24 frames; the marked frame is smeared by movement"


def test_a_frame_out_of_focus_is_left_and_named():
    pictures = scene(4, 20)
    for at in range(8, 16):
        pictures[at] = cv2.GaussianBlur(pictures[at], (0, 0), 4)
    choice = best_still(watched(pictures), steady(20), (), 11, 1.0)
    assert choice.index not in range(8, 16)
    assert choice.reason == "sharpest of 20 frames; the marked frame is out of focus"


def test_grain_is_not_taken_for_sharpness():
    pictures = scene(5, 16)
    rng = np.random.default_rng(1)
    for at in range(8, 16):
        blurred = staged.smeared(pictures[at], 10, 0.8)
        grain = rng.normal(0, 12, blurred.shape[:2]).astype(np.float32)
        pictures[at] = cv2.add(blurred, cv2.merge([grain] * 3), dtype=cv2.CV_8U)
    assert best_still(watched(pictures), steady(16), (), 12, 1.0).index < 8


def test_the_marked_frame_stays_if_it_is_as_sharp():
    pictures = [scene(6, 2)[0]] * 15
    choice = best_still(watched(pictures), steady(15), (), 7, 1.0)
    assert choice.index == 7
    assert choice.sharpness == choice.at_sharpness
    assert choice.reason == "the marked frame is as sharp as any of 15 frames"


def test_a_window_without_a_sharp_frame_says_so_and_gives_the_least_blurred():
    pictures = scene(7, 60)
    lengths = np.where(np.arange(60) == 30, 9, 16)
    for at in range(15, 60):
        pictures[at] = staged.smeared(pictures[at], float(lengths[at]), 0.5)
    choice = best_still(watched(pictures), steady(60), (), 33, 0.2)
    assert choice.index == 30
    assert choice.reason == "no frame of 13 is sharp; this is the least blurred"


def test_a_shot_that_is_blurred_all_through_has_no_sharp_frame():
    pictures = [staged.smeared(picture, 14, 0.5) for picture in scene(8, 12)]
    choice = best_still(watched(pictures), steady(12), (), 6, 1.0)
    assert choice.reason.startswith("no frame of 12 is sharp")


def test_a_flash_is_no_good_still():
    pictures = [scene(9, 2)[0]] * 15
    pictures[7] = cv2.convertScaleAbs(pictures[7], alpha=2.2, beta=70)
    assert best_still(watched(pictures), steady(15), (), 7, 0.5).index in (6, 8)


def test_the_still_is_of_the_same_shot_and_not_of_a_transition():
    pictures = scene(10, 40)
    for at in range(20, 26):
        pictures[at] = cv2.GaussianBlur(pictures[at], (0, 0), 3)
    looks = watched(pictures)
    cut = (ShotChange("cut", 20, 20),)
    assert best_still(looks, steady(40), cut, 22, 0.3).index >= 26
    fade = (ShotChange("fade", 14, 26),)
    assert best_still(looks, steady(40), fade, 16, 0.5).index < 14
    inside = best_still(looks, steady(40), fade, 24, 0.5)
    assert inside.index >= 26
    assert "change of shots" in inside.reason


def test_the_window_is_measured_in_seconds():
    pictures = scene(11, 30)
    for at in range(30):
        if at not in (2, 27):
            pictures[at] = staged.smeared(pictures[at], 10, 1.0)
    looks = watched(pictures)
    times = np.cumsum(np.where(np.arange(30) < 15, 0.005, 2.0))
    assert best_still(looks, times, (), 14, 0.5).index == 2
    assert best_still(looks, times, (), 28, 2.5).index == 27


def test_no_frame_is_taken_outside_the_film():
    looks = watched([scene(12, 2)[0]] * 3)
    with pytest.raises(IndexError):
        best_still(looks, steady(3), (), 3, 1.0)
    assert best_still(looks, steady(3), (), 0, 0.0).index == 0


def test_a_tiny_film_has_a_still():
    picture = cv2.resize(staged.bench(1, 0.1), (64, 64), interpolation=cv2.INTER_AREA)
    looks = watched([picture] * 4)
    assert 0 <= best_still(looks, steady(4), (), 2, 1.0).index < 4
