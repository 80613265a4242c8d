"""Concessions: one remark may stand, with a reason and a role; none is silent."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from pydantic import BaseModel

from author.checks.remarks import Path, Remark, all_rules, remark
from author.procedure.document import Procedure
from author.procedure.lists import Concession


@dataclass(frozen=True, slots=True)
class Conceded:
    """A remark that stands, and the concession that lets it.

    Attributes:
        remark: what the rule said.
        concession: reason and role.
    """

    remark: Remark
    concession: Concession


def concede(
    procedure: Procedure, remarks: Sequence[Remark]
) -> tuple[tuple[Remark, ...], tuple[Conceded, ...]]:
    """Return the remarks that are left, and those that concessions let stand.

    Each concession lets one remark of its rule stand, the first at its place. One that
    lets nothing stand, or names a rule whose remarks never may, is a remark itself.

    Args:
        procedure: the document with its concessions.
        remarks: all remarks in the order of the document.
    """
    left = list(remarks)
    stands: list[Conceded] = []
    own: list[Remark] = []
    for index, concession in enumerate(procedure.concessions):
        path: Path = ("concessions", index)
        rule = all_rules().get(concession.rule)
        if rule is None:
            continue  # a rule that is not there has its own remark
        if not rule.may_stand:
            said = f"a remark of {rule.id} cannot stand, whatever the reason"
            own.append(remark("concessions.never", said, path))
            continue
        meant = (r for r in left if r.rule is rule and _is_at(procedure, r.path, concession.at))
        found = next(meant, None)
        if found is None:
            said = f"no remark of {concession.rule} is made at '{concession.at}'"
            own.append(remark("concessions.unused", said, path))
        else:
            left.remove(found)
            stands.append(Conceded(found, concession))
    return (*left, *own), tuple(stands)


def _is_at(procedure: Procedure, path: Path, place: str) -> bool:
    """Whether a path leads into the thing of an id, or into a list of the front matter."""
    return place in places_of(procedure, path)


def places_of(procedure: Procedure, path: Path) -> tuple[str, ...]:
    """Return the ids a path leads through, outermost first, else the key of its list."""
    ids: list[str] = []
    node: object = procedure
    for part in path:
        if isinstance(part, int):
            node = node[part] if isinstance(node, tuple) and part < len(node) else None
        elif isinstance(node, BaseModel):
            fields = type(node).model_fields
            node = getattr(
                node, next((n for n, f in fields.items() if part in {n, f.alias}), ""), None
            )
        name = getattr(node, "id", None)
        if isinstance(name, str):
            ids.append(name)
    # A section is too wide a place for one remark.
    inner = ids[1:] if path[:1] == ("sections",) and len(ids) > 1 else ids
    return tuple(inner) or tuple(str(part) for part in path[:1])
