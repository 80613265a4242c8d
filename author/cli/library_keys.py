"""``reelwright library`` key, admit and revoke, and what all who sign are asked for."""

from __future__ import annotations

import os
import sys
from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import Any, cast, get_args

import click

from author.cli.option_words import NAMED_PATH, check_words
from author.cli.showing import print_json
from author.errors import InputError, one_line
from author.library.shop import Role
from author.library.signing.keys import (
    Signer,
    find_key_file,
    open_key,
    read_public_key,
    read_small_file,
)
from author.library.signing.proof import prove
from author.tasks.library_audit import key_line, key_rows
from author.tasks.library_keys import admit, make_key, revoke

PASSPHRASE_VARIABLE = "REELWRIGHT_PASSPHRASE"  # noqa: S105 - the name of a variable
# One name for the file of what somebody knows, whether of a key or of an account.
_SECRET_FILE = ("--passphrase-file", "--password-file", "passphrase_file")
SIGNING_ROLES = [role for role in get_args(Role) if role != "reader"]
shop_argument = click.argument("shop", type=NAMED_PATH)
json_option = click.option("--json", "as_json", is_flag=True, help="Print it for programs.")
reason_option = click.option("--reason", metavar="TEXT", help="Why, in one line.")


def signing_options(command: Callable[..., Any]) -> Callable[..., Any]:
    """Add the options of whoever signs."""
    named = click.option(
        "--key", required=True, metavar="KEY", help="Your private key: its file, or your name."
    )
    return named(_passphrase_file(command))


def proof_options(command: Callable[..., Any]) -> Callable[..., Any]:
    """Add the options of whoever has to show that they are who they say."""
    named = click.option(
        "--key", metavar="KEY", help="Your private key, by its file, where it is not under NAME."
    )
    secret = click.option(
        *_SECRET_FILE,
        type=NAMED_PATH,
        help="A file whose first line is the passphrase of your key, or the password of your "
        f"account; else {PASSPHRASE_VARIABLE} or asked.",
    )
    return named(secret(command))


def shown_to_be(shop: Path, name: str, key: str | None, passphrase_file: Path | None) -> None:
    """Ask whoever acts as NAME for their key or password, where the library knows such.

    Raises:
        InputError: if they are not who they say.
        MachineError: if the machine fails.
    """
    prove(shop, name, key, lambda asked: _passphrase(passphrase_file, new=False, asked=asked))


def _passphrase_file(command: Callable[..., Any]) -> Callable[..., Any]:
    return click.option(
        *_SECRET_FILE,
        type=NAMED_PATH,
        help=f"A file whose first line is the passphrase; else {PASSPHRASE_VARIABLE} or asked.",
    )(command)


@click.command("key")
@click.argument("name")
@click.option("--role", required=True, type=click.Choice(SIGNING_ROLES), help="What NAME is.")
@_passphrase_file
@json_option
def key_command(name: str, role: str, passphrase_file: Path | None, as_json: bool) -> int:
    """Make a key for NAME, kept under a passphrase in your own folder.

    Nobody can bring back a passphrase that is forgotten. Give the .public.pem file to a keeper
    of the library, and tell them the fingerprint by another way.
    """
    check_words("the name", name)
    passphrase = _passphrase(passphrase_file, new=True)
    made = make_key(name, cast("Role", role), passphrase)
    if as_json:
        print_json({"private": str(made.private), "public": str(made.public), "key": made.id})
        return 0
    click.echo(one_line(f"Private key: {made.private} (keep it to yourself)"))
    click.echo(one_line(f"Public key:  {made.public} (give it to a keeper)"))
    click.echo(f"Fingerprint: {made.id}")
    return 0


@click.command("admit")
@shop_argument
@click.argument("public_key", type=NAMED_PATH)
@click.option("--name", metavar="NAME", help="Name of its owner; else what the file says.")
@click.option(
    "--role", "roles", type=click.Choice(SIGNING_ROLES), multiple=True, help="What they may be."
)
@signing_options
@json_option
def admit_command(
    shop: Path,
    public_key: Path,
    name: str | None,
    roles: tuple[str, ...],
    key: str,
    passphrase_file: Path | None,
    as_json: bool,
) -> int:
    """Let signatures by PUBLIC_KEY count in the library SHOP; a keeper does.

    The first keeper admits their own key, and so founds the library. A key that is admitted
    already gets the roles named instead of those it had.
    """
    public = read_public_key(public_key)
    whose = name or public.name
    if whose is None:
        raise InputError("the file names no owner", remedy="Say --name", file=public_key)
    check_words("the name", whose)
    wanted = roles or ((public.role,) if public.role else ())
    if not wanted or not set(wanted) <= set(SIGNING_ROLES):
        raise InputError("the file names no role", remedy="Say --role", file=public_key)
    entry = admit(
        shop, public, whose, cast("tuple[Role, ...]", wanted), signer_of(key, passphrase_file)
    )
    if as_json:
        print_json(key_rows(shop)[-1])
        return 0
    done = "founded by" if entry.act.purpose == "founded" else "admits"
    click.echo(one_line(f"{shop}: {done} {whose}, {', '.join(wanted)}; key {public.id}"))
    return 0


@click.command("revoke")
@shop_argument
@click.argument("who")
@click.option("--from", "since", metavar="DAY", help="First day whose signatures do not count.")
@reason_option
@signing_options
@json_option
def revoke_command(
    shop: Path,
    who: str,
    since: str | None,
    reason: str | None,
    key: str,
    passphrase_file: Path | None,
    as_json: bool,
) -> int:
    """Let signatures by the key of WHO (a name, or the first digits of the key) count no longer.

    What was signed so far still counts; where the key was lost or misused, say --from which day
    on it does not.
    """
    check_words("--reason", reason)
    revoke(shop, who, signer_of(key, passphrase_file), since=_day(since), reason=reason)
    row = key_rows(shop)[-1]
    if as_json:
        print_json(row)
    else:
        click.echo(one_line(key_line(row)))
    return 0


def signer_of(key: str, passphrase_file: Path | None) -> Signer:
    """Return the open key that --key means.

    Raises:
        InputError: if there is none, or the passphrase does not open it.
        MachineError: if it cannot be read.
    """
    file = find_key_file(key)
    return open_key(file, _passphrase(passphrase_file, new=False))


def _passphrase(file: Path | None, *, new: bool, asked: str = "Passphrase") -> str:
    """Return the passphrase from a file, the environment, or the keyboard without echo."""
    if file is not None:
        try:
            return read_small_file(file).decode().partition("\n")[0].rstrip("\r")
        except UnicodeDecodeError:
            raise InputError("this is no text", remedy="Write it as UTF-8", file=file) from None
    given = os.environ.get(PASSPHRASE_VARIABLE)
    if given is not None:
        return given
    if not sys.stdin.isatty():
        raise InputError(
            f"there is nobody to ask for the {asked.lower()}",
            remedy=f"Say --passphrase-file, or set {PASSPHRASE_VARIABLE}",
        )
    typed: str = click.prompt(asked, hide_input=True, confirmation_prompt=new, err=True)
    return typed


def _day(text: str | None) -> date | None:
    try:
        return None if text is None else date.fromisoformat(text)
    except ValueError:
        raise InputError(
            f"--from is '{text}', which is no day", remedy="Write it as 2026-03-31"
        ) from None
