"""What the technician answers to proposals: a sheet that a person edits and a run reads again."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from pathlib import Path
from typing import Annotated, Literal

from pydantic import Field

from author.contract.procedure_file import PROCEDURE_FILE, as_plain
from author.contract.reading import read_bytes, read_model
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
from author.proposals.draft.changes import Changed, SaidValues, changed, hold_whole
from author.proposals.draft.steps import line
from author.proposals.proposal import Proposal, ProposalKind

ANSWERS_SCHEMA = "proposals/1"
_ANSWERS_FILE = "proposals.yaml"
FOR_READING = (
    "id", "kind", "text", "values", "said", "recording", "at", "confidence", "reason",
)  # fmt: skip
"""Keys of a row that only the program writes; ``written`` tells whether they are as it did."""
_NEAR = Decimal(2)
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
    " What is not named here is only to be read: what is changed there is refused.",
    " by names who answers; 'propose --by NAME' writes it to all answers that name nobody yet.",
    " To answer all that is open of a kind, write above 'proposals:', for instance",
    "   by_kind:",
    "     - kind: tool",
    "       answer: accept",
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
    """One proposal and what is said to it.

    Attributes:
        id: name of the proposal.
        kind: what it is about.
        answer: ``open``, ``accept``, ``change`` or ``refuse``.
        text: what is proposed.
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
    kind: ProposalKind
    answer: Say
    text: Line
    values: SaidValues | None = None
    change: Changed | None = None
    said: Line
    recording: Id
    at: Mark
    confidence: Number
    reason: Line
    by: Line | None = None
    written: Line | None = None

    def sign(self) -> str:
        """Return what ``written`` is where nobody has changed the row; letters alone."""
        plain = as_plain(self)
        kept = repr([plain.get(key) for key in FOR_READING])
        digits = hashlib.sha256(kept.encode()).hexdigest()[:8]
        return "".join(chr(ord("a") + int(digit, 16)) for digit in digits)


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
        proposals: the proposals, in the order said.
    """

    schema_name: Annotated[Literal["proposals/1"], Field(alias="schema")]
    draft: Fingerprint | None = None
    captions: Annotated[tuple[FileName, ...], *SOME] | None = None
    by_kind: Annotated[tuple[KindAnswer, ...], *SOME] | None = None
    proposals: Annotated[tuple[Answer, ...], STATED]


@dataclass(frozen=True, slots=True)
class Answered:
    """Proposals after the answers.

    Attributes:
        proposals: those not refused, as they were changed.
        accepted: ids of those accepted or changed.
        answers: the answer to each proposal by its id; ``open`` where there is none.
        left_over: answers to what is no longer proposed.
        by: who accepted, changed or refused, by the id of the proposal, where that is known.
    """

    proposals: tuple[Proposal, ...]
    accepted: frozenset[str]
    answers: dict[str, Answer]
    left_over: tuple[Answer, ...]
    by: Mapping[str, str] = field(default_factory=dict)


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
    faults = [*_told_twice(sheet)]
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
    """
    if answer.answer == "change":
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
    ]
    for part, key, names in named:
        first: dict[str, int] = {}
        for index, name in enumerate(names):
            if first.setdefault(name, index) != index:
                yield (part, index, key), f"'{name}' is answered twice", "Keep one of the two"


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
    return sheet.model_copy(update={"proposals": rows, "by_kind": by_kind})


def answered(proposals: Sequence[Proposal], sheet: AnswerSheet | None) -> Answered:
    """Return proposals as they stand after the answers of a sheet.

    An answer belongs to the proposal of its name over the same words; where a run names
    proposals anew, to the one of its kind over the same words, or with the same text, nearest in
    time. An answer for all of a kind leaves open what ``waiting_for_its_own`` names.
    """
    if sheet is None:
        return Answered(tuple(proposals), frozenset(), {}, ())
    given = dict(_matched(proposals, sheet))
    used = {id(answer) for answer in given.values()}
    left = tuple(a for a in sheet.proposals if a.answer != "open" and id(a) not in used)
    waiting = waiting_for_its_own(proposals, left)
    by_kind = {each.kind: each for each in sheet.by_kind or ()}
    kept: list[Proposal] = []
    accepted: set[str] = set()
    by: dict[str, str] = {}
    for proposal in proposals:
        own = given.get(proposal.id)
        said: Answer | KindAnswer | None = own
        if own is None or own.answer == "open":
            said = None if proposal.id in waiting else by_kind.get(proposal.kind)
        say: Say = said.answer if said else "open"
        if said and said.by:
            by[proposal.id] = said.by
        if say == "refuse":
            continue
        if say != "open":
            accepted.add(proposal.id)
        change = own.change if own and say == "change" else None
        who = by.get(proposal.id)
        kept.append(changed(proposal, change, who) if change else proposal)
    return Answered(tuple(kept), frozenset(accepted), given, left, by)


