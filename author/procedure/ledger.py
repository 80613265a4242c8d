"""The ledger: where the pieces of every part are, as the movements of a job go by.

A piece is on the machine (or in its assembly), in hand, or gone. An assembly carries its
contents: they stay in it when it comes off, are lost with it, and come with a new one that
is supplied complete. Where the places of a part are named, each is kept account of.
Stacks are piles: what lies further in cannot move before what lies further out.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from typing import Literal

from author.procedure.document import Procedure
from author.procedure.lists import LeftOff
from author.procedure.steps import Movement

Path = tuple[str | int, ...]
EntryKind = Literal[
    "too_many_off", "too_many_scrapped", "not_removed", "fitted_twice", "scrap_refitted", "place",
    "stack_order", "not_left_off", "left_in_hand", "left_scrapped",
]  # fmt: skip


@dataclass(frozen=True, slots=True)
class Account:
    """Where the pieces of one part are.

    Attributes:
        on: fitted to the machine, or in an assembly.
        in_hand: taken off and kept.
        gone: taken off and scrapped, not yet made good.
        empty: the named places that are empty; None where some are and nobody said which.
        last_off: path of what took the last one off, empty if nothing has yet.
    """

    on: int
    in_hand: int = 0
    gone: int = 0
    empty: frozenset[str] | None = frozenset()
    last_off: Path = field(default=(), compare=False)


@dataclass(frozen=True, slots=True)
class Entry:
    """Something that cannot be accounted for.

    Attributes:
        kind: what is wrong.
        part: id of the part.
        path: the place in the document.
        count: how many pieces it is about.
        there: how many there were to move.
        name: the stack or the places it is about, where there is one.
    """

    kind: EntryKind
    part: str
    path: Path
    count: int = 0
    there: int = 0
    name: str = ""


@dataclass(slots=True)
class Ledger:
    """The state of the account at one moment of one way through the job.

    Attributes:
        accounts: where the pieces are, by the part's id.
        piles: pieces on, place by place from the inside, by the stack's index.
        entries: what could not be accounted for so far.
    """

    accounts: dict[str, Account]
    piles: dict[int, tuple[int, ...]]
    entries: frozenset[Entry] = frozenset()

    def copy(self) -> Ledger:
        """Return a copy that can go its own way."""
        return Ledger(dict(self.accounts), dict(self.piles), self.entries)

    def key(self) -> tuple[object, ...]:
        """Return a value that is equal where two ways have come to the same state."""
        # Flat, as many of these are kept; parts and stacks always stand in one order.
        accounts = (v for a in self.accounts.values() for v in (a.on, a.in_hand, a.gone, a.empty))
        return (*accounts, *self.piles.values(), self.entries)


class Bookkeeper:
    """Posts movements to a ledger, by the lists of a procedure.

    Args:
        procedure: the document. Parts that are not listed are passed over.
    """

    def __init__(self, procedure: Procedure) -> None:
        self._procedure = procedure
        self._parts = {part.id: part for part in reversed(procedure.parts)}
        self._rooms = [self._room(stack.inside_out) for stack in procedure.stacks]

    def opening(self) -> Ledger:
        """Return the ledger before the first step: all on, but for what is handed over."""
        book = Ledger(
            accounts={name: Account(part.quantity) for name, part in self._parts.items()},
            piles=dict(enumerate(self._rooms)),
        )
        for index, before in enumerate(self._procedure.prerequisites):
            for number, left in enumerate(before.hands_over or ()):
                path = ("prerequisites", index, "hands_over", number)
                self._comes_off(book, _as_removal(left), path)
        return book

    def post(self, book: Ledger, movement: Movement, path: Path) -> None:
        """Post one movement; ``book`` is changed."""
        if movement.part not in self._parts:
            return
        if movement.act in {"removes", "destroys"}:
            self._comes_off(book, movement, path)
        elif movement.act == "discards":
            self._is_scrapped(book, movement, path)
        else:
            self._goes_on(book, movement, path)

    def close(self, book: Ledger) -> None:
        """Post what close-outs discharge, and note what is left; ``book`` is changed."""
        for index, after in enumerate(self._procedure.close_outs):
            for number, left in enumerate(after.discharges or ()):
                self._discharge(book, left, ("close_outs", index, "discharges", number))
        for name, account in book.accounts.items():
            places = ", ".join(sorted(account.empty or ()))
            if account.in_hand:
                _note(book, "left_in_hand", name, account.last_off, account.in_hand, name=places)
            if account.gone:
                _note(book, "left_scrapped", name, account.last_off, account.gone, name=places)

    def _comes_off(self, book: Ledger, movement: Movement, path: Path) -> None:
        name, account = movement.part, book.accounts.get(movement.part)
        if account is None:
            return
        if movement.quantity > account.on:
            _note(book, "too_many_off", name, path, movement.quantity, account.on)
        count = min(movement.quantity, account.on)
        kept = movement.act == "removes"
        book.accounts[name] = replace(
            account,
            on=account.on - count,
            in_hand=account.in_hand + (count if kept else 0),
            gone=account.gone + (0 if kept else count),
            empty=self._emptied(book, movement, path),
            last_off=path,
        )
        self._pile_moves(book, movement, path, off=True)
        if not kept:
            self._lose_contents(book, name, count, path)

    def _is_scrapped(self, book: Ledger, movement: Movement, path: Path) -> None:
        name, account = movement.part, book.accounts[movement.part]
        if movement.quantity > account.in_hand:
            _note(book, "too_many_scrapped", name, path, movement.quantity, account.in_hand)
        count = min(movement.quantity, account.in_hand)
        book.accounts[name] = replace(
            account, in_hand=account.in_hand - count, gone=account.gone + count
        )
        self._lose_contents(book, name, count, path)

    def _goes_on(self, book: Ledger, movement: Movement, path: Path) -> None:
        name, account = movement.part, book.accounts[movement.part]
        new = movement.act == "replaces"
        # A new one takes the place of one that was scrapped, or of one still in hand,
        # which is then left over and needs no way back.
        available = account.in_hand + (account.gone if new else 0)
        if movement.quantity > available:
            _note(book, _why_none(account, new=new), name, path, movement.quantity, available)
        count = min(movement.quantity, available)
        from_gone = min(count, account.gone) if new else 0
        book.accounts[name] = replace(
            account,
            on=account.on + count,
            in_hand=account.in_hand - (count - from_gone),
            gone=account.gone - from_gone,
            empty=self._filled(book, movement, path),
        )
        self._pile_moves(book, movement, path, off=False)
        if new:
            self._lose_contents(book, name, count - from_gone, path)
            if self._parts[name].supplied == "complete":
                self._bring_contents(book, name, count)

    # --- assemblies ---

    def _contents(self, name: str) -> Iterator[tuple[str, int]]:
        for content in self._parts[name].contains or ():
            if content.part in self._parts and content.part != name:
                yield content.part, content.quantity

    def _lose_contents(
        self, book: Ledger, name: str, count: int, path: Path, depth: int = 0
    ) -> None:
        """Scrap what sits in ``count`` pieces of an assembly."""
        if not count or depth > len(self._parts):
            return
        for inner, each in self._contents(name):
            account = book.accounts[inner]
            lost = min(account.on, count * each)
            if lost:
                # From which of its places they are lost is known where all are.
                all_lost = lost == account.on
                book.accounts[inner] = replace(
                    account,
                    on=account.on - lost,
                    gone=account.gone + lost,
                    empty=self._all_places(inner) if all_lost else self._some_places(inner),
                    last_off=path,
                )
                self._shift(book, inner, lost, off=True)
                self._lose_contents(book, inner, lost, path, depth + 1)

    def _bring_contents(self, book: Ledger, name: str, count: int, depth: int = 0) -> None:
        """Put in what comes with ``count`` new pieces of an assembly."""
        if not count or depth > len(self._parts):
            return
        for inner, each in self._contents(name):
            account = book.accounts[inner]
            came = min(count * each, account.gone + account.in_hand)
            from_gone = min(came, account.gone)
            all_came = came == account.gone + account.in_hand
            book.accounts[inner] = replace(
                account,
                on=account.on + came,
                gone=account.gone - from_gone,
                in_hand=account.in_hand - (came - from_gone),
                empty=frozenset() if all_came else self._some_places(inner),
            )
            self._shift(book, inner, came, off=False)
            self._bring_contents(book, inner, came, depth + 1)

    # --- named places ---

    def _all_places(self, name: str) -> frozenset[str]:
        return frozenset(self._parts[name].places or ())

    def _some_places(self, name: str) -> frozenset[str] | None:
        """Return what is known of the empty places where nobody says which they are."""
        return None if self._parts[name].places else frozenset()

    def _emptied(self, book: Ledger, movement: Movement, path: Path) -> frozenset[str] | None:
        name, account = movement.part, book.accounts[movement.part]
        known, said = self._all_places(name), frozenset(movement.places or ())
        if account.empty is not None and said & account.empty:
            _note(book, "place", name, path, name=", ".join(sorted(said & account.empty)))
        if movement.quantity >= account.on:
            return known
        if account.empty is None or not said:
            return self._some_places(name)
        return account.empty | (known & said)

    def _filled(self, book: Ledger, movement: Movement, path: Path) -> frozenset[str] | None:
        name, account = movement.part, book.accounts[movement.part]
        known, said = self._all_places(name), frozenset(movement.places or ())
        if account.empty is not None and (said & known) - account.empty:
            taken = sorted((said & known) - account.empty)
            _note(book, "place", name, path, name=", ".join(taken))
        if movement.quantity >= account.in_hand + account.gone:
            return frozenset()
        if account.empty is None or not said:
            return self._some_places(name)
        return account.empty - said

    # --- stacks ---

    def _room(self, parts: tuple[str, ...]) -> tuple[int, ...]:
        """Return how many pieces each place of a stack holds, from the inside.

        A part that is listed more than once has a piece at each of its places, the rest
        of its quantity at the innermost.
        """
        room = [1] * len(parts)
        for name, count in Counter(parts).items():
            whole = self._parts[name].quantity if name in self._parts else 1
            room[parts.index(name)] += max(0, whole - count)
        return tuple(room)

    def _pile_moves(self, book: Ledger, movement: Movement, path: Path, *, off: bool) -> None:
        for index in self._shift(book, movement.part, movement.quantity, off=off):
            stack = self._procedure.stacks[index].id
            _note(book, "stack_order", movement.part, path, movement.quantity, name=stack)

    def _shift(self, book: Ledger, part: str, count: int, *, off: bool) -> list[int]:
        """Move pieces of a part in its stacks; return the stacks whose order that breaks."""
        broken = []
        for index, stack in enumerate(self._procedure.stacks):
            if part not in stack.inside_out:
                continue
            on, room = list(book.piles[index]), self._rooms[index]
            here = [i for i, name in enumerate(stack.inside_out) if name == part]
            orderly = [_move(on, room, here, off=off) for _ in range(count)]
            book.piles[index] = tuple(on)
            if not all(orderly):
                broken.append(index)
        return broken

    def _discharge(self, book: Ledger, left: LeftOff, path: Path) -> None:
        account = book.accounts.get(left.part)
        if account is None:
            return
        kept = left.state == "kept"
        there = account.in_hand if kept else account.gone
        if left.quantity > there:
            _note(book, "not_left_off", left.part, path, left.quantity, there)
        count = min(left.quantity, there)
        empty = None if account.empty is None else account.empty - set(left.places or ())
        book.accounts[left.part] = replace(
            account,
            in_hand=account.in_hand - (count if kept else 0),
            gone=account.gone - (0 if kept else count),
            empty=empty,
        )
        if not kept and self._parts[left.part].supplied == "complete":
            self._bring_contents(book, left.part, count)


def _move(on: list[int], room: tuple[int, ...], here: list[int], *, off: bool) -> bool:
    """Take the outermost piece of a part off, or put one at its innermost free place.

    Returns:
        Whether nothing that lies further out was on. A piece that is not there, or has
        no place, moves nothing: another entry tells of it.
    """
    if off:
        place = next((i for i in reversed(here) if on[i]), None)
    else:
        place = next((i for i in here if on[i] < room[i]), None)
    if place is None:
        return True
    on[place] += -1 if off else 1
    return not any(on[place + 1 :])


def _why_none(account: Account, *, new: bool) -> EntryKind:
    """Return what is wrong with a piece that goes on and is not there to."""
    if account.gone and not new:
        return "scrap_refitted"
    # What is all back already goes on twice.
    return "fitted_twice" if account.last_off and not account.in_hand else "not_removed"


def _note(
    book: Ledger, kind: EntryKind, part: str, path: Path, count: int = 0, there: int = 0,
    name: str = "",
) -> None:  # fmt: skip
    book.entries |= {Entry(kind, part, path, count, there, name)}


def _as_removal(left: LeftOff) -> Movement:
    act: Literal["removes", "destroys"] = "removes" if left.state == "kept" else "destroys"
    return Movement(act=act, part=left.part, quantity=left.quantity, places=left.places)
