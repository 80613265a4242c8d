"""Puts a procedure folder into the library, in one step of the file system.

The folder of a procedure holds its newest revision as the author's folder had it. The one
before is kept below ``revisions/``, by its number. What the library itself writes beside it,
signatures and history, is carried over and never overwritten. Where somebody else has shelved
another content meanwhile, both are brought together, or nothing is done.
"""

from __future__ import annotations

import hashlib
import os
import re
import secrets
import shutil
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from dataclasses import replace as with_
from pathlib import Path
from typing import Literal

from author.contract.procedure_file import PROCEDURE_FILE, LoadedProcedure, read_procedure
from author.contract.reading import read_bytes
from author.errors import InputError
from author.folder_exchange import exchange
from author.library.locking import writing
from author.library.shelves.bases import (
    KEPT,
    Bring,
    Together,
    base_of,
    desk_files,
    differing,
    has_gone_on,
    meeting,
    new_base,
    not_asked,
    refuse_other_case,
    refuse_step_back,
    refuse_unknown,
    shelf_files,
    write_base,
)
from author.library.shelves.given_up import add_given_up, given_up_in
from author.library.shop import REVISIONS, Shop, free_aside
from author.library.signing.given_states import Given, given_by, shelving_notes
from author.library.signing.manifest import with_state
from author.library.signing.sign_off_notes import people_or_none, sign_off_notes
from author.library.signing.states import SETTLED
from author.procedure.document import State
from author.progress import Cancel
from author.storage import before_step, file_error, file_sha256, write_file

_LEFT = re.compile(r"\.([a-z0-9-]+)\.new-[0-9a-f]{8}(?:-old)?$")
_NOTHING = Together({}, frozenset())
_BLOCK = 1 << 20


@dataclass(frozen=True, slots=True)
class Shelved:
    """What became of a procedure folder.

    Attributes:
        procedure: id of the procedure.
        revision: its revision.
        folder: where it lies now.
        did: ``new``, ``next`` revision, ``changed`` at the same revision, ``merged`` with what
            others have shelved since, ``replaced`` where that was put aside, or ``same`` where
            the library had it already.
        before: the revision that was there, None if there was none.
        together: where it was merged, what each side brought.
        notes: what its author should know, one sentence each without a full stop.
        given_up: what others gave up in the library since the folder was taken, one line each.
    """

    procedure: str
    revision: int
    folder: Path
    did: Literal["new", "next", "changed", "merged", "replaced", "same"]
    before: int | None
    together: Together = _NOTHING
    notes: tuple[str, ...] = ()
    given_up: tuple[str, ...] = ()


def shelve(
    shop: Shop,
    source: Path,
    cancel: Cancel | None = None,
    *,
    bring: Bring | None = None,
    replace: bool = False,
    answered: Sequence[str] = (),
) -> Shelved:
    """Put a procedure folder into the library.

    Args:
        shop: the library.
        source: a folder that holds a procedure, or its procedure file.
        cancel: looked at between files; the library is then as it was.
        bring: brings the folder together with what others have shelved since it was taken.
        replace: put another draft of the same revision aside instead, below ``revisions/``.
        answered: places at which ``bring`` knows what counts; refused where nothing meets.

    Raises:
        InputError: if the procedure is wrong, older than the one in the library, or of a
            revision that is settled there with another content; if somebody else has shelved
            another content and both cannot be brought together; if a link leads out of its
            folder; or if the library cannot be written.
        MachineError: if the machine fails.
        Cancelled: on request.
    """
    loaded = read_procedure(source)
    if loaded.file.name != PROCEDURE_FILE:
        raise InputError(
            "a procedure that is shelved lies in a folder of its own",
            remedy=f"Put it into one as {PROCEDURE_FILE}, and name the folder",
            file=source,
        )
    folder = loaded.file.parent.resolve()
    if folder.is_relative_to(shop.procedures.resolve()):
        raise InputError(
            "this folder lies in the library already", remedy="Name a folder outside", file=source
        )
    files = dict(desk_files(folder))
    with writing(shop):
        try:
            work = _Shelving(shop, loaded, folder, files, cancel or Cancel(), answered)
            since = base_of(folder, loaded.procedure.id, shop)
            lost = given_up_in(work.target)[since.given_up :] if since else ()
            done = work.run(bring, replace=replace)
            done = with_(done, notes=tuple(work.notes()), given_up=lost)
            base = new_base(shop, loaded, work.data, work.digests())
        except OSError as error:
            raise file_error(error, error.filename or shop.folder) from error
    write_base(folder, base)
    return done


