"""Which parts are told to be renewed or to be scrap: "that gets replaced", "both are scrap"."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from author.proposals.language.closed_words import COUNTS
from author.proposals.things.named import FAINT, Thing, is_many

TO_RENEW = "to be renewed"
"""Sign of a part of which is told that a new one takes its place."""
_POINTS = (
    r"(?P<points>(?:(?:all|both|the) (?:of (?:them|those|these)|two|three|four|five|six|lot)"
    r"|(?:this|that) one|it|that|this|they|those|these|both|all))"
)
_MUST = (
    r"(?: |'s |'re |'ll )(?:(?:just|always|now|then|also|all|both|simply|only|better) )?"
    r"(?:gets?|(?:will|must|has to|have to|needs? to|got to|is going to|are going to|going to)"
    r" (?:all |both )?(?:be|get)|is being|are being|being|(?:is |are )?getting)"
    r" (?:all |both |just |always )?"
)
_RENEWED = r"(?:replaced|renewed|changed(?! over| to| into| back)|swapped(?: out)?)\b"
_THROWN = r"(?:thrown (?:away|out)|scrapped|binned|chucked(?: away| out)?|tossed|discarded)\b"
_IS = r"(?:'s| is|'re| are)(?: just| now| all| both)? "
# "That gets replaced", "both bearings have to be renewed", "so it's scrap"; not "it's changed".
_TOLD = re.compile(
    rf"(?:\b{_POINTS})?(?:{_MUST}(?:(?P<new>{_RENEWED})|{_THROWN})"
    rf"|{_IS}scrap(?=\W*$|[,.;]| so\b| and\b| then\b| now\b)"
    rf"|(?: is| are)(?: all| both)? (?:replaced|renewed|scrapped|binned|thrown away)\b)",
    re.IGNORECASE,
)
# "That one we replace", "both of them I always renew".
_WE_DO = re.compile(
    rf"(?:^|[.;:!?,]\s*|\b(?:so|and) ){_POINTS} (?:we|i|you)(?:'ll| will| always| just)*"
    r" (?:replace|renew|change|swap)(?=\W*$|[,.;]| (?:so|and|then|now|out|every|whatever)\b)",
    re.IGNORECASE,
)
# "Replace all four", "renew both of them"; not "you change them at eight".
_BID = re.compile(
    rf"\b(?:replace|renew|change|swap) {_POINTS}"
    r"(?=\W*$|[,.;]| (?:so|and|then|now|as|with|every)\b)",
    re.IGNORECASE,
)
# "It leaked, new one with the lip outwards", "new ones in"; not "new one is eight millimetres".
_NEW_ONE = re.compile(
    r"(?:^|[.;:!?,]\s*|\b(?:so|and|then|now|leaked|leaks|gone|worn|cracked|broken|split|torn) )"
    r"(?:brand )?new ones? (?=(?:in|on|goes|go|with the|with its)\b)",
    re.IGNORECASE,
)
_FORMS = (_TOLD, _WE_DO, _BID, _NEW_ONE)
_CASE = re.compile(
    r"\b(?:if|unless|when|whenever|once|any|anything|anyone|either|otherwise|should|would|might|may"
    r"|could|over|under|past|beyond|below|above|less than|more than|not|never|don't|doesn't|until"
    r"|till|before|whether|or|usually|often|sometimes)\b",
    re.IGNORECASE,
)
_LATER = re.compile(
    r"\b(?:(?:next|last) (?:week|month|time|visit|service|year|season|winter|spring|summer|autumn)|"
    r"every (?!time\b|single time\b)\w+|each (?!time\b)\w+|another (?:day|time)|"
    r"(?:at|on|in|for|with) (?:the )?(?:next )?(?:service|shutdown|overhaul|visit|summer|autumn"
    r"|winter)|in spring|"
    r"tomorrow|yearly|annually|some (?:day|time)|(?:in|after) (?:a|\d+|\w+) "
    r"(?:hours|days|weeks|months|years))\b",
    re.IGNORECASE,
)
_STOP = re.compile(r"[.;:!?](?!\d)|,? (?:so|and so)\b")
_FITS = re.compile(r"\s*(?:(?:on|in|at) (?:this|that|each|either) \w+ )?$", re.IGNORECASE)
# "We're putting a set of carbon brushes in", "I'm changing the mechanical seal": the job itself.
_THE_JOB = re.compile(
    r"\b(?:we're|we are|i'm|i am|we'll be|i'll be|how to|going to|gonna|here to) (?:be )?"
    r"(?:(?:putting|fitting|put|fit) (?:a|an|in a|new|some) (?:new )?(?:set|pair|lot) of"
    r"|(?:changing|replacing|renewing|swapping|change|replace|renew|swap)(?: out)?"
    r" (?:the|a|an|both|all|these|this|some|two|three|four)(?: (?:set|pair|lot) of)?) $",
    re.IGNORECASE,
)
_FIRST = 4
"""Sentences at the beginning that tell what the job is."""
_FAR = 4
"""Sentences back to which "that" may point where none between them names a part."""
_BEGINS = 4
"""Words within which a sentence names what it is about."""


def is_the_job(before: str, sentence: int) -> bool:
    """Whether words tell that the job is to renew what is named behind them.

    Args:
        before: the words before its name.
        sentence: index of the sentence.
    """
    return sentence < _FIRST and _THE_JOB.search(before) is not None


def is_later(text: str) -> bool:
    """Whether words tell of another day, or of how often: "with the next service"."""
    return _LATER.search(text) is not None


@dataclass(frozen=True, slots=True)
class Verdict:
    """A part of which is told what becomes of it.

    Attributes:
        thing: index of the thing.
        sentence: index of the sentence that tells it.
        act: whether a new one takes its place, or it is only told to be scrap.
        count: how many, where that is told with it: "all three get changed".
    """

    thing: int
    sentence: int
    act: Literal["replaces", "discards"]
    count: int | None = None


def parts_in(things: Sequence[Thing]) -> dict[int, list[int]]:
    """Return the indexes of what may be parts, by sentence, words that hardly name one left out."""
    found: dict[int, list[int]] = {}
    for at, thing in enumerate(things):
        if thing.kind == "part" and thing.confidence > FAINT:
            found.setdefault(thing.sentence, []).append(at)
    return found


def told_of(
    index: int,
    before: int,
    texts: Sequence[str],
    things: Sequence[Thing],
    parts: Mapping[int, Sequence[int]],
    *,
    many: bool | None = None,
) -> int | None:
    """Return the part that "that" or "it" is: what its sentence or the one before is about.

    "The bushing is another story. The coating is worn through. That gets replaced": the bushing.

    Args:
        index: of the sentence.
        before: letter before which the part is named.
        texts: the sentences.
        things: what is named in them.
        parts: what may be parts, by sentence.
        many: whether several are meant, None where words do not tell.
    """
    for at in range(index, max(-1, index - 1 - _FAR), -1):
        here = [one for one in parts.get(at, ()) if (at < index or things[one].end <= before)
                and not is_spared(texts[at], things[one].begin)]  # fmt: skip
        if not here:
            continue
        fit = [one for one in here if many in (None, _several(things[one]))]
        if many and not fit:
            return None
        fit = fit or here
        opening = [one for one in fit if len(texts[at][: things[one].begin].split()) < _BEGINS]
        return (opening or fit)[0 if opening else -1]
    return None


def is_spared(text: str, at: int) -> bool:
    """Whether a part is only named for the harm that may come to it: "you scratch the seat".

    Args:
        text: the sentence.
        at: where the name of the part begins.
    """
    return _SPARED.search(_STOP.split(text[:at])[-1]) is not None


_SPARED = re.compile(
    r"\b(?:don't|do not|never|otherwise|or|because|you'll|you|it'll|it|that)(?: will| would| can)?"
    r" (?:scratch|scratches|damage|damages|mark|marks|score|scores|break|breaks|bend|bends|crack"
    r"|nick|nicks|hit|touch|ruin|ruins|tear|tears|strip|round)\b",
    re.IGNORECASE,
)


def _several(thing: Thing) -> bool:
    return (thing.count or 1) > 1 or is_many(thing)


def verdicts(texts: Sequence[str], things: Sequence[Thing]) -> Iterator[Verdict]:
    """Yield the parts that are told to be renewed or scrap, but for what is so only in a case.

    Args:
        texts: the sentences.
        things: parts, tools and supplies in the order said; those that are parts are looked at.
    """
    parts = parts_in(things)
    for index, text in enumerate(texts):
        if is_later(text):
            continue
        for found in (one for form in _FORMS for one in form.finditer(text)):
            begin = found.start()
            clause = max((stop.end() for stop in _STOP.finditer(text, 0, begin + 1)), default=0)
            if _CASE.search(text, clause, max(clause, begin)):
                continue
            at = _meant(index, found, texts, things, parts)
            if at is not None:
                thrown = found.re is _TOLD and not found["new"] and "replace" not in found[0]
                words = (found.groupdict().get("points") or "").lower().split()
                count = next((COUNTS[word] for word in words if word in COUNTS), None)
                yield Verdict(at, index, "discards" if thrown else "replaces", count)


def _meant(
    index: int,
    found: re.Match[str],
    texts: Sequence[str],
    things: Sequence[Thing],
    parts: Mapping[int, Sequence[int]],
) -> int | None:
    """Return what is told of: named right before the words, or what they point at."""
    text, word = texts[index], found.groupdict().get("points")
    if word is None and found.re is _TOLD:
        here = [one for one in parts.get(index, ()) if things[one].end <= found.start()]
        named = [one for one in here if _FITS.fullmatch(text, things[one].end, found.start())]
        # "A bent rod is scrap" says it of any.
        return named[-1] if named and "art a" not in things[named[-1]].signs else None
    many: bool | None
    if word is None:
        many = "new ones" in found[0].lower() or None
    else:
        many = word.lower().split()[0] in {"they", "those", "these", "both", "all"}
    return told_of(index, found.start(), texts, things, parts, many=many)


def with_those_to_renew(texts: Sequence[str], things: Sequence[Thing]) -> list[Thing]:
    """Return the things, with a sign at those that a new one takes the place of.

    Args:
        texts: the sentences.
        things: what may be named in them, in the order said.
    """
    told = {at: one.count for at, one in enumerate(things) if one.kind == "part"
            and is_the_job(texts[one.sentence][: one.begin], one.sentence)}  # fmt: skip
    told |= {one.thing: one.count for one in verdicts(texts, things)}
    return [
        replace(one, signs=one.signs | {TO_RENEW}, count=one.count or told[at])
        if at in told
        else one
        for at, one in enumerate(things)
    ]
