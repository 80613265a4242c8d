"""Is everything as signed? Holds every history, key and stored byte of a library together.

Nothing is needed but the folder: the public keys are in the library's own history. What
was cut off the end of a history shows only against heads kept elsewhere.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from author.checks.remarks import Subject
from author.checks.review import check as check_review
from author.contract.procedure_file import PROCEDURE_FILE
from author.contract.reading import read_bytes
from author.contract.review_file import REVIEW_FILE, read_review
from author.errors import InputError
from author.library.quick_reader import read_document
from author.library.shop import PROCEDURES, REVISIONS, Shop, procedure_folders
from author.library.signing.audit_revisions import (
    HeldAct,
    RevisionAudit,
    in_force_problems,
    kept_revisions,
    output_problems,
)
from author.library.signing.history import (
    HISTORY,
    SIGNATURES,
    Heads,
    History,
    Problem,
    held_against,
    procedure_history,
)
from author.library.signing.known_people import KnownPeople
from author.library.signing.manifest import (
    ProcedureAct,
    changed_outputs,
)
from author.library.signing.people import Keyring, read_keyring, sheet_problems
from author.library.signing.rights import act_problems
from author.library.signing.sign_off_notes import people_or_none, sign_off_notes
from author.library.signing.signatures import SignedAct
from author.library.signing.since_signed import Digests, changes_since
from author.library.signing.states import SETTLED, STATES, newest_signed, state_of, words
from author.procedure.document import Procedure, State
from author.progress import SILENT, Cancel, Progress
from author.storage import MANIFEST, read_manifest


@dataclass(frozen=True, slots=True)
class ActReport:
    """One act as the audit found it.

    Attributes:
        entry: the act.
        stands: whether what it was over is still what is stored, apart from the state.
        why: where it does not stand, what was changed; else None.
    """

    entry: SignedAct[ProcedureAct]
    stands: bool
    why: str | None


@dataclass(frozen=True, slots=True)
class ProcedureAudit:
    """What the audit found of one procedure.

    Attributes:
        procedure: name of its folder, which is its id.
        revision: revision of the stored file; None if it cannot be read.
        state: what the history says of that revision; ``draft`` where nobody has signed.
        acts: every act, oldest first.
        problems: what is not as signed.
        revisions: those kept below it; looked at by ``with_revisions`` alone.
        notes: what else has to be told of it, without being against a signature; likewise.
    """

    procedure: str
    revision: int | None
    state: State
    acts: tuple[ActReport, ...]
    problems: tuple[Problem, ...]
    revisions: tuple[RevisionAudit, ...] = ()
    notes: tuple[Problem, ...] = ()


@dataclass(frozen=True, slots=True)
class Audit:
    """What the audit found of a library.

    Attributes:
        founded: SHA-256 of the founding act, by which the library is known; None where it
            was not founded.
        procedures: each procedure looked at.
        problems: what is wrong with the library's own history and keys.
    """

    founded: str | None
    procedures: tuple[ProcedureAudit, ...]
    problems: tuple[Problem, ...]

    @property
    def all_problems(self) -> tuple[Problem, ...]:
        """Every problem, the library's own first."""
        return (*self.problems, *(one for entry in self.procedures for one in entry.problems))


def audit(
    shop: Shop,
    only: Sequence[str] = (),
    heads: Heads | None = None,
    progress: Progress = SILENT,
    cancel: Cancel | None = None,
) -> Audit:
    """Hold a library against its signatures.

    Args:
        shop: the library.
        only: ids of the procedures to look at; all of them if empty.
        heads: where the histories stood, as kept elsewhere.
        progress: told how far it is.
        cancel: looked at between procedures.

    Raises:
        InputError: if a procedure named is not there, or a file cannot be read.
        MachineError: if the machine fails.
    """
    keyring = read_keyring(shop.folder)
    problems = [*keyring.problems, *sheet_problems(shop.sheet, keyring)]
    if heads is not None:
        problems += held_against(keyring.history, heads.history, HISTORY)
    there = dict(procedure_folders(shop))
    kept = heads.procedures if heads is not None else {}
    wanted = tuple(dict.fromkeys(only)) or tuple(sorted({*there, *kept}))
    known = people_or_none(shop)
    found = []
    for done, name in enumerate(wanted):
        if cancel is not None:
            cancel.check()
        progress.report("holding against signatures", done, len(wanted))
        if name in there:
            one = audit_procedure(shop, there[name], keyring, heads)
            one = with_revisions(one, there[name], keyring, known)
            kept_outputs = output_problems(one.revisions, f"{PROCEDURES}/{name}")
            found.append(replace(one, problems=(*one.problems, *kept_outputs)))
        elif name in kept:
            said = f"'{name}' had {kept[name].number} acts when the head was kept, and is gone"
            problems.append(Problem(said, f"{PROCEDURES}/{name}"))
        else:
            raise no_such_procedure(shop, name)
    progress.report("holding against signatures", len(wanted), len(wanted))
    founded = keyring.founded if keyring.history.entries else None
    return Audit(founded, tuple(found), tuple(problems))


