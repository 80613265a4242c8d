"""Where an order without a verb begins behind another with no sign between: "nut off | piston off".

Somebody who works while he talks tells things and ways only, and captions of bare words have no
commas. Two names that follow each other with their ways are two orders.
"""

from __future__ import annotations

from collections.abc import Sequence

from author.checks.verbs import words as _words
from author.proposals.language.closed_words import ARTICLES, COUNTS, NUMBERS, PREPOSITIONS, UNITS
from author.proposals.language.fasteners import is_fastener
from author.proposals.language.trade_words import as_phrase, trade_words
from author.proposals.language.verbs import base_of
from author.proposals.language.word_forms import singular

_THINGS = frozenset({"part", "tool", "weak"})
_AWAY = _words("off out back loose away")
_TO = _words("on in down up")
_WAYS = _AWAY | _TO
_LONGEST_NAME = 4
_LEADS = _words("and so then now next first right okay well also off")
_RENEWED = _words("pin seal washer gasket ring o-ring circlip clip key belt filter bearing bush")
_MEASURES = UNITS | _words("metres meters millimetres millimeters pounds degrees bar psi microns")
_OF_A_SIZE = _words("by iso vg point number x grade size")
_STATES = _words("straight flush square tight loose flat clear dry clean shut")
_SUPPLIES = _words("breaker isolator power mains ignition key gas water air")
_PLACES = _words("top bottom front side end")
_PLACED = 3
_NO_NAME = PREPOSITIONS | _WAYS | _words(
    "and or but so then if when it it's that that's them this is are was has have not no never "
    "don't you we i they there there's for because until while as stays sits"
)  # fmt: skip


def begins_order(low: Sequence[str], first: int, at: int) -> bool:
    """Whether at a word an order without a verb begins behind another one.

    Args:
        low: the words of a sentence in small letters.
        first: where the clause begins that runs up to the word.
        at: the place of the word.
    """
    if joins_orders(low, first, at) or _plugged_in(low, first, at):
        return True
    if at <= first or low[at - 1] in _NO_NAME - _WAYS:
        return False
    if low[at - 1] in _WAYS:
        told = _is_told(low, first, at - 1)
        done = low[at] not in ARTICLES and _is_done(low, first, at - 1)
        if done and low[at] == "new" and low[at - 1] in _AWAY:
            return _goes(low, at, renewed=True)  # "never back it off | new split pin"
        follows = told and (_follows(low, at, low[at - 1]) or _done_up(low, at))
        return follows or (done and _goes(low, at, renewed=False))
    if ends_in_number(low, first, at) or _switched(low, at) or _first_or_last(low, at):
        return True
    # "Bend the legs straight | prop nut is a 27"
    done = _orders(low, first) and at - 1 - first <= _LONGEST_NAME
    return done and low[at - 1] in _STATES and _is_told_of(low, at)


def _done_up(low: Sequence[str], at: int) -> bool:
    """Whether what holds a part is named, and how tight it goes: "cover on | bolts to nine"."""
    every = low[at] in {"all", "both"}
    counted = every and (low[at + 1 : at + 2] == ["the"] or _is_number(low, at + 1))
    at += every + counted
    if at >= len(low) or not is_fastener(low[at]) or (low[at - 1] in _TO and every):
        return False
    behind = low[at + 1] if at + 1 < len(low) else ""
    return (every and behind not in {"of", "in"}) or (behind == "to" and _is_number(low, at + 2))


def _plugged_in(low: Sequence[str], first: int, at: int) -> bool:
    """Whether it is plugged in behind what is done: "water on | plug in and watch it"."""
    after = low[at + 2] if at + 2 < len(low) else "and"
    ends = after in {"and", "then", "now"} and list(low[at : at + 2]) == ["plug", "in"]
    return ends and at - first > 1 and low[at - 1] in _WAYS | _STATES | {"it", "them"}


def _is_number(low: Sequence[str], at: int) -> bool:
    return at < len(low) and (low[at] in NUMBERS or low[at][:1].isdigit())


def _switched(low: Sequence[str], at: int) -> bool:
    """Whether a supply is switched behind what is done: "all the screws | breaker on"."""
    behind = low[at + 1 : at + 3]
    if low[at] not in _SUPPLIES or behind[:1] not in (["on"], ["off"]):
        return False
    many = singular(low[at - 1]) != low[at - 1] and _kind(low[at - 1]) in _THINGS
    return many and (len(behind) == 1 or behind[1] in {"and", "at", "then", "now"})


