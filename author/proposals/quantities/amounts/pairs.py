"""A least and a greatest value told in one breath: "over twenty and under thirty"."""

from __future__ import annotations

import re
from decimal import Decimal
from itertools import pairwise

from author.proposals.quantities.amounts.amount import FINE_PARTS, Amount, between
from author.proposals.quantities.amounts.units import kind_of
from author.proposals.quantities.numbers.tokens import Token

_OVER = r"(?:more than|over|above|north of|greater than|upwards of|higher than|better than)"
_UNDER = r"(?:less than|under|below|south of|lower than|short of|shy of)"
_LESS = r"(?:no more than|not more than|not over|never over|not above|no higher than)"
_MORE = r"(?:no less than|not less than|not under|never under|not below|no lower than)"
_AND = (
    r",? ?(?:and|but|yet|and also|but also)?(?: (?:it's|it must be|be|still|always|keep it|is))? ?"
)
_AHEAD_OVER = re.compile(rf"\b{_OVER}(?: (?:a|an|about))?$")
_AHEAD_UNDER = re.compile(rf"\b{_UNDER}(?: (?:a|an|about))?$")
_THEN_UNDER = re.compile(rf"{_AND}(?:{_UNDER}|{_LESS})(?: (?:a|an|about))?")
_THEN_OVER = re.compile(rf"{_AND}(?:{_OVER}|{_MORE})(?: (?:a|an|about))?")
_FAILING = re.compile(r"\b(?:if|anything|any|when|once|whatever|where)\b")
_LIMITS_ARE = re.compile(r"\b(?:limits|bounds|figures)(?: are| is| of| being|'re| say)?$")


def pair_up(tokens: list[Token], amounts: list[Amount]) -> list[Amount]:
    """Return the amounts with each "over this and under that" as one range.

    Args:
        tokens: of the sentence.
        amounts: found in it, in order.
    """
    kept: list[Amount] = []
    for amount in amounts:
        before = kept[-1] if kept else None
        if before is None or not _is_pair(tokens, before, amount):
            kept.append(amount)
    return kept


def stage_by_stage(tokens: list[Token], amounts: list[Amount]) -> list[Amount]:
    """Give the first of several stages the unit of the last: "ten first, then forty newton metres".

    Args:
        tokens: of the sentence.
        amounts: found in it, in order; those without a unit are changed.
    """
    for earlier, later in zip(amounts[-2::-1], amounts[:0:-1], strict=True):
        whole = earlier.is_plain() and earlier.unit is None and later.nominal is not None
        if not whole or later.unit not in _STAGED or (earlier.nominal or 0) >= (later.nominal or 0):
            continue
        if _STAGE.fullmatch(between(tokens, earlier.last, later.first)):
            earlier.unit = later.unit
            earlier.flags.add("carried")
    return amounts


def without_sequence(tokens: list[Token], amounts: list[Amount]) -> list[Amount]:
    """Return the amounts without an order of work: "one, four, two, five, three, six".

    Args:
        tokens: of the sentence.
        amounts: found in it, in order.
    """
    for first in range(len(amounts) - _SHORTEST + 1):
        end = first + _sequence_from(tokens, amounts, first)
        if end - first >= _SHORTEST:
            return [*amounts[:first], *amounts[end:]]
    return amounts


def _sequence_from(tokens: list[Token], amounts: list[Amount], first: int) -> int:
    """Return how many amounts from one on are the numbers 1 to so many, each once, or 0."""
    told: set[Decimal | None] = set()
    highest, longest = Decimal(0), 0
    for at in range(first, len(amounts)):
        one = amounts[at]
        if one.form != "whole" or one.unit is not None or one.nominal in told:
            break
        if at > first and not _THEN.fullmatch(between(tokens, amounts[at - 1].last, one.first)):
            break
        told.add(one.nominal)
        highest = max(highest, one.nominal or Decimal(0))
        if highest == len(told) and Decimal(0) not in told:
            longest = len(told)
    return longest


_SHORTEST = 4
_THEN = re.compile(r",? ?(?:and |then |and then |to )?")
_STAGED = frozenset({"N·m", "lbf·ft", "lbf·in", "kgf·m", "kgf·cm", "bar", "psi", "kPa", "MPa"})
_STAGE = re.compile(
    r"(?:first|to start(?: with)?|initially|to begin(?: with)?|all (?:a)?round)? ?,? ?(?:and )?"
    r"(?:then|after that|finally|lastly|and)(?: finally| lastly)? ?(?:again |up |all |go |on )?"
    r"(?:(?:a)?round )?(?:at |to )?(?:again )?"
)
_FLUSH = re.compile(
    r"\b(?:flush|level|nothing|zero|nought|dead level)(?: with (?:it|the \w+))? ?,? ?(?:to|or"
    r"|or up to"
    r"|up to)(?: (?:about|maybe|just|as much as))?$"
)


