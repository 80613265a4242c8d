"""Tools told by what they are made of or by their use: "a bit of four-by-two", "on the glass"."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from author.checks.verbs import words as _words
from author.proposals.language.closed_words import NUMBERS, UNITS
from author.proposals.language.noun_phrases import Phrase
from author.proposals.language.tokens import Token
from author.proposals.language.verbs import base_of

_PIECES = _words(
    """
    bit bits piece pieces length lengths lump scrap scraps offcut chunk chunks block blocks strip
    metre meter foot yard metres feet
    """
)
_BLOCKS = _words("block blocks chunk chunks")
_BEAMS = _words("two-by-four four-by-two four-by-four two-by-six two-by-twos")
_WOOD = _BEAMS | _words("wood hardwood softwood timber oak maple pine beech birch ash plywood ply")
_STOCK = _words(
    "pipe tube tubing rod bar dowel rope chain batten wire steel angle channel conduit string"
)
_METALS = _words("brass copper aluminium aluminum bronze alloy")
_SOFT = _METALS | _words("plastic wood hardwood nylon")
_RENEWED = _words("new fresh replacement")
_STRIKING = _words("tap knock drive drift hit press punch whack beat push thump hammer")
_SCRAPING = _words("scrape scratch")
_WITH = _words("with wi using")
_FAR = 7
_MOST_ADJECTIVES = 4
_THERE_ALREADY = _words("is was there's it's that's found had has had fell came comes find in")


def makeshift_in(tokens: Sequence[Token], barred: frozenset[int]) -> Iterator[tuple[Phrase, str]]:
    """Yield the tools that are told by what they are made of, each with its name.

    Args:
        tokens: the words of a sentence.
        barred: indexes of those that are part of a quantity.
    """
    for at, token in enumerate(tokens[:-1]):
        if token.low in _PIECES and tokens[at + 1].low == "of" and not tokens[at + 1].parted:
            found = _piece(tokens, at)
        elif token.low in _WITH:
            found = _with_soft(tokens, at)
        else:
            continue
        if found is not None and barred.isdisjoint(range(found[0].name_first, found[0].stop)):
            yield found


def _piece(tokens: Sequence[Token], at: int) -> tuple[Phrase, str] | None:
    """Return what a piece of wood, of pipe or of bar is used as."""
    before = tokens[max(0, at - 2) : at]
    if any(one.low in _RENEWED | _THERE_ALREADY for one in before):
        return None
    first = at + 2
    stop = first
    while stop < len(tokens) and stop - first < _MOST_ADJECTIVES and not tokens[stop].parted:
        low = tokens[stop].low
        if low in {"two", "four"}:
            beam = _beam(tokens, stop)
            if beam:
                return _phrase(tokens, at, beam), "wood block"
        stop += 1
        if low not in _WOOD | _STOCK:
            continue
        if stop < len(tokens) and not tokens[stop].parted and tokens[stop].low in _STOCK:
            continue  # "a bit of silver steel rod"
        if any(one.low in _RENEWED for one in tokens[first:stop]):
            return None
        return _phrase(tokens, at, stop), _name(tokens, at, first, stop)
    return None


def _name(tokens: Sequence[Token], at: int, first: int, stop: int) -> str:
    last = tokens[stop - 1].low
    if last in _BEAMS:
        return "wood block"
    if last in _WOOD and tokens[at].low in _BLOCKS:
        return f"{last} block"
    words = [one for one in tokens[first:stop] if one.low not in NUMBERS | UNITS | {"inch"}]
    return " ".join(one.low for one in words)


def _beam(tokens: Sequence[Token], at: int) -> int | None:
    """Return where "two by four" ends."""
    words = [one.low for one in tokens[at : at + 3]]
    whole = len(words) == 3 and words[1] == "by" and words[2] in {"two", "four", "six"}
    return at + 3 if whole else None


def _with_soft(tokens: Sequence[Token], at: int) -> tuple[Phrase, str] | None:
    """Return the drift or the scraper meant by "knock it with brass", "scrape it with plastic"."""
    stop = at + 1
    while stop < len(tokens) and tokens[stop].low in {"a", "bit", "piece", "of", "some"}:
        stop += 1
    if stop >= len(tokens) or tokens[stop].low not in _SOFT or tokens[at + 1].parted:
        return None
    behind = tokens[stop + 1] if stop + 1 < len(tokens) else None
    if behind is not None and not behind.parted and behind.low not in {"and", "not", "never", "or"}:
        return None
    for one in reversed(tokens[max(0, at - _FAR) : at]):
        base = base_of(one.low)
        if base in _SCRAPING:
            return _phrase(tokens, at + 1, stop + 1), f"{tokens[stop].low} scraper"
        if base in _STRIKING and tokens[stop].low in _METALS:
            return _phrase(tokens, at + 1, stop + 1), f"{tokens[stop].low} drift"
    return None


_FLAT = {"glass": "glass plate", "granite": "granite plate"}
_ON_FLAT = _words("roll rub lap flat try spin figure set stand measure")
_PICTURES = _words("picture pictures photo photos photograph photographs snap")
_LAID = _words("put lay stick set rest with using use wi get")
_SUCKED = _words("with using use wi get run")


def told_by_use(tokens: Sequence[Token], phrase: Phrase) -> str | None:
    """Return the tool that is meant by a word for something else, by what is done with it.

    "Roll it on the glass", "take a picture", "a level on the rail", "tap it home with the driver".

    Args:
        tokens: the words of the sentence.
        phrase: a name among them.
    """
    head, one = tokens[phrase.stop - 1].low, phrase.stop - phrase.name_first == 1
    at = phrase.first - 1
    before = tokens[at].low if at >= 0 and not tokens[phrase.first].parted else ""
    near = {base_of(token.low) or token.low for token in tokens[max(0, at - _FAR) : at + 1]}
    stop = phrase.stop
    behind = tokens[stop].low if stop < len(tokens) and not tokens[stop].parted else ""
    if not one:
        return None
    if head in _FLAT and before == "on" and near & _ON_FLAT:
        return _FLAT[head]
    if head in _PICTURES and base_of(before) == "take" and behind not in {"off", "down", "out"}:
        return "camera"
    if head == "level" and phrase.article in {"a", "your", "my"} and base_of(before) in _LAID:
        return "spirit level" if behind in {"on", "across", "along"} else None
    if head == "level" and not phrase.article and not before:
        return "spirit level" if behind in {"across", "along"} else None
    if head == "vacuum" and behind != "of" and (before in _SUCKED or tokens[at - 1].low == "brush"):
        sucked = phrase.article or before in {"with", "and"}
        return "vacuum cleaner" if sucked and behind not in _READ else None
    if head == "driver" and near & _STRIKING:
        return "driver"
    return None


_READ = _words("at below above under over to and on")


def _phrase(tokens: Sequence[Token], at: int, stop: int) -> Phrase:
    led = at > 0 and tokens[at - 1].low in {"a", "the", "my", "your"} and not tokens[at].parted
    article = tokens[at - 1].low if led else ""
    return Phrase(at - 1 if led else at, at, stop, "tool", True, article, None)
