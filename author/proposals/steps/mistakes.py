"""Words that sound like an order and tell a mistake, or what an order is for."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from author.proposals.kinds.marks import Marked

_HARMS = frozenset({"hazard", "damage"})
WILL = re.compile(r"(?:and |or )*(?:you'll|you will|you're (?:gonna|going to))\b", re.IGNORECASE)


def comes_of_it(text: str, mark: Marked, harms: Sequence[Marked]) -> bool:
    """Whether words tell a mistake, or what comes of one: "leave it loose and it'll blow off"."""
    if WILL.match(mark.text) and any(one.begin <= mark.begin < one.end for one in harms):
        return True
    return any(is_mistake(text, mark, one) for one in harms)


def is_mistake(text: str, mark: Marked, harm: Marked) -> bool:
    """Whether what is told to be done only leads to a harm: "leave it loose and it'll blow off".

    Args:
        text: the sentence.
        mark: what is told to be done in it.
        harm: a warning in it.
    """
    comes = _AND_IT_WILL.match(text, mark.end)
    if comes is None or _DROPS_OUT.match(text, comes.end()):
        return False
    return mark.end <= harm.begin <= comes.end()


_AND_IT_WILL = re.compile(
    r",? and (?:it|you|they|that|this|the [\w-]+)(?:'ll| will| might|'s g(?:oing to|onna)"
    r"|'re g(?:oing to|onna))\b ?",
    re.IGNORECASE,
)
# "Undo the clip and it'll drop straight out" is meant to be.
_DROPS_OUT = re.compile(
    r"(?:just |probably )?(?:drop|come|fall|slide|lift|pop|slip|pull)\b[\w ]*?\b"
    r"(?:out|off|away|free|apart|clear|down)\b",
    re.IGNORECASE,
)


def warns_of_itself(words: str) -> bool:
    """Whether words that begin like an order tell what comes of it: "snap it and you'll …"."""
    found = _AND_IT_WILL.search(words)
    if found is None or _DROPS_OUT.match(words, found.end()):
        return False
    return not set(",;:") & set(words[: found.start()])


def with_mistake(text: str, mark: Marked, others: Sequence[Marked]) -> Marked:
    """Return a warning with what it warns of: "leave it loose and it'll blow off".

    Args:
        text: the sentence.
        mark: the warning.
        others: all that was found in the sentence.
    """
    for one in others:
        if mark.kind in _HARMS and one.kind == "action" and is_mistake(text, one, mark):
            return replace(mark, begin=one.begin, text=text[one.begin : mark.end])
    return mark


def only_tells_mistake(text: str, mark: Marked, others: Sequence[Marked]) -> bool:
    """Whether a point or a reason only tells what is warned of; see ``with_mistake``."""
    if mark.kind not in {"orientation", "order", "reason"}:
        return False
    wholes = (with_mistake(text, one, others) for one in others if one.kind in _HARMS)
    return any(one not in others and one.begin <= mark.begin < one.end for one in wholes)


def is_purpose(text: str, mark: Marked, marks: Sequence[Marked]) -> bool:
    """Whether words tell what an order is for: "count them, so you put eight back"."""
    lead = text[: mark.begin].rstrip()
    if not _SO_YOU.match(mark.text) and not (lead.endswith(" so") and _YOU.match(mark.text)):
        return _SO_THAT.search(f"{lead} ") is not None
    if _NEEDED.match(mark.text):
        return False
    return any(one.kind == "action" and one.end <= mark.begin for one in marks)


_SO_YOU = re.compile(r"so (?:that )?(?:you|they|it)\b", re.IGNORECASE)
_YOU = re.compile(r"(?:you|they|it)\b", re.IGNORECASE)
_SO_THAT = re.compile(r"\bso (?:that )?(?:you|they|it|we) (?:can|can't|could|don't|won't) $", re.I)
_NEEDED = re.compile(
    r"(?:so )?(?:that )?(?:you|they|it) (?:need|want|have to|hafta|gotta|must|should|needa|wanna)",
    re.IGNORECASE,
)
