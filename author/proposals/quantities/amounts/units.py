"""Units as they are spoken, found behind a number."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cache
from typing import Any

from author.procedure.units import all_spellings, all_units, find_unit, spoken_spellings
from author.proposals.quantities.numbers.parts import BELOW_HUNDRED, half_after, low_at
from author.proposals.quantities.numbers.tokens import Token, tokens_of

# Words whose unit the words around decide; see quantity_settle.
MIL, DEGREE, POUND, OUNCE, REVS = "mil", "degree", "pound", "ounce", "revs"
VAGUE = frozenset({MIL, DEGREE, POUND, OUNCE, REVS})

_VAGUE_WORDS = {
    "mil": MIL, "mill": MIL, "mils": MIL, "mills": MIL, "degree": DEGREE, "degrees": DEGREE,
    "deg": DEGREE, "°": DEGREE, "pound": POUND, "pounds": POUND, "lb": POUND, "lbs": POUND,
    "ounce": OUNCE, "ounces": OUNCE, "oz": OUNCE, "rev": REVS, "revs": REVS, "revolutions": REVS,
    "revolution": REVS,
}  # fmt: skip
_SPOKEN = {
    "mm's": "mm", "mms": "mm", "m m": "mm", "mike": "", "nm": "N·m", "n m": "N·m", "newtonmetres":
    "N·m", "newtonmeters": "N·m", "newtonmetre": "N·m", "newtonmeter": "N·m",
    "newtons metres": "N·m", "newtons meters": "N·m",
    "newton metre s": "N·m", "ft": "ft", "foot": "ft", "feet": "ft", "ft pounds": "lbf·ft",
    "ft pound": "lbf·ft", "foot pounds of torque": "lbf·ft", "foots pounds": "lbf·ft",
    "in pounds": "lbf·in", "in lbs": "lbf·in", "in lb": "lbf·in", "p s i": "psi",
    "psi's": "psi", "pounds of pressure": "psi", "pounds pressure": "psi", "pounds of boost": "psi",
    "pounds of air": "psi", "lbs of pressure": "psi", "pounds per inch": "psi",
    "k p a": "kPa", "kilo pascals": "kPa", "k ohms": "kΩ", "k ohm": "kΩ", "kilo ohms": "kΩ",
    "kilo ohm": "kΩ", "kilo-ohm": "kΩ", "kilo-ohms": "kΩ", "mega ohms": "MΩ", "mega ohm": "MΩ",
    "meg ohms": "MΩ", "meg ohm": "MΩ", "megs": "MΩ",
    "meg": "MΩ", "c c": "mL", "ccs": "mL", "cc's": "mL",
    "c c's": "mL", "m l": "mL", "mls": "mL", "ml's": "mL", "kgs": "kg", "kilo's": "kg",
    "kilos of force": "kgf", "r p m": "r/min", "rpms": "r/min", "rpm's": "r/min",
    "revs a minute": "r/min", "revs per minute": "r/min", "turns a minute": "r/min",
    "rotation": "turn", "rotations": "turn", "thousands of an inch": "thou",
    "thousand of an inch": "thou", "thousandths of a inch": "thou", "thousands of a inch": "thou",
    "thousandth of an inch": "thou", "inches of vacuum": "inHg", "degrees c": "°C",
    "degree c": "°C", "degrees f": "°F", "degree f": "°F", "° c": "°C", "° f": "°F", "deg c": "°C",
    "deg f": "°F", "degrees c's": "°C", "kn": "kN", "k n": "kN", "kilo newtons": "kN",
    "kilo newton": "kN", "mv": "mV", "ma": "mA", "kw": "kW", "kv": "kV", "hz": "Hz", "mm": "mm",
    "cm": "cm", "km": "km", "kms": "km",
    "kg": "kg", "ml": "mL", "hrs": "h", "hr": "h", "mbar": "mbar", "mpa": "MPa",
    "psi": "psi", "cc": "mL", "rpm": "r/min", "milli volts": "mV", "milli amps": "mA",
    "milli bar": "mbar", "cubic centimetres": "mL", "litre's": "L", "volts dc": "V",
    "volts ac": "V", "pounds of force": "lbf", "newtons of force": "N", "mic": "µm",
    "inch lbs": "lbf·in", "kilos force": "kgf", "kilo force": "kgf", "kilos of tension": "kgf",
    "kilos pull": "kgf", "kilos of pull": "kgf", "degrees, celsius": "°C",
    "litres in a minute": "L/min", "metres in a minute": "m/min", "k an hour": "km/h",
    "miles an hour": "mph", "mile an hour": "mph", "litre an hour": "L/h", "gallon a minute":
    "US gal/min", "litre a minute": "L/min", "metre a minute": "m/min", "metre a second": "m/s",
    "foot a minute": "ft/min", "kilometre an hour": "km/h", "k per hour": "km/h",
    "litres in an hour": "L/h", "gallons in a minute": "US gal/min", "pint": "US pt",
    "pints": "US pt", "degrees, centigrade": "°C", "degrees, fahrenheit": "°F",
    "degree, celsius": "°C", "mil a second": "mm/s", "mils a second": "mm/s",
    "mil per second": "mm/s", "millimetre a second": "mm/s", "inch a second": "in/s",
    "inch per second": "in/s", "micro amps": "µA", "micro amp": "µA", "kays": "km",
}  # fmt: skip
_TURNED_THINGS = {"the", "it", "them", "that", "your", "this", "these", "each", "by", "to", "her",
                  "him", "'em", "em", "over", "round", "around", "both", "my", "those", "its",
                  "slowly", "everything", "all"}  # fmt: skip
# One letter is a unit only where it touches its number: 5V, 80C.
_LETTERS = {"V": "V", "A": "A", "N": "N", "m": "m", "g": "g", "L": "L", "l": "L", "C": "°C",
            "F": "°F", "W": "W", "h": "h", "s": "s", "K": "K", "Ω": "Ω", "\u2126": "Ω"}  # fmt: skip
# Further words that may stand between a number and its unit.
_BETWEEN = {
    "full", "whole", "complete", "more", "solid", "extra", "additional", "good", "clear", "like",
    "further", "straight", "odd", "lousy", "proper", "minimum", "maximum", "max", "min", "tops",
    "front", "rear",
}  # fmt: skip
_SIDES = {"minimum": "lower", "min": "lower", "maximum": "upper", "max": "upper", "tops": "upper"}
DIMENSIONS = {"deep", "long", "wide", "thick", "high", "tall", "across", "proud", "apart"}
# A bar, a pound, a second, a foot: things, money or a turn of phrase rather than amounts.
_WITH_ARTICLE = {"MΩ", "mm", "in", "turn", "h", "L", "thou", "US gal", "US qt", "cm", "kPa"}


# Days are told of everything; see ``amounts.loose``. Tons are read by ``_tonnes``.
_UNSPOKEN = {"d", "t", "short ton"}
# "whole turn, and feel": the article is left out.
_ALL_OF_IT = {"whole", "full", "complete"}
_NOT_ALONE = {"a", "an", "one", "the", "of", "per", "each", "every", "no", "half", "not", "by",
              "this", "that", "another"}  # fmt: skip
# "about a foot" is told as a length, where "a foot" alone may be one to stand on.
_NEARLY = {"about", "around", "roughly", "nearly", "almost", "approximately", "maybe"}
_ROUGHLY_ONE = {"ft", "m", "kg", "bar", "g", "N", POUND, OUNCE, DEGREE, MIL}
_COMPARED = {"than", "within", "exceed", "exceeds", "exceeding", "under", "below"}


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
        words: ``upper`` or ``lower`` where "maximum" or "minimum" stands before the unit.
    """

    symbol: str
    last: int
    single: bool
    shift: int = 0
    about: bool = False
    doubtful: bool = False
    words: frozenset[str] = frozenset()


