"""Findings told in two clauses: the thing and its state, and then that it is left for later.

"The bushing's a bit loose. But it'll do until the next service." is one finding; "it", "that" and
"they" only point, and tell nothing without the clause before.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from author.checks.verbs import words
from author.proposals.kinds.marks import Marked, by_sentence
from author.proposals.kinds.no_findings import FINDINGS
from author.proposals.language.trade_words import trade_words
from author.proposals.orders.wording import imperatives
from author.proposals.speech.spoken import Sentence
from author.proposals.steps.other_halves import asks

_POINTS = re.compile(
    r"(?:(?:so|and|but|well|okay|still|anyway|now)\W+)*(?:(?:it|that|this|they|those|these|we|i|he|"
    r"she)(?:'\w+)?\b|(?:keep(?:ing)? an eye on|leave|leaving|write|put|report|note) (?:it|that|"
    r"them|this|those)\b|on (?:the|my|our|to the) |one for\b|another\b|not (?:today|this|now)\b|"
    r"for (?:now|next)\b|order (?:one|another|a new one|some)\b)",
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
THING_IS = re.compile(
    r"(?:(?:and|but|so) )?(?:the|that|this|its|your|one of the) [\w' -]{2,40}?"
    r"(?:'s|'re| is| are| has| have) ",
    re.IGNORECASE,
)
"""How a clause begins that tells how a thing is."""
_FAULTS = FINDINGS | words(
    """
    cracks nick nicks nicked slop sloppy stiff sticks sticky brown yellow dark dirty weak wobbly
    dents dent dented chip chips gouge gouged chafed rubbing rubbed missing green furred blocked
    rusted hairline groove grooves grooved scratches scratched squeaks squeaky squeal rattle rattles
    rust haze hazy dull blunt burned hooked knackered corrosion hums whines
    leaks weeps drips drip seeps crooked cloudy faded soft swelling tear tears splits
    bulge bulging hardened shiny glazed borderline marginal flicker flickers worse hiss hisses
    """
)
# "On their way out", "it just passes", "a flat spot": a fault in more than one word.
_FAULT_TOLD = re.compile(
    r"\b(?:on (?:its|their|the) (?:way out|last legs)|(?:just|only just|barely) (?:passes|makes it|"
    r"inside|within)|flat spots?|a flat (?:on|in)|worn flat|too (?:much|thin|short|loose|tight|"
    r"low|high|far|small|big)|"
    r"(?:out of|past|over|below|under) (?:its |the )?(?:limit|tolerance|best|spec)|"
    r"seen better days|(?:wants?|needs?) (?:a new|new|[a-z]+ing)|"
    r"coming (?:apart|loose|off)|had (?:it|better days)|(?:half|nearly|almost|mostly) (?:gone|"
    r"through|eaten))\b",
    re.IGNORECASE,
)
_IN_CASE = re.compile(r"\b(?:if|unless|whether|in case|don't|do not|never)\b", re.IGNORECASE)
# "In spring" names no part.
_SEASON = re.compile(r"\b(?:in|this|next|the|for|until|till|over|by|come) spring\b", re.IGNORECASE)
# What it tells of was named before: "it's above the seal", not "that bearing's noisy".
_OF_IT = re.compile(
    r"(?:(?:so|and|but|well|still|anyway|now)\W+)*"
    r"(?:(?:it|they)(?:'\w+)?\b|(?:that|this)(?:'s|'ll| is| will)\b)",
    re.IGNORECASE,
)
_THERE = frozenset({"there", "it", "that", "them", "one"})
_WARNINGS = frozenset({"hazard", "damage"})
_NO_STATE = frozenset({"action", "chatter", "preview", "hazard", "damage", "follow_on"})
_COMMA = re.compile(r"[,;:–—]\s+(?:and )?")
_DIGIT = re.compile(r"\d")
_LEAST = 3
_LONGEST = 160
_SHORT = 4
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
        if mark.kind != "deferred":
            continue
        told_off = mark.sentence and _PUT_OFF_ONLY.fullmatch(said[mark.sentence - 1].text)
        if not (told_off or _only_points(mark.text) or _needs_state(said, there, mark)):
            continue
        found = _in_front(said, there, mark) or _before(said, there, mark)
        if found is None:
            just_told = [*there.get(mark.sentence - 1, ()), *there.get(mark.sentence - 2, ())]
            if any(one.kind == "deferred" for one in just_told):
                taken.add(mark)  # "it's notchy, not today. I'll put that on the card"
            continue
        # It may be plain description, of which no kind was told.
        others = [one for one in there.get(found.sentence, ()) if one is not mark]
        # "The rear one is 54.96. So that's worn. We'll have that ground another day": once.
        between = [
            one
            for at in range(found.sentence + 1, mark.sentence)
            for one in there.get(at, ())
            if one in whole and whole[one].sentence == found.sentence
        ]
        if any(one in whole for one in others):
            taken.add(mark)  # "I'll put that on the card": nothing that was not told already
        else:
            for one in between:
                del whole[one]
                taken.add(one)
            whole[mark] = found
            taken.update(
                one for one in others if one.kind == "deferred" and one.begin >= found.begin
            )
    return whole, frozenset(taken - set(whole))


def tells_fault(text: str) -> bool:
    """Whether words tell what is wrong with a thing, not what is looked for or done then."""
    ordered = asks(text)
    return any(
        names_fault(clause)
        and not _IN_CASE.search(clause)
        and (THING_IS.match(clause) or _HAS_GOT.match(clause) or not (ordered or asks(clause)))
        for clause in re.split(r"[,;:] ", text)
    )


def names_fault(text: str) -> bool:
    """Whether words name a fault, whether it is found or looked for."""
    said = re.findall(r"[\w'-]+", text.lower())
    return not _FAULTS.isdisjoint(said) or _FAULT_TOLD.search(text) is not None


def _only_points(text: str) -> bool:
    """Whether a clause names nothing of its own and points to what was said before."""
    # "I'll do that next week when the new gland comes in"
    return bool(_POINTS.match(text)) and not _names_part(_WHEN.split(text, maxsplit=1)[0])


_WHEN = re.compile(
    r",? \b(?:(?:with|at) the next|when|once|as soon as|after|until|till) \b", re.IGNORECASE
)


def _needs_state(
    said: Sequence[Sentence], there: Mapping[int, Sequence[Marked]], mark: Marked
) -> bool:
    """Whether a clause names what is put off, and the sentence before what is wrong with it.

    "The bearings are on their way out. We'll do the bearings at the shutdown."
    """
    at = mark.sentence - 1
    if at < 0 or tells_fault(mark.text) or not tells_fault(said[at].text):
        return False
    if any(one.kind == "deferred" for one in there.get(at, ())):
        return False
    shared = _parts_in(mark.text) & _parts_in(said[at].text)
    return bool(shared) or not _THERE.isdisjoint(mark.text.lower().split())


def _names_part(text: str) -> bool:
    return bool(_parts_in(text))


def _parts_in(text: str) -> frozenset[str]:
    """Return the words of a text that name parts."""
    said = re.findall(r"[\w'-]+", _SEASON.sub("", text.lower()).replace("'s", ""))
    return frozenset(word for word in said if trade_words().kind_of(word) == "part")


def _in_front(
    said: Sequence[Sentence], there: Mapping[int, Sequence[Marked]], mark: Marked
) -> Finding | None:
    """Return a finding with the clause in front of it in its own sentence."""
    text = said[mark.sentence].text
    start = _told_from(text, mark.begin, there[mark.sentence])
    before = text[start : mark.begin].rstrip(" ,;:–—-")
    if not before and (name := _of_what(text[: mark.begin], mark.text)):
        # "Look at the belt, it's good for another month"
        return Finding(mark.sentence, mark.begin, f"{name}: {_small(mark.text)}")
    if len(before.split()) < _LEAST or mark.begin - start > _LONGEST:
        return None
    told = Finding(mark.sentence, start, text[start : mark.end])
    if not start and mark.sentence and (_OF_IT.match(before) or _only_points(before)):
        # "One tooth is chipped. It'll do this season, but order one for the winter"
        return _with_the_one_before(said, there, told)
    if start and (name := _of_what(text[:start], before)):
        return replace(told, text=f"{name}: {_small(told.text)}")
    return told


def _of_what(ordered: str, state: str) -> str:
    """Return what "it" is where only an order before names it: "take the belt off, it's shiny"."""
    if not _OF_IT.match(state) or _names_part(state):
        return ""
    orders = imperatives(ordered.rstrip(" ,;:.–—-"))
    name = (orders[-1].object or "") if orders else ""
    name = re.sub(r"^(?:the|that|this|your|a|an) ", "", name, flags=re.IGNORECASE)
    return "" if name.lower() in _THERE or _OF_IT.match(name) else name[:1].upper() + name[1:]


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
    if _PUT_OFF_ONLY.fullmatch(one.text):
        # "Teeth hooked a bit. Not today. Next shutdown, order one": told in two breaths.
        found = _before(said, there, replace(mark, sentence=at, begin=0, text=one.text.rstrip(".")))
        return found and replace(found, text=f"{found.text}, {_small(mark.text)}")
    short = len(one.text.split()) <= _SHORT
    start = 0  # "replace from 236" is no work, but where it would be refused
    if not (short and _DIGIT.search(one.text)):
        start = _told_from(one.text, len(one.text), there.get(at, []))
    state = one.text[start:].rstrip(" .!?,;:–—-")
    few = len(state.split()) < _LEAST and not tells_fault(state)
    if few or len(state) > _LONGEST:
        return None
    told = Finding(at, start, state)
    points = _only_points(state) or (short and not _names_part(state))
    if at and one.pause_before <= _BREATH and points:
        # "It's half sheared. I haven't got one here. It'll hold", "Load chain: 233 millimetres.
        # Replace from 236. I'd look again in a year": what it is stands before that.
        told = _with_the_one_before(said, there, told)
        state = told.text
    if (
        told.sentence == at
        and at
        and one.pause_before <= _BREATH
        and (topic := _topic(said[at - 1].text))
    ):
        # "Sprocket. Teeth hooked a bit. Not today."
        told = replace(told, sentence=at - 1, begin=0)
        state = f"{topic}: {_small(state)}"
    return Finding(told.sentence, told.begin, f"{state}, {_small(mark.text)}")


_PUT_OFF_ONLY = re.compile(r"(?:so |but )?not (?:today|now|this (?:time|visit))[.]?", re.IGNORECASE)
_MOST_OF_TOPIC = 3


def _topic(text: str) -> str:
    """Return the part that a few words only name: "Sprocket."; empty where they tell more."""
    name = text.rstrip(" .:,")
    few = len(name.split()) <= _MOST_OF_TOPIC and not asks(name) and not tells_fault(name)
    return name if few and _names_part(name) else ""


def _small(text: str) -> str:
    """Return words as they stand within a sentence."""
    return text if re.match(r"i\b", text, re.IGNORECASE) else text[:1].lower() + text[1:]


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
    own = told.text
    if _POINTS.match(own) and not re.match(r"i\b", own, re.IGNORECASE):
        own = own[:1].lower() + own[1:]
    return Finding(at, start, f"{state}, {own}")


def _is_no_state(mark: Marked) -> bool:
    """Whether a clause tells no state: a warning does where it only says how something is."""
    if mark.kind == "action":  # "Feed roller's got a flat on it" is done by nobody
        return not (_HAS_GOT.match(mark.text) and names_fault(mark.text))
    return mark.kind in _NO_STATE and not (mark.kind in _WARNINGS and THING_IS.match(mark.text))


_HAS_GOT = re.compile(
    r"(?:(?:the|that|this|your) )?(?:[\w-]+ ){0,2}[\w-]+(?:'s|'ve| has| have| is| are) (?:got|gone|"
    r"getting|going|a bit|all)\b|(?:[\w-]+ ){1,3}(?:half|nearly|almost|mostly) (?:gone|worn|"
    r"through)\b",
    re.IGNORECASE,
)


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
