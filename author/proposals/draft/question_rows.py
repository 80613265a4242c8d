"""Questions in the sheet of answers, each with room for what the technician answers to it."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from decimal import Decimal
from typing import Annotated

from pydantic import AfterValidator, Field

from author.contract.procedure_file import as_plain
from author.procedure.values import LINE_LENGTH, Id, Line, Mark, Node, check_line
from author.proposals.draft.lines import line
from author.proposals.draft.signs import sign_over
from author.proposals.proposal import Asked, Names, Question

NOTHING = "none"
"""What is answered where nothing is to be said."""
_FOR_READING = ("id", "question", "asks", "about", "recording", "at")
_NEAR = Decimal(2)
_CLOCK = re.compile(r"\d+:\d\d(?::\d\d)?(?:\.\d+)?")


def _line_or_empty(value: str) -> str:
    return check_line(value) if value else value


class QuestionAnswer(Node):
    """A question and what is answered; a person who writes one needs ``id`` and ``answer``.

    Attributes:
        id: name of the question.
        answer: what is answered; empty while it is open, ``none`` where nothing is to be said.
        question: the question; as all that follows, None where a person has left it out.
        asks: what kind of answer fits.
        about: id of the proposal it is about.
        recording: id of the recording with the moment it is about.
        at: that moment, seconds.
        by: who answered, if that is known.
        written: sign over what the program wrote here.
    """

    id: Id
    answer: Annotated[str, Field(max_length=LINE_LENGTH), AfterValidator(_line_or_empty)] | None = (
        None
    )
    question: Line | None = None
    asks: Asked | None = None
    about: Id | None = None
    recording: Id | None = None
    at: Mark | None = None
    by: Line | None = None
    written: Line | None = None

    def sign(self) -> str:
        """Return what ``written`` is where nobody has changed the row; letters alone."""
        return sign_over([as_plain(self).get(key) for key in _FOR_READING])


def single(questions: Iterable[Question]) -> Iterator[Question]:
    """Yield questions, those that ask the same of several one by one where they can be."""
    for question in questions:
        yield from question.parts or (question,)


class Answers:
    """Gives each question the answer that was written to it.

    An answer belongs to the question of its name in the same words; where a run names questions
    anew, to the one in these words nearest in time. A row of a name and an answer alone is of
    that name.

    Args:
        before: the rows of the sheet.
    """

    def __init__(self, before: Sequence[QuestionAnswer]) -> None:
        self._waiting = {row.id: row for row in before if row.answer}
        self._names = Names()
        self.rows: list[QuestionAnswer] = []

    def given_to(self, questions: Sequence[Question]) -> list[QuestionAnswer | None]:
        """Return the row that answers each of some questions, and note a row for each."""
        named = [(q, self._names.free(q.about or "question", f"-{q.asks}")) for q in questions]
        given = [self._of_name(name, q) for q, name in named]
        given = [row or self._near(q) for row, q in zip(given, questions, strict=True)]
        self.rows += [_row(name, q, row) for (q, name), row in zip(named, given, strict=True)]
        return given

    def left_over(self) -> tuple[QuestionAnswer, ...]:
        """Return the answers to what is asked no more."""
        return tuple(self._waiting.values())

    def all_rows(self) -> tuple[QuestionAnswer, ...]:
        """Return a row for each question, and those that answer what is asked no more."""
        left = (_named(row, self._names.free(row.id)) for row in self._waiting.values())
        return (*self.rows, *left)

    def _of_name(self, name: str, question: Question) -> QuestionAnswer | None:
        row = self._waiting.get(name)
        if row is None or row.question not in {None, line(question.text)}:
            return None
        return self._waiting.pop(name)

    def _near(self, question: Question) -> QuestionAnswer | None:
        """Return the answer to a question in the same words, wherever their clock stands."""
        words = _CLOCK.sub("", line(question.text))
        found = [
            (abs(row.at - question.at), row.id)
            for row in self._waiting.values()
            if row.asks == question.asks and row.at is not None
            and _CLOCK.sub("", row.question or "") == words
        ]  # fmt: skip
        away, name = min(found, default=(_NEAR + 1, ""))
        return self._waiting.pop(name) if away <= _NEAR else None


def _row(name: str, question: Question, given: QuestionAnswer | None) -> QuestionAnswer:
    row = QuestionAnswer(
        id=name,
        answer=given.answer if given else "",
        question=line(question.text),
        asks=question.asks,
        about=question.about,
        recording=question.recording,
        at=question.at.quantize(Decimal("0.000001")),
        by=given.by if given else None,
    )
    return _named(row, name, signed=True)


def _named(row: QuestionAnswer, name: str, *, signed: bool = False) -> QuestionAnswer:
    new = row.model_copy(update={"id": name})
    return new.model_copy(update={"written": new.sign()}) if signed or row.written else new
