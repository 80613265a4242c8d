"""What is told at the end for another day: what is due, what is broken, what must not go back so.

"The filter's due at two hundred hours" is another job and no limit of a time; "the guard is
missing, don't give it back without one" is a finding that holds the unit, and no warning of a step.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from decimal import Decimal

from author.proposals.kinds.marks import Kind, Marked, by_sentence
from author.proposals.quantities.reading import SpokenQuantity
from author.proposals.speech.spoken import Sentence

_LEAD = r"(?:(?:and|oh|so|well|now|also|right|okay|but|oh and),? )*"
_THING = r"(?:(?:the|that|this|your|his|her|their|its|one of the|both|both of the)\s[\w' -]{2,60}?)"
_STATE = (
    r"(?:missing|cracked|broken|bent|damaged|perished|leaking|weeping|frayed|split|torn|chewed|"
    r"corroded|rusted|worn(?: out)?|loose|gone|rotten|seized|dead|chipped|burnt|bald|scored|"
    r"knackered|not there|not (?:legal|safe|working))"
)
_FOUND = re.compile(
    rf"{_LEAD}(?P<what>{_THING}(?:'s|'re| is| are| was| were| has| have)(?: been)?(?: \w+){{0,2}}? "
    rf"{_STATE})\b",
    re.IGNORECASE,
)
_UNIT = r"(?:it|them|this|that|the machine|the unit|the (?:car|bike|saw|truck|van|mower|tool))"
# What is told of the whole unit: nobody may use it so.
_HOLD = re.compile(
    rf"\b(?:don't|do not|never|you can't|can't|mustn't|must not|not)\s+(?:(?:ever|just) )?"
    rf"(?:(?:give|hand|send|let) {_UNIT} (?:back|out|go|leave)(?: out)?"
    rf"|(?:use|run|start|drive|ride) {_UNIT}(?: again)?|(?:be )?used?|go(?:es|ing)? (?:back|out))\b"
    r"(?=.*\b(?:without|until|till|before|like (?:that|this)|as it is|with (?:it|that))\b)",
    re.IGNORECASE,
)
_LATER = re.compile(
    r"\b(?:at|on|for|in) (?:the|their|his|your|its) next (?:visit|service|time|inspection|one)\b"
    r"|\bnext (?:time|visit|service)\b"
    r"|\b(?:tell|let|inform|ring|call|warn|ask) (?:the|your|his|her) (?:owner|customer|client"
    r"|office|shop|boss|foreman)\b|\b(?:write|note|put) (?:it|that|this) (?:down|on)\b",
    re.IGNORECASE,
)
ANOTHER_DAY = re.compile(
    r"\b(?:next (?:week|month|time|visit|service|year|one)|another (?:day|time|week|visit|job)|"
    r"(?:at|on|in|for) (?:the )?(?:next |yearly |annual )?(?:service|shutdown|overhaul|visit|"
    r"inspection|spring|summer|autumn|"
    r"winter)|in (?:january|february|march|april|may|june|july|august|september|october|november|"
    r"december))\b",
    re.IGNORECASE,
)
"""Words that put work off to another day."""
_AGE = r"(?:hours?|h|weeks?|months?|years?|kilomet(?:re|er)s?|km|miles?|cycles?|seasons?)"
_DUE = re.compile(
    rf"{_LEAD}(?P<what>(?:{_THING}|it|they|that)(?:'s|'re| is| are|'ll be| will be)"
    r"(?: (?:not|next|also|only))* due\b"
    rf"(?:(?!,| and (?:the|a|then)\b| so\b|[.;!?]).){{0,40}}\b{_AGE}\b)",
    re.IGNORECASE,
)
_CASE = re.compile(r"\b(?:if|unless|when|until|once|whether)\W+(?:\w+\W+){0,3}$", re.IGNORECASE)
_FAR = 60
_SURE = Decimal("0.76")
_WARNINGS = frozenset({"hazard", "damage"})
_INSTEAD = frozenset({"hazard", "damage", "inspection", "decision", "action", "deferred", "reason"})


def with_later_jobs(
    said: Sequence[Sentence], marks: Sequence[Marked], quantities: Sequence[SpokenQuantity]
) -> tuple[list[Marked], list[SpokenQuantity]]:
    """Return marks and numbers, with what is for another day told as that.

    Args:
        said: what was said.
        marks: kinds of its clauses, in the order of the sentences.
        quantities: the numbers in it.
    """
    found = [mark for index, one in enumerate(said) for mark in _in_sentence(index, one.text)]
    there = by_sentence(found)
    put_off = [mark for mark in marks if mark.kind == "deferred"]
    kept = [
        mark
        for mark in marks
        if not (mark.kind in _WARNINGS and _begins(mark, put_off))
        and (
            mark.kind not in _INSTEAD
            or not any(_meet(mark, one) for one in there.get(mark.sentence, ()))
        )
    ]
    numbers = [
        each
        for each in quantities
        if not any(
            one.kind == "follow_on" and one.begin <= each.begin < one.end
            for one in there.get(each.sentence, ())
        )
    ]
    return sorted([*kept, *found], key=lambda mark: mark.sentence), numbers


def holds_unit(text: str) -> bool:
    """Whether words say that nobody may have or use a unit as it is."""
    return _HOLD.search(text) is not None


def _begins(mark: Marked, put_off: Sequence[Marked]) -> bool:
    """Whether a warning is only the front of what is put off: "it'll last" of "… until spring"."""
    return any(
        one.sentence == mark.sentence and one.begin == mark.begin and mark.end < one.end
        for one in put_off
    )


def _meet(mark: Marked, one: Marked) -> bool:
    """Whether what is for another day says all or most of what a mark does."""
    shared = min(mark.end, one.end) - max(mark.begin, one.begin)
    return shared > (mark.end - mark.begin) / 2 or (mark.kind != "action" and shared > 0)


def _in_sentence(index: int, text: str) -> Sequence[Marked]:
    found: list[Marked] = []
    for due in _DUE.finditer(text) if "due" in text.lower() else ():
        if not _CASE.search(text[: due.start("what")]):
            found.append(_mark(index, text, due.start("what"), due.end(), "follow_on"))
    if not (_LATER.search(text) or holds_unit(text)):
        return found
    for state in _FOUND.finditer(text):
        told = (_HOLD.search(text, state.end()), _LATER.search(text, state.end()))
        ends = [one.start() for one in told if one and one.start() - state.end() <= _FAR]
        if ends and not _CASE.search(text[: state.start("what")]):
            stop = re.search(r"[.;!?](?!\d)|$", text[min(ends) :])
            end = min(ends) + (stop.start() if stop else 0)
            found.append(_mark(index, text, state.start("what"), end, "deferred"))
    return found


def _mark(index: int, text: str, begin: int, end: int, kind: Kind) -> Marked:
    words = text[begin:end].rstrip(" ,")
    what = "is due another day" if kind == "follow_on" else "is wrong with the unit and left so"
    return Marked(index, begin, begin + len(words), kind, words, _SURE, f"{words[:40]!r} {what}")
