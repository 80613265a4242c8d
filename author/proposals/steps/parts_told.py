"""What was told of parts, and which of them are off the machine when a step begins."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from author.proposals.kinds.marks import Marked
from author.proposals.orders.acts import Act
from author.proposals.quantities.reading import SpokenQuantity
from author.proposals.speech.spoken import Sentence
from author.proposals.steps.named_parts import NamedPart
from author.proposals.steps.renewals import is_stated
from author.proposals.steps.sections import Phase
from author.proposals.things.finding import Thing
from author.proposals.things.ordering import always_new
from author.proposals.things.pointed_at import parts_in, told_of
from author.proposals.things.renewed import Verdict, verdicts


@dataclass(frozen=True, slots=True)
class Move:
    """What a step does with a part.

    Attributes:
        act: ``removes``, ``refits``, ``replaces`` or ``discards``.
        part: id of the proposal of the part.
        count: how many.
        certain: False where it is done only if something is found.
    """

    act: Act
    part: str
    count: int = 1
    certain: bool = True


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
        texts = [one.text for one in told.said]
        self._texts, self._parts = texts, parts_in(told.things)
        self.always = frozenset(told.item_of[at] for at in always_new(texts, told.things)
                                if at in told.item_of)  # fmt: skip
        self.verdicts: dict[int, list[tuple[Verdict, str]]] = {}
        for verdict in verdicts(texts, told.things):
            if (part := told.item_of.get(verdict.thing)) is not None:
                self.verdicts.setdefault(verdict.sentence, []).append((verdict, part))
        self.renewed: dict[str, int] = {}
        for _, verdict, part in self.told_renewed():
            count = told.things[verdict.thing].count or 1
            self.renewed[part] = max(count, self.renewed.get(part, 1))
        self.torqued = {q.sentence for q in told.quantities if q.quantity == "torque"}
        self.decisions: dict[int, list[Marked]] = {}
        for mark in told.marks:
            if mark.kind == "decision":
                self.decisions.setdefault(mark.sentence, []).append(mark)

    def told_renewed(self) -> Iterator[tuple[int, Verdict, str]]:
        """Yield what is told to be renewed: the sentence, what it tells, the part."""
        for index, told in self.verdicts.items():
            yield from ((index, one, part) for one, part in told if one.act == "replaces")

    def stated(self, index: int, before: int, *, many: bool) -> list[NamedPart] | None:
        """Return the part of which a state is told last before a word, none where it is unlisted.

        "The bushing is oval. It's 45.31 one way, so we fit a new one": the bushing.

        Args:
            index: of the sentence of the word.
            before: letter at which the word begins.
            many: whether the word means several.
        """
        things = self.told.things
        at = told_of(index, before, self._texts, things, self._parts, many=many or None)
        if at is None or not is_stated(self._texts[things[at].sentence], things[at].end):
            return None
        part = self.told.item_of.get(at)
        return [] if part is None else [NamedPart(things[at], part)]
