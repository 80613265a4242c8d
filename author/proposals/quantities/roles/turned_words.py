"""Words before a value as the kind of the value turns them: "not faster than three seconds"."""

from __future__ import annotations

import re

from author.proposals.quantities.amounts.amount import Amount, between
from author.proposals.quantities.amounts.units import kind_of
from author.proposals.quantities.numbers.tokens import Token

_FASTER = re.compile(r"\b(?:faster|quicker|sooner) than")
_TIMES = frozenset({"second", "seconds", "secs", "minute", "minutes", "mins"})
# "Till two point three is okay"
_TILL = re.compile(r"\b(?:till|until|til)$")
_IS_FINE = re.compile(
    r"(?:is|'s|would be) (?:still |just )?(?:ok|okay|fine|good|all right|alright|allowed)\b"
)
_GOES_PAST = re.compile(
    r"\b(?:goes|gets|climbs|rises|is|it's|comes) (?:over|above|past|beyond|up to|to)$"
)
_MUST_ACT = re.compile(
    r"(?:[a-z]+ )?,? ?(?:then )?(?:the|your|that|this) (?:[a-z]+ ){1,2}(?:must|has to|should"
    r"|needs to|wants to|ought to) (?:blow|open|lift|trip|pop|vent|cut|switch|kick|come on"
    r"|relieve|let go)\b"
)


def as_meant(tokens: list[Token], amount: Amount, before: str) -> str:
    """Return the words before a value with "than" and "till" as they are meant of its kind.

    A tighter bolt has more torque; what is done faster takes less time. A value whose words mean
    another side than they have elsewhere gets the flag ``turned``.

    Args:
        tokens: of the sentence.
        amount: the value.
        before: the words before it, in small letters.
    """
    if kind_of(amount.unit) == "torque":
        return before.replace("tighter than", "more than").replace("looser than", "less than")
    if _is_time(tokens, amount):
        meant = _FASTER.sub("less than", before).replace("slower than", "more than")
        amount.flags |= {"turned"} if meant != before else set()
        return meant
    fine = _TILL.search(before) and _IS_FINE.match(_behind(tokens, amount))
    return _TILL.sub("up to", before) if fine else before


def acts_there(tokens: list[Token], amount: Amount, before: str) -> bool:
    """Whether something must act at a value: "when it goes over 2.4 the valve must blow".

    Args:
        tokens: of the sentence.
        amount: the value.
        before: the words before it, in small letters.
    """
    return bool(_GOES_PAST.search(before) and _MUST_ACT.match(_behind(tokens, amount)))


def _behind(tokens: list[Token], amount: Amount) -> str:
    return between(tokens, amount.last, min(amount.last + 9, len(tokens)))


def _is_time(tokens: list[Token], amount: Amount) -> bool:
    """Whether a value is a time, or a bare number where another one is told."""
    if amount.unit is not None:
        return kind_of(amount.unit) == "time"
    return any(token.low in _TIMES for token in tokens[: amount.first])
