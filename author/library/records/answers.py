"""Answers of authors to questions from the work.

``SHOP/records/answers/<question>.json`` is written once and never changed; another answer to
the same question stands beside it, ``<question>-2.json``, and comes after it.
"""

from __future__ import annotations

import re
from datetime import datetime
from pathlib import Path
from typing import Annotated, Literal

from pydantic import AfterValidator, Field

from author.contract.canonical_json import canonical_file
from author.errors import InputError
from author.library.locking import writing
from author.library.records.keeping import ANSWERS, make_folder, records_folder
from author.library.records.notes import read_note
from author.library.shop import Shop
from author.library.signing.history import moment
from author.procedure.values import Line, Moment, Node, check_line
from author.storage import file_error, replace_file

LONGEST = 2000
_NAME = re.compile(r"([0-9a-f]{24})(?:-([1-9][0-9]{0,3}))?\.json")
_MOST = 1000
Paragraph = Annotated[str, Field(min_length=1, max_length=LONGEST), AfterValidator(check_line)]


class Answer(Node):
    """An answer to a question from the work.

    Attributes:
        form: ``answer/1``.
        question: which question, by its id.
        asked: the question.
        answer: what is said to it.
        by: who answers.
        at: when, by the clock of the library's machine.
    """

    form: Literal["answer/1"]
    question: Annotated[str, Field(pattern=r"^[0-9a-f]{24}$")]
    asked: Line
    answer: Paragraph
    by: Line
    at: Moment


def answer(
    shop: Shop, question: str, asked: str, text: str, by: str, now: datetime | None = None
) -> Answer:
    """Keep an answer; one that is the same as the last is not kept twice.

    Args:
        shop: the library.
        question: id of the question.
        asked: the question.
        text: the answer, one paragraph.
        by: who answers.
        now: the time; the clock's if None.

    Raises:
        InputError: if there are too many, or the library cannot be written.
        MachineError: if the machine fails.
    """
    made = Answer(
        form="answer/1", question=question, asked=asked, answer=text, by=by, at=moment(now)
    )
    folder = records_folder(shop) / ANSWERS
    with writing(shop):
        try:
            make_folder(folder.parent)
            make_folder(folder)
        except OSError as error:
            raise file_error(error, folder) from error
        last = None
        for number in range(1, _MOST):
            file = folder / answer_file(question, number)
            if not file.exists():
                if last is not None and (last.answer, last.by) == (text, by):
                    return last
                replace_file(file, canonical_file(made))
                return made
            last = read_note(file, Answer)
    raise InputError("this question has too many answers", remedy="Talk to one another")


def answer_file(question: str, number: int) -> str:
    """Return the name of the file of an answer; they count from 1."""
    return f"{question}.json" if number == 1 else f"{question}-{number}.json"


def numbered(name: str) -> int | None:
    """Return which answer a file holds by its name, None if it is none."""
    found = _NAME.fullmatch(name)
    return None if found is None else int(found[2] or 1)


def read_answer(file: Path) -> Answer:
    """Read an answer.

    Raises:
        InputError: if it is not as it was written, or to another question.
        MachineError: if it cannot be read.
    """
    one = read_note(file, Answer)
    if not file.name.startswith(one.question):
        raise InputError(
            "this is the answer to another question", remedy="Bring it back from a copy", file=file
        )
    return one
