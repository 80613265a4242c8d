"""Make keys, admit them to a library and revoke them."""

from __future__ import annotations

import secrets
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime
from pathlib import Path

from author.errors import InputError
from author.library.locking import writing
from author.library.shop import Role, Shop, open_shop, procedure_folders, write_sheet
from author.library.signing.history import append, moment, procedure_history
from author.library.signing.keys import PublicKey, Signer, new_signer, save_new_key
from author.library.signing.manifest import KeyAct, KeyHolder
from author.library.signing.people import Keyring, lags, read_keyring, sheet_problems, with_keys
from author.library.signing.signatures import SignedAct
from author.procedure.review import same_name


@dataclass(frozen=True, slots=True)
class NewKey:
    """A key that was made.

    Attributes:
        private: file of the private key, encrypted.
        public: file of the public key, to be given to a keeper.
        id: SHA-256 of the public key, by which two people make sure it is the same.
    """

    private: Path
    public: Path
    id: str


def make_key(name: str, role: Role, passphrase: str) -> NewKey:
    """Make a key and keep it in the user's own folder.

    Raises:
        InputError: if there is one of that name, or the passphrase is too short.
        MachineError: if it cannot be written.
    """
    signer = new_signer()
    private, public = save_new_key(signer, name, role, passphrase)
    return NewKey(private, public, signer.public.id)


def usable_keyring(shop: Shop) -> Keyring:
    """Return whose signatures count, with nothing wrong about it.

    The caller holds the lock. Where a killed run had not brought ``library.yaml`` up to
    the history, that is done.

    Raises:
        InputError: if the history or ``library.yaml`` is not as signed, or there is none.
        MachineError: if the machine fails.
    """
    keyring = read_keyring(shop.folder)
    if not keyring.problems and lags(shop.sheet, keyring):
        shop = write_sheet(shop, with_keys(shop.sheet, keyring.now))
    wrong = next(iter((*keyring.problems, *sheet_problems(shop.sheet, keyring))), None)
    if wrong is not None:
        raise InputError(
            f"the keys of the library are not as signed: {wrong.said}",
            remedy="Bring back the files as they were; 'reelwright library verify' tells all",
            file=wrong.file,
        )
    if not keyring.history.entries:
        raise InputError(
            "no key is admitted to this library yet",
            remedy="Let its keeper begin: 'reelwright library admit' with their own key",
            file=shop.folder,
        )
    return keyring


def admit(
    shop: Path,
    key: PublicKey,
    name: str,
    roles: Sequence[Role],
    signer: Signer,
    *,
    now: datetime | None = None,
) -> SignedAct[KeyAct]:
    """Let somebody's signatures count. The first keeper admits their own key.

    Args:
        shop: the library's folder.
        key: the public key.
        name: the name the library knows its owner by.
        roles: what they may sign as; a key that is admitted already gets these instead.
        signer: a keeper's key.
        now: the time; the clock's if None.

    Raises:
        InputError: if the signer is no keeper, the name is taken, or the key was revoked.
        MachineError: if the machine fails.
    """
    holder = KeyHolder(name=name, roles=tuple(dict.fromkeys(roles)), key=key.text)
    with writing(open_shop(shop)):
        library = open_shop(shop)  # as it is now that nobody else writes
        first = read_keyring(library.folder)
        if not first.history.entries and not first.problems:
            return _found(library, first, holder, signer, now)
        keyring = usable_keyring(library)
        if keyring.revoked(key.text):
            raise InputError("this key is revoked", remedy="Have a new one made", file=shop)
        taken = next((h for h in keyring.now.values() if _same_person(h, holder)), None)
        if taken is not None:
            raise InputError(
                f"'{taken.name}' has another key",
                remedy="Revoke that one first, or give another name",
                file=shop,
            )
        return _enter(library, keyring, {"purpose": "admitted", "holder": holder}, signer, now)


def _same_person(one: KeyHolder, other: KeyHolder) -> bool:
    return one.key != other.key and same_name(one.name) == same_name(other.name)


