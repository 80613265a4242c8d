"""Limits told as what is waited for: "wait until it's below forty", "not unless it's over four".

What stands behind "until" or "unless" is wanted where something is waited for, or may not be
done before. It is feared where what comes before is good so long ("fine until it's over
0.2"), or where only mending is put off ("don't replace it unless it's over 0.2").
"""

from __future__ import annotations

import re

from author.proposals.quantities.amounts.cues import NEARLY, OVER, SOFT, UNDER

_AWAITED = re.compile(
    r"\b(?P<head>.*?)\b(?P<word>until|untill|till|til|unless)"
    r"(?: (?!(?:and|but|then|so|if|when|because|or|not|no|never|don't|isn't|aren't|can't|cannot"
    r"|mustn't|shouldn't|won't)\b)"
    rf"[a-z']+){{1,7}}? (?:(?P<over>{OVER})|(?P<under>{UNDER})){SOFT}"
)
_REALLY = re.compile(r"\bwell (?:over|under|above|below)\b")
_DENIES = (
    r"(?:don't|do not|doesn't|needn't|need not|no need to|never|no point|not worth|wouldn't"
    r"|won't|not|no (?:sense|reason|call|use))"
)
# "Don't replace it unless": mending is put off, nothing is waited for.
_PUT_OFF = re.compile(
    rf"\b{_DENIES}(?: (?!(?:and|but|then|so)\b)[a-z']+){{0,3}}? (?:worr|bother|fret|panic|fuss"
    r"|chang|replac|renew|swap|bin|scrap|throw|chuck|toss|shim|condemn|regrind|skim|machin"
    r"|overhaul|order)[a-z]*\b"
)
_SO_LONG_GOOD = re.compile(
    r"\b(?:fine|good|okay|ok|all right|alright|usable|serviceable|safe|legal|happy|can(?!')|may"
    r"|reuse|reusable|lasts?|no (?:problem|trouble|bother|worries|drama|harm|issue)"
    r"|leave (?:it|them|well) (?:alone|be))\b"
)
# "It isn't safe until": what is good so long is denied.
_DENIED_GOOD = re.compile(
    rf"\b(?:{_DENIES}|isn't|aren't|ain't|nothing|nobody)\b(?: [a-z']+){{1,6}}"
)
_USED = re.compile(r"^(?:(?:and|so|but|then|just) )*(?:use|reuse)\b")
# "Leave it unless it's over" is to keep it; "leave it until" is to wait.
_KEPT = re.compile(r"^(?:(?:and|so|but|then|just|you|we|i|i'd|you'd) )*(?:keep|leave)\b")
_NO_MORE = re.compile(
    r",? ?(?:(?:and|then|so|that's when|after that|at which point),? ?)*"
    r"(?:(?:it|they|that|she|he)(?:'s|'re| is| are| wants?| needs?) (?:[a-z]+ ){0,2}?"
    r"(?:scrap\w*|bin\w*|done|dead|finished|gone|worn|junk|rubbish|toast|shot"
    r"|for the (?:bin|skip)|due)"
    r"|(?:you )?(?:bin|scrap|chuck|throw|toss) )"
)


def awaited(clause: str, rest: str) -> str | None:
    """Return which limit a value behind "until" or "unless" is, None where none stands there.

    Args:
        clause: the words before the value.
        rest: those behind it.
    """
    found = _AWAITED.fullmatch(clause)
    if found is None:
        return None
    if NEARLY.search(clause) and not _REALLY.search(clause):
        return ""  # "heat it until it's just over sixty"
    side = ("upper", "lower")
    return side[(found["over"] is not None) is not _is_feared(found["head"], found["word"], rest)]


def _is_feared(head: str, word: str, rest: str) -> bool:
    """Whether what stands behind "until" or "unless" is where it is no good any more."""
    if _PUT_OFF.search(head) or _NO_MORE.match(rest):
        return True
    if _SO_LONG_GOOD.search(_DENIED_GOOD.sub("", head)):
        return True
    return _USED.search(head) is not None or (word == "unless" and bool(_KEPT.search(head)))
