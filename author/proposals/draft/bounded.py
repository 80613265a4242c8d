"""Which values are told with limits of the same thing in their step, and need no question."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal

from author.proposals.proposal import Proposal


def told_with_limits(proposals: Sequence[Proposal]) -> frozenset[str]:
    """Return the ids of values that lie within limits told of the same in their step.

    "Diameter new, five ninety. Scrap at five eighty-two." A torque is of many fasteners at once.

    Args:
        proposals: all of them.
    """
    limits: dict[tuple[str, str, str | None], list[tuple[Decimal | None, Decimal | None]]] = {}
    values = [p for p in proposals if p.kind == "measurement" and p.values is not None]
    values = [p for p in values if p.detail("characteristic") and p.detail("quantity") != "torque"]
    for p in values:
        if p.values is not None and p.detail("role") == "limits":
            for step in p.steps:
                key = step, str(p.detail("characteristic")), p.values.unit
                limits.setdefault(key, []).append((p.values.lower, p.values.upper))
    return frozenset(
        p.id
        for p in values
        if p.values is not None and p.values.nominal is not None and p.detail("role") != "limits"
        for step in p.steps
        for low, high in limits.get((step, str(p.detail("characteristic")), p.values.unit), ())
        if (low is None or low <= p.values.nominal) and (high is None or p.values.nominal <= high)
    )
