"""Brings two changed versions of one document together, where they changed different things."""

from __future__ import annotations

import json
from collections.abc import Callable, Hashable, Sequence
from dataclasses import dataclass
from typing import Any, Literal

from author.editing.addresses import Address, path_of
from author.editing.ids import all_uses, ids_in
from author.editing.merging_order import NoOrder, merged_order, order_of_one
from author.editing.merging_work import Work
from author.editing.patches import difference, patched, plain_value
from author.editing.replacing import validated
from author.editing.words import name_of
from author.errors import InputError
from author.procedure.document import Procedure
from author.procedure.references import ANYTHING
from author.procedure.values import Node

Side = Literal["mine", "theirs"]


@dataclass(frozen=True, slots=True)
class Conflict:
    """A place that both versions have changed, each in its own way.

    Attributes:
        place: its address.
        what: the place in words.
        base: what stood there before, as plain values; None where nothing did.
        mine: what stands there in the open document.
        theirs: what stands there in the file.
    """

    place: Address
    what: str
    base: Any
    mine: Any
    theirs: Any

    def __str__(self) -> str:
        """Return the conflict as one sentence."""
        if self.mine is None and self.theirs is None:
            return self.what
        return f"{self.what}: here {_shown(self.mine)}, in the file {_shown(self.theirs)}"


def _shown(value: Any) -> str:
    if value is None:
        return "nothing"
    text = value if isinstance(value, str) else json.dumps(value, ensure_ascii=False)
    return f"'{text}'" if len(text) <= 80 else f"'{text[:79]}…'"


@dataclass(frozen=True, slots=True)
class Merge:
    """What comes of two versions.

    Attributes:
        procedure: both together; None if there is a conflict.
        conflicts: what both have changed.
        theirs: the file's version, sharing with the base what is the same; None if the
            file is no procedure.
    """

    procedure: Procedure | None
    conflicts: tuple[Conflict, ...] = ()
    theirs: Procedure | None = None


def merge(base: Procedure, mine: Procedure, theirs: Procedure, prefer: Side | None = None) -> Merge:
    """Bring two versions of a document together by the ids of what is in it.

    What only one of them has changed is taken from that one; lists are brought together
    entry by entry; a step is the same one wherever it has been moved.

    Args:
        base: what both were made of.
        mine: the open document.
        theirs: the file.
        prefer: whose word counts where both have changed the same; None to be told.
    """
    theirs = sharing(base, theirs)
    merger = Merger(base, mine, theirs, prefer)
    try:
        found = merger.whole()
    except InputError as error:
        merger.conflicts.append(Conflict((), error.problem, None, None, None))
        found = None
    if merger.conflicts and (prefer is None or found is None):
        return Merge(None, tuple(merger.conflicts), theirs)
    return Merge(found, tuple(merger.conflicts), theirs)


def sharing(base: Procedure, other: Procedure) -> Procedure:
    """Return a document in which all that is as in another is the identical object."""
    return patched(base, difference(base, other))


