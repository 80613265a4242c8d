"""Findings told in two clauses: the thing and its state, and then that it is left for later.

"The bushing's a bit loose. But it'll do until the next service." is one finding; "it", "that" and
"they" only point, and tell nothing without the clause before.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from author.proposals.kinds.marks import Marked, by_sentence
from author.proposals.language.trade_words import trade_words
from author.proposals.speech.spoken import Sentence
from author.proposals.steps.other_halves import asks

_POINTS = re.compile(
    r"(?:(?:so|and|but|well|okay|still|anyway|now)\W+)*(?:(?:it|that|this|they|those|these|we|i|he|"
    r"she)(?:'\w+)?\b|(?:keep(?:ing)? an eye on|leave|leaving|write|put|report|note) (?:it|that|"
    r"them|this|those)\b|on (?:the|my|our|to the) |one for\b|another\b|not today\b|"
    r"for (?:now|next)\b)",
    re.IGNORECASE,
)
# "One thing I've not done, the belt's cracked": what stands before tells nothing of the state.
_LEAD = re.compile(
    r"(?:so|and|okay|right|now|well|oh|(?:the )?(?:one|only|other|last|another) (?:more )?"
    r"(?:thing|bit|job)(?: (?:i|we)(?:'ve| have)? (?:not|haven't|didn't|never) \w+)?(?: is)?"
    r"(?=[,:–—-]))\W+",
    re.IGNORECASE,
)
# "The belt's got cracks in it, it'll do till Easter": a warning by its words, and the finding.
_STATE = re.compile(
    r"(?:(?:and|but|so) )?(?:the|that|this|its|your|one of the) [\w' -]{2,40}?"
    r"(?:'s|'re| is| are| has| have) ",
    re.IGNORECASE,
)
_WARNINGS = frozenset({"hazard", "damage"})
_NO_STATE = frozenset({"action", "chatter", "preview", "hazard", "damage", "follow_on"})
_COMMA = re.compile(r"[,;:–—]\s+(?:and )?")
_LEAST = 3
_LONGEST = 160
_BREATH = 8
"""Seconds within which a finding is put off."""


@dataclass(frozen=True, slots=True)
class Finding:
    """A finding with the clause it points to.

    Attributes:
        sentence: index of the sentence it begins in.
        begin: index of its first letter there.
        text: the thing, its state and what is to become of it.
    """

    sentence: int
    begin: int
    text: str


def whole_findings(
    said: Sequence[Sentence], marks: Sequence[Marked]
) -> tuple[Mapping[Marked, Finding], frozenset[Marked]]:
    """Return findings with the clause they point to, and those that stand in another one.

    Args:
        said: what was said.
        marks: kinds of its clauses.
    """
    there = by_sentence(marks)
    whole: dict[Marked, Finding] = {}
    taken: set[Marked] = set()
    for mark in marks:
        if mark.kind != "deferred" or not _only_points(mark.text):
            continue
        found = _in_front(said, there, mark) or _before(said, there, mark)
        if found is None:
            just_told = [*there.get(mark.sentence - 1, ()), *there.get(mark.sentence - 2, ())]
            if any(one.kind == "deferred" for one in just_told):
                taken.add(mark)  # "it's notchy, not today. I'll put that on the card"
            continue
        # It may be plain description, of which no kind was told.
        others = [one for one in there.get(found.sentence, ()) if one is not mark]
        if any(one in whole for one in others):
            taken.add(mark)  # "I'll put that on the card": nothing that was not told already
        else:
            whole[mark] = found
            taken.update(
                one for one in others if one.kind == "deferred" and one.begin >= found.begin
            )
    return whole, frozenset(taken - set(whole))


def _only_points(text: str) -> bool:
    """Whether a clause names nothing of its own and points to what was said before."""
    return bool(_POINTS.match(text)) and not any(
        trade_words().kind_of(word) == "part" for word in re.findall(r"[\w'-]+", text.lower())
    )


def _in_front(
    said: Sequence[Sentence], there: Mapping[int, Sequence[Marked]], mark: Marked
) -> Finding | None:
    """Return a finding with the clause in front of it in its own sentence."""
    text = said[mark.sentence].text
    start = _told_from(text, mark.begin, there[mark.sentence])
    before = text[start : mark.begin].rstrip(" ,;:–—-")
    if len(before.split()) < _LEAST or mark.begin - start > _LONGEST:
        return None
    return Finding(mark.sentence, start, text[start : mark.end])


def _before(
    said: Sequence[Sentence], there: Mapping[int, Sequence[Marked]], mark: Marked
) -> Finding | None:
    """Return a finding with the sentence before it."""
    at = mark.sentence - 1
    if at < 0 or mark.begin > _LEAST * 4:
        return None
    one, two = said[at], said[mark.sentence]
    if one.recording != two.recording or two.words[0].start - one.end > _BREATH:
        return None
    start = _told_from(one.text, len(one.text), there.get(at, []))
    state = one.text[start:].rstrip(" .!?,;:–—-")
    if len(state.split()) < _LEAST or len(state) > _LONGEST:
        return None
    told = Finding(at, start, state)
    if _POINTS.match(state) and at and one.pause_before <= _BREATH and _only_points(state):
        # "It's half sheared. I haven't got one here. It'll hold": what it is stands before that.
        told = _with_the_one_before(said, there, told)
        state = told.text
    own = mark.text
    own = own if re.match(r"i\b", own, re.IGNORECASE) else own[:1].lower() + own[1:]
    return Finding(told.sentence, told.begin, f"{state}, {own}")


def _with_the_one_before(
    said: Sequence[Sentence], there: Mapping[int, Sequence[Marked]], told: Finding
) -> Finding:
    """Return a finding with the sentence before it, as far as that tells of a state."""
    at = told.sentence - 1
    if said[at].recording != said[told.sentence].recording:
        return told
    start = _told_from(said[at].text, len(said[at].text), there.get(at, []))
    state = said[at].text[start:].rstrip(" .!?,;:–—-")
    if len(state.split()) < _LEAST or len(state) + len(told.text) > _LONGEST:
        return told
    return Finding(at, start, f"{state}, {told.text}")


def _is_no_state(mark: Marked) -> bool:
    """Whether a clause tells no state: a warning does where it only says how something is."""
    return mark.kind in _NO_STATE and not (mark.kind in _WARNINGS and _STATE.match(mark.text))


def _told_from(text: str, end: int, marks: Sequence[Marked]) -> int:
    """Return where the words begin that tell of a state, behind work that is told before."""
    start = max([0, *(m.end for m in marks if m.begin < end and _is_no_state(m))])
    start += len(text[start:]) - len(text[start:].lstrip(" ,;:.–—-"))
    while (found := _LEAD.match(text, start)) is not None and found.end() < end:
        start = found.end()
    # "Pull the wheel off, the drum's worn, but …": what is ordered first is no part of it.
    while (cut := _COMMA.search(text, start, end)) is not None:
        behind = text[cut.end() : end].split()
        if len(behind) < _LEAST - 1 or not asks(text[start : cut.start()]):
            break
        start = cut.end()
    return min(start, end)
