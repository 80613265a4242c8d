"""Numbers that tell how far something is turned, or by how much it changes."""

from __future__ import annotations

import re

from author.proposals.quantities.amounts.amount import Amount, between
from author.proposals.quantities.amounts.context import Scene
from author.proposals.quantities.bare_numbers.same_again import counts_turns

_TURNED = frozenset({"turn", "wind", "screw", "unscrew", "thread", "turns", "threads"})


def why_turns(scene: Scene, amount: Amount, *, told: bool) -> str:
    """Return why a number without a unit counts turns, nothing where it does not.

    Args:
        scene: the sentence.
        amount: one of its amounts.
        told: whether turns are told anywhere on the recording.
    """
    if counts_turns(scene, amount):
        return "turns are counted"
    if _is_past_tight(scene, amount):
        return "past tight it is a part of a turn"
    if _is_backed_off(scene, amount):
        return "it is backed off from where it stops"
    if (told or scene.words & _TURNED) and _is_wound(scene, amount):
        return "it is wound or backed off by a part of a turn"
    return ""


_TIGHT_AND = re.compile(
    r"\b(?:tight|snug|seated|touches)(?: ?,)?(?: (?:and|plus|then|and then))(?: (?:about"
    r"|maybe|another))?$"
)


def _is_past_tight(scene: Scene, amount: Amount) -> bool:
    """Whether a fraction is told past a fastener that is tight: "hand tight and an eighth"."""
    ahead = between(scene.tokens, max(0, amount.first - 5), amount.first)
    return amount.form == "fraction" and _TIGHT_AND.search(ahead) is not None


_WOUND = re.compile(
    r"\b(?:give|take|put|go|wind|back|nip|turn|add|let|run|screw|ease|bring|knock|another|out|in|off"
    r"|slacken|unscrew|loosen|tighten)\b(?: (?:it|them|her|him|'em|that|each|both|one|the \w+))*"
    r"(?: (?:out|in|off|on|up|down|back))?(?: (?:by|about|maybe|just|only|another|say))*$"
)
_QUARTERS = frozenset({2, 4, 8, 3})
_SIXTEENTHS = 16
_SCREWED = re.compile(r"\b(?:back|slacken|loosen|tighten|nip|wind|unscrew)\b")
_WOUND_ON = re.compile(
    r"(?:and go|and try|out|in|off|back|on|more|at a time|each|either|past|further|tighter|looser)"
    r"\b|$|[,.;]"
)


_STOPS = frozenset(
    {"stops", "seats", "seated", "bottoms", "bottomed", "touches", "lightly", "home"}
)
_BACKED = re.compile(
    r"(?:\b(?:out|back|back off|off|back it off|back it out|unscrew it|undo it|slacken it)"
    r"(?: (?:by|about))?)$"
)
_MOST_BACKED = 12


def _is_backed_off(scene: Scene, amount: Amount) -> bool:
    """Whether it tells turns: "in till it stops, then out two and a half"."""
    if not amount.is_plain() or not scene.words & _STOPS or (amount.nominal or 0) > _MOST_BACKED:
        return False
    ahead = between(scene.tokens, max(0, amount.first - 5), amount.first)
    behind = between(scene.tokens, amount.last, min(amount.last + 3, len(scene.tokens)))
    quarters = amount.form in {"whole", "mixed"} or amount.bottom in _QUARTERS
    from_seat = re.match(r"(?:out|back) from (?:seated|home|the stop|closed)\b", behind)
    return quarters and bool(_BACKED.search(ahead) or from_seat)


def _is_wound(scene: Scene, amount: Amount) -> bool:
    """Whether "a quarter" tells how far to turn: turns were told, and nothing shows else."""
    ahead = between(scene.tokens, max(0, amount.first - 5), amount.first)
    fine = amount.bottom == _SIXTEENTHS and _SCREWED.search(ahead) is not None
    part = amount.form == "fraction" and (amount.bottom in _QUARTERS or fine)
    if not part or not amount.is_plain() or amount.role not in {"aim", "about"}:
        return False
    behind = between(scene.tokens, amount.last, min(amount.last + 3, len(scene.tokens)))
    return bool(_WOUND.search(ahead) and _WOUND_ON.match(behind))


_CHANGE = re.compile(
    r"\b(?:creep|drop|lose|rise|change|climb|fall|drift|leak|bleed|vary|differ|move|sag|gain"
    r"|go up|go down"
    r"|come up|come down)(?:s|es|ped|ed)?(?: (?:by|more than|over|less than|no|any|at most|than"
    r"|about|a"
    r"|within|only|up to|it))*$"
)


def is_change(scene: Scene, amount: Amount) -> bool:
    """Whether it tells by how much something changes, which is less than what it is."""
    return bool(_CHANGE.search(between(scene.tokens, max(0, amount.first - 6), amount.first)))
