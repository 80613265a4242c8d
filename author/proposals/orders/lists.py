"""Several things one order is for: "remove the cover, the gasket and the two dowels"."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import replace

from author.checks.verbs import words as _words
from author.proposals.language.closed_words import ARTICLES, NUMBERS, PREPOSITIONS
from author.proposals.language.loose_words import LooseClause, Said, read
from author.proposals.language.trade_words import trade_words
from author.proposals.language.verbs import base_of
from author.proposals.orders.acts import ASIDE
from author.proposals.orders.words import PARTICLES, PRONOUNS, STANDS, is_sentence

_JOINERS = _words("and or plus")
_LEADS = ARTICLES | NUMBERS | _words("new fresh old")
_MOST_WORDS = 6
_LEAD_IN = 4
"""Words before its verb within which an order begins: "and next you want to undo"."""
_THINGS = frozenset({"part", "tool", "supply", "feature", "weak"})


def with_lists(clauses: Sequence[LooseClause]) -> list[LooseClause]:
    """Return the clauses of a sentence, those that only name further things with their order.

    A comma parts "remove the cover, the gasket and the dowels" into an order and a name. The
    list must be ended by "and", so that "undo the bolt, the big one" stays as it is.
    """
    found: list[LooseClause] = []
    at = 0
    while at < len(clauses):
        clause, at = clauses[at], at + 1
        more = _list_behind(clauses, at) if _takes_things(clause) else 0
        for named in clauses[at : at + more]:
            last = clause[-1]
            clause = [*clause[:-1], replace(last, shown=f"{last.shown},"), *named]
        at += more
        found.extend(_each_to_its_place(clause))
    return found


def _each_to_its_place(clause: LooseClause) -> Iterator[LooseClause]:
    """Yield "take the plug out" and "the plug in your pocket" where each thing goes elsewhere."""
    low = [word.low for word in clause]
    for at in range(2, len(low) - 3):
        if low[at] == "and" and low[at - 1] in _WAYS and _goes_elsewhere(low[at + 1 :]):
            yield clause[:at]
            yield clause[at + 1 :]
            return
    yield clause


_WAYS = _words("off out on in up down")


def _goes_elsewhere(low: Sequence[str]) -> bool:
    """Whether words name a thing and where it goes, and no more: "the tube in the outer one"."""
    place = next((at for at, word in enumerate(low[:5]) if word in PREPOSITIONS), 0)
    named = low[0] in {"the", "your", "my"} and 2 <= place < len(low) - 1
    return (
        named
        and not is_sentence(low)
        and all(base_of(word) is None or trade_words().kind_of(word) for word in low[1:place])
    )


def list_end(text: str, begin: int, end: int) -> int:
    """Return where an order ends with the further things it is for, in the letters of a sentence.

    Args:
        text: the sentence.
        begin: where the order begins.
        end: where its first thing ends.
    """
    if last := _LAST_OF_ALL.match(text, end):
        return last.end("named")  # "then the wave spring, | and last the circlip"
    order = read(text[begin:end])
    if order and (behind := _bare_end(text, order, end)) > end:
        return behind
    # "Then the spacer, | the pulley and the nut": of what was done to the thing before.
    then = order and _THEN.search(text, max(0, begin - 5), begin) and _names(order, parted=False)
    if not then and not (order and _takes_things([*order[:-1], replace(order[-1], mark=",")])):
        return end
    reached, parted = end, _is_parted(order)
    while part := _PART.match(text, reached):
        named = read(part[1])
        if not named or not _names(named, parted=parted):
            break
        reached = part.end()
        if any(word.low in _JOINERS for word in named):
            return reached
    return end


_LAST_OF_ALL = re.compile(
    r",? (?:(?:and )?(?:then )?(?:last(?: of all| but not least)?|lastly|finally),?) "
    r"(?P<named>(?:the|an?|your|its|both) (?:[\w-]+ ){0,2}?[\w-]+)(?: (?:on|in|back on|back in))?"
    r"(?=[.;!]|$)",
    re.IGNORECASE,
)
_THEN = re.compile(r"\bthen $", re.IGNORECASE)
_PART = re.compile(r",\s*([^,;:.!?]+)")


def _bare_end(text: str, order: LooseClause, end: int) -> int:
    """Return where what is only named behind an order ends: "slide it on, washer and nut"."""
    low = [word.low for word in order]
    if not (set(low[:_LEAD_IN]) & _PUTS and set(low) & _PLACES) or set(low) & (ASIDE | STANDS):
        return end
    clauses, reached = [order], end
    while part := _PART.match(text, reached):
        clauses.append([*read(f"{part[1]},")])
        reached = part.end()
        if any(word.low == "and" for word in clauses[-1]):
            return reached if named_behind(clauses, 1)[0] else end
    return end


_PUTS = _words("slide put fit push drop press tap slip pop set lower place")
_PLACES = _words("on onto in into over back")


def _takes_things(clause: LooseClause) -> bool:
    """Whether a clause orders something and ends with the name of a thing."""
    last = clause[-1]
    if last.mark != "," or last.low in PARTICLES | PRONOUNS or not _is_thing(last.low):
        return False
    return any(base_of(word.low) == word.low for word in clause[:_LEAD_IN][: len(clause) - 1])


def _list_behind(clauses: Sequence[LooseClause], at: int) -> int:
    """Return how many clauses from one on name further things up to an "and", 0 where none do."""
    parted = _is_parted(clauses[at - 1])
    for count, clause in enumerate(clauses[at:], start=1):
        if not _names(clause, parted=parted):
            return 0
        if any(word.low in _JOINERS for word in clause):
            return count
        if clause[-1].mark != ",":
            return 0
    return 0


def _is_parted(order: LooseClause) -> bool:
    """Whether the end of a verb is still to come: "take the nut, the washer and the spring off"."""
    low = [word.low for word in order]
    return bool(_PARTED & set(low[:_LEAD_IN])) and not PARTICLES & set(low)


_PARTED = _words("take lift pull slide slip get put pop push knock tap drop drive press")


def _names(clause: LooseClause, *, parted: bool) -> bool:
    """Whether a clause is names of things and no more, but for where they are or come from."""
    low = [word.low for word in clause]
    doing = (word for word in low if word.endswith("ing") and base_of(word))
    if is_sentence(low) or not all(map(_is_thing, doing)):
        return False
    if low[-1] in PARTICLES and not parted:
        return False  # "washer and nut on" is an order of its own
    names = list(_parted(low))
    return bool(names) and all(_is_name(name) for name in names)


def _parted(low: Sequence[str]) -> Iterator[list[str]]:
    """Yield the names of a list, the last without the place behind it."""
    name: list[str] = []
    for at, word in enumerate(low):
        if word in _JOINERS:
            if name:
                yield name
            name = []
        elif name and (word in PREPOSITIONS or (word in PARTICLES and at + 1 == len(low))):
            break
        else:
            name.append(word)
    yield name


def _is_name(name: Sequence[str]) -> bool:
    return 0 < len(name) <= _MOST_WORDS and (
        _is_thing(name[-1])
        and not set(name) & PRONOUNS
        # "Drain the oil, seal the bore and …" is no list.
        and (name[0] in _LEADS or (len(name) == 1 and base_of(name[0]) is None))
    )


def _is_thing(word: str) -> bool:
    return trade_words().kind_of(word) in _THINGS


def named_behind(clauses: Sequence[LooseClause], at: int) -> tuple[int, LooseClause]:
    """Return how many clauses only name parts, up to an "and", and the order to fit these.

    Args:
        clauses: of a sentence.
        at: the one from which on they may only name.
    """
    names: list[LooseClause] = []
    for count, clause in enumerate(clauses[at:], start=1):
        led = 1 if clause[0].low == "then" and len(clause) > 1 else 0
        parts = list(_parts_named(clause[led:]))
        if not parts or not all(_is_bare_name(part) for part in parts):
            return 0, []
        names += parts
        if any(word.low == "and" for word in clause):
            order = [Said("fit", "fit"), *_one_after_the_other(names)]
            return (count, order) if len(names) > 1 else (0, [])
        if clause[-1].mark != ",":
            return 0, []
    return 0, []


def _parts_named(clause: LooseClause) -> Iterator[LooseClause]:
    name: LooseClause = []
    for word in clause:
        if word.low == "and":
            if name:
                yield name
            name = []
        else:
            name.append(word)
    yield name


def _is_bare_name(name: LooseClause) -> bool:
    """Whether words are the name of a part and no more: "outer bearing", "four bolts"."""
    low = [word.low for word in name]
    table = trade_words()
    if not 0 < len(low) <= _MOST_BARE or table.kind_of(low[-1]) not in {"part", "weak"}:
        return False
    before = low[:-1]
    return all(word in _LEADS or word in table.modifiers or table.kind_of(word) for word in before)


_MOST_BARE = 4


def _one_after_the_other(names: Sequence[LooseClause]) -> Iterator[Said]:
    """Yield the names with articles as one list: "the outer bearing, the washer and the nut"."""
    for at, name in enumerate(names):
        if at and at == len(names) - 1:
            yield Said("and", "and")
        if name[0].low not in _LEADS:
            yield Said("the", "the")
        last = name[-1]
        comma = "," if at < len(names) - 2 else ""
        yield from name[:-1]
        yield Said(last.low, f"{last.shown}{comma}", "." if at == len(names) - 1 else "")


_AND = re.compile(r"(?:,| and| or|, and|, or) (?=\w)")
_ENDED = re.compile(
    r"\b(?:in|into|on|onto|from|of|with|to|at|by|for|off|out|under|over|behind|until|while|so|"
    r"before|after|then|that|which|if|because|using|back|up|down|together)\b|[;:.]"
)


def things_named(action: str, thing: str) -> list[str]:
    """Return the things an order is for, each as it is named there.

    Args:
        action: the order.
        thing: the first of them, as it stands in the order.
    """
    at = action.lower().find(thing.lower())
    if at < 0:
        return [thing]
    behind = action[at + len(thing) :]
    if way := _WAY_AND.match(behind):
        return [thing, *_named_behind(behind[way.end() :])]
    end = _ENDED.search(behind)
    behind = behind[: end.start()] if end else behind
    if not _AND.match(behind):
        return [thing]
    return [thing, *(name for part in _AND.split(behind) if (name := part.strip(" ,.")))]


def _named_behind(words: str) -> Iterator[str]:
    """Yield the things named behind the end of a verb: "take the circlip off and the old seal"."""
    for part in _AND.split(words):
        name = read(_WHERE.split(part, maxsplit=1)[0])
        low = [word.low for word in name]
        if not low or low[0] not in _LEADS or not _is_name(low):
            return
        yield " ".join(word.shown for word in name)


# The way of the verb is told once; "the cover off and the guard back on" has another.
_WAY_AND = re.compile(
    r" (?:off|out|away|in|on|up|down)(?:,| and|, and) (?=\w)"
    r"(?!.*\b(?:off|out|away|in|on|up|down|back)\W*$)"
)
_WHERE = re.compile(r" (?:from|of|with|at|by|for|under|over|behind|before|after|to|inside) ")


def counted_in(clause: LooseClause) -> str | None:
    """Return the number in "four in all", "there's four of them", "six total"."""
    low = [word.low for word in clause if word.low not in {"there's", "there", "are", "all"}]
    if (
        low
        and low[0] in (NUMBERS | {"both"}) - {"one", "zero", "oh"}
        and (len(low) == 1 or low[1:] in (["in"], ["of", "them"], ["total"], ["in", "total"]))
    ):
        return low[0]
    return None
