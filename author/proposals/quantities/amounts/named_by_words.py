"""What a value is of by the words right around it: how deep, between what, of what stuff."""

from __future__ import annotations

import re
from collections.abc import Sequence

from author.checks.verbs import words
from author.proposals.language.word_forms import singular
from author.proposals.quantities.amounts.amount import Amount, between
from author.proposals.quantities.amounts.context import Scene
from author.proposals.quantities.amounts.vocabulary import FASTENERS

_AHEAD, _BEHIND, _FAR = 8, 5, 14
_QUANTIFIED = (
    r"(?: (?:by|more than|over|less than|under|at most|at least|no more than|not more than|about|"
    r"only|up to|as much as|around|nearly|maybe|a|an|than))*$"
)
_ABOUT = r"(?: (?:of|is|are|up to|about|over|more than|deeper than|some|around))*$"
# "A crack two centimetres long" has its length named; "grooves of 0.6" are so deep.
_MARKS = (
    (
        "depth",
        "grooves? gouges? scores? scratch(?:es)? pits? pitting dents? dimples? notch(?:es)? waves? "
        "ripples? corrugations?",
    ),
    ("length", "cracks? splits? tears?"),
    ("height", "ridges? lips? burrs?"),
    ("size", "chips? flats?"),
)
_MARKED = tuple(
    (name, re.compile(rf"\b({'|'.join(marks.split())})(?: like an? \w+)? of{_ABOUT}"))
    for name, marks in _MARKS
)
# "There's a little groove where the seal runs, about a tenth": so deep is what is found there,
# and "a groove for the clip, eight from the end" tells where one is made.
_SEEN = tuple(
    (
        name,
        re.compile(
            r"\b(?:an?|some|this|that|one)(?: (?:bit of an?|little|small|slight|tiny|wee|faint"
            rf"|light|deep|bad|nasty|big))* ({'|'.join(marks.split())})(?: (?:where|in|on|round"
            r"|around|along|across|down|right|at|under|near|just|from)(?: [a-z']+){1,5}?)? ?,?"
            r"(?: (?:about|around|maybe|say|of|like|it's|that's|is|roughly|i'd say|a|an))*$"
        ),
    )
    for name, marks in _MARKS
    if name != "size"
)
_OTHER_SIDE = re.compile(
    r"(?:wide|long|deep|high|across|apart|from|below|above|under|over|off|in from|up|down|to|of)\b"
)
_THAN = re.compile(
    r"\b(deep|thinn?|thick|long|short|wid|narrow|high|tall|low|clos|near|further)(?:e?r)? than"
    r"(?: (?:about|a|an))*$"
)
_THAN_NAMED = {
    "deep": "depth", "thin": "thickness", "thinn": "thickness", "thick": "thickness",
    "long": "length", "short": "length", "wid": "width", "narrow": "width", "high": "height",
    "tall": "height", "low": "height", "clos": "distance", "near": "distance",
    "further": "distance",
}  # fmt: skip
_DONE = re.compile(
    r"(?:\b(chipped|worn|bent|bowed|stretched|sagged|warped|dished|slipped|shrunk|slips|sags|"
    r"stretches|frayed|cracked)(?: (?:on|at|along|down|in|round) (?:the|its|one|each) [a-z]+)?"
    r"|\b(?:can|may|must|should|will|could|not|n't|it|they|to) (slip|sag|stretch|bow))"
    + _QUANTIFIED
)
_DONE_NAMED = {
    "chipped": "chip", "worn": "wear", "bent": "bend", "bowed": "bow", "bow": "bow",
    "stretched": "stretch", "stretches": "stretch", "stretch": "stretch", "sagged": "sag",
    "sags": "sag", "sag": "sag", "warped": "warp", "dished": "dish", "slipped": "slip",
    "slips": "slip", "slip": "slip", "shrunk": "shrinkage", "frayed": "fraying",
    "cracked": "length of the crack",
}  # fmt: skip
_STOPS = re.compile(
    r"\b(?:stop|stops|stopped|stopping|pulls? up) (?:\w+ )?(?:within|in|inside|under)(?: about)?$"
)
_FLUSH = re.compile(r"\bflush (minus|less|plus)(?: about| a)?$")
_OF_STUFF = re.compile(
    r"of (?:a |the |brake |friction |free |clear |bare )?(daylight|light|land|lining|material|meat|"
    r"pad|rubber|paint|plating|chrome|movement|slop|shake|wobble|slip|squish|bow|bend|twist|thread|"
    r"threads|lip|ridge|groove)\b(?! (?:of|washer|ring|seal|plate|bearing))"
)
_STUFF_NAMED = {
    "daylight": "gap", "light": "gap", "land": "width of the land",
    **{one: f"thickness of the {one}" for one in (
        "lining", "material", "meat", "pad", "rubber", "paint", "plating", "chrome")},
    "slop": "play", "shake": "play", "thread": "length of thread", "threads": "length of thread",
    "lip": "height of the lip", "ridge": "height of the ridge", "groove": "depth of the groove",
}  # fmt: skip
_FALLS = frozenset({"pressure", "voltage"})
# "Mustn't drop more than 5 bar", "loses 0.2 volts"; "drop it to 5 bar" is where it ends.
_FALLEN = re.compile(
    r"\b(?:drop|fall|lose|lost|sag|sink|dip|gone down)(?:s|es|ped|ped off|en)?"
    r"(?: (?:off|down|back|any|it|by))?"
    r"(?: (?:by|more than|over|less than|at most|no more than|about|only|up to|max|maximal(?:ly)?"
    r"|maximum))*"
    r"(?: (?:a|an|than))?$"
)
_OPENS = re.compile(
    r"\b(?:valve|relief|unloader|cap|switch|governor|thermostat|regulator)(?: \w+){0,3}? "
    r"(opens?|lifts?|blows?(?: off)?|pops?|cracks?|relieves?|vents?|unloads?|closes?|reseats?|"
    r"cuts? (?:in|out))(?: again)?"
    r"(?: (?:at|between|from|by|before|around|about|over|below|under|above))*$"
)
_CUTS = re.compile(
    r"\b(cuts? (?:back )?(?:in|out))(?: again| back)?(?: (?:at|between|by|before|around|about|over|"
    r"below|under|above))+$"
)
_CLOSING = re.compile(r"close|reseat|cut")
# "Nothing to earth, I want over 1 megohm"
_TO_EARTH = re.compile(
    r"\b(?:to|and|between) (?:the )?(earth|ground|frame|case|casing|chassis|sheath)\b"
)
_ACTIONS = words(
    "opening closing braking stopping starting heating cooling charging filling emptying lifting "
    "lowering raising draining curing warming"
)
# "Closing not faster than three", "opening should be about two and a half seconds"
_LASTS = re.compile(
    rf"\b({'|'.join(sorted(_ACTIONS))}),?(?: (?:should|must|has to|wants to|needs to) (?:be|take)|"
    r" takes?| is| in| time)?(?: (?:not|no|never) (?:faster|quicker|slower|longer|more|less) than)?"
    r"(?: (?:about|around|under|over|at least|at most|a|an|up to))*$"
)
# "From nothing to eight bar in under four minutes"
_RISES = re.compile(
    r"\bfrom (\w+(?: \w+)? to \w+(?: \w+)? \w+) in(?: (?:about|around|under|less than|at most|"
    r"no more than|up to|a|an))*$"
)
# "You should get a puff for about two seconds"
_HEARD = re.compile(
    r"\b(?:get|gets|hear|hears|see|gives?|blows?) an? (?:\w+ )?(\w+) (?:for|of|lasting)"
    r"(?: (?:about|around|a|an|some|maybe|at least|no more than))*$"
)


