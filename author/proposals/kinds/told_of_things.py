"""Finds what is said of a thing and done to it: "the lid comes off", "it needs oiling"."""

from __future__ import annotations

from collections.abc import Sequence

from author.checks.verbs import ARTICLES, FINITE, PARTICLES, words
from author.proposals.kinds.instruction_words import LEADS, MOTIONS, PLACES, SPEAKERS
from author.proposals.kinds.marks import Hit, act
from author.proposals.language.clause_cuts import SUBJECTS, Clause
from author.proposals.language.plain_words import Plain
from author.proposals.language.trade_words import trade_words
from author.proposals.language.verbs import (
    TALK,
    base_of_done,
    base_of_going,
    base_of_third,
    is_work,
)

_SHORT_NAME = 5
_NEGATIVE = words("shouldn't won't can't don't doesn't never not mustn't should")


def of_thing(said: Plain, clause: Clause) -> Hit | None:
    """Return what is said of a thing and done to it: "the lid comes off", "it needs oiling"."""
    for at in range(clause.head, clause.stop):
        word, behind = said.words[at], said.word(at + 1) if at + 1 < clause.stop else ""
        if at == clause.head or said.words[at - 1] in {"it'll", "never"}:
            continue
        before = said.words[at - 1]
        if (
            word in {"goes", "go"}
            and before not in SPEAKERS | _NEGATIVE | {"to", "let"}
            and (behind in PARTICLES or behind in PLACES or behind in {"first", "here", "there"})
            and (behind, said.word(at + 2)) != ("to", "be")
        ):
            ahead = said.words[clause.head : at]
            away = _THROWN & set(said.words[at + 1 : clause.stop])
            they = ahead in _THEM and not away
            first = clause.head if _is_name(ahead) or they else at
            return act(first, clause.stop, 74, "part_goes")
        if (
            word in {"comes", "come"}
            and (said.word(at + 2) if behind in _STRAIGHT else behind) in _AWAY
            and before not in SUBJECTS | _NEGATIVE | {"to", "will"}
            and trade_words().kind_of(before) not in _RUNS_OUT
        ):
            return act(at, clause.stop, 66, "part_off")
        if will_come(said, clause, at):
            return act(clause.head, clause.stop, 62, "part_off")
        if _moves(said, at, clause.stop) and said.words[at - 1] not in SUBJECTS:
            # "The arm swings on two pins" tells how it is held
            named = behind != "on" and _is_name(said.words[clause.head : at])
            return act(clause.head if named else at, clause.stop, 62, "part_does")
        if _gets_new(said, at):
            first = clause.head if _is_name(said.words[clause.head : at]) else at - 1
            return act(first, clause.stop, 76, "has_to_be_done")
        if _needs(said, at, clause.stop) or (word in {"is", "are"} and behind in _MADE_SAFE):
            return act(at, clause.stop, 76, "has_to_be_done")
        if _is_done(said, clause, at):
            return act(clause.head, clause.stop, 64, "has_to_be_done")
    return None


def will_come(said: Plain, clause: Clause, at: int) -> bool:
    """Whether a part is foretold to come off by itself: "the pump'll come straight off".

    It begins the sentence, since "leave it loose and the belt will come off" foretells harm, and
    nothing is told of where it goes: "the spring will come out at you".

    Args:
        said: the words of the sentence.
        clause: the clause that may tell it.
        at: where its verb stands.
    """
    first = clause.head
    named = at - 1 if said.words[at - 1] == "will" else at
    name = [word.removesuffix("'ll") for word in said.words[first:named]]
    told = named < at or said.words[at - 1].endswith("'ll")
    if not told or not name or said.words[at] not in _COMING or not _is_name(name):
        return False
    way = at + 1 + (said.word(at + 1) in _STRAIGHT)
    behind = said.word(way + 1) if way + 1 < clause.stop else ""
    ahead = set(said.words[:first]) <= _JOINING
    part = trade_words().kind_of(name[-1]) in {"part", "weak"}
    return part and ahead and said.word(way) in _AWAY and behind in _AS_IT_COMES


_COMING = words("come lift pull slide pop slip drop")
_JOINING = words("and so now then right okay well")
_AS_IT_COMES = words("now then of from with as in too together") | {""}


# What is told so is done on the film; "is worn", "is held", "is fitted with" tell how it is.
_DONE_NOW = words(
    """
    take put push pull lift lower raise remove undo unscrew unbolt unclip unhook loosen slacken
    tighten torque nip refit clean wipe wash rinse degrease dry drain refill pump bleed purge check
    measure weigh tap knock drift rock rotate spin slide strap isolate disconnect unplug reconnect
    scribe photograph grease lubricate oil smear warm dip soak place align adjust polish dress file
    hone withdraw extract draw prise pry lever count test zero keep turn drive open switch shut tie
    lay prop
    """
)
_DONE_THERE = {("set", "up"), ("pressed", "in"), ("pressed", "out"), ("screwed", "in")}
_OF_ANOTHER_TIME = words("by already yesterday wrong too like as because")
_NO_NAME = words("it's that's there's he's she's what's who's here's where's one's everything's")
_SOON = words("then now next also first just always only usually normally both all again carefully")


