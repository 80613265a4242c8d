"""Amounts that belong together: an aim with its limits, two one-sided limits, a tolerance."""

from __future__ import annotations

import copy
import re

from author.proposals.quantity_amount import Amount, between
from author.proposals.quantity_context import Scene
from author.proposals.quantity_tolerances import stands_by

_SAME = 10
_AIMS = frozenset(
    {
        "aim",
        "ideally",
        "target",
        "preferably",
        "nominal",
        "ideal",
        "best",
        "for",
        "middle",
        "call",
        "like",
    }
)

# "Ninety-five, and under eighty it's scrap": what is refused later is no limit of the aim.
_REFUSED = frozenset(
    {"under", "over", "below", "beyond", "past", "above", "falls", "anything", "whatever"}
)

_SCRAPPED = re.compile(
    r"(?:is|'s|and it's|it's|means) (?:a )?(?:scrap|junk|garbage|toast|rubbish|done)\b"
)
_SCRAPPED_AT = re.compile(r"\b(?:scrap|bin|replace|change|chuck|toss) (?:it|them|'em|those) at$")


def join_all(scenes: list[Scene]) -> None:
    """Join what belongs together in each sentence and with the one before it."""
    for scene in scenes:
        scene.amounts = _within(scene)
        if scene.index and scene.amounts:
            _with_previous(scenes[scene.index - 1], scene)


def find_refusals(scenes: list[Scene]) -> None:
    """Turn "new it's ten, and two is scrap" and "bin them at two" into limits.

    Which side is refused tells the value that was told before.
    """
    for scene in scenes:
        for place, amount in enumerate(scene.amounts):
            if amount.role not in {"aim", "measured"} or not amount.is_plain():
                continue
            behind = between(scene.tokens, amount.last, min(amount.last + 4, len(scene.tokens)))
            before = between(scene.tokens, max(0, amount.first - 3), amount.first)
            if not (_SCRAPPED.match(behind) or _SCRAPPED_AT.search(before)):
                continue
            near = [*reversed(scene.amounts[:place])]
            near += scenes[scene.index - 1].amounts[::-1] if scene.index else []
            aim = next((one for one in near if one.is_plain() and one.unit == amount.unit), None)
            if aim is None or amount.nominal is None or aim.nominal is None:
                continue
            amount.role, value = "limits", amount.nominal
            amount.lower = value if value < aim.nominal else None
            amount.upper = value if value >= aim.nominal else None
            amount.nominal = None
            amount.flags.add("refused")
            amount.why.append("what is refused is told")


def _within(scene: Scene) -> list[Amount]:
    kept: list[Amount] = []
    for amount in scene.amounts:
        before = kept[-1] if kept else None
        near = before is not None and amount.first - before.last <= _SAME
        if (
            before is not None
            and near
            and (_sides(before, amount) or _limits_aim(scene, before, amount))
        ):
            before.inner, before.last = before.last, amount.last
            continue
        kept.append(amount)
    return kept


def _in_unit(other: Amount, unit: str | None) -> Amount | None:
    """Return an amount in another unit of its kind, or None where it has no exact value."""
    if other.unit == unit:
        return other
    moved = copy.copy(other)
    return moved if unit is not None and moved.moved_to(unit) else None


def _one_sided(amount: Amount) -> bool:
    return amount.role == "limits" and (amount.lower is None) != (amount.upper is None)


def _sides(one: Amount, other: Amount) -> bool:
    """Join "at least ten" with "no more than twelve"."""
    if not (_one_sided(one) and _one_sided(other)):
        return False
    moved = _in_unit(other, one.unit)
    if moved is None:
        return False
    other = moved
    if one.nominal is not None or (one.lower is None) == (other.lower is None):
        return False
    low, high = (one.lower, other.upper) if one.lower is not None else (other.lower, one.upper)
    if low is None or high is None or low >= high:
        return False
    _told(one, other)
    one.flags.discard("carried")
    one.lower, one.upper = low, high
    return True


def _limits_aim(scene: Scene, one: Amount, other: Amount) -> bool:
    """Join a value with the limits that follow it, or limits with the aim that follows."""
    aim, limits = (one, other) if one.role in {"aim", "about"} else (other, one)
    held = _holds(aim, limits)
    if held is None or "refused" in limits.flags:
        return False
    words = {token.low for token in scene.tokens[one.last : other.first]}
    if aim is other and not words & _AIMS:
        return False
    if aim is one and words & {"then", "spec", "book", "manual"}:
        return False
    if aim is one and _one_sided(limits) and _is_new_thought(scene, one, other, words):
        return False
    _told(one, other)
    one.lower, one.nominal, one.upper = held.lower, aim.nominal, held.upper
    one.unit = aim.unit
    one.role, one.form = "limits", "both"
    return True


def _is_new_thought(scene: Scene, one: Amount, other: Amount, words: set[str]) -> bool:
    """Whether a one-sided limit is said of something else than the value before it."""
    if words & {"but", "so", "should", "must", "need", "needs", "has"}:
        return True
    if words & _REFUSED and not words & {"never", "not", "no", "don't", "nothing"}:
        return True
    said = [token.low for token in scene.tokens[one.last : other.first] if token.kind == "word"]
    return "and" in said and said.index("and") > 0 and not words & {"nominal", "never"}


def _holds(aim: Amount, limits: Amount) -> Amount | None:
    """Return limits in the unit of an aim, if they are its own: the aim lies inside them."""
    if aim.role not in {"aim", "about"} or limits.role != "limits" or limits.nominal is not None:
        return None
    if aim.form in {"range", "both"} or aim.nominal is None:
        return None
    held = _in_unit(limits, aim.unit)
    if held is None or (aim.unit is None and aim.form == "whole"):
        return None
    low = held.lower is None or held.lower <= aim.nominal
    return held if low and (held.upper is None or aim.nominal <= held.upper) else None


def _told(one: Amount, other: Amount) -> None:
    carried = {"carried", "carried near", "carried far", "corrected", "doubtful", "rounded"}
    one.flags |= other.flags & carried
    one.flags -= {"about", "article"}
    one.why.extend(why for why in other.why if why not in one.why)


def _with_previous(before: Scene, scene: Scene) -> None:
    if not before.amounts:
        return
    aim, first = before.amounts[-1], scene.amounts[0]
    if first.role == "tolerance" and first.first <= 6 and aim.role in {"aim", "about"}:
        if stands_by(aim, first):
            aim.role = "limits"
            aim.flags.add("carried")
            aim.why.append("the tolerance is said in the sentence that follows")
            scene.amounts.pop(0)
        return
    two_sided = first.lower is not None and first.upper is not None
    held = _holds(aim, first) if two_sided and first.first <= 4 else None
    if len(before.amounts) == 1 and held is not None:
        first.lower, first.nominal, first.upper = held.lower, aim.nominal, held.upper
        first.unit = aim.unit
        first.why.append("the value aimed at is said in the sentence before")
        before.amounts.pop()
