"""Units whose word has two meanings: mil, pounds, ounces, revs."""

from __future__ import annotations

import re
from decimal import Decimal

from author.proposals.quantities.amounts.amount import Amount, between
from author.proposals.quantities.amounts.context import Scene, own_name
from author.proposals.quantities.amounts.units import (
    MIL,
    MIL_A_MINUTE,
    OUNCE,
    POUND,
    POUNDS_AN_INCH,
    REVS,
)
from author.proposals.quantities.amounts.vocabulary import FLUID, FORCE, GAUGES, PRESSURE, WEIGHED
from author.proposals.quantities.bare_numbers.half_said import RESISTING
from author.proposals.quantities.numbers.parts import NUMBER_NAMES
from author.proposals.quantities.numbers.tokens import Token

_TIGHTENED = frozenset({"bolt", "bolts", "nut", "nuts", "screw", "screws", "stud", "studs", "lug",
                        "lugs", "plug", "locknut", "locknuts", "capscrew",
                        "capscrews"})  # fmt: skip
_TORQUE = frozenset(["torque", "torqued", "tighten", "tightened", "wrench", "torques", "nip"])
# What is lifted, or falls on somebody, is told by its weight.
_CARRIED = frozenset({"hug", "heavy", "drop", "drops", "fall", "falls", "foot", "toe", "toes",
                      "lift", "catch", "hold", "carry", "knees", "support", "hoist", "weighs",
                      "arms", "lighter", "heavier", "beast", "lump", "dead"})  # fmt: skip
_LIFTED = frozenset({"sling", "slings", "strap", "straps", "hoist", "crane", "lift", "lifts",
                     "lifting", "carry", "heavy", "heavier", "helper", "forklift", "chainfall",
                     "rigging", "toe", "toes", "knees", "buddy", "hero"})  # fmt: skip
_LUMPS = frozenset({"thing", "machine", "lump", "beast", "casting", "brute", "motor", "engine",
                    "gearbox", "transmission"})  # fmt: skip
_CHAINED = frozenset({"chain", "fall"})
_ABOUT = (
    r"(?: (?:about|only|around|like|a|an|good|maybe|near|over|nearly|right at|more like|close to"
    r"|well over|just|every bit of))*"
)
_IS_SO_HEAVY = re.compile(
    rf"\b(?:it|she|he|that|they|thing|unit|lump)(?:'s| is|'re| are| weighs){_ABOUT}$"
)
_THING_IS = re.compile(rf"\b([a-z]+)(?:'s| is|'re| are)(?! at\b){_ABOUT}$")
_WEIGHS = re.compile(rf"\b(?:weighs?|weighed|weighing|tips? the scales?)(?: in)?(?: at)?{_ABOUT}$")
_OF_THE_WHOLE = re.compile(r"of (?:it|her|him|that|them|iron|steel|metal|machine)\b")
_OF_STUFF = re.compile(r"of (?:\w+ )?([a-z]+)\b")
_EMPTY = re.compile(r"(?:empty|heavy|dead weight|kerb weight|curb weight|of dead weight)\b")
_SLUNG = frozenset({"sling", "slings", "hoist", "crane", "forklift", "chainfall", "rigging"})
_BY_HAND_PUSHED = re.compile(r"of (?:thumb|finger|hand|push|effort)\b|behind it\b")
# "Oil at twenty-five hundred pounds will go through a glove", "air at forty pounds".
_HELD_AT = re.compile(
    r"\b(?:oil|fluid|fuel|diesel|water|grease|steam|air|gas|nitrogen) (?:is |comes out |sits )?at ?"
    r"(?:about|around|nearly|over|up to)?$"
)
_LOST = re.compile(
    r"\b(?:lose|loses|lost|losing|drops?|dropped|falls?|fell|leaks?|leaked|bleeds?)\b"
    r"(?! (?:weight|it|the))[a-z', ]*$"
)
_IN_TIME = re.compile(r"(?:in|over|per|every|after) (?:\w+ ){0,2}(?:seconds?|minutes?|hours?)\b")
_IN_LINE = re.compile(
    r"(?:still |sitting |trapped |left |there )*in (?:that|the|this|your|them|those) (?:\w+ )?"
    r"(?:lines?|hoses?|circuit|system|pipes?|tyres?|tires?|bladder)\b"
)
_NO_STUFF = (FORCE | PRESSURE | FLUID | GAUGES) - {"back"} | {
    "thrust",
    "preload",
    "squeeze",
    "thumb",
    "vacuum",
    "torque",
    "steam",
    "push",
    "it",
    "them",
}
_UNDER_LOAD = re.compile(r"(?:on|in|at|of) (?!one\b|his\b|my\b|your\b)")
# So many kilos are a pound, and how far people round when they tell both.
_KILOS, _ROUNDED = Decimal("0.4536"), Decimal("0.1")
_MEANS_THOU = re.compile(
    r"\b(?:that's|that is|in|meaning|i mean|as in|which is|call it) (?:a )?thou\b"
)
_BY_HAND = frozenset({"thumb", "finger", "fingers"})
_CAPACITORS = frozenset({"capacitor", "capacitors", "cap", "caps", "condenser", "capacitance",
                         "electrolytic"})  # fmt: skip
