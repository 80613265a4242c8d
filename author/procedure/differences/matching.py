"""Finds in a new document what stood in an old one: by id, by content, by likeness."""

from __future__ import annotations

import json
from bisect import bisect_left
from collections import defaultdict, deque
from collections.abc import Callable, Hashable, Mapping, Sequence
from dataclasses import dataclass
from difflib import SequenceMatcher
from typing import Any, TypeVar

from author.procedure.document import PlacedStep, Procedure
from author.procedure.references import (
    ANYTHING,
    POINT_LISTS,
    POINTS,
    named_by,
    names_in,
    references_in,
)
from author.procedure.values import Node

Pair = tuple[int, int]
T = TypeVar("T")
Key = Callable[[T], Hashable | None]

LISTS = (
    "people", "recordings", "sources", "prerequisites", "parts", "tools", "supplies", "stacks",
    "chains", "close_outs", "findings",
)  # fmt: skip
"""Lists of the document whose entries have ids."""
_UNKNOWN = "?"
# Two texts of which this share agrees are one text reworded.
_ALIKE = 0.6
# Likeness is looked for among so many pairs at most.
_MOST_PAIRS = 900


def rising(numbers: Sequence[int]) -> set[int]:
    """Return the positions of a longest rising subsequence: what has kept its order.

    Args:
        numbers: different whole numbers.
    """
    tails: list[int] = []
    at: list[int] = []
    before: list[int] = []
    for position, number in enumerate(numbers):
        length = bisect_left(tails, number)
        if length == len(tails):
            tails.append(number)
            at.append(position)
        else:
            tails[length], at[length] = number, position
        before.append(at[length - 1] if length else -1)
    kept: set[int] = set()
    position = at[-1] if at else -1
    while position >= 0:
        kept.add(position)
        position = before[position]
    return kept


def content(node: Node) -> str:
    """Return all that a node says, as text that differs if anything differs."""
    return node.model_dump_json(by_alias=True, exclude_none=True)


def pair_by(old: Sequence[T], new: Sequence[T], keys: Sequence[Key[T]]) -> list[Pair]:
    """Pair entries that have a key in common, with the strictest key first.

    Entries with the same key are paired in their order.

    Args:
        old: entries of the old list.
        new: entries of the new list.
        keys: give what two entries must have in common, or None where an entry must not be
            paired by it.

    Returns:
        Indices into both, in the order of the new list.
    """
    left, right = list(range(len(old))), list(range(len(new)))
    pairs: list[Pair] = []
    for key in keys:
        waiting: dict[Hashable, deque[int]] = defaultdict(deque)
        for index in left:
            waiting[key(old[index])].append(index)
        waiting.pop(None, None)
        rest = []
        for index in right:
            found = waiting.get(key(new[index]))
            if found:
                pairs.append((found.popleft(), index))
            else:
                rest.append(index)
        taken = {pair[0] for pair in pairs}
        left, right = [index for index in left if index not in taken], rest
        if not left or not right:
            break
    return sorted(pairs, key=lambda pair: pair[1])


def pair_alike(old: Sequence[str], new: Sequence[str], pairs: Sequence[Pair]) -> list[Pair]:
    """Pair texts that are still alone with the text most like them, if one is like enough."""
    left = [i for i in range(len(old)) if i not in {a for a, _ in pairs}]
    right = [i for i in range(len(new)) if i not in {b for _, b in pairs}]
    if not left or not right or len(left) * len(right) > _MOST_PAIRS:
        return list(pairs)
    found = []
    matcher = SequenceMatcher(autojunk=False)
    for b in right:
        matcher.set_seq2(new[b].casefold())
        for a in left:
            matcher.set_seq1(old[a].casefold())
            if matcher.quick_ratio() >= _ALIKE and (share := matcher.ratio()) >= _ALIKE:
                found.append((-share, a, b))
    more: list[Pair] = []
    for _, a, b in sorted(found):
        if a not in {x for x, _ in more} and b not in {y for _, y in more}:
            more.append((a, b))
    return sorted([*pairs, *more], key=lambda pair: pair[1])


@dataclass(frozen=True, slots=True)
class PlacedPoint:
    """A spec, critical point or criterion, and the step it stands in."""

    placed: PlacedStep
    index: int
    node: Any


@dataclass(frozen=True, slots=True)
class Matches:
    """What of an old document is what of a new one.

    Attributes:
        lists: pairs of entries of each list with ids, by its key.
        sections: pairs of sections.
        steps: pairs of steps, by their place in the whole work from 0.
        points: pairs of specs, torques, critical points and criteria, by their list.
        renamed: new ids by old ones, by the list they stand in, where all that named the
            old one names the new one.
    """

    lists: dict[str, list[Pair]]
    sections: list[Pair]
    steps: list[Pair]
    points: dict[str, list[tuple[PlacedPoint, PlacedPoint]]]
    renamed: dict[str, dict[str, str]]


