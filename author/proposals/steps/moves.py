"""What becomes of parts in the steps: off, back on, a new one in, thrown away.

A book is kept from step to step, since words alone do not tell it: "do the eight nuts to forty"
puts back the eight nuts that came off before, and a seal fitted after the old one was thrown away
is a new one.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field

from author.checks.verbs import words
from author.proposals.kinds.marks import Marked
from author.proposals.language.word_forms import singular
from author.proposals.orders.acts import Act
from author.proposals.orders.lists import things_named
from author.proposals.orders.wording import Order
from author.proposals.quantities.reading import SpokenQuantity
from author.proposals.speech.spoken import Sentence
from author.proposals.steps.sections import Phase
from author.proposals.steps.spans import SpokenStep
from author.proposals.steps.told_orders import decision_end
from author.proposals.things.finding import Thing

_TIGHTENING = words("tighten torque nip do run snug bolt screw cinch wind pinch lock retighten")
_FASTENERS = words("nut bolt screw plug stud union capscrew setscrew fastener")
_PRONOUN = re.compile(r"\b(?:it|them|'em|both|all|these|those|one|ones)\b", re.IGNORECASE)
_NEW = re.compile(r"\b(?:new|fresh|replacement)\s+(?:[\w-]+\s+){0,2}$", re.IGNORECASE)
# "Any score means a new tube", "you need a new shaft": only if that is found.
_MEANS_NEW = re.compile(r"\b(?:means?|needs?|wants?|due) (?:you need )?an? new\b", re.IGNORECASE)
# "That seal goes in the scrap", "both of them are for the bin".
_FOR_THE_BIN = re.compile(
    r"(?:\b(?:it|that|they|them|those|these|both)(?:'s|'re)?\s+)?(?:of them\s+)?"
    r"\b(?:(?:goes|go|going|gans?)\s+(?:straight\s+)?(?:in|into|to)\s+(?:the|a)"
    r"|(?:is|are|was|were)?\s*(?:just\s+)?(?:for|in)\s+the)\s+"
    r"(?:scrap(?: bin| box| bucket)?|bin|skip|trash|dumpster|rubbish|garbage)\b",
    re.IGNORECASE,
)
_IN_CASE = re.compile(
    r"\b(?:if|unless|when|once|any|anything|otherwise|not|never)\b", re.IGNORECASE
)
_SIZE = re.compile(r"\bM\d+(?:\.\d)?\b", re.IGNORECASE)
_ONLY_IF = ("If ", "When ", "Unless ")
_BACK_ON = frozenset({"fitting", "closing"})


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
class _Book:
    """Parts that are off the machine by now, with how many pieces, and those thrown away."""

    off: dict[str, int] = field(default_factory=dict)
    scrapped: set[str] = field(default_factory=set)
    fresh: set[str] = field(default_factory=set)

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


def moves_of(steps: Sequence[SpokenStep], told: Told) -> list[tuple[Move, ...]]:
    """Return what each step does with parts, in the order of the steps.

    Args:
        steps: the steps, in the order said.
        told: what was found in the talk.
    """
    found = _Found(told)
    book = _Book()
    return [tuple(_Step(step, found, book).moves()) for step in steps]


@dataclass(frozen=True, slots=True)
class _Named:
    thing: Thing
    part: str

    @property
    def head(self) -> str:
        """The last word of its name, for one piece."""
        return singular(re.findall(r"\w+", self.thing.name.lower())[-1])

    @property
    def is_one(self) -> bool:
        """Whether one piece is named."""
        return self.thing.name.lower().endswith(self.head)

    @property
    def size(self) -> str | None:
        """The size of its thread, where one was said: M6."""
        found = _SIZE.search(self.thing.name)
        return found[0].lower() if found else None


class _Found:
    """What was found, by sentence and by part."""

    def __init__(self, told: Told) -> None:
        self.told = told
        self.named: dict[int, list[_Named]] = {}
        self.names: dict[str, list[_Named]] = {}
        for index, thing in enumerate(told.things):
            part = told.item_of.get(index)
            if thing.kind == "part" and part is not None:
                one = _Named(thing, part)
                self.named.setdefault(thing.sentence, []).append(one)
                self.names.setdefault(part, []).append(one)
        self.torqued = {q.sentence for q in told.quantities if q.quantity == "torque"}
        self.decisions: dict[int, list[Marked]] = {}
        for mark in told.marks:
            if mark.kind == "decision":
                self.decisions.setdefault(mark.sentence, []).append(mark)


class _Step:
    """One step, and the parts that are off when it begins."""

    def __init__(self, step: SpokenStep, found: _Found, book: _Book) -> None:
        self._step = step
        self._found = found
        self._told = found.told
        self._book = book
        self._by_sentence = {index: found.named.get(index, ()) for index in step.sentences}
        self._named = [one for every in self._by_sentence.values() for one in every]
        self._done: set[tuple[str, str, bool]] = set()

    def moves(self) -> Iterator[Move]:
        """Yield what becomes of parts."""
        for one in self._named:
            if _NEW.search(self._told.said[one.thing.sentence].text[: one.thing.begin]):
                self._book.fresh.add(one.part)
        before: list[tuple[str, int]] = []
        for order in self._step.orders:
            parts = [(one.part, self._count(one, order)) for one in self._of(order)]
            word = _PRONOUN.search(" ".join(order.action.split()[1:3]))
            if not parts and word is not None:
                parts = before[-2:] if word[0].lower() == "both" else before[-1:]
                # In a step that takes things apart "slide it back" is no fitting.
                parts = parts if order.act != "refits" or self._is_back() else []
            act = order.act
            if act is None and order.verb in _TIGHTENING and self._is_back():
                act, parts = "refits", [one for one in parts if one[0] in self._book.off]
            for part, count in parts if act else ():
                yield from self._move(act, part, count, certain=_is_certain(order))
            # "Drop the brush. Toss it": what it is was named, though it is in no list.
            before = [*before, *parts] if parts else [] if order.object else before
        yield from self._tightened()
        yield from self._scrapped()
        yield from self._perhaps_new()

    def _of(self, order: Order) -> Iterator[_Named]:
        """Yield the parts an order names."""
        heads = set[str]()
        for name in things_named(order.action, order.object) if order.object else ():
            heads |= _heads(name)
        told = set(re.findall(r"\w+", order.action.lower()))
        fitting = [one for one in self._named if _last(one.thing.name) in heads]
        for head in dict.fromkeys(_last(one.thing.name) for one in fitting):
            alike = [one for one in fitting if _last(one.thing.name) == head]
            # "The dome nuts" are no impeller nut, though both end in a nut.
            whole = [one for one in alike
                     if set(re.findall(r"\w+", one.thing.name.lower())) <= told]  # fmt: skip
            longer = [one for one in whole if len(one.thing.name.split()) > 1]
            yield from map(self._meant, longer or whole or alike)

    def _count(self, one: _Named, order: Order) -> int:
        head = re.findall(r"\w+", one.thing.name.lower())[-1]
        return one.thing.count or _count_of(head, order.action)

    def _meant(self, one: _Named) -> _Named:
        """Return the fastener that came off for one that is only told by its count."""
        if not self._is_back() or one.part in self._book.off or one.head not in _FASTENERS:
            return one
        alike = [
            part
            for part in self._book.off
            if any(other.head == one.head for other in self._found.names.get(part, ()))
        ]
        # "The nut" is none of eight nuts, and an M6 screw no M8 one.
        counts = {one.thing.count} if one.thing.count else {1} if one.is_one else set()
        alike = [part for part in alike if not counts or self._book.off[part] in counts]
        found = dict.fromkeys(part for part in alike if one.size in (None, self._size_of(part)))
        return _Named(one.thing, next(iter(found))) if len(found) == 1 else one

    def _size_of(self, part: str) -> str | None:
        sizes = (one.size for one in self._found.names.get(part, ()))
        return next((size for size in sizes if size), None)

    def _is_back(self) -> bool:
        """Whether things go back on in this step."""
        first = self._step.sentences[0]
        return self._told.phases[first] in _BACK_ON

    def _move(self, act: Act | None, part: str, count: int, *, certain: bool) -> Iterator[Move]:
        if act == "refits" and (part in self._book.scrapped or part in self._book.fresh):
            act = "replaces"
        if act is None or (act, part, certain) in self._done:
            return
        self._done.add((act, part, certain))
        if certain:
            count = max(count, self._book.off.get(part, 0)) if act != "removes" else count
            self._book.note(act, part, count)
        yield Move(act, part, count, certain)

    def _tightened(self) -> Iterator[Move]:
        """Yield the fasteners that a torque is told for: they are back on."""
        if not self._is_back():
            return
        torqued = self._found.torqued
        for index, every in self._by_sentence.items():
            for one in every if index in torqued else ():
                meant = self._meant(one)
                if one.head in _FASTENERS and meant.part in self._book.off:
                    yield from self._move("refits", meant.part, 1, certain=True)

    def _scrapped(self) -> Iterator[Move]:
        """Yield the parts of which is told that they are scrap: "those are for the bin"."""
        for index, every in self._by_sentence.items():
            text = self._told.said[index].text
            found = _FOR_THE_BIN.search(text)
            if found is None or _IN_CASE.search(text[: found.start()]):
                continue
            here = [one for one in every if one.thing.begin < found.start()]
            if not here and _PRONOUN.search(found[0]):
                here = [one for one in self._named if one.thing.sentence == index - 1][-1:]
            for one in here:
                yield from self._move("discards", one.part, one.thing.count or 1, certain=True)

    def _perhaps_new(self) -> Iterator[Move]:
        """Yield the parts that are renewed only if something is found."""
        spans = [
            (index, mark.begin, decision_end(self._told.said, marks, mark))
            for index in self._step.sentences
            if (marks := self._found.decisions.get(index))
            for mark in marks
        ]
        for one in self._named:
            thing = one.thing
            text = self._told.said[thing.sentence].text[: thing.begin]
            decided = any(
                index == thing.sentence and begin <= thing.begin < end
                for index, begin, end in spans
            )
            if _NEW.search(text) and (decided or _MEANS_NEW.search(text)):
                self._book.fresh.discard(one.part)
                yield from self._move("replaces", one.part, 1, certain=False)


def _is_certain(order: Order) -> bool:
    return not order.action.startswith(_ONLY_IF)


def _last(name: str) -> str:
    """Return the last word of a name: of an O-ring "ring"."""
    return str(re.findall(r"\w+", name.lower())[-1])


def _heads(name: str) -> set[str]:
    """Return the last word of each thing that a name tells: of "bolt and both washers" two."""
    parts = re.split(r",|\band\b|\bor\b", name.lower())
    return {found[-1] for part in parts if (found := re.findall(r"\w+", part))}


_NUMBER_WORDS = "one two three four five six seven eight nine ten eleven twelve"
_COUNTS = {word: n for n, word in enumerate(_NUMBER_WORDS.split(" "), start=1)}
_COUNTS |= {"both": 2, "pair": 2, "couple": 2, "single": 1}


def count_in(text: str) -> int | None:
    """Return the count a clause names, or None."""
    for word in re.findall(r"[a-z]+|\d{1,3}", text.lower()):
        if word.isdigit() or word in _COUNTS:
            return _COUNTS.get(word) or int(word)
    return None


def _count_of(head: str, action: str) -> int:
    """Return how many pieces an order names: the count stands right before the thing."""
    counts = "|".join(_COUNTS)
    found = re.search(
        rf"(?<!by )(?<!x )(?<![/×.,\d])\b(\d{{1,2}}|{counts})(?![/.,])\s+"
        rf"(?:(?!(?:with|on|in|of)\b)[\w-]+\s+){{0,2}}"
        rf"{re.escape(head)}",
        action,
        re.IGNORECASE,
    )
    return max(1, count_in(found[1]) or 1) if found else 1
