"""What comes in a kit: the kit is ordered, and what it holds stays a part of the job."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence

from author.proposals.language.word_forms import singular
from author.proposals.things.named import FAINT, Thing

_KIT = re.compile(r"\b(?:kit|set)s?$", re.IGNORECASE)
_ALL = r"(?:(?:all|both|every one|each)(?: of)? )"
_THEM = r"(?:them|those|these|that lot|the lot|everything|it all|'?em|the (?:seals|parts|bits))"
# Behind the name of a kit: "that's got all of them in", "has everything in it".
_HOLDS_THEM = re.compile(
    rf"\b(?:(?:that|which|it)(?:'s| has)? |has |have |'s )?(?:got|has|have|with|comes with"
    rf"|contains|includes|holds|covers) {_ALL}?{_THEM}\b"
    r"(?! (?:off|out|back|on|up|apart))",
    re.IGNORECASE,
)
# Before the name of a kit: "they all come in the kit", "it's in the kit", "included with the set".
_IN_THE_KIT = re.compile(
    r"\b(?:comes?|is|are|it's|they're|that's|all|both|included?)(?: all| both| included)? "
    r"(?:with|in|as part of) (?:the|your|that|this|one|a) $",
    re.IGNORECASE,
)
_THEY = re.compile(
    r"(?:^|[,.;:]\s*|\b(?:and|so|because) )(?:they|those|these|all (?:of )?(?:them|those|these)|"
    r"both(?: of them)?)\b[\w' ]{0,14}$",
    re.IGNORECASE,
)
# "The kit comes with two rings and a wiper", "a kit with the gasket and the ball".
_COMES_WITH = re.compile(
    r",?\s+(?:(?:that|which|it)(?:'s| has)? )?(?:comes with|contains|includes|has got|got|has|"
    r"with|is)\s+(?:(?:the|a|an|new|both|its|one|two|three|four)\s+){0,3}$",
    re.IGNORECASE,
)
_MORE = re.compile(
    r"\s*(?:,|and|,\s*and|plus)\s*(?:(?:the|a|an|new|its|one|two|three|four|six|both)\s+){0,3}",
    re.IGNORECASE,
)
# "The seals out of the housing": the housing is in no kit.
_PLACE = re.compile(
    r"\b(?:on|onto|in|into|to|round|around|under|inside|at|behind|of|from|off|for|with)\s+"
    r"(?:the|its|your|this|that)\s+(?:\w+\s+)?$",
    re.IGNORECASE,
)
_DENIED = re.compile(r"\b(?:not|n't|never|without|no)\b|n't\b", re.IGNORECASE)
_CASE = re.compile(r"\b(?:if|unless|whether|some(?:times| kits))\b", re.IGNORECASE)


def in_kits(texts: Sequence[str], things: Sequence[Thing]) -> dict[int, int]:
    """Return what comes in a kit and in which: the index of a thing by those it holds.

    Args:
        texts: the sentences.
        things: parts, tools and supplies, in the order said.
    """
    by_sentence: dict[int, list[int]] = {}
    for at, thing in enumerate(things):
        if thing.kind == "part" and thing.confidence > FAINT:
            by_sentence.setdefault(thing.sentence, []).append(at)
    found: dict[int, int] = {}
    for index, text in enumerate(texts):
        for kit in (at for at in by_sentence.get(index, ()) if _KIT.search(things[at].name)):
            if not _CASE.search(text[: things[kit].begin]):
                held = _held(index, texts, kit, by_sentence, things)
                found |= {at: kit for at in held if at != kit and not _KIT.search(things[at].name)}
    return found


def _held(
    index: int,
    texts: Sequence[str],
    kit: int,
    named: Mapping[int, Sequence[int]],
    things: Sequence[Thing],
) -> Iterator[int]:
    text, begin, end = texts[index], things[kit].begin, things[kit].end
    here = named[index]
    listed = list(_listed(text, kit, here, things))
    if listed:
        yield from listed
        return
    into = _IN_THE_KIT.search(text[:begin])
    told = _HOLDS_THEM.search(text, end)
    before = [at for at in here if things[at].begin < begin]
    there = before or [*named.get(index - 1, ())]
    told_in = texts[index if before else index - 1]
    there = [at for at in there if not _PLACE.search(told_in[: things[at].begin])]
    if told is not None and not _DENIED.search(text[end : told.start()]):
        yield from _each(there, things)
    elif into is not None and not _DENIED.search(text[: into.end()]):
        if _THEY.search(text[: into.end()].removesuffix(into[0]) + into[0].split()[0]):
            yield from _each(there, things)
        else:
            yield from there[-1:]


def _each(named: Sequence[int], things: Sequence[Thing]) -> Iterator[int]:
    """Yield what is named one by one; "the seals" before "rod seal" and "wiper seal" is all."""
    names = [things[at].name.lower() for at in named]
    for at, name in zip(named, names, strict=True):
        if not any(other.endswith(f" {singular(name)}") for other in names):
            yield at


def _listed(text: str, kit: int, here: Sequence[int], things: Sequence[Thing]) -> Iterator[int]:
    """Yield what is named behind a kit as what it holds."""
    reached, between = things[kit].end, _COMES_WITH
    for at in here:
        if things[at].begin < things[kit].end:
            continue
        if between.fullmatch(text, reached, things[at].begin) is None:
            return
        yield at
        reached, between = things[at].end, _MORE
