"""A thing that is only named, "next the rack", and then measured: it does not come off.

The part of the job tells what is done to a thing nobody says it of; where the next sentences
measure it or say how it has to be, that is what is done to it.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import replace

from author.checks.verbs import words
from author.proposals.orders.wording import Order
from author.proposals.quantities.reading import SpokenQuantity
from author.proposals.speech.spoken import Sentence

_LEAD = r"(?:(?:and|so|okay|right|well|now|then|next|next up|on to|first|last|lastly)[, ]+)*"
_NAMED = re.compile(
    rf"{_LEAD}(?:the |your |its |this |that )?(?P<name>(?:[\w'-]+ ){{0,3}}?[\w'-]+?)"
    r"(?:'s| is| comes)?(?: next| now| then)?\W*",
    re.IGNORECASE,
)
_LED = re.compile(r"(?:now|next|then|on to|last|first)\b|.*\b(?:next|now)\W*$", re.IGNORECASE)
_WAYS = words("off out away on in back up down apart through home with to from under over")
_LOOKS = words("measure check gauge look feel inspect test read spin listen try")
_MEASURES = words("measure check gauge test read inspect")
_HAS_TO = re.compile(
    r"\b(?:should|wants?|want to|needs? to be|has to be|ought to|must be|limit|measures?|reads?)\b",
    re.IGNORECASE,
)
_COMES_OFF = re.compile(r"\b(?:off|out|apart|away)\b", re.IGNORECASE)
_FAR = 2


def with_named_looked_at(
    said: Sequence[Sentence],
    orders: Mapping[int, tuple[Order, ...]],
    quantities: Sequence[SpokenQuantity],
) -> dict[int, tuple[Order, ...]]:
    """Return the orders with a check of what is only named and then measured.

    Args:
        said: what was said.
        orders: what is done, by sentence.
        quantities: the numbers in it.
    """
    numbers = _with_numbers(quantities)
    found = dict(orders)
    held = {one.sentence: one for one in reversed(quantities) if one.role in _HELD}
    for index, ours in orders.items():
        text = said[index].text.strip()
        if index in held and (name := _measured_at_once(text, held[index], ours)):
            found[index] = (_checked(ours[0], name), *ours[1:])
            continue
        named = _NAMED.fullmatch(text)
        alone = named and _LED.match(text) and not _WAYS & set(text.lower().split())
        if len(ours) != 1 or not alone or ours[0].verb in _LOOKS or _is_said(ours[0], text):
            continue
        if _looked_at(said, orders, numbers, index):
            name = ours[0].object or named["name"].lower() if named else ""
            found[index] = (_checked(ours[0], name),)
    return found


# "The seat on the shaft, seventeen, nothing under sixteen point nine eight."
_HELD = frozenset({"limits", "measured"})
_AT_ITS_PLACE = re.compile(
    rf"{_LEAD}(?:the|your|its|this|that) (?P<name>(?:[\w'-]+ ){{1,3}}(?:on|in|of|at) the "
    r"(?:[\w'-]+ ){0,2}[\w'-]+),? (?=new|is|\d|[a-z]+(?:-[a-z]+)?(?: point| [a-z-]+)*[,.])",
    re.IGNORECASE,
)


def _measured_at_once(text: str, told: SpokenQuantity, ours: Sequence[Order]) -> str:
    """Return what is named with its place and held to a number in the same breath, or nothing."""
    named = _AT_ITS_PLACE.match(text)
    if named is None or not ours or told.quantity in {"torque", "turns", "time"}:
        return ""
    first = ours[0]
    unsaid = first.act == "refits" and not _is_said(first, text[: named.end()])
    return named["name"].lower() if unsaid else ""


def topics_looked_at(
    said: Sequence[Sentence],
    topics: Mapping[int, Order],
    orders: Mapping[int, tuple[Order, ...]],
    quantities: Sequence[SpokenQuantity],
) -> dict[int, Order]:
    """Return what is meant to be done with what is named first, a check where it is measured.

    Args:
        said: what was said.
        topics: what is meant to be done, by sentence.
        orders: what is said to be done, by sentence.
        quantities: the numbers in it.
    """
    numbers = _with_numbers(quantities)
    return {
        index: _checked(one, one.object or "")
        if one.act == "removes" and one.object and _looked_at(said, orders, numbers, index)
        else one
        for index, one in topics.items()
    }


def _with_numbers(quantities: Sequence[SpokenQuantity]) -> set[int]:
    return {one.sentence for one in quantities if one.quantity not in {"torque", None}}


def _checked(order: Order, name: str) -> Order:
    return replace(order, action=f"Check the {name}.", verb="check", object=name, act=None)


def _is_said(order: Order, text: str) -> bool:
    return re.search(rf"\b{order.verb}", text, re.IGNORECASE) is not None


def _looked_at(
    said: Sequence[Sentence], orders: Mapping[int, tuple[Order, ...]], numbers: set[int], index: int
) -> bool:
    """Whether the sentences behind a name measure a thing, and nothing comes off before that."""
    for at in range(index + 1, min(index + 1 + _FAR, len(said))):
        if said[at].recording != said[index].recording:
            return False
        behind = orders.get(at, ())
        if any(one.act == "removes" for one in behind):
            return False
        text = said[at].text
        looks = any(one.verb in _MEASURES or "gauge" in one.action.lower() for one in behind)
        told = at in numbers and not behind and not _COMES_OFF.search(text)
        if looks or told or (_HAS_TO.search(text) and not behind and not _COMES_OFF.search(text)):
            return True
    return False
