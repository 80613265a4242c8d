"""Measures the kinds of sentences against gold marks: precision and recall of each kind.

Run: ``python tests/benchmarks/bench_sentence_kinds.py [--show KIND] [FILE …]``. Without files it
reads the narrations to build on and the sentences that are not held back.
"""

from __future__ import annotations

import argparse
import re
import sys
import time
from collections import Counter
from pathlib import Path
from typing import get_args

from proposals.lists import read_list

from author.proposals.kinds.sentence_kinds import Kind, kinds_in
from author.proposals.quantities.reading import quantities_in

_HERE = Path(__file__).parents[1] / "proposals"
sys.path.insert(0, str(_HERE.parents[1]))

from tests.proposals.said import told  # noqa: E402


def _tell_line(line: str) -> None:
    print(line)  # noqa: T201 - a script that is read at the terminal


Case = tuple[str, frozenset[str]]


def stripped(text: str) -> str:
    """Return a text as automatic captions have it: small letters, no signs."""
    return " ".join(re.sub(r"[^\w\s'.-]|\.(?!\d)|--+", " ", text.lower()).split())


def film(path: Path, *, bare: bool | None = None) -> list[Case]:
    """Return the sentences of a narration with their kinds."""
    read = read_list(path)
    flat = read["style"] == "bare" if bare is None else bare
    return [
        (
            (one.get("bare") or stripped(one["say"])) if flat else one["say"],
            frozenset(one["kinds"]),
        )
        for one in read["sentences"]
    ]


def listed(*, held: bool) -> list[list[Case]]:
    """Return the single sentences, held back or not; each is a film of its own."""
    read = read_list(_HERE / "sentences.yaml")
    return [
        [(one["say"], frozenset(one["kinds"]))]
        for one in read["sentences"]
        if bool(one.get("held")) == held
    ]


def measure(films: list[list[Case]], show: str | None) -> None:
    """Print the table, and the mistakes of one kind."""
    right, said, gold = Counter[str](), Counter[str](), Counter[str]()
    lost = 0
    for cases in films:
        found: list[set[str]] = [set() for _ in cases]
        sentences = told(*(text for text, _ in cases))
        for mark in kinds_in(sentences, quantities_in(sentences)):
            found[mark.sentence].add(mark.kind)
        for (text, kinds), marks in zip(cases, found, strict=True):
            right.update(kinds & marks)
            said.update(marks)
            gold.update(kinds)
            lost += bool(
                marks & {"chatter", "preview"} and kinds - {"chatter", "preview", "reason"}
            )
            _tell(text, kinds, marks, show)
    _tell_line(f"{'kind':13} {'gold':>5} {'found':>5}  precision  recall     F1")
    for kind in get_args(Kind):
        p = right[kind] / said[kind] if said[kind] else 1.0
        r = right[kind] / gold[kind] if gold[kind] else 1.0
        f = 2 * p * r / (p + r) if p + r else 0.0
        _tell_line(f"{kind:13} {gold[kind]:5} {said[kind]:5}  {p:9.3f} {r:7.3f} {f:6.3f}")
    _tell_line(f"sentences with content taken for chatter or preview: {lost}")


def _tell(text: str, kinds: frozenset[str], marks: set[str], show: str | None) -> None:
    if show is None:
        return
    if (show == "lost" and marks & {"chatter", "preview"} and kinds - {"chatter", "preview"}) or (
        (show in kinds) != (show in marks)
    ):
        sign = "MISSED" if show in kinds else "WRONG "
        _tell_line(f"{sign} {sorted(kinds)} got {sorted(marks)}: {text}")


def main() -> None:
    """Read the arguments and print the measures."""
    parser = argparse.ArgumentParser()
    parser.add_argument("files", nargs="*", type=Path)
    parser.add_argument("--show")
    parser.add_argument("--held", action="store_true", help="measure the sentences held back")
    parser.add_argument("--listed", action="store_true", help="measure the single sentences")
    parser.add_argument("--bare", action="store_true", help="take the signs away everywhere")
    given = parser.parse_args()
    if given.held or given.listed:
        films = listed(held=given.held)
    else:
        files = given.files or sorted((_HERE / "narrations" / "build").glob("*.yaml"))
        films = [film(path, bare=True if given.bare else None) for path in files]
    measure(films, given.show)
    lines = [text for cases in films for text, _ in cases]
    hour = told(*(lines * (800 // len(lines) + 1))[:800])
    began = time.perf_counter()
    kinds_in(hour, ())
    _tell_line(f"800 sentences: {time.perf_counter() - began:.3f} s")


if __name__ == "__main__":
    main()
