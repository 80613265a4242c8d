"""Numbers that name a part, a tool or a kind of thing: "allen key five", "eighty-quart bowl"."""

from __future__ import annotations

import re
from decimal import Decimal

from author.proposals.quantities.amounts.amount import Amount, between
from author.proposals.quantities.amounts.units import MIL, kind_of
from author.proposals.quantities.amounts.vocabulary import CHARACTERISTIC_WORDS, GO_ON
from author.proposals.quantities.numbers.tokens import Token

_NUMBERED = re.compile(
    r"\b(?:part|kit|model|serial|stock|order|bearing|belt|seal|casting|the|its|their|your"
    r"|drawing)"
    r" (?:numbers?|no|code)(?: (?:on|of|for|you want|is for|here))?(?: \w+)?(?: \w+)?"
    r"(?:'s| is| was|,)?(?: a| the)?$|\bcalled (?:a|an|the)$"
)
_FETCHED = re.compile(
    r"\b(?:need|needs|grab|fetch|use|uses|pass me|hand me|find) (?:a|an|the|your)$"
)
_KEYS = frozenset({"key", "allen", "torx", "spanner", "wrench", "socket", "hex", "driver", "bit"})
_TOOL_NAMES = frozenset({"spanner", "spanners", "socket", "sockets", "wrench", "allen", "hex",
                         "nut", "nuts", "torx", "bolt", "bolts", "heads",
                         "screwdriver"})  # fmt: skip
_METER_RANGE = re.compile(
    r"\b(?:meter|multimeter|tester|megger|dial|knob|switch|range)(?: set| goes| turned| is)?"
    r" (?:to|on|at)(?: the)?$"
)
_GOES_TO = re.compile(
    r"\b(?:wrench|gauge|driver|meter|scale|mic|dial)(?: only| just)? (?:goes|reads|starts"
    r"|runs|stops)"
    r"(?: up| down| out)? (?:to|from|at)$"
)
_KEY_UNITS = frozenset({None, "mm", "in", MIL})
_SERVICES = frozenset({"service", "check", "inspection", "overhaul", "interval", "job", "kit"})
_DRAGS = re.compile(
    r"(?:slides|drags|sticks|binds|is (?:too |a bit |just )?(?:tight|loose|snug)"
    r"|won't (?:go|fit|pass"
    r"|slide|enter))\b"
)
_TRIED = re.compile(
    r"(?:goes|does|doesn't|won't|will|slides|fits|drags|passes|enters|is (?:tight|loose)|just)\b"
)
_GOES = re.compile(r"(?:goes|doesn't|won't|fits|slides|slips|enters|passes|just)\b")
_ENTERS = frozenset({"goes", "fits", "slides", "slips", "enters", "passes"})
_STOPS = frozenset({"doesn't", "won't", "not", "sticks", "no"})
_WHERE_MEASURED = frozenset({"inside", "outside", "across", "id", "od", "internal", "external",
                             "overall", "diameter", "centres", "centers"})  # fmt: skip
_RATED = frozenset({"voltage", "current", "power", "volume", "mass", "apparent_power", "charge",
                    "energy"})  # fmt: skip
_OF_A_SET = frozenset({"is", "has", "with", "and", "it", "that", "was", "here"})
_DETERMINERS = frozenset({"a", "an", "the", "this", "that", "our", "your", "my", "its", "these"})


