"""What an order does with a part: takes it off, puts it back, puts a new one in its place."""

from __future__ import annotations

import re
from collections.abc import Sequence
from itertools import islice
from typing import Literal

from author.checks.verbs import words as _words
from author.proposals.language.closed_words import NUMBERS
from author.proposals.language.noun_phrases import phrases_of
from author.proposals.language.tokens import tokens_of
from author.proposals.orders.words import BODY, CLOCK, STANDS

Act = Literal["removes", "refits", "replaces", "discards"]

_REMOVING = _words(
    """
    remove undo unscrew unbolt unclip unhook unplug detach disconnect extract withdraw uninstall
    dismount desolder unfasten unthread unseat uncouple unpin
    """
)
_TAKING = _words(
    """
    take pull pop lift slide slip prise pry knock drive press tap back wind draw cut get drop twist
    ease push tease work lever whip have screw bring break fish punch drift unwind yank tip strip
    spin wiggle roll jiggle flick dig pick zip peel unroll whack hook squeeze shake
    """
)
FITTING = _words(
    "fit refit reinstall install insert mount reattach reconnect reassemble connect couple offer"
)
PUTTING = _words(
    """
    put spin slide slip press push pop drop tap screw drive knock set bolt clip hook feed seat
    thread plug lower ease work wind stretch slot place
    """
)
IN = _words("on in back home into onto over")
# "Pull the impeller with the puller"; "put it on the bench" is no fitting.
_DRAWING = _words("pull draw pick prise pry")
_PULLERS = _words("puller pullers extractor pick hook")
_WITH = _words("until while so because before")
_PULLED = _words(
    "in into on onto through tight tighter up down back towards toward against to over round along "
    "forward together trigger cord lever handle until hard gently at across"
)
# "Pop the bonnet", "pop the lid open"
_OPENED = _words("open bonnet hood boot trunk door hatch clutch lock latch catch tailgate")
CONTAINERS = _words(
    "tray trays bucket box bag basket tin tins jar container drawer pocket tub oven freezer fridge "
    "bib trousers vice vise bin skip bowl cleaner degreaser"
)
ASIDE = CONTAINERS | _words(
    "bench side floor cloth table rag shelf cardboard away down hotplate heater"
)
_REPLACING = _words("replace swap renew change exchange")
_DISCARDING = _words("bin scrap discard chuck trash junk toss dump")


_PULLED_OUT = _words(
    "plug plugs lead leads cable cables connector connectors wire wires fuse relay cord terminal"
    " hose pipe wiring loom multiplug coil"
)
_PRONOUNS = _words("it them her this that")


def _stays(words: Sequence[str], verb: str) -> bool:
    """Whether an order moves no part of the machine, though its words may.

    "Unplug the burner" pulls a plug, "set it back to 75" turns a knob, "get it off the stands"
    takes the machine down, "put the handbrake on" leaves it where it is.
    """
    low = [word.strip(",.;") for word in words]
    if verb in {"unplug", "plug"}:
        end = next((at for at, word in enumerate(low) if at and word in _ENDS_NAME), len(low))
        return low[end - 1] not in _PULLED_OUT | _PRONOUNS
    to = low.index("to") if "to" in low[1:-1] else 0
    if verb in {"set", "put"} and to and (low[to + 1][0].isdigit() or low[to + 1] in NUMBERS):
        return True
    off = next((at for at, word in enumerate(low) if word == "off" and at > 1), 0)
    there = set(low[off + 1 : off + 4]) if off else set[str]()
    if (STANDS & there and low[1] in _PRONOUNS) or there & {"ground", "floor", "deck"}:
        return True
    if _is_turned_or_unplugged(low, verb) or (verb == "set" and CLOCK & set(low[1:4])):
        return True
    if _only_worked(low, verb) or _is_loosened_or_stood(low, verb):
        return True
    brake = "brake" in low[1:5] and bool(_BRAKES & set(low[1:4])) and "back" not in low
    held = verb == "put" and low[1:2] == ["your"] and BODY & set(low[2:3])
    return bool(held) or (
        verb in {"put", "set", "take", "pull"} and (brake or bool(_APPLIED & set(low[1:4])))
    )