def _found(
    shop: Shop, keyring: Keyring, holder: KeyHolder, signer: Signer, now: datetime | None
) -> SignedAct[KeyAct]:
    if holder.key != signer.public.text or "keeper" not in holder.roles:
        raise InputError(
            "no key is admitted to this library yet",
            remedy="Let its keeper begin and admit their own key as keeper",
            file=shop.folder,
        )
    if any(member.key is not None for member in shop.sheet.people):
        raise InputError(
            "library.yaml names keys that no history admits",
            remedy="Take the keys out of it and admit them one by one",
            file=shop.folder,
        )
    about = {"purpose": "founded", "holder": holder, "seed": secrets.token_hex(32)}
    return _enter(shop, keyring, about, signer, now)


def revoke(
    shop: Path,
    who: str,
    signer: Signer,
    *,
    since: date | None = None,
    reason: str | None = None,
    now: datetime | None = None,
) -> SignedAct[KeyAct]:
    """Let somebody's key count no longer.

    Args:
        shop: the library's folder.
        who: the name, or the first digits of the key's SHA-256.
        signer: a keeper's key.
        since: the day from which on what it signed does not count, where it was lost or
            misused; what it signed so far counts, if None. What it signs after this act
            never counts, whatever day it claims.
        reason: why, one line.
        now: the time; the clock's if None.

    Raises:
        InputError: if there is no such key, it is the last keeper's, or the signer is none.
        MachineError: if the machine fails.
    """
    today = (now or datetime.now(UTC)).astimezone(UTC).date()
    if since is not None and since > today:
        raise InputError(
            f"{since.isoformat()} is still to come", remedy="Revoke the key on that day", file=shop
        )
    with writing(open_shop(shop)):
        library = open_shop(shop)  # as it is now that nobody else writes
        keyring = usable_keyring(library)
        holder = _found_holder(keyring, who, shop)
        keepers = [h for h in keyring.now.values() if "keeper" in h.roles and h != holder]
        if not keepers:
            raise InputError(
                "this is the key of the last keeper",
                remedy="Admit another keeper first",
                file=shop,
            )
        about = {
            "purpose": "revoked",
            "holder": holder,
            "since": since.isoformat() if since else None,
            "known": _signed_so_far(library, keyring, holder.key),
            "reason": reason,
        }
        return _enter(library, keyring, about, signer, now)


def _found_holder(keyring: Keyring, who: str, shop: Path) -> KeyHolder:
    digits = who.casefold()
    for holder in keyring.now.values():
        key = PublicKey(bytes.fromhex(holder.key))
        if holder.name == who or (len(digits) >= 8 and key.id.startswith(digits)):
            return holder
    known = ", ".join(holder.name for holder in keyring.now.values())
    raise InputError(f"'{who[:48]}' has no key here", remedy=f"Name one of: {known}", file=shop)


def _signed_so_far(shop: Shop, keyring: Keyring, key: str) -> dict[str, int]:
    """Return, by procedure, the number of the last act that a key signed."""
    found = {}
    for name, folder in procedure_folders(shop):
        history = procedure_history(folder, keyring.founded, shop.folder)
        numbers = [entry.act.number for entry in history.entries if entry.act.key == key]
        if numbers:
            found[name] = max(numbers)
    return found


def _enter(
    shop: Shop,
    keyring: Keyring,
    about: dict[str, object],
    signer: Signer,
    now: datetime | None,
) -> SignedAct[KeyAct]:
    """Sign an act of the library's history, then show it in ``library.yaml``."""
    holder = about["holder"]
    keeper = keyring.now.get(signer.public.text, holder if not keyring.after else None)
    if not isinstance(keeper, KeyHolder) or "keeper" not in keeper.roles:
        raise InputError(
            "this key is not one of a keeper of this library",
            remedy="Have a keeper do it",
            file=shop.folder,
        )
    act = KeyAct.model_validate(
        {
            "form": "library-act/1",
            "number": len(keyring.history.entries) + 1,
            "before": keyring.history.head,
            "time": moment(now),
            "name": keeper.name,
            "role": "keeper",
            "key": keeper.key,
            **about,
        }
    )
    entry = append(keyring.history, act, signer)
    write_sheet(shop, with_keys(shop.sheet, read_keyring(shop.folder).now))
    return entry
