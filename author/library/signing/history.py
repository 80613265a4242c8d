"""Append-only histories: folders of signed acts, each naming the one before it.

``SHOP/history`` says whose keys count, ``SHOP/procedures/<id>/signatures`` what was said
of a procedure. An act is one file, written whole; adding one changes no other, so two
people who sign different procedures never touch the same file.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Annotated, Generic, Literal

from pydantic import Field

from author.errors import InputError
from author.library.signing.keys import Signer
from author.library.signing.manifest import NOTHING_BEFORE, KeyAct, ProcedureAct
from author.library.signing.signatures import (
    AnyAct,
    SignedAct,
    act_file,
    read_act,
    read_act_file,
    signed_bytes,
)
from author.procedure.values import Count, Fingerprint, Id, Line, Moment, Node
from author.storage import file_error, flush_folder, replace_file

HISTORY = "history"
SIGNATURES = "signatures"
_NAME = re.compile(r"([0-9]{4,5})-[a-z_]+\.json")


@dataclass(frozen=True, slots=True)
class Problem:
    """One thing that is not as signed.

    Attributes:
        said: what is wrong, one sentence without a full stop.
        file: the file or folder it is about, as a path below the library's folder.
    """

    said: str
    file: str


@dataclass(frozen=True, slots=True)
class History(Generic[AnyAct]):
    """The acts of a history, and what is wrong with their chain.

    Attributes:
        folder: where it lies.
        first: what its first act has to name as the one before it.
        entries: the acts that can be read, in order.
        problems: what was changed, cut or put in; empty if it is whole.
    """

    folder: Path
    first: str
    entries: tuple[SignedAct[AnyAct], ...]
    problems: tuple[Problem, ...]

    @property
    def head(self) -> str:
        """What the next act has to name as the one before it."""
        return self.entries[-1].sha256 if self.entries else self.first


class Head(Node):
    """Where a history stood: number and SHA-256 of its newest act."""

    number: Count
    sha256: Fingerprint


class Heads(Node):
    """Where all histories of a library stood; kept elsewhere, it shows what was cut off.

    Attributes:
        form: ``library-heads/1``.
        library: what the shop calls the library.
        time: when this was written.
        history: the library's own history.
        procedures: the history of each procedure that has one.
    """

    form: Literal["library-heads/1"]
    library: Line
    time: Moment
    history: Head | None = None
    procedures: Annotated[dict[Id, Head], Field(default_factory=dict)]


def moment(now: datetime | None = None) -> str:
    """Return a time, or the present one, in UTC as acts have it."""
    return (now or datetime.now(UTC)).astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")


def read_history(folder: Path, model: type[AnyAct], first: str, shop: Path) -> History[AnyAct]:
    """Read a history and hold its chain together.

    Args:
        folder: the folder of acts; none if it is missing.
        model: the form of its acts.
        first: what the first act has to name as the one before it.
        shop: the library's folder.

    Raises:
        InputError, MachineError: if it cannot be read.
    """
    problems: list[Problem] = []
    entries: list[SignedAct[AnyAct]] = []
    place = folder.relative_to(shop).as_posix()
    for number, name in _act_files(folder, place, problems):
        path = folder / name
        read = None if path.is_symlink() else read_act(read_act_file(path), model)
        file = f"{place}/{name}"
        if read is None:
            problems.append(Problem("this is no signed act, or it was changed", file))
        elif not read.genuine:
            problems.append(Problem("the signature is not of what the act says", file))
        else:
            if (act_file(read.act), read.act.number) != (name, number):
                said = f"this is act {read.act.number}, {read.act.purpose}, under another name"
                problems.append(Problem(said, file))
            _hold_chain(entries[-1] if entries else None, read, first, file, problems)
            entries.append(read)
    return History(folder, first, tuple(entries), tuple(problems))


def _act_files(folder: Path, place: str, problems: list[Problem]) -> Iterator[tuple[int, str]]:
    """Yield number and name of the files of acts; note what else lies there or is missing."""
    if folder.is_symlink():
        problems.append(Problem("this is a link, not a folder of acts", place))
        return
    if not folder.is_dir():
        return
    try:
        names = [path.name for path in folder.iterdir() if not path.name.startswith(".")]
    except OSError as error:
        raise file_error(error, folder) from error
    expected = 1
    for name in sorted(names, key=lambda name: (len(name.partition("-")[0]), name)):
        found = _NAME.fullmatch(name)
        if found is None:
            problems.append(Problem("this does not belong among signed acts", f"{place}/{name}"))
            continue
        number = int(found[1])
        if number < expected:
            said = f"there are two acts with the number {number}: two histories were put together"
            problems.append(Problem(said, f"{place}/{name}"))
        elif number > expected:
            missing = f"act {expected}" if number == expected + 1 else f"acts from {expected} on"
            problems.append(Problem(f"{missing} before this one was taken out", f"{place}/{name}"))
        expected = max(expected, number + 1)
        yield number, name


def _hold_chain(
    before: SignedAct[AnyAct] | None,
    entry: SignedAct[AnyAct],
    first: str,
    file: str,
    problems: list[Problem],
) -> None:
    named = before.sha256 if before is not None else first
    if entry.act.before != named:
        said = "the act before it is not the one it was signed after"
        problems.append(Problem(said, file))
    if before is not None and _when(entry.act.time) < _when(before.act.time):
        said = (
            f"it says {entry.act.time}, the act before it {before.act.time}: a clock was set back"
        )
        problems.append(Problem(said, file))


def _when(time: str) -> datetime:
    return datetime.fromisoformat(time)


def append(history: History[AnyAct], act: AnyAct, signer: Signer) -> SignedAct[AnyAct]:
    """Sign an act and put it at the end of a history, all or nothing.

    The caller holds the lock of the library.

    Raises:
        InputError: if the history is not whole, the clock is behind its newest act, or it
            cannot be written.
        MachineError: if the machine fails.
    """
    if history.problems:
        wrong = history.problems[0]
        raise InputError(
            f"the history is not as signed: {wrong.said}",
            remedy="Bring back the files as they were; 'reelwright library verify' tells all",
            file=wrong.file,
        )
    if history.entries and _when(act.time) < _when(history.entries[-1].act.time):
        raise InputError(
            f"the clock says {act.time}, and the newest act is of {history.entries[-1].act.time}",
            remedy="Set the clock of this machine",
            file=history.folder,
        )
    data = signed_bytes(act, signer)
    read = read_act(data, type(act))
    if read is None or not read.genuine:
        msg = "the act just signed does not read back as the same act"
        raise AssertionError(msg)
    try:
        if not history.folder.exists():
            history.folder.mkdir()
            flush_folder(history.folder.parent)
        for leftover in history.folder.glob(".*.part"):
            leftover.unlink(missing_ok=True)
    except OSError as error:
        raise file_error(error, history.folder) from error
    replace_file(history.folder / act_file(act), data, follow=False)
    return read


def library_history(shop: Path) -> History[KeyAct]:
    """Read the history of a library's keys."""
    return read_history(shop / HISTORY, KeyAct, NOTHING_BEFORE, shop)


def procedure_history(folder: Path, founded: str, shop: Path) -> History[ProcedureAct]:
    """Read the history of a procedure.

    Args:
        folder: the procedure's folder.
        founded: SHA-256 of the library's founding act.
        shop: the library's folder.
    """
    return read_history(folder / SIGNATURES, ProcedureAct, founded, shop)


def head_of(history: History[AnyAct]) -> Head | None:
    """Return where a history stands, None if it is empty."""
    if not history.entries:
        return None
    newest = history.entries[-1]
    return Head(number=newest.act.number, sha256=newest.sha256)


def held_against(history: History[AnyAct], head: Head | None, place: str) -> Iterator[Problem]:
    """Yield what a head kept elsewhere shows of a history.

    Args:
        history: the history.
        head: where it stood; None where it was not there.
        place: the folder's path below the library's folder.
    """
    if head is None:
        return
    then = next((e for e in history.entries if e.act.number == head.number), None)
    if then is None:
        said = f"there were {head.number} acts when the head was kept: the end was cut off"
        yield Problem(said, place)
    elif then.sha256 != head.sha256:
        yield Problem(f"act {head.number} is not the one the kept head names", place)
