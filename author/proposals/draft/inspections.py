"""What is looked at in a step: what to look for and what is accepted, told in one or two breaths.

A number that was heard stands as a limit of its own and a condition as a decision; neither is told
a second time as something to look at.
"""

from __future__ import annotations

import re
from collections.abc import Sequence, Set
from dataclasses import dataclass
from decimal import Decimal

from author.proposals.proposal import Proposal

_BREATH = Decimal(6)
"""Seconds within which what is accepted is said after what to look at."""
_ACCEPTS = re.compile(
    r"\b(?:no|not|should(?:n't)?|must(?:n't)?|free|freely|smooth|smoothly|clean|flat|straight|tight|"
    r"within|fine|good|without|nothing|click|clicks)\b",
    re.IGNORECASE,
)
_MEASURES = re.compile(
    r"\b(?:measure|gauge|mike|check|put the (?:dial|indicator|clock|mike|micrometer|calipers?|"
    r"gauge|meter))\b",
    re.IGNORECASE,
)
_GOING_TO = re.compile(r"^(?:i'm|we're|i am|we are) (?:gonna|going to) ", re.IGNORECASE)
_FOUND = re.compile(
    r"^(?:mine|this one|that one|ours|gives me|gave me|i(?:'ve)? (?:get|got|have|had)|"
    r"we (?:get|got)|you get|you'll get)\b",
    re.IGNORECASE,
)
# What was decided on the film about this unit.
_DECIDED = re.compile(
    r"\b(?:is scrap|are scrap|in the bin|that'll do|going back|reuse|didn't check|"
    r"gets? replaced)\b",
    re.IGNORECASE,
)
# "If you have no float at all the bearing runs hot": a reason or a decision, nothing to look at.
# "Until there are no more bubbles" is told with what is done.
_IF = re.compile(r"(?:and |but |so )*(?:if|when|once|unless|until|till|til)\b", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Inspection:
    """Something looked at, felt or heard, with as much of it as was said.

    Attributes:
        proposals: what it is made of, in the order said.
        look_for: what to look for; empty where that was not said.
        accept: what is accepted; empty where that was not said.
    """

    proposals: tuple[Proposal, ...]
    look_for: str
    accept: str


def inspections(about: Sequence[Proposal], accepted: Set[str] = frozenset()) -> list[Inspection]:
    """Return what is looked at in one step, each thing once.

    Args:
        about: all that is proposed of the step, in the order said.
        accepted: ids of those that a person has accepted, which are never left out.
    """
    numbers = [p for p in about if p.kind == "measurement"]
    others = [p for p in about if p.kind == "decision"]
    found: list[Inspection] = []
    for each in about:
        if each.kind != "inspection":
            continue
        if each.id not in accepted and _is_told(each, numbers, others):
            continue
        text = _GOING_TO.sub("", each.text)
        look, accept = ("", text) if _ACCEPTS.search(text) else (text, "")
        last = found[-1] if found else None
        if last is not None and accept and not last.accept and _in_one_breath(last, each):
            found[-1] = Inspection((*last.proposals, each), last.look_for, accept)
        else:
            found.append(Inspection((each,), look, accept))
    return found


def _is_told(each: Proposal, numbers: Sequence[Proposal], decisions: Sequence[Proposal]) -> bool:
    if _FOUND.match(each.text) or _IF.match(each.text) or _DECIDED.search(each.text):
        return True
    if any(each.overlaps(one) for one in (*numbers, *decisions)):
        return True
    # "Check the runout between centres", and the number comes in the next breath.
    behind = [n for n in numbers if n.recording == each.recording and n.start >= each.end]
    return bool(_MEASURES.search(each.text) and behind and behind[0].start - each.end <= _BREATH)


def _in_one_breath(before: Inspection, each: Proposal) -> bool:
    last = before.proposals[-1]
    return last.recording == each.recording and each.start - last.end <= _BREATH