BIN = r"(?:scrap(?: bin| box| bucket)?|bin|skip|trash|dumpster|rubbish|garbage)"
"""Where things go that are thrown away, as a pattern."""
_IN_BIN = re.compile(rf"\b(?:in|into|to|on) (?:the|a) {BIN}\b(?! of\b)")
INTO_BIN = _words("put throw chuck drop toss stick sling fling lob pop dump")
"""Verbs by which things are put there."""
_ENDS_NAME = _words("in into from at off out back on to and until with so behind under")


def _is_loosened_or_stood(low: Sequence[str], verb: str) -> bool:
    """Whether "off" only loosens, "back it off", and "on" only stands: "put it on level ground"."""
    if verb == "back":
        return bool(low[1:2]) and low[1] in _PRONOUNS and low[2:3] == ["off"]
    stood = "on" in low and bool(_STOOD_ON & set(low[low.index("on") :]))
    return verb in {"put", "set", "park"} and stood


def _is_turned_or_unplugged(low: Sequence[str], verb: str) -> bool:
    """Whether "off" or "out" takes off nothing: "back the knob right off", the plug in the wall."""
    at_the_wall = "plug" in low and bool(_OUTLETS & set(low[low.index("plug") :]))
    # "Pull the plug" is of the mains; "pull the plug out" may be a spark plug's
    at_the_wall |= (
        low[1:3] == ["the", "plug"] and verb in _DRAWN_AT_MAINS and set(low[3:4]) <= _PLUG_ENDS
    )
    if verb == "back" and _TURNS & set(low[2:]):
        return True  # "back it off three or four threads"
    parted = verb in {"unhook", "disconnect", "hook", "connect"} and "battery" in low[1:5]
    return at_the_wall or parted or (verb == "back" and bool(_ADJUSTED & set(low[1:5])))


def _only_worked(low: Sequence[str], verb: str) -> bool:
    """Whether what is pressed or pulled is worked, and goes nowhere: a button, a brake lever."""
    if verb in {"press", "push", "turn"} and _WORKED & set(low[1:5]) and "new" not in low[:4]:
        return True  # "press the stop button in"
    if verb in {"press", "push"} and low[1:2] == ["on"] and _PRESSED_ON & set(low):
        return True  # "press on the inner ring" says where to press
    if verb in {"press", "push"} and _LETS_GO & set(low):
        return True  # "press the valve in until it stops hissing"
    if verb != "pull":
        return False
    at = next((at for at, word in enumerate(low[1:4], 1) if word in _CONTROLS), 0)
    return (
        bool(at)
        and not {"off", "out", "apart", "away"} & set(low[at:])
        and (low[at + 1 : at + 2] == [] or low[at + 1] in _BEHIND_CONTROL)
    )


_CONTROLS = _words("brake handbrake clutch throttle choke trigger")
_BEHIND_CONTROL = _ENDS_NAME | _words("lever hard gently slowly while a few and or")
_PRESSED_ON = _words("only ring race rings races shell cage")
_LETS_GO = _words("hiss hisses hissing")
_TURNS = _words("turn turns thread threads flat flats quarter half eighth sixteenth hair touch bit")
_DUMPED = _words("tank pressure air oil water fluid gas load")
_ADJUSTED = _words(
    "take-up takeup adjusting tensioning knob adjuster handwheel tensioner adjusters grub"
)
_OUTLETS = _words("wall socket outlet mains")
_DRAWN_AT_MAINS = _words("pull yank whip")
_PLUG_ENDS = _words("and then first before so on")
_STOOD_ON = _words("ground floor slope concrete grass hardstanding")
_BRAKES = _words("parking park hand emergency")
_APPLIED = _words("handbrake parking-brake choke")
_WORKED = _words("button buttons knob handwheel thumbwheel")


