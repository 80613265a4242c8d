"""Units that were not said again: carried over from the number or the sentence nearby."""

from __future__ import annotations

import re
from collections.abc import Iterator
from decimal import Decimal

from author.proposals.quantity_amount import Amount, between
from author.proposals.quantity_context import Scene, characteristic_near, kinds_named
from author.proposals.quantity_evidence import evidence_of, is_repeat, leads_to_unit
from author.proposals.quantity_kinds import kinds_told
from author.proposals.quantity_restated import as_told_parts
from author.proposals.quantity_shop import as_digits, as_parts, settle_tenths, whole_part
from author.proposals.quantity_topic import (
    Said,
    Talk,
    Topic,
    decades,
    has_places,
    near_units,
    said_of,
    size_of,
    talk_of,
    topics_of,
)
from author.proposals.quantity_turns import is_change, why_turns
from author.proposals.quantity_units import kind_of

_NEAR = 8
_COMPARED = {
    "temperature": {"hotter", "cooler", "warmer", "colder"}, "rotational_speed": {"faster",
    "slower"},
    "length": {"deeper", "shallower", "thicker", "thinner", "wider", "narrower"},
    "mass": {"heavier", "lighter"},
}  # fmt: skip
# Units whose numbers are whole, halves or quarters; a finer number is of another unit.
_COARSE = frozenset({"µm", "turn", "thou", "r/min", "psi", "lbf·ft", "lbf·in", "°"})
# How far a size may lie from the one whose unit it takes, in powers of ten, by how surely
# the number is a quantity: told as a value (2), as a limit or with decimals (3).
_FIRM = {1: 0.3, 2: 1.5, 3: 1.7}
_LOOSE = {1: 0.3, 2: 0.6, 3: 1.05}
_NEXT, _NEXT_EXACT, _SAME, _SAME_SURE = 1.5, 1.2, 1.25, 1.4
_TIGHT = 0.2
_BEHIND = 0.4
_MOST_TURNS, _FAR = 12, 24
# Of these nobody tells hundredths where a part is measured.
_LONG = frozenset({"m", "ft", "cm"})
# What "two hundredths" and "eight tenths" are of where nobody says it.
_IN_EIGHTHS = frozenset({"in", "ft", "turn", "US gal", "US qt", "lb", "oz", "h", "L", "thou"})
_TOLD_IN_HUNDREDTHS = frozenset({"mm", "in", "thou"})
_LARGE = 2
_INCHES = frozenset({"in", "ft"})
# Fewer than this, told as a limit without a unit, are things and not an amount of anything.
_FEW = 5
_CLOSE = {1: 3, 2: 6, 3: 24}


def carry_units(scenes: list[Scene], *, metric: bool | None) -> None:
    """Give each amount without a unit the one it means; drop those that mean none.

    Args:
        scenes: sentences of one recording, their amounts with their roles.
        metric: whether the recording speaks of metric units; None where nothing tells.
    """
    talk = talk_of(scenes)
    talk.metric = metric
    for scene in scenes:
        for place, amount in enumerate(scene.amounts):
            amount.place = place
        kept: list[Amount] = []
        for amount in scene.amounts:
            if kept and amount.first < kept[-1].last:
                continue  # taken up by the one before
            needs = amount.unit is None and amount.form not in {"thread", "size"}
            if needs and "temperature" not in amount.flags:
                if not _carry(talk, scene, amount, metric):
                    continue
                kind = kind_of(amount.unit)
                if kind and amount.unit:
                    talk.note(scene.index, said_of(scene, amount, amount.unit, kind, carried=True))
            kept.append(amount)
            settle_tenths(scenes, scene, amount)
        scene.amounts = kept


