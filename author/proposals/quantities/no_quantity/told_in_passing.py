"""Amounts told in passing: what a machine is, what came out, what somebody once saw."""

from __future__ import annotations

import re

from author.proposals.quantities.amounts.amount import Amount, between
from author.proposals.quantities.amounts.units import MIL, kind_of
from author.proposals.quantities.numbers.parts import BELOW_HUNDRED
from author.proposals.quantities.numbers.tokens import Token

# "This is a Kragberg DW37, thirty-seven kilowatt": who is met, with no verb of what it does.
_INTRODUCED = re.compile(
    r"(?:^|, )(?:(?:okay|ok|so|right|now|alright|well|and|hello|hi) ,? ?)*"
    r"(?:(?:this|that|it|what we have|what i have|the machine|the patient|today's one)"
    r"(?: here)?(?: is|'s)|here(?: is|'s)|we have|i have|you're looking at)(?: here)?"
    r" (?:a|an|our|the|my) "
)
_RATED = frozenset({"power", "voltage", "current", "mass", "length", "apparent_power",
                    "frequency"})  # fmt: skip
_DOES = re.compile(
    r"\b(?:is|are|was|wants?|needs?|has|have|had|takes?|gets?|should|must|to|with|at|it|it's|he|she"
    r"|reads?|shows?|that|which|makes?|draws?|weighs?|and|so|but)\b"
)
# "Half a litre of that is water"
_OF_THAT = re.compile(
    r"of (?:that|those|these|it|them)(?: is| was| are| were|'s)\b(?! (?:all|the m))"
)
# "About a metre of pipe" over the handle
_LEVER = re.compile(r"of (?:pipe|tube|tubing|scaffold|bar|broomstick|conduit)\b")
_LEANT = re.compile(r"\b(?:socket|spanner|wrench|breaker|bar|handle|lean|leans|heave|swing)\b")
# "A bit of quarter inch silver steel"
_BIT_OF = re.compile(r"\b(?:bits?|pieces?|scraps?|offcuts?|lumps?|sticks?) of$")
# "Four grams and not one gram of more"
_NOT_ONE = re.compile(r"\b(?:not|never)(?: even)?(?: a single)?$")
_MORE = re.compile(r"(?:of )?(?:more|over|above|extra|less|under|past)\b")
# "I've known a gauge sit with thirty pound behind it"; "I've seen twenty-eight, I've seen thirty"
_KNOWN = re.compile(r"\b(?:i|we)(?:'ve| have) (?:known|heard of)\b[^.;]*$")
_SEEN = re.compile(r"\b(?:i|we)(?:'ve| have) seen$")
# "I've seen one put in backwards and it lasts about an hour", "I've seen a head come off at two
# bar": what befell another one.
_ONCE = re.compile(
    r"\b(?:i|we)(?:'ve| have) (?:seen|had|watched) (?:it|one|them|some|a|an|people|somebody|folk)\b"
    r"(?! (?:at|of|on|down|up|reading|that reads?|between)\b)[^.;]*$"
)
_BEFELL = re.compile(
    r"\b(?:come off|came off|put in|fitted|go|goes|went|last(?:s|ed)?|let go|burst|fail(?:s|ed)?"
    r"|snap(?:s|ped)?|blow|blew|fall|fell|fly|flew|seize[sd]?|burn(?:s|ed|t)?|die[sd]?|explode[sd]?)\b"
)
# "You've still watched six minutes", "looking at my boots for five minutes"
_WATCHED = re.compile(
    r"\byou(?:'ve| have|'re| are)?(?: [a-z]+)?? (?:watched|watching|looking at (?:my|me))\b"
)


def is_in_passing(tokens: list[Token], amount: Amount) -> bool:
    """Whether an amount tells no value of the job: a rating, a lever, what somebody once saw.

    Args:
        tokens: words of the sentence.
        amount: one of its amounts.
    """
    ahead = between(tokens, max(0, amount.first - 9), amount.first)
    far = between(tokens, max(0, amount.first - 16), amount.first)
    if _KNOWN.search(ahead) or (_ONCE.search(far) and _BEFELL.search(far)):
        return True
    if amount.unit is None:
        seen = _SEEN.search(ahead) is not None
        return seen and sum(token.low == "seen" for token in tokens) > 1
    behind = between(tokens, amount.last, min(amount.last + 5, len(tokens)))
    kind = kind_of(amount.unit)
    if kind == "time":
        return _WATCHED.search(ahead) is not None
    if behind.startswith("of "):
        if _OF_THAT.match(behind):
            return True
        if kind == "length" and amount.nominal == 1 and _LEVER.match(behind):
            far = between(tokens, max(0, amount.first - 12), min(amount.last + 9, len(tokens)))
            return _LEANT.search(far) is not None
    one_more = amount.nominal == 1 and amount.form == "whole" and _MORE.match(behind)
    if one_more and _NOT_ONE.search(ahead):
        return True
    stock = (kind == "length" or amount.unit == MIL) and behind[:1].isalpha()
    if stock and _BIT_OF.search(ahead):
        return True
    return _is_one_of_many(tokens, amount, behind) or (kind in _RATED and _is_met(tokens, amount))


def _is_one_of_many(tokens: list[Token], amount: Amount, behind: str) -> bool:
    """Whether it tells which things are counted: "four six volt lumps"."""
    if not (amount.single and kind_of(amount.unit) in {"voltage", "power"}):
        return False
    before = tokens[amount.first - 1] if amount.first else None
    counted = before and (before.low in BELOW_HUNDRED or before.kind == "digits")
    # "Two twelve volt ones" are no 212: of a mains voltage nobody makes so many things.
    apart = "paired" in amount.flags and int(amount.nominal or 0) % 100 in _OF_BATTERIES
    return bool(counted or apart) and re.match(r"[a-z]+s\b", behind) is not None


_OF_BATTERIES = frozenset({6, 12, 24, 36, 48})


def _is_met(tokens: list[Token], amount: Amount) -> bool:
    """Whether a machine is introduced by its make, and what it is follows with no verb."""
    begin = max(0, amount.first - 16)
    words = between(tokens, begin, amount.first)
    found = _INTRODUCED.search(words + " ")
    if found is None or (begin and not found.start()):
        return False
    at = begin + len(words[: found.end()].split())
    named = at < amount.first and tokens[at].text[:1].isupper()
    return named and _DOES.search(words[found.end() :]) is None