class Merger:
    """One merge under way.

    Attributes:
        docs: base, mine and theirs.
        prefer: whose word counts where both have changed the same.
        conflicts: what both have changed.
    """

    def __init__(
        self, base: Procedure, mine: Procedure, theirs: Procedure, prefer: Side | None
    ) -> None:
        self.docs = (base, mine, theirs)
        self.prefer = prefer
        self.conflicts: list[Conflict] = []

    def whole(self) -> Procedure:
        """Return both versions together."""
        base, mine, theirs = self.docs
        found: Procedure = self.block(base, mine, theirs, (), leave=("sections",))
        found = found.model_copy(update={"sections": self.work().merged()})
        self._check_names(found)
        return found

    def work(self) -> Work:
        """Return what merges the sections and their steps."""
        return Work(self)

    def conflict(self, place: Address, base: Any, mine: Any, theirs: Any) -> Any:
        """Note a conflict and return what stands for now."""
        plain = [None if v is None else plain_value(v) for v in (base, mine, theirs)]
        self.conflicts.append(Conflict(place, self._words(place), *plain))
        return theirs if self.prefer == "theirs" else mine

    def tell(self, place: Address, what: str) -> None:
        """Note something that cannot be as both versions have it."""
        self.conflicts.append(Conflict(place, what, None, None, None))

    def same(self, one: Any, other: Any) -> bool:
        """Whether two values are the same to the last digit."""
        return one is other or bool(one == other and plain_value(one) == plain_value(other))

    def _words(self, place: Address) -> str:
        base, mine, theirs = self.docs
        for doc in (mine, base, theirs):
            try:
                return name_of(doc, path_of(doc, place))
            except InputError:
                continue
        return " ".join(str(part) for part in place) or "the procedure"

    def block(
        self, base: Any, mine: Any, theirs: Any, place: Address, leave: Sequence[str] = ()
    ) -> Any:
        """Return a block as both have it, but for the fields left out."""
        update: dict[str, Any] = {}
        for field, about in type(mine).model_fields.items():
            if field in leave:
                continue
            was, kept, others = (getattr(node, field) for node in (base, mine, theirs))
            found = self.value(was, kept, others, (*place, about.alias or field))
            if found is not kept:
                update[field] = validated(type(mine), field, found, (*place, field))
        return mine.model_copy(update=update) if update else mine

    def value(self, base: Any, mine: Any, theirs: Any, place: Address) -> Any:
        """Return a value as both have it, or note a conflict."""
        if self.same(mine, theirs) or self.same(base, theirs):
            return mine
        if self.same(base, mine):
            return theirs
        three = (base, mine, theirs)
        if all(isinstance(v, Node) for v in three) and type(mine) is type(theirs):
            return self.block(base, mine, theirs, place)
        lists = tuple(() if v is None else v for v in three)
        if all(isinstance(v, tuple) for v in lists):
            found = self._list(lists, place)
            if found is not None:
                return found
        return self.conflict(place, base, mine, theirs)

    def _list(self, lists: tuple[tuple[Any, ...], ...], place: Address) -> tuple[Any, ...] | None:
        base, mine, theirs = lists
        entries = [entry for values in lists for entry in values]
        if all(hasattr(entry, "id") for entry in entries):
            return self._by_key(lists, lambda entry: str(entry.id), place)
        nodes = all(isinstance(entry, Node) for entry in entries)
        if nodes and len(base) == len(mine) == len(theirs):
            three = enumerate(zip(base, mine, theirs, strict=True))
            return tuple(self.value(b, m, t, (*place, index)) for index, (b, m, t) in three)
        if all(isinstance(entry, Node | str) for entry in entries) and _grown(base, mine, theirs):
            return self._by_key(lists, _content, place)
        return None

    def _by_key(
        self,
        lists: tuple[tuple[Any, ...], ...],
        key: Callable[[Any], Hashable],
        place: Address,
    ) -> tuple[Any, ...] | None:
        keyed = [{key(entry): entry for entry in values} for values in lists]
        if any(len(keys) != len(values) for keys, values in zip(keyed, lists, strict=True)):
            return None
        found: dict[Hashable, Any] = {}
        for name in dict.fromkeys(name for keys in keyed for name in keys):
            base, mine, theirs = (keys.get(name) for keys in keyed)
            entry = self.value(base, mine, theirs, (*place, str(name)))
            if entry is not None:
                found[name] = entry
        try:
            order = merged_order([list(keys) for keys in keyed], found)
        except NoOrder:
            self.conflict(place, *lists)
            sides = keyed[1:] if self.prefer != "theirs" else (keyed[2], keyed[1])
            order = order_of_one(list(sides[0]), list(sides[1]), found)
        return tuple(found[name] for name in order)

    def _check_names(self, found: Procedure) -> None:
        """Refuse a merge in which something names what the other side has taken out."""
        _, mine, theirs = self.docs
        allowed = {*_unknown(mine), *_unknown(theirs)}
        for target, name in sorted(_unknown(found) - allowed):
            self.tell((), f"'{name}' is still named and no longer among the {target}")
        for key, names in ids_in(found).items():
            had = [ids_in(doc)[key] for doc in (mine, theirs)]
            for name, count in names.items():
                if count > max(1, *(counts[name] for counts in had)):
                    self.tell((), f"the id '{name}' would be given twice")


def _content(entry: Any) -> Hashable:
    return json.dumps(plain_value(entry), sort_keys=True)


def _grown(base: tuple[Any, ...], mine: tuple[Any, ...], theirs: tuple[Any, ...]) -> bool:
    """Whether each side has only added entries, or only taken some out, or moved them."""
    keys = [{_content(entry) for entry in values} for values in (base, mine, theirs)]
    return all(not (side - keys[0]) or not (keys[0] - side) for side in keys[1:])


def _unknown(procedure: Procedure) -> set[tuple[str, str]]:
    """Return what is named and not there, by the list it would stand in."""
    ids = ids_in(procedure)
    everything = set().union(*ids.values())
    return {
        (use.target, use.id)
        for use in all_uses(procedure)
        if use.id not in (everything if use.target == ANYTHING else ids[use.target])
    }
