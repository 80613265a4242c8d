"""The same told in two ways: a reading by its number, a spread with its ends, another unit."""

from __future__ import annotations

import re
from decimal import Decimal

from author.checks.verbs import words
from author.procedure.number_words import ONES
from author.proposals.quantities.amounts.amount import Amount, between
from author.proposals.quantities.amounts.context import Scene
from author.proposals.quantities.amounts.units import kind_of
from author.proposals.quantities.numbers.tokens import Token
from author.proposals.quantities.numbers.words import number_at

_LABELS = words(
    """
    number cylinder pot injector position valve hole leg corner phase station bolt plate cell
    bank unit nozzle jaw tooth pad wheel reed string tube port line channel pole winding
    roller outlet
    """
)
_MOST_LABELS, _MOST_TIMES = 24, 4


def part_labels(tokens: list[Token]) -> list[Token]:
    """Return the tokens with the readings of numbered things parted from their numbers.

    Of "number 1 22 number 2 25" the first of each two names the thing, the second is what it
    measures; no comma says so where no signs are written.
    """
    places = [at for at, token in enumerate(tokens) if token.low in _LABELS]
    same = {tokens[at].low for at in places}
    if len(places) < 2 or len(same) != 1 or len(places) > _MOST_LABELS:
        return tokens
    cuts: set[int] = set()
    labels: list[Decimal] = []
    for at in places:
        label = _label_at(tokens, at + 1)
        if label is None or number_at(tokens, at + 2) is None:
            return tokens
        labels.append(label)
        cuts.add(at + 2)
        if at and tokens[at - 1].kind == "digits":
            cuts.add(at)
    if labels != sorted(set(labels)):
        return tokens
    parted: list[Token] = []
    for at, token in enumerate(tokens):
        if at in cuts and tokens[at - 1].kind != "sign":
            end = tokens[at - 1].end
            parted.append(Token(",", ",", "sign", end, end, glued=True))
        parted.append(token)
    return parted


def _label_at(tokens: list[Token], at: int) -> Decimal | None:
    token = tokens[at] if at < len(tokens) else None
    if token is None:
        return None
    if token.kind == "digits" and token.low.isdigit() and len(token.low) <= 2:
        return Decimal(token.low)
    value = ONES.get(token.low)
    return Decimal(value) if value else None


def take_spreads(amounts: list[Amount]) -> list[Amount]:
    """Give a range the unit of the spread told before it, and leave out the spread.

    "Inside half a hertz, four forty-one and a half to four forty-two and a half" is one pair
    of limits: their distance, or half of it, is the spread.
    """
    kept: list[Amount] = []
    for amount in amounts:
        before = kept[-1] if kept else None
        ranged = amount.form == "range" and amount.lower is not None and amount.upper is not None
        if before is not None and ranged and before.is_plain() and before.unit:
            wide = (amount.upper or 0) - (amount.lower or 0)
            alike = amount.unit in {None, before.unit}
            small = before.nominal and before.nominal * _MOST_TIMES < (amount.lower or 0)
            if alike and small and before.nominal in {wide, wide / 2}:
                kept.pop()
                amount.unit = before.unit
                amount.flags.add("settled")
        kept.append(amount)
    return kept


# Kilopascals in one inch of mercury, NIST Special Publication 811 (2008), B.8.
_KPA_PER_INCH = Decimal("3.386389")
_IN_KPA = {"kPa": Decimal(1), "mbar": Decimal("0.1"), "bar": Decimal(100), "Pa": Decimal("0.001")}
_NEAR = Decimal("0.1")


def settle_mercury(scenes: list[Scene], scene: Scene) -> None:
    """Take inches for inches of mercury where they are the pressure told just before."""
    for back in range(2):
        if scene.index < back or not scene.amounts:
            continue
        for told in scenes[scene.index - back].amounts:
            scale = _IN_KPA.get(told.unit or "")
            value = told.nominal or told.upper
            for amount in scene.amounts:
                inches = amount.nominal or amount.upper
                if amount.unit != "in" or scale is None or not value or not inches:
                    continue
                wanted = value * scale
                if abs(inches * _KPA_PER_INCH - wanted) <= _NEAR * wanted:
                    amount.unit = "inHg"
                    amount.flags.add("settled")
                    amount.why.append("inches of mercury are the pressure told before")


_ASIDE = re.compile(
    r"(?:(?:and|so|or) )?(?:that's|that is|that'd be|thats|which is|which'd be|or|about|roughly"
    r"|in old money|in english)\b"
)


def is_aside(scenes: list[Scene], index: int) -> bool:
    """Whether a sentence only tells the value of the one before in another unit."""
    if index < 1 or len(scenes[index].amounts) != 1 or not scenes[index - 1].amounts:
        return False
    one, other = scenes[index - 1].amounts[-1], scenes[index].amounts[0]
    alike = kind_of(one.unit) is not None and kind_of(one.unit) == kind_of(other.unit)
    opens = between(scenes[index].tokens, 0, other.first)
    return alike and one.unit != other.unit and _ASIDE.match(opens) is not None
