"""Fits the points of ``author/resources/unit_points.yaml`` on talk of our own.

    python tests/benchmarks/fit_unit_points.py [--write]

Prints how many bare numbers of each narration get the unit they mean, or none where they are no
quantity, by points fitted without it; with ``--write`` the table is fitted on all and written.
"""

# ruff: noqa: T201

from __future__ import annotations

import sys
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path
from typing import Any
from unittest.mock import patch

import numpy as np

sys.path.insert(0, str(Path(__file__).parent.parent))

from benchmarks.fitting import Table, descended, folds_of, write
from proposals.narrating import Narration, readable
from proposals.said import told
from proposals.score_phrases import phrases, texts_of, wanted

from author.procedure.units import all_units
from author.proposals.quantities.amounts.amount import FINE_PARTS, Amount
from author.proposals.quantities.amounts.context import Scene
from author.proposals.quantities.bare_numbers import carry as quantity_carry
from author.proposals.quantities.bare_numbers.choice import BARE, NOTHING, Choice, choices_of
from author.proposals.quantities.bare_numbers.topic import Talk
from author.proposals.quantities.reading import quantities_in
from author.proposals.speech.spoken import Sentence

_RIDGE, _STEPS, _LEAST, _FOLDS = 0.1, 300, 4, 10
_RATE, _SLOWER, _EARLY = 0.05, 0.015, 200
_ENDS = ("lower", "nominal", "upper")
_WHOLE = 5
# A word tells of what a number is only if people of so many films used it there.
_NARRATIONS = 3
_SMALLEST = 0.05
Meant = tuple[str, int]
"""The unit of a bare number, ``BARE`` or ``NOTHING``, and what its parts divide by, else 1."""
Marked = tuple[Any, set[Decimal], Any]
"""Role, numbers and unit of a quantity."""


@dataclass(frozen=True)
class Row:
    """A bare number: where it was said, what it may mean, and what it does."""

    narration: str
    choices: Sequence[Choice]
    right: Meant


def rows_of(
    name: str, sentences: Sequence[Sentence], marked: Callable[[Sentence], list[Marked]]
) -> Iterator[Row]:
    """Yield the bare numbers of some sentences, each unit given to it as it is marked."""
    taken: list[Row] = []
    real = quantity_carry.chosen

    def listen(talk: Talk, scene: Scene, amount: Amount) -> Choice:
        choices = choices_of(talk, scene, amount)
        right = _meant(amount, marked(sentences[scene.index]))
        if right[0] not in {NOTHING, BARE} and right[0] not in all_units():
            return real(talk, scene, amount)
        known = next((one for one in choices if (one.unit, one.bottom) == right), None)
        if known:
            taken.append(Row(name, choices, right))
        return known or Choice(right[0], None, frozenset(), right[1])

    with patch.object(quantity_carry, "chosen", listen):
        quantities_in(sentences)
    yield from taken


def narrated(narration: Narration) -> Iterator[Row]:
    """Yield the bare numbers of a narration."""

    def marked(sentence: Sentence) -> list[Marked]:
        return [
            (gold["role"], _values(gold.get(key) for key in _ENDS), gold.get("unit"))
            for one in narration.sentences
            if min(Decimal(one["to"]), sentence.end) > max(Decimal(one["from"]), sentence.start)
            for gold in one.get("quantities") or ()
        ]

    yield from rows_of(narration.name, narration.spoken(), marked)


def listed() -> Iterator[Row]:
    """Yield the bare numbers of the phrases, without those kept back."""
    for number, phrase in enumerate(phrases(held=False)):
        some = [(key[0], _values(key[1:4]), key[4]) for key in wanted(phrase) if len(key) == _WHOLE]
        sentences = told(*texts_of(phrase))
        yield from rows_of(f"listed {number % _FOLDS}", sentences, lambda _, some=some: some)


def _values(values: Iterable[Any]) -> set[Decimal]:
    return {Decimal(str(value)) for value in values if value is not None}


