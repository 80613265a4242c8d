"""Measures proposals on narrations with gold marks.

    python tests/benchmarks/bench_proposals.py [FOLDER] [--mistakes] [NAME…]
    python tests/benchmarks/bench_proposals.py --calibrate

The first prints precision, recall and F1 of each measure, how confidence agrees with what was
right, and how long an hour of captions takes, and ten
hours. The second prints the table of
``author/proposals/confidence.py``, counted on the narrations kept for measuring: the rules
have not seen them.
"""

# ruff: noqa: T201

from __future__ import annotations

import itertools
import sys
import time
from dataclasses import replace
from decimal import Decimal
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent.parent))

from proposals.measuring import Tally, calibration, measure
from proposals.narrating import LEARNED, MEASURED, TRIAL, narrations

from author.proposals import confidence
from author.proposals.claims import propose
from author.proposals.draft.gaps import questions
from author.proposals.speech.spoken import Sentence, Word

_FOLDERS = (*LEARNED, TRIAL, *MEASURED)
_TARGETS = {
    "quantities": "precision 0.97, recall 0.92",
    "hazard recall": "recall 0.85",
    "parts and tools": "F1 0.80",
    "step boundaries": "F1 0.80",
    "chatter removed": "recall 0.90",
    "instructions kept": "recall 1.00",
}


def main(arguments: list[str]) -> None:
    if "--calibrate" in arguments:
        calibrate()
        return
    folder = next((one for one in _FOLDERS if one in arguments), "build")
    names = {a for a in arguments if not a.startswith("-") and a not in _FOLDERS}
    tally = Tally()
    said: list[Sentence] = []
    for narration in narrations(folder):
        if names and narration.name not in names:
            continue
        sentences = narration.spoken()
        said.extend(sentences)
        measure(narration, propose(sentences), tally)
    if "--mistakes" in arguments:
        print("\n".join(tally.mistakes))
    print(f"{'measure':20} {'precision':>9} {'recall':>7} {'F1':>6} {'wanted':>7}  target")
    for name, count in tally.counts.items():
        print(
            f"{name:20} {count.precision:9.3f} {count.recall:7.3f} {count.f1:6.3f} "
            f"{count.wanted:7d}  {_TARGETS.get(name, '')}"
        )
    print("\nconfidence  right  of")
    for sure, right, of in calibration(tally.judged):
        print(f"{sure:10.2f} {right:6.2f} {of:4d}")
    print()
    for hours, bar in ((1, 2.0), (10, 22.0)):
        talk = _told_for(hours, said)
        began = time.perf_counter()
        found = propose(talk)
        between = time.perf_counter()
        questions(found.proposals)
        ended = time.perf_counter()
        print(
            f"{hours:2d} h: {len(talk)} sentences in {between - began:.2f} s, questions in "
            f"{ended - between:.2f} s (bar {bar:.0f} s together)"
        )


def calibrate() -> None:
    """Print the table of confidences, and how a table from all others does on each."""
    confidence._TABLE = {}
    by_film: list[list[tuple[str, float, bool]]] = []
    for narration in [*narrations("measure"), *narrations("unseen")]:
        tally = Tally()
        measure(narration, propose(narration.spoken()), tally)
        by_film.append(tally.judged)
    foretold: list[tuple[str, float, bool]] = []
    for number, judged in enumerate(by_film):
        others = [one for n, film in enumerate(by_film) if n != number for one in film]
        confidence._TABLE = _table(others)
        for kind, strength, good in judged:
            sure = confidence.calibrated(kind, Decimal(str(strength)))
            foretold.append((kind, float(sure), good))
    for kind, points in _table([one for film in by_film for one in film]).items():
        told = ", ".join(f"({at:.2f}, {share:.2f})" for at, share in points)
        print(f'    "{kind}": ({told},),')
    print("\nconfidence  right  of, each film by a table from the others")
    for sure, right, of in calibration(foretold):
        print(f"{sure:10.2f} {right:6.2f} {of:4d}")


def _table(every: list[tuple[str, float, bool]]) -> dict[str, tuple[tuple[float, float], ...]]:
    """Return, by kind, strength of evidence and share that was right, rising."""
    table: dict[str, tuple[tuple[float, float], ...]] = {}
    for kind in sorted({kind for kind, _, _ in every}):
        judged = sorted((c, good) for k, c, good in every if k == kind)
        groups = min(5, max(1, len(judged) // 25))
        points: list[list[float]] = []
        for part in _parted(judged, -(-len(judged) // groups)):
            # One right and one wrong more: a few lucky ones are no certainty.
            share = (sum(good for _, good in part) + 1) / (len(part) + 2)
            points.append([sum(c for c, _ in part) / len(part), share, len(part)])
            while len(points) > 1 and points[-2][1] > points[-1][1]:
                (a, x, n), (b, y, m) = points[-2:]
                points[-2:] = [[(a * n + b * m) / (n + m), (x * n + y * m) / (n + m), n + m]]
        table[kind] = tuple((at, share) for at, share, _ in points)
    return table


def _parted(judged: list[tuple[float, bool]], size: int) -> list[list[tuple[float, bool]]]:
    """Return groups of at least a size by rising strength; one strength is in one group."""
    parts: list[list[tuple[float, bool]]] = [[]]
    for _, same in itertools.groupby(judged, key=lambda one: one[0]):
        if len(parts[-1]) >= size:
            parts.append([])
        parts[-1].extend(same)
    return parts


def _told_for(hours: int, said: list[Sentence]) -> list[Sentence]:
    """Return the narrations one after another, again and again, until so many hours are told."""
    told: list[Sentence] = []
    at, index, before = Decimal(0), 0, Decimal(0)
    while said and at < 3600 * hours:
        each = said[index % len(said)]
        shift = at - each.start
        words = tuple(Word(w.text, w.at, w.start + shift, w.end + shift) for w in each.words)
        told.append(replace(each, recording="hours", words=words))
        before = each.end + shift
        at = before + min(each.pause_after, Decimal(5)) + Decimal("0.2")
        index += 1
    return told


if __name__ == "__main__":
    main(sys.argv[1:])
