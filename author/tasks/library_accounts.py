"""Accounts of a library: who may come in by the server."""

from __future__ import annotations

from pathlib import Path

from author.errors import InputError
from author.library.shop import Role, open_shop
from author.library.signing import accounts
from author.library.signing.accounts import Account

SHORTEST = accounts.SHORTEST


def list_accounts(folder: Path) -> tuple[Account, ...]:
    """Return the accounts of a library, in the order they were added.

    Raises:
        InputError: if there is no library, or its accounts cannot be read.
        MachineError: if the machine fails.
    """
    return accounts.read_accounts(open_shop(folder).folder).people


def add_account(
    folder: Path,
    name: str,
    roles: tuple[Role, ...],
    password: str,
    trades: tuple[str, ...] = (),
) -> Account:
    """Add an account.

    Raises:
        InputError: if the name is taken, name or password is no use, it is the first and no
            keeper, or the library cannot be written.
        MachineError: if the machine fails.
    """
    return accounts.add(open_shop(folder), name, roles, password, trades)


def give_password(folder: Path, name: str, password: str) -> Account:
    """Give an account a new password; its owner is signed out everywhere.

    Raises:
        InputError, MachineError: as ``add_account`` does.
    """
    return accounts.set_password(open_shop(folder), name, password)


def change_account(
    folder: Path,
    name: str,
    *,
    roles: tuple[Role, ...] | None = None,
    trades: tuple[str, ...] | None = None,
) -> Account:
    """Give an account other roles, other trades in the words of procedures, or both in one step.

    Args:
        folder: the library's folder.
        name: whose account.
        roles: its roles from now on; those it has, if None.
        trades: what its owner is in the shop; as it is, if None.

    Raises:
        InputError: if there is no such account, nobody would keep the library any more, or a
            trade is no line.
        MachineError: if the machine fails.
    """
    return accounts.change(open_shop(folder), name, roles=roles, trades=trades)


def shut_account(folder: Path, name: str, *, shut: bool) -> Account:
    """Shut an account, or let its owner in again.

    Raises:
        InputError, MachineError: as ``change_account`` does.
    """
    return accounts.set_disabled(open_shop(folder), name, disabled=shut)


def known_account(folder: Path, name: str) -> Account:
    """Return an account, so that nobody types a password for one that is not there.

    Raises:
        InputError: if there is none of that name.
    """
    found = accounts.read_accounts(open_shop(folder).folder).of(name)
    if found is None:
        raise InputError(
            f"there is no account '{name[:60]}'",
            remedy="See 'reelwright library account list'",
        )
    return found