_SPRINGS = frozenset({"spring", "springs", "rate", "rates", "stiffness", "coil", "coils",
                      "suspension", "shock", "shocks"})  # fmt: skip
_FLOWING = frozenset({"flow", "flows", "leak", "leaks", "leakage", "drip", "drips", "dripping",
                      "bleed", "bleeds", "weep", "weeps", "pump", "pumps"})  # fmt: skip
_FED = frozenset({"jog", "jogs", "jogging", "feed", "feeds", "feedrate", "traverse", "rapid",
                  "rapids", "axis", "plunge"})  # fmt: skip
_SHORT = frozenset({"mic", "mics", "mike", "mikes"})
_PULLED = {"lbf", "psi"}
_WEIGHED = frozenset({"grease", "greases", "compound", "paste", "powder", "refrigerant", "gas",
                      "solder", "grit", "moly", "graphite", "putty", "wax", "lithium", "spring",
                      "scale", "pull", "tension", "weight", "weighs", "force",
                      "lever"})  # fmt: skip


def settle_unit(scene: Scene, amount: Amount, *, imperial: bool, poured: bool) -> None:
    """Decide a unit whose word has two meanings, where the words of the sentence can.

    Args:
        scene: the sentence.
        amount: one of its amounts.
        poured: whether something is poured or filled here or just before.
        imperial: whether the recording speaks of inches and thousandths and never of
            millimetres.
    """
    unit, words = amount.unit, scene.words
    value = amount.nominal or amount.upper or amount.lower or 0
    if unit == MIL:
        _settle_mil(scene, amount, imperial=imperial, poured=poured)
    elif unit == "µm" and words & _CAPACITORS and words & _SHORT:
        amount.unit = "µF"
        amount.flags.add("settled")
        amount.why.append("'mic' is taken for microfarads, as a capacitor is spoken of")
    elif unit == POUND:
        _settle_pound(scene, amount)
    elif unit == "kg" and words & RESISTING and scene.tokens[amount.last - 1].low == "kilo":
        amount.unit = "kΩ"
        amount.flags.add("settled")
        amount.why.append("'kilo' is taken for kilohms, as a resistor is spoken of")
    elif unit == OUNCE:
        amount.unit = "US fl oz" if _is_poured(scene, amount, poured=poured) else "oz"
    elif unit == "in" and "vacuum" in words and 1 < value <= 30:
        amount.unit = "inHg"
        amount.flags.add("settled")
        amount.why.append("inches of vacuum are of mercury")
    elif unit in {POUNDS_AN_INCH, MIL_A_MINUTE}:
        _settle_of_two(scene, amount, poured=poured)
    elif unit == REVS:
        amount.unit = "r/min" if value >= _MOST_TURNS or _runs_so(scene, amount) else "turn"
    elif unit == "N" and words & (_TORQUE | _TIGHTENED) and not words & FORCE:
        amount.unit = "N·m"
        amount.flags.add("doubtful")
        amount.why.append("'newtons' is taken for newton metres, as something is tightened")