def _state_at(ways: Sequence[str]) -> int:
    """Return where words tell in which state something is done: "with the engine off"."""
    return next(
        (
            at
            for at, way in enumerate(ways)
            if way == "with"
            and ways[at + 1 : at + 2] == ["the"]
            and {"off", "on"} & set(ways[at + 3 : at + 5])
        ),
        len(ways),
    )


def _aim_at(ways: Sequence[str]) -> int:
    """Return where words tell what something is done for: "to let the pressure off"."""
    aims = (at for at in range(1, len(ways)) if ways[at - 1] == "to" and ways[at] in _AIMS)
    return next(aims, len(ways))


_HINGES = _words("hinge hinges pins rail rails runners")
_A_LITTLE = _words("bit little hair touch whisker tad shaving skim fraction same")
_AIMS = _words("let relieve release bleed dump get keep stop clear free reach see take blow bring")


def act_of(words: Sequence[str], verb: str, new: bool) -> Act | None:
    """Return what an order does with a part, or None.

    Args:
        words: of the order.
        verb: its verb, base form.
        new: whether a new part takes the place of the old one.
    """
    tokens = tokens_of(" ".join(words))
    kinds = [phrase.kind for phrase in islice(phrases_of(tokens[1:], frozenset()), 1)]
    ways = [word.strip(",") for word in words[1:10]]
    ways = ways[: next((n for n, way in enumerate(ways) if way in _WITH), len(ways))]
    ways = ways[: min(_state_at(ways), _aim_at(ways))]
    little = ways[:1] in (["a"], ["the"]) and bool(_A_LITTLE & set(ways[1:2]))
    little = little and ways[2:3] in (["off"], ["from"], ["of"], ["out"])
    if little or "forth" in ways or "not" in words[:2] or "never" in words[:1]:
        return None  # "take a little off each rod" takes no rod off
    thrown = verb == "throw" and {"away", "out"} & set(ways)
    binned = verb in INTO_BIN and _IN_BIN.search(" ".join(words)) is not None
    emptied = verb == "dump" and bool(_DUMPED & set(ways[:3]))  # "dump the tank": its air
    if (verb in _DISCARDING and not emptied) or thrown or binned:
        return "discards"
    new = new or "new" in words[1:4]
    aside = bool(ASIDE & set(ways)) and (verb in {"put", "set", "lay"} or verb in PUTTING)
    aside = aside and (verb in {"put", "set", "lay"} or not ASIDE & set(ways) <= {"down", "away"})
    if verb in _REPLACING or (
        new and verb in FITTING | PUTTING and kinds != ["tool"] and not aside
    ):
        return "replaces"
    turned = verb in {"back", "wind"} and "turn" in words
    if kinds in (["supply"], ["tool"]) or turned or aside or _stays(words, verb):
        return None
    pulled = verb == "pull" and kinds == ["part"] and not _PULLED & set(ways)
    # "Pop the dust cap, it's full of grease"
    popped = verb == "pop" and kinds == ["part"] and not (_PULLED | _OPENED) & set(ways)
    drawn = verb in _DRAWING and bool(_PULLERS & set(ways))
    if verb in _REMOVING or pulled or popped or drawn:
        return "removes"
    if verb in {"push", "pull", "lever", "slide", "swing"} and not {"on", "in", "into"} & set(ways):
        ways = [way for way in ways if way not in {"over", "back"}]  # moved aside, not fitted
    found = next((way for way in ways if way in IN | {"off", "out", "away", "apart", "free"}), "")
    whole = len(ways) == len(words) - 1 and ways[-2:-1] != [found]
    if found in {"in", "on"} and whole and ways[-1] in {"out", "off"}:
        found = ways[-1]  # "press the bushings in the top plate out"
    back = ways[-2:] == ["straight", "back"] or (
        verb in {"lift", "pull", "draw"} and ways[-2:] == ["straight", "up"]
    )
    if verb in _TAKING and (found in {"off", "out", "away", "apart", "free"} or back):
        return "removes"
    hung = verb == "hang" and not _HINGES.isdisjoint(ways)
    if verb in FITTING or hung or (verb in PUTTING and found in IN):
        return "refits"
    return None