def waiting_for_its_own(
    proposals: Sequence[Proposal], left_over: Sequence[Answer]
) -> frozenset[str]:
    """Return the proposals that no answer for all of their kind may answer.

    Where somebody changed or refused something of that kind at that moment, and nothing is
    proposed that this answer is of, the words were recognised otherwise: a person has to look.

    Args:
        proposals: all that is proposed.
        left_over: the answers to what is no longer proposed.
    """
    own = [answer for answer in left_over if answer.answer in {"change", "refuse"}]
    return frozenset(
        p.id
        for p in proposals
        if any(a.kind == p.kind and abs(a.at - p.start) <= _NEAR for a in own)
    )


def left_over_notes(file: Path, left_over: Sequence[Answer]) -> tuple[str, ...]:
    """Return a note for each answer that belongs to nothing that is proposed now."""
    return tuple(
        f"{file.name}: the answer '{a.answer}' to '{a.id}' belongs to nothing proposed now; it "
        "waits there, and what is proposed at that moment is open"
        for a in left_over
    )


def sheet_of(
    proposals: Sequence[Proposal],
    before: AnswerSheet | None,
    draft: str | None = None,
    captions: Sequence[str] | None = None,
) -> AnswerSheet:
    """Return the sheet for proposals, with the answers given before.

    Args:
        proposals: all that is proposed, also what was refused.
        before: the sheet of an earlier run; its answers are kept, also those to what is no
            longer proposed.
        draft: SHA-256 of the draft written with it.
        captions: names of the captions no film belongs to; those of ``before`` if None.
    """
    done = answered(proposals, before)
    rows = [_row(p, done.answers.get(p.id)) for p in proposals]
    names = {row.id for row in rows}
    rows += [answer for answer in done.left_over if answer.id not in names]
    return AnswerSheet.model_validate(
        {
            "schema": ANSWERS_SCHEMA,
            "draft": draft or (before.draft if before else None),
            "captions": (before.captions if before else None)
            if captions is None
            else tuple(captions) or None,
            "by_kind": before.by_kind if before else None,
            "proposals": tuple(rows) or "none",
        }
    )


def _matched(proposals: Sequence[Proposal], sheet: AnswerSheet) -> Iterator[tuple[str, Answer]]:
    waiting = {answer.id: answer for answer in sheet.proposals}
    others: list[Proposal] = []
    for proposal in proposals:
        answer = waiting.get(proposal.id)
        if answer is not None and _is_of(answer, proposal):
            yield proposal.id, waiting.pop(proposal.id)
        else:
            others.append(proposal)
    by_words: dict[tuple[str, str], list[Answer]] = {}
    for answer in waiting.values():
        by_words.setdefault((answer.kind, answer.said), []).append(answer)
    for proposal in others:
        near = by_words.get((proposal.kind, line(proposal.said)), [])
        near = [a for a in near if abs(a.at - proposal.start) <= _NEAR]
        # "Ten newton meters" for "ten newton metres": the same is proposed of the same moment.
        near = near or [
            a
            for each in by_words.values()
            for a in each
            if a.kind == proposal.kind
            and a.text == line(proposal.text)
            and abs(a.at - proposal.start) <= _NEAR
        ]
        if near:
            best = min(near, key=lambda a: abs(a.at - proposal.start))
            by_words[best.kind, best.said].remove(best)
            yield proposal.id, best


def _is_of(answer: Answer, proposal: Proposal) -> bool:
    """Whether an answer is to a proposal of the same id.

    How far a step goes, and so what is said in it, is seen otherwise once the film has been
    looked through; its order stays.
    """
    if answer.said == line(proposal.said):
        return True
    return answer.kind == proposal.kind == "step" and answer.text == line(proposal.text)


def _row(proposal: Proposal, given: Answer | None) -> Answer:
    values = proposal.values
    row = Answer(
        id=proposal.id,
        kind=proposal.kind,
        answer=given.answer if given else "open",
        text=line(proposal.text),
        values=SaidValues(
            lower=values.lower, nominal=values.nominal, upper=values.upper, unit=values.unit
        )
        if values
        else None,
        change=given.change if given else None,
        said=line(proposal.said),
        recording=proposal.recording,
        at=proposal.start.quantize(Decimal("0.000001")),
        confidence=proposal.confidence,
        reason=line(proposal.reason),
        by=given.by if given and given.answer != "open" else None,
    )
    return row.model_copy(update={"written": row.sign()})
