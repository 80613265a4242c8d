"""Which values of a document name something else in it, and what they name."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import cache
from typing import Any, TypeVar

from author.procedure.document import Procedure
from author.procedure.items import Content, Stack, Supply
from author.procedure.lists import CloseOut, Concession, Finding, LeftOff
from author.procedure.specs import Chain, ChainLink, LimitSpec, Reaction
from author.procedure.steps import (
    Branch,
    Clip,
    Criterion,
    CriticalPoint,
    Decision,
    Movement,
    Step,
    Still,
    SupplyUse,
    Way,
    WitnessPoint,
)
from author.procedure.values import Node

ANYTHING = "anything"
"""A reference that may name a thing of any kind."""
POINTS = "points"
"""Specs, torque specs, critical points and criteria, which share their names."""
POINT_LISTS = ("specs", "torques", "critical_points", "criteria")

_NAMED: dict[tuple[type[Node], str], str] = {
    (Step, "people"): "people",
    (Step, "tools"): "tools",
    (Step, "goes_to"): "steps",
    (SupplyUse, "supply"): "supplies",
    (Movement, "part"): "parts",
    (Clip, "recording"): "recordings",
    (Still, "recording"): "recordings",
    (CriticalPoint, "source"): "sources",
    (Criterion, "source"): "sources",
    (WitnessPoint, "role"): "people",
    (WitnessPoint, "before"): "steps",
    (Way, "tools"): "tools",
    (Decision, "spec"): POINTS,
    (Branch, "step"): "steps",
    (Branch, "section"): "sections",
    (Reaction, "step"): "steps",
    (LimitSpec, "instrument"): "tools",
    (LimitSpec, "spread_of"): POINTS,
    (LimitSpec, "source"): "sources",
    (ChainLink, "spec"): POINTS,
    (Chain, "closes"): POINTS,
    (Supply, "recommended_by"): "sources",
    (Content, "part"): "parts",
    (LeftOff, "part"): "parts",
    (Stack, "inside_out"): "parts",
    (CloseOut, "role"): "people",
    (Finding, "step"): "steps",
    (Finding, "released_by"): "people",
    (Concession, "at"): ANYTHING,
    (Concession, "role"): "people",
}

_WORDS = ("name", "title", "characteristic", "what", "look_for", "action", "role", "file")

NodeT = TypeVar("NodeT", bound=Node)


@cache
def named_by(kind: type[Any], field: str) -> str | None:
    """Return the list whose entries a field names by their ids, or None if it names nothing."""
    return next((_NAMED[base, field] for base in kind.__mro__ if (base, field) in _NAMED), None)


def names_in(procedure: Procedure) -> dict[str, dict[str, str]]:
    """Return every id of a document with the words for it, by the list it stands in.

    Where an id is used twice, the first counts.
    """
    found: dict[str, dict[str, str]] = {}
    for key in ("people", "recordings", "sources", "parts", "tools", "supplies", "stacks"):
        found[key] = _words(getattr(procedure, key))
    for key in ("prerequisites", "chains", "close_outs", "findings"):
        found[key] = _words(getattr(procedure, key))
    found["sections"] = _words(procedure.sections)
    found["steps"] = _words(placed.step for placed in procedure.placed_steps())
    found[POINTS] = _words(point for _, _, point in procedure.placed_points())
    return found


def _words(entries: Any) -> dict[str, str]:
    found: dict[str, str] = {}
    for entry in entries:
        found.setdefault(entry.id, words_for(entry))
    return found


def words_for(node: Node) -> str:
    """Return what a person calls an entry of a list: its name, title, role or sentence."""
    known = type(node).model_fields
    return next((str(getattr(node, key)) for key in _WORDS if key in known), "")


def references_in(node: Node) -> Iterator[tuple[str, str]]:
    """Yield every reference in a node: the list it names an entry of, and the id."""
    for field in type(node).model_fields:
        value = getattr(node, field)
        entries = value if isinstance(value, tuple) else (value,)
        target = named_by(type(node), field)
        for entry in entries:
            if isinstance(entry, Node):
                yield from references_in(entry)
            elif target is not None and entry is not None:
                yield target, entry


def following(node: NodeT, renamed: Mapping[str, Mapping[str, str]]) -> NodeT:
    """Return a node whose references follow the things that were renamed.

    Args:
        node: part of a document, or all of it. Ids themselves stay as they are.
        renamed: new ids by old ones, by the list they stand in.
    """
    update: dict[str, Any] = {}
    for field in type(node).model_fields:
        value = getattr(node, field)
        target = named_by(type(node), field)
        if target is not None:
            fresh = _followed(value, renamed.get(target, {}))
        elif isinstance(value, Node):
            fresh = following(value, renamed)
        elif isinstance(value, tuple) and value and isinstance(value[0], Node):
            fresh = tuple(following(entry, renamed) for entry in value)
            if all(a is b for a, b in zip(fresh, value, strict=True)):
                continue
        else:
            continue
        if fresh is not value:
            update[field] = fresh
    return node.model_copy(update=update) if update else node


def _followed(value: Any, renamed: Mapping[str, str]) -> Any:
    if isinstance(value, tuple):
        return tuple(renamed.get(name, name) for name in value)
    return renamed.get(value, value)
