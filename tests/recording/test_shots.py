"""What counts as a change of shot, and what does not, on short films with known truth."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import cache
from itertools import pairwise

import cv2
import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from author.recording import looks
from author.recording.looks import ALONE, LOOK, Watcher
from author.recording.shots import MotionSpan, motion_spans, shot_changes

from . import staged_films as staged

SIZE = (320, 180)


def watched(pictures: Sequence[np.ndarray]) -> np.ndarray:
    watcher = Watcher()
    return np.array([watcher.look(*staged.planes(picture)) for picture in pictures], LOOK)


def steady(count: int) -> np.ndarray:
    return np.arange(count) / 30


def shot(number: int, **changes: object) -> staged.Shot:
    """One of a few angles of one bench, 50 frames, with hands, without disturbance."""
    plain = staged.Shot(0, _angles()[number], 50, 100 + number)
    return replace(plain, **changes)


@cache
def _angles() -> list[staged.Angle]:
    close = staged.Angle(500, 400, 600, 0.1, (0.05, 0.1))
    return [
        close,
        staged.Angle(950, 600, 700, -0.3, (-0.1, -0.2)),
        replace(close, x=470, y=380, across=360),
        staged.Angle(700, 500, 880, 0.4, (0.0, 0.2)),
    ]


def film(*shots: staged.Shot) -> tuple[np.ndarray, staged.Truth]:
    truth = staged.Truth()
    frames = staged.play([*shots[:-1], replace(shots[-1], leave="end")], 7, SIZE, truth)
    return watched(list(frames)), truth


def changes_of(looks: np.ndarray) -> list[tuple[str, int, int]]:
    return [(c.kind, c.start, c.index) for c in shot_changes(looks, steady(len(looks)))]


def test_cuts_between_angles_of_one_bench_are_found_to_the_frame():
    looks, truth = film(shot(0), shot(1), shot(2), shot(0), shot(3))
    assert changes_of(looks) == [("cut", c.index, c.index) for c in truth.changes]


def test_a_cut_to_a_closer_view_of_the_same_place_is_found():
    looks, _ = film(shot(0), shot(2))
    assert changes_of(looks) == [("cut", 50, 50)]


def test_a_cut_while_the_camera_pans_is_found():
    looks, _ = film(shot(0, disturbance="pan"), shot(1, disturbance="pan"))
    assert changes_of(looks) == [("cut", 50, 50)]


@pytest.mark.parametrize("way", ["black", "white", "dissolve"])
def test_a_fade_is_one_change_that_covers_the_frames_mixed(way: str):
    looks, truth = film(
        shot(0, frames=70, leave=way, overlap=16, busy=False), shot(1, frames=70, busy=False)
    )
    [(kind, start, index)], [true] = changes_of(looks), truth.changes
    assert kind == "fade"
    assert abs(start - true.start) <= 6
    assert abs(index - true.index) <= 6


@pytest.mark.parametrize("disturbance", sorted(set(staged.DISTURBANCES)))
@pytest.mark.parametrize("seed", [1, 2])
def test_what_disturbs_a_shot_is_no_change(disturbance: str, seed: int):
    looks, _ = film(shot(3, disturbance=disturbance, seed=seed, frames=60))
    assert changes_of(looks) == []


@pytest.mark.parametrize("length", [1, 3, 5])
def test_frames_burnt_white_are_a_flash_and_no_change(length: int):
    pictures = list(staged.play([shot(0, leave="end")], 7, SIZE, staged.Truth()))
    for at in range(20, 20 + length):
        pictures[at] = np.full_like(pictures[at], 250)
    assert changes_of(watched(pictures)) == []


def test_a_scene_that_goes_black_and_comes_back_at_once_is_no_change():
    pictures = list(staged.play([shot(0, leave="end")], 7, SIZE, staged.Truth()))
    for at in range(20, 30):
        pictures[at] = np.full_like(pictures[at], 3)
    assert changes_of(watched(pictures)) == []


def test_other_scenes_on_both_sides_of_black_are_one_change():
    pictures = list(staged.play([shot(0), shot(1, leave="end")], 7, SIZE, staged.Truth()))
    black = [np.full_like(pictures[0], 3)] * 12
    looks = watched(pictures[:50] + black + pictures[50:])
    assert changes_of(looks) == [("fade", 50, 62)]


def test_a_cut_is_found_at_any_spacing_of_frames():
    looks, _ = film(shot(0), shot(1))
    gaps = np.random.default_rng(3).choice([0.005, 0.033, 0.5, 2.0], len(looks))
    [found] = shot_changes(looks, np.cumsum(gaps))
    assert (found.kind, found.index) == ("cut", 50)


def test_after_forgetting_no_frame_comes_before():
    one, other = (
        next(iter(staged.play([shot(n, leave="end")], 7, SIZE, staged.Truth()))) for n in (0, 1)
    )
    watcher = Watcher()
    watcher.look(*staged.planes(one))
    assert watcher.look(*staged.planes(other))["like"] < 0.5
    watcher.forget()
    again = watcher.look(*staged.planes(one))
    assert again["flags"] == ALONE
    assert again["like"] == 1


def test_likeness_is_blind_to_exposure_and_sees_the_shift():
    plain = cv2.GaussianBlur(staged.bench(1, 0.5), (0, 0), 2)
    watcher = Watcher()
    watcher.look(*staged.planes(plain[50:410, 50:690]))
    moved = cv2.convertScaleAbs(plain[50:410, 90:730], alpha=0.6)
    look = watcher.look(*staged.planes(moved))
    assert look["like"] > 0.75
    assert look["shift"][0] == pytest.approx(-40 / 640, abs=1 / 80)
    assert look["shift"][1] == pytest.approx(0, abs=1 / 45)


@settings(max_examples=25, deadline=None)
@given(
    st.integers(1, 70), st.integers(1, 70), st.integers(1, 40), st.sampled_from([8, 10, 12]),
    st.integers(0, 2**32 - 1),
)  # fmt: skip
def test_pictures_of_any_size_and_depth_are_looked_at(
    width: int, height: int, small: int, bits: int, seed: int
):
    rng = np.random.default_rng(seed)
    watcher = Watcher()
    for _ in range(3):
        kind = np.uint8 if bits == 8 else np.uint16
        luma = rng.integers(0, 1 << bits, (height, width + 5)).astype(kind)[:, :width]
        reduced = rng.integers(0, 256, (small, small + 3), dtype=np.uint8)
        colour = reduced[: (small + 1) // 2, : (small + 4) // 2].copy()
        look = watcher.look(luma, reduced, colour, colour, bits)
        for name in ("like", "moving", "noise", "fine", "middle", "mean", "shift"):
            assert np.isfinite(look[name]).all()
        assert 0 <= look["like"] <= 1


def test_deeper_luma_has_the_sharpness_of_the_same_picture_in_8_bits():
    picture = staged.bench(2, 0.3)
    luma, *small = staged.planes(picture)
    eight = Watcher().look(luma, *small)
    ten = Watcher().look(luma.astype(np.uint16) << 2, *small, bits=10)
    np.testing.assert_allclose(ten["fine"], eight["fine"])


def test_a_record_is_small_and_no_film_has_no_changes():
    assert LOOK.itemsize <= 256
    nothing = np.zeros(0, LOOK)
    assert shot_changes(nothing, np.zeros(0)) == ()
    assert motion_spans(nothing, np.zeros(0)) == ()
    assert shot_changes(np.zeros(1, LOOK), np.zeros(1)) == ()


def test_hands_at_work_and_a_still_bench_are_told_apart():
    quiet = shot(0, busy=False, frames=75)
    looks, _ = film(quiet, shot(0, frames=75), quiet)
    spans = motion_spans(looks, steady(len(looks)))
    assert [span.kind for span in spans] == ["still", "working", "still"]
    assert abs(spans[1].start - 75) <= 8
    assert abs(spans[1].end - 150) <= 8


@settings(max_examples=50, deadline=None)
@given(st.lists(st.tuples(st.floats(0, 0.1), st.floats(0.005, 2)), min_size=1, max_size=60))
def test_motion_spans_cover_the_film_and_alternate(frames: list[tuple[float, float]]):
    looks = np.zeros(len(frames), LOOK)
    looks["moving"] = [moving for moving, _ in frames]
    spans = motion_spans(looks, np.cumsum([gap for _, gap in frames]))
    assert spans[0].start == 0
    assert spans[-1].end == len(frames)
    for one, other in pairwise(spans):
        assert one.end == other.start
        assert one.kind != other.kind


def test_a_short_pause_does_not_end_the_work():
    looks = np.zeros(300, LOOK)
    looks["moving"][60:200] = 0.1
    looks["moving"][100:120] = 0
    looks["moving"][250:255] = 0.1
    expected = [(0, 60, "still"), (60, 200, "working"), (200, 300, "still")]
    assert motion_spans(looks, steady(300)) == tuple(MotionSpan(*span) for span in expected)


@pytest.mark.parametrize("axis", ["x", "y"])
def test_a_camera_may_have_moved_by_any_part_of_the_picture(axis):
    structure = np.random.default_rng(1).random((45, 80), np.float32)
    far, now = looks._Seen.of(structure), looks._Seen.of(structure)
    for moved in np.linspace(-81, 81, 649):  # points of the small picture, also by quarters
        setattr(now, axis, float(moved))
        assert 0 <= looks._moved(now, far) <= 1
