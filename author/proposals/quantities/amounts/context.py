"""What the words around a quantity say of it: characteristic, datum, positions, doubtful units."""

from __future__ import annotations

from dataclasses import dataclass, field

from author.proposals.quantities.amounts.amount import Amount
from author.proposals.quantities.amounts.thought import Thought
from author.proposals.quantities.amounts.vocabulary import DIMENSIONS, GAUGES, SETS
from author.proposals.quantities.numbers.parts import NUMBER_NAMES
from author.proposals.quantities.numbers.tokens import Token

_L = "length"
# Name of a characteristic by the words it is called, with the kinds of quantity it has.
_CHARACTERISTICS: dict[str, tuple[str, str]] = {
    **{word: (word, _L) for word in (
        "depth", "gap", "clearance", "runout", "backlash", "diameter", "thickness", "length",
        "height", "width", "deflection", "protrusion", "overlap", "interference", "stroke", "taper",
        "ovality", "offset", "spacing", "lift", "wear", "sag", "distance", "travel", "radius",
        "crush", "pitch", "step", "slack", "play", "lash", "stretch", "chamfer", "crosshatch")},
    **{words: (words, _L) for words in (
        "end play", "end float", "free play", "side play", "side clearance", "ring gap",
        "valve gap",
        "valve clearance", "plug gap", "tread depth", "float height")},
    "bore gauge": ("bore", _L), "bore": ("bore", _L),
    "run out": ("runout", _L), "freeplay": ("free play", _L),
    "endfloat": ("end float", _L), "endplay": ("end play", _L),
    "float": ("end float", _L), "deep": ("depth", _L), "thick": ("thickness", _L),
    "long": ("length", _L), "wide": ("width", _L), "high": ("height", _L), "tall": ("height", _L),
    "proud": ("protrusion", _L), "apart": ("distance", _L), "tappet": ("valve clearance", _L),
    **dict.fromkeys(("deflects", "deflect"), ("deflection", _L)),
    "tappets": ("valve clearance", _L), "stickout": ("protrusion", _L), "od": ("diameter", _L),
    "torque": ("torque", "torque"), "torqued": ("torque", "torque"),
    "preload": ("preload", "torque force length"),
    "pressure": ("pressure", "pressure"), "compression": ("compression", "pressure"),
    "vacuum": ("vacuum", "pressure"), "boost": ("boost", "pressure"),
    "temperature": ("temperature", "temperature"), "voltage": ("voltage", "voltage"),
    "current": ("current", "current"), "draw": ("current", "current"),
    "resistance": ("resistance", "resistance"), "capacity": ("capacity", "volume charge energy"),
    "weighs": ("weight", "mass force"), "weight": ("weight", "mass force"),
    "tension": ("tension", "force frequency length"), "load": ("load", "force mass"),
    "force": ("force", "force mass"), "pull": ("pull", "force mass"), "angle": ("angle", "angle"),
    "timing": ("timing", "angle"),
    **dict.fromkeys(("idle", "idle speed"), ("idle speed", "rotational_speed")),
    "speed": ("speed", "rotational_speed speed"), "flow": ("flow", "volume_flow mass_flow"),
    "insulation": ("insulation resistance", "resistance"),
    **dict.fromkeys(("spring rate", "stiffness"), ("spring rate", "stiffness")),
    **dict.fromkeys(("noise level", "sound level"), ("sound level", "level sound_level_a")),
    "viscosity": ("viscosity", "kinematic_viscosity dynamic_viscosity time"),
    "conductivity": ("conductivity", "conductivity"), "inductance": ("inductance", "inductance"),
    "density": ("density", "density"), "unbalance": ("unbalance", "unbalance mass"),
    "imbalance": ("unbalance", "unbalance mass"), "ph": ("pH", "acidity"),
    "specific gravity": ("specific gravity", "count"),
    "capacitance": ("capacitance", "capacitance"), "current limit": ("current", "current"),
    "suction": ("suction", "pressure"), "discharge": ("discharge", "pressure"),
    **dict.fromkeys(("superheat", "super heat"), ("superheat", "temperature_difference")),
    **dict.fromkeys(("subcooling", "sub cooling", "subcool", "sub cool"),
                    ("subcooling", "temperature_difference")),
    "flue gas": ("flue gas temperature", "temperature"),
    "temp": ("temperature", "temperature"), "volts": ("voltage", "voltage"),
    "clear of": ("clearance", _L), "ripple": ("ripple", "voltage"),
    "precharge": ("pressure", "pressure"),
    **{word: (word, _L) for word in (
        "straightness", "flatness", "squareness", "roundness", "concentricity", "parallelism")},
    "straight within": ("straightness", _L), "flat within": ("flatness", _L),
    "square within": ("squareness", _L), "round within": ("roundness", _L),
    "true within": ("runout", _L), "straight to": ("straightness", _L),
    "co": ("CO", "ratio"), "carbon monoxide": ("CO", "ratio"), "co 2": ("CO2", "ratio"),
    "co two": ("CO2", "ratio"), "carbon dioxide": ("CO2", "ratio"), "o 2": ("O2", "ratio"),
    "oxygen": ("O2", "ratio"), "soot": ("soot number", "count"),
}  # fmt: skip
# What names a value and tells no unit of a bare number.
_NAMED_ONLY: dict[str, tuple[str, str]] = {
    **{f"{stuff} level": (f"{stuff} level", _L) for stuff in (
        "oil", "fluid", "water", "fuel", "coolant", "liquid", "electrolyte", "brine", "acid",
        "grease")},
    **{words: (words, _L) for words in (
        "free length", "stopping distance", "braking distance", "alignment", "misalignment",
        "eccentricity", "movement", "wobble", "slop", "squish", "bow", "droop", "daylight")},
    "daylight": ("gap", _L), "contact": ("contact", "ratio"), "humidity": ("humidity", "ratio"),
    "ratio": ("ratio", "ratio"),
    "tension": ("tension", "force frequency length mass"),
}  # fmt: skip
_NO_NAMES = {"deep", "thick", "long", "wide", "high", "tall", "proud", "apart", "draw", "pull",
             "step", "load", "float", "play", "lift", "stroke", "bore"}  # fmt: skip
