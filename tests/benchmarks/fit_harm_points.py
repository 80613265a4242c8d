"""Fits the points of ``author/resources/harm_words.yaml`` on talk of our own.

    python tests/benchmarks/fit_harm_points.py [--write]

Prints what share of the warnings is found and what share of the found is right, each folder of
narrations, by other people, by points fitted without it; with ``--write`` the points fitted on
all are written, with the bar from which the share of warnings wanted is found that way.
"""

# ruff: noqa: T201

from __future__ import annotations

import math
import random
import re
import sys
from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal
from pathlib import Path
from typing import Any
from unittest.mock import patch

import numpy as np

sys.path.insert(0, str(Path(__file__).parent.parent))

from benchmarks.fitting import Row, fitted, held_back, listed, told_often
from proposals.narrating import READABLE, readable
from proposals.said import said as one_sentence

from author.proposals.kinds import harm, sentence_kinds
from author.proposals.quantities.reading import quantities_in
from author.proposals.speech.spoken import Sentence
from author.resources import own_table

_HARM = {"hazard", "damage"}
_RIDGE, _RIDGE_OF_WORD = 0.0007, 0.003
_LEAST_OF_WORD = 3
_LEAST_POINTS = 0.05
_FOLDS = 8
# A warning missed is worse than one too many.
_WANTED = 0.88


def _names(sentences: Sequence[Sentence]) -> list[frozenset[str]]:
    """Return what speaks for harm and against it, by sentence."""
    taken: list[set[str]] = []
    real_found, real_weighed = harm.found_in, harm.weighed

    def listen(*args: Any) -> list[tuple[int, str]]:
        found = real_found(*args)
        taken[-1] |= {name for _, name in found}
        return found

    def begin(*args: Any) -> object:
        told = zip(("measured", "opening"), args[4:6], strict=True)
        taken.append({name for name, so in told if so})
        return real_weighed(*args)

    with patch.object(harm, "found_in", listen), patch.object(sentence_kinds, "weighed", begin):
        sentence_kinds.kinds_in(sentences, quantities_in(sentences), ahead=())
    return [frozenset(names) for names in taken]


def _rows() -> Iterator[Row]:
    for folder, narration in readable():
        sentences = narration.spoken()
        warned = [
            (Decimal(gold["from"]), Decimal(gold["to"]))
            for gold in narration.sentences
            if _HARM & set(gold["kinds"])
        ]
        for sentence, names in zip(sentences, _names(sentences), strict=True):
            warns = any(_meet(sentence, *span) for span in warned)
            yield Row(f"{folder}/{narration.name}", names, warns)
    known = [(text, bool(_HARM & kinds)) for text, kinds, _ in listed() if "chatter" not in kinds]
    random.Random(3).shuffle(known)
    for number, (text, warns) in enumerate(known):
        yield Row(f"listed/{number % _FOLDS}", _names([one_sentence(text)])[0], warns)


def _meet(sentence: Sentence, start: Decimal, end: Decimal) -> bool:
    middle = (sentence.start + sentence.end) / 2
    shared = min(end, sentence.end) - max(start, sentence.start)
    return start <= middle <= end or shared * 2 >= end - start


def _kept(rows: Sequence[Row]) -> list[str]:
    """Return the signs, of single words those that are met in several narrations."""
    return told_often(rows, _least)


def _least(sign: str) -> float:
    if not sign.startswith("word "):
        return 1
    return _LEAST_OF_WORD if sign[5].isalpha() else math.inf


def _fit(rows: Sequence[Row], names: Sequence[str]) -> np.ndarray:
    """Return the points of each sign; the base is nothing, since the bar takes its place."""
    points = fitted(rows, names, lambda s: _RIDGE_OF_WORD if s.startswith("word ") else _RIDGE)
    points[-1] = 0
    return points


def main() -> None:
    rows = list(_rows())
    folder = np.array([row.narration.partition("/")[0] for row in rows])
    scores = held_back(rows, folder, _kept, _fit)
    told = np.isin(folder, READABLE)
    truth = np.array([row.truth for row in rows])
    of_folder = [(name, folder == name) for name in READABLE]
    for label, kept in (*of_folder, ("narrations", told), ("listed", ~told)):
        for share in (0.8, 0.85, 0.88, 0.9, 0.92):
            precision, bar = _at(share, scores[kept], truth[kept])
            print(f"{label:11} recall {share:.2f} precision {precision:.3f} from {bar:.2f}")
    if "--write" in sys.argv:
        names = _kept(rows)
        bar = _at(_WANTED, scores[told], truth[told])[1]
        write(dict(zip(names, _fit(rows, names), strict=False)), bar)


def _at(share: float, scores: np.ndarray, truth: np.ndarray) -> tuple[float, float]:
    """Return what share of the found is right where so many are found, and from what points."""
    order = np.argsort(-scores)
    right = np.cumsum(truth[order])
    at = int(np.argmax(right >= share * right[-1]))
    return float(right[at] / (at + 1)), float(scores[order][at])


def write(points: Mapping[str, float], bar: float) -> None:
    """Write points and bar into the table; its lists of words stay as they are."""
    path = own_table("harm_words.yaml")
    head, _, rest = path.read_text(encoding="utf-8").partition("\nforms:\n")
    listed, signs = rest[rest.index("\nforms_of:") :].split("\nsigns:\n")
    head = re.sub(r"(?m)^bar: .*$", f"bar: {bar:.2f}", head)
    own = re.findall(r"(?m)^  (\w+):$", signs)
    for name in own:
        signs = re.sub(
            rf"(?m)^(  {name}:\n(?:    (?!points).*\n)*?    points:) .*$",
            rf"\g<1> {points.get(name, 0.0):.2f}",
            signs,
        )
    forms = [
        f"  {name}: {value:.2f}"
        for name, value in points.items()
        if name not in own and (not name.startswith("word ") or abs(value) >= _LEAST_POINTS)
    ]
    text = "\n".join((head + "\nforms:", *forms)) + "\n" + listed + "\nsigns:\n" + signs
    path.write_text(text, encoding="utf-8")


if __name__ == "__main__":
    main()
