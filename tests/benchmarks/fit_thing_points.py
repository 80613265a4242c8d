"""Fits the points of ``author/resources/thing_points.yaml`` on talk of our own.

    python tests/benchmarks/fit_thing_points.py [--write]

Prints how many of the parts and tools are found and how many of the found are right, each folder
by points fitted without it; with ``--write`` the table is fitted on all three and written.
"""

# ruff: noqa: T201

from __future__ import annotations

import sys
from collections import Counter
from collections.abc import Iterator, Sequence
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parent.parent))

from benchmarks.fitting import Row, chance, fitted, held_back, overheard, told_often, write
from proposals.measuring import _alike, _name
from proposals.narrating import READABLE, Narration, readable

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
_SMALLEST = 0.05


def rows_of(folder: str, narration: Narration) -> Iterator[tuple[Row, Row]]:
    """Yield all that may be named in a narration: as a part of the job, and as a tool of it."""
    said = narration.spoken()
    found = quantities_in(said)
    marks = joined_warnings(said, kinds_in(said, found))
    with overheard(thing_scores, "weighable") as calls:
        things.things_in(said, found, marks)
    told = calls[0][0]
    entries = list(thing_scores.weighable(*told))
    names = [_fullest(entry, told[0]) for entry, _ in entries]
    often = [len(entry.mentions) for entry, _ in entries]
    place = f"{folder}/{narration.name}"
    right = [_right(names, often, narration, key) for key in ("parts", "tools")]
    for at, (_, signs) in enumerate(entries):
        part, tool = (Row(place, signs, at in some) for some in right)
        yield part, tool


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


def names_of(rows: Sequence[Row]) -> list[str]:
    """Return the signs that are met often enough, and not everywhere."""
    count = Counter(sign for row in rows for sign in row.signs)
    told = told_often(rows, lambda _: _LEAST_NARRATIONS)
    return [sign for sign in told if _LEAST <= count[sign] < len(rows)]


def points_of(rows: Sequence[Row], names: Sequence[str]) -> np.ndarray:
    """Return the points of each sign, the last for none."""
    return fitted(rows, names, lambda s: _RIDGE_OF_WORDS if s.startswith(_WORDS) else _RIDGE)


def main() -> None:
    """Tell how good the points are, and write them."""
    every = readable()
    of_kind = list(zip(*(rows for one in every for rows in rows_of(*one)), strict=True))
    names = names_of(of_kind[0])
    folders = np.array([row.narration.partition("/")[0] for row in of_kind[0]])
    chances = [chance(held_back(rows, folders, lambda _: names, points_of)) for rows in of_kind]
    truths = [np.array([row.truth for row in rows]) for rows in of_kind]
    for folder in READABLE:
        held = folders == folder
        part, tool = (of_all[held] for of_all in chances)
        wanted = sum(
            len({name for s in one.sentences for name in s.get(key) or ()})
            for its, one in every
            if its == folder
            for key in ("parts", "tools")
        )
        for bar in np.arange(0.31, 0.5, 0.03):
            parts, tools = (part >= tool) & (part >= bar), (tool > part) & (tool >= bar)
            found = parts.sum() + tools.sum()
            right = truths[0][held][parts].sum() + truths[1][held][tools].sum()
            print(f"{folder} bar {bar:.2f} precision {right / found:.3f} "
                  f"recall {right / wanted:.3f} f1 {2 * right / (found + wanted):.3f}")  # fmt: skip
    if "--write" in sys.argv:
        parts, tools = (points_of(rows, names) for rows in of_kind)
        lines = (f'  "{name}": [{part:.2f}, {tool:.2f}]'
                 for name, part, tool in zip(names, parts, tools, strict=False)
                 if max(abs(part), abs(tool)) >= _SMALLEST)  # fmt: skip
        write("thing_points.yaml",
              [*_HEAD, f"base: [{parts[-1]:.2f}, {tools[-1]:.2f}]", "signs:", *lines])  # fmt: skip


_HEAD = (
    "# How likely what is named is a part of the job, and a tool of it, by its signs:",
    "# log odds, part first. Made by tests/benchmarks/fit_thing_points.py --write from",
    "# narrations of our own; not to be changed by hand.",
)


if __name__ == "__main__":
    main()
