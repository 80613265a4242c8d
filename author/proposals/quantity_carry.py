"""Units that were not said again: carried over from the number or the sentence nearby."""

from __future__ import annotations

import re
from collections.abc import Iterable
from decimal import Decimal
from itertools import pairwise

from author.proposals.number_tokens import Token
from author.proposals.quantity_amount import Amount, between
from author.proposals.quantity_context import (
    Scene,
    characteristic_of,
    is_temperature,
    kinds_named,
    names_value,
)
from author.proposals.quantity_units import DEGREE, VAGUE, kind_of, plain_unit_at
from author.proposals.quantity_vocabulary import (
    TIGHTENS,
)

_REACH = 4
_NEAR = 8
_SHOWN = re.compile(r"\b(?:showing|shows|reading|reads|getting|seeing|got|at|on|now|hit)$")
_COMPARED = {
    "temperature": {"hotter", "cooler", "warmer", "colder"}, "rotational_speed": {"faster",
    "slower"},
    "length": {"deeper", "shallower", "thicker", "thinner", "wider", "narrower"},
    "mass": {"heavier", "lighter"},
}  # fmt: skip
_DEGREES = {"celsius": "°C", "centigrade": "°C", "fahrenheit": "°F"}
_ASKS = re.compile(
    r"(?:\b(?:is|are|be|to|at|get|gets|than|of|then|says|reads|measures|got|exceed|over"
    r"|under|for|and|about|least|most|max|maximum"
    r"|minimum|min|them|it|that's|reading|side|inlet|exhaust|fronts?|rears?|finish|with"
    r"|take|takes|need|needs|want|wants|another|feed|using|same)|'s|'re|,)$"
)


def settle_degrees(scenes: list[Scene]) -> None:
    """Decide degrees of angle and of temperature, and Celsius or Fahrenheit if one is said."""
    said = [
        (scene.index, amount.unit)
        for scene in scenes
        for amount in scene.amounts
        if amount.unit in {"°C", "°F"}
    ]
    near: str | None = None
    near_at = -100
    for scene in scenes:
        for amount in scene.amounts:
            if amount.unit in {"°C", "°F"}:
                near, near_at = "temperature", scene.index
            if amount.unit != DEGREE:
                continue
            before = near if scene.index - near_at <= _REACH else None
            if not is_temperature(scene, before=before):
                amount.unit = "°"
                near, near_at = None, scene.index
                continue
            near, near_at = "temperature", scene.index
            nearest = min(said, key=lambda one: abs(one[0] - scene.index), default=None)
            amount.unit = nearest[1] if nearest else None
            amount.flags.add("temperature")
            if nearest:
                amount.flags.add("carried" if nearest[0] == scene.index else "carried far")
                amount.why.append("Celsius or Fahrenheit is the one said nearby")
            else:
                amount.why.append("nobody says whether Celsius or Fahrenheit")


def carry_units(scenes: list[Scene]) -> None:
    """Give each amount without a unit the one it means; drop those that mean none."""
    used = _used_units(scenes)
    for scene in scenes:
        kept = []
        for place, amount in enumerate(scene.amounts):
            amount.place = place
        for amount in scene.amounts:
            needs = amount.unit is None and amount.form not in {"thread", "size"}
            if (
                needs
                and "temperature" not in amount.flags
                and not _carry(scenes, scene, amount, used)
            ):
                continue
            kept.append(amount)
            _tenths(scenes, scene, amount)
        scene.amounts = kept


def _used_units(scenes: Iterable[Scene]) -> dict[str, set[str]]:
    used: dict[str, set[str]] = {}
    for scene in scenes:
        for amount in scene.amounts:
            kind = kind_of(amount.unit)
            if kind and amount.unit:
                used.setdefault(kind, set()).add(amount.unit)
    return used


def _carry(scenes: list[Scene], scene: Scene, amount: Amount, used: dict[str, set[str]]) -> bool:
    """Carry a unit over, if there is one; return whether the amount is worth keeping."""
    limits = amount.role in {"limits", "tolerance"} or "corrected" in amount.flags
    exact = amount.form in {"decimal", "mixed", "both", "comma"} or amount.bottom > 1
    exact = exact or "exact" in amount.flags
    alone = _is_alone(scene.tokens, amount)
    asked = _is_asked(scene, amount)
    if amount.form == "range" and not exact:
        limits = alone or asked or _follows_unit(scene, amount) or _is_subject(scene, amount)
    if not (limits or exact or asked or alone):
        return False
    compared = _compared_kind(scene, amount)
    found = None if compared else _same_sentence(scene, amount)
    if found:
        _take(amount, found, "carried", "the unit is carried over from the same sentence")
        return True
    named = characteristic_of(scenes, scene, amount)
    kinds = kinds_named(named)
    if compared:
        kinds = {compared}
    elif exact:
        kinds = kinds - {"rotational_speed"}
    elif scene.words & TIGHTENS:
        kinds = {"torque"}
    found = _neighbours(
        scenes, scene, amount, kinds, weak=not (limits or exact or amount.role == "measured")
    )
    if found:
        _take(amount, found, "carried near", "the unit is carried over from a sentence nearby")
        return True
    counts = limits and _number_counts(scene, amount) and named is not None
    if not (exact or counts or (alone and scene.gauge)):
        return amount.role == "aim" and asked and (scene.gauge or "torque" in scene.words)
    if len(kinds) == 1 and len(units := used.get(next(iter(kinds)), set())) == 1:
        unit = next(iter(units))
        _take(amount, unit, "carried far", f"{unit} is the only unit of its kind on this recording")
    return True


