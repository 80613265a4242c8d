"""``reelwright library account``: who may come in by the server, and as what."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, cast

import click

from author.cli.option_words import NAMED_PATH
from author.cli.showing import print_json
from author.errors import InputError, one_line

if TYPE_CHECKING:
    from author.library.shop import Role
    from author.library.signing.accounts import Account

_SHOP = click.argument("shop", type=NAMED_PATH)
_NAME = click.argument("name")
_ROLES = ("reader", "author", "reviewer", "keeper")
_TRADES = click.option(
    "--trade",
    "trades",
    multiple=True,
    metavar="TEXT",
    help="What NAME is in the shop, as procedures name who releases a finding.",
)
_JSON = click.option("--json", "as_json", is_flag=True, help="Print it for programs.")
_PASSWORD_FILE = click.option(
    "--passphrase-file",
    "--password-file",  # as it was called once
    "password_file",
    type=NAMED_PATH,
    metavar="FILE",
    help="A file whose first line is the password; else it is asked for.",
)


@click.group("account")
def account_command() -> None:
    """Say who may use the library by 'reelwright serve', and as what.

    Readers find, read, follow and send records; authors and reviewers answer questions as
    well, keepers may do everything. A finding is released by a keeper, or by whoever has the
    trade that it names; by a reviewer where it names reviewers. Passwords are asked for, never
    written on the command line; only their hashes are kept, in .accounts of the library.
    """


@account_command.command("add")
@_SHOP
@_NAME
@click.option(
    "--role", "roles", multiple=True, required=True, type=click.Choice(_ROLES), help="What NAME is."
)
@_TRADES
@_PASSWORD_FILE
@_JSON
def add_command(
    shop: Path,
    name: str,
    roles: tuple[str, ...],
    trades: tuple[str, ...],
    password_file: Path | None,
    as_json: bool,
) -> int:
    """Add an account for NAME to the library SHOP. The first one is a keeper's."""
    from author.tasks.library_accounts import add_account, list_accounts

    if not list_accounts(shop) and "keeper" not in roles:
        raise InputError("the first account keeps the library", remedy="Say --role keeper")
    wanted = cast("tuple[Role, ...]", roles)
    return _told(add_account(shop, name, wanted, _password(password_file), trades), as_json)


@account_command.command("list")
@_SHOP
@_JSON
def list_command(shop: Path, as_json: bool) -> int:
    """List the accounts of the library SHOP."""
    from author.tasks.library_accounts import list_accounts

    found = list_accounts(shop)
    if as_json:
        print_json({"results": [_plain(one) for one in found]})
        return 0
    for one in found:
        click.echo(_line(one))
    if not found:
        click.echo("There are no accounts")
    return 0


@account_command.command("password")
@_SHOP
@_NAME
@_PASSWORD_FILE
@_JSON
def password_command(shop: Path, name: str, password_file: Path | None, as_json: bool) -> int:
    """Give NAME a new password. Whoever is signed in with the old one is signed out."""
    from author.tasks.library_accounts import give_password, known_account

    known_account(shop, name)
    return _told(give_password(shop, name, _password(password_file)), as_json)


@account_command.command("roles")
@_SHOP
@_NAME
@click.option("--role", "roles", multiple=True, type=click.Choice(_ROLES), help="What NAME is.")
@_TRADES
@_JSON
def roles_command(
    shop: Path, name: str, roles: tuple[str, ...], trades: tuple[str, ...], as_json: bool
) -> int:
    """Give NAME these roles, or these trades, instead of those it has."""
    from author.tasks.library_accounts import change_account

    if not roles and not trades:
        raise InputError("nothing was named", remedy="Say --role, --trade or both")
    wanted = cast("tuple[Role, ...]", roles) or None
    return _told(change_account(shop, name, roles=wanted, trades=trades or None), as_json)


@account_command.command("disable")
@_SHOP
@_NAME
@click.option("--undo", is_flag=True, help="Let NAME in again.")
@_JSON
def disable_command(shop: Path, name: str, undo: bool, as_json: bool) -> int:
    """Shut the account of NAME: it is signed out, and nobody gets in with it."""
    from author.tasks.library_accounts import shut_account

    return _told(shut_account(shop, name, shut=not undo), as_json)


def _password(file: Path | None) -> str:
    """Return the password from a file, or from the keyboard without echo.

    Raises:
        InputError: if the file is no text, or there is nobody to ask.
    """
    from author.library.signing.keys import read_small_file
    from author.tasks.library_accounts import SHORTEST

    if file is not None:
        try:
            return read_small_file(file).decode().partition("\n")[0].rstrip("\r")
        except UnicodeDecodeError:
            raise InputError("this is no text", remedy="Write it as UTF-8", file=file) from None
    if not sys.stdin.isatty():
        raise InputError("there is nobody to ask for the password", remedy="Say --passphrase-file")
    typed: str = click.prompt(
        f"Password, at least {SHORTEST} characters",
        hide_input=True,
        confirmation_prompt="The same once more",
        err=True,
    )
    return typed


def _plain(one: Account) -> dict[str, object]:
    return {
        "name": one.name,
        "roles": list(one.roles),
        "trades": list(one.trades),
        "disabled": one.disabled,
    }


def _line(one: Account) -> str:
    trades = f" ({', '.join(one.trades)})" if one.trades else ""
    shut = ", shut" if one.disabled else ""
    return one_line(f"{one.name}: {', '.join(one.roles)}{trades}{shut}")


def _told(one: Account, as_json: bool) -> int:
    if as_json:
        print_json({"results": [_plain(one)]})
    else:
        click.echo(_line(one))
    return 0


COMMANDS = [account_command]
