"""What is being measured at each moment, and every unit that was said by then."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from decimal import Decimal

from author.proposals.quantities.amounts.amount import Amount
from author.proposals.quantities.amounts.behind_numbers import plain_unit_at
from author.proposals.quantities.amounts.context import Scene, strong_names
from author.proposals.quantities.amounts.units import MIL, VAGUE, kind_of
from author.proposals.quantities.numbers.tokens import Token

_LENGTH = frozenset({"length"})
_ELECTRIC = frozenset({"voltage", "current", "resistance", "capacitance", "frequency", "power"})
# Kinds of quantity an instrument can show. What a plain "gauge" shows the words around tell.
_INSTRUMENTS: dict[str, frozenset[str]] = {
    **dict.fromkeys(
        ("micrometer", "micrometre", "micrometers", "mic", "mics", "mike", "vernier", "verniers",
         "caliper", "calipers", "calliper", "callipers", "feeler", "feelers", "indicator", "dti",
         "plastigauge", "steel rule", "tape measure", "clock on", "clock reads", "clock shows",
         "clock says", "straightedge", "ruler",
         "bore gauge", "depth gauge", "height gauge",
         "dial gauge", "telescoping gauge", "snap gauge", "thickness gauge", "dial indicator",
         "dial test"), _LENGTH),
    **dict.fromkeys(
        ("multimeter", "meter", "probes", "leads", "scope"), _ELECTRIC),
    **dict.fromkeys(("ohmmeter", "megger", "meggered", "insulation tester", "ohms"),
                    frozenset({"resistance"})),
    "flow meter": frozenset({"volume_flow", "mass_flow"}),
    "flowmeter": frozenset({"volume_flow", "mass_flow"}),
    **dict.fromkeys(("sound meter", "level meter", "decibel meter"),
                    frozenset({"level", "sound_level_a"})),
    **dict.fromkeys(("light meter", "lux meter"), frozenset({"illuminance"})),
    **dict.fromkeys(("vibration meter", "vibration pen"), frozenset({"speed", "acceleration"})),
    "ph meter": frozenset({"acidity"}), "conductivity meter": frozenset({"conductivity"}),
    **dict.fromkeys(("ph strip", "test strip", "paper strip", "litmus", "a strip"),
                    frozenset({"acidity"})),
    "voltmeter": frozenset({"voltage"}),
    **dict.fromkeys(("ammeter", "clamp meter", "clamp says", "clamp reads", "clamp shows"),
                    frozenset({"current"})),
    **dict.fromkeys(("stopwatch", "mississippi"), frozenset({"time"})),
    **dict.fromkeys(("thermometer", "thermocouple", "infrared", "pyrometer", "hotplate", "heat gun",
                     "temp gun", "gun says", "gun reads", "gun shows", "gun read", "gun said"),
                    frozenset({"temperature"})),
    **dict.fromkeys(("tacho", "tach", "tachometer", "strobe"), frozenset({"rotational_speed"})),
    **dict.fromkeys(("pressure gauge", "compression tester", "manometer", "leakdown",
                     "tyre gauge", "tire gauge", "vacuum gauge", "water gauge",
                     "magnehelic"), frozenset({"pressure"})),
    **dict.fromkeys(("scales", "spring balance", "fish scale", "spring scale", "luggage scale",
                     "luggage scales", "pull scale"),
                    frozenset({"mass", "force"})),
    **dict.fromkeys(("torque wrench", "torque", "torqued", "torques", "tighten", "tightened",
                     "retorque", "nip", "snug"), frozenset({"torque"})),
    **dict.fromkeys(("oven", "superheat", "thermostat"),
                    frozenset({"temperature", "temperature_difference"})),
    **dict.fromkeys(("protractor", "inclinometer"), frozenset({"angle"})),
    **dict.fromkeys(
        tuple(f"{thing} {verb}" for thing in
              ("tank", "sump", "box", "case", "reservoir", "gearbox", "crankcase", "bowl", "system",
               "housing", "pan", "diff")
              for verb in ("holds", "takes", "hold")), frozenset({"volume"})),
}  # fmt: skip
_PRESSURE = frozenset({"pressure"})
_GAUGES = frozenset({"gauge", "gage"})
_LETS_FLOW = frozenset({"tap", "cock", "valve", "bleed", "bleeder", "vent", "steam", "regulator",
                        "compressor", "airline", "unloader"})  # fmt: skip
# A thing told by its rating has one of this at the least.
_FEWEST = 5
PASSING = frozenset({"time", "ratio", "turns", "count"})
"""Kinds that come between readings and take nothing up."""
# Words of units that mean other things as well, so that alone they tell nothing.
_COMMON = frozenset(
    {
        "mic",
        "mike",
        "micrometer",
        "micrometre",
        "meter",
        "meters",
        "metre",
        "bar",
        "in",
        "inch",
        "foot",
        "feet",
        "yard",
        "m",
        "second",
        "seconds",
    }
)
# Kinds whose unit is told with the name of a thing: "a two hundred bar washer".
_SIZED = frozenset({"length", "pressure", "rotational_speed"})
# "thirty-eight to fifty, that's mil", "nought point nought two, of a mil".
_TOLD = frozenset({"that's", "thats", "a", "in", "is"})
_PREFIXES = frozenset({"micro", "nano", "pico", "giga"})
_FAR = 24
# How many sentences behind one ahead counts as.
_AHEAD = 6
# No more tokens than this has a sentence that only names the unit: "That's millimetres."
_SHORT = 6


@dataclass(frozen=True, slots=True)
class Said:
    """A unit that was said.

    Attributes:
        scene: index of the sentence.
        unit: symbol.
        kind: what it measures.
        value: how large the number with it was, None where it stood alone.
        carried: whether the number took it from another.
        open: -1 where the value is a limit with nothing below it, 1 with nothing above.
    """

    scene: int
    unit: str
    kind: str
    value: float | None
    carried: bool = False
    open: int = 0

    def apart(self, size: float | None) -> float:
        """Return how far a size lies from this one, in powers of ten.

        A limit on one side has no size of its own on the other: of "at least one megohm"
        two hundred are as good as two.
        """
        far = decades(size, self.value)
        beyond = self.open and size and self.value and (size - self.value) * self.open > 0
        return 0.3 * far if beyond else far


@dataclass(slots=True)
class Talk:
    """A recording as far as units go.

    Attributes:
        scenes: its sentences.
        said: the units said in each sentence, those carried over as they are found.
        named: kinds of the characteristic that each sentence names last, empty if none.
        tools: kinds that the instrument named in each sentence can show, empty if none.
        units: of each kind, with the sizes told in each.
        assumed: units that nobody said and the instrument suggests.
        scales: of each sentence, the parts it says bare numbers are, else 1.
        metric: whether the recording speaks of metric units; None where nothing tells.
        spread: in how many sentences each word is said, once somebody asked.
        around: the words around amounts, as they are asked for.
    """

    scenes: list[Scene]
    said: list[list[Said]]
    named: list[frozenset[str]]
    tools: list[frozenset[str]]
    units: dict[str, dict[str, list[float]]] = field(default_factory=dict)
    assumed: set[str] = field(default_factory=set)
    scales: list[int] = field(default_factory=list)
    metric: bool | None = None
    spread: dict[str, int] = field(default_factory=dict)
    around: dict[tuple[int, int, int], frozenset[str]] = field(default_factory=dict)

    def note(self, index: int, one: Said) -> None:
        """Remember a unit."""
        self.said[index].append(one)
        values = self.units.setdefault(one.kind, {}).setdefault(one.unit, [])
        if one.value and len(values) < 40:
            values.append(one.value)


def talk_of(scenes: list[Scene]) -> Talk:
    """Return what is taken up and which units are said, sentence by sentence."""
    tools = [_kinds_in_hand(scene.tokens) for scene in scenes]
    named = [strong_names(scene.tokens) for scene in scenes]
    talk = Talk(scenes, [[] for _ in scenes], named, tools)
    metric = any(amount.unit == "mm" for scene in scenes for amount in scene.amounts)
    for scene in scenes:
        for amount in scene.amounts:
            kind = kind_of(amount.unit)
            if kind and amount.unit:
                talk.note(scene.index, said_of(scene, amount, amount.unit, kind))
        for size in scene.sizes:
            kind = kind_of(size.unit)
            tells = kind == "length" or (kind in _SIZED and _names_what_follows(scene, size))
            if tells and kind and size.unit and size.unit != "ft":
                one = said_of(scene, size, size.unit, kind, carried=True)
                talk.note(scene.index, one)
        for unit in _bare_units(scene, metric=metric):
            kind = kind_of(unit)
            if kind and (kind not in PASSING or "turns" in scene.words):
                talk.note(scene.index, Said(scene.index, unit, kind, None))
    return talk


def _names_what_follows(scene: Scene, size: Amount) -> bool:
    """Whether a thing is told by its rating: "a two hundred bar washer"."""
    after = scene.tokens[size.last] if size.last < len(scene.tokens) else None
    return after is not None and after.kind == "word" and (size.nominal or 0) >= _FEWEST


def said_of(scene: Scene, amount: Amount, unit: str, kind: str, *, carried: bool = False) -> Said:
    """Return an amount as one whose unit others can take.

    Args:
        scene: the sentence it is told in.
        amount: the amount.
        unit: its unit.
        kind: kind of quantity of that unit.
        carried: whether the unit itself was taken from another amount.
    """
    single = amount.role == "limits" and amount.nominal is None
    side = (amount.upper is None) - (amount.lower is None) if single else 0
    return Said(scene.index, unit, kind, size_of(amount), carried, side)


def size_of(amount: Amount) -> float | None:
    """Return how large an amount is, None where it has no number but nought."""
    values = [v for v in (amount.nominal, amount.upper, amount.lower) if v]
    return abs(float(values[0])) if values else None


def _kinds_in_hand(tokens: list[Token]) -> frozenset[str]:
    kinds: frozenset[str] = frozenset()
    low = [token.low.removesuffix("'s") for token in tokens]
    for at, word in enumerate(low):
        two = f"{word} {low[at + 1]}" if at + 1 < len(low) else ""
        kinds = _INSTRUMENTS.get(two) or _INSTRUMENTS.get(word) or kinds
    if not kinds and not _GAUGES.isdisjoint(low) and not _LETS_FLOW.isdisjoint(low):
        return _PRESSURE  # "open the steam tap until the gauge is at zero"
    return kinds


def _bare_units(scene: Scene, *, metric: bool) -> Iterator[str]:
    """Yield units that stand without a number: "that's millimetres", or "mil" where those are."""
    every = [*scene.amounts, *scene.sizes]
    inside = {at for one in every for at in range(one.first, one.last)}
    for at, token in enumerate(scene.tokens):
        if at in inside or token.kind != "word" or len(token.low) < 3 or token.low in _COMMON:
            continue
        if at and scene.tokens[at - 1].low in _PREFIXES:
            continue
        unit = plain_unit_at(scene.tokens, at)
        if unit and metric and unit.symbol == MIL and scene.tokens[at - 1].low in _TOLD:
            yield "mm"
        if unit and unit.symbol not in VAGUE and not inside & set(range(at, unit.last)):
            yield unit.symbol


def near_units(talk: Talk, index: int, kinds: frozenset[str]) -> Iterator[tuple[Said, int]]:
    """Yield the units of some kinds said in the sentences around, with how far away.

    Args:
        talk: what the recording speaks of so far.
        index: the sentence around which they are looked for.
        kinds: kinds of quantity.
    """
    for far in range(min(_FAR, index) + 1):
        for one in talk.said[index - far]:
            if one.kind in kinds:
                yield one, far
    for ahead in (1, 2):
        if index + ahead < len(talk.said):
            short = len(talk.scenes[index + ahead].tokens) <= _SHORT
            for one in talk.said[index + ahead]:
                if one.kind in kinds and (short or one.value is not None):
                    yield one, _AHEAD + ahead


DISTANCES = ((0, "here"), (1, "1"), (2, "2"), (4, "4"), (8, "8"), (16, "16"), (24, "24"))
"""Steps of how far away a unit was said, in sentences."""


def step_of(value: float, steps: Sequence[tuple[float, str]]) -> str:
    """Return the name of the first step that a value does not go beyond, else ``far``."""
    return next((name for most, name in steps if value <= most), "far")


def decades(one: float | None, other: float | None) -> float:
    """Return how far two sizes lie apart, in powers of ten; nought where one is not known."""
    return abs(math.log10(one / other)) if one and other else 0.0


def has_places(amount: Amount) -> bool:
    """Whether it was said finer than in eighths, as no turn, thou or micrometre is."""
    values = [v for v in (amount.nominal, amount.upper, amount.lower) if v]
    return any(v * 8 != (v * Decimal(8)).to_integral_value() for v in values)
