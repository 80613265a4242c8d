"""Times that are only talk: "give me two minutes", "it took me an hour"."""

from __future__ import annotations

import re

from author.proposals.quantities.amounts.amount import Amount, between
from author.proposals.quantities.amounts.behind_numbers import lasts
from author.proposals.quantities.amounts.cues import WANTED
from author.proposals.quantities.amounts.units import DEGREE, kind_of
from author.proposals.quantities.numbers.tokens import Token

_IDLE = ("give me", "gimme", "hang on", "spare you the", "bear with me", "hold on", "just",
    "see you in", "back in",
         "took me", "take me", "takes me", "take you", "takes you", "took us", "i've been",
         "been at this", "been at it", "spent", "spend", "saves you", "save you", "skip ahead",
         "skip", "the last", "wait a", "wait one", "minute in", "in the first",
         "the first", "video is", "next time", "in about")  # fmt: skip
_TOOK = re.compile(
    r"\b(?:took|takes|taken|cost|costs|saves?|saved) (?:me|us|you|him|her|them)\b|\b(?:we"
    r"|i)(?:'ve)?"
    r" (?:spent|wasted|lost|been at)\b|\byou(?:'ll|'re going to| will)? (?:spend|waste)\b"
)
# "forty minutes of me swearing"
_SPENT = re.compile(
    r"of (?:me|us|my (?:life|time|swearing)|swearing|cussing|cursing|hunting|looking)\b"
)
# "I had to cut twenty minutes here", "I have looked ten minutes for it"
_OF_FILM = re.compile(
    r"\b(?:(?:i|we)(?:'ve)? (?:(?:did|had to|have|have to) )?(?:cut|skipped|skip)(?: out| about)*"
    r"|(?:looked|searched|hunted|struggled|wrestled|swore|cursed)(?: for| about| like| a good)*"
    r"|took like)$"
)
# "I swore at it for ten minutes", "I've left out the half hour": no time of the job.
_OF_ONCE = re.compile(
    r"\b(?:(?:left|leaving|cut) out(?: the)?|(?:we'd|i'd|you'd|you'll|we'll) lose|not spending"
    r"|(?:swore|swear|swearing|cursed?|yell(?:ed|ing)|shout(?:ed|ing)) at"
    r" (?:it|him|her|them|this|that) for)(?: about| over| nearly| the| a good)*$"
)
# "There's an hour and a half in it", "that's an hour you've been spared".
_THERE_IS = re.compile(r"\b(?:there's|it's|there is|it is)(?: about| only| a good)*$")
_IN_THE_JOB = re.compile(r"(?:'s )?(?:work )?in (?:it|this|this job)\b")
_SPARED = re.compile(
    r",? ?(?:(?:which|that) )?(?:you've (?:been )?(?:spared|missed)|(?:i|we) spent"
    r"|(?:i|we)'ll never)\b"
)
# "do not spin it dry, ten seconds and it's cooked"
# "check it again after the first two hours"
_DUE_AFTER = re.compile(r"\b(?:after|for|over|during|within) the first$")
# "After ten hours of work tension it again"
_DUE = re.compile(r"\b(?:after|every|within)(?: (?:about|another|some))?$")
_RUINED = re.compile(r",? ?and (?:it|he|she|they|you|that)(?:'s|'ll|'ve|'re)\b")
# "The vane breaks in one hour": how soon what is done wrong tells.
_BREAKS = re.compile(
    r"\b(?:breaks?|fails?|dies|seizes?|burns? (?:out|up)|wears? out|falls? apart|eats itself|rots?"
    r"|cooks?|is (?:ruined|finished|scrap|dead|gone|wrecked))(?: up| itself)?"
    r" (?:in|within|inside|after)(?: about| under| less than| an?| only)*$"
)
# "Do not run it dry, not even for ten seconds": there is no time it may.
_NOT_EVEN = re.compile(r"\bnot even(?: for)?(?: a| about)?$")
# "Nobody stands under it, not for one second".
_NOT_ONE = re.compile(r"\b(?:not|never)(?: even)? for(?: just)?$")
# "That racket has another twenty minutes in it": how long something else goes on.
_ANOTHER = re.compile(r"\b(?:another|got|has|have|about)$")
_STILL_IN = re.compile(r"(?:in (?:it|her|him|them)|to go)\b(?! (?:at|on|in|to|for)\b)")
_NEVER = re.compile(r"\b(?:don't|do not|never|not|no|dinnae)\b[^;.]*,? ?(?:even )?$")
_WAITS = re.compile(r"(?:let|while|i|i'm|i'll|we'll|hang|hold|folks|guys|please|till|until)\b")
# "One minute, phone": who says so at the beginning is called away.
_ONE_MINUTE = re.compile(
    r",? ?(?:please|sorry|phone|sir|madam|hello|hold|let me|i|i'm|i'll|somebody|someone|the phone"
    r"|the door|chai|tea|coffee|my|friends|folks|guys|boss)\b"
)
_ON_CLOCK = re.compile(
    r"(?:(?:on|off) (?:the (?:clock|meter|machine|engine|hour)|it|her|him|this|that|these|them)"
    r"|since|old|ago|under its|in (?:service|total)|of (?:use|work|flying|running))\b"
)
_HAS_RUN = re.compile(
    r"\b(?:has|have|had|it's|she's|he's|they've|you've|with|only|got"
    r"|it'd) (?:\w+ )?(?:done|run|worked|seen"
    r"|about|over|nearly|on)$|\b(?:done|seen|worked)$"
    r"|[a-z](?:'s|s're) on(?: about| nearly| over)?$"
)


