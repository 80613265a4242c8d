"""Proposals as they stand after the answers of a sheet, and the sheet for the next run."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from difflib import get_close_matches
from pathlib import Path

from author.errors import InputError
from author.proposals.draft.answers import (
    ANSWERS_SCHEMA,
    Answer,
    AnswerSheet,
    Say,
    tree_of,
)
from author.proposals.draft.changes import SaidValues, changed
from author.proposals.draft.lines import done_besides, line
from author.proposals.draft.question_rows import QuestionAnswer
from author.proposals.proposal import Proposal

_NEAR = Decimal(2)
_FEW_ROWS = 8
_SHARE = 0.1
"""Share of the rows of a sheet that is proposed again, at least, where the talk is the same."""
_ELSE = "answer that by its own id, or take this row out"


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


def answered(proposals: Sequence[Proposal], sheet: AnswerSheet | None) -> Answered:
    """Return proposals as they stand after the answers of a sheet.

    An answer belongs to the proposal of its name over the same words; where a run names
    proposals anew, to the one of its kind over the same words, or with the same text, nearest in
    time. An answer for all of a kind is given to each that stands open in the sheet; it leaves
    open what ``waiting_for_its_own`` names, what a change waits beside, and what nobody can have
    read since it is new.
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
        of_kind = by_kind.get(proposal.kind) if proposal.id not in waiting else None
        if of_kind and own and own.answer == "open" and own.change is None:
            own = own.model_copy(update={"answer": of_kind.answer, "by": of_kind.by})
            given[proposal.id] = own
        say: Say = own.answer if own else "open"
        if own and say != "open" and own.by:
            by[proposal.id] = own.by
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
        p.id for p in proposals if any(a.kind == p.kind and _is_near(a, p) for a in own)
    )


def unread_notes(
    sheet: AnswerSheet | None, held: Answered, proposals: Sequence[Proposal]
) -> tuple[str, ...]:
    """Return a note for each kind that was answered as a whole, of which more is proposed now.

    Args:
        sheet: what was answered, or None if nothing was.
        held: the proposals after its answers.
        proposals: all that is proposed.
    """
    kinds = {each.kind for each in (sheet.by_kind if sheet else None) or ()}
    new = Counter(p.kind for p in proposals if p.kind in kinds and p.id not in held.answers)
    return tuple(
        f"{count} of the kind '{kind}' stood not in the sheet when the kind was answered, and "
        f"{'is' if count == 1 else 'are'} open: read and answer {'it' if count == 1 else 'them'}"
        for kind, count in sorted(new.items())
    )


def hold_same_talk(
    file: Path, sheet: AnswerSheet | None, held: Answered, spoken_in: Sequence[Path]
) -> None:
    """See that a sheet was written for the words it is read with.

    Args:
        file: the sheet.
        sheet: what stands in it, or None if there is none.
        held: the proposals after its answers.
        spoken_in: the captions or films.

    Raises:
        InputError: if next to nothing of it is said there.
    """
    rows = [row for row in sheet.proposals if row.said is not None] if sheet else []
    if len(rows) < _FEW_ROWS or len(held.answers) >= len(rows) * _SHARE:
        return
    named = ", ".join(path.name for path in spoken_in)
    raise InputError(
        f"this sheet of answers was written for other words than those of {named}: of the "
        f"{len(rows)} proposals in it {len(held.answers)} rest on them",
        remedy="Name the captions it was written for, or another folder after --to; to begin "
        "anew here, move this sheet and its draft away first",
        file=file,
    )


