"""Fits the weights of ``author/proposals/steps/features.py`` on the narrations that may be read.

    python tests/benchmarks/fit_step_weights.py [--write]

Prints how well a fit does on narrations it was made without, as they were told and with pauses
that say nothing; with ``--write`` the weights fitted on all are written.
"""

# ruff: noqa: T201

from __future__ import annotations

import copy
import random
import sys
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from decimal import Decimal
from pathlib import Path
from typing import Any
from unittest.mock import patch

import numpy as np

sys.path.insert(0, str(Path(__file__).parent.parent))

from benchmarks.fitting import Row, fitted, overheard, told_often, write
from proposals.measuring import NEAR, gold_starts
from proposals.narrating import LEARNED, Narration, readable

from author.proposals import claims
from author.proposals.steps import features as step_features
from author.proposals.steps import parting, spans
from author.proposals.steps.features import Talk, features_of, first_told, step_weights
from author.proposals.steps.parting import neighbours, pauses_tell
from author.proposals.steps.said_words import said_words, word_points

_NEAR = Decimal("1.5")
_RIDGE = 0.003
_PARTS = 5
_EVEN = (0.3, 1.3)
"""Seconds between which a pause is drawn where pauses are to say nothing."""
_EVEN_COUNTS = 0.25
"""How much a narration counts with such pauses, where it counts 1 as it was told."""
_ROUNDS = 2
"""How far pauses tell is found by the weights, and the weights are fitted with it: in turns."""
_SHOT = 5.0
"""Not fitted: the narrations have no pictures."""
_AHEAD = 0.45
"""Nor this: the network knows these narrations. It was chosen on `plain`."""

_LEAST = 12
"""In how many narrations a word has to be told to have points of its own."""
_RIDGE_OF_WORD = 0.006
_SMALLEST = 0.05
"""Points of words smaller than this say nothing."""
_WORDS = "words"

_Features = dict[str, float]


@dataclass(frozen=True)
class Weights:
    """What signs count, and the words.

    Attributes:
        signs: the weights of ``step_weights.yaml``.
        words: the points of ``step_words.yaml``.
    """

    signs: _Features
    words: _Features

    @contextmanager
    def in_place(self) -> Iterator[None]:
        """Let the stage count with them."""
        with (
            patch.object(step_features, "step_weights", lambda: self.signs),
            patch.object(parting, "step_weights", lambda: self.signs),
            patch.object(step_features, "words_say", self.words_say),
        ):
            yield

    def words_say(self, text: str, before: str) -> float:
        return sum(self.words.get(sign, 0.0) for sign in sorted(said_words(text, before)))


@dataclass
class Told:
    """A narration as far as steps are concerned: what is handed to the stage, and its truth.

    Attributes:
        name: folder and name.
        handed: what is handed to the stage.
        gold: when its steps begin, seconds.
        kept: indexes of the sentences that are part of the work.
        talk: it, with pauses that tell all.
        rows: features, words and truth of each sentence, given the steps of the gold.
    """

    name: str
    handed: tuple[Any, ...]
    gold: list[Decimal]
    kept: list[int]
    talk: Talk
    rows: list[tuple[_Features, frozenset[str], bool]] = field(default_factory=list)

    @classmethod
    def of(cls, name: str, narration: Narration) -> Told:
        """Return it with what is weighed by how far pauses tell as if they told all."""
        with overheard(claims, "steps_in") as calls:
            claims.propose(narration.spoken())
        handed = calls[0][0][:-1]  # what the network thinks is left out: it knows them all
        sentences, marks, orders, things = handed[:4]
        kinds = spans.kinds_by_sentence(marks)
        kept = spans.kept_of(range(len(sentences)), kinds, orders)
        pauses, told_first = spans.pauses_of(sentences, kept), first_told(sentences)
        talk = Talk(sentences, kinds, orders, things, (), pauses, told_first, 1.0)
        told = cls(name, handed, gold_starts(narration), kept, talk)
        so_far = kept[:1]
        for index in kept[1:]:
            start = sentences[index].start
            begins = any(abs(start - g) <= _NEAR for g in told.gold)
            if start > told.gold[0]:
                words = said_words(sentences[index].text, sentences[index - 1].text)
                told.rows.append((features_of(talk, index, so_far), words, begins))
            so_far = [index] if begins else [*so_far, index]
        return told

    def weighed(self, weights: Weights) -> Iterator[tuple[_Features, bool]]:
        """Yield signs and truth with what is weighed by how far its pauses tell."""
        with weights.in_place():
            tell = pauses_tell(neighbours(self.talk, self.kept), weights.signs)
        for found, words, truth in self.rows:
            signs = {k: v * tell if k.startswith("telling") else v for k, v in found.items()}
            del signs[_WORDS], signs["shot"], signs["ahead"]
            yield signs | dict.fromkeys(words, 1.0), truth

    def right(self, weights: Weights) -> np.ndarray:
        """Return how many steps are found rightly, found, and wanted."""
        with weights.in_place():
            found = spans.steps_in(*self.handed)
        left, right = list(self.gold), 0
        for step in found:
            near = [g for g in left if abs(g - step.start) <= NEAR]
            if near:
                left.remove(min(near, key=lambda g: abs(g - step.start)))
                right += 1
        return np.array([right, len(found), len(self.gold)])