def from_flush(tokens: list[Token], amounts: list[Amount]) -> list[Amount]:
    """Return the amounts with "flush to half a millimetre under" as a range from nought."""
    for one in amounts:
        ahead = between(tokens, max(0, one.first - 7), one.first)
        behind = between(tokens, one.last, min(one.last + 3, len(tokens)))
        told = one.unit or one.bottom in FINE_PARTS or _PAST_FLUSH.match(behind)
        is_length = told and kind_of(one.unit) in {None, "length"}
        found = _FLUSH.search(ahead) if one.is_plain() and is_length else None
        if found is None and one.is_plain() and one.unit and _BEYOND_IT.match(behind):
            far = between(tokens, max(0, one.first - 14), one.first)
            found = _FLUSH_AND.search(far)
        nought = found is not None and found.group().startswith(("zero", "nought"))
        if nought and one.unit is None:
            continue  # the nought is a number of its own there
        if found is not None and one.nominal:
            one.lower, one.upper = sorted((Decimal(0), one.nominal))
            one.nominal, one.form = None, "range"
            one.flags.add("exact")
            one.first -= len(found.group().split())
    return amounts


# "Till it's flush, and you can go ten thou deeper"
_FLUSH_AND = re.compile(
    r"\b(?:flush|level|dead level)(?: with (?:it|the \w+))? ?,? ?(?:and |but |or )?"
    r"(?:you|it|they|we) (?:can|could|may|might|'re allowed to)(?: just| also| even)?"
    r" (?:go|be|sit|come|set it|take it|drive it)"
    r"(?: to| down| in| up to| as much as| about| a| an)*$"
)
_PAST_FLUSH = re.compile(r"(?:deeper|below|under|out|proud|over)\b(?! (?:the|a|an|on)\b)")
_BEYOND_IT = re.compile(
    r"(?:deeper|below|under|past(?: it| flush)|in|further(?: in)?|lower|inside|proud|beyond)\b"
    r"(?! (?:the|a|an)\b)"
)


def spread_anew(tokens: list[Token], amounts: list[Amount]) -> list[Amount]:
    """Return the amounts, of "three hours, three to four" the range.

    Args:
        tokens: of the sentence.
        amounts: found in it, in order, ranges put together.
    """
    kept: list[Amount] = []
    for amount in amounts:
        before = kept[-1] if kept else None
        bare = before is not None and amount.form == "range" and amount.unit is None
        again = bare and before is not None and before.unit and amount.lower == before.nominal
        if before is not None and again and between(tokens, before.last, amount.first) == ",":
            amount.unit, amount.first = before.unit, before.first
            kept[-1] = amount
            continue
        kept.append(amount)
    return kept


_NEAR = 4


def in_same_parts(amounts: list[Amount]) -> None:
    """Read "six tenths of a millimetre, between five and seven" as 0.5 to 0.7 mm.

    Args:
        amounts: of the sentence, in order; the bare range is changed.
    """
    for aim, limits in pairwise(amounts):
        low, high = limits.lower, limits.upper
        told = aim.is_plain() and aim.bottom in FINE_PARTS and aim.nominal is not None
        bare = limits.form == "range" and limits.unit is None and limits.bottom == 1
        if not (told and bare and low and high) or limits.first - aim.last > _NEAR:
            continue
        part = Decimal(aim.bottom)
        if low / part <= (aim.nominal or 0) <= high / part and low > (aim.nominal or 0):
            limits.lower, limits.upper, limits.unit = low / part, high / part, aim.unit
            limits.bottom = aim.bottom
            limits.flags.add("carried")


def _is_pair(tokens: list[Token], one: Amount, other: Amount) -> bool:
    """Make a range of two values whose words say that they are its ends; say whether."""
    if not (one.is_plain() and other.is_plain()) or one.nominal is None or other.nominal is None:
        return False
    if "spelled" in {one.form, other.form} or one.unit not in {None, other.unit} | (
        {one.unit} if other.unit is None else set()
    ):
        return False
    ahead = between(tokens, max(0, one.first - 6), one.first)
    words = between(tokens, one.last, other.first)
    if _FAILING.search(ahead):
        return False
    up = _AHEAD_OVER.search(ahead) and _THEN_UNDER.fullmatch(words)
    down = _AHEAD_UNDER.search(ahead) and _THEN_OVER.fullmatch(words)
    named = _LIMITS_ARE.search(ahead) and words == "and"
    if not (up or down or named) or one.nominal == other.nominal:
        return False
    if (up and one.nominal > other.nominal) or (down and one.nominal < other.nominal):
        return False
    one.lower, one.upper = sorted((one.nominal, other.nominal))
    one.nominal, one.form, one.unit = None, "range", one.unit or other.unit
    one.flags |= other.flags | {"exact"}
    one.last, one.single, one.bottom = other.last, other.single, max(one.bottom, other.bottom)
    return True
