"""Who a library knows, and as what: by its keys, by ``library.yaml`` and by its accounts."""

from __future__ import annotations

import os
from collections.abc import Sequence
from dataclasses import dataclass, field

from author.errors import InputError
from author.library.shop import Shop
from author.library.signing.accounts import Account, accounts_file, read_accounts
from author.library.signing.people import read_keyring
from author.procedure.review import same_name

KEEPER = "keeper"
ANSWERING = frozenset({"author", "reviewer", KEEPER})
"""Roles whose people answer questions from the work."""
NOBODY_KNOWN = "The library knows nobody yet: names and roles are taken as they are stated"


@dataclass(frozen=True, slots=True)
class Person:
    """Somebody the library knows.

    Attributes:
        name: as the library has it.
        roles: what they may do in it.
        trades: what they are in the shop, as procedures name it.
    """

    name: str
    roles: frozenset[str]
    trades: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class KnownPeople:
    """The people of a library.

    Attributes:
        by_name: people by what the spellings of their name share.
        any: whether the library knows its people: it has keys, accounts or a keeper. Else a
            name says nothing.
        unread: whether there are accounts that whoever asks may not read.
    """

    by_name: dict[str, Person] = field(default_factory=dict)
    any: bool = False
    unread: bool = False

    def of(self, name: str) -> Person | None:
        """Return who has a name, however its letters are set; None if nobody has."""
        return self.by_name.get(_folded(name))

    def known(self, name: str) -> Person:
        """Return who has a name.

        Raises:
            InputError: if the library does not know it.
        """
        found = self.of(name)
        if found is None:
            said = "; its accounts can be read by their owner alone" if self.unread else ""
            raise InputError(
                f"the library does not know '{name[:60]}'{said}",
                remedy="Give the name it knows, or let a keeper add it with 'reelwright library "
                "account add'",
            )
        return found

    def strange(self, names: Sequence[str]) -> tuple[str, ...]:
        """Return those of some names that the library does not know, each once.

        None where it knows nobody, or where it may know them by accounts that cannot be read.
        """
        if not self.any or self.unread:
            return ()
        return tuple(dict.fromkeys(name for name in names if self.of(name) is None))


def people_of(shop: Shop) -> KnownPeople:
    """Return the people of a library.

    Keys count by the library's history, not by what ``library.yaml`` shows of them. Accounts
    that are shut count for nothing.

    Raises:
        InputError: if its history or its accounts are damaged.
        MachineError: if they cannot be read.
    """
    keyring = read_keyring(shop.folder)
    keyed = bool(keyring.history.entries)
    accounts, unread = _accounts(shop)
    found: dict[str, Person] = {}

    def add(name: str, roles: Sequence[str], trades: Sequence[str] = ()) -> None:
        before = found.get(_folded(name), Person(name, frozenset()))
        found[_folded(name)] = Person(
            before.name,
            before.roles | frozenset(roles),
            tuple(dict.fromkeys([*before.trades, *trades])),
        )

    for holder in keyring.now.values():
        add(holder.name, holder.roles)
    for member in shop.sheet.people:
        if member.key is None or not keyed:
            add(member.name, member.roles)
    for account in accounts:
        if not account.disabled:
            add(account.name, account.roles, account.trades)
    keeper = any(KEEPER in one.roles for one in found.values())
    return KnownPeople(found, keyed or keeper or unread or bool(accounts), unread)


def _accounts(shop: Shop) -> tuple[tuple[Account, ...], bool]:
    """Return the accounts, and whether there are some that another user keeps to himself."""
    try:
        return read_accounts(shop.folder).people, False
    except InputError:
        file = accounts_file(shop.folder)
        if os.access(file.parent, os.X_OK) and os.access(file, os.R_OK):
            raise
        return (), True


def _folded(name: str) -> str:
    return same_name(name) or name
