"""What a machine is, does or weighs anyway: "it washes at sixty", "each fork weighs forty kilos".

Nobody sets it and nothing is judged by it, so it is told for information; and so is where something
is measured: "the runout, ten millimetres in from the edge".
"""

from __future__ import annotations

import re

from author.proposals.quantities.amounts.amount import Amount, between
from author.proposals.quantities.amounts.context import Scene
from author.proposals.quantities.amounts.cues import ASKING, UNTIL, WANTED
from author.proposals.quantities.amounts.named_by_deeds import around, tells_how_far
from author.proposals.quantities.amounts.units import POUND, kind_of
from author.proposals.quantities.roles.capped import without_asides

_SOFT = (
    r"(?: (?:about|around|over|up to|nearly|roughly|only|just|some|like|a|an|the|say|at|in|what|oh"
    r"|well))*$"
)
# "It washes at sixty", "the pump normally works at six bar"
_DOES = re.compile(
    r"\b(?P<verb>wash|rins|work|operat|boil|melt|brew|bak|cook|burn|spin|spins|rotat|revolv|travel"
    r"|mov|turn|fl(?:y|ie)|blow|rush|run)(?:e?s)(?: (?:away|along|round|around|out|normally|"
    r"usually|anyway))? (?:at|on)" + _SOFT
    + r"|\b(?P<out>comes? out|goes (?:round|through)) at" + _SOFT
)  # fmt: skip
# "The water can be at 75 degrees", "the pipe can still reach 200 degrees"
_CAN_BE = re.compile(
    r"\b(?:can|could|may|might)(?: (?:still|easily|well|also|even))* (?:be|reach|get|hit|have)"
    r"(?: (?:at|to|as hot as|still))*" + _SOFT
)
_WEIGHS = re.compile(r"\b(?:weighs(?: (?:in|right))?|(?:they|each|[a-z]+s) weigh)" + _SOFT)
_IT_IS = re.compile(
    r"(?:^|[ ,])(?:it|she|he|they|that thing|this thing|each one|each|one of them|the whole thing)"
    r"(?:'s|'re| is| are)(?: (?:easily|well|probably|good))?" + _SOFT
)
# "The pump runs at six bar": nobody pumps anything.
_NOUNS = re.compile(r"\b(?:the|this|that|our|your)(?: [a-z]+)? (?:pump|press|drill|manual)\b")
# "There's seven bar behind that", "the water in there's sixty degrees"
_THERE_IS = re.compile(
    r"\bthere(?:'s| is| are| was| (?:could|can|may|might)(?: still)? be)(?: got)?" + _SOFT
)
_ENERGY = frozenset({"voltage", "pressure", "temperature", "energy", "charge"})
_CAN_REACH = _ENERGY | {"angle"}
_IN_THERE = re.compile(
    r"(?:of (?:air|steam|oil|gas) )?(?:(?:still )?(?:sitting|waiting|trapped|left|stored) )?"
    r"(?:in|inside|behind|on|at|across|under|over|underneath|to|with|open|and (?:it|you))\b"
)
_OF_WEIGHT = frozenset({"kg", "t", "lb", POUND})
_RUNS = frozenset({"rotational_speed", "temperature", "pressure", "speed", "voltage", "frequency",
                   "volume_flow", "level"})  # fmt: skip
_SHOULD = re.compile(
    r"\b(?:so(?: that)?|till|until|where|sure|check|see|watch) (?:that )?"
    r"(?:it|they|she|he|the [a-z]+) [a-z]+ "
)
# "It runs at six bar now", "it runs at 42, I've got the probe on it": that was read off.
_READ_NOW = re.compile(r",? ?(?:now\b|here\b|at the moment|on (?:the|my|this) )")


def take_background(scenes: list[Scene]) -> None:
    """Let values be for information that only tell what a machine is or does anyway.

    Args:
        scenes: sentences whose amounts have their roles and units.
    """
    for scene in scenes:
        gauge = any(one.gauge for one in scenes[max(0, scene.index - 1) : scene.index + 1])
        begin = 0
        for amount in scene.amounts:
            told = without_asides(
                between(scene.tokens, max(begin, amount.first - 12), amount.first)
            )
            clause = _ENDS.split(told)[-1]
            begin = amount.last
            if amount.role not in {"aim", "measured"} or not amount.is_plain():
                continue
            behind = between(scene.tokens, begin, min(begin + 9, len(scene.tokens)))
            if _is_background(amount, clause, behind, gauge=gauge):
                amount.role = "about"
                amount.why.append("it is told of what the machine is or does anyway")
            elif kind_of(amount.unit) == "length" and tells_how_far(*around(scene, amount)):
                amount.role = "about"
                amount.flags.add("where")
                amount.why.append("it tells where something is measured")


_ENDS = re.compile(r"[.;!?]")


def _is_background(amount: Amount, clause: str, behind: str, *, gauge: bool) -> bool:
    clause = _NOUNS.sub("it", clause)
    if WANTED.search(clause) or UNTIL.search(clause) or ASKING.search(clause):
        return False
    if _SHOULD.search(clause):
        return False
    if amount.unit in _OF_WEIGHT:
        bare = _IT_IS.search(clause) and not (amount.single or behind.startswith("of "))
        return bool(_WEIGHS.search(clause) or bare) and not gauge
    kind = "temperature" if "temperature" in amount.flags else kind_of(amount.unit)
    if kind in _ENERGY and not gauge and _THERE_IS.search(clause):
        return behind.startswith((".", ",")) or _IN_THERE.match(behind) is not None
    if kind in _CAN_REACH and not gauge and _CAN_BE.search(clause):
        return True
    found = None if gauge else _DOES.search(clause)
    if found is None or kind not in _RUNS or (amount.role == "measured" and not found["verb"]):
        return False
    exact = found["verb"] == "run" and _is_exact(amount)
    return not (exact or _READ_NOW.match(behind))


def _is_exact(amount: Amount) -> bool:
    """Whether a value is too exact to be told by heart: 984, 1.37; 1450 and six are not."""
    digits = amount.nominal.normalize().as_tuple().digits if amount.nominal else ()
    return len(digits) > _BY_HEART and digits[-1] != _HALF


_BY_HEART, _HALF = 2, 5
