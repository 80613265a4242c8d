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
    r"rot|snap|shatter|leak|strip|tear|run|fall)s?| never (?:gets|goes|comes|reaches|dries|sets|"
    r"holds))\b[^.;:!?]*",
    re.IGNORECASE,
)
_ONLY_HARM = re.compile(
    r"(?:because|'cause|cos|since) |(?:or |'cause |because |cos )?(?:it|they|that|you|"
    r"he|she|(?:the|those|these|this|that) [\w-]+)(?:'ll|'re gonna| will| could)\b"
    # "Use some tape over the threads so | you don't cut the seal", "by the lug, not by the tube"
    r"|(?:so (?:that )?)?(?:you|it|they) (?:don't|doesn't|won't) (?:cut|scratch|damage|tear|nick|"
    r"burn|lose|drop|break|bend|strip|crush|pinch|trap|mark|crack|split|score|hurt)\b"
    r"|not (?:by|on|from|under|against) the [\w-]+$",
    re.IGNORECASE,
)
# "You scratch that groove and it'll leak forever"
_YOU = re.compile(r"(?:and |but |so )*you \w+", re.IGNORECASE)
_AND_THEN = re.compile(
    r" and (?:it|they|that|you|the [\w-]+)(?:'ll|'re|'s| will| goes| gets)\b[^.;:!?]*",
    re.IGNORECASE,
)
# "If you take out one bolt completely, the plate tips and takes your finger"
_CASE = re.compile(
    r"(?:(?:and|but|so|because) )*(?:if|when|once|as soon as|the moment) [^,.;:]{4,80}, ?(?:then "
    r")?$",
    re.IGNORECASE,
)
# "Pack it a third full, no more, or it'll run hot": what there is no more of stands before.
_NO_MORE = re.compile(
    r"(?:no|not|never|nothing) (?:more|less|further|harder|tighter|higher|longer|else)\b|"
    r"because too much\b",
    re.IGNORECASE,
)
_SIGN, _STOP = re.compile(r"[,;:.](?!\d)"), re.compile(r"[.;!?:](?!\d)")
_COMES_OF_IT = re.compile(r"\b(?:or|otherwise|because|it|it's|they|they're)\b", re.IGNORECASE)
_NO_MORE_BEHIND = re.compile(
    r", (?:no|not|never) (?:more|less|further|harder|tighter|higher|longer)\b[^,.;:!?]*",
    re.IGNORECASE,
)
# "These needles come up and they'll go through your hand", "the oil's hot and it'll burn you"
_WHAT_DOES = re.compile(
    r"(?:(?:so|but|and) )*(?:the|these|those|this|that|your|there's|there are|there is) "
    r"[^,.;:]{3,80} and $",
    re.IGNORECASE,
)
# "Then I wait five minutes, there are capacitors in there": what is done for it.
_DONE_FOR_IT = re.compile(
    r"(?:(?:so|and|then|now|first) )*(?:i|we|you) (?:always )?(?:wait|let|leave|keep|wear|put|use|"
    r"hold|"
    r"stay|lock|bleed|drain|switch|turn|cover|tie|prop|block)\b[^,.;:]{3,60}, $",
    re.IGNORECASE,
)
# "They shear", "it is plastic behind": why there is no more of what stands before.
_IT_SO = re.compile(
    r"(?:because |'cause )?(?:its|(?:it|they|that)(?:'s|'re|'ll| will)?) (?:[\w'-]+ ?){1,5}",
    re.IGNORECASE,
)
# "The screws only two newton metres, | it is plastic behind", "to no more than four | its plastic"
_ONLY_IN_FRONT = re.compile(
    r"(?:^|, |; )(?P<limit>[^,;:]*\b(?:only|no more than|not more than|at most|no tighter than|"
    r"not over|finger[- ]tight|hand[- ]tight|gently|lightly)\b[^,;:]{2,40}?,? ?"
    r"(?:because |'?cause )?)$",
    re.IGNORECASE,
)
_IS_OF = re.compile(
    r"(?:because |'cause )?(?:its|it's|it is|they're|they are|that's|that is) (?:only |all |just )?"
    r"(?:plastic|nylon|brass|alloy|aluminium|aluminum|cast|pot metal|glass|ceramic|fibre|soft|thin|"
    r"rubber)\b(?: \w+){0,2}",
    re.IGNORECASE,
)
# "I want that drum under forty degrees | before anybody goes in"
_WANTED = re.compile(
    r"(?:and |but |so |now )*(?:i|we|you) want (?:it|that|this|the|them|those|your)\b", re.I
)
# "1.2 newton metres, no more, it's plastic"
_LIMIT_IN_FRONT = re.compile(
    r"(?:^|, )(?P<limit>[^,;:]{2,60}, (?:no|not|never) (?:more|less|further|harder|tighter|"
    r"higher), )$",
    re.IGNORECASE,
)
# "Get a mate to help you, | it weighs about 18 kilos"
_HELP = re.compile(
    r"(?:^|, |\b(?:and|so|then) )(?P<do>(?:get|have|use|take|put|grab|ask|call|fetch) "
    r"[^,;:]*\b(?:mate|"
    r"help|helper|hoist|crane|somebody|someone|slings?|jack|hand|two|second|lift|trolley|strap)\b"
    r"[^,;:]{0,30}, (?:because |'?cause |as )?)$",
    re.IGNORECASE,
)
_WEIGHS = re.compile(
    r"(?:because |'?cause |as )?(?:it|they|she|he|that|this|that thing|the [\w-]+)(?:'s| is|'re| "
    r"are| "
    r"weighs?)\b.*\b(?:kilos?|kg|pounds|lbs?|tons?|tonnes?|stone|hundredweight|heavy|weight)\b",
    re.IGNORECASE,
)
# "Brass tweezers, not steel, steel is magnetic and | you'll chase it all night"
_NOT_THAT = re.compile(
    r"(?:^|, |\b(?:and|so) )(?P<do>[^,;:]{3,40}, (?:not|never) (?:the |an? )?(?P<that>[\w-]+), "
    r"(?:the )?"
    r"(?P=that)\b[^,;:]{0,60}? (?:and )?)$",
    re.IGNORECASE,
)
_IT_IS = re.compile(r"(?:it|they|that|because it|because they)(?:'s|'re| is| are)\b", re.IGNORECASE)
_THERE_IS = re.compile(r"(?:there|it|they|that)(?:'s|'re| is| are)\b", re.IGNORECASE)
_IT_DOES = re.compile(r"(?:it|they|that)(?:'ll| will| can| could)\b", re.IGNORECASE)
# "You have about 15 minutes | before it dries and it grabs"
_TIME_LEFT = re.compile(
    r"(?:and |but |so )*you(?:'ve| only)?(?: have| got)[^,.;]* (?:minutes?|seconds?|hours?)$",
    re.IGNORECASE,
)
_FORBIDDEN = re.compile(r"(?:^|\b(?:but|and|so) )(?:don't|do not|never) \w+ ", re.IGNORECASE)
_BECAUSE = re.compile(r"(?:because|'cause|cos|since) ", re.IGNORECASE)
_NEAR = re.compile(r" (?:before|until|when|while|after)\b[^.;:]{1,60}")
_BETWEEN = re.compile(
    r",? so (?:that )?|, (?:or |because |'cause |cos )?|,? (?:or|because|'cause|cos) "
)


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
    forbids, runs_out = _FORBIDS.match(mark.text), _TIME_LEFT.match(mark.text)
    left_open = mark.text.lower().endswith(" even")  # "they're sharp even | when they're blunt"
    in_time = runs_out or left_open or _WANTED.match(mark.text)
    for pattern in (_WHEN, _WHY, _COMES) if forbids else (_WHEN,) if in_time else ():
        found = pattern.match(text, end, stop)
        if found is not None:
            end = found.end()
    if (found := _NO_MORE_BEHIND.match(text, end, stop)) is not None:
        end = found.end()
    if _YOU.match(mark.text) and (found := _AND_THEN.match(text, end, stop)):
        end = found.end()
    begin = _begin(text, mark, others)
    told = text[begin:end].rstrip(" ,;:")
    return replace(mark, begin=begin, end=begin + len(told), text=told)


