"""Limits told in words of talk around a value: "and that's your lot", "less than this it leaks"."""

from __future__ import annotations

import re

from author.proposals.quantities.amounts.cues import ROUGH
from author.proposals.quantities.amounts.units import kind_of

# Words that only think aloud: "no bend tighter than, what is it, twenty-five".
_ASIDE = re.compile(
    r" (?:what is it|what was it|what's it say|what do they say|let me (?:think|see)|i think"
    r"|i believe|i want to say|if i remember(?: right(?:ly)?)?|hang on|how much is it|i dunno"
    r"|i don't know|let's say|shall we say|i suppose|you know|oh|ooh|holy smokes"
    r"|as per (?:the |our )?(?:drawing|book|manual|sheet|spec|plan|plate))$"
)
# "No more than, ag, twenty degrees"
_BROKEN_OFF = re.compile(
    r"\b((?:more|less|[a-z]{2,}er) than|at (?:least|most)|up to) , (?:[a-z']+ ){1,4}, ?$"
)
_WHAT = r"(?:(?:of )?(?!and\b|then\b|but\b|so\b|no\b|not\b)[a-z']+ ){0,4}?"
_CAPPED = re.compile(
    rf",? ?{_WHAT},? ?(?:(?:and |but )?(?:(?:that's|that is|thats|it's|it is)"
    r" (?:your|the|my|me|its) (?:whole |very )?(?:lot|limit|ceiling|max(?:imum)?|most)\b"
    r"(?! (?:of|for|on)\b)"
    r"|nothing more\b(?! than (?!that|it)\w)(?! (?:to|for|we|you|i)\b)"
    r"|not (?:an?|one) (?:single )?[a-z']+ (?:of )?(?:more|over|past|beyond|above|extra)\b(?! than)"
    r"|never(?: any)? (?:more|higher|longer|hotter|deeper|wider)\b(?! than| \w))"
    r"|at the (?:very |absolute )?(?:outside|most)\b(?! of\b)"
    r"|,? ?(?:which )?(?:(?:is|are|must|may|should)(?: not|n't)|isn't|aren't|mustn't|shouldn't"
    r"|(?:must|should|is|are|to)? ?(?:never|on no account|under no circumstances)(?: is| are)?)"
    r" (?:to )?(?:ever )?be (?:passed|exceeded|crossed|beaten|topped|overstepped|gone past)\b)"
)
_THATS = r"and (?:that's|that is)"
_ALL_IT_MAY = re.compile(rf",? ?{_THATS} (?:all|it|about it|about all)\b(?! (?:there|you|we|i)\b)")
# What goes astray, of which there is never to be more: "two psi of drop".
_ASTRAY = (
    r"of (?:drop|loss|leak(?:age)?|play|slop|slack|wear|rise|sag|wobble|runout|dip|lean|ripple"
    r"|creep|lift|difference)"
)
_ALL_GRANTED = re.compile(
    rf",? ?(?:{_ASTRAY} ?,? ?{_THATS} (?:all|it)\b"
    rf"|{_WHAT},? ?{_THATS} all (?:it|they|she|he) gets?\b)"
)
_NOT_BORNE = re.compile(
    r"\b(?:i|we|you)(?: (?:won't|wouldn't|can't|couldn't|don't|will not|would not|cannot))"
    r" (?:ever )?(?:live with|put up with|stand for|tolerate|accept)(?: (?:a|an|even|about))*$"
)
# "That gauge never sees ninety"
_NEVER_AT = re.compile(
    r"\b(?:never|mustn't|shouldn't|not to|can't) (?:ever )?(?:sees?|hits?|reach(?:es)?|touch(?:es)?"
    r"|gets? (?:up )?to|climbs? to|gets? as (?:far|high) as)(?: (?:about|a|an|even))*$"
)
_MAY = re.compile(r"\b(?:can|may|could|might|allowed|lets? (?:you|it|them)|permitted)\b(?! not\b)")
_ALLOWED = re.compile(
    r"(?:^|\b)(?:(?:allowed|permitted|permissible|tolerated) (?:is|are|would be|were)(?: only)?"
    r"(?: (?:in|by|from|on) (?:the|my|our) [a-z]+)?"
    r"|(?:lets|let|gives|allows) (?:you|us|me|it|them) have)"
    r"(?: (?:a|an|the|up to|about|maybe|say))*$"
)
# "You're only allowed a tenth"
_IS_ALLOWED = re.compile(
    r"\b(?:you|we|they|it|he|she|that|this)(?:'re| are|'s| is) (?:only |just )?"
    r"(?:allowed|permitted)(?: (?:a|an|up to|about))*$"
)
_DOWN = re.compile(r"\bdown to at (?:the )?(?:very )?least(?: (?:a|about))?$")
# "I tolerate 11.9, less than this it will leak".
_PAST_THIS = re.compile(
    r",? ?(?:(?:and|but|so) )?(?:anything |(?:if|when|once) (?:it's|it is|they're|you're|it gets) "
    r"|(?:you're|it's|they're|she's) (?:[a-z]+ ){1,4}?)?(?:(?P<less>less than"
    r"|lower than|thinner than|smaller than|under|below|shorter than)|more than|higher than"
    r"|thicker than|bigger than|over|above|past|beyond)"
    r" (?:this|that)\b(?!')(?! (?:one|bolt|nut|side|end)\b)"
)
# "Eighty bar, any higher and the seals pop".
_ANY_MORE = re.compile(
    r",? ?(?:and |but |because )?(?:any|anything|much)"
    r" (?:(?P<less>less|lower|thinner|shorter|smaller|looser"
    r"|slacker|colder|slower|lighter)|more|higher|tighter|longer|bigger|hotter|thicker|faster|wider"
    r"|deeper|heavier|further) (?:and|than (?:that|this|it))\b"
)
# "Over two megohms, if it's less, water is inside".
_IF_NOT = re.compile(
    r",? ?(?:and |but )?(?:if|when|once) (?:it's|it is|that's|they're|it gets|you get|you're"
    r"|it goes|it reads) (?:any )?(?P<less>less|lower|under|below|thinner|shorter|smaller)?"
    r"(?:more|higher|over|above|thicker|longer|bigger)?\b(?! than| the| a\b| that| this)"
)
# "I give it five minutes, after that I'm not happy"
_NOT_AFTER = re.compile(
    r",? ?(?:(?:and|but) )?(?:after|past|beyond) (?:that|this)(?: point)?,? (?:(?:i|we|you)"
    r"(?:'m|'re| am| are)? (?:(?:not|ain't|aren't|never) (?:[a-z]+ )?(?:happy|interested|impressed)"
    r"|nervous|worried|unhappy)|it(?:'s|'ll| is)? (?:ruined|cooked|spoilt|scrap|junk|burn\w*"
    r"|starts? (?:on|to (?:eat|burn|attack|pit|lift))))\b"
)
# What a limit holds over: "two tenths over the full width is the most".
_SPAN = (
    r"(?: ?(?:over|across|along|from|at|in|on|round|around|between|of|per|each|either|each|out|off"
    r"|total|overall|end to end)(?: (?!is\b|are\b|and\b|but\b|if\b|i\b|you\b|it\b|to be\b)"
    r"[a-z][a-z'-]*?(?='s\b| |,|$)){0,5}?){0,2}?"
)
_SEES = r"(?:want|get|have|give|allow|see|let|stand|take|go|run|put up with|live with)s?"
_WHO = r"(?:you|they|we|i|it|he|she|anybody|the (?:book|maker|drawing|manual|inspector))"
_SUFFICES = re.compile(
    rf"(?:up )?{_SPAN} ?,? ?(?:(?:(?:is|are|'s|'ll be|would be|was|that's|that is) |(?<=[a-z]s ))"
    r"(?:about )?(?:"
    rf"(?P<all>all {_WHO}(?:'d|'ll|'re|'s| is| are| would| should)? (?:ever )?(?:allowed|getting"
    rf"|{_SEES})\b(?! (?:here|left)))"
    r"|(?P<plenty>plenty)\b(?! of)"
    r"|(?:about )?(?:the |your |my |me |its )(?:very |absolute )?(?:most|limit|(?P<lot>lot|stop)"
    r"|ceiling|worst|highest|hottest|longest|end of it|height of it"
    r"|(?:(?<=very )|(?<=absolute ))lid)"
    r"\b(?! (?:of|for|on|screw|pin|ring|block|nut|valve|switch|point|part|place)\b)"
    rf"|as (?P<how>(?!good|well|soon|near|sure|right)[a-z]+) as"
    rf" (?:{_WHO}\b(?! (?:is|was|are|were)\b))"
    r"|(?:allowed|permitted|permissible|tolerable|tolerated|the allowance)\b)"
    r"|(?P<only>(?:is )?allowed)\b(?! (?:to|for|is|are)\b)"
    r"|,? ?the (?:very|absolute) (?:most|limit|ceiling|highest|longest|lid)\b(?! (?:of|for|on)\b))"
)
_LITTLE = frozenset({"low", "small", "thin", "short", "narrow", "shallow", "light", "cold", "cool",
                     "slow", "little", "few", "wee", "close", "near", "weak"})  # fmt: skip
