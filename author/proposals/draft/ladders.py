"""Two ways of one step, where the first is given up for the other."""

from __future__ import annotations

import re

from author.proposals.orders.wording import imperatives
from author.proposals.proposal import Proposal

_LEAST_WAY = 2
_LEAST_NAME = 3
_FAILS = re.compile(
    r"(?:if|when|where|unless)\b.*\b(?:won'?t|doesn'?t|does not|will not|can'?t|cannot|isn'?t|"
    r"not)\b",
    re.IGNORECASE,
)


def other_way(step: Proposal, decision: Proposal) -> tuple[str, str] | None:
    """Return when a step is given up and what is done in its place: "if it will not move, …".

    Args:
        step: the step.
        decision: what is decided in it.

    Returns:
        When, and the other way; None where no other way is told.
    """
    if not _FAILS.match(decision.text):
        return None
    condition, comma, other = decision.text.partition(",")
    ways = imperatives(other)
    if not comma or len(other.split()) < _LEAST_WAY or not ways:
        return None
    if ways[0].action.startswith(("Do not", "Never")) or _is_the_other(step, decision):
        return None  # nothing is said of what to do in its place
    return condition.split(" ", 1)[1], other.strip()


def _is_the_other(step: Proposal, decision: Proposal) -> bool:
    """Whether a step is but the other way: "it reads 43. If it doesn't, check the pipe"."""
    front = step.said.partition(decision.said)[0].lower()
    names = [w for w in re.findall(r"[\w-]+", step.text.lower())[1:] if len(w) > _LEAST_NAME]
    return bool(names) and not any(word in front for word in names)