Tree = dict[str, Any]


@cache
def _tree() -> Tree:
    """Return the words of every unit, one level for each word; "" holds the symbol."""
    tree: Tree = {}
    spellings = dict(spoken_spellings())
    for spelling, symbol in all_spellings().items():
        if not spelling.isalpha():
            spellings.setdefault(spelling, symbol)
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


def plain_unit_at(tokens: list[Token], at: int) -> UnitSaid | None:
    """Return the unit whose words begin exactly at a token, the longest one, or None."""
    branch: Tree | None = _tree()
    symbol, last, after = "", at, at
    while branch is not None and after < len(tokens):
        branch = branch.get(tokens[after].low)
        after += 1
        if branch is not None and "" in branch:
            symbol, last = branch[""], after
    if not symbol:
        return None
    word = tokens[last - 1].low
    exact = find_unit("".join(token.text for token in tokens[at:last])) if last == at + 1 else None
    if exact is not None and symbol not in VAGUE and len(word) < 4:
        symbol = exact.symbol  # case tells mΩ from MΩ
    single = not word.endswith("s") and word not in {"feet", "mil", "thou", "mm", "hertz"}
    return UnitSaid(symbol, last, single)


def unit_at(tokens: list[Token], at: int, *, digits: bool, fraction: bool) -> UnitSaid | None:
    """Return the unit behind a number, or None.

    Args:
        tokens: of the sentence.
        at: index after the number.
        digits: whether the number was written in digits.
        fraction: whether it is less than one: then "a" or "of an" may stand between.
    """
    if at >= len(tokens):
        return None
    short = _short_unit(tokens, at, digits=digits)
    if short:
        return short
    at, about, sides = _between(tokens, at)
    found = thousandths(tokens, at) or _tonnes(tokens, at) or plain_unit_at(tokens, at)
    if found is None and fraction:
        skip = at + (low_at(tokens, at) == "of")
        if low_at(tokens, skip) in {"a", "an", "one"}:
            skip += 1
            while low_at(tokens, skip) in _BETWEEN:
                skip += 1
        found = _tonnes(tokens, skip) or plain_unit_at(tokens, skip)
        if found and found.symbol == "t" and low_at(tokens, found.last) == "of":
            found = None  # "half a ton of muck" is much
    if low_at(tokens, at) == "turn" and not fraction and _is_order(tokens, at):
        return None  # "six to eight, turn the nut"
    return found and replace(found, about=about, words=sides)


