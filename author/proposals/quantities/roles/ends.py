"""What is done or comes of it at a value that is the end: "at eighty-five you stop".

The forms are few, whatever the trade. A value is reached ("when it gets to", "at") or named as
such ("eight tenths and you do the bush"); and somebody stops or renews something, or the thing
is spoilt. The verbs of spoiling are those of the warnings.
"""

from __future__ import annotations

import re
from functools import cache

from author.checks.verbs import words
from author.proposals.language.spoiling import all_forms, spoiling_verbs
from author.proposals.quantities.amounts.amount import Amount, between
from author.proposals.quantities.amounts.cues import MEASURED
from author.proposals.quantities.amounts.units import kind_of
from author.proposals.quantities.numbers.tokens import Token

# Of these so much is given, filled in or waited, and then something else is done.
_GIVEN = frozenset({"torque", "time", "volume", "mass", "angle"})
# What is warmed or filled is brought to a value on purpose: "when it gets to eighty, switch off".
_BROUGHT_TO = frozenset({"temperature", "pressure"})

_ABOUT = r"(?: (?:about|around|roughly|like|say|a|an|the))*"
_AT = re.compile(
    rf"(?:(?:^|(?P<word>[a-z']+) |, )at|(?:^|, |\b(?:and|but|so|because) )by){_ABOUT}$"
)
# "It's at nine and it's scrap" tells a reading, "set it at nine" an order.
_NO_CASE = re.compile(
    r"[a-z]+'(?:s|re|m)|is|are|was|were|sits|sitting|runs|running|reads|stands|still|now|set|keep"
    r"|kept|hold|held|run|start|leave|go|back|good|look|looking"
)
_CASE = r"(?:if|when|once|whenever|soon as|by the time|(?:minute|moment|second|day)|should)"
_REACHED = re.compile(
    rf"\b{_CASE}(?: (?!(?:you|we|i|to)\b)[a-z']+){{1,5}}?"
    r"(?:(?:'s|'re| is| are| gets?| goes?| climbs?| comes?| rises?| grows?| opens?| creeps?)"
    r"(?: (?:up|out|over|right|anywhere near|as far as|down))* (?:to|at)"
    r"| (?:hits?|reach(?:es)?|reads?|shows?|touch(?:es)?|says?|makes?|draws?|pulls?"
    rf"|gets?)){_ABOUT}$"
)
_IF = re.compile(r"^(?:and |but |so |because )?(?:if|when|once|whenever)\b")
_OPENS = re.compile(r"(?:^|,)(?: ?(?:and|but|or|at|even|anything|that|,))*$")
_FALLING = re.compile(r"\bdown (?:to|at)\b")

