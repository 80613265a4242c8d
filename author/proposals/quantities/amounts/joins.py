"""Amounts that belong together: an aim with its limits, two one-sided limits, a tolerance."""

from __future__ import annotations

import copy
import re

from author.checks.verbs import words as listed
from author.proposals.quantities.amounts.accepted import (
    WISHED,
    are_both_taken,
    ends_named,
    is_read,
    is_taken_too,
)
from author.proposals.quantities.amounts.amount import Amount, between
from author.proposals.quantities.amounts.context import Scene
from author.proposals.quantities.amounts.held_against import (
    is_far_apart,
    is_held_against,
    is_read_before,
    of_this,
)
from author.proposals.quantities.amounts.named_by_deeds import are_of_two
from author.proposals.quantities.amounts.restated import is_aside
from author.proposals.quantities.amounts.tolerance_sizes import stands_by
from author.proposals.quantities.amounts.units import kind_of
from author.proposals.quantities.amounts.worn import may_wear_to

_SAME = 10
_PLAIN = frozenset({"aim", "about", "measured"})
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

# Words of many uses, which tell an aim only right before it.
_LOOSE_AIMS = frozenset({"for", "like", "call", "best"})

# "Ninety-five, and under eighty it's scrap": what is refused later is no limit of the aim.
_REFUSED = listed(
    "under over below beyond past above falls anything whatever "
    "more less hotter tighter thinner thicker ; there's"
)


def join_all(scenes: list[Scene]) -> None:
    """Join what belongs together in each sentence and with the one before it."""
    for scene in scenes:
        scene.amounts = _within(scene)
        if scene.index and scene.amounts:
            back = 2 if is_aside(scenes, scene.index - 1) else 1
            part = scene.amounts[0]
            carried = any(flag.startswith("carried") for flag in part.flags)
            if back == 2 and part.role == "tolerance" and carried:
                part.unit = None  # it is of the value, not of what was said aside
            _with_previous(scenes[scene.index - back], scene)


def _within(scene: Scene) -> list[Amount]:
    kept: list[Amount] = []
    for amount in _both_taken(scene):
        before = kept[-1] if kept and "where" not in kept[-1].flags else None
        near = before is not None and amount.first - before.last <= _SAME
        if before is not None and (
            _wears(scene, before, amount)
            or (
                near
                and (
                    _sides(scene, before, amount)
                    or _ends_named(scene, before, amount)
                    or _limits_aim(scene, before, amount)
                )
            )
        ):
            before.inner, before.last = before.last, amount.last
            continue
        timed = before is not None and near and kind_of(before.unit) == "time" and len(kept) > 1
        # "two hundred degrees, twenty minutes, do not go over two fifty"
        if timed and kind_of(amount.unit) != "time" and _limits_aim(scene, kept[-2], amount):
            continue
        kept.append(amount)
    return kept


def _both_taken(scene: Scene) -> list[Amount]:
    """Return the amounts of a sentence, those that are also taken put to what is aimed for."""
    amounts = scene.amounts
    for place, one in enumerate(amounts[:-2]):
        two, three = amounts[place + 1 : place + 3]
        if one.nominal is None or not one.is_plain() or not are_both_taken(scene, one, two, three):
            continue
        sides = [in_unit(other, one.unit) for other in (two, three)]
        ends = sorted(side.nominal for side in sides if side and side.nominal is not None)
        if len(ends) == len(sides) and ends[0] < one.nominal < ends[1]:
            low, high = ends
            one.lower, one.upper, one.role, one.form = low, high, "limits", "both"
            one.inner, one.last = one.last, three.last
            return amounts[: place + 1] + amounts[place + 3 :]
    return amounts


def _wears(scene: Scene, one: Amount, other: Amount) -> bool:
    """Join what a thing was when it was new with how far it may wear."""
    limit = in_unit(other, one.unit) if _one_sided(other) else None
    if limit is None or one.role not in _PLAIN or "beside" in one.flags:
        return False
    if is_far_apart(one, limit) or not may_wear_to(scene, one, limit):
        return False
    _told(one, other)
    end = limit.lower if limit.lower is not None else limit.upper
    if end is not None and one.nominal is not None:
        one.lower, one.upper = (end, None) if end < one.nominal else (None, end)
    one.role, one.form = "limits", "both"
    return True