def left_over_notes(
    file: Path, sheet: AnswerSheet | None, held: Answered, proposals: Sequence[Proposal]
) -> tuple[str, ...]:
    """Return a note for each answer that belongs to nothing that is proposed now.

    Args:
        file: the sheet, for the places.
        sheet: what stands in it, or None if there is none.
        held: the proposals after its answers.
        proposals: all that is proposed.

    Raises:
        InputError: if the sheet was changed since it was read, and is wrong now.
        MachineError: if it cannot be read.
    """
    if sheet is None or not held.left_over:
        return ()
    tree, names = tree_of(file), [p.id for p in proposals]
    rows = {row.id: index for index, row in enumerate(sheet.proposals)}
    notes = []
    for each in held.left_over:
        line_of, _ = tree.place(("proposals", rows[each.id], "id"))
        close = _meant(each.id, names) if each.said is None else None
        notes.append(
            f"{file.name}: line {line_of}: the answer '{each.answer}' to '{each.id}' belongs to "
            "nothing proposed now; it waits there, and what is proposed at that moment is open; "
            + (f"did you mean '{close}'?" if close else _ELSE)
        )
    return tuple(notes)


def _meant(wrong: str, names: Sequence[str]) -> str | None:
    """Return the id that was meant: its moment may be another in one figure and no more."""
    close = get_close_matches(wrong, names, n=1)
    if not close:
        return None
    one, two = (re.sub(r"\D", "", name) for name in (wrong, close[0]))
    far = len(one) != len(two) or sum(a != b for a, b in zip(one, two, strict=True)) > 1
    return None if far and abs(len(one) - len(two)) != 1 else close[0]


def sheet_of(
    proposals: Sequence[Proposal],
    before: AnswerSheet | None,
    draft: str | None = None,
    captions: Sequence[str] | None = None,
    questions: Sequence[QuestionAnswer] | None = None,
) -> AnswerSheet:
    """Return the sheet for proposals, with the answers given before.

    An answer for all of a kind stands with each it was given to, and no more for the kind: what is
    proposed later was not meant.

    Args:
        proposals: all that is proposed, also what was refused.
        before: the sheet of an earlier run; its answers are kept, also those to what is no
            longer proposed.
        draft: SHA-256 of the draft written with it.
        captions: names of the captions no film belongs to; those of ``before`` if None.
        questions: what is asked, with its answers; as in ``before`` if None.
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
            "questions": (before.questions if before else None)
            if questions is None
            else tuple(questions) or None,
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
    by_words: dict[tuple[object, object], list[Answer]] = {}
    for answer in waiting.values():
        by_words.setdefault((answer.kind, answer.said), []).append(answer)
    for proposal in others:
        near = by_words.get((proposal.kind, line(proposal.said)), [])
        near = [a for a in near if _is_near(a, proposal)]
        # "Ten newton meters" for "ten newton metres": the same is proposed of the same moment.
        near = near or [
            a
            for each in by_words.values()
            for a in each
            if a.kind == proposal.kind and a.text == line(proposal.text) and _is_near(a, proposal)
        ]
        if near:
            best = min(near, key=lambda a: _away(a, proposal))
            by_words[best.kind, best.said].remove(best)
            yield proposal.id, best


def _away(answer: Answer, proposal: Proposal) -> Decimal:
    """Return how many seconds an answer is away from a proposal; without a moment it is far."""
    return Decimal("Infinity") if answer.at is None else abs(answer.at - proposal.start)


def _is_near(answer: Answer, proposal: Proposal) -> bool:
    return _away(answer, proposal) <= _NEAR


def _is_of(answer: Answer, proposal: Proposal) -> bool:
    """Whether an answer is to a proposal of the same id.

    How far a step goes, and so what is said in it, is seen otherwise once the film has been
    looked through; its order stays. A row that does not tell the words is of its name.
    """
    if answer.said in {None, line(proposal.said)}:
        return True
    return answer.kind == proposal.kind == "step" and answer.text == line(proposal.text)


def _row(proposal: Proposal, given: Answer | None) -> Answer:
    values = proposal.values
    row = Answer(
        id=proposal.id,
        kind=proposal.kind,
        answer=given.answer if given else "open",
        text=line(proposal.text),
        note=line(" ".join(told)) if (told := done_besides(proposal)) else None,
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