def _carry(talk: Talk, scene: Scene, amount: Amount, metric: bool | None) -> bool:
    """Carry a unit over, if there is one; return whether the amount is worth keeping."""
    sure = evidence_of(scene, amount)
    if not sure:
        return False
    if amount.form in {"spelled", "whole", "mixed"} and as_digits(talk, scene, amount):
        return True
    if amount.form == "spelled" or (amount.form == "mixed" and (size_of(amount) or 0) > 999):
        return False
    if why := why_turns(scene, amount, told="turns" in talk.units):
        _take(amount, "turn", "settled", why)
        return True
    as_parts(scene, amount)
    as_told_parts(talk.scenes, scene, amount)
    found = _found(talk, scene, amount, sure)
    if found:
        one, far = found
        if not far and is_repeat(scene, amount):
            return False
        flag, where = ("carried", "the same sentence") if not far else (
            ("carried near", "a sentence nearby") if far <= _NEAR else
            ("carried far", "another part of the recording")
        )  # fmt: skip
        if one.unit in talk.assumed:
            flag, where = "carried far", "another number, where nobody says it either"
        _take(amount, one.unit, flag, f"the unit is carried over from {where}")
        whole_part(talk, scene, amount)
        return True
    unit = _usual(talk, scene, amount, metric)
    if unit:
        if unit not in talk.units.get("length", {}):
            talk.assumed.add(unit)
        _take(amount, unit, "carried far", f"nobody says the unit: {unit} goes with the instrument")
        return True
    plain = amount.form == "whole" and amount.bottom == 1 and "corrected" not in amount.flags
    return sure == 3 and (not plain or (size_of(amount) or 0) >= _FEW)


# Which unit it is


def _found(talk: Talk, scene: Scene, amount: Amount, sure: int) -> tuple[Said, int] | None:
    """Return the unit of the likeliest topic that fits the size, and from how far it comes."""
    compared = _compared_kind(scene, amount)
    tight = compared == "time"
    topics: Iterator[Topic] = (
        iter([Topic(frozenset({compared}), firm=True, far=0, named=True, tight=tight)])
        if compared
        else topics_of(talk, scene, amount)
    )
    before = scene.tokens[amount.first - 1].low if amount.first else ""
    if before in {"another", "further"} and (last := _last_said(talk, scene, amount)):
        return last
    told = _told_beside(scene, amount)
    for topic in topics:
        if told and topic.far > 1 and not topic.firm and not topic.kinds & told:
            continue  # "thirty thou, a new one has five": no pounds of long before
        reach = (_FIRM if topic.firm else _LOOSE)[sure]
        if not topic.far and not topic.firm and sure > 1:
            reach *= _SAME if sure == 3 else _SAME_SURE
        if topic.far == 1:
            reach *= _NEXT_EXACT if sure == 3 and amount.form == "decimal" else _NEXT
        reach = _TIGHT if topic.tight else reach
        reach += _CHANGED if sure > 1 and not topic.tight and is_change(scene, amount) else 0
        close = min(_CLOSE[sure], _NEAR) if amount.form == "whole" else _CLOSE[sure]
        close = max(close, 2 * _NEAR) if topic.firm and sure > 1 else close
        best = _best(talk, scene, amount, topic, reach, close)
        if best or (topic.named and not topic.far):
            return best  # no unit of another quantity than the one asked for
    return None


_CHANGED = 1.5


def _told_beside(scene: Scene, amount: Amount) -> frozenset[str]:
    """Return the kinds told before an amount in its own sentence."""
    kinds = (
        kind_of(one.unit) for one in scene.amounts[max(0, amount.place - _NEAR) : amount.place]
    )
    return frozenset(kind for kind in kinds if kind and kind not in {"time", "turns", "count"})


def _last_said(talk: Talk, scene: Scene, amount: Amount) -> tuple[Said, int] | None:
    """Return the unit told last, which "another sixty" goes on with."""
    for far in range(min(2, scene.index) + 1):
        units = scene.amounts[: amount.place] if not far else talk.scenes[scene.index - far].amounts
        for one in reversed(units):
            kind = kind_of(one.unit)
            if kind and one.unit:
                return said_of(scene, one, one.unit, kind), far
    return None


