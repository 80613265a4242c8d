"""How many there are of a thing, told behind its name: "undo the screws, there's five of them"."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from author.proposals.language.closed_words import COUNTS
from author.proposals.things.named import FAINT, Thing, is_many

_NUMBER = "|".join(word for word, count in COUNTS.items() if count > 1)
# Told of all there are; not "take two of them off", which leaves the others.
_OF_THEM = re.compile(
    rf"(?:\b(?:there's|there is|there are|there were|it's got|it has|you've got|we've got|has|have|"
    rf"got)\s+|(?:^|[.;:!?,]\s*)(?:and |so )?)(?:about )?({_NUMBER}|\d{{1,2}})\s+"
    r"(?:of (?:them|those|these|'em)|in all|in total|all told|altogether)\b"
    r"(?!\s+(?:go|goes|off|out|come|are|is|were|have|at|with|on|in)\b)"
    # "Pressure rollers, six off", "the mounting bolts, all twelve, are checked"
    rf"|,\s*(?:({_NUMBER}|\d{{1,2}}) off|all ({_NUMBER}|\d{{1,2}}))(?=[,.;:!?]|$)",
    re.IGNORECASE,
)
_ORDINALS = {"third": 3, "fourth": 4, "fifth": 5, "sixth": 6, "seventh": 7, "eighth": 8, "ninth": 9}
# "There's a fifth one hidden under the felt", "and another one behind the label".
_ONE_MORE = re.compile(
    rf"\b(?:there's|there is|it's got|you've got|and|then|plus|with|also) (?:also )?"
    rf"(?:(?:a|the) ({'|'.join(_ORDINALS)})(?: one)?|(?:one more|another)(?: one)?)"
    r"(?: that's| which is| is|'s)?(?: just)?"
    r"(?= (?:hidden|hiding|tucked|under|underneath|behind|inside|beneath|below|above|between|buried"
    r"|covered|you can't see|at the|on the|in the|down|up|round)\b)",
    re.IGNORECASE,
)
_MOST_BACK = 2
"""Sentences back to which "a fifth one" may point: to what was told to be four."""
_FAR = 1
"""Sentences back to which "five of them" may point."""


def with_counts(texts: Sequence[str], things: Sequence[Thing]) -> list[Thing]:
    """Return the things, with the count where it is told behind the name.

    Args:
        texts: the sentences.
        things: what may be named in them, in the order said.
    """
    found = list(things)
    for index, text in enumerate(texts):
        for told in _OF_THEM.finditer(text):
            at = _counted(index, told.start(), found)
            if at is not None:
                low = next(filter(None, told.groups())).lower()
                found[at] = replace(found[at], count=COUNTS.get(low) or int(low))
        for more in _ONE_MORE.finditer(text):
            for at in _of_more(index, more, found):
                found[at] = replace(found[at], count=(found[at].count or 0) + 1)
    return found


def _of_more(index: int, more: re.Match[str], things: Sequence[Thing]) -> Sequence[int]:
    """Return which part there is one more of: the one counted last, that is one less by then."""
    counted = [
        at
        for at, one in enumerate(things)
        if index - _MOST_BACK <= one.sentence <= index
        and one.kind == "part"
        and (one.count or 0) > 1
        and (one.sentence < index or one.end <= more.start())
    ]
    if more[1]:
        before = _ORDINALS[more[1].lower()] - 1
        counted = [at for at in counted if things[at].count == before]
    return counted[-1:]


def _counted(index: int, before: int, things: Sequence[Thing]) -> int | None:
    """Return which part is counted: of those named last one that is named as several, or alone."""
    for back in range(_FAR + 1):
        named = [
            at
            for at, one in enumerate(things)
            if one.sentence == index - back
            and one.kind == "part"
            and one.confidence > FAINT
            and (back or one.end <= before)
        ]
        if named:
            several = [at for at in named if is_many(things[at])]
            alone = len(named) == 1 and not back
            at = several[-1] if several else named[0] if alone else None
            return at if at is not None and things[at].count is None else None
    return None
