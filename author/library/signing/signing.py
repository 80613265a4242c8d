"""What every signature of a procedure asks: an open procedure, its signer, the time, the act.

`sign` writes an act beside a procedure that stays where it is, and `withdraw` builds the
folder anew with the act in it; whom and what they hold it against is the same, and stands here.
The caller holds the lock.
"""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from author.contract.procedure_file import PROCEDURE_FILE
from author.contract.reading import read_bytes
from author.contract.review_file import REVIEW_FILE
from author.errors import InputError
from author.library.quick_reader import read_document
from author.library.shop import Role, Shop, procedure_folders
from author.library.signing.audit import no_such_procedure
from author.library.signing.history import History, moment, procedure_history
from author.library.signing.keys import Signer
from author.library.signing.manifest import (
    KeyHolder,
    ProcedureAct,
    Purpose,
    digest_of,
    hashed,
    names_to_sign,
    with_state,
)
from author.library.signing.people import Keyring
from author.library.signing.rights import act_problems
from author.library.signing.states import STATES, roles_for, state_of, words
from author.procedure.document import Procedure, State
from author.storage import replace_file


@dataclass(frozen=True, slots=True)
class Opened:
    """A procedure of a library while somebody signs it.

    Attributes:
        shop: the library.
        keyring: whose signatures count.
        folder: the procedure's folder.
        history: what was signed of it so far.
        data: its file on the shelf, to the byte.
        procedure: what is in it.
    """

    shop: Shop
    keyring: Keyring
    folder: Path
    history: History[ProcedureAct]
    data: bytes
    procedure: Procedure

    @property
    def file(self) -> Path:
        """The procedure's file on the shelf."""
        return self.folder / PROCEDURE_FILE

    @property
    def acts(self) -> list[ProcedureAct]:
        """What was signed so far, the oldest first."""
        return [entry.act for entry in self.history.entries]

    @property
    def state(self) -> State:
        """The state of the revision on the shelf, by its history."""
        return state_of(self.acts, self.procedure.revision)


@dataclass(frozen=True, slots=True)
class Words:
    """What a signer says with an act.

    Attributes:
        purpose: why it is signed.
        revision: the revision it is about.
        role: the role it is signed in.
        reason: why, one line.
        now: the time; the clock's if None.
    """

    purpose: Purpose
    revision: int
    role: Role
    reason: str | None
    now: datetime | None


def open_to_sign(shop: Shop, keyring: Keyring, procedure: str) -> Opened:
    """Open a procedure to be signed, with nothing wrong about its history.

    Where a killed run had signed a state and not written it into the file, that is done.

    Args:
        shop: the library.
        keyring: whose signatures count.
        procedure: id of the procedure.

    Raises:
        InputError: if there is none of that name, its history is not as signed, or it is
            another procedure than its folder says.
        MachineError: if the machine fails.
    """
    folder = dict(procedure_folders(shop)).get(procedure)
    if folder is None:
        raise no_such_procedure(shop, procedure)
    history = procedure_history(folder, keyring.founded, shop.folder)
    unlawful = act_problems(history, keyring, folder.name, shop.folder, fallen=False)
    wrong = next(iter((*history.problems, *unlawful)), None)
    if wrong is not None:
        raise InputError(
            f"the history is not as signed: {wrong.said}",
            remedy="Bring back the files as they were; 'reelwright library verify' tells all",
            file=wrong.file,
        )
    data = _finished(folder, history)
    document = own_document(data, folder / PROCEDURE_FILE, folder.name)
    return Opened(shop, keyring, folder, history, data, document)


def own_document(data: bytes, file: Path, procedure: str) -> Procedure:
    """Return the procedure in the bytes of a file, if it is the one it should be.

    Args:
        data: the bytes.
        file: where they lie.
        procedure: the id it has to have.

    Raises:
        InputError: if it is another one, or is wrong.
    """
    document = read_document(data, file)
    if document.id != procedure:
        raise InputError(
            f"this is the procedure '{document.id}' in the folder of '{procedure}'",
            remedy="Shelve it with 'reelwright library shelve'",
            file=file,
        )
    return document


def _finished(folder: Path, history: History[ProcedureAct]) -> bytes:
    """Return the procedure's bytes, the state written that a killed run had signed."""
    file = folder / PROCEDURE_FILE
    data = read_bytes(file)
    newest = history.entries[-1].act if history.entries else None
    if newest is None or newest.purpose not in STATES:
        return data
    signed = newest.files.get(PROCEDURE_FILE)
    meant = with_state(data, newest.state)
    if meant in {None, data} or meant is None or hashlib.sha256(meant).hexdigest() != signed:
        return data
    replace_file(file, meant, follow=False)
    return meant


