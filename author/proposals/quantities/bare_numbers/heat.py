"""Whether degrees are of temperature or of an angle."""

from __future__ import annotations

import re

from author.proposals.quantities.amounts.amount import Amount, between
from author.proposals.quantities.amounts.context import Scene
from author.proposals.quantities.amounts.units import kind_of
from author.proposals.quantities.amounts.vocabulary import ANGLES, FASTENERS, HOT, WARM

# Said of degrees these leave no doubt; nothing on a job is turned further than half a turn
# in degrees.
_TURNED = frozenset({"turn", "rotate", "tdc", "btdc", "clockwise", "another", "torque"})
_MOST_TURNED, _HUNDRED = 180, 100
_SHOWS_HEAT = frozenset({"thermometer", "thermocouple", "temperature", "temperatures", "temp"})
# Words that tell of turning, where something warm is named as well.
_TURNED_TO = _TURNED | {"turned", "angle", "advance", "timing", "chamfer", "bevel", "bevelled",
                        "tilt", "anticlockwise", "counterclockwise", "protractor", "apart",
                        "swing", "bend", "lean"}  # fmt: skip
_ANGLED = re.compile(
    r"(?:to|off|from|out of) (?:the |its |a |that )?(?:table|horizontal|vertical|axis|shaft|bed"
    r"|other|centre|center|line|plumb|level|edge|face|square|each|flat|bench|straight)\b"
    r"|(?:apart|either way|round|around|away)\b"
)
# What gets to so many degrees gets warm.
_WARMED = re.compile(
    r"\b(?:got|gets?|hits?|settles?|settled|reach(?:es|ed)?|runs?|running|ran|sits?|sat|sitting|stays?|peaked)"
    r"(?: up)?(?: to| at| on)?(?: about| around)?$"
    r"|\b(?:goes?|gets?|went|going|climbs|climbed)(?: up)? (?:above|over)$"
    # "Wait until it is under forty degrees".
    r"|\b(?:wait|leave|let)\b.{0,24}\b(?:under|below|down to|less than)$"
)
# "If the lid gets over sixty degrees open".
_IS_OPEN = re.compile(r"(?:open|shut|closed|round|off (?:the|its))\b")
_HINGED = frozenset({"lid", "door", "flap", "gate", "boom", "hinge"})
_STATS = frozenset({"thermostat", "thermostats", "stat", "stats"})
_ROUND = frozenset({"clockwise", "anticlockwise", "counterclockwise", "another", "further", "past"})
_SET_TO = re.compile(r"\b(?:to|at|on)(?: (?:about|around|say|the))?$")
# "Set it back to 75": of a stat named just before.
_SET_AGAIN = re.compile(
    r"\b(?:set|put|turn|turned|wind|dial|knock|back|leave|reset|lower|raise|take|bring)\b"
)
# A switch that heat works: "it trips at 95 degrees", "the high limit is 95 degrees".
_SWITCHED = re.compile(
    r"\b(?:(?:trip|cut|click|kick|switch|reset|drop|come)(?:s|ped|ed|es)?"
    r"(?: (?:in|out|on|off|over))? at"
    r"|(?:high|hi|overheat|safety) limit(?: stat)?(?: is| at| to| of|'s)*)"
    r"(?: (?:about|around|a|an))*$"
)
# "The front bearing shouldn't go over seventy degrees"
_KEPT_COOL = re.compile(
    r"\b(?:should ?n[o']t|must ?n[o']t|won't|doesn't|never|not|can't|cannot) "
    r"(?:go|get|be|run|climb|come)(?: up)? (?:over|above|past|beyond|more than|any more than)$"
)
_COOLED = re.compile(
    r"\b(?:until|till|til)\b(?: [a-z']+){1,6}? (?:below|under|down to|less than|cooler than)$"
)
_LIFTED = frozenset({"lower", "lowered", "raise", "raised", "lift", "tip", "tipped"})
# "After one hour it was sixty-eight degrees" tells no angle.
_OF_TIMES, _LONG = frozenset({"after", "before", "past"}), frozenset({"min", "h"})
_FASTENER = r"(?:nut|bolt|screw|stud|locknut|capscrew|collar|adjuster|union|plug)s?\b"
_ON_FASTENER = re.compile(
    rf"(?:more |further |extra )?(?:on|off|to|of) (?:the|that|each|every|this|your|both|all)"
    rf"(?: \w+)? {_FASTENER}"
)
_GIVEN = re.compile(
    r"\b(?:give|back|ease|slacken|wind|nip|crack|undo|loosen|tighten|swing|pull)(?:s|ed|ing)?\b"
    rf".*\b{_FASTENER}"
    r"(?: (?!(?:when|once|until|till|if|while|after|before|is|are|gets?|was|were)\b)"
    r"[a-z']+)*$"
)
_SLANTED = re.compile(
    r"(?:negative|positive|of (?:lead|lock|rake|sweep|helix|camber|caster|toe))\b"
)
_BELOW = re.compile(r"\b(?:below|under|less than|down to|cooler than)(?: (?:about|a|an))*$")
# "Open the door to ninety degrees", "the lid should shut itself from about 45 degrees".
_OPENED = re.compile(
    r"\b(?:(?:open|clos|shut|swing|fold|tilt|lean|hinge|raise|lower)(?:s|es?|ed|ing)?"
    r"(?: [a-z']+){0,2}? (?:door|"
    r"lid|flap|gate|guard|hood|arm|cover|lever|boom)(?: [a-z']+){0,2}?"
    r"|(?:door|lid|flap|gate|hood|lever)"
    r"(?: [a-z']+){0,3}? (?:open|opens|shut|shuts|close|closes|swing|swings)(?: itself)?)"
    r" (?:to|at|from|past|by)(?: (?:about|around|a|an))*$"
)
# "Forty degrees of a rise": what leans or is turned has none, unless words of angles stand by.
_RISEN = re.compile(r"of (?:an? )?(?:temperature )?(?:rise|drop)\b")
# "Ground at thirty degrees", "cut it to about forty-five degrees".
_GROUND = re.compile(
    r"\b(?:ground|grind|sharpen(?:ed)?|hone[ds]?|honed|filed?|mitred?|angled|raked|swept|inclined"
    r"|slanted|canted|cut(?! (?:in|out|off)\b))(?: (?!(?:and|then|until|till|when)\b)[a-z]+){0,3}?"
    r" (?:at|to|on|of)"
    r"(?: (?:about|around|a|an|roughly))*$"
)
_BY_HEAT = frozenset({"resistance", "kinematic_viscosity", "dynamic_viscosity", "density"})
# "Fourteen bar, at twenty degrees in here"; "after a shift" tells no angle, "after top" does.
_AROUND_US = re.compile(
    r"(?:in here|in (?:this|the) (?:shed|shop|room|shade)|out(?:side| there)|ambient)\b"
)
_AFTER_WORK = re.compile(
    r"(?:after|before) (?:an? |the |half an |ten |five )?"
    r"(?:shift|run|hour|minute|lunch|day|while|bit|drive|ride|minutes)\b"
)
_WHOLE_PARTS = (45, 30)
_SHAPES = frozenset({"crosshatch", "crosshatching", "bevel", "chamfer", "camber", "caster",
                     "castor", "helix", "mitre", "rake"})  # fmt: skip
