"""Fits the weights of ``author/proposals/steps/features.py`` on the narrations that may be read.

    python tests/benchmarks/fit_step_weights.py [--write]

Prints how well a fit does on narrations it was made without, as they were told and with pauses
that say nothing; with ``--write`` the weights fitted on all are written.
"""

# ruff: noqa: T201

from __future__ import annotations

import copy
import math
import random
import sys
from decimal import Decimal
from pathlib import Path
from typing import Any

import numpy as np

sys.path.insert(0, str(Path(__file__).parent.parent))

from proposals.measuring import gold_starts
from proposals.narrating import Narration, narrations

from author.proposals import claims
from author.proposals.steps import features as step_features
from author.proposals.steps.features import Talk, features_of
from author.proposals.steps.spans import _ENOUGH, kept_of, kinds_by_sentence, pauses_of

_NEAR = Decimal("1.5")
_RIDGE = 0.003
_FOLDERS = ("build", "further", "unfitted")
_PARTS = 5
_EVEN = (0.3, 1.3)
"""Seconds between which a pause is drawn where pauses are to say nothing."""
_EVEN_COUNTS = 0.25
"""How much a narration counts with such pauses, where it counts 1 as it was told."""
CUT = math.log(_ENOUGH / (1 - _ENOUGH))


def _rows(narration: Narration) -> list[tuple[dict[str, float], bool]]:
    """Return features and truth of each sentence, the steps so far as the gold has them."""
    taken: dict[str, Any] = {}
    real = claims.steps_in

    def listen(*args: Any) -> Any:
        taken["args"] = args
        return real(*args)

    claims.steps_in = listen  # type: ignore[assignment]
    try:
        claims.propose(narration.spoken())
    finally:
        claims.steps_in = real
    sentences, marks, orders, things = taken["args"][:4]
    kinds = kinds_by_sentence(marks)
    kept = kept_of(range(len(sentences)), kinds, orders)
    talk = Talk(sentences, kinds, orders, things, (), pauses_of(sentences, kept))
    gold = gold_starts(narration)
    rows, so_far = [], kept[:1]
    for index in kept[1:]:
        start = sentences[index].start
        begins = any(abs(start - g) <= _NEAR for g in gold)
        if start > gold[0]:
            rows.append((features_of(talk, index, so_far), begins))
        so_far = [index] if begins else [*so_far, index]
    return rows


def _evenly(narration: Narration) -> Narration:
    """Return a narration told as from a script: its pauses say nothing of the work."""
    data = copy.deepcopy(narration.data)
    drawn, now = random.Random(narration.name), Decimal(1)
    for sentence in data["sentences"]:
        lasts = Decimal(sentence["to"]) - Decimal(sentence["from"])
        sentence["from"], sentence["to"] = f"{now}", f"{now + lasts}"
        now += lasts + Decimal(f"{drawn.uniform(*_EVEN):.3f}")
    return Narration(narration.name, data)


_Rows = list[tuple[dict[str, float], bool]]


def _fit(parts: list[tuple[_Rows, float]], names: list[str]) -> np.ndarray:
    """Return the weights of a fit; each part counts as much as is told beside it."""
    rows = [row for part, _ in parts for row in part]
    x = np.array([[row[name] for name in names] for row, _ in rows])
    y = np.array([float(truth) for _, truth in rows])
    counts = np.concatenate([np.full(len(part), weight) for part, weight in parts])
    counts = counts / counts.mean()
    ridge = np.array([1e-6 if name == "base" else _RIDGE for name in names])
    w = np.zeros(len(names))
    for _ in range(25):
        p = 1 / (1 + np.exp(-np.clip(x @ w, -30, 30)))
        slope = x.T @ (counts * (p - y)) / len(y) + ridge * w
        bend = (x * (counts * p * (1 - p))[:, None]).T @ x / len(y) + np.diag(ridge)
        w -= np.linalg.solve(bend, slope)
    return w


def _right(rows: _Rows, w: np.ndarray, names: list[str]) -> np.ndarray:
    """Return how many steps are found rightly, found, and wanted."""
    guesses = [(sum(w[i] * row[n] for i, n in enumerate(names)) > CUT, t) for row, t in rows]
    found, wanted = sum(g for g, _ in guesses), sum(t for _, t in guesses)
    return np.array([sum(g and t for g, t in guesses), found, wanted])


def main() -> None:
    every = [(folder, n) for folder in _FOLDERS for n in narrations(folder)]
    told = {(folder, n.name): _rows(n) for folder, n in every}
    even = {
        (folder, n.name): _rows(_evenly(n)) for folder, n in every if n.data["format"] != "timed"
    }
    names = [name for name in next(iter(told.values()))[0][0] if name != "shot"]

    def fit(without: set[tuple[str, str]]) -> np.ndarray:
        kept = [(rows, 1.0) for key, rows in told.items() if key not in without]
        kept += [(rows, _EVEN_COUNTS) for key, rows in even.items() if key not in without]
        return _fit(kept, names)

    keys = sorted(told)
    for kind, data in (("as told", told), ("evenly", even)):
        totals = {folder: np.zeros(3) for folder in _FOLDERS}
        for fold in range(_PARTS):
            held = set(keys[fold::_PARTS])
            w = fit(held)
            for key in held & data.keys():
                totals[key[0]] += _right(data[key], w, names)
        for folder, (right, found, wanted) in totals.items():
            print(f"{kind:8} {folder:9} F1 {2 * right / (found + wanted):.3f}")
    if "--write" in sys.argv:
        write(names, fit(set()))


def write(names: list[str], weights: np.ndarray) -> None:
    """Write the table of weights."""
    path = Path(step_features.__file__)
    told = [f'    "{name}": {weight:.2f},' for name, weight in zip(names, weights, strict=True)]
    text = path.read_text(encoding="utf-8")
    begin = text.index("WEIGHTS: Mapping")
    first, last = text.index("\n", begin) + 1, text.index('    "shot":', begin)
    path.write_text(text[:first] + "\n".join(told) + "\n" + text[last:], encoding="utf-8")


if __name__ == "__main__":
    main()
