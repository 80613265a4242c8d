"""Fits the points of ``author/resources/talk_points.yaml`` on talk of our own.

    python tests/benchmarks/fit_talk_points.py [--write]

Fitted to the narrations of ``build``, ``further`` and ``unfitted`` and to single sentences of
other trades. Prints what share of the talk is known and what share of all else is kept, each
narration by points fitted without it. The bar is the lowest at which no more than a share of the
orders so held back is lost (``_LOST``): talk left in is struck out in a moment, an order lost is
seen by nobody. With ``--write`` the table is fitted on all and written: run again, it makes the
same table. Takes half a minute.
"""

# ruff: noqa: T201

from __future__ import annotations

import random
import sys
from collections.abc import Iterator, Sequence
from pathlib import Path

import numpy as np

sys.path.insert(0, str(Path(__file__).parent.parent))

from benchmarks.fitting import (
    Row,
    fitted,
    folds_of,
    held_back,
    listed,
    overheard,
    told_often,
    write,
)
from proposals.narrating import READABLE, Narration, readable
from proposals.said import told

from author.proposals.kinds import talk_points
from author.proposals.kinds.sentence_kinds import kinds_in
from author.proposals.quantities.reading import quantities_in
from author.proposals.speech.spoken import Sentence

_TALK = {"chatter", "preview"}
_FOLDS = 8
# Words count that several narrations have; a sign of the form of a sentence needs less. Ways of
# speaking of their own ("form paid"), and plans told at once, are so rare and so sure that nearly
# nothing holds them back.
_WORDS, _FORMS = ("word ", "pair ", "begins ", "ends "), ("form ", "early & plan ")
_LEAST, _LEAST_OF_WORD, _LEAST_OF_FORM = 3, 5, 2
_RIDGE, _RIDGE_OF_WORD, _RIDGE_OF_FORM, _RIDGE_OF_BASE = 0.002, 0.001, 0.00001, 1e-7
# An order lost is worse than talk that stays; what is mere description may go either way.
_ORDER, _NOTHING = 2.5, 0.3
# So many of the orders held back may be lost, at the bar.
_LOST = 0.005
_KEEPS = (0.98, 0.99, 0.9925, 0.995, 1 - _LOST, 0.9975)
# Points smaller than this say nothing.
_SMALLEST = 0.05


def signs_in(sentences: Sequence[Sentence]) -> list[frozenset[str]]:
    """Return the signs of each sentence."""
    with overheard(talk_points, "signs_of") as calls:
        kinds_in(sentences, quantities_in(sentences), ahead=())
    return calls[-1][1]


def rows_of(folder: str, narration: Narration) -> Iterator[Row]:
    """Yield the sentences of a narration of a folder."""
    sentences = narration.spoken()
    golds = _golds(narration, sentences)
    for signs, (kinds, talk) in zip(signs_in(sentences), golds, strict=True):
        weight = 1.0
        if not talk:
            weight = _ORDER if "action" in kinds else 1.0 if kinds else _NOTHING
        yield Row(f"{folder} {narration.name}", signs, talk, weight)


def _golds(narration: Narration, sentences: Sequence[Sentence]) -> Iterator[tuple[set[str], bool]]:
    """Yield for each sentence the kinds of most of its words, and whether that is talk."""
    of_word = [set(g["kinds"]) for g in narration.sentences for _ in narration.text_of(g).split()]
    at = 0
    for sentence in sentences:
        own = of_word[at : at + len(sentence.words)]
        at += len(sentence.words)
        talk = sum(bool(kinds) and kinds <= _TALK for kinds in own)
        yield set().union(*own), talk * 2 > len(own)
    if at != len(of_word):
        raise ValueError(narration.name, at, len(of_word))


def listed_rows() -> Iterator[Row]:
    """Yield the single sentences of other trades."""
    known = [(text, kinds) for text, kinds, held in listed() if not held]
    random.Random(3).shuffle(known)
    for number, (text, kinds) in enumerate(known):
        signs = signs_in(told("Lift the cover off.", text, "Fit the new bearing."))[1]
        talk, weight = bool(kinds) and kinds <= _TALK, _ORDER if "action" in kinds else 1.0
        yield Row(f"listed {number % _FOLDS}", signs, talk, weight)


def names_of(rows: Sequence[Row]) -> list[str]:
    """Return the signs that are met in enough narrations."""
    return told_often(rows, _least)


def _least(sign: str) -> int:
    if sign.startswith(_FORMS):
        return _LEAST_OF_FORM
    return _LEAST_OF_WORD if sign.startswith(_WORDS) else _LEAST


def _ridge(sign: str) -> float:
    if sign.startswith(_FORMS):
        return _RIDGE_OF_FORM
    return _RIDGE_OF_WORD if sign.startswith(_WORDS) else _RIDGE


def points_of(rows: Sequence[Row], names: Sequence[str]) -> np.ndarray:
    """Return the points of each sign, the last for none."""
    return fitted(rows, names, _ridge, _RIDGE_OF_BASE)


def _told_as(rows: Sequence[Row]) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Return which rows are of narrations, which are talk and which are orders."""
    told_of = np.array([not row.narration.startswith("listed") for row in rows])
    talk = np.array([row.truth for row in rows])
    return told_of, talk, np.array([row.weight == _ORDER for row in rows])


def bar_of(rows: Sequence[Row], scores: np.ndarray) -> float:
    """Return the bar at which as much talk is known as may be and no more orders are lost."""
    told_of, _, order = _told_as(rows)
    return float(np.ceil(100 * np.quantile(scores[told_of & order], 1 - _LOST)) / 100)


def tell(rows: Sequence[Row], scores: np.ndarray) -> None:
    """Print the share of talk known by the share of orders and of all else that is kept."""
    told_of, talk, order = _told_as(rows)
    for keep in _KEEPS:
        bar = np.quantile(scores[told_of & order], keep)
        print(f"orders kept {keep:.4f} from {bar:.2f}")
        for folder in (*READABLE, "listed"):
            some = np.array([row.narration.startswith(folder) for row in rows])
            print(f"    {folder:9} talk {(scores[some & talk] >= bar).mean():.3f} orders kept "
                  f"{(scores[some & order] < bar).mean():.4f} all else kept "
                  f"{(scores[some & ~talk] < bar).mean():.4f}")  # fmt: skip


def table_of(w: np.ndarray, names: Sequence[str], bar: float) -> Iterator[str]:
    """Yield the lines of the table."""
    yield "# How much more often talk has a sign than other sentences, as log odds, and from how"
    yield "# many points a sentence is talk. Made by tests/benchmarks/fit_talk_points.py --write"
    yield "# from narrations of our own; not to be changed by hand."
    yield f"base: {w[-1]:.2f}"
    yield f"bar: {bar:.2f}"
    yield "signs:"
    for name, value in zip(names, w, strict=False):
        if abs(value) >= _SMALLEST:
            yield f'  "{name}": {value:.2f}'


def main() -> None:
    rows = [row for one in readable() for row in rows_of(*one)]
    rows += listed_rows()
    folds = folds_of([row.narration for row in rows], _FOLDS)
    scores = held_back(rows, folds, names_of, points_of)
    scores -= [talk_points.more_needed(row.signs) for row in rows]
    bar = bar_of(rows, scores)
    tell(rows, scores)
    print(f"bar {bar:.2f}")
    if "--write" in sys.argv:
        names = names_of(rows)
        write("talk_points.yaml", table_of(points_of(rows, names), names, bar))


if __name__ == "__main__":
    main()