def named_by_words(scene: Scene, amount: Amount, kind: str | None) -> str | None:
    """Return what an amount is of by its unit, by what is done, or by what it is so much of.

    Args:
        scene: its sentence.
        amount: the value.
        kind: kind of quantity, None where it is unknown.
    """
    if amount.unit in {"km", "mile"}:
        return "distance"
    tokens = scene.tokens
    ahead = between(tokens, max(0, amount.first - _AHEAD), amount.first)
    if kind in _FALLS and _FALLEN.search(ahead):
        return f"{kind} drop"
    if kind == "pressure" and (opens := _CUTS.search(ahead) or _OPENS.search(ahead)):
        return _opening(opens[1])
    if kind == "time":
        return _lasting(ahead)
    if kind == "resistance":
        return _to_earth(scene, amount)
    if kind not in {"length", None}:
        return None
    behind = between(tokens, amount.last, min(len(tokens), amount.last + _BEHIND))
    far = between(tokens, max(0, amount.first - _FAR), amount.first)
    return _by_stuff(behind) or _by_deed(ahead, far, behind)


def _opening(word: str) -> str:
    """Return at what pressure a valve does what is told of it."""
    if word.startswith("cut"):
        return f"cut-{word.rsplit(maxsplit=1)[-1]} pressure"
    return "closing pressure" if _CLOSING.match(word) else "opening pressure"


