"""Words that sound like a finding put off or like a reason, and are an order or tell where to.

"Keep an eye on the reservoir" and "write the mileage on the card" ask for work and find nothing;
in "so that goes in the scrap" the word "that" is a thing, and nothing is told of why. Where "you
can't see it" nothing is looked at.
"""

from __future__ import annotations

from collections.abc import Sequence

from author.checks.verbs import ARTICLES, FINITE, words
from author.proposals.kinds.marks import Hit
from author.proposals.language.clause_cuts import Clause
from author.proposals.language.plain_words import Plain
from author.proposals.language.verbs import base_of_third

FINDINGS = words(
    """
    worn cracked pitted scored torn split perished frayed bent loose tired shot chewed rusty thin
    damaged leaking weeping broken crack rounded corroded burnt rough notchy noisy ridge pit wear
    scratch sticking slack stretched through dead chipped play seized leak swollen brittle
    """
)
_WRITES = words("write put note mark chalk jot log report keep record")
_OWN = words("your our both every each")
_LATER = words("next later until till another soon winter spring summer autumn")
_LEAST = 2
_PERSONS = words("i you we they")
_LOOKS = words("see measure check feel reach get tell read show")
_TOUCHES = words("put run rub drag feel touch use poke")
_FORBIDS = words("don't never not no can't mustn't")
_PART_TOO = words("caliper calipers")
_DONE_TO_IT = words(
    "wrap offer bolt fit remove lift slide hang support tie refit mount swing undo pull take clean"
)
_CAUTIONS = (("watch", "out"), ("look", "out"))
_AWAY = words("bin scrap skip tip dustbin rubbish recycling me you now later tomorrow next another")


def no_finding(said: Plain, clauses: Sequence[Clause], hit: Hit) -> bool:
    """Whether a sign of a finding, a look at something or a reason tells none.

    Args:
        said: the words of the sentence.
        clauses: its clauses.
        hit: the sign.
    """
    if hit.kind == "reason":
        return _no_reason(said, hit)
    if hit.kind not in {"deferred", "inspection"}:
        return False
    clause = next((one for one in clauses if hit.first < one.stop), clauses[-1])
    own = said.words[clause.head : clause.stop]
    if hit.kind == "inspection":
        if said.words[hit.first] in _PART_TOO and own[:1] and own[0] in _DONE_TO_IT:
            return True  # "wrap the caliper in a rag": that of a brake
        forbidden = said.word(hit.first - 1) in _FORBIDS
        touches = said.words[hit.first] in _TOUCHES
        if (forbidden and touches) or said.words[hit.first : hit.first + 2] in _CAUTIONS:
            return True  # "don't put your hand in the drum" looks at nothing
        return len(own) > _LEAST and own[0] in _PERSONS and _cannot(own[1:3])
    if own[:1] in {("keep",), ("keeping",)}:
        own = own[4:] if own[1:4] == ("an", "eye", "on") else ()
    elif own[:1] and own[0] in _WRITES:
        own = own[1:]
    else:
        return False
    named = own[:1] and own[0] in ARTICLES | _OWN
    return bool(named) and not (FINDINGS | _LATER) & set(said.words)


def _cannot(said: Sequence[str]) -> bool:
    """Whether somebody cannot look or measure: "you can't see it"."""
    return said[0] in {"can't", "cannot", "couldn't"} and said[-1] in _LOOKS


def _no_reason(said: Plain, hit: Hit) -> bool:
    told = said.words[hit.first : hit.stop]
    behind = said.word(hit.stop)
    if told[:2] == ("so", "that"):
        verb = said.word(hit.first + 2)
        return verb in FINITE or base_of_third(verb) is not None
    if told[:2] in {("it's", "for"), ("that's", "for")}:
        return behind in _AWAY or told[-1] in _AWAY
    return False
