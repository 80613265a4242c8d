"""Whether two names are of one thing: names that mean the same to every fitter, and sizes."""

from __future__ import annotations

import re
from typing import NamedTuple


class Name(NamedTuple):
    """A name: its words as they were said, and with the name that all its names are taken for."""

    said: tuple[str, ...]
    whole: tuple[str, ...]


_SAME_PLACE = {"upper": "top", "lower": "bottom", "rear": "back"}
_SPELLED = {
    "tire": "tyre", "wrench": "spanner", "vise": "vice", "center": "centre",
    "calliper": "caliper", "hexagon": "hex", "millimetre": "mm", "millimeter": "mm", "mil": "mm",
    "temp": "temperature", "lube": "lubricant", "moly": "molybdenum", "kerosene": "paraffin",
}  # fmt: skip
# The first is the name that those behind it are taken for.
_SAME = (
    "dial gauge: dial indicator, dial test indicator, test indicator, clock gauge, clock, dial",
    "circlip: snap ring, retaining ring",
    "circlip plier: snap ring plier, retaining ring plier",
    "hex key: allen key, allen spanner, hex spanner",
    "torx driver: torx screwdriver, torx",
    "torque screwdriver: torque driver",
    "impact spanner: impact gun, rattle gun",
    "dead blow hammer: dead blow",
    "locking plier: mole grip, vice grip",
    "infrared thermometer: infrared gun, temperature gun, thermometer gun",
    "micrometer: mike, mic",
    "multimeter: meter",
    "insulation tester: megger, megohmmeter",
    "oscilloscope: scope",
    "spring scale: spring balance, fish scale, luggage scale",
    "steel rule: ruler, rule",
    "vernier caliper: vernier",
    "v block: vee block",
    "scriber: scribe",
    "oilstone: oil stone",
    "straightedge: straight edge",
    "safety glasse: glasse, specs, spec, safety spec",
    "padlock: lock",
    "torch: flashlight",
    "heat gun: hot air gun, warm air gun",
    "air gun: blow gun",
    "vacuum cleaner: vacuum, hoover, vac",
    "pressure washer: water blaster",
    "chain block: chain hoist",
    "axle stand: jack stand",
    "bungee cord: bungee",
    "wood block: block wood, piece wood, bit wood, wooden block, wood",
    "marker pen: marker, felt pen, felt tip pen",
    "paint marker: paint pen",
    "drain pan: drain tray, catch pan, catch tray",
    "differential: diff",
    "radiator: rad",
    "carburettor: carb, carby, carburetor",
    "threadlocker: threadlock, thread lock, thread locker",
    "isopropyl alcohol: isopropyl, ipa, rubbing alcohol",
    "methylated spirit: meth, metho",
    "white spirit: mineral spirit",
    "brake cleaner: brake clean",
    "emery cloth: emery, emery paper",
    "sandpaper: abrasive paper, wet and dry paper, wet and dry, glasspaper",
    "scouring pad: abrasive pad, scourer, scotch pad",
    "anti seize: antiseize, never seize, anti seize paste",
    "cable tie: zip tie, tie wrap",
    "marking blue: engineer blue, bearing blue, prussian blue",
    "ptfe tape: teflon tape, thread tape, thread seal tape",
)
_ONE_THING = {
    name: whole
    for whole, _, names in (line.partition(": ") for line in _SAME)
    for name in (whole, *names.split(", "))
}
_LONGEST = max(len(name.split()) for name in _ONE_THING)
_ONES = (
    "one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen "
    "sixteen seventeen eighteen nineteen"
)
_TENS = "twenty thirty forty fifty sixty seventy eighty ninety"
_VALUES = {word: number for number, word in enumerate(_ONES.split(), start=1)} | {
    word: 10 * number for number, word in enumerate(_TENS.split(), start=2)
}


def name_of(text: str) -> Name:
    """Return a name; two everyday names of one thing have the same whole."""
    words = re.findall(r"[a-z0-9]+", text.lower().replace("-", " "))
    words = [w for w in words if w not in {"the", "a", "an", "old", "new", "of"}]
    bare = [w[:-1] if len(w) > 3 and w.endswith("s") and not w.endswith("ss") else w
            for w in words]  # fmt: skip
    *before, last = _in_digits([_SPELLED.get(w, w) for w in bare]) or [""]
    before = [_SAME_PLACE.get(w, w) for w in before]
    said = (*before, last) if last else ()
    for size in range(_LONGEST - 1, -1, -1):
        known = _ONE_THING.get(" ".join([*before[len(before) - size :], last]))
        if known is not None and size <= len(before):
            return Name(said, (*before[: len(before) - size], *known.split()))
    return Name(said, said)


def _in_digits(words: list[str]) -> list[str]:
    """Return the words with a tool's size in digits: "twenty four mm spanner" is a 24 mm one."""
    out: list[str] = []
    tens = 0
    for word in words:
        value = _VALUES.get(word, 0)
        if tens and 0 < value < 10:
            out[-1] = str(tens + value)
        else:
            out.append(str(value) if value else word)
        tens = value if value > 19 else 0
    return out


def equal(one: Name, two: Name) -> bool:
    """Whether two names are wholly the same."""
    return one.whole == two.whole


def alike(one: Name, two: Name) -> bool:
    """The same head and no word that contradicts: "washer" for "tab washer"."""
    return _alike(one.said, two.said) or _alike(one.whole, two.whole)


def _alike(one: tuple[str, ...], two: tuple[str, ...]) -> bool:
    if not one or not two or one[-1] != two[-1]:
        return "".join(one) == "".join(two)
    return set(one) <= set(two) or set(two) <= set(one)
