"""Fits the points of ``author/resources/talk_points.yaml`` on talk of our own.

    python tests/benchmarks/fit_talk_points.py [--write]

Prints what share of the talk is known and what share of all else is kept, each narration by
points fitted without it; with ``--write`` the table is fitted on all and written.
"""

# ruff: noqa: T201

from __future__ import annotations

import random
import sys
from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import yaml

sys.path.insert(0, str(Path(__file__).parent.parent))

from proposals.narrating import Narration, narrations
from proposals.said import told

from author.proposals.kinds import talk_points
from author.proposals.kinds.sentence_kinds import kinds_in
from author.proposals.kinds.talk_signs import Heard
from author.proposals.quantities.reading import quantities_in
from author.proposals.speech.spoken import Sentence
from author.resources import own_table

_LISTS = Path(__file__).parent.parent / "proposals"
_TALK = {"chatter", "preview"}
_FOLDS = 10
_STEPS = 9
# Words count that several narrations have; a sign of the form of a sentence needs less.
_WORDS = ("word ", "pair ", "begins ", "ends ")
_LEAST, _LEAST_OF_WORD = 3, 5
_RIDGE, _RIDGE_OF_WORD = 0.003, 0.003
# An order lost is worse than talk that stays; what is mere description may go either way.
_ORDER, _NOTHING = 2.5, 0.3
_KEEPS = (0.98, 0.985, 0.99, 0.9925, 0.995)


@dataclass(frozen=True)
class Row:
    """A sentence: where it is said, its signs, whether it is talk, and how much it counts."""

    narration: str
    signs: frozenset[str]
    talk: bool
    weight: float
    text: str = ""


def signs_in(sentences: Sequence[Sentence]) -> list[frozenset[str]]:
    """Return the signs of each sentence."""
    taken: list[list[frozenset[str]]] = []
    real = talk_points.signs_of

    def listen(heard: Sequence[Heard]) -> list[frozenset[str]]:
        taken.append(real(heard))
        return taken[-1]

    talk_points.signs_of = listen
    try:
        kinds_in(sentences, quantities_in(sentences))
    finally:
        talk_points.signs_of = real
    return taken[-1]


def rows_of(narration: Narration) -> Iterator[Row]:
    """Yield the sentences of a narration."""
    sentences = narration.spoken()
    golds = _golds(narration, sentences)
    for sentence, signs, (kinds, talk) in zip(sentences, signs_in(sentences), golds, strict=True):
        weight = 1.0
        if not talk:
            weight = _ORDER if "action" in kinds else 1.0 if kinds else _NOTHING
        yield Row(narration.name, signs, talk, weight, sentence.text)


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
    lists = yaml.safe_load((_LISTS / "talk.yaml").read_text(encoding="utf-8"))
    known = [(text, kind == "talk", 1.0) for kind in ("warns", "plain", "talk", "work")
             for text in lists[kind]]  # fmt: skip
    for one in yaml.safe_load((_LISTS / "sentences.yaml").read_text(encoding="utf-8"))["sentences"]:
        kinds = set(one["kinds"])
        if not one.get("held"):
            talk = bool(kinds) and kinds <= _TALK
            known.append((one["say"], talk, _ORDER if "action" in kinds else 1.0))
    random.Random(3).shuffle(known)
    for number, (text, talk, weight) in enumerate(known):
        signs = signs_in(told("Lift the cover off.", text, "Fit the new bearing."))[1]
        yield Row(f"listed {number % _FOLDS}", signs, talk, weight, text)


def kept_signs(rows: Sequence[Row]) -> list[str]:
    """Return the signs that are met in enough narrations."""
    met: defaultdict[str, set[str]] = defaultdict(set)
    for row in rows:
        for sign in row.signs:
            met[sign].add(row.narration)
    return sorted(
        sign for sign, where in met.items()
        if len(where) >= (_LEAST_OF_WORD if sign.startswith(_WORDS) else _LEAST)
    )  # fmt: skip


