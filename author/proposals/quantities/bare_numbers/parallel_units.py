"""Units that the form of a sentence tells: "a thousand for twenty, two thousand for forty"."""

from __future__ import annotations

import re
from itertools import pairwise

from author.proposals.quantities.amounts.amount import Amount, between
from author.proposals.quantities.amounts.context import Scene
from author.proposals.quantities.amounts.ranges import WENT_FROM
from author.proposals.quantities.amounts.tightening import (
    is_done_to,
    is_tightened,
    stands_alone,
)
from author.proposals.quantities.amounts.units import kind_of
from author.proposals.quantities.amounts.vocabulary import FASTENERS
from author.proposals.quantities.bare_numbers.topic import Talk, size_of

_TO_TORQUE = re.compile(
    r"(?:'?s)? ?(?:(?:flange |socket |cap |hex )?(?:bolts?|screws?|nuts?|studs?|ones|heads?))? ?,?"
    r" ?(?:(?:all|both|each|then) )?(?:(?:are|is|go|goes|going|done|get|gets|torqued|tightened|up"
    r"|home|take|takes|want|wants) ?)*(?:at|to|get|gets|take|takes|want|wants|:)?"
)
_NO_TORQUE = re.compile(
    r"(?:long|deep|apart|thick|wide|across|high|tall|centres|centers|of|off|in total|each side"
    r"|threads?|places|holes|o'clock|by|x)\b"
)
_LED = frozenset({"at", "to", "get", "gets", "take", "takes", "want", "wants", ":"})


def unit_by_form(talk: Talk, scene: Scene, amount: Amount) -> tuple[str, int | None] | None:
    """Return the unit a bare number has by the form of its sentence, and how far away it was told.

    Behind "for" it is the time that "for" told before in the sentence; behind a thread and "at"
    or "to" it is a torque (common practice, no source).

    Args:
        talk: the recording.
        scene: the sentence.
        amount: one of its amounts.
    """
    beside = _time_again(scene, amount) or _in_a_list(scene, amount) or _bounds(scene, amount)
    before = _turned_after(talk, scene, amount) or _fall_of_what_is_held(talk, scene, amount)
    told = beside or before or _of_thread(talk, scene, amount)
    return told or _of_fasteners(talk, scene, amount) or _of_gauge(talk, scene, amount)


def _bounds(scene: Scene, amount: Amount) -> tuple[str, int] | None:
    """Return the unit of what a limit is told of: "thirty newtons, where the limit is forty"."""
    before = scene.amounts[amount.place - 1] if amount.place else None
    if before is None or not before.unit or not _ends(scene, amount):
        return None
    words = between(scene.tokens, before.last, amount.first)
    return (before.unit, 0) if _WHERE_LIMIT.fullmatch(words) else None


_WHERE_LIMIT = re.compile(
    r",? ?where (?:(?:the |its |their |my )?(?:limit|most|maximum|max|least|minimum|book|spec)"
    r"(?: limit)?(?:'s| is| says| allows| gives)|(?:i|we|they|you)(?:'d|'ll)?(?: would| will)?"
    r"(?: still)? (?:pass|allow|accept|stop|bin|scrap|take|want|like|live with)(?: it)?)"
    r" ?(?:at|up to|down to|to|under|over|anything (?:up to|under|over)|no more than)?"
)


def _time_again(scene: Scene, amount: Amount) -> tuple[str, int] | None:
    if not _behind_for(scene, amount) or not _ends(scene, amount):
        return None
    for one in reversed(scene.amounts[: amount.place]):
        if kind_of(one.unit) == "time" and one.unit and _behind_for(scene, one):
            return one.unit, 0
    return None


_LISTED = frozenset({",", "and", ", and"})