def _best(
    talk: Talk, scene: Scene, amount: Amount, topic: Topic, reach: float, close: int
) -> tuple[Said, int] | None:
    size = size_of(amount)
    best: tuple[float, Said, int] | None = None
    beside = topic.far == 0 and not topic.firm
    around = near_units(talk, scene.index, topic.kinds)
    for one, far in _in_sentence(talk, scene, amount) if beside else around:
        apart = one.apart(size)
        finest = one.kind == "length" and topic.firm and amount.form == "decimal"
        wide = reach + (1.5 if finest else 0)
        wide = min(wide, _BEHIND) if far < 0 else wide
        if far > _LARGE and talk.metric and one.unit in _INCHES:
            continue  # one inch somewhere makes no inches of millimetres
        if one.value is None and (
            (topic.tight and (size or 0) > _MOST_TURNS) or (far > 1 and close < _FAR)
        ):
            continue
        if far > close or apart > wide or _too_fine(amount, one.unit):
            continue
        if one.unit in _LONG and (far > _LARGE or apart > _TIGHT + 0.3):
            continue
        cost = (
            2.5 * decades(size, one.value)
            + 0.12 * abs(far)
            + 0.2 * one.carried
            + 0.5 * (one.value is None)
            - 0.4 * (far == topic.far)
        )
        cost += 0.6 * (one.unit == "in" and amount.form == "whole")
        if best is None or cost < best[0]:
            best = (cost, one, far)
    if topic.firm and not topic.tight and (best is None or not 0 <= best[2] <= _NEAR - 3):
        best = _or_told_long_ago(talk, amount, topic.kinds, best)
    if (
        best is None
        and topic.firm
        and not topic.tight
        and (close > _NEAR or (topic.named and (size or 0) >= _FEW))
    ):
        return _of_recording(talk, amount, topic.kinds, min(reach, 1.0))
    return best and (best[1], max(best[2], 0))


_LONG_AGO, _ALIKE = 2.0, 0.12


def _or_told_long_ago(
    talk: Talk, amount: Amount, kinds: frozenset[str], best: tuple[float, Said, int] | None
) -> tuple[float, Said, int] | None:
    """Return the best unit, or that of a value of the same size told anywhere before."""
    size = size_of(amount)
    for kind in sorted(kinds) if size else ():
        for unit, values in talk.units.get(kind, {}).items():
            apart = min((decades(size, value) for value in values), default=9.0)
            cost = _LONG_AGO + 2.5 * apart
            if apart < _ALIKE and not _too_fine(amount, unit) and (not best or cost < best[0]):
                best = (cost, Said(0, unit, kind, None), _NEAR + 1)
    return best


def _too_fine(amount: Amount, unit: str) -> bool:
    """Whether a number is finer than a unit is counted in; a shop's "tenths" are of a thou."""
    if unit in _LONG and (amount.bottom in {100, 1000} or _places(amount) > 1):
        return True
    if unit not in _TOLD_IN_HUNDREDTHS and amount.bottom in {100, 1000}:
        return True
    if amount.bottom in {8, 16, 32, 64} and unit not in _IN_EIGHTHS:
        return True
    if unit in {"°C", "°F"} and _places(amount) > 1:
        return True
    if unit == "turn" and amount.form == "decimal":
        return True
    return unit in _COARSE and has_places(amount) and not (unit == "thou" and amount.bottom == 10)


def _places(amount: Amount) -> int:
    """Return with how many decimals a value was told, by the one that has most."""
    values = [v for v in (amount.nominal, amount.upper, amount.lower) if v is not None]
    return max((-int(v.as_tuple().exponent) for v in values), default=0)


def _in_sentence(talk: Talk, scene: Scene, amount: Amount) -> Iterator[tuple[Said, int]]:
    """Yield the units said beside an amount, with -1 for those that follow it."""
    at = amount.place
    for place in range(max(0, at - _NEAR), min(len(scene.amounts), at + _NEAR)):
        one = scene.amounts[place]
        kind = kind_of(one.unit)
        if place == at or kind is None or one.unit is None or kind in {"ratio", "count"}:
            continue
        behind = place > at and not leads_to_unit(scene, amount)
        if behind and kind in {"time", "turns"}:
            continue
        if behind:
            yield Said(scene.index, one.unit, kind, size_of(one)), -1
        else:
            yield said_of(scene, one, one.unit, kind), 0
    for told in talk.said[scene.index]:
        if told.value is None:
            yield told, 0
    for one in scene.sizes:
        if one.unit and kind_of(one.unit) == "length":
            yield said_of(scene, one, one.unit, "length", carried=True), 0