def _meant(amount: Amount, marked: Sequence[Marked]) -> Meant:
    """Return what is marked for a number."""
    values = [v for v in (amount.nominal, amount.lower, amount.upper, amount.plus)
              if v is not None]  # fmt: skip
    for role, own, unit in marked:
        known = own | {abs(one - other) for one in own for other in own if one != other}
        if not values or role in {"thread", "size"}:
            continue
        if known.issuperset(values):
            return unit or BARE, 1
        for bottom in FINE_PARTS if unit == "mm" else ():
            if known.issuperset(value / bottom for value in values):
                return unit, bottom
    return NOTHING, 1


def names_of(rows: Sequence[Row]) -> list[str]:
    """Return the signs that are met often enough."""
    met: Counter[str] = Counter()
    narrations: dict[str, set[str]] = {}
    for row in rows:
        for sign in (sign for one in row.choices for sign in one.signs):
            met[sign] += 1
            narrations.setdefault(sign, set()).add(row.narration)
    return sorted(
        sign
        for sign, times in met.items()
        if times >= _LEAST and (" by " not in sign or len(narrations[sign]) >= _NARRATIONS)
    )


def fit(rows: Sequence[Row], names: Sequence[str]) -> dict[str, float]:
    """Return the points of each sign: the likeliest by which what is right is chosen."""
    choices = [one for row in rows for one in row.choices]
    table = Table([one.signs for one in choices], names)
    of_row = np.repeat(np.arange(len(rows)), [len(row.choices) for row in rows])
    first = np.flatnonzero(np.diff(of_row, prepend=-1))
    wanted = np.array(
        [float((one.unit, one.bottom) == row.right) for row in rows for one in row.choices]
    )

    def slope_of(points: np.ndarray) -> np.ndarray:
        score = table.scores(points)
        share = np.exp(score - np.maximum.reduceat(score, first)[of_row])
        share /= np.bincount(of_row, weights=share)[of_row]
        return (table.sums(share - wanted) + 10 * _RIDGE * points) / len(rows)

    rates = [_RATE if step < _EARLY else _SLOWER for step in range(1, _STEPS + 1)]
    points = descended(np.zeros(table.width), slope_of, rates, 0.99, 1e-6)
    # The base is the same for all choices, and says nothing.
    return dict(zip(names, map(float, points), strict=False))


def choose(row: Row, points: Mapping[str, float]) -> Meant:
    """Return what has most points."""
    best = max(row.choices, key=lambda c: (sum(points.get(s, 0.0) for s in c.signs), c.unit))
    return best.unit, best.bottom


def main() -> None:
    """Tell how good the points are, and write them."""
    every = [one for _, one in readable()]
    # Phrases of the list are what has to be read: they count twice.
    rows = [*(row for one in every for row in narrated(one)), *listed(), *listed()]
    folds = folds_of([row.narration for row in rows], _FOLDS)
    outcomes: Counter[str] = Counter()
    for number in range(_FOLDS):
        others = [row for row, fold in zip(rows, folds, strict=True) if fold != number]
        points = fit(others, names_of(others))
        for row, fold in zip(rows, folds, strict=True):
            if fold == number:
                outcomes[_outcome(row.right, choose(row, points))] += 1
    print(f"{len(rows)} bare numbers: {dict(outcomes)}")
    if "--write" in sys.argv:
        points = fit(rows, names_of(rows))
        lines = (f'"{sign}": {much:.2f}' for sign, much in points.items() if abs(much) >= _SMALLEST)
        write("unit_points.yaml", [*_HEAD, *lines])


def _outcome(right: Meant, got: Meant) -> str:
    if right == got:
        return "right"
    return "lost" if got[0] == NOTHING else "too many" if right[0] == NOTHING else "another unit"


_HEAD = (
    "# How much more often what a bare number means has a sign than what it does not, as log",
    "# odds. Made by tests/benchmarks/fit_unit_points.py --write from narrations of our own;",
    "# not to be changed by hand.",
)

if __name__ == "__main__":
    main()
