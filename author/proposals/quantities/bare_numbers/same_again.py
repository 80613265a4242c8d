"""Bare numbers whose unit the words around leave no choice for.

"Axle nuts, forty again": the unit of that number where it was told before. "Count the turns
out, I've got five and a quarter": what is counted. "About minus two": no torque, no weight.
"""

from __future__ import annotations

import re
from decimal import Decimal

from author.proposals.quantities.amounts.amount import Amount, between
from author.proposals.quantities.amounts.context import Scene
from author.proposals.quantities.amounts.units import kind_of
from author.proposals.quantities.amounts.vocabulary import GO_ON

_AGAIN = re.compile(r"again\b|,? ?(?:the )?same (?:as|again)\b")
TOLD_AGAIN = re.compile(
    r"\b(?:same(?: again| thing(?: again)?| as before| depth| height| gap| torque)?|likewise|ditto)"
    r"[ ,:]*(?:(?:it's|that's|so|at|to)[ ,]*)*$",
    re.IGNORECASE,
)
"""Ends with words by which the value behind them is that of another: "same again, four"."""
_MOST_TURNS = 60
_TURNS_COUNTED = re.compile(
    r"\bcount(?:s|ed|ing)? (?:the |your |how many |its |my |those )?"
    r"(?:full |whole )?(?:turns|revolutions)\b"
)
# Nothing is torqued, weighed, filled, turned or waited for by less than nought.
_NEVER_BELOW = frozenset({"torque", "time", "rotational_speed", "volume", "mass", "turns", "area"})
_COARSE = frozenset({"kg", "lb", "t", "N", "kN", "N·m", "lbf·ft", "bar", "psi", "kPa", "°C", "°F",
                     "°", "r/min", "%"})  # fmt: skip
_TEN = 10


def as_told_before(scenes: list[Scene], scene: Scene, amount: Amount) -> tuple[str, int] | None:
    """Return the unit of a number said again, or held since, and how many sentences before it was.

    Args:
        scenes: the recording.
        scene: the sentence.
        amount: one of its amounts.
    """
    value = amount.nominal
    if not amount.is_plain() or value is None:
        return None
    if (listed := _as_listed(scenes, scene, amount, value)) is not None or value <= 1:
        return listed
    if not _is_again(scene, amount):
        return _held_at(scenes, scene, amount, value)
    for far in range(scene.index + 1):
        earlier = scenes[scene.index - far]
        some = earlier.amounts[: None if far else amount.place]
        for one in reversed(some):
            if one.unit and kind_of(one.unit) and value in {one.nominal, one.lower, one.upper}:
                return one.unit, far
    return None


_LEAST_NEAR, _NEAR = 10, Decimal("1.05")
_STATES = frozenset({"pressure", "voltage", "current", "rotational_speed", "speed", "force"})
"""Kinds of which one value is told first and is looked for again when all is done."""


def told_nearly(scenes: list[Scene], scene: Scene, amount: Amount) -> tuple[str, int] | None:
    """Return the unit said with nearly the same value before, and how many sentences before.

    "It has to give forty-two kilopascals", and long after, with nothing named: "now it marks
    forty-three".

    Args:
        scenes: the recording.
        scene: the sentence.
        amount: one of its amounts.
    """
    value = amount.nominal
    if not amount.is_plain() or value is None or value < _LEAST_NEAR:
        return None
    for far in range(1, scene.index + 1):
        for one in reversed(scenes[scene.index - far].amounts):
            if kind_of(one.unit) not in _STATES or one.role not in {"aim", "about", "limits"}:
                continue
            ends = [end for end in (one.nominal, one.lower, one.upper) if end is not None]
            if any(value / _NEAR <= end <= value * _NEAR for end in ends):
                return str(one.unit), far
    return None


_SHORT, _MOST_APART = 6, 2


def _as_listed(
    scenes: list[Scene], scene: Scene, amount: Amount, value: Decimal
) -> tuple[str, int] | None:
    """Return the unit, or none, of what is told of the next thing as it was of the one before.

    "Speed check. Step, point five. Handrail, point five oh five": both are speeds.
    """
    before = scenes[scene.index - 1] if scene.index else None
    if before is None or not (_is_listed(before) and _is_listed(scene)):
        return None
    other = before.amounts[0]
    alike = other.form == amount.form and (other.unit is None) is ("carried" not in other.flags)
    near = other.nominal and other.nominal / _MOST_APART <= value <= other.nominal * _MOST_APART
    return (other.unit or "", 1) if alike and near else None


