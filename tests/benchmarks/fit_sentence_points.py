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
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parent.parent))

from proposals.narrating import READABLE, Narration, narrations

from author.proposals.speech.bare_speech import signs_of
from author.proposals.speech.said_once import key_of
from author.resources import own_table

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


@dataclass(frozen=True)
class Row:
    """A place between two words: what speaks for an end of a sentence, and whether one is there."""

    signs: tuple[str, ...]
    ends: bool


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
        yield Row(tuple(signs), ends)
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
        seen = Counter(sign for row in rows for sign in row.signs)
        names = sorted(sign for sign, count in seen.items() if count >= _SEEN)
        place = {name: at for at, name in enumerate(names)}
        found = [[place[sign] for sign in row.signs if sign in place] for row in rows]
        sizes = np.array([len(one) for one in found])
        flat = np.array([at for one in found for at in one])
        of_row = np.repeat(np.arange(len(rows)), sizes)
        ends = np.array([float(row.ends) for row in rows])
        points, base = np.zeros(len(names)), -2.0
        # Adam (Kingma & Ba, https://arxiv.org/abs/1412.6980), its usual constants from memory.
        mean, spread, base_mean, base_spread = (
            np.zeros_like(points),
            np.zeros_like(points),
            0.0,
            0.0,
        )
        for turn in range(1, _ROUNDS + 1):
            score = np.bincount(of_row, weights=points[flat], minlength=len(rows)) + base
            wrong = 1 / (1 + np.exp(-np.clip(score, -30, 30))) - ends
            slope = np.bincount(flat, weights=wrong[of_row], minlength=len(names))
            slope = (slope + _RIDGE * points) / len(rows)
            base_slope = wrong.mean()
            mean, spread = 0.9 * mean + 0.1 * slope, 0.999 * spread + 0.001 * slope**2
            base_mean = 0.9 * base_mean + 0.1 * base_slope
            base_spread = 0.999 * base_spread + 0.001 * base_slope**2
            small, smaller = 1 - 0.9**turn, 1 - 0.999**turn
            points -= _RATE * (mean / small) / (np.sqrt(spread / smaller) + 1e-8)
            base -= _RATE * (base_mean / small) / ((base_spread / smaller) ** 0.5 + 1e-8)
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
    every = [(folder, one) for folder in READABLE for one in narrations(folder)]
    rows = [[list(rows_of(one, way)) for way in range(len(_KEPT))] for _, one in every]
    counts = {(folder, way): np.zeros(3) for folder in READABLE for way in range(len(_KEPT))}
    for part in range(_PARTS):
        kept = [r for at, ways in enumerate(rows) if at % _PARTS != part for w in ways for r in w]
        fit = Fit(kept)
        for at in range(part, len(every), _PARTS):
            for way, told in enumerate(rows[at]):
                found = [(fit.ends(row), row.ends) for row in told]
                counts[every[at][0], way] += [
                    sum(one and two for one, two in found),
                    sum(one for one, _ in found),
                    sum(two for _, two in found),
                ]
    for (folder, way), (right, found, wanted) in counts.items():
        print(f"{folder:9} pauses told {_KEPT[way]:.1f}, within {_WITHIN[way]:.2f}: "
              f"precision {right / found:.3f} recall {right / wanted:.3f}")  # fmt: skip
    if "--write" in sys.argv:
        write(Fit([row for ways in rows for told in ways for row in told]))


def write(fit: Fit) -> None:
    """Write the table of points."""
    path = own_table("sentence_points.yaml")
    lines = [
        "# How much more often a sentence ends where there is a sign, as log odds. Made by",
        "# tests/benchmarks/fit_sentence_points.py --write from narrations of our own; not to be",
        "# changed by hand, but for the bars, from which a sentence ends: where pauses are known,",
        "# and where none is.",
        f"base: {fit.base:.2f}",
        f"bar: {_BAR}",
        f"bar_untimed: {_BAR_UNTIMED}",
        "signs:",
        *(f'  "{name}": {value:.2f}' for name, value in fit.points.items()),
        "",
    ]
    path.write_text("\n".join(lines), encoding="utf-8")


if __name__ == "__main__":
    main()
