"""Fits the points of ``author/resources/unit_points.yaml`` on talk of our own.

    python tests/benchmarks/fit_unit_points.py [--write]

Prints how many bare numbers of each narration get the unit they mean, or none where they are no
quantity, by points fitted without it; with ``--write`` the table is fitted on all and written.
"""

# ruff: noqa: T201

from __future__ import annotations

import sys
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path
from typing import Any

import numpy as np

sys.path.insert(0, str(Path(__file__).parent.parent))

from proposals.narrating import Narration, narrations
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
from author.resources import own_table

_RIDGE, _STEPS, _LEAST, _FOLDS = 0.1, 300, 4, 10
_RATE, _SLOWER, _EARLY = 0.05, 0.015, 200
_ENDS = ("lower", "nominal", "upper")
_WHOLE = 5
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

    quantity_carry.chosen = listen
    try:
        quantities_in(sentences)
    finally:
        quantity_carry.chosen = real
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


def names_of(rows: Sequence[Row]) -> dict[str, int]:
    """Return the signs that are met often enough, each with its place."""
    met = Counter(sign for row in rows for one in row.choices for sign in one.signs)
    return {sign: at for at, sign in enumerate(sorted(s for s, n in met.items() if n >= _LEAST))}


def fit(rows: Sequence[Row], names: dict[str, int]) -> np.ndarray:
    """Return the points of each sign: the likeliest by which what is right is chosen."""
    of_sign, of_choice, of_row, right = [], [], [], []
    for row in rows:
        at = next(i for i, one in enumerate(row.choices) if (one.unit, one.bottom) == row.right)
        right.append(len(of_row) + at)
        for one in row.choices:
            signs = [names[sign] for sign in sorted(one.signs) if sign in names]
            of_sign += signs
            of_choice += [len(of_row)] * len(signs)
            of_row.append(len(right) - 1)
    signs_, choices_, rows_ = np.array(of_sign), np.array(of_choice), np.array(of_row)
    wanted = np.zeros(len(rows_))
    wanted[right] = 1
    first = np.r_[0, np.flatnonzero(np.diff(rows_)) + 1]
    points = np.zeros(len(names))
    mean, spread = np.zeros_like(points), np.zeros_like(points)
    for step in range(1, _STEPS + 1):
        score = np.bincount(choices_, weights=points[signs_], minlength=len(rows_))
        share = np.exp(score - np.maximum.reduceat(score, first)[rows_])
        share /= np.bincount(rows_, weights=share)[rows_]
        slope = np.bincount(signs_, weights=(share - wanted)[choices_], minlength=len(names))
        slope = (slope + 10 * _RIDGE * points) / len(right)
        mean, spread = 0.9 * mean + 0.1 * slope, 0.99 * spread + 0.01 * slope**2
        rate = _RATE if step < _EARLY else _SLOWER
        points -= rate * mean / (1 - 0.9**step) / (np.sqrt(spread / (1 - 0.99**step)) + 1e-6)
    return points


def choose(row: Row, points: np.ndarray, names: dict[str, int]) -> Meant:
    """Return what has most points."""
    best = max(
        row.choices, key=lambda c: (sum(points[names[s]] for s in c.signs if s in names), c.unit)
    )
    return best.unit, best.bottom


def main() -> None:
    """Tell how good the points are, and write them."""
    every = [*narrations("build"), *narrations("further")]
    # Phrases of the list are what has to be read: they count twice.
    rows = [*(row for one in every for row in narrated(one)), *listed(), *listed()]
    names = dict.fromkeys(row.narration for row in rows)
    folds = {name: number % _FOLDS for number, name in enumerate(names)}
    outcomes: Counter[str] = Counter()
    for number in range(_FOLDS):
        others = [row for row in rows if folds[row.narration] != number]
        signs = names_of(others)
        points = fit(others, signs)
        for row in rows:
            if folds[row.narration] == number:
                outcomes[_outcome(row.right, choose(row, points, signs))] += 1
    print(f"{len(rows)} bare numbers: {dict(outcomes)}")
    if "--write" in sys.argv:
        signs = names_of(rows)
        write(signs, fit(rows, signs))


def _outcome(right: Meant, got: Meant) -> str:
    if right == got:
        return "right"
    return "lost" if got[0] == NOTHING else "too many" if right[0] == NOTHING else "another unit"


def write(names: dict[str, int], points: np.ndarray) -> None:
    """Write the table."""
    lines = [
        "# How much more often what a bare number means has a sign than what it does not, as log",
        "# odds. Made by tests/benchmarks/fit_unit_points.py --write from narrations of our own;",
        "# not to be changed by hand.",
        *(f'"{sign}": {points[at]:.2f}' for sign, at in names.items() if abs(points[at]) >= 0.02),
        "",
    ]
    path = own_table("unit_points.yaml")
    path.write_text("\n".join(lines), encoding="utf-8")


if __name__ == "__main__":
    main()
