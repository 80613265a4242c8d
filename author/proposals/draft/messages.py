"""Warnings as messages: what can do harm and how to avoid it, told in one or in two breaths."""

from __future__ import annotations

import re
from collections.abc import Sequence, Set
from dataclasses import dataclass, replace
from decimal import Decimal

from author.proposals.draft.no_warning import is_meant, is_no_warning, only_a_part_suffers
from author.proposals.draft.warning_halves import FORGOTTEN, IN_CASE, halves_of, without_lead
from author.proposals.proposal import Proposal, answered
from author.proposals.steps.findings import names_fault

_BREATH = Decimal(4)
"""Seconds within which the other half of a warning is said, if at all."""
_BECAUSE = re.compile(r"(?:because|'?cause|cos|since)\b(?! if\b)", re.IGNORECASE)
# "Till you get water out of the bleeder" says when, and not what can harm.
_NO_HARM = re.compile(
    r"(?:and |so |but )*(?:until|till|before|if)\b(?!.*(?:,|\b(?:will|can|could|"
    r"might|not with)\b|'ll\b))",
    re.IGNORECASE,
)
# "Only once the leg's back in"; "once that nut's off there's nothing holding it" warns.
_ONCE_THERE = re.compile(
    r"(?:and |so |but |only )*(?:once|when|as soon as) (?:the |that |your |it|they|"
    r"everything)[\w-]*"
    r"(?: [\w-]+)?(?:'s|'re| is| are) (?:all )?(?:back|in|on|home|down|together|fitted|seated)"
    r"(?: (?:in|on|to|into|onto) (?:the|its|their) [\w-]+)?",
    re.IGNORECASE,
)
# "So it doesn't swing on you": what the order before it keeps from happening.
_KEPT_FROM = re.compile(
    r"^((?:it|they|that|this|you|the \w+)) (?:doesn't|don't|can't|won't) ", re.IGNORECASE
)
# "The cord is out so it can't fire": what was done keeps it from happening.
_CANNOT = re.compile(r"so (?:that )?(?:it|they|that|nobody) (?:can't|cannot) [^,;]+", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Message:
    """A warning with as much of it as was said.

    Attributes:
        proposals: what it is made of, in the order said.
        signal: its signal word.
        harm: what can do harm; empty where that was not said.
        avoid: how to avoid it; empty where that was not said.
    """

    proposals: tuple[Proposal, ...]
    signal: str
    harm: str
    avoid: str


WORTH = Decimal("0.25")
"""Confidence below which a warning stands in a draft only once a person has accepted it."""


def worth_telling(about: Sequence[Proposal], accepted: Set[str] = frozenset()) -> list[Proposal]:
    """Return the warnings of one step that stand in a draft, in the order said.

    "If it keeps hissing, pull that and clean the seat" tells no harm: it is decided so.

    Args:
        about: all that is proposed of the step.
        accepted: ids of those that a person has accepted, which are never left out.
    """
    decisions = [p for p in about if p.kind == "decision"]
    return [
        p for p in about
        if p.kind == "hazard" and (p.id in accepted or (p.confidence >= WORTH and not (
            _ONLY_DECIDES.fullmatch(p.text) and any(p.overlaps(one) for one in decisions))))
    ]  # fmt: skip


# What is done then is work; "if it's hot, stand clear" and "if you smell gas, get out" warn.
_ONLY_DECIDES = re.compile(
    r"(?:and |but |so )*(?:if|when|unless) (?!you (?:smell|slip|drop|fall|get|feel (?:sick|"
    r"dizzy))\b)"
    r"(?!.*\b(?:will|could|might|would|may|or|because|'?cause|cos|never|don't|do not|not|careful|"
    r"mind|hot|hurt|burns?|stand|get|keep (?!your hand on)|wear|leave|run|clear|away|hands?(?! on "
    r"(?:it|them|there))|fingers|face|"
    r"call|evacuate|gas|live|switch|isolate|fire|smoke|ruin\w*|break|snap|crack|shut|only|"
    r"gently)\b)"
    r"(?!.*'ll\b)[^,]+(?:, | you ).+",
    re.IGNORECASE,
)


def messages(hazards: Sequence[Proposal], accepted: Set[str] = frozenset()) -> list[Message]:
    """Return the warnings of one step, halves that were said in one breath put together.

    What can hurt people comes before what can harm things.

    Args:
        hazards: what is proposed as a warning, in the order said.
        accepted: ids of those that a person has accepted, which are never left out.
    """
    found: list[Message] = []
    for each in hazards:
        if _says_no_harm(each.text) and each.id not in accepted:
            continue
        because = _BECAUSE.match(each.text) is not None  # "because brake fluid strips paint"
        avoid, harm = (
            ("", without_lead(each.text)) if because else halves_of(without_lead(each.text))
        )
        if not avoid and _CANNOT.fullmatch(each.text) and each.id not in accepted:
            continue
        if not IN_CASE.match(each.text) and _told_behind_so(each.text, harm):
            harm = _KEPT_FROM.sub(r"\1 can ", harm)
        signal = each.detail("signal") or "WARNING"
        signal = "NOTICE" if only_a_part_suffers(each.text) else signal
        made = Message((each,), signal, "" if avoid and is_meant(harm) else harm, avoid)
        last = found[-1] if found else None
        if last is not None and _goes_on(last, made):
            whole = f"{last.harm} {made.harm[:1].lower()}{made.harm[1:]}"
            found[-1] = replace(last, proposals=(*last.proposals, each), harm=whole)
        elif last is not None and _completes(last, made) and not _has_own(each, last, hazards):
            both = (*last.proposals, each)
            harm, avoid = last.harm or made.harm, last.avoid or made.avoid
            found[-1] = Message(both, made.signal, harm, avoid)
        else:
            found.append(made)
    found = [
        replace(
            one,
            harm=one.harm or answered(one.proposals, "harm"),
            avoid=one.avoid or answered(one.proposals, "avoid"),
        )
        for one in found
    ]
    told = [
        one for one in found
        if (one.harm or not _is_limit(one, accepted))
        and (_is_accepted(one, accepted) or not is_no_warning(one.harm, one.avoid))
    ]  # fmt: skip
    return sorted(told, key=lambda one: one.signal == "NOTICE")


def _is_limit(one: Message, accepted: Set[str]) -> bool:
    """Whether a warning is nothing but a limit of which no harm is told: "not more than eight"."""
    return not _is_accepted(one, accepted) and _ONLY_LIMIT.fullmatch(one.avoid) is not None


def _is_accepted(one: Message, accepted: Set[str]) -> bool:
    return any(each.id in accepted for each in one.proposals)


_ONLY_LIMIT = re.compile(
    r"(?:not|no|never) (?:any )?(?:more|less|over|above|under|higher|lower) ?(?:than )?"
    r"(?:[\w.-]+\s*){1,5}",
    re.IGNORECASE,
)


def _told_behind_so(text: str, harm: str) -> bool:
    """Whether a harm is what is kept from happening: "so it doesn't swing", not "it doesn't"."""
    return re.search(rf"\bso (?:that )?{re.escape(harm)}", text, re.IGNORECASE) is not None


def _says_no_harm(text: str) -> bool:
    """Whether words that were taken for a warning say when, or next to nothing: "seriously"."""
    words = text.split()
    if FORGOTTEN.match(without_lead(text)):
        return False
    of_oneself = len(words) <= _FEW and words[0].lower() in {"i", "we"}
    if _NO_HARM.match(text) or _ONCE_THERE.fullmatch(text) or len(words) == 1 or of_oneself:
        return True
    return _A_LITTLE.fullmatch(text) is not None or _only_tells_state(text)


def _only_tells_state(text: str) -> bool:
    """Whether words say how a part is, and nothing of what it does: "this one is cracked"."""
    state = _IS_SO.fullmatch(text)
    if state is None:
        return False
    return names_fault(text) or state["a"] is not None or _LOOKS.search(text) is not None


_LOOKS = re.compile(r"\b(?:blue|black|brown|gr[ea]y|dull|discolou?red|flat|clean)\b", re.IGNORECASE)


_A_LITTLE = re.compile(
    r"(?:just )?an? (?:short|little|small|quick|tiny|light) [\w-]+", re.IGNORECASE
)
# "This one is hard and cracked", "the filter is a sponge"; not "the edge is sharp and worn".
_IS_SO = re.compile(
    r"(?:and |but |so )*(?:the|this|that) [\w-]+(?: [\w-]+)? (?:is|looks|was)(?P<a> an?)? "
    r"(?!.*\b(?:sharp|hot|live|heavy|loaded|charged|under|brittle|loose|thin|weak|soft|cast|like|"
    r"fragile|tight|away|easily|will|can|could|might|gets?|"
    r"poison\w*|caustic|toxic|acid|trap|bomb|missing|slippery|[a-z]+'ll)\b)[\w' -]{3,40}",
    re.IGNORECASE,
)


_FEW = 4


def _has_own(each: Proposal, last: Message, hazards: Sequence[Proposal]) -> bool:
    """Whether the other half follows nearer than one stands before: "it cuts, so never …"."""
    before = each.start - last.proposals[-1].end
    behind = (p for p in hazards if p.recording == each.recording and p.start >= each.end)
    nearest = next(behind, None)
    if nearest is None or nearest.start - each.end >= before:
        return False
    avoid, harm = halves_of(without_lead(nearest.text))
    return not last.harm and bool(avoid) and not harm


def _goes_on(one: Message, two: Message) -> bool:
    """Whether a harm goes on in the next: "they cut their thread and | you'll strip it"."""
    near = one.proposals[-1].overlaps(two.proposals[0]) or (
        two.proposals[0].start - one.proposals[-1].end <= _BREATH
    )
    return near and _AND_ENDS.search(one.harm) is not None and not two.avoid and bool(two.harm)


_AND_ENDS = re.compile(r"\b(?:and|or|so|because)$", re.IGNORECASE)


def _completes(one: Message, two: Message) -> bool:
    """Whether each of two warnings lacks the half that the other has, in one breath.

    What spoils a thing is not avoided by what keeps people whole.
    """
    first, second = one.proposals[-1], two.proposals[0]
    if one.signal != two.signal:
        return False
    if first.recording != second.recording or second.start - first.end > _BREATH:
        return False
    return (not one.harm and not two.avoid) or (not one.avoid and not two.harm)