def _settle_pound(scene: Scene, amount: Amount) -> None:
    """Take pounds for a weight, a pressure, a force or a torque."""
    words = scene.words
    by_hand = "pressure" in words and words & _BY_HAND
    # "Close force, I put the gauge on it": that gauge shows a force
    pressing = words & PRESSURE - (_GAUGES if words & _OUTRIGHT else frozenset())
    behind = between(scene.tokens, amount.last, min(amount.last + 5, len(scene.tokens)))
    if weighs_so_much(scene, amount):
        amount.unit = "lb"
    elif _BY_HAND_PUSHED.match(behind):
        amount.unit = "lbf"
    elif (pressing and not by_hand) or _presses(scene, amount, behind):
        amount.unit = "psi"
    elif words & FORCE or by_hand:
        amount.unit = "lbf"
    elif words & _TORQUE:
        amount.unit = "lbf·ft"
        amount.flags.add("doubtful")
    else:
        amount.unit = "lb"
    if amount.unit != "lb":
        amount.flags.add("settled")
        amount.why.append("'pounds' is taken from the words around")


_OUTRIGHT = frozenset({"force", "forces"})
_GAUGES = frozenset({"gauge", "gauges", "gage", "gages"})


def _presses(scene: Scene, amount: Amount, behind: str) -> bool:
    """Whether pounds are a pressure by what they do: "it lost three pounds in a minute"."""
    ahead = between(scene.tokens, max(0, amount.first - 8), amount.first)
    lost = _LOST.search(ahead) is not None and _IN_TIME.match(behind) is not None
    return lost or _IN_LINE.match(behind) is not None or _HELD_AT.search(ahead) is not None


def _settle_of_two(scene: Scene, amount: Amount, *, poured: bool) -> None:
    """Take pounds per inch for a spring rate or psi, mil a minute for a feed or a flow."""
    if amount.unit == POUNDS_AN_INCH:
        pressed = scene.words & PRESSURE and not scene.words & _SPRINGS
        amount.unit = "psi" if pressed else "lbf/in"
    else:
        fed = scene.words & _FED and not scene.words & (FLUID | _FLOWING)
        flows = (poured or scene.words & (FLUID | _FLOWING)) and not fed
        amount.unit = "mL/min" if flows else "mm/min"
    amount.flags.add("settled")
    amount.why.append(f"it is taken for {amount.unit} from the words around")


_COLUMN = {"inH₂O": "in", "mmH₂O": "mm"}
# "Two inches of water in the bottom": so deep it stands.
_STANDS = re.compile(
    r"(?:in|over|above|around|inside|on the (?:floor|bottom)|left|standing|deep|at the bottom)\b"
)
_DRAUGHT = frozenset({"manometer", "draught", "draft", "static", "suction", "duct", "ducts", "fan",
                      "burner", "gas", "blower", "trunk", "flue", "differential", "filter", "wind",
                      "column", "vacuum", "magnehelic", "depression", "plenum",
                      "coil"}) | PRESSURE - {"air", "compressor", "pump", "pumped"}  # fmt: skip
_EVACUATED = frozenset({"vacuum", "evacuate", "evacuated", "evacuation"})
_LEAST_MICRONS = 50


def settle_column(near: list[Scene], scene: Scene, amount: Amount) -> None:
    """Decide whether inches or microns are a pressure or a length, by what is spoken of.

    "Two inches of water" on a manometer are a pressure, and in a sump its depth; of five hundred
    microns a vacuum pump makes a pressure.

    Args:
        near: the sentence and those just before it.
        scene: the sentence.
        amount: one of its amounts.
    """
    said = frozenset[str]().union(*(one.words for one in near))
    value = amount.nominal or amount.upper or amount.lower or 0
    if amount.unit in _COLUMN and scene.tokens[amount.last - 1].low == "water":
        behind = between(scene.tokens, amount.last, min(amount.last + 3, len(scene.tokens)))
        if _STANDS.match(behind) or not said & _DRAUGHT:
            amount.unit, amount.last = _COLUMN[amount.unit], amount.last - 2
    elif amount.unit == "µm" and (
        (said & _EVACUATED and value >= _LEAST_MICRONS) or _is_pressure(scene, amount)
    ):
        amount.unit = "µmHg"
        amount.flags.add("settled")
        amount.why.append("microns of a vacuum are of mercury")


def _is_pressure(scene: Scene, amount: Amount) -> bool:
    """Whether microns are told of a pressure: "ultimate pressure less than twenty microns"."""
    own = own_name(scene, amount)
    return own is not None and own[1] == "pressure"


