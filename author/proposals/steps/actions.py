"""The one sentence of a step, made of the orders that are said in it."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import replace
from decimal import Decimal

from author.checks.verbs import words
from author.proposals.language.trade_words import trade_words
from author.proposals.language.verbs import base_of
from author.proposals.orders.sense import makes_sense, without_lost_end
from author.proposals.orders.wording import Order
from author.proposals.quantities.amounts.phrases import amounts_in
from author.proposals.quantities.amounts.units import kind_of
from author.proposals.quantities.numbers.tokens import tokens_of
from author.proposals.quantities.reading import SpokenQuantity
from author.proposals.steps.sections import makes_safe

_WORDS_AT_MOST = 20


def without_numbers(
    orders: Mapping[int, tuple[Order, ...]], quantities: Sequence[SpokenQuantity]
) -> dict[int, tuple[Order, ...]]:
    """Return orders without the numbers that are proposed by themselves.

    A number that was heard stands in one place, where it is confirmed, changed or refused.
    """
    told: dict[int, list[re.Pattern[str]]] = {}
    for each in quantities:
        if each.role not in {"thread", "size"} and each.sentence in orders:
            # An order may break off within a number: "press it to eleven and a half".
            for text in (each.text, _PARTED.split(each.text, maxsplit=1)[0]):
                words = r"\W+".join(map(re.escape, re.findall(r"[^\W_]+", text)))
                found = re.compile(
                    rf"(?:,?\s*\b(?:{_NUMBER_LEAD}))*\W*\b{words}\b"
                    r"(?: of\b|(?: at a time| each| apiece)(?=[,.]))?",
                    re.IGNORECASE,
                )
                told.setdefault(each.sentence, []).append(found)
    left: dict[int, tuple[Order, ...]] = {}
    for index, every in orders.items():
        kept = []
        for order in every:
            action = order.action
            for number in told.get(index, ()):
                action = number.sub(_in_its_place, action)
            action = _without_settings(action)
            if action != order.action:
                action = f"{without_lost_end(action.rstrip(' .,;:'))}."
                if action in _WAITS:
                    action = "Wait the time given."
                if len(action.split()) < 2 or _NO_NOUN.search(action) or not makes_sense(action):
                    continue
            kept.append(replace(order, action=action))
        if kept:
            left[index] = tuple(kept)
    return left


_WAITS = frozenset({"Give it.", "Give them.", "Leave it.", "Leave them.", "Wait.", "Let it.",
                    "Leave it for.", "Wait for."})  # fmt: skip
_NO_NOUN = re.compile(r"\b(?:the|a|an) (?:on|in|at|of|to|with|for|and|or)\b", re.IGNORECASE)
_OF_WHAT = re.compile(r"\s*with\b.* of$", re.IGNORECASE)
_PARTED = re.compile(r",|\b(?:plus|minus|give or take|and (?:not|no)|but)\b")


def _without_settings(action: str) -> str:
    """Return an order without any torque, pressure or temperature, even one that was taken back."""
    tokens = tokens_of(action)
    for amount in reversed(amounts_in(tokens)):
        if kind_of(amount.unit) in _SETTINGS and not amount.numbers:
            begin, end = tokens[amount.first].begin, tokens[amount.last - 1].end
            ahead = _LEADS_TO_IT.sub("", action[:begin])
            action = f"{ahead}{action[end:]}"
    return action


_SETTINGS = {"torque", "pressure", "temperature"}
_LEADS_TO_IT = re.compile(
    r"(?:,?\s*\b(?:to|at|of|by|about|around|until|roughly|maybe|say|that's|no more than|a|"
    r"an))*\s*$",
    re.IGNORECASE,
)


def _in_its_place(number: re.Match[str]) -> str:
    """Return what stands for a number that is told elsewhere: nothing, or that it is told."""
    if _OF_WHAT.match(number[0]):
        return " with"  # "fill it with a litre of oil"
    before, behind = number.string[: number.start()], number.string[number.end() :]
    if _GIVEN.search(before) and behind.startswith(" to ") and _TIME.search(number[0]):
        return " the time given"  # "give it half an hour to go off"
    of = " of" if number[0].endswith(" of") else ""
    return f" the value given{of}" if _BOUND.search(before) else ""


_GIVEN = re.compile(r"\b(?:give|leave|allow) (?:it|them|that|those|the \w+)$", re.IGNORECASE)
_TIME = re.compile(r"\b(?:seconds?|minutes?|hours?|days?|nights?|weeks?)\b", re.IGNORECASE)


# A comparison without its number would say something else: "if it makes more than, stop".
_BOUND = re.compile(
    r"\b(?:\w+(?:er|re|se|ss) than|(?:is|it's|goes?|gone|gets?|climbs|drops|reads|comes?|ever|"
    r"anything|anythin'|stays|rises) over|above|under|below|beyond|"
    r"(?:until|when|if|once) (?:it's|it is|it reads|it makes|it gets|it shows|you get|you have|"
    r"you see|there's|they're|(?:the|your|that) \w+(?: \w+)? (?:is|says|reads|shows|hits|reaches|"
    r"gets to)))$",
    re.IGNORECASE,
)
_NUMBER_LEAD = (
    "to|at|of|by|with|for|after|within|about|around|until|between|from|roughly|maybe|say|"
    "that's|at least|at most|no more than|not over|(?:a|the) (?:torque|depth|gap|pressure) of|a|an"
)


def action_of(
    orders: Sequence[Order],
) -> tuple[str, tuple[Order, ...], tuple[Order, ...]]:
    """Return the sentence of a step, and the orders before it and after it without room in it.

    Of several orders the step is for the one that says most of what is done to what; what is
    put on to be safe, fetched, waited for or warned of comes after it.
    """
    whole = in_order([order for order in orders if not _is_broken(order)] or list(orders))
    if len(whole) == 2 and all(_says(order) >= _ENOUGH for order in whole):
        both = f"{whole[0].action.rstrip('.')}, and {lower_first(whole[1].action)}"
        if len(both.split()) <= _WORDS_AT_MOST:
            return both, (), ()
    first = max(whole, key=lambda order: _says(order) - _LATER * whole.index(order))
    at = whole.index(first)
    return first.action, tuple(whole[:at]), tuple(whole[at + 1 :])


def in_order(orders: Sequence[Order]) -> list[Order]:
    """Return the orders of a step as they are done, where that is not as they were told.

    "Then the axle. Slacken the pinch bolts" takes the axle out last; "mark it first" and "do the
    screw before you spin the impeller" come before what was told before them.
    """
    # Of what is told twice in a step the last counts: "the spring first, no, it goes after".
    last = {order.action: n for n, order in enumerate(orders)}
    found = [order for n, order in enumerate(orders) if last[order.action] == n]
    for order in list(found):
        at = found.index(order)
        to = _before_what(order, found[:at])
        if to is not None:
            found.insert(to, found.pop(at))
    topic = found[0]
    if topic.verb == "remove" and topic.confidence < _TOLD:
        until = 1
        while until < len(found) and found[until].verb in _LOOSENING:
            until += 1
        found.insert(until - 1, found.pop(0))
    return found


def _before_what(order: Order, before: Sequence[Order]) -> int | None:
    """Return the place of the order that this one has to be done before, or None."""
    clause = _BEFORE.search(order.action)
    marks = _MARKS.search(order.action) is not None and "first" in order.action.split(" ")[-1]
    if clause is not None:
        verbs = {base_of(word) for word in clause[1].split()}
        apart = bool({"take", "pull", "strip"} & verbs)
        places = [n for n, o in enumerate(before) if o.verb in verbs or (apart and o.act)]
    elif marks:
        places = [n for n, one in enumerate(before) if one.act == "removes"]
    else:
        return None
    return places[0] if places else None


_TOLD = Decimal("0.9")
_BEFORE = re.compile(r"\bbefore (?:you|it|they|anything) ?(.*)\.$")
_MARKS = re.compile(
    r"^(?:mark|scribe|photograph|label|tag|number|take a (?:picture|photo)|note)\b", re.I
)
_LOOSENING = words("undo slacken loosen unscrew crack unbolt release")
_ONLY_IF = -3.0
"""No step is called by what is done only in a case, where anything else is done in it."""
_ENOUGH = 0.0
_MAKES_SAFE = 1.25
_LATER = 0.15
"""What an order has to say more than one before it, to be what the step is for."""


def _says(order: Order) -> float:
    """How much an order says of what a step is for: to which thing, and what becomes of it."""
    said = order.action.rstrip(".").lower().split()
    if order.action.startswith("If "):
        return _ONLY_IF
    points = 1.0 if order.object and order.object.lower() not in _NO_THING else 0.0
    points += 0.5 if order.act and order.act != "discards" else 0.0
    if not points and not {"it", "them", "both", "all"} & set(said):
        points -= 0.5
    if makes_safe(order.action) and order.act != "removes":
        points += _MAKES_SAFE  # a lock that is taken off makes nothing safe
    if order.verb in _WEAK:
        points -= 1.0
    if said[0] in {"do", "never"} or _PUT_ON.search(order.action) or _only_helps(order):
        points -= 1.5
    return points


def _is_broken(order: Order) -> bool:
    """Whether an order breaks off before it says anything: "Leave.", "Take the has to"."""
    said = order.action.rstrip(".").lower().split()
    return (
        said[-1] in _LEADS_ON or "has to" in order.action or (len(said) == 1 and said[0] in _WEAK)
    )


_NO_THING = words("one ones half rest thing things bit lot time way rest hundred end side")
_WEAK = words(
    "give go wait look leave come stop try keep let do tune double watch hang bear mind write note"
)
_LEADS_ON = words("the a an and or of to for with by from at than until if was is are has its")


# "Take the big pipe wrench": not what the step is for, if anything else is done in it.
_FETCHED = re.compile(
    r"^(?:take|get|grab|use|put|hold|set|count|bring|fetch|find|reach for)\b", re.IGNORECASE
)


def _only_helps(order: Order) -> bool:
    """Whether an order only fetches or holds a tool, or takes care of the hands."""
    head = (order.object or "").split(" ")[-1].lower()
    helps = trade_words().kind_of(head) == "tool" or head.startswith(("finger", "hand"))
    helps = helps or (order.verb in _GOT and trade_words().kind_of(head) == "supply")
    moved = {"off", "out", "away"} & set(order.action.rstrip(".").split(" "))
    fetched = _FETCHED.search(order.action) or _PUT_ON.search(order.action)
    return bool(fetched) and not moved and (helps or not order.object)


_GOT = words("get grab use bring fetch find")
_PUT_ON = re.compile(
    r"^(?:put|wear|get|pop|keep|leave)\b.*\b(?:gloves?|glasses|goggles|mask|visor|ear ?(?:plugs|"
    r"muffs|defenders)|eye protection|apron|boots)\b",
    re.IGNORECASE,
)


def lower_first(text: str) -> str:
    """Return a text that begins with a small letter, to stand within a sentence."""
    return text[:1].lower() + text[1:]
