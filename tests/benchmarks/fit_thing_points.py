"""Fits the points of ``author/resources/thing_points.yaml`` on talk of our own.

    python tests/benchmarks/fit_thing_points.py [--write]

Prints how many of the parts and tools are found and how many of the found are right, each folder
by points fitted without it; with ``--write`` the table is fitted on all three and written.
"""

# ruff: noqa: T201

from __future__ import annotations

import sys
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parent.parent))

from proposals.measuring import _alike, _name
from proposals.narrating import READABLE, Narration, narrations

import author.resources
from author.proposals.kinds.sentence_kinds import kinds_in
from author.proposals.quantities.reading import quantities_in
from author.proposals.steps.joined_warnings import joined_warnings
from author.proposals.things import finding as things
from author.proposals.things import scores as thing_scores
from author.proposals.things.gathering import Entry
from author.proposals.things.named import Thing

_RIDGE = 0.004
# Words of a name and verbs before it are met seldom each: with the ridge of the others they say
# nothing at all.
_RIDGE_OF_WORDS = 0.00012
_WORDS = ("head ", "word ", "verb ", "all verb ")
_LEAST = 4
_LEAST_NARRATIONS = 3
_STEPS = 8


@dataclass(frozen=True)
class Row:
    """One thing that may be named: where, by what signs, and what it is in the job."""

    folder: str
    narration: str
    signs: frozenset[str]
    part: bool
    tool: bool


def rows_of(folder: str, narration: Narration) -> Iterator[Row]:
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
    often = [len(entry.mentions) for entry, _ in entries]
    parts, tools = (_right(names, often, narration, key) for key in ("parts", "tools"))
    for at, (_, signs) in enumerate(entries):
        yield Row(folder, narration.name, signs, at in parts, at in tools)


def _fullest(entry: Entry, named: Sequence[Thing]) -> tuple[str, ...]:
    return _name(max((named[at].name for at in entry.mentions), key=lambda n: len(n.split())))


def _right(
    names: Sequence[tuple[str, ...]], often: Sequence[int], told: Narration, key: str
) -> set[int]:
    """Return which names are parts or tools of the job; each is found once."""
    left = {name: _name(name) for s in told.sentences for name in s.get(key) or ()}
    right: set[int] = set()
    for same in (tuple.__eq__, _alike):
        for at in sorted(range(len(names)), key=lambda at: -often[at]):
            hit = next((n for n in sorted(left) if same(names[at], left[n])), None)
            if hit is not None and at not in right:
                del left[hit]
                right.add(at)
    return right


def fit(x: np.ndarray, y: np.ndarray, ridge: np.ndarray) -> np.ndarray:
    """Return the points of each sign, the last for none."""
    w = np.zeros(x.shape[1])
    for _ in range(_STEPS):
        p = 1 / (1 + np.exp(-np.clip(x @ w, -30, 30)))
        slope = x.T @ (p - y) / len(y) + ridge * w
        bend = (x * (p * (1 - p))[:, None]).T @ x / len(y) + np.diag(ridge)
        w -= np.linalg.solve(bend, slope)
    return w


def table(rows: Sequence[Row]) -> tuple[list[str], np.ndarray, np.ndarray]:
    """Return the signs that are met often enough, which row has which, and the ridge of each."""
    count = Counter(sign for row in rows for sign in row.signs)
    told: dict[str, set[str]] = {}
    for row in rows:
        for sign in row.signs:
            told.setdefault(sign, set()).add(row.narration)
    names = sorted(
        sign
        for sign, many in count.items()
        if _LEAST <= many < len(rows) and len(told[sign]) >= _LEAST_NARRATIONS
    )
    at = {name: place for place, name in enumerate(names)}
    x = np.zeros((len(rows), len(names) + 1))
    x[:, -1] = 1
    for line, row in enumerate(rows):
        for sign in row.signs & at.keys():
            x[line, at[sign]] = 1
    ridge = [_RIDGE_OF_WORDS if name.startswith(_WORDS) else _RIDGE for name in names]
    return names, x, np.array([*ridge, 1e-6])


def main() -> None:
    """Tell how good the points are, and write them."""
    every = [(folder, one) for folder in READABLE for one in narrations(folder)]
    rows = [row for folder, one in every for row in rows_of(folder, one)]
    names, x, ridge = table(rows)
    of_kind = [np.array([float(getattr(row, kind)) for row in rows]) for kind in ("part", "tool")]
    for folder in READABLE:
        held = np.array([row.folder == folder for row in rows])
        part, tool = (1 / (1 + np.exp(-x[held] @ fit(x[~held], y[~held], ridge))) for y in of_kind)
        wanted = sum(
            len({name for s in one.sentences for name in s.get(key) or ()})
            for its, one in every
            if its == folder
            for key in ("parts", "tools")
        )
        for bar in np.arange(0.31, 0.5, 0.03):
            parts, tools = (part >= tool) & (part >= bar), (tool > part) & (tool >= bar)
            found = parts.sum() + tools.sum()
            right = of_kind[0][held][parts].sum() + of_kind[1][held][tools].sum()
            print(f"{folder} bar {bar:.2f} precision {right / found:.3f} "
                  f"recall {right / wanted:.3f} f1 {2 * right / (found + wanted):.3f}")  # fmt: skip
    if "--write" in sys.argv:
        write(names, *(fit(x, y, ridge) for y in of_kind))


def write(names: Sequence[str], parts: np.ndarray, tools: np.ndarray) -> None:
    """Write the table."""
    path = Path(author.resources.__file__).with_name("thing_points.yaml")
    lines = [
        "# How likely what is named is a part of the job, and a tool of it, by its signs:",
        "# log odds, part first. Made by tests/benchmarks/fit_thing_points.py --write from",
        "# narrations of our own; not to be changed by hand.",
        f"base: [{parts[-1]:.2f}, {tools[-1]:.2f}]",
        "signs:",
        *(f'  "{name}": [{part:.2f}, {tool:.2f}]'
          for name, part, tool in zip(names, parts, tools, strict=False)
          if max(abs(part), abs(tool)) >= 0.05),
        "",
    ]  # fmt: skip
    path.write_text("\n".join(lines), encoding="utf-8")


if __name__ == "__main__":
    main()
