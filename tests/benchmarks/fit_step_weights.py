"""Fits the weights of ``author/proposals/steps/features.py`` on the narrations to build on.

    python tests/benchmarks/fit_step_weights.py [--write]

Prints how well a fit does on each narration it was made without; with ``--write`` the weights
fitted on all are written.
"""

# ruff: noqa: T201

from __future__ import annotations

import math
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


def _fit(rows: list[tuple[dict[str, float], bool]], names: list[str]) -> np.ndarray:
    x = np.array([[row[name] for name in names] for row, _ in rows])
    y = np.array([float(truth) for _, truth in rows])
    ridge = np.array([1e-6 if name == "base" else _RIDGE for name in names])
    w = np.zeros(len(names))
    for _ in range(25):
        p = 1 / (1 + np.exp(-np.clip(x @ w, -30, 30)))
        slope = x.T @ (p - y) / len(y) + ridge * w
        bend = (x * (p * (1 - p))[:, None]).T @ x / len(y) + np.diag(ridge)
        w -= np.linalg.solve(bend, slope)
    return w


def main() -> None:
    data = {n.name: _rows(n) for n in narrations("build")}
    names = [name for name in next(iter(data.values()))[0][0] if name != "shot"]
    total = np.zeros(3)
    for left, rows in data.items():
        w = _fit([r for name, rs in data.items() if name != left for r in rs], names)
        guesses = [(sum(w[i] * row[n] for i, n in enumerate(names)) > CUT, t) for row, t in rows]
        right = sum(g and t for g, t in guesses)
        found, wanted = sum(g for g, _ in guesses), sum(t for _, t in guesses)
        total += [right, found, wanted]
        print(f"{left:32} precision {right / max(found, 1):.2f} recall {right / wanted:.2f}")
    print("F1", 2 * total[0] / (total[1] + total[2]), total)
    if "--write" in sys.argv:
        write(names, _fit([r for rows in data.values() for r in rows], names))


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
