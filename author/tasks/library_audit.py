"""Say whether a library is as signed, tell a history, and keep heads of histories elsewhere."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from datetime import datetime
from pathlib import Path
from typing import Any

from pydantic import ValidationError

from author.contract.canonical_json import canonical_file
from author.contract.procedure_file import PROCEDURE_FILE
from author.errors import InputError
from author.library.records.faults import record_faults
from author.library.shop import PROCEDURES, REVISIONS, Shop, open_shop, procedure_folders
from author.library.signing.audit import (
    ActReport,
    Audit,
    ProcedureAudit,
    audit,
    no_such_procedure,
)
from author.library.signing.audit_revisions import RevisionAudit, revision_line
from author.library.signing.history import (
    Head,
    Heads,
    Problem,
    head_of,
    library_history,
    moment,
    procedure_history,
)
from author.library.signing.keys import PublicKey
from author.library.signing.manifest import names_to_sign
from author.library.signing.people import read_keyring
from author.library.signing.rights import act_problems
from author.library.signing.signatures import read_act_file
from author.library.signing.states import STATES, words
from author.progress import SILENT, Cancel, Progress
from author.storage import replace_file
from author.tasks.library_outputs import outputs_behind


def verify(
    shop: Path,
    procedures: Sequence[str] = (),
    kept: Path | None = None,
    progress: Progress = SILENT,
    cancel: Cancel | None = None,
) -> Audit:
    """Hold a library, or some procedures of it, against what was signed. Writes nothing.

    Of the whole library the kept job records are held against their SHA-256 as well.

    Args:
        shop: the library's folder.
        procedures: ids; all of them if empty.
        kept: heads of its histories that were kept elsewhere.
        progress: told how far it is.
        cancel: looked at between procedures.

    Raises:
        InputError: if there is no such library, procedure or file of heads.
        MachineError: if a file cannot be read.
    """
    heads = None if kept is None else _read_heads(kept)
    library = open_shop(shop)
    found = audit(library, procedures, heads, progress, cancel)
    looked = tuple(_with_outputs(library, one) for one in found.procedures)
    found = replace(found, procedures=looked)
    if procedures:
        return found
    return replace(found, problems=(*found.problems, *record_faults(library, cancel)))


def _with_outputs(library: Shop, found: ProcedureAudit) -> ProcedureAudit:
    """Return what was found of a procedure, with the published folders that are behind.

    Looked at are those of the present revision, and of an older one that work goes by; not where
    the file is not as signed, since what was published may be what it has to be again.
    """
    if found.problems:
        return found
    folder = library.place_of(found.procedure)
    places = [folder]
    places += [folder / REVISIONS / one.name for one in found.revisions if one.in_force]
    behind = [
        note
        for place in places
        if (place / PROCEDURE_FILE).is_file()
        for note in outputs_behind(place, place.relative_to(library.folder).as_posix())
    ]
    return replace(found, notes=(*found.notes, *behind, *_unsigned_media(folder, found)))


def _unsigned_media(folder: Path, found: ProcedureAudit) -> Iterator[Problem]:
    """Yield that stills and clips of an approved procedure were made after all who signed it."""
    if found.state != "approved" or not found.acts:
        return
    signed = {name for one in found.acts if one.stands for name in one.entry.act.files}
    later = [one for one in names_to_sign(folder, "authored") if one not in signed]
    if later:
        more = f" and {len(later) - 1} more" if len(later) > 1 else ""
        said = (
            f"{later[0]}{more} came after it was approved, and nobody has signed that: "
            "'reelwright library sign --purpose published'"
        )
        yield Problem(said, f"{PROCEDURES}/{found.procedure}")


def _read_heads(file: Path) -> Heads:
    if not file.exists():
        raise InputError("there is no such file", remedy="Name one that is there", file=file)
    data = read_act_file(file)
    try:
        heads = Heads.model_validate_json(data)
        if canonical_file(heads) == data:
            return heads
    except (ValidationError, InputError):
        pass
    raise InputError(
        "these are no heads of histories, or they were changed",
        remedy="Name a file that 'reelwright library history --head-to' wrote",
        file=file,
    )


def keep_heads(
    shop: Path, to: Path, procedures: Sequence[str] = (), now: datetime | None = None
) -> Heads:
    """Write where the histories of a library stand, for keeping elsewhere.

    Args:
        shop: the library's folder.
        to: the file to write.
        procedures: ids; all of them if empty.
        now: the time; the clock's if None.

    Raises:
        InputError: if there is no such procedure, or a history is not as signed.
        MachineError: if the machine fails.
    """
    library = open_shop(shop)
    keyring = read_keyring(library.folder)
    problems = list(keyring.problems)
    found: dict[str, Head] = {}
    there = dict(procedure_folders(library))
    for name in procedures or there:
        if name not in there:
            raise no_such_procedure(library, name)
        history = procedure_history(there[name], keyring.founded, library.folder)
        problems += [*history.problems, *act_problems(history, keyring, name, library.folder)]
        head = head_of(history)
        if head is not None:
            found[name] = head
    if problems:
        raise InputError(
            f"the history is not as signed: {problems[0].said}",
            remedy="Look at all that 'reelwright library verify' tells first",
            file=problems[0].file,
        )
    heads = Heads(
        form="library-heads/1",
        library=library.sheet.name,
        time=moment(now),
        history=head_of(keyring.history),
        procedures=found,
    )
    replace_file(to, canonical_file(heads))
    return heads


def audit_plain(report: Audit) -> dict[str, Any]:
    """Return what an audit found, for programs."""
    return {
        "founded": report.founded,
        "as_signed": not report.all_problems,
        "problems": [_plain_problem(one) for one in report.problems],
        "procedures": [_plain_procedure(one) for one in report.procedures],
    }


def _plain_problem(problem: Problem) -> dict[str, str]:
    return {"file": problem.file, "problem": problem.said}


def _plain_procedure(found: ProcedureAudit) -> dict[str, Any]:
    return {
        "procedure": found.procedure,
        "revision": found.revision,
        "state": found.state,
        "as_signed": not found.problems,
        "problems": [_plain_problem(one) for one in found.problems],
        "notes": [_plain_problem(one) for one in found.notes],
        "acts": [_plain_act(one) for one in found.acts],
        "revisions": [_plain_revision(one) for one in found.revisions],
    }


def _plain_revision(one: RevisionAudit) -> dict[str, Any]:
    act = one.act
    return {
        "folder": f"{REVISIONS}/{one.name}",
        "revision": one.revision,
        "says": one.says,
        "state": one.state,
        "in_force": one.in_force,
        "purpose": act and act.purpose,
        "time": act and act.time,
        "name": act and act.name,
        "role": act and act.role,
        "problem": one.wrong,
    }


def _plain_act(found: ActReport) -> dict[str, Any]:
    act = found.entry.act
    return {
        "number": act.number,
        "time": act.time,
        "purpose": act.purpose,
        "revision": act.revision,
        "state": act.state,
        "name": act.name,
        "role": act.role,
        "key": PublicKey(bytes.fromhex(act.key)).id,
        "reason": act.reason,
        "sha256": found.entry.sha256,
        "stands": found.stands,
        "changed": found.why,
    }


def audit_lines(found: ProcedureAudit, *, keyed: bool) -> list[str]:
    """Return each revision of a procedure as one line of text, the present one first."""
    acts = [one.entry.act for one in found.acts]
    acts = [act for act in acts if found.revision in {None, act.revision}]
    ruling = [act for act in acts if act.purpose in STATES]
    newest = next(reversed(ruling or acts), None)
    by = f"{newest.name}, {newest.role}, {newest.time[:10]}" if newest else "nobody has signed"
    fine = "as signed" if newest else ""
    own = f"{PROCEDURES}/{found.procedure}/{PROCEDURE_FILE}"
    elsewhere = newest is None and any(one.wrong for one in found.revisions)
    if any(one.file == own or not elsewhere for one in found.problems):
        fine = "NOT as signed"
    revision = "-" if found.revision is None else found.revision
    present = f"{found.procedure}  revision {revision}  {words(found.state)}  {by}  {fine}"
    kept = [revision_line(found.procedure, one, keyed=keyed) for one in found.revisions]
    return [present.rstrip(), *kept]


def procedure_lines(found: ProcedureAudit) -> list[str]:
    """Return each act of a procedure as one line of text, oldest first."""
    lines = []
    for one in found.acts:
        act = one.entry.act
        reason = f" “{act.reason}”" if act.reason else ""
        stays = f", revision {act.stays} stays in force" if act.stays else ""
        since = "" if one.stands else f"; since then {one.why}"
        lines.append(
            f"{act.number:>3}  {act.time}  revision {act.revision}  {words(act.purpose):<10}  "
            f"{act.name}, {act.role}{stays}{reason}{since}"
        )
    return lines


def key_rows(shop: Path) -> list[dict[str, Any]]:
    """Return each act of the library's own history, oldest first, for programs."""
    library = open_shop(shop)
    rows = []
    for entry in library_history(library.folder).entries:
        act = entry.act
        rows.append(
            {
                "number": act.number,
                "time": act.time,
                "purpose": act.purpose,
                "holder": act.holder.name,
                "roles": list(act.holder.roles),
                "key": PublicKey(bytes.fromhex(act.holder.key)).id,
                "since": act.since,
                "reason": act.reason,
                "name": act.name,
                "sha256": entry.sha256,
            }
        )
    return rows


def key_line(row: dict[str, Any]) -> str:
    """Return an act of the library's own history as one line of text."""
    since = f" from {row['since']} on" if row["since"] else ""
    reason = f" “{row['reason']}”" if row["reason"] else ""
    return (
        f"{row['number']:>3}  {row['time']}  {row['purpose']:<8}  {row['holder']} "
        f"({', '.join(row['roles'])}; key {row['key'][:16]}){since}{reason}, by {row['name']}"
    )