def _of_recording(
    talk: Talk, amount: Amount, kinds: frozenset[str], reach: float
) -> tuple[Said, int] | None:
    """Return the unit of some kinds whose values anywhere on the recording are most alike."""
    size = size_of(amount)
    best: tuple[float, Said, int] | None = None
    every = [unit for kind in kinds for unit in talk.units.get(kind, {})]
    for kind in sorted(kinds):
        for unit, values in talk.units.get(kind, {}).items():
            apart = min((decades(size, value) for value in values), default=0.0)
            if (apart > reach + 1 and len(every) > 1) or _too_fine(amount, unit) or unit in _LONG:
                continue
            if best is None or apart < best[0]:
                best = (apart, Said(0, unit, kind, None), _NEAR + 1)
    return best and (best[1], best[2])


def _usual(talk: Talk, scene: Scene, amount: Amount, metric: bool | None) -> str | None:
    """Return millimetres or inches for a bare number behind an instrument for lengths.

    A diameter told with two decimals or more and above ten is in millimetres; inches are
    told with three or four (common practice, no source).
    """
    part = _usual_of_part(scene, amount, metric, talk.tools[scene.index])
    if part:
        return part
    near = talk.tools[max(0, scene.index - 3) : scene.index + 1]
    value = size_of(amount)
    if not any(kinds == {"length"} for kinds in near) or value is None:
        return None
    if metric is not False and (metric or value >= 10):
        return "mm"
    told = amount.nominal or amount.upper or amount.lower or Decimal(0)
    places = -int(told.as_tuple().exponent)
    return "in" if metric is False and amount.form == "decimal" and places >= 3 else None


_TURNING = frozenset({"turn", "turns", "turned", "nip", "wind", "tighten", "back", "slacken"})


# Of these a shop speaks in one unit; see the note on common practice below.
_ONE_UNIT = {"voltage": "V", "rotational_speed": "r/min", "frequency": "Hz"}


def _usual_of_part(
    scene: Scene, amount: Amount, metric: bool | None, tools: frozenset[str]
) -> str | None:
    """Return the unit of "two hundredths" and of "an eighth" that nobody tells.

    Hundredths are of a millimetre, eighths and sixteenths of an inch, unless something is
    turned by them; voltage is told in volts, speed in revolutions per minute, and heat in
    the degrees of the other units (common practice, no source).
    """
    if amount.bottom in {100, 1000} and metric is not False:
        return "mm"
    if amount.bottom == 10 and metric and amount.form == "fraction":
        return "mm"
    kinds = kinds_named(characteristic_near(scene, amount)) or kinds_told(scene, amount) or tools
    whole = amount.form in {"whole", "decimal", "range", "both", "mixed"}
    sized = (size_of(amount) or 0) >= _FEW or (kinds == {"length"} and amount.form == "decimal")
    if whole and len(kinds) == 1 and sized:
        kind = next(iter(kinds))
        if kind == "temperature" and metric is not None:
            return "°C" if metric else "°F"
        return "mm" if kind == "length" and metric else _ONE_UNIT.get(kind)
    if amount.form == "fraction" and amount.bottom in {8, 16, 32, 64}:
        return None if scene.words & _TURNING else "in"
    return None


def _compared_kind(scene: Scene, amount: Amount) -> str | None:
    """Return the kind of quantity that "hotter than" or "faster than" compares."""
    words = {token.low for token in scene.tokens[max(0, amount.first - 3) : amount.first]}
    if amount.form in {"whole", "range"} and _takes_time(scene, amount):
        return "time"
    return next((kind for kind, comparing in _COMPARED.items() if words & comparing), None)


def _takes_time(scene: Scene, amount: Amount) -> bool:
    """Whether it "took twenty-seven" or "takes twenty to fill" and nothing is poured."""
    before = scene.tokens[amount.first - 1].low if amount.first else ""
    behind = between(scene.tokens, amount.last, min(amount.last + 2, len(scene.tokens)))
    until = re.fullmatch(r"to [a-z]+|before \w+", behind) and before in {"take", "takes"}
    return before == "took" or (until is not None and bool(until))


def _take(amount: Amount, unit: str, flag: str, why: str) -> None:
    amount.unit = unit
    amount.flags.add(flag)
    amount.why.append(why)
