"""What a check asks for, in the words of its outcome: "Check that it spins freely"."""

from __future__ import annotations

import re
from collections.abc import Sequence

from author.checks.verbs import words as verb_words
from author.proposals.language.trade_words import trade_words
from author.proposals.language.verbs import base_of, forms
from author.proposals.language.word_forms import singular
from author.proposals.orders.wording import Order
from author.proposals.steps.implied_numbers import implied
from author.proposals.things.finding import Thing

_MOST_WORDS = 14
_NOTHING = re.compile(r"(?:there(?:'s| is| are) )?(?=no\b)")
_STATE = re.compile(
    r"\b(?:is|are|runs?|turns?|moves?|spins?|slides?|sits?|looks?|feels?|does not|do not)\b"
)
_FAULT = re.compile(
    r"\b(?:is|are|'s|'re|was|were)\s+(?:\w+ ){0,2}(?:worn|cracked|broken|bent|scored|damaged|split|"
    r"seized|rusted|burnt|torn|gone|dead|shot|knackered|pitted|corroded|leaking|chipped|perished|glazed|"
    r"stiff|rough|noisy|slack|hard|blue|loose|sticky|sloppy|got|is|frayed|nicked|weeping|gummed up|"
    r"wet|dry|thin|rotten|missing)\b",
    re.IGNORECASE,
)
# What the technician says of himself, of a case or of a number asks for nothing.
_NO_OUTCOME = re.compile(
    r"\b(?:i|i'm|i've|i'll|i'd|we|we're|we've|we'll|me|my|our|us|you|you're|you'll|your|if|"
    r"anything|minus|plus|always|was|were|before|because|cause|'cause|that's|what|mine|nothing|"
    r"hers|nobody|allowed|all right|alright|normal|fine|okay|ok|good|after)\b"
)
_NO_SUBJECT = re.compile(
    r"(?:is|are|was|runs|turns|moves|spins|slides|sits|looks|feels|must|should|run|turn|move|spin|"
    r"slide|look|feel|by|in|on|at|for|with|to|like|or|have|make|get|listen|do|go|stop|mike|give|"
    r"leave|take|put|keep|hold|till|until|this|that|a|an)\b"
)
_LEAD = re.compile(
    r"^(?:(?:so|and|but|then|now|okay|well|also|because|that|make sure|see that|check that|"
    r"look that|check)\b,? ?)+"
)
_TURNS = re.compile(r",? but\b.*$|, (?:so|because|and if|or)\b.*$|,? none\b.*$")
_NOT_NONE = re.compile(r"no (?:more|less|longer|need|idea|problem|worries|sorry|no|matter|way)\b")
_MODAL = re.compile(
    r"^(?P<who>.*?)(?:'s (?:to|gotta|got to)|\b(?:should|must|oughta|ought to|has to|have to|had "
    r"better|better|gotta|needs to|need to|wants to|want to|is to|are to|can|will|ought))"
    r"(?P<no>n't| not| never)? (?P<how>just |only |all |both |still |also )?(?P<verb>[a-z]+)\b"
)
_SHORT = (
    (re.compile(r"\b(it|he|she|there)'s\b"), r"\1 is"), (re.compile(r"\b(they)'re\b"), r"\1 are"),
    (re.compile(r"\bcan't\b"), "cannot"), (re.compile(r"\b(?:he|she)\b"), "it"),
    (re.compile(r"\bdoesn't\b"), "does not"), (re.compile(r"\bdon't\b"), "do not"),
    (re.compile(r"\bisn't\b"), "is not"), (re.compile(r"\baren't\b"), "are not"),
    (re.compile(r"\b(?:cannot|can not)\b"), "can not"), (re.compile(r"\bain't\b"), "is not"),
)  # fmt: skip
_STAYS = verb_words(
    "leak stand stay stop drip click rattle squeak stick touch rub hold wobble shake catch come go "
    "drop fall rise reach show have carry match agree line begin start"
)
_PLURAL = frozenset({"they", "both", "all", "those", "these"})
# "The lip faces in" tells how it is fitted.
_FACES = frozenset({"lip", "side", "face", "end", "edge", "flat"})
_FACING = re.compile(r"\b(?:fac(?:es?|ing)|towards?|points?|outwards?|inwards?|up|down|in|out)\b")


