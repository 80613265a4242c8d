"""Numbers that name what is refused: "the six watt one, not the nine watt"."""

from __future__ import annotations

import re

from author.proposals.quantities.amounts.amount import Amount, between
from author.proposals.quantities.amounts.units import MIL, kind_of
from author.proposals.quantities.amounts.vocabulary import CHARACTERISTIC_WORDS
from author.proposals.quantities.numbers.tokens import Token

_THE = r"(?:the|an?|that|those|any|your)(?: (?:old|other|little|small|big|new|usual))?$"
_NOT_THE = re.compile(
    rf"(?:\b(?:not|never|nor|instead of|rather than)(?: (?:with|on|in|to|for))? {_THE}"
    # "You don't want the nine watt", "don't get the nine watt"
    r"|\b(?:don't|do not|never|doesn't|mustn't|shouldn't|wouldn't|can't)(?: [a-z]+)?"
    r" (?:want|get|buy|order|fit|take|use|need|put in|accept|have|confuse it with|mix it up with)"
    rf" {_THE})"
)
# "The nine watt is the wrong one", "the nine watt one overflows the trough"
_WRONG = re.compile(
    r"(?:(?:one|ones|version|kind|type|sort|model) )?(?:is|are|'s|would be|'d be)"
    r" (?:the |a )?(?:wrong|no good for (?:this|it)|for (?:the|another) )\b"
)
_ITS = re.compile(r"\b(?:the|an?|that|those)$")
# "Not the two millimetre it should be": no thing, but what a value should be.
_TOLD_OF = re.compile(
    r"(?:(?:that )?(?:it|they|you|we|i|he|she|the (?:book|manual|sheet|drawing|plate|maker))"
    r"(?:'s|'re| (?:is|are|was|should|wants?|needs?|ought|says?|had|has|used|gave|gives?|asks?"
    r"|calls?))|(?:of|off|below|above|under|over|from|up|down|in|out|per|an?|each) )\b"
)
_NAMES = frozenset({"torque", "pressure", "length", "current", "voltage", "power", "volume",
                    "mass", "capacitance", "resistance", "force", "rotational_speed", "time",
                    "temperature", "frequency"})  # fmt: skip


def names_refused(tokens: list[Token], amount: Amount) -> bool:
    """Whether a number is only the name of a thing that is not to be taken.

    Args:
        tokens: of the sentence.
        amount: one of its amounts.
    """
    named = kind_of(amount.unit) in _NAMES or amount.unit == MIL
    if not named or not amount.is_plain() or _is_plural(tokens, amount):
        return False
    begin = max(0, amount.first - 7)
    first = amount.first
    while first < amount.last and tokens[first].low in {"the", "a", "an"}:
        first += 1  # "not a hundred bar hose": the article is read as part of the number
    ahead = between(tokens, begin, first)
    behind = between(tokens, amount.last, min(amount.last + 5, len(tokens)))
    if _TOLD_OF.match(behind) or behind.split(" ")[0] in CHARACTERISTIC_WORDS:
        return False
    return bool(_NOT_THE.search(ahead) or (_ITS.search(ahead) and _WRONG.match(behind)))


def _is_plural(tokens: list[Token], amount: Amount) -> bool:
    """Whether its unit is told of many, as in "two millimetres": no name is."""
    last = tokens[amount.last - 1].low
    return not amount.single and last.endswith(("s", "feet")) and amount.nominal != 1
