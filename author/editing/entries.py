"""Commands for any value and any list: set, add, remove, move, rename."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from author.checks.naming import new_id
from author.editing.addresses import Address, Path, address_of, path_of, value_at
from author.editing.commands import Command, Outcome
from author.editing.ids import guard, ids_in, kind_of, refuse_twice, taken_with, users_of
from author.editing.replacing import put, replaced, with_values
from author.editing.words import name_of
from author.errors import InputError
from author.procedure.document import Procedure
from author.procedure.values import Node


@dataclass(frozen=True, slots=True)
class SetField(Command):
    """Give a value to a field, a block, or a whole entry of a list.

    Attributes:
        at: address of the value; its last part may be a key that is absent. An ``id`` is
            renamed wherever it is named.
        value: as for ``replaced``: None takes an optional value out.
    """

    at: Address
    value: Any

    def outcome(self, procedure: Procedure) -> Outcome:
        """Return what the command makes of a document."""
        path = path_of(procedure, self.at)
        if path[-1:] == ("id",) and kind_of(path[:-1]) is not None:
            return Rename(path[:-1], self.value).outcome(procedure)
        old = value_at(procedure, path)
        new = put(procedure, path, self.value, ())
        if isinstance(old, Node | tuple) or isinstance(self.value, Node | Mapping | list | tuple):
            guard(procedure, new)
        owner = path if isinstance(old, Node) or isinstance(path[-1], int) else path[:-1]
        was = address_of(procedure, owner)
        # An entry that was put in the place of another may have another id.
        now = address_of(new, owner)
        return Outcome(new, _set_label(procedure, path, old, self.value), was, now)


_ONE = {"people": "role", "supplies": "supply", "criteria": "criterion"}
"""What one entry of a list is called, where that is not the list's key without its s."""
_QUESTIONS = ("how ", "what ", "where ", "who ", "why ")


def _set_label(procedure: Procedure, path: Path, old: Any, value: Any) -> str:
    thing = name_of(procedure, path)
    if isinstance(path[-1], int):
        return f"Remove {thing}" if value is None else f"Change {thing}"
    the = "" if thing.startswith(_QUESTIONS) else "the "
    if value is None and old is not None:
        return f"Take {the}{thing} out"
    return f"{'Add' if old is None or old == () else 'Change'} {the}{thing}"


@dataclass(frozen=True, slots=True)
class AddEntry(Command):
    """Add an entry to a list.

    Attributes:
        into: address of the list; it may be absent.
        entry: a node, what the file would have there as a dictionary, or an id or line for
            a list of those. A dictionary without an id is given one from its words.
        before: id or index of the entry to stand before; None puts it last.
    """

    into: Address
    entry: Any
    before: str | int | None = None

    def outcome(self, procedure: Procedure) -> Outcome:
        """Return what the command makes of a document.

        Raises:
            InputError: if the address is of no list, or the entry breaks a rule of the document.
        """
        path = path_of(procedure, self.into)
        entries = value_at(procedure, path) or ()
        if not isinstance(entries, tuple):
            raise InputError("this is no list", remedy="Name a list to add to")
        at = _place(procedure, path, entries, self.before)
        entry = self._with_id(procedure, path, at)
        new = put(procedure, path, (*entries[:at], entry, *entries[at:]), ())
        guard(procedure, new)
        here = (*path, at)
        label = f"Add {name_of(new, here)}"
        holder = path if entries else path[:-1]
        return Outcome(new, label, address_of(procedure, holder), address_of(new, here))

    def _with_id(self, procedure: Procedure, path: Path, at: int) -> Any:
        kind = kind_of((*path, at))
        if kind is None or not isinstance(self.entry, Mapping) or "id" in self.entry:
            return self.entry
        keys = ("name", "title", "characteristic", "what", "look_for", "role", "file", "action")
        words = next((str(self.entry[key]) for key in keys if self.entry.get(key)), "")
        return {"id": _id_of(procedure, path, kind, words), **self.entry}


