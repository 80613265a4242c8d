"""Which parts are called new where no order to fit them is told: "new bearings, new lip seal"."""

from __future__ import annotations

import re
from collections.abc import Sequence

from author.proposals.things.named import Thing
from author.proposals.things.ordering import Ordered
from author.proposals.things.renewed import is_later, is_the_job, told_by_place

_NEW = re.compile(r"\b(?:brand )?new (?:set|pair|lot)? ?(?:of )?(?:one of )?$", re.IGNORECASE)
# "It wants a new armature", "or it's a new drum", "the new limit": what something would mean.
_IN_CASE = re.compile(
    r"\b(?:if|unless|when|once|otherwise|or|over|under|past|more than|less than|beyond|any|"
    r"anything|wants?|needs?|means?|it's|that's|they're|cracked|scored|worse|time for|like|as)\b",
    re.IGNORECASE,
)
_IT_IS = re.compile(r"^(?:that|it|they)(?:'s|'re) ", re.IGNORECASE)
_IF = re.compile(r"\b(?:if|unless|when|once|otherwise|any|anything|would|might)\b", re.IGNORECASE)
# "Always clean the new seal": what is done with it tells how it is got.
_HANDLED = re.compile(r"\balways [a-z]+ (?:the|your|a) (?:new )?$", re.IGNORECASE)
_STOP = re.compile(r"[.;:!?](?!\d)")


def called_new(texts: Sequence[str], things: Sequence[Thing]) -> dict[int, Ordered]:
    """Return the parts of which a new one is told of, by their index, and whether in any case.

    Args:
        texts: the sentences.
        things: parts, tools and supplies, in the order said; those that are parts are looked at.
    """
    found: dict[int, Ordered] = {}
    for at, thing in enumerate(things):
        if thing.kind != "part":
            continue
        before = texts[thing.sentence][: thing.begin]
        if is_the_job(before, thing.sentence):
            found[at] = "always"
        elif _is_new(texts[thing.sentence], thing) and not _HANDLED.search(before):
            behind = _STOP.split(texts[thing.sentence][thing.end :])[0]
            opens = " ".join(before.split()[:3])  # "next year it gets a new belt"
            in_case = _is_in_case(_STOP.split(before)[-1]) or is_later(behind) or is_later(opens)
            found[at] = "in_case" if in_case else "always"
    job = [
        at
        for at in found
        if is_the_job(texts[things[at].sentence][: things[at].begin], things[at].sentence)
    ]
    for at, those in told_by_place(job, things).items():
        del found[at]
        found |= dict.fromkeys(those, "always")
    return found


def _is_in_case(clause: str) -> bool:
    """Whether a new one is told of only for a case; "it's bent, so a new one" was found so."""
    before, so, behind = clause.rpartition(" so ") if " so " in clause else ("", "", clause)
    if so and _IF.search(before):
        return True
    return _IN_CASE.search(_IT_IS.sub("", behind) if so else behind) is not None


def _is_new(text: str, thing: Thing) -> bool:
    """Whether "new" stands before a name or is its first word: "new lip seal"."""
    own = thing.name.lower().startswith("new ") or text[thing.begin :].lower().startswith("new ")
    return own or _NEW.search(text[: thing.begin]) is not None
