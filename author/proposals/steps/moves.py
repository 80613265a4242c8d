"""What becomes of parts in the steps: off, back on, a new one in, thrown away.

A book is kept from step to step, since words alone do not tell it: "do the eight nuts to forty"
puts back the eight nuts that came off before, and a seal fitted after the old one was thrown away
is a new one.
"""

from __future__ import annotations

import re
from collections.abc import Container, Iterator, Sequence

from author.checks.verbs import words
from author.proposals.language.fasteners import is_fastener
from author.proposals.language.verbs import base_of
from author.proposals.orders.acts import Act
from author.proposals.orders.lists import things_named
from author.proposals.orders.wording import Order
from author.proposals.steps.along import come_along
from author.proposals.steps.counts import count_in, count_of
from author.proposals.steps.named_parts import NamedPart
from author.proposals.steps.parts_told import Book, Found, Move, Told
from author.proposals.steps.renewals import (
    is_limit,
    joined,
    joined_new,
    last_word,
    last_words,
    new_one,
    replaces_it,
    said_new,
    said_old,
    scrapped,
)
from author.proposals.steps.spans import SpokenStep
from author.proposals.steps.states_told import is_back, is_off
from author.proposals.steps.step_parts import StepParts
from author.proposals.steps.told_renewed import with_those_told_of
from author.proposals.things.pointed_at import is_origin
from author.proposals.things.renewed import is_later

_TIGHTENING = words("tighten torque nip do run snug bolt screw cinch wind pinch lock retighten")
_TIGHT = words("tighten torque retighten")
"""What nobody does with a fastener that is off, whatever the part of the job."""
_PRONOUN = re.compile(r"\b(?:it|them|'em|both|all|these|those|one|ones)\b", re.IGNORECASE)
_SEVERAL = frozenset({"both", "them", "'em", "all", "these", "those", "ones"})
_PRESSING = words("press push squeeze depress hold lift release")
_LATCH = re.compile(r"\b(?:buttons?|latch(?:es)?|catch(?:es)?|tabs?|release)$", re.IGNORECASE)
_ONLY_IF = ("If ", "When ", "Unless ")
_NEAR = 2
"""How many sentences on "the new one" and "those" still mean what was named."""
_MOVING = words("push pull slide swing")
_PASSING = words("push slide pass feed poke slip tap drive drop drift ease knock")
_LIFTING = words("lift pull slide draw drop ease wiggle work slip tip hoist")
_LIFTED = words("plug union stud pin dowel clip circlip screen")
# "Undo the bolts under the bracket, and lift it out": not the bracket.
_IN_PLACE = re.compile(
    r"\b(?:under|behind|inside|in|into|with|using|from|beside|above|below|near|past|by)\s+"
    r"(?:(?:the|a|an|your|its|this|that)\s+)?(?:\w+\s+)?$",
    re.IGNORECASE,
)
_SITS_THERE = re.compile(rf"{_IN_PLACE.pattern}|\bon (?:the|its) (?:\w+ )?$", re.IGNORECASE)
_KEPT = 6
_RENEWING = frozenset({"replaces", "discards"})
_PUT_ON = frozenset({"refits", "replaces"})
_BACK_ON = frozenset({"fitting", "closing"})


def moves_of(steps: Sequence[SpokenStep], told: Told) -> list[tuple[Move, ...]]:
    """Return what each step does with parts, in the order of the steps.

    Args:
        steps: the steps, in the order said.
        told: what was found in the talk.
    """
    found = Found(told)
    book = Book(fresh=set(found.always))
    own = {index for step in steps for index in step.sentences}
    moves = [tuple(_Step(step, found, book, own).moves()) for step in steps]
    return with_those_told_of(steps, moves, found)


