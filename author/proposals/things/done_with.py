"""What a verb is done with and where a supply goes: "grease the lip", "file it", "mike it"."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from decimal import Decimal

from author.checks.verbs import words as _words
from author.proposals.language.closed_words import (
    ARTICLES,
    NUMBERS,
    OBJECT_BEGINS,
    PARTICLES,
    PREPOSITIONS,
)
from author.proposals.language.noun_phrases import Phrase, is_verb_here
from author.proposals.language.tokens import Token
from author.proposals.language.trade_words import trade_words
from author.proposals.language.verbs import base_of
from author.proposals.things.named import FAINT, Thing
from author.proposals.things.not_meant import REFUSING
from author.proposals.things.signs import LEFT_OUT

_SUPPLY_VERBS = {
    "grease": "grease", "regrease": "grease", "re-grease": "grease", "oil": "oil",
    "loctite": "threadlocker", "glue": "glue", "solder": "solder", "tape": "tape",
}  # fmt: skip
# Verbs whose tool is in most such talk: to press, to blow or to knock leaves open with what.
_TOOL_VERBS = {
    "mic": "micrometer", "mike": "micrometer",
    "hoover": "vacuum cleaner", "vacuum": "vacuum cleaner", "chock": "wheel chock",
    "scribe": "scriber", "punch": "punch", "ohm": "multimeter", "meg": "insulation tester",
    "file": "file", "scrape": "scraper", "drill": "drill", "hone": "hone", "ream": "reamer",
    "drift": "drift", "brush": "brush", "hacksaw": "hacksaw", "sling": "sling",
    "megger": "insulation tester", "mikes": "micrometer", "mics": "micrometer",
}  # fmt: skip
# Verbs whose tool is in some such talk: only the points of things tell where.
_UNSURE_VERBS = {
    "hammer": "hammer", "whack": "hammer", "clout": "hammer", "thump": "hammer",
    "wallop": "hammer", "tap": "hammer", "knock": "hammer", "scratch": "scriber",
    "torque": "torque wrench", "weigh": "scale", "grind": "grinder", "cut": "cutter",
    "jack": "jack", "press": "press", "heat": "heat gun", "blow": "air gun",
    "solder": "soldering iron", "desolder": "soldering iron", "unsolder": "soldering iron",
    "clamp": "clamp", "wedge": "wedge", "sweep": "brush", "crimp": "crimping tool",
    "pry": "pry bar", "prise": "pry bar", "lever": "lever", "strap": "strap", "bag": "bag",
    "hose": "hose", "cap": "cap", "plug": "plug", "chalk": "chalk", "photograph": "camera",
    "prop": "prop", "chain": "chain", "shoot": "infrared thermometer",
}  # fmt: skip
# Told of what is done already, or shall be: "wheels chocked", "the tank slung".
_DONE = {
    "chocked": "wheel chock", "strapped": "strap", "slung": "sling", "propped": "prop",
    "wedged": "wedge", "clamped": "clamp", "chained": "chain", "torqued": "torque wrench",
    "weighed": "scale", "miked": "micrometer", "pressed": "press", "padlocked": "padlock",
}  # fmt: skip
_WHERE = PREPOSITIONS - _words("with of from by off out for up down without near past")
_WHERE_STOPS = _words(
    """
    and but so then before until because if when while or that which just we you i it's that's
    as cause till unless once goes is are with will not never nothing no nae
    """
)
_BETWEEN = _words("between over under around at to above below up down")
_POINTING = _words("it them those these that this both all")
_STATES = _words("speed pressure temperature rpm degrees revs least most once")
_BEHIND_WHERE = _words("first last again lightly well now too sparingly liberally")
_MOST_WHERE = 9
_STANDS = _words("is are was were been be it's that's they're come comes came")
_ACROSS = _words("across over around round at")
_WITH = _words("with wi using")
_FAR = 8
# Shares that were right in narrations of our own.
_LIKELY, _WEAK = Decimal("0.8"), Decimal("0.6")


def done_with(index: int, text: str, tokens: Sequence[Token]) -> Iterator[Thing]:
    """Yield the tool or the supply that a verb names: "mike it", "grease the lip".

    Args:
        index: of the sentence.
        text: its words as they were said.
        tokens: its words.
    """
    for at, token in enumerate(tokens[:-1]):
        base = base_of(token.low)
        tool = _TOOL_VERBS.get(token.low) or _UNSURE_VERBS.get(token.low)
        sure = _LIKELY if token.low in _TOOL_VERBS else FAINT
        if tool and _is_done(tokens, at) and not _otherwise(tokens, at):
            yield Thing(index, token.begin, token.end, "tool", tool, None, None, None, sure,
                        f"'{token.low}' is done with a {tool}",
                        frozenset({"by verb", f"by verb {token.low}"}))  # fmt: skip
        made = _DONE.get(token.low)
        if made and _was_done(tokens, at) and not _otherwise(tokens, at):
            yield Thing(index, token.begin, token.end, "tool", made, None, None, None, FAINT,
                        f"'{token.low}' is done with a {made}",
                        frozenset({"by verb", f"by verb {token.low}"}))  # fmt: skip
        name = _SUPPLY_VERBS.get(base or "")
        if name is None or tokens[at + 1].parted or not is_verb_here(tokens, at):
            continue
        if _in_full(tokens, at, name):
            continue
        # "Don't grease the rollers": that tells no place for it.
        refused = not REFUSING.isdisjoint(_before(tokens, at))
        if token.low.endswith("ed") and _is_so_already(tokens, at):
            continue
        stop = at + 1
        while stop < len(tokens) and stop - at <= 5 and not tokens[stop].parted:
            if tokens[stop].low in _WHERE_STOPS | PREPOSITIONS | PARTICLES:
                break
            stop += 1
        while stop > at + 1 and tokens[stop - 1].low in _BEHIND_WHERE:
            stop -= 1
        pointed = stop == at + 2 and tokens[at + 1].low in _POINTING
        told = stop > at + 1 and not refused and not pointed
        where = text[tokens[at + 1].begin : tokens[stop - 1].end] if told else None
        signs = {"by verb", f"by verb {base}", *((LEFT_OUT,) if refused else ())}
        yield Thing(index, token.begin, token.end, "supply", name, None, None, where, _WEAK,
                    f"'{token.low}' is done with {name}", frozenset(signs))  # fmt: skip


def _is_so_already(tokens: Sequence[Token], at: int) -> bool:
    """Whether a thing is told to be so: "it's greased", "they come already greased"."""
    first = at
    while first and tokens[first - 1].low in _ALREADY:
        first -= 1
    return first > 0 and tokens[first - 1].low in _STANDS


_ALREADY = _words("already all ready factory fully lightly nicely well")


def _is_done(tokens: Sequence[Token], at: int) -> bool:
    """Whether a verb that names its tool is told to be done: "ohm it", not "ten ohm the first"."""
    before = "" if tokens[at].parted else tokens[at - 1].low
    counted = before in NUMBERS or before[:1].isdigit()
    if before in _MAY and at > 1 and tokens[at - 2].low not in _HANDS:
        return False  # "it can punch a hole"
    behind = tokens[at + 1]
    across = behind.low in _ACROSS and is_verb_here(tokens, at)
    named = behind.low in OBJECT_BEGINS or (across and tokens[at].low not in _SUCKING)
    if tokens[at].low in _MIKES:  # no man called so is put on a journal, or reads a size
        named = named or behind.low in {"on", "in"} | NUMBERS or behind.low[:1].isdigit()
    return not counted and before not in ARTICLES and not behind.parted and named


_MAY = _words("can could may might will would it'll they'll that'll")
_HANDS = _words("you we i")
_SUCKING = _words("vacuum hoover")  # "vacuum at the gauge 42"
_MIKES = _words("mic mike mics mikes")


def _was_done(tokens: Sequence[Token], at: int) -> bool:
    """Whether a participle tells what is done with a thing: "wheels chocked", "I weighed it"."""
    if tokens[at].parted:
        return False
    before = tokens[at - 1].low
    return before in _STANDS | _DOING or trade_words().kind_of(before) in {"part", "weak"}


_DOING = _words("i we get gets have i've we've being both")


def _otherwise(tokens: Sequence[Token], at: int) -> bool:
    """Whether it is not to be done, or done with what is named: "scrape it with a card"."""
    before = [] if tokens[at].parted else [token.low for token in tokens[max(0, at - 2) : at]]
    sort = trade_words().kind_of(before[-1]) if before else None
    if sort in {"part", "tool", "supply"} or not REFUSING.isdisjoint(before):
        return True
    for token in tokens[at + 1 : at + _FAR]:
        if token.parted:
            return False
        if token.low in _WITH:
            return True
    if tokens[at].low == "heat":
        return any(token.low in _HEATED_IN for token in tokens[at + 1 : at + _FAR])
    return False


_HEATED_IN = _words("oven bath hotplate oil water pan induction freezer")


def _before(tokens: Sequence[Token], at: int) -> list[str]:
    """Return the two words before a word in its clause."""
    return [] if tokens[at].parted else [token.low for token in tokens[max(0, at - 2) : at]]


def _in_full(tokens: Sequence[Token], at: int, name: str) -> bool:
    """Whether the supply is named as well: "grease the lip with a little fork grease"."""
    for place in range(at + 1, min(at + _FAR, len(tokens))):
        if tokens[place].parted:
            return False
        if tokens[place].low in _WITH:
            near = [token.low for token in tokens[place + 1 : place + _FAR]]
            # Not "with the grease gun".
            return any(
                one == name and trade_words().kind_of(behind) not in {"tool", "part"}
                for one, behind in zip(near, [*near[1:], ""], strict=True)
            )
    return False


def what_gets_it(text: str, tokens: Sequence[Token], phrase: Phrase) -> str | None:
    """Return what a supply is told for before it: "the rack gets a smear of moly grease".

    Args:
        text: the sentence.
        tokens: its words.
        phrase: the supply.
    """
    at = phrase.first - 1
    while at > 0 and not tokens[at + 1].parted and tokens[at].low in ARTICLES | _SO_MUCH:
        at -= 1
    if at < 1 or tokens[at + 1].parted:
        return None
    if tokens[at].low in _GETS:
        stop = at
        while at and not tokens[at].parted and tokens[at - 1].low not in _WHERE_STOPS | _ONLY:
            at -= 1
    elif tokens[at].low in _WITH:
        stop = at
        while at and not tokens[at].parted and base_of(tokens[at - 1].low) not in _SMEARING:
            at -= 1
        if not at or tokens[at].parted or not is_verb_here(tokens, at - 1):
            return None
    else:
        return None
    return text[tokens[at].begin : tokens[stop - 1].end] if 0 < stop - at <= _MOST_GETTING else None


_SO_MUCH = trade_words().measures | _words("of little tiny small thin more than only just good")
_GETS = _words("gets get wants want needs need takes take")
_ONLY = _words("just only now then so also")
_SMEARING = _words("grease regrease oil coat smear lubricate lube wet pack dust")
_MOST_GETTING = 5


def where_it_goes(text: str, tokens: Sequence[Token], at: int) -> str | None:
    """Return where a supply goes, in the words that follow it.

    Args:
        text: the sentence.
        tokens: its words.
        at: index of the word behind the supply.
    """
    if at >= len(tokens) or tokens[at].low not in _WHERE or tokens[at].parted:
        return None
    behind = tokens[at + 1].low if at + 1 < len(tokens) else ""
    if behind[:1].isdigit() and tokens[at].low in _BETWEEN:
        return None  # "CO2 between 9 and 10 percent" is measured there
    stop = at + 1
    while stop < len(tokens) and stop - at < _MOST_WHERE and not tokens[stop].parted:
        if tokens[stop].low in _WHERE_STOPS or is_verb_here(tokens, stop):
            break
        stop += 1
    while stop > at + 1 and tokens[stop - 1].low in PREPOSITIONS | ARTICLES | _BEHIND_WHERE:
        stop -= 1
    if tokens[at].low == "at" and any(token.low in _STATES for token in tokens[at + 1 : stop]):
        return None  # "run a strip of cloth at half speed first"
    return text[tokens[at].begin : tokens[stop - 1].end] if stop > at + 1 else None
