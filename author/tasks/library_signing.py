"""Sign procedures of a library, change their state, and say whether all is as signed."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from author.checks import check
from author.checks.verdict import forbids
from author.contract.procedure_file import PROCEDURE_FILE, LoadedProcedure, parse_procedure
from author.contract.reading import read_bytes
from author.contract.review_file import REVIEW_FILE, read_review
from author.errors import InputError
from author.library.locking import writing
from author.library.shop import Role, Shop, open_shop, procedure_folders
from author.library.signing.audit import (
    audit_procedure,
    no_such_procedure,
    not_accepted,
)
from author.library.signing.history import History, append, moment, procedure_history
from author.library.signing.keys import Signer
from author.library.signing.manifest import (
    KeyHolder,
    ProcedureAct,
    Purpose,
    changed_outputs,
    digest_of,
    hashed,
    names_to_sign,
    with_state,
)
from author.library.signing.people import Keyring
from author.library.signing.rights import act_problems
from author.library.signing.signatures import Signing, act_file
from author.library.signing.states import STATES, roles_for, state_of, why_not, words
from author.procedure.document import Procedure, State
from author.procedure.review import authors_of, same_name
from author.progress import SILENT, Cancel, Progress
from author.storage import MANIFEST, replace_file
from author.tasks.library_keys import usable_keyring
from author.tasks.media import candidates, find_recordings

_SHOWN = 3


@dataclass(frozen=True, slots=True)
class _Open:
    """A procedure of a library while somebody signs it."""

    shop: Shop
    keyring: Keyring
    history: History[ProcedureAct]
    loaded: LoadedProcedure
    data: bytes

    @property
    def folder(self) -> Path:
        return self.loaded.file.parent

    @property
    def acts(self) -> list[ProcedureAct]:
        return [entry.act for entry in self.history.entries]

    @property
    def state(self) -> State:
        return state_of(self.acts, self.loaded.procedure.revision)


def sign(  # noqa: PLR0913 - each is asked of the signer by name
    shop: Path,
    procedure: str,
    purpose: Purpose,
    signer: Signer,
    *,
    role: Role | None = None,
    reason: str | None = None,
    media: Sequence[Path] = (),
    now: datetime | None = None,
    progress: Progress = SILENT,
    cancel: Cancel | None = None,
) -> Signing:
    """Sign a procedure as it is stored, or with another state.

    The act is written first, whole; then the state in ``procedure.yaml``. A run that is
    killed in between is brought to its end by the next one.

    Args:
        shop: the library's folder.
        procedure: id of the procedure.
        purpose: ``authored``, ``reviewed`` or ``published``, or the state it is to have.
        signer: the key.
        role: the role to sign in; the one that fits, if None.
        reason: why, one line.
        media: more folders to look for recordings in; only approval looks at them.
        now: the time; the clock's if None.
        progress: told how far it is.
        cancel: looked at on the way.

    Raises:
        InputError: if the key, the state, the content or the history forbids it.
        MachineError: if the machine fails; what was signed before is untouched.
    """
    with writing(open_shop(shop)):
        library = open_shop(shop)  # as it is now that nobody else writes
        opened = _open(library, procedure)
        holder = _holder(opened, signer)
        chosen = _chosen_role(opened, purpose, holder, role)
        data = _data_to_sign(opened, purpose)
        files = hashed(opened.folder, names_to_sign(opened.folder, purpose))
        files[PROCEDURE_FILE] = hashlib.sha256(data).hexdigest()
        notes = _notes_of(opened, holder, chosen)
        if purpose == "published":
            _hold_outputs(opened, files)
        if purpose == "approved":
            notes += _hold_approval(opened, data, files, media, progress, cancel)
        state = purpose if purpose in STATES else opened.state
        act = ProcedureAct.model_validate(
            {
                "form": "procedure-act/1",
                "number": len(opened.history.entries) + 1,
                "before": opened.history.head,
                "time": _time(opened, now),
                "name": holder.name,
                "role": chosen,
                "key": holder.key,
                "reason": reason,
                "library": opened.keyring.founded,
                "keys": opened.keyring.history.head,
                "purpose": purpose,
                "procedure": opened.loaded.procedure.id,
                "revision": opened.loaded.procedure.revision,
                "state": state,
                "files": files,
            }
        )
        _hold_still(opened, files)
        entry = append(opened.history, act, signer)
        if data != opened.data:
            replace_file(opened.loaded.file, data)
    return Signing(entry, opened.history.folder / act_file(act), notes)


def _open(shop: Shop, procedure: str) -> _Open:
    keyring = usable_keyring(shop)
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
    loaded = parse_procedure(data, folder / PROCEDURE_FILE)
    if loaded.procedure.id != folder.name:
        raise InputError(
            f"this is the procedure '{loaded.procedure.id}' in the folder of '{folder.name}'",
            remedy="Shelve it with 'reelwright library shelve'",
            file=loaded.file,
        )
    return _Open(shop, keyring, history, loaded, data)


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
    replace_file(file, meant)
    return meant


def _holder(opened: _Open, signer: Signer) -> KeyHolder:
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


def _chosen_role(opened: _Open, purpose: Purpose, holder: KeyHolder, role: Role | None) -> Role:
    """Return the role an act is signed in, if it may be signed at all.

    Raises:
        InputError: if it may not; the sentence says why.
    """
    procedure, file = opened.loaded.procedure, opened.loaded.file
    wrong = why_not(opened.acts, purpose, procedure.revision, holder.name, holder.key)
    judging = purpose in {"reviewed", "approved"}
    if wrong is None and judging and same_name(holder.name) in _author_names(procedure):
        wrong = f"{holder.name} wrote this procedure, and nobody judges own work"
    if wrong is not None:
        raise InputError(
            wrong, remedy="Have somebody else sign, or take the step before", file=file
        )
    fit = roles_for(purpose, opened.state)
    found = next((one for one in fit if one in holder.roles and role in {None, one}), None)
    if found is None:
        raise InputError(
            f"{words(purpose)} is signed by {' or '.join(fit)}, "
            f"and {holder.name} is {', '.join(holder.roles if role is None else [role])}",
            remedy="Have somebody sign who has that role",
            file=file,
        )
    if opened.state == "approved" and purpose not in {"in_review", "withdrawn"}:
        report = audit_procedure(
            opened.shop, opened.folder, opened.keyring, outputs=purpose != "published"
        )
        if report.problems:
            raise InputError(
                f"it is not what was approved: {report.problems[0].said}",
                remedy="Bring back the files as they were, take it back to in review, "
                "or withdraw it",
                file=file,
            )
    return found


def _author_names(procedure: Procedure) -> set[str]:
    return {same_name(name) for name in authors_of(procedure)}


def _data_to_sign(opened: _Open, purpose: Purpose) -> bytes:
    """Return the procedure's bytes as they will be stored with the act.

    Raises:
        InputError: if the state in them is not the one of the history, or not to be set.
    """
    procedure, file = opened.loaded.procedure, opened.loaded.file
    if purpose not in STATES:
        if procedure.state != opened.state:
            raise InputError(
                f"it says {words(procedure.state)}, and by its history it is {words(opened.state)}",
                remedy="Set the state with 'reelwright library state'",
                file=file,
            )
        return opened.data
    data = with_state(opened.data, purpose)
    wanted = procedure.model_copy(update={"state": purpose})
    if data is None or parse_procedure(data, file).procedure != wanted:
        raise InputError(
            "the state cannot be changed here without touching more",
            remedy="Write 'state:' on a line of its own, once",
            file=file,
        )
    return data


def _notes_of(opened: _Open, holder: KeyHolder, role: Role) -> tuple[str, ...]:
    named = authors_of(opened.loaded.procedure)
    if role != "author" or same_name(holder.name) in map(same_name, named):
        return ()
    known = f"Its authors are {', '.join(dict.fromkeys(named))}" if named else "It names no author"
    return (f"{known}; {holder.name} signs as author all the same.",)


def _hold_outputs(opened: _Open, files: Mapping[str, str]) -> None:
    """Refuse to sign outputs that are not there, or not what was published."""
    folder = opened.folder
    if not any(name.endswith(f"/{MANIFEST}") for name in files):
        raise InputError(
            "nothing of it is published here",
            remedy="Publish it into a folder beside procedure.yaml",
            file=folder,
        )
    changed = next(changed_outputs(folder, {}), None)
    if changed is not None:
        raise InputError(
            "this is not what was published", remedy="Publish again", file=folder / changed
        )


def _hold_still(opened: _Open, files: Mapping[str, str]) -> None:
    """Refuse to sign what somebody has changed since it was looked at."""
    seen = {PROCEDURE_FILE: hashlib.sha256(opened.data).hexdigest()}
    if REVIEW_FILE in files:
        seen[REVIEW_FILE] = files[REVIEW_FILE]
    for name, digest in seen.items():
        if digest_of(opened.folder, name) != digest:
            raise InputError(
                "this was changed meanwhile",
                remedy="Look at it, and sign again",
                file=opened.folder / name,
            )


def _time(opened: _Open, now: datetime | None) -> str:
    time = moment(now)
    newest = opened.keyring.history.entries[-1].act.time
    if datetime.fromisoformat(time) < datetime.fromisoformat(newest):
        raise InputError(
            f"the clock says {time}, and keys were admitted at {newest}",
            remedy="Set the clock of this machine",
            file=opened.shop.folder,
        )
    return time


def _hold_approval(
    opened: _Open,
    data: bytes,
    files: dict[str, str],
    media: Sequence[Path],
    progress: Progress,
    cancel: Cancel | None,
) -> tuple[str, ...]:
    """Hold a procedure against all that approval asks; return what the signer should know.

    Raises:
        InputError: if it may not be approved.
    """
    loaded = parse_procedure(data, opened.loaded.file)
    revision = loaded.procedure.revision
    for act in opened.acts:
        if (act.revision, act.purpose) != (revision, "approved"):
            continue
        if act.files[PROCEDURE_FILE] != files[PROCEDURE_FILE]:
            raise InputError(
                f"revision {revision} was approved with other content on {act.time[:10]}",
                remedy="Make a new revision of it",
                file=loaded.file,
            )
    open_points = list(not_accepted(loaded.procedure, opened.folder))
    if open_points:
        raise InputError(
            f"it cannot be approved yet: {_some(open_points)}",
            remedy="Have every number, critical point and criterion accepted with "
            "'reelwright sign-off'",
            file=opened.folder / REVIEW_FILE,
        )
    missing = [
        ref.file
        for ref in loaded.procedure.recordings
        if next(candidates(ref, opened.folder, media), None) is None
    ]
    facts = None if missing else find_recordings(loaded, media, progress, cancel)[1]
    verdict = check(loaded.procedure, facts, read_review(opened.folder) or "none")
    faults = [f"{one.rule.id}: {one.problem}" for one in verdict.remarks if forbids(one)]
    if faults:
        raise InputError(
            f"it cannot be approved yet: {_some(faults)}",
            remedy="Mend what 'reelwright check' tells",
            file=loaded.file,
        )
    return tuple(_notes(missing))


def _notes(missing: Sequence[str]) -> Iterator[str]:
    if missing:
        yield f"The recordings were not looked at: {', '.join(missing[:_SHOWN])} is not here."


def _some(said: Sequence[str]) -> str:
    more = f"; and {len(said) - _SHOWN} more" if len(said) > _SHOWN else ""
    return f"{'; '.join(said[:_SHOWN])}{more}"
