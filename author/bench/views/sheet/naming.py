"""Gives a step or an entry a name that a person can say, once its words are written."""

from __future__ import annotations

import re
from itertools import takewhile
from typing import TYPE_CHECKING

from PyQt6.QtCore import QObject

from author.bench.fields import Address, LongField
from author.bench.places import read
from author.checks.naming import new_id
from author.checks.wording import UNWRITTEN
from author.editing import Entry, Rename
from author.editing.entries import entry_id
from author.editing.ids import ids_in, taken_with

if TYPE_CHECKING:
    from author.bench.session import Session

_BY_NUMBER = re.compile(r"step-[0-9]+(-[0-9]+)?")


def name_after_action(session: Session) -> None:
    """Rename the chosen step after its action, once that was written for the first time.

    Only a step that is called by the number it was made as: a number in a name goes wrong
    with the first step that is moved. What somebody named keeps its name.
    """
    placed = session.placed()
    if placed is None or not _BY_NUMBER.fullmatch(placed.step.id):
        return
    step = placed.step
    # One entry with the writing: whoever undoes the words undoes the name they gave.
    merge = "/".join(("steps", step.id, "action"))
    history = session.document.history
    if not history or history[-1].merge != merge:
        return
    # Whoever thinks between the words writes them as several entries.
    entries = takewhile(lambda entry: entry.now == ("steps", step.id), reversed(history))
    if not any(was_just_written(step.action, step.id, entry) for entry in entries):
        return
    procedure = session.procedure
    name = new_id(step.action, taken_with(ids_in(procedure), "steps"), step.id)
    if session.do(Rename(("steps", step.id), name), merge):
        session.document.end_merge()
        session.choose_step(name)


def was_just_written(now: str, step: str, entry: Entry) -> bool:
    """Whether an action that is written now was not before an entry."""
    steps = (one.step for one in entry.before.procedure.placed_steps())
    was = next((one.action for one in steps if one.id == step), "")
    return was.startswith(UNWRITTEN) and not now.startswith(UNWRITTEN)


class NamedByWords(QObject):
    """Renames an entry after the words it was begun with, when the keys leave their field.

    The name is one thing to undo with the words that were written last. Where something else was
    done in between, the entry keeps the name it has.

    Args:
        session: whose document.
        field: what the words are written in.
        at: address of the entry, by the name it was made with.
        key: key of the words.
        merge: key of the entry of the history that the writing goes into.
    """

    def __init__(
        self, session: Session, field: LongField, at: Address, key: str, merge: str
    ) -> None:
        super().__init__(field)
        self._session = session
        self._at = at
        self._key = key
        self._merge = merge
        field.left.connect(self._name)

    def _name(self) -> None:
        self.deleteLater()
        session, at = self._session, self._at
        history = session.document.history
        words = getattr(read(session.procedure, at), self._key, None)
        if not words or words.startswith(UNWRITTEN):
            return
        if not history or history[-1].merge != self._merge:
            return
        name = entry_id(session.procedure, at[:-1], words, str(at[-1]))
        session.do(Rename(at, name), self._merge)
