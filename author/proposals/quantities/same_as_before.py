"""A value told again as such has the limits of the first: "same again, four and a half"."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from author.proposals.quantities.bare_numbers.same_again import TOLD_AGAIN
from author.proposals.quantities.spoken_quantity import SpokenQuantity
from author.proposals.speech.spoken import Sentence

_FAR = 12
"""Sentences over which the first may lie back."""
_BEFORE = 60
"""Letters before a value that may tell it is told again."""


def with_those_before(
    numbers: Sequence[SpokenQuantity], said: Sequence[Sentence]
) -> list[SpokenQuantity]:
    """Return the numbers, those told again with the limits, the name and the datum of the first.

    Args:
        numbers: in the order they were said.
        said: what was said.
    """
    found: list[SpokenQuantity] = []
    for each in numbers:
        ahead = said[each.sentence].text[max(0, each.begin - _BEFORE) : each.begin]
        first = _first(each, found) if each.role == "aim" and TOLD_AGAIN.search(ahead) else None
        if first is not None:
            each = replace(  # noqa: PLW2901 - what is kept of it
                each, role=first.role, lower=first.lower, upper=first.upper, datum=first.datum,
                characteristic=first.characteristic, named=first.named,
            )  # fmt: skip
        found.append(each)
    return found


def _first(again: SpokenQuantity, before: Sequence[SpokenQuantity]) -> SpokenQuantity | None:
    """Return the value of which one is told again, by its number and unit."""
    alike = (
        one
        for one in reversed(before)
        if again.sentence - one.sentence <= _FAR
        and one.unit == again.unit
        and one.nominal == again.nominal
        and one.role in {"aim", "limits"}
    )
    return next(alike, None)