def _is_order(tokens: list[Token], at: int) -> bool:
    """Whether "turn" behind a number tells to turn something: "twenty-two turn her over"."""
    many = low_at(tokens, at - 1) not in {"one", "1", "a", "half", "quarter"}
    return low_at(tokens, at + 1) in _TURNED_THINGS and not (
        tokens[at].hyphen or (low_at(tokens, at + 1) in {"to", "by", "over", "each"} and not many)
    )


def _between(tokens: list[Token], at: int) -> tuple[int, bool, frozenset[str]]:
    """Return the index after the words between a number and its unit, and what they say."""
    about, sides = False, set()
    for _ in range(3):
        low = low_at(tokens, at)
        if low == "," and low_at(tokens, at + 1) == "like":
            at += 1
        elif low in _BETWEEN and plain_unit_at(tokens, at) is None:
            at += 1
            if low in _SIDES:
                sides.add(_SIDES[low])
            if low_at(tokens, at) == ",":
                at += 1
        elif low == "or" and low_at(tokens, at + 1) == "so":
            at, about = at + 2, True
        elif low == "some" and plain_unit_at(tokens, at + 1):
            at, about = at + 1, True  # "sixty some pounds"
        else:
            break
    return at, about, frozenset(sides)


_LASTING = {"for", "about", "to", "of", "after", "every", "wait", "hold", "is", "at", "takes",
            "than", "least", "another", "in", "within", "around", "only", "just", "and", "or",
            ",", ":", ".", "approximately", "over", "under", "was", "be", "time", "soak",
            "then"}  # fmt: skip


def _short_unit(tokens: list[Token], at: int, *, digits: bool) -> UnitSaid | None:
    token = tokens[at]
    if not digits:
        return None
    if token.text in {'"', "″", "”"} and token.glued:
        return UnitSaid("in", at + 1, single=False)
    further = tokens[at + 1] if at + 1 < len(tokens) else None
    if token.glued and further and further.glued and further.kind == "digits":
        return None  # "4L360" is a name
    if token.low == "s" and at > 1 and low_at(tokens, at - 2) not in _LASTING:
        return None  # "one of the 3s", "grade 5s"
    litre = token.text == "l"  # no other word is a lone l
    if (
        (token.glued or litre)
        and token.text in _LETTERS
        and low_at(tokens, at + 1) not in {"·", "/"}
    ):
        return UnitSaid(_LETTERS[token.text], at + 1, single=False)
    after = tokens[at + 1] if at + 1 < len(tokens) else None
    if token.low == "in" and (plain := plain_unit_at(tokens, at)):
        return plain
    ends = after is None or after.kind == "sign" or after.low in DIMENSIONS
    if token.low == "in" and (token.glued or ends):
        return UnitSaid("in", at + 1, single=False)
    return None


