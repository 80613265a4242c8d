"""Withdraws one of two revisions: a draft that is put aside, or what it was to take the place of.

While a later revision is being written, work goes by the one before it. To withdraw the draft
brings that one back to its place; to withdraw the older one takes it out of use, and the draft
stays. Both are one step of the file system, the signed act in it.
"""

from __future__ import annotations

import os
import secrets
import shutil
from collections.abc import Callable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path

from author.contract.procedure_file import PROCEDURE_FILE
from author.contract.reading import read_bytes
from author.errors import InputError
from author.folder_exchange import exchange
from author.library.locking import writing
from author.library.shelves.bases import KEPT
from author.library.shelves.shelving import link_file, tidy
from author.library.shop import (
    REVISIONS,
    Role,
    Shop,
    open_shop,
    procedure_folders,
    revision_files,
)
from author.library.signing.audit import audit_procedure
from author.library.signing.history import SIGNATURES, append
from author.library.signing.keys import Signer
from author.library.signing.manifest import (
    KeyHolder,
    ProcedureAct,
)
from author.library.signing.people import Keyring
from author.library.signing.signatures import Signing, act_file
from author.library.signing.signing import (
    Opened,
    Words,
    files_to_sign,
    hold_still,
    holder_of,
    new_act,
    open_to_sign,
    own_document,
    role_of,
    with_new_state,
)
from author.library.signing.states import WORKED_ON, put_aside, ruling, state_of, why_not
from author.storage import before_step, file_error, write_file


@dataclass(frozen=True, slots=True)
class _Two:
    """A draft on the shelf and the approved revision that work goes by."""

    opened: Opened
    in_force: int

    @property
    def folder(self) -> Path:
        return self.opened.folder

    @property
    def draft(self) -> int:
        return self.opened.procedure.revision

    def place(self, revision: int) -> Path:
        """Return where the files of one of the two lie."""
        kept = self.folder / REVISIONS / str(revision)
        return self.folder if revision == self.draft else kept


def withdraw(
    folder: Path,
    procedure: str,
    signer: Signer,
    keys: Callable[[Shop], Keyring],
    *,
    revision: int | None = None,
    role: Role | None = None,
    reason: str | None = None,
    now: datetime | None = None,
) -> Signing | None:
    """Withdraw a draft, or the revision that stays in force while it is written.

    Args:
        folder: the library's folder.
        procedure: id of the procedure.
        signer: the key.
        keys: returns whose signatures count; called while the library is locked.
        revision: which of the two; it has to be said where there are two.
        role: the role to sign in; the one that fits, if None.
        reason: why, one line.
        now: the time; the clock's if None.

    Returns:
        None where the file on the shelf is what work goes by, so that there is no choice.

    Raises:
        InputError: if no revision is named where there are two, another one is, or the key,
            the history or a file forbids it.
        MachineError: if the machine fails; the library is then as it was.
    """
    tidy(open_shop(folder))
    with writing(open_shop(folder)):
        shop = open_shop(folder)
        keyring = keys(shop)
        two = _two_of(shop, keyring, procedure, revision)
        if two is None:
            return None
        if revision is None:
            raise InputError(
                f"revision {two.draft} on the shelf is no more than being written, and "
                f"revision {two.in_force} is in force",
                remedy=f"Say --revision {two.draft} to put the draft aside (revision "
                f"{two.in_force} stays in force), or --revision {two.in_force} to take that one "
                "out of use",
                file=two.folder / PROCEDURE_FILE,
            )
        holder = holder_of(two.opened, signer)
        chosen = _role(two, revision, holder, role)
        notes = tuple(_notes(two, revision))
        place = two.place(revision)
        seen = _seen(two, revision)
        data = with_new_state(seen, "withdrawn", place / PROCEDURE_FILE)
        files = files_to_sign(place, "withdrawn", data)
        said = Words("withdrawn", revision, chosen, reason, now)
        stays = two.in_force if revision == two.draft else None
        act = new_act(two.opened, holder, said, files, stays)
        with _built(two, act, data) as built:
            hold_still(place, seen, files)
            history = two.opened.history
            entry = append(replace(history, folder=built / SIGNATURES), act, signer)
    return Signing(entry, two.opened.history.folder / act_file(act), notes)


