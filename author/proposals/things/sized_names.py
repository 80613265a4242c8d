"""Names with the number that is part of them: "24 volt lead", "inch and an eighth spanner"."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from author.checks.verbs import words as _words
from author.proposals.language.closed_words import COUNTS, NUMBERS
from author.proposals.language.noun_phrases import Phrase
from author.proposals.language.tokens import Token
from author.proposals.language.word_forms import singular


def with_its_number(tokens: Sequence[Token], phrase: Phrase) -> Phrase:
    """Return a name with the number that is part of it: one "seven pin plug" has seven pins.

    Args:
        tokens: the words of a sentence.
        phrase: the name.
    """
    at, head = phrase.name_first, tokens[phrase.stop - 1].low
    if (begin := _mixed(tokens, at)) < at and phrase.kind == "tool":
        return replace(phrase, name_first=begin, first=begin, count=None)
    if phrase.kind == "supply" and at and head in _ABRASIVES and tokens[at].low in _HUNDREDS:
        counted = tokens[at - 1].low in NUMBERS and not tokens[at].parted
        return replace(phrase, name_first=at - 1, first=at - 1, count=None) if counted else phrase
    if phrase.kind == "tool" and at and tokens[at].low in NUMBERS and not tokens[at].parted:
        # "Twenty seven spanner" is no seven spanner.
        tens = tokens[at - 1].low.endswith("ty") and tokens[at - 1].low in NUMBERS
        return replace(phrase, name_first=at - 1, first=at - 1) if tens else phrase
    several = phrase.count is not None and phrase.count > 1 and at > phrase.first
    if several and tokens[at].low in _RATED and phrase.stop - at > 1:
        return _with_its_rating(tokens, phrase)
    if several and singular(head) == head and tokens[at].low in _COUNTED_OF:
        return replace(phrase, name_first=at - 1, count=None)
    return phrase


def _mixed(tokens: Sequence[Token], at: int) -> int:
    """Return where the size of a tool begins that is more than a fraction of an inch.

    "Inch and an eighth spanner", "one and a quarter inch socket": that is no eighth spanner.
    """
    if at + 1 < len(tokens) and tokens[at].low in NUMBERS and tokens[at + 1].low in FRACTIONS:
        at += 1  # "one and one eighth spanner"
    if tokens[at].low not in FRACTIONS or tokens[at].parted or at < 3:
        return at
    one = at - 1 if tokens[at - 1].low in {"a", "an", *NUMBERS} else at
    ahead = tokens[one - 2].low if one > 1 else ""
    joined = tokens[one - 1].low == "and" and not tokens[one].parted and not tokens[one - 1].parted
    return one - 2 if joined and (ahead == "inch" or ahead in NUMBERS) else at


FRACTIONS = _words("half quarter quarters eighth eighths sixteenth sixteenths")
"""Words for parts of an inch in the size of a tool."""
_ABRASIVES = _words("paper sandpaper grit cloth emery")
_HUNDREDS = _words("hundred thousand")


def _with_its_rating(tokens: Sequence[Token], phrase: Phrase) -> Phrase:
    """Return a name with what it is made for: one "24 volt lead", two "12 volt batteries"."""
    first = phrase.name_first - 1
    tens = first and tokens[first - 1].low in NUMBERS and tokens[first - 1].low.endswith("ty")
    if tens and tokens[first].low in NUMBERS and not tokens[first].parted:
        first -= 1
    counted = first and tokens[first - 1].low in COUNTS and not tokens[first].parted
    count = COUNTS[tokens[first - 1].low] if counted else None
    begin = min(phrase.first, first - 1 if counted else first)
    return replace(phrase, first=begin, name_first=first, count=count)


_COUNTED_OF = _words(
    "pin way core pole leg jaw start speed stage point hole lobe blade wire prong piece gang port"
)
_RATED = _words("volt volts amp amps watt watts kilowatt ohm ohms litre liter micron micron hertz")