def _is_subject(scene: Scene, amount: Amount) -> bool:
    """Whether a sentence says of a range what it is: "Eighteen to twenty is acceptable"."""
    behind = between(scene.tokens, amount.last, min(amount.last + 2, len(scene.tokens)))
    return amount.first <= 2 and behind.startswith(("is ", "are ", "'s", "will "))


def _follows_unit(scene: Scene, amount: Amount) -> bool:
    at = amount.place
    before = scene.amounts[at - 1] if at else None
    return before is not None and before.unit is not None and amount.first - before.last <= 6


def _number_counts(scene: Scene, amount: Amount) -> bool:
    value = amount.nominal or amount.upper or amount.lower or Decimal(0)
    return value != 0 and not (amount.first and scene.tokens[amount.first - 1].low == "the")


def _is_alone(tokens: list[Token], amount: Amount) -> bool:
    """Whether the sentence says the number and nothing else to speak of."""
    if len(tokens) > amount.last - amount.first + 8:
        return False
    words = [token.low for at, token in enumerate(tokens)
             if token.kind != "sign" and not amount.first <= at < amount.last]  # fmt: skip
    return len(words) <= 1 and amount.nominal != 1


def _compared_kind(scene: Scene, amount: Amount) -> str | None:
    """Return the kind of quantity that "hotter than" or "faster than" compares."""
    words = {token.low for token in scene.tokens[max(0, amount.first - 3) : amount.first]}
    for kind, comparing in _COMPARED.items():
        if words & comparing:
            return kind
    return None


def _is_asked(scene: Scene, amount: Amount) -> bool:
    """Whether a bare whole number stands where a value is looked for."""
    before = " ".join(token.low for token in scene.tokens[max(0, amount.first - 3) : amount.first])
    behind = scene.tokens[amount.last].low if amount.last < len(scene.tokens) else ""
    if amount.nominal == 1:
        return False
    shown = amount.role == "measured" and amount.nominal is not None and amount.nominal >= 5
    if shown and _SHOWN.search(before):
        return True
    if _leads_to_unit(scene, amount):
        return True
    if _leads_to_unit(scene, amount):
        return True
    if amount.first and names_value(scene.tokens[amount.first - 1].low) and not behind.isalpha():
        return True
    previous_says = amount.first == 0 and amount.nominal is not None and amount.nominal >= 10
    if previous_says and behind == ",":
        return True
    starts = amount.first == 0 and any(one.unit for one in scene.amounts[:_NEAR])
    return bool(_ASKS.search(before)) or starts


def _leads_to_unit(scene: Scene, amount: Amount) -> bool:
    """Whether it is one of "sixty then one twenty then two ten inch pounds"."""
    at = amount.place
    near = scene.amounts[at : at + _NEAR]
    for one, other in pairwise(near):
        words = between(scene.tokens, one.last, other.first)
        if words not in {
            "then",
            ", then",
            ", and then",
            "and then",
            ",",
            "first , then",
            "first then",
        }:
            return False
        if other.unit is not None:
            return words != "," or kind_of(other.unit) == "torque"
    return False