_SPREADS = frozenset({"nozzle", "nozzles", "spray", "cone", "elbow", "countersink", "fan", "tip",
                      "tips"})  # fmt: skip
_FROM_OTHERS = re.compile(r"(?:off|from|to) (?:each|one another)\b|apart\b")
_FROM_THERE = re.compile(r"\b(?:from (?:there|that|here)|past (?:there|that))(?: (?:a|about|on))*$")
_I_TIGHTEN = re.compile(r"\btighten(?: (?:it|them|up|maybe|about|by|another|a|around))*$")
_ANGLES_NAMED = frozenset({"crosshatch", "bevel", "bevels", "bevelled", "chamfer", "camber",
                           "caster", "castor", "rake", "helix", "tilt", "protractor", "mitre",
                           "angle", "angles"})  # fmt: skip


def _by_words_beside(scene: Scene, amount: Amount, near: list[Scene]) -> bool | None:
    """Return whether degrees are of temperature, where the words right beside leave no doubt."""
    tokens, words = scene.tokens, scene.words
    ahead = between(tokens, max(0, amount.first - 9), amount.first)
    behind = between(tokens, amount.last, min(amount.last + 6, len(tokens)))
    if _SLANTED.match(behind) or _ON_FASTENER.match(behind) or _OPENED.search(ahead):
        return False
    if _RISEN.match(behind) and not words & (ANGLES | _TURNED_TO):
        return True
    shaped = _GROUND.search(ahead) or _GIVEN.search(ahead) or _is_of_shape(scene, amount, ahead)
    if not words & _SHOWS_HEAT and shaped:
        return False
    if not words & HOT and (_FROM_OTHERS.match(behind) or _turns_on(scene, ahead, behind)):
        return False
    measured = (one for one in scene.amounts if one.last <= amount.first)
    by_heat = ahead.endswith(" at") and any(kind_of(one.unit) in _BY_HEAT for one in measured)
    turned = (_TURNED_TO | _ANGLES_NAMED) - {"apart"}
    ran = _AFTER_WORK.match(behind) and not words & turned
    cool = behind.startswith(("before you", "before we", "before i")) and _BELOW.search(ahead)
    kept = _KEPT_COOL.search(ahead) and not words & (turned | _HINGED | _LIFTED | ANGLES)
    if by_heat or ran or cool or kept or _AROUND_US.match(behind):
        return True  # "68 ohms at 20 degrees"
    if _SWITCHED.search(ahead) or (_COOLED.search(ahead) and not words & (_TURNED_TO | _LIFTED)):
        return True
    if not _SET_TO.search(ahead) or words & _ROUND:
        return None
    again = _SET_AGAIN.search(ahead) and not words & (_ANGLES_NAMED | _TURNED)
    said = words & _STATS or (again and any(one.words & _STATS for one in near))
    return True if said else None


