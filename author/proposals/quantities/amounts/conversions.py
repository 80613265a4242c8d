"""Values told again in another unit: "nine newton metres, that's eighty inch pounds"."""

from __future__ import annotations

import re
from fractions import Fraction

from author.procedure.units import all_units
from author.proposals.quantities.amounts.amount import Amount, between
from author.proposals.quantities.amounts.context import Scene
from author.proposals.quantities.amounts.units import kind_of

_THAT_IS = re.compile(
    r"(?:[,;] ?)?(?:(?:and |or |so )?(?:that's|that is|which is|it's|call it|or)?"
    r"(?: (?:about|around|roughly|near enough|nearly|just over|just under|say|like|some))?)?"
    r"(?: (?:a|an))?"
)
_ROUNDED = Fraction(1, 20)
_SAID_SO = re.compile(r"\b(?:that's|that is|which is|call it|or)\b")


def without_conversions(scenes: list[Scene]) -> None:
    """Leave out a value that only says the one before it in another unit, rounded or not."""
    for scene in scenes:
        kept: list[Amount] = []
        for amount in scene.amounts:
            before = kept[-1] if kept else None
            if before is not None and _says_the_same(scene, before, amount):
                before.why.append("it is said in another unit as well")
                continue
            kept.append(amount)
        scene.amounts = kept


def _says_the_same(scene: Scene, one: Amount, other: Amount) -> bool:
    """Whether two values in two units are one, as people round them."""
    words = between(scene.tokens, one.last, other.first)
    if not _THAT_IS.fullmatch(words) or not _SAID_SO.search(words):
        return False
    known = one.unit in all_units() and other.unit in all_units() and one.unit != other.unit
    plain = other.is_plain() and "carried" not in other.flags
    if not known or not plain or kind_of(one.unit) != kind_of(other.unit):
        return False
    # "Within two hundredths, that's twenty microns"
    told = [end for end in (one.lower, one.nominal, one.upper) if end]
    if one.unit is None or other.unit is None or len(told) != 1 or not other.nominal:
        return False
    first = all_units()[one.unit].to_si(told[0])
    second = all_units()[other.unit].to_si(other.nominal)
    return abs(Fraction(first) - Fraction(second)) <= _ROUNDED * abs(Fraction(first))