# What may stand between the value and what comes of it; a word is taken whole, or a long one
# could be parted in very many ways.
_MEANWHILE = (
    r"(?: ?(?!(?:and|but|or|if|so|i|you|we|it|they|he|she|that|is|are|was|it's|that's|they're"
    r"|then|to|not|no|for|with)\b)[a-z][a-z'-]*+){0,4}?"
)
_AND = r"(?P<and> ?,?(?: ?(?:and|then|that's when|that's where|at which point)\b)*,?) ?"
_IT = (
    r"(?:it|he|she|they|that|this"
    r"|(?:the|your|that|those|these|them) (?!old\b)(?:[a-z]+ ){0,2}?[a-z]+?)"
)
_IS = rf"{_IT}(?:'s|'re|'ll be| is| are| has| have| will be)"
_OBJECT = r"(?:it|them|'em|em|her|'er|him|that|those|these|the|your|both|all|everything)"
_RENEW = (
    r"(?:change|bin|scrap|swap|replace|renew|chuck|toss|throw|condemn|reject|junk|ditch|regrind"
    r"|reline)"
)
_DISCARD = r"(?:bin|scrap|chuck|toss|throw|condemn|reject|junk|ditch)"
_SCRAPPED_AT = re.compile(
    rf"\b{_DISCARD}(?:e?s)?(?: (?:it|them|'em|em|her|him|those|the [a-z]+))?(?: (?:away|out))?"
    rf" (?:at|by){_ABOUT}$|\b(?:(?:go|goes|thrown|chucked) (?:out|in the (?:bin|skip))|done"
    rf"|finished|scrap|scrapped|worn out|junk|dead|condemned|due|stop (?:it|her|him))"
    rf" (?:at|by){_ABOUT}$"
)
_HALTED = re.compile(rf"\bstop (?:it|her|him) (?:at|by){_ABOUT}$")
_RENEWS = (
    rf"(?:{_RENEW}s?(?: {_OBJECT}\b|(?= ?(?:,|$)))|do the [a-z]+\b"
    r"|(?:fit|need|want|buy|order)s? (?:a )?new\b)"
)
_STOPS = (
    r"(?:stop\b(?! (?:and|the|to|for|at|when)\b)|(?:shut|switch|turn|knock) (?:(?:it|her|'er|er"
    r"|him|that|them|everything) )?(?:down|off)\b(?! the)|quit\b|drop everything|walk\b|get out\b"
    r"|leave\b(?! [a-z])|pull over|send (?:it|him|her|them)\b|draw the line|give up\b)"
)
_WORSE = (
    r"(?:scrap(?:ped)?|bin(?:ned)?|junk|garbage|rubbish|toast|dead|shot|worn(?: out)?|wore out"
    r"|had (?:it|its day)|no (?:good|use)|useless|knackered|buggered|stuffed|ruined|wrecked"
    r"|a (?:doorstop|gatepost|paperweight|boat anchor|ornament|lump of scrap)|dust"
    r"|condemned|(?:for|in|goes? in|going in) the (?:bin|skip|tip|scrap|dumpster)|binding"
    r"|coming (?:off|out))\b"
)
_OVER = r"(?:done|finished|gone|out|due|too far gone)\b(?! (?:up|with|of|to)\b)"
_AGAIN = (
    r"(?:chang|replac|renew|bin|scrap|weld|grind|ground|skim|machin|regrind|relin|rebor|shim|sleev"
    r"|swap|chuck|toss|throw|look)[a-z]*"
)
_YOU = (
    r"(?:you|we|they|i|one|mr [a-z]+)(?:'d|'ll|'ve)?"
    r"(?: (?:would|will|must|should|have|need|got|better|want|just|can|to))*"
)
_NEW = (
    r"(?:(?:it's|that's|it is|that is|means|you need|you want|you're (?:into|due)|they're)"
    r"(?: (?:time for|due))? (?:a |two |both |all |some )?new\b)"
)
_STATE = rf"(?:{_IS}(?: (?:it|them|him|her|well|just|all|no))?|{_IT} goes?|{_IT} gets?)"
_MENDED = (
    rf"(?:{_IT} (?:must|needs?|wants?|has|have|gets?|should|'ll need)(?: to)?(?: be| get)?"
    rf" {_AGAIN}\b)"
)
# "Sixteen new, and they're scrap at fifteen": of the next value.
_OF_NEXT = r" (?:at|by|under|over|below|past|above)\b"
_HARM = r"(?:{it}(?:'s|'ll|'re| has| is| will)? (?P<verb>[a-z]+)\b)"
_DONE_THEN = re.compile(
    rf"{_MEANWHILE}{_AND}(?:{_YOU} (?:(?P<stops>{_STOPS})|(?P<renews>{_RENEWS}))"
    rf"|{_STATE} (?:(?P<worse>{_WORSE})|(?P<over>{_OVER}))(?!{_OF_NEXT})"
    rf"|(?P<new>{_NEW})|(?P<mended>{_MENDED})"
    rf"|(?P<bare>{_STOPS}|{_RENEW} (?:it|them|'em|em|that|those)\b)"
    rf"|{_HARM.format(it=_IT)}(?!{_OF_NEXT}))"
)
# "When the chamfer's gone that's them done, that's at fourteen"
_THAT_IS_AT = re.compile(
    rf"{_STATE} (?:{_WORSE}|{_OVER})(?: |,)*(?:and |so )?(?:that's|that is|which is)"
    rf"(?: usually| about| roughly)* at{_ABOUT}$"
)
# "Eighty's where I'd pull the plug"
_WHERE_STOPPED = re.compile(
    r"(?:(?:is|'s|would be)(?: about| just| exactly)?|that's|that is)"
    r" (?:where|when|the point where) (?:you|we|they|i|he|she)(?:'d|'ll| would| should| must)?"
    rf" (?:{_STOPS}|{_RENEWS}|pull the plug\b|call it a day\b|say no\b|start (?:to )?worry)"
)
_HARMED_AT = re.compile(rf"{_HARM.format(it=_IT)} (?:at|by){_ABOUT}$")
# A melting point is no limit, and neither is where something is meant to give.
_NO_HARM = frozenset({"melt", "melts", "melted", "dent", "dents", "shear"})
# A relief valve cracks and blows where it is set to.
_VALVES = frozenset({"crack", "cracks", "cracked", "blow", "blows", "blew", "blown"})
_ALSO_HARM = words("burn crack split seize jam burst blow leak break stall")


