"""The state a procedure has: what the library's history gives it, not what its file claims.

A library without keys has no history; there the file is all that says a state.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from author.contract.procedure_file import PROCEDURE_FILE, LoadedProcedure
from author.errors import InputError
from author.library.history import library_history, procedure_history
from author.library.manifest import ProcedureAct, with_state
from author.library.shop import Shop
from author.library.states import STATES, state_of, words
from author.procedure.document import Procedure, State


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
        """Refuse a state beyond draft that the history does not give.

        Args:
            loaded: the procedure that is to be shelved.
            data: bytes of its file.
            shelf: bytes of the file on the shelf, None if there is none.

        Raises:
            InputError: if it claims one.
        """
        one = loaded.procedure
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


def shelving_notes(one: Procedure, files: Mapping[str, Path], *, keyed: bool) -> Iterator[str]:
    """Yield what an author should know of a procedure that is shelved, one sentence each.

    Args:
        one: the procedure.
        files: every file of the author's folder.
        keyed: whether the library has keys.
    """
    if one.state != "draft" and not keyed:
        yield (
            f"Its file says {words(one.state)}, and nobody has signed that: this library has no "
            "keys yet"
        )
    beside = [path for name, path in files.items() if name.rpartition("/")[0] in {"", "media"}]
    names, sizes = {path.name for path in beside}, {path.stat().st_size for path in beside}
    away = [ref.file for ref in one.recordings if ref.file not in names and ref.size not in sizes]
    if away:
        more = f" and {len(away) - 1} more" if len(away) > 1 else ""
        yield (
            f"Films outside the folder do not come along ({away[0]}{more}): publish with --media, "
            "or put them into media/ and shelve again"
        )
