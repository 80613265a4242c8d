"""The state a procedure has: what the library's history gives it, not what its file claims.

A library without keys has no history; there the file is all that says a state.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Mapping, Sized
from dataclasses import dataclass
from pathlib import Path

from author.checks.remarks import Subject
from author.checks.review import check as check_review
from author.contract.procedure_file import PROCEDURE_FILE, LoadedProcedure
from author.contract.review_file import REVIEW_FILE, read_review
from author.errors import InputError, ReelwrightError
from author.library.shop import Shop
from author.library.signing.history import library_history, procedure_history
from author.library.signing.manifest import ProcedureAct, with_state
from author.library.signing.states import STATES, put_aside, state_of, words
from author.procedure.document import Procedure, State

_MOST_NAMED = 3
_OLD = frozenset({"review.stale", "review.other_revision"})


@dataclass(frozen=True, slots=True)
class Given:
    """The states that a library has given a procedure.

    Attributes:
        keyed: whether the library has keys, so that its history says the state.
        acts: what was signed of the procedure, oldest first.
    """

    keyed: bool
    acts: tuple[ProcedureAct, ...]

    def state(self, stored: Procedure) -> State:
        """Return the state that counts of a procedure on the shelf."""
        return state_of(self.acts, stored.revision) if self.keyed else stored.state

    def refuse_claim(self, loaded: LoadedProcedure, data: bytes, shelf: bytes | None) -> None:
        """Refuse a state beyond draft that the history does not give, or what was put aside.

        Args:
            loaded: the procedure that is to be shelved.
            data: bytes of its file.
            shelf: bytes of the file on the shelf, None if there is none.

        Raises:
            InputError: if it claims one.
        """
        one = loaded.procedure
        if one.revision in put_aside(self.acts):
            line, column = loaded.tree.place(("revision",))
            raise InputError(
                f"revision {one.revision} was withdrawn and put aside",
                remedy="Count the revision up",
                file=loaded.file,
                line=line,
                column=column,
            )
        if one.state == "draft" or not self.keyed:
            return
        state = state_of(self.acts, one.revision)
        if state != "draft" and shelf is not None:
            # Another content of a settled revision is refused when the files are compared.
            if state == one.state or with_state(data, state) == shelf:
                return
        elif state == one.state and self._signed(one.revision) == hashlib.sha256(data).hexdigest():
            return
        line, column = loaded.tree.place(("state",))
        said = f"revision {one.revision} is {words(state)}"
        if state == one.state:
            said = f"revision {one.revision} was {words(state)} with another content"
        raise InputError(
            f"the file says {words(one.state)}, and by the library's history {said}",
            remedy="Set 'state: draft'; the library gives states ('reelwright library state')",
            file=loaded.file,
            line=line,
            column=column,
        )

    def _signed(self, revision: int) -> str | None:
        """Return the SHA-256 of the file that the state of a revision was signed over."""
        mine = [a for a in self.acts if a.revision == revision and a.purpose in STATES]
        return mine[-1].files.get(PROCEDURE_FILE) if mine else None


def given_by(shop: Shop, folder: Path) -> Given:
    """Return the states that a library has given the procedure in a folder of it.

    Raises:
        InputError, MachineError: if a history cannot be read.
    """
    entries = library_history(shop.folder).entries
    if not entries:
        return Given(False, ())
    history = procedure_history(folder, entries[0].sha256, shop.folder)
    return Given(True, tuple(entry.act for entry in history.entries))


def aside_by_history(shop: Shop, procedure: str) -> frozenset[int]:
    """Return the drafts of a procedure that were put aside; none if that cannot be read.

    What is withdrawn then counts as such, so that nothing is gone by.
    """
    try:
        return put_aside(given_by(shop, shop.place_of(procedure)).acts)
    except ReelwrightError:
        return frozenset()


def shelving_notes(
    one: Procedure, files: Mapping[str, Path], shop: Shop, *, keyed: bool
) -> Iterator[str]:
    """Yield what an author should know of a procedure that is shelved, one sentence each.

    Args:
        one: the procedure.
        files: every file of the author's folder.
        shop: the library it is shelved in.
        keyed: whether the library has keys.
    """
    if one.state != "draft" and not keyed:
        yield (
            f"Its file says {words(one.state)}, and nobody has signed that: this library has no "
            "keys yet"
        )
    missing = [
        id_ for id_ in _waited_for(one) if not (shop.place_of(id_) / PROCEDURE_FILE).exists()
    ]
    if missing:
        them = ", ".join(f"'{id_}'" for id_ in missing[:_MOST_NAMED])
        yield f"It waits for {them}{_more(missing, _MOST_NAMED)}, which the library does not hold"
    if REVIEW_FILE in files:
        yield from _stale(one, files[REVIEW_FILE].parent)
    beside = [path for name, path in files.items() if name.rpartition("/")[0] in {"", "media"}]
    names, sizes = {path.name for path in beside}, {path.stat().st_size for path in beside}
    away = [ref.file for ref in one.recordings if ref.file not in names and ref.size not in sizes]
    if away:
        yield (
            f"Films outside the folder do not come along ({away[0]}{_more(away, 1)}): "
            "publish with --media, or put them into media/ and shelve again"
        )


def _waited_for(one: Procedure) -> list[str]:
    named = (before.procedure for before in one.prerequisites if before.procedure is not None)
    return list(dict.fromkeys(ref.id for ref in named if ref.id != one.id))


def _stale(one: Procedure, folder: Path) -> Iterator[str]:
    """Yield that sign-offs are of something else than the procedure is now."""
    try:
        sheet = read_review(folder)
    except InputError:
        return  # told with those who signed
    if sheet is None:
        return
    subject = Subject(one, {}, recordings_known=False, review=sheet, review_known=True)
    old = [r.problem for r in check_review(subject) if r.rule.id in _OLD]
    if old:
        yield f"Sign-offs do not count any more: {old[0]}{_more(old, 1)}"


def _more(some: Sized, named: int) -> str:
    return f" and {len(some) - named} more" if len(some) > named else ""
