"""How surely a number without a unit is a quantity, by its form and the words around."""

from __future__ import annotations

import re
from itertools import pairwise

from author.procedure.number_words import WHOLE
from author.proposals.language.verbs import base_of_third
from author.proposals.quantities.amounts.amount import Amount, between
from author.proposals.quantities.amounts.context import Scene, names_value
from author.proposals.quantities.amounts.cues import HERE
from author.proposals.quantities.amounts.units import kind_of
from author.proposals.quantities.amounts.vocabulary import FASTENERS, GO_ON
from author.proposals.quantities.numbers.tokens import Token

_NEAR = 8
_ASKS = re.compile(
    r"(?:\b(?:is|are|be|to|at|get|gets|than|of|then|says|say|reads|read|measures|got|exceed|over"
    r"|under|for|and|about|least|most|max|maximum|minimum|min|them|it|that's|reading|side|inlet"
    r"|exhaust|fronts?|rears?|finish|with|take|takes|need|needs|want|wants|another|feed|using"
    r"|same|hold|holds|hit|seeing|showing|shows|getting|me|now|a|from|was|were|plus|minus"
    r"|call|called|only|like|by)"
    r"|'s|'re|,)$"
)
_LIST_ON = re.compile(
    rf",? ?(?:and )?(?:a |an )?(?:\d|(?:zero|nought|oh|point|{'|'.join(WHOLE)})\b)"
)
_LEADS = frozenset(
    {"", "then", ", then", ", and then", "and then", ",", "first , then", "first then"}
)


# "First stage twenty, second stage thirty-five foot pounds", "so thirty, then the full sixty"
_STAGE_LEADS = re.compile(
    r",? ?(?:and )?(?:then )?(?:(?:the |on the )?(?:second|third|fourth|next|last|final)"
    r"(?: (?:stage|pass|go|round|step|time))?(?:'s| is| at| to)?|(?:to |up to )?the (?:full|whole))"
    r"(?: ,)?"
)


def evidence_of(scene: Scene, amount: Amount) -> int:
    """Return how surely a number is a quantity: 3 surely, 2 as a value, 1 perhaps, 0 not."""
    if amount.form == "spelled":
        return 2
    exact = amount.form in {"decimal", "mixed", "both", "comma"} or amount.bottom > 1
    exact = exact or "exact" in amount.flags or "corrected" in amount.flags
    if exact or amount.role == "tolerance":
        return 3
    if amount.role == "limits" and (amount.form != "range" or _is_subject(scene, amount)):
        return 3
    return _evidence_of_whole(scene, amount)


def _evidence_of_whole(scene: Scene, amount: Amount) -> int:
    """Return the same of a bare whole number, by the words around."""
    tokens = scene.tokens
    before = " ".join(token.low for token in tokens[max(0, amount.first - 3) : amount.first])
    behind = tokens[amount.last].low if amount.last < len(tokens) else ""
    rest = between(tokens, amount.last, min(amount.last + 4, len(tokens)))
    alone, value = _is_alone(tokens, amount), amount.nominal or 0
    if amount.form == "range":
        ends = not behind.isalpha() or behind in GO_ON
        return 3 if alone else 2 if ends else 1
    if value in {0, 1}:
        return int(value == 1 and behind in {"", ".", ","})
    if amount.first and names_value(tokens[amount.first - 1].low) and not behind.isalpha():
        return 3
    if _is_one_of_two(scene, amount) or _opens_a_list(scene, amount):
        return 2
    told = value < 0 or amount.role == "measured" or alone or HERE.match(rest)
    if told or leads_to_unit(scene, amount) or _ASKS.search(before):
        return 2
    verb = tokens[amount.first - 1].low if amount.first else ""
    if verb not in FASTENERS and base_of_third(verb) and not behind.isalpha():
        return 2  # "the knee lifter gives thirteen"
    return int(value >= 5)


_AND_THE = re.compile(
    r",? ?(?:and )?(?:the |my |on the )?[a-z]+(?:'s)?(?: one| side| end)?(?:'s| is)?,?"
)


def _opens_a_list(scene: Scene, amount: Amount) -> bool:
    """Whether a sentence begins with it and readings follow: "four, four and a half, six"."""
    further = scene.amounts[amount.place : amount.place + 3]
    if amount.first > 1 or len(further) < 3:
        return False
    return all(
        between(scene.tokens, one.last, other.first) == "," and other.unit is None
        for one, other in pairwise(further)
    )


def _is_one_of_two(scene: Scene, amount: Amount) -> bool:
    """Whether a finer value follows it: "left's three, the right's two and a half"."""
    place = amount.place
    other = scene.amounts[place + 1] if place + 1 < len(scene.amounts) else None
    if other is None or not amount.first or not other.is_plain() or other.unit is not None:
        return False
    one, two = amount.nominal or 0, other.nominal or 0
    size = other.form in {"decimal", "mixed"} and 0 < one <= 3 * two and two <= 3 * one
    return size and bool(_AND_THE.fullmatch(between(scene.tokens, amount.last, other.first)))


def is_repeat(scene: Scene, amount: Amount) -> bool:
    """Whether a bare number only says again the one before: "forty bar, forty should do"."""
    before = scene.amounts[amount.place - 1] if amount.place else None
    if before is None or not before.is_plain() or before.nominal != amount.nominal:
        return False
    if amount.form != "whole":
        return False
    behind = scene.tokens[amount.last].low if amount.last < len(scene.tokens) else ""
    ahead = scene.tokens[amount.first - 1].low
    at_once = between(scene.tokens, before.last, amount.first) in {"", ","}
    rest = between(scene.tokens, amount.last, min(amount.last + 3, len(scene.tokens)))
    if at_once and _LIST_ON.match(rest):
        return False  # "ten, ten and a five"
    return at_once or ahead == "with" or behind in {"should", "is", "'s", "will", "would"}


def _is_subject(scene: Scene, amount: Amount) -> bool:
    """Whether a sentence says of a range what it is: "Eighteen to twenty is acceptable"."""
    behind = between(scene.tokens, amount.last, min(amount.last + 2, len(scene.tokens)))
    return amount.first <= 2 and behind.startswith(("is ", "are ", "'s", "will "))


def _is_alone(tokens: list[Token], amount: Amount) -> bool:
    """Whether the sentence says the number and nothing else to speak of."""
    if len(tokens) > amount.last - amount.first + 8:
        return False
    words = [token.low for at, token in enumerate(tokens)
             if token.kind != "sign" and not amount.first <= at < amount.last]  # fmt: skip
    return len(words) <= 1


def leads_to_unit(scene: Scene, amount: Amount) -> bool:
    """Whether it is one of "sixty then one twenty then two ten inch pounds"."""
    at = amount.place
    staged = False
    for one, other in pairwise(scene.amounts[at : at + _NEAR]):
        words = between(scene.tokens, one.last, other.first)
        staged = staged or _STAGE_LEADS.fullmatch(words) is not None
        if words not in _LEADS and not staged:
            return False
        if other.unit is not None:
            return not (staged or words == ",") or kind_of(other.unit) == "torque"
    return False
