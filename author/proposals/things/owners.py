"""Whose a characteristic is, where no "of the" tells: the subject of its clause, what was named.

"Belt back on, I want ten mil of give" is of the belt; "the two guide keys, those I check for
play" is of the keys; "Friction wheel next. Diameter new, five ninety" is of the wheel.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

from author.checks.verbs import words
from author.proposals.language.fasteners import is_fastener
from author.proposals.quantities.amounts.named_by_deeds import DEEDS
from author.proposals.quantities.reading import SpokenQuantity
from author.proposals.speech.spoken import Sentence
from author.proposals.things.measured import FIRST, other_of, taken_up
from author.proposals.things.named import Thing

_OF_A_BODY = words(
    "diameter thickness width runout taper ovality straightness squareness stretch sag slack wear "
    "bore lift play height length depth"
) | {"end float", "end play", "free play", "side play", "free length"}
_BACK = 2
# "The pedal has ten mil of free play", "the guide keys, those I check for play"
_LINKS = re.compile(
    r"(?:[\s,:\d.½¼¾-]|\b(?:is|are|was|has|have|had|'s|got|gets?|wants?|needs?|should|must|to|be|"
    r"those|that|these|this|which|it|its|their|them|i|we|you|i'm|we're|check(?:s|ed|ing)?|"
    r"measur(?:e|es|ed|ing)|look(?:ing)?|for|the|a|an|any|some|bit|of|about|no|more|than|less|"
    r"at|least|most|over|under|up|and|now|only|just|roughly|"
    r"\w*(?:mil|thou|millimet(?:er|re)s?|mm|inch|inches|tenths?|hundredths?)|"
    r"one|two|three|four|five|six|seven|eight|nine|ten|half|quarter|point|nought)\b)*",
    re.IGNORECASE,
)
_CLAUSE = re.compile(r"(?:,|;|:)? \b(?:and|but|so|then|while|until|till)\b |[,;:] ")
_BARE_NAME = re.compile(
    r"(?:\w+ )?(?:length|slack|diameter|play|float|thickness|height|width|runout|sag|wear|gap)\b"
    r"(?:,| new|:| is)", re.IGNORECASE,
)  # fmt: skip
_HEADS_IT = re.compile(
    r"(?:now |next |then |and |right |so |okay )*(?:the |this |that )?$", re.IGNORECASE
)
_NEXT = re.compile(r"\W*(?:next|now|first|then|itself)?\W*$", re.IGNORECASE)


def owner_of(
    each: SpokenQuantity, parts: Mapping[int, Sequence[Thing]], said: Sequence[Sentence]
) -> str | None:
    """Return the part a number with a characteristic is told of, or None where none is told.

    Args:
        each: the number.
        parts: parts by the index of their sentence.
        said: what was said.
    """
    if each.named is None or each.characteristic is None:
        return None
    at, begin, end = each.named
    if begin == end:
        return _of_deed(each, parts, said) if each.characteristic in DEEDS else None
    if each.characteristic not in _OF_A_BODY:
        return None
    text, told = said[at].text, parts.get(at, ())
    before = [one for one in told if one.end <= begin and not _names(one, each)]
    if before:
        one = before[-1]
        first = _IN_FRONT.fullmatch(text, 0, one.begin) and len(before) == 1
        return one.name if first and _LINKS.fullmatch(text, one.end, begin) else None
    return _headed(at, parts, said) if _BARE_NAME.match(text) else None


def subject_before(text: str, each: SpokenQuantity, parts: Sequence[Thing]) -> Thing | None:
    """Return the part a sentence tells its number of: "front guard you leave at eight".

    Args:
        text: the sentence.
        each: the number.
        parts: those the sentence names.
    """
    first = parts[0] if parts else None
    alone = first and not any(first.end <= one.begin < each.begin for one in parts)
    if first is None or not alone or first.end > each.begin:
        return None
    told = FIRST.fullmatch(text, 0, first.begin) and _LEFT.fullmatch(text, first.end, each.begin)
    return first if told else None


_LEFT = re.compile(
    r"(?:'s| (?:is|are|was|has|wants?|should|must|you|i|we)\b)[^,.;]*|, ", re.IGNORECASE
)


def _names(one: Thing, each: SpokenQuantity) -> bool:
    """Whether a thing is only the word that says which: the needle of "needle height"."""
    begin = each.named[1] if each.named else 0
    return begin - one.end <= 1


def _headed(at: int, parts: Mapping[int, Sequence[Thing]], said: Sequence[Sentence]) -> str | None:
    """Return the part that a sentence before only names: "Drive chain. Guard off first. Slack"."""
    for index in range(at - 1, max(-1, at - 1 - _BACK), -1):
        for one in parts.get(index, ())[:1]:
            text = said[index].text
            if _HEADS_IT.fullmatch(text, 0, one.begin) and _NEXT.match(text, one.end):
                return one.name
    return None


def _of_deed(
    each: SpokenQuantity, parts: Mapping[int, Sequence[Thing]], said: Sequence[Sentence]
) -> str | None:
    """Return the part a number is told of by a deed: "belt back on, I want ten mil of give"."""
    text = said[each.sentence].text
    told = [one for one in parts.get(each.sentence, ()) if not is_fastener(one.name)]
    if each.named and each.named[0] != each.sentence:
        return None
    on = _ON.match(text, each.end)
    beside = next((one for one in told if on and one.begin == on.end()), None)
    if beside:
        return beside.name
    # A gap has two sides, and what is deeper than so much is a scratch of the part.
    if each.characteristic == "gap" or _WORSE_THAN.search(text[: each.begin]):
        return None
    if one := _of_clause(each, text, told):
        return one
    for index in range(each.sentence - 1, max(-1, each.sentence - 1 - _BACK), -1):
        if said[index].recording != said[each.sentence].recording:
            break
        there = [one for one in parts.get(index, ()) if not is_fastener(one.name)]
        if _DRIVEN.search(text[: each.begin]):  # "tape over the keyway. Drive it in": the seal
            there = [one for one in there if not _HOLLOW.search(one.name)]
        if named := _of_sentence(said[index].text, there):
            return named
    return None


_DRIVEN = re.compile(r"\b(?:drive|press|push|tap|knock) (?:it|them)\b", re.IGNORECASE)
_HOLLOW = re.compile(r"\b(?:keyway|slot|groove|hole|bore|recess|lip|seat|shaft)s?$", re.IGNORECASE)
_WORSE_THAN = re.compile(r"\b\w+er than(?: (?:about|around|a|an))* $", re.IGNORECASE)
_ON = re.compile(r"(?: of an? \w+)?,? (?:on|in|of|at) (?:the |its |each |both )?", re.IGNORECASE)


def _of_clause(each: SpokenQuantity, text: str, told: Sequence[Thing]) -> str | None:
    """Return the subject of the clause a number stands in, else of one before it."""
    begins = [0, *(one.end() for one in _CLAUSE.finditer(text, 0, each.begin))]
    ends = [*begins[1:], each.begin]
    before = [one for one in told if one.end <= each.begin]
    last = text[begins[-1] : each.begin]
    here = [one for one in before if one.begin >= begins[-1]]
    if subject := next(
        (one for one in here if not _BEHIND_PREPOSITION.search(text[: one.begin])), None
    ):
        return subject.name
    for begin, end in reversed(list(zip(begins[:-1], ends[:-1], strict=True))):
        one = next((one for one in before if begin <= one.begin < end), None)
        front = one and _IN_FRONT.fullmatch(text, begin, one.begin)
        # "Bottom blade flush with the plate, top one overlapping half a mil" is of no plate.
        if one and (front or (not begin and other_of(one.name, last) == one.name)):
            return other_of(one.name, last)
    return here[0].name if here else None


# "25 mil into the chamber" is of what goes in
_BEHIND_PREPOSITION = re.compile(
    r"\b(?:in|into|on|onto|from|to|with|through|at|off|under|over|against|past|touching) "
    r"(?:the |an? |its |your |each )?$", re.IGNORECASE,
)  # fmt: skip


def _of_sentence(text: str, parts: Sequence[Thing]) -> str | None:
    """Return the part that a sentence before takes up, or is about at its end."""
    if one := taken_up(text, parts):
        return one.name
    for one in reversed(parts):
        ahead, behind = text[: one.begin], text[one.end :]
        if _TAKES_UP.search(ahead) or (_IN_FRONT.fullmatch(ahead) and _PUT_ON.fullmatch(behind)):
            return one.name
        if _IN_FRONT.fullmatch(ahead) and _TOPIC.match(behind):
            return one.name
        if _CLAUSE_BEGINS.search(ahead) and _IS.match(behind):
            return one.name
    return None


_IN_FRONT = re.compile(
    r"(?:(?:and|so|now|then|next|right|okay|the|that|this|your|its|both|all|each|two|three|four|new|old|bottom|"
    r"top|front|rear|left|right|upper|lower),? )*", re.IGNORECASE,
)  # fmt: skip
_PUT_ON = re.compile(r"(?: (?:is|goes|comes|back|on|in|up|first|next|now|then))*\W*", re.IGNORECASE)
_TAKES_UP = re.compile(
    r"\b(?:(?:across|over|along) |(?:feel|look|go) (?:of|at|on) )(?:the |both |your |that )?$",
    re.IGNORECASE,
)
_CLAUSE_BEGINS = re.compile(r"(?:^|[,;] |\band )(?:the |your |that |this )?$", re.IGNORECASE)
# "Valve plate itself, I'll lap that on glass"
_TOPIC = re.compile(r"(?: itself)?, (?:i|we|you|that|this|those|these)\b", re.IGNORECASE)
_IS = re.compile(
    r"(?:'s|s'| is| are)\b(?! (?:off|out|set|put|held|\w+ed|taken|undone)\b)", re.IGNORECASE
)
