"""Things named before what is done with them: "those knives we flip over", "the halves, they …"."""

from __future__ import annotations

from author.checks.verbs import words as _words
from author.proposals.language.closed_words import ARTICLES, NUMBERS
from author.proposals.language.loose_words import LooseClause, Said
from author.proposals.language.trade_words import trade_words
from author.proposals.language.verbs import base_of
from author.proposals.orders.frames import person_in
from author.proposals.orders.words import PARTICLES, PREPOSITIONS, is_sentence

_LONGEST = 8
_DOING = _words("i we you i'm we're i'll we'll you'll you're i'd you'd we'd i've we've")
_BEING = _words("they it that this these those")
_SHOWN = _words("right here there over")
_MANY = _words("get go come are want needa hafta gotta")
_ONE = _words("gets goes comes has is wants needs needsta hasta")
_POINTING = _words("it them that those these this")
# A verb may have its object before it where these follow.
_BEHIND = (
    PARTICLES
    | PREPOSITIONS
    | NUMBERS
    | _words("with by from until when before after evenly slowly gently carefully hand as only")
)
_NO_THING = _words("time way point case stage bit reason day trick thing idea same minute moment")
_TO_LOOK = _words("be see know think want like need have look go come work start")


def is_name(clause: LooseClause) -> bool:
    """Whether a clause only names a thing: "the gland nut", "four bolts round the casing"."""
    low = [word.low for word in clause]
    if not low or len(low) > _LONGEST or is_sentence([w for w in low if w != "one"]):
        return False
    if low[0] in PREPOSITIONS | PARTICLES or (low[0] in _POINTING and len(low) == 1):
        return False
    head = next((at for at, w in enumerate(low) if at and w in PREPOSITIONS), len(low)) - 1
    kind = trade_words().kind_of(low[head])
    named = kind == "feature" and low[0] in ARTICLES  # "the groove I clean with a cloth"
    if not named and kind not in {"part", "tool", "supply", "weak"}:
        pointed = low[0] in _POINTING | {"the"} and head >= 1 and base_of(low[1]) is None
        return pointed and low[head] not in _NO_THING
    begins = low[0] in ARTICLES | NUMBERS or base_of(low[0]) is None
    return begins and low[-1] not in PARTICLES


def fronted(clause: LooseClause) -> LooseClause | None:
    """Return a clause with its object behind the verb, or None where none stands before it."""
    for at in range(1, min(len(clause) - 1, _LONGEST + 1)):
        low = clause[at].low
        if low not in _DOING | _BEING:
            continue
        name = [Said(word.low, word.shown) for word in clause[:at]]
        while len(name) > 1 and name[-1].low in _SHOWN:
            name.pop()
        if not is_name(name):
            return None
        rest = [word for word in clause[at + 1 :] if word.low not in {"just", "both", "all"}]
        if low == "they" and len(rest) > 1 and rest[1].low in PARTICLES:
            verb = rest[0]
            if base_of(verb.low) == verb.low and verb.low not in _TO_LOOK | {"come"}:
                return [verb, *name, *rest[1:]]
        if low in _BEING:
            return [*name, *clause[at + 1 :]] if _told_of(clause[at:]) else None
        return _with_object(name, clause[at:])
    return None


def of_a_flaw(clause: LooseClause) -> tuple[tuple[str, ...], LooseClause] | None:
    """Return the case and the order in "light marks you can polish out with six hundred paper".

    What is done to a flaw is done only where there is one.
    """
    at = next((n for n, word in enumerate(clause[:_MOST_FLAW]) if word.low in FLAWS), -1)
    if at < 0 or len(clause) < at + 3 or clause[at + 1].low not in {"you", "we", "i", "you'll"}:
        return None
    verb = at + 1 + person_in(clause[at + 1 :])
    if clause[0].low in _NOT_ANY or verb >= len(clause) or clause[verb].low not in _MENDS:
        return None
    behind = clause[verb + 1 :]
    if behind and behind[0].low in _POINTING | {"that"}:
        behind = behind[1:]
    many = clause[at].low.endswith("s") and clause[at].low != "rust"
    there, them = ("are", "them") if many else ("is", "it")
    case = ("if", "there", there, *(word.shown for word in clause[: at + 1]))
    return case, [clause[verb], Said(them, them), *behind]


_MOST_FLAW = 4
FLAWS = _words(
    "mark marks scratch scratches burr burrs nick nicks rust pitting scoring dents dent score "
    "scores scuffs corrosion glazing ridges ridge"
)
"""What is wrong with a surface, here and there."""
_NOT_ANY = _words("the that this these those those your")
_MENDS = _words("polish sand dress file stone rub hone scrape linish grind blend clean buff smooth")


def _told_of(clause: LooseClause) -> bool:
    """Whether "it" or "they" is what does something: "they just pull apart", "it lifts off"."""
    low = [word.low for word in clause if word.low not in {"just", "all", "both", "then", "also"}]
    if len(low) < 2:
        return False
    base = base_of(low[1])
    if low[0] in {"it", "that", "this"}:
        return low[1] in _ONE or (low[0] == "it" and low[1] == f"{base}s")
    return low[1] in _MANY or (low[0] == "they" and low[1] == base and base not in _TO_LOOK)


def _with_object(name: LooseClause, rest: LooseClause) -> LooseClause | None:
    verb = person_in(rest)
    if not verb or verb >= len(rest):
        return None
    base = base_of(rest[verb].low)
    if base is None or base in _TO_LOOK:
        return None
    for at in range(verb + 1, min(len(rest), verb + 3)):
        last = at + 1 == len(rest) or rest[at + 1].low in _BEHIND | {"and", "to", "at"}
        if rest[at].low in _POINTING and last:
            return [*rest[:at], *name, *rest[at + 1 :]]
        if rest[at].low not in PARTICLES:
            break
    behind = rest[verb + 1].low if verb + 1 < len(rest) else ""
    if not behind or behind in _BEHIND or rest[verb].mark or behind.endswith("ly"):
        return [*rest[: verb + 1], *name, *rest[verb + 1 :]]
    return None
