"""What was done where only a number is told: measured, set, tightened, heated, filled, drained."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

from author.checks.verbs import words
from author.proposals.language.fasteners import is_fastener
from author.proposals.language.word_forms import singular
from author.proposals.orders.wording import Order
from author.proposals.quantities.reading import SpokenQuantity
from author.proposals.things.finding import Thing
from author.proposals.things.named_measures import with_word_before

_LIKELY, _DOUBTED = Decimal("0.45"), Decimal("0.35")
_TOLD_OF = frozenset({"limits", "aim", "about", "measured"})
_NOT_MEASURED = frozenset(
    {"radius", "concentration", "pitch", "step", "chamfer", "crosshatch", "crush", "power",
     "capacity", "energy", "charge", "chip", "depth below flush", "height above flush"}
)  # fmt: skip
# A bare value of these may be a size that a thing has: "the belt's 1930 long", "230 volts in it".
_OFTEN_ONLY_TOLD = frozenset(
    {
        "length",
        "free length",
        "width",
        "thickness",
        "voltage",
        "angle",
        "temperature",
        "weight",
        "taper",
    }
)
_SET = re.compile(
    r"\b(?:set(?:s|ting)?|adjust\w*|shim(?:s|med)?)\b(?! (?:screws?|of|gauge|washers?))",
    re.IGNORECASE,
)
_ADJUSTABLE = frozenset(
    {"gap", "clearance", "valve clearance", "plug gap", "free play", "preload", "tension",
     "protrusion", "idle speed", "float height", "sag", "spacing", "overlap", "offset", "backlash",
     "end float", "end play", "slack"}
)  # fmt: skip
_SET_WHERE_SAID = _ADJUSTABLE | {"height", "stroke", "pressure", "speed", "timing", "depth"}
_HEATED = r"(?:heat|warm)(?:s|ed|ing)?"
_HEATS = re.compile(
    r"(?<!be )(?<!get )(?<!gets )(?<!is )(?<!are )(?<!in )(?<!with the )(?<!feels )\b(?:"
    rf"{_HEATED}|oven|hot ?plate|torch|heater|hot air)\b(?! (?:oil|water|gun|up|enough))",
    re.IGNORECASE,
)
_HEATS_IT = re.compile(rf"\b{_HEATED} (?:up )?(?:the |its |your |that |each )?", re.IGNORECASE)
_POURED = re.compile(
    r"\b(?:takes?|took|holds?|(?:re)?fill(?:s|ed|ing)?|pour(?:s|ed|ing)?|top(?:ped)? (?:it |her )?"
    r"up|fresh|new)\b",
    re.IGNORECASE,
)
_DRAINED = re.compile(
    r"\b(?:drain(?:s|ed|ing)?(?! (?:plug|screw|cock|valve|tap|bung|hole|bolt|point))|"
    r"com(?:es?|ing) out|came out)\b",
    re.IGNORECASE,
)
_FLUIDS = frozenset({"oil", "coolant", "fluid", "fuel", "antifreeze", "glycol", "water"})
_HOLDS_FLUID = frozenset(
    {"gearbox", "sump", "tank", "reservoir", "case", "box", "differential", "diff", "pump", "leg",
     "crankcase", "boiler", "radiator", "engine", "system", "hub", "cylinder", "bowl"}
)  # fmt: skip
# What shows a value is nothing that has it.
_SHOWS = frozenset(
    {"plate", "nameplate", "display", "needle", "gauge", "dial", "sticker", "lever", "button",
     "screen", "light", "manual", "panel", "switch", "glass", "lead", "port", "shim"}
)  # fmt: skip
_OF_A_BODY = frozenset(
    {"diameter", "thickness", "length", "width", "height", "bore", "runout", "end float", "play",
     "end play", "free play", "side play", "backlash", "wear", "taper", "ovality", "flatness",
     "straightness", "squareness", "parallelism", "concentricity", "stretch", "tread depth",
     "depth", "sag", "lift", "protrusion", "resistance", "insulation resistance"}
)  # fmt: skip
_NEAR = 45
"""Letters between a part and a number that is told of it."""
_INSTRUMENT = re.compile(
    r"\b(?:(?:dial|bore|depth|feeler|taper|tension|height|pressure|vacuum|plug|wire|snap) gau?ges?"
    r"|dial (?:indicator|test indicator)|(?:infrared |digital )?thermometer|clamp meter"
    r"|(?:outside |inside )?micrometers?|verniers?|(?:vernier )?call?ipers?|multimeter|ohm ?meter"
    r"|megger|spring balance|fish scale|feelers?|tacho(?:meter)?|manometer|durometer"
    r"|straight ?edge|gauge|indicator)\b",
    re.IGNORECASE,
)
_GAUGED = frozenset({"length", "pressure"})
# "120 degrees apart" tells where it is measured.
_APART = re.compile(r"\W*(?:degrees )?(?:apart|from each other|from one another)\b")
_NO_DATUM = words("oh wait no um uh had flush new start cold stop")
_BETWEEN = re.compile(r"\bbetween (?:the |its |your |this |that )?", re.IGNORECASE)
_AND = re.compile(r" and (?:the |its |your |this |that )?", re.IGNORECASE)
_OF = re.compile(r" (?:of|on|at|in) (?:the |its |your |this |that |each |both )?", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Around:
    """What stands around a number.

    Attributes:
        text: its sentence.
        here: things its sentence names, in order.
        before: things the sentence before names.
        read: whether a value is read in its sentence.
        fitting: whether something is put together or closed up there.
        making_safe: whether the job is made safe there.
    """

    text: str
    here: Sequence[Thing]
    before: Sequence[Thing]
    read: bool
    fitting: bool
    making_safe: bool


def order_of_number(each: SpokenQuantity, around: Around) -> Order | None:
    """Return what is done where a number is told, or None where words do not tell.

    Args:
        each: the number.
        around: what stands around it.
    """
    if each.role not in _TOLD_OF or each.quantity in {"time", "mass", None}:
        return None
    if each.quantity == "volume":
        return _poured(around)
    if each.quantity == "torque" and each.characteristic in {"torque", None}:
        part = _fastener(each, around)
        return implied(f"Tighten the {part}", "tighten", part) if part else None
    if each.quantity == "temperature" and _HEATS.search(around.text):
        heated = _heated(each, around)
        return implied(f"Heat the {heated}", "heat", heated) if heated else None
    return _measured(each, around)


def implied(action: str, verb: str, what: str | None, *, doubted: bool = False) -> Order:
    """Return an order that nobody told.

    Args:
        action: what is done, without full stop.
        verb: its verb.
        what: what it is done to, or None.
        doubted: whether the number may be only told, with nothing done.
    """
    return Order(f"{action}.", verb, what, None, _DOUBTED if doubted else _LIKELY)


def _fastener(each: SpokenQuantity, around: Around) -> str | None:
    """Return the fastener named last before a torque, else the first behind it or before."""
    here = [one for one in around.here if is_fastener(one.name)]
    ahead = [one for one in here if one.end <= each.begin]
    if ahead:
        return ahead[-1].name
    return next((o.name for o in (*here, *around.before) if is_fastener(o.name)), None)


def _poured(around: Around) -> Order | None:
    fluid = next(
        (one.name for one in (*around.here, *around.before) if _last(one.name) in _FLUIDS), None
    )
    if fluid and _DRAINED.search(around.text):
        return implied(f"Drain the {fluid}", "drain", fluid)
    if fluid and _POURED.search(around.text):
        holds = next((o.name for o in around.here if _last(o.name) in _HOLDS_FLUID), None)
        what = f"the {holds} with {fluid}" if holds else f"with {fluid}"
        return implied(f"Fill {what}", "fill", holds or fluid)
    return None


def _heated(each: SpokenQuantity, around: Around) -> str | None:
    """Return what is heated: what the verb names, else the part its sentence begins with."""
    parts = [one for one in around.here if one.kind == "part"]
    verb = _HEATS_IT.search(around.text)
    named = next((o.name for o in parts if verb and o.begin == verb.end()), None)
    ahead = [one.name for one in parts if one.end <= each.begin and _last(one.name) != "heater"]
    before = [one.name for one in around.before if one.kind == "part"]
    return named or next(iter((*ahead, *before)), None)


def _measured(each: SpokenQuantity, around: Around) -> Order | None:
    if not each.characteristic and each.named and each.quantity == "length":
        # "The bore is 12.02, good. The plunger must be 11.9 at least": measured as that was.
        part = next((one.name for one in around.here if one.kind == "part"), None)
        return implied(f"Measure the {part}", "measure", part) if part else None
    if (not each.characteristic and not each.datum) or each.unit in {"km", "mile"}:
        return None
    if each.named and each.named[0] != each.sentence and each.named[1] == each.named[2]:
        return None  # "It may slip forty. We got twenty-five": told again, in no word of its own
    what = each.characteristic.lower() if each.characteristic else "distance"
    if _APART.match(around.text, each.end):
        return None
    instrument = _INSTRUMENT.search(around.text)
    if instrument and instrument[0].lower() == "gauge" and each.quantity not in _GAUGED:
        instrument = None
    bare = each.role in {"aim", "about"} and not around.read and not instrument
    if bare and what == "voltage" and around.making_safe:
        return implied("Check that there is no voltage", "check", "voltage", doubted=True)
    if what in _NOT_MEASURED or (bare and what in _OFTEN_ONLY_TOLD):
        return None
    if what in {"co", "co2", "o2", "ph"}:
        what = each.characteristic or what
    begin = around.text.lower().rfind(what, 0, each.begin)
    name = with_word_before(what, around.text, begin)
    datum = _datum(what, each)
    of = "" if datum or name != what else _of_what(what, begin, each, around)
    positions = f" {each.positions}" if each.positions else ""
    said_to_set = _SET.search(around.text) is not None and what in _SET_WHERE_SAID
    if said_to_set or (bare and around.fitting and begin >= 0 and what in _ADJUSTABLE):
        return implied(f"Set the {name}{of}{datum}{positions}", "set", name)
    by = f" with the {instrument[0].lower()}" if instrument else ""
    action = f"Measure the {name}{of}{datum}{by}{positions}"
    return implied(action, "measure", name, doubted=bare)


def _datum(what: str, each: SpokenQuantity) -> str:
    """Return what a value is measured from, or nothing where words are no part's name."""
    said = each.datum.split() if each.datum else []
    return "" if not said or what in said or _NO_DATUM & set(said) else f" from the {each.datum}"


