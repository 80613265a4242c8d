"""Fits the points of ``author/resources/thing_points.yaml`` on talk of our own.

    python tests/benchmarks/fit_thing_points.py [--write]

Prints how many of the parts, tools and supplies are found and how many of the found are right,
each folder by points fitted without it; with ``--write`` the table is fitted on all and written.
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
from proposals.narrating import LEARNED, Narration, readable
from proposals.same_names import Name, alike, equal, name_of

from author.proposals.kinds.sentence_kinds import kinds_in
from author.proposals.quantities.reading import quantities_in
from author.proposals.steps.joined_warnings import joined_warnings
from author.proposals.things import finding as things
from author.proposals.things import scores as thing_scores
from author.proposals.things.gathering import Entry, _single
from author.proposals.things.named import Thing

_RIDGE = 0.004
# Words of a name and verbs before it are met seldom each: with the ridge of the others they say
# nothing at all.
_RIDGE_OF_WORDS = 0.00012
_WORDS = ("head ", "word ", "verb ", "all verb ", "by verb ", "beside ")
_LEAST = 4
_LEAST_NARRATIONS = 3
_SMALLEST = 0.05


_KEYS = ("parts", "tools", "supplies")


def rows_of(folder: str, narration: Narration) -> Iterator[tuple[Row, ...]]:
    """Yield all that may be named in a narration: as a part, a tool and a supply of the job."""
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
    right = [_right(names, often, narration, key) for key in _KEYS]
    for at, (_, signs) in enumerate(entries):
        yield tuple(Row(place, signs, at in some) for some in right)


def _fullest(entry: Entry, named: Sequence[Thing]) -> Name:
    fullest = max((named[at].name for at in entry.mentions), key=lambda n: len(n.split()))
    return name_of(_single(fullest))


def _right(names: Sequence[Name], often: Sequence[int], told: Narration, key: str) -> set[int]:
    """Return which names are of a kind; each is found once."""
    left = {name: name_of(name) for s in told.sentences for name in s.get(key) or ()}
    right: set[int] = set()
    for same in (equal, alike):
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
    every = readable(LEARNED)
    of_kind = list(zip(*(rows for one in every for rows in rows_of(*one)), strict=True))
    names = names_of(of_kind[0])
    folders = np.array([row.narration.partition("/")[0] for row in of_kind[0]])
    chances = [chance(held_back(rows, folders, lambda _: names, points_of)) for rows in of_kind]
    truths = [np.array([row.truth for row in rows]) for rows in of_kind]
    best = np.argmax(chances, axis=0)
    for folder in LEARNED:
        held = folders == folder
        wanted = [
            sum(
                len({name for s in one.sentences for name in s.get(key) or ()})
                for its, one in every
                if its == folder
            )
            for key in _KEYS
        ]
        for bar in np.arange(0.28, 0.5, 0.03):
            found, right = np.zeros(3), np.zeros(3)
            for at, (share, truth) in enumerate(zip(chances, truths, strict=True)):
                kept = held & (best == at) & (share >= bar)
                found[at], right[at] = kept.sum(), truth[kept].sum()
            told = (found[:2].sum(), right[:2].sum(), sum(wanted[:2]))
            for name, (many, good, all_of) in (
                ("parts and tools", told),
                ("supplies", (found[2], right[2], wanted[2])),
            ):
                f1 = 2 * good / (many + all_of)
                print(f"{folder} bar {bar:.2f} {name} precision {good / many:.3f} "
                      f"recall {good / all_of:.3f} f1 {f1:.3f}")  # fmt: skip
    if "--write" in sys.argv:
        *points, base = np.column_stack([points_of(rows, names) for rows in of_kind])
        lines = (f'  "{name}": {_listed(one)}' for name, one in zip(names, points, strict=True)
                 if np.abs(one).max() >= _SMALLEST)  # fmt: skip
        write("thing_points.yaml", [*_HEAD, f"base: {_listed(base)}", "signs:", *lines])


def _listed(points: np.ndarray) -> str:
    return f"[{', '.join(f'{one:.2f}' for one in points)}]"


_HEAD = (
    "# How likely what is named is a part of the job, a tool and a supply of it, by its signs:",
    "# log odds in that order. Made by tests/benchmarks/fit_thing_points.py --write from",
    "# narrations of our own; not to be changed by hand.",
)


if __name__ == "__main__":
    main()
