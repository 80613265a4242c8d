"""Of which part a number is told: the torque of the cover bolts, the length of the rod."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

from author.proposals.language.fasteners import is_fastener
from author.proposals.language.word_forms import singular
from author.proposals.quantities.reading import SpokenQuantity
from author.proposals.speech.spoken import Sentence
from author.proposals.things.named import PASSING, Thing

# Besides fasteners, what has a thread of its own and is tightened by torque.
_SCREWED = frozenset({"cap", "fitting"})
# Screwed by their own nut, where nothing else is named: "hoses on, forty five".
_WITH_THREADS = frozenset(
    {"hose", "pipe", "union", "coupling", "gland", "injector", "sensor", "plug", "tube", "nozzle",
     "elbow", "adaptor", "adapter", "valve", "nipple", "switch", "sender", "filter", "line"}
)  # fmt: skip
# What shows a number is not what it is told of: "watch the needle. Six thou".
_SHOWING = frozenset({"needle", "pointer", "dial", "display", "screen", "readout", "hand"})
_OF_NO_PART = frozenset({"time", "turns", "mass", "volume", "temperature", None})
_BACK = 2
"""Sentences before that of a number in which its part may have been named."""


def parts_by_sentence(things: Sequence[Thing]) -> dict[int, list[Thing]]:
    """Return the parts named in each sentence, in the order they are said."""
    found: dict[int, list[Thing]] = {}
    for thing in things:
        shows = singular(thing.name.split()[-1].lower()) in _SHOWING
        if thing.kind == "part" and thing.confidence > PASSING and not shows:
            found.setdefault(thing.sentence, []).append(thing)
    return found


def of_which_part(
    each: SpokenQuantity, parts: Mapping[int, Sequence[Thing]], said: Sequence[Sentence]
) -> str | None:
    """Return the name of the part that a number is told of, or None where words do not tell.

    A torque is of the fastener named last before it, else of the one behind it; any other number
    without a characteristic of its own is of the part named before it.

    Args:
        each: the number.
        parts: parts by the index of their sentence.
        said: what was said.
    """
    told = parts.get(each.sentence, ())
    if each.quantity in _OF_SUBJECT and (subject := _subject(each, told, said)):
        return subject
    if each.role in {"thread", "size"} or each.quantity in _OF_NO_PART:
        return None
    torque = each.quantity == "torque"
    if not torque and each.characteristic:
        return None
    here = [one for one in parts.get(each.sentence, ()) if not torque or _is_fastener(one)]
    before = [one for one in here if one.end <= each.begin]
    text = said[each.sentence].text
    # "The shaft where the seal runs": of the shaft.
    before = [one for one in before if not _WHERE.search(text, 0, one.begin)] or before
    behind = [one for one in here if one.begin >= each.end]
    own = _of_its_own(text, each, told) if torque else None
    if own or before:
        return own or before[-1].name
    if torque and (beside := _beside(each, parts.get(each.sentence, ()), said)):
        return beside
    if torque and behind:
        return behind[0].name
    for index in range(each.sentence - 1, max(-1, each.sentence - 1 - _BACK), -1):
        if said[index].recording != said[each.sentence].recording:
            break
        there = [one for one in parts.get(index, ()) if not torque or _is_fastener(one)]
        if there:
            return there[-1 if torque else 0].name
    return None


_WHERE = re.compile(r"\bwhere (?:the|your|that|both|its) $", re.IGNORECASE)


_OF_SUBJECT = frozenset({"torque", "temperature"})
_FIRST = re.compile(r"(?:(?:and|so|now|then|the|that|this|your|both|all) ?)*", re.IGNORECASE)
_TAKES = re.compile(
    r" (?:only |just |always )?(?:wants?|takes?|gets?|needs?|shouldn't|should|must|mustn't|stays?|"
    r"is|are|goes? (?:up )?to)\b[^,.;]*",
    re.IGNORECASE,
)


def _subject(each: SpokenQuantity, parts: Sequence[Thing], said: Sequence[Sentence]) -> str | None:
    """Return what a sentence is about that tells its value: "the bleed nipple only wants six"."""
    text = said[each.sentence].text
    for part in parts:
        first = part.end <= each.begin and _FIRST.fullmatch(text, 0, part.begin)
        # "Sprocket bolts are a hundred and ten and the cover bolts are only twenty"
        nearer = any(part.end <= one.begin and one.end <= each.begin for one in parts)
        if first and not nearer and _TAKES.fullmatch(text, part.end, each.begin):
            return part.name
    return None


def _of_its_own(text: str, each: SpokenQuantity, parts: Sequence[Thing]) -> str | None:
    """Return the thing that stands alone before its torque: "nuts to 23, pipe to 15"."""
    for part in parts:
        if _ALONE.search(text, 0, part.begin) and _TO.fullmatch(text, part.end, each.begin):
            return part.name
    return None


_ALONE = re.compile(r"(?:^|[,;] )(?:(?:and|then|so|the|your) )*$", re.IGNORECASE)
_TO = re.compile(r" (?:to|at|get|gets|up to) ", re.IGNORECASE)


def _beside(each: SpokenQuantity, parts: Sequence[Thing], said: Sequence[Sentence]) -> str | None:
    """Return what has a thread of its own and is named right before a torque: "hoses on, 45"."""
    text = said[each.sentence].text
    for part in reversed(parts):
        if part.end <= each.begin:
            joined = singular(part.name.split()[-1].lower()) in _WITH_THREADS
            near = _RIGHT_BEFORE.fullmatch(text, part.end, each.begin)
            at_once = text[part.end : each.begin] in {" ", ", "}  # "axle sixty-five"
            return part.name if at_once or (joined and near) else None
    return None


_RIGHT_BEFORE = re.compile(
    r"(?:[\s,;:–—-]|\b(?:on|in|back|and|then|that|that's|which|it|they|gets?|goes|go|to|at|is|are|"
    r"now|up|tight|with|about|a|each|both)\b)*",
    re.IGNORECASE,
)


def _is_fastener(thing: Thing) -> bool:
    return is_fastener(thing.name) or singular(thing.name.split()[-1].lower()) in _SCREWED
