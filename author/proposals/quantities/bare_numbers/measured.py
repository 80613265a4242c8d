"""Which kinds of quantity the words and instruments around a bare number speak of."""

from __future__ import annotations

import re
from dataclasses import dataclass

from author.checks.verbs import words
from author.proposals.language.verbs import is_work
from author.proposals.quantities.amounts.amount import Amount, between
from author.proposals.quantities.amounts.context import (
    Scene,
    characteristic_at,
    kinds_named,
)
from author.proposals.quantities.amounts.units import kind_of
from author.proposals.quantities.bare_numbers.kinds import kinds_spoken, kinds_told
from author.proposals.quantities.bare_numbers.topic import PASSING, Talk

_COMPARED = {
    "temperature": {"hotter", "cooler", "warmer", "colder"},
    "rotational_speed": {"faster", "slower"},
    "length": {"deeper", "shallower", "thicker", "thinner", "wider", "narrower"},
    "mass": {"heavier", "lighter"},
}
_FASTENED = frozenset({"bolt", "bolts", "nut", "nuts", "screw", "screws", "lug", "lugs", "stud",
                       "studs", "pins", "capscrews", "locknut", "locknuts"})  # fmt: skip
_TOLD = frozenset({"is", "are", "get", "gets", "take", "takes", "want", "wants", "need", "needs",
                   "go", "to", "at"})  # fmt: skip
# Fewer than this are fasteners that are counted.
_FEWEST = 5
_EARLIER = 3
# How far before and behind a number words speak of it.
_AHEAD, _BEHIND = 12, 8
_AND = frozenset({"and", "so", "but", "then", "or"})
_NOBODY: frozenset[str] = frozenset()

SMALL_WORDS = words(
    """
    a an the and or it is that this of to in on at i you we so then there here now up out off for
    with by be as but your my me he she they not no
    """
)
"""Words that stand beside numbers of every kind."""


@dataclass(frozen=True, slots=True)
class Measured:
    """Kinds of quantity, empty where nothing tells.

    Attributes:
        named: of the characteristic its own sentence names.
        named_apart: the same where it is told behind, in what is said after the number, or a
            word beside the number tells of another kind.
        told: of the word nearest to it that goes with one kind.
        tools: that an instrument of its own sentence shows.
        beside: of the numbers before it in its sentence.
        named_before, tools_before: the same of the sentences just before.
        fresh: what a sentence just before takes up or speaks of, where no value has followed:
            "Feeler in behind the impeller." "Oil."
        words: those around it, without the smallest, whatever they go with.
    """

    named: frozenset[str]
    named_apart: frozenset[str]
    told: frozenset[str]
    tools: frozenset[str]
    beside: frozenset[str]
    named_before: frozenset[str]
    tools_before: frozenset[str]
    fresh: frozenset[str]
    words: frozenset[str]

    def by_way(self) -> tuple[tuple[str, frozenset[str]], ...]:
        """Return each with a name for how it is known."""
        return (
            ("named", self.named), ("named apart", self.named_apart), ("told", self.told),
            ("tools", self.tools), ("beside", self.beside), ("named before", self.named_before),
            ("tools before", self.tools_before), ("fresh", self.fresh),
        )  # fmt: skip


def measured_near(talk: Talk, scene: Scene, amount: Amount) -> Measured:
    """Return what the words around a bare number speak of.

    Args:
        talk: what the recording speaks of so far.
        scene: the sentence it is told in.
        amount: the number.
    """
    name = characteristic_at(scene, amount)
    named = frozenset(kinds_named(name[0])) if name else _NOBODY
    told = _told(scene, amount)
    apart = name is not None and (
        _goes_on(scene, amount, name[1]) or bool(told and not told & named)
    )
    earlier = range(max(0, scene.index - _EARLIER), scene.index)
    beside = (kind_of(one.unit) for one in scene.amounts[: amount.place])
    return Measured(
        named=_NOBODY if apart else named,
        named_apart=named if apart else _NOBODY,
        told=told,
        tools=talk.tools[scene.index],
        beside=frozenset(kind for kind in beside if kind and kind not in PASSING),
        named_before=next((talk.named[i] for i in reversed(earlier) if talk.named[i]), _NOBODY),
        tools_before=next((talk.tools[i] for i in reversed(earlier) if talk.tools[i]), _NOBODY),
        fresh=_fresh(talk, scene, amount),
        words=_words_around(scene, amount),
    )


