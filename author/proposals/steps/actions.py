"""The one sentence of a step, made of the orders that are said in it."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import replace

from author.proposals.language.trade_words import trade_words
from author.proposals.orders.wording import Order
from author.proposals.quantities.reading import SpokenQuantity

_WORDS_AT_MOST = 20


def without_numbers(
    orders: Mapping[int, tuple[Order, ...]], quantities: Sequence[SpokenQuantity]
) -> dict[int, tuple[Order, ...]]:
    """Return orders without the numbers that are proposed by themselves.

    A number that was heard stands in one place, where it is confirmed, changed or refused.
    """
    told: dict[int, list[re.Pattern[str]]] = {}
    for each in quantities:
        if each.role not in {"thread", "size"}:
            words = r"\W+".join(map(re.escape, re.findall(r"[^\W_]+", each.text)))
            found = re.compile(
                rf"(?:,?\s*\b(?:{_NUMBER_LEAD}))*\W*\b{words}\b(?: of\b)?", re.IGNORECASE
            )
            told.setdefault(each.sentence, []).append(found)
    left: dict[int, tuple[Order, ...]] = {}
    for index, every in orders.items():
        kept = []
        for order in every:
            action = order.action
            for number in told.get(index, ()):
                action = number.sub("", action)
            if action != order.action:
                action = f"{action.rstrip(' .,;:')}."
                if len(action.split()) < 2:
                    continue
            kept.append(replace(order, action=action))
        if kept:
            left[index] = tuple(kept)
    return left


_NUMBER_LEAD = (
    "to|at|of|by|about|around|until|up to|between|from|roughly|maybe|say|that's|at least|at most|"
    "no more than|not over|a|an|the|torque|depth|gap|pressure"
)


def action_of(orders: Sequence[Order]) -> tuple[str, tuple[Order, ...]]:
    """Return the sentence of a step, and the orders that find no room in it.

    What is put on to be safe is not what the step is for, if anything else is done in it.
    """
    first = next((o for o in orders if not _PUT_ON.search(o.action)), orders[0])
    if _only_helps(first) and len(orders) > 2:
        first = next((o for o in orders if o.act or not _only_helps(o)), first)
    rest = tuple(order for order in orders if order is not first)
    if _PUT_ON.search(orders[0].action) and len(rest) == 1:
        return first.action, rest
    if len(rest) == 1:
        both = f"{first.action.rstrip('.')}, and {_lower_first(rest[0].action)}"
        if len(both.split()) <= _WORDS_AT_MOST:
            return both, ()
    return first.action, rest


# "Take the big pipe wrench": not what the step is for, if anything else is done in it.
_FETCHED = re.compile(r"^(?:take|get|grab|use|put|hold|set|count)\b", re.IGNORECASE)


def _only_helps(order: Order) -> bool:
    """Whether an order only fetches or holds a tool, or takes care of the hands."""
    head = (order.object or "").split(" ")[-1].lower()
    helps = trade_words().kind_of(head) == "tool" or head.startswith(("finger", "hand"))
    moved = {"off", "out", "away"} & set(order.action.rstrip(".").split(" "))
    fetched = _FETCHED.search(order.action) or _PUT_ON.search(order.action)
    return bool(fetched) and not moved and (helps or not order.object)


_PUT_ON = re.compile(
    r"^(?:put|wear|get|pop|keep|leave)\b.*\b(?:gloves?|glasses|goggles|mask|visor|ear ?(?:plugs|"
    r"muffs|defenders)|eye protection|apron|boots)\b",
    re.IGNORECASE,
)


def _lower_first(text: str) -> str:
    return text[:1].lower() + text[1:]
