"""Is whoever acts in a library who they say: by their key, or by the password of their account."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from author.errors import InputError
from author.library.shop import open_shop
from author.library.signing.accounts import Accounts, read_accounts, sign_in
from author.library.signing.keys import find_key_file, open_key
from author.library.signing.known_people import people_of
from author.library.signing.people import Keyring, read_keyring
from author.procedure.review import same_name

_EITHER = "Passphrase of your key, or password of your account"


def prove(folder: Path, name: str, key: str | None, secret: Callable[[str], str]) -> None:
    """Hold somebody who acts by a name against the keys and accounts of a library.

    A library with neither takes the name. Somebody who has both may give the passphrase of the
    key, where it lies in their own folder of keys, or the password.

    Args:
        folder: the library's folder.
        name: who they say they are.
        key: their private key, by its file or a name; None if none was named.
        secret: returns what they know; told what to ask for.

    Raises:
        InputError: if they cannot be who they say, or the library's people cannot be read.
        MachineError: if the machine fails.
    """
    shop = open_shop(folder)
    keyring = read_keyring(shop.folder)
    unread = people_of(shop).unread
    accounts = Accounts() if unread else read_accounts(shop.folder)
    if not (keyring.history.entries or accounts.people or unread):
        return
    if keyring.problems:
        wrong = keyring.problems[0]
        raise InputError(
            f"the keys of the library are not as signed: {wrong.said}",
            remedy="Bring back the files as they were; 'reelwright library verify' tells all",
            file=wrong.file,
        )
    account = accounts.of(name)
    if account is not None and account.disabled:
        account = None
    file = None
    if key is not None:
        file = find_key_file(key)
    elif _keys_of(keyring, name):
        file = _own_file(name, needed=account is None)
    if file is not None:
        either = account is not None and key is None
        said = secret(_EITHER if either else "Passphrase")
        try:
            _by_key(keyring, name, file, said)
        except InputError:
            if not either or sign_in(accounts, name, said) is None:
                raise
    elif account is None:
        said = "; its accounts can be read by their owner alone" if unread else ""
        raise InputError(
            f"'{name[:60]}' has no key and no account in this library, and so proves nothing{said}",
            remedy="Let a keeper admit a key of theirs ('reelwright library admit') or add an "
            "account ('reelwright library account add')",
        )
    elif sign_in(accounts, name, secret("Password")) is None:
        raise InputError(
            f"this is not the password of '{account.name[:60]}'",
            remedy="Give the password of their account, or say --key",
        )


def _keys_of(keyring: Keyring, name: str) -> frozenset[str]:
    """Return the public keys admitted of a name, however its letters are set."""
    wanted = same_name(name) or name
    holders = keyring.now.values()
    return frozenset(one.key for one in holders if (same_name(one.name) or one.name) == wanted)


def _own_file(name: str, *, needed: bool) -> Path | None:
    try:
        return find_key_file(name)
    except InputError:
        if needed:
            raise
        return None


def _by_key(keyring: Keyring, name: str, file: Path, passphrase: str) -> None:
    signer = open_key(file, passphrase)
    if signer.public.text not in _keys_of(keyring, name):
        raise InputError(
            f"this is not a key of '{name[:60]}' that the library admits",
            remedy="Name your own key with --key, and yourself as the library knows you",
            file=file,
        )
