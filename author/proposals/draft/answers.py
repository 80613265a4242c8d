"""What the technician answers to proposals: a sheet that a person edits and a run reads again."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Annotated, Literal

from pydantic import Field

from author.contract.procedure_file import PROCEDURE_FILE, as_plain
from author.contract.reading import read_bytes, read_model
from author.contract.yaml_reader import YamlTree
from author.contract.yaml_writer import write_yaml
from author.errors import FileErrors, InputError
from author.procedure.values import (
    SOME,
    STATED,
    FileName,
    Fingerprint,
    Id,
    Line,
    Mark,
    Node,
    Number,
)
from author.proposals.draft.changes import Changed, SaidValues, hold_whole
from author.proposals.draft.question_rows import QuestionAnswer
from author.proposals.draft.signs import sign_over
from author.proposals.proposal import ProposalKind

ANSWERS_SCHEMA = "proposals/1"
_ANSWERS_FILE = "proposals.yaml"
FOR_READING = (
    "id", "kind", "text", "values", "said", "recording", "at", "confidence", "reason", "note",
)  # fmt: skip
"""Keys of a row that only the program writes; ``written`` tells whether they are as it did."""
_NAMED = 5

_HOW = (
    " Write accept, change or refuse in place of open, then run the same command again.",
    " change needs, on lines of its own under it, what is to stand there instead, such as",
    "   change:",
    "     text: Lift the cover off.",
    " and for a number either of",
    '     text: "torque of the cover bolts: 38.0 to 42.0 N·m"',
    '     values: {lower: "38.0", upper: "42.0", unit: N·m}',
    " where characteristic beside values gives it another name.",
    " note tells what else is done in a step; 'note: none' under change leaves it out.",
    " What is not named here is only to be read: what is changed there is refused.",
    " by names who answers; 'propose --by NAME' writes it to all answers that name nobody yet.",
    " To answer all of a kind that stand open here, write above 'proposals:', for instance",
    "   by_kind:",
    "     - kind: tool",
    "       answer: accept",
    " which the next run writes to each of them; what is proposed later stays open.",
    " A question is answered in quotes, such as",
    '   answer: "22 to 26 N·m, oiled"',
    " or 'none' where nothing is to be said. What belongs to one place goes into the draft there.",
)

Say = Literal["open", "accept", "change", "refuse"]


def answers_for(procedure: Path) -> Path:
    """Return where the answers to the draft in a file are kept, for the window and a run alike.

    Args:
        procedure: file of the draft; of ``procedure.yaml`` it is ``proposals.yaml``, of another
            file one with its name before that, since a folder may hold several.
    """
    before = "" if procedure.name == PROCEDURE_FILE else f"{procedure.stem}."
    return procedure.with_name(f"{before}{_ANSWERS_FILE}")


class Answer(Node):
    """One proposal and what is said to it; a person who writes one needs ``id`` and ``answer``.

    Attributes:
        id: name of the proposal.
        kind: what it is about; as all else that only the program writes, None where a person
            has left it out.
        answer: ``open``, ``accept``, ``change`` or ``refuse``.
        text: what is proposed.
        note: what else is done in a step.
        values: its numbers.
        change: what is to stand in its place, for ``change``.
        said: the words it rests on.
        recording: id of the recording they are said on.
        at: when they begin, seconds.
        confidence: share of proposals like it that are right.
        reason: why it is proposed.
        by: who answered, if that is known.
        written: sign over what the program wrote here; none in sheets of older versions.
    """

    id: Id
    kind: ProposalKind | None = None
    answer: Say
    text: Line | None = None
    note: Line | None = None
    values: SaidValues | None = None
    change: Changed | None = None
    said: Line | None = None
    recording: Id | None = None
    at: Mark | None = None
    confidence: Number | None = None
    reason: Line | None = None
    by: Line | None = None
    written: Line | None = None

    def sign(self) -> str:
        """Return what ``written`` is where nobody has changed the row; letters alone."""
        plain = as_plain(self)
        # Sheets of older versions have no notes, and no place for them in their signs.
        told = [plain.get(key) for key in FOR_READING if key != "note" or key in plain]
        return sign_over(told)


class KindAnswer(Node):
    """One answer for all proposals of a kind that are still open.

    Attributes:
        kind: the kind.
        answer: ``accept`` or ``refuse``.
        by: who answered, if that is known.
    """

    kind: ProposalKind
    answer: Literal["accept", "refuse"]
    by: Line | None = None


class AnswerSheet(Node):
    """All proposals of a job and what was answered.

    Attributes:
        schema_name: ``proposals/1``; written as ``schema``, always first.
        draft: SHA-256 of the draft written with it, by which a later run knows that nobody
            has changed the draft since.
        captions: names of the captions it was made from, where no film belongs to them; where
            they lie is noted beside the draft.
        by_kind: answers for all of a kind.
        questions: what the film leaves out, worst first, with what is answered.
        proposals: the proposals, in the order said.
    """

    schema_name: Annotated[Literal["proposals/1"], Field(alias="schema")]
    draft: Fingerprint | None = None
    captions: Annotated[tuple[FileName, ...], *SOME] | None = None
    by_kind: Annotated[tuple[KindAnswer, ...], *SOME] | None = None
    questions: Annotated[tuple[QuestionAnswer, ...], *SOME] | None = None
    proposals: Annotated[tuple[Answer, ...], STATED]


def read_answers(file: Path) -> AnswerSheet | None:
    """Return the sheet in a file, or None if there is no such file.

    Raises:
        InputError: if the file is wrong; ``FileErrors`` tells several faults.
        MachineError: if it cannot be read.
    """
    if not file.exists():
        return None
    data = read_bytes(file)
    if not data.strip():
        raise InputError(
            "the sheet of answers is empty",
            remedy="Take it away, and 'propose' writes it anew",
            file=file,
            line=1,
        )
    sheet, tree = read_model(data, file, AnswerSheet, ANSWERS_SCHEMA)
    faults = [*_told_twice(sheet), *_rewritten(sheet)]
    for index, answer in enumerate(sheet.proposals):
        change = answer.change
        try:
            _hold(answer)
        except InputError as error:
            key = "answer" if change is None else "change"
            inner = ("text",) if change is not None and change.text is not None else ()
            said = f"'{answer.id}': {error.problem}"
            faults.append((("proposals", index, key, *inner), said, error.remedy))
    if faults:
        raise FileErrors(
            [
                InputError(said, remedy=remedy, file=file, line=at, column=column)
                for place, said, remedy in faults
                for at, column in (tree.place(place),)
            ]
        )
    return sheet


def _hold(answer: Answer) -> None:
    """Refuse a change that cannot be written wholly, or that 'accept' would pass over.

    Beside ``open`` and ``refuse`` a change waits to be taken up again, so there it may stand.
    A change in a row that does not tell the words is held against its proposal later.
    """
    if answer.answer == "change" and answer.kind is not None and answer.said is not None:
        hold_whole(answer.kind, answer.values.unit if answer.values else None, answer.change)
    elif answer.answer == "accept" and answer.change is not None:
        raise InputError(
            "the answer is 'accept' and something else stands under 'change'",
            remedy="Answer 'change' to have what stands there, or take 'change' out",
        )


def _told_twice(sheet: AnswerSheet) -> Iterator[tuple[tuple[str | int, ...], str, str]]:
    """Yield place, fault and remedy of what is answered twice: only one answer could count."""
    named: list[tuple[str, str, Sequence[str]]] = [
        ("proposals", "id", [answer.id for answer in sheet.proposals]),
        ("by_kind", "kind", [each.kind for each in sheet.by_kind or ()]),
        ("questions", "id", [each.id for each in sheet.questions or ()]),
    ]
    for part, key, names in named:
        first: dict[str, int] = {}
        for index, name in enumerate(names):
            if first.setdefault(name, index) != index:
                yield (part, index, key), f"'{name}' is answered twice", "Keep one of the two"


def _rewritten(sheet: AnswerSheet) -> Iterator[tuple[tuple[str | int, ...], str, str]]:
    """Yield place, fault and remedy of questions in which more than the answer was changed."""
    for index, row in enumerate(sheet.questions or ()):
        if row.written is not None and row.written != row.sign():
            yield (
                ("questions", index, "id"),
                f"'{row.id}': a key that only 'propose' writes was changed in this question",
                "Put it back and write what is to be told under 'answer', or take the row out: "
                "'propose' then writes it anew",
            )


def tree_of(file: Path) -> YamlTree:
    """Return where the keys of the sheet in a file stand.

    Raises:
        InputError, MachineError: as ``read_answers``.
    """
    return read_model(read_bytes(file), file, AnswerSheet, ANSWERS_SCHEMA)[1]


def waiting_changes(sheet: AnswerSheet | None) -> tuple[str, ...]:
    """Return a note that names what stands under ``change`` while the answer is open, if any."""
    rows = sheet.proposals if sheet is not None else ()
    names = [row.id for row in rows if row.change is not None and row.answer == "open"]
    if not names:
        return ()
    more = f" and {len(names) - _NAMED} more" if len(names) > _NAMED else ""
    listed = ", ".join(f"'{name}'" for name in names[:_NAMED])
    return (f"not taken, for the answer beside 'change' is still 'open': {listed}{more}",)


def answers_text(sheet: AnswerSheet) -> str:
    """Return a sheet as YAML; how to answer stands at its top."""
    return write_yaml(as_plain(sheet), {("schema",): _HOW})


def named_by(sheet: AnswerSheet, by: str) -> AnswerSheet:
    """Return a sheet in which each answer that named nobody names who gave it.

    Args:
        sheet: the answers.
        by: who gave those that name nobody.
    """
    rows = tuple(
        row.model_copy(update={"by": by}) if row.answer != "open" and row.by is None else row
        for row in sheet.proposals
    )
    by_kind = sheet.by_kind and tuple(
        each.model_copy(update={"by": by}) if each.by is None else each for each in sheet.by_kind
    )
    asked = sheet.questions and tuple(
        each.model_copy(update={"by": by}) if each.answer and each.by is None else each
        for each in sheet.questions
    )
    return sheet.model_copy(update={"proposals": rows, "by_kind": by_kind, "questions": asked})