def order_of_check(text: str, near: Sequence[Thing], *, numbered: bool = False) -> Order | None:
    """Return what a check asks for, or None where words do not tell.

    Args:
        text: the words of the check.
        near: things named in its sentence and the one before.
        numbered: whether a number is told in it, which stands in a place of its own.
    """
    words = " ".join(text.split()).strip(" .,;:-!?")
    if not 2 <= len(words.split()) <= _MOST_WORDS or _FAULT.search(words):
        return None  # what is wrong with it was found, and is nothing to check for
    outcome = None if numbered else _outcome(_LEAD.sub("", words.lower()), words)
    if outcome is not None:
        return implied(f"Check that {outcome}", "check", None)
    part = next((t.name for t in near if t.kind == "part" and not _only_faces(t, words)), None)
    return implied(f"Check the {part}", "check", part) if part else None


def _only_faces(thing: Thing, words: str) -> bool:
    last = singular(thing.name.split(" ")[-1].lower())
    return last in _FACES and _FACING.search(words.lower()) is not None


def _outcome(low: str, said: str) -> str | None:
    """Return what has to be so, in the present tense, or None if that is not told."""
    low = _TURNS.sub("", low)
    if _NO_OUTCOME.search(low) or len(low.split()) < 2:
        return None
    if (nothing := _NOTHING.match(low)) is not None:
        none = low[nothing.end() :]
        if _NOT_NONE.match(none):
            return None
        first = re.split(r",| and | or | on | in | at ", none)[0]
        return _as_said(f"there {'are' if _is_many(first) else 'is'} {none}", said)
    plain = _in_present(low)
    if plain is None or _NO_SUBJECT.match(plain):
        return None
    if plain == low and not _STATE.search(plain):
        return None
    first = plain.split()[0]
    bare = trade_words().kind_of(first) is not None
    return _as_said(f"the {plain}" if bare else plain, said)


def _in_present(low: str) -> str | None:
    """Return words with their verb in the present tense: "it should spin" as "it spins"."""
    for short, whole in _SHORT:
        low = short.sub(whole, low)
    found = _MODAL.match(low)
    if found is None:
        return low
    who = found["who"].strip(" ,")
    base = base_of(found["verb"])
    if found["verb"] in _STAYS:
        base = found["verb"]
    if not who or base is None or base != found["verb"]:
        return None
    behind = low[found.end() :]
    many = _is_many(behind.split(",")[0] if who.split()[-1] == "there" else who)
    if base == "be":
        verb = "are" if many else "is"
        told = f"{verb} not" if found["no"] else verb
        return f"{who} {told} {found['how'] or ''}{behind.strip()}".strip()
    if found["no"]:
        return f"{who} {'do' if many else 'does'} not {found['how'] or ''}{base}{behind}"
    verb = base if many else "has" if base == "have" else forms(base)[0]
    return f"{who} {found['how'] or ''}{verb}{behind}"


def _is_many(words: str) -> bool:
    said = words.split()
    last = said[-1] if said else ""
    plural = singular(last) != last and not last.endswith("ss")
    return bool(_PLURAL & set(said[:2])) or plural or "and" in said


def _as_said(low: str, said: str) -> str:
    """Return words with the capitals that names had inside what was said."""
    names = {word.lower(): word for word in re.findall(r"(?<=\s)[A-Z][\w-]*", said) if word != "I"}
    return re.sub(r"[\w-]+", lambda word: names.get(word[0], word[0]), low)
