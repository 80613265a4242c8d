"""The difference of two snapshots as a small plain value, and the way from one to the other.

Snapshots share what has not changed, so a difference is found by looking at what is not the
identical object. It is plain JSON::

    block     {field: change}            fields that differ
    change    {"to": value}              another value; null takes it out
              {"in": block}              a block in which something differs
              {"list": [start, stop, items]}   entries [start, stop) became these items
    item      [start, stop]              entries of the old list, as they were
              {"of": index, "in": block} an entry of the old list in which something differs
              {"steps": [section, start, stop]}  steps that stood elsewhere, as they were
              {"new": value}             a new entry; of a section without its steps, which
                                         follow as "with": items
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal
from typing import Any, TypeVar

from author.contract.procedure_file import as_plain
from author.editing.addresses import Path, key_of
from author.editing.replacing import validated, with_field
from author.errors import InputError
from author.procedure.document import Procedure
from author.procedure.steps import Section
from author.procedure.values import Node

NodeT = TypeVar("NodeT", bound=Node)
Patch = dict[str, Any]


class _Damaged(InputError):
    """A difference that fits no document."""

    def __init__(self) -> None:
        super().__init__("this change does not fit the document", remedy="Leave it out")


def difference(old: Procedure, new: Procedure) -> Patch:
    """Return what leads from one document to another; empty if nothing differs."""
    if old is new:
        return {}
    places = {
        id(step): [index, at]
        for index, section in enumerate(old.sections)
        for at, step in enumerate(section.steps)
    }
    return _block(old, new, places)


def differs(old: Any, new: Any) -> bool:
    """Whether anything differs between two values of a document; ends at the first that does.

    Numbers differ in their digits too, as in the file.
    """
    if old is new:
        return False
    if type(old) is not type(new):
        return bool(plain_value(old) != plain_value(new))
    if isinstance(new, Node):
        return any(differs(getattr(old, f), getattr(new, f)) for f in type(new).model_fields)
    if isinstance(new, tuple):
        return len(old) != len(new) or any(map(differs, old, new))
    return bool(plain_value(old) != plain_value(new))


def _block(old: Node, new: Node, places: Mapping[int, list[int]]) -> Patch:
    patch: Patch = {}
    for field in type(new).model_fields:
        was, now = getattr(old, field), getattr(new, field)
        if was is now:
            continue
        change = _change(was, now, places)
        if change is not None:
            patch[field] = change
    return patch


def _change(was: Any, now: Any, places: Mapping[int, list[int]]) -> Patch | None:
    if isinstance(was, Node) and type(was) is type(now):
        inner = _block(was, now, places)
        return {"in": inner} if inner else None
    if _is_list(was) and _is_list(now):
        return _list(was, now, places)
    plain = plain_value(now)
    return None if plain == plain_value(was) else {"to": plain}


def _is_list(value: Any) -> bool:
    return isinstance(value, tuple) and bool(value) and isinstance(value[0], Node)


def plain_value(value: Any) -> Any:
    """Return any value of a document as the file has it."""
    if isinstance(value, Node):
        return as_plain(value)
    if isinstance(value, Decimal):
        return format(value, "f")
    if isinstance(value, tuple):
        return [plain_value(entry) for entry in value]
    return value


def pairing(old: Sequence[Any], new: Sequence[Any]) -> list[int | None]:
    """Return, for each entry of a list, which entry of the older list it was.

    Entries are known again as the identical object, else by their id, else by their order
    where as many are left over on both sides.
    """
    found: list[int | None] = [None] * len(new)
    left = dict.fromkeys(range(len(old)))

    def pair(at: int, index: int | None) -> None:
        if index in left and type(old[index]) is type(new[at]):
            found[at] = index
            del left[index]

    same = {id(entry): index for index, entry in enumerate(old)}
    for at, entry in enumerate(new):
        pair(at, same.get(id(entry)))
    named = {name: i for i in reversed(left) if (name := getattr(old[i], "id", None)) is not None}
    for at, entry in enumerate(new):
        if found[at] is None:
            pair(at, named.get(getattr(entry, "id", None)))
    free = [at for at, index in enumerate(found) if index is None]
    if len(free) == len(left):
        for at, index in zip(free, list(left), strict=True):
            pair(at, index)
    return found


def _list(
    was: tuple[Any, ...], now: tuple[Any, ...], places: Mapping[int, list[int]]
) -> Patch | None:
    start = 0
    while start < min(len(was), len(now)) and was[start] is now[start]:
        start += 1
    end = 0
    while end < min(len(was), len(now)) - start and was[-1 - end] is now[-1 - end]:
        end += 1
    stop = len(was) - end
    items = _items(was[start:stop], now[start : len(now) - end], start, places)
    if items == [[start, stop]] or (not items and start == stop):
        return None
    return {"list": [start, stop, items]}


def _items(
    was: tuple[Any, ...], now: tuple[Any, ...], first: int, places: Mapping[int, list[int]]
) -> list[Any]:
    items: list[Any] = []
    for entry, index in zip(now, pairing(was, now), strict=True):
        if index is None or (was[index] is not entry and id(entry) in places):
            _add_new(items, entry, places)
            continue
        inner = {} if was[index] is entry else _block(was[index], entry, places)
        at = first + index
        if inner:
            items.append({"of": at, "in": inner})
        elif items and isinstance(items[-1], list) and items[-1][1] == at:
            items[-1][1] = at + 1
        else:
            items.append([at, at + 1])
    return items


def _add_new(items: list[Any], entry: Any, places: Mapping[int, list[int]]) -> None:
    if id(entry) in places:
        section, step = places[id(entry)]
        last = items[-1] if items else None
        if isinstance(last, dict) and last.get("steps", [])[::2] == [section, step]:
            last["steps"][2] = step + 1
        else:
            items.append({"steps": [section, step, step + 1]})
    elif isinstance(entry, Section):
        steps = _items((), entry.steps, 0, places)
        plain = as_plain(entry.model_copy(update={"steps": ()}))
        del plain["steps"]
        items.append({"new": plain, "with": steps})
    else:
        items.append({"new": plain_value(entry)})


def patched(procedure: Procedure, patch: Patch) -> Procedure:
    """Return the document a difference leads to. The difference need not be trusted.

    Raises:
        InputError: if it fits no document, or not this one.
    """
    try:
        return _patched(procedure, patch, procedure, ())
    except (TypeError, KeyError, IndexError, ValueError, AttributeError, RecursionError):
        raise _Damaged from None


def _patched(node: NodeT, patch: Patch, whole: Procedure, above: Path) -> NodeT:
    for field, change in patch.items():
        model = type(node)
        if field not in model.model_fields:
            raise _Damaged
        here = (*above, key_of(model, field))
        old = getattr(node, field)
        if "in" in change:
            if not isinstance(old, Node):
                raise _Damaged
            new = _patched(old, change["in"], whole, here)
        elif "list" in change:
            new = validated(model, field, _patched_list(old, change["list"], whole, here), here)
        else:
            new = validated(model, field, change["to"], here)
        node = with_field(node, field, new)
    return node


def _patched_list(old: Any, change: Sequence[Any], whole: Procedure, here: Path) -> list[Any]:
    start, stop, items = change
    entries = old or ()
    if not 0 <= start <= stop <= len(entries):
        raise _Damaged
    return [*entries[:start], *_made(items, entries, whole, here), *entries[stop:]]


def _made(items: Sequence[Any], old: tuple[Any, ...], whole: Procedure, here: Path) -> list[Any]:
    made: list[Any] = []
    for item in items:
        if isinstance(item, list):
            first, last = item
            if not 0 <= first < last <= len(old):
                raise _Damaged
            made += old[first:last]
        elif "of" in item:
            made.append(_patched(old[_index(item["of"])], item["in"], whole, (*here, len(made))))
        elif "steps" in item:
            section, first, last = item["steps"]
            steps = whole.sections[_index(section)].steps
            if not 0 <= first < last <= len(steps):
                raise _Damaged
            made += steps[first:last]
        elif "with" in item:
            made.append({**item["new"], "steps": _made(item["with"], (), whole, here)})
        else:
            made.append(item["new"])
    return made


def _index(value: Any) -> int:
    if type(value) is not int or value < 0:
        raise _Damaged
    return value
