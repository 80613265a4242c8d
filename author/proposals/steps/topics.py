"""What is done to the thing a sentence names first: "Wheel nut next, and it's a left-hand thread".

Nobody says it, since the film shows it. Which verb is meant the part of the job tells, and what
the thing is: a nut is undone, oil drained, a clearance measured.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from decimal import Decimal

from author.checks.verbs import words
from author.proposals.language.fasteners import is_fastener
from author.proposals.language.trade_words import trade_words
from author.proposals.language.word_forms import singular
from author.proposals.orders.wording import Order
from author.proposals.quantities.amounts.context import names_value
from author.proposals.speech.spoken import Sentence
from author.proposals.steps.sections import Phase
from author.proposals.things.finding import Thing

_LIKELY = Decimal("0.4")
_LEAD = re.compile(
    r"(?:(?:so|and|okay|ok|right|righto|alright|all right|well|good|now|next|then|first|first up"
    r"|first off|first of all|last|lastly|finally|last of all|last thing|next thing|next job"
    r"|first thing|next up|up next|next is|next comes|now comes|now for|then for|here comes"
    r"|on to|onto|over to|on with|back to|moving on to|move on to|we come to|that leaves"
    r"|which leaves|leaves|leaving|same with|as for|what about|that's|it's|here's|here is"
    r"|here are|there's|then there's|this is|these are)\b[, ]*)*"
    r"(?:(?:the|your|my|our|this|that|these|those|both|all|its|another|an?)\b ?)?"
    r"(?:(?:two|three|four|six|eight|other|old|new|last|first)\b ?){0,2}",
    re.IGNORECASE,
)
_COUNT = r"(?:an?|one|two|three|four|five|six|eight|ten|twelve|[1-9][0-9]?)"
_BEHIND = re.compile(
    r" ?(?:'s next\b|(?:is|are|comes?|goes?) next\b|next\b|now\b|first\b|then\b|time\b)?"
    r" ?(?:(?=[,.;:!?–—-]|$)"
    r"|(?=(?:they're|it's|these are|there's|it is|they are|that's)\b)"
    rf"|(?='s (?:held by |on )?{_COUNT} (?:[\w-]+ ){{0,3}}?(?:bolts?|screws?|nuts?|clips?|pins?)"
    r"\b))",
    re.IGNORECASE,
)
# "Then the pump: four screws, and the cover comes off": the pump tells only where.
_ANOTHER_OFF = re.compile(
    r"\bthe (?!rest\b)[a-z]+(?: [a-z]+)? (?:comes?|lifts?|slides?|pulls?) (?:off|out|away)\b"
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
        if thing.kind == "part" or _last(thing) in _FLUIDS:
            parts.setdefault(thing.sentence, []).append(thing)
    found: dict[int, Order] = {}
    for index, named in parts.items():
        text = said[index].text
        lead = _LEAD.match(text)
        begin = lead.end() if lead else 0
        topic = next((one for one in named if one.begin == begin), None)
        if topic is None or not _BEHIND.match(text, topic.end):
            continue
        if re.match(rf"\W+{re.escape(topic.name)}\b", text[topic.end :], re.IGNORECASE):
            continue  # "tap, tap, there we go"
        if _ANOTHER_OFF.search(text, topic.end) and not is_fastener(topic.name):
            continue
        new = bool(_NEW & set(text[:begin].lower().split()))
        order = _order(topic, phases[index], new=new)
        if order is not None and not (order.act != "removes" and _is_heading(said, index)):
            found[index] = order
    for index, sentence in enumerate(said):
        value = _value_named(sentence.text) if index not in found else None
        if value is not None:
            found[index] = _meant(f"Measure the {value}", "measure", value, None)
    return found


def _is_heading(said: Sequence[Sentence], index: int) -> bool:
    """Whether a name opens work that takes something apart: "Now the belt. Undo the bracket".

    Nothing is fitted or checked then, whatever was done before.
    """
    after = said[index + 1] if index + 1 < len(said) else None
    follows = after is not None and after.recording == said[index].recording
    return follows and _TAKES_APART.match(str(after and after.text)) is not None


_TAKES_APART = re.compile(
    r"(?:(?:so|then|first|first of all|and|now|you|we|i|just|okay|right),? )*"
    r"(?:(?:undo|loosen|slacken|remove|unscrew|unbolt|disconnect|unplug|unclip|drain)\b"
    r"|(?:take|pull|lift|slide|pop|knock|tap|prise|pry|cut) (?:[\w-]+ ){1,6}"
    r"(?:off|out|away|apart)\b)",
    re.IGNORECASE,
)


def _value_named(text: str) -> str | None:
    """Return the characteristic a sentence names first: "Backlash now, clock on a tooth"."""
    lead = _LEAD.match(text)
    begin = lead.end() if lead else 0
    for many in (2, 1):
        said = re.compile(r"[A-Za-z]+(?: [a-z]+)" + f"{{{many - 1}}}").match(text, begin)
        if said and names_value(said[0].lower()) and _BEHIND.match(text, said.end()):
            return said[0].lower()
    return None


def _order(topic: Thing, phase: Phase, *, new: bool) -> Order | None:
    last = _last(topic)
    if last in _FLUIDS:
        if phase == "removal" and not new:
            return _meant(f"Drain the {topic.name}", "drain", topic.name, None)
        filled = phase in {"fitting", "closing"} or new
        name = f"new {topic.name}" if new else topic.name
        return _meant(f"Fill with {name}", "fill", topic.name, None) if filled else None
    covers = last in _COVERS
    if phase == "make_safe" and not covers:
        return None  # a switch or a supply: what is done to it is not told
    verb = "fit" if new or (phase == "closing" and covers) else _VERBS[phase]
    if last in _PLACES or trade_words().kind_of(last) == "feature":
        verb = "check"  # no groove is taken off or fitted
    if verb == "remove" and is_fastener(topic.name):
        verb = "undo"
    name = f"new {topic.name}" if new else topic.name
    act = {"remove": "removes", "undo": "removes", "fit": "refits"}.get(verb)
    return _meant(f"{verb.capitalize()} the {name}", verb, topic.name, act)


def _meant(action: str, verb: str, what: str, act: str | None) -> Order:
    return Order(f"{action}.", verb, what, act, _LIKELY)  # type: ignore[arg-type]


def _last(thing: Thing) -> str:
    return singular(thing.name.split(" ")[-1].lower())


_PLACES = words("keyway bore seat seating journal")
_FLUIDS = words("oil coolant antifreeze")
_COVERS = words(
    "cover guard panel lid cowl cowling shroud hood cap door plate housing hatch grille"
)
_VERBS: Mapping[Phase, str] = {
    "make_safe": "remove", "removal": "remove", "inspection": "check", "fitting": "fit",
    "closing": "check",
}  # fmt: skip
