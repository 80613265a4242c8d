"""What was told before of the same thing: the limit told in stripping, the reading at assembly."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal

from author.checks.verbs import words
from author.proposals.quantities.amounts.amount import Amount
from author.proposals.quantities.amounts.context import Scene
from author.proposals.quantities.amounts.units import kind_of
from author.proposals.quantities.bare_numbers.measured import SMALL_WORDS
from author.proposals.quantities.bare_numbers.topic import Talk, step_of

# How far words around a number speak of it, and limits wait for their reading.
_AHEAD, _BEHIND, _WAIT = 10, 5, 24
# Sentences, of an hour or so, over which a thing that is named again is the same one.
_FARTHEST = 600
_FARS = ((0, "0"), (2, "2"), (8, "8"), (24, "24"))
_APART = ((0.02, "0"), (0.1, "0.1"), (0.2, "0.2"), (0.4, "0.4"), (0.7, "0.7"), (1.05, "1"))
_COMMON = SMALL_WORDS | words(
    """
    was were are been have has had get got gets want wants just like well good right which
    there's that's it's i'm i've when if while until till all only again about should would will
    can must do does did go goes more less than them these those what her his him our who how
    back very same too over under from into mine
    """
)


@dataclass(frozen=True, slots=True)
class _Kin:
    """The amount with one unit that shares most with a number.

    Attributes:
        shared: how telling the words are that both stand among.
        far: how many sentences before.
        amount: it.
    """

    shared: float
    far: int
    amount: Amount


def kin_signs(talk: Talk, scene: Scene, amount: Amount) -> dict[str, set[str]]:
    """Return by unit what was told in it of the same thing, and between which of its limits it is.

    Args:
        talk: the recording.
        scene: the sentence.
        amount: a number without a unit.
    """
    mine = _around(talk, scene, amount)
    values = _values(amount)
    best: dict[str, _Kin] = {}
    inside: dict[str, int] = {}
    for far, earlier, one in _told_before(talk, scene, amount):
        unit = one.unit or ""
        both = mine & _around(talk, earlier, one)
        shared = math.fsum(_telling(talk, word) for word in both)
        if shared > (best[unit].shared if unit in best else 0.0):
            best[unit] = _Kin(shared, far, one)
        if far <= _WAIT and unit not in inside and amount.role != "limits" and _holds(one, values):
            inside[unit] = far
    most = max((kin.shared for kin in best.values()), default=0.0)
    signs: dict[str, set[str]] = {}
    for unit, kin in best.items():
        signs[unit] = set(_of_kin(kin, amount.role, values, first=kin.shared >= most))
    for unit, far in inside.items():
        signs.setdefault(unit, set()).add(f"inside {step_of(far, _FARS)}")
    return signs


def _of_kin(kin: _Kin, role: str, values: list[Decimal], *, first: bool) -> Iterator[str]:
    if first:
        yield f"kin first {step_of(kin.far, _FARS)}"
    yield f"kin {kin.amount.role} {role}"
    apart = [abs(math.log10(one / other))
             for one in values for other in _values(kin.amount)
             if one > 0 and other > 0]  # fmt: skip
    if apart:
        yield f"kin apart {step_of(min(apart), _APART)}"


def _told_before(talk: Talk, scene: Scene, amount: Amount) -> Iterator[tuple[int, Scene, Amount]]:
    for far in range(min(scene.index, _FARTHEST) + 1):
        earlier = talk.scenes[scene.index - far]
        for one in reversed(earlier.amounts[: None if far else amount.place]):
            if one.unit and kind_of(one.unit):
                yield far, earlier, one


def _holds(one: Amount, values: list[Decimal]) -> bool:
    low, high = one.lower, one.upper
    return low is not None and high is not None and all(low <= v <= high for v in values)


def _values(amount: Amount) -> list[Decimal]:
    return [v for v in (amount.lower, amount.nominal, amount.upper) if v is not None]


def _telling(talk: Talk, word: str) -> float:
    """Return how telling a word is: one of few sentences tells more."""
    if not talk.spread:
        for scene in talk.scenes:
            for one in {_stem(token.low) for token in scene.tokens}:
                talk.spread[one] = talk.spread.get(one, 0) + 1
    return math.log((len(talk.scenes) + 1) / talk.spread.get(word, 1))


def _around(talk: Talk, scene: Scene, amount: Amount) -> frozenset[str]:
    """Return the words around a number as far as the numbers beside it."""
    key = (scene.index, amount.first, amount.last)
    if key not in talk.around:
        tokens = scene.tokens
        ends = [one.last for one in scene.amounts if one.last <= amount.first]
        starts = [one.first for one in scene.amounts if one.first >= amount.last]
        first = max(0, amount.first - _AHEAD, *ends)
        last = min(len(tokens), amount.last + _BEHIND, *starts)
        near = (*tokens[first : amount.first], *tokens[amount.last : last])
        told = (token.low.removesuffix("'s") for token in near)
        talk.around[key] = frozenset(
            _stem(word) for word in told if len(word) > 2 and word.isalpha() and word not in _COMMON
        )
    return talk.around[key]


def _stem(word: str) -> str:
    word = word.removesuffix("'s")
    return word[:-1] if word.endswith("s") and len(word) > 4 else word
