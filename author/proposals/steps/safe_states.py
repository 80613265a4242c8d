"""What makes a machine safe, told as done or as how things stand before any work.

"Breaker off at the board", "I've locked it off", "fuses out and they're in my pocket", "mast
upright": whoever works by the words has to do it, though nobody tells him to.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from decimal import Decimal

from author.proposals.language.verbs import base_of_done
from author.proposals.language.word_forms import singular
from author.proposals.orders.acts import Act
from author.proposals.orders.wording import Order, imperatives

_TOLD_AS_DONE = Decimal("0.6")
_LEAD = re.compile(
    r"(?:(?:and|so|but|then|now|okay|right|first|well|also|yes|alright|before anything|the|my|your|"
    r"our|both|all|first thing|first of all)[,:]? )*",
    re.IGNORECASE,
)
# "The breaker off at the board | lock on it", "it's isolated | so it can't start".
_CUT = re.compile(
    r"[,;:.!?](?!\d)\s*|\s+(?=(?:and|so|but|then|because|before|until|while|when)\b)"
    r"|\s+(?=(?:my |a |the )?(?:own )?(?:pad)?lock (?:on|through) (?:it|them|that)\b)"
    r"|\s+(?=with (?:my|our) (?:own )?(?:pad)?lock on\b)",
    re.IGNORECASE,
)
_CASE = re.compile(
    r"(?:and |but |so |then )?(?:if|unless|before|until|till|without|when|while|because|once|after|"
    r"where|which|that|who)\b",
    re.IGNORECASE,
)
_DOUBTED = re.compile(
    r"\b(?:make sure|be sure|sure|check|whether|see|assuming|not|isn't|don't|without|never|until|"
    r"if|even with|just|only|with)\b[^,;.]*$",
    re.IGNORECASE,
)
_SWITCHED = (
    r"batter(?:y|ies)|(?:mains |battery |supply |wall )?plugs?|keys?|(?:wall |mains |dc |main )?"
    r"isolators?|(?:main |mains |master |battery |wall )switch(?:es)?|(?:main |circuit |motor )?"
    r"breakers?|mcbs?|rcd|power|mains|current|electric(?:s|ity)?|juice|gas|air|water|fuel|steam|"
    r"supply|hydraulics|ignition|fuses?|(?:kill|stop|safety) (?:cord|lanyard|switch|clip)|lanyard|"
    r"(?:main |ac |dc )?disconnect|(?:battery |plug |spark plug |ht )?leads?|"
    r"plug (?:wire|cap|boot)s?|wheels?|"
    r"(?:stop|steam|gas|water|air|shut-?off|isolating) (?:valve|cock|tap)s?"
)
_BE = r"(?:'s|'re| is| are| gets?| goes| has been| have been)"
_PLACE = r"(?P<place> (?:of|at|from|on|under|in) (?:the|its|my|your) [\w-]+(?: [\w-]+)?| of it)?"
_IS_OFF = re.compile(
    # "The gas cock on the back is off"
    rf"(?P<what>{_SWITCHED})(?P<where> (?:on|at|under|in|by|behind) (?:the|its|my|your) [\w-]+"
    rf"(?: [\w-]+)?(?={_BE} ))?(?P<be>{_BE})?(?: already| all| both| been| now| right| well)* "
    r"(?P<how>out|off|isolated|unplugged|disconnected|chocked|pulled|shut|closed|locked|(?:turned|shut|"
    rf"switched|locked|knocked|racked) (?:off|out)){_PLACE}(?: as well| too)?",
    re.IGNORECASE,
)
_OF_IT = re.compile(
    r"(?:it's|it is|she's|that's) (?:already |all )*(?P<how>isolated|locked off|locked out|"
    r"unplugged|switched off|powered down|off(?= (?:at|from) the\b))"
    r"(?P<place> (?:at|from) the [\w-]+(?: (?:panel|board|switch|box))?)?",
    re.IGNORECASE,
)
_ITS_LOCK = re.compile(
    r"(?P<whose>my |our |your |a |the )?(?P<own>own )?(?P<lock>padlock|lock|tag)(?: and tag)?"
    r"(?:'s| is| goes)?(?: already)? (?P<how>on|through) (?:it|that|there|them)",
    re.IGNORECASE,
)
# "Off at the isolator with my padlock on"
_WITH_LOCK = re.compile(r"^with ((?:my|our) (?:own )?(?:pad)?lock) on$", re.IGNORECASE)
_POCKETED = re.compile(r"(?:they're|it's|they are|it is) in (?:my|me) (?P<where>[\w-]+)", re.I)
_PROVED = re.compile(
    r"(?:i've|we've|i have|i) (?:already )?(?:proved|proven|tested|checked) "
    r"(?:it|them|everything) (?:is |'s )?dead(?P<place> at the [\w-]+)?",
    re.IGNORECASE,
)
# What falls, swings or turns by its own weight: "mast upright", "bucket on the floor".
_LOAD = (
    r"mast|forks?|bucket|blade|boom|jib|deck|platform|table|ram|carriage|load|implement|tailgate|"
    r"cab|hood|bonnet|tipper|body|arm|stick|attachment|lift|car|counterweight"
)
_STANDS = re.compile(
    rf"(?P<what>{_LOAD})(?:'s|'re| is| are)?(?: all| right| fully| well)* (?P<how>upright|vertical|"
    r"level|lowered|propped|raised and propped|(?:flat |down |flat down )?on (?:the|its|their) "
    r"(?:floor|ground|deck|dirt|blocks|stops?|props?|stands?))",
    re.IGNORECASE,
)
_STOOD = {"upright": "Set the {} upright.", "vertical": "Set the {} vertical.",
          "level": "Set the {} level.", "lowered": "Lower the {}.", "propped": "Prop the {}.",
          "raised and propped": "Raise the {} and prop it."}  # fmt: skip
_FASTENED = {
    "blocked": "block", "chocked": "chock", "strapped": "strap", "pinned": "pin",
    "propped": "prop", "chained": "chain", "cribbed": "crib", "wedged": "wedge",
    "scotched": "scotch", "braced": "brace", "roped": "rope", "lashed": "lash",
}  # fmt: skip
# "Step band blocked", "torque tube strapped down": held so that it cannot move.
_HELD = re.compile(
    r"(?P<what>(?:[a-z][\w-]+ ){0,2}(?P<head>[a-z][\w-]+?))(?P<be>'s|'re| is| are)?(?: all| both| "
    rf"well)* (?P<how>{'|'.join(_FASTENED)})(?P<way> (?:down|up|back|off|open|shut|in place))?",
    re.IGNORECASE,
)
# "The filter is blocked" is what is wrong with it, and so is a bare "nozzle blocked".
_MOVES = re.compile(
    rf"(?:{_LOAD}|wheels?|band|steps?|belt|chain|rotor|shaft|slide|drum|trolley|carriages?|"
    r"roller|flywheel|prop|propeller|track|chassis|frame|axle|trailer|machine|tractor|truck)s?$",
    re.IGNORECASE,
)
_AS_ORDERS = {
    "locked": ("Lock it off.", "lock"), "tagged": ("Hang your tag on it.", "hang"),
    "isolated": ("Isolate it.", "isolate"), "padlocked": ("Padlock it.", "padlock"),
}  # fmt: skip
_HOW = {"isolated": ("isolate", ""), "unplugged": ("unplug", ""),
        "switched off": ("switch", " off"), "off": ("switch", " off"),
        "powered down": ("power", " down")}  # fmt: skip
_MADE_SO = {
    "out": ("take", " out"), "pulled": ("pull", ""), "isolated": ("isolate", ""),
    "unplugged": ("unplug", ""), "disconnected": ("disconnect", ""), "chocked": ("chock", ""),
    "shut": ("shut", ""), "closed": ("close", ""), "locked": ("lock", " off"),
    "locked off": ("lock", " off"), "locked out": ("lock", " out"),
}  # fmt: skip
_OFF_THERE = {"wheels": {"off"}, "wheel": {"off"}}  # "wheels off" takes them off
# "The gas is out" is what has run out.
_STAYS = re.compile(
    r"\b(?:power|mains|current|electrics?|electricity|juice|gas|air|water|fuel|steam|supply|"
    r"hydraulics|ignition|wheels?)$",
    re.IGNORECASE,
)
_BRAKE = re.compile(
    r"(?P<what>(?:parking |hand)?brakes?)(?:'s| is| are)?(?: on| set| applied)", re.IGNORECASE
)
_TAKEN_OFF = re.compile(r"battery|batteries|lead|leads|(?:plug|spark).*", re.IGNORECASE)
_HAS_GOT = re.compile(r"(?:i've|we've|i have|we have) got (?:the |my |all |both )*", re.IGNORECASE)
_HAS = re.compile(
    r"(?:i've|we've|i have|we have) (?!got\b|had\b|seen\b|been\b)|(?:i|we) (?=(?:just |already )?"
    r"(?:cut|killed|shut|locked|isolated|unplugged|switched|turned|disconnected|chocked|drained|"
    r"bled|tagged|(?:put|hung) (?:the|a|my|our) (?:own )?(?:padlock|lock|tag))\b)",
    re.IGNORECASE,
)
# What is done besides, where somebody tells that he made it safe: "… and I've let the tank down".
_BESIDES = frozenset(
    {"let", "drain", "bleed", "dump", "vent", "release", "take", "pull", "put", "lock", "tag",
     "hang", "switch", "turn", "isolate", "shut", "close", "open", "chock", "block", "prop",
     "lower", "drop", "strap", "chain", "unplug", "disconnect", "kill", "cut", "knock", "run",
     "empty", "park", "set", "wait", "test", "prove", "tie", "tape", "unhook", "remove"}
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class _Bit:
    """A stretch of a sentence between two signs or joining words, and where it begins."""

    text: str
    at: int


def safe_states(text: str, *, off: bool) -> Iterator[tuple[int, Order]]:
    """Yield what is told to be made safe already, each with where it is told.

    Args:
        text: a sentence before any work.
        off: whether the sentence before told that a supply is off.
    """
    has, safe = False, off
    for bit in _bits(text):
        if _CASE.match(bit.text) or _DOUBTED.search(text[: bit.at].rsplit(",", 1)[-1]):
            has = False
            continue
        found = list(_told_in(bit, safe))
        done = bool(_HAS.match(bit.text))
        if not found and (done or has) and (order := _act(bit.text, safe)) is not None:
            found = [order]
        has = done or (has and bool(found))
        safe = safe or bool(found)
        for order in found:
            yield bit.at, order


def _bits(text: str) -> Iterator[_Bit]:
    begin = 0
    for cut in [*(found.span() for found in _CUT.finditer(text)), (len(text), len(text))]:
        whole = text[begin : cut[0]]
        lead = _LEAD.match(whole)
        at = lead.end() if lead else 0
        if whole[at:].strip():
            yield _Bit(whole[at:].strip(), begin + at)
        begin = cut[1]


def _told_in(bit: _Bit, safe: bool) -> Iterator[Order]:
    """Yield the orders in what is told as a state."""
    got = _HAS_GOT.match(bit.text)
    text = _WITH_LOCK.sub(r"\1 on it", bit.text[got.end() :] if got else bit.text)
    word = text.lower()
    if safe and word in _AS_ORDERS:
        yield _order(*_AS_ORDERS[word])
    elif (found := _IS_OFF.fullmatch(text)) and not (
        found["how"].lower() in {"out", *_OFF_THERE.get(found["what"].lower(), ())}
        and _STAYS.search(found["what"])
    ):
        yield _switched(found)
    elif found := _BRAKE.fullmatch(text):
        yield _order(f"Apply the {found['what'].lower()}.", "apply", found["what"].lower())
    elif found := _OF_IT.fullmatch(text):
        verb, way = _HOW.get(found["how"].lower(), ("lock", " off"))
        yield _order(f"{verb.capitalize()} it{way}{found['place'] or ''}.", verb)
    elif found := _ITS_LOCK.fullmatch(text):
        whose = "your own" if found["own"] else "your"
        lock, how = found["lock"].lower(), found["how"].lower()
        yield _order(f"Put {whose} {lock} {how} it.", "put", lock)
    elif safe and (found := _POCKETED.fullmatch(text)):
        one = "them" if text.lower().startswith("they") else "it"
        yield _order(f"Keep {one} in your {found['where'].lower()}.", "keep")
    elif found := _PROVED.fullmatch(text):
        yield _order(f"Prove it dead{found['place'] or ''}.", "prove")
    else:
        yield from _standing(text)


def _standing(text: str) -> Iterator[Order]:
    """Yield the order in "mast upright", "step band blocked", "torque tube strapped down"."""
    if found := _STANDS.fullmatch(text):
        what, how = found["what"].lower(), found["how"].lower()
        where = "flat " * how.startswith("flat") + how[how.find("on ") :].replace("on ", "to ", 1)
        told = _STOOD.get(how, f"Lower the {{}} {where}.")
        yield _order(told.format(what), told.split()[0].lower(), what)
    elif found := _HELD.fullmatch(text):
        what, verb = found["what"].lower(), _FASTENED[found["how"].lower()]
        clogged = verb in {"block", "pin"}
        if _MOVES.search(found["head"]) and not (clogged and found["be"]):
            way = (found["way"] or "").lower()
            yield _order(f"{verb.capitalize()} the {what}{way}.", verb, what)


def _switched(found: re.Match[str]) -> Order:
    what, how = found["what"].lower(), " ".join(found["how"].lower().split())
    verb, way = _MADE_SO.get(how, ("turn", " off"))
    if how == "off" and _TAKEN_OFF.fullmatch(what):
        verb, way = ("disconnect", "") if what.startswith("batter") else ("take", " off")
    place = "" if found["place"] == " of it" else found["place"] or ""
    removed = singular(what) == "battery" and verb in {"take", "pull"}
    act: Act | None = "removes" if removed else None
    where = found["where"] or ""
    return _order(f"{verb.capitalize()} the {what}{where}{way}{place}.", verb, what, act)


def _act(text: str, safe: bool) -> Order | None:
    """Return what somebody tells that he has done: "I've let the tank down", "taken it out"."""
    said = text if _HAS.match(text) else f"I've {text}"
    if not _HAS.match(said) or not (said.lower().startswith(("i ", "we ")) or _is_past(said)):
        return None
    order = next(iter(imperatives(said, phase="removal")), None)
    if order is None or order.verb not in _BESIDES or order.action.startswith(("Do not", "Never")):
        return None
    action = _PADLOCK.sub(r"\g<0> on", order.action)
    sure = order.verb in {"isolate", "lock", "switch", "unplug", "tag", "chock"} or safe
    act = order.act if order.object == "battery" else None
    if not sure and not _ENERGY.search(text):
        return None
    return Order(action, order.verb, order.object, act, _TOLD_AS_DONE, safe=True)


_PADLOCK = re.compile(r"^(?:Put|Hang) (?:the|your|a) (?:own )?(?:pad)?lock(?=\.$)")
_ENERGY = re.compile(
    rf"\b(?:{_SWITCHED}|pressure|tension|tank|receiver|accumulator|capacitors?)\b", re.IGNORECASE
)


def _is_past(said: str) -> bool:
    """Whether "I've" goes on with what was done: "I've locked it off"."""
    words = said.lower().split()
    while len(words) > 1 and words[1] in {"already", "just", "all", "also", "have"}:
        words.pop(1)
    return len(words) > 1 and base_of_done(words[1]) is not None


def _order(action: str, verb: str, thing: str | None = None, act: Act | None = None) -> Order:
    return Order(action, verb, thing, act, _TOLD_AS_DONE, safe=True)
