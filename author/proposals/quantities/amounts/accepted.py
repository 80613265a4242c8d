"""What a value may be besides, in the words around two values told together.

"And I accept up to fourteen" is of the value before it; "at the narrowest, at the widest" are
the two ends of one; and what somebody read off has no limits of its own.
"""

from __future__ import annotations

import re

from author.proposals.quantities.amounts.amount import Amount, between
from author.proposals.quantities.amounts.context import Scene

# What tells a value as read off, which then only is held against its limit.
_READ = re.compile(
    r"(?:\b(?:i've|we've|i have|we have|i'm|we're|i get|i got|got|mine|ours|reads?|reading|shows?"
    r"|showing|says|measured?|measures|drawing|pulling|draws|makes?|here|was|were|now|this one"
    r"|that one|find|found|see|took|lost)\b|(?:'s|is|are|sits|stands|running) at$)"
)
# Who takes more or less than he aims for: "and I accept up to fourteen", "and up to forty I'm
# polite". "A hundred and fifty, and it can go to two hundred" says it of what is there.
_ACCEPTED = re.compile(
    r"(?: ?(?:each|apiece|for (?:this|that|these|the) [a-z]+))? ?,? ?(?:and |but )*"
    r"(?:(?:i|we)(?:'d|'ll)? (?:also |still )?(?:accept|tolerate|allow|take)"
    r"(?: it)? (?:up|down) to|(?:up|down) to)(?: (?:about|a|an))*"
)
_CONTENT_BEHIND = re.compile(r" ?,? ?(?:i|we)(?:'d|'ll|'m|'re| am| are)? [a-z]+")
_AT_LEAST = re.compile(
    r" ?at (?:the |its |their )?(?:(?:narrow|tight|small|thinn|short|low|shallow|cold|slow)est"
    r"|(?:bottom|low|lower) end)(?: ,| and| but)*"
)
_AT_MOST = re.compile(
    r"at (?:the |its |their )?(?:(?:wid|loos|bigg|larg|thick|long|high|deep|hott|fast)est"
    r"|top|(?:high|upper) end)\b(?! of\b)"
)
WISHED = frozenset({"like", "want", "wants", "aim", "ideally", "prefer", "shoot", "set", "should",
                     "target", "nominal", "ideal", "go", "needs", "need", "must"})  # fmt: skip
"""Words before a value that is wanted."""


def is_read(scene: Scene, one: Amount) -> bool:
    """Whether the words before a value tell that somebody read it off.

    Args:
        scene: the sentence.
        one: the value.
    """
    return _READ.search(between(scene.tokens, max(0, one.first - 4), one.first)) is not None


def is_taken_too(scene: Scene, one: Amount, other: Amount) -> bool:
    """Whether somebody says up to where he takes more than what he aims for.

    Args:
        scene: the sentence.
        one: what he aims for.
        other: the value behind it.
    """
    words = between(scene.tokens, one.last, other.first)
    if not _ACCEPTED.fullmatch(words):
        return False
    behind = between(scene.tokens, other.last, min(other.last + 4, len(scene.tokens)))
    return " i " in f" {words} " or " we " in words or _CONTENT_BEHIND.match(behind) is not None


# "Six seconds, I'd allow five and I'd allow eight", "I've seen twenty-eight, I've seen thirty-two"
_TAKES = re.compile(
    r"(?: ?each side| ?crossways)?(?: ?(?:,|and|or|but))* ?(?:i|we|they)"
    r"(?:'d|'ll|'ve| have| would)? (?:allow|accept|take|pass|seen|live with|put up with)"
    r"(?: up to| down to| as low as)?"
)


def are_both_taken(scene: Scene, one: Amount, two: Amount, three: Amount) -> bool:
    """Whether somebody says of two values, each for itself, that he takes them too.

    Args:
        scene: the sentence.
        one: what he aims for.
        two: the first value he takes.
        three: the second.
    """
    first = _TAKES.fullmatch(between(scene.tokens, one.last, two.first))
    second = _TAKES.fullmatch(between(scene.tokens, two.last, three.first))
    return first is not None and second is not None


def ends_named(scene: Scene, one: Amount, other: Amount) -> bool:
    """Whether two values are wanted "at the narrowest" and "at the widest".

    Args:
        scene: the sentence.
        one: the value told first.
        other: the value behind it.
    """
    tokens = scene.tokens
    if not _AT_LEAST.fullmatch(between(tokens, one.last, other.first)):
        return False
    behind = between(tokens, other.last, min(other.last + 5, len(tokens)))
    ahead = {token.low for token in tokens[max(0, one.first - 8) : one.first]}
    return bool(ahead & WISHED and _AT_MOST.match(behind))
