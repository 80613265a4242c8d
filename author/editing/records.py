"""What a journal says of each gesture, and the history that is made of it again."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from author.contract.procedure_file import LoadedProcedure, parse_procedure
from author.editing.history import Entry, History, State
from author.editing.journal_file import JournalText
from author.editing.patches import Patch, patched
from author.errors import InputError
from author.procedure.document import Procedure

_MOST_ENTRIES = 1_000_000
"""A journal is not trusted with more entries to keep."""

Record = Mapping[str, Any]


def done_record(entry: Entry, patch: Patch, *, extends: bool) -> Record:
    """Return the record of something done.

    Args:
        entry: the entry it makes, or is part of.
        patch: what it changed.
        extends: whether it goes into the entry before.
    """
    key = {} if entry.merge is None else {"merge": entry.merge}
    return {"act": "do", **_about(entry, patch), **key, **({"extends": True} if extends else {})}


def step_record(act: str, entry: Entry, patch: Patch) -> Record:
    """Return the record of an ``undo`` or ``redo`` of an entry, with what it changed."""
    return {"act": act, **_about(entry, patch)}


def file_record(digest: str) -> Record:
    """Return the note that the file now has, or is about to have, other bytes."""
    return {"act": "file", "sha256": digest, "when": datetime.now(UTC).isoformat()}


def _about(entry: Entry, patch: Patch) -> dict[str, Any]:
    return {
        "label": entry.label,
        "was": list(entry.was),
        "now": list(entry.now),
        "when": entry.when.isoformat(),
        "patch": patch,
    }


@dataclass(frozen=True, slots=True)
class Rebuilt:
    """A document as a journal has it.

    Attributes:
        base: the file the journal begins with.
        state: the last state.
        history: what can be undone and done again.
        known: SHA-256 of the file as it was opened, saved and taken in, oldest first.
        records: how many of the journal's records are good.
        gestures: how many gestures there are.
        last: when the last was made.
        damaged: whether something behind the last good record was left out.
    """

    base: LoadedProcedure
    state: State
    history: History
    known: tuple[str, ...]
    records: int
    gestures: int
    last: datetime
    damaged: bool


def rebuild(journal: JournalText, file: Path) -> Rebuilt:
    """Do again what a journal says.

    Args:
        journal: what was read of it.
        file: the procedure file, for errors.

    Raises:
        InputError: if it cannot be: a journal is not trusted.
    """
    if journal.header.get("file") != str(file):
        raise _strange()
    base = parse_procedure(journal.base(), file)
    bound = journal.header.get("bound")
    history = History(min(bound, _MOST_ENTRIES) if type(bound) is int and bound > 0 else 1)
    state = State(base.procedure, base.tree.comments, base)
    known, gestures, last = [str(journal.header.get("sha256"))], 0, _moment(journal.header)
    damaged, good = journal.damaged, 0
    for record in journal.records:
        try:
            if record.get("act") == "file":
                known.append(_text(record.get("sha256")))
            else:
                state = _again(record, state, history)
                gestures += not record.get("extends")
            last = _moment(record)
        except InputError:
            damaged = True
            break
        good += 1
    history.seal()
    return Rebuilt(base, state, history, tuple(known), good, gestures, last, damaged)


def _again(record: Record, state: State, history: History) -> State:
    act = record.get("act")
    if act == "undo" and history.last is not None:
        return history.undo().before
    if act == "redo" and history.next is not None:
        return history.redo().after
    other = state.become(_patched(state.procedure, record.get("patch")))
    entry = Entry(
        label=_text(record.get("label")),
        was=_address(record.get("was")),
        now=_address(record.get("now")),
        before=other if act == "undo" else state,
        after=state if act == "undo" else other,
        when=_moment(record),
        merge=_text(record["merge"]) if "merge" in record else None,
    )
    if act == "undo":
        history.undo(entry)
    elif act == "redo":
        history.redo(entry)
    elif act != "do":
        raise _strange()
    elif record.get("extends") and history.last is not None:
        history.extend(entry)
    else:
        history.add(entry)
    return other


def _patched(procedure: Procedure, patch: Any) -> Procedure:
    if not isinstance(patch, dict):
        raise _strange()
    return patched(procedure, patch)


def _text(value: Any) -> str:
    if not isinstance(value, str):
        raise _strange()
    return value[:1_000]


def _address(value: Any) -> tuple[str | int, ...]:
    if not isinstance(value, list) or not _are_parts(value):
        raise _strange()
    return tuple(value)


def _are_parts(value: Iterable[Any]) -> bool:
    return all(type(part) in {str, int} for part in value)


def _moment(record: Mapping[str, Any]) -> datetime:
    try:
        moment = datetime.fromisoformat(record["when"])
        return moment if moment.tzinfo else moment.replace(tzinfo=UTC)
    except (KeyError, TypeError, ValueError):
        raise _strange() from None


def _strange() -> InputError:
    return InputError("the notes of unsaved work are damaged", remedy="Leave them out")
