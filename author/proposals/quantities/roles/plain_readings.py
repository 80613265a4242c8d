"""Values that the words right before or behind tell of the unit in hand: "mine was sixty"."""

from __future__ import annotations

import re

from author.proposals.quantities.amounts.amount import Amount, between
from author.proposals.quantities.amounts.context import Scene
from author.proposals.quantities.amounts.cues import ASKING, UNTIL
from author.proposals.quantities.amounts.units import kind_of
from author.proposals.quantities.numbers.tokens import Token

_SOFT = (
    r"(?: (?:about|around|maybe|only|just|still|now|some|like|say|circa|a|an|another|what|well"
    r"|wait for it|let's see|let me see|hang on))*$"
)
_READ = re.compile(
    r"(?:\b(?:mine|ours|hers) (?:was|were|are|is)(?: at)?|\bthis has(?: got)?"
    # "They want thirty six, that one was only at twenty eight"
    r"|\b(?:this|that|the (?:other|old|first|last|left|right|front|rear|back|near|far)) one"
    r" was(?: only| just| still| already)*(?: (?:down )?(?:to|at|on))?"
    # "It's moving about three quarters", "the gibs are worn maybe thirty thou"
    r"|\b(?:it|this one|that one|she|he)(?:'s| is)(?: only| just| still)? (?:moving|holding"
    r"|carrying|losing|dropping|leaking|lifting|sagging|creeping)(?: at| by)?"
    r"|\b(?:it|gauge|needle|dial|clock|meter) (?:marks|indicates)"
    r"|\b(?:is|are|'s|'re) (?:already )?worn(?: by)?"
    # "The pin has a bit of play, half a millimetre"
    r"|\b(?:has|have|'s got|there's|there is)(?: got)? (?:a bit|a little|some|a touch|slight)"
    r"(?: of)? (?:play|wear|slop|float|movement|lift|runout|backlash|slack)"
    # "It let go at forty-one millimetres"
    r"|\b(?:it|they|he|she|that) (?:let go|came (?:off|free|apart|on)|popped(?: off)?|tripped"
    r"|opened|lifted|blew(?: off)?|stopped|stalled|started|cut (?:in|out)) at(?: u[hm]| er)?"
    # "Mine sticks out six and a half", "this one goes at a hundred and thirty"; "mine takes four
    # litres" is what it needs
    r"|\b(?:mine|ours|hers|his|theirs|yours truly|(?:this|that) (?:one|unit|fella|guy|'un))"
    r" (?!wants?\b|needs?\b|takes?\b|likes?\b|gets?\b|calls?\b|has\b|is\b|was\b|should\b|must\b"
    r"|at\b|in\b|on\b|out\b|and\b|not\b|but\b)[a-z]+(?:s|ed|t|d|k|me|nt|w|m|g)"
    r"(?: (?:out|up|down|in|off|back|me|over|proud|by))?"
    r"(?: (?:at|to|by|from))?"
    # "The front tyres are down to three", "at the back it's only twelve", "she took two gallons"
    r"|\b(?!what|where|who|how|there)[a-z]+(?:'s|'re| is| are) (?:(?:now|only|already|well|just) )?"
    r"down to|\b(?:it|that|he|she)(?:'s| is) only|\b(?:it|she|he|they|tank|sump|box) took"
    r"|\b(?:that|which)(?: only)? leaves(?: (?:me|us|you))?(?: with)?"
    # "There we are, three minutes twenty"
    rf"|^(?:and |so |right )?there (?:(?:we|you) (?:are|go)|(?:it|she|he) is)){_SOFT}"
)
# "Shaft journal, let me see, twenty-five point oh one"
_SEEN = re.compile(
    r"(?:let me (?:see|have a look)|let's (?:see|have a look))(?: (?:now|here|then))?[ ,.]+"
    r"(?:it's |that's |about )?$"
)
_THERE = re.compile(r",? ?there (?:(?:we|you) (?:are|go)|(?:it|she|he) is)\b")


def plainly_read(tokens: list[Token], amount: Amount, clause: str) -> bool:
    """Whether a value is told of the unit in hand by the words right beside it.

    Args:
        tokens: of the sentence.
        amount: the value.
        clause: the words before it, without pauses.
    """
    if ASKING.search(clause) or UNTIL.search(clause) or kind_of(amount.unit) in _DONE:
        return False
    seen = between(tokens, max(0, amount.first - 6), amount.first)
    behind = between(tokens, amount.last, min(amount.last + 4, len(tokens)))
    there = amount.first == 0 and _THERE.match(behind) is not None
    return bool(there or _READ.search(clause) or _SEEN.search(f"{seen} "))


_DONE = frozenset({"torque", "turns"})
"""Kinds that are done and not read off."""


# "Check the resistance of each row now 16.3 16.1 and 16.2"
_CHECKED_NOW = re.compile(r"\b(?:check|measure|mike|clock)(?: [a-z]+){1,5} now$")


def take_checked_now(scenes: list[Scene]) -> None:
    """Let a row of values be readings where it is told right behind what is checked now.

    Args:
        scenes: sentences whose amounts have their units.
    """
    for scene in scenes:
        before: Amount | None = None
        for amount in scene.amounts:
            ahead = between(scene.tokens, max(0, amount.first - 8), amount.first)
            goes_on = before is not None and between(scene.tokens, before.last, amount.first)
            on = before is not None and goes_on in {"", "and", ",", ", and"}
            if amount.role == "aim" and (on or _CHECKED_NOW.search(ahead)):
                amount.role = "measured"
                before = amount
            else:
                before = None


# "The new vane measures fifty-five. Less than forty-eight you throw it."
_OF_NEW = re.compile(
    r"\bnew(?! (?:ones?|this|that|mine)\b)(?: [a-z-]+){0,2}(?: measures?)?(?: ,)?$"
)


def without_new_parts(scenes: list[Scene]) -> None:
    """Let what a new part has be no reading, where its limit is told at once.

    Args:
        scenes: sentences whose amounts have their roles.
    """
    for scene in scenes:
        for place, amount in enumerate(scene.amounts):
            if amount.role != "measured" or kind_of(amount.unit) != "length":
                continue
            after = [*scene.amounts[place + 1 :]]
            after += [one for later in scenes[scene.index + 1 :][:2] for one in later.amounts]
            if not any(one.role == "limits" and one.unit == amount.unit for one in after):
                continue
            if _OF_NEW.search(between(scene.tokens, max(0, amount.first - 6), amount.first)):
                amount.role = "aim"
                amount.why.append("it is what a new one has")
