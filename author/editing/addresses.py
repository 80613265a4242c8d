"""Where something stands in a document, said so that it is found again after changes.

An address is a path as remarks have it, in which an entry of a list may be named by its id
in place of its index: ``("sections", "removal", "title")``. Steps have ids of their own in
the whole procedure, so ``("steps", "nut-off", "specs", "bore", "upper")`` leads there
without the section. Where an id is used twice, the first is meant; an index always works.
"""

from __future__ import annotations

from functools import cache
from typing import Any

from author.errors import InputError
from author.procedure.differences.fields import told_as
from author.procedure.document import Procedure
from author.procedure.steps import Step
from author.procedure.values import Node

Address = tuple[str | int, ...]
Path = tuple[str | int, ...]


@cache
def fields_of(model: type[Node]) -> dict[str, str]:
    """Return the field behind each key of a block; a field's own name is a key as well."""
    names = {name: name for name in model.model_fields}
    return names | {field.alias or name: name for name, field in model.model_fields.items()}


@cache
def key_of(model: type[Node], field: str) -> str:
    """Return the key by which a field is written in the file."""
    return model.model_fields[field].alias or field


def path_of(procedure: Procedure, address: Address) -> Path:
    """Return the path an address stands for: keys as in the file, and indices.

    The last part may be a key whose value is absent.

    Raises:
        InputError: if there is no such thing.
    """
    return _walk(procedure, address)[0]


def value_at(procedure: Procedure, address: Address) -> Any:
    """Return what stands at an address; None for an optional value that is absent.

    Raises:
        InputError: if there is no such place.
    """
    return _walk(procedure, address)[1]


def exists(procedure: Procedure, address: Address) -> bool:
    """Whether an address leads to something that is there."""
    try:
        return value_at(procedure, address) is not None
    except InputError:
        return False


def step_path(procedure: Procedure, step: str | int) -> Path:
    """Return the path of the step with an id.

    Raises:
        InputError: if there is none.
    """
    for section_index, section in enumerate(procedure.sections):
        for step_index, found in enumerate(section.steps):
            if found.id == step:
                return ("sections", section_index, "steps", step_index)
    raise _missing("step", step)


def _walk(procedure: Procedure, address: Address) -> tuple[Path, Any]:
    path: Path = ()
    node: Any = procedure
    parts = address
    if len(parts) > 1 and parts[0] == "steps":
        path = step_path(procedure, parts[1])
        node = procedure.sections[int(path[1])].steps[int(path[3])]
        parts = parts[2:]
    holder: type[Node] = Procedure
    field = "sections"
    for part in parts:
        if isinstance(node, Node):
            name = fields_of(type(node)).get(str(part))
            if name is None:
                raise _missing("value", part)
            holder, field = type(node), name
            path, node = (*path, key_of(type(node), name)), getattr(node, name)
        elif isinstance(node, tuple):
            index = _index(node, part, holder, field)
            path, node = (*path, index), node[index]
        else:
            raise _missing("value", part)
    return path, node


def _index(entries: tuple[Any, ...], part: str | int, holder: type[Node], field: str) -> int:
    for index, entry in enumerate(entries):
        if index == part or part == (getattr(entry, "id", None) or entry):
            return index
    raise _missing(told_as(holder, field).name, part if isinstance(part, str) else part + 1)


def _missing(what: str, which: str | int) -> InputError:
    named = f"'{which[:60]}'" if isinstance(which, str) else f"{which}"
    return InputError(
        f"there is no {what} {named} here", remedy="It may have been taken out: choose another"
    )


def address_of(procedure: Procedure, path: Path) -> Address:
    """Return the address of a path, ids in place of indices wherever they are unique.

    A path that leads nowhere is cut off where it does.
    """
    address: Address = ()
    node: Any = procedure
    for part in path:
        if isinstance(node, Node):
            name = fields_of(type(node)).get(str(part))
            if name is None:
                break
            address, node = (*address, key_of(type(node), name)), getattr(node, name)
        elif isinstance(node, tuple) and isinstance(part, int) and part < len(node):
            entries, node = node, node[part]
            name = getattr(node, "id", None)
            alone = name is not None and sum(e.id == name for e in entries) == 1
            address = (*address, name if alone and name is not None else part)
            if isinstance(node, Step) and alone and _is_unique_step(procedure, node.id):
                address = ("steps", node.id)
        else:
            break
    return address


def _is_unique_step(procedure: Procedure, name: str) -> bool:
    return sum(step.id == name for section in procedure.sections for step in section.steps) == 1


def nearest(address: Address, was: Procedure, now: Procedure) -> Address:
    """Return an address itself, or that of what stood nearest to it if it is not there.

    Args:
        address: of something that was in ``was``.
        was: the document it stood in.
        now: the document to find a place in.
    """
    while address:
        if exists(now, address):
            return address
        if address[0] == "steps" and len(address) == 2:
            return _nearest_step(str(address[1]), was, now)
        address = address[:-1]
    return ()


def _nearest_step(step: str, was: Procedure, now: Procedure) -> Address:
    there = {found.id for section in now.sections for found in section.steps}
    order = [found.id for section in was.sections for found in section.steps]
    at = order.index(step) if step in order else 0
    left = [name for name in (*reversed(order[:at]), *order[at + 1 :]) if name in there]
    return ("steps", left[0]) if left else ()