class _Step(StepParts):
    """What becomes of parts in one step, by the parts that are off when it begins."""

    def __init__(self, step: SpokenStep, found: Found, book: Book, own: Container[int]) -> None:
        super().__init__(step, found)
        self._book = book
        last = step.sentences[-1]
        # "There we go, carrier's out" may be told when the step is done, as no part of any.
        self._behind = [index for index in range(last + 1, last + 1 + _NEAR) if index not in own]
        self._done: set[tuple[str, str, bool]] = set()
        self._together = 1  # parts the last order was for

    def moves(self) -> Iterator[Move]:
        """Yield what becomes of parts."""
        for one in self._named:
            if said_new(self._text(one), one.thing.begin) and not self._in_case(one):
                self._book.fresh.add(one.part)
        until = self._step.sentences[-1]
        told = self._found.told_renewed()
        self._book.fresh |= {part for index, _, part in told if index <= until}
        off = frozenset(self._book.off)
        ahead, before = self._before(), list[tuple[str, int]]()
        for order in self._step.orders:
            named = list(self._of(order))
            parts = [(one.part, self._count(one, order)) for one in named]
            act = order.act
            if act in _PUT_ON and not parts and (ones := new_one(order.action)):
                act, now = "replaces", self._told_renewed()
                # "Key screws, four of them, new ones": what is told so, before what came off.
                parts = now[-1:] or self._renewed([*ahead, *before], many=ones == "ones")
            elif not parts:
                # Only what is thrown away may be what the step before was for.
                parts = self._pointed_at(order, before or (ahead if act == "discards" else []))
            if act in _RENEWING and is_later(order.action):
                continue  # "change the bushing with the next service"
            if act is None and (
                order.verb in _TIGHT or (self._is_back() and order.verb in _TIGHTENING)
            ):
                act, parts = "refits", [one for one in parts if one[0] in self._book.off]
            if act is None and order.verb in _PASSING and self._is_back():
                # "Slide it through, feel it bottom out": what is off goes back where it was
                through = "through" in order.action.rstrip(".").split()[2:]
                parts = [one for one in parts if one[0] in self._book.off]
                act = "refits" if through and parts else None
            if act == "refits" and order.verb in _MOVING and not self._is_back():
                # "Push the rod in by hand": what never came off is only moved.
                parts = [one for one in parts if one[0] in {*self._book.off, *self._book.fresh}]
            kept = self._not_new(named) if act == "replaces" else frozenset[str]()
            for part, count in parts if act else ():
                own: Act | None = "refits" if part in kept else act
                yield from self._move(own, part, count, certain=_is_certain(order))
            if act in _PUT_ON and _is_certain(order):
                yield from self._with(order)
            if order.verb in _PRESSING and _LATCH.search(order.object or ""):
                parts = []  # "press the button and pull it off": no button comes off
            # "Drop the brush. Toss it": what it is was named, though it is in no list.
            before = [*before, *parts] if parts else [] if order.object else before
            self._together = len(parts) or 1
        yield from self._along()
        yield from self._told_off()
        yield from self._told_back(off)
        yield from self._tightened()
        yield from self._renewed_ones()
        before = [*ahead, *before][-_KEPT:]
        yield from self._scrapped(before)
        yield from self._perhaps_new(before)
        self._book.last, self._book.until = before, self._step.sentences[-1]

    def _not_new(self, named: Sequence[NamedPart]) -> frozenset[str]:
        """Return the parts that go back beside new ones: "fit the new pads and the pad pin"."""
        new = {one.part for one in named if said_new(self._text(one), one.thing.begin)}
        return frozenset(
            one.part
            for one in named
            if new and one.part not in new and _AND_THE.search(self._text(one)[: one.thing.begin])
        )

    def _before(self) -> list[tuple[str, int]]:
        """Return the parts told of just before this step."""
        first = self._step.sentences[0]
        said = self._told.said
        follows = 0 < first <= self._book.until + _NEAR
        same = follows and said[first].recording == said[first - 1].recording
        return list(self._book.last) if same else []

    def _pointed_at(self, order: Order, before: Sequence[tuple[str, int]]) -> list[tuple[str, int]]:
        """Return what "it" or "them" in an order is: what the orders before were for."""
        word = _PRONOUN.search(" ".join(order.action.split()[1:3]))
        if word is None:
            return []
        if order.act in _RENEWING:
            if is_limit(order.action):
                return []
            many = word[0].lower() not in {"it", "one"}
            stated = self._stated(" ".join(order.action.lower().split()[:2]), many=many)
            if stated is not None:
                return stated
            told = self._told_renewed()
            if told and order.act == "replaces":
                return told[-1:]  # "the rollers are flat, replace all four"
        several = max(self._together, 2) if word[0].lower() == "both" else self._together
        # "Pick the O-ring and the backup ring out, and bin them"
        last = list(before[-several:] if word[0].lower() in _SEVERAL else before[-1:])
        if order.act == "removes" and word[0].lower() == "it" and self._undone(last):
            return self._held(order) or last
        # In a step that takes things apart "slide it back" is no fitting.
        return last if order.act != "refits" or self._is_back() else []

    def _undone(self, last: Sequence[tuple[str, int]]) -> bool:
        """Whether what came off last are fasteners, which are undone and not lifted out."""
        names = (self._found.names[part][0].thing.name for part, _ in last)
        return bool(last) and all(
            is_fastener(name) and last_word(name) not in _LIFTED for name in names
        )

    def _held(self, order: Order) -> list[tuple[str, int]]:
        """Return what fasteners held that were undone: "the float valve, undo the nut, lift it".

        Args:
            order: what is done with it.
        """
        said = " ".join(order.action.lower().split()[:2])
        if order.verb not in _LIFTING:
            return []  # "undo the nut and take it off"
        for one in self._up_to(said):
            stays = one.part in self._book.off or _IN_PLACE.search(
                self._text(one)[: one.thing.begin]
            )
            if not stays and not is_fastener(one.thing.name):
                return [(one.part, one.thing.count or 1)]
        return []

    def _renewed(self, before: Sequence[tuple[str, int]], *, many: bool) -> list[tuple[str, int]]:
        """Return what "the new one" takes the place of: the old one, or what came off last."""
        if (stated := self._stated("new one", many=many)) is not None:
            return stated
        if not many and (subject := self._subject_before("new one")):
            return subject
        old = {one.part for every in self._found.named.values() for one in every
               if said_old(self._text(one), one.thing.begin)}  # fmt: skip
        # "It's the bearing out, new one in": what was named before it in the sentence.
        near = [
            one for every in self._by_sentence.values() for one in every
            if one.thing.begin < self._text(one).lower().rfind("new one")
        ]  # fmt: skip
        # "The bushings in the top plate I press out and put new ones in": no new plate
        near = [o for o in near if not _SITS_THERE.search(self._text(o)[: o.thing.begin])] or near
        here = [(one.part, one.thing.count or 1) for one in near]
        off = [one for one in before if one[0] in self._book.off]
        if here and not many and here[-1][0] not in self._book.off:
            return here[-1:]  # "the element's filthy, I'll put a new one in"
        gone = [one for one in here if one[0] in self._book.off]
        for some in ([one for one in off if one[0] in old], gone, off, here):
            several = [one for one in some if not many or one[1] > 1]
            if several or some:
                return (several or some)[-1:]
        return []

    def _with(self, order: Order) -> Iterator[Move]:
        """Yield what goes on with another: "with a new copper washer", "with the four screws"."""
        for one in self._named:
            text, begin = self._text(one), one.thing.begin
            ahead = text[:begin].lower()
            told = order.verb in {base_of(word) for word in re.findall(r"[\w']+", ahead)}
            told = told or (order.object is not None and order.object.lower() in ahead)
            if not told or self._in_case(one):
                continue
            meant = self._meant(one)
            if joined_new(text, begin):
                yield from self._move("replaces", one.part, one.thing.count or 1, certain=True)
            elif (
                is_fastener(one.thing.name) and meant.part in self._book.off and joined(text, begin)
            ):
                yield from self._move("refits", meant.part, one.thing.count or 1, certain=True)

    def _along(self) -> Iterator[Move]:
        """Yield the parts that come off with one that does: "the gasket comes with it"."""
        off = {part for act, part, certain in self._done if act == "removes" and certain}
        # "Chock the wheels, key out": something else is done to them.
        stay = {last_word(o.object) for o in self._step.orders if o.object and o.act is None}
        for index, every in self._by_sentence.items():
            if self._told.phases[index] in _BACK_ON or not off & {one.part for one in every}:
                continue
            names = [(one.thing.begin, one.thing.end) for one in every]
            for one in (every[n] for n in come_along(self._told.said[index].text, names)):
                told = any(part == one.part for _, part, _ in self._done)
                told = told or last_word(one.thing.name) in stay
                if not told and not is_fastener(one.thing.name) and not self._in_case(one):
                    yield from self._move("removes", one.part, one.thing.count or 1, certain=True)

    def _told_off(self) -> Iterator[Move]:
        """Yield the parts that are told to be off: "there we go, carrier's out"."""
        behind = [one for index in self._behind for one in self._found.named.get(index, ())]
        for one in [*self._named, *behind] if not self._is_back() else ():
            told = one.part in self._book.off or one.part in self._book.scrapped
            if not told and is_off(self._text(one), one.thing.begin, one.thing.end):
                yield from self._move("removes", one.part, one.thing.count or 1, certain=True)

    def _told_back(self, off: frozenset[str]) -> Iterator[Move]:
        """Yield the parts that are told to be back: "that's the lid on", "plug in and go".

        Args:
            off: parts that were off when the step began.
        """
        for part in [*self._book.off]:
            names = {one.thing.name for one in self._found.names.get(part, ())}
            since = min((one.thing.sentence for one in self._named if one.part == part), default=-1)
            for index in self._by_sentence:
                if part not in off and not index > since > -1:
                    continue
                text = self._told.said[index].text
                low = text.lower()
                here = [n for n in names if n.rsplit(maxsplit=1)[-1].lower() in low]
                if any(is_back(text, n) for n in here):
                    yield from self._move("refits", part, self._book.off.get(part, 1), certain=True)
                    break

    def _of(self, order: Order) -> Iterator[NamedPart]:
        """Yield the parts an order names."""
        heads = set[str]()
        done = _BEHIND.split(order.action, maxsplit=1)[0].lower()
        if order.object and order.object.lower() not in done:
            return  # "take your watch off before you go near the terminals"
        for name in things_named(order.action, order.object) if order.object else ():
            heads |= last_words(name)
        told = set(re.findall(r"\w+", order.action.lower()))
        fitting = [one for one in self._named if last_word(one.thing.name) in heads]
        fitting = fitting or [one for one in self._ahead() if last_word(one.thing.name) in heads]
        for head in dict.fromkeys(last_word(one.thing.name) for one in fitting):
            alike = [one for one in fitting if last_word(one.thing.name) == head]
            # "The dome nuts" are no impeller nut, though both end in a nut.
            whole = [one for one in alike
                     if set(re.findall(r"\w+", one.thing.name.lower())) <= told]  # fmt: skip
            # An O-ring has a name of its own beside "the backup ring".
            longer = [one for one in whole if len(re.findall(r"\w+", one.thing.name)) > 1]
            yield from map(self._meant, longer or whole or alike)

    def _count(self, one: NamedPart, order: Order) -> int:
        *before, head = re.findall(r"\w+", one.thing.name.lower())
        # "The seven pin plug" is one plug.
        own = 1 if before and count_in(before[0]) else None
        return one.thing.count or own or count_of(head, order.action)

    def _meant(self, one: NamedPart) -> NamedPart:
        """Return the fastener that came off for one that is only told by its count."""
        if not self._is_back() or one.part in self._book.off or not is_fastener(one.thing.name):
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
        return NamedPart(one.thing, next(iter(found))) if len(found) == 1 else one

    def _move(self, act: Act | None, part: str, count: int, *, certain: bool) -> Iterator[Move]:
        if act == "refits" and (part in self._book.scrapped or part in self._book.fresh):
            act = "replaces"
        told = {(act, part, certain), (act, part, True)}
        if act is None or not told.isdisjoint(self._done):
            return
        self._done.add((act, part, certain))
        if act == "replaces":
            count = max(count, self._found.renewed.get(part, 1))  # "both reeds we're renewing"
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
                if is_fastener(one.thing.name) and meant.part in self._book.off:
                    yield from self._move("refits", meant.part, 1, certain=True)

    def _renewed_ones(self) -> Iterator[Move]:
        """Yield what came off and of which a new one is told: "new bearings go in the freezer"."""
        for one in self._named if self._is_back() else ():
            new = said_new(self._text(one), one.thing.begin) and not self._in_case(one)
            if new and one.part in self._book.off:
                yield from self._move("replaces", one.part, one.thing.count or 1, certain=True)

    def _scrapped(self, before: Sequence[tuple[str, int]]) -> Iterator[Move]:
        """Yield the parts of which is told that they are scrap: "those are for the bin"."""
        for index, every in self._by_sentence.items():
            for found in scrapped(self._told.said[index].text):
                here = [one for one in every if one.thing.begin < found.begin]
                if not here and found.pronoun:
                    # Those named last, for "all of them" all that the sentence named.
                    named = self._last_named(index)
                    kept = [o for o in named if not is_origin(self._text(o), o.thing.begin)]
                    last = kept or named  # "the belt comes off the pulley. It goes in the bin"
                    several = [one for one in last if not one.is_one]
                    if found.many and several:
                        last = several  # "pull the bearings by the race. They're for the bin"
                    here = last if found.every else last[-1:]
                parts = [(one.part, one.thing.count or 1) for one in here]
                if not parts and found.pronoun:
                    parts = list(before if found.every else before[-1:])
                for part, count in parts:
                    yield from self._move("discards", part, count, certain=True)
            for verdict, part in self._found.verdicts.get(index, ()):
                if verdict.act == "discards":
                    count = self._told.things[verdict.thing].count or 1
                    yield from self._move("discards", part, count, certain=True)

    def _perhaps_new(self, before: Sequence[tuple[str, int]]) -> Iterator[Move]:
        """Yield the parts that are renewed only if something is found."""
        for one in self._named:
            if said_new(self._text(one), one.thing.begin) and self._in_case(one):
                yield from self._move("replaces", one.part, 1, certain=False)
        for index, every in self._by_sentence.items():
            text = self._told.said[index].text
            for begin, end in self._cases(index):
                if new_one(text[begin:end]) is None and not replaces_it(text[begin:end]):
                    continue
                here = [(one.part, 1) for one in every if one.thing.begin < end]
                stated = self._stated("new one", many=False)
                for part, count in (here or stated or list(before))[-1:]:
                    yield from self._move("replaces", part, count, certain=False)


# Not at the beginning: "before you undo it, mark the shaft".
_BEHIND = re.compile(r"(?<=\w) (?:before|until|till|while) (?:you|we|i|it|they)\b", re.IGNORECASE)
_AND_THE = re.compile(r"\band the (?:[\w-]+ )?$", re.IGNORECASE)


def _is_certain(order: Order) -> bool:
    return not order.action.startswith(_ONLY_IF)
