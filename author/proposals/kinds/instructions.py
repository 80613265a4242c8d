"""Finds in a clause what is done: orders, "we're gonna take", "nut off", "this one goes in"."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

from author.checks.verbs import ADVERBS, ARTICLES, FINITE, LOOKING_VERBS, PARTICLES, words
from author.proposals.kinds.instruction_words import (
    ALWAYS_WORK,
    BARE_ENDS,
    BARE_NO,
    FRAMES,
    GOING_NO,
    HEAD_NO,
    LEADS,
    MANNER,
    NO_OBJECT,
    OBJECTS,
    OPENINGS,
    PLACES,
    SPEAKERS,
    SUBORDINATES,
    TRADE_PUTS,
    VIEWED,
    is_put,
)
from author.proposals.kinds.marks import Hit, act
from author.proposals.kinds.no_orders import asks_for_harm, told_of_others
from author.proposals.language.clause_cuts import SUBJECTS, Clause
from author.proposals.language.closed_words import BORNE
from author.proposals.language.plain_words import NUMBER_WORDS, Plain
from author.proposals.language.verbs import (
    CLEAR,
    TALK,
    WORKING_TALK,
    base_of_done,
    base_of_going,
    base_of_past,
    base_of_third,
    is_work,
)

_HELPERS = words(
    "can could should must may might would will do did always usually normally now then also "
    "better only first never already carefully gently"
)
_LONGEST_BARE = 9
# Verbs that ask for work only before these words, and such that do not before these.
_ASKED = {
    "let": words("the it a them everything that your some all both most any"),
    "have": words("the it a them everything that your some"),
    "look": words("at for down in inside closely underneath under behind"),
    "time": words("it them"),
    "do": words("the it that this them both"),
    "write": words("down"),
    "note": words("which where how down the its"),
}
_NOTES = ("make", "a", "note", "of")
_IS = words("is was are were it's that's there's")
_TELLS = words("is was are were isn't aren't wasn't weren't")
_WRAPPED = words("with in round around")
_NO_WORK = {"can": words("feel count see hear use find")}
_LASTS = {("take", "a", "while"), ("take", "a", "bit"), ("take", "a", "minute")}
_NOT_ASKED = {"give": {"or"}, "hold": {"on"}, "hang": {"on"}, "watch": {"out"}}


def _skips(said: Plain, at: int, stop: int) -> int:
    """Return where a clause goes on behind "now", "carefully", "first of all"."""
    while at < stop:
        opening = next((n for n in (3, 2) if said.words[at : at + n] in OPENINGS), 0)
        if not opening and said.words[at] not in LEADS and not _manner(said.words[at]):
            break
        at += opening or 1
    return min(at, stop)


def _manner(word: str) -> bool:
    return (word in ADVERBS and word != "never") or (
        word.endswith("ly") and len(word) > 4 and word not in NO_OBJECT
    )


def _works(said: Plain, at: int, stop: int) -> bool:
    """Whether the verb at a place, in its base form, is work and has something to work on."""
    verb = said.word(at)
    if not is_work(verb) or verb in HEAD_NO:
        return False
    behind = said.word(at + 1) if at + 1 < stop else ""
    if verb in TALK or verb in WORKING_TALK:
        return _talk_works(said, at, stop)
    return not (verb in VIEWED and behind in {"you", "that", "what", "how", "why"})


def _talk_works(said: Plain, at: int, stop: int) -> bool:
    """Whether "turn it over", "find the mark" is meant, and no "find out", "turn to you"."""
    verb = said.word(at)
    rest = said.words[at + 1 : stop]
    if verb == "give" and rest[:1] and rest[0] in {"it", "them", "the", "that", "each", "this"}:
        return True
    if verb in ALWAYS_WORK:
        return (bool(rest) and rest[0] not in {"you", "that", "out", "about", "a"}) or (
            verb in {"turn", "feel", "use", "wait", "stop", "start"}
            and rest[:1] != ("that",)
            and rest[:1] != ("you",)
        )
    if verb == "wrap" and rest and rest[0] in ARTICLES and _WRAPPED & set(rest):
        return True  # "wrap the thread with tape"
    if verb in TRADE_PUTS:
        return any(word in PARTICLES or word in {"it", "them"} for word in rest[:6]) and (
            not rest or rest[0] not in {"you", "that", "back", "ahead", "about"} or verb == "go"
        )
    return False


def _object_behind(said: Plain, at: int, stop: int) -> bool:
    """Whether what stands behind a word reads as the object or the way of an order."""
    behind = said.word(at + 1) if at + 1 < stop else ""
    return behind in OBJECTS or behind in PARTICLES or behind in PLACES or _manner(behind)


def _plural(word: str) -> bool:
    return word.endswith("s") and not word.endswith(("ss", "us", "'s"))


def imperative(said: Plain, clause: Clause) -> Hit | None:
    """Return the order a clause begins with, or None."""
    at = _skips(said, clause.head, clause.stop)
    if at >= clause.stop or (said.question and at == 0):
        return None
    verb, behind = said.words[at], said.word(at + 1)
    read = verb == "write" and said.word(at + 2) == "what"  # "write down what you got": a reading
    if (behind in _ASKED.get(verb, ()) and not read) or said.words[at : at + 4] == _NOTES:
        return act(at, clause.stop, 72, "order")
    if said.words[max(0, at - 2) : at] == ("give", "or"):
        return None
    if behind in _NOT_ASKED.get(verb, ()) and said.word(at + 2) != "to":
        return None
    if not _works(said, at, clause.stop):
        return None
    if told_of_others(said, clause) or asks_for_harm(said, at, clause):
        return None
    if weight := _order_weight(said, at, clause.stop):
        only = at > clause.head and said.words[at - 1] == "only"
        return act(at - only, clause.stop, weight, "order")
    return None


def _order_weight(said: Plain, at: int, stop: int) -> int:
    """Return how surely a verb at the head of its clause is an order, 0 where it is none."""
    verb, rest = said.words[at], said.words[at + 1 : stop]
    weight = 66
    if not rest:
        weight = 0 if len(said.words) < 3 or verb in {"hold", "click"} else 60
    elif _object_behind(said, at, stop):
        weight = 95
    elif verb in LOOKING_VERBS | {"prove"} and rest[0] in SUBJECTS:
        weight = 80
    elif any(word in FINITE or word in {"that's", "it's"} for word in rest[:3]):
        weight = 0
    elif verb in CLEAR:
        weight = 85
    elif rest[0] == "of" or rest[0] in SUBJECTS:
        weight = 0
    elif len(rest) < 3 and not any(word in PARTICLES or word in PLACES for word in rest):
        weight = 0  # "Free length", "feed shaft": a name.
    return weight


def framed(said: Plain, clause: Clause) -> Iterator[Hit]:
    """Yield what the speaker says he does or you are to do: "we're gonna take the nut off"."""
    for at in range(clause.first, clause.stop):
        frame = FRAMES.get(said.words[at])
        if frame is None or (at > clause.first and said.words[at - 1] in SUBORDINATES):
            continue
        for tail, form, weight in frame:
            place = at + 1
            if tail and said.words[place : place + len(tail)] != tail:
                continue
            place = _skips(said, place + len(tail), clause.stop)
            if said.word(place) in _NO_WORK.get(said.word(place - 1), ()) or (
                said.words[place : place + 3] in _LASTS
            ):
                return
            if _TELLS & set(said.words[place + 1 : min(clause.stop, place + 3)]):
                return  # "bits you can pick up isn't"
            if place < clause.stop and _in_form(said, place, clause.stop, form):
                yield act(at, clause.stop, weight, "done")
                return


def _in_form(said: Plain, place: int, stop: int, form: str) -> bool:
    word = said.words[place]
    if form == "base" and word == "look":
        return said.word(place + 1) in {"at", "for", "down", "in", "inside", "over", "underneath"}
    if form == "base":
        return _works(said, place, stop) or (
            word in {"do", "get", "give", "go", "have"} and _talk_works(said, place, stop)
        )
    if form == "ing":
        base = base_of_going(word)
        return base is not None and is_work(base) and word not in GOING_NO
    if form == "past":
        base = base_of_past(word)
        return base is not None and is_work(base) and base not in TALK
    base = base_of_done(word)
    return base is not None and is_work(base) and base not in TALK


def spoken_of(said: Plain, clause: Clause) -> Hit | None:
    """Return what "I take the …", "we pulled …", "we can take …" says is done, or None."""
    for at in range(clause.head, min(clause.stop, clause.head + 6)):
        if (
            said.words[at] not in SPEAKERS
            or said.word(at + 1) == "usedto"
            or said.word(at - 1) in SUBORDINATES
        ):
            continue
        place = at + 1
        while place < clause.stop and (said.words[place] in _HELPERS or said.words[place] in LEADS):
            place += 1
        if place >= clause.stop or "never" in said.words[at:place]:
            return None
        word = said.words[place]
        if (
            is_work(word)
            and word not in TALK
            and word not in HEAD_NO
            and (_object_behind(said, place, clause.stop) or word in CLEAR)
            and (word not in {"get", "got", "read", "allow"} or _gets_off(said, place, clause.stop))
        ):
            return act(at, clause.stop, 76, "done")
        base = base_of_past(word)
        if (
            base is not None
            and is_work(base)
            and base not in TALK | {"get", "read", "write"}
            and (said.words[at] in {"i", "we"} and _object_behind(said, place, clause.stop))
        ):
            return act(at, clause.stop, 52, "was_done")
        return None
    return None


def _gets_off(said: Plain, at: int, stop: int) -> bool:
    """Whether something is got off or out: "I get those off with the pliers"."""
    rest = said.words[at + 1 : min(stop, at + 6)]
    return (
        bool(rest)
        and rest[0] in {"it", "them", "those", "these", "the", "that"}
        and any(word in PARTICLES for word in rest)
    )


def run_of_parts(said: Plain, clause: Clause) -> Hit | None:
    """Return "isolator off padlock on" at the head of a clause without a sign in it."""
    at = _skips(said, clause.head, clause.stop)
    if clause.role not in {"main", "result"} or said.question:
        return None
    if any(word in FINITE or word in _IS for word in said.words[at : clause.stop]):
        return None
    for place in range(at + 1, min(clause.stop, at + 5)):
        before, word = said.words[place - 1], said.words[place]
        if before in FINITE or before in SUBJECTS or before in BARE_NO:
            return None
        if is_put(before, word):
            behind = said.word(place + 1) if place + 1 < clause.stop else ""
            if behind not in FINITE and behind != "of":
                return act(at, clause.stop, 70, "part_to_be")
    return None


def going(said: Plain, clause: Clause) -> Hit | None:
    """Return "Taking the nut off" or "just backing this out" at the head of a clause."""
    at = _skips(said, clause.head, clause.stop)
    if at >= clause.stop:
        return None
    base = base_of_going(said.words[at])
    if base is None or not is_work(base) or base in TALK or said.words[at] in GOING_NO:
        return None
    if not _object_behind(said, at, clause.stop):
        return None
    rest = said.words[at + 1 : clause.stop]
    if any(word in FINITE for word in rest) or _tells_of_it(rest):
        return None
    return act(at, clause.stop, 64, "being_done")


def _tells_of_it(rest: Sequence[str]) -> bool:
    """Whether words go on with what a thing then does: "touching the tube | it reads the flame"."""
    return any(
        one in {"it", "she", "he"} and base_of_third(two) is not None for one, two in pairwise(rest)
    )


def _thing(word: str) -> bool:
    """Whether a word can name a part, as far as its look tells."""
    return (
        len(word) > 2
        and word not in BARE_NO
        and word not in SUBJECTS
        and word not in FINITE
        and not _manner(word)
        and word not in PARTICLES
    )


def bare(said: Plain, clauses: Sequence[Clause], index: int) -> Hit | None:
    """Return what a clause without a verb asks for: "Nut off", "new tab washer", or None."""
    clause = clauses[index]
    at = _skips(said, clause.head, clause.stop)
    span = said.words[at : clause.stop]
    if not 1 < len(span) <= _LONGEST_BARE or said.question or clause.role not in {
        "main", "result",
    }:  # fmt: skip
        return None
    if any(
        word in FINITE or word in SUBJECTS or word in BARE_NO or word.endswith("'s")
        for word in span
    ):
        return None
    if span[0] in BARE_ENDS and span[1] not in {"with", "on", "to", "the", "in"}:
        return None
    if any(base_of_third(word) and not _plural(word) for word in span[1:]):
        return None
    if span[0] in {"with", "without", "no", "built"}:
        return None
    last = span[-1]
    if (last in BARE_ENDS and _thing(span[-2])) or _ends_again(span):
        return act(at, clause.stop, 82, "part_to_be")
    return _bare_inside(at, clause, span)


def _ends_again(span: Sequence[str]) -> bool:
    return span[-1] in {"again", "first", "next"} and span[-2] in BARE_ENDS | {"gloves", "glasses"}


def _bare_inside(at: int, clause: Clause, span: Sequence[str]) -> Hit | None:
    """Return "wheel back on the axle", "drift on the outer ring", "new seal", or None."""
    if span[0] in PLACES or span[0] in {"no", "not", "same", "still", "with", "without"}:
        return None
    for place, word in enumerate(span[1:], start=1):
        puts = word in BARE_ENDS | {"onto", "into", "under", "through", "against", "over"}
        if puts and place > 1 and span[place - 1] in BORNE:
            return None  # "the socket pivots on two set screws"
        if puts and _thing(span[place - 1]) and place + 1 < len(span):
            behind = span[place + 1]
            if (
                behind in ARTICLES
                or behind in PLACES | NUMBER_WORDS
                or word in {"into", "onto"}
                or (behind in BARE_ENDS | {"again"})
            ):
                return act(at, clause.stop, 74, "part_to_be")
    if span[0] in {"new", "fresh"} and len(span) <= 5 and _thing(span[-1]):
        return act(at, clause.stop, 66, "new_part")
    if len(span) <= 5 and any(word in MANNER for word in span) and _thing(span[0]):
        return act(at, clause.stop, 58, "few_words")
    return None
