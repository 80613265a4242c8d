"""A bare "over" or "under": on which side the limit lies hangs on what happens beyond the value."""

from __future__ import annotations

import re

from author.proposals.quantities.amounts.cues import (
    ASKING,
    BAD,
    BARE_OVER,
    BARE_UNDER,
    FLOOR_AFTER,
    FOLLOWS,
    GOOD,
    IN_HAND,
    OF_FORCE,
)
from author.proposals.quantities.roles.wishes import (
    FALLS_OUT,
    GOOD_COMES,
    REFUSED,
    SCRAP_PAST,
    SEEN_PAST,
    in_plain_words,
)

# Letters before an "under" that still opens its clause.
_OPENS = 12


# Where in the words between two values those of the next begin.
_NEXT_CASE = re.compile(
    r"\b(?:and|but|so)\b|(?<!with )(?<!take )(?<!accept )(?<!like )(?<!want )"
    r"(?=\b(?:anything|anywhere)\b)"
)


def compared(before: str, behind: str, rest: str, clause: str, *, parted: bool) -> str:
    """Read a bare "over" or "under": its side hangs on what happens beyond the value.

    Args:
        before: words before the value, behind the value before it.
        behind: words behind it, up to the next value.
        rest: those behind it, over the next value too.
        clause: more words before it.
        parted: whether another value stands before it.

    Returns:
        ``lower`` or ``upper``, or nothing where the words tell no limit.
    """
    rest, clause = in_plain_words(rest), in_plain_words(clause)
    if parted:  # "sixty is fine, anything over seventy": what is good was told of the sixty
        clause = _NEXT_CASE.split(clause)[-1]
    over, under = BARE_OVER.search(before), BARE_UNDER.search(before)
    if SEEN_PAST.search(before) and not ASKING.search(clause):
        return ""
    if not (over or under) or (under and (IN_HAND.search(before) or OF_FORCE.match(behind))):
        return ""
    rejected = BAD.search(rest) is not None or REFUSED.match(rest) is not None
    rejected = rejected or SCRAP_PAST.search(clause) is not None
    welcome = GOOD.search(f"{clause} {rest}") or GOOD_COMES.search(rest)
    accepted = not rejected and welcome is not None
    if over:
        accepted = (
            accepted or _MUST_BE.search(clause) is not None or FLOOR_AFTER.match(behind) is not None
        )
        return "lower" if accepted else "upper"
    if _MUST_BE.search(clause) or _IN_UNDER.search(before):
        return "upper" if under else "lower"
    opens = under is not None and (
        under.start() < _OPENS or before[: under.start()].endswith("with ")
    )
    rejected = rejected or BAD.search(clause) is not None
    follows = FOLLOWS.match(rest) or FALLS_OUT.match(rest) or _THEN_DO.match(rest)
    asked = rejected or ASKING.search(clause) or (opens and follows)
    return "lower" if asked and not accepted else "upper"


# "Ten bar in under four minutes" is how long it may take.
_IN_UNDER = re.compile(r"\bin (?:(?:well|just) )?(?:under|less than)(?: (?:about|a|an))?$")


# "Below 55, tension it once more": what is done then.
_THEN_DO = re.compile(
    r", (?:then |you )?(?:re-?)?(?:tension|tighten|nip|wind|put|add|fit|shim|shift|strip|top|fill"
    r"|do|check|start|adjust|set|turn|pump|charge|lap|ream|hone|order|get|call|ring|take|pull"
    r"|slacken|loosen|back)(?:ing)? (?:it|them|him|her|a|an|the|another|that|one|some|more|up|on"
    r"|in|out|me)\b"
)


# "Vibration is to be under seven": nothing is decided past it.
_MUST_BE = re.compile(
    r"\b(?:(?:so|as) long as|provided|providing|assuming)(?: that)?(?: [a-z']+){1,3} \w+$"
    r"|\b(?:to|should|must|has to|have to|needs to|ought to)(?: (?:still|always|also|then|really))?"
    r" be (?:kept )?(?:well |just )?\w+$"
    r"|\b(?:should|must|has to|have to|needs to|ought to)(?: (?!not\b|never\b)[a-z]+){1,3}?"
    r" (?:well |just )?(?:under|below)$"
)