def match(old: Procedure, new: Procedure) -> Matches:
    """Find what stood in an old document in a new one.

    Things are matched by their ids; what is left is matched where all but the id is equal.
    References to things that are not on the other side are left out of that comparison.
    """
    both = _in_both(names_in(old), names_in(new))

    def rest(node: Any) -> Hashable:
        return json.dumps(_stripped(node, both, top=True))

    def same_id(node: Any) -> Hashable:
        return str(node.id)

    by = (same_id, rest)
    lists = {key: pair_by(getattr(old, key), getattr(new, key), by) for key in LISTS}
    old_steps, new_steps = list(old.placed_steps()), list(new.placed_steps())
    steps = pair_by([p.step for p in old_steps], [p.step for p in new_steps], by)
    points = {}
    for key in POINT_LISTS:
        was, now = _points(old_steps, key), _points(new_steps, key)
        pairs = pair_by([p.node for p in was], [p.node for p in now], by)
        points[key] = [(was[a], now[b]) for a, b in pairs]
    sections = _pair_sections(old, new, [(old_steps[a], new_steps[b]) for a, b in steps])
    ids: dict[str, list[tuple[str, str]]] = {
        key: [(getattr(old, key)[a].id, getattr(new, key)[b].id) for a, b in lists[key]]
        for key in LISTS
    }
    ids["steps"] = [(old_steps[a].step.id, new_steps[b].step.id) for a, b in steps]
    ids["sections"] = [(old.sections[a].id, new.sections[b].id) for a, b in sections]
    ids[POINTS] = [(a.node.id, b.node.id) for pairs in points.values() for a, b in pairs]
    renamed = {key: _renamed(pairs, both[key]) for key, pairs in ids.items()}
    renamed[ANYTHING] = {a: b for names in renamed.values() for a, b in names.items()}
    _leave_unfollowed(renamed, new)
    return Matches(lists, sections, steps, points, renamed)


def _in_both(
    old: Mapping[str, Mapping[str, str]], new: Mapping[str, Mapping[str, str]]
) -> dict[str, set[str]]:
    both = {key: set(old[key]) & set(new[key]) for key in old}
    return {**both, ANYTHING: set().union(*both.values())}


def _renamed(pairs: Sequence[tuple[str, str]], both: set[str]) -> dict[str, str]:
    return {a: b for a, b in pairs if a != b and a not in both and b not in both}


def _leave_unfollowed(renamed: dict[str, dict[str, str]], new: Procedure) -> None:
    """Take out what something still names by its old id: there its references differ."""
    if not renamed[ANYTHING]:
        return
    for target, name in references_in(new):
        for key in renamed if target == ANYTHING else (target, ANYTHING):
            renamed[key].pop(name, None)


def _points(steps: Sequence[PlacedStep], key: str) -> list[PlacedPoint]:
    return [
        PlacedPoint(placed, index, node)
        for placed in steps
        for index, node in enumerate(getattr(placed.step, key) or ())
    ]


def _stripped(node: Node, both: Mapping[str, set[str]], *, top: bool = False) -> Any:
    """Return a node as plain values without its id, and without what may have been renamed."""
    plain: dict[str, Any] = {}
    for field in type(node).model_fields:
        value = getattr(node, field)
        target = named_by(type(node), field)
        if field == "id" and type(node).__name__ != "ProcedureRef":
            plain[field] = _UNKNOWN if top or value not in both[ANYTHING] else value
        elif target is not None:
            names = value if isinstance(value, tuple) else (value,)
            plain[field] = [
                name if name is None or name in both[target] else _UNKNOWN for name in names
            ]
        elif isinstance(value, Node):
            plain[field] = _stripped(value, both)
        elif isinstance(value, tuple):
            plain[field] = [_stripped(v, both) if isinstance(v, Node) else str(v) for v in value]
        else:
            plain[field] = None if value is None else str(value)
    return plain


def _pair_sections(
    old: Procedure, new: Procedure, steps: Sequence[tuple[PlacedStep, PlacedStep]]
) -> list[Pair]:
    """Pair sections by id, then those whose steps are for the most part the same."""
    pairs = pair_by(old.sections, new.sections, [lambda section: section.id])
    was, now = {a for a, _ in pairs}, {b for _, b in pairs}
    shared: dict[Pair, int] = defaultdict(int)
    for before, after in steps:
        shared[before.section_index, after.section_index] += 1
    for (a, b), count in sorted(shared.items(), key=lambda item: (-item[1], item[0])):
        largest = max(len(old.sections[a].steps), len(new.sections[b].steps))
        if a not in was and b not in now and 2 * count > largest:
            was.add(a)
            now.add(b)
            pairs.append((a, b))
    return sorted(pairs, key=lambda pair: pair[1])