OWN_NAME = {"torque", "pressure", "temperature", "voltage", "current", "resistance", "volume",
             "time", "force", "angle", "frequency", "capacitance", "power"}  # fmt: skip
_NEAR, _OWN = 40, 7
# Words that name a characteristic in passing, too loosely to say what is being measured.
_LOOSE = frozenset({"deep", "thick", "long", "wide", "high", "tall", "proud", "apart", "draw",
                    "pull", "step", "load", "float", "play", "lift", "stroke", "idle", "timing",
                    "wear", "travel", "pitch", "current", "distance"})  # fmt: skip


@dataclass(slots=True)
class Scene:
    """One sentence with what its words tell of the quantities near it.

    Attributes:
        index: of the sentence.
        tokens: of its text.
        words: the same in small letters, without order.
        gauge: whether a measuring instrument is named.
        setting: whether something is set, tightened or wanted.
        amounts: what was found.
        starts: index of the first token of each amount, as they were found first.
        sizes: amounts that only name or count a thing.
        thought: what the network thinks of it, where it was asked.
    """

    index: int
    tokens: list[Token]
    words: frozenset[str]
    gauge: bool
    setting: bool
    amounts: list[Amount]
    starts: frozenset[int] = frozenset()
    sizes: list[Amount] = field(default_factory=list)
    thought: Thought | None = None


def scene_of(index: int, tokens: list[Token], amounts: list[Amount]) -> Scene:
    """Return a sentence with what its words tell.

    Args:
        index: of the sentence within its recording.
        tokens: words of the sentence.
        amounts: the values in it.
    """
    words = frozenset(token.low for token in tokens)
    wrench = "torque" in words and "wrench" in words
    inside = {at for one in amounts for at in range(one.first, one.last)}
    gauge = any(token.low in GAUGES for at, token in enumerate(tokens) if at not in inside)
    starts = frozenset(amount.first for amount in amounts)
    return Scene(index, tokens, words, gauge and not wrench, bool(words & SETS), amounts, starts)


def nearest(
    scene: Scene, amount: Amount | None, kinds: frozenset[str], *, loose: bool = True
) -> tuple[str, int] | None:
    """Return the characteristic named nearest to an amount, with the token it begins at.

    Args:
        scene: the sentence.
        amount: the value; None for the characteristic named last.
        kinds: kinds of quantity it may have, empty for any.
        loose: whether words count that only name one in passing.
    """
    tokens = scene.tokens
    middle = len(tokens) if amount is None else amount.first
    near = range(max(0, middle - _NEAR), min(len(tokens), middle + _NEAR))
    others = [at for at in near if at in scene.starts and at != middle]
    best: tuple[int, str, int] | None = None
    for at in near:
        named = _named_at(tokens, at, loose=loose)
        if named is None or (kinds and kinds.isdisjoint(named[1].split())):
            continue
        if loose and not _is_told_here(tokens, at, amount):
            continue
        far = middle - at if at < middle else 1 + at - (amount.last if amount else 0)
        low, high = sorted((at, middle))
        parted = sum(low < other < high for other in others)
        if parted and not loose:
            continue
        far += 6 * parted
        if best is None or far < best[0]:
            best = (far, named[0], at)
    return best[1:] if best else None


def _is_told_here(tokens: list[Token], at: int, amount: Amount | None) -> bool:
    """Whether a word names what is measured, and neither a place, a way nor what comes later."""
    low = tokens[at].low
    if low in DIMENSIONS:
        # "Before I take it apart" and "the long hub" measure nothing.
        asked = at > 0 and tokens[at - 1].low == "how"
        beside = amount is not None and (amount.first - _BESIDE <= at <= amount.last + 1)
        return asked or beside
    if amount is not None and at >= amount.last:
        # "It's half a thou, lock both screws. then check the height"
        return all(token.low not in _ENDS for token in tokens[amount.last : at])
    return not _is_place(tokens, at)


