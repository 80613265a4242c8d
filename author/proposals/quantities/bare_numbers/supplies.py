"""Voltages of supplies that are told without their unit: "this is four eighty three phase"."""

from __future__ import annotations

import re

from author.checks.verbs import words
from author.proposals.quantities.amounts.amount import Amount, between
from author.proposals.quantities.bare_numbers.topic import Talk
from author.proposals.quantities.no_quantity.which_one import SUPPLIES, carries

_ELECTRIC = words(
    "meter leg legs phase breaker breakers disconnect isolator lockout live contactor variac mains"
    " fuse fuses neutral earth volts volt wires terminals electrician"
)
_PHASE = re.compile(r"(?:on )?(?:a )?(?:three|single|one|two|3|1) phase\b|phase to phase\b")
_NEAR = 2


def is_supply(talk: Talk, index: int, amount: Amount) -> bool:
    """Whether a bare number is the voltage of a supply.

    Args:
        talk: the recording.
        index: of the sentence.
        amount: one of its amounts.
    """
    tokens = talk.scenes[index].tokens
    if amount.nominal not in SUPPLIES or amount.form != "whole":
        return False
    if _PHASE.match(between(tokens, amount.last, min(amount.last + 4, len(tokens)))):
        return True
    near = talk.scenes[max(0, index - _NEAR) : index + _NEAR + 1]
    ahead = tokens[amount.first - 1].low if amount.first else ""
    return ahead in _THERE and carries(tokens, amount) and any(s.words & _ELECTRIC for s in near)


_THERE = frozenset({"there's", "is", "got", "have", "carries", "still"})
