"""Sizes of parts whose tolerance is told in a finer unit: "ground to twelve, five microns"."""

from __future__ import annotations

import re

from author.proposals.quantities.amounts.amount import Amount, between
from author.proposals.quantities.numbers.tokens import Token

OF_FINE = {"µm": "mm", "thou": "in"}
"""The unit a size is told in, by the finer one of its tolerance."""
_MOST_INCHES = 40
_NEAR = 9
_MADE = re.compile(
    r"\b(?:size|diameter|bore|journal|shaft|pin|hole|dowel|spigot|reamer|ground|grind|turn(?:ed)?"
    r"|bore[ds]?|boring|hone[ds]?|ream(?:ed)?|machined?|lap(?:ped)?|od|id)"
    r"(?:'s|(?: [a-z']+){0,4} (?:is|to|at|be|of|says))(?: (?:exactly|about|a))*$"
)
# What is told in microns itself, of whatever part.
_FINE_THING = re.compile(
    r"\b(?:runout|gap|clearance|play|float|taper|crown|finish|coat(?:ing)?|layer|plating|film"
    r"|thickness|oval(?:ity)?|round(?:ness)?|wear|step|lip|fit|interference|crush|depth|flat\w*)\b"
)


def names_size(tokens: list[Token], amount: Amount) -> bool:
    """Whether the words ahead say that a number is the size a part is made to.

    Args:
        tokens: words of the sentence.
        amount: a bare number in it.
    """
    ahead = between(tokens, max(0, amount.first - _NEAR), amount.first)
    return _MADE.search(ahead) is not None and _FINE_THING.search(ahead) is None


def take_coarse(aim: Amount, part: Amount) -> None:
    """Give a size whose tolerance is in microns or thou its own unit: "fifteen, plus ten microns".

    Of "ten, plus or minus two microns" both are microns; a part on one side only is of a fit,
    one as large as the size itself cannot be in its unit, and no part is made to a size in microns
    (common practice, no source).

    Args:
        aim: the size, whose unit was not said; flagged ``sized`` where it is one a part is made to.
        part: what it may be off, in a unit of ``OF_FINE``.
    """
    if aim.nominal is None or part.plus is None or part.minus is None:
        return
    most = max(part.plus, part.minus)
    made = part.unit == "µm" and "sized" in aim.flags
    if part.plus != part.minus or most * 2 >= abs(aim.nominal) or made:
        fine = part.unit == "µm" or aim.nominal < _MOST_INCHES
        aim.unit = OF_FINE[part.unit or ""] if fine else None