def _ends_named(scene: Scene, one: Amount, other: Amount) -> bool:
    """Join what is wanted "at the narrowest" with what is wanted "at the widest"."""
    low, moved = one.nominal, in_unit(other, one.unit)
    if one.role not in {"aim", "about"} or low is None or moved is None:
        return False
    high = moved.nominal or moved.lower or moved.upper
    if high is None or high <= low or not ends_named(scene, one, other):
        return False
    _told(one, other)
    one.lower, one.nominal, one.upper = low, None, high
    one.role, one.form = "limits", "both"
    return True


def in_unit(other: Amount, unit: str | None) -> Amount | None:
    """Return an amount in another unit of its kind, or None where it has no exact value.

    Args:
        other: the amount, which is left as it is.
        unit: that unit.
    """
    if other.unit == unit:
        return other
    if other.unit is None and "temperature" in other.flags:
        return None
    moved = copy.copy(other)
    return moved if unit is not None and moved.moved_to(unit) else None


def _one_sided(amount: Amount) -> bool:
    return amount.role == "limits" and (amount.lower is None) != (amount.upper is None)


def _sides(scene: Scene, one: Amount, other: Amount) -> bool:
    """Join "at least ten" with "no more than twelve"."""
    if not (_one_sided(one) and _one_sided(other)) or of_this(scene, one, other):
        return False
    moved = in_unit(other, one.unit)
    if moved is None:
        return False
    other = moved
    if (one.lower is None) == (other.lower is None) or other.nominal is not None:
        return False
    if one.nominal is not None and one.form != "both":
        return False
    low, high = (one.lower, other.upper) if one.lower is not None else (other.lower, one.upper)
    if low is None or high is None or low >= high:
        return False
    _told(one, other)
    one.flags.discard("carried")
    one.lower, one.upper = low, high
    if one.nominal is not None and not low <= one.nominal <= high:
        one.nominal = None
    return True


# "Two hundred and twenty, and not over two fifty", "thirty, thirty-five max"
_CAPPED = re.compile(
    r"(?: ?(?:on|in|of|from|at|under|across|between) (?:the |a |my |that )?[a-z]+(?: [a-z]+)?)?"
    r" ?,? ?(?:and |but )?(?:not|never|no|max(?:imum)?|min(?:imum)?|at (?:most|least))\b[a-z ]*"
)
_CAPPED_BEHIND = re.compile(
    r",? ?(?:[a-z]+ )?(?:max(?:imum)?|min(?:imum)?|tops"
    r"|at the (?:very )?(?:most|least|outside|worst)"
    r"|(?:is|'s) (?:the |your )?(?:very |absolute )?(?:most|least|end|limit|ceiling"
    r"|max(?:imum)?))\b"
)


def _is_capped(scene: Scene, one: Amount, other: Amount) -> bool:
    """Whether a value told with no word at all has its limit right behind it.

    An instrument at hand makes a reading of it, but nobody puts a limit to a reading that way.
    """
    words = between(scene.tokens, one.last, other.first)
    behind = between(scene.tokens, other.last, min(other.last + 5, len(scene.tokens)))
    beside = _BESIDE.fullmatch(words) and _CAPPED_BEHIND.match(behind)
    return bool(_CAPPED.fullmatch(words) or beside)


def _is_good_about(scene: Scene, one: Amount, other: Amount) -> bool:
    """Whether a range is good about a value: "2.5 bar at the gauge, two to three is fine"."""
    words = between(scene.tokens, one.last, other.first)
    behind = between(scene.tokens, other.last, min(other.last + 5, len(scene.tokens)))
    return bool(_BESIDE.fullmatch(words) and _GOOD.match(behind))


_GOOD = re.compile(r"(?:is|'s|are|would be) (?:all )?(?:good|fine|ok|okay|alright|right)\b")
_BESIDE = re.compile(
    r"(?: ?(?:on|in|of|from|at|under|across|between) (?:the |a |my |that )?[a-z]+(?: [a-z]+)?)? ?,?"
)