def with_revisions(
    found: ProcedureAudit, folder: Path, keyring: Keyring, known: KnownPeople | None
) -> ProcedureAudit:
    """Return what was found of a procedure, with its kept revisions and what else is to tell.

    Args:
        found: what ``audit_procedure`` found.
        folder: the procedure's folder.
        keyring: the keys of the library.
        known: who the library knows, None if that is not to be looked at.

    Raises:
        MachineError: if a file cannot be read.
    """
    place = f"{PROCEDURES}/{folder.name}"
    procedure, _ = _read(folder)
    keyed = bool(keyring.history.entries)
    held = [HeldAct(one.entry, one.why) for one in found.acts]
    kept = kept_revisions(folder, procedure, held, found.problems, keyed=keyed)
    notes: list[Problem] = []
    if procedure is not None:
        told = sign_off_notes(procedure, folder, known)
        notes = [Problem(said, f"{place}/{REVIEW_FILE}") for said in told]
    problems = (*found.problems, *(in_force_problems(kept, place) if keyed else ()))
    return replace(found, revisions=kept, notes=tuple(notes), problems=problems)


def no_such_procedure(shop: Shop, name: str) -> InputError:
    """Return the error that a library has no procedure of that id."""
    return InputError(
        f"there is no procedure '{name[:48]}' in the library",
        remedy="Name it by its id, or shelve it with 'reelwright library shelve'",
        file=shop.procedures,
    )


def audit_procedure(
    shop: Shop,
    folder: Path,
    keyring: Keyring,
    heads: Heads | None = None,
    *,
    outputs: bool = True,
    claims: bool = True,
) -> ProcedureAudit:
    """Hold one procedure against its signatures.

    Args:
        shop: the library.
        folder: the procedure's folder.
        keyring: whose signatures count.
        heads: where the histories stood, as kept elsewhere.
        outputs: whether to look at what was published beside stills and clips.
        claims: whether a state that its file claims and nobody has signed is a problem.

    Raises:
        InputError, MachineError: if a file cannot be read.
    """
    place = f"{PROCEDURES}/{folder.name}"
    history = procedure_history(folder, keyring.founded, shop.folder)
    problems = list(history.problems)
    if heads is not None:
        named = heads.procedures.get(folder.name)
        problems += held_against(history, named, f"{place}/{SIGNATURES}")
    problems += act_problems(history, keyring, folder.name, shop.folder)
    procedure, unreadable = _read(folder)
    if procedure is None:
        problems.append(Problem(f"this cannot be read: {unreadable}", f"{place}/{PROCEDURE_FILE}"))
    elif procedure.id != folder.name:
        said = f"this is the procedure '{procedure.id}': it was moved here from another folder"
        problems.append(Problem(said, f"{place}/{PROCEDURE_FILE}"))
    acts = [entry.act for entry in history.entries]
    newest = newest_signed(acts)
    if procedure is None and newest and (folder / REVISIONS / str(newest)).is_dir():
        newest = None  # it is kept below, and held against what is kept
    revision = procedure.revision if procedure is not None else newest
    digests: Digests = {}
    reports = tuple(_reports(folder, history, revision, digests))
    problems += _content_problems(reports, revision, place, outputs=outputs)
    if acts and outputs:
        problems += (
            Problem("this is not what was published", f"{place}/{name}")
            for name in changed_outputs(folder, digests)
        )
    if procedure is not None:
        problems += _stored_problems(procedure, folder, acts, place, claims=claims)
    state = "draft" if revision is None else state_of(acts, revision)
    return ProcedureAudit(
        folder.name,
        procedure.revision if procedure is not None else None,
        state,
        reports,
        tuple(dict.fromkeys(problems)),
    )


