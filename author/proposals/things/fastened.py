"""Names screws, bolts and nuts by what they hold: "cowl off, four screws" names cowl screws."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import replace

from author.checks.verbs import words as _words
from author.proposals.language.closed_words import NUMBERS, UNITS
from author.proposals.language.fasteners import is_fastener
from author.proposals.language.word_forms import singular
from author.proposals.speech.spoken import Sentence
from author.proposals.things.heads import head_of
from author.proposals.things.named import FAINT, Thing, is_many

# They shut an opening: "the sump, one plug" names no sump plug by what it holds.
_SHUT = _words("plug union gland")
# Between what is held and what holds it: "the guard, that's four bolts".
_AFTER = re.compile(
    r"(?:[\s,;:–—-]|'s\b|\b(?:off|on|next|out|first|back|in|up|loose|down|is|it's|that's|there's"
    r"|there are|then|and|now|with|by|has|has got|got|comes|held|held (?:on|down)|here|these|those"
    r"|goes?|comes?|sits|stays|on with|held with|fixed|secured|screwed|bolted|bolts|mounted|using"
    r"|its|the|a|an|wee|little|small|long|short|big|another|all|both|just|only|undo|remove|slacken"
    rf"|old|new|same|m|by|{'|'.join(sorted(NUMBERS | UNITS))}|\d{{1,2}})\b)*",
    re.IGNORECASE,
)
# It is said of a thing that it has fasteners, and not only beside it: "the scraper, it's two".
_HAS = re.compile(
    r"'s\b|\b(?:is|it's|that's|has|got|held|on|with|fixed|secured|mounted)\b", re.IGNORECASE
)
_LED = r"(?:the|your|this|that|each|his|its|both)\s+(?:\w+ )?"
_BEFORE = re.compile(
    r"(?:\s+(?:at|on|in|from|down|up|round) (?:the |each |both )?(?:\w+ )?(?:back|front|sides?|top"
    r"|bottom|ends?|rear|underside|underneath|outside|inside|corners?|middle|left|right|edge),?)?"
    r"\s+(?:on|off|off of|from|out of|round|around|along|through|in|of|hold|holding|for"
    r"|that hold|which hold|holding down|that holds|holds|under|underneath)"
    rf"\s+{_LED}",
    re.IGNORECASE,
)
# "Four screws and the housing is off".
_THEN = re.compile(rf",?\s+(?:and|then|and then)\s+{_LED}", re.IGNORECASE)
_COMES = re.compile(
    r"(?:'s|\s+(?:is|comes?|lifts?|pulls?|slides?|drops?|will come))\s+"
    r"(?:(?:straight|right|just) )?(?:off|away|free)\b",
    re.IGNORECASE,
)
# "Under the hood, three nuts" are nuts of something else.
_WHERE = re.compile(
    r"\b(?:under|underneath|beneath|behind|inside|below|above|between|beside)\s+(?:\w+ ){0,2}$",
    re.IGNORECASE,
)
_MOST_WORDS = 3
_MOST_BETWEEN = 3
# What tells one screw from another and not what it holds: its thread, its drive, its length.
_SORT = re.compile(r"[mt]\d{1,2}|ph\d|pz\d", re.IGNORECASE)
_SORTS = _words(
    """
    wee little small tiny long longer short shorter big machine socket head hex allen torx pozi
    cross crosshead countersunk slotted button cheese cap brass steel stainless
    """
)
_LONG, _SHORT = _words("long longer big"), _words("short shorter")
_HELD_BY_NONE = _words(
    "washer thread head pin o-ring seal gasket spring circlip clip key dowel shim spacer bush"
    " rivet clamp catch stud lug latch tab hole"
)
# What has the name of a tool and is screwed on as well.
_OF_MACHINES = _words(
    "pan tray tub bowl box drum scraper knife brush clamp jack hoist lamp press scale trolley stand"
    " bench vice vise cutter magnet probe"
)
# A ring that is screwed on has a name of its own: "the wear ring's got three screws".
_SPRUNG_RINGS = _words("ring piston snap retaining seal backup back-up o lock c")


def by_what_they_hold(things: Sequence[Thing], sentences: Sequence[Sentence]) -> list[Thing]:
    """Return the things, with fasteners named by the part they hold where that was said.

    Args:
        things: what is named, in the order it was said.
        sentences: what was said.
    """
    told = {word.lower() for one in things if _is_of_something(one.name)
            for word in one.name.split()}  # fmt: skip
    # "Long screws" are told from others only where there are short ones.
    apart = _LONG | _SHORT if told & _LONG and told & _SHORT else frozenset()
    return [_named(one, at, things, sentences, apart) for at, one in enumerate(things)]


def _named(
    one: Thing,
    at: int,
    things: Sequence[Thing],
    sentences: Sequence[Sentence],
    apart: frozenset[str],
) -> Thing:
    if one.kind != "part" or not _is_of_something(one.name) or not _is_sort(one.name):
        return one
    text = sentences[one.sentence].text
    held = next(_behind(one, at, things, text, _BEFORE), None)
    if held is None and (one.count or is_many(one)):
        held = _before(one, at, things, text) or next(
            (held for held in _behind(one, at, things, text, _THEN)
             if one.count and _COMES.match(text, held.end)), None
        )  # fmt: skip
    if held is None:
        return one
    *before, last = one.name.split()
    if singular(last) == "head":
        last = f"{before[-1]} {last}"  # "cap head" is the name of a screw
    sort = [word for word in before if word.lower() in apart or _SORT.fullmatch(word)]
    name = " ".join([*held.name.split()[:-1], singular(held.name.split()[-1]), *sort, last])
    return replace(one, name=name, signs=one.signs | {"by what it holds"})


def _behind(
    one: Thing, at: int, things: Sequence[Thing], text: str, between: re.Pattern[str]
) -> Iterator[Thing]:
    """Yield what is named behind a fastener as what it holds: "screws at the back of the lid"."""
    for held in things[at + 1 : at + 1 + _MOST_BETWEEN]:
        near = held.sentence == one.sentence and between.fullmatch(text, one.end, held.begin)
        if near and _may_be_held(held):
            yield held


def _before(one: Thing, at: int, things: Sequence[Thing], text: str) -> Thing | None:
    """Return what is named before a fastener as what it holds: "cover off the box, two screws"."""
    first = at
    while first and things[first - 1].sentence == one.sentence:
        first -= 1
    place, end = at - 1, one.begin
    while place >= first and _AFTER.fullmatch(text, things[place].end, end):
        between = text[things[place].end : end]
        names = [(told.begin, told.end) for told in things[first : place + 1]]
        head = first + head_of(text, names, place - first)
        place = head if things[head].kind == "part" else place
        held = things[place]
        if _WHERE.search(text, 0, held.begin) or _is_listed(one, at, things, text, between):
            return None
        if _may_be_held(held) and (held.kind == "part" or _HAS.search(between)):
            return held
        # "Airbox, four clamps, two screws": what is counted beside them holds it too.
        if held.count is None or not between.strip().startswith((",", "and")):
            return None
        place, end = place - 1, held.begin
    return None


def _is_listed(one: Thing, at: int, things: Sequence[Thing], text: str, between: str) -> bool:
    """Whether a fastener stands in the middle of a list: "the sleeves, the bolts and the nuts"."""
    if one.count is not None or not _IN_A_ROW.fullmatch(between):
        return False
    return any(
        after.sentence == one.sentence and _AND.fullmatch(text, one.end, after.begin)
        for after in things[at + 1 : at + 2]
    )


_IN_A_ROW = re.compile(r",\s+(?:the |your |its )?")
_AND = re.compile(r",?\s+and\s+(?:the |your |its |all the )?", re.IGNORECASE)


def _is_sort(name: str) -> bool:
    """Whether a fastener is told by no more than its thread, its length or its drive.

    "M8 screws" and "wee bolts" are of what they hold, a "pinch bolt" has a name of its own.
    """
    before = (word.lower() for word in name.split()[:-1])
    return all(
        word in _SORTS or word in NUMBERS or word in UNITS or _SORT.fullmatch(word)
        for word in before
    )


def _may_be_held(held: Thing) -> bool:
    """Whether a thing may be what a fastener holds."""
    *before, last = (singular(word) for word in held.name.lower().split())
    ring = last == "ring" and (not before or bool(_SPRUNG_RINGS & {*before}))
    return (
        (held.kind == "part" or (held.kind == "tool" and not before and last in _OF_MACHINES))
        and held.confidence > FAINT
        and not _is_of_something(last)
        and last not in _HELD_BY_NONE
        and not ring
        and len(before) < _MOST_WORDS
    )


def _is_of_something(name: str) -> bool:
    """Whether a fastener is named by the part it holds."""
    return is_fastener(name) and singular(name.rsplit(maxsplit=1)[-1].lower()) not in _SHUT
