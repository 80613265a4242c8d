"""Work told in words that no order could be made of: it stays with its step as it was said."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence, Set

from author.checks.verbs import words
from author.proposals.kinds.marks import Marked
from author.proposals.speech.spoken import Sentence
from author.proposals.steps.spans import SpokenStep

_TOLD_BESIDES = words(
    "hazard damage inspection decision orientation order count hidden deferred prerequisite "
    "follow_on off_camera chatter preview reason"
)
"""Kinds that stand in a place of their own."""
# "Order one of those": it stands beside the part.
_ORDERS = re.compile(r"(?:(?:and|so|then|but) )*(?:re-?order|order|buy)\b", re.IGNORECASE)
_LEAST, _MOST = 3, 30
"""Words of a sentence: "nice one" tells nothing, and a run of forty is more than a note holds."""


def left_as_said(
    step: SpokenStep,
    said: Sequence[Sentence],
    marks: Mapping[int, Sequence[Marked]],
    ordered: Set[int],
    with_numbers: Set[int],
) -> tuple[str, ...]:
    """Return the sentences of a step that tell of work and are in nothing that is proposed.

    "Drive side up on the bench" and "case on, feet, an hour on the bench" are work; a technician
    who is not told that they were left out would miss them.

    Args:
        step: the step.
        said: what was said.
        marks: kinds of its clauses, by sentence.
        ordered: sentences that an order was made of.
        with_numbers: sentences whose number is proposed, with its words, in a place of its own.
    """
    found = []
    for index in step.sentences:
        ours, text = marks.get(index, ()), said[index].text.strip()
        work = sum(one.end - one.begin for one in ours if one.kind == "action")
        besides = sum(one.end - one.begin for one in ours if one.kind in _TOLD_BESIDES)
        told = index in ordered or index in with_numbers
        if (
            work > besides
            and not told
            and not _ORDERS.match(text)
            and _LEAST <= len(text.split()) <= _MOST
        ):
            found.append(text)
    return tuple(found)
