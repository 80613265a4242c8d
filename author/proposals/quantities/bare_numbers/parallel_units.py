"""Units that the form of a sentence tells: "a thousand for twenty, two thousand for forty"."""

from __future__ import annotations

import re

from author.proposals.quantities.amounts.amount import Amount, between
from author.proposals.quantities.amounts.context import Scene
from author.proposals.quantities.amounts.tightening import is_tightened, stands_alone
from author.proposals.quantities.amounts.units import kind_of
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
    told = _time_again(scene, amount) or _of_thread(talk, scene, amount)
    return told or _of_fasteners(talk, scene, amount) or _of_gauge(talk, scene, amount)


def _time_again(scene: Scene, amount: Amount) -> tuple[str, int] | None:
    if not _behind_for(scene, amount) or not _ends(scene, amount):
        return None
    for one in reversed(scene.amounts[: amount.place]):
        if kind_of(one.unit) == "time" and one.unit and _behind_for(scene, one):
            return one.unit, 0
    return None


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
    # Before any torque is told a number behind a nut is the size of its head.
    alone = told is not None and told[1] is not None and stands_alone(scene.tokens, amount)
    if not alone and not is_tightened(scene.tokens, amount):
        return None
    value = size_of(amount)
    values = talk.units.get("torque", {}).get(told[0], ()) if told else ()
    if told is None or value is None or not values:
        return None
    near = min(values) / _ALIKE <= value <= max(values) * _ALIKE
    return told if near else None


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
