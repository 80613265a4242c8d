"""Work that is only thought of: a plan that is dropped, how far one may go, what comes of it.

"I was going to reuse them but they're rusty" reuses nothing, and "you can go to two oh four and a
half" is a limit.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from author.proposals.kinds.marks import Marked
from author.proposals.language.closed_words import NUMBERS
from author.proposals.speech.spoken import Sentence

_JUST = r"(?: (?:just|only|originally|really|always|half|sort of))*"
_PLAN = (
    r"(?:(?:i|we)(?: was| were|'d been| had been)"
    rf"{_JUST} (?:going to|gonna|about to|planning (?:to|on)|hoping to|thinking (?:of|about)|"
    r"tempted to|meaning to)"
    rf"|(?:i|we)(?:'d| had)?{_JUST} (?:planned|wanted|meant|hoped|intended|thought)"
    r"(?: (?:to|on|of|about))?(?= (?!it\b|that\b|so\b|the\b))"
    r"|(?:my|our|the) (?:plan|idea|thought) was to"
    # "You might think you have to pull the motor, but you don't"
    r"|you(?:'d| might| may| would)(?: well)? think (?:that )?you (?:have to|need to|must|could|"
    r"can|should))"
)
# "I was going to say", "… but first clean the threads" drop nothing.
_SAID = r"(?:say|tell|show|mention|ask|warn|point|film)\b"
_BUT = (
    r"(?:so no\b|no,|but|only|except|though|until|till)(?!\w)"
    r"(?! (?:first|before|let|let's|now|then)\b)"
)
_DROPPED = re.compile(
    rf"\b{_PLAN}(?P<what> (?!{_SAID})[^.;]*?)(?P<back>[,.;]*\s+(?:and )?{_BUT})", re.IGNORECASE
)
_AT_THE_END = re.compile(rf"\b{_PLAN}(?P<what> (?!{_SAID})[^.;]*)$", re.IGNORECASE)
_TAKES_BACK = re.compile(rf"(?:well,? |then )?(?:but|no|only|except)\b(?! {_SAID}|'s)", re.I)
_NUMBER = "|".join(sorted(NUMBERS, key=len, reverse=True))
# "You can take the drum to two oh five", "they can go to eight mil"; not "now you can".
_MAY_GO = re.compile(
    r"(?:^|[,;.] |\b(?:and|but|so|because) )(?P<all>(?:(?:and|but|so|well) )*"
    r"(?:you|they|we|it|these|those)(?:'re allowed to| are allowed to| can| could| may)"
    r"(?: (?:safely|still|only|always|happily|just))* (?:"
    r"go(?: down| up| out| as (?:far|low|high|thin) as)?"
    r"|(?:take|skim|bore|hone|machine|grind|lap|file|cut|run|let|turn|regrind|wear)"
    r"(?: (?:it|them|these|those|that|him|her|(?:the|a|this|that|your) [\w-]+(?: [\w-]+)?|down|up"
    r"|out|right|all the way|as (?:far|low|high|thin) as))*?)"
    rf"(?: (?:to|as|over|under))? (?:\d|(?:{_NUMBER}|point|nought|zero|half)\b(?! (?:turns?|"
    r"clicks?|flats?|holes?|notch(?:es)?|more|o'clock)\b))[^,.;]*)",
    re.IGNORECASE,
)
# "Listen for it, you should get a puff", "turn it and you'll feel a click": nothing is done.
_EXPECTED = re.compile(
    r"\byou(?:'ll| will| should| ought to|'d)(?: (?:then|just|only|also|always|now))* "
    r"(?:(?:feel|hear|notice|smell) (?:it|an?|the|some|no|that)\b|(?:get|see|have) (?:an?|some|no) "
    r"(?:\w+ )?(?:puff|click|clunk|hiss|light|spark|drip|rattle|squeak|whistle|pop|knock|buzz|"
    r"hum|reading|beep|feel|bit of|trickle|dribble|spurt|flash|flame|movement|resistance)\b)",
    re.IGNORECASE,
)
_WHEN = re.compile(r"(?:(?:and|then|so|but) )*(?:(?:when|once|as|if) [^;.]*?,? )?", re.IGNORECASE)
_IN_TURN = re.compile(r"\b(?:now|then|next|once|after|when|with|until|if)\b", re.IGNORECASE)


def is_only_thought_of(said: Sequence[Sentence], mark: Marked) -> bool:
    """Whether what sounds like work is a dropped plan, or tells how far one may go.

    Args:
        said: what was said.
        mark: what sounds like work.
    """
    text = said[mark.sentence].text
    for found in _DROPPED.finditer(text):
        if mark.begin < found.start("back") and found.start("what") < mark.end:
            return True
    plan = _AT_THE_END.search(text.rstrip(" ."))
    if plan and plan.start("what") < mark.end and _is_taken_back(said, mark.sentence):
        return True
    expected = _EXPECTED.search(text, mark.begin, mark.end)
    if expected and _WHEN.fullmatch(text, mark.begin, expected.start()):
        return True
    return any(
        found.start("all") < mark.end and mark.begin < found.end("all")
        for found in _MAY_GO.finditer(text)
        if not _IN_TURN.search(text[: found.end("all")])
    )


def _is_taken_back(said: Sequence[Sentence], index: int) -> bool:
    """Whether the sentence behind one takes it back: "but they're rusty"."""
    behind = said[index + 1] if index + 1 < len(said) else None
    same = behind is not None and behind.recording == said[index].recording
    return same and _TAKES_BACK.match(said[index + 1].text) is not None
