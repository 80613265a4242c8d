"""What the network thinks a bare number means, as points beside those of the signs."""

from __future__ import annotations

import math
from collections.abc import Collection, Iterator, Mapping

from author.proposals.quantities.amounts.amount import Amount
from author.proposals.quantities.amounts.context import Scene
from author.proposals.reader.ahead import leaning
from author.proposals.reader.network import RARE

# So much its log odds that a number is a quantity count against its being none, so much how likely
# it takes a unit, and that against its being none too; chosen on `plain`.
_ODDS, _USUAL, _MOST = 0.4, -0.5, 4.0
_OF_UNIT, _OF_ANY, _LEAST_SHARE = 0.9, 0.6, 0.01

# So likely a unit that nobody said on the recording is one the number may have.
_MAY_BE = 0.15


def units_thought(scene: Scene, amount: Amount) -> Iterator[str]:
    """Yield the units that a bare number may have by the use of the words around it."""
    shares = scene.thought.units_of(amount) if scene.thought else {}
    for unit, share in shares.items():
        if unit and unit != RARE and share >= _MAY_BE:
            yield unit


def points_thought(
    scene: Scene, amount: Amount, units: Collection[str]
) -> tuple[Mapping[str, float], float]:
    """Return the points of each unit, and those of the number being no quantity.

    Args:
        scene: the sentence.
        amount: one of its amounts.
        units: what it may mean, the empty word for no unit.
    """
    thought = scene.thought
    odds = thought.odds_of(amount) if thought else None
    if thought is None or odds is None:
        return dict.fromkeys(units, 0.0), 0.0
    shares = thought.units_of(amount)
    rare = shares.get(RARE, 0.0)
    likely = {
        unit: math.log(max(_LEAST_SHARE, shares.get(unit or None, rare))) for unit in units
    }  # fmt: skip
    # Where it knows none of the units there are, that alone makes no number nothing.
    nothing = _OF_ANY * max(likely.values(), default=0.0) - _ODDS * leaning(odds, _USUAL, _MOST)
    return {unit: _OF_UNIT * much for unit, much in likely.items()}, nothing
