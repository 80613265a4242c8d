"""Fits the points of ``author/resources/sentence_points.yaml``: where bare words end a sentence.

    python tests/benchmarks/fit_sentence_points.py [--write]

Prints how well a fit does on narrations it was made without, in the ways of pausing it is made
for; with ``--write`` the points fitted on all are written. Captions seldom tell every pause, and
people pause within sentences: each narration counts as it was told, with pauses within, with half
of its pauses gone, and with none.
"""

# ruff: noqa: T201

from __future__ import annotations

import random
import sys
from collections.abc import Iterator, Sequence
from decimal import Decimal
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parent.parent))

from benchmarks.fitting import Row, Table, chance, descended, often, write
from proposals.narrating import READABLE, Narration, readable

from author.proposals.speech.bare_speech import signs_of
from author.proposals.speech.said_once import key_of

_PARTS = 3
_KEPT, _LONG_KEPT, _LONG = (1.0, 1.0, 0.5, 0.0), (1.0, 1.0, 0.8, 0.0), 1.5
"""By way of pausing the share of pauses that captions tell, and that of long ones, in seconds."""
_WITHIN = (0.0, 0.03, 0.05, 0.0)
"""Share of the words behind which somebody pauses within a sentence."""
_WITHIN_RATE = 2.0
_RIDGE = 5.0
_ROUNDS = 150
_RATE = 0.05
_SEEN = 12
"""Times that a sign is seen at least, each narration counted in four ways."""
_LEAST, _LEAST_OF_OTHERS = 0.12, 0.25
"""Points that are written: of the words that end and begin, and of those further off."""
_OTHERS = ("before ", "then ")
_BAR, _BAR_UNTIMED = -0.5, -1.0


def rows_of(narration: Narration, way: int) -> Iterator[Row]:
    """Yield the places between the words of a narration, told in one of the ways of pausing."""
    drawn = random.Random(f"{narration.name} {way}")
    words = list(_words(narration))
    keys = [key for key, _ in words]
    pauses = [_pause(pause, way, drawn) for _, pause in words]
    timed, length = any(pauses), 0
    for at in range(len(words) - 1):
        length += 1
        ends = words[at][1] is not None
        near = keys[max(0, at - 1) : at + 3]
        signs = signs_of(near, min(1, at), pauses[at], length, timed=timed)
        yield Row(narration.name, tuple(signs), ends)
        length = 0 if ends else length


def _words(narration: Narration) -> Iterator[tuple[str, float | None]]:
    """Yield each word, with the pause behind it where it is the last of its sentence."""
    bare = Narration(narration.name, {**narration.data, "style": "bare"})
    sentences = bare.sentences
    starts = [Decimal(one["from"]) for one in sentences[1:]] + [Decimal(sentences[-1]["to"])]
    for sentence, start in zip(sentences, starts, strict=True):
        *others, last = bare.text_of(sentence).split()
        yield from ((key_of(word), None) for word in others)
        yield key_of(last), max(0.0, float(start - Decimal(sentence["to"])))


def _pause(pause: float | None, way: int, drawn: random.Random) -> float:
    if pause is None:
        return drawn.expovariate(_WITHIN_RATE) if drawn.random() < _WITHIN[way] else 0.0
    kept = _LONG_KEPT[way] if pause >= _LONG else _KEPT[way]
    return pause if drawn.random() < kept else 0.0


class Fit:
    """Points of a logistic model with a penalty for large ones."""

    def __init__(self, rows: Sequence[Row]) -> None:
        names = often((sign for row in rows for sign in row.signs), lambda _: _SEEN)
        table = Table([row.signs for row in rows], names)
        ends = np.array([float(row.truth) for row in rows])
        ridge = np.array([*(_RIDGE for _ in names), 0.0])

        def slope_of(points: np.ndarray) -> np.ndarray:
            return (table.sums(chance(table.scores(points)) - ends) + ridge * points) / len(rows)

        begun = np.array([*(0.0 for _ in names), -2.0])
        *points, base = descended(begun, slope_of, [_RATE] * _ROUNDS, 0.999, 1e-8)
        self.base = float(base)
        self.points = {
            name: round(float(value), 2)
            for name, value in zip(names, points, strict=True)
            if abs(value) >= (_LEAST_OF_OTHERS if name.startswith(_OTHERS) else _LEAST)
        }

    def ends(self, row: Row) -> bool:
        """Whether a sentence ends there, by the fit."""
        bar = _BAR_UNTIMED if "untimed" in row.signs else _BAR
        return self.base + sum(self.points.get(sign, 0.0) for sign in row.signs) >= bar


def main() -> None:
    every = readable()
    rows = [[list(rows_of(one, way)) for way in range(len(_KEPT))] for _, one in every]
    counts = {(folder, way): np.zeros(3) for folder in READABLE for way in range(len(_KEPT))}
    for part in range(_PARTS):
        kept = [r for at, ways in enumerate(rows) if at % _PARTS != part for w in ways for r in w]
        fit = Fit(kept)
        for at in range(part, len(every), _PARTS):
            for way, told in enumerate(rows[at]):
                found = [(fit.ends(row), row.truth) for row in told]
                counts[every[at][0], way] += [
                    sum(one and two for one, two in found),
                    sum(one for one, _ in found),
                    sum(two for _, two in found),
                ]
    for (folder, way), (right, found, wanted) in counts.items():
        print(f"{folder:9} pauses told {_KEPT[way]:.1f}, within {_WITHIN[way]:.2f}: "
              f"precision {right / found:.3f} recall {right / wanted:.3f}")  # fmt: skip
    if "--write" in sys.argv:
        write("sentence_points.yaml", lines_of(Fit([r for ways in rows for w in ways for r in w])))


def lines_of(fit: Fit) -> list[str]:
    """Return the lines of the table of points."""
    return [
        "# How much more often a sentence ends where there is a sign, as log odds. Made by",
        "# tests/benchmarks/fit_sentence_points.py --write from narrations of our own; not to be",
        "# changed by hand, but for the bars, from which a sentence ends: where pauses are known,",
        "# and where none is.",
        f"base: {fit.base:.2f}",
        f"bar: {_BAR}",
        f"bar_untimed: {_BAR_UNTIMED}",
        "signs:",
        *(f'  "{name}": {value:.2f}' for name, value in fit.points.items()),
    ]


if __name__ == "__main__":
    main()