# "Drive it in with a socket of 52 millimetres"
_SIZED = re.compile(
    r"\b(?:with|use|using|need|take|takes|got) (?:an?|the|your|my) (?:\w+ )?(?:socket|sleeve|tube|"
    r"drift|pipe|spanner|wrench|mandrel|drill|punch|key|bit|rod|dowel|bar) of(?: about| around)?$"
)
# "A torque wrench that goes up to 600": what it can do, and nothing to set.
_CAN_DO = re.compile(
    r"\b(?:(?:wrench|gauge|driver|meter|multimeter|scales?|mic|micrometer|dial|tester|indicator"
    r"|thermometer|megger|jack|press|pump|puller|vernier|spanner|crane|hoist|multiplier|probe|clamp)"
    r" (?:that|which|what)(?:'ll| will| can)?|(?:wrench|driver|spanner) only)"
    r"(?: (?:only|just|actually))*"
    r" (?:goes|go|reads?|measures?|starts?|stops?|covers?|handles?|lifts?|does|do|reach(?:es)?"
    r"|pulls?|shows?)"
    r"(?: (?:all the way|right))?(?: (?:up|down|out|as))?"
    r"(?: (?:to|from|at|past|over|beyond|far as))?"
    r"(?: (?:a|about|around|say))*$"
)
_BY_THE_CLOCK = frozenset({"service", "services", "inspection", "overhaul", "interval"})


def is_of_tool(tokens: list[Token], amount: Amount) -> bool:
    """Whether a number names a part, a tool, a feeler, a service, or tells what a tool can do."""
    ahead = between(tokens, max(0, amount.first - 11), amount.first)
    return (
        _CAN_DO.search(ahead) is not None
        or (amount.unit in _KEY_UNITS and _SIZED.search(ahead) is not None)
        or _names_a_service(tokens, amount)
        or is_numbered(tokens, amount)
        or is_adjective(tokens, amount)
        or is_try(tokens, amount)
    )


def _names_a_service(tokens: list[Token], amount: Amount) -> bool:
    """Whether it says which service it is: "at the five hundred hour service"."""
    timed = kind_of(amount.unit) == "time" or amount.unit in {"km", "mile"}
    near = [token.low for token in tokens[amount.last : amount.last + 2]]
    named = near[:1] and near[0] not in GO_ON and not _BY_THE_CLOCK.isdisjoint(near)
    return timed and amount.single and amount.is_plain() and bool(named)


def is_numbered(tokens: list[Token], amount: Amount) -> bool:
    """Whether a whole number is that of a part, or the size of the key before it."""
    if amount.form not in {"whole", "spelled", "fraction"}:
        return False
    ahead = between(tokens, max(0, amount.first - 6), amount.first)
    after = tokens[amount.last].low if amount.last < len(tokens) else ""
    if amount.unit is None and _NUMBERED.search(ahead):
        return True
    if amount.unit in _KEY_UNITS and after not in CHARACTERISTIC_WORDS and _FETCHED.search(ahead):
        return True
    before = tokens[amount.first - 1] if amount.first else None
    if amount.unit not in _KEY_UNITS or amount.role:
        return False
    words = {token.low for token in tokens}
    article = before is not None and before.low in {"a", "the", "an"}
    if amount.unit in {"mm", MIL} and after == "end" and before is not None:
        return before.low in {"the", "your", "that", "its"}
    if article and amount.unit is None and amount.form == "whole" and words & _TOOL_NAMES:
        return not after[:1].isalpha() or after in {"on", "for", "and", "is", "or", "to"}
    if _METER_RANGE.search(ahead) or _GOES_TO.search(ahead):
        return True
    return after in _KEYS - {"key", "bit"} or (before is not None and before.low in _KEYS)


_TURNED_SHUT = frozenset({"screws", "fasteners", "latches", "catches", "valve", "valves",
                          "fixings", "locks", "taps", "studs", "clips"})  # fmt: skip


def is_adjective(tokens: list[Token], amount: Amount) -> bool:
    """Whether number and unit stand before a thing as one word: "eighty-quart bowl"."""
    if amount.unit is None or not amount.single or not amount.is_plain():
        return False
    behind = tokens[amount.last].low if amount.last < len(tokens) else ""
    if kind_of(amount.unit) == "turns" and behind in _TURNED_SHUT:
        return True  # "six quarter-turn screws"
    unit = tokens[amount.last - 1]
    joined = unit.hyphen or (unit.glued and tokens[amount.last - 2].low == "-")
    ends = amount.last >= len(tokens) or tokens[amount.last].kind == "sign"
    if joined and ends and kind_of(amount.unit) == "time" and amount.nominal != 1:
        return True  # "at the thousand-hour"
    shaft = "article" in amount.flags and (amount.unit == "in" or kind_of(amount.unit) == "volume")
    if not (joined or shaft) or amount.last >= len(tokens):
        return False
    after = tokens[amount.last]
    if after.kind != "word" or "'" in after.low or after.low in GO_ON | CHARACTERISTIC_WORDS:
        return False
    if after.low in _WHERE_MEASURED:
        return False  # "two-inch inside"
    return kind_of(amount.unit) not in {"time", "turns", "torque"} or after.low in _SERVICES


