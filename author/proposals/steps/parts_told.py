"""What was told of parts, and which of them are off the machine when a step begins."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from author.proposals.kinds.marks import Marked
from author.proposals.orders.acts import Act
from author.proposals.quantities.reading import SpokenQuantity
from author.proposals.speech.spoken import Sentence
from author.proposals.steps.named_parts import NamedPart
from author.proposals.steps.sections import Phase
from author.proposals.things.finding import Thing


@dataclass(slots=True)
class Book:
    """Parts that are off the machine by now, with how many pieces, and those thrown away.

    What the step before told of, and the sentence it ended with, are kept for "chuck them".
    """

    off: dict[str, int] = field(default_factory=dict)
    scrapped: set[str] = field(default_factory=set)
    fresh: set[str] = field(default_factory=set)
    last: list[tuple[str, int]] = field(default_factory=list)
    until: int = -1

    def note(self, act: Act, part: str, count: int) -> None:
        """Write down what became of a part."""
        if act == "removes":
            self.off[part] = max(count, self.off.get(part, 0))
        elif act == "discards":
            self.scrapped.add(part)
        else:
            self.off.pop(part, None)
            self.scrapped.discard(part)


@dataclass(frozen=True, slots=True)
class Told:
    """What was found in the talk, as far as it tells what becomes of parts.

    Attributes:
        said: the sentences.
        things: parts, tools and supplies in it.
        item_of: id of the part, tool or supply by the index of a thing.
        quantities: the numbers in it.
        marks: kinds of its clauses.
        phases: part of the job, by sentence.
    """

    said: Sequence[Sentence]
    things: Sequence[Thing]
    item_of: Mapping[int, str]
    quantities: Sequence[SpokenQuantity]
    marks: Sequence[Marked]
    phases: Sequence[Phase]


class Found:
    """What was found, by sentence and by part."""

    def __init__(self, told: Told) -> None:
        self.told = told
        self.named: dict[int, list[NamedPart]] = {}
        self.names: dict[str, list[NamedPart]] = {}
        for index, thing in enumerate(told.things):
            part = told.item_of.get(index)
            if thing.kind == "part" and part is not None:
                one = NamedPart(thing, part)
                self.named.setdefault(thing.sentence, []).append(one)
                self.names.setdefault(part, []).append(one)
        self.torqued = {q.sentence for q in told.quantities if q.quantity == "torque"}
        self.decisions: dict[int, list[Marked]] = {}
        for mark in told.marks:
            if mark.kind == "decision":
                self.decisions.setdefault(mark.sentence, []).append(mark)