def weighs_so_much(scene: Scene, amount: Amount) -> bool:
    """Whether pounds are told as the weight of a thing: it is said to weigh so, or lifted.

    Args:
        scene: the sentence.
        amount: so many pounds in it.
    """
    tokens = scene.tokens
    ahead = between(tokens, max(0, amount.first - 9), amount.first)
    behind = between(tokens, amount.last, min(amount.last + 3, len(tokens)))
    if _WEIGHS.search(ahead) or _EMPTY.match(behind) or _is_of_stuff(behind):
        return True
    kilos = (one.nominal for one in scene.amounts if one.unit == "kg")
    if not scene.words & FORCE and any(_is_as_much(amount.nominal, one) for one in kilos):
        return True
    named = _THING_IS.search(ahead)
    lump = named is not None and named[1] in _LUMPS
    if not (scene.words & _LIFTED or scene.words >= _CHAINED or lump):
        return False
    if _OF_THE_WHOLE.match(behind):
        return True
    other = _TIGHTENED | _TORQUE | PRESSURE | FORCE | GAUGES
    return named is not None and named[1] not in other and not _UNDER_LOAD.match(behind)


def _is_of_stuff(behind: str) -> bool:
    """Whether what is weighed follows: "a thousand pounds of road salt", not "of pull"."""
    of = _OF_STUFF.match(behind)
    return of is not None and not _NO_STUFF & set(behind.split())


def _is_as_much(pounds: Decimal | None, kilos: Decimal | None) -> bool:
    if not pounds or not kilos:
        return False
    return abs(pounds * _KILOS - kilos) <= _ROUNDED * kilos


_MOST_TURNS = 100
_RUNNING = frozenset({"run", "runs", "running", "ran", "start", "starts", "started", "speed",
                      "speeds", "idle", "idles", "idling", "spins", "spinning", "keep", "stay",
                      "motor", "drive", "slow", "fast", "faster", "slower"})  # fmt: skip
_SO_FAST = re.compile(r"\b(?:at|on|with|under|below|above|over|up to|than)$")
_BY_HAND_TURNED = frozenset({"hand", "wound", "wind", "winds", "unscrew", "unwind", "nut", "bolt"})


def _runs_so(scene: Scene, amount: Amount) -> bool:
    """Whether few revs tell how fast something runs, not how far it is turned."""
    ahead = between(scene.tokens, max(0, amount.first - 3), amount.first)
    led, turned = _SO_FAST.search(ahead), scene.words & _BY_HAND_TURNED
    return led is not None and bool(scene.words & _RUNNING) and not turned


_CLOSE = 8
_FLUID_BEHIND = re.compile(
    r"(?:of )?(?:\w+ )?(?:oil|fluid|water|coolant|petrol|diesel|fuel|resin|hardener|grease)\b"
    r"|(?:goes |go |went |comes )?in(?:to)? (?:a|your) (?:\w+ )?"
    r"(?:pot|jar|bottle|beaker|cup|syringe|jug|vial)\b(?! [a-z]+(?:er|head|neck|cap)\b)"
)
_POURED = re.compile(
    r"\b(?:pour|pours|squirt|squirts|syringe|inject|tip|tips|top up|drip|dose|measure out"
    r"|draw (?:up|out|off)|(?:goes|went|came|comes|put|get|takes) (?:in|out|back in))\b"
)
_LET_OUT = frozenset({"bleed", "bled", "bleeder"})
_TOPPED = re.compile(r"\btop(?:s|ped|ping)? (?:it |her |him )?up\b|\btopped\b")
_MUCH = 40  # of that many millimetres nobody speaks who bleeds a brake
_SIZE_BEHIND = re.compile(
    r"(?:of (?:it|them|a \w+) (?:out|below|above|up|down|showing)"
    r"|across|long|deep|wide|thick|high|tall|diameter|apart|proud|below|above|from|down"
    r"|in from)\b"
)