def _in_a_list(scene: Scene, amount: Amount) -> tuple[str, int] | None:
    """Return the unit told behind the last of some readings: "3.4, 3.4, 3.5 ohms"."""
    last = amount
    after = scene.amounts[amount.place + 1 : amount.place + 2]
    if after and kind_of(after[0].unit) and _went_from(scene, amount, after[0]):
        return (after[0].unit, 0) if after[0].unit else None
    for one in scene.amounts[amount.place + 1 :]:
        alike = one.form == last.form == "decimal" and one.is_plain()
        if not alike or between(scene.tokens, last.last, one.first) not in _LISTED:
            return None
        small, large = sorted((amount.nominal or 0, one.nominal or 0))
        if not 0 < large <= small * _AS_LARGE:
            return None
        if one.unit:
            return (one.unit, 0) if kind_of(one.unit) else None
        last = one
    return None


_AS_LARGE = 2


def _went_from(scene: Scene, amount: Amount, other: Amount) -> bool:
    """Whether it is the first of "it went from seven to six point nine five bar"."""
    words = between(scene.tokens, amount.last, other.first)
    return falls_from(scene, amount) and words in {"to", "up to", "down to", ", to"}


def falls_from(scene: Scene, amount: Amount) -> bool:
    """Whether a reading went from there, or by that: "ours went from seven", "two, it fell two"."""
    ahead = between(scene.tokens, max(0, amount.first - 4), amount.first)
    return bool(WENT_FROM.search(ahead) or _FELL_BY.search(ahead))


_FELL_BY = re.compile(
    r"\b(?:it|she|he|that)(?:'s)? (?:dropped|lost|fell|fallen|rose|gained|moved)$"
)


def _turned_after(talk: Talk, scene: Scene, amount: Amount) -> tuple[str, int] | None:
    """Return the unit of a value of "forty plus sixty": a torque and an angle told so before."""
    at = amount.place
    behind = at > 0 and _are_added(scene, scene.amounts[at - 1], amount)
    if not behind and not (
        at + 1 < len(scene.amounts) and _are_added(scene, amount, scene.amounts[at + 1])
    ):
        return None
    for far in range(min(_BACK, scene.index) + 1):
        earlier = talk.scenes[scene.index - far]
        for one, other in pairwise(earlier.amounts[: None if far else at]):
            both = kind_of(one.unit) == "torque" and kind_of(other.unit) in _TURNING
            if both and _are_added(earlier, one, other):
                unit = other.unit if behind else one.unit
                return (unit, far) if unit else None
    return None


def _are_added(scene: Scene, one: Amount, other: Amount) -> bool:
    return between(scene.tokens, one.last, other.first) == "plus"


_BACK, _TURNING = 4, frozenset({"angle", "turns"})
_FALLS = re.compile(
    r"\b(?:drops?|dropped|loses?|lost|loss|falls?|fallen|leaks?|bleeds?)\b(?! (?:in|it|the))"
)
_FALL_BEHIND = re.compile(r"(?:of )?(?:a )?(?:drop|loss|fall)\b")
_HELD = frozenset({"pressure"})


def _fall_of_what_is_held(talk: Talk, scene: Scene, amount: Amount) -> tuple[str, int] | None:
    """Return the unit of a pressure that is held for a time and may fall by so much."""
    ahead = between(scene.tokens, max(0, amount.first - 7), amount.first)
    behind = between(scene.tokens, amount.last, min(amount.last + 3, len(scene.tokens)))
    if not amount.is_plain() and amount.role != "limits":
        return None
    if not (_FALLS.search(ahead) or _FALL_BEHIND.match(behind)):
        return None
    if any(one.nominal == amount.nominal for one in scene.amounts[: amount.place]):
        return None  # "two, it dropped two"
    timed = False
    for far in range(min(_NEXT, scene.index) + 1):
        some = talk.scenes[scene.index - far].amounts
        for one in reversed(some if far else some[: amount.place]):
            kind = kind_of(one.unit)
            if kind == "time":
                timed = True
            elif kind is not None:
                held = timed and kind in _HELD and one.unit
                return (one.unit, far) if held and one.unit else None
    return None


_NEXT = 1


def _behind_for(scene: Scene, amount: Amount) -> bool:
    return amount.first > 0 and scene.tokens[amount.first - 1].low == "for"


_ON = frozenset({"and", "then", "so", "before"})


