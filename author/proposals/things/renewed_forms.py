"""The words that tell a part to be renewed or to be scrap, however they are turned."""

from __future__ import annotations

import re

from author.proposals.language.closed_words import NUMBERS

_POINTS = (
    r"(?P<points>(?:(?:all|both|the) (?:of (?:them|those|these)|two|three|four|five|six|lot)"
    r"|(?:this|that) one|it|that|this|they|those|these|both|all))"
)
_MUST = (
    r"(?: |'s |'re |'ll )(?:(?:just|always|now|then|also|all|both|simply|only|better) )?"
    r"(?:gets?|(?:will|must|has to|have to|needs? to|got to|is going to|are going to|going to)"
    r" (?:all |both )?(?:be|get)|is being|are being|being|(?:is |are )?getting)"
    r" (?:all |both |just |always )?"
)
_RENEWED = r"(?:replaced|renewed|changed(?! over| to| into| back)|swapped(?: out)?)\b"
_THROWN = r"(?:thrown (?:away|out)|scrapped|binned|chucked(?: away| out)?|tossed|discarded)\b"
_IS = r"(?:'s| is|'re| are)(?: just| now| all| both)? "
_RENEW = r"(?:replace|renew|change|swap)(?: out)?"
_RENEWING = r"(?:replacing|renewing|changing|swapping)(?: out)?"
_WE_ARE = r"(?:we|i|you)(?:'re| are|'m| am|'ll be| will be)(?: always| just| all| both| now)*"
_WE_DO = rf"(?:(?:we|i|you)(?:'ll| will| always| just| also)* {_RENEW}|{_WE_ARE} {_RENEWING})"
_END = r"(?=\W*$|[,.;]| (?:so|and|then|now|out|every|whatever|while|too|as well|at the same)\b)"
_NO_SIZE = rf"(?!,? (?:{'|'.join(sorted(NUMBERS))}|point|nought|about|around|\d|an? )\b)"

