"""A tolerance told part by part: "one more or one less", "ten percent under, five over"."""

from __future__ import annotations

from author.proposals.quantities.amounts.amount import Amount
from author.proposals.quantities.numbers.tokens import Token
from author.proposals.quantities.numbers.words import number_at

_MORE = {"more", "up", "over", "above", "high", "longer", "bigger", "higher"}
_LESS = {"less", "down", "under", "below", "low", "shorter", "smaller", "lower"}
_NO_SIDE = frozenset({"the", "top", "below", "than", "there", "here", "on", "in"})


def parts_of_each_side(tokens: list[Token], before: Amount, amount: Amount) -> int:
    """Return the index after "one more or one less", "ten percent under, five over", else nought.

    Puts both parts into the amount.

    Args:
        tokens: words of the sentence.
        before: the value.
        amount: the first part, which stands behind it.
    """
    if not before.is_plain() or amount.nominal is None or amount.first - before.last > 4:
        return 0
    if before.unit is None and before.form == "whole" and amount.unit is None:
        return 0  # "four valves, two up and two down"
    at, parts = amount.last, [amount.nominal]
    sides: list[bool] = []
    for _ in range(2):
        if at < len(tokens) and tokens[at].low in _MORE | _LESS:
            sides.append(tokens[at].low in _MORE)
            at += 1
        behind = tokens[at].low if at < len(tokens) else ""
        if behind in _NO_SIDE:
            return 0  # "six up the top and six down below"
        if behind in {"or", "and", ",", "/"}:
            at += 1
        if len(sides) == 1 and len(parts) == 1:
            again = number_at(tokens, at) if at < len(tokens) else None
            if again is None or again.value is None:
                return 0
            parts.append(again.value)
            at = again.last
    if len(sides) != 2 or sides[0] == sides[1]:
        return 0
    up, down = parts if sides[0] else reversed(parts)
    amount.plus, amount.minus = up, down
    return at
