"""Two things of which one is told by its side, or by "first": "top bolt first, then the other"."""

from __future__ import annotations

import re

from author.proposals.language.fasteners import is_fastener
from author.proposals.language.trade_words import trade_words
from author.proposals.language.word_forms import singular

_SIDES = (
    r"top|bottom|upper|lower|inner|outer|inside|outside|left|right|front|rear|back|leading"
    r"|trailing|left-hand|right-hand|near|far|big|small|long|short"
)
_PARTS = frozenset({"part", "weak", "feature"})
# "Undo the top bolt, then the bottom one"
_THE_OTHER = re.compile(
    rf"\b(?:{_SIDES}) (?P<name>[a-z-]+)\b(?P<between>[^.;:!?]*?\bthen the (?:{_SIDES})) one"
    r"(?=\W*$|[,.;]| and\b| with\b)",
    re.IGNORECASE,
)
# "Top spring first, then the bottom spring": what is done to them tells the part of the job
_FIRST_THEN = re.compile(
    r"^(?:(?:and|so|now|then|right|okay)[, ]+)*(?:the |your )?(?P<one>(?:[a-z-]+ ){0,2}[a-z-]+) "
    r"first,? (?:and )?then (?=(?:the |your )?(?:[a-z-]+ ){0,2}(?P<other>[a-z-]+)\W*(?:$|[,.;]))",
    re.IGNORECASE,
)


def with_other_named(text: str) -> str:
    """Return what was said with the name of the other of two: "then the bottom bolt".

    Args:
        text: a sentence.
    """
    return _THE_OTHER.sub(_with_name, text)


def first_and_then(text: str, verb: str) -> tuple[int, str] | None:
    """Return where two parts are told of which one is first, and the orders to move them.

    Args:
        text: a sentence.
        verb: ``fit`` or ``remove``.
    """
    text = with_other_named(text)
    two = _FIRST_THEN.match(text)
    if two is None or not (_is_moved(two["one"]) and _is_moved(two["other"])):
        return None
    other = text[two.end() : two.end("other")]
    return two.start("one"), f"{verb.capitalize()} the {two['one'].lower()}, then {verb} {other}."


def _with_name(found: re.Match[str]) -> str:
    if trade_words().kind_of(singular(found["name"].lower())) not in _PARTS:
        return found[0]
    return f"{found[0][:-3]}{singular(found['name'].lower())}"


def _is_moved(name: str) -> bool:
    """Whether a name is of a part that goes on or comes off whole; bolts may be tightened."""
    head = singular(name.lower().split()[-1])
    return trade_words().kind_of(head) in {"part", "weak"} and not is_fastener(name)
