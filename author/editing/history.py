"""What was done to a document, so that it can be undone and done again."""

from __future__ import annotations

from collections import deque
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime

from author.editing.addresses import Address, Path
from author.editing.comments import moved_comments
from author.procedure.document import Procedure

BOUND = 1_000
"""How many entries are kept to be undone, unless another number is asked for."""


@dataclass(frozen=True, slots=True)
class State:
    """A snapshot of the document, and where the comments of its file are in it.

    Attributes:
        procedure: the document.
        comments: whole-line comments by the path they stand before.
        file: stands for the file that the comments are of; another object is another file.
    """

    procedure: Procedure
    comments: Mapping[Path, tuple[str, ...]] = field(default_factory=dict)
    file: object = None

    def become(self, procedure: Procedure) -> State:
        """Return the state with another document made of this one."""
        comments = moved_comments(self.procedure, procedure, self.comments)
        return State(procedure, comments, self.file)


@dataclass(frozen=True, slots=True)
class Entry:
    """One gesture: what undo takes back at once.

    Attributes:
        label: what was done, in words.
        was: address, in the document before, of the thing it is about.
        now: address, in the document after, of the thing it is about.
        before: the state it was done to.
        after: the state it led to.
        when: when it was done, with time zone.
        merge: further commands with this key go into the entry; None for no such key.
    """

    label: str
    was: Address
    now: Address
    before: State
    after: State
    when: datetime
    merge: str | None = None


class History:
    """Entries that can be undone, and undone ones that can be done again.

    Attributes:
        bound: how many of the first are kept; the oldest are let go.
    """

    def __init__(self, bound: int = BOUND) -> None:
        self.bound = bound
        self._done: deque[Entry] = deque(maxlen=bound)
        self._undone: list[Entry] = []

    @property
    def done(self) -> tuple[Entry, ...]:
        """What can be undone, oldest first."""
        return tuple(self._done)

    @property
    def undone(self) -> tuple[Entry, ...]:
        """What can be done again, the next first."""
        return tuple(reversed(self._undone))

    @property
    def last(self) -> Entry | None:
        """What is undone next."""
        return self._done[-1] if self._done else None

    @property
    def next(self) -> Entry | None:
        """What is done again next."""
        return self._undone[-1] if self._undone else None

    def add(self, entry: Entry) -> None:
        """Note what was done; what had been undone cannot be done again after it."""
        self._done.append(entry)
        self._undone.clear()

    def extend(self, entry: Entry) -> Entry:
        """Let what was done be part of the last entry, and return that."""
        last = self._done.pop()
        whole = replace(entry, label=last.label, was=last.was, before=last.before)
        self._done.append(whole)
        self._undone.clear()
        return whole

    def seal(self) -> None:
        """Let no more be merged into the last entry."""
        if self._done and self._done[-1].merge is not None:
            self._done.append(replace(self._done.pop(), merge=None))

    def undo(self, entry: Entry | None = None) -> Entry:
        """Take the last entry back and return it.

        Args:
            entry: taken back in place of one that is not kept any more.
        """
        taken = self._done.pop() if self._done or entry is None else entry
        self._undone.append(replace(taken, merge=None))
        return taken

    def redo(self, entry: Entry | None = None) -> Entry:
        """Do the next entry again and return it.

        Args:
            entry: done again in place of one that is not kept any more.
        """
        taken = self._undone.pop() if self._undone or entry is None else entry
        self._done.append(taken)
        return taken
