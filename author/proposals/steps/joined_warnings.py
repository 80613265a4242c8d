"""Warnings whose halves were said in one sentence, put together again.

"Never open it hot, it'll spit in your face" says both what to avoid and what happens: one
message, not two halves.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from author.proposals.kinds.marks import Kind, Marked
from author.proposals.language.verbs import base_of_third
from author.proposals.speech.spoken import Sentence
from author.proposals.steps.other_halves import asks, with_other_half

_WARNS = frozenset({"hazard", "damage"})
_BETWEEN = re.compile(
    r"(?:\s+(?:when|while|if|once|as|until)\b[^,;.]{0,60})?[\s,;:–—-]*(?:(?:and|or|because|"
    r"'?cause|as|since)\b)?\s*",
    re.IGNORECASE,
)
# "Not on these, | no threadlock here at all, | the heat cooks it"
_NONE_BETWEEN = re.compile(
    r"[\s,]+(?:no|not|never|nothing)\b[^,;:.]{2,40}[\s,]+(?:the |it |they |because )?",
    re.IGNORECASE,
)
# "Never touch it, | that's not part of this job and | it can break your arm": of what is forbidden.
_ASIDE = re.compile(
    r"[\s,;:–—-]+(?:that|it|they|those|this)(?:'s|'re| is| are) (?:not|no) (?:(?:part|any part) of "
    r"|for |in |to do with )?(?:this|that|our|today's|the) (?:job|repair|work|video)(?: today)?"
    r"[\s,]+(?:and|because|since|as) ",
    re.IGNORECASE,
)
_FORBIDS = re.compile(
    r"(?:and |so |but |now |please )*(?:whatever you do,? )?(?:don'?t you(?: ever)?|don'?t|do not|"
    r"never(?: ever)?|keep|mind|watch|be careful|careful|make sure|always)\b.*",
    re.IGNORECASE,
)
# "Mind your face, there's a spring under there": what can harm follows in its own clause.
_CARES = re.compile(
    r"(?:and |so |but |now )*(?:mind|watch|careful|be careful|look out|watch out|keep your|"
    r"whatever you do|(?:(?:wear|put|have|get) (?:\S+ ){0,2})?(?:goggles|gloves|mask|visor|"
    r"(?:safety )?(?:glasses|specs)|ear defenders|face shield)(?: \S+)?(?: on)?$)",
    re.IGNORECASE,
)
_WORN = re.compile(
    r"(?:[\w-]+ ){0,2}(?:gloves?|goggles|glasses|specs|mask|visor|shield|defenders|gauntlets|"
    r"hands?|fingers|face|eyes)\b(?: [\w'-]+){0,4}$",
    re.IGNORECASE,
)
# What the harm is begins behind a pause, or behind a word to those who watch.
_TELLS_HARM = re.compile(
    r"(?:,\s*(?:please|lads?|mates?|mind|folks|guys|boys|kids|ever|not ever|obviously|though)\b)*"
    r"\s*[,;:–—]\s*(?P<and>and )?(?:because |'?cause )?(?P<told>[^,;:.!?–—]{5,})",
    re.IGNORECASE,
)
_SAYS_SO = re.compile(
    r"(?:it|they|that|there|these|those|this|he|she|you)(?:'(?:s|ll|re|ve))?\b|"
    r"(?:the|an?|your|that|one) [\w-]+",
    re.IGNORECASE,
)
# "You see", "that's it", "that's the old one" say nothing of harm.
_NO_WHY = re.compile(
    r"(?:you (?:know|see|can see|want|need|just|never know)|that's (?:it|all|me|good|fine|lovely|"
    r"right|what|how|why|where)|that one|this one|there (?:you|we|it|she)\b|"
    r"(?:it's|they're) (?:fine|good|easy|okay)|"
    r"the (?:next|other|same|last)\b|a (?:bit|little|touch|hair)\b)",
    re.IGNORECASE,
)
_TIED = re.compile(r"\b(?:because|'?cause|otherwise|or (?:else|it|you|they|the))\b", re.IGNORECASE)
_WHY = _WARNS | {"reason", "hidden", "chatter"}
_LONGEST_WHY = 120
"""Letters of a clause that tells what happens."""
_FORGOTTEN = re.compile(
    r"\bif you (?:forget|skip|miss|don'?t do|leave out) "
    r"(?:that|this|it)\b",
    re.IGNORECASE,
)
# "Or you'll round it off", "because it'll spit" begin a sentence where a pause parts them.
_ELSE = re.compile(
    r"(?:and |but )*(?:or(?: else)? (?:it|you|they|that|the|he|she)(?:'\w+)?|else|otherwise|"
    r"because|'?cause|cos)\b\s*",
    re.IGNORECASE,
)
_BREATH = 3
"""Seconds of a pause within which a half is told that is tied to the order before."""
_LONGEST = 200
"""Letters of a forbidding half that is taken along."""


def joined_warnings(said: Sequence[Sentence], marks: Sequence[Marked]) -> tuple[Marked, ...]:
    """Return the marks with the halves of warnings put together.

    Args:
        said: what was said.
        marks: kinds of its clauses, in the order of the sentences.
    """
    by_sentence: dict[int, list[Marked]] = {}
    others: list[Marked] = []
    for mark in marks:
        if mark.kind in _WARNS:
            by_sentence.setdefault(mark.sentence, []).append(mark)
        else:
            others.append(mark)
    ordered: dict[int, list[Marked]] = {}
    told: dict[int, list[Marked]] = {}
    for mark in others:
        told.setdefault(mark.sentence, []).append(mark)
        if mark.kind == "action":
            ordered.setdefault(mark.sentence, []).append(mark)
    for index, warnings in by_sentence.items():
        joined = _joined(said[index].text, warnings, ordered.get(index, []))
        joined = [_if_forgotten(said[index].text, m, ordered.get(index, [])) for m in joined]
        earlier = _in_front(joined, ordered.get(index, []))
        if not earlier and index and _in_one_breath(said[index - 1], said[index]):
            earlier = _ordered_before(said, joined, ordered.get(index - 1, []))
        others += earlier
        beside = told.get(index, [])
        near = [*beside, *joined]
        whole = [_with_harm(said[index].text, mark, near) for mark in joined]
        others += _each_once(
            said[index].text, [with_other_half(said[index].text, m, beside) for m in whole]
        )
    return tuple(sorted(others, key=lambda m: (m.sentence, m.begin, m.end)))


def _joined(text: str, warnings: list[Marked], orders: Sequence[Marked]) -> list[Marked]:
    found: list[Marked] = []
    for mark in sorted(warnings, key=lambda m: m.begin):
        last = found[-1] if found else None
        if last is not None and mark.begin <= last.end:
            found[-1] = _spanning(text, last, mark, last.begin, max(last.end, mark.end))
        elif last is not None and (
            _BETWEEN.fullmatch(text, last.end, mark.begin)
            or _NONE_BETWEEN.fullmatch(text, last.end, mark.begin)
            or (_FORBIDS.match(last.text) and _ASIDE.fullmatch(text, last.end, mark.begin))
        ):
            found[-1] = _spanning(text, last, mark, last.begin, mark.end)
        else:
            begin = _forbidding(text, last.end if last else 0, mark, orders)
            found.append(_spanning(text, mark, mark, begin, mark.end))
    return found


def _each_once(text: str, warnings: Sequence[Marked]) -> list[Marked]:
    """Return warnings, those as one whose other half is the same: "goggles on, or …"."""
    found: list[Marked] = []
    for mark in warnings:
        last = found[-1] if found else None
        if last is not None and mark.begin < last.end:
            found[-1] = _spanning(text, last, mark, last.begin, max(last.end, mark.end))
        else:
            found.append(mark)
    return found


def _if_forgotten(text: str, mark: Marked, orders: Sequence[Marked]) -> Marked:
    """Return "if you forget that" with all that then happens."""
    found = next((one for one in _FORGOTTEN.finditer(text) if one.start() <= mark.begin), None)
    if found is None:
        return mark
    stop = min([len(text), *(one.begin for one in orders if one.begin > found.end())])
    end = max(mark.end, len(text[:stop].rstrip(" ,;:.!?–—-")))
    return replace(mark, begin=found.start(), end=end, text=text[found.start() : end])


def _in_front(warnings: Sequence[Marked], orders: Sequence[Marked]) -> list[Marked]:
    """Return the order of the same sentence that must not be forgotten, as half of the warning."""
    for mark in warnings:
        own = [one for one in orders if one.end <= mark.begin]
        if own and _FORGOTTEN.match(mark.text):
            return [_half(max(own, key=lambda one: one.begin), mark)]
    return []


def _half(order: Marked, mark: Marked) -> Marked:
    return replace(order, kind=mark.kind, confidence=mark.confidence, reason=mark.reason)


def _ordered_before(
    said: Sequence[Sentence], warnings: Sequence[Marked], before: Sequence[Marked]
) -> list[Marked]:
    """Return the order of the sentence before, as half of a warning that is tied to it.

    "If you forget that, …" and "or you'll round it off", said behind a pause.
    """
    if not before:
        return []
    mark = min(warnings, key=lambda one: one.begin)
    last = max(before, key=lambda one: one.begin)
    text = said[last.sentence].text
    tied = _ELSE.match(said[mark.sentence].text)
    ends = len(text.rstrip(" .!?,;")) - last.end <= 1
    if _FORGOTTEN.match(mark.text) or (tied and tied.end() >= mark.begin and ends):
        return [_half(last, mark)]
    return []


def _in_one_breath(one: Sentence, two: Sentence) -> bool:
    return one.recording == two.recording and two.start - one.end <= _BREATH


def _with_harm(text: str, mark: Marked, beside: Sequence[Marked]) -> Marked:
    """Return a warning that only says what to do or not with the harm told behind it.

    "Not the grinder, the sparks melt the boot": all that goes on telling, until something is
    ordered or begins anew.

    Args:
        text: the sentence.
        mark: the warning.
        beside: all else in the sentence.
    """
    cares = _CARES.match(mark.text)
    if not (cares or asks(mark.text) or _WORN.match(mark.text)) or _TIED.search(mark.text):
        return mark
    begins = [one.begin for one in beside if one.begin > mark.end and one.kind not in _WHY]
    stop = min([len(text), *begins])
    end = mark.end
    while (found := _TELLS_HARM.match(text, end, stop)) and _tells(found, end > mark.end):
        end = found.end()
    end = mark.end + len(text[mark.end : end].rstrip(" ,;:.–—-"))
    return replace(mark, end=end, text=text[mark.begin : end]) if end > mark.end else mark


def _tells(found: re.Match[str], goes_on: bool) -> bool:
    """Whether a clause behind a warning tells what happens or what there is."""
    told = found["told"]
    if goes_on and not found["and"]:
        return False
    if _NO_WHY.match(told) or len(told) > _LONGEST_WHY or asks(told):
        return False
    said = told.lower().split()
    noun_does = len(said) > 1 and bool(base_of_third(said[1]) or said[1] in {"doesn't", "don't"})
    return _SAYS_SO.match(told) is not None or noun_does


def _forbidding(text: str, floor: int, mark: Marked, orders: Sequence[Marked]) -> int:
    """Return where the words that forbid begin, if they come right before; else the mark's."""
    floor = max([floor, *(order.end for order in orders if order.end <= mark.begin)])
    before = text[floor : mark.begin]
    start = floor + len(before) - len(before.lstrip(" ,;:–—-"))
    if mark.begin - start <= _LONGEST and _FORBIDS.fullmatch(text[start : mark.begin]):
        return start
    return mark.begin


def _spanning(text: str, one: Marked, two: Marked, begin: int, end: int) -> Marked:
    sure = one if one.confidence >= two.confidence else two
    kind: Kind = "hazard" if "hazard" in {one.kind, two.kind} else "damage"
    return replace(sure, begin=begin, end=end, kind=kind, text=text[begin:end])
