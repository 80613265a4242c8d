"""How likely a step begins at each sentence, over all ways in which the talk can be parted.

Whether a step begins at a sentence depends on where the step before it began, which is not sure
itself. So every beginning that is still likely is carried on with its chance, and the chance of
a sentence is the sum over them (the forward pass over a chain of such decisions).
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import replace
from statistics import correlation, pstdev

from author.proposals.orders.wording import Order
from author.proposals.steps.features import (
    Talk,
    chance_of_step,
    features_of,
    says_of_topic,
    step_weights,
)
from author.proposals.steps.made_safe import surely_safe
from author.proposals.steps.sections import makes_safe

_LONGEST = 20
"""Sentences after which a step is as likely to end as not."""
_FORGOTTEN = 0.003
"""Chance below which a beginning is followed no more."""
_AFTER_SAFE = 0.03
"""Chance from which a step begins where all done before made the machine safe and this does not."""
_REMEMBERED = 4
"""Sentences before one that are compared with it where no step is known yet."""
_ENOUGH_SENTENCES = 8
_USUAL_BAR = 0.28
"""Where there is too little talk to tell."""
_USUAL_WEIGHS = 40
"""Sentences whose own best bar counts as much as the usual one: tried with talks of a dozen, a
score and all of their sentences."""
_NO_SPREAD = 1e-9
_USUAL = 0.3
"""How far pauses go with the subject in the narrations as they were told, on average."""


def chances_of_beginning(talk: Talk, kept: Sequence[int]) -> tuple[float, ...]:
    """Return the chance, 0 to 1, that a step begins at each sentence that is kept.

    Args:
        talk: the recording's talk.
        kept: indexes of the sentences that are part of the work, rising; the first begins one.
    """
    if not kept:
        return ()
    talk = replace(talk, pauses_tell=pauses_tell(neighbours(talk, kept), step_weights()))
    begun = {0: 1.0}
    chances = [1.0]
    for place in range(1, len(kept)):
        ended = 0.0
        still: dict[int, float] = {}
        for first, chance in begun.items():
            ends = _ends(talk, kept[first:place], kept[place])
            ended += chance * ends
            if chance * (1 - ends) >= _FORGOTTEN:
                still[first] = chance * (1 - ends)
        whole = ended + sum(still.values())
        chances.append(ended / whole)
        begun = {first: chance / whole for first, chance in still.items()}
        begun[place] = chances[-1]
    return tuple(chances)


def best_bar(chances: Sequence[float]) -> float:
    """Return the chance from which beginnings are taken so that most can be hoped to be right.

    Among all bars it is the one whose F1 is the greatest that can be expected, if the chances
    mean what they say: how surely the beginnings of steps show differs from teller to teller.
    (That bar is half of the F1 it reaches: Lipton, Elkan and Naryanaswamy, Optimal thresholding
    of classifiers to maximize F1 measure, 2014; from memory.) The fewer sentences there are, the
    nearer it is to the usual one.

    Args:
        chances: that a step begins, 0 to 1, of each sentence of a recording; the first, which
            begins one whatever the bar, says nothing of the others.
    """
    others = chances[1:]
    if len(others) < _ENOUGH_SENTENCES:
        return _USUAL_BAR
    best, bar = 0.0, _USUAL_BAR
    hoped, every = 0.0, math.fsum(others)
    for taken, chance in enumerate(sorted(others, reverse=True), start=1):
        hoped += chance
        expected = 2 * hoped / (taken + every)
        if expected > best:
            best, bar = expected, chance
    told = len(others) / (len(others) + _USUAL_WEIGHS)
    return told * bar + (1 - told) * _USUAL_BAR


def _ends(talk: Talk, open_step: Sequence[int], index: int) -> float:
    """Return the chance that a step that is open ends before a sentence."""
    chance = chance_of_step(features_of(talk, index, open_step))
    orders = talk.orders.get(index, ())
    told = [order for i in open_step for order in talk.orders.get(i, ())]
    if orders and chance >= _AFTER_SAFE and _makes_safe(told) and not all(map(surely_safe, orders)):
        return 1.0
    return max(chance, 0.5) if len(open_step) >= _LONGEST else chance


def _makes_safe(orders: Sequence[Order]) -> bool:
    """Whether all that is done makes the machine safe: that is a step of its own."""
    return bool(orders) and all(makes_safe(order.action) for order in orders)


def neighbours(talk: Talk, kept: Sequence[int]) -> tuple[dict[str, float], ...]:
    """Return the signs of a new step at sentences that follow another at once.

    Each is held against the few before it, as no step is known yet.

    Args:
        talk: the recording's talk.
        kept: indexes of the sentences that are part of the work, rising.
    """
    return tuple(
        features_of(talk, kept[place], kept[max(0, place - _REMEMBERED) : place])
        for place in range(1, len(kept))
        if kept[place] - kept[place - 1] == 1
    )


def pauses_tell(found: Sequence[Mapping[str, float]], weights: Mapping[str, float]) -> float:
    """Return how far pauses go with changes of subject in a recording, -1 to 1.

    Some stop talking when a step is done, others while their hands work in the middle of one.
    It is the correlation (Pearson) of the pause before a sentence with what its words say for
    a new step, and what is usual where there is too little talk to tell.

    Args:
        found: the signs of its sentences, as `neighbours` returns them.
        weights: of the signs, as log odds.
    """
    pauses = [features["pause_seconds"] for features in found]
    topics = [says_of_topic(features, weights) for features in found]
    if len(found) < _ENOUGH_SENTENCES or min(pstdev(pauses), pstdev(topics)) < _NO_SPREAD:
        return _USUAL
    return correlation(pauses, topics)