def _evenly(narration: Narration) -> Narration:
    """Return a narration told as from a script: its pauses say nothing of the work."""
    data = copy.deepcopy(narration.data)
    drawn, now = random.Random(narration.name), Decimal(1)
    for sentence in data["sentences"]:
        lasts = Decimal(sentence["to"]) - Decimal(sentence["from"])
        sentence["from"], sentence["to"] = f"{now}", f"{now + lasts}"
        now += lasts + Decimal(f"{drawn.uniform(*_EVEN):.3f}")
    return Narration(narration.name, data)


def _fit(parts: Sequence[tuple[Told, float]]) -> Weights:
    """Return weights; how far pauses tell is found by those so far."""
    weights = Weights(dict(step_weights()), dict(word_points()))
    for _ in range(_ROUNDS):
        rows = [Row(told.name, *row, n) for told, n in parts for row in told.weighed(weights)]
        often = told_often(rows, lambda sign: _LEAST if " " in sign else 1)
        names = [name for name in often if name != "base"]
        points = map(float, fitted(rows, names, _ridge))
        found = dict(zip((*names, "base"), points, strict=True))
        words = {name: value for name, value in found.items() if " " in name}
        signs = {name: found[name] for name in parts[0][0].rows[0][0] if name in found}
        weights = Weights({**signs, _WORDS: 1.0, "shot": _SHOT, "ahead": _AHEAD}, words)
    return weights


def _ridge(sign: str) -> float:
    return _RIDGE_OF_WORD if " " in sign else _RIDGE


def main() -> None:
    every = readable(LEARNED)
    told = {(folder, n.name): Told.of(f"{folder} {n.name}", n) for folder, n in every}
    even = {
        (folder, n.name): Told.of(f"{folder} {n.name}", _evenly(n))
        for folder, n in every
        if n.data["format"] != "timed"
    }

    def fit(without: set[tuple[str, str]]) -> Weights:
        kept = [(one, 1.0) for key, one in told.items() if key not in without]
        return _fit(kept + [(one, _EVEN_COUNTS) for key, one in even.items() if key not in without])

    keys = sorted(told)
    totals = {(kind, folder): np.zeros(3) for kind in ("as told", "evenly") for folder in LEARNED}
    for fold in range(_PARTS):
        held = set(keys[fold::_PARTS])
        weights = fit(held)
        for kind, data in (("as told", told), ("evenly", even)):
            for key in held & data.keys():
                totals[kind, key[0]] += data[key].right(weights)
    for (kind, folder), (right, found, wanted) in totals.items():
        print(f"{kind:8} {folder:9} F1 {2 * right / (found + wanted):.3f}")
    if "--write" in sys.argv:
        weights = fit(set())
        lines = (f"{name}: {weight:.2f}" for name, weight in weights.signs.items())
        write("step_weights.yaml", [*_HEAD, *lines])
        words = (
            f'"{name}": {points:.2f}'
            for name, points in weights.words.items()
            if abs(points) >= _SMALLEST
        )
        write("step_words.yaml", [*_HEAD_OF_WORDS, *words])


_HEAD = (
    "# What each sign counts for a new step, as log odds. Made by",
    "# tests/benchmarks/fit_step_weights.py --write from narrations of our own; not to be changed",
    "# by hand.",
)
_HEAD_OF_WORDS = (
    "# What each word of a sentence, and of the one before it, counts for a new step, as log odds.",
    "# Made by tests/benchmarks/fit_step_weights.py --write from narrations of our own; not to be",
    "# changed by hand.",
)

if __name__ == "__main__":
    main()
