"""Sizes that tell which thing is meant: "the ten mil deep socket", "a sixteen mil shaft"."""

from __future__ import annotations

import re

from author.proposals.quantities.amounts.amount import Amount, between
from author.proposals.quantities.amounts.units import MIL, kind_of
from author.proposals.quantities.amounts.vocabulary import (
    CHARACTERISTIC_WORDS,
    GO_ON,
    JOINERS,
    THINGS,
)
from author.proposals.quantities.no_quantity import tools
from author.proposals.quantities.numbers.tokens import Token

_ATTRIBUTES = frozenset({"length", "mass", "volume", "voltage", "current", "power",
                         "apparent_power", "charge", "energy", None})  # fmt: skip
_TESTS = {"if", "shouldn't", "mustn't", "can't", "won't", "not"}
_FEELS = frozenset({"goes", "fits", "slides", "drag", "drags", "passes", "slips", "enters", "go",
                    "enter", "pass", "start"})  # fmt: skip
_NEAR = 12


def is_size_of_thing(tokens: list[Token], amount: Amount, before: str) -> bool:
    """Whether a size names the thing that follows: "the ten mil deep socket".

    Args:
        tokens: words of the sentence.
        amount: the size.
        before: the word before it.
    """
    at, steps = amount.last, 0
    plural = tokens[amount.last - 1].low.endswith(("s", "feet")) and not amount.single
    plural = (plural and amount.unit not in {MIL, "thou"}) or amount.unit == "turn"
    if plural or _from_face_to_face(tokens, at) or _is_asked_for(tokens, amount):
        return False
    while at < len(tokens) and steps < 4:
        low = tokens[at].low
        if low == "-":
            at += 1
            continue
        if low in CHARACTERISTIC_WORDS or _is_measured_by(amount, low):
            return False
        if low in THINGS and not _goes_on(tokens, at):
            return not tries_a_gap(tokens, at)
        if steps == 0 and tools.is_rating(tokens, amount, before, low):
            return True
        free = kind_of(amount.unit) in _ATTRIBUTES and low not in GO_ON and steps < 3
        if tokens[at].kind != "word" or not (low in JOINERS or free):
            return steps > 0 and _is_described(tokens, amount, before)
        at, steps = at + 1, steps + 1
    return 0 < steps < 3 and _is_described(tokens, amount, before)


def tries_a_gap(tokens: list[Token], at: int) -> bool:
    """Whether a feeler is said to go in, or not to: "a five thou feeler shouldn't start".

    Args:
        tokens: words of the sentence.
        at: index of the word that may be the feeler.
    """
    feeler = at < len(tokens) and tokens[at].low.startswith("feeler")
    tried = not _FEELS.isdisjoint(token.low for token in tokens[at : at + _NEAR])
    return feeler and tried and any(token.low in _TESTS for token in tokens)


def _is_measured_by(amount: Amount, low: str) -> bool:
    """Whether what follows is told by such a size, or only goes on with it."""
    if low in {"shim", "shims"}:
        return amount.unit in {"thou", "µm", "mm", MIL}  # a shim is told by its thickness
    if low == "bearing":
        return amount.unit == "%"  # "eighty percent bearing on the blue"
    if low in {"air", "daylight"}:
        return kind_of(amount.unit) == "length" or amount.unit == MIL
    if kind_of(amount.unit) == "torque" and low in THINGS and low not in _TORQUE_TOOLS:
        return True  # "three newton metres can already do"
    if low.startswith("feeler"):
        return amount.form in {"range", "both"}
    return low in _REGION and amount.form == "range"  # "in the twenty to thirty newton range"


_TORQUE_TOOLS = frozenset({"wrench", "driver", "screwdriver", "key", "motor", "gun", "drill",
                           "spanner", "ratchet"})  # fmt: skip
_REGION = frozenset({"range", "region", "area", "bracket", "window", "zone", "mark", "band"})


def _from_face_to_face(tokens: list[Token], at: int) -> bool:
    """Whether a size is told from one thing to the same: "thirty-eight mil washer to washer"."""
    low = [token.low.removesuffix("s") for token in tokens[at : at + 6] if token.kind == "word"]
    return (
        any(
            low[place] == "to" and low[place - 1] == low[place + 1]
            for place in range(1, len(low) - 1)
        )
        and "to" in low[:4]
    )


_ASKED_FOR = re.compile(
    r"\b(?:wants?|needs?|has|have|ought|got|supposed|gotta|must|should) (?:to )?be"
    r"(?: (?:about|exactly|around))?$"
)


def _is_asked_for(tokens: list[Token], amount: Amount) -> bool:
    """Whether a size is demanded: "the new spring wants to be two hundred thou wire"."""
    ahead = between(tokens, max(0, amount.first - 5), amount.first)
    return _ASKED_FOR.search(ahead) is not None


def _is_described(tokens: list[Token], amount: Amount, before: str) -> bool:
    """Whether a size describes the thing that follows, as in "a sixteen mil shaft"."""
    long = kind_of(amount.unit) == "length" or amount.unit == MIL
    return (
        long
        and before in {"a", "an", "the", "this", "that", "my"}
        and (amount.single or amount.unit in {MIL, "mm"})
        and tokens[amount.last].low not in JOINERS
    )


def _goes_on(tokens: list[Token], at: int) -> bool:
    """Whether the thing is itself part of a characteristic: "ten newton metre bolt torque"."""
    after = tokens[at + 1].low if at + 1 < len(tokens) else ""
    return after in {"torque", "gap", "clearance", "pressure", "travel", "depth", "preload"}
