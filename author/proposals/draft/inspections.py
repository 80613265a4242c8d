"""What is looked at in a step: what to look for and what is accepted, told in one or two breaths.

A number that was heard stands as a limit of its own and a condition as a decision; neither is told
a second time as something to look at.
"""

from __future__ import annotations

import re
from collections.abc import Sequence, Set
from dataclasses import dataclass, replace
from decimal import Decimal

from author.checks.verbs import LOOKING_VERBS, words
from author.proposals.language.verbs import is_work
from author.proposals.orders.wording import imperatives
from author.proposals.proposal import Proposal, answered
from author.proposals.steps.findings import names_fault
from author.proposals.steps.made_safe import is_made_sure

_BREATH = Decimal(6)
"""Seconds within which what is accepted is said after what to look at."""
_ACCEPTS = re.compile(
    r"\b(?:no|not|should(?:n't)?|must(?:n't)?|"
    r"free(?! (?:length|play|travel|height|end|wheel|gap|running)\b)|freely|smooth|smoothly|clean|"
    r"flat|straight|tight|"
    r"within|fine|good|without|nothing|click|clicks|normal|all right|okay|acceptable|allowed|"
    r"ought to|out of ten|wouldn't|(?:it|they|that|this|everything|all of them) (?:has|have|needs?|"
    r"wants?) to|(?:i|we) (?:want|expect))\b|\b(?:aren|isn)'t\b",
    re.IGNORECASE,
)
# "The rollers are worn flat": how this one is; it is not what is accepted.
_ASKED = re.compile(
    r"\b(?:no|not|should|must|ought|has to|have to|fine|good|normal|all right|okay|ok|allowed|"
    r"acceptable|within|without|nothing|want|wants|expect)\b|n't\b",
    re.IGNORECASE,
)
# "So this is too much" says of a reading on which side of its limit it is.
_OVER = re.compile(
    r"(?:(?:so|and|but|well|now)\W+)*(?:it|that|this|they|those|these|we|you)(?:'s|'re| is| are) "
    r"(?:far |way |much |a bit |just |well )*(?:too [\w-]+|out|over|under|over it|gone|scrap|no "
    r"good|"
    r"not enough|worn out|past it)(?: (?:too|then|now|already|here|far))?",
    re.IGNORECASE,
)
# "Clean the seat with a brass brush and no water on it" is work, with how it is done.
_DEMANDS = re.compile(
    r"\b(?:should|must|ought|has to|have to|until|till|so that|sure|is|are)\b|'s\b"
)
_TRIED = words(
    "spin turn rotate rock wiggle shake tap press squeeze tug move slide run pull push lift roll "
    "work "
    "rub drag swing tip flick hold blow try"
)
# "Look for any bright ring. There's none here, so I'm happy"
_LOOK_FOR = re.compile(
    r".*?\b(?:look|check|feel|listen|watch) for (?:any|a|an|the|some)? ?(?P<what>.+)", re.I
)
_NONE = re.compile(
    r"(?:there(?:'s| is| are)|(?:i|we)(?:'ve| can| have)?(?: see| find| feel| hear| got)?) "
    r"(?:none|nothing|not any)\b(?!.*\bbut\b)",
    re.IGNORECASE,
)
_MEASURES = re.compile(
    r"\b(?:measure|gauge|mike|mic|micrometer|check|feelers?|(?:clock|indicator|dial) (?:on|in)|"
    r"put the (?:dial|indicator|clock|mike|micrometer|calipers?|"
    r"gauge|meter))\b",
    re.IGNORECASE,
)
# "So it's fine" tells how this unit was found, and not by what it is accepted.
_FINE = re.compile(
    r"(?:(?:so|and|but|yeah|yes|okay|well|now)\W+)*(?:it'?s|it is|that'?s|that is|they'?re|"
    r"they are|(?:it|that|this) (?:looks|feels|seems)|all|everything'?s|we'?re)\s+(?:all |quite |"
    r"really |still |looking |nice and )?(?:fine|good|okay|ok|alright|all right|great|perfect|"
    r"lovely|tight|clean|smooth)(?: (?:then|now|there|here|as well|too|to go))?",
    re.IGNORECASE,
)
_LOOKS = LOOKING_VERBS - words("write report inform ask know decide tell show record note count")
_LETTERS = 200
"""Letters before what is accepted in which an order to look is sought."""
_GOING_TO = re.compile(r"^(?:i'm|we're|i am|we are) (?:gonna|going to) ", re.IGNORECASE)
_FOUND = re.compile(
    r"^(?:mine|this one|that one|ours|gives me|gave me|i(?:'ve)? (?:get|got|have|had)|"
    r"we (?:get|got)|you get|you'll get)\b",
    re.IGNORECASE,
)
# "Where you can't see it" and "you'll feel it as a bump" tell where a thing is; "I tested that
# this morning" was done. What "you can't see any light" under is accepted.
_PLACED = re.compile(
    r"(?:you )?(?:can't|cannot) (?:even |really |quite )?(?:see|get at|reach)(?: it| them| 'em)?"
    r"(?=$|[,.;:]| (?:but|and|because|'cause|cos|so)\b)"
    r"|^(?:and |but |so )*(?:you (?:just )?(?:gotta|have to|need to|'ll have to) |you'll )?feel "
    r"(?:for )?(?:it|them)(?: (?:with|as|up|in|behind|under)\b.*)?$"
    r"|^(?:and |but |so )*(?:i|we)(?:'ve| have| already| still)* (?:tested|checked|looked|put)\b",
    re.IGNORECASE,
)
# What was decided on the film about this unit.
_DECIDED = re.compile(
    r"\b(?:is scrap|are scrap|in the bin|that'll do|going back|reuse|didn't check|"
    r"gets? replaced|next (?:service|visit|time))\b",
    re.IGNORECASE,
)
# "If you have no float at all the bearing runs hot": a reason or a decision, nothing to look at.
# "Until there are no more bubbles" is told with what is done.
_IF = re.compile(r"(?:and |but |so )*(?:if|when|once|unless|until|till|til)\b", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Inspection:
    """Something looked at, felt or heard, with as much of it as was said.

    Attributes:
        proposals: what it is made of, in the order said.
        look_for: what to look for; empty where that was not said.
        accept: what is accepted; empty where that was not said.
        otherwise: what is done if not; empty where it was neither told nor answered.
        decided: the decision that tells it, if it was told in the next breath.
    """

    proposals: tuple[Proposal, ...]
    look_for: str
    accept: str
    otherwise: str = ""
    decided: Proposal | None = None


def inspections(
    about: Sequence[Proposal], accepted: Set[str] = frozenset(), step: Proposal | None = None
) -> list[Inspection]:
    """Return what is looked at in one step, each thing once.

    Args:
        about: all that is proposed of the step, in the order said.
        accepted: ids of those that a person has accepted, which are never left out.
        step: the step, with an order to look at something in what was said of it.
    """
    numbers = [p for p in about if p.kind == "measurement"]
    others = [p for p in about if p.kind == "decision"]
    found: list[Inspection] = []
    for each in about:
        if each.kind != "inspection" or each.detail("left_out"):
            continue
        theirs = each.id in accepted or each.detail("answered_by")
        if not theirs and _is_told(each, numbers, others):
            continue
        text = _GOING_TO.sub("", each.text)
        last = found[-1] if found else None
        look, accept = _parted(text)
        none = _none_of(last, each)
        if _NONE.match(text) and not none and each.id not in accepted:
            continue
        accept = none or accept
        if last is not None and accept and not last.accept and _in_one_breath(last, each):
            found[-1] = Inspection((*last.proposals, each), last.look_for, accept)
        elif last is not None and accept and not _ordered(step, each) and _goes_on(last, each):
            more = f"{last.accept}, {accept[:1].lower()}{accept[1:]}"
            found[-1] = Inspection((*last.proposals, each), last.look_for, more)
        else:
            found.append(Inspection((each,), look or _ordered(step, each), accept))
    return [
        _with_otherwise(
            replace(one, accept=one.accept or answered(one.proposals, "accept")), others
        )
        for one in found
    ]


def _with_otherwise(one: Inspection, decisions: Sequence[Proposal]) -> Inspection:
    """Return what is looked at with what is done if it is not so.

    "Look underneath. If it drips, it comes out again": the next breath tells it.
    """
    if otherwise := answered(one.proposals, "otherwise"):
        return replace(one, otherwise=otherwise)
    last = one.proposals[-1]
    behind = (
        p for p in decisions if p.recording == last.recording
        and Decimal(0) <= p.start - last.end <= _NEXT_BREATH and _IF_NOT.match(p.text)
    )  # fmt: skip
    decided = next(behind, None)
    return replace(one, otherwise=decided.text, decided=decided) if decided else one


_NEXT_BREATH = Decimal(3)
# "If it drips", "if you can hear it"; "if you want to, grease it" is no answer to a check.
_IF_NOT = re.compile(
    r"(?:and |but |so )*(?:if|unless|when) (?:not\b|it|they|that|this|there|he|she|any|either|one|"
    r"none|(?:the|a|an) [\w-]+|you (?:can|can't|cannot|see|feel|hear|get|find|have|don't (?:see|"
    r"feel"
    r"|hear|get)|still)\b|you've (?:got )?(?:any|less|more|over|under|no|still|anything|"
    r"too)\b)(?! (?:want|like|need)\b)[^,]*,",
    re.IGNORECASE,
)


def _parted(text: str) -> tuple[str, str]:
    """Return what to look at, and what is accepted: "spin it, should go round freely"."""
    sure = _MAKE_SURE.fullmatch(text)
    if sure:
        return text, sure[1][:1].upper() + sure[1][1:]
    wanted = _IS_WANTED.fullmatch(text)
    if wanted:
        accept = wanted["accept"]
        return wanted["look"], accept[:1].upper() + accept[1:]
    if not _ACCEPTS.search(text) or (names_fault(text) and not _ASKED.search(text)):
        return text, ""
    both = _AND_SHOULD.fullmatch(text)
    if both and not _ACCEPTS.search(both["look"]) and imperatives(both["look"]):
        accept = both["accept"]
        return both["look"], accept[:1].upper() + accept[1:]
    return "", text


# "Check for leaks with soapy water, no bubbles is what you want"
_IS_WANTED = re.compile(
    r"(?P<look>(?:and |then |just )*(?:check|look|feel|listen|watch|test)\b.+?),? "
    r"(?P<accept>(?:no|nothing|"
    r"not a|not one)\b[\w' -]* is (?:what (?:you|we|i)(?:'re| are)? (?:want|after|looking for)|"
    r"right|good))",
    re.IGNORECASE,
)
# "Make sure they're right down on the shoulder" tells what is accepted.
_MAKE_SURE = re.compile(
    r"(?:and |then |just |always )*(?:make|be) (?:sure|certain) (?:that )?"
    r"((?:(?:it|they|that|there|everything|nothing|both|all of (?:it|them))(?:'s|'re|(?= ))"
    r"|(?:the|your|each|every|both|all) [\w-]+|no \w+|nothing) [\w'-]+.*)",
    re.IGNORECASE,
)
_AND_SHOULD = re.compile(
    r"(?P<look>[^,;]+?),? (?:and |then )?"
    r"(?P<accept>(?:(?:it|they|that|this|there|you|we) )?"
    r"(?:should|must|wants? to|has to|have to)\b.+)",
    re.IGNORECASE,
)


def _none_of(last: Inspection | None, each: Proposal) -> str:
    """Return that there is none of what was looked for, where that was found right behind."""
    look = _LOOK_FOR.fullmatch(last.look_for) if last is not None else None
    if last is None or look is None or last.accept or not _NONE.match(each.text):
        return ""
    return f"No {look['what']}" if _in_one_breath(last, each) else ""


def _goes_on(last: Inspection, each: Proposal) -> bool:
    """Whether more is accepted in the same sentence: "no play, and it should spin freely"."""
    before = last.proposals[-1]
    near = before.recording == each.recording and each.start - before.end <= 1
    # "It should turn freely, with no rough spots" is one thing that is accepted.
    more = each.text.lower().startswith(("with ", "without ", "after that", "from then on"))
    return bool(last.accept and (last.look_for or more)) and near


def _ordered(step: Proposal | None, each: Proposal) -> str:
    """Return what was ordered to be looked at right before what is accepted was said."""
    if step is None or each.said not in step.said:
        return ""
    before = step.said[: step.said.index(each.said)].strip(" .,;:!?")
    orders = imperatives(re.split(r"[.!?]\s", before)[-1][-_LETTERS:])
    if not orders or orders[-1].verb not in _LOOKS:
        return ""
    return orders[-1].action.rstrip(".")


def _is_told(each: Proposal, numbers: Sequence[Proposal], decisions: Sequence[Proposal]) -> bool:
    if (
        _FINE.fullmatch(each.text.rstrip(" .!,"))
        or _FOUND.match(each.text)
        or _OVER.fullmatch(each.text.rstrip(" .!,"))
        or _IF.match(each.text)
        or _is_work(each.text)
        or _DECIDED.search(each.text)
        or _PLACED.search(each.text.rstrip(" .!,"))
        or _tells_state(each.text)
        or is_made_sure(each.text)
        or _VERDICT.fullmatch(each.text.rstrip(" .!,"))
    ):
        return True
    if any(each.overlaps(one) for one in (*numbers, *decisions)):
        return True
    # "Check the runout between centres", and the number comes in the next breath.
    behind = [n for n in numbers if n.recording == each.recording and n.start >= each.end]
    return bool(_MEASURES.search(each.text) and behind and behind[0].start - each.end <= _BREATH)


# "I've got point one here, it'll do": said of a reading; "no metal please" of a tool
_VERDICT = re.compile(
    r"(?:and |but |so )*(?:(?:it|that|this|they|those)(?:'ll| will)(?: have to)? do"
    r"(?: me| us| fine| for now)?"
    r"|no (?:metal|steel|screwdrivers?|hammers?|sealant|grease|oil|wire brush(?:es)?)"
    r"(?: here| please| though)*)",
    re.IGNORECASE,
)


def _tells_state(text: str) -> bool:
    """Whether words only tell how a part was found: "but it's worn short"."""
    return _IT_IS.match(text) is not None and names_fault(text) and not _ASKED.search(text)


_IT_IS = re.compile(
    r"(?:and |but |so )*(?:it|they|that|this|this one|that one)(?:'s|'re| is| are| has| have)\b"
    r"(?!.*\b(?:if|whether)\b)",
    re.IGNORECASE,
)


def _is_work(text: str) -> bool:
    """Whether words only ask for work at a part, and for nothing that is accepted."""
    orders = imperatives(text)
    if not orders or _DEMANDS.search(text):
        return False
    return orders[0].verb not in _LOOKS | _TRIED and is_work(orders[0].verb)


def _in_one_breath(before: Inspection, each: Proposal) -> bool:
    last = before.proposals[-1]
    return last.recording == each.recording and each.start - last.end <= _BREATH
