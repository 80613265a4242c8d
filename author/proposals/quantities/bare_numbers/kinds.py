"""Which kind of quantity a number without a unit is of, by the nearest word that tells."""

from __future__ import annotations

from decimal import Decimal

from author.proposals.quantities.amounts.amount import Amount, between
from author.proposals.quantities.amounts.behind_numbers import DIMENSIONS
from author.proposals.quantities.amounts.context import Scene
from author.proposals.quantities.amounts.units import kind_of
from author.proposals.quantities.amounts.vocabulary import HOT, WARM
from author.proposals.quantities.bare_numbers.told_as_value import decimals
from author.proposals.quantities.numbers.tokens import Token


def _of(kinds: str, words: str) -> dict[str, frozenset[str]]:
    return dict.fromkeys(words.split(), frozenset(kinds.split()))


# What people do to a thing, or say of it, that goes with one kind of quantity: whoever heats
# tells degrees. Words of several trades only; names of parts tell little.
_TELLS: dict[str, frozenset[str]] = {
    **_of(
        "temperature",
        """heat heats heated heating hotter warm warms warmed warming warmer cooler colder chill
        chilled stat stats bake baked baking boil boils boiling simmer simmers melt melts melted
        solder
        soldering anneal annealed preheat preheated thermostat temp temps oven kiln freezer
        fridge coolant roast quench quenched thaw thawed sweat warmth warming scald scalding
        thermometer thermocouple pyrometer heater cooks cook""",
    ),
    **_of(
        "rotational_speed",
        """rev revs revved revving rpm idle idles idling tickover spin spins spinning spun tacho
        tach tachometer""",
    ),
    **_of(
        "pressure",
        """inflate inflates inflated pressurise pressurised pressurize pressurized relief unloader
        unloads dump dumps boost suction precharge accumulator tyre tyres tire
        tires manometer psi compression air tank tanks governor vessel charge charged precharged
        pressures hydraulic pneumatic regulator bleed vacuum gas cut-in cut-out cutout cutin""",
    ),
    **_of(
        "force mass current",
        "pull pulls pulling",
    ),
    **_of("force mass", "tug tugs weigh weighs drag drags balance tension tensioned heavy"),
    **_of("frequency", "hertz tone tones pitch hum frequency oscillator"),
    **_of("ratio", "wow flutter percent concentration mix mixed mixture duty"),
    **_of("angle", "tilt tilts tilted protractor bevel bevelled mitre camber caster toe"),
    **_of("length", "gap gaps clearance runout backlash float endplay endfloat lash shim shims"
          " feeler feelers thickness diameter dia bore micrometer caliper calipers calliper vernier"
          " indicator thinner thicker sticking protrudes"),
    **_of("voltage", "volts voltage transformer battery batteries cell cells rail rails"
          " alternator"),
    **_of("current", "amps draws drawing draw amperage"),
    **_of("resistance", "ohms ohm winding windings continuity insulation"),
    **_of("volume", "pour poured pours jug syringe litres topped fill filled drain drained pail"
          " bucket sump"),
    **_of("volume_flow", "flow flows flowing"),
    **_of("torque", "tighten tightened torque torqued nip nipped crosswise criss-cross"),
    **_of("time", "soak soaks soaking cure cures cured timed wait waits stopwatch took lasted"),
}  # fmt: skip
_BEFORE, _BEHIND = 7, 4
_SLOW = 250
_RUN = frozenset(
    {"spindle", "chuck", "lathe", "drill", "run", "runs", "running", "turning", "turns"}
)


def kinds_told(scene: Scene, amount: Amount) -> frozenset[str]:
    """Return the kinds of quantity the nearest such word goes with, empty where there is none.

    Args:
        scene: the sentence.
        amount: one of its amounts, its place among them known.
    """
    tokens = scene.tokens
    floor = scene.amounts[amount.place - 1].last if amount.place else 0
    for at in range(amount.first - 1, max(-1, amount.first - 1 - _BEFORE), -1):
        if at < floor - 1 or (at < amount.first - 2 and tokens[at].low in {".", ";"}):
            break
        if found := _TELLS.get(tokens[at].low.removesuffix("'s")):
            return found
        if found := _deed(scene, at, amount):
            return found
    if amount.first and tokens[amount.first - 1].low == "every":
        return frozenset({"length"})
    if _dwells(scene, amount):
        return frozenset({"temperature"})
    after = tokens[amount.last].low if amount.last < len(tokens) else ""
    if between(tokens, amount.last, min(amount.last + 3, len(tokens))) == "on the gun":
        return frozenset({"temperature"})
    if after in DIMENSIONS:
        return frozenset({"length"})
    further = scene.amounts[amount.place + 1 : amount.place + 2]
    ceiling = further[0].first if further else len(tokens)
    for at in range(amount.last, min(amount.last + _BEHIND, ceiling)):
        if tokens[at].kind == "sign" and tokens[at].low != ",":
            break
        if found := _TELLS.get(tokens[at].low):
            return found
    return frozenset()


