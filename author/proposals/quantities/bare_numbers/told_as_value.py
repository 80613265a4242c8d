"""Whether the words around a bare number tell that it is a value, and nothing counted or named."""

from __future__ import annotations

import re
from decimal import Decimal

from author.proposals.quantities.amounts.amount import Amount, between
from author.proposals.quantities.amounts.context import Scene
from author.proposals.quantities.amounts.vocabulary import GO_ON

EIGHTHS, HUNDREDTHS = frozenset({8, 16, 32, 64}), frozenset({100, 1000})
"""What fractions divide by that are told of inches, and of millimetres."""


def decimals(amount: Amount) -> int:
    """Return how many digits behind the point were said."""
    values = [v for v in (amount.nominal, amount.lower, amount.upper) if v is not None]
    return max((-int(value.as_tuple().exponent) for value in values), default=0)


def is_below(amount: Amount) -> bool:
    """Whether a value lies below nought."""
    return (amount.nominal or 0) < 0


def is_exact(amount: Amount) -> bool:
    """Whether a number counts or names nothing: decimals, eighths, hundredths, below nought."""
    pointed = decimals(amount) > 0
    fraction = amount.form == "fraction" and amount.bottom not in EIGHTHS
    parted = amount.bottom in HUNDREDTHS or (is_below(amount) and amount.role == "measured")
    return amount.form in {"mixed", "both"} or parted or (pointed and not fraction)


_OF_IT = re.compile(r"of it(?: [.,;!?]|$)")
# "Start life at nineteen", "from factory fourteen", "the law says eight, and I say ten".
_TOLD_AHEAD = re.compile(
    r"\b(?:(?:start|starts|started|begin|begins) (?:life )?at|from (?:the )?factory|it is new"
    r"|(?:law|book|manual|maker|factory|plate|sticker|spec|sheet|i) says?)$"
)
_TOLD_BEHIND = re.compile(r"(?:when (?:it|they|she|he)(?:'s|'re| is| are) (?:born|new)|from new)\b")
_AROUND, _BEHIND = 5, 4
_NEXT, _FAR_AHEAD = 2, 12


def is_told_as_value(scene: Scene, amount: Amount) -> bool:
    """Whether a bare number is told as a value.

    Args:
        scene: the sentence.
        amount: one of its amounts, its place among them and its role known.
    """
    tokens = scene.tokens
    ahead = between(tokens, max(0, amount.first - _AROUND), amount.first)
    behind = between(tokens, amount.last, min(amount.last + _BEHIND, len(tokens)))
    got = amount.role == "measured" and _OF_IT.match(behind) is not None
    return (
        got
        or behind.startswith(("of each other", "of one another"))
        or (is_below(amount) and not ahead.endswith(_BEFORE_A_PLACE))
        or _TOLD_AHEAD.search(ahead) is not None
        or _TOLD_BEHIND.match(behind) is not None
        or measures_itself(scene, amount)
        or _lies_beside_value(scene, amount)
    )


_BEFORE_A_PLACE = (" to", " at", " on")  # "bottom, minus eleven" is read off
_MEASURED = frozenset({"long", "wide", "thick", "deep", "inside", "outside", "high", "tall"})


def measures_itself(scene: Scene, amount: Amount) -> bool:
    """Whether a dimension follows that is of no thing: "1930 long", no "four long bolts".

    Args:
        scene: the sentence.
        amount: one of its amounts.
    """
    tokens, at = scene.tokens, amount.last
    if amount.unit is not None or at >= len(tokens) or tokens[at].low not in _MEASURED:
        return False
    after = tokens[at + 1] if at + 1 < len(tokens) else None
    return after is None or after.kind != "word" or after.low in GO_ON


_LEAST_BESIDE = 5


def _lies_beside_value(scene: Scene, amount: Amount) -> bool:
    """Whether a value near it stands in the sentence: "should be 70, it's 66 and a half".

    A number that counts lies near a decimal only by chance, and no count has a range around it.
    """
    value, before = amount.nominal, scene.tokens[amount.first - 1] if amount.first else None
    if value is None or value < _LEAST_BESIDE or before is None or before.kind != "word":
        return False
    for one in scene.amounts:
        if one is amount or (one.unit is not None and not one.flags & _CARRIED):
            continue
        low, high, other = one.lower, one.upper, one.nominal
        if low is not None and high is not None and other is None:
            if low < value <= high:
                return True
        elif other and one.form in {"decimal", "mixed"} and _are_near(value, other):
            return True
    return False


_CARRIED = frozenset({"carried", "carried near", "carried far"})


def _are_near(one: Decimal, other: Decimal) -> bool:
    return one != other and max(one, other) <= min(one, other) * _NEAR


_NEAR = Decimal("1.15")


# "Slide it back till it's six, then nip them up to eight newton metres": where it comes to stand.
_MOVED_TILL = re.compile(
    r"\b(?:slide|move|push|pull|shift|ease|tap|shim|adjust|draw|raise|lower|bring|wind|screw|lever"
    r"|pry|lift|drop|knock|tension)(?:s|ing)?\b(?: (?!torque)[a-z']+){0,5} (?:till|until|til)"
    r" (?:it's|it is|they're|there's|it reads|it shows|it measures|you(?:'ve got| have| get| see"
    r"| read))(?: (?:at|about|back to|down to|up to|a))*$"
)


def is_never(scene: Scene, amount: Amount) -> frozenset[str]:
    """Return the kinds a number cannot be: no time before "for another five", no torque of a shift.

    Args:
        scene: the sentence.
        amount: one of its amounts, its place among them known.
    """
    behind = scene.tokens[amount.last].low if amount.last < len(scene.tokens) else ""
    after = scene.amounts[amount.place + 1 : amount.place + 2]
    if behind == "for" and after and after[0].first - amount.last <= _NEXT:
        return frozenset({"time"})
    ahead = between(scene.tokens, max(0, amount.first - _FAR_AHEAD), amount.first)
    return frozenset({"torque"} if _MOVED_TILL.search(ahead) else ())
