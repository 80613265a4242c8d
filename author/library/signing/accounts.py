"""People who may come in by the server: their names, roles and passwords.

They stand in ``.accounts/accounts.json`` of the library, which only its owner can read and
no version control takes. Of a password only a hash is kept (argon2id, RFC 9106, with the
parameters that argon2-cffi recommends).
"""

from __future__ import annotations

import json
import os
import threading
import unicodedata
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field, ValidationError

from author.contract.reading import read_bytes
from author.errors import InputError
from author.library.locking import writing
from author.library.shop import Role, Shop
from author.procedure.review import same_name
from author.procedure.values import Line
from author.storage import file_error, replace_file

if TYPE_CHECKING:
    from argon2 import PasswordHasher

FOLDER = ".accounts"
FILE = "accounts.json"
SHORTEST = 12
LONGEST = 256
_AT_ONCE = threading.BoundedSemaphore(2)
"""Each hash takes 64 MB: so many are taken at one time, however many sign in."""


class _Kept(BaseModel):
    model_config = ConfigDict(frozen=True, extra="forbid", strict=True)


class Account(_Kept):
    """Somebody who may come in.

    Attributes:
        name: name they sign in with, and by which records and answers name them.
        roles: what they may do.
        password: hash of their password.
        disabled: whether they may not come in any more.
        trades: what they are in the shop, in the words by which procedures name who releases a
            finding, such as ``Supervisor``.
    """

    name: Line
    roles: Annotated[tuple[Role, ...], Field(min_length=1)]
    password: Annotated[str, Field(pattern=r"^\$argon2id\$", max_length=500)]
    disabled: bool = False
    trades: tuple[Line, ...] = ()


class Accounts(_Kept):
    """All accounts of a library.

    Attributes:
        form: ``accounts/1``.
        people: the accounts, in the order they were added.
    """

    form: Literal["accounts/1"] = "accounts/1"
    people: tuple[Account, ...] = ()

    def of(self, name: str) -> Account | None:
        """Return the account of a name, however its letters are set; None if there is none."""
        wanted = same_name(name)
        return next((one for one in self.people if same_name(one.name) == wanted), None)


@dataclass(frozen=True, slots=True)
class Stamp:
    """What tells one state of the file from the next."""

    inode: int
    size: int
    changed_ns: int


def accounts_file(folder: Path) -> Path:
    """Return where the accounts of a library lie."""
    return folder / FOLDER / FILE


def stamp_of(folder: Path) -> Stamp | None:
    """Return by what the file of accounts is known as it is now, None if there is none.

    Raises:
        InputError, MachineError: if it cannot be looked at: then nobody knows who may come in.
    """
    file = accounts_file(folder)
    try:
        status = file.stat()
    except FileNotFoundError:
        return None
    except OSError as error:
        raise file_error(error, file) from error
    return Stamp(status.st_ino, status.st_size, status.st_mtime_ns)


def read_accounts(folder: Path) -> Accounts:
    """Return the accounts of a library; none where it has no file of them.

    Raises:
        InputError: if the file is damaged.
        MachineError: if it cannot be read.
    """
    file = accounts_file(folder)
    if stamp_of(folder) is None:
        return Accounts()
    try:
        found = Accounts.model_validate_json(read_bytes(file))
    except ValidationError:
        found = None
    if found is None or len({same_name(one.name) for one in found.people}) < len(found.people):
        raise InputError(
            "the accounts cannot be read",
            remedy="Bring back the file as it was, or delete it and add everybody anew",
            file=file,
        )
    return found


def add(
    shop: Shop, name: str, roles: tuple[Role, ...], password: str, trades: tuple[str, ...] = ()
) -> Account:
    """Add an account.

    Raises:
        InputError: if there is one of that name, the name or the password is no use, or the
            library cannot be written.
        MachineError: if the machine fails.
    """
    check_password(name, password)
    if not same_name(name):
        raise InputError("this is no name", remedy="Write letters or digits")
    hashed = hash_of(password)

    def added(before: Accounts) -> tuple[Account, ...]:
        if before.of(name) is not None:
            raise InputError(
                f"there is an account '{name[:60]}' already",
                remedy="Give it a new password or other roles, or take another name",
            )
        if not before.people and "keeper" not in roles:
            raise InputError(
                "the first account keeps the library", remedy="Give it the role of keeper"
            )
        try:
            made = Account(name=name, roles=roles, password=hashed, trades=trades)
        except ValidationError:
            raise InputError(
                "this name or trade cannot be used", remedy="Write it short, on one line"
            ) from None
        return (*before.people, made)

    return _changed(shop, name, added)


def set_password(shop: Shop, name: str, password: str) -> Account:
    """Give an account a new password; whoever is signed in with the old one is signed out."""
    check_password(name, password)
    hashed = hash_of(password)
    return _replaced(shop, name, lambda one: one.model_copy(update={"password": hashed}))


