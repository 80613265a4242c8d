"""Verbs that ask for nothing: what others do, and mistakes told with what comes of them."""

from __future__ import annotations

from itertools import pairwise

from author.checks.verbs import words
from author.proposals.language.clause_cuts import SUBJECTS, Clause
from author.proposals.language.plain_words import Plain


def told_of_others(said: Plain, clause: Clause) -> bool:
    """Whether a bare verb goes on with what somebody else does.

    "I've seen a ring / go through a roof", "that spring will slam on / and take your knuckles".
    """
    begin = next((n for n in range(clause.first, 0, -1) if said.marks[n - 1]), 0)
    before = said.words[max(begin, clause.first - 8) : clause.first]
    if clause.head == clause.first:
        return bool(_WATCHED & set(before))
    will = any(
        (word == "will" and one not in SUBJECTS) or word in {"it'll", "that'll", "they'll"}
        for one, word in pairwise(before)
    )
    return will and said.words[clause.first : clause.head] == ("and",)


def asks_for_harm(said: Plain, at: int, clause: Clause) -> bool:
    """Whether an order is a mistake, and the words behind it tell what comes of it.

    "Drop a spanner across the terminals and you'll see stars."
    """
    after = said.words[clause.stop : clause.stop + 2]
    if after[:1] in {("and",), ("then",)}:
        after = after[1:]
    coming = after[:1] and (after[0] in _COMING or after[0].endswith("'ll"))
    return bool(coming) and said.words[at] in _MISHAPS


def watched(said: Plain, clause: Clause) -> bool:
    """Whether a clause tells what somebody saw happen: "I've seen a ring go through a roof"."""
    return bool(_WATCHED & set(said.words[clause.head : clause.head + 4]))


def forbidden(said: Plain, at: int) -> bool:
    """Whether "never ever" or "do not" stands right before what is done."""
    before = said.words[max(0, at - 2) : at]
    marked = any(said.marks[max(0, at - 2) : at])
    return (
        not marked
        and bool(before)
        and (before[-1] in _NEVER or (before[-1] == "ever" and before[0] in _NEVER))
    )


_NEVER = words("never don't not cannot can't mustn't without nor")


def threatened(said: Plain, at: int) -> bool:
    """Whether words tell what comes of what was just forbidden: "don't lever, you'll score it"."""
    if said.words[at] not in _THEN_YOU or _ASKS & set(said.words[at : at + 4]):
        return False
    return bool(_FORBIDS & set(said.words[max(0, at - 12) : at]))


_THEN_YOU = words("you'll you'd you're")
_ASKS = words("wanna needa gotta hafta want need see find notice better")
_FORBIDS = words("don't never mustn't otherwise or")
_WATCHED = words("seen saw watched heard")
_COMING = words("you'll you've you're it'll it's that's that'll they'll")
_MISHAPS = words("drop slip forget miss lose rush skip touch trap overtighten pinch nick")
