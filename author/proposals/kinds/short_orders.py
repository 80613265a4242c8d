"""Finds orders of few words: "out come the two bolts", "off she comes", "head bolts to forty"."""

from __future__ import annotations

from author.checks.verbs import words
from author.proposals.kinds.marks import Hit, act
from author.proposals.language.clause_cuts import Clause
from author.proposals.language.fasteners import is_fastener
from author.proposals.language.plain_words import Plain
from author.proposals.language.short_forms import COMING, FIGURES, THERE, torque_told

_CASES = words("if when or otherwise unless because until else that's how why where watch whenever")
_LEADS = words("and then so now next right okay the all both my your first")
_LONGEST_NAME = 4


def turned_round(said: Plain, clause: Clause) -> Hit | None:
    """Return the order in "off comes the guard", "in goes the new seal", "off she comes"."""
    at = clause.head
    way, verb, name = said.word(at), said.word(at + 1), said.word(at + 2)
    if at + 2 >= clause.stop or said.question or _CASES & set(said.words[:at]):
        return None
    if name in COMING.get(way, ()) and verb in {"it", "she", "they"}:
        return act(at, clause.stop, 68, "part_off")
    if verb in COMING.get(way, ()) and name in THERE:
        return act(at, clause.stop, 68, "part_off")
    return None


def to_a_torque(said: Plain, clause: Clause) -> Hit | None:
    """Return the order in "head bolts to forty five": a fastener and a number, and no verb."""
    at = clause.head
    if not {"to", "at"} & set(said.words[at:]):
        return None
    while at < clause.stop and said.words[at] in _LEADS:
        at += 1
    for place in range(at, min(at + _LONGEST_NAME, clause.stop)):
        if is_fastener(said.words[place]):
            stop = torque_told(said.words[place + 1 :])
            return act(at, place + 1 + stop, 74, "part_to_be") if stop else None
        if said.words[place] in FIGURES:
            return None
    return None
