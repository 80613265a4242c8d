"""Fits points to signs: how much more often one kind of thing has a sign than all others.

There are thousands of signs, and each thing has a few dozen: only those are kept and counted.
"""

from __future__ import annotations

from collections.abc import Collection, Sequence

import numpy as np

_STEPS, _TURNS = 20, 400
_NEAR, _NEAR_TURN = 1e-9, 1e-4
_MOST = 30.0


class Table:
    """Which thing has which sign, and one sign more that each has: the base."""

    def __init__(self, things: Sequence[Collection[str]], names: Sequence[str]) -> None:
        """Keep the signs of things that have a name.

        Args:
            things: the signs of each thing.
            names: the signs that count, each once.
        """
        place = {name: at for at, name in enumerate(names)}
        found = [
            [*sorted(place[sign] for sign in signs if sign in place), len(names)]
            for signs in things
        ]
        self.width = len(names) + 1
        self._begins = np.cumsum([0, *map(len, found[:-1])]) if found else np.zeros(0, int)
        self._signs = np.array([at for one in found for at in one], int)
        self._things = np.repeat(np.arange(len(found)), [len(one) for one in found])

    def scores(self, points: np.ndarray) -> np.ndarray:
        """Return of each thing the sum of the points of its signs, the last being the base."""
        if not self._begins.size:
            return np.zeros(0)
        return np.add.reduceat(points[self._signs], self._begins)

    def sums(self, much: np.ndarray) -> np.ndarray:
        """Return of each sign the sum of what the things that have it count."""
        return np.bincount(self._signs, much[self._things], self.width)


def fit(table: Table, truth: np.ndarray, much: np.ndarray, ridge: np.ndarray) -> np.ndarray:
    """Return the points of each sign as log odds, the last the base.

    Newton's method; each step is found by conjugate gradients, so no square table is made.

    Args:
        table: the signs of the things.
        truth: 1 for each thing of the kind, 0 for all others.
        much: how much each thing counts.
        ridge: what holds the points of each sign, and the base, near 0; more than 0.
    """
    much = much / much.sum()
    points = np.zeros(table.width)
    for _ in range(_STEPS):
        odds = np.clip(table.scores(points), -_MOST, _MOST)
        sure = 1 / (1 + np.exp(-odds))
        slope = table.sums(much * (sure - truth)) + ridge * points
        if np.abs(slope).max() < _NEAR:
            break
        points += _step(table, slope, much * sure * (1 - sure), ridge)
    return points


def _step(table: Table, slope: np.ndarray, bend: np.ndarray, ridge: np.ndarray) -> np.ndarray:
    """Return the step that takes the slope to nothing, where it bends so."""
    # The bend of each sign by itself makes common and rare signs alike.
    alone = table.sums(bend) + ridge
    step, left = np.zeros_like(slope), -slope
    way = left / alone
    steep = first = left @ way
    for _ in range(_TURNS):
        bent = table.sums(bend * table.scores(way)) + ridge * way
        far = steep / (way @ bent)
        step += far * way
        left = left - far * bent
        eased = left / alone
        before, steep = steep, left @ eased
        if steep < _NEAR_TURN**2 * first:
            break
        way = eased + steep / before * way
    return step