def kinds_spoken(scene: Scene) -> frozenset[str]:
    """Return the kinds of quantity the last such word of a sentence goes with."""
    for token in reversed(scene.tokens):
        if found := _TELLS.get(token.low.removesuffix("'s")):
            return found
    return frozenset()


def _deed(scene: Scene, at: int, amount: Amount) -> frozenset[str]:
    """Return the kind of what is done in two words: "pump it", "run it at"."""
    tokens = scene.tokens
    if tokens[at].low in _PUMPED and tokens[at + 1].low in _UP:
        return frozenset({"pressure"})
    if tokens[at].low == "at" and at and _runs(tokens[at - 1].low, scene, at, amount):
        return frozenset({"rotational_speed"})
    return frozenset()


def is_width(scene: Scene, amount: Amount) -> bool:
    """Whether a width is told: "measured across the mouth", and no voltage "across the coil".

    Args:
        scene: the sentence.
        amount: one of its amounts, its place among them known.
    """
    tokens = scene.tokens
    told = [one.last for one in scene.amounts[: amount.place] if kind_of(one.unit)]
    floor = max(0, amount.first - _WIDTH_REACH, *told[-1:])
    return any(
        tokens[at].low in _SPANS and _is_measured_over(tokens, at)
        for at in range(floor, amount.first)
    )


def is_turned_size(before: Scene | None, scene: Scene, amount: Amount) -> bool:
    """Whether hundredths are told of what is turned or bored: "front journal, 69.995".

    Args:
        before: the sentence before it.
        scene: the sentence.
        amount: one of its amounts.
    """
    if amount.form not in {"decimal", "range"} or decimals(amount) < _TO_HUNDREDTHS:
        return False
    ahead = [token.low for token in scene.tokens[: amount.first]]
    if before is not None and len(ahead) <= _FEW_AHEAD and not before.words & _WEIGHTS:
        ahead += [token.low for token in before.tokens]
    return not _ROUND.isdisjoint(ahead) and not scene.words & _WEIGHTS


_TO_HUNDREDTHS, _FEW_AHEAD = 2, 5
_ROUND = frozenset({"journal", "journals", "shaft", "spindle", "crankpin", "bore", "bores", "stem",
                    "shank", "diameter"})  # fmt: skip
_WEIGHTS = frozenset({"weigh", "weighs", "weighed", "weight", "kilos", "heavy", "pull", "drag",
                      "turns", "speed", "torque", "pressure", "volts", "amps", "ohms"})  # fmt: skip


def _is_measured_over(tokens: list[Token], at: int) -> bool:
    ahead = {token.low for token in tokens[max(0, at - 4) : at]}
    over = {token.low for token in tokens[at + 1 : at + 5]}
    return bool(ahead & _MEASURED) and not over & _ELECTRIC


_WIDTH_REACH = 14
_SPANS = frozenset({"across", "between"})
_MEASURED = frozenset({"measure", "measured", "measures", "measuring", "mike", "miked", "gauged"})
_ELECTRIC = frozenset({"terminal", "terminals", "coil", "coils", "winding", "windings", "contact",
                       "contacts", "battery", "batteries", "capacitor", "cap", "leads", "legs",
                       "phases", "phase", "line", "lines", "fuse", "resistor", "element", "posts",
                       "poles", "plug", "connector", "motor", "brushes", "wires", "live",
                       "neutral", "earth", "cells", "cell", "switch", "relay",
                       "sensor"})  # fmt: skip
_PUMPED = frozenset({"pump", "pumps", "pumped", "blow"})
_UP = frozenset({"it", "her", "him", "them", "up", "to"})
_BATHS = frozenset({"ultrasonic", "tank", "bath", "wash", "oil", "water", "dip", "tub", "pot",
                    "pan", "steam", "autoclave", "press", "sauna"})  # fmt: skip


def _dwells(scene: Scene, amount: Amount) -> bool:
    """Whether it is told behind a time how hot something is kept: "ten minutes at fifty"."""
    tokens = scene.tokens
    at = amount.first - 1
    before = scene.amounts[amount.place - 1] if amount.place else None
    timed = before is not None and before.last == at and kind_of(before.unit) == "time"
    warm = scene.words & (_BATHS | HOT | WARM)
    return timed and at > 0 and tokens[at].low == "at" and bool(warm)


def _runs(word: str, scene: Scene, at: int, amount: Amount) -> bool:
    """Whether "run it at" stands before a number as large as a speed."""
    before = scene.tokens[at - 2].low if at > 1 else ""
    value = amount.nominal or amount.upper or Decimal(0)
    return value >= _SLOW and (word in _RUN or before in _RUN)
