"""The thing that is named alone, or of which a size is told, right before an order."""

from __future__ import annotations

import re

from author.checks.verbs import words
from author.proposals.language.trade_words import trade_words
from author.proposals.language.word_forms import singular
from author.proposals.orders.words import lower_first


def topic_before(before: str, *, many: bool | None, turned: bool) -> str | None:
    """Return the thing that is named alone right before an order: "the probe, mike on it".

    What is turned is what something is set or held with: "set with a screw, tighten it".

    Args:
        before: the words before the order in its sentence.
        many: whether it is told as several, None where that is not told.
        turned: whether the order turns it.
    """
    if many is not False and (several := _SEVERAL_NAMED.search(before)) and _are_things(several[1]):
        return lower_first(several[1])
    found = _NAMED_ALONE.search(before) or _THERE.search(before)
    found = found or _COMES_WITH.search(before)
    found = found or (_SET_WITH.search(before) if turned else None)
    if found is None:
        return None
    first, *_, head = ["", *found[1].lower().split()][-2:]
    if first in _DONE_TO_IT:
        return None  # "wear gloves, slide it on"
    if trade_words().kind_of(singular(head)) not in {"part", "tool", "weak"}:
        return None
    return f"the {found[1].lower()}" if many is (singular(head) != head) else None


_DONE_TO_IT = words("wear put use get take fit have hold grab wash clean oil check need want find")


def _are_things(names: str) -> bool:
    """Whether all that is named one after another are things a machine has or is mended with."""
    heads = [singular(name.split()[-1].lower()) for name in _AND.split(names)]
    return all(trade_words().kind_of(head) in {"part", "tool", "weak"} for head in heads)


def measured_before(before: str, *, many: bool | None) -> str | None:
    """Return the thing of which a size is told before: "vane height new is 22, throw them out".

    Args:
        before: the words before the order in its sentence.
        many: whether it is told as several, None where that is not told.
    """
    found = _SIZE_OF.search(before)
    if found is None or trade_words().kind_of(singular(found[1].lower())) not in {"part", "weak"}:
        return None
    one = singular(found[1].lower())
    plural = f"{one}es" if one.endswith(("s", "sh", "ch", "x")) else f"{one}s"
    return f"the {plural if many else one}"


_SIZE_OF = re.compile(
    r"(?:^|[.;:] |\b(?:and|so|now|the|then) )(?:the |that |your )?([a-z][\w-]*) "
    r"(?:height|length|thickness|width|depth|diameter)(?: new)? (?:is|should be|must be|was)\b",
    re.IGNORECASE,
)
_NAMED_ALONE = re.compile(
    r"(?:^|[.;:,] )(?:(?:right|so|now|then|and|okay|next|first|the|your|that|this),? )*"
    r"((?!(?:right|so|now|then|and|okay|next|first|the)\b)(?:[a-z][\w-]* )?[a-z][\w-]*), "
    r"(?:and |you |we |i |just |now )*$",
    re.IGNORECASE,
)
# "There's a key in the shaft, put it with the gear"
_THERE = re.compile(
    r"\bthere(?:'s| is| are) (?:an?|one|the|two|three|four|some) ((?:[\w-]+ ){0,2}?[\w-]+)"
    r"(?: (?:in|on|under|behind|inside|between|at|below|over|round) "
    r"(?:the|its|each|your) (?:[\w-]+ ){0,2}?[\w-]+)?, (?:and |so |you |we |i |just |then )*$",
    re.IGNORECASE,
)
# What it comes off with is put there: "the chuck comes off with a wedge: put it in the slot"
_COMES_WITH = re.compile(
    r"\bcomes? (?:off|out|apart) with (?:an?|the|your) ((?:[\w-]+ ){0,2}?[\w-]+)[:,;] "
    r"(?:and |so |you |we |i |just |then )*$",
    re.IGNORECASE,
)
# "The side play is set with the screw on the side, tighten it till it drags"
_SET_WITH = re.compile(
    r"\b(?:set|adjusted|altered|taken up|done|held|clamped|locked|fixed|kept|secured|retained) "
    r"(?:with|by|using) (?:an?|one|the|two|three|four|this|that|these) "
    r"((?:(?!and\b|of\b)[\w-]+ )??(?!and\b|of\b)[\w-]+)"
    r"(?: (?:in|on|under|behind|inside|at|below|over|through) (?:the|its|each|your) "
    r"(?:[\w-]+ ){0,2}?[\w-]+)?, (?:and |so |you |we |i |just |then )*$",
    re.IGNORECASE,
)
# "Then the two cover bolts and the four gland bolts, nip them up"
_SEVERAL_NAMED = re.compile(
    r"(?:^|[.;:] )(?:(?:right|so|now|then|and|okay|next|first),? )*"
    r"((?:the|your|both|those|these) (?:[\w-]+ ){0,3}[\w-]+(?:, (?:the )?(?:[\w-]+ ){0,3}[\w-]+)*"
    r"(?:,? and (?:(?:the|your|both|its) )?(?:[\w-]+ ){0,3}[\w-]+)), "
    r"(?:and |you |we |i |just |now )*$",
    re.IGNORECASE,
)
_AND = re.compile(r",? and |, ", re.IGNORECASE)


_SETS = re.compile(
    r"\b(?:set|adjust) (?:the|your|its) (?P<what>backlash|gap|play|end float|clearance|tension|"
    r"lash|preload|sag|timing|height|pressure|stroke|free play)\b(?![^.;]*\b(?:it|them)\b)",
    re.IGNORECASE,
)
_CHECKS = re.compile(r"(?:and |then |now |so )*(?:re)?(?:check|measure|read) it\b", re.IGNORECASE)


def setting_before(before: str, order: str) -> str | None:
    """Return what was set in the sentence before and is checked: "set the backlash … check it".

    Args:
        before: the sentence before.
        order: the words of the order.
    """
    found = _SETS.search(before) if _CHECKS.match(order) else None
    return f"the {found['what'].lower()}" if found else None
