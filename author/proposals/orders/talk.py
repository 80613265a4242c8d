"""Clauses that are no orders though they hold verbs: talk, and what comes of a mistake."""

from __future__ import annotations

from author.checks.verbs import words as _words
from author.proposals.language.closed_words import NUMBERS
from author.proposals.language.loose_words import LooseClause
from author.proposals.language.trade_words import trade_words
from author.proposals.orders.words import Frame

_CHATTER = _words(
    """
    subscribe watching channel video videos comments link thanks thank hello welcome see know
    remember think forget like guess reckon mean love hope wonder mind worry fret panic moan
    complain argue swear grumble
    """
)
_FILM = _words("subscribe channel video comments")


def is_chatter(clause: LooseClause) -> bool:
    """Whether a clause speaks of the film, or only adds "all of it"."""
    low = [word.low for word in clause]
    return (low[:2] == ["all", "of"] and len(low) == 3) or bool(_FILM & set(low))


def talks(frame: Frame) -> bool:
    """Whether the verb of an order asks for nothing at the machine: "remember", "guess"."""
    words = [word for word in frame.words if word not in {"do", "not", "never"}]
    if words[:1] == ["forget"] and "not" in frame.words and words[1:2] == ["the"]:
        # "Don't forget the middle spacer"
        return not any(trade_words().kind_of(word) == "part" for word in words[2:5])
    return not words or words[0] in _CHATTER


def warns(clause: LooseClause) -> bool:
    """Whether a clause forbids, gives a cause, or tells of a person's mistake: "if you leave …"."""
    low = [word.low for word in clause]
    if low[0] in {"if", "because", "or"}:
        return low[0] != "if" or low[1:2] == ["you"]
    return bool(_FORBIDS & set(low))


def threatens(clause: LooseClause) -> bool:
    """Whether a clause tells what comes of a mistake: "you'll go through a hedge"."""
    low = [word.low for word in clause if word.low not in {"and", "or", "then", "so"}]
    coming = low[:1] == ["you'll"] or low[:2] == ["you're", "gonna"]
    return coming and not _ASKS & set(low[:4])


def says_nothing(frame: Frame) -> bool:
    """Whether an order asks for nothing one can do: "weld", "go on", "look at that"."""
    words = frame.words
    if len(words) == 1:
        return words[0] not in _ALONE
    if words[0] == "back":
        # "You're back in six months" is no order, "back it off" is one.
        return words[1] in {"in", "to", "at", "on", "again", "together"}
    if (
        _only_said(words)
        or words[0] in {"ask", "order"}
        or (words[:2] == ("look", "at") and words[-1] in _PAPERS)
    ):
        return True  # nothing is done at the machine
    if words[0] == "go" and words[1] in {"in", "on", "back", "into", "off", "out", "up"}:
        return True  # "they go in the bin"
    if words[0] == "zero" and (words[1] in NUMBERS | {"point"} or words[1][:1].isdigit()):
        return True
    if words[0] == "kill":
        return not _POWER & set(words[1:5])  # "and kill somebody"
    if not frame.sure and words[-3:-2] == words[-1:] and words[-2] == "to":
        return True  # "hook to hook"
    likened = words[1] == "as" and words[2:3] in (("a",), ("an",))  # "dry as a chip"
    return (
        (likened and words[0] != "use")
        or words in _CALLS
        or words[:4] == ("look", "at", "the", "state")
        or (words[:3] == ("look", "at", "the") and words[3:] in _WONDERED_AT)
    )


def _only_said(words: tuple[str, ...]) -> bool:
    """Whether words tell of harm, of a limit ("I chuck them at eight"), or praise: "bang on"."""
    if words[0] in _DISCARDS:
        return words[-2] == "at"
    return (words[0] in _HARMS and _hurts(words)) or (words[0] == "bang" and words[-1] == "on")


def _hurts(words: tuple[str, ...]) -> bool:
    """Whether words tell of harm, or how bad a groove is: "take your arm with it"."""
    if words[0] in {"bash", "smack", "whack", "belt", "bite"}:
        return words[1] in {"you", "your"}
    if words[0] == "catch":
        return bool({"nail", "fingernail", "thumbnail", "toe", "toes"} & set(words[1:5]))
    return words[1] == "your" and words[2:3] != ("time",) and words[3:4] in (("with",), ("for",))


_HARMS = _words("bash smack whack belt bite catch take have")
_DISCARDS = _words("chuck bin scrap discard junk")
_PAPERS = _words("sheet book manual list card screen notes drawing")
_POWER = _words(
    "power breaker breakers mains engine motor supply gas juice ignition switch current electric "
    "electricity isolator main water air pump machine"
)
_ALONE = _words(
    "stop wait repeat measure reassemble disassemble dismantle test clean check isolate tighten "
    "loosen wipe degrease rinse drain fill listen retighten remeasure unplug"
)
_CALLS = {
    ("go", "on"), ("hang", "on"), ("hold", "on"), ("wait", "on"), ("come", "on"), ("carry", "on"),
    ("look", "at", "that"), ("look", "at", "this"), ("wait", "for", "it"),
    ("watch", "it"), ("watch", "out"), ("mind", "it"), ("start", "over"), ("find", "it"),
    ("finish", "on"), ("cut", "out"), ("cut", "in"), ("kick", "in"), ("trip", "out"),
    ("give", "them"), ("give", "it"), ("take", "that"), ("take", "it"), ("put", "it"),
}  # fmt: skip
# "Don't reuse that oil, look at the colour of it"
_WONDERED_AT = {
    (what, "of", which)
    for what in ("color", "colour", "size", "mess", "amount")
    for which in ("it", "that", "them", "this", "those")
}
_FORBIDS = _words("don't never not no mustn't")
_ASKS = _words("needa wanna hafta want need gotta see find notice")
