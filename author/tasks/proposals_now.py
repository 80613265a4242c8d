"""Proposals as they stand after what was said to them in the window."""

from __future__ import annotations

from collections.abc import Mapping

from author.proposals.draft.changed_words import with_changed_numbers
from author.proposals.proposal import Proposal
from author.tasks.proposal_sheet import Decision, as_decided


def as_all_decided(
    proposals: Mapping[str, Proposal], decisions: Mapping[str, Decision]
) -> dict[str, Proposal]:
    """Return proposals as they stand, a number that was changed told so wherever it was said.

    A change that waits, since its number was opened again or refused, is told nowhere else.

    Args:
        proposals: as they were proposed, by id.
        decisions: what was said to some, by id.
    """
    now = [as_decided(p, decisions) for p in proposals.values()]
    waiting = {name for name, said in decisions.items() if said.say != "change"}
    was = {n: p for n, p in proposals.items() if n not in waiting or p.kind != "measurement"}
    return {p.id: p for p in with_changed_numbers(was, now)}