def entry_id(procedure: Procedure, into: Address, words: str = "", own: str = "") -> str:
    """Return an id that an entry of a list may have.

    Args:
        procedure: the document.
        into: address of a list whose entries have ids; it may be absent.
        words: what the id is made from; without them it says only what sort of thing it is.
        own: the id the entry has so far, which it may keep.

    Raises:
        InputError: if the address is of no list whose entries have ids.
    """
    path = path_of(procedure, into)
    kind = kind_of((*path, 0))
    if kind is None:
        raise InputError("entries of this list have no id", remedy="Name another list")
    return _id_of(procedure, path, kind, words, own)


def _id_of(procedure: Procedure, path: Path, kind: str, words: str, own: str = "") -> str:
    key = str(path[-1])
    fallback = _ONE.get(key, key.removesuffix("s").replace("_", "-"))
    return new_id(words, taken_with(ids_in(procedure), kind) - {own}, fallback)


@dataclass(frozen=True, slots=True)
class RemoveEntry(Command):
    """Remove an entry of a list; refused while something still names it.

    Attributes:
        at: address of the entry.
    """

    at: Address

    def outcome(self, procedure: Procedure) -> Outcome:
        """Return what the command makes of a document."""
        path = _entry_path(procedure, self.at)
        new = put(procedure, path, None, ())
        guard(procedure, new)
        left = value_at(new, path[:-1]) or ()
        beside = min(int(path[-1]), len(left) - 1)
        now = (*path[:-1], beside) if left else path[:-2]
        return Outcome(
            new,
            f"Remove {name_of(procedure, path)}",
            address_of(procedure, path),
            address_of(new, now),
        )


@dataclass(frozen=True, slots=True)
class MoveEntry(Command):
    """Move an entry within its list.

    Attributes:
        at: address of the entry.
        before: id or index, as the list is now, of the entry to stand before; None puts
            it last.
    """

    at: Address
    before: str | int | None = None

    def outcome(self, procedure: Procedure) -> Outcome:
        """Return what the command makes of a document."""
        path = _entry_path(procedure, self.at)
        holder = path[:-1]
        entries = value_at(procedure, holder)
        index = int(path[-1])
        to = _place(procedure, holder, entries, self.before)
        to -= to > index
        left = [*entries[:index], *entries[index + 1 :]]
        left.insert(to, entries[index])
        new = procedure if to == index else put(procedure, holder, tuple(left), ())
        name = name_of(procedure, path)
        if to + 1 < len(left):
            label = f"Move {name} before {_short_name(new, (*holder, to + 1))}"
        else:
            label = f"Move {name} to the end"
        here = address_of(new, (*holder, to))
        return Outcome(new, label, address_of(procedure, path), here)


def _short_name(procedure: Procedure, path: Path) -> str:
    return name_of(procedure, path).split(" of step ")[0]


@dataclass(frozen=True, slots=True)
class Rename(Command):
    """Give a thing another id, and follow it wherever it is named.

    Attributes:
        at: address of the thing that has the id.
        new: the new id.
    """

    at: Address
    new: str

    def outcome(self, procedure: Procedure) -> Outcome:
        """Return what the command makes of a document.

        Raises:
            InputError: if the thing has no id of its own, or the new one is no id or taken.
        """
        path = path_of(procedure, self.at)
        kind, thing = kind_of(path), value_at(procedure, path)
        if kind is None:
            raise InputError("this has no id of its own", remedy="Name a thing that has one")
        old = thing.id
        new = replaced(procedure, (*path, "id"), self.new)
        if value_at(new, (*path, "id")) != old:
            if ids_in(procedure)[kind][old] == 1:
                uses = users_of(procedure, kind, old)
                new = with_values(new, [use.path for use in uses], self.new)
            refuse_twice(procedure, new)
        else:
            new = procedure
        label = f"Rename {name_of(procedure, path)} to {self.new}"
        return Outcome(new, label, address_of(procedure, path), address_of(new, path))


def _entry_path(procedure: Procedure, address: Address) -> Path:
    path = path_of(procedure, address)
    if not path or not isinstance(path[-1], int):
        raise InputError("this is no entry of a list", remedy="Name an entry")
    return path


def _place(
    procedure: Procedure, holder: Path, entries: tuple[Any, ...], before: str | int | None
) -> int:
    """Return the index at which something stands before an entry, or last."""
    if before is None or (isinstance(before, int) and before >= len(entries)):
        return len(entries)
    return int(path_of(procedure, (*holder, before))[-1])
