"""Limits and readings that hold on for the value beside: "at most ten on the cap, six below"."""

from __future__ import annotations

import re
from decimal import Decimal

from author.proposals.quantities.amounts.amount import Amount, between
from author.proposals.quantities.amounts.cues import WANTED
from author.proposals.quantities.amounts.units import kind_of
from author.proposals.quantities.numbers.tokens import Token

_SIDE = (
    r"(?:radial(?:ly)?|axial(?:ly)?|sideways|side to side|endways|end to end|lengthways|crossways"
    r"|up and down|front(?: to back)?|rear|back|top|bottom|inner|outer|inside|outside|left|right"
    r"|inlet|intake|exhaust|cold|hot|warm|dry|wet|upper|lower|driven|drive|rim|face)"
)
_PLACE = (
    r"(?:(?:on|at|in|for|round|around|across|along) (?:the |your |an? |each |every )?"
    rf"(?!and\b|it\b|that\b|this\b|mine\b)[a-z-]+(?: (?!and\b)[a-z-]+)?|{_SIDE})"
)
_TOLD_BEHIND = re.compile(rf"{_PLACE} ?(?:,|and|, and)")
_PLACE_BEHIND = re.compile(rf"(?:{_PLACE}|above|below)(?: ?[,.;!?]| and\b|$)")
_TOLD_AHEAD = re.compile(rf"(?:,|and|, and) {_PLACE}(?: it's| they're| is)?")
_PLACE_AHEAD = re.compile(rf"(?:^|\b){_PLACE}(?: [a-z']+){{0,5}}$")


def hold_on(tokens: list[Token], before: Amount, amount: Amount) -> None:
    """Give a value the limit of the one before where both are told of places, in one breath.

    Args:
        tokens: of the sentence.
        before: the amount before, its role given.
        amount: the next one, with the role that its own words give.
    """
    if before.role != "limits" or (before.lower is None) is (before.upper is None):
        return
    plain = amount.role == "aim" and amount.is_plain() and amount.nominal is not None
    if before.nominal is not None or not plain or amount.unit not in {None, before.unit}:
        return
    words = between(tokens, before.last, amount.first)
    ahead = between(tokens, max(0, before.first - 8), before.first)
    behind = between(tokens, amount.last, min(amount.last + 5, len(tokens)))
    each_behind = _TOLD_BEHIND.fullmatch(words) and _PLACE_BEHIND.match(behind)
    each_ahead = _TOLD_AHEAD.fullmatch(words) and _PLACE_AHEAD.search(ahead)
    if not (each_behind or each_ahead):
        return
    amount.role = "limits"
    if before.lower is None:
        amount.upper, amount.nominal = amount.nominal, None
    else:
        amount.lower, amount.nominal = amount.nominal, None


# "Eighty degrees, ninety and the cages start to go": what comes of the second is no good, or
# nobody would say it.
_COMES_OF_IT = re.compile(
    r",? ?and (?:(?:it|he|she)(?:'s|'ll| is| will)|they(?:'re|'ll| are| will)"
    r"|(?:you|i|we)(?:'ve|'ll| have| will| make| get| cut| need)|the [a-z]+ (?:is|are|starts?))"
    r" (?!(?:[a-z']+ )?(?:good|fine|ok|okay|happy|right|done|there|set|home|in|perfect|lovely"
    r"|enough|finished|ready|sweet|all|just|still|only|spot|bang|dead|now|on)\b)[a-z]"
)
# How many times what is wanted it may be; what is tightened is tightened in stages.
_MOST_TIMES, _OF_TORQUE = Decimal(4), Decimal("1.4")


def too_far(tokens: list[Token], before: Amount, amount: Amount) -> None:
    """Make a limit of a value told right behind a smaller one with what comes of it.

    Args:
        tokens: of the sentence.
        before: the amount before, its role given.
        amount: the next one, with the role that its own words give.
    """
    wanted = before.nominal if before.role in {"aim", "about"} else before.upper
    value = amount.nominal
    plain = amount.role in {"aim", "about"} and amount.is_plain()
    if before.role == "measured" or not (plain and wanted and value):
        return
    most = _OF_TORQUE if kind_of(before.unit) == "torque" else _MOST_TIMES
    if amount.unit not in {None, before.unit} or not wanted < value <= most * wanted:
        return
    apart = between(tokens, before.last, amount.first)
    behind = between(tokens, amount.last, min(amount.last + 9, len(tokens)))
    if (apart == "" or apart.endswith(",")) and _COMES_OF_IT.match(behind):
        amount.role, amount.upper, amount.nominal = "limits", value, None
        amount.flags.add("refused")  # it is no limit of the value before it


_LOST_IN = frozenset({"in", "over", "within", "inside", "after", "for"})
_LOSES = re.compile(
    r"\b(?:settle|drop|lose|leak|sag|creep|drift|fall|rise|sink|climb|bleed|gain|move|shift|slip"
    r"|cool|weep|drip)(?:s|es)?(?: (?:down|up|about|a|an|only|maybe))*$"
)


def hand_back(tokens: list[Token], before: Amount, amount: Amount) -> None:
    """Give a loss the limit told behind the time it is lost in: "two psi in ten minutes, no more".

    Args:
        tokens: of the sentence.
        before: the amount before, its role given.
        amount: the time, with the limit that its own words give.
    """
    capped = amount.role == "limits" and amount.lower is None and amount.nominal is None
    if not capped or kind_of(amount.unit) != "time" or not before.is_plain():
        return
    if before.role not in {"aim", "measured"} or kind_of(before.unit) == "time":
        return
    ahead = between(tokens, max(0, before.first - 6), before.first)
    words = between(tokens, before.last, amount.first)
    if words in _LOST_IN and _LOSES.search(ahead):
        before.role, before.upper, before.nominal = "limits", before.nominal, None
        amount.role, amount.nominal, amount.upper = "aim", amount.upper, None


def goes_on(tokens: list[Token], before: Amount, amount: Amount) -> bool:
    """Whether a value only continues the readings before: "and point four at the bottom".

    Args:
        tokens: words of the sentence.
        before: the value before it in the sentence.
        amount: the value.
    """
    if before.role != "measured" or amount.role not in {"aim", "about"}:
        return False
    words = between(tokens, before.last, amount.first)
    alike = amount.unit in {None, before.unit} or (
        before.unit is None and (kind_of(amount.unit) == "length" or words == "to")
    )
    return (
        alike
        and not WANTED.search(words)
        and bool(re.search(r"\band\b|^,|^(?:down |up )?to$", words))
    )
