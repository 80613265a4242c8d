"""How something is done, told between commas behind an order: "…, dry, with the tab up"."""

from __future__ import annotations

import re
from collections.abc import Sequence
from itertools import pairwise

from author.checks.verbs import words as _words
from author.proposals.language.closed_words import NUMBERS
from author.proposals.language.verbs import is_work

_MANNERS = _words(
    """
    dry wet flat square level straight hand-tight finger-tight crosswise diagonally slow loose
    flush upright sideways lengthways bone-dry piecemeal
    """
)
# They tell what the speaker thinks, how often, or when, and not how the work is done.
_OF_THE_SPEAKER = _words(
    """
    actually apparently basically clearly eventually finally frankly funnily generally happily
    hopefully honestly ideally initially interestingly lastly literally luckily mainly mostly
    naturally nearly normally obviously occasionally only originally personally possibly presumably
    previously probably really reply sadly secondly seriously simply supply supposedly surely
    surprisingly thankfully thirdly typically unfortunately usually weirdly assembly family
    fortunately early recently daily weekly monthly yearly sometimes firstly
    """
)
_VERY = _words("nice and very really dead nicely good as")
_TIGHT = {"finger tight", "hand tight", "nice and tight"}
_PLACES = _words(
    """
    back front inside outside top bottom underside underneath left right below above behind far
    near rear other inner outer opposite middle centre center side end engine drive open closed
    """
)
_DIRECTIONS = _words(
    "backwards backward forwards forward clockwise anticlockwise counterclockwise anti-clockwise "
    "sideways upwards downwards"
)
_LUCK = _words("luck it that this these those them any respect regard experience age time him her")
_WITH = _words("a an the your both one two no some plenty its care")
_TO_AN_EDGE = re.compile(
    r"(?:square|flush|level|flat|parallel|tight|in line) (?:to|with|on|against) "
)
_REPEATED = re.compile(r"(\w+) (?:by|to|after) \1\b")
_AT_A_TIME = re.compile(r"(?:.+ )?at a time|in (?:stages|turn|steps)|in (?:a|an) \w+ pattern")
_SEGMENT = re.compile(r",\s+([^,;:.!?–—]+)")
_FINITE = re.compile(
    r"\b(?:is|are|was|were|i|we|you|they|he|she|it's|that's|there's|i'm|we're|you're|i've|which|"
    r"because|so|but|if|can|can't|will|won't|being|having)\b"
)
_UNTIL = re.compile(r"(?:right )?(?:until|till|'til) ")
_MOST_WORDS, _MOST_WAYS = 9, 3


def says_how(words: Sequence[str]) -> bool:
    """Return whether words alone tell how something is done.

    Args:
        words: of one clause, in small letters.
    """
    if not words or len(words) > _MOST_WORDS:
        return False
    if _UNTIL.match(" ".join(words)):
        return not _orders(words)
    return (
        not _FINITE.search(" ".join(words))
        and not _orders(words)
        and (_manner(words) or _by_means(words))
    )


def is_manner(word: str) -> bool:
    """Return whether a word by itself tells how something is done: "slowly", "dry"."""
    return word in _MANNERS or (
        word.endswith("ly") and len(word) > len("only") and word not in _OF_THE_SPEAKER
    )


def way_end(text: str, end: int) -> int:
    """Return where an order ends with the ways of doing it told behind it between commas.

    Args:
        text: of the sentence.
        end: where the order ends.
    """
    for _ in range(_MOST_WAYS):
        found = _SEGMENT.match(text, end)
        if found is None or not says_how(found[1].lower().replace("’", "'").split()):
            break
        end = found.start() + len(found[0].rstrip())
    return end


def _manner(words: Sequence[str]) -> bool:
    plain = [word for word in words if word not in _VERY] or list(words)
    if all(is_manner(word) for word in plain):
        return True
    text = " ".join(words)
    if _AT_A_TIME.fullmatch(text):
        return words[0] in {"a", "an", "in", "one", "half", "just"} or words[0] in NUMBERS
    return text in _TIGHT or _REPEATED.match(text) is not None


def _by_means(words: Sequence[str]) -> bool:
    first, second = words[0], words[1] if len(words) > 1 else ""
    last = words[-1]
    if first == "with":
        return second in _WITH and not set(words) & _LUCK
    if first == "from":
        return any(word in _PLACES for word in words[1:4])
    if first in {"on", "at"} and last == "only":
        return True  # "on the bevelled side only"
    if first in {"never", "not"}:
        return second == last and second in _DIRECTIONS  # "never backwards"
    if first in {"by", "without"}:
        return second in {"hand", "eye", "feel"} or (first == "without" and second.endswith("ing"))
    if first == "using":
        return second in _WITH
    return _TO_AN_EDGE.match(" ".join(words)) is not None and last not in _LUCK


def _orders(words: Sequence[str]) -> bool:
    """Whether something else is asked for in the words: "with the drift tap it round"."""
    taken = {"it", "them", "the", "that", "this", "these", "those"}
    pairs = pairwise(words[1:])
    return any(is_work(one) and two in taken and one not in _SELDOM for one, two in pairs)


_SELDOM = _words("round down over back level square clear flat on off out up in")
