"""Unsaved work of an earlier run: found when a procedure is opened, offered, never thrown away."""

from __future__ import annotations

import contextlib
import os
import time
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from author.contract.procedure_file import LoadedProcedure
from author.editing.journal_file import MOST_BYTES, journal_path, read_journal
from author.editing.patches import difference
from author.editing.records import Rebuilt, rebuild
from author.errors import InputError
from author.storage import file_error

ASIDE_DAYS = 30
"""How long notes that were declined are kept aside."""


@dataclass(frozen=True, slots=True)
class Recovery:
    """Unsaved work that is offered.

    Attributes:
        journal: the file it is in.
        found: what was made of it; None if it cannot be read.
        same_base: whether the file is still as the work knows it; otherwise both are
            brought together when it is accepted.
        problem: why it cannot be read.
        frames: the lines of the journal that are good.
    """

    journal: Path
    found: Rebuilt | None
    same_base: bool
    problem: str | None = None
    frames: tuple[bytes, ...] = ()

    @property
    def labels(self) -> tuple[str, ...]:
        """What was done and not undone, oldest first, in words."""
        return () if self.found is None else tuple(e.label for e in self.found.history.done)

    @property
    def undone(self) -> tuple[str, ...]:
        """What was undone and could be done again, the last undone first, in words."""
        return () if self.found is None else tuple(e.label for e in self.found.history.undone)

    @property
    def gestures(self) -> int:
        """How many gestures there are, undone ones counted."""
        return 0 if self.found is None else self.found.gestures

    @property
    def last(self) -> datetime | None:
        """When the last was made."""
        return None if self.found is None else self.found.last

    @property
    def damaged(self) -> bool:
        """Whether something behind the last good gesture was left out."""
        return self.found is None or self.found.damaged

    def rebuilt(self) -> Rebuilt:
        """Return the work.

        Raises:
            InputError: if it cannot be read.
        """
        if self.found is None:
            raise InputError(
                self.problem or "the notes of unsaved work cannot be read",
                remedy="Go on with the file; they are kept aside",
                file=self.journal,
            )
        return self.found

    def put_aside(self) -> Path | None:
        """Keep the journal under another name; None if that cannot be done."""
        stamp = datetime.now(UTC).strftime("%Y%m%d-%H%M%S-%f")
        aside = self.journal.with_name(f"{self.journal.stem}.aside-{stamp}.journal")
        with contextlib.suppress(OSError):
            self.journal.rename(aside)
            os.utime(aside)  # its days aside begin now, however long it lay there
            return aside
        return None


def find_recovery(loaded: LoadedProcedure, digest: str) -> Recovery | None:
    """Return the unsaved work on a procedure, or None if there is none.

    A journal whose work is in the file already is removed.

    Args:
        loaded: the file as it is now.
        digest: SHA-256 of its bytes.
    """
    path = journal_path(loaded.file)
    _forget_old(path)
    try:
        with path.open("rb") as stream:
            data = stream.read(MOST_BYTES)
    except FileNotFoundError:
        return None
    except OSError as error:
        return Recovery(path, None, False, file_error(error, path).problem)
    if b"\n" not in data:  # killed before the first gesture was written
        _remove(path)
        return None
    try:
        journal = read_journal(data)
        found = rebuild(journal, loaded.file)
    except InputError as error:
        return Recovery(path, None, False, error.problem)
    if not found.gestures and not found.damaged:
        _remove(path)
        return None
    if not difference(loaded.procedure, found.state.procedure):
        _remove(path)
        return None
    # A run may have been killed between its note that it saves and the saving itself.
    same = digest in found.known[-2:]
    return Recovery(path, found, same, None, journal.frames[: found.records + 1])


def _remove(path: Path) -> None:
    with contextlib.suppress(OSError):
        path.unlink()


def _forget_old(path: Path) -> None:
    bound = time.time() - ASIDE_DAYS * 86_400
    for aside in path.parent.glob(f"{path.stem}.aside-*.journal"):
        with contextlib.suppress(OSError):
            if aside.stat().st_mtime < bound:
                aside.unlink()
