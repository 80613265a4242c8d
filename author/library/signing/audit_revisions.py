"""The revisions kept below a procedure: what each is by its file, and by what was signed of it."""

from __future__ import annotations

import hashlib
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from author.contract.procedure_file import PROCEDURE_FILE
from author.contract.reading import read_bytes
from author.errors import InputError
from author.library.quick_reader import read_document
from author.library.shop import REVISIONS, revision_files, set_aside
from author.library.signing.history import SIGNATURES, Problem
from author.library.signing.manifest import ProcedureAct, changed_outputs, with_state
from author.library.signing.signatures import SignedAct, act_file
from author.library.signing.states import (
    SETTLED,
    STATES,
    WORKED_ON,
    put_aside,
    ruling,
    state_of,
    words,
)
from author.procedure.document import Procedure, State


@dataclass(frozen=True, slots=True)
class HeldAct:
    """An act, and what was changed since in what it was over; None if nothing was."""

    entry: SignedAct[ProcedureAct]
    why: str | None


@dataclass(frozen=True, slots=True)
class RevisionAudit:
    """What an audit found of a revision that is kept.

    Attributes:
        name: name of its folder below ``revisions/``: ``1``, or ``1-replaced-1`` for a draft
            that another one took the place of.
        revision: its number; None if its file cannot be read.
        says: the state its file says; None if it cannot be read.
        state: the state it has by the history; that of its file where nobody has signed it.
        act: what was signed of it last about its state, or else last.
        in_force: whether work goes by it, because the later one is still worked on.
        wrong: what is wrong with it, None if nothing is; no full stop.
        outputs: what was signed of it and published, and is not so any more.
    """

    name: str
    revision: int | None
    says: State | None
    state: State
    act: ProcedureAct | None
    in_force: bool
    wrong: str | None
    outputs: tuple[Problem, ...] = ()


def kept_revisions(
    folder: Path,
    present: Procedure | None,
    held: Sequence[HeldAct],
    problems: Collection[Problem],
    *,
    keyed: bool,
) -> tuple[RevisionAudit, ...]:
    """Return the revisions that are kept below a procedure, the oldest first.

    Args:
        folder: the procedure's folder.
        present: the procedure in it; None if it cannot be read.
        held: the acts of its history, oldest first.
        problems: what is wrong with it, acts among it.
        keyed: whether the library has keys, so that a state is to be signed.

    Raises:
        MachineError: if a file cannot be read.
    """
    found = [
        _kept(str(number), file, number, held, problems, keyed=keyed)
        for number, file in revision_files(folder)
    ]
    if present is None or present.state in WORKED_ON:
        says = {one.revision: one.says for one in found if one.revision and one.says}
        ruled = ruling(says, lambda: put_aside(one.entry.act for one in held))
        found = [
            replace(one, in_force=one.revision == ruled and one.says == "approved") for one in found
        ]
    return (*found, *(_put_aside(name, file, held) for name, file in set_aside(folder)))


def in_force_problems(found: Sequence[RevisionAudit], place: str) -> Iterator[Problem]:
    """Yield that the revision work goes by is not as signed.

    Where its own act rules that it is approved, a change is told of that act already.

    Args:
        found: the revisions kept below a procedure.
        place: the procedure's folder below the library's.
    """
    for one in found:
        ruled = one.act is not None and one.act.purpose in SETTLED
        if one.in_force and one.wrong is not None and not ruled:
            said = f"work goes by this revision, and {one.wrong}"
            yield Problem(said, f"{place}/{REVISIONS}/{one.name}/{PROCEDURE_FILE}")


def output_problems(found: Sequence[RevisionAudit], place: str) -> Iterator[Problem]:
    """Yield what was published of kept revisions, signed, and is not so any more.

    Args:
        found: the revisions kept below a procedure.
        place: the procedure's folder below the library's.
    """
    for one in found:
        for problem in one.outputs:
            yield Problem(problem.said, f"{place}/{REVISIONS}/{one.name}/{problem.file}")


