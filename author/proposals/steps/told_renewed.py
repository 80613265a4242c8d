"""What is renewed though no order of a step tells it: "so both bearings get replaced"."""

from __future__ import annotations

from collections.abc import Sequence

from author.proposals.steps.parts_told import Found, Move
from author.proposals.steps.spans import SpokenStep


def with_those_told_of(
    steps: Sequence[SpokenStep], moves: Sequence[tuple[Move, ...]], found: Found
) -> list[tuple[Move, ...]]:
    """Return what each step does with parts, with what is only told to be renewed.

    Args:
        steps: the steps, in the order said.
        moves: what the orders of each do with parts.
        found: what was found in the talk.
    """
    renewed = {move.part for each in moves for move in each
               if move.act == "replaces" and move.certain}  # fmt: skip
    more: list[dict[str, Move]] = [{} for _ in steps]
    for index, verdict, part in found.told_renewed():
        # What is told behind a step is of that step: "that gets replaced".
        at = sum(step.sentences[0] <= index for step in steps) - 1
        if part not in renewed and at >= 0:
            count = found.told.things[verdict.thing].count or 1
            more[at].setdefault(part, Move("replaces", part, count))
            renewed.add(part)
    return [
        (*(move for move in each if move.certain or move.part not in told), *told.values())
        for each, told in zip(moves, more, strict=True)
    ]