def _ends(scene: Scene, amount: Amount) -> bool:
    """Whether nothing is counted by it: what follows is a sign or a new thought."""
    after = scene.tokens[amount.last] if amount.last < len(scene.tokens) else None
    return after is None or not after.low[:1].isalpha() or after.low in _ON


def _of_thread(talk: Talk, scene: Scene, amount: Amount) -> tuple[str, int | None] | None:
    before = scene.amounts[amount.place - 1] if amount.place else None
    if before is None or before.form != "thread" or amount.form not in {"whole", "mixed", "range"}:
        return None
    words = between(scene.tokens, before.last, amount.first)
    behind = between(scene.tokens, amount.last, min(amount.last + 2, len(scene.tokens)))
    led = amount.first > 0 and scene.tokens[amount.first - 1].low in _LED
    if not led or not _TO_TORQUE.fullmatch(words) or _NO_TORQUE.match(behind):
        return None
    if not _ends(scene, amount):
        return None
    return _torque_told(talk, scene) or (("N·m", None) if talk.metric else None)


def _torque_told(talk: Talk, scene: Scene) -> tuple[str, int | None] | None:
    """Return the unit of torque told last, and how far away; else one that is told later."""
    for far in range(scene.index + 1):
        for said in reversed(talk.said[scene.index - far]):
            if said.kind == "torque":
                return said.unit, far
    told = talk.units.get("torque")
    return (next(iter(told)), None) if told else None


_ALIKE = 12


def _of_fasteners(talk: Talk, scene: Scene, amount: Amount) -> tuple[str, int | None] | None:
    """Return the unit of torque where fasteners are tightened to a value like those told."""
    told = _torque_told(talk, scene)
    if _is_done_up_to(scene, amount):
        # Where no torque was told, only who knows it can say in what.
        return told or (("N·m", None) if talk.metric else ("", None))
    # Before any torque is told a number behind a nut is the size of its head.
    alone = told is not None and told[1] is not None and stands_alone(scene.tokens, amount)
    if not (alone or is_tightened(scene.tokens, amount) or is_done_to(scene.tokens, amount)):
        return None
    value = size_of(amount)
    values = talk.units.get("torque", {}).get(told[0], ()) if told else ()
    if told is None or value is None or not values:
        return None
    near = min(values) / _ALIKE <= value <= max(values) * _ALIKE
    return told if near else None


def _is_done_up_to(scene: Scene, amount: Amount) -> bool:
    """Whether it is what fasteners are tightened to: "idler bolt to eighty"."""
    words = [token.low for token in scene.tokens[max(0, amount.first - 4) : amount.first]]
    if words[-1:] != ["to"] or amount.form not in {"whole", "mixed", "range"}:
        return False
    name = words[:-1]
    while name and name[-1] in _GOING:
        name.pop()
    return bool(name) and name[-1] in FASTENERS and _ends(scene, amount)


_GOING = frozenset({"go", "goes", "going", "up", "all", "done", "torqued", "tightened", "back"})

# "Wait till the gauge drops to zero": before the first pressure is told.
_AT_NOUGHT = re.compile(r"\b(?:reads?|reading|shows?|showing|says|at|on|to|is|be)$")
_GAUGE = frozenset({"gauge", "gauges", "pressure"})
_OTHER_GAUGES = frozenset({"dial", "clock", "depth", "feeler", "block", "indicator", "bore",
                           "height", "micrometer"})  # fmt: skip


def _of_gauge(talk: Talk, scene: Scene, amount: Amount) -> tuple[str, int | None] | None:
    """Return the unit of pressure the recording tells where a gauge is to be at nought."""
    ahead = between(scene.tokens, max(0, amount.first - 3), amount.first)
    units = talk.units.get("pressure", {})
    if amount.nominal != 0 or not amount.is_plain() or not scene.words & _GAUGE:
        return None
    if scene.words & _OTHER_GAUGES:
        return None
    one = len(units) == 1 and _AT_NOUGHT.search(ahead) and _ends(scene, amount)
    return (next(iter(units)), None) if one else None