def change(
    shop: Shop,
    name: str,
    *,
    roles: tuple[Role, ...] | None = None,
    trades: tuple[str, ...] | None = None,
) -> Account:
    """Give an account other roles, say what somebody is in the shop, or both in one step.

    Args:
        shop: the library.
        name: whose account.
        roles: its roles from now on; those it has, if None.
        trades: what its owner is in the shop; nothing, if empty; as it is, if None.

    Raises:
        InputError: if there is no such account, it would have no role, nobody would keep the
            library any more, or a trade is no line.
        MachineError: if the machine fails; all is then as it was.
    """
    if roles is not None and not roles:
        raise InputError("an account has a role", remedy="Name at least one")
    new = {"roles": roles, "trades": trades}
    wanted = {field: value for field, value in new.items() if value is not None}

    def changed(one: Account) -> Account:
        try:
            return Account.model_validate({**one.model_dump(), **wanted})
        except ValidationError:
            raise InputError(
                "this trade cannot be used", remedy="Write it short, on one line"
            ) from None

    return _replaced(shop, name, changed)


def set_disabled(shop: Shop, name: str, *, disabled: bool) -> Account:
    """Shut an account, or open it again."""
    return _replaced(shop, name, lambda one: one.model_copy(update={"disabled": disabled}))


def _replaced(shop: Shop, name: str, change: Callable[[Account], Account]) -> Account:
    def changed(before: Accounts) -> tuple[Account, ...]:
        old = before.of(name)
        if old is None:
            raise InputError(
                f"there is no account '{name[:60]}'", remedy="Look at the list of accounts"
            )
        return tuple(change(one) if one is old else one for one in before.people)

    return _changed(shop, name, changed)


def _changed(shop: Shop, name: str, change: Callable[[Accounts], tuple[Account, ...]]) -> Account:
    """Write the accounts anew, all or nothing, and return the one that was changed."""
    with writing(shop):
        before = read_accounts(shop.folder)
        after = Accounts(people=change(before))
        if _keepers(before) and not _keepers(after):
            raise InputError(
                "nobody would be left who keeps the library",
                remedy="Give somebody else the role of keeper first",
            )
        _write(shop.folder, after)
    found = after.of(name)
    assert found is not None  # noqa: S101 - it was written just now
    return found


def _keepers(accounts: Accounts) -> list[Account]:
    return [one for one in accounts.people if "keeper" in one.roles and not one.disabled]


def _write(folder: Path, accounts: Accounts) -> None:
    file = accounts_file(folder)
    try:
        file.parent.mkdir(mode=0o700, exist_ok=True)
        file.parent.chmod(0o700)
        ignored = file.parent / ".gitignore"
        if not ignored.exists():
            ignored.write_text("*\n", encoding="ascii")
    except OSError as error:
        raise file_error(error, file) from error
    for left in file.parent.glob(f".{FILE}.*.part"):  # by a killed run; the lock says by none alive
        left.unlink(missing_ok=True)
    text = json.dumps(accounts.model_dump(mode="json"), ensure_ascii=False, indent=2)
    replace_file(file, f"{text}\n".encode())  # nobody else can look into its folder
    file.chmod(0o600)


def check_password(name: str, password: str) -> None:
    """Refuse a password that is too short, far too long, or no secret.

    Raises:
        InputError: if it is.
    """
    if len(password) < SHORTEST:
        raise InputError(
            f"a password has at least {SHORTEST} characters",
            remedy="Take four or five words that do not belong together",
        )
    if len(password) > LONGEST:
        raise InputError(
            f"a password has at most {LONGEST} characters", remedy="Take a shorter one"
        )
    if len(set(password)) < 5 or same_name(password) in same_name(name) * SHORTEST:
        raise InputError(
            "this password is too easy to guess",
            remedy="Take four or five words that do not belong together",
        )


def hash_of(password: str) -> str:
    """Return the hash of a password, with a salt of its own."""
    with _AT_ONCE:
        return _hasher().hash(_plain(password))


def sign_in(accounts: Accounts, name: str, password: str) -> Account | None:
    """Return the account that a name and a password open, or None.

    As much work is done for a name that nobody has, or whose account is shut, as for one
    that is there, so that the time tells nothing.
    """
    from argon2.exceptions import VerificationError

    found = accounts.of(name)
    usable = found is not None and not found.disabled
    hashed = found.password if found is not None else _nobody()
    with _AT_ONCE:
        right: bool
        try:
            right = _hasher().verify(hashed, _plain(password[:LONGEST]))
        except VerificationError:
            right = False
        except ValueError:  # the hash itself is damaged
            right = False
    return found if right and usable and len(password) <= LONGEST else None


def _plain(password: str) -> str:
    """Return a password as every keyboard gives it (NFKC, as RFC 8265 has it for passwords)."""
    return unicodedata.normalize("NFKC", password)


@cache
def _hasher() -> PasswordHasher:
    from argon2 import PasswordHasher

    return PasswordHasher()


@cache
def _nobody() -> str:
    """Return a hash that no password opens: of what nobody knows."""
    return hash_of(os.urandom(32).hex())
