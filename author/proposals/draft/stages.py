"""Torques that are stages of one: "ten first, then twenty-five"."""

from __future__ import annotations

from collections.abc import Sequence
from decimal import ROUND_HALF_UP, Decimal
from typing import Any

from author.proposals.proposal import Proposal, Values

_STAGES = Decimal(8)
"""Seconds within which the stages of one torque are told."""
_ALL = 100


def stages(torques: Sequence[Proposal]) -> list[list[Proposal]]:
    """Return torques, those together that are stages of one: "ten first, then twenty-five".

    Args:
        torques: of one step, in the order said.
    """
    found: list[list[Proposal]] = []
    for each in torques:
        last = found[-1][-1] if found else None
        if last is not None and _leads_to(last, each):
            found[-1].append(each)
        else:
            found.append([each])
    return found


def _leads_to(one: Proposal, other: Proposal) -> bool:
    first, second = one.values, other.values
    if first is None or second is None or first.nominal is None:
        return False
    # The last stage may have been given limits.
    goal = second.nominal if second.nominal is not None else _middle(second)
    if goal is None:
        return False
    told = one.detail("role") == "aim" and (
        other.detail("role") == "aim" or other.detail("changed_by") is not None
    )
    same = first.unit == second.unit and one.detail("characteristic") == other.detail(
        "characteristic"
    )
    near = abs(other.start - one.start) <= _STAGES
    return told and same and near and first.nominal < goal


def _middle(values: Values) -> Decimal | None:
    """Return the middle of two limits, or None."""
    if values.lower is None or values.upper is None:
        return None
    return (values.lower + values.upper) / 2


def passes_of(told: Sequence[Proposal]) -> list[dict[str, Any]]:
    """Return the stages of a torque as rounds of tightening, in whole per cent of the last.

    Where one is no whole per cent, as 15 of 45 N·m, what was said stands beside it.

    Args:
        told: the stages, in the order said.

    Returns:
        The rounds; none where one only was told, or two of them come to the same.
    """
    rounds: list[dict[str, Any]] = []
    for one in told[:-1]:
        share = _share(one, told[-1])
        percent = 0 if share is None else int(share.to_integral_value(ROUND_HALF_UP))
        if not 0 < percent < _ALL or (rounds and percent <= rounds[-1]["percent"]):
            return []
        rounds.append({"percent": percent})
        if share != percent and one.values is not None:
            rounds[-1]["note"] = f"said as {one.values.nominal:f} {one.values.unit}"
    return [*rounds, {"percent": _ALL}] if rounds else []


def _share(one: Proposal, whole: Proposal) -> Decimal | None:
    """Return what one torque is of another in per cent."""
    if one.values is None or whole.values is None or one.values.nominal is None:
        return None
    goal = whole.values.nominal if whole.values.nominal is not None else _middle(whole.values)
    return _ALL * one.values.nominal / goal if goal else None
