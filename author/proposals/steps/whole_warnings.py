"""Warnings with all that holds them: when they hold, and what comes of it.

"Don't touch the hook till you've done that" forbids nothing once it is done, and "never vertical,
or the bearings run dry" tells why.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from author.proposals.kinds.marks import Marked

_HARM = frozenset({"hazard", "damage"})
_FORBIDS = re.compile(
    r"(?:and |but |so |now |just )*(?:don't|do not|never|no|not|nobody|nothing|keep|stay|mustn't|"
    r"always)\b",
    re.IGNORECASE,
)
_WHEN = re.compile(
    r"(?:,? (?:till|until|if|while|when|unless|before|without|once|as long as)\b"
    r"| (?:that's|that is|that are|which is) (?:held|supported|propped|hung|only|still|not|live|"
    r"hot|moving|turning|running)\b)[^,.;:!?]*",
    re.IGNORECASE,
)
_WHY = re.compile(
    r"(?:, not (?:even|for)\b[^,.;:!?]*)?"
    r"(?:,? (?:or else|or|otherwise)\b(?! (?:a|an|any|the) \w+ or\b)"
    r"|, (?:as|since|because) (?=(?:it|they|you|the)\b[^.;]*(?:\bwill|\bcan|'ll)\b))[^.;:!?]*",
    re.IGNORECASE,
)
# "No grease and no oil, rubber swells up", "don't force it, the lugs will snap"
_COMES = re.compile(
    r", (?:it|they|that|you|he|she|everything|(?:the|this|that|those|these|your) [\w-]+|[A-Za-z-]+)"
    r"(?:'ll|'re gonna| will| can| could| might| goes| (?:swell|crack|break|melt|burn|split|soften|"
    r"rot|snap|shatter|leak|strip|tear|run|fall)s?)\b[^.;:!?]*",
    re.IGNORECASE,
)
_ONLY_HARM = re.compile(
    r"(?:because|'cause|cos|since) |(?:or |'cause |because |cos )?(?:it|they|that|you|"
    r"he|she|(?:the|those|these|this|that) [\w-]+)(?:'ll|'re gonna| will| could)\b",
    re.IGNORECASE,
)
# "You scratch that groove and it'll leak forever"
_YOU = re.compile(r"(?:and |but |so )*you \w+", re.IGNORECASE)
_AND_THEN = re.compile(
    r" and (?:it|they|that|you|the [\w-]+)(?:'ll|'re|'s| will| goes| gets)\b[^.;:!?]*",
    re.IGNORECASE,
)
_FORBIDDEN = re.compile(r"(?:^|\b(?:but|and|so) )(?:don't|do not|never) \w+ ", re.IGNORECASE)
_BECAUSE = re.compile(r"(?:because|'cause|cos|since) ", re.IGNORECASE)
_NEAR = re.compile(r" (?:before|until|when|while|after)\b[^.;:]{1,60}")
_BETWEEN = re.compile(r", (?:or |because |'cause |cos )?|,? (?:or|because|'cause|cos) ")


def whole_warning(text: str, mark: Marked, others: Sequence[Marked]) -> Marked:
    """Return a warning with when it holds, what comes of it, and the order it is told for.

    Args:
        text: the sentence.
        mark: the warning.
        others: what else is told in the sentence.
    """
    if mark.kind not in _HARM:
        return mark
    starts = [one.begin for one in others if one.kind in _HARM and one.begin >= mark.end]
    stop = min(starts, default=len(text))
    end = mark.end
    if _FORBIDS.match(mark.text):
        for pattern in (_WHEN, _WHY, _COMES):
            found = pattern.match(text, end, stop)
            if found is not None:
                end = found.end()
    if _YOU.match(mark.text) and (found := _AND_THEN.match(text, end, stop)):
        end = found.end()
    begin = mark.begin
    start = _clause_begin(text, begin)
    if _FORBIDDEN.search(text[start:begin]):
        begin = start  # "don't take the | screws right out"
    elif _ONLY_HARM.match(mark.text):
        begin = next(
            (_clause_begin(text, one.begin) for one in others
             if one.kind in _ORDERED and one.end <= begin
             and (_BETWEEN.fullmatch(text[one.end : begin])
                  or (_BECAUSE.match(mark.text) and _NEAR.fullmatch(text[one.end : begin])))),
            begin,
        )  # fmt: skip
    told = text[begin:end].rstrip(" ,;:")
    return replace(mark, begin=begin, end=begin + len(told), text=told)


_ORDERED = frozenset({"action", "inspection"})


def _clause_begin(text: str, at: int) -> int:
    """Return where the clause begins that a place belongs to: "don't take the | screws out"."""
    begin = max(text.rfind(sign, 0, at) for sign in ",;:.") + 1
    return begin + len(text[begin:at]) - len(text[begin:at].lstrip())