TOLD = re.compile(
    rf"(?:\b{_POINTS})?(?:{_MUST}(?:(?P<new>{_RENEWED})|{_THROWN})"
    rf"|{_IS}scrap(?=\W*$|[,.;]| so\b| and\b| then\b| now\b)"
    # "Lever it out, it's never used twice"
    rf"|{_IS}(?:never|not) (?:(?:used|fitted|put back)(?: in)? (?:twice|again|a second time)"
    r"|re-?used)(?=\W*$|[,.;])"
    rf"|(?: is| are)(?: all| both| always)? (?:replaced|renewed|scrapped|binned|thrown away)\b)",
    re.IGNORECASE,
)
"""\"That gets replaced", "both have to be renewed", "so it's scrap"; not "it's changed"."""
# "You only use them once", "these are single use"
_ONCE = re.compile(
    r"\b(?:you|we|i)(?: can| should| must)?(?: only)?(?: ever)? use (?P<points>it|them|those|these|"
    r"that|this|both)(?: only)? once(?: only)?(?=\W*$|[,.;])"
    r"|\b(?P<are>it|they|those|these|that|this)(?:'re|'s| are| is| get| gets)(?: only)?"
    r"(?: (?:ever )?used(?: only)? once(?: only)?| (?:single|one)[- ](?:use|time)(?: only)?)"
    r"(?=\W*$|[,.;])",
    re.IGNORECASE,
)
_THAT_WE_RENEW = re.compile(
    rf"(?:^|[.;:!?,]\s*|\b(?:so|and) ){_POINTS} {_WE_DO}{_END}",
    re.IGNORECASE,
)
# "Replace all four", "renew both of them", "we're changing all four"; not "change them at eight".
_BID = re.compile(
    rf"\b(?:{_RENEW}|{_WE_ARE} {_RENEWING}) {_POINTS}"
    r"(?=\W*$|[,.;]| (?:so|and|then|now|as|with|every|while|at the same)\b)",
    re.IGNORECASE,
)
NEW_ONE = re.compile(
    r"(?:^|[.;:!?,]\s*|\b(?:so|and|then|now|leaked|leaks|gone|worn|cracked|broken|split|torn) )"
    r"(?:brand )?new ones? (?=(?:in|on|goes|go|with the|with its)\b)"
    # "Key screws, four of them, new ones", "so a new one."; not "new one, eleven mil".
    rf"|(?:^|[;:,]\s*)(?:(?:brand )?new ones(?={_NO_SIZE}(?:[,.;]|$))|an? new one(?=[.;]|$))"
    # "Needles first. Fit a fresh pair", "put a new set in"
    r"|\b(?:fit|put|get|use|take|have)(?: in| on)? (?:an? )?(?:brand )?(?:new|fresh) "
    r"(?:pair|set|lot)\b(?! of\b)(?=\W*$|[,.;]| (?:in|on|and|with)\b)"
    # "Now knives. New set, all three", "Split pin in the link. New."
    rf"|^(?:brand )?(?:new|fresh)(?: (?:pair|set|lot)(?=[,.;]|$)|(?={_NO_SIZE}(?:[,.;]|$)))"
    rf"|^(?:all|both)(?: (?:two|three|four|five|six|eight|ten|twelve|of (?:them|those|these)))?"
    rf" new(?={_NO_SIZE}(?:[,.;]|$))"
    # "Old seals off. Dip the new ones in hydraulic oil."
    r"|\b(?:dip|soak|warm|heat|oil|grease|lube|wet|smear|coat|lay) (?:both |all )?(?:of )?"
    r"the new ones?\b",
    re.IGNORECASE,
)
"""\"It leaked, new one with the lip outwards", "new ones in"; not "new one is eight mil"."""
# "Both reeds we're renewing", "O-rings you always change, two of them".
_NAMED_WE_RENEW = re.compile(rf",? {_WE_DO}{_END}", re.IGNORECASE)
_EACH_TIME = r"(?:as well|too|always|every (?:single )?time|every \w+ (?:years?|months?|hours?))"
# "The valve becomes new", "the copper ring also new", "the gasket is new always"; not "the belt
# is new" and no "diameter new, five ninety".
_NAMED_NEW = re.compile(
    rf"(?:,? (?:becomes?|comes?|goes|go|gets?)(?: back)?(?: in)? new{_NO_SIZE}{_END}"
    rf"|,? (?:also|both|all|always|too) new{_NO_SIZE}{_END}"
    rf"|,?(?: (?:those|they|that|it))?(?:'s|'re| is| are) (?:also|always|all) new{_NO_SIZE}{_END}"
    rf"|,?(?: (?:those|they|that|it))?(?:'s|'re| is| are)?(?: both| all)? new,? {_EACH_TIME})",
    re.IGNORECASE,
)
SO_NEW = re.compile(
    r"\bso(?:,? (?:no|yeah|yes|then|right)\b,?)* (?:(?:it|that|they|this|these)(?:'s|'re| is| are) "
    r"|(?:we|i)(?:'ll| will)? (?:(?:have|need|want|get|fit|put)(?: in)? )?)?"
    r"(?:(?:an?|one|two|three|four|six|both|all) )?(?:brand )?new (?=[a-z])(?!ones?\b)",
    re.IGNORECASE,
)
"""\"The seat is worn, so new washer", "so no, new springs": of what is named behind it."""
NAMED = (TOLD, _NAMED_WE_RENEW, _NAMED_NEW)
"""What is told of what is named right before it."""
_ANY = re.compile(
    r"new|fresh|replac|chang|swap|throw|scrap|binned|chuck|toss|discard|twice|again|second time"
    r"|re-?used|\bonce\b|single|one[- ]time|one[- ]use",
    re.IGNORECASE,
)
FORMS = (TOLD, _ONCE, _THAT_WE_RENEW, _BID, NEW_ONE, SO_NEW, _NAMED_WE_RENEW, _NAMED_NEW)
"""All ways to tell what is renewed or scrap; what "points" is found in is not named there."""


def may_renew(text: str) -> bool:
    """Whether words have one of those that all the forms have; most have none."""
    return _ANY.search(text) is not None
