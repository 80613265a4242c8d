"""Values put better in the same breath: "six, well, six to seven", "nine, nine point five"."""

from __future__ import annotations

import re

from author.proposals.quantities.amounts.amount import Amount, between, likely
from author.proposals.quantities.numbers.tokens import PAUSE, Token

_WELL = re.compile(r",? ?(?:(?:well|or|say|call it|maybe|i'd say|let's say) ?,?)?")


# "nine, nine point five to be exact"
_EXACTLY = re.compile(r",? ?(?:to be (?:exact|precise)|exactly|precisely)\b")


def put_better(tokens: list[Token], amounts: list[Amount]) -> list[Amount]:
    """Return the amounts of a sentence, in order, without first tries."""
    kept: list[Amount] = []
    for amount in amounts:
        before = kept[-1] if kept else None
        words = between(tokens, before.last, amount.first) if before else ""
        if before is not None and _is_first_try(tokens, before, amount, words):
            amount.first, amount.unit = before.first, amount.unit or before.unit
            kept.pop()
        kept.append(amount)
    return kept


def _is_first_try(tokens: list[Token], before: Amount, amount: Amount, words: str) -> bool:
    """Whether a value is put better at once: "six, well, six to seven", "fifteen, hmm, eighteen".

    A sound that means nothing stands there as a comma of its own.
    """
    better = amount.form == "both" and before.nominal == amount.nominal  # "320, 320 ± 15"
    if better and before.is_plain() and amount.unit in {None, before.unit}:
        return _WELL.fullmatch(words) is not None
    if not before.is_plain() or before.unit not in {None, amount.unit}:
        return False
    if amount.form == "range":
        return before.nominal in {amount.lower, amount.upper} and bool(_WELL.fullmatch(words))
    behind = between(tokens, amount.last, min(amount.last + 4, len(tokens)))
    if words == "," and amount.is_plain() and _EXACTLY.match(behind) and likely(before, amount):
        return True
    paused = amount.first == before.last + 1 and tokens[before.last].text == PAUSE
    return paused and amount.is_plain() and likely(before, amount)