@cache
def _spoils() -> frozenset[str]:
    """Return the forms of the verbs that tell of something spoilt."""
    every = all_forms(spoiling_verbs() | _ALSO_HARM)
    return frozenset(one for one in every - _NO_HARM if not one.endswith("ing"))


def ends_at(tokens: list[Token], amount: Amount, begin: int) -> bool:
    """Whether at a value something is stopped, renewed or spoilt.

    Args:
        tokens: words of the sentence.
        amount: the value.
        begin: index after the value before it, else 0.
    """
    ahead = between(tokens, max(begin, amount.first - 9), amount.first)
    ahead = re.split(r"[.;!?] ?", ahead)[-1].replace("' em", "'em")
    given = amount.unit == "turn" or kind_of(amount.unit) in _GIVEN
    rest = between(tokens, amount.last, min(amount.last + 12, len(tokens)))
    rest = re.split(r"[.;!?]", rest)[0].strip().replace("' em", "'em")
    if (found := _HARMED_AT.search(ahead)) is not None and found["verb"] in _spoils() - _VALVES:
        return True
    stopped = _OPENS.search(ahead) and _WHERE_STOPPED.match(rest)
    if _HALTED.search(ahead) and kind_of(amount.unit) == "length":
        return False  # "stop her at two metres"
    if stopped or _SCRAPPED_AT.search(ahead) or _THAT_IS_AT.search(ahead):
        return not given or (bool(stopped) and amount.unit == "°")
    reached = _REACHED.search(ahead) is not None
    at = _AT.search(ahead)
    case = reached or (at is not None and not (at["word"] and _NO_CASE.fullmatch(at["word"])))
    named = not case and _names(tokens, amount, ahead) and not MEASURED.search(ahead)
    case = case or (named and _IF.search(ahead) is not None)
    found = _DONE_THEN.match(rest) if case or named else None
    return found is not None and _is_end(found, amount, case=case, reached=reached, given=given)


def _names(tokens: list[Token], amount: Amount, ahead: str) -> bool:
    """Whether a value stands for itself, at the beginning of what is said of it.

    Where no signs are written a small length does: nobody presses, drills or gives so little.
    """
    if _OPENS.search(ahead):
        return True
    fine = amount.unit in {"thou", "µm"} or (amount.unit == "mm" and (amount.nominal or 1) < 1)
    return fine and not any(token.low in {",", "."} for token in tokens[:-1])


def _is_end(
    found: re.Match[str], amount: Amount, *, case: bool, reached: bool, given: bool
) -> bool:
    """Whether what comes at a value, told as a case or only named, is an end."""
    if found["verb"]:
        return found["verb"] in _spoils()
    if found["worse"]:
        return case or "and" in found["and"]
    if given:
        return False
    if found["bare"]:
        return reached
    if found["stops"]:
        if kind_of(amount.unit) == "length":
            return reached  # "push it in, and at forty millimetres you stop"
        return case or kind_of(amount.unit) not in _BROUGHT_TO
    return case or bool(found["renews"] or found["new"]) or "and" in found["and"]


def falls_to(tokens: list[Token], amount: Amount) -> bool:
    """Whether the words before a value say that something comes down to it."""
    ahead = between(tokens, max(0, amount.first - 6), amount.first)
    return _FALLING.search(ahead) is not None