# "Three hundredths is fine, and past five you'll see it"
_FINE_TO = re.compile(
    r"(?:of \w+ )?(?:is|are|'s)(?: just| still| all)? (?:fine|ok|okay|good|right|alright|no problem"
    r"|acceptable|nothing|normal)(?: ?,| and| but)+ (?:and |but )?(?:anything )?(?:past|over|above"
    r"|beyond|more than)\b"
)
_NEEDED = frozenset({"volume", "time", "mass", "angle"})
_DENIED = re.compile(r"\b(?:not|never|nothing|no|don't|mustn't)\b")

_LEAF_REFUSED = re.compile(
    r"(?:feelers?|leaf|blade)(?: (?:gauge|leaf|blade|strip))?"
    r" (?:(?:should|must|will|can|may|does) ?not|shouldn't|mustn't|won't|can't|cannot|doesn't)"
    r"(?: (?:even|ever))? (?:go|fit|pass|slide|enter|start|get|slip)\b"
)
"""A leaf of a feeler gauge that must not go in: the gap is at most so wide."""
_SHUT_OUT = re.compile(
    r",? ?(?:(?:it|that|he|she) )?(?:(?:should|must|may) ?not|shouldn't|mustn't) (?:even )?"
    r"(?:(?:go|get|slip|slide|fit|pass) (?:in|under|between|past|through)\b"
    r"(?! (?:over|past|more|deeper|further))"
    r"|enter\b|start\b(?! to\b))"
)