def table(rows: Sequence[Row], names: Sequence[str]) -> np.ndarray:
    """Return which row has which sign, and a column of ones."""
    place = {name: at for at, name in enumerate(names)}
    x = np.zeros((len(rows), len(names) + 1))
    x[:, -1] = 1
    for line, row in enumerate(rows):
        for sign in row.signs & place.keys():
            x[line, place[sign]] = 1
    return x


def fit(x: np.ndarray, rows: Sequence[Row], names: Sequence[str]) -> np.ndarray:
    """Return the points of each sign, the last for none."""
    y = np.array([float(row.talk) for row in rows])
    much = np.array([row.weight for row in rows])
    much /= much.sum()
    ridge = np.array([_RIDGE_OF_WORD if n.startswith(_WORDS) else _RIDGE for n in names] + [1e-7])
    w = np.zeros(x.shape[1])
    for _ in range(_STEPS):
        p = 1 / (1 + np.exp(-np.clip(x @ w, -30, 30)))
        slope = x.T @ (much * (p - y)) + ridge * w
        bend = (x * (much * p * (1 - p))[:, None]).T @ x + np.diag(ridge)
        w -= np.linalg.solve(bend, slope)
    return w


def left_one_out(rows: Sequence[Row], folds: Sequence[int]) -> tuple[np.ndarray, list[dict]]:
    """Return the points of each row by a fit without its fold, and the fits."""
    scores, fits = np.zeros(len(rows)), []
    which = np.array(folds)
    for fold in range(_FOLDS):
        others = [row for row, at in zip(rows, folds, strict=True) if at != fold]
        names = kept_signs(others)
        w = fit(table(others, names), others, names)
        held = which == fold
        scores[held] = table([r for r, a in zip(rows, folds, strict=True) if a == fold], names) @ w
        fits.append({"base": w[-1], "signs": dict(zip(names, w, strict=False))})
    return scores, fits


def folds_of(rows: Sequence[Row]) -> list[int]:
    """Return in which fold each row is: a narration is whole in one."""
    order = {name: at % _FOLDS for at, name in enumerate(sorted({r.narration for r in rows}))}
    return [order[row.narration] for row in rows]


def tell(rows: Sequence[Row], scores: np.ndarray) -> None:
    """Print the share of talk known by the share of orders and of all else that is kept."""
    told_of = np.array([not row.narration.startswith("listed") for row in rows])
    talk = np.array([row.talk for row in rows])
    order = np.array([row.weight == _ORDER for row in rows])
    for label, some in (("narrations", told_of), ("listed", ~told_of)):
        for keep in _KEEPS:
            bar = np.quantile(scores[some & order], keep)
            known = (scores[some & talk] >= bar).mean()
            others = (scores[some & ~talk] < bar).mean()
            print(f"{label:11} orders kept {keep:.4f} all else {others:.4f} talk {known:.3f}"
                  f" from {bar:.2f}")  # fmt: skip


def write(w: np.ndarray, names: Sequence[str]) -> None:
    """Write the table, with the bar it has."""
    path = own_table("talk_points.yaml")
    bar = talk_points.points().bar
    lines = [
        "# How much more often talk has a sign than other sentences, as log odds. Made by",
        "# tests/benchmarks/fit_talk_points.py --write from narrations of our own; not to be",
        "# changed by hand, but for the bar, from which a sentence is talk.",
        f"base: {w[-1]:.2f}",
        f"bar: {bar}",
        "signs:",
        *(f'  "{name}": {value:.2f}' for name, value in zip(names, w, strict=False)
          if abs(value) >= 0.05),
        "",
    ]  # fmt: skip
    path.write_text("\n".join(lines), encoding="utf-8")


def main() -> None:
    rows = [row for one in narrations("build") for row in rows_of(one)]
    rows += listed_rows()
    scores, _ = left_one_out(rows, folds_of(rows))
    tell(rows, scores)
    if "--write" in sys.argv:
        names = kept_signs(rows)
        write(fit(table(rows, names), rows, names), names)


if __name__ == "__main__":
    main()
