"""Which parts are told to be renewed or to be scrap: "that gets replaced", "both are scrap"."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from author.proposals.language.closed_words import COUNTS
from author.proposals.language.word_forms import singular
from author.proposals.things.heads import head_of
from author.proposals.things.named import FAINT, Thing
from author.proposals.things.pointed_at import STOP, parts_in, several, told_of
from author.proposals.things.renewed_forms import FORMS, NAMED, NEW_ONE, SO_NEW, TOLD, may_renew
from author.proposals.things.uses import OF_MACHINES

TO_RENEW = "to be renewed"
"""Sign of a part of which is told that a new one takes its place."""
_CASE = re.compile(
    r"\b(?:if|unless|when|whenever|once|any|(?<!as )anything|anyone|either|otherwise|should|would"
    r"|might|may"
    r"|could|over|under|past|beyond|below|above|less than|more than|until"
    r"|till|before|whether|or|usually|often|sometimes)\b",
    re.IGNORECASE,
)
_ONLY_IF = re.compile(
    r"\b(?:if|unless|when|whenever|any|anything|anyone|otherwise|should|would|might|could|whether"
    r"|usually|often|sometimes)\b",
    re.IGNORECASE,
)
_NOT = re.compile(
    r"\b(?:not|never|don't|doesn't)\b(?! (?:forget|skip|miss|lose)\b)[^,]*$", re.IGNORECASE
)
# "The valve becomes new, every five years": how often, and now.
_HOW_OFTEN = re.compile(
    r"(?<=new), (?:every|each) (?:\w+ )?(?:years?|months?|hours?|services?|seasons?)(?=[,.;]|$)",
    re.IGNORECASE,
)
# "The bearings were done last year, the seals are new as well": nothing is renewed now.
_DONE_BEFORE = re.compile(
    r"\b(?:last (?:year|week|month|time|visit|service|winter|summer|spring|autumn)|already|somebody"
    r"|someone|ago|yesterday|been (?:in|done|changed|replaced|renewed))\b",
    re.IGNORECASE,
)
_LATER = re.compile(
    r"\b(?:this (?:year|month|winter|spring|summer|autumn)|(?:next|last) (?:week|month|time|visit"
    r"|service|shutdown|year|season|winter|spring|summer"
    r"|autumn)|"
    r"(?:with|at) (?:the|your|its) next (?:belt|filter|set|pair|rebuild|repair|job|oil change"
    r"|change|tyres?|pads?|brushes|bearings?|seals?|gasket|chain|one)\b|"
    r"every (?!time\b|single time\b)\w+|each (?!time\b)\w+|another (?:day|time|"
    r"(?:(?:couple of|few|two|three|six) )?(?:week|month|year|season|winter|summer)s?)\b|"
    # "It's good for six weeks, then change it"
    r"(?:an?|[a-z]+) (?:[a-z]+ )?(?:weeks?|months?|years?|seasons?|winters?|summers?|miles)"
    r"(?: (?:in|on|left in) (?:it|them))?,? (?:and |but )?then|"
    r"(?:at|on|in|for|with) (?:the )?(?:next )?(?:service|shutdown|overhaul|visit|summer|autumn"
    r"|winter)|in spring|"
    r"tomorrow|yearly|annually|some (?:day|time)|(?:in|after) (?:a|\d+|\w+) "
    r"(?:hours|days|weeks|months|years))\b",
    re.IGNORECASE,
)
_THEN = re.compile(r"(?:and |but )?(?:then|after that)\b", re.IGNORECASE)
_FITS = re.compile(r"\s*(?:(?:on|in|at) (?:this|that|each|either) \w+ )?$", re.IGNORECASE)
# "We're putting a set of carbon brushes in", "I'm changing the mechanical seal": the job itself.
_THE_JOB = re.compile(
    r"\b(?:we're|we are|i'm|i am|we'll be|i'll be|how to|going to|gonna|here to) (?:be )?"
    r"(?:(?:putting|fitting|put|fit) (?:a|an|in a|new|some) (?:new )?(?:set|pair|lot) of"
    r"|(?:changing|replacing|renewing|swapping|change|replace|renew|swap)(?: out)?"
    r" (?:the|a|an|both|all|these|this|some|two|three|four)(?: (?:set|pair|lot) of)?) $"
    # "So we'll take the quill out and change the spindle bearings"
    r"|\b(?:we'll|i'll|we're going to|let's|we will|i will) [^.;]*\band "
    r"(?:change|replace|renew|swap) (?:the|both|all) $",
    re.IGNORECASE,
)
_FIRST = 4
"""Sentences at the beginning that tell what the job is."""
_FAR = 4
"""Sentences back to which "that" may point where none between them names a part."""


def is_the_job(before: str, sentence: int) -> bool:
    """Whether words tell that the job is to renew what is named behind them.

    Args:
        before: the words before its name.
        sentence: index of the sentence.
    """
    found = _THE_JOB.search(before) if sentence < _FIRST else None
    return found is not None and not _CASE.search(before[: found.start()])


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


def verdicts(texts: Sequence[str], things: Sequence[Thing]) -> Iterator[Verdict]:
    """Yield the parts that are told to be renewed or scrap, but for what is so only in a case.

    Args:
        texts: the sentences.
        things: parts, tools and supplies in the order said; those that are parts are looked at.
    """
    parts = parts_in(things)
    for at, thing in enumerate(things):
        if thing.kind == "tool" and _is_of_machine(texts[thing.sentence], thing):
            parts.setdefault(thing.sentence, []).append(at)
    for index, text in enumerate(texts):
        # "It's good for another month. Then change it."
        told = f"{texts[index - 1]} {text}" if index and _THEN.match(text) else text
        if not may_renew(text) or is_later(_HOW_OFTEN.sub("", told)):
            continue
        for found in (one for form in FORMS for one in form.finditer(text)):
            if _is_in_case(text, found, texts[max(0, index - 1) : index + 1]):
                continue
            thrown = found.re is TOLD and not found["new"] and "replace" not in found[0]
            count, meant = _count(found), _meant(index, found, texts, things, parts)
            for at in meant:
                every = None if len(meant) > 1 else count
                yield Verdict(at, index, "discards" if thrown else "replaces", every)


def _is_of_machine(text: str, thing: Thing) -> bool:
    """Whether what may be a tool is told of as what is next: "Now knives.", "Brushes next."."""
    alone = len(text.split()) <= _TOPIC_WORDS
    return alone and singular(thing.name.lower().split()[-1]) in OF_MACHINES


def _count(found: re.Match[str]) -> int | None:
    """Return how many words tell: "all three get changed", "all six new"."""
    words = (found.groupdict().get("points") or found[0]).lower().split()
    counted = words[0] in {"all", "both", "the"} or "points" in found.groupdict()
    told = next((COUNTS[word] for word in words if word in COUNTS), 2 if "both" in words else None)
    return told if counted else None


def _is_in_case(text: str, found: re.Match[str], near: Sequence[str]) -> bool:
    """Whether words that renew are said for a case, not said so, or of what was done before."""
    begin = found.start()
    clause = max((stop.end() for stop in STOP.finditer(text, 0, begin + 1)), default=0)
    told = text[clause : max(clause, begin)]
    if found.re is SO_NEW:
        # "The shoe is under two, so new shoes" tells what was found.
        return _ONLY_IF.search(told) is not None
    if _CASE.search(told):
        return True
    if found.re is TOLD:
        # "That is not allowed, then the ring must be changed"
        return _NOT.search(told.replace(",", "")) is not None
    of_state = found.re in NAMED and any(map(_DONE_BEFORE.search, near))
    return of_state or _NOT.search(told) is not None


def _meant(
    index: int,
    found: re.Match[str],
    texts: Sequence[str],
    things: Sequence[Thing],
    parts: Mapping[int, Sequence[int]],
) -> Sequence[int]:
    """Return what is told of: named right before the words, or what they point at."""
    text, word = texts[index], found.groupdict().get("points") or found.groupdict().get("are")
    if word is None and found.re in NAMED:
        named = _named(text, found, things, parts.get(index, ()))
        # "The right-hand one is worn as well, so both get changed"
        if named or found[0].lower().split()[0] not in {"both", "all"}:
            return named
    if found.re is SO_NEW:
        named = [one for one in parts.get(index, ()) if things[one].end > found.end()]
        return named[:1] if named and things[named[0]].begin <= found.end() else ()
    if word and (listed := _listed(index, found.start(), word, texts, things, parts)):
        return listed
    many: bool | None
    if word is None:
        all_new = found[0].lower().lstrip().startswith(("all", "both"))
        many = all_new or "new ones" in found[0].lower() or None
        if found.re is NEW_ONE and (old := _old(index, found.start(), texts, things, parts)):
            return old
    else:
        many = word.lower().split()[0] in {"they", "them", "those", "these", "both", "all"}
    count = _count(found) if many else None
    # "Now the knives. New set, all three": of nothing that was named long before.
    far = 1 + bool(count) if _BARE.match(found[0]) and not found.start() else _TOPIC_FAR
    # "Bearings dry, two of them. All six new": not those.
    parts = {n: [one for one in here if count is None or things[one].count in (None, count)]
             for n, here in parts.items() if index - far <= n <= index}  # fmt: skip
    if count and count > _BOTH:  # "six valves; look at the seats; I'm changing all six"
        counted = {n: [one for one in here if things[one].count] for n, here in parts.items()}
        parts = counted if any(counted.values()) else parts
    at = told_of(index, found.start(), texts, things, parts, many=many)
    if at is None and (many or found.re is NEW_ONE):
        at = _topic(index, texts, things, parts, many=bool(many))
    return () if at is None else (at,)


_BOTH = 2


def _listed(
    index: int,
    before: int,
    word: str,
    texts: Sequence[str],
    things: Sequence[Thing],
    parts: Mapping[int, Sequence[int]],
) -> Sequence[int]:
    """Return a list that "all of them" is of: "one wiper, two o-rings and a seal, all of them go".

    Looked for in front of the words, else at the end of the sentence before.
    """
    first = word.lower().split()[0]
    if first not in {"all", "both", "they", "those", "these"}:
        return ()
    at = index if any(things[one].end <= before for one in parts.get(index, ())) else index - 1
    end = before if at == index else len(texts[at]) if at >= 0 else 0
    run: list[int] = []
    for one in reversed([one for one in parts.get(at, ()) if things[one].end <= end]):
        if not (_NEXT_OF_LIST if run else _LIST_ENDS).fullmatch(texts[at], things[one].end, end):
            break
        if _PLACE.search(texts[at], 0, things[one].begin):
            break  # "take the cover off the housing, and the seals, they get replaced"
        run, end = [one, *run], things[one].begin
    fits = len(run) == _BOTH if first == "both" else len(run) >= _BOTH
    return run if fits else ()


_PLACE = re.compile(r"\b(?:off|from|of|in|on|to|into|for|with) (?:the |its )?$", re.IGNORECASE)
# "Both seals and the o-ring, and all of them", "the seal and the ring are hard, so they get"
_LIST_ENDS = re.compile(
    r"(?: (?:is|are|was|were|look|looks) [\w ]{2,25})?[,;:.]?(?:,? (?:and|so))?\s*", re.IGNORECASE
)
_NEXT_OF_LIST = re.compile(
    r"(?:,|,? and|,? plus) (?:(?:a|an|the|one|two|three|four|five|six|both|another|old) )*",
    re.IGNORECASE,
)


def _topic(
    index: int,
    texts: Sequence[str],
    things: Sequence[Thing],
    parts: Mapping[int, Sequence[int]],
    *,
    many: bool,
) -> int | None:
    """Return the part that was named alone as what is next: "Chains first.", "Okay, rollers."."""
    for at in range(index - 1, max(-1, index - 1 - _TOPIC_FAR), -1):
        here = [one for one in parts.get(at, ()) if len(texts[at].split()) <= _TOPIC_WORDS]
        if here:
            fits = len(here) == 1 and (several(things[here[0]]) or not many)
            return here[0] if fits else None
    return None


_BARE = re.compile(r"(?:brand )?(?:new|fresh|all|both)\b", re.IGNORECASE)
_TOPIC_FAR = 8
_TOPIC_WORDS = 4


def _named(
    text: str, found: re.Match[str], things: Sequence[Thing], here: Sequence[int]
) -> Sequence[int]:
    """Return what is named right before words that tell of it; "both new" may be of two."""
    before = [one for one in here if things[one].end <= found.start()]
    if not before or not _FITS.fullmatch(text, things[before[-1]].end, found.start()):
        return ()
    spans = [(things[one].begin, things[one].end) for one in before]
    last = head_of(text, spans, len(before) - 1) if found.re is not TOLD else len(before) - 1
    if "art a" in things[before[last]].signs:
        return ()  # "A bent rod is scrap" says it of any.
    two = last and "both" in found[0].lower() and (things[before[last]].count or 1) == 1
    if two and _AND.fullmatch(text, things[before[last - 1]].end, things[before[last]].begin):
        return before[last - 1 : last + 1]
    return (before[last],)


def _old(
    index: int,
    before: int,
    texts: Sequence[str],
    things: Sequence[Thing],
    parts: Mapping[int, Sequence[int]],
) -> Sequence[int]:
    """Return what "the new ones" take the place of: what was called old just before."""
    for at in range(index, max(-1, index - 1 - _FAR), -1):
        for one in reversed(parts.get(at, ())):
            if (at < index or things[one].end <= before) and _OLD.search(
                texts[at][: things[one].begin]
            ):
                return (one,)
    return ()


_AND = re.compile(r"\s+and (?:the )?", re.IGNORECASE)
_OLD = re.compile(r"\b(?:old|worn) (?:[\w-]+ )?$", re.IGNORECASE)


def with_those_to_renew(texts: Sequence[str], things: Sequence[Thing]) -> list[Thing]:
    """Return the things, with a sign at those that a new one takes the place of.

    Args:
        texts: the sentences.
        things: what may be named in them, in the order said.
    """
    told = {at: one.count for at, one in enumerate(things) if one.kind == "part"
            and is_the_job(texts[one.sentence][: one.begin], one.sentence)}  # fmt: skip
    told |= {one.thing: one.count for one in verdicts(texts, things)}
    placed = told_by_place(told, things)
    things = [replace(one, confidence=FAINT) if at in placed else one
              for at, one in enumerate(things)]  # fmt: skip
    told |= {at: None for those in placed.values() for at in those}
    return [
        # What is renewed is no tool: "Now knives. New set, all three".
        replace(
            one, kind="part", signs=one.signs | {TO_RENEW, "list part"}, count=one.count or told[at]
        )
        if at in told and one.kind == "tool"
        else replace(one, signs=one.signs | {TO_RENEW}, count=one.count or told[at])
        if at in told
        else one
        for at, one in enumerate(things)
    ]


def told_by_place(job: Iterable[int], things: Sequence[Thing]) -> dict[int, list[int]]:
    """Return what a job renews that is told by its places later, by what names it all.

    "We're changing the spindle bearings … pull the lower bearing off … the upper bearing".

    Args:
        job: indexes of what is to be renewed.
        things: what is named, in the order said.
    """
    found: dict[int, list[int]] = {}
    for at in job:
        every = things[at]
        head = singular(every.name.split()[-1].lower())
        if every.sentence >= _FIRST or not several(every) or len(every.name.split()) == 1:
            continue
        those = [
            n for n, one in enumerate(things)
            if one.kind == "part" and one.sentence > every.sentence
            and (words := one.name.lower().split())[0] in _PLACES
            and len(words) == _PLACED and singular(words[-1]) == head
        ]  # fmt: skip
        if len({things[n].name.lower().split()[0] for n in those}) > 1:
            found[at] = those
    return found


_PLACES = frozenset(
    {"upper", "lower", "top", "bottom", "front", "rear", "back", "inner", "outer", "left", "right",
     "left-hand", "right-hand", "inboard", "outboard"}
)  # fmt: skip
_PLACED = 2
"""Words of a name that tells only where: "lower bearing"."""
