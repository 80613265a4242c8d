"""Points of a step: how a part lies and what comes before what, as far as words tell it."""

from __future__ import annotations

import re
from collections.abc import Sequence, Set

from author.proposals.proposal import Proposal

_SAYS_ONLY_WHEN = re.compile(r"(?:before|after|once|when|while)\b[^,]*$", re.IGNORECASE)
# "So you know which way it goes back" is what a mark is for, "first thing is always the same" how
# a job begins, "as they came out" a piece of an order.
_TELLS_NONE = re.compile(
    r"(?:so )?(?:you|we|i)(?:'ll| can)?(?: always)? (?:know|see|tell|remember) which (?:way|one|"
    r"side)\b"
    r".*|(?:the )?first thing(?:'s| is)(?: always)? .*\bsame|(?:exactly )?as (?:it|they|the [\w-]+)"
    r" (?:came|come)(?: out| off| apart)?",
    re.IGNORECASE,
)
# "From the plate to the needle point you want ten and a half": from where it is measured.
_FROM_TO = re.compile(r"(?:and )?from (?:the|your) [\w -]+ to (?:the|your) ", re.IGNORECASE)
# "I've got point seven at the top and point eight at the bottom"
_I_READ = re.compile(
    r"(?:and )?(?:(?:i|we)(?:'ve| have)? (?:got|have|get|read)|mine|ours|this one)\b", re.IGNORECASE
)


def points_told(
    about: Sequence[Proposal], warnings: Sequence[Proposal], accepted: Set[str]
) -> list[Proposal]:
    """Return the points of one step, in the order said.

    Args:
        about: all that is proposed of the step.
        warnings: the warnings that stand in the draft; what one tells is no point as well.
        accepted: ids of what a person has accepted, which is never left out.
    """
    told = [p for p in about if p.kind in {"orientation", "order"}]
    return [p for p in told if p.id in accepted or not _is_none(p, about, warnings)]


def _is_none(each: Proposal, about: Sequence[Proposal], warnings: Sequence[Proposal]) -> bool:
    if _SAYS_ONLY_WHEN.match(each.text) or _TELLS_NONE.fullmatch(each.text):
        return True
    if any(p.overlaps(each) and each.said in p.said for p in warnings):
        return True
    counted = any(p.kind == "count" and p.said == each.said and p.overlaps(each) for p in about)
    if each.kind == "orientation" and counted:
        return True  # "three long studs right through"
    beside = [p for p in about if p.kind == "measurement" and p.overlaps(each)]
    if any(p.detail("role") == "measured" for p in beside) and _I_READ.match(each.text):
        return True
    return bool(beside) and _FROM_TO.match(each.text) is not None
