"""Ids in an open document: which there are, who uses one, how a new one is made."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Collection, Iterator, Mapping
from dataclasses import dataclass
from functools import cache, lru_cache
from typing import Any, TypeVar, get_args

from author.editing.addresses import Path, address_of, exists, key_of, path_of
from author.editing.words import joined, name_of
from author.errors import InputError
from author.procedure.document import Procedure
from author.procedure.references import ANYTHING, POINT_LISTS, POINTS, named_by
from author.procedure.steps import Step
from author.procedure.values import Node

Result = TypeVar("Result")
Argument = TypeVar("Argument", bound="Node | tuple[Any, ...]")

LISTS = (
    "people", "recordings", "sources", "parts", "tools", "supplies", "stacks",
    "prerequisites", "chains", "close_outs", "findings",
)  # fmt: skip
"""Lists of the front matter whose entries have ids."""

Kept = Node | tuple[Any, ...]


class _ById:
    """A node or a list as the key of a cache: the same object, not an equal one."""

    __slots__ = ("node",)

    def __init__(self, node: Kept) -> None:
        self.node = node

    def __hash__(self) -> int:
        return id(self.node)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _ById) and self.node is other.node


def once(most: int) -> Callable[[Callable[[Argument], Result]], Callable[[Argument], Result]]:
    """Keep what a function says of a node or a list: snapshots share most of theirs.

    Args:
        most: how many are kept, with the nodes they are of. Of what every change makes anew
            few: they would keep alive every snapshot there was.
    """

    def keeping(job: Callable[[Argument], Result]) -> Callable[[Argument], Result]:
        @lru_cache(maxsize=most)
        def kept(key: _ById) -> Result:
            return job(key.node)  # type: ignore[arg-type]

        return lambda node: kept(_ById(node))

    return keeping


@dataclass(frozen=True, slots=True)
class Use:
    """A place that names something by its id.

    Attributes:
        path: path of the value.
        target: the list it names an entry of; ``anything`` where it may be any.
        id: what it names.
    """

    path: Path
    target: str
    id: str


@once(256)
def _points(steps: tuple[Step, ...]) -> tuple[str, ...]:
    return tuple(
        point.id for step in steps for key in POINT_LISTS for point in getattr(step, key) or ()
    )


@once(4)
def _ids(procedure: Procedure) -> dict[str, Counter[str]]:
    found = {key: Counter([e.id for e in getattr(procedure, key)]) for key in LISTS}
    sections = procedure.sections
    found["sections"] = Counter([section.id for section in sections])
    found["steps"] = Counter([step.id for section in sections for step in section.steps])
    found[POINTS] = Counter([name for section in sections for name in _points(section.steps)])
    return found


def ids_in(procedure: Procedure) -> Mapping[str, Counter[str]]:
    """Return how often each id is given to something, by the list it stands in.

    Sections and steps have lists of their own here; ``points`` is that of specs, critical
    points and criteria. What is returned is kept: it must not be changed.
    """
    return _ids(procedure)


def kind_of(path: Path) -> str | None:
    """Return the list of ids an entry at a path belongs to, or None if it has no id."""
    if len(path) == 2 and path[0] in (*LISTS, "sections"):
        return str(path[0])
    if len(path) == 4 and path[0] == "sections":
        return "steps"
    return POINTS if len(path) == 6 and path[4] in POINT_LISTS else None


@once(2_048)
def _uses(node: Node) -> dict[str, tuple[Use, ...]]:
    """Return the places below a node that name something, by what they name."""
    found: dict[str, list[Use]] = {}
    for use in _uses_below(node, ()):
        found.setdefault(use.id, []).append(use)
    return {name: tuple(uses) for name, uses in found.items()}


@once(256)
def _namers(entries: tuple[Node, ...]) -> dict[str, tuple[int, ...]]:
    """Return which entries of a list name something, by what they name."""
    found: dict[str, list[int]] = {}
    for index, entry in enumerate(entries):
        for name in _uses(entry):
            found.setdefault(name, []).append(index)
    return {name: tuple(indices) for name, indices in found.items()}


def _uses_below(node: Node, path: Path) -> Iterator[Use]:
    for field, key, target in _telling(type(node)):
        value = getattr(node, field)
        if value is None:
            continue
        here = (*path, key)
        if isinstance(value, Node):
            yield from _uses_below(value, here)
        elif isinstance(value, tuple):
            for index, entry in enumerate(value):
                if isinstance(entry, Node):
                    yield from _uses_below(entry, (*here, index))
                elif target is not None:
                    yield Use((*here, index), target, entry)
        elif target is not None:
            yield Use(here, target, value)


@cache
def _telling(model: type[Node]) -> tuple[tuple[str, str, str | None], ...]:
    """Return field, key and target of the fields of a block that name something, or hold such."""
    return tuple(
        (field, key_of(model, field), named_by(model, field))
        for field, about in model.model_fields.items()
        if named_by(model, field) or any(map(_telling, _models_in(about.annotation)))
    )


def _models_in(kind: Any) -> Iterator[type[Node]]:
    if isinstance(kind, type) and issubclass(kind, Node):
        yield kind
    for inner in get_args(kind):
        yield from _models_in(inner)


def uses_in(procedure: Procedure, wanted: Mapping[str, Collection[str]]) -> list[Use]:
    """Return the places that name any of some ids, in the order of the document.

    Args:
        procedure: the document.
        wanted: ids by the list they stand in.
    """
    every = {name for names in wanted.values() for name in names}
    found: list[Use] = []
    for path, entries in _owners(procedure):
        namers = _namers(entries)
        for index in sorted({index for name in every for index in namers.get(name, ())}):
            uses = _uses(entries[index])
            found += [
                Use((*path, index, *use.path), use.target, use.id)
                for name in sorted(every & uses.keys())
                for use in uses[name]
                if use.target == ANYTHING or name in wanted.get(use.target, ())
            ]
    return found


def all_uses(procedure: Procedure) -> Iterator[Use]:
    """Yield every place that names something; paths begin at the entry or step it is in."""
    for _, entries in _owners(procedure):
        for entry in entries:
            for uses in _uses(entry).values():
                yield from uses


def _owners(procedure: Procedure) -> Iterator[tuple[Path, tuple[Node, ...]]]:
    """Yield the lists of the front matter and the steps of each section."""
    for key in (*LISTS, "concessions"):
        yield (key,), getattr(procedure, key)
    for index, section in enumerate(procedure.sections):
        yield ("sections", index, "steps"), section.steps


def owner_of(path: Path) -> Path:
    """Return the path of the step or the entry of the front matter that a path leads into."""
    return path[:4] if path[0] == "sections" else path[:2]


def users_of(procedure: Procedure, kind: str, name: str) -> list[Use]:
    """Return the places that name one thing.

    A place that may name a thing of any kind counts only where no thing of another kind has
    the same id.

    Args:
        procedure: the document.
        kind: the list the thing stands in, as in ``ids_in``.
        name: its id.
    """
    others = any(name in names for key, names in ids_in(procedure).items() if key != kind)
    found = uses_in(procedure, {kind: {name}})
    return [use for use in found if use.target != ANYTHING or not others]


def guard(before: Procedure, after: Procedure) -> None:
    """Refuse a change that gives an id twice or takes one away that is still named.

    What was wrong before is no reason to refuse.

    Raises:
        InputError: naming the id, and those that use it.
    """
    if before is after:
        return
    refuse_twice(before, after)
    had, has = ids_in(before), ids_in(after)
    lost = {key: had[key].keys() - has[key].keys() for key in had}
    if not any(lost.values()):
        return
    left = {name for names in has.values() for name in names}
    uses = [u for u in uses_in(after, lost) if u.target != ANYTHING or u.id not in left]
    if uses:
        raise _in_use(before, after, uses)


def refuse_twice(before: Procedure, after: Procedure) -> None:
    """Refuse a change that gives an id twice.

    Raises:
        InputError: naming the id.
    """
    has = ids_in(after)
    once_each = all(len(names) == names.total() for names in has.values())
    if once_each and has["steps"].keys().isdisjoint(has["sections"]):
        return
    had = ids_in(before)
    groups = {key: (had[key], has[key]) for key in has if key not in {"steps", "sections"}}
    # Steps and sections share their names.
    groups["steps"] = had["steps"] + had["sections"], has["steps"] + has["sections"]
    for old, new in groups.values():
        if len(new) == new.total():
            continue
        for name, count in new.items():
            if count > max(1, old[name]):
                raise InputError(f"the id '{name}' is given already", remedy="Choose another id")


def _in_use(before: Procedure, after: Procedure, uses: list[Use]) -> InputError:
    names = list(dict.fromkeys(f"'{use.id}'" for use in uses))
    # They are told as the reader sees them: before the change.
    owners = dict.fromkeys(owner_of(use.path) for use in uses)
    users = [_called(before, after, owner) for owner in owners]
    shown = users if len(users) <= 6 else [*users[:5], f"{len(users) - 5} more"]
    verb = "is" if len(names) == 1 else "are"
    return InputError(
        f"{joined(names[:5])} {verb} still named by {joined(shown)}",
        remedy="Change that first, so that nothing names what is not there",
    )


def _called(before: Procedure, after: Procedure, path: Path) -> str:
    address = address_of(after, path)
    return name_of(before, path_of(before, address) if exists(before, address) else path)


def taken_with(ids: Mapping[str, Counter[str]], kind: str) -> set[str]:
    """Return the ids that a new thing of a kind may not have."""
    if kind in {"steps", "sections"}:
        return {*ids["steps"], *ids["sections"]}
    return set(ids[kind])
