"""What words say of a part that is renewed or thrown away: "the new one", "that's a new rod"."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from author.proposals.language.verbs import base_of
from author.proposals.orders.acts import BIN, INTO_BIN

_NEW = re.compile(r"\b(?:new|fresh|replacement)\s+(?:[\w-]+\s+){0,2}$", re.IGNORECASE)
_OLD = re.compile(r"\b(?:old|worn|existing)\s+(?:[\w-]+\s+){0,2}$", re.IGNORECASE)
# "Any score means a new tube", "that's a new rod": only if that is found.
_MEANS_NEW = re.compile(
    r"\b(?:means? (?:you need )?|due |you're (?:into|looking at) |(?:it|that|they|those)"
    r"(?:'s|'re|'ll be| is| are)(?: due)? |(?<!you )(?<!we )(?<!i )(?:needs?|wants?) )"
    r"(?:an?|one|two|three|four) (?:(?:whole|brand) )?new\b",
    re.IGNORECASE,
)
_CASE = re.compile(r"\b(?:if|unless|when|once|any|anything|otherwise|not|never)\b", re.IGNORECASE)
_IF_FOUND = re.compile(r"\b(?:if|unless|any|anything|otherwise)\b", re.IGNORECASE)
_NEAR = 14
"""Words back to which a case still holds."""
_ONE = re.compile(r"\bnew (ones?)\b", re.IGNORECASE)
_REPLACES_IT = re.compile(
    r"\b(?:replace|renew|swap|change) (?:it|them|that|those|both)(?: out)?"
    r"(?=\W*$|[,.;]| (?:and|so)\b)|(?:^|[,.;] |\b(?:and|so|then) )"
    r"(?:it|they|that|those|both)(?:'s|'re)? "
    r"(?:gets?|has to be|have to be|must be|needs? to be) (?:replaced|renewed|changed|swapped)\b",
    re.IGNORECASE,
)
# "Put the plug back, with a new washer", "and a new gasket".
_WITH_NEW = re.compile(
    r"(?:\b(?:with|and|plus)|,)\s+(?:(?:an?|the|some|its|one|two|three|four|six|eight|both)\s+)*"
    r"(?:new|fresh)\s+(?:[\w-]+\s+){0,2}$",
    re.IGNORECASE,
)
_COUNTED = r"(?:(?:the|its|their|all|both|those|these|two|three|four|five|six|eight|\d+)\s+)"
_WITH = re.compile(
    rf"(?:\bwith\s+(?:(?:the|its|their|all|those|these|\w+)\s+){{0,3}}|\band\s+{_COUNTED}{{1,3}})$",
    re.IGNORECASE,
)
_BINNED = re.compile(rf"\b(?:the|a)\s+{BIN}\b", re.IGNORECASE)
# "That seal goes in the scrap", "both of them are for the bin", "all of those go in the bin".
_FOR_THE_BIN = re.compile(
    rf"(?:\b(all|both)?\s*(?:of\s+)?(it|that|they|them|those|these|both|all)(?:'s|'re)?\s+"
    rf"(?:all\s+|both\s+)?)?(?:of them\s+)?"
    rf"\b(?:(?:goes|go|going|gans?)\s+(?:straight\s+)?(?:in|into|to)\s+(?:the|a)"
    rf"|(?:is|are|was|were)?\s*(?:just\s+)?(?:for|in)\s+the)\s+{BIN}\b(?! of\b)",
    re.IGNORECASE,
)
# "The bushing is oval", "the brush length is eleven"; not "the housing is clean, the seal's out".
_STATED = re.compile(
    r"(?: (?:free )?(?:length|height|thickness|width|diameter|face|lip|coating|lining)s?)?"
    r"(?:['’](?:s|re)| is| are| has| have| looks?| feels?| measures?| got)\b"
    r"(?! (?:still |all |quite |now |pretty )*(?:fine|good|ok|okay|clean|all right|alright|in|out"
    r"|off|on|free|done|ready|dry|loose|held|under)\b)",
    re.IGNORECASE,
)
# "You change them at eight" is a limit and no order.
_AS_A_LIMIT = re.compile(
    r"\b(?:it|them|these|those|that) (?:out |away )?"
    r"(?:at|from|under|below|over|past|beyond|every|after|when|once) (?!the same)",
    re.IGNORECASE,
)


def is_stated(text: str, end: int) -> bool:
    """Whether words that end at a place of a sentence are of what a state is told of behind."""
    return _STATED.match(text, end) is not None


def is_limit(text: str) -> bool:
    """Whether words that renew "it" say from when on that is done: "change them at eight"."""
    return _AS_A_LIMIT.search(text) is not None


@dataclass(frozen=True, slots=True)
class Scrapped:
    """Words that say that something is scrap.

    Attributes:
        begin: index of their first letter.
        pronoun: whether it is named by "that" or "they" and not by its name.
        every: whether that is all that was named.
        many: whether the pronoun is of several: "they're for the bin".
    """

    begin: int
    pronoun: bool
    every: bool
    many: bool = False


def said_new(text: str, at: int) -> bool:
    """Whether the thing whose name begins at a place of a sentence is said to be new."""
    return _NEW.search(text[:at]) is not None


def said_old(text: str, at: int) -> bool:
    """Whether the thing whose name begins at a place of a sentence is said to be the old one."""
    return _OLD.search(text[:at]) is not None


def means_new(text: str, at: int) -> bool:
    """Whether a new one is what something found would mean: "any score means a new tube"."""
    return said_new(text, at) and _MEANS_NEW.search(text[:at]) is not None


def if_found(text: str) -> bool:
    """Whether words ask for something to be found before what comes behind them is done."""
    return _IF_FOUND.search(" ".join(text.split()[-_NEAR:])) is not None


def new_one(text: str) -> str | None:
    """Return "one" or "ones" where words speak of "the new one", or None."""
    found = _ONE.search(text)
    return found[1].lower() if found else None


def replaces_it(text: str) -> bool:
    """Whether words renew what they point at: "the keeper's worn and you replace it"."""
    return _REPLACES_IT.search(text) is not None


def joined_new(text: str, at: int) -> bool:
    """Whether a new thing is named with another: "put the plug back, with a new washer"."""
    return _WITH_NEW.search(text[:at]) is not None


def joined(text: str, at: int) -> bool:
    """Whether a thing is what another goes on with: "the cover goes on with the four screws"."""
    return _WITH.search(text[:at]) is not None and not said_old(text, at)


def scrapped(text: str) -> Iterator[Scrapped]:
    """Yield where a sentence says that something is scrap, but for what is so only in a case."""
    for found in _FOR_THE_BIN.finditer(text) if _BINNED.search(text) else ():
        before = text[: found.start()]
        # "Put it in the scrap" is an order, and what it asks for is told by `act_of`.
        put = base_of((before.lower().split() or [""])[-1]) in INTO_BIN
        if _CASE.search(before) is None and not put:
            every = bool(found[1]) or (found[2] or "").lower() in {"all", "both"}
            many = (found[2] or "").lower() in {"they", "them", "those", "these"}
            yield Scrapped(found.start(), found[2] is not None, every, many)


def last_word(name: str) -> str:
    """Return the last word of a name: of an O-ring "ring"."""
    return str(re.findall(r"\w+", name.lower())[-1])


def last_words(name: str) -> set[str]:
    """Return the last word of each thing that a name tells: of "bolt and both washers" two."""
    parts = re.split(r",|\band\b|\bor\b", name.lower())
    return {found[-1] for part in parts if (found := re.findall(r"\w+", part))}
