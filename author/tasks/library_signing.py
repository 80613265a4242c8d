"""Sign procedures of a library, change their state, and say whether all is as signed."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import datetime
from pathlib import Path

from author.checks import check
from author.checks.verdict import forbids
from author.contract.procedure_file import PROCEDURE_FILE, parse_procedure
from author.contract.review_file import REVIEW_FILE, read_review
from author.errors import InputError
from author.library.locking import writing
from author.library.shop import Role, open_shop
from author.library.signing.audit import (
    audit_procedure,
    not_accepted,
)
from author.library.signing.history import append
from author.library.signing.keys import Signer
from author.library.signing.known_people import people_of
from author.library.signing.manifest import (
    KeyHolder,
    Purpose,
    changed_outputs,
)
from author.library.signing.sign_off_notes import accepted_by_strangers, strangers_said
from author.library.signing.signatures import Signing, act_file
from author.library.signing.signing import (
    Opened,
    Words,
    files_to_sign,
    hold_still,
    holder_of,
    new_act,
    open_to_sign,
    role_of,
    with_new_state,
)
from author.library.signing.states import STATES, way_on, why_not, words
from author.procedure.document import Procedure
from author.procedure.review import ReviewSheet, authors_of, said_of, same_name
from author.progress import SILENT, Cancel, Progress
from author.storage import MANIFEST, replace_file
from author.tasks.library_keys import usable_keyring
from author.tasks.media import candidates, find_recordings

_SHOWN = 3


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
        opened = open_to_sign(library, usable_keyring(library), procedure)
        holder = holder_of(opened, signer)
        chosen = _chosen_role(opened, purpose, holder, role)
        data = _data_to_sign(opened, purpose)
        files = files_to_sign(opened.folder, purpose, data)
        notes = _notes_of(opened, holder, chosen)
        if purpose == "published":
            _hold_outputs(opened, files)
        if purpose == "approved":
            notes += _hold_approval(opened, data, files, media, progress, cancel)
        said = Words(purpose, opened.procedure.revision, chosen, reason, now)
        act = new_act(opened, holder, said, files)
        hold_still(opened.folder, opened.data, files)
        entry = append(opened.history, act, signer)
        if data != opened.data:
            replace_file(opened.file, data, follow=False)
    return Signing(entry, opened.history.folder / act_file(act), notes)


def _chosen_role(opened: Opened, purpose: Purpose, holder: KeyHolder, role: Role | None) -> Role:
    """Return the role an act is signed in, if it may be signed at all.

    Raises:
        InputError: if it may not; the sentence says why.
    """
    procedure, file = opened.procedure, opened.file
    wrong = why_not(opened.acts, purpose, procedure.revision, holder.name, holder.key)
    judging = purpose in {"reviewed", "approved"}
    if wrong is None and judging and same_name(holder.name) in _author_names(procedure):
        wrong = f"{holder.name} wrote this procedure, and nobody judges own work"
    if wrong is not None:
        raise InputError(wrong, remedy=way_on(opened.acts, purpose, procedure.revision), file=file)
    found = role_of(holder, purpose, opened.state, role, file)
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


def _data_to_sign(opened: Opened, purpose: Purpose) -> bytes:
    """Return the procedure's bytes as they will be stored with the act.

    Raises:
        InputError: if the state in them is not the one of the history, or not to be set.
    """
    procedure, file = opened.procedure, opened.file
    if purpose not in STATES:
        if procedure.state != opened.state:
            raise InputError(
                f"it says {words(procedure.state)}, and by its history it is {words(opened.state)}",
                remedy="Set the state with 'reelwright library state'",
                file=file,
            )
        return opened.data
    return with_new_state(opened.data, purpose, file)


def _notes_of(opened: Opened, holder: KeyHolder, role: Role) -> tuple[str, ...]:
    named = authors_of(opened.procedure)
    if role != "author" or same_name(holder.name) in map(same_name, named):
        return ()
    known = f"Its authors are {', '.join(dict.fromkeys(named))}" if named else "It names no author"
    return (f"{known}; {holder.name} signs as author all the same.",)


def _hold_outputs(opened: Opened, files: Mapping[str, str]) -> None:
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


def _hold_approval(
    opened: Opened,
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
    loaded = parse_procedure(data, opened.file)
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
    sheet = read_review(opened.folder)
    unproved = tuple(_hold_signers(opened, loaded.procedure, sheet)) if sheet else ()
    missing = [
        ref.file
        for ref in loaded.procedure.recordings
        if next(candidates(ref, opened.folder, media), None) is None
    ]
    facts = None if missing else find_recordings(loaded, media, progress, cancel)[1]
    verdict = check(loaded.procedure, facts, sheet or "none")
    faults = [f"{one.rule.id}: {one.problem}" for one in verdict.remarks if forbids(one)]
    if faults:
        raise InputError(
            f"it cannot be approved yet: {_some(faults)}",
            remedy="Mend what 'reelwright check' tells",
            file=loaded.file,
        )
    return (*unproved, *_notes(missing, sheet))


def _hold_signers(opened: Opened, procedure: Procedure, sheet: ReviewSheet) -> Iterator[str]:
    """Refuse sign-offs of people the library does not know; yield where it cannot be said.

    Raises:
        InputError: if nobody it knows has accepted a point, or its accounts are damaged.
    """
    known = people_of(opened.shop)
    strange = list(accepted_by_strangers(procedure, sheet, known))
    if not strange:
        return
    if not known.unread:
        raise InputError(
            f"it cannot be approved yet: {strangers_said(strange)}",
            remedy="Have the points accepted by somebody it knows, or let a keeper admit the key "
            "of whoever signed off, or add an account",
            file=opened.folder / REVIEW_FILE,
        )
    who = ", ".join(dict.fromkeys(one.by for one in strange))
    yield f"Whether the library knows {who} was not looked at: only its owner reads its accounts."


def _notes(missing: Sequence[str], sheet: ReviewSheet | None) -> Iterator[str]:
    for query, answer in sheet.overruled() if sheet is not None else ():
        note = f": “{answer.note}”" if answer.note else ", without an answer"
        yield f"{said_of(query)}; {answer.by} settled it on {answer.date}{note}."
    if missing:
        yield f"The recordings were not looked at: {', '.join(missing[:_SHOWN])} is not here."


def _some(said: Sequence[str]) -> str:
    more = f"; and {len(said) - _SHOWN} more" if len(said) > _SHOWN else ""
    return f"{'; '.join(said[:_SHOWN])}{more}"
