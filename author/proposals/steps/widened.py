"""Marks made longer by what stands before or behind them and belongs to the same order."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from author.proposals.kinds.marks import Marked
from author.proposals.language.plain_words import plain
from author.proposals.language.subject_lists import LIST_LEADS
from author.proposals.language.trade_words import trade_words
from author.proposals.orders.fronts import FLAWS

_OBJECT_AHEAD = re.compile(
    r"(?:^|[,;:.] |\b(?:and|then|so|but|now) )((?:the|those|these|your) (?:[\w'-]+ ){1,3}?"
    r"(?:of the (?:[\w'-]+ ){1,2})?"
    # "Light marks you can polish out"
    rf"|(?:(?!the|and|then|so|but|now)[\w'-]+ ){{0,3}}(?:{'|'.join(sorted(FLAWS))}) )$",
    re.IGNORECASE,
)
_SPEAKS = re.compile(r"(?:you|we|i|you just|we just|i just) [a-z]+ ", re.IGNORECASE)
_SUBJECT = re.compile(r"(?:^|[,;:.]|\b(?:and|then|so|but)\b)\s*((?:[\w'-]+\s+){1,6})$", re.I)
_NO_SUBJECT = re.compile(r"(?:what|whatever|who|anything|something|that|which|if|when)\b", re.I)


def named_anew(text: str, mark: Marked) -> Marked:
    """Return "new piston nut" for the "new one" of "piston nut, new one"."""
    before = _NAME_AHEAD.search(text, 0, mark.begin) if _ONLY_NEW.fullmatch(mark.text) else None
    if before is None or trade_words().kind_of(before[1].split()[-1].lower()) != "part":
        return mark
    return replace(mark, text=f"new {before[1]}")


def with_object_ahead(text: str, mark: Marked) -> Marked:
    """Return an order with the thing named before it: "the plates you soak in oil"."""
    ahead = _OBJECT_AHEAD.search(text, 0, mark.begin) if _SPEAKS.match(mark.text) else None
    if ahead is None:
        return mark
    return replace(mark, begin=ahead.start(1), text=text[ahead.start(1) : mark.end])


def only_names(text: str, named: Marked, anew: Marked) -> bool:
    """Whether words only name the thing that those behind renew: "the circlip, new one"."""
    if not _ONLY_NEW.match(text, anew.begin) or not anew.text.startswith("new "):
        return False
    name = named.text.rstrip(" ,").lower().split()
    joined = not text[named.end : anew.begin].strip(" ,")
    return joined and len(name) <= _NAMED and name[-1:] == anew.text.lower().split()[-1:]


_NAMED = 5
_ONLY_NEW = re.compile(r"(?:a )?(?:brand )?new ones?\W*", re.IGNORECASE)
_NAME_AHEAD = re.compile(
    r"(?:^|[,;:.] )(?:(?:so|now|then|and|the|right|okay),? )*"
    r"((?:[a-z][\w-]* ){0,2}[a-z][\w-]*),\s*$",
    re.IGNORECASE,
)


def with_second(text: str, mark: Marked, marks: Sequence[Marked]) -> Marked:
    """Return an order with the second thing it is done to: "…, and then the return side"."""
    found = _SECOND.match(text, mark.end)
    acts = (one.begin for one in marks if one.kind in {"action", "decision"})
    if found is None or any(mark.end <= begin < found.end() for begin in acts):
        return mark
    return replace(mark, end=found.end(), text=text[mark.begin : found.end()])


_SECOND = re.compile(
    # What holds the first may be told between: "the electrodes, one screw, and then the plate".
    r"(?:, (?:one|two|three|four|five|six|eight|\d) [\w-]+(?: [\w-]+)?)?"
    r",? (?:and )?then the [\w-]+(?: [\w-]+)?(?=[.,;!?]|$)",
    re.IGNORECASE,
)


def with_proof(text: str, mark: Marked) -> Marked:
    """Return "try the start button to prove" with what is proved: "it's dead"."""
    found = _PROVED.match(text, mark.end) if _TO_PROVE.search(mark.text) else None
    if found is None:
        return mark
    return replace(mark, end=found.end(), text=text[mark.begin : found.end()])


_TO_PROVE = re.compile(r"\bto (?:prove|check|see|make sure|be sure|confirm)$", re.IGNORECASE)
_PROVED = re.compile(
    r" (?:that )?(?:it|they|that|there|the \w+)(?:'s|'re| is| are)?\b[^,.;:!?]*", re.IGNORECASE
)


# "The light has to go out", "all the air must come out": nobody takes it out.
_OF_ITSELF = re.compile(
    r"\b(?:lights?|lamps?|led|air|bubbles?|water|pressure|smoke|steam|noise|needle|reading|heat)\W*$",
    re.IGNORECASE,
)


def with_subject(text: str, mark: Marked) -> Marked:
    """Return "comes out" with what comes, which stands before it: "the key comes out"."""
    before = _SUBJECT.search(text[: mark.begin])
    if before is None or _NO_SUBJECT.match(before[1]):
        return mark
    if _OF_ITSELF.search(before[1]) and not _IS_DUE.match(mark.text):
        return mark
    begin = min(_list_begin(text, mark.begin), before.start(1))
    return replace(mark, begin=begin, text=text[begin : mark.end])


# "The water has to be turned off" by somebody, though it comes out of itself.
_IS_DUE = re.compile(r"(?:(?:has|have|needs?) to|must) be ", re.IGNORECASE)


def _list_begin(text: str, end: int) -> int:
    """Return where the list begins that ends at a place: "the spring, the washer and the nut"."""
    said = plain(text)
    at = sum(one <= end for one in said.ends)
    begin = end
    while at and not said.marks[at - 1]:
        if said.words[at - 1] in LIST_LEADS - ({"and"} if begin == end else set()):
            break
        at -= 1
        # The comma of a list is a part of its word.
        if begin < end or text[said.ends[at] - 1] == ",":
            begin = said.begins[at]
    return begin