def _read(folder: Path) -> tuple[Procedure | None, str]:
    try:
        file = folder / PROCEDURE_FILE
        return read_document(read_bytes(file), file), ""
    except InputError as error:
        return None, error.problem


def _reports(
    folder: Path, history: History[ProcedureAct], revision: int | None, digests: Digests
) -> Iterator[ActReport]:
    """Yield each act with what was changed since in what it was over."""
    ruling = {e.act.revision: e.act.number for e in history.entries if e.act.purpose in STATES}
    for entry in history.entries:
        act = entry.act
        # Of the present revision the state is held against the history by itself.
        exact = act.revision != revision and ruling.get(act.revision) == act.number
        place = folder if act.revision == revision else folder / REVISIONS / str(act.revision)
        if not place.is_dir():
            yield ActReport(entry, False, f"revision {act.revision} is not kept any more")
            continue
        changed = list(changes_since(place, act, digests, exact=exact))
        more = f", and {len(changed) - 1} more" if len(changed) > 1 else ""
        yield ActReport(entry, not changed, f"{changed[0]}{more}" if changed else None)


def _content_problems(
    reports: Sequence[ActReport], revision: int | None, place: str, *, outputs: bool
) -> Iterator[Problem]:
    """Yield the acts that have to stand and do not.

    These are, of every revision, the newest change of state that lets people work by it or
    forbids it; of the present one also the newest act, and the newest about its outputs.
    """
    due: dict[tuple[int, str], ActReport] = {}
    for report in reports:
        act = report.entry.act
        if act.purpose in STATES:
            due.pop((act.revision, "state"), None)
            if act.purpose in SETTLED:
                due[act.revision, "state"] = report
        if act.revision == revision and act.purpose == "published":
            due[act.revision, "outputs"] = report
        elif act.revision == revision:
            due[act.revision, "newest"] = report
    for one in {report.entry.act.number: report for report in due.values()}.values():
        act = one.entry.act
        if not one.stands and (outputs or act.purpose != "published"):
            said = (
                f"{one.why} after {act.name} signed revision {act.revision} "
                f"as {words(act.purpose)} on {act.time[:10]}"
            )
            yield Problem(said, place)
    newest = newest_signed([report.entry.act for report in reports])
    if revision is not None and newest is not None and revision < newest:
        said = f"revision {newest} was signed, and revision {revision} was put in its place"
        yield Problem(said, f"{place}/{PROCEDURE_FILE}")


def _stored_problems(
    procedure: Procedure, folder: Path, acts: Sequence[ProcedureAct], place: str, *, claims: bool
) -> Iterator[Problem]:
    """Yield where the stored procedure claims what nobody signed."""
    file = f"{place}/{PROCEDURE_FILE}"
    state = state_of(acts, procedure.revision)
    signed = any(act.revision == procedure.revision for act in acts)
    if procedure.state != state and (signed or (claims and procedure.state in SETTLED)):
        said = f"it says {words(procedure.state)}, and by its history it is {words(state)}"
        yield Problem(said, file)
    if state == "approved":
        for said in not_accepted(procedure, folder):
            yield Problem(f"it is approved, and {said}", file)
    for inner in sorted(path for path in folder.iterdir() if path.is_dir()):
        if acts and (inner / MANIFEST).exists() and read_manifest(inner) is None:
            said = "the list of published files was changed and cannot be read"
            yield Problem(said, f"{place}/{inner.name}/{MANIFEST}")


def not_accepted(procedure: Procedure, folder: Path) -> Iterator[str]:
    """Yield what an approved procedure lacks by its sign-offs.

    Args:
        procedure: the document, in the state ``approved``.
        folder: its folder.
    """
    try:
        sheet = read_review(folder)
    except InputError as error:
        yield f"its sign-offs cannot be read: {error.problem}"
        return
    if sheet is None:
        if not any(True for _ in procedure.placed_points()):
            return
        yield "nobody has signed off its numbers, critical points and criteria"
        return
    subject = Subject(procedure, {}, recordings_known=False, review=sheet, review_known=True)
    for remark in check_review(subject):
        if remark.rule.severity == "error" or remark.rule.id == "review.other_revision":
            yield remark.problem
