"""The half of a warning that stands in the clause beside it: "X, because Y", "Y, so X", "X or Y".

One clause was taken for a warning; the clause that "because", "so" or "or" ties to it says how to
avoid what it tells, or what happens: an order or a forbidding, or what comes of it.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from author.proposals.kinds.marks import Marked
from author.proposals.orders.wording import imperatives

# "Hold it down because it flies": what is tied to an order tells what happens without it.
_WHY = r"(?:because|'?cause|or else|or|otherwise|since|as)"
_TIED = re.compile(rf"(?:and |but |so )*{_WHY}\b\s*", re.IGNORECASE)
_TIE_BEFORE = re.compile(rf"[\s,;–—-]*\b{_WHY}\s*$", re.IGNORECASE)
_TIE_BEHIND = re.compile(
    rf"[\s,;–—-]*\b(?:because|'?cause|or else|otherwise|{_WHY} (?:it|they|you|the|that|he|she|"
    r"there|your|this|a|an)(?:'\w+)?)\b",
    re.IGNORECASE,
)
# What we want or have is no harm: "because we need it later".
_OF_US = re.compile(rf"[\s,;–—-]*{_WHY}\s+(?:i|we)(?:'\w+)?\b", re.IGNORECASE)
_SO_BEFORE = re.compile(r"[\s,;–—-]*\bso\s*$", re.IGNORECASE)
_SO_BEHIND = re.compile(r"[\s,;–—-]*\bso\s+(?!that\b)", re.IGNORECASE)
_LEAD = re.compile(r"(?:and|so|but|now|then|because|okay|right)\W+", re.IGNORECASE)
_FORBIDS = re.compile(
    r"(?:don'?t|do not|never|not|no|keep|mind|watch|careful|be careful|make sure|always|"
    r"whatever you do|avoid|(?:before (?:this|that) )?(?:i|we|you) (?:mustn't|must (?:not|never)|"
    r"do not|don't|never)(?! (?:know|think|want|need|have|see|like|mind|care|get)\b))\b",
    re.IGNORECASE,
)
_SAYS_SO = re.compile(
    r"(?:it|that|this|they|these|those|there|he|she|the|your|a|an|you)(?:'\w+)?\s+\S+",
    re.IGNORECASE,
)
_LEAST_SAID = 3
_ENDS = re.compile(r"[,;:.!?–—]\s+")
_LEAST = 3
"""Words of the other half, with what ties it."""
_LONGEST = 160
"""Letters of the other half."""


def with_other_half(text: str, mark: Marked, others: Sequence[Marked]) -> Marked:
    """Return a warning with the clause beside it that tells its other half, if there is one.

    Args:
        text: the sentence.
        mark: the warning.
        others: all else that was found in the sentence.
    """
    begin, end = mark.begin, mark.end
    if asks(mark.text):
        end = _what_happens(text, mark, others)
        if end == mark.end:
            begin = _what_is(text, mark, others)
    else:
        begin = _what_avoids(text, mark, others)
        if begin == mark.begin:
            end = _what_to_do(text, mark, others)
    if (begin, end) == (mark.begin, mark.end):
        return mark
    return replace(mark, begin=begin, end=end, text=text[begin:end])


def asks(words: str) -> bool:
    """Whether words begin with an order or forbid something."""
    while found := _LEAD.match(words):
        words = words[found.end() :]
    return bool(_FORBIDS.match(words)) or (
        not _SAYS_SO.match(words) and bool(imperatives(words[:_LONGEST]))
    )


def _what_happens(text: str, mark: Marked, others: Sequence[Marked]) -> int:
    """Return where the words end that say why: "keep clear | because it'll spit"."""
    if not _TIE_BEHIND.match(text, mark.end) or _OF_US.match(text, mark.end):
        return mark.end
    stop = len(text.rstrip(" .!?,;"))
    begins = [m.begin for m in others if m.begin > mark.end + 1 and m.kind == "action"]
    reasons = [m.end for m in others if m.kind == "reason" and mark.end <= m.begin <= mark.end + 3]
    stop = min([stop, *reasons[:1], *begins])
    end = mark.end + len(text[mark.end : stop].rstrip(" ,;:.–—-"))
    long_enough = len(text[mark.end : end].split()) >= _LEAST
    return end if long_enough and end - mark.end <= _LONGEST else mark.end


def _what_is(text: str, mark: Marked, others: Sequence[Marked]) -> int:
    """Return where the words begin that say what there is: "it's live | so keep off"."""
    lead = re.match(r"so\s+", text[mark.begin : mark.end], re.IGNORECASE)
    tie = mark.begin + lead.end() if lead else mark.begin
    found = _SO_BEFORE.search(text[:tie])
    if found is None:
        return mark.begin
    start = _clause_before(text, found.start(), others)
    words = text[start : found.start()]
    done = any(m.kind in {"action", "chatter", "order"} and _meet(m, start, found.start())
               for m in others)  # fmt: skip
    # "It's caustic" says so in two words.
    enough = len(words.replace("'", " ").split()) >= _LEAST_SAID
    said = enough and _SAYS_SO.match(words)
    return start if said and not asks(words) and not done else mark.begin


def _what_avoids(text: str, mark: Marked, others: Sequence[Marked]) -> int:
    """Return where the order begins that keeps it from happening: "hold it | or it'll fly"."""
    before = text[: mark.begin]
    tied = _TIE_BEFORE.search(before)
    if tied is None and _KEPT_FROM.match(mark.text):
        tied = _SO_BEFORE.search(before)
    if tied is not None:
        tie = tied.start()
    elif _TIED.match(mark.text):
        tie = len(before.rstrip(" ,;:–—-"))
    else:
        return mark.begin
    for one in others:
        if one.kind == "action" and 0 <= tie - len(text[: one.end].rstrip(" ,;:–—-")) <= 1:
            return one.begin
    start = _clause_before(text, tie, others)
    told = text[start:tie]
    wanted = asks(told) or BOUNDS.match(told) is not None
    return start if tie - start <= _LONGEST and wanted else mark.begin


# "It must not be less than 29.95, | or the new bearing will creep"
BOUNDS = re.compile(
    r"(?:(?:and|but|so) )*(?:(?:it|they|that|this|you|we|i|she|he|the [\w-]+(?: [\w-]+)?) )?"
    r"(?:must(?: not|n't)?|should(?: not|n't)|don't want|do not want|(?:has|have|wants?|needs?) to|"
    r"can't|cannot|no (?:more|less) than|at (?:least|most))\b(?! (?:know|see|say|believe)\b).+",
    re.IGNORECASE,
)
"""Words that tell between which bounds something has to be kept."""
_KEPT_FROM = re.compile(
    r"(?:so )?(?:that )?(?:it|they|that|this|you|nobody|nothing|the \w+) "
    r"(?:doesn'?t|don'?t|can'?t|cannot|won'?t)\b",
    re.IGNORECASE,
)


def _what_to_do(text: str, mark: Marked, others: Sequence[Marked]) -> int:
    """Return where the order ends that follows from it: "it's red hot | so use the tongs"."""
    found = _SO_BEHIND.match(text, mark.end)
    if found is None:
        return mark.end
    for one in others:
        near = one.begin <= found.end() < one.end
        if one.kind == "action" and near and asks(text[found.end() : one.end]):
            return one.end
    return mark.end


def _clause_before(text: str, tie: int, others: Sequence[Marked]) -> int:
    """Return where the clause begins that ends at a place."""
    floor = max([0, *(m.end for m in others if m.end <= tie - 2 and m.kind != "reason")])
    ends = [found.end() for found in _ENDS.finditer(text, floor, tie) if found.end() < tie]
    start = max([floor, *ends])
    start += len(text[start:tie]) - len(text[start:tie].lstrip(" ,;:.–—-"))
    while (found := _LEAD.match(text, start, tie)) is not None:
        start = found.end()
    return start


def _meet(mark: Marked, begin: int, end: int) -> bool:
    return mark.begin < end and begin < mark.end
