"""Fits the points of ``author/proposals/things/points.py`` on talk of our own.

    python tests/benchmarks/fit_thing_points.py [--write] [FOLDER of further narrations …]

Prints how many of the parts are found and how many of the found are right, each narration by
points fitted without it and nine tenths of the others; with ``--write`` the table is fitted on
all and written.
"""

# ruff: noqa: T201

from __future__ import annotations

import sys
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import yaml

sys.path.insert(0, str(Path(__file__).parent.parent))

from proposals.measuring import _alike, _name
from proposals.narrating import Narration, narrations

from author.proposals.kinds.sentence_kinds import kinds_in
from author.proposals.quantities.reading import quantities_in
from author.proposals.steps.joined_warnings import joined_warnings
from author.proposals.things import finding as things
from author.proposals.things import scores as thing_scores
from author.proposals.things.gathering import Entry
from author.proposals.things.named import Thing

_RIDGE = 0.004
_LEAST = 4
_FOLDS = 10
_STEPS = 10


@dataclass(frozen=True)
class Row:
    """One thing that may be named: where, by what signs, and whether it is a part of the job."""

    narration: str
    signs: frozenset[str]
    right: bool


def rows_of(narration: Narration) -> Iterator[Row]:
    """Yield all that may be named in a narration."""
    said = narration.spoken()
    found = quantities_in(said)
    marks = joined_warnings(said, kinds_in(said, found))
    taken: list[tuple[Sequence[Thing], Mapping[int, set[str]], int]] = []
    real = thing_scores.weighable

    def listen(
        named: Sequence[Thing], kinds: Mapping[int, set[str]], sentences: int
    ) -> Iterator[tuple[Entry, frozenset[str]]]:
        taken.append((named, kinds, sentences))
        return real(named, kinds, sentences)

    thing_scores.weighable = listen
    try:
        things.things_in(said, found, marks)
    finally:
        thing_scores.weighable = real
    entries = list(real(*taken[0]))
    names = [_fullest(entry, taken[0][0]) for entry, _ in entries]
    right = _right(names, [len(entry.mentions) for entry, _ in entries], narration)
    for at, (_, signs) in enumerate(entries):
        yield Row(narration.name, signs, at in right)


def _fullest(entry: Entry, named: Sequence[Thing]) -> tuple[str, ...]:
    return _name(max((named[at].name for at in entry.mentions), key=lambda n: len(n.split())))


def _right(names: Sequence[tuple[str, ...]], often: Sequence[int], told: Narration) -> set[int]:
    """Return which names are parts of the job; each part is found once."""
    left = {name: _name(name) for s in told.sentences for name in s.get("parts") or ()}
    right: set[int] = set()
    for same in (tuple.__eq__, _alike):
        for at in sorted(range(len(names)), key=lambda at: -often[at]):
            hit = next((n for n in sorted(left) if same(names[at], left[n])), None)
            if hit is not None and at not in right:
                del left[hit]
                right.add(at)
    return right


def fit(x: np.ndarray, y: np.ndarray) -> np.ndarray:
    """Return the points of each sign, the last for none."""
    ridge = np.full(x.shape[1], _RIDGE)
    ridge[-1] = 1e-6
    w = np.zeros(x.shape[1])
    for _ in range(_STEPS):
        p = 1 / (1 + np.exp(-np.clip(x @ w, -30, 30)))
        slope = x.T @ (p - y) / len(y) + ridge * w
        bend = (x * (p * (1 - p))[:, None]).T @ x / len(y) + np.diag(ridge)
        w -= np.linalg.solve(bend, slope)
    return w


def table(rows: Sequence[Row]) -> tuple[list[str], np.ndarray]:
    """Return the signs that are met often enough, and which row has which."""
    count = Counter(sign for row in rows for sign in row.signs)
    names = sorted(sign for sign, many in count.items() if _LEAST <= many < len(rows))
    at = {name: place for place, name in enumerate(names)}
    x = np.zeros((len(rows), len(names) + 1))
    x[:, -1] = 1
    for line, row in enumerate(rows):
        for sign in row.signs & at.keys():
            x[line, at[sign]] = 1
    return names, x


def main() -> None:
    """Tell how good the points are, and write them."""
    every = list(narrations("build"))
    for folder in sys.argv[1:]:
        if not folder.startswith("--"):
            files = sorted(Path(folder).glob("*.yaml"))
            every += [Narration(f.stem, yaml.safe_load(f.read_text("utf-8"))) for f in files]
    rows = [row for one in every for row in rows_of(one)]
    wanted = sum(len({n for s in one.sentences for n in s.get("parts") or ()}) for one in every)
    names, x = table(rows)
    y = np.array([float(row.right) for row in rows])
    by_tool = np.array(["tool by name" in row.signs for row in rows])
    folds = {one.name: number % _FOLDS for number, one in enumerate(every)}
    fold = np.array([folds[row.narration] for row in rows])
    shares = np.zeros(len(rows))
    for number in range(_FOLDS):
        held = fold == number
        shares[held] = 1 / (1 + np.exp(-x[held] @ fit(x[~held], y[~held])))
    for bar in np.arange(0.25, 0.65, 0.05):
        kept = (shares >= bar) & ~by_tool
        right = (kept & (y > 0)).sum()
        print(f"bar {bar:.2f} precision {right / kept.sum():.3f} recall {right / wanted:.3f}"
              f" f1 {2 * right / (kept.sum() + wanted):.3f}")  # fmt: skip
    if "--write" in sys.argv:
        write(names, fit(x, y))


def write(names: Sequence[str], points: np.ndarray) -> None:
    """Write the table."""
    path = Path(thing_scores.__file__).with_name("points.py")
    lines = [
        '"""Points of the signs of a part, fitted on narrations of our own.',
        "",
        "Made by ``tests/benchmarks/fit_thing_points.py --write``; not to be changed by hand.",
        '"""',
        "",
        "from __future__ import annotations",
        "",
        f"BASE = {points[-1]:.2f}",
        "POINTS: dict[str, float] = {",
        *(f'    "{name}": {value:.2f},'
          for name, value in zip(names, points, strict=False) if abs(value) >= 0.05),
        "}",
        '"""How much more often parts of the job had the sign than other words, as log odds."""',
        "",
    ]  # fmt: skip
    path.write_text("\n".join(lines), encoding="utf-8")


if __name__ == "__main__":
    main()