def _limits_aim(scene: Scene, one: Amount, other: Amount) -> bool:
    """Join a value with the limits that follow it, or limits with the aim that follows."""
    shown = one.role == "measured" and (
        _is_capped(scene, one, other) or _is_good_about(scene, one, other)
    )
    shown = shown and (
        "bare" in one.flags or (not is_read(scene, one) and "beside" not in one.flags)
    )
    aim, limits = (one, other) if one.role in {"aim", "about"} or shown else (other, one)
    held = _holds(aim, limits, shown=shown)
    if held is None or "refused" in limits.flags:
        return False
    words = {token.low for token in scene.tokens[one.last : other.first]}
    ahead = {token.low for token in scene.tokens[max(0, aim.first - 6) : aim.first]}
    denied = words & {"wouldn't", "won't", "don't", "never"}  # "I wouldn't run anything under"
    asked = ahead & WISHED or "but" in words or denied
    loose = words & {"anything", "anywhere"} and not asked
    if aim is one and loose and _one_sided(limits):
        return False  # "thirty-seven amps, and anything from thirty-six up is healthy"
    if aim is one and not _one_sided(limits) and is_held_against(scene, one, other):
        one.role = "measured"
        return False
    behind = between(scene.tokens, other.last, min(other.last + 5, len(scene.tokens)))
    if aim is one and (_is_of_another(words, ahead, behind) or are_of_two(scene, one, other)):
        return False
    chosen = _CHOSEN.search(between(scene.tokens, one.last, other.first))
    close = {token.low for token in scene.tokens[max(one.last, other.first - 3) : other.first]}
    seen = words & {"we're", "i'm", "i've", "we've", "mine's", "ours", "it's"}
    aimed = (close & _AIMS and not (seen and "call" in close)) or words & _AIMS - _LOOSE_AIMS
    if aim is other and not aimed and not chosen and not _IDEAL.match(behind):
        return False
    taken = words & {"up", "down"} and is_taken_too(scene, one, other)
    if (
        aim is one
        and _one_sided(limits)
        and not taken
        and _is_new_thought(scene, one, other, words)
    ):
        return False
    if aim is one and aim.nominal in {held.lower, held.upper}:
        # "25 newton metres in a cross, 25 and no more": said with its unit the first time.
        other.flags -= _CARRIED
    _told(one, other)
    again = words & {"that's", "thats"} and aim.nominal in {held.lower, held.upper}
    nominal = None if again else aim.nominal
    one.lower, one.nominal, one.upper = held.lower, nominal, held.upper
    one.unit = aim.unit
    one.role, one.form = "limits", "both"
    return True


def _is_of_another(words: set[str], ahead: set[str], behind: str) -> bool:
    """Whether limits are told of something else than the value before them, or against it.

    "The current is one point eight, one point seven to two is normal."
    """
    if words & (_ANOTHER_VALUE | _OTHER_VOICE):
        return True
    return _NORMAL.match(behind) is not None and not ahead & WISHED


_CARRIED = frozenset({"carried", "carried near", "carried far"})
# What a reading is held against is no limit of a value to aim at: "the plate says max two".
_OTHER_VOICE = frozenset({"then", "spec", "book", "manual", "plate", "nameplate", "normal",
                          "normally", "allowed", "permitted"})  # fmt: skip
_NORMAL = re.compile(r"(?:is|'s|are|would be) (?:normal|allowed|permitted|usual|typical)\b")
# "eight to twelve hundredths, nought point one's spot on"
_IDEAL = re.compile(
    r"(?:is|'s|would be|'d be|being),? (?:the sweet spot|dead on|just the ticket|the target"
    r"|the aim|my"
    r" favou?rite|spot on|bang on|ideal|perfect|best|lovely|the one|just right"
    r"|about right|where (?:you|we|i) (?:want|like)|what (?:you|we|i|they) (?:want|like|aim))"
)
# "six to eight newton metres, I go seven"
_CHOSEN = re.compile(r"\b(?:i|we)(?:'d|'ll)? (?:always |usually |normally )?(?:go|use|do|run|set"
                     r"|take|pick|say)"
                     r"(?: (?:it|them|'em|for|with|to|at|about))*$")  # fmt: skip

# "One fifty-five, alarm's one eighty", "three fifty's enough, four hundred's the ceiling"
_ANOTHER_VALUE = frozenset({"alarm", "alarm's", "trip", "trip's", "shutdown", "enough", "plenty"})


