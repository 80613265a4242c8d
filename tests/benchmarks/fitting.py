"""Fits points to signs: how much more often one kind of thing has a sign than all others.

There are thousands of signs, and each thing has a few dozen: only those are kept and counted.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from types import ModuleType
from typing import Any
from unittest.mock import patch

import numpy as np
from proposals.lists import read_list

from author.resources import own_table

_LISTS = Path(__file__).parent.parent / "proposals"
_KINDS_OF_LIST = {"warns": {"hazard"}, "plain": set(), "talk": {"chatter"}, "work": set()}

_STEPS, _TURNS = 20, 400
_NEAR, _NEAR_TURN = 1e-9, 1e-4
_MOST = 30.0


@dataclass(frozen=True)
class Row:
    """A thing: the narration it is in, its signs, whether it is of the kind, what it counts."""

    narration: str
    signs: Collection[str]
    truth: bool
    weight: float = 1.0


def listed() -> Iterator[tuple[str, set[str], bool]]:
    """Yield the single sentences of other trades: text, kinds, and whether it is held back."""
    talk, sentences = (read_list(_LISTS / f"{name}.yaml") for name in ("talk", "sentences"))
    for name, kinds in _KINDS_OF_LIST.items():
        yield from ((text, kinds, False) for text in talk[name])
    for one in sentences["sentences"]:
        yield one["say"], set(one["kinds"]), bool(one.get("held"))


@contextmanager
def overheard(module: ModuleType, name: str) -> Iterator[list[tuple[tuple[Any, ...], Any]]]:
    """Keep what a function of a module is given, and what it returns."""
    real, calls = getattr(module, name), []

    def listen(*args: Any) -> Any:
        calls.append((args, real(*args)))
        return calls[-1][1]

    with patch.object(module, name, listen):
        yield calls


def often(met: Iterable[str], least: Callable[[str], float]) -> list[str]:
    """Return the signs that are met often enough, in order."""
    return sorted(sign for sign, times in Counter(met).items() if times >= least(sign))


def told_often(rows: Iterable[Row], least: Callable[[str], float]) -> list[str]:
    """Return the signs that are met in enough narrations, in order."""
    met = {(row.narration, sign) for row in rows for sign in row.signs}
    return often((sign for _, sign in met), least)


def folds_of(narrations: Sequence[str], many: int) -> np.ndarray:
    """Return in which of so many folds each thing is: a narration is whole in one."""
    order = {name: at % many for at, name in enumerate(dict.fromkeys(narrations))}
    return np.array([order[name] for name in narrations])


def held_back(
    rows: Sequence[Row],
    folds: np.ndarray,
    names_of: Callable[[Sequence[Row]], Sequence[str]],
    points_of: Callable[[Sequence[Row], Sequence[str]], np.ndarray],
) -> np.ndarray:
    """Return the points of each row by a fit without its fold."""
    scores = np.zeros(len(rows))
    for fold in np.unique(folds):
        others = [row for row, at in zip(rows, folds, strict=True) if at != fold]
        own = [row.signs for row, at in zip(rows, folds, strict=True) if at == fold]
        names = names_of(others)
        scores[folds == fold] = Table(own, names).scores(points_of(others, names))
    return scores


def write(table: str, lines: Iterable[str]) -> None:
    """Write one of the tables that lie in ``author/resources``."""
    own_table(table).write_text("\n".join((*lines, "")), encoding="utf-8")


class Table:
    """Which thing has which sign, how large, and one sign more that each has: the base."""

    def __init__(self, things: Sequence[Collection[str]], names: Sequence[str]) -> None:
        """Keep the signs of things that have a name.

        Args:
            things: the signs of each thing; 1 large each, where nothing else is told.
            names: the signs that count, each once.
        """
        place = {name: at for at, name in enumerate(names)}
        found: list[list[int]] = []
        sizes: list[float] = []
        for signs in things:
            own = sorted(place[sign] for sign in signs if sign in place)
            found.append([*own, len(names)])
            told = isinstance(signs, Mapping)
            sizes += [*(signs[names[at]] if told else 1.0 for at in own), 1.0]
        self.width = len(names) + 1
        self._begins = np.cumsum([0, *map(len, found[:-1])]) if found else np.zeros(0, int)
        self._signs = np.array([at for one in found for at in one], int)
        self._sizes = np.array(sizes)
        self._things = np.repeat(np.arange(len(found)), [len(one) for one in found])

    def scores(self, points: np.ndarray) -> np.ndarray:
        """Return of each thing the sum of the points of its signs, the last being the base."""
        if not self._begins.size:
            return np.zeros(0)
        return np.add.reduceat(points[self._signs] * self._sizes, self._begins)

    def sums(self, much: np.ndarray) -> np.ndarray:
        """Return of each sign the sum of what the things that have it count, by its size."""
        return np.bincount(self._signs, much[self._things] * self._sizes, self.width)

    def bends(self, much: np.ndarray) -> np.ndarray:
        """Return the same by the square of its size."""
        return np.bincount(self._signs, much[self._things] * self._sizes**2, self.width)


def fitted(
    rows: Sequence[Row], names: Sequence[str], ridge: Callable[[str], float], of_base: float = 1e-6
) -> np.ndarray:
    """Return the points of each sign as log odds, the last the base; a ridge holds them near 0."""
    return fit(
        Table([row.signs for row in rows], names),
        np.array([float(row.truth) for row in rows]),
        np.array([row.weight for row in rows]),
        np.array([*map(ridge, names), of_base]),
    )


def chance(scores: np.ndarray) -> np.ndarray:
    """Return how likely things are of the kind, by the sums of their points."""
    return 1 / (1 + np.exp(-np.clip(scores, -_MOST, _MOST)))


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
        sure = chance(table.scores(points))
        slope = table.sums(much * (sure - truth)) + ridge * points
        if np.abs(slope).max() < _NEAR:
            break
        points += _step(table, slope, much * sure * (1 - sure), ridge)
    return points


def descended(
    points: np.ndarray,
    slope_of: Callable[[np.ndarray], np.ndarray],
    rates: Iterable[float],
    memory: float,
    least: float,
) -> np.ndarray:
    """Return points after steps down a slope, one for each rate.

    Adam (Kingma & Ba, https://arxiv.org/abs/1412.6980; ``memory`` 0.999 and ``least`` 1e-8 are
    usual, as 0.9 is, all from memory).

    Args:
        points: those to begin at.
        slope_of: tells the slope at points.
        rates: how far each step goes.
        memory: how much of the spread of the slopes is kept from step to step.
        least: is added to that spread.
    """
    mean, spread = np.zeros_like(points), np.zeros_like(points)
    for turn, rate in enumerate(rates, start=1):
        slope = slope_of(points)
        mean, spread = 0.9 * mean + 0.1 * slope, memory * spread + (1 - memory) * slope**2
        pace = np.sqrt(spread / (1 - memory**turn)) + least
        points = points - rate * mean / (1 - 0.9**turn) / pace
    return points


def _step(table: Table, slope: np.ndarray, bend: np.ndarray, ridge: np.ndarray) -> np.ndarray:
    """Return the step that takes the slope to nothing, where it bends so."""
    # The bend of each sign by itself makes common and rare signs alike.
    alone = table.bends(bend) + ridge
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
