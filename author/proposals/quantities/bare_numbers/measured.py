"""Which kinds of quantity the words and instruments around a bare number speak of."""

from __future__ import annotations

import re
from dataclasses import dataclass

from author.checks.verbs import words
from author.proposals.quantities.amounts.amount import Amount, between
from author.proposals.quantities.amounts.context import Scene, characteristic_near, kinds_named
from author.proposals.quantities.amounts.units import kind_of
from author.proposals.quantities.bare_numbers.kinds import kinds_told
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
_NOBODY: frozenset[str] = frozenset()
_DIFFERENCE = frozenset({"temperature_difference"})
_APART = frozenset({"superheat", "subcooling"})

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
        told: of the word nearest to it that goes with one kind.
        tools: that an instrument of its own sentence shows.
        beside: of the numbers before it in its sentence.
        named_before, tools_before: the same of the sentences just before.
        words: those around it, without the smallest, whatever they go with.
    """

    named: frozenset[str]
    told: frozenset[str]
    tools: frozenset[str]
    beside: frozenset[str]
    named_before: frozenset[str]
    tools_before: frozenset[str]
    words: frozenset[str]

    def by_way(self) -> tuple[tuple[str, frozenset[str]], ...]:
        """Return each with a name for how it is known."""
        return (
            ("named", self.named), ("told", self.told), ("tools", self.tools),
            ("beside", self.beside), ("named before", self.named_before),
            ("tools before", self.tools_before),
        )  # fmt: skip


def measured_near(talk: Talk, scene: Scene, amount: Amount) -> Measured:
    """Return what the words around a bare number speak of.

    Args:
        talk: what the recording speaks of so far.
        scene: the sentence it is told in.
        amount: the number.
    """
    earlier = range(max(0, scene.index - _EARLIER), scene.index)
    beside = (kind_of(one.unit) for one in scene.amounts[: amount.place])
    return Measured(
        named=_named(scene, amount),
        told=_told(scene, amount),
        tools=talk.tools[scene.index],
        beside=frozenset(kind for kind in beside if kind and kind not in PASSING),
        named_before=next((talk.named[i] for i in reversed(earlier) if talk.named[i]), _NOBODY),
        tools_before=next((talk.tools[i] for i in reversed(earlier) if talk.tools[i]), _NOBODY),
        words=_words_around(scene, amount),
    )


def _named(scene: Scene, amount: Amount) -> frozenset[str]:
    named = frozenset(kinds_named(characteristic_near(scene, amount)))
    if named == _DIFFERENCE:
        # "Three-ninety, so the subcooling is": what follows from a reading names it not.
        behind = [token.low for token in scene.tokens[amount.last : amount.last + 3]]
        ahead = {token.low.removesuffix("'s") for token in scene.tokens[: amount.first]}
        if not ahead & _APART and not (_APART & set(behind) and "," not in behind):
            return _NOBODY
    return named


def _words_around(scene: Scene, amount: Amount) -> frozenset[str]:
    """Return the words around a number that are in no amount."""
    inside = {at for one in scene.amounts for at in range(one.first, one.last)}
    near = range(max(0, amount.first - _AHEAD), min(amount.last + _BEHIND, len(scene.tokens)))
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
