"""Fits the points of ``author/resources/section_points.yaml`` on talk of our own.

    python tests/benchmarks/fit_section_points.py [--write]

Prints for how many sentences the part of the job is guessed rightly, each narration by points
fitted without it; with ``--write`` the table is fitted on all and written.
"""

# ruff: noqa: T201

from __future__ import annotations

import random
import sys
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path
from typing import Any
from unittest.mock import patch

import numpy as np

sys.path.insert(0, str(Path(__file__).parent.parent))

from benchmarks.fitting import Table, often, write
from proposals.narrating import READABLE, Narration, readable

from author.proposals.speech.spoken import Sentence
from author.proposals.steps import sections
from author.proposals.steps.sections import PHASES, phases_of, signs_of

_FOLDS, _STEPS, _RATE, _STILL = 6, 220, 0.6, 0.9
_LEAST, _RIDGE = 9, 0.0005
"""Narrations a sign has to be met in, and what large points cost."""
_STRETCHES = 10
_OF_USUAL, _OF_MOVES = 0.5, 0.6
"""How much the stretch of the talk and the part before count beside the words."""
_FAINT = 0.3
_TALK = {"chatter", "preview"}


@dataclass(frozen=True)
class Told:
    """A narration: its sentences, the part each belongs to or None, and which are talk."""

    folder: str
    sentences: tuple[Sentence, ...]
    parts: tuple[int | None, ...]
    beside: frozenset[int]


def told_of(folder: str, narration: Narration) -> Told:
    """Return a narration with the part of the job that each sentence belongs to."""
    part_of = {step["id"]: PHASES.index(step["section"]) for step in narration.data["steps"]}
    sentences = tuple(narration.spoken())
    parts: list[int | None] = []
    beside = set()
    for number, one in enumerate(sentences):
        middle = float(one.start + one.end) / 2
        gold = min(
            narration.sentences,
            key=lambda s: max(float(s["from"]) - middle, middle - float(s["to"]), 0.0),
        )
        parts.append(part_of.get(gold.get("step")))
        if set(gold.get("kinds") or ()) and set(gold["kinds"]) <= _TALK:
            beside.add(number)
    return Told(folder, sentences, tuple(parts), frozenset(beside))


def fitted(talks: Sequence[Told]) -> dict[str, Any]:
    """Return the table fitted on narrations."""
    met = (
        sign for talk in talks for sign in set().union(*(signs_of(s.text) for s in talk.sentences))
    )
    names = often(met, lambda _: _LEAST)
    rows = [
        (signs_of(one.text), part)
        for talk in talks
        for one, part in zip(talk.sentences, talk.parts, strict=True)
        if part is not None
    ]
    table = Table([signs for signs, _ in rows], names)
    points = _softmax_fit(table, np.eye(len(PHASES))[[part for _, part in rows]])
    points -= points.mean(axis=1, keepdims=True)
    return {
        "base": _rounded(points[-1]),
        "signs": {
            name: _rounded(row)
            for name, row in zip(names, points, strict=False)
            if abs(row).max() >= _FAINT
        },
        "usual": [_rounded(row) for row in _OF_USUAL * _usual(talks)],
        "moves": [_rounded(row) for row in _OF_MOVES * _moves(talks)],
    }


def _softmax_fit(table: Table, wanted: np.ndarray) -> np.ndarray:
    points = np.zeros((table.width, wanted.shape[1]))
    pace = np.zeros_like(points)
    ridge = np.full((table.width, 1), _RIDGE)
    ridge[-1] = 0
    for _ in range(_STEPS):
        guess = np.column_stack([table.scores(one) for one in points.T])
        guess = np.exp(guess - guess.max(axis=1, keepdims=True))
        guess /= guess.sum(axis=1, keepdims=True)
        slope = np.column_stack([table.sums(one) for one in (guess - wanted).T])
        pace = _STILL * pace + slope / len(wanted) + ridge * points
        points -= _RATE * pace
    return points


def _usual(talks: Sequence[Told]) -> np.ndarray:
    met = np.ones((_STRETCHES, len(PHASES)))
    for talk in talks:
        for number, part in enumerate(talk.parts):
            if part is not None:
                met[number * _STRETCHES // len(talk.parts), part] += 1
    return np.log(met / met.sum(axis=1, keepdims=True))


def _moves(talks: Sequence[Told]) -> np.ndarray:
    met = np.full((len(PHASES), len(PHASES)), 0.5)
    for talk in talks:
        known = [part for part in talk.parts if part is not None]
        for one, two in pairwise(known):
            met[one, two] += 1
    return np.log(met / met.sum(axis=1, keepdims=True))


def _rounded(row: np.ndarray) -> list[float]:
    return [round(float(one), 2) for one in row]


def right_of(talks: Sequence[Told], table: dict[str, Any]) -> Iterator[tuple[str, bool]]:
    """Yield for each sentence of a part its folder and whether the part is guessed."""
    with patch.object(sections, "_points", lambda: sections._Points(**table)):
        for talk in talks:
            guessed = phases_of(talk.sentences, talk.beside)
            for part, guess in zip(talk.parts, guessed, strict=True):
                if part is not None:
                    yield talk.folder, PHASES[part] == guess


def _lines(table: dict[str, Any]) -> list[str]:
    return [
        "# How likely each part of a job is where a word is said, at a stretch of the talk, and",
        "# after another part: natural logarithms, parts in the order make safe, removal,",
        "# inspection, fitting, closing. Made by tests/benchmarks/fit_section_points.py --write",
        "# from narrations of our own; not to be changed by hand.",
        f"base: {table['base']}",
        *(f"{key}:\n" + "\n".join(f"- {row}" for row in table[key]) for key in ("usual", "moves")),
        "signs:",
        *(f'  "{name}": {row}' for name, row in table["signs"].items()),
    ]


def main() -> None:
    """Tell how well the points do on narrations held back, and write them if asked."""
    talks = [told_of(*one) for one in readable()]
    order = list(range(len(talks)))
    random.Random(1).shuffle(order)
    right: Counter[str] = Counter()
    count: Counter[str] = Counter()
    for fold in range(_FOLDS):
        held = order[fold::_FOLDS]
        table = fitted([talks[at] for at in order if at not in held])
        for folder, hit in right_of([talks[at] for at in held], table):
            count[folder] += 1
            right[folder] += hit
    for folder in READABLE:
        print(f"{folder:10s} {right[folder] / count[folder]:.3f} of {count[folder]}")
    if "--write" in sys.argv[1:]:
        write("section_points.yaml", _lines(fitted(talks)))


if __name__ == "__main__":
    main()
