"""Fits the points of ``author/resources/harm_words.yaml`` on talk of our own.

    python tests/benchmarks/fit_harm_points.py [--write]

Prints what share of the warnings is found and what share of the found is right, each folder of
narrations, by other people, by points fitted without it; with ``--write`` the points fitted on
all are written, with the bar from which the share of warnings wanted is found that way.
"""

# ruff: noqa: T201

from __future__ import annotations

import random
import re
import sys
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from decimal import Decimal
from pathlib import Path

import numpy as np
import yaml

sys.path.insert(0, str(Path(__file__).parent.parent))

from proposals.narrating import READABLE, narrations
from proposals.said import said as one_sentence

from author.proposals.kinds import sentence_kinds
from author.proposals.kinds.harm import weighed
from author.proposals.speech.spoken import Sentence
from author.resources import own_table

_HARM = {"hazard", "damage"}
_LISTS = Path(__file__).parent.parent / "proposals"
_RIDGE, _RIDGE_OF_WORD = 0.0007, 0.003
_LEAST_OF_WORD = 3
_LEAST_POINTS = 0.05
_FOLDS = 8
# A warning missed is worse than one too many.
_WANTED = 0.855
Row = tuple[str, frozenset[str], bool]


def _names(sentences: Sequence[Sentence]) -> list[frozenset[str]]:
    """Return what speaks for harm and against it, by sentence."""
    from author.proposals.kinds import harm
    from author.proposals.quantities.reading import quantities_in

    taken: list[set[str]] = []
    real_found, real_weighed = harm.found_in, weighed

    def listen(*args: object) -> list[tuple[int, str]]:
        found = real_found(*args)  # type: ignore[arg-type]
        taken[-1] |= {name for _, name in found}
        return found

    def begin(*args: object) -> object:
        told = zip(("measured", "opening"), args[-2:], strict=True)
        taken.append({name for name, so in told if so})
        return real_weighed(*args)  # type: ignore[arg-type]

    harm.found_in = listen  # type: ignore[assignment]
    sentence_kinds.weighed = begin  # type: ignore[assignment]
    try:
        sentence_kinds.kinds_in(sentences, quantities_in(sentences))
    finally:
        harm.found_in, sentence_kinds.weighed = real_found, real_weighed
    return [frozenset(names) for names in taken]


def _rows() -> Iterator[Row]:
    for folder in READABLE:
        for narration in narrations(folder):
            sentences = narration.spoken()
            warned = [
                (Decimal(gold["from"]), Decimal(gold["to"]))
                for gold in narration.sentences
                if _HARM & set(gold["kinds"])
            ]
            for sentence, names in zip(sentences, _names(sentences), strict=True):
                warns = any(_meet(sentence, *span) for span in warned)
                yield f"{folder}/{narration.name}", names, warns
    listed = yaml.safe_load((_LISTS / "talk.yaml").read_text(encoding="utf-8"))
    known = [(text, True) for text in listed["warns"]]
    known += [(text, False) for kind in ("plain", "work") for text in listed[kind]]
    for one in yaml.safe_load((_LISTS / "sentences.yaml").read_text(encoding="utf-8"))["sentences"]:
        if "chatter" not in one["kinds"]:
            known.append((one["say"], bool(_HARM & set(one["kinds"]))))
    random.Random(3).shuffle(known)
    for number, (text, warns) in enumerate(known):
        yield f"listed/{number % _FOLDS}", _names([one_sentence(text)])[0], warns


def _meet(sentence: Sentence, start: Decimal, end: Decimal) -> bool:
    middle = (sentence.start + sentence.end) / 2
    shared = min(end, sentence.end) - max(start, sentence.start)
    return start <= middle <= end or shared * 2 >= end - start


def _kept(rows: Sequence[Row]) -> list[str]:
    """Return the signs, of single words those that are met in several narrations."""
    met: defaultdict[str, set[str]] = defaultdict(set)
    for narration, names, _ in rows:
        for name in names:
            met[name].add(narration)
    return sorted(
        name for name, where in met.items()
        if not name.startswith("word ") or (len(where) >= _LEAST_OF_WORD and name[5].isalpha())
    )  # fmt: skip


def _table(rows: Sequence[Row], names: Sequence[str]) -> np.ndarray:
    """Return which row has which sign, and a column of ones."""
    place = {name: at for at, name in enumerate(names)}
    x = np.zeros((len(rows), len(names) + 1))
    x[:, -1] = 1
    for line, row in enumerate(rows):
        for name in row[1] & place.keys():
            x[line, place[name]] = 1
    return x


def _fit(rows: Sequence[Row], names: Sequence[str]) -> np.ndarray:
    x = _table(rows, names)
    y = np.array([float(row[2]) for row in rows])
    of_word = [_RIDGE_OF_WORD if name.startswith("word ") else _RIDGE for name in names]
    ridge = np.array([*of_word, 1e-6])
    w = np.zeros(len(ridge))
    for _ in range(12):
        p = 1 / (1 + np.exp(-np.clip(x @ w, -30, 30)))
        slope = x.T @ (p - y) / len(y) + ridge * w
        bend = (x * (p * (1 - p))[:, None]).T @ x / len(y) + np.diag(ridge)
        w -= np.linalg.solve(bend, slope)
    return w


def main() -> None:
    rows = list(_rows())
    scores = np.zeros(len(rows))
    folder = np.array([row[0].partition("/")[0] for row in rows])
    for left in sorted({*folder}):
        held = folder == left
        others = [row for row, out in zip(rows, held, strict=True) if not out]
        names = _kept(others)
        own = [row for row, out in zip(rows, held, strict=True) if out]
        # Without the last, which says how usual warnings are: the bar takes its place.
        scores[held] = _table(own, names)[:, :-1] @ _fit(others, names)[:-1]
    told = np.isin(folder, READABLE)
    truth = np.array([row[2] for row in rows])
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
