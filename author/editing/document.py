"""The open document: a document under commands, its file, and its journal."""

from __future__ import annotations

from datetime import UTC, datetime
from hashlib import sha256
from pathlib import Path

from author.contract.procedure_file import LoadedProcedure
from author.contract.yaml_reader import YamlTree
from author.editing.editor import Editor
from author.editing.history import BOUND, Entry, State
from author.editing.holding import Hold, Holder
from author.editing.journal import Journal
from author.editing.journal_file import header, journal_path
from author.editing.merging import Merge, Side, merge, sharing
from author.editing.patches import differs
from author.editing.records import Record, file_record
from author.editing.recovery import Recovery
from author.editing.saving import (
    Changed,
    FileLook,
    Saved,
    SaveJob,
    SaveResult,
    Stamp,
    text_of,
)
from author.errors import InputError
from author.procedure.document import Procedure
from author.storage import replace_file


class OpenDocument(Editor):
    """A procedure that is being edited. For one thread; snapshots may go to others.

    Attributes:
        file: the procedure file.
        recovery: unsaved work of an earlier run that is offered; None once it is settled.
        held_by: who else has the procedure open; the document can then only be read.
    """

    def __init__(
        self,
        loaded: LoadedProcedure,
        data: bytes,
        stamp: Stamp,
        hold: Hold,
        recovery: Recovery | None = None,
        bound: int = BOUND,
    ) -> None:
        super().__init__(State(loaded.procedure, loaded.tree.comments, loaded), bound)
        self.file = loaded.file
        self.recovery = recovery
        self.held_by: Holder | None = hold.other
        self._hold = hold
        self._saved = loaded.procedure
        self._dropped = loaded.tree.dropped_comments
        self._stamp = stamp
        self._clean: tuple[Procedure, Procedure, bool] | None = None
        self._mark = 0
        self._journal: Journal | None = None
        self._data = data
        if hold.other is None and recovery is None:
            self._begin_journal(data)

    def loaded(self) -> LoadedProcedure:
        """Return the snapshot as tasks take a procedure and its file; it has no places."""
        return LoadedProcedure(
            self.procedure, YamlTree(comments=dict(self._state.comments)), self.file
        )

    @property
    def read_only(self) -> bool:
        """Whether another has the procedure open."""
        return self.held_by is not None

    @property
    def dirty(self) -> bool:
        """Whether the document differs from what was opened or saved last."""
        now, saved = self.procedure, self._saved
        if self._clean is None or self._clean[0] is not now or self._clean[1] is not saved:
            self._clean = now, saved, differs(saved, now)
        return self._clean[2]

    @property
    def journal_problem(self) -> str | None:
        """Why unsaved work is not being noted at the moment, or None."""
        return None if self._journal is None else self._journal.problem

    def _check_open(self) -> None:
        super()._check_open()
        if self.held_by is not None:
            raise InputError(
                f"{self.held_by} has this procedure open: it can only be read here",
                remedy="Close it there, then open it again",
            )
        if self.recovery is not None:
            self.decline_recovery()

    # The journal.

    def _begin_journal(self, data: bytes, keep_after: int | None = None) -> None:
        if self._journal is None:
            self._journal = Journal(journal_path(self.file))
        file, bound, when = self.file, self._history.bound, _now().isoformat()
        digest = sha256(data).hexdigest()
        self._journal.begin(lambda: header(file, data, digest, bound, when), keep_after)

    def _write(self, record: Record) -> None:
        if self._journal is not None:
            self._mark = self._journal.append(record)

    def accept_recovery(self, prefer: Side | None = None) -> Merge | None:
        """Take the unsaved work of an earlier run in, with what can be undone of it.

        Where the file has changed since, both are brought together; the file's part is an
        entry of its own, "Taken in from the file".

        Args:
            prefer: whose word counts where both have changed the same.

        Returns:
            None if there was nothing to bring together; else what came of it. With
            conflicts and no ``prefer`` nothing is done and the recovery stays offered.

        Raises:
            InputError: if the notes cannot be read, or the document can only be read.
        """
        recovery = self.recovery
        if self.held_by is not None or recovery is None:
            raise InputError("there is no unsaved work to take in", remedy="Go on with the file")
        rebuilt = recovery.rebuilt()
        found: Merge | None = None
        in_file = self._state
        if not recovery.same_base:
            base = rebuilt.base.procedure
            found = merge(base, rebuilt.state.procedure, in_file.procedure, prefer)
            if found.procedure is None:
                return found
        self.recovery = None
        self._history = rebuilt.history
        self._state = in_file.become(rebuilt.state.procedure)
        self._saved = sharing(self.procedure, in_file.procedure)
        self._journal = Journal(journal_path(self.file))
        self._journal.take_over(recovery.frames)
        entry = rebuilt.history.last or rebuilt.history.next  # all of it may have been undone
        if entry is not None:
            self._tell(in_file.procedure, self.procedure, entry)
        if found is not None and found.procedure is not None:
            self._take_in(in_file.become(found.procedure))
        return found

    def decline_recovery(self) -> None:
        """Keep the unsaved work of an earlier run aside and go on with the file."""
        if self.recovery is not None and self.held_by is None:
            self.recovery.put_aside()
            self.recovery = None
            self._begin_journal(self._data)

    # The file.

    def saving(self, *, drop_comments: bool = False) -> SaveJob:
        """Return the job that writes the document as it is now; give its result to ``saved``.

        Args:
            drop_comments: whether comments that share their line with a value may be lost.

        Raises:
            InputError: if the document can only be read.
        """
        self._check_open()
        journal = self._journal

        def announce(digest: str) -> None:
            if journal is not None:
                journal.announce(file_record(digest))
                journal.flush(1.0)

        return SaveJob(
            self.file,
            self._state if self._gesture is None else self._gesture,
            self._saved,
            self._stamp.sha256,
            () if drop_comments else self._dropped,
            self._mark,
            announce,
        )

    def saved(self, result: SaveResult) -> None:
        """Take the result of a saving in."""
        if not isinstance(result, Saved):
            return
        self._saved, self._stamp, self._dropped = result.state.procedure, result.stamp, ()
        self._history.seal()
        if self._journal is not None:  # or else it was closed while the save ran
            self._begin_journal(result.data, result.mark)

    def save(self, *, drop_comments: bool = False) -> SaveResult:
        """Write the document to its file at once; see ``saving``."""
        result = self.saving(drop_comments=drop_comments).run()
        self.saved(result)
        return result

    def save_copy(self, file: Path) -> None:
        """Write the document to another file, which stays a copy.

        Raises:
            InputError, MachineError: if it cannot be written.
        """
        replace_file(file, text_of(self._state, file))

    def looking(self) -> FileLook:
        """Return the job that looks whether another has changed the file."""
        return FileLook(self.file, self._stamp, self._saved, self.procedure)

    def looked(self, result: Changed | Stamp | None) -> None:
        """Take the result of a look in."""
        if isinstance(result, Stamp) and result.sha256 == self._stamp.sha256:
            self._stamp = result

    def check_file(self) -> Changed | None:
        """Look at once whether another has changed the file; see ``looking``."""
        result = self.looking().run()
        self.looked(result)
        return result if isinstance(result, Changed) else None

    def wrote(self, changed: Changed) -> bool:
        """Whether what was found in the file is what this document wrote last."""
        return changed.stamp is not None and changed.stamp.sha256 == self._stamp.sha256

    def take_in(self, changed: Changed, prefer: Side | None = None) -> Merge:
        """Bring what another has written into the document, as one entry that can be undone.

        Args:
            changed: what a save or a look has found.
            prefer: whose word counts where both have changed the same.

        Returns:
            What came of it. With conflicts and no ``prefer`` nothing is done.

        Raises:
            InputError: if the file is no procedure, or the document can only be read.
        """
        self._check_open()
        if changed.theirs is None or changed.stamp is None:
            raise changed.problem or InputError("the file is no procedure", file=self.file)
        found = changed.merge
        if prefer is not None or changed.mine is not self.procedure:
            found = merge(self._saved, self.procedure, changed.theirs.procedure, prefer)
        if found.procedure is None:
            return found
        theirs = changed.theirs
        self._stamp, self._dropped = changed.stamp, theirs.tree.dropped_comments
        self._saved = found.theirs or theirs.procedure
        state = State(theirs.procedure, theirs.tree.comments, theirs)
        self._take_in(state.become(found.procedure))
        return found

    def _take_in(self, state: State) -> None:
        self.end_merge()
        if self._journal is not None:
            self._journal.announce(file_record(self._stamp.sha256))
        entry = Entry("Taken in from the file", (), (), self._state, state, _now())
        if self._do(entry).entry is None:
            self._state = state  # other comments alone

    def close(self, *, discard: bool = False) -> None:
        """End the editing: let the lock go, and the journal if it is of no use.

        Args:
            discard: whether unsaved work is given up; otherwise it is offered the next time.
        """
        if self._journal is not None:
            self._journal.close(remove=discard or not self.dirty)
            self._journal = None
        self._hold.release()


def _now() -> datetime:
    return datetime.now(UTC)