def _lasting(ahead: str) -> str | None:
    """Return what a time is of: "closing not faster than three", "a puff for two seconds"."""
    if lasts := _LASTS.search(ahead):
        return f"{lasts[1]} time"
    if rises := _RISES.search(ahead):
        return f"time from {rises[1]}"
    heard = _HEARD.search(ahead)
    return f"time of the {heard[1]}" if heard else None


def _to_earth(scene: Scene, amount: Amount) -> str | None:
    """Return that a resistance is told to earth: "nothing to earth, I want over 1 megohm"."""
    behind = between(scene.tokens, amount.last, min(len(scene.tokens), amount.last + 4))
    ahead = [one for one in scene.amounts if one.last <= amount.first]
    last = ahead[-1].last if ahead else 0
    near = between(scene.tokens, max(last, amount.first - _TO_EARTH_FROM), amount.first)
    if "insulation" in scene.words:
        return None
    found = _TO_EARTH.search(near) or _TO_EARTH.match(behind)
    return f"resistance to {found[1]}" if found else None


_TO_EARTH_FROM = 10


def _by_stuff(behind: str) -> str | None:
    if (stuff := _OF_STUFF.match(behind)) is None:
        return None
    return _STUFF_NAMED.get(stuff[1], stuff[1])


def _by_deed(ahead: str, far: str, behind: str) -> str | None:
    if flush := _FLUSH.search(ahead):
        return "height above flush" if flush[1] == "plus" else "depth below flush"
    if than := _THAN.search(ahead):
        return _THAN_NAMED[than[1]]
    if done := _DONE.search(ahead):
        return _DONE_NAMED[done[1] or done[2]]
    if _STOPS.search(ahead):
        return "stopping distance"
    for name, marked in _MARKED:
        if found := marked.search(ahead):
            return f"{name} of the {found[1]}"
    for name, seen in _SEEN:
        if (found := seen.search(far)) and not _OTHER_SIDE.match(behind):
            return f"{name} of the {found[1]}"
    return None


_THE = r"(?:the |its |your |this |that )?"
_BETWEEN = re.compile(
    r"(?:clear |free |space |minimum |maximum |max |min )?"
    rf"between {_THE}[a-z-]+(?: [a-z-]+){{0,2}} and {_THE}[a-z-]+"
)
_BETWEEN_THEM = 14


def named_between(scene: Scene, amount: Amount) -> int | None:
    """Return the token at which an amount is told of a gap: "half a mil between A and B".

    Args:
        scene: its sentence.
        amount: a length.
    """
    tokens = scene.tokens
    behind = between(tokens, amount.last, min(len(tokens), amount.last + 9))
    if _BETWEEN.match(behind):
        return next(at for at in range(amount.last, len(tokens)) if tokens[at].low == "between")
    for at in range(amount.first - 1, max(-1, amount.first - _BETWEEN_THEM), -1):
        if tokens[at].low in {".", ";"}:
            break
        if tokens[at].low == "between" and _BETWEEN.match(between(tokens, at, amount.first)):
            return at
    return None


