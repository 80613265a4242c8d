"""A mark with all that belongs to it: its case, what is then done, its reason, what it names."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from author.proposals.kinds.marks import Marked
from author.proposals.orders.lists import list_end
from author.proposals.speech.spoken import Sentence
from author.proposals.steps.mistakes import with_mistake
from author.proposals.steps.told_orders import decision_end, only_if
from author.proposals.steps.whole_warnings import whole_warning

_ONLY_BECAUSE = re.compile(r"\W*(?:be)?(?:cause|cos|cuz|coz|so that|otherwise)\W*", re.IGNORECASE)
# "The earth wire must be on before you plug it in": what has to be so is told first.
_STATE_BEFORE = re.compile(
    r"(?:(?:and|so|but|now|also),? )*(?P<state>(?:the|your|that|this|all|both|every) "
    r"(?:[\w-]+ ){1,5}?(?:must|has to|have to|should|needs to|need to|hasta|hafta) be "
    r"(?:[\w-]+ ){1,4}?)(?P<when>before (?:you|we|anyone|it|they|the)\b)",
    re.IGNORECASE,
)
ONLY_WHEN = re.compile(
    r"\W*before (?:you|we) (?:even )?(?:start|begin|get started)\W*", re.IGNORECASE
)
"""When it is to be done, and not what: "pull the plug out of the wall before you start"."""


def in_full(mark: Marked, said: Sequence[Sentence], others: Sequence[Marked]) -> Marked:
    """Return what is told with its case, with what is then done, with all that it names.

    Args:
        mark: a kind of a clause.
        said: what was said.
        others: all marks of its sentence.
    """
    text = said[mark.sentence].text
    if mark.kind == "decision":
        return _whole(mark, said, others)
    if mark.kind == "prerequisite" and ONLY_WHEN.fullmatch(mark.text):
        whole = text.rstrip(" .!?")
        return replace(mark, begin=0, end=len(whole), text=whole)
    state = _STATE_BEFORE.match(text) if mark.kind == "order" else None
    if state is not None and state.start("when") == mark.begin:
        begin = state.start("state")
        return replace(mark, begin=begin, text=text[begin : mark.end])
    if mark.kind == "reason" and _ONLY_BECAUSE.fullmatch(mark.text):
        return _told_behind(mark, text, others)
    if mark.kind == "inspection":
        end = list_end(text, mark.begin, mark.end)
        return replace(mark, end=end, text=text[mark.begin : end])
    cased = _in_its_case(mark, said, others)
    full = whole_warning(text, mark, others) if cased is mark else cased
    return with_mistake(text, full, others)


def _told_behind(mark: Marked, text: str, others: Sequence[Marked]) -> Marked:
    """Return a reason with its words, where a case parts them: "because if you drag it, …"."""
    ends = [one.end for one in others if one.begin >= mark.end]
    end = min(ends, default=len(text.rstrip(" .!?")))
    return replace(mark, end=end, text=text[mark.begin : end])


def _whole(mark: Marked, said: Sequence[Sentence], others: Sequence[Marked]) -> Marked:
    """Return a decision with what is then done: it may be told in clauses of its own."""
    end = decision_end(said, others, mark)
    return replace(mark, end=end, text=said[mark.sentence].text[mark.begin : end])


def _in_its_case(mark: Marked, said: Sequence[Sentence], others: Sequence[Marked]) -> Marked:
    """Return a warning with the case it is told for: "if you see one bubble, shut it off"."""
    if mark.kind not in {"hazard", "damage"}:
        return mark
    for one in others:
        if one.kind == "decision" and only_if(one.text):
            whole = _whole(one, said, others)
            if whole.begin < mark.begin < whole.end:
                return replace(
                    whole, kind=mark.kind, confidence=mark.confidence, reason=mark.reason
                )
    return mark


_OTHERWISE = re.compile(r"\b(?:otherwise|or else|or)\W*$", re.IGNORECASE)


def as_reason(text: str, said: str) -> str:
    """Return a reason with the word that ties it: "otherwise it leaks".

    Args:
        text: the reason, as a sentence.
        said: what was said up to its end.
    """
    tied = _OTHERWISE.search(said[: len(said) - len(text)])
    return f"Otherwise {text[:1].lower()}{text[1:]}" if tied else text
