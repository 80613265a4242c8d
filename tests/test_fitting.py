"""Points fitted to signs: what is told of a table without writing it out, and what points say."""

from __future__ import annotations

import numpy as np
from benchmarks import fitting
from benchmarks.fitting import (
    Row,
    Table,
    descended,
    fit,
    fitted,
    folds_of,
    held_back,
    overheard,
    told_often,
)

THINGS = [{"wet"}, {"wet", "red"}, {"red"}, {"red", "other"}, set(), {"wet"}]


def test_scores_add_up_the_points_of_the_signs_that_have_a_name_and_the_base():
    table = Table(THINGS, ["red", "wet"])
    assert table.scores(np.array([2.0, 3.0, 0.5])).tolist() == [3.5, 5.5, 2.5, 2.5, 0.5, 3.5]


def test_sums_are_those_of_the_things_that_have_the_sign():
    table = Table(THINGS, ["red", "wet"])
    assert table.sums(np.arange(1.0, 7.0)).tolist() == [9.0, 9.0, 21.0]


def test_a_sign_counts_by_its_size_where_that_is_told():
    table = Table([{"wet": 0.5, "warm": 2.0}, {"wet": -3.0}], ["wet"])
    assert table.scores(np.array([2.0, 1.0])).tolist() == [2.0, -5.0]
    assert table.sums(np.array([1.0, 10.0])).tolist() == [-29.5, 11.0]
    assert table.bends(np.array([1.0, 10.0])).tolist() == [90.25, 11.0]


def test_no_things_have_no_scores():
    assert Table([], ["red"]).scores(np.zeros(2)).size == 0


def test_the_base_alone_is_the_odds_of_what_counts():
    (base,) = fit(
        Table([set()] * 4, []), np.array([1, 0, 0, 0.0]), np.array([3, 1, 1, 1.0]), np.array([1e-9])
    )
    assert abs(base) < 1e-6


def test_the_slope_is_nothing_at_the_points_that_are_found():
    drawn = np.random.default_rng(4)
    names = [f"sign {number}" for number in range(30)]
    things = [{name for name in names if drawn.random() < 0.2} for _ in range(200)]
    truth = np.array([float("sign 3" in signs or drawn.random() < 0.2) for signs in things])
    much, ridge = drawn.random(200) + 0.5, np.full(31, 0.002)
    points = fit(Table(things, names), truth, much, ridge)
    x = np.array([[*(float(name in signs) for name in names), 1.0] for signs in things])
    sure = 1 / (1 + np.exp(-x @ points))
    slope = x.T @ (much / much.sum() * (sure - truth)) + ridge * points
    assert np.abs(slope).max() < 1e-8
    assert points[3] == points.max()
    held = fit(Table(things, names), truth, much, np.full(31, 2.0))
    assert np.abs(held).max() < np.abs(points).max()


def test_a_sign_counts_once_for_each_narration():
    rows = [Row("one", {"wet", "red"}, True), Row("one", {"wet"}, True), Row("two", {"red"}, True)]
    assert told_often(rows, lambda _: 2) == ["red"]
    assert told_often(rows, lambda sign: 1 if sign == "wet" else 3) == ["wet"]


def test_a_narration_is_whole_in_one_fold():
    assert folds_of(["a", "b", "a", "c", "b"], 2).tolist() == [0, 1, 0, 0, 1]


def test_no_row_is_weighed_by_a_fit_that_has_seen_its_fold():
    rows = [Row(at, {at}, truth=at == "b") for at in "aabbcc"]
    folds = folds_of([row.narration for row in rows], 3)

    def names_of(others):
        assert len({row.narration for row in others}) == 2
        return told_often(others, lambda _: 1)

    scores = held_back(rows, folds, names_of, lambda *told: fitted(*told, lambda _: 0.01))
    # Each has a sign that nobody else has: only the base is left, and that is the others' own.
    assert np.abs(scores[[0, 1, 4, 5]]).max() < 1e-6
    assert scores[2] == scores[3] < -1


def test_what_is_overheard_goes_on_as_before():
    with overheard(fitting, "often") as calls:
        told_often([Row("one", {"wet"}, True)], lambda _: 1)
    assert [result for _, result in calls] == [["wet"]]
    assert fitting.often(["red"], lambda _: 2) == []
    assert len(calls) == 1


def test_steps_down_a_slope_come_to_where_it_is_nothing():
    rates = [0.1] * 200 + [0.01] * 200
    far = np.array([3.0, -200.0])
    points = descended(far, lambda points: points - [1.0, -199.0], rates, 0.99, 1e-8)
    assert np.abs(points - [1.0, -199.0]).max() < 1e-3
    assert far.tolist() == [3.0, -200.0]