def _is_place(tokens: list[Token], at: int) -> bool:
    """Whether a word tells where another is measured: "runout in the taper"."""
    before = at - 1 if at and tokens[at - 1].low in _ARTICLES else at
    if before < 2 or tokens[before - 1].low not in _WHERE:
        return False
    ahead = range(max(0, before - 1 - _BESIDE), before - 1)
    return any(_named_at(tokens, one, loose=True) for one in ahead)


_BESIDE = 3
_ENDS = frozenset({".", ";", "?", "!", "otherwise"})
_ARTICLES = frozenset({"the", "its", "your", "that", "this", "each", "both"})
_WHERE = frozenset({"in", "on", "at", "of", "along", "over", "inside"})


def characteristic_near(scene: Scene, amount: Amount) -> str | None:
    """Return the characteristic that the sentence of an amount names, the nearest one."""
    near = characteristic_at(scene, amount)
    return near[0] if near else None


def characteristic_at(scene: Scene, amount: Amount) -> tuple[str, int] | None:
    """Return the same with the index of the token it begins at."""
    return nearest(scene, amount, frozenset(), loose=False)


def own_name(scene: Scene, amount: Amount) -> tuple[str, str] | None:
    """Return the characteristic right before an amount, with its kinds: "CO at 14"."""
    for at in range(amount.first - 1, max(-1, amount.first - _OWN), -1):
        if scene.tokens[at].kind == "sign":
            break
        if named := _named_at(scene.tokens, at, loose=False):
            return named
    return None


def strong_names(tokens: list[Token]) -> frozenset[str]:
    """Return the kinds of quantity that the characteristic named last can have."""
    for at in range(len(tokens) - 1, -1, -1):
        named = _named_at(tokens, at, loose=False)
        if named:
            return frozenset(named[1].split())
    return frozenset()


def _named_at(tokens: list[Token], at: int, *, loose: bool) -> tuple[str, str] | None:
    """Return the characteristic whose words begin at a token, with its kinds, or None."""
    low = tokens[at].low.removesuffix("'s")
    if low not in _FIRST_WORDS:
        return None
    if at and f"{tokens[at - 1].low} {low}" in _CHARACTERISTICS:
        return None  # "end play": named by the word before
    after = tokens[at + 1].low.removesuffix("'s") if at + 1 < len(tokens) else ""
    named = _CHARACTERISTICS.get(f"{low} {after}")
    if named is None and loose:
        named = _NAMED_ONLY.get(f"{low} {after}") or _NAMED_ONLY.get(low)
    if named is None and (loose or low not in _LOOSE):
        oil = low == "weight" and at > 0 and tokens[at - 1].low in NUMBER_NAMES  # "thirty weight"
        named = None if oil or after in _NAMES_A_PART.get(low, ()) else _CHARACTERISTICS.get(low)
    return named


_FIRST_WORDS = frozenset(name.split(" ")[0] for name in (*_CHARACTERISTICS, *_NAMED_ONLY))
# "The wear plate", "the lift arm" name a part, "pull it over" a deed, and no characteristic.
_NAMES_A_PART = {
    name: frozenset(parts.split())
    for name, parts in {
        "wear": (
            "limit limits bar bars block bush indicator liner pad pads plate plates ring rings "
            "shoe sleeve strip strips washer gloves gauntlets goggles glasses a an your the "
            "mask ear eye safety thick leather rubber proper good some something it them"
        ),
        "lift": "arm arms chain cylinder it plate pump ram rod the them truck",
        "pressure": "cap gauge hose line pad pipe plate plates pump ring switch washer",
        "torque": "arm bar converter limiter rod tube wrench",
        "tension": "arm pulley rod spring wheel",
        "load": "arm cell hook spreader washer",
        "step": "bolt drill ladder pulley",
        "pitch": "arm circle",
        "pull": "cord handle it rod tab that the them wire your",
        "draw": "bar bolt it the them",
        "speed": "controller nut sensor",
        "stroke": "limiter",
        "travel": "motor stop",
        "current": "clamp",
        "float": "arm bowl chamber needle switch valve",
        "slack": "adjuster it off the them your",
        "idle": "jet screw wheel",
        "bore": "anyone everybody everyone him me them us you",
        "length": "gauge",
    }.items()
}


def names_value(word: str) -> bool:
    """Whether a word names a characteristic, so that a number behind it is its value."""
    return word in _CHARACTERISTICS and word not in _NO_NAMES


def kinds_named(name: str | None) -> set[str]:
    """Return the kinds of quantity a characteristic can have, empty where it is unknown."""
    if name is None:
        return set()
    if name in OWN_NAME:
        return {name}
    return {
        kind
        for named, kinds in _CHARACTERISTICS.values()
        if named == name
        for kind in kinds.split()
    }