def holder_of(opened: Opened, signer: Signer) -> KeyHolder:
    """Return who has a key.

    Raises:
        InputError: if it is not admitted to the library, or revoked.
    """
    holder = opened.keyring.now.get(signer.public.text)
    if holder is None:
        gone = opened.keyring.revoked(signer.public.text)
        said = "is revoked" if gone is not None else "is not admitted to this library"
        raise InputError(
            f"this key {said}",
            remedy="Have a keeper admit a key of yours with 'reelwright library admit'",
            file=opened.shop.folder,
        )
    return holder


def role_of(
    holder: KeyHolder, purpose: Purpose, state: State, role: Role | None, file: Path
) -> Role:
    """Return the role that somebody signs in: the one wanted, or the one that fits.

    Args:
        holder: who signs.
        purpose: why.
        state: the state of the revision before.
        role: the role wanted; None for the one that fits.
        file: the procedure's file, for the error.

    Raises:
        InputError: if the signer has no role that may.
    """
    fit = roles_for(purpose, state)
    found = next((one for one in fit if one in holder.roles and role in {None, one}), None)
    if found is None:
        raise InputError(
            f"{words(purpose)} is signed by {' or '.join(fit)}, "
            f"and {holder.name} is {', '.join(holder.roles if role is None else [role])}",
            remedy="Have somebody sign who has that role",
            file=file,
        )
    return found


def with_new_state(data: bytes, state: State, file: Path) -> bytes:
    """Return a procedure's bytes with another state, and nothing else changed.

    Args:
        data: the bytes.
        state: the state they are to say.
        file: where they lie.

    Raises:
        InputError: if the state does not stand on a line of its own.
    """
    changed = with_state(data, state)
    wanted = read_document(data, file).model_copy(update={"state": state})
    if changed is None or read_document(changed, file) != wanted:
        raise InputError(
            "the state cannot be changed here without touching more",
            remedy="Write 'state:' on a line of its own, once",
            file=file,
        )
    return changed


def files_to_sign(place: Path, purpose: Purpose, data: bytes) -> dict[str, str]:
    """Return the SHA-256 of every file an act covers, the procedure as it will be stored.

    Args:
        place: the folder with the files.
        purpose: why it is signed.
        data: the procedure's bytes as they will be stored.

    Raises:
        InputError, MachineError: if a file cannot be read.
    """
    files = hashed(place, names_to_sign(place, purpose))
    files[PROCEDURE_FILE] = hashlib.sha256(data).hexdigest()
    return files


def new_act(
    opened: Opened,
    holder: KeyHolder,
    said: Words,
    files: Mapping[str, str],
    stays: int | None = None,
) -> ProcedureAct:
    """Return the act that comes next in a procedure's history.

    Args:
        opened: the procedure.
        holder: who signs.
        said: what the signer says with it.
        files: SHA-256 of every file it covers.
        stays: the revision that stays in force where one is put aside.

    Raises:
        InputError: if the clock stands before the newest act about keys.
    """
    purpose = said.purpose
    state = purpose if purpose in STATES else state_of(opened.acts, said.revision)
    return ProcedureAct.model_validate(
        {
            "form": "procedure-act/1",
            "number": len(opened.history.entries) + 1,
            "before": opened.history.head,
            "time": _time(opened, said.now),
            "name": holder.name,
            "role": said.role,
            "key": holder.key,
            "reason": said.reason,
            "library": opened.keyring.founded,
            "keys": opened.keyring.history.head,
            "purpose": purpose,
            "procedure": opened.procedure.id,
            "revision": said.revision,
            "state": state,
            "files": files,
            "stays": stays,
        }
    )


def _time(opened: Opened, now: datetime | None) -> str:
    time = moment(now)
    newest = opened.keyring.history.entries[-1].act.time
    if datetime.fromisoformat(time) < datetime.fromisoformat(newest):
        raise InputError(
            f"the clock says {time}, and keys were admitted at {newest}",
            remedy="Set the clock of this machine",
            file=opened.shop.folder,
        )
    return time


def hold_still(place: Path, data: bytes, files: Mapping[str, str]) -> None:
    """Refuse to sign what somebody has changed since it was looked at.

    Args:
        place: the folder with the files.
        data: the procedure's bytes that were looked at.
        files: SHA-256 of the files that are signed.

    Raises:
        InputError: if the procedure or its sign-offs are no longer those.
    """
    seen = {PROCEDURE_FILE: hashlib.sha256(data).hexdigest()}
    if REVIEW_FILE in files:
        seen[REVIEW_FILE] = files[REVIEW_FILE]
    for name, digest in seen.items():
        if digest_of(place, name) != digest:
            raise InputError(
                "this was changed meanwhile",
                remedy="Look at it, and sign again",
                file=place / name,
            )
