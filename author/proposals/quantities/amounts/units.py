"""The words of units."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Any

from author.procedure.units import all_spellings, all_units, find_unit, spoken_spellings
from author.proposals.quantities.numbers.tokens import Token, tokens_of

# Words whose unit the words around decide; see quantity_settle.
MIL, DEGREE, POUND, OUNCE, REVS = "mil", "degree", "pound", "ounce", "revs"
MIL_A_MINUTE, POUNDS_AN_INCH = "mil/min", "pound/in"
VAGUE = frozenset({MIL, DEGREE, POUND, OUNCE, REVS, MIL_A_MINUTE, POUNDS_AN_INCH})

_VAGUE_WORDS = {
    "mil": MIL, "mill": MIL, "mils": MIL, "mills": MIL, "degree": DEGREE, "degrees": DEGREE,
    "deg": DEGREE, "°": DEGREE, "pound": POUND, "pounds": POUND, "lb": POUND, "lbs": POUND,
    "ounce": OUNCE, "ounces": OUNCE, "oz": OUNCE, "rev": REVS, "revs": REVS, "revolutions": REVS,
    "revolution": REVS,
}  # fmt: skip
_SPOKEN = {
    "mm's": "mm", "mms": "mm", "m m": "mm", "mike": "", "nm": "N·m", "n m": "N·m",
    "newtonmetres": "N·m", "newtonmeters": "N·m", "newtonmetre": "N·m", "newtonmeter": "N·m",
    "newtons metres": "N·m", "newtons meters": "N·m", "newton metre s": "N·m", "ft": "ft",
    "ft pounds": "lbf·ft", "ft pound": "lbf·ft", "foot pounds of torque": "lbf·ft",
    "foots pounds": "lbf·ft", "in pounds": "lbf·in", "p s i": "psi", "psi's": "psi",
    "pounds of pressure": "psi", "pounds pressure": "psi", "pounds of boost": "psi",
    "pounds of air": "psi", "lbs of pressure": "psi", "k p a": "kPa", "k ohms": "kΩ",
    "k ohm": "kΩ", "kilo-ohm": "kΩ", "kilo-ohms": "kΩ", "meg ohms": "MΩ", "meg ohm": "MΩ",
    "megs": "MΩ", "meg": "MΩ", "c c": "mL", "ccs": "mL", "cc's": "mL", "c c's": "mL",
    "m l": "mL", "mls": "mL", "ml's": "mL", "kgs": "kg", "kilo's": "kg", "kilos of force": "kgf",
    "r p m": "r/min", "rpms": "r/min", "rpm's": "r/min", "rotation": "turn", "rotations": "turn",
    "thousands of an inch": "thou", "thousand of an inch": "thou",
    "thousandths of a inch": "thou", "thousands of a inch": "thou",
    "thousandth of an inch": "thou", "inches of vacuum": "inHg", "degrees c": "°C",
    "degree c": "°C", "degrees f": "°F", "degree f": "°F", "° c": "°C", "° f": "°F",
    "deg c": "°C", "deg f": "°F", "degrees c's": "°C", "kn": "kN", "k n": "kN", "mv": "mV",
    "ma": "mA", "kw": "kW", "kv": "kV", "hz": "Hz", "mm": "mm", "cm": "cm", "km": "km",
    "kms": "km", "kg": "kg", "ml": "mL", "hr": "h", "mpa": "MPa", "cc": "mL", "litre's": "L",
    "volts dc": "V", "volts ac": "V", "newtons of force": "N", "mic": "µm", "kilos force": "kgf",
    "kilo force": "kgf", "kilos of tension": "kgf", "kilos pull": "kgf", "kilos of pull": "kgf",
    "degrees, celsius": "°C", "k an hour": "km/h", "k per hour": "km/h", "pint": "US pt",
    "pints": "US pt", "degrees, centigrade": "°C", "degrees, fahrenheit": "°F",
    "degree, celsius": "°C", "kays": "km", "microsiemens": "µS/cm", "micro siemens": "µS/cm",
    "millisiemens": "mS/cm", "milli siemens": "mS/cm", "ms": "ms", "db": "dB", "dbs": "dB",
    "d b": "dB", "dba": "dB(A)", "gf": "gf", "mh": "mH", "kva": "kVA", "k v a": "kVA",
    "kwh": "kWh", "k w h": "kWh", "mah": "mA·h", "nf": "nF", "cst": "cSt", "c f m": "ft³/min",
    "mhz": "MHz", "ghz": "GHz", "micro ohms": "µΩ", "micro ohm": "µΩ", "gig ohms": "GΩ",
    "mg": "mg", "inches w g": "inH₂O", "inch w g": "inH₂O", "inches w c": "inH₂O",
    "inches of w c": "inH₂O", "inches water gage": "inH₂O", "inches of water gage": "inH₂O",
    "mil of water": "mmH₂O", "mils of water": "mmH₂O", "mm of water": "mmH₂O",
    "mm water gauge": "mmH₂O", "mil water gauge": "mmH₂O", "mm w g": "mmH₂O",
    "mil of mercury": "mmHg", "mm of mercury": "mmHg", "microns of vacuum": "µmHg",
    "btu": "Btu/h", "btus": "Btu/h", "btu's": "Btu/h", "b t u": "Btu/h", "btus an hour": "Btu/h",
    "btu an hour": "Btu/h", "btus per hour": "Btu/h", "btu per hour": "Btu/h",
    "decibels a weighted": "dB(A)",
    "inch w.c": "inH₂O", "inches w.c": "inH₂O", "in. w.c": "inH₂O", "in w.c": "inH₂O",
    "inch wc": "inH₂O", "inches wc": "inH₂O", "in wc": "inH₂O", "inch wg": "inH₂O",
    "inches wg": "inH₂O", "in wg": "inH₂O", "inch of static": "inH₂O",
    "inches of static": "inH₂O",
}  # fmt: skip
# "Milli volts", "micro ohms": recognisers part them.
_PREFIXES = ("micro", "milli", "kilo", "mega", "giga", "nano", "pico")


# Days are told of everything; see ``amounts.loose``. Tons are read by ``_tonnes``.
_UNSPOKEN = {"d", "t", "short ton"}


@dataclass(frozen=True, slots=True)
class UnitSaid:
    """A unit behind a number.

    Attributes:
        symbol: of ``schema/units.yaml``, or one of ``VAGUE``.
        last: index after its last token.
        single: whether the word stands in the singular, as before the name of a thing.
        shift: how many places the number moves to be in that unit (-3 for thousandths of a
            millimetre).
        about: whether a word between says that the number is not exact.
        doubtful: whether the word can easily have been misheard.
        rate: whether more is told of it than its unit says: litres "a fortnight".
        words: ``upper`` or ``lower`` where "maximum" or "minimum" stands before the unit.
    """

    symbol: str
    last: int
    single: bool
    shift: int = 0
    about: bool = False
    doubtful: bool = False
    words: frozenset[str] = frozenset()
    rate: bool = False


_INTO = frozenset({"her", "him", "it", "them", "there", "here", "the", "that", "this", "each",
                   "every", "your", "my", "its", "a", "an", "total", "all", "both"})  # fmt: skip
_RATINGS = {"HP", "BHP", "PS"}  # which motor it is

Tree = dict[str, Any]


@cache
def _tree() -> Tree:
    """Return the words of every unit, one level for each word; "" holds the symbol."""
    tree: Tree = {}
    spellings = dict(spoken_spellings())
    for spelling, symbol in all_spellings().items():
        if not spelling.isalpha():
            spellings.setdefault(spelling, symbol)
    for spelling, symbol in list(spellings.items()):
        prefix = next((one for one in _PREFIXES if spelling.startswith(one)), None)
        if prefix and spelling[len(prefix) :].isalpha():
            spellings.setdefault(f"{prefix} {spelling[len(prefix) :]}", symbol)
    spellings.update(_SPOKEN)
    spellings.update(_VAGUE_WORDS)
    for spelling, symbol in spellings.items():
        if symbol in _UNSPOKEN:
            continue
        words = [token.low for token in tokens_of(spelling)]
        if not symbol or not words or (words[0] in {'"', "in"} and len(words) == 1):
            continue
        branch = tree
        for word in words:
            branch = branch.setdefault(word, {})
        branch.setdefault("", symbol)
    return tree


def unit_word_at(tokens: list[Token], at: int) -> UnitSaid | None:
    """Return the unit whose words begin exactly at a token, the longest one, or None."""
    branch: Tree | None = _tree()
    symbol, last, after = "", at, at
    while branch is not None and after < len(tokens):
        branch = branch.get(tokens[after].low)
        after += 1
        if branch is not None and "" in branch and not _stands_in(tokens, at, after):
            symbol, last = branch[""], after
    if not symbol:
        return _as_written(tokens, at)
    word = tokens[last - 1].low
    exact = find_unit("".join(token.text for token in tokens[at:last])) if last == at + 1 else None
    if exact is not None and symbol not in VAGUE and len(word) < 4:
        symbol = exact.symbol  # case tells mΩ from MΩ
    single = not word.endswith("s") and word not in {"feet", "mil", "thou", "mm", "hertz"}
    return UnitSaid(symbol, last, single)


def _stands_in(tokens: list[Token], at: int, after: int) -> bool:
    """Whether "in" behind a unit tells where: "twelve ounces in her" are no ounce inches."""
    if after - at < 2 or tokens[after - 1].low != "in" or after >= len(tokens):
        return False
    return tokens[after].low in _INTO


def _as_written(tokens: list[Token], at: int) -> UnitSaid | None:
    """Return the unit of a sign with capitals or letters that are none of words: kA, µV, dB."""
    text = tokens[at].text if at < len(tokens) else ""
    sign = len(text) > 1 and (text != text.lower() or not text.isascii())
    symbol = all_spellings().get(text) if sign and text not in _RATINGS else None
    return UnitSaid(symbol, at + 1, single=True) if symbol else None


def is_of(unit: str, other: str) -> bool:
    """Whether a unit is another or a rate of it: of "two to three litres a minute" both are."""
    return unit == other or unit.startswith(f"{other}/")


def kind_of(symbol: str | None) -> str | None:
    """Return the kind of quantity a unit measures, or None where it is not settled."""
    if symbol is None or symbol in VAGUE:
        return None
    return all_units()[symbol].quantity
