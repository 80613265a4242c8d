"""Limits that hang on what kind of value it is, and on what gets thinner as it wears."""

from __future__ import annotations

import re

from author.proposals.quantities.amounts.amount import Amount, between
from author.proposals.quantities.amounts.cues import ROUGH
from author.proposals.quantities.amounts.units import kind_of
from author.proposals.quantities.numbers.tokens import Token
from author.proposals.quantities.roles.wear import moves, wears, wears_down
from author.proposals.quantities.roles.wishes import DUE, OR_FAILS

_GRANTED = re.compile(r"\b(?:i'll|ill|we'll|i'd) (?:have|take|allow|give it|wear|stand)$")
_MAY_BE = re.compile(
    r"\b(?:it|he|she|they|there|that|play|gap|runout|wobble|float) may (?:only )?be(?: only)?$"
)


def weighed(tokens: list[Token], amount: Amount, side: str, before: str, *, setting: bool) -> str:
    """Return which limit a value is, by its kind and what it is of.

    Args:
        tokens: words of the sentence.
        amount: the value.
        side: ``lower`` or ``upper`` as the words say it, or nothing.
        before: the words before it, in small letters.
        setting: whether it is what something is set to.

    Returns:
        The side it is a limit on; nothing where it is none.
    """
    if side == "upper" and amount.unit == "turn" and ROUGH.search(before):
        return ""  # "about six turns, no more"
    if side == "upper" and kind_of(amount.unit) == "time" and _LASTS.search(before):
        return ""  # "ramp it over two hours"
    if side == "upper" and before == "up to" and _takes_long(tokens, amount):
        return ""  # "six hours up to a thousand degrees"
    fine = amount.unit == "µm" or (amount.unit in {"thou", "mm"} and (amount.nominal or 9) < 1)
    granted = fine and not setting and (_GRANTED.search(before) or _MAY_BE.search(before))
    granted = granted or (
        amount.unit is None and 0 < (amount.nominal or 0) < 1 and _MAY_BE.search(before)
    )
    held = kind_of(amount.unit) in _HELD_INSIDE or fine or amount.bottom in {100, 1000}
    behind = between(tokens, amount.last, min(amount.last + 4, len(tokens)))
    held = held or amount.unit == "thou" or behind.startswith(("of each other", "of one another"))
    apart = amount.first > 0 and tokens[amount.first - 1].low == ","  # "acid inside, ten minutes"
    held = held or bool(_HAS_TO_LIE.search(before)) or before.startswith(("anything", "anywhere"))
    inside = _INSIDE.search(before) and held and not apart
    rated = _RATED_FOR.search(before)
    timed = kind_of(amount.unit) == "time"
    due = timed and (DUE.search(before) or (_HAS.search(before) and _TO_DO.match(behind)))
    if side == "lower" and (fine or amount.unit == "thou"):
        told = between(tokens, amount.last, min(amount.last + 9, len(tokens)))
        side = "upper" if OR_FAILS.match(told) else side  # "half a mil or it's done again"
    if timed and not side and _SOONER.match(behind):
        side = "upper"
    if timed and not side and _ANYHOW.match(behind) and not before.endswith("for"):
        side = "lower"
    bare = amount.unit is None and "good to" in before
    borne = due or (rated and (bare or kind_of(amount.unit) in _BORNE or "rated" in rated.group()))
    if not side and (granted or inside or borne):
        side = "upper"
    side = side or _by_trade(tokens, amount, before, behind, fine=fine or amount.bottom > 1)
    if side == "upper" and amount.unit == "MΩ" and _ABOVE.search(before):
        side = "lower"  # insulation has a least value
    if not side and kind_of(amount.unit) != "torque" and _worn_to(tokens, before, behind):
        amount.flags.add("refused")  # it is no limit of a value told before
        return "upper" if moves(tokens) else "lower"
    near = f"{before} {between(tokens, amount.last, min(amount.last + 6, len(tokens)))}"
    return "lower" if side == "upper" and wears_down(tokens, near) else side


# "The door has three seconds to shut", "twenty seconds or quicker"
_HAS = re.compile(
    r"(?!(?:i|we)\b)\b[a-z]+(?:'s|'ve| has| have)(?: got| only| just| about| exactly)*$"
    r"|(?<!\bi )(?<!\bwe )\bgot$"
)
_TO_DO = re.compile(r"to (?!go\b|the\b|a\b|it\b|my\b|your\b|spare\b|kill\b|[a-z]+s\b)[a-z]+")
_SOONER = re.compile(r",? ?or (?:quicker|sooner|faster|better)\b")
# "Leave it overnight, ten hours anyhow"
_ANYHOW = re.compile(r",? ?(?:anyhow|anyway|anyroad|regardless)(?: ?[,.;!?]| and\b| or\b|$)")
_ABOVE = re.compile(r"(?<!not )(?<!no )(?:more than|over|above|greater than)$")
_PLATE = re.compile(r"\b(?:name ?)?plate(?: say| says| is|'s| reads| gives)?$")
_ON_PLATE = re.compile(
    r",? ?(?:is |it says )?(?:on the (?:name ?)?plate"
    r"|(?:so )?says the (?:name ?)?plate)\b|the (?:name ?)?plate (?:says|reads|gives)(?! ?\w)"
)
_PAST_IT = re.compile(r"\b(?:over|above|past|more than)\b")
_DRAWN = frozenset({"amps", "amp", "ampere", "amperes", "current", "draws", "drawing", "pulling"})
_FINE_WORDS = frozenset({"thou", "thousandths", "microns", "micron", "hundredths"})
_KEPT_OFF = re.compile(r"\b(?:keep|stay|stand)(?: (?:it|them|'em|her|that|back|well|the \w+))*$")
_OFF_IT = re.compile(r"(?:off|away|clear|back|from)\b")
_CONTENT = re.compile(r"\b(?:i'd take|i would take|(?:okay|ok|fine|content) with)$")
_TAKEN_OFF = re.compile(r"(?:off|out|away|from|of)\b")
_BEFORE_SET = re.compile(
    r"before (?:it|they|she|the [a-z]+) (?:skins?|sets?|goes? off|cures?|grabs?|hardens?|kicks?"
    r"|goes? hard|starts? to)\b"
)