def _goes_on(scene: Scene, amount: Amount, at: int) -> bool:
    """Whether a token stands behind an amount, in what is said after it.

    "It took twelve, and suction should be twenty-eight", "to eighty, and they drop on by their
    own weight": the suction and the weight are no names of what is told before them.
    """
    parted = scene.tokens[amount.last : at] if at > amount.first else ()
    return any(token.kind == "sign" or token.low in _AND for token in parted)


def just_named(talk: Talk, scene: Scene, near: Measured) -> frozenset[str]:
    """Return the kinds of what the sentence before says is measured, where no value follows there.

    "Measure the thickness of the disc. Twenty-four minimum, and it was 24.3": a word of another
    quantity, or an instrument, in the sentence of the number speaks against it.

    Args:
        talk: what the recording speaks of so far.
        scene: the sentence.
        near: what the words around a number of it speak of.
    """
    before = talk.scenes[scene.index - 1] if scene.index else None
    if before is None or before.amounts or near.told or near.tools:
        return _NOBODY
    checked = before.gauge or bool(before.words & _LOOKED) or _is_heading(before)
    return talk.named[scene.index - 1] if checked else _NOBODY


def _is_heading(scene: Scene) -> bool:
    """Whether a sentence names something and tells nothing of it: "Now the end float."."""
    said = [token.low for token in scene.tokens if token.kind == "word"]
    if len(said) > _HEADING or scene.words & _TOLD_OF:
        return False
    first = next((low for low in said if low not in _LEADS), "")
    return bool(first) and not is_work(first)


_HEADING = 8
_LOOKED = frozenset({"measure", "measured", "measuring", "check", "checked", "look"})
_LEADS = frozenset({"now", "next", "then", "and", "so", "first", "also", "last", "the", "that"})
_TOLD_OF = words(
    "is are was were has have had will can should must it's that's there's if when i we you it "
    "goes comes gets looks"
)


def _fresh(talk: Talk, scene: Scene, amount: Amount) -> frozenset[str]:
    """Return the kinds of what was taken up or spoken of just before, no value told since."""
    if any(one.last <= amount.first for one in scene.amounts):
        return _NOBODY
    for index in range(scene.index - 1, max(-1, scene.index - 1 - _EARLIER), -1):
        if talk.scenes[index].amounts:
            break
        if kinds := talk.named[index] or talk.tools[index] or kinds_spoken(talk.scenes[index]):
            return kinds
    return _NOBODY


def _words_around(scene: Scene, amount: Amount) -> frozenset[str]:
    """Return the words around a number, as far as the numbers beside it."""
    inside = {at for one in scene.amounts for at in range(one.first, one.last)}
    ends = [one.last for one in scene.amounts if one.last <= amount.first]
    starts = [one.first for one in scene.amounts if one.first >= amount.last]
    first = max(0, amount.first - _AHEAD, *ends)
    near = range(first, min(amount.last + _BEHIND, len(scene.tokens), *starts))
    told = (scene.tokens[at].low.removesuffix("'s") for at in near if at not in inside)
    return frozenset(word for word in told if len(word) > 1 and word.isalpha()) - SMALL_WORDS


def _told(scene: Scene, amount: Amount) -> frozenset[str]:
    words = {token.low for token in scene.tokens[max(0, amount.first - 3) : amount.first]}
    if amount.form in {"whole", "range"} and _takes_time(scene, amount):
        return frozenset({"time"})
    compared = next((kind for kind, ways in _COMPARED.items() if words & ways), None)
    if compared:
        return frozenset({compared})
    told = kinds_told(scene, amount)
    if not told and amount.form == "whole" and _is_of_fastener(scene, amount):
        return frozenset({"torque"})
    return told


def _takes_time(scene: Scene, amount: Amount) -> bool:
    """Whether it "took twenty-seven" or "takes twenty to fill" and nothing is poured."""
    before = scene.tokens[amount.first - 1].low if amount.first else ""
    behind = between(scene.tokens, amount.last, min(amount.last + 2, len(scene.tokens)))
    until = re.fullmatch(r"to [a-z]+|before \w+", behind) and before in {"take", "takes"}
    return before == "took" or bool(until)


def _is_of_fastener(scene: Scene, amount: Amount) -> bool:
    """Whether it is told of fasteners: "the lugs are one twenty", "slide pins get thirty"."""
    near = [token.low for token in scene.tokens[max(0, amount.first - 4) : amount.first]]
    told = bool(near) and (near[-1] in _TOLD or near[-1].endswith("'s"))
    told = told or (bool(near) and near[-1] in _FASTENED and near[-1].endswith("s"))
    told = told and (amount.nominal or 0) >= _FEWEST
    return told and any(word.removesuffix("'s") in _FASTENED for word in near)
