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
from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from pathlib import Path
from typing import Any
from unittest.mock import patch

import numpy as np

sys.path.insert(0, str(Path(__file__).parent.parent))

from benchmarks.fitting import Row, fitted, overheard, write
from proposals.measuring import NEAR, gold_starts
from proposals.narrating import READABLE, Narration, readable

from author.proposals import claims
from author.proposals.steps import features as step_features
from author.proposals.steps import parting, spans
from author.proposals.steps.features import Talk, features_of
from author.proposals.steps.parting import neighbours, pauses_tell

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

_Features = dict[str, float]


@dataclass
class Told:
    """A narration as far as steps are concerned: what is handed to the stage, and its truth."""

    handed: tuple[Any, ...]
    gold: list[Decimal]
    rows: list[tuple[_Features, bool]] = field(default_factory=list)
    beside: tuple[_Features, ...] = ()

    @classmethod
    def of(cls, narration: Narration) -> Told:
        """Return it with the features and truth of each sentence, given the steps of the gold.

        What is weighed by how far pauses tell stands as if they told all.
        """
        with overheard(claims, "steps_in") as calls:
            claims.propose(narration.spoken())
        handed = calls[0][0]
        sentences, marks, orders, things = handed[:4]
        kinds = spans.kinds_by_sentence(marks)
        kept = spans.kept_of(range(len(sentences)), kinds, orders)
        talk = Talk(sentences, kinds, orders, things, (), spans.pauses_of(sentences, kept), 1.0)
        told = cls(handed, gold_starts(narration))
        told.beside = neighbours(talk, kept)
        so_far = kept[:1]
        for index in kept[1:]:
            start = sentences[index].start
            begins = any(abs(start - g) <= _NEAR for g in told.gold)
            if start > told.gold[0]:
                told.rows.append((features_of(talk, index, so_far), begins))
            so_far = [index] if begins else [*so_far, index]
        return told

    def weighed(self, weights: Mapping[str, float]) -> list[tuple[_Features, bool]]:
        """Return features and truth with what is weighed by how far its pauses tell."""
        tell = pauses_tell(self.beside, weights)
        return [
            ({k: v * tell if k.startswith("telling") else v for k, v in found.items()}, truth)
            for found, truth in self.rows
        ]

    def right(self, weights: Mapping[str, float]) -> np.ndarray:
        """Return how many steps are found rightly, found, and wanted."""
        with (
            patch.object(step_features, "step_weights", lambda: weights),
            patch.object(parting, "step_weights", lambda: weights),
        ):
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


def _solved(parts: list[tuple[list[tuple[_Features, bool]], float]], names: list[str]) -> _Features:
    """Return the weights of a fit; each part counts as much as is told beside it."""
    rows = [Row("", *row, weight) for part, weight in parts for row in part]
    others = [name for name in names if name != "base"]
    points = map(float, fitted(rows, others, lambda _: _RIDGE))
    found = dict(zip((*others, "base"), points, strict=True))
    return {**{name: found[name] for name in names}, "shot": _SHOT}


def _fit(parts: list[tuple[Told, float]]) -> _Features:
    """Return weights: first without what pauses tell, then with it, by the weights so far."""
    names = [name for name in parts[0][0].rows[0][0] if name != "shot"]
    plain = [name for name in names if not name.startswith("telling")]
    weights = _solved([(told.rows, counts) for told, counts in parts], plain)
    for _ in range(_ROUNDS):
        weights = _solved([(told.weighed(weights), counts) for told, counts in parts], names)
    return weights


def main() -> None:
    every = readable()
    told = {(folder, n.name): Told.of(n) for folder, n in every}
    even = {
        (folder, n.name): Told.of(_evenly(n)) for folder, n in every if n.data["format"] != "timed"
    }

    def fit(without: set[tuple[str, str]]) -> _Features:
        kept = [(one, 1.0) for key, one in told.items() if key not in without]
        return _fit(kept + [(one, _EVEN_COUNTS) for key, one in even.items() if key not in without])

    keys = sorted(told)
    totals = {(kind, folder): np.zeros(3) for kind in ("as told", "evenly") for folder in READABLE}
    for fold in range(_PARTS):
        held = set(keys[fold::_PARTS])
        weights = fit(held)
        for kind, data in (("as told", told), ("evenly", even)):
            for key in held & data.keys():
                totals[kind, key[0]] += data[key].right(weights)
    for (kind, folder), (right, found, wanted) in totals.items():
        print(f"{kind:8} {folder:9} F1 {2 * right / (found + wanted):.3f}")
    if "--write" in sys.argv:
        lines = (f"{name}: {weight:.2f}" for name, weight in fit(set()).items())
        write("step_weights.yaml", [*_HEAD, *lines])


_HEAD = (
    "# What each sign counts for a new step, as log odds. Made by",
    "# tests/benchmarks/fit_step_weights.py --write from narrations of our own; not to be changed",
    "# by hand.",
)

if __name__ == "__main__":
    main()
