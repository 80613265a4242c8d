"""Names screws, bolts and nuts by what they hold: "cowl off, four screws" names cowl screws."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from author.checks.verbs import words as _words
from author.proposals.language.fasteners import is_fastener
from author.proposals.language.word_forms import singular
from author.proposals.speech.spoken import Sentence
from author.proposals.things.named import FAINT, Thing, is_many

# They shut an opening: "the sump, one plug" names no sump plug by what it holds.
_SHUT = _words("plug union gland")
# Between what is held and what holds it: "the guard, that's four bolts".
_AFTER = re.compile(
    r"(?:[\s,;:–—-]|'s\b|\b(?:off|on|next|out|first|back|in|up|loose|down|is|it's|that's|there's"
    r"|there are|then|and|now|with|by|has|has got|got|comes|held|held (?:on|down)|here|these|those"
    r"|goes?|comes?|sits|stays|on with|held with|fixed|secured|screwed|bolted|bolts|mounted|using"
    r"|its|the|a|an|two|three|four|five|six|seven|eight|nine|ten|twelve|wee|little|small|long"
    r"|short|big|another|all|both|just|only|undo|remove|slacken|old|new|same|one|\d{1,2})\b)*",
    re.IGNORECASE,
)
_BEFORE = re.compile(
    r"\s+(?:on|off|off of|from|out of|round|around|along|through|in|of|hold|holding|for"
    r"|that hold|which hold|holding down|that holds|holds|under|underneath)"
    r"\s+(?:the|your|this|that|each|his|its|both)\s+(?:\w+ )?",
    re.IGNORECASE,
)
_MOST_WORDS = 3
# What tells one screw from another and not what it holds: its thread, its drive, its length.
_SORT = re.compile(r"[mt]\d{1,2}|ph\d|pz\d", re.IGNORECASE)
_SORTS = _words(
    """
    wee little small tiny long longer short shorter big machine socket head hex allen torx pozi
    cross crosshead countersunk slotted button cheese cap
    """
)
_BESIDE_OTHERS = _words("long longer short shorter big")
_HELD_BY_NONE = _words(
    "washer thread head pin ring o-ring seal gasket spring circlip clip key dowel shim spacer bush"
)


def by_what_they_hold(things: Sequence[Thing], sentences: Sequence[Sentence]) -> list[Thing]:
    """Return the things, with fasteners named by the part they hold where that was said.

    Args:
        things: what is named, in the order it was said.
        sentences: what was said.
    """
    return [_named(one, at, things, sentences) for at, one in enumerate(things)]


def _named(one: Thing, at: int, things: Sequence[Thing], sentences: Sequence[Sentence]) -> Thing:
    sort = _sort_of(one.name)
    if sort is None or one.kind != "part" or not _is_of_something(one.name):
        return one
    text = sentences[one.sentence].text
    behind = things[at + 1] if at + 1 < len(things) else None
    before = things[at - 1] if at else None
    held = None
    if (
        behind is not None
        and _holds(behind, one)
        and _BEFORE.fullmatch(text, one.end, behind.begin)
    ):
        held = behind
    elif before is not None and _holds(before, one) and (one.count or is_many(one)):
        held = before if _AFTER.fullmatch(text, before.end, one.begin) else None
    if held is None:
        return one
    last = one.name.split()[-1]
    if singular(last) == "head":
        last = " ".join(one.name.split()[-2:])  # "cap head" is the name of a screw
    name = " ".join([*held.name.split()[:-1], singular(held.name.split()[-1]), *sort, last])
    return replace(one, name=name, signs=one.signs | {"by what it holds"})


def _sort_of(name: str) -> list[str] | None:
    """Return the thread or the length a fastener is told by, None where more than that is told.

    "M8 screws" and "wee bolts" are of what they hold, a "pinch bolt" has a name of its own.
    """
    before = name.split()[:-1]
    if not all(word.lower() in _SORTS or _SORT.fullmatch(word) for word in before):
        return None
    return [word for word in before if word.lower() in _BESIDE_OTHERS or _SORT.fullmatch(word)]


def _holds(held: Thing, one: Thing) -> bool:
    last = singular(held.name.split()[-1].lower())
    return (
        held.sentence == one.sentence
        and held.kind == "part"
        and held.confidence > FAINT
        and not _is_of_something(last)
        and last not in _HELD_BY_NONE
        and len(held.name.split()) <= _MOST_WORDS
    )


def _is_of_something(name: str) -> bool:
    """Whether a fastener is named by the part it holds."""
    return is_fastener(name) and singular(name.rsplit(maxsplit=1)[-1].lower()) not in _SHUT