def _first_or_last(low: Sequence[str], at: int) -> bool:
    """Whether a thing and its turn follow a place: "out of the top | vent screw in first"."""
    if at < _PLACED or low[at - 1] not in _PLACES or low[at - 2] not in ARTICLES:
        return False
    way = next((n for n in range(at + 1, min(len(low) - 1, at + 4)) if low[n] in _WAYS), 0)
    turn = way and low[way + 1] in {"first", "last"}
    return bool(turn) and low[at - 3] in PREPOSITIONS and _is_name(low[at:way])


def _is_told_of(low: Sequence[str], at: int) -> bool:
    """Whether a thing is named of which something is said: "prop nut is a 27"."""
    verb = next((n for n in range(at + 1, min(len(low), at + 4)) if low[n] in {"is", "are"}), 0)
    return bool(verb) and _is_name(low[at:verb])


def ends_in_number(low: Sequence[str], first: int, at: int) -> bool:
    """Whether at a word an order begins behind a size or a measure: "ISO 46 | piston on".

    Args:
        low: the words of a sentence in small letters.
        first: where the clause begins that runs up to the word.
        at: the place of the word.
    """
    if at <= first:
        return False
    if low[at - 1] in _MEASURES and low[at] in {"both", "all"}:
        return _orders(low, at + 1)  # "forty five newton metres | both hold the other side"
    # "Same oil ISO 46 | piston on", "four by forty | hoses on".
    sized = low[at - 1] in NUMBERS or low[at - 1].isdigit()
    return sized and at - first > 1 and low[at - 2] in _OF_A_SIZE and _goes(low, at, renewed=False)


def joins_orders(low: Sequence[str], first: int, at: int) -> bool:
    """Whether "and" joins two orders without a verb: "key out and spark plug lead off".

    Args:
        low: the words of a sentence in small letters.
        first: where the clause begins that runs up to the word.
        at: the place of the word.
    """
    told = first < at < len(low) - 1 and low[at] == "and" and low[at - 1] in _WAYS
    return told and _is_told(low, first, at - 1) and _goes(low, at + 1, renewed=False)


def _orders(low: Sequence[str], at: int) -> bool:
    """Whether a verb with its object stands at a word."""
    return at + 1 < len(low) and base_of(low[at]) == low[at] and low[at + 1] in ARTICLES


def _is_told(low: Sequence[str], first: int, way: int) -> bool:
    """Whether a clause is a name and its way and no more: "piston off", "spark plug lead off"."""
    while first < way and low[first] in _LEADS:
        first += 1
    if way - first > 1 and low[way - 1] in _AWAY and low[way] in _TO:
        way -= 1  # "lead back on"
    return _is_name(low[first:way])


def _is_done(low: Sequence[str], first: int, way: int) -> bool:
    """Whether a clause is an order with its thing and way: "nip it up", "pull the pin out"."""
    while first < way and low[first] in _LEADS | {"never", "don't"}:
        first += 1
    verb, named = low[first], low[first + 1 : way]
    if base_of(verb) != verb or _kind(verb) in _THINGS or not named:
        return False
    return named in (["it"], ["them"]) or (named[0] in ARTICLES and _is_name(named[1:]))


def _is_name(name: Sequence[str]) -> bool:
    """Whether words are the name of a thing; "plug the hose" and "it" are none."""
    if not 0 < len(name) <= _LONGEST_NAME or set(name) & _NO_NAME:
        return False
    known = trade_words().phrases.get(as_phrase(list(name[-2:])))
    kind = known or _kind(name[-1])
    if kind not in _THINGS:
        return False
    orders = base_of(name[0]) == name[0] and _kind(name[0]) is None and known is None
    return not orders and not any(word in ARTICLES for word in name[1:])


def _kind(word: str) -> str | None:
    return trade_words().kind_of(word) or trade_words().kind_of(singular(word))


def _follows(low: Sequence[str], at: int, way: str) -> bool:
    """Whether a second thing with its way, or a new one, stands behind the way of the first."""
    if low[at] == "new":
        return _goes(low, at, renewed=True) or way in _AWAY
    return low[at] not in ARTICLES and _goes(low, at, renewed=False)


def _goes(low: Sequence[str], at: int, *, renewed: bool) -> bool:
    """Whether a name begins at a word, with its way behind it or as that of a small new part."""
    for stop in range(at + 1, min(len(low), at + _LONGEST_NAME) + 1):
        name = low[at + 1 if renewed else at : stop]
        if not _is_name(name) or (name[0] in COUNTS and low[at - 1] in _TO):
            continue
        behind = low[stop] if stop < len(low) else ""
        if renewed and (is_fastener(name[-1]) or singular(name[-1]) in _RENEWED):
            return True
        after = low[stop + 1] if stop + 1 < len(low) else ""
        # "Ring on the shaft" goes somewhere; "hoses on forty five newton metres" is on.
        if behind in _WAYS and after not in ARTICLES | {"of"}:
            return True
    return False
