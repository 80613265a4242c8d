"""Findings put off: a fault told of a part, and that it is left for another day or somebody else.

"The hose is cracked. We won't do that today" is no talk, no check and no order of this job. What
puts off is told in many ways, so a fault must be told in the same sentence or in the two before.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import replace
from decimal import Decimal

from author.proposals.kinds.marks import Kind, Marked, by_sentence, meet, with_others
from author.proposals.speech.spoken import Sentence
from author.proposals.steps.findings import THING_IS, tells_fault
from author.proposals.steps.other_halves import asks

_OCCASION = (
    r"(?:service|servicing|shutdown|overhaul|visit|inspection|outage|stoppage|rebuild|refit)"
)
_SEASON = (
    r"(?:spring|summer|autumn|winter|january|february|march|april|may|june|july|august|september|"
    r"october|november|december|christmas|easter)"
)
WEEKDAY = r"(?:monday|tuesday|wednesday|thursday|friday|saturday|sunday|the weekend)"
_DAY = (
    r"\b(?:(?:at|on|in|for|with|during|until|till|by|to) (?:(?:the|his|her|their|your|its|our|my|"
    rf"a|an) )?(?:(?!every|each|this|any|same)[\w-]+ ){{0,2}}?{_OCCASION}"
    rf"|(?:in|for|until|till|over|by|come|before)(?: the)? {_SEASON}"
    r"|(?:with|at) (?:the|your|its|their) next (?!(?:step|one|hole|bolt|nut|screw|mark|tooth|teeth"
    r"|notch|line|job|thing|bit|part|size)\b)[\w-]+"
    r"|(?:later |some time )?this (?:year|month|winter|summer|autumn|spring)"
    rf"|next (?:week|month|time|visit|service|year|season|{_SEASON}|{WEEKDAY})"
    rf"|(?:another|some other) (?:day|time|week|visit)|(?<!since )(?<!last )(?:(?:on|this|come) "
    rf")?{WEEKDAY}|tomorrow"
    r"|(?:in|for) (?:another )?(?:an?|a few|one|two|three|four|six|twelve|[1-9]\d*) "
    r"(?:weeks?|months?|years?|seasons?)"
    r"|when (?:the|it|they|he|she|my|our) ?[^,.;]{0,20}?(?:comes?|arrives?|gets? here|(?:is|are"
    r"|'s) (?:back|in|here|drained|apart|open|stopped|empty|down|shut down)))\b"
)
_WORK = (
    r"(?:do|change|replace|renew|fix|sort|swap|mend|repair|weld|leave|look|check|have|get|deal|"
    r"address|tackle|order|come|be back|rebuild|regrind|rebush|reline|reseal|fit|bring|take|"
    r"put|pick|quote|keep|book)"
)
_I = r"(?:i|we|he|she|they|you)"
_TO_DO = (
    r"(?:'d|'ll|'m|'re| would| will| can| could| should)?"
    r"(?: (?:just|only|probably|then|rather|have to|want to|better|going to|gonna))*"
)
_IT = r"(?:it|that|this|them|those|these)"
_FOLK = r"(?:owner|customer|client|office|shop|boss|foreman|manager|farmer|operator|supervisor)"
_PUTS_OFF = re.compile(
    rf"\b(?:{_I}{_TO_DO} {_WORK}\b[^.;:!?]{{0,40}}?{_DAY}"
    # "It has to be changed, and I'm doing that in the summer"
    rf"|(?:i|we)(?:'m|'re| am| are) (?:doing|changing|replacing|fixing|sorting|leaving) {_IT}"
    rf"[^,.;]{{0,20}}? {_DAY}"
    # "The guide block is worn through. That is another job"
    r"|(?:that|this|it)(?:'s| is| will be|'ll be) (?:for )?(?:another|a different|a separate|some "
    r"other) (?:job|day|time|visit)\b"
    # "That's for the rigger next month"
    r"|(?:that|this|it|they|those)(?:'s|'re| is| are) (?:one |some |a job |something )?for "
    rf"(?:the|an?) [\w-]+(?: [\w-]+)? {_DAY}"
    # "So that's for the winter"
    r"|(?:that|this|it|those)(?:'s|'re| is| are) (?:one |some |a job |something )?"
    rf"for (?:the |next )?(?:{_SEASON}|{_OCCASION})\b(?=[,.;]|$)"
    # "The bushing should get changed with the next service", "it wants a new one in spring"
    r"|(?:(?:should|'ll|will|has to|have to|must|can|could|ought to) "
    r"(?:be|get|have|wait|go|need|want)"
    r"|(?:wants?|needs?) (?:a|an|new|to be|to get|[a-z]+ing)|gets?)\b"
    rf"(?: [\w-]+){{0,4}}? {_DAY}"
    # "We won't do that today", "I'm not touching it this time"
    r"|(?:i|we)(?:'re|'m| are| am|'ll)? (?:not|won't|don't|can't) (?:be |going to |gonna )?"
    r"(?:do|fix|change|replace|"
    rf"touch|sort|repair|mend|doing|fixing|changing|replacing|touching|sorting)\b (?:{_IT}|the"
    r" [\w-]+)\b[^,.;]{0,20}?\b(?:today|now|this time|this visit|here)"
    r"|not (?:today|this time|this visit)|(?:^|(?<=[,;.] ))not now(?=[.,;]|$)"
    # "Brush strip, missing bristles. Report it.", "a wisp of haze. Another day, when it's out"
    r"|(?:just )?(?:report|log) (?:it|that|them)\b(?=[.,;]|$)"
    r"|(?:^|(?<=[,;] ))(?:another|some other) (?:day|time|visit)(?=[.,;]|$)"
    # "They'll do this season but tell the customer"
    r"|(?:it|they|that|those)(?:'ll| will) (?:just |probably )?(?:do|last|see out|hold) (?:this|"
    r"the|another|"
    rf"one more|a) (?:season|year|winter|summer|month)\b(?:,? (?:but|and|so) (?:tell|ask|ring|let|"
    rf"warn|inform) the {_FOLK})?"
    # "Next shutdown, order one"
    rf"|next {_OCCASION},? (?:we |i |you )?(?:order|do|change|replace|fit|renew)\b"
    # "For now I only note it down", "I'd ask the owner", "I'm leaving it alone"
    r"|for now,? (?:i|we)(?:'ll|'m|'d)?(?: just| only)* (?:note|write|mark|leave|log|report)"
    rf"|(?:i|we)(?:'ll|'d)?(?: just| only)* (?:note|write|log) {_IT} (?:down|up)"
    r"|(?:i|we)(?:'d|'ll| would| will|'ve| have)?(?: have)?(?: to)?(?: just)? (?:ask|tell|ring|"
    rf"call|inform|warn|let|phone|told|speak to|talk to) (?:the|its|his|her|your) {_FOLK}"
    r"|(?:i|we)(?:'m|'re|'ll|'d| will| would| can)?(?: just| going to| gonna)? (?:leave|leaving) "
    rf"(?:{_IT}|that one|this one)(?: alone| be\b| as (?:it|they|is)\b|(?: like (?:that|this))?"
    r"(?=[,.;]|$))"
    r"|order (?:one|another|a new one|some|it|them) "
    rf"(?:for (?:later|stock)\b|[^.;]{{0,20}}?{_DAY}))",
    re.IGNORECASE,
)
_NEEDS_NEW = re.compile(
    r"\b(?:(?:has|have|needs?) to (?:be|get) (?:changed|replaced|renewed)"
    r"|(?:needs?|wants?) (?:changing|replacing|renewing))\b",
    re.IGNORECASE,
)
_ON_A_DAY = re.compile(_DAY, re.IGNORECASE)
_IT_IS = (
    r"(?:(?:it|she|he|they|that|this|those|one)|(?:the|that|this|your|his|her) (?:[\w-]+ ){0,2}?"
    r"[\w-]+)"
)
_SPAN = (
    r"(?:(?:another|one more|a further) (?:(?:couple of|few|two|three|six) )?|(?:two|three|four|"
    r"six|a few) more )(?:weeks?|months?|years?|seasons?|winters?|summers?)"
)
_RENEWED = (
    r"(?:change|replace|renew|do|swap|fit|bin|chuck|scrap|look at) "
    r"(?:it|them|that|those|a new (?:one|[\w-]+))"
)
# Puts off by its form alone, whatever is told before: "she'll want a belt by Christmas", "it's good
# for another month, then change it". "You'll want a brush by Monday" speaks of no machine.
_BY_FORM = re.compile(
    rf"(?<![\w'])(?:{_IT_IS}(?:'ll| will|'s going to|'s gonna| is going to) (?:want|need) "
    rf"(?:an?|new|another|some|its|her|his|the|two|three|four) (?:[\w-]+ ){{1,3}}?{_DAY}"
    rf"|{_IT_IS}(?:'s|'re|'ll be| is| are| will be|s(?= ))(?: still| just)* (?:good|okay|ok|"
    rf"fine|safe) for (?:{_SPAN}|(?:an?|the) (?:week|month|year|season)(?=,? (?:and )?then))"
    rf"(?:,? (?:and |but )?(?:then|after that)(?: i'd| we'd| you)? {_RENEWED})?"
    r"|(?:(?:it|they|that|those)(?:'ll| will)(?: (?:probably|just|only))* (?:do|last|go|run)"
    r"|(?:it|they|that|those)(?:'s|'ve| has| have)(?: still)? got)"
    r"(?: (?:about|maybe|at least|only|probably))* (?:another|an?|one|two|three|four|five|six|ten|"
    r"this|the|the rest of the|some)\b(?: [\w-]+){0,2}? "
    r"(?:days?|weeks?|months?|years?|seasons?|summers?|winters?|miles|kilometres|hours?|shifts?)\b"
    r"(?: (?:in|on|left in) (?:it|them))?(?: or (?:so|two))?,? (?:and |but )?then "
    rf"(?:(?:you|i|we|he)(?:'ll|'d)? )?{_RENEWED}"
    # "It's original, so that should be looked at when it's drained"
    rf"|(?:so|and|but) (?:it|that|this|they|those)(?:'ll| will| should| must| has to| have to"
    rf"| needs to| need to)(?: be| get) (?:looked at|checked|changed|replaced|renewed|done) {_DAY}"
    # "Belt's worn, new belt on at the next service"
    rf"|(?:an? )?new [\w-]+(?: [\w-]+)??(?: on| in)? (?:(?:at|with|on) the )?next (?:{_OCCASION}"
    rf"|week|month|time|year|season|{_SEASON}|{WEEKDAY})\b)",
    re.IGNORECASE,
)
# "It's good for another month. Then change it."
_THEN_RENEW = re.compile(
    r"(?:and |but |so )*(?:then|after that),? (?:(?:you|i|we|he)(?:'ll|'d)? )?"
    r"(?:change|replace|renew|do|swap|bin|chuck|scrap) (?:it|them|that|those)\W*$",
    re.IGNORECASE,
)
# "Up to a tenth we leave it" tells a limit.
_IN_CASE = re.compile(
    r"\b(?:if|unless|whether|in case|don't|do not|never|up to|anything)\b", re.IGNORECASE
)
# "Grease it, or it'll want a new bearing next winter" warns.
_ELSE = re.compile(r"\b(?:or|otherwise|else|because|'cause|cos)\b[^,.;]*$", re.IGNORECASE)
# "The bushing there | should get changed": whatever it is told of stands in front.
_ABOUT = re.compile(
    r"(?:\b(?:the|that|this|those|these|it|they|one)\b[^,.;:]{0,40} )$", re.IGNORECASE
)
_TIED = re.compile(r"(?:\b(?:so|but|and|though)\b,? ?)+$", re.IGNORECASE)
_HARM_COMES = re.compile(r"\b(?:will|can|could|might|would|don't|never|careful)\b|'ll\b", re.I)
# "I've not got one on the van", "it doesn't jump out", "it'll last": nothing that harms.
_NO_WARNING = re.compile(
    r"(?:(?:so|but|and|though) )*(?:(?:i|we)\b|(?:it|they|that) (?:doesn't|don't|isn't|aren't|"
    r"can)\b|"
    r"(?:it|they|that|she|he)(?:'ll| will) (?:want|need) (?:an?|new|another|some|the)\b|"
    r"(?:it|they|that)'ll (?:do|last|hold|be|go|live|keep|wait|see)\b|not (?:today|now|this)\b)",
    re.IGNORECASE,
)
# "It'll do another year, so that goes back on": what is done with it now is work.
_STOP = re.compile(
    r"[.;!?](?!\d)|, so (?:that|it|they|those)(?:'s| is| are|'re)? (?:goes|go|going|stays?|"
    r"staying)\b|, so (?:(?:just|now|then|i|we|you|i'll|we'll) )*(?:the [\w -]{2,24} "
    r"(?:goes|go|can go) back|(?:put|fit|refit|close|bolt|screw|slide|push|clip) "
    r"(?:the|it|them|that|both|all))\b",
    re.IGNORECASE,
)
_TOLD_BESIDE: frozenset[Kind] = frozenset(
    {"inspection", "reason", "chatter", "preview", "decision", "action",
     "order",
     "prerequisite", "off_camera", "hidden"}
)  # fmt: skip
_SAYS_STATE: frozenset[Kind] = frozenset({"hazard", "damage", "inspection", "reason", "chatter"})
_BACK = 2
"""Sentences before what puts off in which the fault is sought."""
_BREATH = 8
_SURE = Decimal("0.70")


def with_put_off(said: Sequence[Sentence], marks: Sequence[Marked]) -> list[Marked]:
    """Return the marks, with what puts a fault off as a finding, whatever it was taken for.

    Args:
        said: what was said.
        marks: kinds of its clauses, in the order of the sentences.
    """
    there = by_sentence(marks)
    found: list[Marked] = []
    gone: set[Marked] = set()
    put_off: set[int] = set()
    for index, sentence in enumerate(said):
        own = there.get(index, ())
        told = _puts_off(said, index, own)
        late = [mark for mark in own if mark.kind == "deferred"]
        gone |= {mark for mark in late if _only_in_case(sentence.text, mark, own)}
        for mark in late:
            if told is None and _in_general(said, index, mark):
                gone.add(mark)
                found.append(replace(mark, kind="decision"))
        if index - 1 in put_off and _THEN_RENEW.match(sentence.text):
            gone.update(one for one in own if one.kind == "action")
        if told is not None:
            met = [mark for mark in late if _beside(sentence.text, mark, told)]
            # "So the whole valve has to be changed, and I'm doing that in the summer"
            needs = [
                mark for mark in own
                if mark.kind == "action" and mark.end <= told.begin and _NEEDS_NEW.search(mark.text)
            ]  # fmt: skip
            gone.update(needs)
            begins = [_clause_begins(sentence.text, mark.begin) for mark in needs]
            begin = min([told.begin, *begins, *(mark.begin for mark in met)])
            end = max([told.end, *(mark.end for mark in met)])
            told = replace(told, begin=begin, end=end, text=sentence.text[begin:end])
            gone |= {
                mark for mark in own if mark in met or (meet(mark, told) and _is_told_by(mark))
            }
            found.append(told)
        if told is not None or late:
            put_off.add(index)
            gone |= _told_as_else(said, index, there)
    return with_others(marks, gone, found)


def _clause_begins(text: str, at: int) -> int:
    """Return where the clause begins that holds a letter, behind "so" and "and"."""
    begin = max((stop.end() for stop in re.finditer(r"[,;:.] ", text[:at])), default=0)
    tied = re.compile(r"(?:(?:so|and|but|then) )*", re.IGNORECASE).match(text, begin)
    return tied.end() if tied else begin


def _is_told_by(mark: Marked) -> bool:
    """Whether a finding leaves nothing of a mark to tell; what can harm warns all the same."""
    if mark.kind in {"hazard", "damage"}:
        return _NO_WARNING.match(mark.text) is not None or THING_IS.match(mark.text) is not None
    return mark.kind in _TOLD_BESIDE


def _beside(text: str, mark: Marked, told: Marked) -> bool:
    """Whether two clauses put off one thing: "not that one today, I'll tell the owner"."""
    between = text[min(mark.end, told.end) : max(mark.begin, told.begin)]
    return meet(mark, told) or not re.sub(r"\b(?:and|but|so)\b|\W", "", between)


def _only_in_case(text: str, mark: Marked, own: Sequence[Marked]) -> bool:
    """Whether it is put off only if something is found: "if it's cracked, change it next time"."""
    front = text[: mark.begin]
    decided = any(one.kind == "decision" for one in own)
    return decided and _IN_CASE.search(front) is not None and not tells_fault(front)


def _in_general(said: Sequence[Sentence], index: int, mark: Marked) -> bool:
    """Whether it is told what one does between two limits: "in between, you'd make a note"."""
    if not _ONE_WOULD.match(mark.text):
        return False
    return not (tells_fault(said[index].text) or _fault_before(said, index))


_ONE_WOULD = re.compile(
    r"(?:and |but |so )*you(?:'d| would|'ll| will| just| can)?\b", re.IGNORECASE
)


def _puts_off(said: Sequence[Sentence], index: int, own: Sequence[Marked]) -> Marked | None:
    text = said[index].text
    for each in (*_BY_FORM.finditer(text), *_PUTS_OFF.finditer(text)):
        front = text[: each.start()]
        if _ELSE.search(front) or (_IN_CASE.search(front) and not tells_fault(front)):
            continue
        told = text[: each.end()]
        known = each.re is _BY_FORM or tells_fault(told) or _NEEDS_NEW.search(told)
        if not (known or _fault_before(said, index)):
            continue
        begins = _TIED.search(front) or _ABOUT.search(front)
        begin = begins.start() if begins else len(front) - len(front.split(" ")[-1])
        stop = _STOP.search(text, each.end())
        # "I won't do that today, but it should be changed before the autumn" is one finding
        work = [m for m in own if m.kind == "action" and not _ON_A_DAY.search(m.text)]
        orders = [m.begin for m in work if m.begin > each.end()]
        end = min([stop.start() if stop else len(text), *orders])
        words_told = text[begin:end].rstrip(" ,")
        return Marked(
            index, begin, begin + len(words_told), "deferred", words_told, _SURE,
            f"{words_told[:40]!r} puts off what was found",
        )  # fmt: skip
    return None


def _fault_before(said: Sequence[Sentence], index: int) -> bool:
    """Whether a fault is told in the sentences right before one."""
    for at in range(index - 1, max(index - 1 - _BACK, -1), -1):
        one, behind = said[at], said[at + 1]
        if one.recording != behind.recording or behind.start - one.end > _BREATH:
            return False
        if tells_fault(one.text):
            return True
    return False


def _told_as_else(
    said: Sequence[Sentence], index: int, there: Mapping[int, Sequence[Marked]]
) -> set[Marked]:
    """Return the marks that say no more than the fault itself: no check, and no warning."""
    gone: set[Marked] = set()
    # "A steady drip isn't fine. The gun's got a worn pin, it'll do": two things
    alone = tells_fault(said[index].text)
    for at in (index,) if alone else (index, index - 1):
        if at < 0 or not tells_fault(said[at].text):
            continue
        gone |= {
            mark
            for mark in there.get(at, ())
            if mark.kind in _SAYS_STATE
            and (THING_IS.match(mark.text) or not asks(mark.text))
            and not _HARM_COMES.search(mark.text)
        }
    return gone