def _is_listed(scene: Scene) -> bool:
    """Whether a sentence is the name of a thing and one number: "handrail, point five oh five"."""
    tokens = scene.tokens
    if len(scene.amounts) != 1 or not scene.amounts[0].is_plain():
        return False
    one = scene.amounts[0]
    ends = all(token.kind == "sign" for token in tokens[one.last :])
    ahead = tokens[: one.first]
    named = len(ahead) > 1 and ahead[-1].low == "," and len(ahead) <= _SHORT
    return named and ends and all(token.kind == "word" for token in ahead[:-1])


_FAR_HELD, _NEAR_HELD = 4, Decimal("1.25")
_HELD = re.compile(
    r"\b(?:holding|holds|held|(?:sits|sitting|stays?|staying|settled|settles|still)(?: up| down)?"
    r" (?:at|on))(?: (?:at|about|around|only|just|still|steady|a|an))*$"
)


def _held_at(
    scenes: list[Scene], scene: Scene, amount: Amount, value: Decimal
) -> tuple[str, int] | None:
    """Return the unit of a reading that is near a value told shortly before, and how far before.

    "Pump it up to a hundred kilopascals and watch it. It's holding ninety-eight."
    """
    ahead = between(scene.tokens, max(0, amount.first - 6), amount.first)
    if not _HELD.search(ahead):
        return None
    for far in range(1, min(_FAR_HELD, scene.index) + 1):
        for one in reversed(scenes[scene.index - far].amounts):
            if kind_of(one.unit) not in _STATES:
                continue
            ends = [end for end in (one.nominal, one.lower, one.upper) if end]
            if any(value / _NEAR_HELD <= end <= value * _NEAR_HELD for end in ends):
                return str(one.unit), far
    return None


def _is_again(scene: Scene, amount: Amount) -> bool:
    tokens = scene.tokens
    if _AGAIN.match(between(tokens, amount.last, min(amount.last + 4, len(tokens)))):
        return True
    before = tokens[amount.first - 1].low if amount.first else ""
    after = tokens[amount.last].low if amount.last < len(tokens) else ""
    return before == "same" and (not after[:1].isalpha() or after in GO_ON)


def counts_turns(scene: Scene, amount: Amount) -> bool:
    """Whether it tells how many turns were counted: "count the turns out, I've got five"."""
    ahead = between(scene.tokens, max(0, amount.first - 14), amount.first)
    few = amount.is_plain() and 0 < (amount.nominal or 0) <= _MOST_TURNS
    coarse = amount.form in {"whole", "mixed", "fraction"}
    first = not any(one.unit for one in scene.amounts[: amount.place])
    return few and coarse and first and _TURNS_COUNTED.search(ahead) is not None


def counted_before(scenes: list[Scene], scene: Scene, amount: Amount) -> bool:
    """Whether it tells a ratio, or how many of what was counted: "61 to 39", "58 to 62 a minute".

    Args:
        scenes: the recording.
        scene: the sentence.
        amount: one of its amounts.
    """
    before = scenes[scene.index - 1] if scene.index else None
    if amount.form != "range" or before is None:
        return False
    words = scene.words | (before.words if before.amounts else frozenset())
    if "ratio" in words and scene.tokens[amount.last - 2].low == "to":
        return True
    said = between(before.tokens, max(0, len(before.tokens) - 12), len(before.tokens))
    return _COUNTED.search(said) is not None


_COUNTED = re.compile(r"\bcount(?:s|ed|ing)? (?:the |how many )?\w+.* (?:per|a) minute\b")


def can_be(unit: str, amount: Amount) -> bool:
    """Whether a value can be told in a unit: below nought, or so finely, many cannot be."""
    if amount.is_plain() and (amount.nominal or 0) < 0:
        return kind_of(unit) not in _NEVER_BELOW
    if unit == "r/min" and amount.nominal is not None and 0 < amount.nominal < 1:
        return False  # "step, point five": no shaft is told to turn so slowly
    values = (one for one in (amount.nominal, amount.lower, amount.upper) if one is not None)
    # "Front journal, 69.995": nobody weighs so finely what is told in kilos.
    return unit not in _COARSE or not any(_is_fine(one) for one in values)


def _is_fine(value: Decimal) -> bool:
    return abs(value) >= _TEN and value.as_tuple().exponent in {-3, -4}
