"""Puts what is answered to questions where it belongs among the proposals, before the draft.

A number comes beside what was said, or in place of what had no limits or no unit; what is missing
of a warning or of something looked at is told with it. All of it is the shop's, not the film's.
What belongs to no one place is kept with its question.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from itertools import chain
from pathlib import Path

from author.errors import FileErrors, InputError
from author.procedure.units import all_units, find_unit
from author.proposals.draft.answered import Answered
from author.proposals.draft.answers import AnswerSheet, tree_of
from author.proposals.draft.changed_words import with_changed_numbers
from author.proposals.draft.changes import Changed, SaidValues, changed, number_text
from author.proposals.draft.gaps import questions
from author.proposals.draft.part_answers import FATE, STAYS_OFF, becomes, with_moves
from author.proposals.draft.question_rows import NOTHING, Answers, QuestionAnswer, single
from author.proposals.proposal import Names, Proposal, Question, Values

_ROUNDS = 3
"""What an answer leaves open is asked then: a number that got its unit needs limits."""
_TIGHT = frozenset({"torque", "angle", "turns"})
_OTHERWISE = re.compile(
    r"[\s,;.]*(?<![\w'])(?:otherwise|(?:or )?else|if (?:it is |it's |they are )?not(?: so)?)\b"
    r"[\s,:]*",
    re.IGNORECASE,
)
_THREADS = re.compile(
    r"\b(?:dry|oil\w*|greas\w*|lubricat\w*|thread[- ]?lock\w*|anti-?seize|wax\w*)\b", re.IGNORECASE
)
_BEHIND = re.compile(r"[,;]\s+(?!aim\b)", re.IGNORECASE)
_SAYS_NOTHING = re.compile(r"(?:yes|no|ok|okay|[\W_]*|\w)\W*", re.IGNORECASE)
_LIMITS = "Write limits with their unit, such as '5.8 to 6.2 {0}' or 'at most 6.2 {0}'"
_TORQUE = (
    "Write it with limits, such as '22 to 26 N·m' and behind it ', oiled' or what else is to be "
    "told of it; write 'none' where it has no torque"
)


@dataclass(frozen=True, slots=True)
class Filled:
    """Proposals with what is answered to questions.

    Attributes:
        done: the proposals after the answers, as the draft is made from.
        questions: what is still open, worst first, and then what is answered and belongs to no
            one place of the draft, each with its answer.
        rows: the questions for the sheet, with their answers.
        left_over: answers to what is asked no more.
    """

    done: Answered
    questions: tuple[Question, ...]
    rows: tuple[QuestionAnswer, ...]
    left_over: tuple[QuestionAnswer, ...]


def filled(
    proposals: Sequence[Proposal], done: Answered, sheet: AnswerSheet | None, file: Path | None
) -> Filled:
    """Return proposals with what is answered to questions put in.

    A number that was changed is told as it is now in what else was said with it.

    Args:
        proposals: all that is proposed, as it was.
        done: the proposals after the answers to themselves.
        sheet: the sheet of answers, or None if there is none.
        file: where it stands, for the places.

    Raises:
        InputError: if an answer is not what its question asks for; ``FileErrors`` tells several.
        MachineError: if the sheet cannot be read.
    """
    before = (sheet.questions if sheet else None) or ()
    answers, filling = Answers(before), _Filling(proposals, done)
    seen: set[Question] = set()
    kept: list[Question] = []
    closed: set[Question] = set()
    faults: list[tuple[str, InputError]] = []
    asked = questions(filling.all())
    for _ in range(_ROUNDS):
        new, put = [q for q in single(asked) if q not in seen], False
        seen.update(new)
        for question, row in zip(new, answers.given_to(new), strict=True):
            if row is None or not row.answer:
                continue
            closed.add(question)
            try:
                if row.answer == NOTHING:
                    filling.leave_out(question, row.by)
                    continue
                placed = filling.put(question, row.answer, row.by)
                put = put or placed
                if not placed or filling.is_told_besides(question):
                    kept.append(replace(question, answer=row.answer, by=row.by or ""))
            except InputError as error:
                faults.append((row.id, error))
        if faults or not put:
            break
        asked = questions(filling.all())
    if faults and file is not None:
        raise _placed(file, before, faults)
    left = [q for q in asked if not closed.issuperset(single((q,)))]
    return Filled(filling.done(), (*left, *kept), answers.all_rows(), answers.left_over())


def with_answers(asked: Sequence[Question], sheet: AnswerSheet | None) -> tuple[Question, ...]:
    """Return questions with what the sheet answers to them; those answered come last.

    Args:
        asked: the questions, worst first.
        sheet: the sheet of answers, or None if there is none.
    """
    each = list(dict.fromkeys(single(asked)))
    given = Answers((sheet.questions if sheet else None) or ()).given_to(each)
    row_of = {q: row for q, row in zip(each, given, strict=True) if row is not None}
    found = []
    for question in asked:
        rows = [row_of[one] for one in single((question,)) if one in row_of]
        told = "; ".join(row.answer or "" for row in rows)
        by = ", ".join(dict.fromkeys(row.by for row in rows if row.by))
        found.append(replace(question, answer=told, by=by))
    return tuple(sorted(found, key=lambda q: bool(q.answer)))


def rows_for(asked: Sequence[Question], before: AnswerSheet | None) -> tuple[QuestionAnswer, ...]:
    """Return the questions for a sheet, with the answers that stand in an earlier one."""
    answers = Answers((before.questions if before else None) or ())
    answers.given_to(list(dict.fromkeys(single(asked))))
    return answers.all_rows()


def unasked_notes(
    file: Path, sheet: AnswerSheet | None, left_over: Sequence[QuestionAnswer]
) -> tuple[str, ...]:
    """Return a note for each answer to what is asked no more.

    Raises:
        InputError: if the sheet was changed since it was read, and is wrong now.
        MachineError: if it cannot be read.
    """
    if sheet is None or not left_over:
        return ()
    tree, ids = tree_of(file), [row.id for row in sheet.questions or ()]
    return tuple(
        f"{file.name}: line {tree.place(('questions', ids.index(row.id), 'id'))[0]}: the answer to "
        f"'{row.id}' belongs to no question asked now; it waits there: write it to the question "
        "it answers, or take this row out"
        for row in left_over
    )


def _placed(
    file: Path, before: Sequence[QuestionAnswer], faults: Sequence[tuple[str, InputError]]
) -> FileErrors:
    tree, ids = tree_of(file), [row.id for row in before]
    told = [
        InputError(
            f"'{name}': {error.problem}", remedy=error.remedy, file=file, line=at, column=column
        )
        for name, error in faults
        for at, column in (tree.place(("questions", ids.index(name), "answer")),)
    ]
    return FileErrors(sorted(told, key=lambda fault: fault.line or 0))


class _Filling:
    """Proposals while answers are put in."""

    def __init__(self, proposals: Sequence[Proposal], done: Answered) -> None:
        self._as_proposed = {p.id: p for p in proposals}
        self._was = done
        self._proposals = {p.id: p for p in done.proposals}
        self._more: dict[str, list[Proposal]] = {}
        self._accepted = set(done.accepted)
        self._by = dict(done.by)
        self._names = Names()
        self._besides: set[Question] = set()

    def all(self) -> tuple[Proposal, ...]:
        """Return all proposals as they are now, what came beside one right behind it."""
        both = ((one, *self._more.get(one.id, ())) for one in self._proposals.values())
        return tuple(chain.from_iterable(both))

    def done(self) -> Answered:
        """Return them as answered."""
        return replace(
            self._was,
            proposals=with_changed_numbers(self._as_proposed, self.all()),
            accepted=frozenset(self._accepted),
            by=self._by,
        )

    def put(self, question: Question, answer: str, by: str | None) -> bool:
        """Put in one answer; False if there is no one place for it.

        Raises:
            InputError: if it is not what is asked for.
        """
        about = self._proposals.get(question.about or "")
        ways: dict[str, Callable[[Question, Proposal, str, str | None], None]] = {
            "torque": self._put_torque, "limits": self._put_limits, "unit": self._put_unit,
            "otherwise": self._put_half, "accepted": self._put_both,
            **({"part": self._put_part} if question.part in self._proposals else {}),
        }  # fmt: skip
        way = ways.get(question.asks)
        if about is not None and about.kind == "hazard" and question.asks in {"avoided", "told"}:
            way = self._put_half
        if about is None or way is None or not (about.kind == "step" or about.steps):
            return False
        way(question, about, answer, by)
        return True

    def leave_out(self, question: Question, by: str | None) -> None:
        """Leave out what stands in the draft only to be written, and of which there is nothing.

        Nothing is accepted by "listen for a knock", and nothing done if not: it is work alone.
        """
        about = self._proposals.get(question.about or "")
        if about is not None and question.asks == "accepted" and about.kind == "inspection":
            self._tell(about, by, left_out="yes")

    def is_told_besides(self, question: Question) -> bool:
        """Whether the words of an answer are kept with its question too, since they tell more."""
        return question in self._besides

    def _take(self, proposal: Proposal, by: str | None) -> None:
        """Take up a number that somebody answers for."""
        self._accepted.add(proposal.id)
        if by:
            self._by[proposal.id] = by

    def _add(self, about: Proposal, number: Proposal, by: str | None) -> None:
        self._more.setdefault(about.id, []).append(number)
        self._take(number, by)

    def _put_torque(self, question: Question, about: Proposal, answer: str, by: str | None) -> None:
        told, behind = _parted(answer)
        try:
            made = self._number(question, about, told, by, None)
        except InputError as error:
            raise InputError(error.problem, remedy=_TORQUE) from error
        values = made.values
        quantity = all_units()[values.unit].quantity if values and values.unit else ""
        if quantity not in _TIGHT:
            unit = values.unit if values else None
            raise InputError(f"{unit} is no unit of torque", remedy=_TORQUE)
        self._add(about, replace(made, details=(*made.details, *behind)), by)

    def _put_limits(self, question: Question, about: Proposal, answer: str, by: str | None) -> None:
        was = about.values
        answer, *otherwise = _OTHERWISE.split(answer, maxsplit=1)
        note = tuple(("note", f"Otherwise {told}") for told in otherwise if told)
        if about.kind != "measurement" or was is None or about.detail("role") == "measured":
            made = self._number(question, about, answer, by, was.unit if was else None)
            self._add(about, replace(made, details=(*made.details, *note)), by)
        else:
            unit = all_units()[was.unit] if was.unit else None
            torque = unit is not None and unit.quantity == "torque"
            told, behind = _parted(answer) if torque else (answer, ())
            made = _limited(changed(about, Changed(text=told), by))
            made = replace(made, details=(*made.details, *behind, *note))
            if made.values is not None and made.values.unit == was.unit:
                made = _around(made, made.values, was)
            self._proposals[about.id] = made
            self._take(made, by)

    def _put_unit(self, _: Question, about: Proposal, answer: str, by: str | None) -> None:
        unit, was = find_unit(answer), about.values
        if unit is None or was is None:
            raise InputError(
                f"'{answer}' is no unit", remedy="Write the unit alone, such as mm, bar or N·m"
            )
        new = SaidValues(lower=was.lower, nominal=was.nominal, upper=was.upper, unit=unit.symbol)
        self._proposals[about.id] = changed(about, Changed(values=new), by)
        self._take(about, by)

    def _put_half(self, question: Question, about: Proposal, answer: str, by: str | None) -> None:
        if _SAYS_NOTHING.fullmatch(answer):
            raise InputError(
                f"'{answer}' does not tell what is asked",
                remedy="Write it in a few words, or 'none' where there is nothing to tell",
            )
        limits, *behind = _OTHERWISE.split(answer, maxsplit=1)
        if (
            question.asks == "otherwise"
            and behind
            and re.match(r"[\d.]+\s|(?:at )?(?:most|least)", limits)
        ):
            # "31.5 to 32.5 mm; otherwise fit a new spring": the limits nobody asked for as well.
            self._add(about, self._number(question, about, limits, by, None), by)
            answer = behind[0]
        answer = _OTHERWISE.sub("", answer, count=1) if _OTHERWISE.match(answer) else answer
        name = {"avoided": "avoid", "told": "harm"}.get(question.asks, "otherwise")
        self._tell(about, by, **{name: answer})

    def _put_both(self, _: Question, about: Proposal, answer: str, by: str | None) -> None:
        accept, *otherwise = _OTHERWISE.split(answer, maxsplit=1)
        if not accept or otherwise == [""] or _SAYS_NOTHING.fullmatch(accept):
            raise InputError(
                "it does not tell what is accepted and what is done otherwise",
                remedy="Write both, such as 'No play you can feel; otherwise fit a new bearing'",
            )
        self._tell(about, by, accept=accept, otherwise="".join(otherwise))

    def _put_part(self, question: Question, _: Proposal, answer: str, by: str | None) -> None:
        told = becomes(question, answer, self.all())
        self._tell(self._proposals[question.part], by, **{FATE: told.fate})
        for step, _move in told.moves:
            self._proposals[step] = with_moves(self._proposals[step], told.moves)
        if told.besides or told.fate == STAYS_OFF:
            self._besides.add(question)

    def _tell(self, about: Proposal, by: str | None, **told: str) -> None:
        who = {"answered_by": by or "the technician"}
        details = dict(about.details) | {n: v for n, v in told.items() if v} | who
        self._proposals[about.id] = replace(about, details=tuple(details.items()))

    def _number(
        self, question: Question, about: Proposal, text: str, by: str | None, unit: str | None
    ) -> Proposal:
        """Return a number that nobody said on the film, with limits."""
        name = question.of or about.detail("characteristic") or ""
        asked = replace(
            about,
            id=self._names.free(about.id, f"-{question.asks}"),
            kind="measurement",
            values=Values(unit=unit),
            steps=(about.id,) if about.kind == "step" else about.steps,
            moves=(),
            details=(("role", "limits"), ("characteristic", name)),
            confidence=Decimal(1),
            reason=f"answered to the question “{question.text}”",
        )
        made = _limited(changed(asked, Changed(text=text), by))
        details = dict(made.details)
        details["answered_by"] = details.pop("changed_by", by or "the technician")
        return replace(made, details=tuple(details.items()))


def _parted(answer: str) -> tuple[str, tuple[tuple[str, str], ...]]:
    """Return the numbers of a torque, and what is told behind them: threads, and a note."""
    told, *more = _BEHIND.split(answer)
    threads = next((words for words in more if _THREADS.search(words)), "")
    rest = ", ".join(words for words in more if words != threads)
    return told, tuple((n, v) for n, v in (("threads", threads), ("note", rest)) if v)


def _limited(number: Proposal) -> Proposal:
    """Return a number that has limits.

    Raises:
        InputError: if it has none.
    """
    values = number.values
    if values is None or (values.lower is None and values.upper is None):
        unit = values.unit if values and values.unit else "mm"
        raise InputError("it tells no limits", remedy=_LIMITS.format(unit))
    return number


def _around(number: Proposal, limits: Values, was: Values) -> Proposal:
    """Return limits about the value that was said, which stays what is aimed at.

    Raises:
        InputError: if it lies beyond them.
    """
    aim = was.nominal
    if limits.nominal is not None or aim is None:
        return number
    low, high = limits.lower, limits.upper
    if (low is not None and aim < low) or (high is not None and aim > high):
        raise InputError(
            f"{aim:f} {was.unit} was said, and lies beyond these limits",
            remedy=f"Write limits about it, or change the number itself at '{number.id}'",
        )
    made = replace(number, values=replace(limits, nominal=aim))
    return replace(made, text=number_text(made))
