"""Units told of one of another: litres a second, and rates whose unit the table does not have."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

from author.procedure.units import all_units
from author.proposals.quantities.amounts.units import (
    DEGREE,
    MIL,
    MIL_A_MINUTE,
    OUNCE,
    POUND,
    POUNDS_AN_INCH,
    REVS,
    UnitSaid,
    kind_of,
    unit_word_at,
)
from author.proposals.quantities.amounts.vocabulary import GO_ON
from author.proposals.quantities.numbers.parts import half_after, low_at
from author.proposals.quantities.numbers.tokens import Token
from author.proposals.quantities.numbers.words import number_at

_ARTICLES = frozenset({"a", "an"})
# Units of two whose symbols do not tell of which.
_OF_TWO = {
    ("turn", "min"): "r/min", (REVS, "min"): "r/min", ("mile", "h"): "mph", ("m/s", "s"): "m/s²",
    (POUND, "h"): "lb/h", (POUND, "in"): POUNDS_AN_INCH, ("kg", "mm"): "kgf/mm",
    ("kg", "cm²"): "kgf/cm²", (POUND, "in²"): "psi", ("lbf", "in²"): "psi", ("N", "mm²"): "MPa",
    ("g", "mL"): "g/cm³", ("kg", "L"): "g/cm³", (MIL, "s"): "mm/s", (MIL, "min"): MIL_A_MINUTE,
    (MIL, "m"): "mm/m", (MIL, "L"): "mL/L",
    ("N", "m"): "N·m",  # who says newtons per metre tightens something
}  # fmt: skip
# What is told of each of these is an amount: how far one turn takes it.
_NO_RATE = frozenset({"turn", REVS, "pcs", "%"})
_MANY = frozenset({"hundred", "thousand"})
_RUN = frozenset({"", "h", "km", "mile"})
_LONG = frozenset({"h", "d"})  # "an hour before you start"
_MOVED = frozenset({"length", "pressure", "volume", "voltage", "temperature"})
_POWERS = {"square": "²", "cubic": "³"}
_AS_THING = frozenset({"bar", "s/d"})
_SPANS = {
    **dict.fromkeys(("day", "days"), "d"),
    **dict.fromkeys(
        ("week", "weeks", "fortnight", "fortnights", "month", "months", "year", "years", "season",
         "shift", "night", "stroke", "strokes", "cycle", "cycles", "yard", "ton", "tonne"), ""),
}  # fmt: skip
_SECOND_TIME = frozenset({"time", "times", "go", "pass", "round", "coat", "stage", "try", "turn",
                          "attempt", "shot", "dose", "helping", "one", "lot", "gear", "hole",
                          "bay", "row", "half"})  # fmt: skip
# "Two bar a minute ago", "two kilos a foot from the pivot": when and where.
_WHEN = frozenset({"ago", "later", "earlier"})
_WHERE = frozenset({"from", "above", "below", "past", "off", "away", "back", "along", "further",
                    "beyond", "behind", "up", "down", "out", "in", "of"})  # fmt: skip
# "Hold it at two bar a minute": so long.
_LASTS = frozenset({"hold", "holds", "held", "soak", "bake", "cure", "leave", "keep", "stand",
                    "boil", "cook", "dry", "rest", "dwell", "simmer", "give", "sit"})  # fmt: skip
_KEPT = frozenset({"temperature", "pressure", "voltage", "current", "force", "power"})
_STUFFS = frozenset({"volume", "mass"})
_VERB_NEAR = 9
_TO_ONE = frozenset({"a", "an", "the"})
_TO_EACH = _TO_ONE | {"each", "every"}
_TO_THE = frozenset({"mm/m", "thou/ft", "thou/in", "in/ft", "mL/L", "g/L"})
_HOURLY = frozenset({"h", "hr", "hour", "min", "minute", "s", "sec", "second", "day", "week",
                     "month", "year"})  # fmt: skip
_OFTEN = ("/s", "/min")  # "two litres every hour" are poured in
_IN_A, _IN_THE = frozenset({"volume_flow"}), frozenset({"volume_flow", "mass_flow", "speed"})


@cache
def _units_of_two() -> dict[tuple[str, str], str]:
    """Return the units that are told of one of another, by both: litres and seconds."""
    known, made = all_units(), {}
    for symbol in known:
        above, stroke, below = symbol.partition("/")
        if stroke and above in known and (below in known or below[-1] in "²³"):
            made[above, below] = symbol
    return {**made, **_OF_TWO}


def with_rate(tokens: list[Token], unit: UnitSaid) -> UnitSaid:
    """Return what the words behind a unit make of it: litres, "a second", litres a second.

    Of a rate whose unit is not known, as "forty litres a fortnight", it is told that it is one:
    litres would be wrong.

    Args:
        tokens: of the sentence.
        unit: the unit that was found.
    """
    at = _past_its_stuff(tokens, unit)
    at += low_at(tokens, at) == "," and low_at(tokens, at + 1) == "per"
    found = (
        _per(tokens, unit, at)
        if low_at(tokens, at) in {"per", *_ARTICLES}
        else _joined(tokens, unit, at)
    )
    if found is None:
        return unit
    again = found if found.rate else with_rate(tokens, found)
    return replace(again, shift=unit.shift, doubtful=unit.doubtful)


def _joined(tokens: list[Token], unit: UnitSaid, at: int) -> UnitSaid | None:
    """Return the unit that other words than "per" make: "in a minute", "to the metre"."""
    join, after = low_at(tokens, at), low_at(tokens, at + 1)
    if join in {"/", "every", "each"}:
        found = _of_two(tokens, unit, at + 1)
        if found is None and join == "/" and after in _HOURLY:
            return replace(unit, last=at + 2, single=False, rate=True)
        return found if found and (join == "/" or found.symbol.endswith(_OFTEN)) else None
    if join not in {"in", "to"} or after not in (_TO_EACH if join == "to" else _TO_ONE):
        return None
    found = _of_two(tokens, unit, at + 2)
    if found is None:
        return None
    flows = kind_of(found.symbol) in _IN_A or found.symbol == "m/min"
    if after == "the":  # "one and a half metre in the second"
        then = low_at(tokens, found.last) in {"before", "after", "that", "we", "you", "it"}
        flows = kind_of(found.symbol) in _IN_THE and not then
    return found if (found.symbol in _TO_THE if join == "to" else flows) else None


def _kind(symbol: str) -> str | None:
    return kind_of(symbol) if symbol in all_units() else None


def _past_its_stuff(tokens: list[Token], unit: UnitSaid) -> int:
    """Return the index behind a unit and what it is of: "two litres of water, a minute"."""
    stuff = kind_of(unit.symbol) in _STUFFS or unit.symbol in {MIL, POUND, OUNCE}
    if not stuff or low_at(tokens, unit.last) != "of":
        return unit.last
    for at in range(unit.last + 2, unit.last + 4):
        named = tokens[unit.last + 1 : at]
        if any(one.kind != "word" or one.low in GO_ON for one in named):
            break
        if low_at(tokens, at) in {"per", "to", *_ARTICLES}:
            return at
    return unit.last


def _per(tokens: list[Token], unit: UnitSaid, at: int) -> UnitSaid | None:
    """Return the unit or the rate that is told with "per", "a" or "an" at a token, or None."""
    if (known := _of_two(tokens, unit, at + 1)) is not None:
        return known
    if low_at(tokens, at) == "per":
        last = _of_what(tokens, at + 1)
        return replace(unit, last=last, single=False, rate=True) if last else None
    below = _below(tokens, at + 1)
    if below is not None and below[0] == "turn":
        return _each_turn(tokens, unit, below[1])
    if below is None or below[0] in _NO_RATE | _AS_THING:
        below = _so_many(tokens, at + 1)
    if below is None or not _tells_a_rate(tokens, unit, below):
        return None
    return replace(unit, last=below[1], single=False, rate=True)


def _each_turn(tokens: list[Token], unit: UnitSaid, last: int) -> UnitSaid | None:
    """Return how far each turn takes it: in "half a bar a turn" nothing is turned once."""
    moved = kind_of(unit.symbol) in _MOVED or unit.symbol == MIL
    ends = not low_at(tokens, last).isalpha() or low_at(tokens, last) in GO_ON
    return replace(unit, last=last) if moved and ends and half_after(tokens, last) is None else None


def _of_two(tokens: list[Token], unit: UnitSaid, at: int) -> UnitSaid | None:
    below = _below(tokens, at)
    if below is None:
        return None
    symbol, last = below
    second_time = low_at(tokens, last - 1) == "second" and low_at(tokens, last) in _SECOND_TIME
    made = _units_of_two().get((unit.symbol, symbol))
    long = symbol in _LONG and low_at(tokens, last) in {"before", "after"}
    by_article = low_at(tokens, at - 1) in _ARTICLES
    if made is None or second_time or (by_article and (long or _elsewhere(tokens, symbol, last))):
        return None
    return UnitSaid(made, last, single=not low_at(tokens, last - 1).endswith("s"))


def _below(tokens: list[Token], at: int) -> tuple[str, int] | None:
    """Return the unit or span something is told of, with the index after; "" where unknown."""
    low = low_at(tokens, at)
    if low in _POWERS and unit_word_at(tokens, at) is None:
        side = _below(tokens, at + 1)
        return (side[0] + _POWERS[low], side[1]) if side else None
    if low in _SPANS:
        return _SPANS[low], at + 1
    unit = unit_word_at(tokens, at)
    return ("mm" if unit.symbol == MIL else unit.symbol, unit.last) if unit else None


def _of_what(tokens: list[Token], at: int) -> int | None:
    """Return the index behind what "per" is told of where it makes a rate, else None."""
    below = _below(tokens, at)
    if below is not None:
        return None if below[0] in _NO_RATE else below[1]
    if low_at(tokens, at) in _MANY:
        last = at + 1
    else:
        many = number_at(tokens, at) if at < len(tokens) else None
        if many is None or (many.value or 0) <= 1:
            return None
        last = many.last
    below = _below(tokens, last)
    return below[1] if below else last + low_at(tokens, last).endswith("s")


def _so_many(tokens: list[Token], at: int) -> tuple[str, int] | None:
    """Return the span in "a litre, a thousand miles", with the index after."""
    below = _below(tokens, at + 1) if low_at(tokens, at) in _MANY else None
    return below if below and below[0] in _RUN else None


def _tells_a_rate(tokens: list[Token], unit: UnitSaid, below: tuple[str, int]) -> bool:
    """Whether an article stands for "per", and not for one: "two bar a minute"."""
    symbol, last = below
    after = low_at(tokens, last)
    if (after.isalpha() and after not in GO_ON) or _elsewhere(tokens, symbol, last):
        return False
    if symbol in _LONG and after in {"before", "after"}:
        return False
    kept = kind_of(unit.symbol) in _KEPT or unit.symbol == DEGREE
    if not kept or _kind(symbol) != "time":
        return True
    ahead = {one.low for one in tokens[max(0, unit.last - _VERB_NEAR) : unit.last]}
    return not ahead & _LASTS and after not in {"in", "on", "under", "then", "before", "after"}


def _elsewhere(tokens: list[Token], symbol: str, last: int) -> bool:
    """Whether what follows tells when or where: "a minute ago", "a foot from the pivot"."""
    after = low_at(tokens, last)
    or_two = after == "or" and low_at(tokens, last + 1) == "two"
    away = _kind(symbol) == "length" and after in _WHERE
    return after in _WHEN or or_two or away or half_after(tokens, last) is not None
