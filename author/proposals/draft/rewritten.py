"""Finds what a person changed in a sheet of answers where only the program writes.

The next run would write such a key anew, and what was meant would be lost without a word.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path

from author.contract.procedure_file import as_plain
from author.errors import FileErrors, InputError
from author.proposals.draft.answered import sheet_of
from author.proposals.draft.answers import FOR_READING, Answer, AnswerSheet, tree_of
from author.proposals.draft.changes import changed, hold_whole
from author.proposals.draft.lines import line as shortened
from author.proposals.proposal import Proposal

_SHOWN = 80
_INSTEAD = {
    "kind": "answer 'refuse' if it is none, and write what it is into the draft",
    "text": "write the other text under 'change', with 'answer: change'",
    "note": "write the other note under 'change', with 'answer: change'",
    "values": "write the other numbers under 'change', with 'answer: change'",
}


def hold_as_written(file: Path, sheet: AnswerSheet | None, proposals: Sequence[Proposal]) -> None:
    """See that nobody has changed a key of a sheet that is only to be read.

    What is changed in a row that does not tell the words is held against its proposal.

    Args:
        file: the sheet, for the places.
        sheet: what stands in it, or None if there is none.
        proposals: what is proposed now, of which the key is told that differs.

    Raises:
        InputError: if one was changed, or a change cannot be written wholly.
        MachineError: if the file cannot be read.
    """
    if sheet is None:
        return
    rows = [
        (index, row)
        for index, row in enumerate(sheet.proposals)
        if row.said is None or (row.written is not None and row.written != row.sign())
    ]
    wrong = list(_of_changes(sheet, proposals))
    if not rows and not wrong:
        return
    tree = tree_of(file)
    now = sheet_of(proposals, None).proposals
    signed, named = {row.written: row for row in now}, {row.id: row for row in now}
    faults = [
        InputError(problem, remedy=remedy, file=file, line=line, column=column)
        for index, row in rows
        for key, problem, remedy in (
            _told(row, signed.get(row.written))
            if row.written is not None
            else _of_bare(row, named.get(row.id))
        )
        for line, column in (tree.place(("proposals", index, key)),)
    ]
    faults += [
        InputError(error.problem, remedy=error.remedy, file=file, line=line, column=column)
        for index, error in wrong
        for line, column in (tree.place(("proposals", index, "change")),)
    ]
    if faults:
        raise FileErrors(sorted(faults, key=lambda fault: fault.line or 0))


def _of_changes(
    sheet: AnswerSheet, proposals: Sequence[Proposal]
) -> Iterator[tuple[int, InputError]]:
    """Yield the rows whose change does not fit what is proposed: a torque told in bar."""
    named = {p.id: p for p in proposals}
    for index, row in enumerate(sheet.proposals):
        was = named.get(row.id)
        if row.answer != "change" or row.change is None or was is None:
            continue
        if row.said not in {None, shortened(was.said)} or (row.kind or was.kind) != was.kind:
            continue
        try:
            hold_whole(was.kind, was.values.unit if was.values else None, row.change)
        except InputError:
            continue  # told of the row itself
        try:
            changed(was, row.change)
        except InputError as error:
            yield index, InputError(f"'{row.id}': {error.problem}", remedy=error.remedy)


def _of_bare(row: Answer, was: Answer | None) -> Iterator[tuple[str, str, str]]:
    """Yield key, fault and remedy of a row that a person wrote, who tells no more than needed."""
    if was is None:
        return
    given = as_plain(row)
    yield from (fault for fault in _told(row, was) if fault[0] in given and fault[0] != "id")
    if row.answer == "change":
        try:
            hold_whole(str(was.kind), was.values.unit if was.values else None, row.change)
        except InputError as error:
            key = "answer" if row.change is None else "change"
            yield key, f"'{row.id}': {error.problem}", error.remedy


def _told(row: Answer, was: Answer | None) -> Iterator[tuple[str, str, str]]:
    """Yield key, fault and remedy of all that was changed in a row."""
    if was is None:
        yield (
            "id",
            f"'{row.id}': a key that only 'propose' writes was changed in this row",
            "Put it back and write what is to be there instead under 'change', or take the row "
            "out: 'propose' then writes it anew",
        )
        return
    here, before = as_plain(row), as_plain(was)
    for key in FOR_READING:
        if here.get(key) != before.get(key):
            again = f"Put back {_shown(key, before.get(key))}"
            instead = _INSTEAD.get(key)
            yield (
                key if key in here else "id",
                f"'{was.id}': '{key}' was changed, and only 'propose' writes it",
                f"{again}; {instead}" if instead else again,
            )


def _shown(key: str, value: object) -> str:
    if value is None:
        return f"nothing in place of '{key}'"
    if isinstance(value, Mapping):
        value = "{" + ", ".join(f'{name}: "{each}"' for name, each in value.items()) + "}"
    text = f"{key}: {value}"
    return f"'{text if len(text) <= _SHOWN else text[: _SHOWN - 1] + '…'}'"