def suffices(behind: str, unit: str | None, rest: str, *, moves: bool) -> str:
    """Return the limit of what is granted: "is all you get", "is plenty", "is as thin as I'd go".

    Args:
        behind: the words behind the value, up to the next.
        unit: of the value.
        rest: the words behind it, past the next value too.
        moves: whether it is of play or runout, of which plenty is too much.
    """
    given = unit == "turn" or kind_of(unit) in _NEEDED
    found = _SUFFICES.match(behind)
    if found is None or (found["plenty"] and not moves):
        return "upper" if _FINE_TO.match(rest) else ""
    if given and (found["all"] or found["lot"] or found["how"] in {"far", "much"}):
        return ""
    return "lower" if found["how"] in _LITTLE else "upper"


def is_shut_out(behind: str, *, fine: bool) -> bool:
    """Whether so thick a leaf must not go in: "five hundredths mustn't go in".

    Args:
        behind: the words after the value.
        fine: whether it is a value a feeler gauge has, and needs no word for the leaf.
    """
    return _LEAF_REFUSED.match(behind) is not None or (fine and bool(_SHUT_OUT.match(behind)))


# "Not closer to the blade than forty"
_NEARER = re.compile(
    r"\b(closer|nearer|higher|lower) (?:to|up|down|above|over|on)(?: [a-z]+){1,3} than"
)
# "No burrs, wear under half a millimetre": the burrs are not what is under.
_NO_OTHER = re.compile(
    r"\b(?:no|without) (?!more\b|less\b|[a-z]+er\b)[a-z]{3,}(?: [a-z]+)? , (?=[a-z])"
)
# "It tips over, a hundred and sixty kilos": nothing is over them.
_PLACED = re.compile(r" (?:over|under|above|below|past|beyond) ,(?=(?: (?:a|an|about|some))*$)")
# "Not more as nineteen", as many say who learned the language late.
_THAN_AS = re.compile(r"\b(more|less|(?:thin|thick|small|bigg|larg|low|high|short|long)er) as\b")


def without_asides(words: str) -> str:
    """Return the words before a value without what only thinks aloud or stands before a "than".

    Args:
        words: small, with the commas between them; the answer has none.
    """
    told = _NO_OTHER.sub("", _PLACED.sub("", _BROKEN_OFF.sub(r"\1", words)))
    told = _ASIDE.sub("", " ".join(word for word in told.split() if word != ","))
    if " than" in told:
        told = _NEARER.sub(r"\1 than", told)
    return _THAN_AS.sub(r"\1 than", told) if " as " in f"{told} " else told


def capped_behind(clause: str, behind: str) -> str | None:
    """Return the limit that the talk around a value tells, None where it tells none.

    Args:
        clause: the words before the value.
        behind: those up to the next value.
    """
    if _DOWN.search(clause):
        return "upper"  # "get it down to at least minus fifteen"
    past = _PAST_THIS.match(behind)
    if past and not _DENIED.search(clause) and not ROUGH.search(clause):
        return "lower" if past["less"] else "upper"
    more = _ANY_MORE.match(behind)
    if more and not _DENIED.search(clause):
        return "lower" if more["less"] else "upper"
    if _NOT_AFTER.match(behind):
        return "upper"
    told = _IF_NOT.match(behind)
    if told and re.search(r"(?:more|less|[a-z]+er|under|over|below|above)$", told.group()):
        return "lower" if told["less"] else "upper"
    may = _MAY.search(clause) and _ALL_IT_MAY.match(behind)
    if may or _CAPPED.match(behind) or _ALLOWED.search(clause):
        return "upper"
    never = _NOT_BORNE.search(clause) or _NEVER_AT.search(clause) or _IS_ALLOWED.search(clause)
    if _ALL_GRANTED.match(behind) or never:
        return "upper"
    return None
