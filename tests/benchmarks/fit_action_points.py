"""Fits the points of ``author/resources/action_points.yaml`` on talk of our own.

    python tests/benchmarks/fit_action_points.py [--write]

Prints how many steps are called by the verb, the thing and the act of the sentence an author wrote
over them, each fifth of the narrations by points fitted without it; with ``--write`` the table is
fitted on all and written.
"""

# ruff: noqa: T201

from __future__ import annotations

import sys
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from unittest.mock import patch

sys.path.insert(0, str(Path(__file__).parent.parent))

from benchmarks.bench_orders import compare, matched, orders_in, same_verb
from benchmarks.fitting import Row, fitted, overheard, told_often, write
from proposals.narrating import READABLE, Narration, readable

from author.proposals.claims import propose
from author.proposals.steps import action_points as calling
from author.proposals.steps import actions
from author.proposals.steps.action_points import Candidate, StepTalk, signs_of

_RIDGE = 0.002
_RIDGE_OF_WORDS = 0.004
_WORDS = ("verb ", "head ")
_LEAST_NARRATIONS = 5
_SMALLEST = 0.03
_PARTS = 5
_COUNTED = ("verb", "object", "act", "both")


@dataclass(frozen=True)
class Told:
    """A proposed step that begins where one of the gold does.

    Attributes:
        narration: folder and name.
        candidates: what it may be called by.
        talk: what is said in it.
        gold: what its author called it.
    """

    narration: str
    candidates: tuple[Candidate, ...]
    talk: StepTalk
    gold: str


def told_in(folder: str, narration: Narration) -> Iterator[Told]:
    """Yield the steps of a narration that begin where those of the gold do."""
    with overheard(actions, "chances") as calls:
        proposals = propose(narration.spoken()).proposals
    steps = matched(narration, [one for one in proposals if one.kind == "step"])
    for (_, gold), ((candidates, talk), _) in zip(steps, calls, strict=True):
        if gold is not None and orders_in(gold):
            yield Told(f"{folder}/{narration.name}", tuple(candidates), talk, gold)


def rows_of(told: Told) -> Iterator[Row]:
    """Yield the orders of a step: whether the author wrote them over it."""
    signs = signs_of(told.candidates, told.talk)
    for one, own in zip(told.candidates, signs, strict=True):
        yield Row(told.narration, own, _says(one.order.action, told.gold))


def _says(action: str, gold: str) -> bool:
    """Whether an order has verb and thing of one that its author wrote."""
    mine, theirs = orders_in(action)[:1], orders_in(gold)
    return any(same_verb(m[0], t[0]) and m[1] == t[1] for m in mine for t in theirs)


def fit(steps: Sequence[Told]) -> tuple[float, Mapping[str, float]]:
    """Return the points of an order without signs, and those of each sign."""
    rows = [row for one in steps for row in rows_of(one)]
    names = told_often(rows, lambda _: _LEAST_NARRATIONS)
    ridge = lambda sign: _RIDGE_OF_WORDS if sign.startswith(_WORDS) else _RIDGE  # noqa: E731
    *points, base = map(float, fitted(rows, names, ridge))
    found = dict(zip(names, points, strict=True))
    return base, {name: value for name, value in found.items() if abs(value) >= _SMALLEST}


def main() -> None:
    """Tell how good the points are, and write them."""
    steps = [one for folder, narration in readable() for one in told_in(folder, narration)]
    names = sorted({one.narration for one in steps})
    count: dict[str, Counter[str]] = {folder: Counter() for folder in READABLE}
    for part in range(_PARTS):
        held = set(names[part::_PARTS])
        points = fit([one for one in steps if one.narration not in held])
        with patch.object(calling, "action_points", lambda points=points: points):
            for one in steps:
                if one.narration in held:
                    own = count[one.narration.partition("/")[0]]
                    own["steps"] += 1
                    action = actions.called(one.candidates, one.talk).action
                    compare(action, one.gold, own)
                    own["both"] += any(_says(half, one.gold) for half in action.split(", and "))
    for folder, own in count.items():
        shares = (f"{name} {own[name] / own['steps']:.3f}" for name in _COUNTED)
        print(f"{folder} {own['steps']} steps: {', '.join(shares)}")
    if "--write" in sys.argv:
        base, points = fit(steps)
        lines = (f'  "{name}": {value:.2f}' for name, value in sorted(points.items()))
        write("action_points.yaml", [*_HEAD, f"base: {base:.2f}", "signs:", *lines])


_HEAD = (
    "# How likely an order of a step is what its author writes over it, by its signs: log odds.",
    "# Made by tests/benchmarks/fit_action_points.py --write from narrations of our own; not to",
    "# be changed by hand.",
)


if __name__ == "__main__":
    main()
