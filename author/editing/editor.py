"""A document under commands: the snapshot shown, and what was done to it."""

from __future__ import annotations

import contextlib
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import UTC, datetime

from author.editing.addresses import Address, nearest
from author.editing.commands import Command
from author.editing.history import Entry, History, State
from author.editing.patches import Patch, difference
from author.editing.records import Record, done_record, step_record
from author.errors import InputError
from author.procedure.document import Procedure

Listener = Callable[[Procedure, Procedure, Entry], None]
"""Told the snapshot before, the snapshot after, and what was done."""


@dataclass(frozen=True, slots=True)
class Change:
    """What has become of the document.

    Attributes:
        before: the snapshot before.
        after: the snapshot now; the same object if nothing has changed.
        entry: what was done, undone or done again; None if nothing has changed.
        place: address of what to show and select, which is there in ``after``.
    """

    before: Procedure
    after: Procedure
    entry: Entry | None
    place: Address


class Editor:
    """A document under commands. For one thread; its snapshots may go to others."""

    def __init__(self, state: State, bound: int) -> None:
        self._state = state
        self._history = History(bound)
        self._listeners: list[Listener] = []
        self._telling = False
        self._gesture: State | None = None

    @property
    def procedure(self) -> Procedure:
        """The snapshot now."""
        return self._state.procedure

    @property
    def history(self) -> tuple[Entry, ...]:
        """What can be undone, oldest first."""
        return self._history.done

    @property
    def can_undo(self) -> bool:
        """Whether there is something to undo."""
        return self._history.last is not None

    @property
    def can_redo(self) -> bool:
        """Whether there is something to do again."""
        return self._history.next is not None

    @property
    def undo_label(self) -> str:
        """What undo would take back, in words; empty if nothing."""
        return self._history.last.label if self._history.last else ""

    @property
    def redo_label(self) -> str:
        """What redo would do again, in words; empty if nothing."""
        return self._history.next.label if self._history.next else ""

    def on_change(self, listener: Listener) -> Callable[[], None]:
        """Have a function called after each change; returns what ends that."""
        self._listeners.append(listener)

        def stop() -> None:
            with contextlib.suppress(ValueError):
                self._listeners.remove(listener)

        return stop

    def do(self, command: Command, merge: str | None = None) -> Change:
        """Carry a command out.

        Args:
            command: what to do.
            merge: a key; the command goes into the last entry if that was made with the
                same key and nothing came between.

        Raises:
            InputError: if it cannot be done, or the document can only be read; nothing has
                changed then.
        """
        self._check_open()
        before = self._state
        outcome = command.outcome(before.procedure)
        after = before.become(outcome.procedure)
        entry = Entry(outcome.label, outcome.was, outcome.now, before, after, _now(), merge)
        return self._do(entry)

    def _do(self, entry: Entry) -> Change:
        before, after = entry.before.procedure, entry.after.procedure
        patch = difference(before, after)
        if not patch:
            return Change(before, before, None, nearest(entry.now, before, before))
        self._state = entry.after
        if self._gesture is None:
            entry = self._note_done(entry, patch)
        self._tell(before, after, entry)
        return Change(before, after, entry, nearest(entry.now, before, after))

    def _note_done(self, entry: Entry, patch: Patch) -> Entry:
        last = self._history.last
        extends = entry.merge is not None and last is not None and last.merge == entry.merge
        self._write(done_record(entry, patch, extends=extends))
        if extends:
            return self._history.extend(entry)
        self._history.add(entry)
        return entry

    @contextlib.contextmanager
    def gesture(self, label: str) -> Iterator[None]:
        """Make one entry of all that is done inside; an exception takes it all back.

        Listeners are told of each command as it is done, and at the end of the whole entry,
        or of the last command where nothing has changed in all, with the same snapshot before
        and after.

        Args:
            label: what is done, in words.
        """
        self._check_open()
        if self._gesture is not None:
            yield  # part of the outer one
            return
        begun = self._gesture = self._state
        first: list[Entry] = []
        stop = self.on_change(lambda _before, _after, entry: first.append(entry))
        try:
            yield
        except BaseException:
            self._gesture = None
            self._take_back(begun, label)
            raise
        finally:
            stop()
            self._gesture = None
        patch = difference(begun.procedure, self.procedure)
        if first and patch:
            # The comments go the way of the whole, as they do where it is read from a journal.
            self._state = begun.become(self.procedure)
            was, now = first[0].was, first[-1].now
            entry = self._note_done(Entry(label, was, now, begun, self._state, _now()), patch)
            self._tell(self.procedure, self.procedure, entry)
        elif first:
            self._tell(self.procedure, self.procedure, first[-1])

    def _take_back(self, begun: State, label: str) -> None:
        left, self._state = self._state, begun
        if left is not begun:
            entry = Entry(label, (), (), left, begun, _now())
            self._tell(left.procedure, begun.procedure, entry)

    @property
    def in_gesture(self) -> bool:
        """Whether a gesture is being done."""
        return self._gesture is not None

    def end_merge(self) -> None:
        """Let the next command be an entry of its own, whatever its key."""
        self._history.seal()

    def undo(self) -> Change:
        """Take the last entry back.

        Raises:
            InputError: if there is none.
        """
        self._check_step()
        if self._history.last is None:
            raise InputError("there is nothing to undo", remedy="Nothing was done yet")
        entry = self._history.undo()
        self._history.seal()
        return self._step("undo", entry, entry.after, entry.before)

    def redo(self) -> Change:
        """Do again what was undone last.

        Raises:
            InputError: if there is nothing.
        """
        self._check_step()
        if self._history.next is None:
            raise InputError("there is nothing to do again", remedy="Nothing was undone")
        entry = self._history.redo()
        return self._step("redo", entry, entry.before, entry.after)

    def _check_step(self) -> None:
        self._check_open()
        if self._gesture is not None:
            msg = "undo or redo inside a gesture"
            raise RuntimeError(msg)

    def _step(self, act: str, entry: Entry, left: State, reached: State) -> Change:
        before, after = left.procedure, reached.procedure
        # Comments are those of the file as it was read last.
        now = self._state
        self._state = reached if reached.file is now.file else now.become(after)
        self._write(step_record(act, entry, difference(before, after)))
        self._tell(before, after, entry)
        place = entry.was if act == "undo" else entry.now
        return Change(before, after, entry, nearest(place, before, after))

    def _check_open(self) -> None:
        """Refuse what cannot be done now."""
        if self._telling:
            msg = "the document was changed while listeners are told of a change"
            raise RuntimeError(msg)

    def _write(self, record: Record) -> None:
        """Note what was done where it outlives the program."""

    def _tell(self, before: Procedure, after: Procedure, entry: Entry) -> None:
        self._telling = True
        try:
            for listener in tuple(self._listeners):
                listener(before, after, entry)
        finally:
            self._telling = False


def _now() -> datetime:
    return datetime.now(UTC)
