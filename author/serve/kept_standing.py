"""How kept revisions stand by their signatures, where the newer file above them says nothing."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from author.contract.procedure_file import PROCEDURE_FILE
from author.library.shop import PROCEDURES, REVISIONS
from author.library.signing.audit import ActReport, ProcedureAudit
from author.library.signing.history import SIGNATURES, Problem
from author.library.signing.manifest import (
    changed_outputs,
)
from author.library.signing.since_signed import changes_since
from author.library.signing.states import STATES, WORKED_ON, put_aside, state_of

Kept = dict[int, tuple[Problem, ...]]


def without_the_damaged(audit: ProcedureAudit, folder: Path) -> ProcedureAudit:
    """Return what was found of a procedure, by what is kept below a file that cannot be read.

    What was signed of the newest revision that is approved is held against the files kept of
    it, and the damaged file is no problem of theirs. Where the damaged file may be an approved
    one itself, nothing is taken off: no older revision may step into its place.

    Args:
        audit: what was found.
        folder: the procedure's folder.

    Raises:
        InputError, MachineError: if a file cannot be read.
    """
    acts = [one.entry.act for one in audit.acts]
    aside = put_aside(acts)
    stand = {act.revision: state_of(acts, act.revision) for act in acts
             if act.revision not in aside}  # fmt: skip
    ruled = max((one for one, state in stand.items() if state not in WORKED_ON), default=0)
    place = folder / REVISIONS / str(ruled)
    if audit.revision is not None or stand.get(ruled) != "approved" or not place.is_dir():
        return audit
    ruling = [act.number for act in acts if act.revision == ruled and act.purpose in STATES][-1]
    reports = tuple(
        _held(one, place, exact=one.entry.act.number == ruling)
        if one.entry.act.revision == ruled
        else one
        for one in audit.acts
    )
    below = f"{PROCEDURES}/{folder.name}"
    kept = tuple(f"{below}/{name}/" for name in (SIGNATURES, REVISIONS))
    problems = [one for one in audit.problems if f"{one.file}/".startswith(kept)]
    problems += [
        Problem(f"{one.why} after {one.entry.act.name} signed it", f"{below}/{REVISIONS}/{ruled}")
        for one in reports
        if one.entry.act.number == ruling and not one.stands
    ]
    return replace(audit, acts=reports, problems=tuple(problems))


def _held(report: ActReport, place: Path, *, exact: bool) -> ActReport:
    why = next(changes_since(place, report.entry.act, {}, exact=exact), None)
    return ActReport(report.entry, why is None, why)


def kept_problems(audit: ProcedureAudit, folder: Path, *, keyed: bool) -> Kept:
    """Return what is not as signed of each kept revision, by its number.

    Args:
        audit: what was found of the procedure, with its revisions.
        folder: the procedure's folder.
        keyed: whether the library has keys.

    Raises:
        InputError, MachineError: if a file cannot be read.
    """
    found: Kept = {}
    for one in audit.revisions:
        if one.revision is None or one.name != str(one.revision):
            continue
        below = f"{PROCEDURES}/{folder.name}/{REVISIONS}/{one.name}"
        wrong = [Problem(one.wrong, f"{below}/{PROCEDURE_FILE}")] if one.wrong and keyed else []
        if one.act is not None:
            wrong += (
                Problem("this is not what was published", f"{below}/{name}")
                for name in changed_outputs(folder / REVISIONS / one.name, {})
            )
        if wrong:
            found[one.revision] = tuple(wrong)
    return found