# "One of the 0.2 shims", "a twenty thou and a five thou shim": so thick the thing itself is.
_SHEETS = frozenset({"shim", "washer", "feeler", "gasket", "packer", "spacer"})


# "One shim, the nought point one, is taken out"
_WHICH = re.compile(rf"\b(?:{'|'.join(sorted(_SHEETS))})s? , the$")
_IS_SO = re.compile(r"(?:is|on|from|off)$")


def is_thing(scene: Scene, amount: Amount) -> bool:
    """Whether an amount only tells which thing is meant: "one of the 0.2 shims".

    Args:
        scene: its sentence.
        amount: the value.
    """
    behind = scene.tokens[amount.last].low if amount.last < len(scene.tokens) else ""
    ahead = between(scene.tokens, max(0, amount.first - 3), amount.first)
    which = _WHICH.search(ahead) and not _IS_SO.match(behind)
    return bool(singular(behind) in _SHEETS or behind in FASTENERS or which)


def is_deep(scene: Scene, amount: Amount) -> bool:
    """Whether an amount tells how far in something is: "press it in to four", "0.3 below".

    Args:
        scene: its sentence.
        amount: a length.
    """
    tokens = scene.tokens
    ahead = between(tokens, max(0, amount.first - _PRESSED_FROM), amount.first)
    behind = between(tokens, amount.last, min(len(tokens), amount.last + _SUNK_WITHIN))
    # "One millimetre below the edge, no, sorry, two": what was taken back stands in its words
    own = between(tokens, amount.first, amount.last) if "corrected" in amount.flags else ""
    return bool(_PRESSED.search(ahead) or _SUNK.match(behind) or _SUNK.search(own))


# "Press the new seal in to four millimetres"
_PRESSED = re.compile(
    r"\b(?:press|driv|drift|tap)(?:e|ed|ing|s|es|en)?\b(?: [a-z]+){1,8} to(?: about| around)?$"
)
_PRESSED_FROM, _SUNK_WITHIN = 12, 5
_SUNK = re.compile(
    r"(?:below|beneath)(?: flush|\W|$| the (?:face|surface|edge|deck|housing|lip|rim|case)\b)"
)


def measures_anew(scene: Scene) -> bool:
    """Whether a sentence says that something else is measured now: "measure the shaft".

    Args:
        scene: the sentence.
    """
    return _MEASURED.search(" ".join(token.low for token in scene.tokens)) is not None


_MEASURED = re.compile(
    r"\b(?:measur(?:e|ing)|mi(?:ke|c|king)|call?iper) (?:up )?(?:the|this|that|both|your|its)"
    r" \w+|^(?:now |then |and |next )*(?:the|this|that|your|its) (?:\w+ ){1,3}(?:i|we) measure\b"
    r"|\bcount the \w+"
)
BY_DIAL = re.compile(r"\b(?:dial|dti|indicator|clock (?:on|up|against|gauge))\b")
_ROTATED = re.compile(
    r"\b(?:turn|rotate|spin|revolve|roll)(?:ing|s)?"
    r" (?:it|the (?:\w+ )?\w+|them|her|slowly|by hand|round)\b"
    r"(?! (?:to|off|on)\b| over\b(?! (?:slowly|gently|by hand)))"
)
_PUSHED = re.compile(r"\b(?:push|pull|lever|rock|lift|prise|pry|in and out|up and down)\b")


def is_turned(scenes: Sequence[Scene], scene: Scene) -> bool:
    """Whether a dial gauge stands on what is being turned, here or in the two sentences before.

    Args:
        scenes: sentences of the recording.
        scene: the sentence.
    """
    near = scenes[max(0, scene.index - 2) : scene.index + 1]
    said = " ".join(token.low for one in near for token in one.tokens)
    return bool(BY_DIAL.search(said) and _ROTATED.search(said)) and not _PUSHED.search(said)
