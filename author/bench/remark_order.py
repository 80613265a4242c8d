"""Which remark is next: one goes on from the place of the last, whatever was mended since."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from typing import Any

from author.checks import Remark
from author.checks.verdict import forbids
from author.editing import Address, address_of, path_of
from author.editing.addresses import fields_of
from author.errors import InputError
from author.procedure.document import Procedure
from author.procedure.values import Node

_LISTS = frozenset({"parts", "tools", "supplies", "sources", "stacks", "chains"})


@dataclass(frozen=True, slots=True)
class Gone:
    """The remark last gone to.

    Attributes:
        remark: the remark as it was.
        address: its place, to be found again after changes.
    """

    remark: Remark
    address: Address


def gone_to(procedure: Procedure, remark: Remark) -> Gone:
    """Note a remark as gone to."""
    return Gone(remark, address_of(procedure, remark.path))


def weight(remark: Remark) -> int:
    """Return the group a remark stands in: what forbids first, then warnings, then advice."""
    if forbids(remark):
        return 0
    return 1 if remark.rule.severity == "warning" else 2


def next_remark(procedure: Procedure, remarks: Sequence[Remark], last: Gone | None, by: int) -> int:
    """Return the index of the next remark, or of the one before.

    Where the last one is still there, its neighbour is next. Where it was mended, the next
    is what follows its place in the document, of the same weight: first in the same window,
    then in the others; then what follows it of the next weight.

    Args:
        procedure: the document.
        remarks: the remarks by weight, each weight in the order of the document; some.
        last: the one last gone to.
        by: 1 for the next, -1 for the one before.
    """
    if last is None:
        return 0 if by > 0 else len(remarks) - 1
    if last.remark in remarks:
        return (remarks.index(last.remark) + by) % len(remarks)
    place = _now(procedure, last)
    window = _window(last.remark.path)
    heavy = weight(last.remark)
    near = [n for n, one in enumerate(remarks) if weight(one) == heavy]
    here = [n for n in near if _window(remarks[n].path) == window]
    keys = {n: place_key(procedure, one.path) for n, one in enumerate(remarks)}
    for some in (here, near):
        onward = [n for n in some if (keys[n] >= place if by > 0 else keys[n] < place)]
        if onward:
            return onward[0] if by > 0 else onward[-1]
        if some is here and here:
            return here[-1] if by > 0 else here[0]
    further = [n for n, one in enumerate(remarks) if (weight(one) - heavy) * by > 0]
    weights = [weight(remarks[n]) for n in further or range(len(remarks))]
    wanted = min(weights) if by > 0 else max(weights)
    some = [n for n, one in enumerate(remarks) if weight(one) == wanted]
    onward = [n for n in some if (keys[n] >= place if by > 0 else keys[n] < place)]
    return (onward or some)[0 if by > 0 else -1]


def place_key(procedure: Procedure, path: Sequence[str | int]) -> tuple[int, ...]:
    """Return what sorts places in the order of the document."""
    key: list[int] = []
    node: Any = procedure
    for part in path:
        if isinstance(part, int):
            key.append(part)
            node = node[part] if isinstance(node, tuple) and part < len(node) else None
        else:
            rank, field = _rank(type(node), part) if isinstance(node, Node) else (0, "")
            key.append(rank)
            node = getattr(node, field, None) if field else None
    return tuple(key)


@cache
def _rank(model: type[Node], key: str) -> tuple[int, str]:
    """Return where a key stands in a block, and its field."""
    field = fields_of(model).get(key, "")
    return (list(model.model_fields).index(field), field) if field else (0, "")


def _now(procedure: Procedure, last: Gone) -> tuple[int, ...]:
    try:
        path = path_of(procedure, last.address)
    except InputError:
        path = last.remark.path
    rest = last.remark.path[len(path) :] if len(path) < len(last.remark.path) else ()
    return place_key(procedure, (*path, *rest))


def _window(path: Sequence[str | int]) -> str:
    """Return which window a place is shown in."""
    if not path or path[0] == "sections":
        return "bench"
    return "lists" if path[0] in _LISTS else "front"
