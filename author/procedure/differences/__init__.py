"""What has changed between two versions of a procedure, in the terms of the trade.

Nothing that differs is silent: every field of the document is walked, and what has no words
of its own is told by its name. Reordering is told apart from change, and a thing whose id
alone was changed is told as renamed.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

from author.procedure.differences.blocks import SPECIALS
from author.procedure.differences.fields import told_as
from author.procedure.differences.matching import LISTS, Pair, content, match
from author.procedure.differences.steps import Work
from author.procedure.differences.walk import At, Found, Path, Walk
from author.procedure.differences.weights import SEVERITIES, Severity
from author.procedure.document import Procedure
from author.procedure.references import following, names_in
from author.procedure.steps import Hazard, Movement, WitnessPoint

__all__ = ["SEVERITIES", "Difference", "Severity", "compare"]

# Told as moved where one is gone and its like has come elsewhere.
_MOVABLE: dict[type, Severity] = {Hazard: "safety", WitnessPoint: "safety", Movement: "work"}
_ALIASES = {"start": "from", "end": "to"}


@dataclass(frozen=True, slots=True)
class Difference:
    """One difference between two documents.

    Attributes:
        severity: ``safety`` where somebody can be hurt or the machine fail, ``work`` where
            what is done or ordered changes, ``words`` for text, pictures and notes.
        kind: what is about and what happened to it, for programs: ``limits.widened``,
            ``step.moved``, or block, field and word: ``step.hazards.removed``.
        place: the step or entry it is about, with its number in the new document.
        text: what has changed.
        old_path: its path in the old document, None where it is not there.
        new_path: its path in the new document, None where it is not there.
        old: what stood there, as plain values.
        new: what stands there now, as plain values.
    """

    severity: Severity
    kind: str
    place: str
    text: str
    old_path: Path | None
    new_path: Path | None
    old: Any
    new: Any


def compare(old: Procedure, new: Procedure) -> tuple[Difference, ...]:
    """Return all differences, the gravest first, then in the order of the new document.

    Args:
        old: the earlier version.
        new: the later version.
    """
    matches = match(old, new)
    names = names_in(old)
    for key, words in names_in(new).items():
        names[key] |= words
    walk = Walk(names, SPECIALS)
    was = following(old, matches.renamed) if any(matches.renamed.values()) else old
    at = At((), (), "procedure")
    for field in Procedure.model_fields:
        if field == "sections":
            again = matches if was is old else match(was, new)
            Work.of(walk, was, new, again).tell(was, new)
        elif field in LISTS:
            _list(walk, field, was, new, matches.lists[field])
        elif field != "schema_name":
            walk.one_field(field, was, new, at)
    plain = [node.model_dump(mode="json", by_alias=True, exclude_none=True) for node in (old, new)]
    found = [_filled(one, *plain) for one in _with_moves(walk.found)]
    return tuple(sorted(found, key=lambda one: SEVERITIES.index(one.severity)))


def _list(walk: Walk, field: str, old: Procedure, new: Procedure, pairs: list[Pair]) -> None:
    at = At((field,), (field,), "procedure")
    walk.paired(told_as(Procedure, field), getattr(old, field), getattr(new, field), at, pairs)


def _with_moves(found: Sequence[Found]) -> list[Found]:
    """Tell what is gone at one place and has come at another as moved, once."""
    gone: dict[tuple[type, str], list[int]] = defaultdict(list)
    for index, one in enumerate(found):
        if type(one.node) in _MOVABLE and one.kind.endswith(".removed"):
            gone[_like(one)].append(index)
    left_out: set[int] = set()
    told: dict[int, Found] = {}
    for index, one in enumerate(found):
        if type(one.node) not in _MOVABLE or not one.kind.endswith(".added"):
            continue
        if not gone[_like(one)]:
            continue
        before = gone[_like(one)].pop(0)
        left_out.add(before)
        kind, at = one.kind.removesuffix(".added"), found[before].at
        told[index] = replace(
            one,
            severity=_MOVABLE[type(one.node)],
            kind=f"{kind}.moved",
            text=f"moved here from {at.place}: {one.text.partition(': ')[2]}",
            at=replace(one.at, old=at.old, label=one.text.partition(" added: ")[0]),
            node=None,
        )
    return [told.get(i, one) for i, one in enumerate(found) if i not in left_out]


def _like(found: Found) -> tuple[type, str]:
    return type(found.node), content(found.node) if found.node is not None else ""


def _filled(found: Found, old: Any, new: Any) -> Difference:
    """Return a difference with the values that stand at its paths."""
    old_path, before = _standing(found.at.old, found.keys, old)
    new_path, now = _standing(found.at.new, found.keys, new)
    if found.values is not None:
        before, now = found.values
    label = f"{found.at.label}: " if found.at.label else ""
    return Difference(
        severity=found.severity,
        kind=found.kind,
        place=found.at.place,
        text=f"{label}{found.text}",
        old_path=old_path,
        new_path=new_path,
        old=before,
        new=now,
    )


def _standing(path: Path | None, fields: Sequence[str], document: Any) -> tuple[Path | None, Any]:
    """Return the path of a difference in one document, and what stands there.

    Args:
        path: the path of the block.
        fields: its fields that differ: one lengthens the path, of several the values are
            given by their keys.
        document: plain values.
    """
    if path is None:
        return None, None
    value = document
    for part in path:
        value = value[part]
    keys = [_ALIASES.get(field, field) for field in fields]
    if not keys:
        return path, value
    there = {key: value[key] for key in keys if key in value}
    if len(keys) > 1:
        return path, there
    return ((*path, keys[0]), there[keys[0]]) if there else (None, None)