def thousandths(tokens: list[Token], at: int) -> UnitSaid | None:
    """Return thousandths of a millimetre, and "thousands" where thousandths was meant."""
    low = low_at(tokens, at)
    if low not in {"thousandth", "thousandths", "thousands"}:
        return None
    if low_at(tokens, at + 1) == "of" and low_at(tokens, at + 2) in {"a", "an", "one"}:
        unit = plain_unit_at(tokens, at + 3)
        if unit and unit.symbol in {"mm", MIL}:
            return UnitSaid("mm", unit.last, single=False, shift=-3)
        if unit and unit.symbol == "in":
            return UnitSaid("thou", unit.last, single=False)
    if low == "thousands" and low_at(tokens, at + 1) == "of":
        return None
    return UnitSaid("thou", at + 1, single=low == "thousandth", doubtful=low == "thousands")


def _tonnes(tokens: list[Token], at: int) -> UnitSaid | None:
    """Read tonnes; which ton a "ton" is, tells the recording (see ``bare_numbers.settle``)."""
    at += low_at(tokens, at) == "metric"
    low = low_at(tokens, at)
    if low not in {"ton", "tons", "tonne", "tonnes"}:
        return None
    loose = low.startswith("ton") and "nn" not in low and low_at(tokens, at - 1) != "metric"
    return UnitSaid("t", at + 1, single=not low.endswith("s"), doubtful=loose)


def _is_rate(tokens: list[Token], at: int) -> bool:
    """Whether the article stands for "per": "fifteen miles an hour", "four drops a minute"."""
    many = low_at(tokens, at - 1)
    if (many != "mile" and not many.endswith("s")) or many.endswith("ss") or at < 2:
        return False
    number = tokens[at - 2]
    return (
        number.kind == "digits" or number.low in BELOW_HUNDRED or number.low in {"hundred", "few"}
    )


def with_article(tokens: list[Token], at: int) -> UnitSaid | None:
    """Return the unit in "a thou", "an hour", "a full turn" at the article, or None."""
    if low_at(tokens, at) in _ALL_OF_IT and low_at(tokens, at - 1) not in _NOT_ALONE:
        turned = plain_unit_at(tokens, at + 1)
        return turned if turned and turned.symbol == "turn" and turned.single else None
    inside = low_at(tokens, at - 2) == "inside"
    bound = low_at(tokens, at - 1) in {"of", "by", "per"} and not inside
    if low_at(tokens, at) not in {"a", "an"} or bound or _is_rate(tokens, at):
        return None
    skip = at + 1
    while low_at(tokens, skip) in {"full", "whole", "complete", "single", "further", "good"}:
        skip += 1
    unit = thousandths(tokens, skip) or plain_unit_at(tokens, skip)
    if unit is None or not (unit.single or unit.symbol in {"thou", MIL}):
        return None
    told = unit.symbol in _WITH_ARTICLE or (skip > at + 1 and unit.symbol != "°")
    return unit if told or _is_one_of_it(tokens, at, skip, unit) else None


def _is_one_of_it(tokens: list[Token], at: int, skip: int, unit: UnitSaid) -> bool:
    """Whether the words around an article and a unit tell an amount of one."""
    before = low_at(tokens, at - 1)
    if before in _COMPARED and unit.symbol not in {"s", "min", "ft", POUND, OUNCE}:
        return True  # "less than an ohm"
    held = before == "than" and unit.symbol in {"ft", POUND, OUNCE}
    if held and low_at(tokens, at - 2) in {"more", "less"}:
        return True  # "it shouldn't take more than a pound"
    if half_after(tokens, unit.last):
        return True  # "a pound and three quarters", "a bar and a half"
    return before in _NEARLY and unit.symbol in _ROUGHLY_ONE and skip == at + 1  # "about a foot"


def kind_of(symbol: str | None) -> str | None:
    """Return the kind of quantity a unit measures, or None where it is not settled."""
    if symbol is None or symbol in VAGUE:
        return None
    return all_units()[symbol].quantity
