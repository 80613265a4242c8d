"""Makes one edit after another to a document's plain values, as a writer might."""

import copy
from collections.abc import Iterator
from random import Random
from typing import Any

from pydantic import ValidationError

from author.procedure.document import Procedure

from .examples import copied

Plain = dict[str, Any]
Place = tuple[str | int, ...]


def edited(plain: Plain, chance: Random, edits: int) -> Procedure:
    """Apply so many edits of any kind, and leave out those that no document may have."""
    found = Procedure.model_validate(plain)
    for _ in range(edits):
        for _ in range(20):
            tried = copied(plain)
            _edit(tried, chance)
            try:
                found = Procedure.model_validate(tried)
            except ValidationError:
                continue
            plain = tried
            break
    return found


def places(value: Any, path: Place = ()) -> Iterator[tuple[Place, Any]]:
    """Yield every place of a tree and what stands there."""
    yield path, value
    if isinstance(value, dict | list):
        for key, inner in value.items() if isinstance(value, dict) else enumerate(value):
            yield from places(inner, (*path, key))


def at(tree: Any, path: Place) -> Any:
    for part in path:
        tree = tree[part]
    return tree


def _edit(tree: Plain, chance: Random) -> None:
    found = list(places(tree))[1:]
    path, value = chance.choice(found)
    holder, key = at(tree, path[:-1]), path[-1]
    like = [other for place, other in found if place[-1] == key or isinstance(key, int)]
    if isinstance(value, list) and chance.random() < 0.8:
        _edit_list(value, chance, [v for v in like if isinstance(v, list)])
    elif isinstance(holder, dict) and chance.random() < 0.25:
        del holder[key]
    elif chance.random() < 0.3:
        holder[key] = copy.deepcopy(chance.choice(like))
    elif isinstance(value, bool):
        holder[key] = not value
    elif isinstance(value, int):
        holder[key] = value + chance.choice([-1, 1])
    elif isinstance(value, str):
        holder[key] = chance.choice(
            [f"{value}0", f"{value} more", f"{value}-b", value.upper(), f"-{value}", value[:-1]]
        )


def _edit_list(entries: list[Any], chance: Random, others: list[list[Any]]) -> None:
    index, other = chance.randrange(len(entries)), chance.randrange(len(entries))
    match chance.randrange(5):
        case 0:
            entries.insert(other, entries.pop(index))
        case 1:
            entries[index], entries[other] = entries[other], entries[index]
        case 2:
            del entries[index]
        case 3:
            entries.insert(other, copy.deepcopy(entries[index]))
        case 4:
            chance.choice(others).append(entries.pop(index))
