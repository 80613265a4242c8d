"""The part that "that" and "it" point at, where something is told to become of it."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence

from author.proposals.language.verbs import is_work
from author.proposals.things.named import FAINT, Thing, is_many

_FAR = 4
"""Sentences back to which "that" may point where none between them names a part."""
_BEGINS = 4
"""Words within which a sentence names what it is about."""


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
        fit = [one for one in here if many in (None, several(things[one]))]
        if many and not fit:
            return None
        fit = fit or here
        fit = [one for one in fit if not is_origin(texts[at], things[one].begin)] or fit
        opening = [one for one in fit if len(texts[at][: things[one].begin].split()) < _BEGINS]
        return (opening or fit)[0 if opening else -1]
    return None


def is_origin(text: str, at: int) -> bool:
    """Whether a part is only named as what another came off: "the belt comes off the pulley".

    In "take off the cover" it is what comes off.

    Args:
        text: the sentence.
        at: where the name of the part begins.
    """
    found = _ORIGIN.search(text[:at])
    return found is not None and bool(found["named"] or not is_work(found["before"].lower()))


_ORIGIN = re.compile(
    r"(?P<named>\b(?:the|an?|its|your|this|that|old|new) )?(?P<before>[\w'-]+) "
    r"(?:right |straight |clean )?(?:off of|off|out of|from) (?:(?:the|its|your|their|a|an) )?$",
    re.IGNORECASE,
)


def is_spared(text: str, at: int) -> bool:
    """Whether a part is only named for the harm that may come to it: "you scratch the seat".

    Args:
        text: the sentence.
        at: where the name of the part begins.
    """
    return _SPARED.search(STOP.split(text[:at])[-1]) is not None


STOP = re.compile(r"[.;:!?](?!\d)|,? (?:so|and so)\b")
"""Where a clause ends, or what comes of it begins."""
_SPARED = re.compile(
    r"\b(?:don't|do not|never|otherwise|or|because|you'll|you|it'll|it|that)(?: will| would| can)?"
    r" (?:scratch|scratches|damage|damages|mark|marks|score|scores|break|breaks|bend|bends|crack"
    r"|nick|nicks|hit|touch|ruin|ruins|tear|tears|strip|round)\b",
    re.IGNORECASE,
)


def several(thing: Thing) -> bool:
    """Whether more than one is named.

    Args:
        thing: what is named.
    """
    return (thing.count or 1) > 1 or is_many(thing)
