"""Readings that are held against what they should be, which makes no one quantity of the two."""

from __future__ import annotations

import re

from author.proposals.quantities.amounts.accepted import WISHED
from author.proposals.quantities.amounts.amount import Amount, between
from author.proposals.quantities.amounts.context import Scene
from author.proposals.quantities.amounts.units import kind_of

# "At least one megohm, and this one's more than two hundred"
_THIS = re.compile(
    r"\b(?:this one|that one|mine|ours|i've|we've|(?:i|we) (?:have|got|get|make|see))"
    r"(?:'s| is)?\b"
)
# "Bites at sixty, and it should be between fifty and seventy"
_SHOULD_BE = re.compile(
    r",? ?(?:[a-z']+ ){0,6}?,? ?(?:and |but )?(?:(?:it|he|she|they|that|which|you|what it) )?"
    r"(?:(?:should|ought to|oughta|must|has to|have to|needs? to)(?: all)? (?:be|read|show|land|get"
    r"|have|see|come)|supposed to be)\b[a-z ]*|,? ?and (?:anything|anywhere)(?: from| between)?"
)
_I_GOT = re.compile(r",? ?(?:i|we)(?:'ve)? (?:got|get|have|make it|read)\b(?! (?:to|a|the)\b)")
# Words of a wish that also tell what a reading should be.
_OF_BOTH = frozenset({"should", "must"})
_AFTER = frozenset({"after", "but"})


def of_this(scene: Scene, one: Amount, other: Amount) -> bool:
    """Whether the second of two values is told of the part in hand.

    Args:
        scene: the sentence.
        one: the value told first.
        other: the value behind it.
    """
    return _THIS.search(between(scene.tokens, one.last, other.first)) is not None


def is_held_against(scene: Scene, one: Amount, other: Amount) -> bool:
    """Whether a range is what a reading told before it should lie in, and no limits of an aim.

    Args:
        scene: the sentence.
        one: the value told first.
        other: the range behind it.
    """
    words = between(scene.tokens, one.last, other.first)
    if kind_of(one.unit) == "torque" or not _SHOULD_BE.fullmatch(words):
        return False
    ahead = {token.low for token in scene.tokens[max(0, one.first - 6) : one.first]}
    told = {token.low for token in scene.tokens[one.last : other.first]} - _OF_BOTH
    return not (ahead | told) & (WISHED | _AFTER)


def is_read_before(before: Scene, value: Amount, scene: Scene, wanted: Amount) -> bool:
    """Whether somebody read off the last value of a sentence, and then tells what it should be.

    Args:
        before: the sentence of the value.
        value: its last value.
        scene: the sentence that follows.
        wanted: its first value.
    """
    behind = between(before.tokens, value.last, len(before.tokens))
    if value.role not in {"aim", "about"} or not _I_GOT.match(behind):
        return False
    return _SHOULD_BE.fullmatch(between(scene.tokens, 0, wanted.first)) is not None


_MOST_APART = 15
"""Times the value, or part of it, from which a limit is told of something else."""


def is_far_apart(value: Amount, limit: Amount) -> bool:
    """Whether a limit is of something else than a value: 0.05 mm of ridges beside 20 mm.

    Args:
        value: what is told before it.
        limit: a one-sided limit, in the unit of the value.
    """
    end, told = limit.lower or limit.upper, value.nominal
    if not end or not told or end * told < 0:
        return False
    return not 1 <= _MOST_APART * (end / told) <= _MOST_APART**2
