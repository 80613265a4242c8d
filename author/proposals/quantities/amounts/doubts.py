"""Values that were doubted as they were said: "320, or was it 340, no, 320"."""

from __future__ import annotations

import re

from author.proposals.quantities.amounts.amount import Amount, between, likely
from author.proposals.quantities.amounts.corrections import takes_back_in
from author.proposals.quantities.numbers.tokens import Token

_ASKED = re.compile(
    r"[,.?–— ]*(?:(?:no|wait|hang on|hold on|sorry|er|um)[, ]+)*(?:or )?"
    r"(?:was|is|were|are) (?:it|that|they|those)[, ]+(?:(?:at|about|really|actually) )?"
)


def settle_doubts(tokens: list[Token], amounts: list[Amount]) -> list[Amount]:
    """Return the amounts of a sentence, with one for each value that was asked about.

    What is said last holds; where nothing is said after the question, the value before it does.
    Whoever reads it is told of the doubt.

    Args:
        tokens: of the sentence.
        amounts: what was read in it, in order.
    """
    kept: list[Amount] = []
    rest = list(amounts)
    while rest:
        amount = rest.pop(0)
        before = kept[-1] if kept else None
        if before is None or not _is_asked(tokens, before, amount):
            kept.append(amount)
            continue
        answer = rest[0] if rest else None
        words = between(tokens, amount.last, answer.first) if answer else ""
        if answer is None or not takes_back_in(words, answer, amount):
            _doubt(before, amount)
        elif answer.nominal == before.nominal and answer.is_plain():
            rest.pop(0)
            _doubt(before, amount)
        else:
            kept[-1] = rest.pop(0)
            kept[-1].first, kept[-1].unit = before.first, answer.unit or before.unit
            _doubt(kept[-1], before)
    return kept


def _is_asked(tokens: list[Token], before: Amount, amount: Amount) -> bool:
    if not amount.is_plain() or before.nominal is None or before.form in {"thread", "size"}:
        return False
    words = between(tokens, before.last, amount.first)
    return _ASKED.fullmatch(f"{words} ") is not None and likely(before, amount)


def _doubt(kept: Amount, asked: Amount) -> None:
    kept.flags.add("doubted")
    kept.why.append(f"it was doubted as it was said: {asked.nominal} was named as well")