class _Shelving:
    """One procedure on its way into the library; the lock is held."""

    def __init__(
        self, shop: Shop, loaded: LoadedProcedure, folder: Path, files: dict[str, Path],
        cancel: Cancel, answered: Sequence[str],
    ) -> None:  # fmt: skip
        self.answered = answered
        self.shop, self.loaded, self.folder, self.files = shop, loaded, folder, files
        self.cancel = cancel
        self.target = shop.place_of(loaded.procedure.id)
        self.data = read_bytes(loaded.file)
        self.given = Given(False, ())
        self._copied: dict[str, str] = {}

    def digests(self) -> dict[str, str]:
        """Return the SHA-256 of the author's files, as they were taken."""
        return {
            name: self._copied.get(name) or file_sha256(path) for name, path in self.files.items()
        }

    def notes(self) -> Iterator[str]:
        """Yield what the author should know."""
        one = self.loaded.procedure
        yield from shelving_notes(one, self.files, self.shop, keyed=self.given.keyed)
        yield from sign_off_notes(one, self.folder, people_or_none(self.shop))

    def run(self, bring: Bring | None, *, replace: bool) -> Shelved:
        one, target = self.loaded.procedure, self.target
        self.shop.procedures.mkdir(exist_ok=True)
        _tidy(target)
        refuse_other_case(self.shop, one.id, target)
        self.given = given_by(self.shop, target)
        theirs = _before(target)
        shelf = None if theirs is None else read_bytes(theirs.file)
        self.given.refuse_claim(self.loaded, self.data, shelf)
        if theirs is None:
            self._refuse_answers()
            self._put(_NOTHING, None, None)
            return Shelved(one.id, one.revision, target, "new", None)
        before = theirs.procedure.revision
        refuse_step_back(self.loaded, before)
        state = self.given.state(theirs.procedure)
        if before == one.revision and _is_same(target, self.files, state):
            self._refuse_answers()
            return Shelved(one.id, one.revision, target, "same", before)
        together = None
        if not (replace and before == one.revision):
            together = self._brought(theirs, bring)
            replace = False
        if together is None:
            self._refuse_answers()
        if together is not None and self._adds_nothing(together, before):
            return Shelved(one.id, one.revision, target, "same", before, together)
        aside = str(before) if before != one.revision else None
        if replace:
            aside = free_aside(target, before)
        self._put(together or _NOTHING, before, aside)
        did: Literal["next", "changed", "merged", "replaced"] = "next"
        if together is not None:
            did = "merged"
        elif before == one.revision:
            did = "replaced" if replace else "changed"
        return Shelved(one.id, one.revision, target, did, before, together or _NOTHING)

    def _refuse_answers(self) -> None:
        """Refuse answers to what nobody asks; ``answered`` is no error where both meet."""
        if self.answered:
            raise not_asked(self.answered[0], self.loaded.file)

    def _brought(self, theirs: LoadedProcedure, bring: Bring | None) -> Together | None:
        """Return what is to be shelved where the library has gone on; None if it has not."""
        claimed = self.given.state(theirs.procedure) != theirs.procedure.state
        base = base_of(self.folder, self.loaded.procedure.id, self.shop)
        shelf = dict(shelf_files(self.target))
        same = theirs.procedure.revision == self.loaded.procedure.revision
        if base is None or base.revision > theirs.procedure.revision:
            differ = differing(self.files, shelf) if same else set()
            # A state on the shelf that no act gives is put right by the author's draft.
            if claimed and differ == {PROCEDURE_FILE}:
                told = with_state(self.data, theirs.procedure.state)
                differ = set() if told == read_bytes(theirs.file) else differ
            if differ:
                raise refuse_unknown(self.loaded, self.shop, self.loaded.file)
            return None
        if not has_gone_on(base, self.files, shelf, theirs.procedure.state):
            return None
        given = {"state": self.given.state(theirs.procedure)}
        theirs = with_(theirs, procedure=theirs.procedure.model_copy(update=given))
        both = meeting(base, self.loaded, self.files, theirs, shelf)
        if both is None or bring is None:
            raise refuse_unknown(self.loaded, self.shop, self.loaded.file)
        return bring(both)

    def _adds_nothing(self, together: Together, before: int) -> bool:
        """Whether the library has all of it already."""
        if before != self.loaded.procedure.revision:
            return False
        left = {n: p for n, p in self.files.items() if n not in together.kept}
        written = all(
            (place := self.target / name).is_file() and place.read_bytes() == data
            for name, data in together.contents.items()
        )
        rest = {name: path for name, path in left.items() if name not in together.contents}
        stored = read_procedure(self.target).procedure
        return written and (not rest or _is_same(self.target, rest, self.given.state(stored)))

    def _put(self, together: Together, before: int | None, aside: str | None) -> None:
        """Build the folder beside its place and put it there.

        Args:
            together: what takes the place of the author's files.
            before: the revision in the library, None if there is none.
            aside: where below ``revisions/`` the one before goes, None if it is this one.
        """
        target = self.target
        built = self.shop.procedures / f".{target.name}.new-{secrets.token_hex(4)}"
        before_step("make", built)
        built.mkdir()
        try:
            for name, path in self.files.items():
                self.cancel.check()
                if name not in together.kept and name not in together.contents:
                    self._copied[name] = copy_file(path, built.joinpath(*name.split("/")))
            for name, data in together.contents.items():
                write_file(built / name, data)
            for name in sorted(together.kept):
                link_file(target.joinpath(*name.split("/")), built.joinpath(*name.split("/")))
            if before is not None and aside is None:
                _keep_state(built, self.given.state(read_procedure(target).procedure))
            if before is not None:
                fresh = {*self.files, *together.contents, *together.kept}
                _carry_over(target, built, aside, fresh)
            add_given_up(built, together.given_up)
            before_step("exchange", target)
            exchange(built, target)
            before_step("tidy", target)
        finally:
            shutil.rmtree(built, ignore_errors=True)


