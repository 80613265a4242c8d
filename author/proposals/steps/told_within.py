"""What sounds like a point or a check and only belongs to a decision, a warning or a verdict.

"If it keeps dripping, the washer is in upside down" tells what to look at, and not which way round
a washer goes; "so we are fine" tells nothing that is accepted; "anything over 25, or you'll crack
it" warns, and nothing is looked for; "unless the pressure is down" allows what is forbidden else.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from author.proposals.kinds.marks import Marked, by_sentence
from author.proposals.speech.spoken import Sentence
from author.proposals.steps.findings import tells_fault
from author.proposals.steps.other_halves import asks

_CASE = re.compile(r"(?:and |but |so |now |because )*(?:if|when|where)\b", re.IGNORECASE)
# "Is in upside down", "has gone in back to front"; "goes in upside down" is how it is meant.
_FITTED_WRONG = re.compile(
    r"(?:'s|'re|'ve| is| are| was| were| has| have|\bgot)(?: \w+){0,3}? (?:upside down|back to "
    r"front|backwards|inside out|(?:the )?wrong (?:way|side|end)\b)",
    re.IGNORECASE,
)
_MEANS = re.compile(r"\b(?:means|if|when|because|'cause|cos)\b", re.IGNORECASE)
# "So we are fine there": no word of what is fine.
_FINE = re.compile(
    r"(?:(?:and|so|but|then|now|yeah|yes|well|right|okay|i think|i'd say),? )*"
    r"(?:(?:we|i|you|it|that|this|they|she|he|all|everything)(?:'re|'m|'s|'ll be| are| am| is| "
    r"will be)? )?(?:still |all |quite |perfectly |just |well |both )*"
    r"(?:fine|good|ok|okay|alright|all right|happy|happy with (?:that|it)|in business|laughing)"
    r"(?: there| here| on that(?: one| side)?| with (?:that|it)| then| now| today| to go| again)*"
    r"[.!]*",
    re.IGNORECASE,
)
_UNLESS = re.compile(r"(?:and |but |so )*unless\b", re.IGNORECASE)
_TOO_MUCH = re.compile(
    r"(?:and |but |so )*(?:anything|any) (?:over|above|past|beyond|under|below|more|less|higher|"
    r"lower|tighter|looser|bigger|smaller|thicker|thinner)\b[^,;]*",
    re.IGNORECASE,
)
_OR_ELSE = re.compile(
    r"[\s,;]*(?:or(?: else)?|and|otherwise) (?:you|it|they|that|the [\w-]+|your [\w-]+)"
    r"(?:'ll|'re| will| can|'d)?\b",
    re.IGNORECASE,
)
# "Check your own manual": nothing of the machine is looked at.
_LOOKED_UP = re.compile(
    r"(?:(?:and|so|but|then|just|always|please|you|do),? )*(?:check|see|look (?:at|in)|read) "
    r"(?:with )?(?:in )?(?:the|your|that) (?:own |service |workshop |shop |owner's |parts )?"
    r"(?:manual|handbook|book|website|description|instructions|data ?sheet|parts list|dealer)\b",
    re.IGNORECASE,
)
_WARNS = frozenset({"hazard", "damage"})
_POINTS = frozenset({"inspection", "orientation"})


def without_told_within(said: Sequence[Sentence], marks: Sequence[Marked]) -> list[Marked]:
    """Return the marks without those that tell no point or check of their own.

    Args:
        said: what was said.
        marks: kinds of its clauses, in the order of the sentences.
    """
    there = by_sentence(marks)
    return [
        mark
        for mark in marks
        if mark.kind not in _POINTS
        or not _is_within(said[mark.sentence].text, mark, there[mark.sentence])
    ]


def _is_within(text: str, mark: Marked, own: Sequence[Marked]) -> bool:
    if mark.kind == "orientation":
        if _CASE.match(mark.text) and "," not in mark.text:
            return any(one.kind == "decision" and one.begin == mark.begin for one in own)
        wrong = _FITTED_WRONG.search(text[mark.begin : mark.end])
        return bool(wrong) and (_MEANS.search(text[: mark.end]) is not None or _in_case(mark, own))
    if _LOOKED_UP.match(mark.text):
        return True
    if _FINE.fullmatch(mark.text) or _UNLESS.match(mark.text):
        return True
    if _TOO_MUCH.fullmatch(mark.text) and _OR_ELSE.match(text, mark.end):
        return any(one.kind in _WARNS for one in own)
    # "If it drips, the seat is scored"; "if it rocks, check the bearing for play" is looked at.
    return _in_case(mark, own) and tells_fault(mark.text) and not asks(mark.text)


def _in_case(mark: Marked, own: Sequence[Marked]) -> bool:
    """Whether a clause is what a decision tells of its case."""
    return any(
        one.kind == "decision" and one.begin < mark.begin and _CASE.match(one.text) for one in own
    )
