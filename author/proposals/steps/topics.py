"""What is done to the thing a sentence names first: "Wheel nut next, and it's a left-hand thread".

Nobody says it, since the film shows it. Which verb is meant the part of the job tells.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from decimal import Decimal

from author.checks.verbs import words
from author.proposals.language.fasteners import is_fastener
from author.proposals.orders.wording import Order
from author.proposals.speech.spoken import Sentence
from author.proposals.steps.sections import Phase
from author.proposals.things.finding import Thing

_LIKELY = Decimal("0.4")
_LEAD = re.compile(
    r"(?:(?:so|and|okay|ok|right|alright|all right|well|good|now|next|then|first|first up|last"
    r"|lastly|finally|next up|next is|on to|onto|that's|it's|here's|there's)\b[, ]*)*"
    r"(?:(?:the|your|my|our|this|that|these|those|both|all)\b ?)?(?:(?:old|new)\b ?)?",
    re.IGNORECASE,
)
_BEHIND = re.compile(
    r" ?(?:'s next\b|(?:is|are|comes?|goes?) next\b|next\b|now\b|first\b|then\b|time\b)?"
    r" ?(?=[,.;:!?–—-]|$)",
    re.IGNORECASE,
)
_NEW = words("new fresh replacement")


def topic_orders(
    said: Sequence[Sentence], things: Sequence[Thing], phases: Sequence[Phase]
) -> dict[int, Order]:
    """Return what is meant to be done with the part each sentence names first, by its index.

    Args:
        said: what was said.
        things: parts, tools and supplies in it.
        phases: the part of the job each sentence belongs to.
    """
    parts: dict[int, list[Thing]] = {}
    for thing in things:
        if thing.kind == "part":
            parts.setdefault(thing.sentence, []).append(thing)
    found: dict[int, Order] = {}
    for index, named in parts.items():
        text = said[index].text
        lead = _LEAD.match(text)
        begin = lead.end() if lead else 0
        topic = next((one for one in named if one.begin == begin), None)
        if topic is not None and _BEHIND.match(text, topic.end):
            new = bool(_NEW & set(text[:begin].lower().split()))
            found[index] = _order(topic, phases[index], new=new)
    return found


def _order(topic: Thing, phase: Phase, *, new: bool) -> Order:
    verb = "undo" if phase == "removal" and is_fastener(topic.name) else _VERBS[phase]
    name = f"new {topic.name}" if new and verb == "fit" else topic.name
    action = f"{verb.capitalize()} the {name}."
    act = {"remove": "removes", "undo": "removes", "fit": "refits"}.get(verb)
    return Order(action, verb, topic.name, act, _LIKELY)  # type: ignore[arg-type]


_VERBS: Mapping[Phase, str] = {
    "make_safe": "remove", "removal": "remove", "inspection": "check", "fitting": "fit",
    "closing": "check",
}  # fmt: skip