def _is_done(said: Plain, clause: Clause, at: int) -> bool:
    """Whether a clause tells what is done to a thing: "the end cap is undone", "the lid's lifted".

    "The wheel is driven by a belt" and "the motor's taken a knock" tell how things are.
    """
    word = said.words[at]
    named = at + (word in {"is", "are"})
    if named == at and (not word.endswith("'s") or word in _NO_NAME):
        return False
    place = at + 1
    while place < clause.stop and said.words[place] in _SOON:
        place += 1
    done, behind = said.word(place), said.word(place + 1) if place + 1 < clause.stop else ""
    known = base_of_done(done) in _DONE_NOW or (done, behind) in _DONE_THERE
    other = behind in _OF_ANOTHER_TIME and said.word(place + 2) not in {"hand", "well"}
    if place >= clause.stop or other or not known or (named == at and behind not in PARTICLES):
        return False
    return (
        clause.role in {"main", "result"}
        and not said.question
        and _is_name(said.words[clause.head : at])
    )


_AWAY = words("off out apart away")
# "The oil comes out", "water comes straight out": nobody takes it out.
_RUNS_OUT = words("supply feature plain")
_STRAIGHT = words("straight right clean clear")


def _is_name(words_before: Sequence[str]) -> bool:
    """Whether the words before "goes" are nothing but the name of a part, or the names of a few."""
    if "and" not in words_before[1:]:
        return len(words_before) <= _SHORT_NAME and not set(words_before) & _IN_NO_NAME
    names: list[list[str]] = [[]]
    for word in words_before:
        if names[-1] and (word == "and" or word in ARTICLES):  # a list has its commas no more
            names.append([])
        if word != "and":
            names[-1].append(word)
    return all(
        len(name) <= _SHORT_NAME
        and not set(name) & _IN_NO_NAME
        and trade_words().kind_of(name[-1]) in _LISTED
        for name in names
        if name
    )


# "They go at the back": nobody goes there himself.
_THEM = (("they",), ("those",), ("these",))
_THROWN = words("bin skip scrap rubbish trash dustbin")
_MADE_SAFE = words("locked isolated disconnected unplugged tagged chocked blocked")
_LISTED = words("part weak tool feature")
_IN_NO_NAME = SUBJECTS | FINITE | words("which what that who and but so dead me gan")


_BEHIND = words("from onto into clockwise anticlockwise counterclockwise")


def _moves(said: Plain, at: int, stop: int) -> bool:
    """Whether a part "pulls straight off", "drops out", "slides in"."""
    base = base_of_third(said.words[at])
    if base is None or base not in MOTIONS:
        return False
    behind = said.words[at + 1 : min(stop, at + 3)]
    return any(word in PARTICLES or word in _BEHIND for word in behind)


# "Has to be turned in" is work, "has to be said" is talk.
_GETTING = words("it that this they each both")
_SAID_OF = TALK - {"turn"}
_NEEDING = words("needsta needa hasta hafta gotta should wanna must can gets get needs wants")


def _gets_new(said: Plain, at: int) -> bool:
    """Whether a new part is told to go in: "it gets a new O-ring", "the bottom one gets one"."""
    new = said.word(at + 1) in {"a", "an"} and said.word(at + 2) == "new"
    now = _ANOTHER_DAY.isdisjoint(said.words[:at])
    return new and now and said.words[at] in {"gets", "get"} and _takes_new(said.words[at - 1])


def _takes_new(word: str) -> bool:
    """Whether a word is what takes a new part: "it", "the bottom one", "the shaft"."""
    return word in _GETTING or word == "one" or trade_words().kind_of(word) in _LISTED


_ANOTHER_DAY = words("next later tomorrow spring summer autumn winter if when unless")


def _needs(said: Plain, at: int, stop: int) -> bool:
    word = said.words[at]
    rest = said.words[at + 1 : min(stop, at + 5)]
    if word not in _NEEDING or not rest or said.words[at - 1] in {"that", "if"}:
        return False
    if word not in {"gets", "get", "needs", "wants"}:
        done = next((base_of_done(w) for w in rest if w not in {"be", "to"} | LEADS), None)
        leaves = rest[0] in {"come", "go"} and word not in {"should", "can"}
        return leaves or (rest[0] == "be" and done is not None and is_work(done)
                          and done not in _SAID_OF and word != "can")  # fmt: skip
    if word in {"gets", "get"} and said.words[at - 1] not in SPEAKERS | {"to", "don't"}:
        first = base_of_done(rest[0])
        return first is not None and is_work(first) and first not in _SAID_OF
    base = base_of_going(rest[0])
    return word in {"needs", "wants"} and base is not None and is_work(base)