def _by_trade(tokens: list[Token], amount: Amount, before: str, behind: str, *, fine: bool) -> str:
    """Return the limit that the trade takes a value for: what a plate allows, what sets.

    A rating on a plate is the most current there may be (common practice, no source).
    """
    drawn = amount.unit == "A" or any(token.low in _DRAWN for token in tokens)
    later = between(tokens, amount.last, min(amount.last + 8, len(tokens)))
    drawn = drawn and not _PAST_IT.search(later)
    if drawn and amount.unit in {None, "A"} and (_PLATE.search(before) or _ON_PLATE.match(behind)):
        amount.flags.add("refused")  # it is no limit of what is read off beside
        return "upper"
    if kind_of(amount.unit) == "time" and _BEFORE_SET.match(behind) and not ROUGH.search(before):
        return "upper"
    fine = fine or any(token.low in _FINE_WORDS for token in tokens)
    if fine and _CONTENT.search(before) and not _TAKEN_OFF.match(behind):
        return "upper"
    far = kind_of(amount.unit) == "length" or amount.unit == "mil"
    return "lower" if far and _KEPT_OFF.search(before) and _OFF_IT.match(behind) else ""


_LASTS = re.compile(
    r"\b(?:ramp|raise|spread|bring|heat|warm|cool|ease|bleed|let|cure|drop|lower|feed|pour|build|do"
    r"|add|run|wind)(?:s|ed|ing)?\b(?: [a-z']+){0,5} over(?: (?:about|the next|a|another|around))?$"
)


def _takes_long(tokens: list[Token], amount: Amount) -> bool:
    """Whether a time stands before the "up to" of an amount."""
    at = amount.first - 3
    return at >= 0 and tokens[at].low in {"hour", "hours", "minute", "minutes", "mins", "seconds"}


# "the brake's good for two thousand kilos", "rated to ten bar"
_RATED_FOR = re.compile(r"\b(?:(?:good|rated|safe|fine|built) (?:for|to)|rated at"
                        r"|takes no more than)"
                        r"(?: (?:a|about|around|up to))?$")  # fmt: skip
_BORNE = frozenset({"mass", "force", "pressure", "current", "voltage", "temperature",
                    "rotational_speed", "speed"})  # fmt: skip
_INSIDE = re.compile(r"(?<!the )\binside(?: of)?(?: about| a)?$")
_HAS_TO_LIE = re.compile(
    r"\b(?:must|has to|have to|needs? to|ought to|should)(?: all)?"
    r" (?:be|fall|lie|stay|come|land|agree|read)(?: all| alike| together)? inside(?: of)?(?: an?)*$"
    r"|\b(?:stops?|halts?|pulls? up|comes? to (?:a stop|rest)|settles?|levels?)"
    r"(?: (?:dead|straight|clean|square|down|up|out|itself))* inside(?: of)?(?: an?| about)*$"
)
_HELD_INSIDE = frozenset({"time", "frequency", "angle", "temperature", "pressure", "ratio"})
# "it can be down to ten", "I'd run them down to three", "down to eleven volts is okay"
_CAN_BE_DOWN = re.compile(
    r"\b(?:can|could|may|might)(?: (?:be|go|run|wear|drop|get|come|sag|fall|take|let|use|turn|skim"
    r"|machine|grind|cut|bring|dress|file))?"
    r"(?: (?:it|them|that|those|him|her|you|(?:the|a|your) [a-z]+))?(?: (?:go|drop|wear|run|get))?"
    r"(?: (?:right|all the way))? down to(?: (?:about|a|an))*$"
)
_RUN_DOWN = re.compile(
    r"\b(?:runs?|use|wear|let|lets|take)(?: (?:it|them|'em|him|her|those|these|the [a-z]+))?"
    r"(?: (?:go|get|wear))?(?: (?:right|all the way))? down to(?: (?:about|a|an))*$"
)
_DOWN_TO = re.compile(r"\bdown to(?: (?:about|a|an))*$")
_STILL_GOOD = re.compile(
    r"(?:is|are|'s|would be)(?: still| just)? (?:ok|okay|fine|good|all right|alright|allowed"
    r"|acceptable|usable|legal|safe)\b"
)


def _worn_to(tokens: list[Token], before: str, behind: str) -> bool:
    """Whether a value is how far down a part may go."""
    if _CAN_BE_DOWN.search(before) or (_DOWN_TO.search(before) and _STILL_GOOD.match(behind)):
        return True
    new = any(token.low in {"new", "fresh"} for token in tokens)
    return _RUN_DOWN.search(before) is not None and (new or wears(tokens))
