"""Names heard as one, and the grade that belongs to a name: "dot 4 fluid", "600 paper".

Bare talk has no commas, so two names that follow each other look like one.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import replace

from author.checks.verbs import words as _words
from author.proposals.language.closed_words import NUMBERS, UNITS
from author.proposals.language.noun_phrases import Phrase
from author.proposals.language.tokens import Token
from author.proposals.language.trade_words import as_phrase, trade_words
from author.proposals.language.verbs import base_of
from author.proposals.language.word_forms import singular

_THINGS = frozenset({"part", "tool", "supply", "feature", "weak"})
_GRADED = _words("dot number grade sae iso nlgi vg")
_VISCOSITY = re.compile(r"\d{1,2} ?w[ -]?\d{2}")
_SIZE = re.compile(r"t\d{1,2}|m\d{1,2}")


def parted(tokens: Sequence[Token], phrase: Phrase) -> Iterator[Phrase]:
    """Yield the names that were heard as one, each with the grade that belongs to it.

    Args:
        tokens: the words of the sentence.
        phrase: what was heard as one name.
    """
    at = _second(tokens, phrase)
    if at is None:
        yield _with_grade(tokens, phrase)
        return
    stop = at
    while stop > phrase.name_first and _is_verb(tokens, stop - 1, phrase):
        stop -= 1
    first = trade_words().kind_of(tokens[stop - 1].low)
    if stop > phrase.name_first and first in _THINGS:
        yield replace(phrase, stop=stop, kind=first, sure=False)
    kind = trade_words().kind_of(tokens[phrase.stop - 1].low) or phrase.kind
    yield from parted(tokens, Phrase(at, at, phrase.stop, kind, phrase.sure, "", None))


def _second(tokens: Sequence[Token], phrase: Phrase) -> int | None:
    """Return where in a name a second one begins, or None."""
    for at in range(phrase.name_first + 1, phrase.stop):
        before, word = tokens[at - 1], tokens[at]
        if _is_verb(tokens, at - 1, phrase):
            return at  # "the grooves hold solvent"
        if trade_words().kind_of(before.low) not in _THINGS:
            continue
        kinds = _THINGS if phrase.kind == "supply" else {"feature"}  # "a wheel nut torque wrench"
        plain = trade_words().kind_of(before.low) in kinds and before.low not in UNITS
        if phrase.kind in {"tool", "supply"} and plain and _known(tokens, at, phrase.stop):
            whole = _known(tokens, phrase.name_first, phrase.stop)
            if not whole and before.low not in trade_words().modifiers:
                return at
        if phrase.kind == "tool" and (_SIZE.fullmatch(word.low) or _sized(tokens, at, phrase.stop)):
            return at  # "disc t30 torx", "grub screw two millimetre key"
        if phrase.kind == "part" and (
            _two_renewed(tokens, phrase, at) or _elsewhere(tokens, phrase, at)
        ):
            return at
        if before.low == "o-ring" and at + 1 == phrase.stop and word.low in _SCREWED:
            return at
    return None


def _two_renewed(tokens: Sequence[Token], phrase: Phrase, at: int) -> bool:
    """Whether a ring or a seal ends before a word, and another begins: "wear ring rod seal"."""
    before, last = tokens[at - 1].low, tokens[phrase.stop - 1].low
    return (
        at - phrase.name_first > 1
        and phrase.stop - at > 1
        and singular(before) in _RENEWED
        and singular(last) in _RENEWED
        and tokens[at].low not in _CARRIERS
        and not _known(tokens, at - 1, at + 1)
        and not _known(tokens, at - 1, phrase.stop)
    )


def _elsewhere(tokens: Sequence[Token], phrase: Phrase, at: int) -> bool:
    """Whether a word tells the place of another part: "rotor cylinder | front plate".

    With an article before it is one name: "the bench front cover".
    """
    before, word = tokens[at - 1].low, tokens[at].low
    again = any(before == token.low for token in tokens[phrase.name_first : at - 1])
    placed = word in _PLACES and before not in _PLACES and at + 1 < phrase.stop
    return not phrase.article and (placed or again)


_PLACES = _words("front rear back upper lower top bottom left right inner outer driven")


def _sized(tokens: Sequence[Token], at: int, stop: int) -> bool:
    """Whether a size begins at a word: what stands before it is another thing."""
    number = tokens[at].low in NUMBERS or tokens[at].low[0].isdigit()
    return number and at + 1 < stop and tokens[at + 1].low in UNITS


_SCREWED = _words("bolt screw clip")
_RENEWED = _words("ring seal o-ring gasket wiper washer circlip packing")
# What holds a seal has a gasket of its own: "shaft seal housing gasket" is one.
_CARRIERS = _words(
    "housing carrier cap plate retainer cover seat holder groove flange bore gland face lip kit set"
)


def _known(tokens: Sequence[Token], first: int, stop: int) -> bool:
    """Whether words are a name of the table: "copper grease", "wire brush"."""
    name = as_phrase([token.low for token in tokens[first:stop]])
    return stop - first > 1 and name in trade_words().phrases


def _is_verb(tokens: Sequence[Token], at: int, phrase: Phrase) -> bool:
    """Whether a word in a name is what several things do: "grooves hold solvent"."""
    if at <= phrase.name_first or at + 1 >= phrase.stop:
        return False
    word, before = tokens[at].low, tokens[at - 1].low
    table = trade_words()
    several = singular(before) != before and table.kind_of(before) in _THINGS
    plain = table.kind_of(word) is None and word not in table.modifiers
    return several and plain and base_of(word) == word


def _with_grade(tokens: Sequence[Token], phrase: Phrase) -> Phrase:
    """Return the name of a supply with its grade: "600 paper", "dot 4 fluid", "10W-40 oil"."""
    at = phrase.name_first
    if phrase.kind != "supply" or not at or tokens[at].parted:
        return phrase
    head, before = tokens[phrase.stop - 1].low, tokens[at - 1].low
    number = before.isdigit() or before in NUMBERS - {"one"}
    named = at > 1 and tokens[at - 2].low in _GRADED and not tokens[at - 1].parted
    if number and named:
        return replace(phrase, name_first=at - 2, first=min(phrase.first, at - 2), count=None)
    if at > 1 and _VISCOSITY.fullmatch(f"{tokens[at - 2].low} {before}".replace("w ", "w")):
        return replace(phrase, name_first=at - 2, first=min(phrase.first, at - 2), count=None)
    # Nobody counts paper or oil: it is what is printed on it.
    if number and phrase.count is not None and phrase.count > 1 and singular(head) == head:
        return replace(phrase, name_first=at - 1, first=min(phrase.first, at - 1), count=None)
    return phrase
