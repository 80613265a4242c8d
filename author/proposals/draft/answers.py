"""What the technician answers to proposals: a sheet that a person edits and a run reads again."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from pathlib import Path
from typing import Annotated, Literal

from pydantic import Field

from author.contract.procedure_file import as_plain
from author.contract.reading import read_bytes, read_model
from author.contract.yaml_writer import write_yaml
from author.errors import InputError
from author.procedure.specs import UnitSymbol
from author.procedure.values import SOME, STATED, Fingerprint, Id, Line, Mark, Node, Number
from author.proposals.draft.steps import line
from author.proposals.proposal import Proposal, ProposalKind, Values
from author.proposals.quantities.text import limits_text

ANSWERS_SCHEMA = "proposals/1"
_NEAR = Decimal(2)

_HOW = (
    " Write accept, change or refuse in place of open, then run the same command again.",
    " change needs, on lines of its own under it, what is to stand there instead, such as",
    "   change:",
    "     text: Lift the cover off.",
    '     values: {lower: "38.0", upper: "42.0", unit: N·m}',
    " To answer all that is open of a kind, write above 'proposals:', for instance",
    "   by_kind:",
    "     - kind: tool",
    "       answer: accept",
)

Say = Literal["open", "accept", "change", "refuse"]


class SaidValues(Node):
    """Numbers of a proposal, or what is put in their place.

    Attributes:
        lower: smallest value accepted.
        nominal: value aimed at, or the one number there is.
        upper: largest value accepted.
        unit: their unit.
    """

    lower: Number | None = None
    nominal: Number | None = None
    upper: Number | None = None
    unit: UnitSymbol | None = None


class Changed(Node):
    """What stands in place of what was proposed.

    Attributes:
        text: the new text.
        values: the new numbers, all of them.
    """

    text: Line | None = None
    values: SaidValues | None = None


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


class KindAnswer(Node):
    """One answer for all proposals of a kind that are still open.

    Attributes:
        kind: the kind.
        answer: ``accept`` or ``refuse``.
    """

    kind: ProposalKind
    answer: Literal["accept", "refuse"]


class AnswerSheet(Node):
    """All proposals of a job and what was answered.

    Attributes:
        schema_name: ``proposals/1``; written as ``schema``, always first.
        draft: SHA-256 of the draft written with it, by which a later run knows that nobody
            has changed the draft since.
        by_kind: answers for all of a kind.
        proposals: the proposals, in the order said.
    """

    schema_name: Annotated[Literal["proposals/1"], Field(alias="schema")]
    draft: Fingerprint | None = None
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
    """

    proposals: tuple[Proposal, ...]
    accepted: frozenset[str]
    answers: dict[str, Answer]
    left_over: tuple[Answer, ...]


def read_answers(file: Path) -> AnswerSheet | None:
    """Return the sheet in a file, or None if there is no such file.

    Raises:
        InputError: if the file is wrong; ``FileErrors`` tells several faults.
        MachineError: if it cannot be read.
    """
    if not file.exists():
        return None
    sheet = read_model(read_bytes(file), file, AnswerSheet, ANSWERS_SCHEMA)[0]
    for answer in sheet.proposals:
        if answer.answer == "change" and answer.change is None:
            raise InputError(
                f"the answer to '{answer.id}' is 'change' and nothing stands in its place",
                remedy="Write what it is changed to under 'change', or answer 'accept'",
                file=file,
            )
    return sheet


def answers_text(sheet: AnswerSheet) -> str:
    """Return a sheet as YAML; how to answer stands at its top."""
    return write_yaml(as_plain(sheet), {("schema",): _HOW})


def answered(proposals: Sequence[Proposal], sheet: AnswerSheet | None) -> Answered:
    """Return proposals as they stand after the answers of a sheet.

    An answer belongs to the proposal of its name over the same words; where a run names
    proposals anew, to the one of its kind over the same words nearest in time.
    """
    if sheet is None:
        return Answered(tuple(proposals), frozenset(), {}, ())
    given = dict(_matched(proposals, sheet))
    by_kind = {each.kind: each.answer for each in sheet.by_kind or ()}
    kept: list[Proposal] = []
    accepted: set[str] = set()
    for proposal in proposals:
        own = given.get(proposal.id)
        say: Say = own.answer if own else "open"
        say = by_kind.get(proposal.kind, "open") if say == "open" else say
        if say == "refuse":
            continue
        if say != "open":
            accepted.add(proposal.id)
        change = own.change if own and say == "change" else None
        kept.append(_changed(proposal, change) if change else proposal)
    used = {id(answer) for answer in given.values()}
    left = tuple(a for a in sheet.proposals if a.answer != "open" and id(a) not in used)
    return Answered(tuple(kept), frozenset(accepted), given, left)


def sheet_of(
    proposals: Sequence[Proposal], before: AnswerSheet | None, draft: str | None = None
) -> AnswerSheet:
    """Return the sheet for proposals, with the answers given before.

    Args:
        proposals: all that is proposed, also what was refused.
        before: the sheet of an earlier run; its answers are kept, also those to what is no
            longer proposed.
        draft: SHA-256 of the draft written with it.
    """
    done = answered(proposals, before)
    rows = [_row(p, done.answers.get(p.id)) for p in proposals]
    names = {row.id for row in rows}
    rows += [answer for answer in done.left_over if answer.id not in names]
    return AnswerSheet.model_validate(
        {
            "schema": ANSWERS_SCHEMA,
            "draft": draft or (before.draft if before else None),
            "by_kind": before.by_kind if before else None,
            "proposals": tuple(rows),
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
        if near:
            best = min(near, key=lambda a: abs(a.at - proposal.start))
            by_words[proposal.kind, best.said].remove(best)
            yield proposal.id, best


def _is_of(answer: Answer, proposal: Proposal) -> bool:
    """Whether an answer is to a proposal of the same id.

    How far a step goes, and so what is said in it, is seen otherwise once the film has been
    looked through; its order stays.
    """
    if answer.said == line(proposal.said):
        return True
    return answer.kind == proposal.kind == "step" and answer.text == line(proposal.text)


def _changed(proposal: Proposal, change: Changed) -> Proposal:
    values = proposal.values
    if change.values is not None:
        new = change.values
        values = Values(new.lower, new.nominal, new.upper, new.unit)
        both = new.lower is not None or new.upper is not None
        was = proposal.detail("role")
        kept = was if was in {"measured", "about"} else "aim"
        details = dict(proposal.details) | {"role": "limits" if both else str(kept)}
        details.pop("unit_from_elsewhere", None)
        proposal = replace(proposal, values=values, details=tuple(details.items()))
        number = f"{limits_text(new.lower, new.nominal, new.upper)} {new.unit or ''}".strip()
        name = proposal.detail("characteristic")
        proposal = replace(proposal, text=f"{name}: {number}" if name else number)
    return replace(proposal, text=change.text or proposal.text)


def _row(proposal: Proposal, given: Answer | None) -> Answer:
    values = proposal.values
    return Answer(
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
    )
