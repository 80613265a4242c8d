"""Of which thing a temperature, pressure, voltage, current, resistance or weight is told.

"The motor draws 3.2 amps" is the current of the motor; "the gearbox should run cool. I get 42
degrees" the temperature of the gearbox; "12.1 volts, that's the battery" the voltage of the
battery.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

from author.proposals.language.fasteners import is_fastener
from author.proposals.language.trade_words import trade_words
from author.proposals.language.word_forms import singular
from author.proposals.quantities.amounts.vocabulary import GAUGES
from author.proposals.quantities.reading import SpokenQuantity
from author.proposals.speech.spoken import Sentence
from author.proposals.things.named import Thing

STATES = frozenset({"temperature", "pressure", "voltage", "current", "resistance", "mass", "power",
                    "capacitance"})  # fmt: skip
"""Kinds of quantity a thing has as a whole, so that no word between them need say which."""

_OWN = frozenset({None, "weight", *STATES})
_FIRST = (
    r"(?:(?:and|so|now|then|next|right|okay|ok|but|the|that|this|your|its|both|all|each|new|old"
    r"|of|these|those|two|three|four),? ?)*"
)
_CLAUSE = r"\b(?:and|but|so|then|because|cause|till|until|when|once|if|before|after [\w -]+,)"
_OPENS = re.compile(rf"(?:^|[,;:.] |{_CLAUSE} ){_FIRST}$", re.I)
# "The motor's drawing", "the battery should still read at least"
_DOES = re.compile(
    r"(?:(?:'s|'ll|'d)| (?:(?:is|are|was|should|shouldn't|must|mustn't|has to|have to|can|may|will"
    r"|wants?|needs?|ought) ?)?)"
    r"(?:(?:to|be|not|never|only|just|now|still|always|already|normally|then|also|at|in|up|down"
    r"|no|more|less|than|under|over|below|above|about|around|around|nearly|least|most|between|from"
    r"|sitting|running|drawing|pulling|reading|holding|showing|giving|making|getting|kept|read|show"
    r"|give|draw|pull|hold|stay|run|sit|make|carry|weigh|get|go|come|reach|reads?|shows?|gives?"
    r"|draws?|pulls?|holds?|stays?|runs?|sits?|makes?|carries|weighs?|gets?|goes|comes|reaches"
    r"|takes?|an?|the|its|down to|what|wants?|needs?) ?)*",
    re.I,
)
# "Warm the plate to", "pump the tyre up to", "keep the drum under"
_DONE = re.compile(
    r"\b(?:heat|warm|cool|chill|bake|bring|keep|hold|get|pump|charge|inflate|pressuri[sz]e|fill"
    rf"|press|test|load|take|let|leave|run|set)(?:s|ed|ing|es)? (?:up )?{_FIRST}$",
    re.I,
)
_TO = re.compile(
    r"(?: (?:up|down|back|off|first|gently|evenly))*(?: (?:to|at|under|below|over|above))"
    r"(?: (?:about|around|at|least|most|no|more|than|a|an))* ?",
    re.I,
)
_IS_SO_HEAVY = re.compile(r"(?:'s|\bis|\bare|\bweighs?)\b(?: [\w']+){0,3} $", re.I)
# "Do not touch the drum until it is under forty"
_UNTIL_IT = re.compile(r"[^.;]*?\b(?:until|till|before|once|when|if) (?:it|they)(?=\b)", re.I)
_THATS = re.compile(r",? ?(?:that's|that is|that was|is) (?:the|your|our|my) (?:new |old )?", re.I)
_ENDS = re.compile(r"\s*(?:$|[.,;!?]|(?:and|so|but|done)\b)", re.I)
# "I get 42 degrees", "it's sixteen ohms", and a number alone
_OF_IT = re.compile(
    r"(?:(?:and|so|now|then|but|okay|right|here|there|ah|oh|yeah|well|after [\w -]+,)[, ]*)*"
    r"(?:(?:i|we|you)(?:'ve|'m|'re| have)? ?(?:get|got|getting|see|seeing|read|reading|measure|make"
    r"|want|have|need|found|find)?(?: it(?: at)?)?|(?:it|this|that|they|she|he)(?:'s|'re| is| are"
    r"| was| should(?: be| read| draw| stay)?| must(?: be)?| has to be| wants to be| reads?| draws?"
    r"| shows?| gives?| measures?| weighs?)?|(?:the )?(?:clamp|meter|probe|gauge|thermometer|gun)"
    r"(?: says| reads| shows)?)?"
    r"(?:[, ]*(?:at|about|around|only|just|still|now|a|an|not|over|under|more|less|than|least|most"
    r"|between|no|uh|um|er|hang on|let's see|let me see)\b)*[, ]*",
    re.I,
)
_LOOKED_AT = re.compile(
    r"\b(?:measur(?:e|ing)|check(?:ing)?|test(?:ing)?|touch|feel|weigh|probe|(?:probe|meter|gun|clamp"
    r"|leads|prods|thermometer|thermocouple|hand|one)(?: goes)? (?:on|round|around|across|against)"
    rf"|across|temperature of|pressure (?:in|of)|voltage (?:at|of)|resistance of) {_FIRST}$",
    re.I,
)


def thing_of_state(
    each: SpokenQuantity, parts: Mapping[int, Sequence[Thing]], said: Sequence[Sentence]
) -> str | None:
    """Return the part that a number of this kind is told of, or None where words do not tell.

    Args:
        each: the number.
        parts: parts by the index of their sentence.
        said: what was said.
    """
    if each.quantity not in STATES or each.characteristic not in _OWN:
        return None
    told, text = _things(parts.get(each.sentence, ())), said[each.sentence].text
    if found := named_behind(text, each, told):
        return found
    heavy = _IS_SO_HEAVY.search(text, 0, each.begin)
    if each.quantity == "mass" and not (heavy or _OF_IT.fullmatch(text, 0, each.begin)):
        return None  # "new core, then 40 grams of grease"
    if before := [one for one in told if one.end <= each.begin]:
        last = before[-1]
        subject = _OPENS.search(text, 0, last.begin) and _DOES.fullmatch(text, last.end, each.begin)
        done = _DONE.search(text, 0, last.begin) and _TO.fullmatch(text, last.end, each.begin)
        its = len(before) == 1 and _UNTIL_IT.match(text, last.end)
        its = its and _DOES.fullmatch(text, its.end(), each.begin)
        return last.name if subject or done or its else None
    return _subject_by_words(text, each) or _looked_at_before(each, parts, said)


def named_behind(text: str, each: SpokenQuantity, told: Sequence[Thing]) -> str | None:
    """Return the part named right behind its number: "point five oh five, that's the handrail".

    Args:
        text: the sentence.
        each: the number.
        told: parts it names.
    """
    for one in told:
        if one.begin >= each.end and _THATS.fullmatch(text, each.end, one.begin):
            return one.name if _ENDS.match(text, one.end) else None
    return None


def _subject_by_words(text: str, each: SpokenQuantity) -> str | None:
    """Return the subject of a clause that is in no list of parts: "motor's drawing 3.1 amps"."""
    table = trade_words()
    for found in _SUBJECT.finditer(text, 0, each.begin):
        name = found["name"].lower()
        *_, head = name.split()
        known = table.kind_of(head) in {"part", "weak"} and singular(head) not in GAUGES
        # "But stay below three hundred degrees" is an order, and of no stay.
        bare = not _THE.search(text[: found.start("name")]) and name == head
        if bare and _NO_VERB.match(text, found.end()):
            continue
        if known and not is_fastener(name) and _DOES.fullmatch(text, found.end(), each.begin):
            return name
    return None


# The words before the noun may only say which: "left-hand drive motor".
_SUBJECT = re.compile(
    rf"(?:^|[,;:.] |{_CLAUSE} ){_FIRST}(?P<name>[a-z-]+(?: (?!is\b|are\b|was\b|should\b|must\b"
    r"|wants?\b|needs?\b)[a-z-]+)??)(?='s\b| )",
    re.I,
)


_THE = re.compile(r"\b(?:the|that|this|your|its|our|my|each|both|these|those) $", re.I)
_NO_VERB = re.compile(
    r" (?:up|down|to|at|in|on|under|over|below|above|about|around|between|from|no|not|never|only"
    r"|just|now|then|less|more|an?|it|them)\b", re.I,
)  # fmt: skip


def _looked_at_before(
    each: SpokenQuantity, parts: Mapping[int, Sequence[Thing]], said: Sequence[Sentence]
) -> str | None:
    """Return what the sentence before is about, of "I get 42 degrees"."""
    index, text = each.sentence - 1, said[each.sentence].text
    if index < 0 or said[index].recording != said[each.sentence].recording:
        return None
    if parts.get(each.sentence) or not _OF_IT.fullmatch(text, 0, each.begin):
        return None
    earlier = said[index].text
    if each.quantity == "mass" and not _WEIGHED.search(earlier):
        return None
    return _looked_at(earlier, _things(parts.get(index, ())))


_WEIGHED = re.compile(r"\bweigh", re.I)


def _things(told: Sequence[Thing]) -> list[Thing]:
    """Return what can have a state: no screws, and not what shows it."""
    shows = (singular(one.name.rsplit(maxsplit=1)[-1].lower()) in GAUGES for one in told)
    return [
        one for one, gauge in zip(told, shows, strict=True) if not (gauge or is_fastener(one.name))
    ]


def _looked_at(text: str, told: Sequence[Thing]) -> str | None:
    """Return the one part a sentence is about that tells no number, or looks at."""
    for one in told:
        if _LOOKED_AT.search(text, 0, one.begin):
            return one.name
    first = told[0] if len({one.name for one in told}) == 1 else None
    opens = first and re.fullmatch(_FIRST, text[: first.begin], re.I)
    return first.name if first and opens and _IS.match(text, first.end) else None


_IS = re.compile(
    r"(?:'s| (?:is|are|should|must|has to|wants|needs|gets|runs|next|first|now)\b|\W*$)", re.I
)