def is_try(tokens: list[Token], amount: Amount) -> bool:
    """Whether it is a feeler or a shim that is tried: "a one goes in, and a two does not"."""
    before = tokens[amount.first - 1].low if amount.first else ""
    after = between(tokens, amount.last, min(amount.last + 4, len(tokens)))
    whole = amount.unit is None and amount.form in {"whole", "mixed"}
    if whole and _DRAGS.match(after):
        return True
    if whole and any(token.low in {"feeler", "feelers"} for token in tokens):
        return bool(_TRIED.match(after))
    said = {token.low for token in tokens}
    if whole and _GOES.match(after) and said & _ENTERS and said & _STOPS:
        return True  # "six goes, seven doesn't"
    return whole and before in {"a", "an"} and bool(_TRIED.match(after))


def is_rating(tokens: list[Token], amount: Amount, before: str, after: str) -> bool:
    """Whether it says which of its kind a thing is: "the ninety amp alternator".

    Args:
        tokens: words of the sentence.
        amount: the value.
        before: the word before it.
        after: the word after it.
    """
    word = tokens[amount.last - 1].low
    single = amount.single and word not in {"mil", "kilo", "gram", "gramme"} and amount.nominal != 1
    rated = single and kind_of(amount.unit) in _RATED and before in _DETERMINERS
    further = tokens[amount.last + 1].low if amount.last + 1 < len(tokens) else ""
    is_set = after == "set" and (not further.isalpha() or further in _OF_A_SET)
    return rated and after.isalpha() and (is_set or after not in GO_ON | CHARACTERISTIC_WORDS)


# Deep groove, angular contact and thin bearings and their bore, ISO 15 and the makers' lists.
BEARING_NAME = re.compile(r"6(?:0|2|3|4|8|9)[0-4]\d")
"""What bearings are called."""
_BEARING_NEAR = 24
_ON_SEAL = re.compile(r"on (?:the|its|both) (?:seals?|shields?|race|rim|box)\b")


def names_bearing(tokens: list[Token], first: int, last: int, digits: str) -> bool:
    """Whether digits name a bearing that is spoken of: "the bearing's a sixty-three oh nine".

    Args:
        tokens: words of the sentence.
        first: index of the first word of the digits.
        last: index after their last word.
        digits: the digits.
    """
    near = tokens[max(0, first - _BEARING_NEAR) : last + _BEARING_NEAR]
    spoken_of = any(token.low.removesuffix("'s").startswith("bearing") for token in near)
    # "It says six nine oh two on the seal"
    marked = _ON_SEAL.match(between(tokens, last, min(last + 3, len(tokens)))) is not None
    return (spoken_of or marked) and BEARING_NAME.fullmatch(digits) is not None


_HEAVY = frozenset({"at", "to", "of", "about", "is", "for", "than", "over", "under", "only",
                    "around", "weight", "load", "weighs", "with", "lifts", "holds", "pulls",
                    "exactly",
                    "another"})  # fmt: skip


def is_so_many_ton(tokens: list[Token], amount: Amount, before: str) -> bool:
    """Whether tons name a machine: "a twelve ton", where a weight has a word before it.

    Args:
        tokens: words of the sentence.
        amount: the value.
        before: the word before it.
    """
    ton = tokens[amount.last - 1].low in {"ton", "tonne"} and amount.nominal != 1
    return ton and amount.is_plain() and amount.form == "whole" and before not in _HEAVY


