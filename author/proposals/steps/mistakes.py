"""Words that sound like an order and tell a mistake, or what an order is for."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace
from functools import cache

from author.checks.verbs import words
from author.proposals.kinds.marks import Marked
from author.proposals.language.closed_words import NUMBERS
from author.proposals.language.spoiling import all_forms, spoiling_verbs

_HARMS = frozenset({"hazard", "damage"})
WILL = re.compile(r"(?:and |or )*(?:you'll|you will|you're (?:gonna|going to))\b", re.IGNORECASE)
_COMING = re.compile(rf"{WILL.pattern}|(?:and |or )*you(?:'re \w+ing|'ve \w+)\b", re.IGNORECASE)


def comes_of_it(text: str, mark: Marked, harms: Sequence[Marked]) -> bool:
    """Whether words tell a mistake, or what comes of one: "leave it loose and it'll blow off"."""
    if _COMING.match(mark.text) and any(one.begin <= mark.begin < one.end for one in harms):
        return True
    if _supposed(text, mark, harms) or _at_a_value(text, mark):
        return True
    return any(is_mistake(text, mark, one) for one in harms)


def _supposed(text: str, mark: Marked, harms: Sequence[Marked]) -> bool:
    """Whether somebody is only supposed to do it: "you crack that casting and it's scrap"."""
    you = _YOU_DO.match(text, mark.begin)
    if you is None:
        case = _CASE_AND_YOU.match(mark.text)
        return case is not None and case[1].lower() in _spoils()
    for comes in _COMES_OF_IT.finditer(text, you.end(), you.end() + _NEAR):
        if comes["done"] is None or comes["done"].lower() in _spoilt():
            return True
    own = any(abs(one.begin - mark.begin) <= _AND and mark.end <= one.end for one in harms)
    led = text[: mark.begin].lower().rstrip().endswith("and") or mark.text.lower().startswith("and")
    return own and led and you[1].lower() in _spoils()


@cache
def _spoils() -> frozenset[str]:
    return spoiling_verbs() | _ALSO_SPOILS


@cache
def _spoilt() -> frozenset[str]:
    """Return what was done where something is spoilt: "wrecked", "broken"."""
    done = {one for one in all_forms(_spoils()) if not one.endswith(("ing", "s"))}
    return frozenset(done - _spoils() | {"split", "burst", "spoilt", "burnt"})


_ALSO_SPOILS = words(
    "blow break bend tear rip burn cook score kill lose waste jam crack split spoil round melt junk"
)


# "Undo the clip and it'll drop straight out" is meant to be, and so is "… and you'll see the nut".
_MEANT_SO = (
    r"(?:just |probably |then )*(?:(?:see|find|notice)\b (?!out\b)"
    r"|(?:feel|hear|get) (?:it|an?|the|them) (?:\w+ )??(?:click|clunk|snap|pop|hiss|puff|stop|"
    r"bite|go|seat|catch|engage|bottom|start|settle)\b"
    r"|(?:click|seat|stop|turn|show|settle|start|snap (?:in|on|home))\b"
    r"|(?:drop|come|fall|slide|lift|pop|slip|pull)\b[\w ]*?\b"
    r"(?:out|off|away|free|apart|clear|down|in|home)\b)"
)
_NEAR, _AND = 110, 4
_YOU_DO = re.compile(
    r"(?:(?:before|when|once) [^,]{3,40}, )?"
    r"(?:(?:and|but|so|or|because|'?cause|'?cos|then) )*you (?:just |only |ever |even |once )*"
    r"(?!can|could|will|would|need|want|have|got|gotta|should|must|may|might|do\b|are|be)"
    r"(?!(?:just|only|then|also|always|never)\b)([a-z]+)(?!\w)",
    re.IGNORECASE,
)
# "… and the machine's scrap", "… and you just wasted a seal", "… you've wrecked the face"
_COMES_OF_IT = re.compile(
    r"(?:,? and (?:then )?|, (?:then )?| (?=you've|it's))(?:"
    r"(?:it|he|she|that|they|the [\w-]+(?: [\w-]+)?)(?:'s|'re| is| are)(?: now| just| all)*"
    r" (?:scrap|scrapped|ruined|wrecked|done|dead|gone|finished|toast|junk|history|stripped|bent"
    r"|broken|cracked|spoiled|spoilt|knackered|warped|damaged|(?:gonna|going to) (?!show|tell))\b"
    r"|(?:it|he|she|that|they|the [\w-]+)(?:'ll| will)"
    rf"(?! {_MEANT_SO})"
    r"|(?:now |then )?(?:there's|there goes|that's) your [\w -]{2,30} (?:gone|done|finished|out)\b"
    r"|now (?:you're|it's|they're|you've)\b|by (?:morning|night|noon|then|dinner|christmas)\b"
    r"|you've (?:just |only )*made (?:the same|a (?:new )?(?:hole|mess|leak|groove))"
    r"|you're (?:just )?(?:bleeding|throwing|throwin'|doing|doin'|buying|buyin'|starting|back)\b"
    r"(?=.{0,40}\b(?:again|away|twice|over|another|new|to the start)\b)"
    r"|you(?:'ve)? (?:just |only |gone and )*(?P<done>[a-z]+)\b)",
    re.IGNORECASE,
)
_CASE_AND_YOU = re.compile(r"(?:when|if) (?:you|one)\b[^,]*? and you ([a-z]+)\b", re.IGNORECASE)


def _at_a_value(text: str, mark: Marked) -> bool:
    """Whether it is told what one does from a value on: "fifteen and you're throwing it away"."""
    if not _AND_YOU.match(text[mark.begin :]) and not _YOU.match(mark.text):
        return False
    clause = _LAST_CLAUSE.search(text[: mark.begin])
    lead = clause[1].lower().replace("-", " ").split() if clause else []
    return 1 < len(lead) <= _SHORT and lead[-1] == "and" and set(lead[:-1]) <= _OF_A_VALUE


_SHORT = 7
_AND_YOU = re.compile(r"and you(?:'re)?\b", re.IGNORECASE)
_LAST_CLAUSE = re.compile(r"([^,.;:]*)$")
_OF_A_VALUE = NUMBERS | words(
    """
    a at over past more than above beyond anything and point oh hundred thousand half quarter
    quarters tenths hundredths thousandths millimetres millimeters mil thou microns degrees bar psi
    amps volts inches
    """
)


def is_mistake(text: str, mark: Marked, harm: Marked) -> bool:
    """Whether what is told to be done only leads to a harm: "leave it loose and it'll blow off".

    Args:
        text: the sentence.
        mark: what is told to be done in it.
        harm: a warning in it.
    """
    comes = _AND_IT_WILL.match(text, mark.end) or _AND_IT_HAS.match(text, mark.end)
    wanted = comes is None or _WANTED.match(text, comes.end())
    if comes is not None and not wanted and mark.end <= harm.begin <= comes.end():
        return True
    spoils = _AND_IT_SPOILS.match(text, mark.end)
    if spoils is None or not _tells_spoilt(spoils):
        return False
    whole = harm.begin <= mark.begin and spoils.end() <= harm.end
    return whole or mark.end <= harm.begin < spoils.end()


def _tells_spoilt(found: re.Match[str]) -> bool:
    if found["done"]:
        return found["done"].lower() in _spoilt() | {"bought", "made", "scrapped", "lost"}
    return found["does"].lower() in all_forms(_spoils())


# "Squeeze that tube and you've bought a ram", "push on the inner and you dent the balls"; what
# "breaks free" is meant to.
_AND_IT_SPOILS = re.compile(
    r",? and (?:you've (?:just |only )?(?P<done>[a-z]+)\b(?! (?:it|room|sure)\b)"
    r"|(?:you|it|they|the [\w-]+(?: [\w-]+)?) (?:just )?(?P<does>[a-z]+)\b"
    r"(?! (?:free|loose|off|out|away|clear)\b))",
    re.IGNORECASE,
)


_AND_IT_WILL = re.compile(
    r",? and (?:it|you|they|that|this|the [\w-]+)(?:'ll| will| might|'s g(?:oing to|onna)"
    r"|'re g(?:oing to|onna))\b ?",
    re.IGNORECASE,
)
# "Squeeze the barrel and you've made it egg-shaped", "nick that seal and it's scrap".
_AND_IT_HAS = re.compile(
    r",? and (?:it|you|they|that|this)(?:'ve|'s|'re| have| has| is| are)\b"
    r"(?! (?:got|freed|done with|in\b)) ?",
    re.IGNORECASE,
)
_WANTED = re.compile(_MEANT_SO, re.IGNORECASE)


def warns_of_itself(words: str) -> bool:
    """Whether words that begin like an order tell what comes of it: "snap it and you'll …"."""
    found = _AND_IT_WILL.search(words)
    if found is None or _WANTED.match(words, found.end()):
        found = _AND_IT_SPOILS.search(words)
    if found is None or not (found.re is _AND_IT_WILL or _tells_spoilt(found)):
        return False
    return not set(",;:") & set(words[: found.start()])


def with_mistake(text: str, mark: Marked, others: Sequence[Marked]) -> Marked:
    """Return a warning with what it warns of: "leave it loose and it'll blow off".

    Args:
        text: the sentence.
        mark: the warning.
        others: all that was found in the sentence.
    """
    for one in others:
        if mark.kind in _HARMS and one.kind == "action" and is_mistake(text, one, mark):
            return replace(mark, begin=one.begin, text=text[one.begin : mark.end])
    return mark


def only_tells_mistake(text: str, mark: Marked, others: Sequence[Marked]) -> bool:
    """Whether a point or a reason only tells what is warned of; see ``with_mistake``."""
    if mark.kind not in {"orientation", "order", "reason"}:
        return False
    wholes = (with_mistake(text, one, others) for one in others if one.kind in _HARMS)
    return any(one not in others and one.begin <= mark.begin < one.end for one in wholes)


def is_purpose(text: str, mark: Marked, marks: Sequence[Marked]) -> bool:
    """Whether words tell what an order is for: "count them, so you put eight back"."""
    lead = text[: mark.begin].rstrip()
    if not _SO_YOU.match(mark.text) and not (lead.endswith(" so") and _YOU.match(mark.text)):
        alike = _SO_THEY.search(lead) if _AS_THEY_WERE.match(mark.text) else None
        return alike is not None or _SO_THAT.search(f"{lead} ") is not None
    if _NEEDED.match(mark.text):
        return False
    return any(one.kind == "action" and one.end <= mark.begin for one in marks)


_SO_YOU = re.compile(r"so (?:that )?(?:you|they|it)\b", re.IGNORECASE)
_YOU = re.compile(r"(?:you|they|it)\b", re.IGNORECASE)
# "Tape on this one, so they | go home the same way round".
_SO_THEY = re.compile(r"\bso (?:that )?(?:they|it|you)(?:'ll| will)?$", re.IGNORECASE)
_AS_THEY_WERE = re.compile(r"(?:go|fit|come) (?:home|back)\b.*\bsame\b", re.IGNORECASE)
_SO_THAT = re.compile(r"\bso (?:that )?(?:you|they|it|we) (?:can|can't|could|don't|won't) $", re.I)
_NEEDED = re.compile(
    r"(?:so )?(?:that )?(?:you|they|it) (?:need|want|have to|hafta|gotta|must|should|needa|wanna)",
    re.IGNORECASE,
)
