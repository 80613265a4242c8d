"""Which gauge is meant where only "the gauge" is said: one of what is read on it."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence, Set
from dataclasses import replace

from author.proposals.quantities.reading import SpokenQuantity
from author.proposals.things.named import Thing

_READ_ON = {"pressure": "pressure", "temperature": "temperature"}
# "Forty degrees on the gun" is read there; "keep the gun moving" is said of another.
_HEATING = re.compile(
    r"\b(?:heat|heats|heated|heating|warm|warms|warming|melt\w*|soften\w*|shrink\w*|shrunk|moving"
    r"|blow|dry|drying|solder\w*|glue|grease|paint|spray\w*|air|flame|until it)\b",
    re.IGNORECASE,
)
# Brakes have calipers too; nobody measures by them.
_CALIPERS = frozenset({"caliper", "calliper", "calipers", "callipers"})
_PUT_ON = frozenset({"put", "by hand", "taken"})
_NO_GAUGE_OF_THE_HAND = frozenset({"length"})


def by_what_they_read(
    things: Sequence[Thing], quantities: Sequence[SpokenQuantity], texts: Sequence[str]
) -> list[Thing]:
    """Return the things, with "the gauge" named by the number that is read on it.

    "The gauge" beside so many bar is a pressure gauge, and not short for the depth gauge that is
    named elsewhere.

    Args:
        things: what may be named, in the order it was said.
        quantities: the numbers told.
        texts: the sentences.
    """
    told: dict[int, set[str]] = {}
    for each in quantities:
        if each.quantity is not None:
            told.setdefault(each.sentence, set()).add(each.quantity)
    return [_named(one, told, texts) for one in things]


def _named(one: Thing, told: Mapping[int, set[str]], texts: Sequence[str]) -> Thing:
    here, name = told.get(one.sentence, set()), one.name.lower()
    beside = here | told.get(one.sentence + 1, set())
    put_on = one.signs & _PUT_ON or {"art none", "at"} <= one.signs
    if name.split()[-1] in {"wrench", "wrenches"}:
        return _turned(one, here)
    if name in {"gun", "little gun", "wee gun"}:
        read = "temperature" in here and not _HEATING.search(texts[one.sentence])
        one = replace(one, name="infrared thermometer") if read else one
    elif name == "indicator":
        read = "length" in beside or "at" in one.signs
        one = replace(one, name="dial indicator") if read else one
    elif name == "tester" and _DEAD.search(texts[one.sentence]):
        one = replace(one, name="voltage tester")
    elif name == "clamp" and "current" in beside:
        one = replace(one, kind="tool", name="clamp meter")
    elif name in _CALIPERS and one.kind == "part" and "length" in here and put_on:
        one = replace(one, kind="tool", signs=(one.signs - {"list part"}) | {"list tool"})
    elif name in {"gauge", "gauges"}:
        one = _gauge(one, told)
    elif name == "tape" and "length" in here and _is_read(texts[one.sentence]):
        one = replace(one, kind="tool", name="tape measure")
    return one


# What is tested with it is whether anything is live.
_DEAD = re.compile(
    r"\b(?:prov(?:e|es|ed|ing)|dead|live|phases?|terminals?|isolat\w+|proving unit|l1|neutral)\b",
    re.IGNORECASE,
)
# A tape that is laid along something or says something is read; one that is put on sticks.
_TAPE_READ = re.compile(
    r"\btape (?:says?|reads?|shows?|gives)\b|(?:^|[,;:.] ?)tape (?:from|to|between)\b"
    r"|\b(?:lay|run|ran|pull|hook|stretch|read) (?:a|the|your|my|me) tape\b"
    r"|\b(?:with|by|on|hold|use) (?:a|the|your|my|me) tape\b(?! (?:on|over|round|around)\b)",
    re.IGNORECASE,
)
_TAPE_STICKS = re.compile(
    r"\b(?:stick|stuck|wrap|mask|peel|flag|mark|turns?|wound|wind|seal|ptfe|tear|clean)", re.I
)


def _is_read(text: str) -> bool:
    """Whether a tape is one that lengths are read on: "lay a tape on it", "the tape says"."""
    return bool(_TAPE_READ.search(text)) and not _TAPE_STICKS.search(text)


def _gauge(one: Thing, told: Mapping[int, set[str]]) -> Thing:
    """Return a gauge by what is read on it: "two bar on the gauge"."""
    # What is read may be told in the sentence before: "it's at two bar. Wait till the gauge …".
    for index in (one.sentence, one.sentence - 1):
        kinds = told.get(index, set())
        if kinds & _NO_GAUGE_OF_THE_HAND:
            return one
        named = [name for quantity, name in _READ_ON.items() if quantity in kinds]
        if named:
            return replace(one, name=f"{named[0]} {one.name}")
    return one


def _turned(one: Thing, told: Set[str]) -> Thing:
    """Return a wrench as the torque wrench where a torque is told: "forty on the small wrench"."""
    *before, last = one.name.split()
    if "torque" not in told or not {word.lower() for word in before} <= _SORTS:
        return one
    return replace(one, name=f"torque {last}")


_SORTS = frozenset({"little", "small", "big", "good", "wee", "clicker", "click"})
