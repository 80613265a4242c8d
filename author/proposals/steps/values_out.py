"""Orders without the values told in them, which stand in a place of their own."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import replace

from author.proposals.language.loose_words import read
from author.proposals.language.trade_words import trade_words
from author.proposals.orders.sense import makes_sense, without_lost_end
from author.proposals.orders.wording import Order
from author.proposals.quantities.amounts.phrases import amounts_in
from author.proposals.quantities.amounts.units import kind_of
from author.proposals.quantities.numbers.tokens import tokens_of
from author.proposals.quantities.reading import SpokenQuantity


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
            # "Three litres, hang on, no, four litres": only the four stand in it.
            stands = " ".join(word.shown for word in read(each.text))
            for text in dict.fromkeys((each.text, stands, _PARTED.split(each.text, maxsplit=1)[0])):
                words = r"\W+".join(map(re.escape, re.findall(r"[^\W_]+", text)))
                if not words:
                    continue  # "minus fifty to plus fifty" has nothing before its sign
                found = re.compile(
                    rf"(?:,?\s*\b(?:{_NUMBER_LEAD}))*\W*\b{words}\b"
                    r"(?: of\b| at a time\b|(?: each| apiece)(?=[,.])|(?P<how>"
                    r" (?:thick|long|wide|deep|high|tall)\b))?",
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
            action = _NOT_THE.sub("", action)
            action = _VALUE_OF.sub(r"as \1 as given", action)
            action = _ARTICLE_LEFT.sub(" ", _without_settings(action))
            if action != order.action:
                action = f"{without_lost_end(action.rstrip(' .,;:'))}."
                if action in _WAITS:
                    action = "Wait the time given."
                action = _BOUND_LEFT.sub("", action)
                if len(action.split()) < 2 or _NO_NOUN.search(action) or not makes_sense(action):
                    continue
            kept.append(replace(order, action=action))
        if kept:
            left[index] = tuple(kept)
    return left


_WAITS = frozenset({"Give it.", "Give them.", "Leave it.", "Leave them.", "Wait.", "Let it.",
                    "Leave it for.", "Wait for."})  # fmt: skip


# "Press them below", "I replace at ten percent over": the bound went with its number.
_BOUND_LEFT = re.compile(r" (?:below|over|under|above|beyond|past|than)(?=\.$)", re.IGNORECASE)


_NO_NOUN = re.compile(r"\b(?:the|a|an) (?:on|in|at|of|to|with|for|and|or)\b", re.IGNORECASE)


_ARTICLE_LEFT = re.compile(r" the (?=(?:until|before|after)\b)")


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
    r"(?:,?\s*\b(?:to|at|of|by|with|about|around|until|roughly|maybe|say|that's|no more than|a|"
    r"an))*\s*$",
    re.IGNORECASE,
)


def _in_its_place(number: re.Match[str]) -> str:
    """Return what stands for a number that is told elsewhere: nothing, or that it is told."""
    if _OF_WHAT.match(number[0]):
        return " with"  # "fill it with a litre of oil"
    before, behind = number.string[: number.start()], number.string[number.end() :]
    if _GIVEN.search(before) and behind.startswith((" to ", " for ")) and _TIME.search(number[0]):
        return " the time given"  # "give it half an hour to go off"
    if (made_of := _MADE_OF.match(number[0])) and _is_stuff(behind):
        return made_of[0]  # "cut one from 3 mm felt"
    if _COUNTED_OFF.search(before):
        return number[0]  # "go easy on the brakes for the first 200 kilometres"
    if _LENGTH.search(number[0]) and _FROM_THERE.match(behind):
        # "Drill a hole twelve millimetres from the edge", "grind two tenths from the face"
        return " at the distance given" if " " in before else " the amount given"
    of = " of" if number[0].endswith(" of") else ""
    if _STATED.search(before) and (number["how"] or _HOW_MUCH.match(behind)):
        return f" the value given{number['how'] or ''}"
    return f" the value given{of}" if _BOUND.search(before) else ""


_COUNTED_OFF = re.compile(r"\bthe (?:first|next|last)$", re.IGNORECASE)
_LENGTH = re.compile(
    r"\d ?(?:mm|cm|mils?|inch|in)\b|met(?:er|re)s?\b|\b(?:inch|mils?|thou|tenths?|hundredths?)",
    re.IGNORECASE,
)
_FROM_THERE = re.compile(r"(?: (?:in|down|up|back|out|away))? from (?:the|its|each|either)\b")
_MADE_OF = re.compile(r" (?:from|with|of|out of)\b", re.IGNORECASE)


def _is_stuff(behind: str) -> bool:
    """Whether the thing is named behind its number: "3 mm felt", not "3 mm and stop"."""
    word = re.match(r" ([a-z-]+)", behind, re.IGNORECASE)
    known = trade_words()
    return word is not None and (
        word[1].lower() in _STUFF or known.kind_of(word[1].lower()) in {"part", "supply", "weak"}
    )


_STUFF = frozenset({"brass", "steel", "stock", "copper", "alloy", "aluminium", "plywood", "timber"})


# "So the water is fifty five millimetres deep" is not "so the water is deep".
_STATED = re.compile(r"\b(?:is|are|it's|they're|sits|stands|lies|comes)$", re.IGNORECASE)
_HOW_MUCH = re.compile(
    r" (?:deep|long|wide|thick|high|tall|proud|apart|below|above|over|under|out|away|off|clear)\b",
    re.IGNORECASE,
)
# "The six watt one, not the nine watt, that one overflows": no "not the that one".
_NOT_THE = re.compile(r",? not the,? (?:that|this|it|those|they)\b[^.]*", re.IGNORECASE)
_VALUE_OF = re.compile(r"\bthe value given (deep|long|wide|thick|high|tall)\b")


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
    "that's|every|at least|at most|no more than|not over|"
    "(?:a|the) (?:torque|depth|gap|pressure) of|a|an"
)