def _is_of_shape(scene: Scene, amount: Amount, ahead: str) -> bool:
    """Whether it tells of how a thing is shaped: "a crosshatch of 45", "eighty degree nozzle"."""
    if scene.words & HOT:
        return False
    single = scene.tokens[amount.last - 1].low == "degree"
    return not _SHAPES.isdisjoint(ahead.split()) or (single and bool(scene.words & _SPREADS))


def _turns_on(scene: Scene, ahead: str, behind: str) -> bool:
    """Whether a fastener is turned on by it: "nut by hand and from there sixty degrees"."""
    if not any(word.removesuffix("'s") in FASTENERS for word in scene.words):
        return False
    torqued = any(kind_of(one.unit) == "torque" for one in scene.amounts)
    then = bool(_FROM_THERE.search(ahead) or _I_TIGHTEN.search(ahead))
    then = then or (torqued and ahead.endswith(("then", "then a", "plus")))
    return then or behind.startswith("more")


def is_temperature(scene: Scene, amount: Amount, near: list[Scene], *, before: str | None) -> bool:
    """Whether degrees are of temperature rather than of an angle.

    Args:
        scene: the sentence.
        amount: the degrees in it.
        near: the sentences just before.
        before: what the degrees said before are of, ``angle`` or ``temperature``.
    """
    words = frozenset(word.removesuffix("'s") for word in scene.words)
    told = _by_words_beside(scene, amount, near)
    if told is not None:
        return told
    if words & HOT:
        return bool(words & _SHOWS_HEAT) or not words & _TURNED
    angled = words & ANGLES
    if any(_tells_when(scene, one, amount) for one in scene.amounts):
        angled -= _OF_TIMES
    if scene.tokens[min(amount.last, len(scene.tokens) - 1)].low not in _OF_TIMES:
        angled -= {"after", "before"}  # "after lunch the caps sit at forty degrees"
    elif _AFTER_WORK.match(between(scene.tokens, amount.last, amount.last + 5)):
        angled -= {"after", "before"}
    if scene.tokens[amount.first - 1].low == "around" and amount.first and "turn" not in words:
        angled -= {"around"}  # "it settles at around ninety"
    if angled and not (words & WARM and not words & _TURNED_TO):
        return False
    warm = bool(words & WARM)
    if warm or (near and near[-1].words & _ANGLES_NAMED and not near[-1].amounts):
        return warm
    if before is None and any(one.words & HOT for one in near):
        return True
    behind = between(scene.tokens, amount.last, min(amount.last + 4, len(scene.tokens)))
    if _ANGLED.match(behind):
        return False
    before_it = between(scene.tokens, max(0, amount.first - 6), amount.first)
    opened = _IS_OPEN.match(behind) or words & _HINGED
    if (_WARMED.search(before_it) and not opened) or _held_long(scene):
        return True
    value = amount.nominal or amount.upper or amount.lower or 0
    # No part of a turn is a hundred degrees.
    odd = value >= _HUNDRED and all(value % part for part in _WHOLE_PARTS)
    odd = odd and not any(kind_of(one.unit) == "torque" for one in scene.amounts)
    return odd or value > _MOST_TURNED or before == "temperature"


def _tells_when(scene: Scene, amount: Amount, degrees: Amount) -> bool:
    """Whether it tells how long something ran: "after an hour", "ten minutes, not past forty"."""
    after = amount.first > 0 and scene.tokens[amount.first - 1].low in {"after", "before"}
    behind = scene.tokens[degrees.last].low if degrees.last < len(scene.tokens) else ""
    ran = amount.unit in _LONG and behind not in _OF_TIMES  # "ten degrees after top"
    return ran or (after and kind_of(amount.unit) == "time")


def _held_long(scene: Scene) -> bool:
    """Whether something is left for a time at those degrees."""
    return any(kind_of(one.unit) == "time" for one in scene.amounts)
