"""Which unit a bare number has, if it is a quantity at all: every choice is weighed by its signs.

The choices are the units said on the recording, those that go without saying, no unit, and
that the number is no quantity. Each sign has points, fitted on talk of our own by
``tests/benchmarks/fit_unit_points.py``.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache

from author.proposals.quantities.amounts.amount import Amount, between
from author.proposals.quantities.amounts.behind_numbers import plain_unit_at
from author.proposals.quantities.amounts.context import Scene, own_name
from author.proposals.quantities.amounts.units import kind_of
from author.proposals.quantities.bare_numbers.evidence import leads_to_unit
from author.proposals.quantities.bare_numbers.fine_scale import fine_parts, part_signs, told_scale
from author.proposals.quantities.bare_numbers.kin import kin_signs
from author.proposals.quantities.bare_numbers.kinds import is_turned_size, is_width
from author.proposals.quantities.bare_numbers.measured import (
    Measured,
    just_named,
    measured_near,
)
from author.proposals.quantities.bare_numbers.parallel_units import falls_from, unit_by_form
from author.proposals.quantities.bare_numbers.same_again import (
    as_told_before,
    can_be,
    counted_before,
    told_nearly,
)
from author.proposals.quantities.bare_numbers.saturated import saturated_at
from author.proposals.quantities.bare_numbers.signs import (
    Mention,
    Shape,
    number_signs,
    unit_signs,
)
from author.proposals.quantities.bare_numbers.supplies import is_supply
from author.proposals.quantities.bare_numbers.thought_units import points_thought, units_thought
from author.proposals.quantities.bare_numbers.told_as_value import (
    EIGHTHS,
    HUNDREDTHS,
    decimals,
    is_below,
    is_exact,
    is_never,
    is_told_as_value,
    measures_itself,
)
from author.proposals.quantities.bare_numbers.topic import Talk, said_of, size_of
from author.resources import load_own_table

NOTHING = "nothing"
"""The choice that a number is no quantity."""
BARE = ""
"""The choice that it is one without a unit."""
_BACK, _AHEAD, _BESIDE, _NEXT = 24, 2, 8, 2
# What a shop speaks in without saying it (common practice, no source).
_ALWAYS = {"voltage": ("V",), "rotational_speed": ("r/min",), "frequency": ("Hz",),
           "ratio": ("%",), "acidity": ("pH",), "current": ("A",), "time": ("s",)}  # fmt: skip
_METRIC = {"length": ("mm",), "temperature": ("°C",)}
_IMPERIAL = {"length": ("in", "thou"), "temperature": ("°F",)}
_DIFFERENCES = {"°C": "K", "°F": "Δ°F"}
_TENTH = 10
_WIDE = 10
# Nobody tells thousandths of an inch to a thousandth of one: 2.685 is inches.
_MANY_THOU = 20
_FINE, _IN_INCHES = frozenset({"thou", "µm"}), 3
_ALL_OF_THEM = frozenset({"of", "them", "these", "those", "the", "in", "are", "is", "it", "two",
                          "three", "four", "five", "six", "number", "numbers", "figures",
                          "values", "torques", "given", "told", "that's"})  # fmt: skip
_ENDS = re.compile(r"[.,;]|of course|that is|then$|here$|now$")
_FURTHER = frozenset({"another", "further"})
# What is told of a bare number as such, where it is to be one without a unit.
_OF_BARE = ("always", "evidence", "kinds")


@dataclass(frozen=True, slots=True)
class Choice:
    """What a bare number may mean.

    Attributes:
        unit: a symbol, ``BARE`` or ``NOTHING``.
        far: from how many sentences away the unit is taken; None where nobody said it.
        signs: what speaks for it and against it.
        bottom: what the parts of that unit divide by that a whole number is, else 1.
    """

    unit: str
    far: int | None
    signs: frozenset[str]
    bottom: int = 1


def chosen(talk: Talk, scene: Scene, amount: Amount) -> Choice:
    """Return what a bare number most likely means.

    Args:
        talk: the recording.
        scene: the sentence.
        amount: one of its amounts, its place among them and its role known.
    """
    before = {one.nominal for one in scene.amounts[: amount.place]}
    if amount.nominal in before and falls_from(scene, amount):
        return Choice(NOTHING, None, frozenset())  # "off at seven, and it went from seven to six"
    for way in (_counted, _of_its_name, _as_used, _as_all, _goes_on):
        if (one := way(talk, scene, amount)) is not None:
            return one
    if (again := as_told_before(talk.scenes, scene, amount)) is not None:
        return Choice(*again, frozenset())
    if (told := unit_by_form(talk, scene, amount)) is not None:
        return Choice(*told, frozenset())
    if (one := _in_inches(talk, scene, amount)) is not None:
        return one
    found, table = choices_of(talk, scene, amount), points()
    units = {one.unit for one in found if one.unit != NOTHING}
    thought, nothing = points_thought(scene, amount, units)
    best = max(
        found,
        # Added up exactly: signs are a set, and its order must not tell.
        key=lambda one: (
            math.fsum(table[sign] for sign in one.signs if sign in table)
            + thought.get(one.unit, nothing),
            one.unit,
            one.bottom,
        ),
    )
    if best.far is None and best.unit not in {BARE, NOTHING}:
        near = measured_near(talk, scene, amount)
        unnamed = not (near.named or near.told or near.tools or near.fresh)
        if unnamed and (told := told_nearly(talk.scenes, scene, amount)) is not None:
            return Choice(*told, frozenset())
    scale = told_scale(talk, scene, amount) if best.unit == "mm" and best.bottom == 1 else 1
    return best if scale == 1 else Choice("mm", best.far, best.signs, scale)


def _counted(talk: Talk, scene: Scene, amount: Amount) -> Choice | None:
    """Return that "61 to 39" behind a ratio has no unit."""
    counted = counted_before(talk.scenes, scene, amount)
    return Choice(BARE, None, frozenset()) if counted else None


def _of_its_name(talk: Talk, scene: Scene, amount: Amount) -> Choice | None:
    """Return the unit of "CO at 14" and "soot nought", by what was told under the same name.

    Shares are told of several stuffs side by side, each in its own unit; a soot number has none.
    """
    named = own_name(scene, amount)
    if named is not None and named[1] == "acidity":
        return Choice("pH", None, frozenset())
    if named is None or named[1] not in {"ratio", "count"}:
        return None
    if named[1] == "count":
        return Choice(BARE, None, frozenset())
    for far in range(scene.index + 1):
        earlier = talk.scenes[scene.index - far]
        for one in reversed(earlier.amounts):
            if kind_of(one.unit) == "ratio" and own_name(earlier, one) == named:
                return Choice(one.unit or BARE, far, frozenset())
    return None


def _as_used(talk: Talk, scene: Scene, amount: Amount) -> Choice | None:
    """Return the unit of "suction 22 psi, minus four" and "this is four eighty three phase"."""
    supply = is_supply(talk, scene.index, amount)
    unit = "V" if supply else saturated_at(talk, scene.index, amount)
    return None if unit is None else Choice(unit, None, frozenset())


def _as_all(talk: Talk, scene: Scene, amount: Amount) -> Choice | None:
    """Return the unit of all numbers of a sentence: "at 25, the upper at 20, all newton metres"."""
    tokens = scene.tokens
    for at in range(amount.last, len(tokens)):
        if tokens[at].low != "all":
            continue
        after = at + 1
        while after < len(tokens) and (tokens[after].low in _ALL_OF_THEM):
            after += 1
        unit = plain_unit_at(tokens, after)
        kind = kind_of(unit.symbol) if unit else None
        ends = unit is not None and between(tokens, unit.last, min(unit.last + 2, len(tokens)))
        if unit is None or kind in {None, "turns"} or (ends and not _ENDS.match(ends)):
            continue
        near = measured_near(talk, scene, amount)
        told = near.named or near.told
        return Choice(unit.symbol, 0, frozenset()) if not told or kind in told else None
    return None


def _in_inches(talk: Talk, scene: Scene, amount: Amount) -> Choice | None:
    """Return the unit of "two point six eight five", and of "it's two over" behind it.

    Where inches are spoken, what is told to a thousandth is in inches, and a whole number right
    behind it tells thousandths (common practice, no source).
    """
    named = measured_near(talk, scene, amount).named
    if talk.metric is not False or (named and "length" not in named):
        return None
    if _to_thousandths(amount):
        return Choice("in", None, frozenset())
    before = scene.amounts[: amount.place] or (
        talk.scenes[scene.index - 1].amounts if scene.index else []
    )
    last = before[-1] if before else None
    follows = last is not None and last.unit in {"in", "thou"} and amount.form == "whole"
    whole = follows and any(_to_thousandths(one) for one in before[-3:])
    if whole and (size_of(amount) or 0) < _MANY_THOU:
        return Choice("thou", None, frozenset())
    return None


def _goes_on(talk: Talk, scene: Scene, amount: Amount) -> Choice | None:
    """Return the unit of "sixty then one twenty then two ten inch pounds" and "another ten"."""
    after = scene.amounts[amount.place + 1 :]
    if leads_to_unit(scene, amount):
        unit = next((one.unit for one in after if kind_of(one.unit)), None)
        return (
            Choice(unit, 0, frozenset()) if unit and not _is_turned_on(talk, scene, unit) else None
        )
    if not amount.first or scene.tokens[amount.first - 1].low not in _FURTHER:
        return None
    before = scene.amounts[: amount.place]
    lasts = amount.first > 1 and scene.tokens[amount.first - 2].low == "for"  # "for another five"
    for far in range(min(_NEXT, scene.index) + 1):
        some = before if not far else talk.scenes[scene.index - far].amounts
        units = [one.unit for one in reversed(some) if kind_of(one.unit)]
        timed = [unit for unit in units if kind_of(unit) == "time"] if lasts else []
        if unit := next(iter(timed or units), None):
            return Choice(unit, far, frozenset())
    return None


_TURNED_ON = frozenset({"angle", "turns", "time"})


def _is_turned_on(talk: Talk, scene: Scene, unit: str) -> bool:
    """Whether an angle or a time follows a torque: "thirty-five, then ninety degrees"."""
    told = (
        one for some in talk.said[max(0, scene.index - _NEXT) : scene.index + 1] for one in some
    )
    return kind_of(unit) in _TURNED_ON and any(one.kind == "torque" for one in told)


@cache
def points() -> Mapping[str, float]:
    """Return the fitted points by sign, read once."""
    return {sign: float(value) for sign, value in load_own_table("unit_points.yaml").items()}


def choices_of(talk: Talk, scene: Scene, amount: Amount) -> list[Choice]:
    """Return everything a bare number may mean, with its signs.

    Args:
        talk: the recording.
        scene: the sentence.
        amount: one of its amounts, its place among them and its role known.
    """
    said: dict[str, list[Mention]] = {
        unit: [] for units in talk.units.values() for unit in units
    }  # fmt: skip
    heard = frozenset(said)
    mentions = list(_mentions(talk, scene, amount))
    for one in mentions:
        said.setdefault(one.said.unit, []).append(one)
    near = measured_near(talk, scene, amount)
    named = near.named or just_named(talk, scene, near)
    width = is_width(scene, amount)
    if measures_itself(scene, amount) or width:
        named = _OF_LENGTHS  # "belt's 1930 long", "measured across the mouth, thirty"
    before = talk.scenes[scene.index - 1] if scene.index else None
    shown = near.tools == _OF_LENGTHS or is_turned_size(before, scene, amount)
    if not named and shown and not near.told:
        named = _OF_LENGTHS  # "mike the shaft": no weight that was told before
    for unit in (*_of_itself(talk, amount, near, named), *units_thought(scene, amount)):
        said.setdefault(_on_its_scale(talk, unit), [])
    recent, shape = _recent(mentions), Shape.of(scene, amount)
    kin = kin_signs(talk, scene, amount)
    never = is_never(scene, amount)
    named -= never & {"torque"}
    found = [
        Choice(unit, _far(some, unit in heard), frozenset(
            unit_signs(talk, scene, amount, shape, unit, some, recent, near, heard=unit in heard)
        ) | kin.get(unit, set()))
        for unit, some in said.items()
        # No unit of another quantity than the one that is named.
        if (not named or kind_of(unit) in named)
        and not (unit in _FINE and decimals(amount) >= _IN_INCHES)
        and can_be(unit, amount)
        and kind_of(unit) not in never
    ]  # fmt: skip
    if not named or "length" in named:
        found += _of_parts(talk, scene, amount)
    if is_below(amount) and amount.form == "whole" and any(one.unit in _FINE for one in found):
        # How far something lies below its size is told in the fine unit of its limits.
        found = [one for one in found if one.unit in _FINE or kind_of(one.unit) != "length"]
    own = list(number_signs(talk, scene, amount, near))
    in_parts = any(one.bottom > 1 for one in found)
    limits_it = amount.role == "limits" and (bool(named) or in_parts)
    told = limits_it or width or is_told_as_value(scene, amount)
    if not is_exact(amount) and not told:
        found.append(Choice(NOTHING, None, frozenset(f"nothing {sign}" for sign in own)))
    kept = (f"bare {sign}" for sign in own if sign.startswith(_OF_BARE))
    found.append(Choice(BARE, None, frozenset(kept)))
    return found


def _on_its_scale(talk: Talk, unit: str) -> str:
    """Return a unit of temperature on the scale of a film that tells none: who talks in inches."""
    if unit not in {"°C", "°F"} or talk.metric is None or talk.units.get("temperature"):
        return unit
    return "°C" if talk.metric else "°F"


_OF_LENGTHS = frozenset({"length"})


def _of_parts(talk: Talk, scene: Scene, amount: Amount) -> Iterator[Choice]:
    """Yield the parts of a unit that a whole number may be, as "five" for five hundredths."""
    for bottom, parts in fine_parts(talk, scene, amount).items():
        first = parts[0]
        signs = frozenset(part_signs(talk, scene, amount, parts))
        yield Choice(first.unit, abs(first.far), signs, bottom)


def _to_thousandths(amount: Amount) -> bool:
    """Whether a number was said to a thousandth, and is no fraction that comes out so."""
    fraction = amount.form in {"fraction", "mixed"} or amount.bottom != 1
    return not fraction and decimals(amount) >= _IN_INCHES


def _far(mentions: Sequence[Mention], heard: bool) -> int | None:
    if mentions:
        return abs(mentions[0].far)
    return _BACK if heard else None


def _of_itself(talk: Talk, amount: Amount, near: Measured, named: frozenset[str]) -> Iterator[str]:
    """Yield the units that nobody has to say of what is measured, or of such a fraction.

    Where nothing tells whether the recording is metric, a measuring instrument shows a diameter
    of ten and more in millimetres; hundredths are of a millimetre and eighths of an inch (common
    practice, no source).
    """
    kinds = named or near.told or near.tools | near.tools_before | near.fresh
    for kind in sorted(kinds):
        yield from _ALWAYS.get(kind, ())
        if talk.metric is not None:
            yield from (_METRIC if talk.metric else _IMPERIAL).get(kind, ())
    if "temperature_difference" in kinds:
        yield from (_DIFFERENCES[one] for one in talk.units.get("temperature", {}) if one != "K")
    elif "temperature_difference" in talk.units and "temperature" not in talk.units:
        told = talk.units["temperature_difference"]
        yield from (scale for scale, apart in _DIFFERENCES.items() if apart in told)
    shown = "length" in near.tools | near.tools_before and (size_of(amount) or 0) >= _WIDE
    of_metre = amount.bottom in HUNDREDTHS or (amount.bottom == _TENTH and talk.metric)
    if talk.metric is not False and (of_metre or (talk.metric is None and shown)):
        yield "mm"
    if amount.bottom in EIGHTHS:
        yield "in"


def _mentions(talk: Talk, scene: Scene, amount: Amount) -> Iterator[Mention]:
    """Yield the units said around a number: before it, the nearest first, then behind it."""
    at = amount.place
    before = scene.amounts[max(0, at - _BESIDE) : at]
    for one in reversed(before):
        kind = kind_of(one.unit)
        if kind and one.unit:
            yield Mention(said_of(scene, one, one.unit, kind), 0)
    for told in talk.said[scene.index]:
        if told.value is None:
            yield Mention(told, 0)
    for size in scene.sizes:
        if size.unit and kind_of(size.unit) == "length":
            yield Mention(said_of(scene, size, size.unit, "length", carried=True), 0)
    for one in scene.amounts[at + 1 : at + _BESIDE]:
        kind = kind_of(one.unit)
        if kind and one.unit:
            yield Mention(said_of(scene, one, one.unit, kind), 0, behind=True)
    for far in range(1, min(_BACK, scene.index) + 1):
        for told in reversed(talk.said[scene.index - far]):
            yield Mention(told, far)
    for ahead, some in enumerate(talk.said[scene.index + 1 : scene.index + 1 + _AHEAD], start=1):
        for told in some:
            yield Mention(told, -ahead)


def _recent(mentions: Sequence[Mention]) -> dict[str, int]:
    """Return the place of each unit among those said before, the latest first."""
    places: dict[str, int] = {}
    for one in mentions:
        if one.is_before and not one.passes_by:
            places.setdefault(one.said.unit, len(places))
    return places