def _seen(two: _Two, revision: int) -> bytes:
    """Return the file of the revision that is withdrawn, to the byte."""
    if revision == two.draft:
        return two.opened.data
    file = two.place(revision) / PROCEDURE_FILE
    data = read_bytes(file)
    own_document(data, file, two.folder.name)
    return data


def _two_of(shop: Shop, keyring: Keyring, procedure: str, wanted: int | None) -> _Two | None:
    opened = open_to_sign(shop, keyring, procedure)
    folder, acts, present = opened.folder, opened.acts, opened.procedure.revision
    older = {
        number: state_of(acts, number)
        for number, kept in revision_files(folder)
        if number < present and kept.is_file()
    }
    ruled = ruling(older, lambda: put_aside(acts))
    both = None
    if ruled is not None and older[ruled] == "approved" and state_of(acts, present) in WORKED_ON:
        both = _Two(opened, ruled)
    named = (present,) if both is None else (present, both.in_force)
    if wanted is not None and wanted not in named:
        raise InputError(
            f"revision {wanted} cannot be withdrawn: revision {named[-1]} is what work goes by",
            remedy=f"Say --revision {' or --revision '.join(map(str, named))}",
            file=opened.file,
        )
    return both


def _role(two: _Two, revision: int, holder: KeyHolder, role: Role | None) -> Role:
    file, acts = two.place(revision) / PROCEDURE_FILE, two.opened.acts
    wrong = why_not(acts, "withdrawn", revision, holder.name, holder.key)
    if wrong is not None:
        raise InputError(wrong, remedy="Have somebody sign who has that role", file=file)
    return role_of(holder, "withdrawn", state_of(acts, revision), role, file)


def _notes(two: _Two, revision: int) -> tuple[str, ...]:
    said = f"Revision {two.in_force} stays in force and is back in its place."
    if revision != two.draft:
        said = f"Revision {two.draft} is being written still: nothing approved is in force now."
    return (*_changed(two.opened.shop, two.opened.keyring, two.folder), said)


def changed_notes(folder: Path, procedure: str, keys: Callable[[Shop], Keyring]) -> tuple[str, ...]:
    """Return what whoever withdraws a procedure should know: files changed since signed.

    Args:
        folder: the library's folder.
        procedure: id of the procedure.
        keys: returns whose signatures count.

    Raises:
        InputError, MachineError: if a file cannot be read.
    """
    with writing(open_shop(folder)):
        shop = open_shop(folder)
        place = dict(procedure_folders(shop)).get(procedure)
        return () if place is None else _changed(shop, keys(shop), place)


def _changed(shop: Shop, keyring: Keyring, folder: Path) -> tuple[str, ...]:
    problems = audit_procedure(shop, folder, keyring).problems
    return tuple(
        f"It is withdrawn as it is stored, and that is not as signed: {one.said} ({one.file})."
        for one in problems[:1]
    )


@contextmanager
def _built(two: _Two, act: ProcedureAct, data: bytes) -> Iterator[Path]:
    """Build the folder as it is to be; what is done with it done, put it into its place."""
    target = two.folder
    built = target.parent / f".{target.name}.new-{secrets.token_hex(4)}"
    kept = f"{REVISIONS}/{act.revision}/{PROCEDURE_FILE}"
    try:
        before_step("make", built)
        built.mkdir()
        for short, path in _files(target).items():
            name = _moved(short, two) if act.stays is not None else short
            if name != kept:
                link_file(path, built.joinpath(*name.split("/")))
        place = built.joinpath(*kept.split("/"))
        place.parent.mkdir(parents=True, exist_ok=True)
        write_file(place, data)
        yield built
        before_step("exchange", target)
        exchange(built, target)
        before_step("tidy", target)
    except OSError as error:
        raise file_error(error, error.filename or target) from error
    finally:
        shutil.rmtree(built, ignore_errors=True)


def _files(target: Path) -> Mapping[str, Path]:
    found = {}
    for root, folders, names in os.walk(target):
        folders.sort()
        for name in sorted(names):
            path = Path(root) / name
            found[path.relative_to(target).as_posix()] = path
    return found


def _moved(short: str, two: _Two) -> str:
    """Return where a file goes when the draft is put aside and the older one comes back."""
    back = f"{REVISIONS}/{two.in_force}/"
    if short.startswith(back):
        return short.removeprefix(back)
    if short.split("/", maxsplit=1)[0] in KEPT:
        return short
    return f"{REVISIONS}/{two.draft}/{short}"