def _kept(
    name: str,
    file: Path,
    number: int,
    held: Sequence[HeldAct],
    problems: Collection[Problem],
    *,
    keyed: bool,
) -> RevisionAudit:
    own = [one for one in held if one.entry.act.revision == number]
    ruling = [one for one in own if one.entry.act.purpose in STATES]
    newest = next(reversed(ruling or own), None)
    state = state_of([one.entry.act for one in own], number)
    one, wrong = _read(file)
    says = one.state if one is not None else None
    if one is not None and one.revision != number:
        wrong = f"it holds revision {one.revision}"
    elif one is not None and newest is None and keyed and says in SETTLED:
        wrong = f"it says {words(one.state)}, and nobody has signed that"
    elif newest is not None and wrong is None:
        files = {f"{SIGNATURES}/{act_file(each.entry.act)}" for each in own}
        about = (p.said for p in problems if any(p.file.endswith(f"/{f}") for f in files))
        wrong = newest.why or next(about, None)
    outputs = tuple(_outputs(file.parent, own, newest))
    if outputs and wrong is None:
        wrong = f"{outputs[0].said} ({outputs[0].file})"
    act = None if newest is None else newest.entry.act
    revision = None if one is None else one.revision
    told = state if act else says or state
    return RevisionAudit(name, revision, says, told, act, False, wrong, outputs)


def _outputs(place: Path, own: Sequence[HeldAct], newest: HeldAct | None) -> Iterator[Problem]:
    """Yield what was published of a signed revision and is not so any more, by the file.

    Where the act that rules on it covers a file, a change is told of that act already.

    Raises:
        MachineError: if a file cannot be read.
    """
    if newest is None or not place.is_dir():
        return
    covered = newest.entry.act.files if newest.entry.act.purpose in SETTLED else {}
    try:
        changed = [name for name in changed_outputs(place, {}) if name not in covered]
    except InputError as error:
        yield Problem(f"what was published cannot be read: {error.problem}", PROCEDURE_FILE)
        return
    yield from (Problem("this is not what was published", name) for name in changed)
    published = [one for one in own if one.entry.act.purpose == "published"]
    for one in published[-1:]:
        if one.why is not None and newest.why is None and not changed:
            act = one.entry.act
            said = f"{one.why} after {act.name} signed it as published on {act.time[:10]}"
            yield Problem(said, PROCEDURE_FILE)


def _put_aside(name: str, file: Path, held: Sequence[HeldAct]) -> RevisionAudit:
    """Return what a draft is that another took the place of: its own acts are those over it."""
    one, wrong = _read(file)
    if one is None:
        return RevisionAudit(name, None, None, "draft", None, False, wrong)
    data = read_bytes(file)
    over = [each.entry.act for each in held if _is_over(each.entry.act, one, data)]
    act = over[-1] if over else None
    return RevisionAudit(name, one.revision, one.state, one.state, act, False, None)


def _is_over(act: ProcedureAct, one: Procedure, data: bytes) -> bool:
    """Whether an act was signed over these bytes, apart from the word for the state."""
    as_signed = with_state(data, act.state) if act.revision == one.revision else None
    if as_signed is None:
        return False
    return hashlib.sha256(as_signed).hexdigest() == act.files.get(PROCEDURE_FILE)


def _read(file: Path) -> tuple[Procedure | None, str | None]:
    try:
        return read_document(read_bytes(file), file), None
    except InputError as error:
        return None, f"it cannot be read: {error.problem}"


def revision_line(procedure: str, one: RevisionAudit, *, keyed: bool) -> str:
    """Return a kept revision as one line of text.

    Args:
        procedure: id of the procedure.
        one: the revision.
        keyed: whether the library has keys.
    """
    act = one.act
    by = f"{act.name}, {act.role}, {act.time[:10]}" if act is not None else "nobody has signed"
    state = words(one.state) if one.says is not None else "-"
    told = [f"{state}, in force" if one.in_force else state, by]
    if "-replaced-" in one.name:
        told.append("put aside for another content")
    if one.wrong is not None:
        told.append(f"NOT as signed: {one.wrong}" if keyed else one.wrong)
    elif act is not None:
        told.append("as signed")
    return "  ".join([procedure, f"{REVISIONS}/{one.name}", *told])
