"""Values taken back as those of another: "sixty, no, that's the M6s, these are M5, forty"."""

from __future__ import annotations

import re

from author.proposals.quantities.amounts.amount import Amount, likely
from author.proposals.quantities.amounts.corrections import INTERJECTION, SAID_WRONG, replaces
from author.proposals.quantities.numbers.tokens import Token

_MOST_WHY = 32  # words: longer than that nobody says whose a value is
_IS_OF = r"(?:that's|that is|that was|those are|those were|it's|it is)"
_WHOSE = rf"{_IS_OF}(?: only)?(?: (?:for|from|on))?(?: (?:the|a|an|my|your|our))?"
_OF_ANOTHER = re.compile(
    rf"[, –—-]*{INTERJECTION}{SAID_WRONG}(?:[, ]+(?!that|those|it)[a-z']+){{0,5}}?[, ]+"
    rf"{_IS_OF}(?: only)? (?:for|from|on|the|a|an|my|your|our) [^.;?…]*"
)
_NAMED = re.compile(rf"\b{_WHOSE}$")
# Behind these stands which one this is: "this is the two-ten", "this one".
_WHICH = re.compile(r"\b(?:(?:this|that|ours|mine)(?: is|'s)?|these(?: are)?)(?: (?:the|a|an))$")


def take_others(tokens: list[Token], amounts: list[Amount]) -> list[Amount]:
    """Return the amounts of a sentence, in order, without those that are of another thing.

    The sizes that tell of which other thing a value is go with it: "sixty-two hertz, no, that's
    the twenty-four inch, fifty-four".

    Args:
        tokens: words of the sentence.
        amounts: its amounts, in order.
    """
    kept: list[Amount] = []
    at = 0
    while at < len(amounts):
        meant = _meant_instead(tokens, amounts, at)
        if meant is not None and replaces(amounts[at], amounts[meant]):
            own = [one for one in amounts[at + 1 : meant] if _is_own(tokens, one)]
            if not own:  # else the words before the value are those of its own thing
                amounts[meant].first = amounts[at].first
            kept.extend((*own, amounts[meant]))
            at = meant + 1
            continue
        kept.append(amounts[at])
        at += 1
    return kept


def _points(words: str) -> bool:
    """Whether a "one" behind these words only stands for a thing: "that is the hub, this one"."""
    return words.rpartition(" ")[2] in {"this", "that", "the", "other", "old", "new"}


def _is_own(tokens: list[Token], amount: Amount) -> bool:
    """Whether a thread is of the thing that is meant: "that's the M6s, these are M5"."""
    ahead = " ".join(token.low for token in tokens[max(0, amount.first - 4) : amount.first])
    return amount.form in {"thread", "size"} and not _NAMED.search(ahead)


def _meant_instead(tokens: list[Token], amounts: list[Amount], at: int) -> int | None:
    """Return the place of the amount that is meant where another thing's was told."""
    old = amounts[at]
    if not old.is_plain() or at + 1 >= len(amounts):
        return None
    for place in range(at + 1, len(amounts)):
        amount = amounts[place]
        if amount.first - old.last > _MOST_WHY:
            return None
        words = " ".join(token.low for token in tokens[old.last : amount.first])
        if _OF_ANOTHER.fullmatch(words + " ") and not _NAMED.search(words):
            which = _WHICH.search(words) or (tokens[amount.first].low == "one" and _points(words))
            if amount.form != "range" and not which and likely(old, amount):
                return place
        elif place == at + 1 and not _NAMED.search(words):
            return None
    return None
