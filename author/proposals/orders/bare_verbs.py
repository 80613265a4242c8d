"""What is done with a thing that only a way is told of: "nut off", "gloves on", "knob to pilot"."""

from __future__ import annotations

from collections.abc import Sequence

from author.checks.verbs import words as _words
from author.proposals.kinds.instruction_words import SHUT_OFF
from author.proposals.language.closed_words import ARTICLES, NUMBERS
from author.proposals.language.trade_words import trade_words
from author.proposals.orders.acts import ASIDE, CONTAINERS
from author.proposals.orders.words import OFF, PARTICLES, PREPOSITIONS, STANDS, holds_on

SWITCHED = _words(
    """
    isolator switch power breaker valve tap gas water supply mains ignition motor engine heater pump
    machine compressor cock petcock fuel air steam light lights stopcock heating lighting disconnect
    spur fuel petrol feed tractor baler mower chainsaw lathe van truck car generator conveyor
    oven boiler dishwasher printer vehicle forklift digger
    """
)
_APPLIED = _words("handbrake")
_PRESSED = _words("button pushbutton mushroom")
_TURNED = _words("knob handwheel thumbwheel dial selector lever")
_BY_HAND = _words("hand parking park")
_OF_THE_FACE = _words("face welding safety eye")
WORN = _words(
    "gloves glove glasses goggles goggle mask visor respirator apron earmuffs muffs boots helmet "
    "specs overalls gauntlets"
)
HUNG = _words("padlock lock tag lockout")
_MEASURED = _words(
    "depth runout clearance gap play float backlash preload thickness pressure height diameter "
    "width tension"
)
SHUT = SHUT_OFF | {"switch", "wand"}


def head_of(name: Sequence[str]) -> str:
    """Return the noun of a name, of "parking brake" and "face shield" the one that tells more."""
    if "of" in name[1:] and name[name.index("of") - 1] in _MEASURED:
        return name[name.index("of") - 1]  # "the play of the block"
    head, led = name[-1], set(name[:-1])
    if head == "brake" and led & _BY_HAND:
        return "handbrake"  # it is put on, that of a wheel may be taken off
    if head == "disconnect" and "quick" in led:
        return "coupling"
    return "visor" if head in {"shield", "shields"} and led & _OF_THE_FACE else head


def verb_for(
    head: str, kind: str | None, rest: Sequence[str], phase: str | None, new: bool
) -> tuple[str | None, bool]:
    """Return the verb for a thing and the way it goes, and whether the way is kept."""
    way = rest[0] if rest else ""
    live = head in SHUT and way == "on" and _no_more(rest[1:])  # "breaker on"
    if head in _POINTERS | SHUT and way in _PLACED_AT and not new and not live:
        return None, True  # "needle on the pin" is a reading; "gas cock on the wall" is there
    if (set_there := _set_there(head, rest)) is not None and not (new and head in _PRESSED):
        return set_there
    if (head in HUNG and not way) or (kind == "feature" and head not in _MEASURED):
        return None, True
    if way in OFF:
        # "Red seal out" says which way round it goes where things are put together, and "teeth
        # away from your body" anywhere; pins that held a machine have no side that looks out.
        faces = (phase == "fitting" and way != "off" and head not in _HOLDING) or (
            way == "away" and rest[1:2] == ["from"]
        )
        return (None if faces else "take"), True
    if head in _MEASURED:
        measured = way in {"from", "between", "at"} or phase == "inspection"
        if measured or head != "float":  # "the play of the block in the slot"
            return ("measure" if measured else None), True
    ours = way in {"in", "on"} and bool(_OURS & set(rest[1:2]))  # "key in my pocket"
    if ours or kind in {"supply", "tool"}:
        # "A torque wrench in inch-pounds" says which one, and no place to set it.
        verb, ways = "set", {"with", "in"}
        if ours or kind == "supply":
            verb, ways = "put", {"with", "at"}
        ways = ways | ({"at"} if head in _READ else set())  # "gauge at nought" is a reading
        return (verb if way in PREPOSITIONS - ways else None), True
    if kind in {"feature", "plain"} or (head in _HOLLOW and way in {"in", "on", "at"}):
        return None, True  # "bore in the headstock" is where it is
    return _part_verb(head, rest, phase, new) if way else (_alone(phase, new), True)


_HOLDING = _words("pin pins chock chocks prop props block blocks stand stands strut struts wedges")
_OURS = _words("my your me you")
_POINTERS = _words("needle pointer")
_PLACED_AT = _words("on at by behind under beside near")
_READ = _words("gauge gauges needle meter multimeter manometer")
_HOLLOW = _words("bore keyway journal notch")


