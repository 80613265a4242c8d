"""What is found and what it means for the part: "cracks you can feel with a nail, drum's scrap".

Told without "if" it sounds like what is accepted, and is where a part is refused: a decision. What
"is fine" is what is accepted.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from decimal import Decimal

from author.proposals.kinds.marks import Kind, Marked, by_sentence, meet, with_others
from author.proposals.speech.spoken import Sentence

_FOUND = (
    r"(?:(?:any(?:thing)?|owt)\b[^.;]{0,50}?|(?:(?:an?|one|deep|black|bronze|brass|metal|blue|bad|"
    r"heavy|big|some|"
    r"the|more|slight) )?(?:cracks?|scores?|scoring|scratch\w*|pits?|pitting|grooves?|burrs?|"
    r"ridges?|burn\w*|rust|chips?|flakes?|filings|swarf|bubbles?|leaks?|drips?|bars|spots|marks|"
    r"dents?|corrosion|flats?|noise|knocking|grinding|roughness)\b[^.;]{0,50}?)"
)
_OUT = (
    r"(?:scrap|junk|rubbish|done|finished|no good|toast|dead|shot|gone|for the (?:bin|scrap)|"
    r"had it|in the bin|ruined|condemned)"
)
# "The whole ring must be changed", "it's thrown away"
_IS_REPLACED = (
    r"(?:it|they|that|(?:the|a) (?:[\w-]+ ){1,3}?)(?:'s| ?is|'re| ?are| ?gets?| ?must| ?has to| "
    r"?have"
    r" to| ?needs to| ?should)(?: be| get)? (?:changed|replaced|renewed|scrapped|binned|thrown "
    r"(?:away|out)|chucked|skipped|condemned|swapped|rejected|sent back)"
)
_VERDICT = (
    rf"(?:(?:and |then )?(?:it|they|that|the [\w-]+|[a-z-]+)(?:'s|'re| is| are) (?:a )?{_OUT}"
    rf"|(?:and |then |so )*{_IS_REPLACED}\b[^.;]*"
    r"|(?:and |then )?you (?:bin|scrap|change|replace|renew|throw|chuck|swap|skip) (?:it|them|that|"
    r"those|the)\b[^.;]*"
    rf"|(?:and |then )?(?:it|they) (?:wants?|needs?) (?:a )?new [\w -]{{2,30}}"
    rf"|(?:and |then )?(?:it's |fit |that's )?(?:a )?new [\w-]+(?: [\w-]+)?(?=[.;!?]|$)"
    r"|(?:then )?(?:stop|strip|scrap|bin|change|replace|renew|nip|ring|call|bring|start again|"
    r"go again|do it again|take it apart)\b[^.;]*)"
)
_CASE = re.compile(
    rf"(?:^|[.;,] )(?:(?:and|but|so|or|now)[, ]+)*"
    rf"(?P<all>{_FOUND}(?:, (?:and |then )?| and (?=it|they|that|the |you ))"
    # "A scratch you feel, this is not allowed, then the ring must be changed"
    r"(?:(?:this|that|it)(?:'s| is) (?:not|never) (?:allowed|permitted|accepted|acceptable|okay|ok|"
    rf"good|fine), (?:and |so )?)?{_VERDICT}"
    # "Open circuit means a new coil"
    rf"|(?!(?:that|it|this|which|what)\b)[^,.;]{{3,40}} means (?:(?:a|the|it's|they're) )*"
    rf"(?:new [\w -]+|{_OUT}|replac\w+ [^,.;]+|chang\w+ [^,.;]+)(?=[,.;]|$))",
    re.IGNORECASE,
)
# "If a bolt moves, it's been loose, so it's thrown away", "if you've less than that you put a shim
# behind": decided, though nothing in it is ordered.
_IF_OUT = re.compile(
    rf"(?:^|[.;] )(?:(?:and|but|so)[, ]+)*(?P<all>(?:if|where|when) (?:[^.;]{{3,80}}, "
    rf"(?:[^,.;]{{2,40}}"
    rf", )?(?:then |so )?{_IS_REPLACED}\b"
    r"|(?:you've|you have|you get|there's|it's|they're)(?: got)? (?:less|more|over|under|above|"
    r"below)"
    r" than [^.;]{2,40}?,? (?:then )?you (?:put|fit|add|change|take|use|need|want|replace|go)\b)"
    r"[^.;]*)",
    re.IGNORECASE,
)
# "Never slower than the step. Slower, back to the spring, two mil shorter, again"
_THAN_THAT = re.compile(
    r"(?:and |but |so )*(?P<all>(?:any )?(?:slower|faster|tighter|looser|higher|lower|longer|"
    r"shorter|"
    r"thicker|thinner|bigger|smaller|hotter|louder|more|less)(?: than (?:that|it|this))?, (?:then "
    r")?"
    r"(?:back to|start again|go back|go again|again|do it again|take|shim|turn|adjust|replace|"
    r"change|"
    r"bin|scrap|strip|check|grind|lap|file|add|remove|stop|pull|fit|reset)\b[^;.]*)[.]?$",
    re.IGNORECASE,
)
_HARM_COMES = re.compile(
    r"\b(?:will|can|could|might|would|or|because|'?cause|careful|never|don't)\b|'ll\b",
    re.IGNORECASE,
)
# "Each vane must fall of its own weight. If it doesn't, sand it a little."
_MUST = re.compile(
    r"(?:^|.*[.;,] )(?:(?:and|but|so|now|then) )*(?P<all>(?!(?:you|i|we|he|she|that|this|there|"
    r"what|"
    r"which|if|when|nobody|everybody)\b)(?:(?:the|each|every|both|all|your|any) )?(?:[\w-]+ ){1,3}?"
    r"(?:must|has to|have to|should|ought to|needs to|wants to)(?: just| only| always| never| not)?"
    r"(?: to)? (?!be\b|have\b)[a-z]+\b[^.;,]*)[.]?$",
    re.IGNORECASE,
)
_IF_IT = re.compile(r"(?:and |but |so )*if (?:it|they|one|any|not|the [\w-]+)\b[^,.;]*,", re.I)
# "Spin it by hand. No drag, no click."
_NO_FAULT = (
    r"no (?:[a-z]+ )?(?:drag|clicks?|slip|play|leaks?|cracks?|noise|knock\w*|chunks?|roughness|"
    r"rough "
    r"spots?|wobble|binding|drips?|bubbles|movement|gaps?|light|marks?|notch\w*|grinding|rattles?|"
    r"scrap\w+|rub\w*|tight spots?|steps?|burrs?|scores?|rust|hiss\w*|squeaks?|vibration|backlash|"
    r"lift|wear)"
)
_ONLY_NO = re.compile(rf"(?P<all>{_NO_FAULT}(?:,? (?:and )?{_NO_FAULT})*)[.]?$", re.IGNORECASE)
_TRIES = re.compile(
    r"(?:.*\b(?:and|then|,) )?(?:spin|turn|rotate|rock|shake|run|move|slide|pull|push|cycle|test|"
    r"try|"
    r"check|look|feel|press|wiggle|swing|open|close|start)\b",
    re.IGNORECASE,
)
_FINE = re.compile(
    r"(?:^|[.;] )(?:(?:and|but|so|now)[, ]+)*(?P<all>(?!(?:it|that|this|they|everything|all|"
    r"which|what|he|she|we|you|i|there|anything|anybody|if|when|mine|ours)\b)"
    r"(?:[a-z][\w-]*)(?: (?!is\b|are\b|if\b|and\b|so\b)[\w-]+){0,5}?(?:'s| is| are) "
    r"(?:perfectly |quite |all |just )?(?:fine|normal|ok|okay|allowed|acceptable|all right)"
    r"(?:, (?:a |an |the )?[^,.;]{3,60} (?:is|are)(?:n't| not))?)(?=[,.;]|$)",
    re.IGNORECASE,
)
# "There's some fuzz on it, which is normal. Chips would not be."
_WHICH_IS = re.compile(
    r"(?:^|[.;] )there(?:'s| is| are) (?P<all>[^,.;]{3,60}, (?:but )?(?:which|that|and that)(?:'s|"
    r" is) "
    r"(?:perfectly |quite |all |just )?(?:fine|normal|ok|okay|allowed|acceptable|all "
    r"right))(?=[,.;]|$)",
    re.IGNORECASE,
)
_THOSE_ARE_NOT = re.compile(
    r"(?:and |but )?(?P<all>(?!(?:it|that|this|they|we|you|i|there|mine|ours)\b)[\w' -]{3,40} "
    r"(?:would not be|wouldn't be|are not|is not|aren't|isn't))(?=[,.;]|$)",
    re.IGNORECASE,
)
# "A drop a minute at first is all right. After that it has to be dry."
_AFTER_THAT = re.compile(
    r"(?:and |but )?(?P<all>(?:after that|from then on|then|after (?:a|the|one|two|ten) [\w "
    r"]{3,20}?),? "
    r"(?:it|they|she|that|everything|the [\w-]+) (?:(?:has|have|needs?) to|must|should) (?:be|stay|"
    r"go|run) (?:\w+ )?(?:dry|tight|quiet|silent|steady|clean|clear|level|flat|still|straight|"
    r"square|"
    r"free|smooth|true|cold|even|gone))\b",
    re.IGNORECASE,
)
# "Look for any bright ring. There's none here, so I'm happy"
_NONE = re.compile(
    r"(?:(?:and|but|so|well|now) )?(?P<all>(?:there(?:'s| is| are)|(?:i|we)(?:'ve| can| have)?"
    r"(?: see| find| feel| hear| got)?) (?:none|nothing|not any)\b[^.;]*)",
    re.IGNORECASE,
)
# "I want ten out of ten before it goes back in the field"
_WANTED = re.compile(
    r"(?:^|[.;] )(?:(?:and|but|so) )*(?P<all>(?:i|we) (?:want|need|expect) (?:to see )?(?!to\b|"
    r"you\b)"
    r"(?:[\w-]+ out of [\w-]+\b[^.;]*"
    r"|[^,.;]{2,40}? before (?:it|she|they|this|the [\w-]+) (?:goes|leaves|gets|is let)\b[^.;]*))",
    re.IGNORECASE,
)
_IF = re.compile(r"(?:if|unless)\b", re.IGNORECASE)
_WARNS_TOO = re.compile(rf"^(?:if|an?|one)\b|\band you\b|{_IS_REPLACED}", re.IGNORECASE)
_NUMBER = re.compile(r"\d")
_SAID_OF: frozenset[Kind] = frozenset(
    {"inspection", "hazard", "damage", "reason", "chatter", "order"}
)
_HARM: frozenset[Kind] = frozenset({"hazard", "damage"})
_SURE, _LIKELY = Decimal("0.80"), Decimal("0.74")


def tells_case(text: str) -> bool:
    """Whether words tell what is done if something is found, without "if"."""
    return _CASE.match(text) is not None


def with_verdicts(said: Sequence[Sentence], marks: Sequence[Marked]) -> list[Marked]:
    """Return the marks, with what is refused as decisions and what is fine as inspections.

    Args:
        said: what was said.
        marks: kinds of its clauses, in the order of the sentences.
    """
    there = by_sentence(marks)
    found: list[Marked] = []
    gone: set[Marked] = set()
    accepted = -2  # sentence that told last what is accepted
    for index, sentence in enumerate(said):
        own = there.get(index, ())
        verdicts = _verdicts(index, sentence.text)
        if accepted == index - 1:
            verdicts += _goes_on(index, sentence.text)
        for told in verdicts:
            met = [mark for mark in own if meet(mark, told)]
            if any(_tells_it(mark, told) for mark in met):
                continue
            # What may warn as well stays: a draft tells it once.
            said_of = _SAID_OF - _HARM if _WARNS_TOO.search(told.text) else _SAID_OF
            gone |= {m for m in met if m.begin >= told.begin - 1 and m.kind in said_of}
            found.append(told)
        if not any(mark.kind in _TELLS_IT for mark in (*own, *verdicts)):
            found += _checked(said, index, there)
        if any(mark.kind == "inspection" for mark in (*own, *verdicts)):
            accepted = index
        # "If it's tight, take it apart again": what is done then, and not what is accepted.
        decided = [mark for mark in own if mark.kind == "decision"]
        gone |= {
            mark
            for mark in own
            if mark.kind == "inspection"
            and _IF.match(mark.text)
            and any(one.begin <= mark.begin < one.end for one in decided)
        }
    return with_others(marks, gone, found)


def _checked(
    said: Sequence[Sentence], index: int, there: Mapping[int, Sequence[Marked]]
) -> list[Marked]:
    """Return what is accepted where only the sentence beside it tells that it is looked at."""
    text = said[index].text
    before = there.get(index - 1, ())
    if (none := _ONLY_NO.match(text)) and any(
        one.kind == "action" and _TRIES.match(one.text) for one in before
    ):
        return [_mark(index, none, "inspection", _LIKELY)]
    behind = there.get(index + 1, ())
    must = _MUST.match(text) if any(one.kind == "decision" for one in behind) else None
    if must and _IF_IT.match(said[index + 1].text) and not _NUMBER.search(text):
        return [_mark(index, must, "inspection", _LIKELY)]
    return []


_TELLS_IT: frozenset[Kind] = frozenset({"inspection", "hazard", "damage", "decision", "deferred"})


def _tells_it(mark: Marked, told: Marked) -> bool:
    """Whether a mark tells a verdict already, or puts it off."""
    return mark.kind == "deferred" or (mark.kind == told.kind and mark.begin <= told.begin)


def _verdicts(index: int, text: str) -> list[Marked]:
    out = [one for one in _IF_OUT.finditer(text) if not _HARM_COMES.search(one["all"])]
    cases = [_mark(index, one, "decision", _SURE) for one in (*_CASE.finditer(text), *out)]
    if than := _THAN_THAT.match(text):
        cases.append(_mark(index, than, "decision", _SURE))
    fine = [
        _mark(index, one, "inspection", _LIKELY)
        for pattern in (_FINE, _WHICH_IS, _WANTED)
        for one in pattern.finditer(text)
        if pattern is _WANTED or not _NUMBER.search(one["all"])
    ]
    apart = (m for m in fine if all(m.end <= one.begin or one.end <= m.begin for one in cases))
    return [*cases, *apart]


def _goes_on(index: int, text: str) -> list[Marked]:
    """Return what else is accepted or not, right behind what was: "flakes are not"."""
    told = (pattern.match(text) for pattern in (_THOSE_ARE_NOT, _AFTER_THAT, _NONE))
    return [_mark(index, one, "inspection", _LIKELY) for one in told if one]


def _mark(index: int, found: re.Match[str], kind: Kind, confidence: Decimal) -> Marked:
    words = found["all"].rstrip(" ,")
    begin = found.start("all")
    what = "tells what is refused" if kind == "decision" else "tells what is accepted"
    reason = f"{words[:40]!r} {what}"
    return Marked(index, begin, begin + len(words), kind, words, confidence, reason)
