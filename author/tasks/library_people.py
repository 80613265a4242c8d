"""Who acts in a library at the command line, held against the people it knows."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from author.contract.procedure_file import PROCEDURE_FILE
from author.contract.reading import read_bytes
from author.errors import InputError
from author.library.quick_reader import read_document
from author.library.records.answers import Answer
from author.library.records.asked import Asked, find_question
from author.library.records.releases import Releaser
from author.library.shop import Shop, open_shop
from author.library.signing.known_people import (
    ANSWERING,
    KEEPER,
    NOBODY_KNOWN,
    KnownPeople,
    people_of,
)
from author.procedure.review import authors_of, same_name
from author.tasks.library_records import answer_question, check_text, questions

_LONGEST_ROLE = 300


@dataclass(frozen=True, slots=True)
class Answered:
    """A question that was answered.

    Attributes:
        asked: the question.
        answer: what was said to it.
        notes: what has to be told of who answered, a sentence each without full stop.
    """

    asked: Asked
    answer: Answer
    notes: tuple[str, ...]


def releaser_of(folder: Path, name: str, role: str | None) -> Releaser:
    """Return who releases a finding from the command line.

    What they are is what the library knows of them, by keys, library.yaml or accounts. A library
    that knows nobody takes them at their word for a role that a procedure names; the release
    keeps that it was so. Nobody is a keeper by their own word.

    Args:
        folder: the library.
        name: who they are.
        role: the role in which they release, as the procedure names it; None for any they have.

    Raises:
        InputError: if the library knows its people, and not them or not in that role.
        MachineError: if the machine fails.
    """
    check_text("the name", name)
    stated = None if role is None or same_name(role) == KEEPER else role
    if stated is not None:
        check_text("the role", stated, longest=_LONGEST_ROLE)
    known = people_of(open_shop(folder))
    if not known.any:
        return Releaser(name, (), () if stated is None else (stated,), as_stated=True)
    person = known.known(name)
    theirs = {same_name(one) or None for one in (*person.trades, *person.roles)}
    if stated is not None and KEEPER not in person.roles and same_name(stated) not in theirs:
        raise InputError(
            f"the library does not know '{person.name}' as {stated}",
            remedy="Ask somebody who is, or a keeper, who may say what they are in the shop with "
            f"'reelwright library account … --trade \"{stated[:80]}\"'",
        )
    return Releaser(person.name, tuple(sorted(person.roles)), person.trades)


def sender_notes(folder: Path, name: str) -> tuple[str, ...]:
    """Return what has to be told of who sends a record; it is kept whoever they are.

    Raises:
        InputError, MachineError: if the people of the library cannot be read.
    """
    known = people_of(open_shop(folder))
    return _strange(known, name) if known.any else ()


def answer_as(
    folder: Path, question: str, text: str, by: str, now: datetime | None = None
) -> Answered:
    """Answer a question from the work, from the command line.

    A library that knows its people takes answers of its authors, reviewers and keepers, and of
    whoever the procedure names as its author.

    Args:
        folder: the library.
        question: the beginning of its id.
        text: the answer, one paragraph.
        by: who answers.
        now: the time; the clock's if None.

    Raises:
        InputError: if there is no such question, the text has no words, or they may not answer.
        MachineError: if the machine fails.
    """
    check_text("the name", by)
    shop = open_shop(folder)
    asked = find_question(questions(folder).value, question)
    known = people_of(shop)
    person = known.of(by)
    wrote = same_name(by) in {same_name(one) or None for one in _authors(shop, asked.procedure)}
    may = person is not None and person.roles & ANSWERING
    if known.any and not (may or wrote):
        raise InputError(
            f"'{by[:60]}' is no author, reviewer or keeper of this library, nor an author of "
            f"'{asked.procedure}'",
            remedy="Let one of them answer, or let a keeper give the role with 'reelwright "
            "library account'",
        )
    asked, done = answer_question(folder, asked.id, text, by, now)
    return Answered(asked, done, _strange(known, by))


def strangers(folder: Path, names: Sequence[str]) -> tuple[str, ...]:
    """Return those of some names that a library which knows its people does not know.

    Raises:
        InputError, MachineError: if the people of the library cannot be read.
    """
    return people_of(open_shop(folder)).strange(names)


def _strange(known: KnownPeople, name: str) -> tuple[str, ...]:
    if not known.any:
        return (NOBODY_KNOWN,)
    return tuple(f"The library does not know '{one[:60]}'" for one in known.strange((name,)))


def _authors(shop: Shop, procedure: str) -> tuple[str, ...]:
    """Return who wrote a procedure; nobody if it is gone or damaged."""
    file = shop.place_of(procedure) / PROCEDURE_FILE
    try:
        return authors_of(read_document(read_bytes(file), file))
    except InputError:
        return ()