def _of_what(what: str, begin: int, each: SpokenQuantity, around: Around) -> str:
    """Return of what or between which two a characteristic is measured: " of the rod", or ""."""
    parts = [one for one in around.here if one.kind == "part" and _last(one.name) not in what]
    if begin >= 0 and (found := _BETWEEN.search(around.text, begin, begin + 40)):
        pair = [one for one in parts if one.begin >= found.end()][:2]
        if len(pair) == 2 and pair[0].begin == found.end():
            joined = _AND.fullmatch(around.text, pair[0].end, pair[1].begin)
            return f" between the {pair[0].name} and the {pair[1].name}" if joined else ""
    behind = _OF.match(around.text, begin + len(what)) if begin >= 0 else None
    if behind and (named := next((o for o in parts if o.begin == behind.end()), None)):
        return f" of the {named.name}"
    if what not in _OF_A_BODY:
        return ""
    ahead = [one for one in parts if one.end <= each.begin and not is_fastener(one.name)]
    near = bool(ahead) and each.begin - ahead[-1].end <= _NEAR
    told = near and _last(ahead[-1].name) not in _SHOWS
    return f" of the {ahead[-1].name}" if told else ""


def _last(name: str) -> str:
    return singular(name.rsplit(" ", maxsplit=1)[-1].lower())
