"""What a thing measured when it was new, and how far it may wear from there: one quantity.

"Fifty-two when it's new, and scrap below forty-six" is 52 mm that may come down to 46.
"""

from __future__ import annotations

import re

from author.proposals.quantities.amounts.amount import Amount, between
from author.proposals.quantities.amounts.context import Scene
from author.proposals.quantities.amounts.units import kind_of

_FAR = 14
"""Words between the two values beyond which they are told of different things."""
_MOST_SWAPPED = 2
"""How many times the value a limit may be whose side is told by the two values alone."""
_IT = r"(?:it|he|she|they|'tis|she'd|it'd)"
_WAS = r"(?:'s| is| are|'re| was| were)?"
# "It's ten new", "born four-nineteen", "sixteen from the factory"
_NEW = re.compile(
    rf"\b(?:(?:brand |as |from |when |was |were |been )*(?:new|fresh)(?! (?:one|ones|part|parts)\b)"
    r"|born|unworn|originally|(?:from|left|leaves|out of) the (?:factory|works|box)|from factory"
    r"|(?:starts?|started|begins?|began)(?: (?:its|his|her|their))? (?:life|out|at)"
    rf"|when {_IT}{_WAS} (?:born|young|good|fresh|right|made|a baby)|to (?:start|begin) with)\b"
)
# "It's eleven, they come new at sixteen": of the next value.
_NEXT_IS_NEW = re.compile(rf",? ?(?:and )?{_IT}(?: come| comes|{_WAS})? new (?:at|is)\b.*")
_TREATED = frozenset({"temperature", "torque", "pressure", "time"})
# Another thing, or what was found of this one, is told before the limit.
_ANOTHER = frozenset({"mine", "mine's", "ours", "this", "these", "now", "got", "reads", "measured"})


def is_of_new(scene: Scene, value: Amount, end: int | None = None) -> bool:
    """Whether a value is told of the thing when it was new, which is nothing to aim at.

    Args:
        scene: the sentence.
        value: the value.
        end: index of the word up to which is looked behind it; three words where none is given.
    """
    if kind_of(value.unit) in _TREATED:
        return False  # "new bearing on the heater, ninety degrees, maximum a hundred"
    tokens = scene.tokens
    before = between(tokens, max(0, value.first - 5), value.first)
    behind = between(tokens, value.last, value.last + 5 if end is None else end)
    behind = _NEXT_IS_NEW.sub("", behind)
    behind = behind if end is not None else " ".join(behind.split()[:3])
    return bool(_NEW.search(re.split(r"[,;.] (?!and\b)", before)[-1]) or _NEW.search(behind))


def may_wear_to(scene: Scene, value: Amount, limit: Amount) -> bool:
    """Whether a one-sided limit tells how far a thing may wear from what it was when new.

    On which side it stands is told by the two: "under 95 it does not reach" is the least of 120.

    Args:
        scene: the sentence.
        value: what is told before it.
        limit: the limit, in the unit of the value.
    """
    if value.form in {"range", "both"} or value.nominal is None or value.lower is not None:
        return False
    if limit.nominal is not None or limit.first - value.last > _FAR or value.upper is not None:
        return False
    told = {token.low for token in scene.tokens[value.last : limit.first]}
    end = limit.lower if limit.lower is not None else limit.upper
    if end is None or end == value.nominal or told & _ANOTHER:
        return False
    # "Fifteen new, below fourteen ninety-eight" has lost its point and is no limit of fifteen.
    if limit.lower is not None and end > value.nominal * _MOST_SWAPPED:
        return False
    return is_of_new(scene, value, limit.first)