# "it's ninety-four degrees in this garage"
_WEATHER = re.compile(
    r"\b(?:it's|it is|it was|it'll be|we're at|must be|it's got to be|it's gotta be)"
    r"(?: (?:about|only|like|already|over|nearly|a|good|nigh on|still|pushing|easily|probably|near"
    r"|almost|around|hitting|near enough))*$"
)
_SOMEWHERE = re.compile(
    r"(?:celsius |fahrenheit |centigrade |c |f )?,? ?(?:(?:in|inside|outside"
    r"|out) (?:(?:of )?(?:here"
    r"|there|the sun|the shade|doors)\b|(?:this|the|my|our|that) (?:\w+ )?(?:garage|shop"
    r"|workshop|shed|barn"
    r"|basement|cellar|room|yard|van|truck|street|driveway|attic|loft|container|unit|building|place"
    r"|hall|hangar|greenhouse|lab|house|kitchen|studio)\b)|outside\b|outdoors\b|today\b|tonight\b"
    r"|this (?:morning|afternoon|evening)\b|(?:already )?and it's (?:not|only|barely))"
)
_COUNTS_TO = re.compile(
    r"\b(?:count(?:s|ed|ing)?(?: up| down| off| on| from \w+)? to|(?:divided?|multipl(?:y"
    r"|ied)) (?:it )?by"
    r"|times(?: it)? by)$"
)


# "I drove forty miles to get this"
_DROVE = re.compile(
    r"\b(?:drove|driven|came|walked|rode|travelled|traveled)(?: (?!after|at)\w+){0,2}$"
)
_AWAY = re.compile(r"(?:away|from here|down the road|up the road|on the clock|each way)\b")

# What a machine has run so far, where it does not say when something is due.
_FAR = 1000
_DUE_AT = re.compile(
    r"\b(?:every|each|after|at|within|to|past|over|under|than|until|till|before|by|for|about"
    r"|and|or|first|next|another|wants?|needs?|lasts?|is|service)$"
)


# "Nearly sixty degrees better than before": how much came of it.
_THAN_BEFORE = re.compile(
    r"(?:better|worse|more|less|higher|lower|hotter|cooler|warmer|colder|faster|slower|quicker"
    r"|tighter|looser|up|down|quieter|further) (?:than|on) (?:before|it was|they were|it had|last"
    r"|yesterday|this morning|when we|what it was|what we had|we had)\b"
)


def is_small_talk(amount: Amount, ahead: str, behind: str) -> bool:
    """Whether a number tells of the weather, or is only counted up to.

    Args:
        amount: the number.
        ahead: the words before it.
        behind: the words after it.
    """
    if amount.unit in _DEGREES | {None} and _WEATHER.search(ahead) and _SOMEWHERE.match(behind):
        return True
    if amount.unit in {"mile", "km"}:
        has_run = (amount.nominal or 0) >= _FAR and not _DUE_AT.search(ahead)
        if has_run or _DROVE.search(ahead) or _AWAY.match(behind):
            return True
    if _THAN_BEFORE.match(behind) and not WANTED.search(ahead):
        return True
    return amount.form == "whole" and amount.unit is None and bool(_COUNTS_TO.search(ahead))


_WHOLE = frozenset({"full", "whole", "solid", "complete", "good"})
_DEGREES = frozenset({DEGREE, "°C", "°F", "°"})


def is_idle(tokens: list[Token], amount: Amount, ahead: str, behind: str) -> bool:
    """Whether a time is only talk: "give me two minutes".

    Args:
        tokens: words of the sentence.
        amount: the value.
        ahead: the words before it.
        behind: the words after it.
    """
    if kind_of(amount.unit) != "time":
        return False
    if amount.unit == "s" and amount.nominal in {1, 2} and amount.form == "whole":
        starts = amount.first <= 1 and (behind[:1] in {",", "", "."} or _WAITS.match(behind))
        if starts or "article" in amount.flags:
            return True
    due = bool(_DUE.search(ahead))
    if amount.unit == "h" and not due and (_ON_CLOCK.match(behind) or _HAS_RUN.search(ahead)):
        return True
    if amount.unit == "min" and amount.nominal == 1 and "article" in amount.flags:
        full = {token.low for token in tokens[amount.first : amount.last]} & _WHOLE
        told = full or "good" in ahead or lasts(tokens, amount.first)
        return amount.single and amount.form == "whole" and not told
    in_it = _THERE_IS.search(ahead) and _IN_THE_JOB.match(behind)
    if in_it or _SPENT.match(behind) or _SPARED.match(behind):
        return True
    clause = between(tokens, max(0, amount.first - 9), amount.first)
    goes_on = _ANOTHER.search(clause) and _STILL_IN.match(behind)
    not_one = amount.nominal == 1 and _NOT_ONE.search(clause)
    ruined = _RUINED.match(behind) and _NEVER.search(clause)
    ruined = ruined or _BREAKS.search(clause)
    if goes_on or not_one or ruined or _NOT_EVEN.search(clause):
        return True
    spoken = between(tokens, max(0, amount.first - 14), amount.first)
    if _TOOK.search(spoken) or _OF_FILM.search(spoken) or _OF_ONCE.search(clause):
        return True
    idle = ahead.endswith(_IDLE) and not _DUE_AFTER.search(clause)
    one = amount.unit == "min" and amount.nominal == 1 and amount.first == 0
    idle = idle or (one and _ONE_MINUTE.match(behind) is not None)
    return idle or behind.startswith(("ago", "old", "from now", "later we"))