# Widths across flats of hexagons from M5 to M20, from memory: those of ISO 272, and 17, 19 and 22,
# the older ones of M10, M12 and M14, which are common practice (no source); and those of keys
# for socket heads from M3 to M16, ISO 4762, from memory.
_ACROSS_FLATS = frozenset({8, 10, 13, 16, 17, 18, 19, 21, 22, 24, 27, 30})
_OF_KEYS = frozenset({3, 4, 5, 6, 8, 10, 12, 14})
_FASTENED = re.compile(
    r"\b(?:bolts?|nuts?|screws?|studs?|lugs|fittings?|sockets?|wrench|wrenches|impact|ratchet"
    r"|breaker bar|(?:little|big|small|long|short) ones)\b(?! (?:hole|circle))"
)
_OUT_FIRST = re.compile(
    r"\b(?:bolts?|nuts?|screws?|studs?|lugs|ones)(?: come| comes)? (?:out|off) ,$"
)
_SOCKET_HEADS = re.compile(r"\b(?:allen|hex|cap|pinch|socket(?: head)?|grub) (?:bolt|screw)s?\b")
_NO_SIZE = re.compile(
    r"(?:long|deep|apart|proud|of|out|in|up|down|thick|below|above|loose|slack)\b"
)
# What is measured, or moved so far, beside a fastener.
_MOVED = re.compile(
    r"\b(?:gap|clearance|play|depth|between|measured?|stands?|sticks?|proud|shows?|showing"
    r"|threads?|above|below|under|past|drive|wind|turn|screw|push|pull|lift|slide|raise|lower"
    r"|back it|out|up)\b"
)
_OF_INCH = frozenset({2, 4, 8, 16, 32})
_LEAST_INCH, _MOST_INCH = Decimal("0.25"), 2
# Tools that are turned by hand and show no torque.
_BY_HAND = re.compile(
    r"\bspanners?\b|\bopen enders?\b|\b(?:allen|hex) keys?\b|\btwo (?:sockets|wrenches)\b"
)
_TURNED_BY = re.compile(
    r"\btorque\b|\b(?:wind|undo|turn|screw|back|slacken|loosen|ease|give|get|move|pull|lift)s?"
    r" (?:it|them|her|him|that|this|both|each|the)\b"
)
_GOES_ON = frozenset({"on", "for", "and", "or"})
_APPOSED = frozenset({",", "one", "other", ":"})
_LEAST_SPANNER, _MOST_SPANNER = 4, 60


def is_spanner(tokens: list[Token], amount: Amount) -> bool:
    """Whether a size behind bolts or a tool is of their spanner: "four bolts on it, 13 mil"."""
    if not amount.is_plain() or amount.unit not in _KEY_UNITS:
        return False
    before = tokens[amount.first - 1].low if amount.first else ""
    ahead = between(tokens, max(0, amount.first - 9), amount.first)
    behind = between(tokens, amount.last, min(amount.last + 1, len(tokens)))
    if before not in _APPOSED or _NO_SIZE.match(behind):
        return False
    value = amount.nominal or 0
    if amount.form == "whole":
        far = between(tokens, max(0, amount.first - 14), amount.first)
        spanner = _LEAST_SPANNER <= value <= _MOST_SPANNER and _BY_HAND.search(far)
        if spanner and amount.unit != "in" and not _TURNED_BY.search(far):
            return not behind[:1].isalpha() or behind in _GOES_ON
        keyed = _SOCKET_HEADS.search(ahead) and not _MOVED.search(ahead)
        sizes = _ACROSS_FLATS | (_OF_KEYS if keyed else frozenset())
        metric = amount.unit in {"mm", MIL} and value in sizes
        return metric and before == "," and _FASTENED.search(ahead) is not None
    inches = amount.unit in {None, "in"} and amount.bottom in _OF_INCH
    set_apart = before == "," and (not behind or not behind[0].isalpha())
    if not inches or not set_apart or not _LEAST_INCH <= value <= _MOST_INCH:
        return False
    if _OUT_FIRST.search(ahead):
        return True
    return _FASTENED.search(ahead) is not None and not _MOVED.search(ahead)
