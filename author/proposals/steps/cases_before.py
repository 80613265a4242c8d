"""The case of a decision that the sentence before tells: "It knocks. If it does, shut it down".

Alone the decision says of nothing when it holds. The case is taken from a sentence that tells a
state, asks for one, or says what to listen for; where none does, the words stay as they are.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from author.proposals.language.verbs import base_of_third, forms
from author.proposals.speech.spoken import Sentence
from author.proposals.steps.other_halves import asks

# "If it does", "and if they don't", "if so"
_SHORT = re.compile(
    r"(?P<lead>(?:and |but |so |now )*)(?P<word>if|when) (?:so|not|(?:it|that|they|she|he|one) "
    r"(?:does|do|is|are|has|will|did|starts to|(?P<no>doesn't|don't|isn't|aren't|won't|does not|"
    r"do not)))"
    r"(?=,|$| (?:then )?(?:shut|stop|switch|turn|pull|take|change|replace|fit|renew|check|call|"
    r"back|start|undo|do|put|use|clean|leave|you|we|it's|that's|the|there)\b)",
    re.IGNORECASE,
)
_NOT = re.compile(r"(?:and |but |so |now )*(?:if|when) not\b", re.IGNORECASE)
_WHO = (
    r"(?:it|they|she|he|that|(?:the|this|your|those|these) (?:(?!that\b|which\b)[a-z-]+ ){0,2}?"
    r"[a-z-]+)"
)
_ASKED = r"(?:(?:see|check|watch|listen|look|feel|find out|make sure)(?: here| out)? (?:if|whether)"
_STATE = re.compile(
    rf"(?:.*\b{_ASKED}|that) |(?:and|but|so|now|sometimes|maybe|then),? )*(?P<who>{_WHO}) "
    r"(?P<may>(?:may|might|can|could|will|would|should|must|has to|shouldn't|mustn't|won't|can't|"
    r"couldn't|doesn't|don't|isn't|aren't|is|are)(?: also| still| just| sometimes)? )?"
    r"(?P<verb>[a-z-]+)(?P<rest>(?: [\w'-]+){0,6})[.!?]*",
    re.IGNORECASE,
)
_LISTEN = re.compile(
    r".*\b(?:listen|look|watch|feel|check|sniff|smell)(?: out)? for (?P<what>(?:an?|any) "
    r"[\w -]{2,40}?)[.!?]*",
    re.IGNORECASE,
)
_NO_STATE = frozenset({"be", "goes", "comes"})
_MANY = frozenset({"they", "those", "these"})
_BREATH = 8


def case_before(text: str, said: Sequence[Sentence], at: int) -> str:
    """Return a decision with its case, where the sentence before tells that.

    Args:
        text: the decision.
        said: what was said.
        at: index of the sentence it begins in.
    """
    found = _SHORT.match(text)
    if found is None or not at:
        return text
    one, two = said[at - 1], said[at]
    if one.recording != two.recording or two.words[0].start - one.end > _BREATH:
        return text
    denied = found["no"] is not None or _NOT.match(text) is not None
    case = _case(one.text, denied=denied)
    if case is None:
        return text
    told = f"{found['lead']}{found['word']} {case}{text[found.end() :]}"
    return told[:1].upper() + told[1:]


def _case(text: str, *, denied: bool) -> str | None:
    heard = _LISTEN.fullmatch(text)
    if heard and not denied:
        return f"there is {re.sub(r'^any ', 'a ', heard['what'], flags=re.IGNORECASE)}"
    state = _STATE.fullmatch(re.split(r"(?<=[,;:]) ", text)[-1])
    if state is None or (asks(text) and not re.search(r"\b(?:if|whether|sure)\b", text)):
        return None
    who, may, verb, rest = state["who"], (state["may"] or "").split(), state["verb"], state["rest"]
    who = who[:1].lower() + who[1:]
    names = who.lower().split()
    many = names[0] in _MANY or (len(names) > 1 and re.search(r"[^s]s$", names[-1]) is not None)
    if may and may[0] in {"is", "are", "isn't", "aren't"}:
        return f"{who} {may[0][:2] if may[0][0] == 'i' else 'are'}{_not(denied)} {verb}{rest}"
    if verb in {"is", "are"} and rest:
        return f"{who} {verb}{_not(denied)}{rest}"
    if verb in _NO_STATE or (not may and many == verb.endswith("s")):
        return None
    base = verb if may or many else base_of_third(verb) or verb.removesuffix("s")
    if denied:
        return f"{who} {'do' if many else 'does'} not {base}{rest}"
    return f"{who} {base if many else forms(base)[0] if may else verb}{rest}"


def _not(denied: bool) -> str:
    return " not" if denied else ""
