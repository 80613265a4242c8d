"""What is meant by a colour: "a dab of blue", "the blue glue", "threadlock, the blue one"."""

from __future__ import annotations

from collections.abc import Sequence

from author.checks.verbs import words as _words
from author.proposals.language.fasteners import is_fastener
from author.proposals.language.noun_phrases import Phrase
from author.proposals.language.tokens import Token
from author.proposals.language.word_forms import singular

_BLUE = {
    "dab": "threadlocker", "drop": "threadlocker", "bit": "threadlocker", "spot": "threadlocker",
    "touch": "threadlocker", "smear": "marking blue", "film": "marking blue",
    "layer": "marking blue", "coat": "marking blue",
}  # fmt: skip
# Besides fasteners, what threadlocker is named with.
_LOCKED = _words("thread pin threadlocker")
_COLOURS = _words("blue red green purple")
_STRENGTHS = _COLOURS | _words("medium strong weak")


def coloured(tokens: Sequence[Token], phrase: Phrase) -> str | None:
    """Return what is meant by "a dab of blue"."""
    at = phrase.name_first
    if tokens[at].low not in _COLOURS or phrase.stop - at > 1 or phrase.first < 2:
        return None
    of = phrase.first - 1
    amount = tokens[of - 1].low if tokens[of].low == "of" and not tokens[of + 1].parted else ""
    meant = _BLUE.get(amount)
    if meant is None:
        return None
    fastened = any(is_fastener(token.low) or singular(token.low) in _LOCKED for token in tokens)
    if meant == "marking blue" or not fastened:
        return "marking blue" if tokens[at].low == "blue" else None
    return f"{tokens[at].low} {meant}"


def glued_by_colour(tokens: Sequence[Token], phrase: Phrase) -> str | None:
    """Return what is meant by "the blue glue": glue told by colour or strength holds threads."""
    colour = _colour_behind(tokens, phrase)
    if colour is not None:
        return f"{colour} {tokens[phrase.stop - 1].low}"
    if phrase.stop < 2 or tokens[phrase.stop - 1].parted:
        return None
    first, last = tokens[phrase.stop - 2].low, tokens[phrase.stop - 1].low
    if last != "glue" or first not in _STRENGTHS:
        return None
    return f"{first} threadlocker" if first in _COLOURS else "threadlocker"


def _colour_behind(tokens: Sequence[Token], phrase: Phrase) -> str | None:
    """Return the colour of threadlock told behind it: "threadlock on the screw, the blue one"."""
    one = phrase.stop - phrase.name_first == 1
    if not one or tokens[phrase.stop - 1].low not in _THREADLOCKS:
        return None
    for at in range(phrase.stop, len(tokens) - 2):
        the, colour, sort = (token.low for token in tokens[at : at + 3])
        if the == "the" and colour in _COLOURS and sort in _SORTS_OF and not tokens[at + 1].parted:
            return None if tokens[at - 1].low in {"not", "never"} else colour
    return None


_THREADLOCKS = _words("threadlock threadlocker loctite")
_SORTS_OF = _words("one stuff sort kind type grade")
