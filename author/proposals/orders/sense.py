"""Whether the words left of what was said still make an order that somebody can follow.

An order is cut out of talk, and its numbers are told elsewhere. What is left may have lost its
noun ("take the out"), what is given ("give the frame") or the end of its last clause ("screw it
until there's"); such an order is worse than none, for the words it rests on stand beside it.
"""

from __future__ import annotations

import re

from author.checks.verbs import ARTICLES
from author.checks.verbs import words as _words
from author.proposals.language.verbs import base_of_third
from author.proposals.orders.words import PARTICLES, PREPOSITIONS

_BEFORE_A_NOUN = _words("the a an your")
# Behind an article or "your" stands a noun, or what comes before one.
_NEVER_NAMED = _words(
    "you i he she we they me him us gonna gotta wanna not just never than then held"
)
# "The dead centre", "the go gauge", but not "the go of".
_NO_NOUN_ALONE = _words("go dead")
_ADVERBS = _words(
    "altogether again even always once twice anyway either too still more another else both all"
)
# They ask for a thing: "put on" is cut off, "switch off" is not.
_OF_A_THING = _words("take put fit set give bring get hold keep let make lay hang refit remove")
_ON_THEIR_OWN = _words("hold keep let")
_TELLS = _words("says reads shows tells reckons")
_FELT = _words("feel hear see smell")
_NOTHING = _words("no none nothing any")
_HOW_IT_IS = _words("warm clean dry clear cool wet slack")
# "Take that all day", "I'd take anything from ninety-one": it is good enough.
_ACCEPTS = re.compile(r"take (?:anything from|(?:that|it|the|those|them) (?:all|any) day)\b")
# "Drop me a line", "bear with me": what is asked for is not done at the machine.
_TO_THE_SPEAKER = re.compile(
    r"\b(?:(?!(?:for|with|to|from|at|behind|past|on|by) )\w+ (?:me|us)|(?:drop|tell) you)"
    r" (?:a|an|the|some|any|your|one|know|off|up)\b"
    r"|^(?:bear|stay|stick) with (?:me|us|you)\b"
)
_LOST_END = re.compile(
    r",? (?:(?:until|till|when|while|so|because|if|to see|to see if|and|where|that) )?"
    r"(?:there's|it's|that's|they're|its)$"
    r"|,? (?:until|till|when|while|so|because|if|and) (?:it|there|that|they) (?:is|are|was|were)$"
    r"|,? (?:until|till|when) (?:you|you've|i|we) (?:got|have|get|hit|reach)$",
    re.IGNORECASE,
)


def without_lost_end(text: str) -> str:
    """Return an order without the beginning of a clause whose rest is gone: "until there's"."""
    return _LOST_END.sub("", text)


def makes_sense(text: str) -> bool:
    """Whether the words of an order say what is done to what.

    Args:
        text: one order, with or without its full stop.
    """
    low = re.findall(r"[\w'/-]+", text.lower())
    if not low or _TO_THE_SPEAKER.search(" ".join(low)) or _ACCEPTS.match(" ".join(low)):
        return False
    if any(_names_nothing(low, at) for at in range(len(low) - 1)):
        return False
    verb, behind = low[0], low[1:]
    told = behind[:1] and behind[0] in _TELLS
    if told or (verb in _FELT and _NOTHING & set(behind[:1])):
        # "Mike says": what reads like an order names who tells; "you should feel none" tells what
        # is accepted.
        return False
    if verb in _HOW_IT_IS and _does(behind):
        return False  # "warm oil drains better"
    if verb == "allow" and behind in (["out"], ["off"], ["in"], ["over"], ["under"], ["each"]):
        return False  # "I'd allow one millimetre out" without its number
    if verb == "set" and behind[:1] and behind[0] in {"off", "from", "below", "above"}:
        return False  # "set three millimetres off the drum" without its number
    if verb in _OF_A_THING and all(word in _ADVERBS for word in behind):
        return bool(behind) and verb in _ON_THEIR_OWN
    return not (verb in {"give", "let"} and _only_one(behind))


def _does(behind: list[str]) -> bool:
    """Whether a bare noun that does something follows: "oil drains", not "the faces"."""
    bare = len(behind) > 2 and behind[0] not in ARTICLES and not behind[0].endswith("s")
    return bare and base_of_third(behind[1]) is not None and behind[2] in _DOING_SO


_DOING_SO = _words("better best easier faster quicker worse off out like well much")


def _names_nothing(low: list[str], at: int) -> bool:
    """Whether an article stands before what can be no noun: "the out", "the all day"."""
    if low[at] not in _BEFORE_A_NOUN:
        return False
    word, after = low[at + 1], low[at + 2] if at + 2 < len(low) else ""
    if word in _NEVER_NAMED or (word, after) in {("all", "day"), ("all", "of"), ("flush", "with")}:
        return True
    ends = not after or after in PREPOSITIONS | {"and", "with", "of", "from"}
    if word in _NO_NOUN_ALONE:
        return ends
    return word in PARTICLES - {"back", "round"} and ends


def _only_one(behind: list[str]) -> bool:
    """Whether a thing is named and nothing of what it is given, or of what it may do."""
    if behind[:1] in (["it"], ["them"]):
        return len(behind) == 1 or behind[1:] == ["another"]
    return len(behind) == 2 and behind[0] in _BEFORE_A_NOUN | {"that", "this"}