def _set_there(head: str, rest: Sequence[str]) -> tuple[str, bool] | None:
    """Return the verb for what is switched, pressed, worn or hung on, and stays what it is."""
    way = rest[0] if rest else ""
    if head in _PRESSED and way in {"in", "down"}:
        return "press", True
    if head in _TURNED and way in {"in", "out"} and not PREPOSITIONS & set(rest[1:2]):
        return "turn", True
    to = way == "to" and head in _TURNED | SHUT and rest[1:] and rest[1] not in NUMBERS
    at = way == "at" and head in _TURNED and rest[1:]  # "dial at zero"
    if (to or at) and rest[1] not in ARTICLES:
        return "set", True  # "knob to pilot"
    back = rest[:2] == ["back", "on"]  # "air back on slowly"
    behind = rest[1 + back :]
    switched = way in {"off", "on"} or back
    if head in SWITCHED and switched and (_no_more(behind) or _SECURED & set(behind[1:2])):
        return "turn", True
    if way not in {"off", "on"}:
        return None
    if head in _APPLIED:
        return ("apply" if way == "on" else "release"), False
    if (head in WORN | {"choke"} and way == "on") or head in HUNG:
        return ("put" if way == "on" else "take"), True
    return None


def _no_more(behind: Sequence[str]) -> bool:
    """Whether nothing behind "pump off" says that it comes off: "at the board", "again"."""
    if not behind or behind[0] in {"and", "again", "first", "now", "slowly", "gently"}:
        return True
    return behind[0] in {"at", "by", "on"} and bool(_BOARDS & set(behind[1:4]))


_BOARDS = _words(
    "board wall panel switch switchboard mains isolator plug meter box button socket tap "
    "valve tank bottle cylinder source"
)
# What is locked, or let cool, is still there.
_SECURED = _words("lock tag padlock isolate let drain bleed test prove check chain secure")


def _kept_or_back(rest: Sequence[str], phase: str | None) -> str | None:
    if is_kept(rest):
        return "put"  # "bearings in the oven"
    if rest[0] == "back" and rest[1:] and rest[1] in OFF:
        return "take"  # "key back out of my pocket"
    return "wind" if rest == ["back"] and phase == "removal" else None


def is_kept(rest: Sequence[str]) -> bool:
    """Whether things go where they wait, soak, warm or are worked on: "in the oven"."""
    if rest[:1] == ["on"]:
        return rest[-1] in _HOT or (rest[-1] == "plate" and rest[-2] in {"heating", "hot"})
    return rest[:1] in (["in"], ["into"]) and _is_kept_in(rest[1:])


_HOT = _words("heater hotplate stove hob")


def _is_kept_in(place: Sequence[str]) -> bool:
    end = next((at for at, word in enumerate(place) if word in _BEHIND_PLACE), len(place))
    kinds = [trade_words().kind_of(word) for word in place[:end]]
    if kinds == ["supply"]:
        return True
    named = [at for at, word in enumerate(place[:end]) if word in CONTAINERS]
    if place[:1] == ["its"]:
        return False  # "the bearing in its pocket"
    return any(kinds[at + 1 : at + 2] in ([], [None]) for at in named)  # not "the oven door"


_BEHIND_PLACE = PREPOSITIONS | PARTICLES | _words("with for until while and so at of from before")


def _alone(phase: str | None, new: bool) -> str | None:
    """Return what is done to a part that is only named."""
    verbs = {"removal": "remove", "fitting": "fit", "inspection": "check"}
    if new:
        return "fit" if phase in {None, "fitting"} else None
    return verbs.get(phase or "")


def _up_or_down(head: str, rest: Sequence[str], phase: str | None) -> str | None:
    """Return the verb for what goes up or down: "jam nut down", "case down onto its dowels"."""
    way, behind = rest[0], rest[1] if len(rest) > 1 else ""
    if behind in {"over", "onto", "into", "on", "in"}:
        aside = bool((ASIDE - {way}) & set(rest)) or (behind in {"on", "in"} and phase == "removal")
        return "set" if aside else "fit"
    if holds_on(head) and (not behind or behind in _RUN):
        return "run"
    if way == "up":
        return None
    return "turn" if head in _TURNED_DOWN else None if behind else "put"


_TURNED_DOWN = _words("regulator thermostat throttle burner flame pressure speed")
_RUN = _words("by until finger hand against to evenly")


def _is_there(head: str, rest: Sequence[str]) -> bool:
    """Whether words say where a part is that comes off: "bearing cover on the drive end"."""
    if holds_on(head) or not rest[1:] or rest[1] not in ARTICLES:
        return False
    beside = rest[0] in {"at", "behind", "beneath"} and trade_words().kind_of(head) == "part"
    return beside or (rest[0] == "on" and head in _COVERING)


_COVERING = _words(
    "cover covers guard guards panel panels lid cowl shroud hood box housing hatch bracket spring "
    "springs door"
)


def _part_verb(
    head: str, rest: Sequence[str], phase: str | None, new: bool
) -> tuple[str | None, bool]:
    way, behind = rest[0], rest[1] if len(rest) > 1 else ""
    if (moved := _kept_or_back(rest, phase)) is not None:
        return moved, True
    if way == "with":
        return _alone(phase, new), True  # "new nut with a drop of threadlocker"
    if way in {"on", "between"} and rest[-1] in STANDS:
        return "set", True
    if way in {"on", "in"} and (not behind or behind in {"with", "first", "and"}):
        return "fit", False
    if way in {"down", "up"}:
        return _up_or_down(head, rest, phase), True
    if way == "back" and (rest[1:] in (["in"], ["on"]) or behind in {"up", "down"}):
        return "put", True
    if way in PREPOSITIONS or way == "back":
        there = "remove" if _is_there(head, rest) else "set"
        return ("fit" if phase != "removal" or new else there), True
    return None, True
