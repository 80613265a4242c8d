"""What a clause of a sentence is, and why it is thought to be that."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Set
from dataclasses import dataclass
from decimal import Decimal
from typing import Literal

Kind = Literal[
    "action",
    "hazard",
    "damage",
    "inspection",
    "decision",
    "orientation",
    "order",
    "count",
    "hidden",
    "prerequisite",
    "follow_on",
    "deferred",
    "reason",
    "off_camera",
    "preview",
    "chatter",
]


Sign = Literal[
    "phrase", "weighed",
    "order", "done", "was_done", "being_done", "has_to_be_done", "part_goes", "part_to_be",
    "part_off", "part_does", "next_part", "new_part", "few_words", "same_again", "counted",
    "danger", "warning", "protection", "outcome", "forbidden",
    "beside", "selling", "ahead", "nothing_of_job", "of_people",
]  # fmt: skip
"""What a hit was found by, where something hangs on it: ``weighed`` are many small signs
together, ``phrase`` is any phrase of a table that nothing hangs on. Behind those are the forms of
an order, what a warning says, and the forms of talk beside the job; ``talk_points.yaml`` gives
points by these names."""


@dataclass(frozen=True, slots=True)
class Marked:
    """A clause of a sentence and what kind of thing it says.

    Attributes:
        sentence: index of the sentence.
        begin: index of its first letter in the text of the sentence.
        end: index after its last letter.
        kind: what it says; ``hazard`` hurts people, ``damage`` hurts things, ``count`` is
            of fasteners, ``hidden`` a fastener that cannot be seen.
        text: the words themselves.
        confidence: from 0 to 1, by the strength of the evidence.
        reason: the evidence in one plain sentence.
    """

    sentence: int
    begin: int
    end: int
    kind: Kind
    text: str
    confidence: Decimal
    reason: str


@dataclass(frozen=True, slots=True)
class Hit:
    """Evidence for one kind, found in the words of a sentence.

    Attributes:
        kind: what it speaks for.
        first: index of the first word it was found in.
        stop: index after the last.
        weight: strength of the evidence in hundredths.
        reason: the evidence in plain words, for people, with ``{}`` where the words go.
        sign: what it was found by, for the program.
    """

    kind: Kind
    first: int
    stop: int
    weight: int
    reason: str
    sign: Sign = "phrase"


# The forms of an order, as they are told.
_ACTS: Mapping[Sign, str] = {
    "order": "begins with an order",
    "done": "says what is done",
    "was_done": "says what was done",
    "being_done": "says what is being done",
    "has_to_be_done": "says what has to be done",
    "part_goes": "says where a part goes",
    "part_to_be": "says where a part is to be",
    "part_off": "says that a part comes off",
    "part_does": "says what a part does",
    "next_part": "says which part comes next",
    "new_part": "names the new part that goes in",
    "few_words": "says in few words how it is done",
    "counted": "names fasteners and how many there are",
}


def act(first: int, stop: int, weight: int, sign: Sign) -> Hit:
    """Return evidence for an action.

    Args:
        first: index of the first word it was found in.
        stop: index after the last.
        weight: strength of the evidence in hundredths.
        sign: in which form the action is told.

    Raises:
        KeyError: if it is no form of an order.
    """
    return Hit("action", first, stop, weight, f"{_ACTS[sign]}: '{{}}'", sign)


@dataclass(frozen=True, slots=True)
class Found:
    """Evidence together with the words of the clause or clauses it speaks of.

    Attributes:
        hit: the evidence.
        first: index of the first word of what it marks.
        stop: index after the last.
    """

    hit: Hit
    first: int
    stop: int


def by_sentence(marks: Iterable[Marked]) -> dict[int, list[Marked]]:
    """Return the marks of each sentence that has any, in their order."""
    found: dict[int, list[Marked]] = {}
    for mark in marks:
        found.setdefault(mark.sentence, []).append(mark)
    return found


def meet(one: Marked, other: Marked) -> bool:
    """Whether two marks of a sentence share words."""
    return one.begin < other.end and other.begin < one.end


def with_others(
    marks: Iterable[Marked], gone: Set[Marked], found: Iterable[Marked]
) -> list[Marked]:
    """Return marks in order, some of them left out and others put in.

    Args:
        marks: kinds of clauses.
        gone: those that are left out.
        found: those that are put in.
    """
    kept = [mark for mark in marks if mark not in gone]
    return sorted([*kept, *found], key=lambda mark: (mark.sentence, mark.begin))
