"""Limits told by what comes of a value: "if it won't make eighty psi, the rings are gone"."""

from __future__ import annotations

import re

from author.proposals.quantities.amounts.cues import BAD, BARE_UNDER, CAP, MEASURED, UNTIL
from author.proposals.quantities.roles.wishes import (
    BEFORE_IT,
    BEFORE_LIMIT,
    BETTER_THAN,
    DENIES,
    FROM,
    LEFT_BEHIND,
    LOST,
    MUST_BE_LEFT,
    NEEDS_MORE,
    ONCE,
    ONWARDS,
    OR_FAILS,
    REACHES,
    SHARE_GONE,
    SMALL_IS_GOOD,
    WANTED_FIRST,
)

# "if it won't come below one fifty, the weight is wrong"
_FAILS = re.compile(
    r"\b(?:if|when|where|should(?= (?:it|they|she|he|that|this|the)\b))"
    r" (?:(?!(?:and|but|then|so)\b)[a-z']+ ){1,3}?"
    r"(?:won't|will not|doesn't|does not|can't|cannot|don't|didn't|never|not)(?: [a-z]+){0,3} (?:"
    r"(?P<upper>below|under|beneath|less than|lower than)|above|over|past|beyond|more than)$"
)
# "if it won't make eighty psi, the rings are gone"
_FALLS_SHORT = re.compile(
    r"\b(?:if|when|where|should) (?:[a-z']+ ){1,3}?(?:won't|will not|doesn't|does not|can't|cannot"
    r"|don't|didn't|never)(?: even| quite)? (?:(?P<much>make|reach|hold|get|hit|manage|build"
    r"|arrive)|pull|come|show|read|give|stay|pass|lift|see)(?: (?:up|to|at|on|you|me|it|us|a))*$"
)
# "twenty is too much"
TOO_MUCH = re.compile(
    r"(?:is|'s|would be|'d be) (?:far |way |a bit |just |getting )?too (?:(?P<less>low"
    r"|little|slack|thin"
    r"|weak|soft|cold|slow|short|small|few|shallow)|much|high|tight|hot|fast|big|wide|loose|long|deep"
    r"|thick|heavy|many|hard)\b(?! (?:here|now))"
)
"""A value that is told to be too much or too little."""
# "if it's not gone by two you switch off"
_NOT_BY = re.compile(
    r"\b(?:if|when) (?:[a-z']+ ){0,3}?(?:not|hasn't|isn't|haven't|doesn't|won't|it's not)"
    r" (?:[a-z]+ ){1,3}by$"
)
# "with the big ones, over forty millimetres, you put a spring on"
_CHOSEN = re.compile(
    r"^(?:(?:and|so|but) )?(?:with|for|on) (?:the |any |all )?(?:[a-z]+ )?[a-z]+s"
    r"(?: over| above| bigger than| longer than| larger than| wider than)$"
)
# "from two and a half they burst"
_FROM_ON = re.compile(r"(?:and |but |so )?from(?: (?:about|a|an))*")
# "In the bin once they're down to two", "I'd not fret till it got up to thirty"
_GONE_ONCE = re.compile(
    r"\b(?:in the (?:bin|skip)|scrap(?:ped)?|(?:bin|chuck|replace|change|renew|swap|toss)"
    r" (?:it|them|'em|her|those)|finished|done|dead|gone|worn out|no (?:good|use))"
    r" (?:once|when|if|as soon as) (?:it|they|she|he|that)"
    r"(?:'s|'re| is| are| gets?| goes?| wears?)?"
    r" (?:down|(?P<upper>up|out)) to(?: (?:about|a|an))*$"
)
_NOT_TILL = re.compile(
    r"\b(?:not|don't|wouldn't|won't|never|needn't)(?: even)? (?:fret|worry|bother|panic|fuss|touch"
    r"|change|replace|renew|swap)(?: (?:it|them|about it|about them))? (?:till|until|before)"
    r" (?:it|they|she|he|that)(?:'s|'re| is| are| gets?| got| goes?| wears?| drops?)?"
    r" (?:down|(?P<upper>up|out)) to(?: (?:about|a|an))*$"
)
_COMES = re.compile(rf",? ?(?:it|they|you|we|i|she|he)(?:'d|'ll)? (?:have to |must )?{BAD.pattern}")
# "Better than a sixteenth and it's junk" means more than it.
_COMES_THEN = re.compile(rf",? ?and (?:it|they|she|he)(?:'s|'re| is| are)?(?: a)? {BAD.pattern}")
# "If you haven't got three bar": that much there has to be.
_LACKS = re.compile(
    r"\b(?:if|when) (?:[a-z']+ ){1,2}?(?:(?:ain't|haven't|hasn't|not|'ve not|'s not)"
    r" (?:got|seeing|getting)|(?:don't|doesn't) (?:have|get))(?: (?:a|an|about|your))*$"
)
_TAKEN = re.compile(r",|(?:use|you|we|i|fit|take|put|they|there's|it)\b")


def by_what_comes(behind: str, rest: str, clause: str) -> str | None:
    """Return the limit that what happens past a value tells, None where nothing does.

    Args:
        behind: the words behind the value, up to the next.
        rest: those behind it, past the next value too.
        clause: those before it.
    """
    ends = _FAILS.search(clause) or _GONE_ONCE.search(clause) or _NOT_TILL.search(clause)
    if ends is not None:
        return "upper" if ends["upper"] else "lower"
    if BETTER_THAN.search(clause) and (side := _better(clause, rest)):
        return side
    onwards = ONWARDS.match(behind) and FROM.search(clause) and BAD.search(rest)
    onwards = onwards or (_FROM_ON.fullmatch(clause) and _COMES.match(rest))
    share = ONCE.search(clause) and SHARE_GONE.match(behind)
    before = BEFORE_LIMIT.search(clause) or _NOT_BY.search(clause)
    if before or LOST.search(clause) or share or onwards:
        return "upper"
    if (found := TOO_MUCH.match(behind)) and not MEASURED.search(clause):
        return "lower" if found["less"] or BARE_UNDER.search(clause) else "upper"
    first = WANTED_FIRST.search(clause) and BEFORE_IT.match(behind)
    short = (found := _FALLS_SHORT.search(clause)) and (found["much"] or BAD.search(rest))
    if (
        short
        or first
        or _LACKS.search(clause)
        or (not CAP.search(clause) and OR_FAILS.match(behind))
        or (LEFT_BEHIND.match(behind) and MUST_BE_LEFT.search(clause))
    ):
        return "lower"
    rising = NEEDS_MORE.search(clause)
    if (found := rising or REACHES.search(clause)) is not None and BAD.search(rest):
        return "upper" if rising or found["rises"] else "lower"
    if _CHOSEN.search(clause) and not BAD.search(rest) and _TAKEN.match(rest):
        return "lower"
    return None


def _better(clause: str, rest: str) -> str:
    """Return the limit of a "better than": of an error, or what is refused, the upper."""
    if SMALL_IS_GOOD.search(clause) or _COMES_THEN.match(rest):
        return "upper"
    return "" if DENIES.search(clause) or UNTIL.search(clause) else "lower"
