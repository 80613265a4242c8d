"""What is proposed to the technician: claims tied to the moment they come from."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from typing import Literal, get_args

from author.procedure.values import ID_LENGTH
from author.proposals.steps.parts_told import Move

ProposalKind = Literal[
    "step",
    "hazard",
    "measurement",
    "part",
    "tool",
    "supply",
    "inspection",
    "orientation",
    "order",
    "count",
    "hidden",
    "decision",
    "prerequisite",
    "follow_on",
    "deferred",
    "reason",
    "off_camera",
    "preview",
    "chatter",
]
"""What a proposal is about. ``preview`` and ``chatter`` propose to leave the words out."""

KINDS: tuple[ProposalKind, ...] = get_args(ProposalKind)


@dataclass(frozen=True, slots=True)
class Values:
    """The numbers of a proposal, with the digits as they were said.

    Attributes:
        lower: smallest value accepted.
        nominal: value aimed at, or the one number there is.
        upper: largest value accepted.
        unit: symbol of ``schema/units.yaml``, or None where none was said.
    """

    lower: Decimal | None = None
    nominal: Decimal | None = None
    upper: Decimal | None = None
    unit: str | None = None

    def numbers(self) -> tuple[Decimal, ...]:
        """Return those that are there: lower, nominal, upper."""
        return tuple(n for n in (self.lower, self.nominal, self.upper) if n is not None)


@dataclass(frozen=True, slots=True)
class Proposal:
    """One claim.

    Attributes:
        id: name by which it is answered; the same in every run over the same words.
        kind: what it is about.
        text: what is proposed, as it would stand in the procedure.
        said: the words it rests on, as they stand in the captions.
        recording: id of the recording they are said on.
        start: when they begin, seconds on the clock of the recording.
        end: when they end, same clock.
        values: its numbers, for a measurement.
        steps: ids of the proposed steps it belongs to, the first first; a part, tool or
            supply may belong to several.
        moves: what a step does with parts.
        details: what else is known, name and value: ``signal`` of a hazard, ``role``,
            ``characteristic``, ``datum`` and ``positions`` of a measurement, ``number``,
            ``count`` and ``where`` of a thing, ``section``, ``verb`` and ``object`` of a step;
            ``harm``, ``avoid``, ``accept``, ``otherwise`` and ``threads`` as somebody answered,
            and ``fate`` of a part.
        confidence: share of proposals like this one that are right, 0 to 1.
        reason: why it is proposed, one sentence.
    """

    id: str
    kind: ProposalKind
    text: str
    said: str
    recording: str
    start: Decimal
    end: Decimal
    confidence: Decimal
    reason: str
    values: Values | None = None
    steps: tuple[str, ...] = ()
    moves: tuple[Move, ...] = ()
    details: tuple[tuple[str, str], ...] = ()

    def overlaps(self, other: Proposal) -> bool:
        """Whether both rest on words of one moment."""
        return (
            self.recording == other.recording and self.start < other.end and other.start < self.end
        )

    def detail(self, name: str) -> str | None:
        """Return what is known under a name, or None."""
        return dict(self.details).get(name)


Asked = Literal[
    "torque", "safe", "part", "limits", "unit", "avoided", "accepted", "otherwise", "told"
]


@dataclass(frozen=True, slots=True)
class Question:
    """What a complete procedure needs and the film does not say.

    Attributes:
        text: the question to the technician, one or two sentences.
        recording: id of the recording with the moment it is about.
        at: that moment, seconds on its clock.
        weight: how bad it is to leave it open, 1 to 100; the worst comes first.
        about: id of the proposal it is about, if it is about one.
        asks: what the answer is: a ``torque``, how the machine is made ``safe``, what
            becomes of a ``part``, the ``limits`` or the ``unit`` of a number, how harm is
            ``avoided``, what is ``accepted`` and what is done otherwise, or that alone
            (``otherwise``), or how something is ``told``.
        several: whether it asks the same of other proposals too, so that what became of the
            one it is about does not answer it.
        of: what a number that is asked for is called, if that is known.
        part: id of the part of which is asked what becomes of it, if of one.
        parts: the same asked of each by itself, where it asks of several that can be.
        answer: what the sheet of answers has for it; may be empty.
        by: who answered, if that is known.
    """

    text: str
    recording: str
    at: Decimal
    weight: int
    about: str | None = None
    asks: Asked = "told"
    several: bool = False
    of: str = ""
    part: str = ""
    parts: tuple[Question, ...] = ()
    answer: str = ""
    by: str = ""

    @property
    def with_answer(self) -> str:
        """The question, and what is answered to it if anything is."""
        by = f" by {self.by}" if self.by else ""
        return f"{self.text} Answered{by}: {self.answer}" if self.answer else self.text


def answered(proposals: Iterable[Proposal], name: str) -> str:
    """Return what a person answered of some proposals, by the name of the detail; may be empty."""
    return next((told for p in proposals if (told := p.detail(name))), "")


class Names:
    """Gives proposals their ids, none of them twice."""

    def __init__(self) -> None:
        self._taken: set[str] = set()

    def free(self, head: str, tail: str = "") -> str:
        """Return an id that is not given yet, no longer than a file may hold.

        Args:
            head: what it begins with; cut where the whole would be too long.
            tail: what it ends with; a number is added where there is such an id.
        """
        end, count = tail, 1
        while (name := head[: ID_LENGTH - len(end)].rstrip("-") + end) in self._taken:
            count += 1
            end = f"{tail}-{count}"
        self._taken.add(name)
        return name
