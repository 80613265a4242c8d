"""What the technician says at the beginning that the job and its machine are."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from author.procedure.times import clock_text
from author.proposals.draft.lines import line, unwritten
from author.proposals.language.verbs import base_of_going
from author.proposals.proposal import Proposal

# "Today we change the shaft seal", "this is the wash-down pump behind the bottle line".
_ANNOUNCES = re.compile(
    r"\b(?:today|this is (?:the|an?)|what we(?:'ve| have)? got|we're (?:doing|gonna|going to|"
    r"changing|replacing)|so this|in this (?:one|video))\b",
    re.IGNORECASE,
)
_OPENING = 60
"""Seconds within which a film tells what it is about."""
_ANNOUNCED = 240
_FIRST = 10
"""Seconds within which most name machine and job, whatever words they begin with."""
_TITLE = 120
_ENDS = (
    r"(?=[,.;:!?]|$| (?:out of|off|and (?:it|it's|she|we|i|they)|with|for|from|behind|that|"
    r"which|it|its|it's|she|we|we're|we've|i|i'm|has|have|is|are|needs?|here|so|because|today)\b)"
)
# "This is the organ blower", "what we've got here is a forty ton shop press"
_MACHINE = re.compile(
    r"\b(?:this is|what (?:we|i)(?:'ve| have) got(?: here)? is|we've got) (?:the|an?|our|my) "
    rf"(?!same\b|old one\b|new one\b|one\b|bit\b)(?P<name>[\w][\w' -]{{3,60}}?){_ENDS}",
    re.IGNORECASE,
)
_NO_MACHINE = re.compile(
    r"\b(?:one|bit|job|video|film|time|place|kind|sort|part|day|way|question|story|problem|thing|"
    r"mess|first|last|second|next|leak|noise|fault|complaint|customer)$",
    re.IGNORECASE,
)
# "Today we change the vanes of the vacuum pump", "we're doing the seal on a bench drill"
_JOB = re.compile(
    r"\b(?:today,? (?:we|i)(?:'re|'m|'ll| are| am| will)?|(?:we|i)(?:'re|'m| are| am))"
    r"(?: just)?(?: going to| gonna)? (?P<verb>do|doing|make|making|chang(?:e|ing)|replac(?:e|ing)|"
    r"renew(?:ing)?|rebuild(?:ing)?|reseal(?:ing)?|swap(?:ping)?|servic(?:e|ing)|repair(?:ing)?|"
    r"overhaul(?:ing)?|reline|relining|fit(?:ting)?)(?: out)? (?P<what>(?:the|an?|these|this|both) "
    rf"[\w' -]{{3,80}}?){_ENDS}",
    re.IGNORECASE,
)
# "A tarnwick 40 | the lower unit": what is told behind is no part of a machine's name.
_ANOTHER = re.compile(r" (?:and )?(?:the|an?|its) .*", re.IGNORECASE)
_DOES = frozenset({"do", "doing", "make", "making"})
_ARTICLE = re.compile(r"^(?:the|an?|these|this|both) ", re.IGNORECASE)
_ON_IT = re.compile(r" (?:on|of|in|for|from) (?:an?|the|this|that|our|my) ", re.IGNORECASE)
_TIE_BEHIND = re.compile(r"\W*(?:and|or|the|a|of|on)?$", re.IGNORECASE)


def announced_words(proposals: Sequence[Proposal]) -> str:
    """Return what the technician said the job is, as words to write the purpose by.

    Args:
        proposals: all that is proposed.
    """
    told = _announced(proposals)
    if told is None:
        return ""
    return f"; said at {clock_text(told.start)}: “{line(told.said, _ANNOUNCED)}”"


def announced_title(proposals: Sequence[Proposal]) -> str | None:
    """Return a title to be confirmed, in the words by which machine and job are announced.

    Args:
        proposals: all that is proposed.

    Returns:
        None where neither is named in a form that tells where its name ends.
    """
    told = _announced(proposals)
    if told is None:
        return None
    job, machine = _JOB.search(told.said), _machine(told.said)
    if job is None:
        return unwritten(f"confirm the title: {_capital(machine)}") if machine else None
    what = job["what"].replace(" this ", " the ").strip()
    verb = job["verb"].lower()
    if verb in _DOES:
        work = _capital(_ARTICLE.sub("", what))
    else:
        work = f"{_capital(base_of_going(verb) or verb)} {what}"
    if machine and not _ON_IT.search(what):
        work = f"{_capital(machine)}: {work[:1].lower()}{work[1:]}"
    return unwritten(f"confirm the title: {line(work, _TITLE)}")


def _machine(said: str) -> str:
    found = _MACHINE.search(said)
    name = _TIE_BEHIND.sub("", _ANOTHER.sub("", found["name"])) if found else ""
    return "" if _NO_MACHINE.search(name) else name


def _capital(words: str) -> str:
    return words[:1].upper() + words[1:]


def _announced(proposals: Sequence[Proposal]) -> Proposal | None:
    """Return what announces the job, said right at the beginning."""
    opening = [p for p in proposals if p.start < _OPENING]
    talk = [p for p in opening if p.kind in {"preview", "chatter"}]
    first = next((p for p in talk if p.start < _FIRST), None)
    # Who begins to work in the same breath has a step of which that is the first sentence.
    begun = [
        replace(p, said=re.split(r"(?<=[.!?])\s", p.said)[0]) for p in opening if p.kind == "step"
    ]
    return next((p for p in (*talk, *begun[:1]) if _ANNOUNCES.search(p.said)), first)