_NO_REFUSAL = listed(
    "never not no don't wouldn't won't nothing nowhere stay stays staying keep keeps keeping kept"
)
_DENYING = frozenset({"never", "not", "no", "nothing", "nowhere", "don't"})


_NOT_WANTED = listed("don't never not no nominal")


def _is_new_thought(scene: Scene, one: Amount, other: Amount, words: set[str]) -> bool:
    """Whether a one-sided limit is said of something else than the value before it."""
    wanted = words & {"want", "wants", "spec"} and not words & _NOT_WANTED
    if wanted or words & {"but", "so", "should", "must", "need", "needs", "has"}:
        return True
    between_them = [token.low for token in scene.tokens[one.last : other.first]]
    told = words
    if "," in between_them[1:]:  # "two thou over, three at the very most"
        last = between_them[between_them.index(",", 1) :]
        told = set(last)
        if last[1:2] == ["and"] and set(last[2:3]) & _DENYING:
            return False  # "fifteen grams on the balance, and no more than twenty"
    refused = told & _REFUSED
    if refused == {"more"} and "more than" not in between(scene.tokens, one.last, other.first):
        refused = set()  # "half a turn more, three quarters tops"
    if refused and not told & _NO_REFUSAL:
        return True
    said = [token.low for token in scene.tokens[one.last : other.first] if token.kind == "word"]
    return "and" in said and said.index("and") > 0 and not words & {"nominal", "never"}


def _holds(aim: Amount, limits: Amount, *, shown: bool = False) -> Amount | None:
    """Return limits in the unit of an aim, if they are its own: the aim lies inside them."""
    told = aim.role in {"aim", "about"} or "bare" in aim.flags
    if not (told or shown) or limits.role != "limits" or limits.nominal is not None:
        return None
    if aim.form in {"range", "both"} or aim.nominal is None:
        return None
    held = in_unit(limits, aim.unit)
    if held is None or (aim.unit is None and aim.form == "whole"):
        return None
    if _one_sided(held) and is_far_apart(aim, held):
        return None
    low = held.lower is None or held.lower <= aim.nominal
    return held if low and (held.upper is None or aim.nominal <= held.upper) else None


def _told(one: Amount, other: Amount) -> None:
    one.flags |= other.flags & (_CARRIED | {"corrected", "doubtful", "rounded"})
    one.flags -= {"about", "article"}
    one.why.extend(why for why in other.why if why not in one.why)


# Where no signs are written a sentence can end before its limit: "eighty degrees and they
# reckon", "never over a hundred and ten".
_NEVER = re.compile(
    r"(?:and |but )?(?:never|no|not|don't go|do not go) (?:ever )?(?:any )?"
    r"(?:over|above|past|more than|under|below|less than)$"
)
_CUT_OFF = frozenset({"and", "but", "or", "they", "reckon", "say", "says", "definitely"})


def _with_previous(before: Scene, scene: Scene) -> None:
    if not before.amounts or "where" in before.amounts[-1].flags:
        return
    aim, first = before.amounts[-1], scene.amounts[0]
    if first.role == "tolerance" and first.first <= 6 and aim.role in {"aim", "about"}:
        if stands_by(aim, first):
            aim.role = "limits"
            aim.flags.add("carried")
            aim.why.append("the tolerance is said in the sentence that follows")
            scene.amounts.pop(0)
        return
    cut = before.tokens[-1].low in _CUT_OFF and "bare" not in aim.flags
    if cut and _NEVER.match(between(scene.tokens, 0, first.first)) and _one_sided(first):
        held = _holds(aim, first)
        if held is not None and first.nominal is None:
            first.lower, first.nominal, first.upper = held.lower, aim.nominal, held.upper
            first.unit = aim.unit
            first.why.append("the value aimed at is said in the sentence before")
            before.amounts.pop()
        return
    two_sided = first.lower is not None and first.upper is not None
    if two_sided and is_read_before(before, aim, scene, first):
        aim.role = "measured"
    opens = two_sided and first.first <= 4 and "bare" not in aim.flags
    held = _holds(aim, first) if opens else None
    if len(before.amounts) == 1 and held is not None:
        first.lower, first.nominal, first.upper = held.lower, aim.nominal, held.upper
        first.unit = aim.unit
        first.why.append("the value aimed at is said in the sentence before")
        before.amounts.pop()