def _begin(text: str, mark: Marked, others: Sequence[Marked]) -> int:
    """Return where a warning begins with all that it is told for."""
    begin = mark.begin
    start = _clause_begin(text, begin)
    sentence = max([0, *(found.end() for found in _STOP.finditer(text, 0, begin))])
    front = text[sentence:begin].lstrip()
    if _CASE.fullmatch(front) and not _FORBIDS.match(mark.text):
        return begin - len(front)
    if (
        _NO_MORE.match(mark.text)
        and _COMES_OF_IT.search(mark.text)
        and text[:begin].rstrip().endswith(",")
    ):
        return _clause_begin(text, text[:begin].rstrip().rindex(","))
    so = _IT_IS.match(mark.text) or _IT_SO.fullmatch(mark.text)
    limit = _LIMIT_IN_FRONT.search(front) if so else None
    if limit is None and _IS_OF.fullmatch(mark.text):
        limit = _ONLY_IN_FRONT.search(front)
    if limit is not None:
        return begin - len(front) + limit.start("limit")
    if _THERE_IS.match(mark.text) and _DONE_FOR_IT.fullmatch(front):
        return begin - len(front)
    helped = _HELP.search(front) if _WEIGHS.match(mark.text) else None
    other = _NOT_THAT.search(front) if helped is None else None
    if found := helped or other:
        return begin - len(front) + found.start("do")
    if _IT_DOES.match(mark.text) and _WHAT_DOES.fullmatch(text[start:begin]):
        return start
    if _FORBIDDEN.search(text[start:begin]):
        begin = start  # "don't take the | screws right out"
    elif _SO_NOT.match(mark.text):  # "tape over the keyway so it doesn't cut the lip"
        begin = next(
            (_clause_begin(text, one.begin) for one in others
             if one.kind in _ORDERED and one.end <= begin and not text[one.end:begin].strip(" ,")),
            begin,
        )  # fmt: skip
    elif _ONLY_HARM.match(mark.text):
        begin = next(
            (_clause_begin(text, one.begin) for one in others
             if one.kind in _ORDERED and one.end <= begin
             and (_BETWEEN.fullmatch(text[one.end : begin])
                  or (text[one.end : begin] == " " and mark.text.lower().startswith("so "))
                  or (_BECAUSE.match(mark.text) and _NEAR.fullmatch(text[one.end : begin])))),
            begin,
        )  # fmt: skip
    return begin


_SO_NOT = re.compile(
    r"so (?:that )?(?:it|they|you|(?:the|that|this) [\w-]+) (?:doesn't|don't|can't|cannot|won't) ",
    re.I,
)
_ORDERED = frozenset({"action", "inspection"})


def _clause_begin(text: str, at: int) -> int:
    """Return where the clause begins that a place belongs to: "don't take the | screws out"."""
    begin = max([0, *(found.end() for found in _SIGN.finditer(text, 0, at))])
    return begin + len(text[begin:at]) - len(text[begin:at].lstrip())
