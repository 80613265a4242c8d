"""One value put in the place of another: a new document that shares all the rest."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from types import NoneType
from typing import Annotated, Any, TypeVar, get_args

from pydantic import TypeAdapter, ValidationError

from author.contract.reading import first_causes, words_of_fault
from author.editing.addresses import Address, Path, fields_of, key_of, path_of
from author.errors import InputError
from author.procedure.document import Procedure
from author.procedure.values import STATED, Node

NodeT = TypeVar("NodeT", bound=Node)


def replaced(procedure: Procedure, path: Address, value: Any) -> Procedure:
    """Return a document in which one value is another.

    Only the nodes on the path are made anew; everything else is the identical object.
    Only the new value is validated.

    Args:
        procedure: the document.
        path: path or address of the value. An entry of a list may be named as well.
        value: a node, a tuple or list, or what the file would have there: text for
            numbers, dictionaries for blocks. None takes out what may be absent, sets back
            what has a default, and removes an entry of a list; an empty list takes out a
            list that may be absent.

    Raises:
        InputError: if there is no such place, or the value cannot be; in the document's
            words.
    """
    return put(procedure, path_of(procedure, path), value, ())


def put(node: NodeT, path: Path, value: Any, above: Path) -> NodeT:
    """Return a node in which the value at a path below it is another.

    Args:
        node: the node.
        path: keys and indices that are there, the last one perhaps absent.
        value: as for ``replaced``.
        above: path of the node, for errors.

    Raises:
        InputError: if the value is none that the document may have there.
    """
    if not path:
        raise InputError("the whole document cannot be replaced", remedy="Name a value in it")
    field = fields_of(type(node))[str(path[0])]
    here = (*above, key_of(type(node), field))
    old = getattr(node, field)
    if len(path) == 1:
        new = validated(type(node), field, value, here)
    elif isinstance(old, tuple):
        new = _put_in_list(type(node), field, old, path[1:], value, here)
    elif isinstance(old, Node):
        new = put(old, path[1:], value, here)
    else:
        raise InputError(f"there is no '{path[0]}' here", remedy="Add it first")
    return with_field(node, field, new)


def with_values(node: NodeT, paths: Sequence[Path], value: Any) -> NodeT:
    """Return a node with one value at several places below it; it has to be valid there."""
    for path in paths:
        node = _with_value(node, path, value)
    return node


def _with_value(node: Any, path: Path, value: Any) -> Any:
    if not path:
        return value
    if isinstance(node, tuple):
        index = int(path[0])
        return (*node[:index], _with_value(node[index], path[1:], value), *node[index + 1 :])
    model: type[Node] = type(node)
    field = fields_of(model)[str(path[0])]
    return with_field(node, field, _with_value(getattr(node, field), path[1:], value))


def with_field(node: NodeT, field: str, value: Any) -> NodeT:
    """Return a node with a field that was validated already; the node itself if it is the same."""
    if value is getattr(node, field):
        return node
    return node.model_copy(update={field: value})


def _put_in_list(
    model: type[Node], field: str, old: tuple[Any, ...], path: Path, value: Any, here: Path
) -> Any:
    index = int(path[0])
    entry = old[index]
    if len(path) > 1 and isinstance(entry, Node):
        fresh = put(entry, path[1:], value, (*here, index))
        return old if fresh is entry else (*old[:index], fresh, *old[index + 1 :])
    if len(path) > 1:
        raise InputError("this is no value of its own", remedy="Set the whole of it")
    middle = () if value is None else (value,)
    return validated(model, field, (*old[:index], *middle, *old[index + 1 :]), here)


def validated(model: type[Node], field: str, value: Any, path: Path) -> Any:
    """Return a value as a field holds it.

    Args:
        model: the block.
        field: its field.
        value: as for ``replaced``.
        path: where it is about to stand, for errors.

    Raises:
        InputError: if it cannot be.
    """
    about = model.model_fields[field]
    optional = NoneType in get_args(about.annotation)
    if isinstance(value, tuple | list) and not value:
        if STATED in about.metadata:
            return ()
        value = None if optional else value
    if value is None and not optional:
        if about.is_required():
            raise InputError(
                f"'{key_of(model, field)}' has to be there and cannot be taken out",
                remedy="Write another value in its place",
            )
        return about.default
    try:
        return _adapter(model, field).validate_python(value, strict=True)
    except ValidationError as error:
        details = error.errors(include_url=False)
        for detail in details:
            detail["loc"] = (*path, *detail["loc"])
        first = first_causes(details, Procedure)[0]
        problem, remedy = words_of_fault(first, first["loc"], Procedure)
        raise InputError(problem, remedy=remedy) from None


@cache
def _adapter(model: type[Node], field: str) -> TypeAdapter[Any]:
    about = model.model_fields[field]
    kind: Any = about.annotation
    return TypeAdapter(Annotated[(kind, *about.metadata)] if about.metadata else kind)


def make_ready() -> None:
    """Make all validators, so that no command has to wait for one."""
    models: list[type[Node]] = [Node]
    while models:
        model = models.pop()
        models += model.__subclasses__()
        for field in model.model_fields:
            _adapter(model, field)