def _settle_mil(scene: Scene, amount: Amount, *, imperial: bool, poured: bool) -> None:
    """Take a "mil" for a millimetre, a millilitre or a thousandth of an inch."""
    words = scene.words
    value = amount.nominal or amount.upper or amount.lower or 0
    behind = between(scene.tokens, amount.last, min(amount.last + 8, len(scene.tokens)))
    sized = words & {"depth", "gap", "length", "long"} or _SIZE_BEHIND.match(behind)
    ahead = between(scene.tokens, max(0, amount.first - 10), amount.first)
    fluid = words & _LET_OUT or _TOPPED.search(" ".join(t.low for t in scene.tokens))
    given = (words & FLUID and _POURED.search(ahead)) or (fluid and value >= _MUCH)
    near = {one.low for one in scene.tokens[max(0, amount.first - _CLOSE) : amount.last + _CLOSE]}
    many = given or (poured and value >= 100) or (near & FLUID and value >= 20)
    if _FLUID_BEHIND.match(behind) or (many and not sized):
        amount.unit, other = "mL", "millilitres"
    elif imperial or _MEANS_THOU.search(behind):
        amount.unit, other = "thou", "thousandths"
    else:
        amount.unit, other = "mm", "millimetres"
    amount.flags.add("settled")
    amount.why.append(f"'mil' is taken for {other} from the words around")


def settle_newtons(scenes: list[Scene], scene: Scene, amount: Amount, told: set[str]) -> None:
    """Take newtons told of fasteners for newton metres, where a torque is told in those.

    Args:
        scenes: of the recording.
        scene: the sentence.
        amount: one of its amounts, in newtons.
        told: every unit told on the recording.
    """
    before = scenes[scene.index - 1].words if scene.index else frozenset[str]()
    fastened = scene.words & _TIGHTENED or (len(scene.tokens) <= _FEW_WORDS and before & _TIGHTENED)
    if "N·m" in told and fastened and not (scene.words | before) & (FORCE | GAUGES):
        amount.unit = "N·m"
        amount.flags.add("settled")
        amount.why.append("newtons of a fastener are newton metres, as told elsewhere")


_FEW_WORDS = 4


def settle_pounds(scene: Scene, amount: Amount, before: list[str | None], told: set[str]) -> None:
    """Decide what pounds are where the words of the sentence leave it open.

    Args:
        scene: the sentence.
        amount: so many pounds in it, taken for a weight or for foot pounds.
        before: units told just before.
        told: every unit told on the recording.
    """
    behind = scene.tokens[amount.last].low if amount.last < len(scene.tokens) else ""
    ahead = between(scene.tokens, max(0, amount.first - 4), amount.first)
    if weighs_so_much(scene, amount):
        return
    if amount.unit == "lb" and scene.words & _CARRIED and _IS_SO_HEAVY.search(ahead):
        return
    if amount.unit == "lbf·ft" or scene.words & _TIGHTENED - {"plug"}:
        torques = [unit for unit in ("lbf·in", "lbf·ft") if unit in told]
        amount.unit = torques[0] if len(torques) == 1 else "lbf·ft"
        amount.flags.add("doubtful")
        return
    pressed = any(word.removesuffix("'s") in PRESSURE for word in scene.words)
    slung = scene.words & _SLUNG and not pressed
    if slung or scene.words & WEIGHED or behind == "of":
        return
    again = [unit for unit in before if unit in _PULLED]
    if again or "psi" in told:
        amount.unit = again[-1] if again else "psi"
        amount.flags.add("settled")
        amount.why.append("'pounds' is taken as it was told elsewhere")


def _is_number(token: Token) -> bool:
    return token.low in NUMBER_NAMES or token.low[:1].isdigit()


def _is_poured(scene: Scene, amount: Amount, *, poured: bool) -> bool:
    """Whether ounces are of a fluid: the nearest word that tells what they are of decides."""
    best: tuple[int, bool] | None = None
    for at, token in enumerate(scene.tokens):
        fluid = token.low in FLUID and token.low not in _WEIGHED
        before = scene.tokens[at - 1] if at else None
        if token.low == "weight" and before and _is_number(before):
            fluid = True  # "thirty weight" is a grade of oil
        after = scene.tokens[at + 1].low if at + 1 < len(scene.tokens) else ""
        pulled = token.low == "pull" and after in {"it", "them", "the"}
        if pulled or not (fluid or token.low in _WEIGHED):
            continue
        far = amount.first - at if at < amount.first else at - amount.last + 1
        if best is None or far < best[0]:
            best = (far, fluid)
    return poured if best is None else best[1]