def _same_sentence(scene: Scene, amount: Amount) -> str | None:
    at = amount.place
    reach = scene.amounts[max(0, at - _NEAR) : at]
    before = [one for one in reach if one.unit and one.unit not in VAGUE]
    after = [
        one for one in scene.amounts[at + 1 : at + _NEAR] if one.unit and one.unit not in VAGUE
    ]
    amount_ahead = before[-1] if before else None
    timeless = [one for one in before if kind_of(one.unit) not in {"time", "ratio"}]
    if kind_of(amount_ahead.unit if amount_ahead else None) == "time" and timeless:
        amount_ahead = timeless[-1]
    value = amount.nominal or amount.upper or amount.lower
    for one in reversed(before):
        other = one.nominal or one.upper or one.lower
        if value and other and 5 * other < 8 * value and 5 * value < 8 * other:
            return one.unit
    if amount_ahead and kind_of(amount_ahead.unit) not in {"time", "turns", "count", "ratio"}:
        return amount_ahead.unit
    if after:
        words = between(scene.tokens, amount.last, after[0].first)
        barred = (
            {"count", "ratio"}
            if _leads_to_unit(scene, amount)
            else {"count", "ratio", "time", "turns"}
        )
        if len(words.split()) <= 14 and kind_of(after[0].unit) not in barred:
            return after[0].unit
    if amount_ahead and kind_of(amount_ahead.unit) != "ratio":
        return amount_ahead.unit
    warm = scene.words & _DEGREES.keys()
    return _DEGREES[next(iter(warm))] if len(warm) == 1 else None


def _neighbours(
    scenes: list[Scene], scene: Scene, amount: Amount, kinds: set[str], *, weak: bool
) -> str | None:
    reach = 2 if weak else _REACH if kinds else 2 * _REACH
    alike = _alike_in_size(scenes, scene, amount, kinds)
    if alike:
        return alike
    exact = amount.form in {"decimal", "mixed", "fraction"} or "exact" in amount.flags
    barred = {None, "time", "count", "ratio"} | ({"rotational_speed"} if exact else set())
    for back in range(1, reach + 1):
        if scene.index - back < 0:
            break
        for one in reversed(scenes[scene.index - back].amounts):
            fits = kind_of(one.unit) in kinds if kinds else kind_of(one.unit) not in barred
            if one.unit and fits and not (one.unit in {"µm", "turn"} and _has_places(amount)):
                return one.unit
    for ahead in (1, 2) if kinds else ():
        for one in scenes[scene.index + ahead].amounts if scene.index + ahead < len(scenes) else ():
            if one.unit and kind_of(one.unit) in kinds:
                return one.unit
    if scene.index + 1 < len(scenes) and not weak:
        following = scenes[scene.index + 1]
        if len(following.tokens) <= 6 and not following.amounts:
            units = [plain_unit_at(following.tokens, at) for at in range(len(following.tokens))]
            named = [unit.symbol for unit in units if unit and unit.symbol not in {*VAGUE, "µm"}]
            if len(named) == 1:
                return named[0]
    return None


def _has_places(amount: Amount) -> bool:
    """Whether a value was said with decimals, which turns and micrometres seldom have."""
    value = amount.nominal or amount.upper or amount.lower
    plain = value is None or value * 8 == (value * 8).to_integral_value()
    return amount.form == "decimal" or not plain


def _alike_in_size(
    scenes: list[Scene], scene: Scene, amount: Amount, kinds: set[str]
) -> str | None:
    """Return the unit of the nearest value before that is about as large."""
    value = amount.nominal or amount.upper or amount.lower
    for back in range((4 if _has_places(amount) else 2) * _REACH):
        if scene.index - back < 0 or not value:
            break
        others = scenes[scene.index - back].amounts
        if not back:
            others = others[max(0, amount.place - _NEAR) : amount.place]
        for one in reversed(others[-_NEAR:]):
            other = one.nominal or one.upper or one.lower
            fits = kind_of(one.unit) in kinds if kinds else kind_of(one.unit) != "count"
            if one.unit in {"µm", "turn"} and _has_places(amount):
                continue
            if one.unit and fits and other and 5 * other < 8 * value and 5 * value < 8 * other:
                return one.unit
    return None


def _take(amount: Amount, unit: str, flag: str, why: str) -> None:
    amount.unit = unit
    amount.flags.add(flag)
    amount.why.append(why)


def _tenths(scenes: list[Scene], scene: Scene, amount: Amount) -> None:
    """Read tenths and hundredths whose unit was not said.

    In millimetres a tenth is 0.1 mm. A machinist who counts in thousandths of an inch calls
    0.0001 in a tenth (common practice, no source).
    """
    carried = amount.flags & {"carried", "carried near", "carried far"}
    value = amount.nominal or amount.upper or amount.lower
    if (
        carried
        and amount.unit == "thou"
        and amount.form == "decimal"
        and value
        and value < Decimal("0.1")
    ):
        amount.unit = "in"
        return
    if amount.bottom != 10 or not carried or amount.unit not in {"thou", "in"}:
        return
    near = scenes[max(0, scene.index - _REACH) : scene.index + 1]
    thou = any(one.unit == "thou" for other in near for one in other.amounts)
    if not thou:
        amount.flags.add("doubtful")
        return
    amount.unit = "thou"
    amount.why.append("a tenth is taken for a tenth of a thousandth, as thousandths are counted")
