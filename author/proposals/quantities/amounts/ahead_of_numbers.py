"""Units that stand before their number, as plates have them: "volts four eighty, amps 2.8"."""

from __future__ import annotations

from author.proposals.quantities.amounts.behind_numbers import plain_unit_at
from author.proposals.quantities.amounts.vocabulary import GO_ON
from author.proposals.quantities.numbers.parts import low_at
from author.proposals.quantities.numbers.tokens import Token
from author.proposals.quantities.numbers.words import Number

_LONGEST = 2
# Units that are no things and nothing done, so that no number of theirs names one.
_ON_PLATES = frozenset({"V", "A", "mA", "mV", "kV", "Ω", "kΩ", "MΩ", "Hz", "r/min", "W", "kW",
                        "psi", "kPa", "µF", "°C", "°F"})  # fmt: skip
# "Amp two" is the second of them, "amps two" is how much.
_NO_PLURAL = frozenset({"hertz", "hz", "rpm", "psi", "kpa", "c", "f", "celsius", "fahrenheit"})
_OPENS = frozenset({"", ",", ".", ";", ":", "and", "is", "it's", "has", "says", "gives", "reads",
                    "with", "at", "or", "then"})  # fmt: skip


def unit_ahead(tokens: list[Token], number: Number) -> tuple[int, str] | None:
    """Return where the unit right before a number begins, and the unit, if it is told so.

    Args:
        tokens: words of the sentence.
        number: one of its numbers, without a unit behind it.
    """
    behind = tokens[number.last] if number.last < len(tokens) else None
    ends = behind is None or behind.kind == "sign" or behind.low in GO_ON
    if not ends or number.value is None or number.form == "spelled":
        return None
    for size in range(1, _LONGEST + 1):
        at = number.first - size
        unit = plain_unit_at(tokens, at) if at >= 0 else None
        if unit is None or unit.last != number.first or unit.symbol not in _ON_PLATES:
            continue
        plain = tokens[unit.last - 1].low in _NO_PLURAL or not unit.single
        return (at, unit.symbol) if plain and low_at(tokens, at - 1) in _OPENS else None
    return None