def _before(target: Path) -> LoadedProcedure | None:
    """Return the procedure in a folder of the library, None where there is none."""
    if not (target / PROCEDURE_FILE).exists():
        return None
    try:
        return read_procedure(target)
    except InputError as error:
        raise InputError(
            f"the procedure in the library is damaged: {error.problem}",
            remedy="Mend it or take its folder out first, so that nothing is lost",
            file=target / PROCEDURE_FILE,
            line=error.line,
        ) from error


def _is_same(target: Path, files: Mapping[str, Path], state: State) -> bool:
    """Whether every file is in the library as it is; refuses to change what is settled."""
    differ = {
        name
        for name, path in files.items()
        if not (place := target.joinpath(*name.split("/"))).is_file()
        or place.stat().st_size != path.stat().st_size
        or file_sha256(place) != file_sha256(path)
    }
    if differ:
        # A state beyond draft is given in the library; the author's own file may still say draft.
        if state != "draft" and PROCEDURE_FILE in differ:
            mine = with_state(files[PROCEDURE_FILE].read_bytes(), state)
            if mine == (target / PROCEDURE_FILE).read_bytes():
                differ.discard(PROCEDURE_FILE)
        if differ and state in SETTLED:
            raise InputError(
                f"this revision is {state} in the library, with another content",
                remedy="Count the revision up",
                file=files[min(differ)],
            )
    return not differ


def _keep_state(built: Path, state: State) -> None:
    """Let a procedure that is shelved again keep the state it was given in the library."""
    file = built / PROCEDURE_FILE
    data = with_state(file.read_bytes(), state) if state != "draft" else None
    if data is not None and data != file.read_bytes():
        write_file(file, data)


def _carry_over(target: Path, built: Path, aside: str | None, fresh: set[str]) -> None:
    """Take along what the folder in the library holds beside the new files.

    Args:
        target: the folder in the library.
        built: the one that takes its place.
        aside: where below ``revisions/`` the one before goes, None if it is this one.
        fresh: names of the new files.
    """
    for root, folders, names in os.walk(target):
        base = Path(root)
        folders.sort()
        for name in sorted(names):
            path = base / name
            short = path.relative_to(target).as_posix()
            place = built.joinpath(*short.split("/"))
            if short.split("/")[0] not in KEPT:
                if aside is not None:
                    place = built.joinpath(REVISIONS, aside, *short.split("/"))
                elif short in fresh:
                    continue
            link_file(path, place)


def copy_file(path: Path, place: Path) -> str:
    """Copy a file, its folder made, and return the SHA-256 of what was copied."""
    place.parent.mkdir(parents=True, exist_ok=True)
    before_step("write", place)
    digest = hashlib.sha256()
    with path.open("rb") as source, place.open("wb") as stream:
        while block := source.read(_BLOCK):
            digest.update(block)
            stream.write(block)
        stream.flush()
        os.fsync(stream.fileno())
    before_step("written", place)
    return digest.hexdigest()


def link_file(path: Path, place: Path) -> None:
    """Put a file of the library at a second place, without its bytes where that can be."""
    place.parent.mkdir(parents=True, exist_ok=True)
    before_step("carry", place)
    try:
        os.link(path, place, follow_symlinks=False)
    except (OSError, NotImplementedError):
        shutil.copy2(path, place, follow_symlinks=False)


def tidy(shop: Shop) -> None:
    """Mend what killed runs left in the whole library; does nothing where nothing is left.

    Raises:
        InputError, MachineError: if it cannot be written.
    """
    left = {match[1] for one in shop.procedures.glob(".*") if (match := _LEFT.match(one.name))}
    if left:
        with writing(shop):
            for name in sorted(left):
                _tidy(shop.place_of(name))


def _tidy(target: Path) -> None:
    """Mend what killed runs left; the lock says no run is alive."""
    for away in sorted(target.parent.glob(f".{target.name}.new-????????-old")):
        if target.exists():
            shutil.rmtree(away, ignore_errors=True)
        else:
            away.rename(target)
    for built in sorted(target.parent.glob(f".{target.name}.new-????????")):
        shutil.rmtree(built, ignore_errors=True)
